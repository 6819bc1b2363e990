"""What differs between two plans of the same church, and nothing else.

Source: the forward pass is run again with the new fact; the ripple is the difference of the two results.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from roadmap.compute.calendar import service_sundays
from roadmap.compute.plan_input import FreezeIn, PlanInput
from roadmap.compute.plan_result import PhaseTotals, Plan


@dataclass(frozen=True, slots=True)
class Moved:
    """A step whose dates differ.

    days: calendar days its start moved, negative when earlier; finish_days: the same for its finish; sundays: Sundays
    with a service that its finish moved across, negative when earlier.
    """

    key: str
    was_start: date
    was_finish: date
    start: date
    finish: date
    days: int
    finish_days: int
    sundays: int


@dataclass(frozen=True, slots=True)
class PhaseMoved:
    """A phase whose last day differs."""

    key: str
    was: date
    becomes: date
    days: int
    sundays: int


@dataclass(frozen=True, slots=True)
class FreezeCrossed:
    """The first step, in order, that a freeze now holds back (or cuts into) and did not before."""

    step: str
    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that differs.

    steps: by their new start; services: Sundays between; promises: keys of those whose step moved; lost: steps without
    a date now; found: steps with a date that had none.
    """

    steps: tuple[Moved, ...] = ()
    phases: tuple[PhaseMoved, ...] = ()
    services: tuple[date, ...] = ()
    freeze: FreezeCrossed | None = None
    promises: tuple[str, ...] = ()
    lost: tuple[str, ...] = ()
    found: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.steps or self.phases or self.lost or self.found)


def changes(before: Plan, after: Plan, given: PlanInput) -> Changes:
    """Return what differs from one plan to the other.

    given: the input of the later plan, for services, freezes and promises. `services` are the Sundays after the old
    finish of a moved step up to its new one: those that the step was to serve and does not (or now does).
    """
    both = [key for key in after.steps if key in before.steps]
    sundays = _sundays(given, before, after)
    moved = sorted((m for key in both if (m := _moved(key, before, after, sundays))), key=lambda m: (m.start, m.key))
    ends = [one for key in after.phases if (one := _phase_moved(key, before, after, sundays))]
    keys = {one.key for one in moved}
    return Changes(
        steps=tuple(moved),
        phases=tuple(ends),
        services=_between(sundays, moved),
        freeze=_crossed(before, after, given.freezes),
        promises=tuple(promise.key for promise in given.promises if promise.brought_by in keys),
        lost=tuple(key for key in before.steps if key not in after.steps),
        found=tuple(key for key in after.steps if key not in before.steps),
    )


def _sundays(given: PlanInput, *plans: Plan) -> list[int]:
    """Return the Sundays with a service from the first to the last day of the plans."""
    days = [day.toordinal() for plan in plans for dates in plan.steps.values() for day in (dates.start, dates.finish)]
    return service_sundays(given.services, min(days), max(days)) if days else []


def _moved(key: str, before: Plan, after: Plan, sundays: list[int]) -> Moved | None:
    was, now = before.steps[key], after.steps[key]
    if (was.start, was.finish) == (now.start, now.finish):
        return None
    days, finish_days = (now.start - was.start).days, (now.finish - was.finish).days
    crossed = _count(sundays, was.finish, now.finish)
    return Moved(key, was.start, was.finish, now.start, now.finish, days, finish_days, crossed)


def _phase_moved(key: str, before: Plan, after: Plan, sundays: list[int]) -> PhaseMoved | None:
    was, now = before.phases.get(key, PhaseTotals()).finish, after.phases[key].finish
    if was is None or now is None or was == now:
        return None
    return PhaseMoved(key, was, now, (now - was).days, _count(sundays, was, now))


def _count(sundays: list[int], was: date, now: date) -> int:
    """Return how many Sundays lie from one day to another, the first day left out; negative when it is earlier."""
    return bisect_right(sundays, now.toordinal()) - bisect_right(sundays, was.toordinal())


def _between(sundays: list[int], moved: Iterable[Moved]) -> tuple[date, ...]:
    """Return the Sundays after the earlier and up to the later finish of any step."""
    found: set[int] = set()
    for step in moved:
        low, high = sorted((step.was_finish.toordinal(), step.finish.toordinal()))
        found.update(sundays[bisect_right(sundays, low) : bisect_right(sundays, high)])
    return tuple(date.fromordinal(day) for day in sorted(found))


def _crossed(before: Plan, after: Plan, freezes: Iterable[FreezeIn]) -> FreezeCrossed | None:
    """Return the first step in order that was over before a freeze, or started before it, and no longer does."""
    for key in after.order:
        was, now = before.steps.get(key), after.steps.get(key)
        if was is None or now is None:
            continue
        for freeze in freezes:
            if was.finish < freeze.first <= now.finish:
                return FreezeCrossed(key, freeze.name, freeze.first, freeze.last)
    return None
