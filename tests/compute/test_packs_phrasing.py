"""Figures as each country's reader expects them. Source where not named: Unicode CLDR and common practice."""

from datetime import date, datetime, time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from people.compute import phrasing
from people.compute.sentences import sentence
from people.packs import pack

US, GB, DE, IE = pack("US"), pack("GB"), pack("DE"), pack("IE")
NOV_3 = date(2026, 11, 3)


def test_money_keeps_its_cents_unless_asked_and_never_rounds_them_away():
    assert phrasing.money(125000, US) == "$1,250.00"
    assert phrasing.money(125000, US, whole=True) == "$1,250"
    assert phrasing.money(125050, US, whole=True) == "$1,250.50"
    assert phrasing.money(-5, US) == "-$0.05"
    assert phrasing.money(125050, GB) == "£1,250.50"
    assert phrasing.money(125050, IE) == "€1,250.50"
    assert phrasing.money(125050, DE) == "1.250,50\xa0€"


def test_foreign_money_uses_its_own_exponent():
    """Source: ISO 4217: the yen has no minor unit, the Bahraini dinar three digits."""
    assert phrasing.money(1250, US, currency="JPY") == "¥1,250"
    assert phrasing.money(1250, US, currency="BHD").endswith("1.250")
    assert phrasing.money(1250, US, currency="GBP") == "£12.50"


@given(st.integers(-(10**12), 10**12))
def test_no_cent_is_lost_in_writing(minor):
    digits = "".join(c for c in phrasing.money(minor, US) if c.isdigit())
    assert int(digits) == abs(minor)


def test_a_range_of_money_is_one_amount_when_both_ends_agree():
    assert phrasing.money_range(110000, 140050, US) == "$1,100–$1,400.50"
    assert phrasing.money_range(110000, 110000, GB) == "£1,100"


@pytest.mark.parametrize(
    ("style", "us", "gb"),
    [
        ("day", "November 3", "3 November"),
        ("short", "Nov 3", "3 Nov"),
        ("weekday", "Tue Nov 3", "Tue 3 Nov"),
        ("long", "November 3, 2026", "3 November 2026"),
        ("full", "Tuesday, November 3, 2026", "Tuesday 3 November 2026"),
        ("numeric", "11/03/2026", "03/11/2026"),
        ("month", "November 2026", "November 2026"),
    ],
)
def test_days(style, us, gb):
    assert phrasing.day(NOV_3, US, style) == us
    assert phrasing.day(NOV_3, GB, style) == gb


def test_german_figures_with_english_months_until_a_german_catalogue_is_written():
    assert phrasing.day(NOV_3, DE, "numeric") == "03.11.2026"
    assert phrasing.day(date(2026, 10, 3), DE) == "3 October"


def test_an_unknown_style_is_an_error():
    with pytest.raises(KeyError):
        phrasing.day(NOV_3, US, "fancy")


@pytest.mark.parametrize(
    ("first", "last", "year", "us", "gb"),
    [
        (date(2026, 11, 13), date(2026, 11, 13), False, "November 13", "13 November"),
        (date(2026, 11, 13), date(2026, 11, 13), True, "November 13, 2026", "13 November 2026"),
        (date(2026, 11, 13), date(2026, 11, 16), False, "November 13–16", "13–16 November"),
        (date(2026, 11, 13), date(2026, 11, 16), True, "November 13–16, 2026", "13–16 November 2026"),
        (date(2026, 11, 28), date(2026, 12, 6), False, "November 28 – December 6", "28 November – 6 December"),
        (
            date(2026, 11, 28),
            date(2027, 1, 6),
            False,
            "November 28, 2026 – January 6, 2027",
            "28 November 2026 – 6 January 2027",
        ),
    ],
)
def test_spans_of_days(first, last, year, us, gb):
    assert phrasing.day_range(first, last, US, year=year) == us
    assert phrasing.day_range(first, last, GB, year=year) == gb


def test_the_clock():
    assert phrasing.clock(time(9, 30), US) == "9:30 AM"
    assert phrasing.clock(datetime(2026, 11, 3, 0, 5), US) == "12:05 AM"
    assert phrasing.clock(time(9, 30), GB) == "09:30"


