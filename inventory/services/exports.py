"""The gear list as rows of a sheet, read in stretches."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from inventory.models import Piece
from inventory.words import Area, Bond, Condition, Fate
from people.access import Viewer
from people.compute.packs import CountryPack
from people.compute.phrasing import GRAMS_A_POUND
from people.compute.unpriced import unpriced
from people.packs import pack

STRETCH = 2000
COLUMNS = (
    "tag", "what", "quantity", "maker", "model", "serial", "area", "condition", "fate", "fate_until",
    "fate_until_on", "next_fate", "place__site__name", "place__name", "place_words", "goes_to__name", "bond",
    "bond_words", "never_sell", "year", "watts", "rack_units", "mass_g", "radio_low_khz", "radio_high_khz", "note",
)  # fmt: skip
MONEY = ("paid_minor", "resale_minor", "price_currency")
WIDTHS = (9, 34, 8, 14, 14, 18, 10, 15, 18, 18, 12, 14, 22, 22, 18, 22, 14, 18, 8, 7, 8, 8, 9, 10, 10, 40, 10, 10, 8)


def sheet_of(viewer: Viewer, pieces: QuerySet[Piece]) -> tuple[list[str], Iterator[list[Any]]]:
    """Return (headings, rows) of these pieces; prices only for a viewer who sees money. Queries a time a stretch."""
    country = pack(viewer.ministry.country)
    money = MONEY if viewer.sees_money else ()
    rows = pieces.order_by("tag_number", "id").values_list(*COLUMNS, *money).iterator(chunk_size=STRETCH)
    return _heads(country, bool(money)), (_row(row, country) for row in rows)


def _heads(country: CountryPack, money: bool) -> list[str]:
    pounds = country.mass_unit == "pounds"
    heads = [
        _("tag"), _("what it is"), _("how many"), _("maker"), _("model"), _("serial"), _("kind"), _("condition"),
        _("fate"), _("until"), _("until (date)"), _("then"), _("site"), _("place"), _("place as written"),
        _("goes to"), _("whose"), _("what binds it"), _("never sell"), _("year"), _("watts"), _("rack units"),
        _("mass (lb)") if pounds else _("mass (kg)"), _("radio from (MHz)"), _("radio to (MHz)"), _("note"),
    ]  # fmt: skip
    return heads + ([_("paid"), _("resale guess"), _("currency")] if money else [])


AT = {name: position for position, name in enumerate((*COLUMNS, *MONEY))}
CHOICES = {"area": Area, "condition": Condition, "fate": Fate, "next_fate": Fate, "bond": Bond}


def _row(given: tuple[Any, ...], country: CountryPack) -> list[Any]:
    row = list(given)
    for name, words in CHOICES.items():
        row[AT[name]] = str(words(row[AT[name]]).label) if row[AT[name]] else ""
    row[AT["never_sell"]] = _("yes") if row[AT["never_sell"]] else ""
    if row[AT["mass_g"]] is not None:
        grams = GRAMS_A_POUND if country.mass_unit == "pounds" else Decimal(1000)
        row[AT["mass_g"]] = round(row[AT["mass_g"]] / grams, 3)
    for name in ("radio_low_khz", "radio_high_khz"):
        if row[AT[name]] is not None:
            row[AT[name]] = row[AT[name]] / 1000
    if len(row) == len(COLUMNS):
        row[AT["note"]] = unpriced(row[AT["note"]])
    else:
        for name in ("paid_minor", "resale_minor"):
            if row[AT[name]] is not None:
                row[AT[name]] = Decimal(row[AT[name]]).scaleb(-country.exponent)
        row[AT["price_currency"]] = row[AT["price_currency"]] or country.currency
    return row
