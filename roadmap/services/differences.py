"""What another promised date would move: the plan twice, and only what differs."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from people.models import Ministry
from roadmap.compute.changes import Changes, changes
from roadmap.compute.plan import plan
from roadmap.compute.plan_input import PlanInput, PromiseIn
from roadmap.compute.plan_result import Plan
from roadmap.services.loading import plan_input, with_promises


@dataclass(frozen=True)
class Moves:
    """changed: what differs; given: the input it was computed from; titles: step key -> title."""

    changed: Changes
    given: PlanInput
    before: Plan
    after: Plan

    @property
    def titles(self) -> dict[str, str]:
        return {step.key: step.title for step in self.given.steps}

    @property
    def phase_names(self) -> dict[str, str]:
        return {phase.key: phase.name for phase in self.given.phases}

    @property
    def promises(self) -> list[PromiseIn]:
        return [one for one in self.given.promises if one.key in self.changed.promises]

    @property
    def days(self) -> int:
        """Return by how many days the last end moves; 0 when no phase end moves."""
        return max((phase.days for phase in self.changed.phases), default=0)


def what_moves(ministry: Ministry, promised: Mapping[str, date], *, as_of: date | None = None) -> Moves:
    """Return what other promised dates (order key -> date) would move; KeyError for an order that is not there."""
    given = plan_input(ministry, as_of=as_of)
    other = with_promises(given, promised)
    before, after = plan(given), plan(other)
    return Moves(changes(before, after, other), other, before, after)


WEEKS_AHEAD = 14


@dataclass(frozen=True)
class Arrival:
    """What one day of arrival would cost: how many steps start later, by how many days at most; frozen: in a freeze."""

    on: date
    moved: int
    days: int
    frozen: bool

    @property
    def weeks(self) -> int:
        """Return the whole weeks lost, rounded to the nearest."""
        return (self.days + 3) // 7


def arrivals_ahead(ministry: Ministry, order: str) -> list[Arrival]:
    """Return the order's promised day and the same weekday of the weeks after it, each with what it would cost.

    Nothing for an order without a promised day; counted from the promised day, or from today when that has passed.
    """
    given = plan_input(ministry)
    promised = next((one.promised for one in given.orders if one.key == order), None)
    if promised is None:
        return []
    while promised < given.today:
        promised += timedelta(weeks=1)
    base = plan(with_promises(given, {order: promised}))
    days = [promised + timedelta(weeks=week) for week in range(WEEKS_AHEAD)]
    return [_arrival(given, base, order, day) for day in days]


def _arrival(given: PlanInput, base: Plan, order: str, day: date) -> Arrival:
    other = with_promises(given, {order: day})
    later = [one.days for one in changes(base, plan(other), other).steps if one.days > 0]
    frozen = any(freeze.first <= day <= freeze.last for freeze in given.freezes)
    return Arrival(day, len(later), max(later, default=0), frozen)
