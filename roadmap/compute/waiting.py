"""What is being waited for, since when, and what it holds up.

Source: reachability along the links, and the plan computed again as if the order were in today.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from roadmap.compute.changes import PhaseMoved, changes
from roadmap.compute.plan import effective_links, plan
from roadmap.compute.plan_input import DONE, OrderIn, PlanInput, StepIn
from roadmap.compute.plan_result import Plan


@dataclass(frozen=True, slots=True)
class WaitingOn:
    """One order that is not in.

    since: the day it was first promised for, if that has passed, else the day the first promise was told; None when
    neither is known. promised: the latest promise; nth: how many different dates were promised so far; overdue: the
    latest has passed. Steps: `direct` name the order, `behind` wait for those; `moved` start later because of it.
    promises: keys whose step is among them; phases: ends that would be earlier were it in today.
    """

    order: str
    since: date | None
    promised: date | None
    nth: int
    overdue: bool
    part_in: bool
    direct: tuple[str, ...]
    behind: tuple[str, ...]
    moved: tuple[str, ...]
    promises: tuple[str, ...]
    phases: tuple[PhaseMoved, ...]

    @property
    def holds_up(self) -> bool:
        """Whether any step would start earlier were it in today."""
        return bool(self.moved)


def waiting_on(given: PlanInput, now: Plan | None = None) -> tuple[WaitingOn, ...]:
    """Return every placed order that is not all in and that an open step names; what moves most stands first.

    now: the plan of `given`, if it is already computed.
    """
    now = now or plan(given)
    open_steps = [step for step in given.steps if _is_open(step)]
    behind = _steps_behind(given)
    found = []
    for order in given.orders:
        direct = tuple(step.key for step in open_steps if order.key in step.orders)
        if direct and order.placed and order.arrived is None:
            found.append(_waiting(given, now, order, direct, behind))
    return tuple(sorted(found, key=lambda one: (-len(one.moved), one.promised or date.max, one.order)))


def held_up_by(given: PlanInput, step: str) -> tuple[str, ...]:
    """Return the open steps that cannot start before a step, near or far, in listed order."""
    reached = _reached((step,), _steps_behind(given))
    return tuple(one.key for one in given.steps if one.key in reached and _is_open(one))


def _is_open(step: StepIn) -> bool:
    return step.actual_finish is None and step.state not in DONE and step.state != "dropped"


def _steps_behind(given: PlanInput) -> dict[str, list[str]]:
    """Return for each step those that require it."""
    behind: dict[str, list[str]] = {}
    for key, links in effective_links(given).items():
        for link in links:
            behind.setdefault(link.step, []).append(key)
    return behind


def _reached(first: Iterable[str], behind: Mapping[str, list[str]]) -> set[str]:
    """Return everything behind the first steps, without them."""
    reached: set[str] = set()
    open_ends = list(first)
    while open_ends:
        for key in behind.get(open_ends.pop(), ()):
            if key not in reached:
                reached.add(key)
                open_ends.append(key)
    return reached


def _waiting(
    given: PlanInput, now: Plan, order: OrderIn, direct: tuple[str, ...], behind: Mapping[str, list[str]]
) -> WaitingOn:
    """Return what one order holds up: the plan as it is against the plan with the order in today."""
    here = tuple(replace(one, arrived=given.today) if one is order else one for one in given.orders)
    differs = changes(plan(replace(given, orders=here)), now, given)
    later = _reached(direct, behind)
    affected = {*direct, *later}
    dates = _promised(order)
    return WaitingOn(
        order=order.key,
        since=_since(order, given.today),
        promised=order.promised,
        nth=len(dict.fromkeys(dates)),
        overdue=order.promised is not None and order.promised < given.today,
        part_in=order.must_have_arrived,
        direct=direct,
        behind=tuple(step.key for step in given.steps if step.key in later and _is_open(step)),
        moved=tuple(step.key for step in differs.steps if step.days > 0),
        promises=tuple(promise.key for promise in given.promises if promise.brought_by in affected),
        phases=tuple(phase for phase in differs.phases if phase.days > 0),
    )


def _promised(order: OrderIn) -> list[date]:
    """Return every promised day, oldest promise first."""
    return [day for _, day in order.promises if day] or ([order.promised] if order.promised else [])


def _since(order: OrderIn, today: date) -> date | None:
    """Return the first promised day once it has passed, else the day the first promise was told."""
    promised = _promised(order)
    if promised and promised[0] <= today:
        return promised[0]
    return next((told for told, _ in order.promises if told), None)
