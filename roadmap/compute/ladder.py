"""The Sunday ladder laid out: which row each Sunday, step, ghost and freeze stands on, for paper and screen alike.

Rows run down the page by date. A Sunday is a rung with a bead for each promise; a step stands in the gap in which it
starts; a late step leaves a ghost where it was agreed; freezes are spans of rows; phases are brackets, side by side
where they overlap. Source: own layout; side by side by interval coloring, first fit by first row.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import ClassVar, Literal

from roadmap.compute.calendar import service_sundays
from roadmap.compute.plan_input import FreezeIn, PlanInput, PromiseIn, Standing, StepIn
from roadmap.compute.plan_result import Plan, StepDates

Look = Literal["done", "in hand", "waiting", "planned"]
WORST_FIRST: tuple[Standing, ...] = ("broken", "at risk", "kept by fall-back", "not yet promised", "kept")


@dataclass(frozen=True, slots=True)
class Bead:
    """How a promise stands on one Sunday.

    standing: None on a Sunday that is past, or without the promise; until: the step that makes it whole.
    """

    promise: str
    standing: Standing | None
    until: str = ""


@dataclass(frozen=True, slots=True)
class Rung:
    """A Sunday: one bead a promise, always in the same order; services: names of special services on that day."""

    kind: ClassVar[str] = "rung"
    row: int
    day: date
    beads: tuple[Bead, ...]
    services: tuple[str, ...] = ()

    @property
    def not_kept(self) -> tuple[Bead, ...]:
        """Beads that are neither kept nor without a standing, worst first."""
        wanting = [bead for bead in self.beads if bead.standing not in (None, "kept")]
        return tuple(sorted(wanting, key=lambda bead: WORST_FIRST.index(bead.standing or "kept")))


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step where it now falls; days_late: from its agreed start; requires: open steps it waits for."""

    kind: ClassVar[str] = "step"
    row: int
    day: date
    finish: date
    key: str
    look: Look
    requires: tuple[str, ...] = ()
    orders: tuple[str, ...] = ()
    days_late: int = 0
    critical: bool = False
    in_freeze: bool = False

    @property
    def weeks_late(self) -> int:
        """Whole weeks late, rounded to the nearest."""
        return (self.days_late + 3) // 7


@dataclass(frozen=True, slots=True)
class Ghost:
    """The place where a late step was agreed to start."""

    kind: ClassVar[str] = "ghost"
    row: int
    day: date
    key: str
    days_late: int


@dataclass(frozen=True, slots=True)
class FreezeRow:
    """The note of a freeze; the hatch runs from its row to last_row."""

    kind: ClassVar[str] = "freeze"
    row: int
    day: date
    last: date
    last_row: int
    name: str


@dataclass(frozen=True, slots=True)
class Slide:
    """The dashed line from a ghost to its step; lane 0 is free of others on these rows."""

    key: str
    first_row: int
    last_row: int
    lane: int


@dataclass(frozen=True, slots=True)
class Bracket:
    """A phase from its first to its last row; overlapping ones have different lanes."""

    phase: str
    first_row: int
    last_row: int
    lane: int


Row = Rung | StepRow | Ghost | FreezeRow


@dataclass(frozen=True, slots=True)
class Ladder:
    """rows from 0, by date; today_row: the first row not before today; lanes of brackets are numbered from 0."""

    rows: tuple[Row, ...]
    slides: tuple[Slide, ...]
    brackets: tuple[Bracket, ...]
    today_row: int

    @property
    def lanes(self) -> int:
        """How many brackets stand side by side at most."""
        return max((bracket.lane + 1 for bracket in self.brackets), default=0)


def ladder(given: PlanInput, plan: Plan, first: date | None = None, last: date | None = None) -> Ladder:
    """Return the ladder from one day to another: from today's week to the end of the plan when none are named."""
    first = first or given.today - timedelta(given.today.weekday())
    last = last or max([first, *(dates.finish for dates in plan.steps.values())])
    kept = [step for step in given.steps if step.key in plan.steps and first <= plan.steps[step.key].start <= last]
    marks = _marks(given, plan, kept, first, last)
    place = {(kind, key): row for row, (_, _, kind, key) in enumerate(marks)}
    rows = tuple(_row(given, plan, row, mark, marks) for row, mark in enumerate(marks))
    spans = {key: (place["ghost", key], place["step", key]) for kind, key in place if kind == "ghost"}
    slides = [Slide(key, *spans[key], lane) for key, lane in _lanes(spans).items()]
    phases = _phase_rows(given, kept, place)
    brackets = [Bracket(key, *phases[key], lane) for key, lane in _lanes(phases).items()]
    today = next((row for row, mark in enumerate(marks) if mark[0] >= given.today), len(marks))
    return Ladder(rows, tuple(slides), tuple(brackets), today)


Mark = tuple[date, int, str, str]  # day, place within the day, kind, key


