"""What a new promised date moves in the invented churches, by hand; and what is waited for."""

from dataclasses import replace
from datetime import date

from roadmap.compute.changes import FreezeCrossed, Moved, PhaseMoved, changes
from roadmap.compute.plan import plan
from roadmap.compute.plan_input import OrderIn, PlanInput, PromiseIn, StepIn
from roadmap.compute.waiting import held_up_by, waiting_on
from tests.compute.demo_plans import uk_plan, us_plan


def d(text):
    return date.fromisoformat(text)


def ripple(given_before, given_after):
    return changes(plan(given_before), plan(given_after), given_after)


class TestChanges:
    def test_nothing_differs_from_itself(self):
        same = ripple(us_plan(), us_plan())
        assert not same and same.services == () and same.freeze is None

    def test_the_amplifier_a_week_late_crosses_the_freeze(self):
        """From 6 to 13 Nov, dates as in the table of arrivals; days and Sundays counted on a calendar.

        S12 ends on 17 Jan instead of 22 Nov: eight more Sundays, 29 Nov to 17 Jan. S16 follows it: Mon 23 Nov and ten
        weekdays to Fri 4 Dec, now Mon 18 to Fri 29 Jan.
        """
        found = ripple(us_plan(amplifier=d("2026-11-06")), us_plan(amplifier=d("2026-11-13")))
        assert found.steps == (
            Moved("S10", d("2026-11-09"), d("2026-11-10"), d("2026-11-16"), d("2026-11-17"), 7, 7, 1),
            Moved("S12", d("2026-11-11"), d("2026-11-22"), d("2027-01-04"), d("2027-01-17"), 54, 56, 8),
            Moved("S16", d("2026-11-23"), d("2026-12-04"), d("2027-01-18"), d("2027-01-29"), 56, 56, 8),
        )
        assert found.phases == (PhaseMoved("2", d("2026-12-04"), d("2027-01-29"), 56, 8),)
        assert found.freeze == FreezeCrossed("S12", "Thanksgiving to New Year", d("2026-11-25"), d("2027-01-03"))
        assert found.promises == ("SP-01",)
        assert found.services[0] == d("2026-11-15") and found.services[-1] == d("2027-01-24")
        assert len(found.services) == 10 and d("2026-11-22") not in found.services

    def test_another_week_moves_the_rack_alone(self):
        """From 13 to 20 Nov: S10 from 16 - 17 to 23 - 24 Nov; the proof waits for January either way."""
        found = ripple(us_plan(), us_plan(amplifier=d("2026-11-20")))
        assert [(one.key, one.days, one.sundays) for one in found.steps] == [("S10", 7, 1)]
        assert found.phases == () and found.freeze is None and found.services == (d("2026-11-22"),)

    def test_what_moves_earlier_is_negative(self):
        found = ripple(us_plan(amplifier=d("2026-11-20")), us_plan())
        assert [(one.key, one.days, one.sundays) for one in found.steps] == [("S10", -7, -1)]
        assert found.services == (d("2026-11-22"),)

    def test_the_stage_box_of_the_english_church_a_week_later(self):
        """From 13 to 20 Nov: the console's Saturday goes from 21 Nov to 9 Jan and everything behind it with it."""
        found = ripple(uk_plan(stage_box=d("2026-11-13")), uk_plan(stage_box=d("2026-11-20")))
        assert [one.key for one in found.steps] == ["S14", "S17", "S16", "S18", "S19", "S20"]
        assert found.freeze.step == "S16" and found.freeze.name == "Advent to Epiphany"

    def test_steps_that_lose_or_find_a_date_are_said(self):
        with_date = PlanInput(d("2026-11-03"), (StepIn("a"),))
        without = replace(with_date, steps=(StepIn("a", state="set aside until"),))
        assert ripple(with_date, without).lost == ("a",)
        assert ripple(without, with_date).found == ("a",)
        assert not ripple(without, without)


class TestWaitingOn:
    def test_the_amplifier_is_waited_for_first(self):
        """In today, 3 Nov, it would give S10 4 - 5, S12 6 - 15, S16 16 - 27 Nov instead of 29 Jan."""
        first, second = waiting_on(us_plan())
        assert (first.order, first.since, first.promised, first.nth) == ("O-05", d("2026-10-16"), d("2026-11-13"), 3)
        assert not first.overdue and not first.part_in and first.holds_up
        assert first.direct == ("S10",) and first.behind == ("S12", "S16", "S25", "S26", "S28")
        assert first.moved == ("S10", "S12", "S16")
        assert first.promises == ("SP-01", "SP-11")
        assert first.phases == (PhaseMoved("2", d("2026-11-27"), d("2027-01-29"), 63, 9),)
        assert (second.order, second.direct, second.part_in) == ("O-06", ("S13",), True)
        assert not second.holds_up and second.phases == ()

    def test_what_is_in_not_placed_or_needed_by_nothing_open_is_not_waited_for(self):
        assert {one.order for one in waiting_on(us_plan())} == {"O-05", "O-06"}

    def test_since_when(self):
        def since(**order):
            given = PlanInput(d("2026-11-03"), (StepIn("a", orders=("O",)),), orders=(OrderIn("O", **order),))
            (one,) = waiting_on(given, plan(given))
            return one.since, one.nth, one.overdue

        told = d("2026-10-01")
        assert since(promised=d("2026-11-20"), promises=((told, d("2026-11-20")),)) == (told, 1, False)
        assert since(promised=d("2026-10-20")) == (d("2026-10-20"), 1, True)
        assert since(promised=d("2026-11-20"), promises=((None, d("2026-11-20")),)) == (None, 1, False)
        assert since() == (None, 0, False)

    def test_a_date_promised_again_is_not_a_new_date(self):
        again = ((None, d("2026-11-20")), (None, d("2026-11-27")), (None, d("2026-11-20")))
        order = OrderIn("O", promised=d("2026-11-20"), promises=again)
        (one,) = waiting_on(PlanInput(d("2026-11-03"), (StepIn("a", orders=("O",)),), orders=(order,)))
        assert one.nth == 2

    def test_what_a_step_holds_up(self):
        assert held_up_by(us_plan(), "S20") == ("S21", "S23", "S27", "S28")
        assert held_up_by(us_plan(), "S28") == ()

    def test_a_promise_without_a_step_is_not_held_up(self):
        given = replace(us_plan(), promises=(PromiseIn("SP-09"),))
        assert waiting_on(given)[0].promises == ()


class TestHolds:
    def test_what_held_the_rack_step(self):
        steps = plan(us_plan()).steps
        assert [(hold.kind, hold.by or hold.name, str(hold.until)) for hold in steps["S10"].holds] == [
            ("order", "O-05", "2026-11-14"),
            ("weekday", "weekdays", "2026-11-16"),
            ("closed", "Wedding", "2026-11-15"),
        ]
        assert [(hold.kind, hold.by or hold.name, str(hold.until)) for hold in steps["S12"].holds] == [
            ("link", "S10", "2026-11-18"),
            ("freeze", "Thanksgiving to New Year", "2027-01-04"),
        ]

    def test_cautions(self):
        [held] = plan(uk_plan()).steps["S31"].cautions
        assert (held.kind, held.by, str(held.until)) == ("gate", "4", "2027-03-24")
