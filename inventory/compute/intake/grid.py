"""A sheet as a grid of values with the looks that may mean something; what both readers hand on."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field
from typing import Any

Value = Any  # str, int, float, bool, datetime.date, datetime.datetime, datetime.time or None

MAX_ROWS = 30_000
MAX_COLUMNS = 512
MAX_BYTES = 25_000_000
MAX_CELL = 32_767  # the most a spreadsheet cell can hold

CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufeff\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069]")
SPACES = re.compile(r"[^\S\n]+")


@dataclass(frozen=True)
class Look:
    """What a cell shows beside its value."""

    fill: str = ""  # color as RRGGBB, '' for none
    font: str = ""  # color as RRGGBB, '' for black or automatic
    strike: bool = False
    currency: str = ""  # ISO code from the number format
    date_parts: str = ""  # 'd', 'm', 'y' as far as the number format shows them
    error: str = ""  # '#REF!' and the like
    comment: str = ""
    formula: bool = False
    struck: str = ""  # the part of the text that is struck through


PLAIN = Look()


@dataclass
class Grid:
    """One sheet: rows[0] is sheet row 1."""

    name: str
    rows: list[list[Value]]
    looks: dict[tuple[int, int], Look] = field(default_factory=dict)  # (row, column), both 0-based
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)  # top, left, bottom, right; 0-based
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    hidden: bool = False
    filtered: bool = False
    from_1904: bool = False
    remarks: list[str] = field(default_factory=list)  # what reading had to repair

    @property
    def width(self) -> int:
        """The widest row's number of cells."""
        return max(map(len, self.rows), default=0)

    def look(self, row: int, column: int) -> Look:
        """The cell's look; plain when nothing is known."""
        return self.looks.get((row, column), PLAIN)


def letter(index: int) -> str:
    """Return the column letter of a 0-based index: 0 is A, 26 is AA."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(65 + rest) + text
    return text


def cleaned(text: str) -> str:
    """Return the text without control marks, its blanks narrowed to single spaces, line breaks kept."""
    if text.isalnum():
        return text
    text = CONTROL.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return "\n".join(SPACES.sub(" ", line).strip() for line in text.split("\n")).strip("\n")


def as_text(value: Value) -> str:
    """Return the value as a person would write it: whole numbers without a point, dates as ISO."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime.datetime):
        return value.date().isoformat() if value.time() == datetime.time() else value.isoformat(" ", "minutes")
    return str(value)


def is_number(value: Value) -> bool:
    """True for a number that is not a yes or no."""
    return isinstance(value, int | float) and not isinstance(value, bool)
