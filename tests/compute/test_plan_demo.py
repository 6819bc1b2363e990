"""The two invented churches on Tuesday, November 3, 2026: every date worked out by hand from their tables and rules.

The reckoning stands beside each date; nothing here was copied from what the program prints.
"""

from datetime import date, timedelta

import pytest

from roadmap.compute.plan import plan
from tests.compute.demo_plans import UK_STEPS, US_STEPS, rows, span, uk_plan, us_plan


def d(text):
    return date.fromisoformat(text)


US_MOVED = {
    # The amplifier comes on Fri 13 Nov, so the first weekday after it is Mon 16, and the next is Tue 17.
    "S10": ("2026-11-16", "2026-11-17"),
    # From Wed 18 Nov the second Sunday would be 29 Nov, inside the freeze of 25 Nov - 3 Jan: starts on 4 Jan instead;
    # Sundays 10 and 17 Jan.
    "S12": ("2027-01-04", "2027-01-17"),
    # The Monday after, ten weekdays as agreed (2 - 13 Nov).
    "S16": ("2027-01-18", "2027-01-29"),
}
UK_MOVED = {
    # The stage box comes on Fri 11 Dec, in the freeze of 28 Nov - 6 Jan: Thu 7 and Fri 8 Jan.
    "S14": ("2027-01-07", "2027-01-08"),
    "S16": ("2027-01-09", "2027-01-09"),  # the Saturday after
    "S17": ("2027-01-11", "2027-01-12"),  # Monday after S14, two weekdays
    "S18": ("2027-01-11", "2027-01-13"),  # Monday after S16, three weekdays
    "S19": ("2027-01-15", "2027-01-15"),  # the Friday after S18: ten weeks after 6 Nov
    "S20": ("2027-01-25", "2027-01-29"),  # Sundays 17 and 24 Jan, then five weekdays
}


@pytest.mark.parametrize(
    ("given", "table", "moved"), [(us_plan(), US_STEPS, US_MOVED), (uk_plan(), UK_STEPS, UK_MOVED)], ids=["us", "uk"]
)
def test_every_step_stands_where_it_was_agreed_or_where_the_rules_put_it(given, table, moved):
    result = plan(given)
    assert result.unplaced == {}
    for row in rows(table):
        expected = tuple(map(d, moved[row["key"]])) if row["key"] in moved else span(row)
        assert (result.steps[row["key"]].start, result.steps[row["key"]].finish) == expected, row["key"]


@pytest.mark.parametrize(
    ("amplifier", "s10", "s12"),
    [
        # Fri 6 Nov: Mon 9 and Tue 10; from 11 Nov Sundays 15 and 22, before the freeze.
        ("2026-11-06", ("2026-11-09", "2026-11-10"), ("2026-11-11", "2026-11-22")),
        # Wed 11 Nov: Thu 12 is free but Fri 13 is closed for the wedding, so not in one piece: Mon 16.
        ("2026-11-11", ("2026-11-16", "2026-11-17"), ("2027-01-04", "2027-01-17")),
        # Thu 12 Nov: Fri 13 is closed: Mon 16.
        ("2026-11-12", ("2026-11-16", "2026-11-17"), ("2027-01-04", "2027-01-17")),
        # A week later, Fri 20 Nov: Mon 23 and Tue 24, the last two days; the proof waits for the freeze to end.
        ("2026-11-20", ("2026-11-23", "2026-11-24"), ("2027-01-04", "2027-01-17")),
        # Mon 23 Nov: Tue 24 and Wed 25 would touch the freeze: Mon 4 and Tue 5 Jan, Sundays 10 and 17.
        ("2026-11-23", ("2027-01-04", "2027-01-05"), ("2027-01-06", "2027-01-17")),
        # Fri 27 Nov, in the freeze: the same.
        ("2026-11-27", ("2027-01-04", "2027-01-05"), ("2027-01-06", "2027-01-17")),
        # The promise of 30 Oct has passed: it counts as coming today, 3 Nov; Wed 4, Thu 5; Sundays 8 and 15.
        ("2026-10-30", ("2026-11-04", "2026-11-05"), ("2026-11-06", "2026-11-15")),
    ],
)
def test_each_arrival_of_the_amplifier(amplifier, s10, s12):
    steps = plan(us_plan(amplifier=d(amplifier))).steps
    assert (steps["S10"].start, steps["S10"].finish) == tuple(map(d, s10))
    assert (steps["S12"].start, steps["S12"].finish) == tuple(map(d, s12))


