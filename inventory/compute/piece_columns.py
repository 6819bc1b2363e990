"""What a row of a list becomes in the columns of a piece, nothing cut without a word.

See docs/algorithms/piece-columns.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from inventory.compute.areas import area_of
from inventory.compute.intake.draft import CONDITIONS, LEFT_OUT, RowDraft

WIDTHS = {
    "what": 200,
    "maker": 80,
    "model": 80,
    "serial": 120,
    "serial_key": 120,
    "place_words": 120,
    "bond_words": 200,
}
NOTE_WIDTH = 1000
BETWEEN = " | "
LARGEST_COUNT = 100_000
LARGEST_KHZ = 2_000_000_000
PRICE_COLUMN = {"worth now": "resale_minor", "offered": "resale_minor", "paid": "paid_minor", "new": "paid_minor"}
UNTESTED = "not yet tested"

# Where the doubt about a field of a row is shown on the piece.
COLUMN_OF = {
    "serial_key": "serial",
    "condition_split": "condition",
    "bought": "year",
    "year_precision": "year",
    "kg": "mass_g",
    "band_low_khz": "radio_low_khz",
    "band_high_khz": "radio_low_khz",
    "owner": "bond_words",
    "do_not_sell": "never_sell",
    "length_mm": "note",
    "tag": "note",
}
PRICE_FIELDS = frozenset({"price_minor", "price", "currency", "price_kind", "price_per", "price_tax"})


def makes_a_piece(row: RowDraft) -> bool:
    """Tell whether a row stands for a thing: it is not left out and says what it is."""
    return row.verdict != LEFT_OUT and any(row.fields.get(name) for name in ("what", "maker", "model", "serial"))


def piece_columns(row: RowDraft, own_currency: str) -> dict[str, Any]:
    """Return {column of a piece: value} for a row, without its place.

    own_currency: the church's; a price in it keeps no currency of its own. Nothing is converted. A price for each of
    several becomes the price of the lot. A text too long for its column goes whole into the note.
    """
    fields = row.fields
    columns: dict[str, Any] = {
        "what": fields.get("what") or " ".join(filter(None, (fields.get("maker"), fields.get("model")))) or "?",
        "maker": fields.get("maker", ""),
        "model": fields.get("model", ""),
        "serial": fields.get("serial", ""),
        "serial_key": fields.get("serial_key", ""),
        "place_words": fields.get("place", ""),
        "bond_words": fields.get("owner", ""),
        "never_sell": bool(fields.get("do_not_sell")),
        "condition": fields["condition"] if fields.get("condition") in CONDITIONS else UNTESTED,
        **_count(fields),
        **_year(fields),
        **_prices(fields, own_currency),
        **_measures(fields),
    }
    long_ones = [str(columns[name]) for name, width in WIDTHS.items() if len(str(columns[name])) > width]
    columns |= {name: shortened(str(columns[name]), width) for name, width in WIDTHS.items()}
    columns["area"] = area_of(columns["what"])
    columns["note"] = _note(row, long_ones)
    return columns


def shortened(text: str, width: int) -> str:
    """Return the text, or its beginning with an ellipsis where it is longer than `width` characters."""
    return text if len(text) <= width else text[: width - 1].rstrip() + "…"


def _note(row: RowDraft, long_ones: Sequence[str]) -> str:
    fields = row.fields
    parts = [*str(fields.get("note", "")).split(BETWEEN), *row.notes]
    if fields.get("condition_split"):
        parts.append(str(fields["condition_split"]))
    if fields.get("price_tax") == "out":
        parts.append("price before tax")
    parts += long_ones
    return shortened(BETWEEN.join(dict.fromkeys(filter(None, (part.strip() for part in parts)))), NOTE_WIDTH)


def _count(fields: Mapping[str, Any]) -> dict[str, Any]:
    quantity = fields.get("quantity")
    count = quantity if isinstance(quantity, int) and 1 <= quantity <= LARGEST_COUNT else 1
    return {"quantity": count, "is_lot": count > 1}


def _year(fields: Mapping[str, Any]) -> dict[str, Any]:
    year = fields.get("year")
    known = isinstance(year, int) and 1000 <= year <= 9999
    return {
        "year": year if known else None,
        "year_precision": fields.get("year_precision", "") if known else "",
        "bought_on": _day(fields.get("bought")),
    }


def _day(text: object) -> date | None:
    try:
        return date.fromisoformat(str(text)) if text and len(str(text)) == 10 else None
    except ValueError:
        return None


def _prices(fields: Mapping[str, Any], own_currency: str) -> dict[str, Any]:
    prices: dict[str, Any] = {"paid_minor": None, "resale_minor": None, "price_currency": ""}
    minor, column = fields.get("price_minor"), price_column(fields)
    if not isinstance(minor, int) or column is None:
        return prices
    each = fields.get("price_per") == "each"
    prices[column] = minor * _count(fields)["quantity"] if each else minor
    currency = str(fields.get("currency", ""))[:3]
    prices["price_currency"] = "" if currency == own_currency else currency
    return prices


def price_column(fields: Mapping[str, Any]) -> str | None:
    """Return the column a price belongs in; None for one that is neither paid nor to be had (insured)."""
    kind = fields.get("price_kind")
    return PRICE_COLUMN.get(kind) if kind else "paid_minor"


def _measures(fields: Mapping[str, Any]) -> dict[str, Any]:
    kg = _decimal(fields.get("kg"), Decimal(2_000_000))
    low, high = _khz(fields.get("band_low_khz")), _khz(fields.get("band_high_khz"))
    known = low is not None and high is not None and low <= high
    return {
        "watts": _decimal(fields.get("watts"), Decimal(9_999_999), "0.1"),
        "rack_units": _decimal(fields.get("rack_units"), Decimal(999), "0.1"),
        "mass_g": None if kg is None else int(kg * 1000),
        "radio_low_khz": low if known else None,
        "radio_high_khz": high if known else None,
    }


def _khz(value: object) -> int | None:
    return value if isinstance(value, int) and 0 <= value <= LARGEST_KHZ else None


def _decimal(value: object, largest: Decimal, step: str = "") -> Decimal | None:
    """Return a measure as the column keeps it; None for nothing, nonsense or more than the column holds."""
    if value is None or isinstance(value, bool):
        return None
    try:
        number = Decimal(str(value))
        if not number.is_finite() or not 0 <= number <= largest:
            return None
        return number.quantize(Decimal(step)) if step else number
    except InvalidOperation:
        return None


def doubts(row: RowDraft, field_of_code: Mapping[str, str]) -> dict[str, list[str]]:
    """Return {column of the piece: codes of what is not sure}; 'row' for a doubt about the row as a whole.

    field_of_code: question code -> the field it is about, '' for the row.
    """
    found: dict[str, list[str]] = {}
    for flag in row.flags:
        code = flag.partition("@")[0]
        about = code if code in PRICE_FIELDS else field_of_code.get(code, code)
        column = (price_column(row.fields) or "note") if about in PRICE_FIELDS else COLUMN_OF.get(about, about)
        known = column in _COLUMNS
        found.setdefault(column if known else "row", []).append(flag)
    return {column: sorted(set(codes)) for column, codes in sorted(found.items())}


_COLUMNS = frozenset((
    "what", "maker", "model", "serial", "quantity", "condition", "place", "year", "paid_minor", "resale_minor",
    "mass_g", "watts", "rack_units", "radio_low_khz", "bond_words", "never_sell", "note",
))  # fmt: skip


def count_of_doubts(rows: Iterable[Mapping[str, Any]]) -> int:
    """Return how many values are in doubt over the doubts of many pieces."""
    return sum(len(each) for each in rows)
