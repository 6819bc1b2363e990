"""What reading a gear list gives back: columns, row drafts, questions, notes; frozen, with a JSON round trip.

Nothing here touches the store: a draft is a proposal with reasons, and a person decides.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from typing import Any

NEW = "new to us"
CHANGES = "changes one we have"
ASK = "needs a word from you"
LEFT_OUT = "left out"
VERDICTS = (NEW, CHANGES, ASK, LEFT_OUT)

# Every name that may stand in RowDraft.fields, with its unit.
FIELDS = {
    "what": "text as written, without facts that have a field of their own",
    "maker": "text",
    "model": "text",
    "serial": "text as written; several divided by ';'",
    "serial_key": "comparable form: capitals, no spaces or strokes, O as 0, I as 1; several divided by ';'",
    "quantity": "whole number of pieces",
    "condition": "one of CONDITIONS, or 'mixed'",
    "condition_split": "'tested good x4; faulty x2'",
    "year": "whole number",
    "year_precision": "day, month, year or about",
    "bought": "ISO date as far as the cell goes: 2019, 2019-03 or 2019-03-14",
    "price_minor": "whole number of minor units",
    "currency": "ISO 4217 code",
    "price_kind": "worth now, paid, new, offered, insured",
    "price_per": "each or all",
    "price_tax": "in, out or empty",
    "place": "text",
    "kg": "kilograms",
    "length_mm": "millimeters",
    "watts": "watts",
    "rack_units": "whole number",
    "band_low_khz": "kilohertz",
    "band_high_khz": "kilohertz",
    "owner": "text",
    "do_not_sell": "true when the row says it is bound",
    "tag": "the list's own number for the piece",
    "note": "text; sentences divided by ' | '",
}

# What a column may be taken for (Column.field and the values of a mapping), with plain words for the page.
COLUMN_FIELDS = {
    "what": "What it is",
    "maker": "Maker",
    "model": "Model",
    "maker_model": "Maker and model together",
    "serial": "Serial number",
    "quantity": "How many",
    "condition": "How well it works",
    "bought": "When it was bought",
    "price": "Price, one or all",
    "price_each": "Price for each",
    "price_total": "Price for the whole row",
    "price_paid": "What was paid",
    "price_new": "What a new one costs",
    "price_insured": "What it is insured for",
    "place": "Room or place",
    "kg": "Weight",
    "length_mm": "Length",
    "watts": "Watts",
    "rack_units": "Rack units",
    "band": "Radio range",
    "size": "Size of any kind",
    "owner": "Owner",
    "tag": "Number or tag of the list",
    "barcode": "Bar code",
    "category": "Category",
    "person": "A person's name",
    "personal": "Address, telephone or the like",
    "note": "Note",
}

CONDITIONS = ("tested good", "works, marked", "faulty", "dead", "unsafe", "not yet tested", "not found")


class Unreadable(ValueError):
    """A file that cannot be taken in. `sentence` says what is wrong and what to do; `code` is for tests."""

    def __init__(self, sentence: str, code: str):
        super().__init__(sentence)
        self.sentence = sentence
        self.code = code

    def __reduce__(self) -> tuple[type[Unreadable], tuple[str, str]]:
        return (Unreadable, (self.sentence, self.code))


@dataclass(frozen=True)
class Column:
    """One column of one sheet: what stands above it, what it is taken for, and five cells as written."""

    sheet: str
    index: int  # 0-based
    letter: str
    heading: str
    field: str | None  # a key of COLUMN_FIELDS; None: kept with the row as a note, or nothing of use
    confidence: float  # 0 to 1
    samples: tuple[str, ...] = ()
    personal: bool = False  # addresses, telephone numbers: dropped unless asked for
    hidden: bool = False


@dataclass(frozen=True)
class RowDraft:
    """What one row (or one part of a row that holds several things) would become."""

    sheet: str
    row: int  # 1-based row of the sheet; in a CSV the record, empty records counted
    part: int  # 1; 2, 3 ... for further things in the same row
    verdict: str  # one of VERDICTS
    reason: str  # one sentence
    fields: dict[str, Any] = field(default_factory=dict)  # keys of FIELDS, known values only
    flags: tuple[str, ...] = ()  # fields or question codes a person must look at
    raw: dict[str, str] = field(default_factory=dict)  # heading -> text as written
    notes: tuple[str, ...] = ()  # remarks of the rows below, colors, strikes
    fingerprint: str = ""  # equal when the row says the same as before

    @property
    def key(self) -> str:
        """The row's name inside its file: 'sheet!row' or 'sheet!row.part'."""
        return f"{self.sheet}!{self.row}" + (f".{self.part}" if self.part > 1 else "")


@dataclass(frozen=True)
class Question:
    """Something a person must say, asked once for a column or a pattern."""

    key: str  # stable name: code, sheet and what it is about; the key of `answers`
    code: str
    file: str
    sheet: str
    text: str  # one plain sentence
    choices: tuple[tuple[str, str], ...]  # (value, label); empty: a free answer
    guess: str  # the value shown as a guess, '' when there is none
    rows: tuple[int, ...]  # rows of the sheet it touches
    field: str  # a key of FIELDS, or '' when it is about the row or the file
    importance: int = 0  # higher is asked earlier

    @property
    def count(self) -> int:
        """How many rows hang on the answer."""
        return len(self.rows)


@dataclass(frozen=True)
class Sheet:
    """One sheet of the file as it was read."""

    name: str
    rows: int  # rows that hold anything
    header_row: int  # 1-based; 0 when no headings were found
    hidden: bool = False
    read: bool = True  # False: set aside until somebody says otherwise
    title: str = ""


@dataclass(frozen=True)
class Draft:
    """All that one file says, with nothing stored."""

    file: str
    sha256: str
    sheets: tuple[Sheet, ...] = ()
    columns: tuple[Column, ...] = ()
    rows: tuple[RowDraft, ...] = ()
    questions: tuple[Question, ...] = ()  # most important first
    notes: tuple[str, ...] = ()  # about the whole list: title, remarks below the table
    totals: dict[str, int] = field(default_factory=dict)  # verdict -> rows, 'pieces' -> units, 'rows' -> all rows

    def to_json(self) -> str:
        """Return the draft as JSON text; `Draft.from_json` reads it back unchanged."""
        return json.dumps(asdict(self), ensure_ascii=False, separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> Draft:
        """Return the draft that `to_json` wrote. Keys of later versions are ignored."""
        data = json.loads(text)
        return cls(
            file=data["file"],
            sha256=data["sha256"],
            sheets=tuple(_made(Sheet, each) for each in data["sheets"]),
            columns=tuple(_made(Column, each) for each in data["columns"]),
            rows=tuple(_made(RowDraft, each) for each in data["rows"]),
            questions=tuple(_made(Question, each) for each in data["questions"]),
            notes=tuple(data["notes"]),
            totals=dict(data["totals"]),
        )


def _made(kind: type[Any], data: Mapping[str, Any]) -> Any:
    """Return a `kind` from a JSON object, lists made tuples again."""
    known = {each.name for each in fields(kind)}
    return kind(**{name: _tupled(value) for name, value in data.items() if name in known})


def _tupled(value: Any) -> Any:
    return tuple(_tupled(each) for each in value) if isinstance(value, list) else value
