"""When a demo church worships, when nothing may be touched, and when a room is taken."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from people.services import record
from roadmap.models import Booking, Freeze, Service
from roadmap.services.demo.church import Church
from roadmap.services.demo.tables import clock, day, the_day, yes

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def load_calendar(church: Church) -> None:
    """Store services, freezes and bookings."""
    rows = church.tables.rows("services")
    instead = sorted(found for row in rows if yes(row["instead_of_sunday"]) if (found := day(row["on"])))
    record.add_many([service for row in rows for service in _services(church, row, instead)])
    record.add_many(
        [
            Freeze(
                ministry=church.ministry,
                name=row["name"],
                first_on=the_day(row["from_on"]),
                last_on=the_day(row["until_on"]),
                covers=row["covers"],
            )
            for row in church.tables.rows("freezes")
        ]
    )
    record.add_many([_booking(church, row) for row in church.tables.rows("bookings")])


def _services(church: Church, row: dict[str, str], instead: list[date]) -> Iterator[Service]:
    """Return the rows of one service: one a day it lasts, or one for each stretch of usual weeks."""
    promises = [] if row["promises"] == "all" else row["promises"].split()
    same = {"name": row["name"], "times": row["times"].split(), "remark": row["remark"], "promise_keys": promises}
    if row["weekday"]:
        weekday = WEEKDAYS.index(row["weekday"])
        for first, last in _stretches(day(row["from_on"]), instead):
            yield Service(
                ministry=church.ministry, key=row["key"], weekday=weekday, from_on=first, until_on=last, **same
            )
        return
    on = the_day(row["on"])
    for later in range(((day(row["until_on"]) or on) - on).days + 1):
        yield Service(ministry=church.ministry, key=row["key"], on=on + timedelta(days=later), **same)


def _stretches(first: date | None, instead: list[date]) -> Iterator[tuple[date | None, date | None]]:
    """Return the stretches of usual weeks between the Sundays that go differently; the last one is open."""
    for other in instead:
        if first is None or first < other:
            yield first, other - timedelta(days=1)
        first = other + timedelta(days=1)
    yield first, None


def _booking(church: Church, row: dict[str, str]) -> Booking:
    zone = ZoneInfo(church.ministry.zone)

    def moment(on: str, at: str) -> datetime:
        return datetime.combine(the_day(on), clock(at) or datetime.min.time(), zone)

    return Booking(
        ministry=church.ministry,
        place=church.places[row["place"]],
        starts_at=moment(row["from_on"], row["from_at"]),
        ends_at=moment(row["until_on"], row["until_at"]),
        what=row["what"],
        closes_room=yes(row["closed_to_work"]),
    )
