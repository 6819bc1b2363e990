"""The calendar: services, freezes and bookings as rows, and the sentence that says which freeze is next."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from people.models import Act
from people.services.undo import undo
from roadmap.models import Booking, Freeze, Service
from roadmap.services.loading import planned
from tests.roadmap.pages import first_line, url, words


def test_a_freeze_is_written_changed_and_taken_out(cast: Any) -> None:
    client = cast.client("coach")
    data = {"name": "Holy Week", "first_on": "2027-03-20", "last_on": "2027-03-29", "covers": "sunday paths"}
    assert client.post(url("calendar-add", kind="freeze"), data).status_code == 302
    freeze = Freeze.objects.get()
    assert first_line(client.get(url("calendar"))) == "The next freeze is Holy Week, March 20–29."
    client.post(url("calendar-edit", kind="freeze", uid=freeze.uid), data | {"last_on": "2027-03-28"})
    freeze.refresh_from_db()
    assert freeze.last_on == date(2027, 3, 28)
    client.post(url("calendar-remove", kind="freeze", uid=freeze.uid))
    assert not Freeze.objects.exists()
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert Freeze.objects.get().name == "Holy Week"


def test_a_freeze_that_ends_before_it_begins_is_refused(cast: Any) -> None:
    data = {"name": "Holy Week", "first_on": "2027-03-29", "last_on": "2027-03-20", "covers": "everything"}
    answer = cast.client().post(url("calendar-add", kind="freeze"), data)
    assert answer.status_code == 422 and "It ends before it begins: swap the two." in words(answer)
    assert not Freeze.objects.exists()


def test_a_freeze_under_way_is_said_first(cast: Any, make: Any) -> None:
    make.add(Freeze, name="Advent", first_on=date(2026, 11, 1), last_on=date(2026, 11, 8))
    assert (
        first_line(cast.client("crew").get(url("calendar")))
        == "Advent: nothing a Sunday leans on may be touched until November 8."
    )


def test_a_usual_freeze_of_the_country_is_one_click_away(cast: Any) -> None:
    page = cast.client().get(url("calendar"))
    assert "Days churches here usually keep free" in words(page)
    filled = cast.client().get(url("calendar-add", kind="freeze") + "?name=Advent&first_on=2026-11-29")
    assert 'value="Advent"' in filled.content.decode() and 'value="2026-11-29"' in filled.content.decode()


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("9:00, 10:45", ["09:00", "10:45"]), ("9 am + 6:30 pm", ["09:00", "18:30"]), ("12 pm", ["12:00"])],
)
def test_times_of_a_service_are_read_as_people_write_them(cast: Any, typed: str, kept: list[str]) -> None:
    data = {"name": "Sunday", "weekday": "6", "times": typed}
    assert cast.client().post(url("calendar-add", kind="service"), data).status_code == 302
    assert Service.objects.get().times == kept


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"times": "soon", "weekday": "6"}, "Write times like 9:00, 10:45."),
        ({"times": "25:00", "weekday": "6"}, "There is no such time of day"),
        ({"times": "9:00"}, "Give a date, or choose a weekday below."),
        ({"times": "9:00", "weekday": "6", "on": "2026-12-24"}, "keep one of them"),
    ],
)
def test_a_service_that_cannot_be_is_refused_in_words(cast: Any, wrong: dict[str, str], said: str) -> None:
    answer = cast.client().post(url("calendar-add", kind="service"), {"name": "Sunday", **wrong})
    assert answer.status_code == 422 and said in words(answer) and not Service.objects.exists()


def test_a_booking_that_closes_the_room_moves_a_step_on_a_sunday_path(cast: Any, make: Any) -> None:
    make.step(key="S10", agreed_start=date(2026, 11, 13), touches_sunday=True)
    data = {"place": make.place().pk, "what": "Wedding", "closes_room": "on"}
    hours = {"starts_at": "2026-11-13T08:00", "ends_at": "2026-11-14T17:00"}
    assert cast.client().post(url("calendar-add", kind="booking"), {**data, **hours}).status_code == 302
    assert planned(cast.ministry).plan.steps["S10"].start == date(2026, 11, 16)
    page = words(cast.client("crew").get(url("calendar")))
    assert "Fri Nov 13 8:00 AM" in page and "no work in the room" in page
    row = Booking.objects.get()
    assert row.starts_at.astimezone(ZoneInfo("America/New_York")).hour == 8
    shown = cast.client().get(url("calendar-edit", kind="booking", uid=row.uid)).content.decode()
    assert 'value="2026-11-13T08:00"' in shown


def test_a_room_of_another_church_cannot_be_booked(cast: Any, make: Any) -> None:
    foreign = make.place(ministry=cast.elsewhere)
    data = {"place": foreign.pk, "what": "Wedding", "starts_at": "2026-11-13T08:00", "ends_at": "2026-11-14T17:00"}
    assert cast.client().post(url("calendar-add", kind="booking"), data).status_code == 422
    assert not Booking.objects.exists()


def test_a_kind_that_is_none_is_not_found(cast: Any) -> None:
    assert cast.client().get(url("calendar-add", kind="holiday")).status_code == 404


@pytest.mark.parametrize("role", ["crew", "treasurer", "leadership"])
def test_who_does_not_plan_changes_no_calendar(cast: Any, role: str) -> None:
    data = {"name": "Mine", "first_on": "2027-03-20", "last_on": "2027-03-29", "covers": "everything"}
    assert cast.client(role).post(url("calendar-add", kind="freeze"), data).status_code == 403
    assert not Freeze.objects.exists()


def test_a_late_supper_stands_on_its_own_day(cast: Any, make: Any) -> None:
    """Eight in the evening in New York is the next day in the middle of the world."""
    data = {"place": make.place().pk, "what": "Supper", "starts_at": "2026-11-06T20:00", "ends_at": "2026-11-06T22:00"}
    cast.client().post(url("calendar-add", kind="booking"), data)
    page = words(cast.client().get(url("this-sunday")))
    assert page.index("Fri Nov 6") < page.index("Supper") < page.index("Sat Nov 7")


def test_a_weekly_service_that_is_over_is_no_longer_shown(cast: Any, make: Any) -> None:
    make.add(Service, key="V1", name="Summer hours", weekday=6, until_on=date(2026, 9, 1), times=["10:00"])
    make.add(Service, key="V2", name="Winter hours", weekday=6, until_on=date(2027, 4, 1), times=["09:00"])
    page = words(cast.client().get(url("calendar")))
    assert "Summer hours" not in page and "Winter hours 9:00 AM · until April 1, 2027" in page