@pytest.mark.parametrize(
    ("grams", "us", "gb"),
    [(18144, "40 lb", "18.1 kg"), (318, "0.7 lb", "0.3 kg"), (1251900, "2,760 lb", "1,252 kg"), (0, "0 lb", "0 kg")],
)
def test_masses(grams, us, gb):
    """Source: 1 lb = 453.59237 g, international yard and pound agreement, 1959; pieces of the demo tables."""
    assert (phrasing.mass(grams, US), phrasing.mass(grams, GB)) == (us, gb)


@pytest.mark.parametrize(
    ("mm", "us", "gb"),
    [
        (3962.4, "13'", "3.96 m"),  # the ceiling of the Lanes
        (2794, "9'2\"", "2.79 m"),  # its soffit
        (1041.4, "41 in", "1.04 m"),
        (355.6, "14 in", "356 mm"),
        (4100, "13'5\"", "4.1 m"),
        (1219.2, "4'", "1.22 m"),
        (1826, "6'", "1.83 m"),  # 71.9 in: carried over into feet, not five feet twelve
    ],
)
def test_lengths(mm, us, gb):
    """Source: 1 in = 25.4 mm; sizes of the demo churches."""
    assert (phrasing.length(mm, US), phrasing.length(mm, GB)) == (us, gb)


@given(st.integers(1219, 100_000))
def test_feet_and_inches_are_within_half_an_inch(mm):
    feet, _, inches = phrasing.length(mm, US).replace(",", "").partition("'")
    assert abs(int(feet) * 304.8 + int(inches.rstrip('"') or 0) * 25.4 - mm) <= 12.7001


def test_areas_shares_and_figures():
    assert phrasing.area(188, US) == "2,024 sq ft"
    assert phrasing.area(Decimal("188.04"), GB) == "188 m²"
    assert phrasing.percent(Decimal("0.0725"), US, digits=2) == "7.25%"
    assert phrasing.percent(0.125, GB) == "13%"
    assert phrasing.number(1250.5, DE) == "1.250,5"
    assert phrasing.number(2.345, US, digits=2) == "2.35"


def test_lists_of_words():
    assert phrasing.join_words(["a", "b", "c"], US) == "a, b, and c"
    assert phrasing.join_words(["a", "b", "c"], GB) == "a, b and c"
    assert phrasing.join_words(["a", "b"], US) == "a and b"
    assert phrasing.join_words([], US) == ""


def test_counting():
    assert phrasing.counted(1, "step", "steps", US) == "1 step"
    assert phrasing.counted(1250, "piece", "pieces", DE) == "1.250 pieces"
    assert phrasing.counted(3, "step", "steps", US, at_start=True) == "Three steps"
    assert phrasing.counted(0, "step", "steps", US, at_start=True) == "No steps"
    assert phrasing.counted(11, "step", "steps", US, at_start=True) == "11 steps"


def test_the_values_of_a_sentence_are_dressed_by_country():
    say = sentence("{who} waits until {day} for {parts}: {count} of them, {why}.", who="G1", day=NOV_3,
                   parts=("a", "b", "c"), count=1250, why=sentence("{flag}", flag=True))  # fmt: skip
    assert say.words(show=lambda value: phrasing.shown(value, US)) == (
        "G1 waits until November 3, 2026 for a, b, and c: 1,250 of them, True."
    )
    assert str(say) == "G1 waits until 2026-11-03 for a, b, c: 1250 of them, True."


def test_a_sentence_is_translated_before_it_is_filled():
    german = {"{n} pieces": "{n} Stücke"}
    assert sentence("{n} pieces", n=3).words(german.get) == "3 Stücke"


@pytest.mark.parametrize(
    ("country", "words", "told"),
    [
        ("US", "lent until 2027-03-31: cannot be sold", "lent until March 31, 2027: cannot be sold"),
        ("GB", "came 2026-10-06, tested 2026-10-07", "came 6 October 2026, tested 7 October 2026"),
        ("US", "serial 2026-13-40 and 12026-10-06-1", "serial 2026-13-40 and 12026-10-06-1"),
        ("US", "no date at all", "no date at all"),
    ],
)
def test_dates_in_notes_are_told_and_what_only_looks_like_one_stays(country, words, told):
    assert phrasing.told(words, pack(country)) == told
