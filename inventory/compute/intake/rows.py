"""A table to row drafts: things, what belongs to the row above, and what is left out, each with its reason."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from dataclasses import replace
from typing import Any

from inventory.compute.gear_words import ROOM_WORDS, gear_words
from inventory.compute.intake.columns import Known
from inventory.compute.intake.conditions import legend_of
from inventory.compute.intake.dates import column_order
from inventory.compute.intake.draft import ASK, LEFT_OUT, NEW, RowDraft
from inventory.compute.intake.facts import Facts
from inventory.compute.intake.grid import Grid, as_text
from inventory.compute.intake.naming import binding_of, describe
from inventory.compute.intake.row_facts import RowReader
from inventory.compute.intake.row_kinds import (
    REMARK,
    SECTION,
    SUBTOTAL,
    THING,
    is_sentence,
    jotted_things,
    kind_of,
)
from inventory.compute.intake.settings import FIELD_OF, Setting
from inventory.compute.intake.tables import Table, cell, cell_text, filled
from inventory.compute.serials import serial_key

REASONS = {
    "QTY": "how many there are is not clear",
    "COND_WORD": "its state is in a word that must be confirmed",
    "COND_SPLIT": "not all of them are in the same state",
    "PLACE_FILL": "the room is not stated in the row",
    "MAKER": "the maker is a guess",
    "MODEL": "the model is a guess",
    "CURRENCY": "its price is in another currency",
    "PRICE_EACH_ALL": "the price may be for each or for all",
    "PRICE_TAX": "tax comes on top of the price",
    "PRICE_TWO": "the price cell holds more than one amount",
    "PRICE_NEG": "the price is below zero",
    "PRICE_ODD": "the price is not a plain amount",
    "PRICE_MERGED": "one price stands for several rows",
    "PRICE_STRIKE": "a price is struck through",
    "FORMULA_ERR": "the price formula shows an error",
    "DATE_ORDER": "day and month of its date may be the other way round",
    "DATE_BAD": "its date cannot be read",
    "DATE_SERIAL": "its date came as a day number",
    "UNIT": "its weight has no unit",
    "SERIAL_LOST": "the program rounded its serial",
    "SERIAL_ZERO": "its serial may have lost noughts in front",
    "SERIAL_DATE": "the program made a date of its serial",
    "SERIAL_COPY": "its serial is that of the row above",
    "SERIAL_PARTIAL": "only part of its serial is there",
    "SERIAL_FORMULA": "its serial is worked out by a formula",
    "SERIAL_RANGE": "its range of serials does not fit the number of pieces",
    "SERIAL_SLIP": "its serial differs from its model by one sign",
    "SPLIT": "it may hold several things",
    "OWNER": "it may not be ours",
    "BOUND": "it may not be sold",
    "HP_MEANING": "it may be on hire purchase or leased",
    "BAND": "its radio range is not stated",
    "COLOR": "it is marked by a color",
    "STRIKE": "it is struck through",
    "HIDDEN_ROW": "the row is hidden",
    "DITTO": "it repeats the row above",
    "ABOVE_HEADER": "it is jotted above the headings",
    "NO_HEADINGS": "the list has no headings, so its columns are guesses",
    "BESIDE": "it stands in a table at the side",
}

LAST_TOTAL = re.compile(r"^\s*(?:grand )?totals?\s*(?:\([^)]*\))?\s*:?\s*$", re.IGNORECASE)


class TableRows:
    """The drafts of one table."""

    def __init__(self, grid: Grid, table: Table, columns: list[Known], setting: Setting):
        self.grid, self.table, self.columns, self.setting = grid, table, columns, setting
        self.reader = RowReader(grid, columns, setting, order=self._order(), main_currency=self._main_currency())
        self.reader.zero_led = self._zero_led()
        self.reader.notice_gaps(table.rows)
        self.facts: list[Facts] = []
        self.aside: list[RowDraft] = []
        self.notes: list[str] = []
        self.ended = False  # the total of the whole list has passed
        self.tints = self._tints()

    def _column_values(self, name: str) -> list[tuple[int, int]]:
        return [(row, known.index) for known in self.columns if known.field == name for row in self.table.rows]

    def _order(self) -> str:
        return column_order(cell_text(self.grid, *at) for at in self._column_values("bought"))

    def _zero_led(self) -> int:
        """Length of zero-led bare serials of the column; 0 when there are none."""
        texts = [cell_text(self.grid, *at) for at in self._column_values("serial")]
        return max((len(text) for text in texts if re.fullmatch(r"0\d+", text)), default=0)

    def _main_currency(self) -> str:
        """The currency most price cells show, the country's own while they show none."""
        from inventory.compute.intake.money import read_money

        seen: Counter[str] = Counter()
        for name in ("price_each", "price", "price_paid"):
            for at in self._column_values(name):
                value = cell(self.grid, *at)
                shown = self.grid.look(*at).currency.replace("$", self.reader_dollar())
                if isinstance(value, str):
                    shown = read_money(value, self.setting.currency, self.setting.exponent).currency
                if value is not None and shown:
                    seen[shown] += 1
        heads = "".join(known.heading for known in self.columns if (known.field or "").startswith("price"))
        for mark, code in (("£", "GBP"), ("€", "EUR"), ("$", self.reader_dollar())):
            seen[code] += 1000 * (mark in heads or bool(re.search(rf"\b{code}\b", heads, re.IGNORECASE)))
        if not seen:
            return self.setting.currency
        best, count = seen.most_common(1)[0]
        return best if count else self.setting.currency

    def reader_dollar(self) -> str:
        """The currency a bare dollar sign means here."""
        return self.setting.currency if self.setting.currency in ("USD", "CAD", "AUD", "NZD") else "USD"

    def _tints(self) -> dict[int, str]:
        """Row -> its color mark, without those that most rows carry (banding) and those of titles."""
        found = {}
        for row in self.table.rows:
            columns = [known.index for known in self.columns if cell(self.grid, row, known.index) is not None]
            looks = [self.grid.look(row, column) for column in columns]
            marks = Counter(
                f"fill {look.fill}" if look.fill else f"text {look.font}" for look in looks if look.fill or look.font
            )
            if marks and marks.most_common(1)[0][1] * 2 >= len(looks):
                found[row] = marks.most_common(1)[0][0]
        common = {
            tint
            for tint, number in Counter(found.values()).items()
            if number * 5 > len(self.table.rows) * 2 and number > 4
        }
        return {row: tint for row, tint in found.items() if tint not in common}

    def read(self) -> tuple[list[RowDraft], list[str]]:
        """Return the drafts in sheet order and the notes about the whole list."""
        self._legend()
        for row in self.table.before:
            self._above(row)
        section = self._section_above()
        for row in self.table.rows:
            kind = kind_of(self.grid, row, self.columns)
            if kind == THING:
                self.facts.append(self._thing(row, section))
            elif kind == SECTION:
                text = self._whole(row)
                section = (
                    text.split(", ")[0].rstrip(":").strip() if ROOM_WORDS.search(text) and not is_sentence(text) else ""
                )
                self._leave(row, "a heading of a section")
            elif kind == REMARK:
                self._remark(row)
            elif kind == SUBTOTAL:
                self.ended = self.ended or bool(LAST_TOTAL.match(self._lead_text(row)))
                self._leave(row, "a total, not a thing")
        self._copied_serials()
        for row in self.table.repeats:
            self._leave(row, "the headings again")
        drafts = [draft for facts in self.facts for draft in self._drafts(facts)] + self.aside
        return sorted(drafts, key=lambda draft: (draft.row, draft.part)), self.notes

    def _section_above(self) -> str:
        """A room that stands right above the headings, '' for none."""
        row = self.table.header - 1
        text = self._whole(row) if row in self.table.before else ""
        return text.rstrip(":") if ROOM_WORDS.search(text) and len(text.split()) < 4 else ""

    def _legend(self) -> None:
        texts = [known.heading for known in self.columns if known.field == "condition"]
        texts += [self._whole(row) for row in self.table.before]
        texts += [self._whole(row) for row in self.table.rows if len(filled(self.grid, row)) == 1]
        for text in texts:
            self.reader.legend.update(legend_of(text) if "=" in text else {})

    def _lead_text(self, row: int) -> str:
        return next((as_text(value) for value in self.grid.rows[row] if isinstance(value, str)), "")

    def _whole(self, row: int) -> str:
        return " ".join(as_text(value) for value in self.grid.rows[row] if value is not None)

    def _above(self, row: int) -> None:
        text = jotted_things(self.grid, row, self.columns)
        answer = (
            self.setting.ask("ABOVE_HEADER", self.grid.name, str(row + 1), row=row + 1, guess="piece", example=text)
            if text
            else "note"
        )
        if text and answer != "note":
            facts = Facts(row)
            aside = re.findall(r"\(([^)]*)\)", text)
            found = describe(re.sub(r"\([^)]*\)", "", text), self.setting.lexicon)
            facts.fields |= {
                "what": found.what,
                "maker": found.maker or None,
                "model": found.model or None,
                "quantity": 1,
            }
            facts.note(*aside)
            facts.words, facts.raw = text, {"above the headings": text}
            facts.flag("ABOVE_HEADER" if not answer else "", *found.flags)
            self.facts.append(facts)
            return
        self.notes.append(self._whole(row))
        self._leave(row, "a title or a note above the list")

    def _leave(self, row: int, why: str) -> None:
        text = self._whole(row)
        self.aside.append(
            RowDraft(
                self.grid.name,
                row + 1,
                1,
                LEFT_OUT,
                f"Left out: {why}.",
                raw={"row": text},
                fingerprint=_fingerprint({"row": text}),
            )
        )

    def _thing(self, row: int, section: str) -> Facts:
        facts = self.reader.read(row, section)
        if self.table.header < 0:
            facts.flag("NO_HEADINGS")
        if row in self.grid.hidden_rows:
            answer = self.setting.ask("HIDDEN_ROW", self.grid.name, row=row + 1, guess="read")
            facts.flag("" if answer == "read" else "HIDDEN_ROW")
        if row in self.tints:
            answer = self.setting.ask(
                "COLOR", self.grid.name, self.tints[row], row=row + 1, guess="nothing", example=self._whole(row)
            )
            facts.flag("" if answer else "COLOR")
            facts.note("" if answer in ("", "nothing") else f"marked by color: {answer}")
        looks = [
            self.grid.look(row, known.index)
            for known in self.columns
            if known.field in ("what", "maker", "model", "maker_model")
        ]
        if any(look.strike for look in looks):
            answer = self.setting.ask("STRIKE", self.grid.name, row=row + 1, guess="gone", example=self._whole(row))
            facts.flag("" if answer else "STRIKE")
            facts.note("struck through" + (f": {answer}" if answer else ""))
        return facts

    def _remark(self, row: int) -> None:
        """Attach a remark to the row it speaks of: the nearest above that shares a trade word, else the row above."""
        text = self._whole(row)
        things = [facts for facts in self.facts if "ABOVE_HEADER" not in facts.flags]
        words = gear_words(text)
        apart = row >= 2 and not filled(self.grid, row - 1) and not filled(self.grid, row - 2)
        near = next(
            (facts for facts in reversed(things[-25:]) if words & gear_words(str(facts.fields.get("what") or ""))), None
        )
        if not things or legend_of(text) or (near is None and (apart or self.ended)):
            self.notes.append(text)
            self._leave(row, "a remark, kept with the list")
            return
        target = near or things[-1]
        self._leave(row, f"a remark, kept with row {target.row + 1}")
        target.note(text.lstrip("^↑* "))
        found = binding_of(text)
        target.flag(*found.flags)
        if found.do_not_sell:
            target.fields["do_not_sell"] = True

    def _copied_serials(self) -> None:
        """Mark the same serial on rows one below the other: filled down; a series that steps by one is real."""
        before: Facts | None = None
        for facts in self.facts:
            key = facts.fields.get("serial_key")
            if (
                before is not None
                and key
                and key == before.fields.get("serial_key")
                and "SERIAL_PARTIAL" not in facts.flags
            ):
                answer = self.setting.ask(
                    "SERIAL_COPY",
                    self.grid.name,
                    row=facts.row + 1,
                    guess="blank",
                    example=str(facts.fields.get("serial")),
                )
                facts.flag("" if answer else "SERIAL_COPY")
                if answer == "blank":
                    facts.fields.pop("serial"), facts.fields.pop("serial_key")
            before = facts

    def _drafts(self, facts: Facts) -> list[RowDraft]:
        answers = {code: self.setting.answer(code, self.grid.name) for code in ("STRIKE", "HIDDEN_ROW")}
        out = ""
        if answers["STRIKE"] == "gone" and "struck through: gone" in facts.notes:
            out = "Left out: struck through, which means gone."
        elif answers["HIDDEN_ROW"] == "leave" and facts.row in self.grid.hidden_rows:
            out = "Left out: the row is hidden."
        self._answered(facts)
        whole = self._draft(facts, out)
        if facts.extra_parts and self.setting.answer("SPLIT", self.grid.name, str(facts.row + 1)) == "apart":
            return self._apart(whole, facts)
        return [whole]

    def _answered(self, facts: Facts) -> None:
        """Take back the doubts that one answer settles for all rows, and ask the others once a kind."""
        for code in list(facts.flags):
            if code in (
                "COLOR",
                "STRIKE",
                "HIDDEN_ROW",
                "COND_WORD",
                "DATE_ORDER",
                "CURRENCY",
                "PRICE_EACH_ALL",
                "UNIT",
                "PLACE_FILL",
                "SPLIT",
                "ABOVE_HEADER",
                "SERIAL_COPY",
            ):
                if code == "CURRENCY" and self.setting.answer(
                    code, self.grid.name, str(facts.fields.get("currency", ""))
                ):
                    facts.flags.pop(code)
                if code == "SPLIT" and self.setting.answer(code, self.grid.name, str(facts.row + 1)):
                    facts.flags.pop(code)
                continue
            answer = self.setting.ask(code, self.grid.name, row=facts.row + 1, guess="keep", example=facts.words[:80])
            if answer:
                facts.flags.pop(code)
            field = FIELD_OF.get(code, "")
            if answer == "blank" and field:
                facts.fields.pop(field, None)

    def _draft(self, facts: Facts, out: str) -> RowDraft:
        fields = {name: value for name, value in facts.fields.items() if value is not None and value != ""}
        if "price_minor" not in fields:
            for name in ("currency", "price_kind", "price_per", "price_tax"):
                fields.pop(name, None)
        if facts.notes:
            fields["note"] = " | ".join(facts.notes)
        flags = tuple(facts.flags)
        doubts = [REASONS[code] for code in flags if code in REASONS]
        verdict = LEFT_OUT if out else ASK if flags else NEW
        reason = out or (f"Wants a word: {'; '.join(doubts[:3])}." if flags else "All of it could be read.")
        return RowDraft(
            self.grid.name,
            facts.row + 1,
            1,
            verdict,
            reason,
            fields,
            flags,
            facts.raw,
            tuple(facts.notes),
            _fingerprint(facts.raw),
        )

    def _apart(self, whole: RowDraft, facts: Facts) -> list[RowDraft]:
        """Return one draft a part; serials, sums of prices and of weights go with their parts when they count alike."""
        parts = facts.extra_parts
        serials = facts.serials if len(facts.serials) == len(parts) else ()
        drafts = []
        for at, text in enumerate(parts):
            found = describe(text, self.setting.lexicon, maker=str(whole.fields.get("maker") or ""))
            fields: dict[str, Any] = {**whole.fields, "what": found.what, "quantity": 1}
            fields["model"] = found.model or None
            for name, source in (
                ("price_minor", facts.first("price") or facts.first("price_each")),
                ("kg", facts.first("kg")),
            ):
                sums = (
                    [float(each.replace(",", ".")) for each in re.findall(r"\d+(?:[.,]\d+)?", source.text)]
                    if source
                    else []
                )
                scale = 10**self.setting.exponent if name == "price_minor" else 1
                fields[name] = round(sums[at] * scale, 3 if scale == 1 else None) if len(sums) == len(parts) else None
            fields["serial"] = serials[at] if serials else None
            fields["serial_key"] = serial_key(serials[at]) if serials else None
            flags = tuple(code for code in whole.flags if code not in ("SPLIT", "PRICE_TWO", "UNIT", "QTY"))
            drafts.append(
                replace(
                    whole,
                    part=at + 1,
                    fields={k: v for k, v in fields.items() if v is not None},
                    flags=flags,
                    verdict=ASK if flags else NEW,
                )
            )
        return drafts


def _fingerprint(raw: dict[str, str]) -> str:
    text = "\x1f".join(f"{name.casefold().strip()}\x1e{' '.join(value.split())}" for name, value in sorted(raw.items()))
    return hashlib.sha256(text.encode()).hexdigest()[:20]
