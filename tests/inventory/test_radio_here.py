"""Radio here: set by set with rule, source and day; channels the lead looked up; whose microphones are none.

Rules: 47 CFR 15.236 and the FCC's pages; hearing assistance 72-76 MHz: 47 CFR 15.237; Ofcom for Great Britain.
"""

from datetime import date

import pytest
from django.urls import reverse

from inventory.models import Piece, TvChannel
from inventory.services.radio_here import around, sets_here, write_channels
from people.models import Act
from people.services.undo import undo

RADIO, CHANNELS = "/first/radio/", "/first/radio/channels/"


def a_set(make, what, low, high, **values):
    return make.piece(what=what, radio_low_khz=low * 1000, radio_high_khz=high * 1000, **values)


def codes(church):
    rows = Piece.objects.filter(ministry=church)
    return {one.piece.what: one.code for one in sets_here(around(church), rows)}


@pytest.mark.parametrize(
    ("what", "low", "high", "code"),
    [
        ("Wireless handheld set", 698, 746, "out"),
        ("Wireless lapel set", 640, 664, "retune"),
        ("Wireless handheld set", 902, 928, "use"),
        ("Wireless handheld set", 536, 560, "find_out"),
        ("Hearing-assistance transmitter", 72, 76, "use"),
    ],
)
def test_what_to_do_with_a_set(cast, make, what, low, high, code):
    a_set(make, what, low, high)
    assert codes(cast.ministry) == {what: code}


@pytest.mark.parametrize("what", ["Directional antennas", "Antenna splitter", "Antenna cable", "Digital console"])
def test_what_sends_nothing_is_no_set(cast, make, what):
    a_set(make, what, 470, 698)
    make.piece(what="Digital console")
    assert codes(cast.ministry) == {} or what == "Digital console"


def test_a_wireless_set_without_a_range_is_listed_as_not_recorded(cast, make):
    make.piece(what="Wireless handheld set")
    assert codes(cast.ministry) == {"Wireless handheld set": "not recorded"}


def test_local_channels_settle_what_depends_on_them(cast, make):
    """536-560 MHz is TV channels 25 to 28. Source: 47 CFR 73.603(a)."""
    a_set(make, "Wireless handheld set", 536, 560)
    assert "TV channels nobody looked up (25, 26, 27, and 28)" in cast.client().get(RADIO).content.decode()
    found = {25: "occupied", 26: "vacant", 27: "occupied", 28: "unknown"}
    act = write_channels(ministry=cast.ministry, by=cast.lead, found=found, checked_on=date(2026, 11, 2))
    assert codes(cast.ministry) == {"Wireless handheld set": "use"}
    undo(act=act, by=cast.lead)
    assert codes(cast.ministry) == {"Wireless handheld set": "find_out"}


def test_the_page_says_rule_source_day_and_the_regulator(cast, make):
    a_set(make, "Wireless lapel set", 640, 664)
    html = cast.client("reader").get(RADIO).content.decode()
    assert "One set must be retuned, locked or replaced." in html
    assert "retune, lock or replace" in html
    assert "Federal Communications Commission" in html
    assert "checked November 25, 2026" in html
    assert "The last word is with the regulator" in html


def test_a_license_is_said_to_be_what_a_set_depends_on(cast, make):
    """606.5-613.5 MHz needs a license in Great Britain. Source: Ofcom."""
    cast.ministry.country = "GB"
    cast.ministry.save()
    make.piece(what="Wireless headset set", radio_low_khz=606_500, radio_high_khz=613_500)
    html = cast.client().get(RADIO).content.decode()
    assert "One set depends on a license." in html or "One set depends on a licence." in html


def test_an_empty_list_says_so(cast, make):
    make.piece(what="Digital console")
    assert "Nothing on the list sends by radio." in cast.client().get(RADIO).content.decode()


def test_the_lead_writes_down_channels_and_leaves_others_as_they_are(cast, make):
    a_set(make, "Wireless handheld set", 536, 548)
    other = make.add(
        TvChannel, channel=26, low_khz=542_000, high_khz=548_000, found="vacant", checked_on=date(2026, 1, 1)
    )
    asked = cast.client().get(CHANNELS).content.decode()
    assert "Our sets depend on 2 TV channels." in asked
    data = {"checked_on": "2026-11-03", "note": "the regulator's list", "channel_25": "occupied", "channel_26": "-"}
    assert cast.client("crew").post(CHANNELS, data).status_code == 403
    assert cast.client().post(CHANNELS, data).status_code == 302
    stored = TvChannel.objects.get(channel=25)
    assert (stored.found, stored.checked_on, stored.low_khz) == ("occupied", date(2026, 11, 3), 536_000)
    other.refresh_from_db()
    assert other.checked_on == date(2026, 1, 1)


def test_nothing_answered_writes_nothing(cast, make):
    a_set(make, "Wireless handheld set", 536, 548)
    before = Act.objects.count()
    cast.client().post(CHANNELS, {"checked_on": "2026-11-03", "channel_25": "-", "channel_26": ""})
    assert Act.objects.count() == before
    assert cast.client().post(CHANNELS, {"checked_on": "someday", "channel_25": "vacant"}).status_code == 422


def test_no_price_for_those_who_see_none(cast, make):
    a_set(make, "Wireless lapel set", 640, 664, resale_minor=98_765_00, paid_minor=98_765_00)
    for role in ("crew", "reader"):
        html = cast.client(role).get(reverse("radio", kwargs={"ministry": "first"})).content.decode()
        assert "98,765" not in html
        assert "98765" not in html


def test_the_page_costs_the_same_for_many(cast, make, same_queries):
    def more():
        for _n in range(10):
            a_set(make, "Wireless handheld set", 536, 560, place=make.place())

    more()
    same_queries(cast.client(), RADIO, more)