def _marks(given: PlanInput, plan: Plan, kept: Iterable[StepIn], first: date, last: date) -> list[Mark]:
    """Return what stands on the rows, in order: on one day a freeze before steps, ghosts behind, the Sunday last."""
    marks: list[Mark] = []
    for number, freeze in enumerate(given.freezes):
        if freeze.first <= last and freeze.last >= first:
            marks.append((max(first, freeze.first), 0, "freeze", str(number)))
    for step in kept:
        dates = plan.steps[step.key]
        marks.append((dates.start, 1, "step", step.key))
        if _days_late(step, dates) and step.agreed_start and step.agreed_start >= first:
            marks.append((step.agreed_start, 2, "ghost", step.key))
    for day in service_sundays(given.services, first.toordinal(), last.toordinal()):
        marks.append((date.fromordinal(day), 3, "rung", str(day)))
    listed = {step.key: number for number, step in enumerate(given.steps)}
    return sorted(marks, key=lambda mark: (mark[0], mark[1], listed.get(mark[3], 0)))


def _row(given: PlanInput, plan: Plan, row: int, mark: Mark, marks: Sequence[Mark]) -> Row:
    """Return the row of one mark."""
    day, _, kind, key = mark
    if kind == "rung":
        beads = tuple(_bead(promise, given, plan, day) for promise in given.promises)
        return Rung(row, day, beads, tuple(service.name for service in given.services if service.on == day))
    if kind == "freeze":
        freeze = given.freezes[int(key)]
        under = [n for n, other in enumerate(marks) if n >= row and other[0] <= freeze.last]
        return FreezeRow(row, day, freeze.last, under[-1], freeze.name)
    step = next(step for step in given.steps if step.key == key)
    dates = plan.steps[key]
    if kind == "ghost":
        return Ghost(row, day, key, _days_late(step, dates))
    requires = tuple(link.step for link in step.links if link.step in plan.steps and not plan.steps[link.step].done)
    return StepRow(
        row,
        day,
        dates.finish,
        key,
        _look(step, dates),
        requires,
        step.orders,
        _days_late(step, dates),
        dates.critical,
        any(_holds(freeze, step, dates) for freeze in given.freezes),
    )


def _bead(promise: PromiseIn, given: PlanInput, plan: Plan, day: date) -> Bead:
    """Return how a promise stands on a Sunday: as today until the step that brings it is over, then kept."""
    if day < given.today or not _in_force(promise, given, day):
        return Bead(promise.key, None)
    brings = plan.steps.get(promise.brought_by)
    if brings is not None and brings.finish <= day:
        return Bead(promise.key, "kept")
    return Bead(promise.key, promise.standing, "" if promise.standing == "kept" else promise.brought_by)


def _in_force(promise: PromiseIn, given: PlanInput, day: date) -> bool:
    """Return whether a service on that Sunday carries the promise; a service that lists none carries all."""
    on = [one for one in given.services if one.on == day] + [
        one
        for one in given.services
        if one.on is None and one.weekday == day.weekday() and (one.since or day) <= day <= (one.until or day)
    ]
    return not on or any(not one.promises or promise.key in one.promises for one in on)


def _look(step: StepIn, dates: StepDates) -> Look:
    """Return how a step is drawn."""
    if dates.done:
        return "done"
    if step.state == "on it" or step.actual_start:
        return "in hand"
    waits = step.state in ("waiting on", "set aside until") or any(hold.kind == "order" for hold in dates.holds)
    return "waiting" if waits else "planned"


def _days_late(step: StepIn, dates: StepDates) -> int:
    """Return how many days after its agreed start an open step starts."""
    if step.agreed_start is None or dates.done or step.actual_start:
        return 0
    return max(0, (dates.start - step.agreed_start).days)


def _holds(freeze: FreezeIn, step: StepIn, dates: StepDates) -> bool:
    covered = step.touches_sunday or freeze.covers == "everything"
    return covered and freeze.first <= dates.finish and freeze.last >= dates.start


def _phase_rows(
    given: PlanInput, kept: Iterable[StepIn], place: Mapping[tuple[str, str], int]
) -> dict[str, tuple[int, int]]:
    """Return first and last row of the steps of each phase that has any, in the order of the phases."""
    rows: dict[str, list[int]] = {phase.key: [] for phase in given.phases}
    for step in kept:
        rows.setdefault(step.phase, []).append(place["step", step.key])
    return {key: (min(found), max(found)) for key, found in rows.items() if found}


def _lanes(spans: Mapping[str, tuple[int, int]]) -> dict[str, int]:
    """Return the first lane free for each span, in order of the first rows."""
    ends: list[int] = []
    lanes: dict[str, int] = {}
    for key, (first, last) in sorted(spans.items(), key=lambda item: item[1]):
        lane = next((n for n, end in enumerate(ends) if end < first), len(ends))
        ends[lane : lane + 1] = [last]
        lanes[key] = lane
    return lanes


def gaps(ladder: Ladder) -> list[tuple[date, date, int]]:
    """Return each pair of neighboring Sundays with the number of steps that start between them."""
    rungs = [row for row in ladder.rows if isinstance(row, Rung)]
    return [
        (one.day, other.day, sum(isinstance(row, StepRow) for row in ladder.rows[one.row : other.row]))
        for one, other in pairwise(rungs)
    ]
