"""Writing phases, and moving steps into the fewest phases under a cap."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from people.services.editing import change_merged
from roadmap.compute.phasing import phased
from roadmap.compute.plan_input import DONE, PlanInput, StepIn
from roadmap.compute.totals import step_money
from roadmap.models import Phase, Step

EFFORT = 20_000  # partial answers looked at before one more phase is allowed: well under two seconds for fifty steps


def add_phase(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Phase, Act]:
    """Store a new phase after the last one; its number is made when none is given."""
    rows = list(Phase.objects.filter(ministry=ministry))
    numbers = [int(row.key) for row in rows if row.key.isdigit()]
    values.setdefault("key", str(max(numbers, default=0) + 1))
    says = _("Wrote down phase %(key)s, %(name)s.") % values
    with record.act(ministry=ministry, by=by, kind="phase-add", says=says) as act:
        order = max((row.order for row in rows), default=0) + 10
        return record.add(Phase(ministry=ministry, order=order, **values)), act


def change_phase(*, phase: Phase, by: Member | None, **how: Any) -> Act | None:
    """Change a phase; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed phase %(key)s, %(name)s.") % {"key": phase.key, "name": phase.name}
    return change_merged(row=phase, by=by, act_kind="phase-change", says=says, **how)


@dataclass(frozen=True)
class Proposed:
    """One phase of a proposal: the phase it becomes ('' for a new one), its steps, what they cost with tax, and those
    that would come from another phase."""

    becomes: str
    steps: list[StepIn]
    total: int
    moving: list[StepIn]


@dataclass(frozen=True)
class Proposal:
    """Open steps in the fewest phases found. at_least: no answer has fewer."""

    phases: list[Proposed]
    at_least: int

    @property
    def proven(self) -> bool:
        return len(self.phases) <= self.at_least

    @property
    def moves(self) -> bool:
        return any(one.moving for one in self.phases)


def propose(given: PlanInput, cap_minor: int) -> Proposal:
    """Return the fewest phases in which no phase costs more than the cap with tax; changes nothing.

    What is done, under way or dropped is left out: it stays where it is paid. Raises roadmap.compute.phasing.OverCap.
    """
    ahead = {step.key: step for step in given.steps if step.state not in DONE | {"dropped", "on it"}}
    costs = {key: step_money(step).total for key, step in ahead.items()}
    needs = {key: [link.step for link in step.links if link.step in ahead] for key, step in ahead.items()}
    found = phased(costs, needs, cap_minor, effort=EFFORT)
    names = _names(given, ahead, len(found.phases))
    called = {phase.key: f"{phase.key} {phase.name}" for phase in given.phases}
    return Proposal(
        [
            Proposed(
                called.get(name, ""),
                [ahead[key] for key in keys],
                sum(costs[key] for key in keys),
                [ahead[key] for key in keys if ahead[key].phase != name],
            )
            for keys, name in zip(found.phases, names, strict=True)
        ],
        found.at_least,
    )


def _names(given: PlanInput, ahead: Collection[str], count: int) -> list[str]:
    """Return the phase each proposed one becomes: the last ones that hold open steps, then new ones ('')."""
    holding = {step.phase for step in given.steps if step.key in ahead}
    names = [phase.key for phase in given.phases if phase.key in holding]
    return [*names, *[""] * count][:count]


def accept(*, ministry: Ministry, by: Member | None, proposal: Proposal) -> Act | None:
    """Move the steps of a proposal into phases, in one act; phases that are lacking are made. None when none moves."""
    if not proposal.moves:
        return None
    says = _("Moved %(n)d steps into %(phases)d phases.") % {
        "n": sum(len(one.moving) for one in proposal.phases),
        "phases": len(proposal.phases),
    }
    rows = {row.key: row for row in Step.objects.filter(ministry=ministry).select_related("phase")}
    with record.act(ministry=ministry, by=by, kind="phases-accept", says=says) as act:
        for one, phase in zip(proposal.phases, _phases(ministry, by, proposal, rows), strict=True):
            record.change_each((rows[step.key], {"phase": phase}) for step in one.steps)
        return act


def _phases(ministry: Ministry, by: Member | None, proposal: Proposal, rows: Mapping[str, Step]) -> list[Phase]:
    """Return the phase of each proposed one, in order: those that hold its steps now, then new ones."""
    open_keys = {step.key for one in proposal.phases for step in one.steps}
    holding = {row.phase_id for key, row in rows.items() if key in open_keys}
    phases = list(Phase.objects.filter(ministry=ministry, pk__in=holding))[: len(proposal.phases)]
    while len(phases) < len(proposal.phases):
        name = _("Phase %(n)d") % {"n": len(phases) + 1}
        phases.append(add_phase(ministry=ministry, by=by, name=name)[0])
    return phases
