"""Country packs: each file can be used, and says what its country's calendar and law say."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from people.compute.packs import (
    FreezeEdge,
    FreezePreset,
    PackError,
    advent_sunday,
    edge_day,
    freeze_days,
    pack_from,
    thanksgiving,
)
from people.packs import FOLDER, countries, country_choices, pack

EVERY = pytest.mark.parametrize("code", countries())


def test_the_united_states_come_first_then_by_code():
    assert countries() == ("US", "DE", "GB", "IE")
    assert country_choices()[0] == ("US", "United States")


def test_a_country_without_a_pack_is_refused_with_the_choices():
    with pytest.raises(LookupError, match="US, DE, GB, IE"):
        pack("FR")


def test_a_small_letter_code_is_understood():
    assert pack("gb") == pack("GB")


@EVERY
def test_each_zone_exists(code):
    """Source: IANA time zone database, through tzdata."""
    for zone in pack(code).zones():
        assert ZoneInfo(zone).key == zone


@EVERY
def test_each_country_has_a_rule_for_things_data_and_radios(code):
    for kind in ("electrical", "battery", "data", "radio"):
        assert pack(code).disposal_for(kind)


def test_the_fifty_states_the_district_and_five_territories():
    """Source: United States Code and the postal abbreviations (USPS Publication 28), count from memory."""
    assert len(pack("US").regions) == 56


def test_a_state_gives_its_zone_and_an_unknown_one_the_countrys():
    us = pack("US")
    assert us.zone_of("OH") == "America/New_York"
    assert us.zone_of("AZ") == "America/Phoenix"
    assert us.zone_of("") == us.zone
    assert us.region("TX").more_zones == ("America/Denver",)
    assert us.region("XX") is None


def test_what_differs_between_the_two_first_countries():
    us, gb = pack("US"), pack("GB")
    assert (us.currency, us.paper, us.clock, us.first_weekday, us.feet) == ("USD", "letter", 12, 6, True)
    assert (gb.currency, gb.paper, gb.clock, gb.first_weekday, gb.feet) == ("GBP", "a4", 24, 0, False)
    assert (us.mains.volts, us.mains.hertz, us.picture_rate) == (120, 60, "59.94")
    assert (gb.mains.volts, gb.mains.hertz, gb.picture_rate) == (230, 50, "50")
    assert us.tax.standard_rate is None and us.tax.exempt_by_certificate
    assert gb.tax.standard_rate == Decimal("0.20") and not gb.tax.reclaimable
    assert (us.word("fund_designated"), gb.word("fund_designated")) == ("board-designated", "designated")
    assert (us.text_locale, gb.text_locale) == ("en_US", "en_GB")
    assert (us.radio_table, us.tv_channel_mhz) == ("US", 6)


def test_a_language_without_a_territory_is_its_own_locale():
    assert replace(pack("DE"), language="de").text_locale == "de"


# Thanksgiving: 5 U.S.C. 6103, fourth Thursday of November; dates from published calendars, from memory.
@pytest.mark.parametrize("day", [date(2024, 11, 28), date(2025, 11, 27), date(2026, 11, 26), date(2027, 11, 25)])
def test_thanksgiving(day):
    assert thanksgiving(day.year) == day


# Advent Sunday: the Sunday nearest 30 November; dates from published church calendars, from memory.
@pytest.mark.parametrize("day", [date(2022, 11, 27), date(2023, 12, 3), date(2026, 11, 29), date(2028, 12, 3)])
def test_advent_sunday(day):
    assert advent_sunday(day.year) == day


@pytest.mark.parametrize("year", range(1990, 2101))
def test_advent_is_the_sunday_nearest_saint_andrews_day(year):
    assert advent_sunday(year).weekday() == 6
    assert abs(advent_sunday(year) - date(year, 11, 30)) <= timedelta(days=3)


def presets(code, first, last):
    return {preset.key: (start, end) for preset, start, end in pack(code).freezes_between(first, last)}


def test_the_freezes_of_the_invented_churches_follow_from_the_presets():
    """Source: the freeze tables of both demo churches; Easter Day 28 March 2027 is published."""
    us = presets("US", date(2026, 11, 3), date(2027, 4, 30))
    assert us["thanksgiving-to-new-year"] == (date(2026, 11, 25), date(2027, 1, 3))
    assert us["holy-week"] == (date(2027, 3, 20), date(2027, 3, 29))
    gb = presets("GB", date(2026, 11, 9), date(2027, 4, 30))
    assert gb == {
        "advent-to-epiphany": (date(2026, 11, 28), date(2027, 1, 6)),
        "holy-week": (date(2027, 3, 20), date(2027, 3, 29)),
    }


def test_a_freeze_that_began_last_year_still_counts():
    assert "advent-to-epiphany" in presets("GB", date(2027, 1, 2), date(2027, 1, 3))
    assert presets("GB", date(2027, 1, 7), date(2027, 1, 31)) == {}


def test_an_end_before_the_beginning_belongs_to_the_next_year():
    preset = FreezePreset("k", "n", FreezeEdge("advent sunday"), FreezeEdge("epiphany"))
    assert freeze_days(preset, 2026) == (date(2026, 11, 29), date(2027, 1, 6))


def test_an_edge_may_run_on_to_sunday():
    assert edge_day(FreezeEdge("new year", then="sunday"), 2027) == date(2027, 1, 3)
    assert edge_day(FreezeEdge("new year", then="sunday"), 2023) == date(2023, 1, 1)


def entries(code="GB"):
    import tomllib

    return tomllib.loads((FOLDER / f"{code}.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("table", "key", "value", "said"),
    [
        ("units", "length", "cubits", "length 'cubits'"),
        ("page", "paper", "foolscap", "paper"),
        ("dates", "clock", 10, "clock 10"),
        ("tax", "rate_from", "nowhere", "tax rate"),
        ("radio", "table", "MARS", "radio table"),
        ("freeze", 0, {"key": "k", "name": "n", "from": {"on": "full moon"}, "to": {"on": "easter"}}, "full moon"),
    ],
)
def test_an_entry_outside_the_choices_is_named(table, key, value, said):
    wrong = entries()
    wrong[table][key] = value
    with pytest.raises(PackError, match=f"Country pack GB: .*{said}"):
        pack_from(wrong)


def test_a_missing_word_a_missing_rate_and_a_missing_table_are_named():
    wrong = entries()
    del wrong["words"]["van"], wrong["tax"]["standard_rate"]
    with pytest.raises(PackError, match="no standard rate of tax; no word for van"):
        pack_from(wrong)
    del wrong["mains"]
    with pytest.raises(PackError, match="KeyError 'mains'"):
        pack_from(wrong)
