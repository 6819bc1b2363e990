"""Amounts, days, times and measures as a reader of that country expects them. Pure; the pack says how."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time
from decimal import ROUND_HALF_UP, Decimal

from babel.dates import format_date, format_time
from babel.lists import format_list
from babel.numbers import format_currency, format_decimal, format_percent, get_currency_precision

from people.compute.packs import CountryPack
from people.compute.sentences import Grams, Millimeters

GRAMS_A_POUND = Decimal("453.59237")  # exact: international yard and pound agreement, 1959
MM_AN_INCH = Decimal("25.4")  # exact: the same agreement
FEET_FROM_MM = 1219  # under four feet a person says inches: a 28 in door, a 41 in cabinet
NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
DATE_IN_WORDS = re.compile(r"(?<![\d-])(\d{4})-(\d{2})-(\d{2})(?![\d-])")  # ISO 8601, as sheets and notes hold it
DAY_PATTERNS = {  # style: (month first, day first); patterns of the Unicode locale data
    "day": ("MMMM d", "d MMMM"),
    "short": ("MMM d", "d MMM"),
    "weekday": ("EEE MMM d", "EEE d MMM"),
    "long": ("MMMM d, yyyy", "d MMMM yyyy"),
    "full": ("EEEE, MMMM d, yyyy", "EEEE d MMMM yyyy"),
    "month": ("MMMM yyyy", "MMMM yyyy"),
    "short month": ("MMM yyyy", "MMM yyyy"),
}


def money(minor: int, pack: CountryPack, *, whole: bool = False, currency: str = "") -> str:
    """Return an amount of minor units as money: $1,250.50.

    whole: leave the cents out where there are none ($1,250), never round them away.
    currency: three letters of foreign money; the pack's own when ''.
    """
    exponent = get_currency_precision(currency) if currency else pack.exponent
    amount = Decimal(minor).scaleb(-exponent)
    shown = 0 if whole and amount == amount.to_integral_value() else exponent
    pattern = _money_pattern(shown, pack)
    return format_currency(amount, currency or pack.currency, pattern, locale=pack.locale, currency_digits=False)


def _money_pattern(digits: int, pack: CountryPack) -> str:
    figures = "#,##0" + ("." + "0" * digits if digits else "")
    return f"{figures}\xa0\xa4" if pack.locale.startswith("de") else f"\xa4{figures}"


def money_range(low_minor: int, high_minor: int, pack: CountryPack, *, whole: bool = True) -> str:
    """Return "$1,100 to $1,400", or one amount when both are the same."""
    low, high = (money(minor, pack, whole=whole) for minor in (low_minor, high_minor))
    return low if low == high else f"{low}–{high}"


def number(value: Decimal | float, pack: CountryPack, *, digits: int | None = None) -> str:
    """Return a figure with the country's separators: 1,250 or 1.250. digits: after the point; None keeps them all."""
    if digits is not None:
        value = _half_up(value, digits)
    return format_decimal(value, locale=pack.locale, decimal_quantization=False)


def percent(share: Decimal | float, pack: CountryPack, *, digits: int = 0) -> str:
    """Return a share of one as percent: 0.0725 with two digits is 7.25%."""
    pattern = "#,##0" + ("." + "0" * digits if digits else "") + "%"
    return format_percent(_half_up(share, digits + 2), format=pattern, locale=pack.locale)


def _half_up(value: Decimal | float, digits: int) -> Decimal:
    return Decimal(str(value)).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)


def day(when: date, pack: CountryPack, style: str = "day") -> str:
    """Return a date: 'day' November 13 · 'short' Nov 13 · 'weekday' Fri Nov 13 · 'long' November 13, 2026 ·
    'full' Friday, November 13, 2026 · 'numeric' 11/13/2026 · 'month' November 2026.

    A country that puts the day first reads 13 November, Fri 13 Nov and so on. Raises KeyError for another style.
    """
    if style == "numeric":
        return format_date(when, pack.numeric_date, locale=pack.locale)
    return format_date(when, DAY_PATTERNS[style][pack.day_first], locale=pack.text_locale)


def told(words: str, pack: CountryPack) -> str:
    """Return the words with each date written 2026-10-06 in them as the country says it, in the long style.

    What only looks like a date (2026-13-40, part numbers) stays as it was typed.
    """
    return DATE_IN_WORDS.sub(lambda found: _told_date(found, pack), words)


def _told_date(found: re.Match[str], pack: CountryPack) -> str:
    try:
        return day(date(*map(int, found.groups())), pack, "long")
    except ValueError:
        return found[0]


