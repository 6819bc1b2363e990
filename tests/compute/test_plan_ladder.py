"""The ladder of the American church on November 3, 2026, and rules of the layout."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given as drawn
from hypothesis import settings

from roadmap.compute.ladder import Bead, Bracket, FreezeRow, Ghost, Rung, Slide, StepRow, gaps, ladder
from roadmap.compute.plan import plan
from roadmap.compute.plan_input import FreezeIn, LinkIn, PhaseIn, PlanInput, PromiseIn, ServiceIn, StepIn
from tests.compute.demo_plans import us_plan
from tests.compute.test_plan import church_plans


def d(text):
    return date.fromisoformat(text)


TODAY = d("2026-11-03")


def laid(given, *window):
    return ladder(given, plan(given), *window)


def told(given, *window):
    """Return the rows as (kind, day or key)."""
    return [(row.kind, getattr(row, "key", row.day.isoformat())) for row in laid(given, *window).rows]


def test_the_first_three_weeks_of_the_american_church():
    """S14 on Fri 6, S10 on Mon 16 with S15; S18 began on Mon 2; S13 began before that week.

    S16 was agreed for Mon 2 Nov and now starts in January, outside the window, so it is not drawn at all.
    """
    assert told(us_plan(), d("2026-11-02"), d("2026-11-23")) == [
        ("step", "S18"),
        ("step", "S14"),
        ("rung", "2026-11-08"),
        ("rung", "2026-11-15"),
        ("step", "S10"),
        ("step", "S15"),
        ("rung", "2026-11-22"),
    ]


def test_from_october_the_ghosts_stand_where_the_steps_were_agreed():
    picture = laid(us_plan(), d("2026-10-12"), d("2027-01-20"))
    ghosts = {row.key: row for row in picture.rows if isinstance(row, Ghost)}
    assert {key: ghost.day for key, ghost in ghosts.items()} == {
        "S10": d("2026-10-19"),
        "S12": d("2026-10-21"),
        "S16": d("2026-11-02"),
    }
    late = {
        row.key: (row.days_late, row.weeks_late) for row in picture.rows if isinstance(row, StepRow) and row.days_late
    }
    assert late == {"S10": (28, 4), "S12": (75, 11), "S16": (77, 11)}
    assert [(one.key, one.lane) for one in picture.slides] == [("S10", 0), ("S12", 1), ("S16", 2)]
    assert all(picture.rows[one.first_row].key == picture.rows[one.last_row].key == one.key for one in picture.slides)


def test_beads_follow_the_step_that_brings_the_promise():
    rungs = {row.day: row for row in laid(us_plan()).rows if isinstance(row, Rung)}
    column = [rungs[d(day)].beads[2] for day in ("2026-11-08", "2027-01-24", "2027-01-31")]
    assert column == [  # S21 ends on Fri 29 Jan
        Bead("SP-07", "not yet promised", "S21"),
        Bead("SP-07", "not yet promised", "S21"),
        Bead("SP-07", "kept"),
    ]
    assert rungs[d("2026-11-08")].not_kept == (
        Bead("SP-11", "kept by fall-back", "S26"),
        Bead("SP-07", "not yet promised", "S21"),
    )
    assert rungs[d("2026-12-20")].services == ("Carols",)
    assert [bead.promise for bead in rungs[d("2027-06-20")].beads] == ["SP-01", "SP-04", "SP-07", "SP-11"]


def test_beads_have_no_standing_in_the_past_or_when_not_in_force():
    promise = PromiseIn("SP-1", standing="at risk")
    services = (
        ServiceIn("every", weekday=6, until=d("2026-11-08")),
        ServiceIn("short", on=d("2026-11-15"), promises=("SP-9",)),
    )
    given = PlanInput(TODAY, services=services, promises=(promise,))
    rungs = laid(given, d("2026-10-26"), d("2026-11-22")).rows
    assert [row.beads[0].standing for row in rungs] == [None, "at risk", None]


def test_looks():
    steps = (
        StepIn("done", actual_start=TODAY, actual_finish=TODAY),
        StepIn("begun", actual_start=TODAY),
        StepIn("asked", state="waiting on"),
        StepIn("later"),
    )
    looks = {row.key: row.look for row in laid(PlanInput(TODAY, steps)).rows if isinstance(row, StepRow)}
    assert looks == {"done": "done", "begun": "in hand", "asked": "waiting", "later": "planned"}


def test_freezes_span_the_rows_of_their_days():
    freezes = (
        FreezeIn(d("2026-11-10"), d("2026-11-17"), name="Feast"),
        FreezeIn(d("2026-12-24"), d("2026-12-26"), "everything", "Christmas"),
        FreezeIn(d("2025-12-24"), d("2025-12-26"), name="last year's"),
    )
    steps = (
        StepIn("a", agreed_start=d("2026-11-11")),
        StepIn("b", touches_sunday=True, actual_start=d("2026-11-16")),
        StepIn("c", agreed_start=d("2026-12-07"), days=3),
    )
    picture = laid(PlanInput(TODAY, steps, freezes=freezes))
    note = next(row for row in picture.rows if isinstance(row, FreezeRow))
    assert (note.name, note.day, note.last) == ("Feast", d("2026-11-10"), d("2026-11-17"))
    inside = picture.rows[note.row + 1 : note.last_row + 1]
    assert [getattr(row, "key", row.kind) for row in inside] == ["a", "rung", "b"]
    assert {row.key: row.in_freeze for row in picture.rows if isinstance(row, StepRow)} == {"a": 0, "b": 1, "c": 0}
    assert sum(isinstance(row, FreezeRow) for row in picture.rows) == 1


def test_phases_that_overlap_stand_side_by_side():
    steps = (
        StepIn("a", phase="1", agreed_start=d("2026-11-04")),
        StepIn("b", phase="2", agreed_start=d("2026-11-05")),
        StepIn("c", phase="1", agreed_start=d("2026-11-06")),
        StepIn("e", phase="3", agreed_start=d("2026-11-09"), links=(LinkIn("a"),)),
    )
    picture = laid(PlanInput(TODAY, steps, (PhaseIn("1"), PhaseIn("2"), PhaseIn("3"), PhaseIn("empty"))))
    assert picture.brackets == (Bracket("1", 0, 2, 0), Bracket("2", 1, 1, 1), Bracket("3", 4, 4, 0))
    assert picture.lanes == 2
    assert [row.requires for row in picture.rows if isinstance(row, StepRow)] == [(), (), (), ("a",)]


def test_today_stands_between_what_was_and_what_comes():
    steps = (StepIn("was", actual_start=d("2026-11-02"), actual_finish=d("2026-11-02")), StepIn("comes"))
    assert laid(PlanInput(TODAY, steps)).today_row == 1
    assert laid(PlanInput(d("2026-11-04"), steps[:1]), d("2026-11-01"), d("2026-11-02")).today_row == 2


def test_an_empty_plan_is_an_empty_ladder():
    picture = laid(PlanInput(TODAY))
    assert (picture.rows, picture.lanes, picture.slides, picture.today_row) == ((), 0, (), 0)


def test_gaps_count_the_steps_between_two_sundays():
    assert gaps(laid(us_plan(), d("2026-11-02"), d("2026-11-23"))) == [
        (d("2026-11-08"), d("2026-11-15"), 0),
        (d("2026-11-15"), d("2026-11-22"), 2),
    ]


@settings(max_examples=60, deadline=None)
@drawn(church_plans())
def test_rows_run_by_date_and_brackets_of_a_lane_never_touch(given):
    given = replace(
        given,
        steps=tuple(
            replace(step, phase=str(n % 3), agreed_start=TODAY + timedelta(n)) for n, step in enumerate(given.steps)
        ),
    )
    picture = laid(given)
    assert [row.row for row in picture.rows] == list(range(len(picture.rows)))
    assert all(one.day <= other.day for one, other in zip(picture.rows, picture.rows[1:], strict=False))
    assert {row.key for row in picture.rows if isinstance(row, StepRow)} == {step.key for step in given.steps}
    for spans in (picture.brackets, picture.slides):
        for one in spans:
            assert isinstance(one, (Bracket, Slide)) and one.first_row <= one.last_row
            apart = [o for o in spans if o is not one and o.lane == one.lane]
            assert all(o.last_row < one.first_row or one.last_row < o.first_row for o in apart)
