"""What the plan is computed from: plain rows, frozen, without a database or a clock.

One loader fills a `PlanInput`; a variant is another `PlanInput` made with `dataclasses.replace`.
Money is in minor units (cents, pence), rates in basis points (725 = 7.25 %), weekdays as in `date.weekday()`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

LinkKind = Literal["FS", "SS", "FF", "SF"]
CostKind = Literal["goods", "labor", "shipping"]
DayRule = Literal["weekdays", "any day", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
Covers = Literal["sunday paths", "everything"]
StepState = Literal[
    "wished for",
    "costed",
    "approved",
    "waiting on",
    "ready",
    "on it",
    "in, not proven",
    "proven on a Sunday",
    "signed over",
    "set aside until",
    "dropped",
]
Standing = Literal["kept", "kept by fall-back", "at risk", "broken", "not yet promised"]
DONE: frozenset[str] = frozenset({"in, not proven", "proven on a Sunday", "signed over"})


@dataclass(frozen=True, slots=True)
class LinkIn:
    """One link of a step to the step it requires.

    kind: finish-start, start-start, finish-finish or start-finish, required step first.
    lag_days: calendar days added, may be negative; 0 after FS means the next day.
    lag_services: Sundays with a service that must pass first ("two Sundays proven" is 2).
    """

    step: str
    kind: LinkKind = "FS"
    lag_days: int = 0
    lag_services: int = 0


@dataclass(frozen=True, slots=True)
class CostIn:
    """One cost of a step.

    order_line: key of the order line; costs of a step with the same key are taxed as one sum.
    Costs without one are taxed together as one sum for the step.
    """

    kind: CostKind
    net_minor: int
    tax_bp: int = 0
    order_line: str = ""


@dataclass(frozen=True, slots=True)
class StepIn:
    """One step, as the record has it.

    days: length in days of its rule (weekdays for 'weekdays', Fridays for 'friday', ...), at least 1.
    in_one_piece: the days follow one another without a free working day, freeze or closed day between; a weekend
    may lie between weekdays.
    ends_on_services: ends on the n-th Sunday with a service from its start on; `days` is then not used.
    agreed_*: the baseline; the step never starts before agreed_start. not_before: a further first day.
    actual_*: what happened; a step with actual_finish or a state in DONE keeps its dates.
    """

    key: str
    title: str = ""
    phase: str = ""
    touches_sunday: bool = False
    days: int = 1
    day_rule: DayRule = "weekdays"
    in_one_piece: bool = False
    ends_on_services: int | None = None
    links: tuple[LinkIn, ...] = ()
    orders: tuple[str, ...] = ()
    agreed_start: date | None = None
    agreed_finish: date | None = None
    actual_start: date | None = None
    actual_finish: date | None = None
    not_before: date | None = None
    state: StepState = "approved"
    costs: tuple[CostIn, ...] = ()
    volunteer_hours: int = 0
    fund: str = ""
    resale_minor: int = 0


@dataclass(frozen=True, slots=True)
class OrderIn:
    """One order, as far as dates need it.

    promised: the latest promise; arrived: the day everything was in; must_have_arrived: the minimum kit is in.
    promises: every promise so far as (told_on, promised), oldest first; the last one is `promised`.
    placed: ordered already; lead_days: days from order to arrival by the quote, for the caution about gates.
    """

    key: str
    name: str = ""
    promised: date | None = None
    arrived: date | None = None
    must_have_arrived: bool = False
    promises: tuple[tuple[date | None, date | None], ...] = ()
    placed: bool = True
    lead_days: int | None = None


@dataclass(frozen=True, slots=True)
class FreezeIn:
    """Days on which nothing may be touched, first and last included."""

    first: date
    last: date
    covers: Covers = "sunday paths"
    name: str = ""


@dataclass(frozen=True, slots=True)
class ClosedIn:
    """Days on which the room is booked and shut for work, first and last included."""

    first: date
    last: date
    why: str = ""
    covers: Covers = "sunday paths"


@dataclass(frozen=True, slots=True)
class ServiceIn:
    """A service: once (`on`), or every week (`weekday`, Monday 0, from `since` to `until`, ends included)."""

    name: str = ""
    on: date | None = None
    weekday: int | None = None
    since: date | None = None
    until: date | None = None
    times: tuple[str, ...] = ()
    promises: tuple[str, ...] = ()  # keys in force; empty: all


@dataclass(frozen=True, slots=True)
class PhaseIn:
    """One phase in order: contingency rate, cap on its total with contingency, and its gate."""

    key: str
    name: str = ""
    contingency_bp: int = 0
    cap_minor: int | None = None
    gate_on: date | None = None
    gate_passed: bool = False


@dataclass(frozen=True, slots=True)
class PromiseIn:
    """A Sunday promise: how it stands today and the step that brings it (or makes it whole)."""

    key: str
    words: str = ""
    must: bool = True
    standing: Standing = "kept"
    brought_by: str = ""
    fallback: str = ""


@dataclass(frozen=True, slots=True)
class PlanInput:
    """Everything the dates and totals of one ministry depend on; steps stand in listed order."""

    today: date
    steps: tuple[StepIn, ...] = ()
    phases: tuple[PhaseIn, ...] = ()
    orders: tuple[OrderIn, ...] = ()
    freezes: tuple[FreezeIn, ...] = ()
    closed: tuple[ClosedIn, ...] = ()
    services: tuple[ServiceIn, ...] = ()
    promises: tuple[PromiseIn, ...] = ()
    currency: str = "USD"
