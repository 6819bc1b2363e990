"""What another promised date would move: the plan twice, and only what differs."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

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
