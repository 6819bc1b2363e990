"""The price of a row: which column, which currency, worth now or paid, each or all, before tax or not."""

from __future__ import annotations

import re
from decimal import Decimal

from inventory.compute.intake.columns import Known
from inventory.compute.intake.facts import NOT_THERE, Cell, Facts
from inventory.compute.intake.grid import is_number
from inventory.compute.intake.money import DOLLARS, Money, exponent_of, minor_units, read_money
from inventory.compute.intake.quantities import PAIR_WORD
from inventory.compute.intake.settings import Setting


class PriceReader:
    """Reads the price columns of one table."""

    def __init__(self, sheet: str, columns: list[Known], setting: Setting, main_currency: str, names: dict[int, str]):
        self.sheet, self.columns, self.setting = sheet, columns, setting
        self.main_currency, self.names = main_currency, names

    def read(self, facts: Facts) -> None:
        """Take the price of a row, its kind and whether it is for each or for all."""
        order = ("price_each", "price", "price_paid", "price_insured", "price_total")
        there = {known.field for known in self.columns} | set(facts.cells)
        main = next((name for name in order if name in there), "")
        chosen = None
        for name in order:
            if name == "price_total" and name != main:
                break
            found = facts.first(name)
            if found is not None:
                if name == main and (not NOT_THERE.match(found.text) or found.look.error):
                    chosen = (name, found)
                elif name != main:
                    facts.note(f"{found.known.heading}: {found.text}")
        new = facts.text("price_new")
        if new:
            facts.note(f"{self.names[facts.cells['price_new'][0].known.index]}: {new}")
        if chosen:
            self._take_price(facts, *chosen)

    def _take_price(self, facts: Facts, name: str, found: Cell) -> None:
        if found.look.error or re.match(r"^#(?:REF|VALUE|N/A|NAME|DIV|NUM|NULL)", found.text):
            facts.flag("FORMULA_ERR")
            facts.note(f"{found.known.heading}: {found.look.error or found.text}")
            return
        money = self._money(found)
        facts.note(money.remark)
        if money.minor is None:
            facts.flag(money.doubt)
            return
        if money.minor == 0 and found.look.formula:
            return
        if found.look.strike:
            facts.flag("PRICE_STRIKE")
        facts.flag(money.doubt)
        currency = money.currency or found.look.currency.replace("$", self._dollar()) or self.main_currency
        if currency != self.main_currency:
            facts.flag("CURRENCY")
            self.setting.ask("CURRENCY", self.sheet, currency, row=facts.row + 1, guess=currency, example=found.text)
        facts.fields["price_minor"], facts.fields["currency"] = money.minor, currency
        self._price_kind(facts, name, found)
        self._price_per(facts, name, money)

    def _dollar(self) -> str:
        return self.setting.currency if self.setting.currency in DOLLARS else "USD"

    def _money(self, found: Cell) -> Money:
        if is_number(found.value):
            shown = found.look.currency.replace("$", self._dollar())
            exponent = exponent_of(shown or self.main_currency, self.setting.currency, self.setting.exponent)
            minor, lost = minor_units(Decimal(str(found.value)), exponent)
            doubt = "PRICE_NEG" if minor < 0 else "PRICE_ODD" if lost else ""
            return Money(abs(minor), doubt=doubt, remark=f"price: {found.text}" if doubt else "")
        return read_money(
            found.text, self.setting.currency, self.setting.exponent, decimal_comma=self.setting.decimal_comma
        )

    def _price_kind(self, facts: Facts, name: str, found: Cell) -> None:
        kinds = {"price_paid": "paid", "price_insured": "insured"}
        kind = kinds.get(name, "worth now")
        plain = re.search(
            r"worth|resale|market|sell|asking|get|est|today|now|"
            r"used",
            found.known.heading,
            re.IGNORECASE,
        )
        if name not in kinds and not plain:
            kind = (
                self.setting.ask(
                    "PRICE_KIND", self.sheet, found.known.heading, row=facts.row + 1, guess=kind, example=found.text
                )
                or kind
            )
        facts.fields["price_kind"] = kind

    def _price_per(self, facts: Facts, name: str, money: Money) -> None:
        quantity = facts.fields.get("quantity")
        per = money.per or {"price_each": "each", "price_total": "all"}.get(name, "")
        if money.tax:
            facts.fields["price_tax"] = money.tax
        unclear = not per and (quantity is None or quantity > 1)
        split = name == "price_each" and "QTY" in facts.flags and PAIR_WORD.search(str(facts.fields.get("what", "")))
        if unclear or split:
            answer = self.setting.ask(
                "PRICE_EACH_ALL", self.sheet, row=facts.row + 1, guess="each", example=facts.words[:60]
            )
            per = answer or per or "each"
            if not answer:
                facts.flag("PRICE_EACH_ALL")
        if money.tax == "out":
            answer = self.setting.ask("PRICE_TAX", self.sheet, row=facts.row + 1, guess="out")
            if answer:
                facts.flags.pop("PRICE_TAX", None)
                facts.fields["price_tax"] = answer
        facts.fields["price_per"] = per or "each"
