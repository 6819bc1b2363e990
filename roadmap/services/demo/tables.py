"""The tables of the demo, with every date of the story moved by the same number of days."""

import csv
import re
from collections.abc import Callable
from datetime import date, time, timedelta
from pathlib import Path

from django.conf import settings

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"
SHEETS = FOLDER / "sheets"
STORY_DAY = date(2026, 11, 3)
STORY = (date(2026, 6, 1), date(2027, 8, 31))  # a date outside was true before the story began and stays
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
ISO = re.compile(r"\b20\d\d-\d\d-\d\d\b")
NAMED = rf"(?P<month>{'|'.join(f'{name}|{name[:3]}' for name in MONTHS)})"
DAY_MONTH = re.compile(rf"\b(?P<day>\d{{1,2}}) {NAMED}\b(?: (?P<year>\d{{4}}))?")
MONTH_DAY = re.compile(rf"\b{NAMED} (?P<day>\d{{1,2}})\b(?!:)(?:, (?P<year>\d{{4}}))?")
FIRST_STORY_MONTH = 7  # a day without a year is one from July 2026 to June 2027


def moved(text: str, days: int) -> str:
    """Return the text with the story's dates moved, those told in words ("22 Nov", "Aug 31") too."""
    if not days:
        return text
    text = ISO.sub(lambda found: _moved_iso(found[0], days), text)
    text = DAY_MONTH.sub(lambda found: _moved_words(found, days, lambda d, m, y: f"{d} {m}{y and ' '}{y}"), text)
    return MONTH_DAY.sub(lambda found: _moved_words(found, days, lambda d, m, y: f"{m} {d}{y and ', '}{y}"), text)


def _moved_iso(text: str, days: int) -> str:
    day = date.fromisoformat(text)
    return (day + timedelta(days=days)).isoformat() if STORY[0] <= day <= STORY[1] else text


def _moved_words(found: re.Match[str], days: int, written: Callable[[int, str, str], str]) -> str:
    month = next(number for number, name in enumerate(MONTHS, 1) if name.startswith(found["month"]))
    year = int(found["year"] or STORY[0].year + (month < FIRST_STORY_MONTH))
    try:
        day = date(year, month, int(found["day"]))
    except ValueError:
        return found[0]
    if not STORY[0] <= day <= STORY[1]:
        return found[0]
    day += timedelta(days=days)
    name = MONTHS[day.month - 1]
    return written(day.day, name if len(found["month"]) > 3 else name[:3], str(day.year) if found["year"] else "")


class Tables:
    """The tables of one church; cells come as text, dates moved."""

    def __init__(self, church: str, days: int = 0) -> None:
        self.folder = FOLDER / church
        self.days = days

    def rows(self, name: str) -> list[dict[str, str]]:
        """Return the rows of a table, column -> cell."""
        with (self.folder / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            return [{column: moved(cell, self.days) for column, cell in row.items()} for row in csv.DictReader(file)]

    def row(self, name: str) -> dict[str, str]:
        """Return the only row of a table."""
        [only] = self.rows(name)
        return only


def the_day(cell: str) -> date:
    return date.fromisoformat(cell)


def day(cell: str) -> date | None:
    return the_day(cell) if cell else None


def clock(cell: str) -> time | None:
    return time.fromisoformat(cell) if cell else None


def whole(cell: str) -> int | None:
    return int(cell) if cell else None


def yes(cell: str) -> bool:
    return cell == "yes"


def points(cell: str) -> list[list[float]] | None:
    """Return floor points in meters from "(0,0) (6.4,0)"."""
    found = re.findall(r"\(([-\d.]+),([-\d.]+)\)", cell)
    return [[float(x), float(y)] for x, y in found] or None


def joined(*parts: str) -> str:
    """Return the parts that are there, divided by semicolons."""
    return "; ".join(filter(None, parts))