def test_the_ears_do_not_wait_for_the_amplifier():
    """S13 is under way with enough receivers; Fri 6 Nov stands, and the wedges go after Sundays 8 and 15."""
    for amplifier in ("2026-11-06", "2026-11-13", "2026-11-20"):
        steps = plan(us_plan(amplifier=d(amplifier))).steps
        assert steps["S14"].start == d("2026-11-06") and steps["S15"].start == d("2026-11-16")


def test_a_tuning_night_that_is_missed_moves_a_week_and_the_wedges_with_it():
    """On Sat 7 Nov the night has not been: the next Friday, 13 Nov, is closed for the wedding: 20 Nov.

    Two Sundays after it are 22 and 29 Nov; from 25 Nov all is frozen, so the wedges go on Mon 4 Jan, three weekdays.
    """
    steps = plan(us_plan(today=d("2026-11-07"))).steps
    assert steps["S14"].start == d("2026-11-20")
    assert (steps["S15"].start, steps["S15"].finish) == (d("2027-01-04"), d("2027-01-06"))


@pytest.mark.parametrize(
    ("stage_box", "s16", "s19"),
    [
        # Fri 13 Nov: S14 Mon 16, Tue 17; Sat 21; S18 Mon 23 - Wed 25; Fri 27 Nov, last free day: three weeks.
        ("2026-11-13", "2026-11-21", "2026-11-27"),
        # Fri 20 Nov: S14 Mon 23, Tue 24; Sat 28 is frozen: Sat 9 Jan; Mon 11 - Wed 13; Fri 15 Jan: ten weeks.
        ("2026-11-20", "2027-01-09", "2027-01-15"),
    ],
)
def test_one_week_more_costs_seven(stage_box, s16, s19):
    steps = plan(uk_plan(stage_box=d(stage_box))).steps
    assert (steps["S16"].start, steps["S19"].start) == (d(s16), d(s19))


def test_what_held_the_late_steps_is_named():
    steps = plan(us_plan()).steps
    assert [(hold.kind, hold.by, hold.name) for hold in steps["S10"].holds] == [
        ("order", "O-05", ""),
        ("weekday", "", "weekdays"),
        ("closed", "", "Wedding"),
    ]
    assert [(hold.kind, hold.by, hold.name) for hold in steps["S12"].holds] == [
        ("link", "S10", ""),
        ("freeze", "", "Thanksgiving to New Year"),
    ]
    assert [(hold.kind, hold.by) for hold in steps["S16"].holds] == [("link", "S12")]


def test_what_has_no_room_is_the_handover_alone():
    """Its agreed month leaves room before it everywhere: S27 ends on Thu 6 May and could end on Fri 7 May."""
    result = plan(us_plan())
    assert result.critical == ("S28",)
    assert result.steps["S27"].late == d("2027-05-05") and result.steps["S27"].float_days == 1


def test_room_of_the_amplifier_is_counted_across_the_freeze():
    """S25 may start as late as it fits before S28: its three weekdays end by Fri 7 May (start Wed 5 May).

    S12 may then end on Sun 2 May; two Sundays end there from Sun 25 Apr on. S10 ends by 24 Apr: Thu 22, Fri 23 Apr; but
    S26 needs it too: S26 ends by Fri 7 May, starts Thu 6 May: no tighter.
    """
    steps = plan(us_plan()).steps
    assert steps["S25"].late == d("2027-05-05")
    assert steps["S12"].late == d("2027-04-25")
    assert steps["S10"].late == d("2027-04-22")
    assert steps["S10"].float_days == (d("2027-04-22") - d("2026-11-16")).days


def test_an_order_that_would_come_after_its_step_is_a_caution():
    """American O-12: the gate of phase 4 is on 8 Mar, three weeks from 9 Mar are 30 Mar, in time for 13 Apr."""
    steps = plan(us_plan()).steps
    assert steps["S26"].cautions == () and steps["S20"].cautions == ()
    uk = plan(uk_plan()).steps
    assert [(c.kind, c.by, c.until) for c in uk["S31"].cautions] == [("gate", "4", d("2027-03-24"))]


def test_dates_move_with_the_whole_demo_by_weeks():
    """A rule written as a date instead of as a rule would not survive this."""
    from tests.compute.moved import moved_by

    weeks = timedelta(weeks=37)
    before, after = plan(us_plan()), plan(moved_by(us_plan(), weeks))
    assert {k: (s.start + weeks, s.finish + weeks, s.float_days) for k, s in before.steps.items()} == {
        k: (s.start, s.finish, s.float_days) for k, s in after.steps.items()
    }
