"""Sunday promises and goals: what was promised, how it stands today, and what This Sunday makes of it."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from people.models import Act
from people.services.undo import undo
from roadmap.models import Booking, Goal, Promise, Service
from tests.roadmap.pages import cells, first_line, url, words


def promise(make: Any, **values: Any) -> Promise:
    number = Promise.objects.count() + 1
    made: Promise = make.add(Promise, **({"key": f"SP-{number:02}", "text": f"Promise {number}"} | values))
    return made


def test_a_promise_is_written_with_the_next_number(cast: Any, make: Any) -> None:
    promise(make, key="SP-12")
    cast.client("coach").post(url("promise-add"), {"text": "Words → lobby", "level": "should"})
    assert Promise.objects.get(key="SP-13").standing == "not yet promised"


def test_a_promise_without_words_is_refused(cast: Any) -> None:
    answer = cast.client().post(url("promise-add"), {"level": "must"})
    assert answer.status_code == 422 and not Promise.objects.exists()


def test_a_promise_is_changed(cast: Any, make: Any) -> None:
    one, step = promise(make), make.step(key="S21")
    data = {"text": "Words → screen", "level": "must", "fallback": "song sheets", "brought_by": step.pk}
    cast.client().post(url("promise-edit", key=one.key), data)
    one.refresh_from_db()
    assert (one.text, one.fallback, one.brought_by) == ("Words → screen", "song sheets", step)


def test_how_it_stands_is_kept_with_its_reason_and_its_history(cast: Any, make: Any) -> None:
    one = promise(make, standing="kept")
    data = {"standing": "at risk", "why": "the lamp is at its end"}
    assert cast.client().post(url("promise-stands", key=one.key), data).status_code == 302
    one.refresh_from_db()
    assert (one.standing, one.why) == ("at risk", "the lamp is at its end")
    assert list(one.history.order_by("version").values_list("standing", flat=True)) == ["kept", "at risk"]
    undo(act=Act.objects.latest("id"), by=cast.lead)
    one.refresh_from_db()
    assert (one.standing, one.why) == ("kept", "")


@pytest.mark.parametrize("standing", ["broken", "at risk", "kept by fall-back"])
def test_what_is_not_plainly_kept_needs_a_reason(cast: Any, make: Any, standing: str) -> None:
    one = promise(make, standing="kept")
    answer = cast.client().post(url("promise-stands", key=one.key), {"standing": standing})
    one.refresh_from_db()
    assert answer.status_code == 422 and one.standing == "kept"
    assert "Say why, so that whoever reads it on Sunday knows." in words(answer)


@pytest.mark.parametrize("role", ["crew", "treasurer", "leadership"])
def test_who_does_not_plan_reads_only(cast: Any, make: Any, role: str) -> None:
    one = promise(make)
    assert cast.client(role).get(url("promises")).status_code == 200
    assert cast.client(role).post(url("promise-stands", key=one.key), {"standing": "kept"}).status_code == 403


@pytest.mark.parametrize(
    ("standings", "line"),
    [
        ([], "Nothing has been promised yet."),
        (["kept", "kept"], "Yes, we are safe this Sunday: every promise holds."),
        (
            ["kept", "kept by fall-back"],
            "Yes, we are safe this Sunday: one promise holds by its fall-back, the others as they should.",
        ),
        (["kept", "at risk"], "Not safe yet: one promise that must hold is in danger."),
        (["broken", "at risk"], "Not safe yet: two promises that must hold are in danger."),
        (["kept", "not yet promised"], "Yes, we are safe this Sunday: every promise holds."),
    ],
)
def test_this_sunday_answers_whether_we_are_safe(cast: Any, make: Any, standings: list[str], line: str) -> None:
    for standing in standings:
        promise(make, standing=standing)
    assert first_line(cast.client("crew").get(url("this-sunday"))) == line


def test_a_should_in_danger_does_not_make_the_sunday_unsafe(cast: Any, make: Any) -> None:
    promise(make, standing="kept")
    promise(make, standing="broken", level="should", text="Words → stage monitor")
    page = cast.client().get(url("this-sunday"))
    assert first_line(page).startswith("Yes, we are safe")
    assert "The weakest promise: Words → stage monitor" in words(page)


def test_the_weakest_promise_is_one_that_is_asked_for(cast: Any, make: Any) -> None:
    promise(make, standing="not yet promised", text="Not yet")
    promise(make, standing="kept by fall-back", text="Hearing help")
    assert "The weakest promise: Hearing help" in words(cast.client().get(url("this-sunday")))


def test_the_week_shows_steps_on_their_days_bookings_and_days_off(cast: Any, make: Any) -> None:
    make.step(key="S18", title="Choose the router", state="on it", actual_start=date(2026, 11, 2), days=10)
    room = make.place(name="Auditorium")
    zone = ZoneInfo("America/New_York")
    hours = {"starts_at": datetime(2026, 11, 7, 8, tzinfo=zone), "ends_at": datetime(2026, 11, 7, 17, tzinfo=zone)}
    make.add(Booking, place=room, what="Wedding", closes_room=True, **hours)
    page = words(cast.client("crew").get(url("this-sunday")))
    assert "Fri Nov 6 Choose the router" in page
    assert "Sat Nov 7 Nobody is asked." in page and "Wedding · no work in the room" in page


def test_this_sunday_names_its_services(cast: Any, make: Any) -> None:
    make.add(Service, key="V1", name="Sunday", weekday=6, from_on=date(2026, 9, 1), times=["09:00", "10:45"])
    assert "Sunday, November 8, 2026 · 9:00 AM · 10:45 AM" in words(cast.client().get(url("this-sunday")))


def test_a_goal_stands_with_before_and_after(cast: Any, make: Any) -> None:
    data = {"goal": "Speech clear in the worst seat", "unit": "STI", "before": "0.54", "target": "0.60 or better"}
    assert cast.client("coach").post(url("goal-add"), data).status_code == 302
    goal = Goal.objects.get()
    cast.client("coach").post(url("goal-edit", uid=goal.uid), data | {"after": "0.63", "after_on": "2026-11-01"})
    page = cast.client("crew").get(url("goals"))
    assert cells(page, "Goals")[0][1:4] == ["0.54", "0.60 or better", "0.63 Nov 1"]
    assert first_line(page) == "One figure to move; one measured again so far."


def test_a_goal_without_a_figure_from_before_is_pointed_out(cast: Any, make: Any) -> None:
    make.add(Goal, key="GO1", goal="Even loudness")
    assert "One goal has no figure from before" in words(cast.client().get(url("goals")))
