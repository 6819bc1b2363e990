"""When a thing was bought: years, months and days as people type them, with how exact they are."""

from __future__ import annotations

import datetime
import re
from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from inventory.compute.intake.grid import Value, as_text, is_number

NAMES = (
    "jan january",
    "feb february",
    "mar march",
    "apr april",
    "may",
    "jun june",
    "jul july",
    "aug august",
    "sep sept september",
    "oct october",
    "nov november",
    "dec december",
)
MONTH = {name: number + 1 for number, names in enumerate(NAMES) for name in names.split()}
MONTHS = "|".join(sorted(MONTH, key=len, reverse=True))
YEAR = r"(?:19|20)\d{2}"
SEASONS = (
    r"spring|summer|fall|autumn|winter|easter|christmas|xmas|advent|lent|pentecost|whitsun|harvest|thanksgiving|vbs|"
    r"camp|early|mid|late|"
    r"beginning|end|start|first half|second half|q[1-4]|holy week|palm sunday"
)
ABOUT = re.compile(
    rf"^(?:(?:c(?:irca|a)?\.?|~|≈|about|abt\.?|approx\.?|around|roughly|maybe|prob(?:ably)?|guess|est\.?|"
    rf"{SEASONS})[\s-]*(?:in |of )?)+'?(?P<year>{YEAR}|\d{{2}})\b\s*\??$"
    rf"|^(?P<ish>{YEAR})\s*(?:-?ish|\?+|or so|approx\.?|\(\?\)|\+/-.*|maybe|or thereabouts)$",
    re.IGNORECASE,
)
BARE = re.compile(rf"^'?(?P<year>{YEAR})\.?0?$")
SHORT = re.compile(r"^['’](?P<year>\d{2})$")
ISO = re.compile(rf"^(?P<y>{YEAR})[-./](?P<m>\d{{1,2}})(?:[-./](?P<d>\d{{1,2}}))?(?:[ T]00:00(?::00)?)?$")
NUMBERS = re.compile(r"^(?P<a>\d{1,2})\s?[-/.]\s?(?P<b>\d{1,2})\s?[-/.]\s?(?P<y>\d{4}|'?\d{2})$")
MONTH_YEAR = re.compile(rf"^(?P<m>\d{{1,2}})[-/.](?P<y>{YEAR})$")
NAMED = re.compile(rf"^(?P<m>{MONTHS})\.?[\s,/-]*(?:of )?(?P<y>{YEAR}|['’]?\d{{2}})$", re.IGNORECASE)
NAMED_DAY = re.compile(
    rf"^(?P<d>\d{{1,2}})(?:st|nd|rd|th)?[\s/-]+(?P<m>{MONTHS})\.?[\s,/-]+(?P<y>{YEAR}|['’]?\d{{2}})$", re.IGNORECASE
)
NAMED_US = re.compile(rf"^(?P<m>{MONTHS})\.?\s+(?P<d>\d{{1,2}})(?:st|nd|rd|th)?,?\s+(?P<y>{YEAR})$", re.IGNORECASE)
FILLER = re.compile(
    r"\b(?:bought|purchased|acquired|new|used|since|in|from|got|gift|donated|given|installed|inherited|"
    r"refurb(?:ished)?|2nd hand|second ?hand|yr|year|the)\b|[().,:]",
    re.IGNORECASE,
)
NOTHING = re.compile(
    r"^(?:[-–—.?]+|n\s*/?\s*a|none|unknown|unk\.?|tbd|no idea|old|very old|ancient|forever|always had.*|\?+)$",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class When:
    """A date as far as the cell goes."""

    year: int | None = None
    precision: str = ""  # day, month, year or about
    bought: str = ""  # ISO text as far as the cell goes
    doubt: str = ""  # DATE_ORDER, DATE_SERIAL, DATE_BAD or ''
    remark: str = ""


def column_order(texts: Iterable[str]) -> str:
    """Return how the dates of a column are ordered: day, month, mixed when both are proved, empty when neither is."""
    day = month = False
    for text in texts:
        match = NUMBERS.match(text.strip())
        if match:
            day = day or int(match["a"]) > 12 >= int(match["b"])
            month = month or int(match["b"]) > 12 >= int(match["a"])
    return "mixed" if day and month else "day" if day else "month" if month else ""


def read_when(
    value: Value,
    today: datetime.date,
    *,
    order: str = "",
    day_first: bool = False,
    from_1904: bool = False,
    parts: str = "",
) -> When:
    """Return when.

    order: 'day', 'month', 'mixed' or '' as column_order found; day_first: the guess while nothing is proved.
    parts: which of d, m, y the cell's number format shows.
    """
    if isinstance(value, datetime.date | datetime.datetime):
        return _shown(value, parts, today)
    if is_number(value):
        return _from_number(float(value), today, from_1904)
    text = as_text(value).strip()
    return _from_text(text, today, order, day_first) if text else When()


def _shown(value: datetime.date, parts: str, today: datetime.date) -> When:
    if parts and "d" not in parts:
        iso = f"{value.year:04d}-{value.month:02d}" if "m" in parts else f"{value.year:04d}"
        return _checked(When(value.year, "month" if "m" in parts else "year", iso), today)
    if parts and "y" not in parts:  # shown as 10-Nov: the program put a year of its own there
        return When(doubt="DATE_BAD", remark=f"date as written: {value.day}-{value:%b}")
    return _checked(When(value.year, "day", f"{value.year:04d}-{value.month:02d}-{value.day:02d}"), today)


def _checked(when: When, today: datetime.date) -> When:
    """Doubt what lies ahead of today or before electric gear was imaginable."""
    late = when.bought[:10] > today.isoformat()[: len(when.bought)] if when.bought else (when.year or 0) > today.year
    if when.year is not None and (late or when.year < 1700):
        return When(when.year, when.precision, when.bought, "DATE_BAD", when.remark)
    return when


def _from_number(number: float, today: datetime.date, from_1904: bool) -> When:
    if number.is_integer() and 1700 <= number <= today.year + 50:
        return _checked(When(int(number), "year", str(int(number))), today)
    if 14_000 <= number <= 80_000:
        start = datetime.date(1904, 1, 1) if from_1904 else datetime.date(1899, 12, 30)
        day = start + datetime.timedelta(days=int(number))
        when = _checked(When(day.year, "day", day.isoformat()), today)
        return When(when.year, "day", when.bought, when.doubt or "DATE_SERIAL")
    if number.is_integer() and 0 <= number <= 99:
        year = _century(int(number), today)
        return When(year, "year", str(year), "DATE_BAD", f"date as written: {int(number)}")
    return When(doubt="DATE_BAD", remark=f"date as written: {as_text(number)}")


def _century(short: int, today: datetime.date) -> int:
    return 2000 + short if short <= today.year % 100 else 1900 + short


def _full_year(text: str, today: datetime.date) -> int:
    digits = text.strip("'’")
    return int(digits) if len(digits) == 4 else _century(int(digits), today)


@lru_cache(maxsize=8192)
def _from_text(text: str, today: datetime.date, order: str, day_first: bool) -> When:
    if NOTHING.match(text):
        return When(remark=f"date: {text}" if len(text) > 3 else "")
    if match := BARE.match(text):
        return _checked(When(int(match["year"]), "year", match["year"]), today)
    if match := ABOUT.match(text):
        year = _full_year(match["year"] or match["ish"], today)
        return _checked(When(year, "about", str(year), remark=f"date: {text}"), today)
    if match := SHORT.match(text):
        year = _century(int(match["year"]), today)
        return When(year, "year", str(year))
    if re.fullmatch(r"\d+(?:\.0)?", text):
        return _from_number(float(text), today, False)
    if match := NUMBERS.match(text):
        return _checked(_ordered(match, text, today, order, day_first), today)
    return _named(text, today) or _with_words(text, today)


def _named(text: str, today: datetime.date) -> When | None:
    if match := ISO.match(text):
        return _checked(_day(int(match["y"]), int(match["m"]), int(match["d"] or 0), text), today)
    if match := MONTH_YEAR.match(text):
        return _checked(_day(int(match["y"]), int(match["m"]), 0, text), today)
    if match := NAMED_DAY.match(text) or NAMED_US.match(text):
        return _checked(_day(_full_year(match["y"], today), MONTH[match["m"].lower()], int(match["d"]), text), today)
    if match := NAMED.match(text):
        return _checked(_day(_full_year(match["y"], today), MONTH[match["m"].lower()], 0, text), today)
    return None


def _day(year: int, month: int, day: int, text: str) -> When:
    """Return a day or a month; a date that does not exist keeps its year and a doubt."""
    if not 1 <= month <= 12 or not 0 <= day <= monthrange(year, month)[1]:
        return When(year, "year", str(year), "DATE_BAD", f"date as written: {text}")
    if not day:
        return When(year, "month", f"{year:04d}-{month:02d}")
    return When(year, "day", f"{year:04d}-{month:02d}-{day:02d}")


def _ordered(match: re.Match[str], text: str, today: datetime.date, order: str, day_first: bool) -> When:
    first, second, year = int(match["a"]), int(match["b"]), _full_year(match["y"], today)
    if first > 12 or second > 12 or first == second:
        day, month = (first, second) if first > 12 else (second, first)
        return _day(year, month, day, text)
    proved = order in ("day", "month")
    day, month = (first, second) if (order == "day" or (not proved and day_first)) else (second, first)
    when = _day(year, month, day, text)
    return when if proved else When(when.year, when.precision, when.bought, when.doubt or "DATE_ORDER", when.remark)


def _with_words(text: str, today: datetime.date) -> When:
    """Return a date with words around it when only harmless words stand there; else a doubt, the text kept."""
    bare = " ".join(FILLER.sub(" ", text).split())
    if bare != text and bare:
        inner = _from_text(bare, today, "", False)
        if inner.year is not None and not inner.doubt:
            return When(inner.year, inner.precision, inner.bought, "", f"date: {text}")
    span = re.fullmatch(rf"({YEAR})\s*[-/–]\s*(?:{YEAR}|\d{{2}})", text)
    if span:
        return When(int(span[1]), "about", span[1], "DATE_BAD", f"date: {text}")
    return When(doubt="DATE_BAD", remark=f"date: {text}")
