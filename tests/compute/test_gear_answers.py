"""Small answers of the gear pages: cautions, renewals, the day to decide by."""

from datetime import date

import pytest

from inventory.compute.cautions import cautions
from inventory.compute.leaving import NOTICE_DAYS, days_left, decide_by
from inventory.compute.renewals import SOON_DAYS, has_one_holder, renews_soon


@pytest.mark.parametrize(
    ("words", "condition", "watts", "begin"),  # common practice; local codes decide
    [
        ("Chain hoist", "unsafe", None, ["Marked", "Overhead"]),
        ("Battery back-up unit", "tested good", 25, ["Battery"]),
        ("Battery back-up unit", "dead", 25, ["Battery", "Mains"]),
        ("Desk", "faulty", 40, ["Mains"]),
        ("Dimmer pack", "faulty", None, ["Mains"]),
        ("Music stand", "dead", None, []),
        ("Console", "tested good", 40, []),
    ],
)
def test_what_can_hurt_is_said(words, condition, watts, begin):
    said = [str(one) for one in cautions(words, condition, watts, "a licensed electrician")]
    assert [one.split(":")[0].split(" ")[0] for one in said] == begin
    assert all("licensed electrician" in one for one in said if one.startswith("Mains"))


@pytest.mark.parametrize(
    ("renews_on", "soon"),
    [(None, False), (date(2026, 11, 2), True), (date(2027, 1, 2), True), (date(2027, 1, 3), False)],
)
def test_a_renewal_within_sixty_days_is_soon(renews_on, soon):
    assert SOON_DAYS == 60  # common practice
    assert renews_soon(renews_on, date(2026, 11, 3)) is soon


@pytest.mark.parametrize(
    ("holder", "second", "alone"),
    [("June", "", True), ("", "Gil", True), ("June", "Gil", False), ("", "", False), ("nobody", " ", False)],
)
def test_one_name_alone_is_one_holder(holder, second, alone):
    assert has_one_holder(holder, second) is alone


def test_decisions_come_two_weeks_before_the_earlier_of_both_dates():
    assert NOTICE_DAYS == 14  # buyers and collectors, common practice: 10 to 14 days
    assert decide_by(date(2026, 12, 18)) == date(2026, 12, 4)
    assert decide_by(date(2026, 12, 18), date(2026, 12, 15)) == date(2026, 12, 1)
    assert decide_by(date(2026, 12, 18), date(2026, 12, 20)) == date(2026, 12, 4)
    assert days_left(date(2026, 12, 18), date(2026, 11, 3)) == 45
    assert days_left(date(2026, 11, 1), date(2026, 11, 3)) == -2
