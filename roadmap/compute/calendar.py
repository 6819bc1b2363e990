"""The church's calendar in whole days: on which days a step may work, and where a span of work fits.

Days are ordinals (`date.toordinal()`), so that placing a step is a search in sorted lists.
Source: common practice for calendars in network planning; the rules are the church's own (freezes, bookings, services).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain
from typing import NamedTuple

from roadmap.compute.plan_input import ClosedIn, DayRule, FreezeIn, ServiceIn

WEEKDAYS: dict[DayRule, frozenset[int]] = {
    "weekdays": frozenset(range(5)),
    "any day": frozenset(range(7)),
    "monday": frozenset({0}),
    "tuesday": frozenset({1}),
    "wednesday": frozenset({2}),
    "thursday": frozenset({3}),
    "friday": frozenset({4}),
    "saturday": frozenset({5}),
    "sunday": frozenset({6}),
}
SUNDAY = 6


@dataclass(frozen=True, slots=True)
class Span:
    """Days from first to last, both included, and what they are called."""

    first: int
    last: int
    name: str


@dataclass(frozen=True, slots=True)
class Days:
    """The days on which steps of one rule may work, and the spans that none of them may touch.

    work: working days in order; number: for each, its number among all days of the rule, closed ones counted.
    frozen, thaws: first and last days of merged freezes, in order; freezes, closed: with their names.
    """

    rule: DayRule
    work: list[int]
    number: list[int]
    frozen: list[int]
    thaws: list[int]
    freezes: list[Span]
    closed: list[Span]


class Work(NamedTuple):
    """What has to be placed: so many days in one piece or not, or until the n-th Sunday."""

    days: int
    one_piece: bool
    services: int | None
    on: Days


class Calendar:
    """Freezes, bookings and Sundays from one day to another, and where work fits among them."""

    def __init__(
        self,
        freezes: Iterable[FreezeIn],
        closed: Iterable[ClosedIn],
        services: Sequence[ServiceIn],
        first: date,
        last: date,
    ) -> None:
        self.first, self.last = first.toordinal(), last.toordinal()
        self._freezes, self._closed = tuple(freezes), tuple(closed)
        self._days: dict[tuple[DayRule, bool], Days] = {}
        self.sundays = service_sundays(services, self.first, self.last)

    def days(self, rule: DayRule, touches_sunday: bool) -> Days:
        """Return the days for steps of this rule that do or do not touch a Sunday path."""
        key = (rule, touches_sunday)
        if key not in self._days:
            self._days[key] = self._made(rule, touches_sunday)
        return self._days[key]

    def _made(self, rule: DayRule, touches_sunday: bool) -> Days:
        freezes = _spans((f.first, f.last, f.name) for f in self._freezes if _covers(f.covers, touches_sunday))
        closed = _spans((c.first, c.last, c.why) for c in self._closed if _covers(c.covers, touches_sunday))
        work = self._all(rule)
        number = list(range(len(work)))
        for day in sorted({day for span in closed for day in range(span.first, span.last + 1)}, reverse=True):
            at = bisect_left(work, day)
            if at < len(work) and work[at] == day:
                del work[at], number[at]
        frozen, thaws = _merged(freezes)
        return Days(rule, work, number, frozen, thaws, freezes, closed)

    def _all(self, rule: DayRule) -> list[int]:
        """Return every day of the rule, closed or not."""
        week = range(self.first, min(self.first + 7, self.last + 1))
        starts = [day for day in week if (day - 1) % 7 in WEEKDAYS[rule]]
        return sorted(chain.from_iterable(range(day, self.last + 1, 7) for day in starts))

    def place(self, work: Work, earliest: int) -> tuple[int, int] | None:
        """Return the first start from `earliest` on that fits, and its finish; None when the calendar ends before."""
        on, length = work.on, len(work.on.work)
        while True:
            i = bisect_left(on.work, earliest)
            last = i + (0 if work.services else work.days - 1)
            if last >= length:
                return None
            start, finish = on.work[i], on.work[last]
            if work.services:
                sunday = bisect_left(self.sundays, start) + work.services - 1
                if sunday >= len(self.sundays):
                    return None
                finish = self.sundays[sunday]
            elif work.one_piece and on.number[last] - on.number[i] != last - i:
                earliest = start + 1
                continue
            thaw = frozen_until(on, start, finish) if on.frozen else None
            if thaw is None:
                return start, finish
            earliest = thaw + 1

    def place_latest(self, work: Work, latest_start: int, latest_finish: int) -> tuple[int, int] | None:
        """Return the last place that fits, starting by the one and finishing by the other; None when there is none."""
        on = work.on
        while True:
            if work.services:
                sunday = bisect_right(self.sundays, latest_finish) - work.services
                latest = min(latest_start, self.sundays[sunday]) if sunday >= 0 else -1
            else:
                last = bisect_right(on.work, latest_finish) - work.days
                latest = min(latest_start, on.work[last]) if last >= 0 else -1
            i = bisect_right(on.work, latest) - 1
            if i < 0:
                return None
            start = on.work[i]
            placed = self.place(work, start)
            if placed is not None and placed[0] == start and placed[1] <= latest_finish:
                return placed
            latest_start = start - 1

    def sunday_after(self, day: int, count: int) -> int | None:
        """Return the count-th Sunday with a service after that day; the day itself when count is 0."""
        if not count:
            return day
        at = bisect_right(self.sundays, day) + count - 1
        return self.sundays[at] if at < len(self.sundays) else None

    def before_sundays(self, day: int, count: int) -> int:
        """Return the last day after which `count` Sundays with a service pass until that day, that day included."""
        if not count:
            return day
        at = bisect_right(self.sundays, day) - count
        return self.sundays[at] - 1 if at >= 0 else self.first


def days_of_rule(rule: DayRule, first: int, last: int) -> int:
    """Return how many days of the rule lie from first to last, both included, closed days and freezes left aside."""
    weeks, rest = divmod(last - first + 1, 7)
    allowed = WEEKDAYS[rule]
    return weeks * len(allowed) + sum((last - back - 1) % 7 in allowed for back in range(rest))


def frozen_until(on: Days, first: int, last: int) -> int | None:
    """Return the last day of the freeze that the span touches first, or None."""
    at = bisect_left(on.thaws, first)
    return on.thaws[at] if at < len(on.frozen) and on.frozen[at] <= last else None


def service_sundays(services: Sequence[ServiceIn], first: int, last: int) -> list[int]:
    """Return the Sundays from first to last on which a service stands; every Sunday when no service is known."""
    sundays = range(first + (SUNDAY - (first - 1)) % 7, last + 1, 7)
    if not services:
        return list(sundays)
    single = {service.on.toordinal() for service in services if service.on is not None}
    weekly = [
        (service.since.toordinal() if service.since else first, service.until.toordinal() if service.until else last)
        for service in services
        if service.on is None and service.weekday == SUNDAY
    ]
    return [day for day in sundays if day in single or any(since <= day <= until for since, until in weekly)]


def _covers(covers: str, touches_sunday: bool) -> bool:
    return touches_sunday or covers == "everything"


def _spans(rows: Iterable[tuple[date, date, str]]) -> list[Span]:
    """Return spans in order of their first day."""
    found = [Span(first.toordinal(), last.toordinal(), name) for first, last, name in rows]
    return sorted(found, key=lambda span: (span.first, span.last))


def _merged(spans: list[Span]) -> tuple[list[int], list[int]]:
    """Return first and last days of spans with overlapping and adjoining ones joined."""
    firsts: list[int] = []
    lasts: list[int] = []
    for span in spans:
        if lasts and span.first <= lasts[-1] + 1:
            lasts[-1] = max(lasts[-1], span.last)
        else:
            firsts.append(span.first)
            lasts.append(span.last)
    return firsts, lasts