def day_range(first: date, last: date, pack: CountryPack, *, year: bool = False) -> str:
    """Return a span of days: November 13–16, 13–16 November, November 28 – December 6.

    The year is added when asked, and always where the two ends lie in different years.
    """
    if first == last:
        return day(first, pack, "long" if year else "day")
    if first.year != last.year:
        return f"{day(first, pack, 'long')} – {day(last, pack, 'long')}"
    suffix = ("" if pack.day_first else ",") + f" {last.year}" if year else ""
    return _one_year(first, last, pack) + suffix


def _one_year(first: date, last: date, pack: CountryPack) -> str:
    if first.month != last.month:
        return f"{day(first, pack)} – {day(last, pack)}"
    if pack.day_first:
        return f"{first.day}–{day(last, pack)}"
    return f"{day(first, pack)}–{last.day}"


def clock(when: time | datetime, pack: CountryPack) -> str:
    """Return a time of day: 9:30 AM or 09:30."""
    pattern = "h:mm a" if pack.clock == 12 else "HH:mm"
    locale = "en_US" if pack.clock == 12 else pack.text_locale  # AM and PM in capitals, as English (US) writes them
    return format_time(when.time() if isinstance(when, datetime) else when, pattern, locale=locale)


def mass(grams: Decimal | float, pack: CountryPack) -> str:
    """Return a mass: 40 lb, 0.7 lb · 18.1 kg, 0.3 kg.

    One figure after the point under ten pounds or a hundred kilograms, whole ones above.
    """
    if pack.mass_unit == "pounds":
        pounds = Decimal(str(grams)) / GRAMS_A_POUND
        return f"{_trimmed(pounds, 1 if pounds < 10 else 0, pack)} lb"
    kilograms = Decimal(str(grams)) / 1000
    return f"{_trimmed(kilograms, 1 if kilograms < 100 else 0, pack)} kg"


def length(mm: Decimal | float, pack: CountryPack) -> str:
    """Return a length: 13', 9'2", 41 in · 4.1 m, 620 mm.

    Feet from four feet, inches under; meters (to the centimeter) from one meter, millimeters under.
    """
    if pack.feet:
        return _feet(mm, pack) if mm >= FEET_FROM_MM else f"{_trimmed(Decimal(str(mm)) / MM_AN_INCH, 1, pack)} in"
    meters = Decimal(str(mm)) / 1000
    return f"{_trimmed(meters, 2, pack)} m" if meters >= 1 else f"{_trimmed(mm, 0, pack)} mm"


def _feet(mm: Decimal | float, pack: CountryPack) -> str:
    feet, inches = divmod(int(_half_up(Decimal(str(mm)) / MM_AN_INCH, 0)), 12)
    return f"{number(feet, pack)}'" + (f'{inches}"' if inches else "")


def area(square_m: Decimal | float, pack: CountryPack) -> str:
    """Return an area: 2,024 sq ft or 188 m²."""
    if pack.feet:
        side = MM_AN_INCH * 12 / 1000
        return f"{number(Decimal(str(square_m)) / (side * side), pack, digits=0)} sq ft"
    return f"{_trimmed(square_m, 1, pack)} m²"


def _trimmed(value: Decimal | float, digits: int, pack: CountryPack) -> str:
    """Return the figure rounded half up, without zeros at its end."""
    rounded = _half_up(value, digits)
    return number(rounded.to_integral_value() if rounded == rounded.to_integral_value() else rounded.normalize(), pack)


def join_words(words: Sequence[str], pack: CountryPack) -> str:
    """Return "a, b, and c" or "a, b and c", as the country writes lists."""
    return format_list([str(word) for word in words], locale=pack.text_locale) if words else ""


def counted(n: int, singular: str, plural: str, pack: CountryPack, *, at_start: bool = False) -> str:
    """Return "3 steps", "1 step", "1,250 pieces"; at the start of a sentence "Three steps", "No steps" up to ten.

    The caller brings both words translated. A language other than English keeps figures.
    """
    word = singular if n == 1 else plural
    if at_start and pack.language.startswith("en") and 0 <= n <= 10:
        return f"{NUMBER_WORDS[n].capitalize()} {word}"
    return f"{number(n, pack)} {word}"


def shown(value: object, pack: CountryPack) -> str:
    """Return a plain value of a Sentence in the country's way: long dates, its separators, words as they are."""
    if isinstance(value, date):
        return day(value, pack, "long")
    if isinstance(value, (int, float, Decimal)) and not isinstance(value, bool):
        return number(value, pack)
    if isinstance(value, Grams):
        return mass(value.value, pack)
    if isinstance(value, Millimeters):
        return length(value.value, pack)
    if isinstance(value, (tuple, list)):
        return join_words([shown(part, pack) for part in value], pack)
    return str(value)
