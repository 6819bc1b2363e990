"""The one loader: a ministry's record as the plain input that dates and totals are computed from."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import cast
from zoneinfo import ZoneInfo

from people.clock import today
from people.models import Ministry
from roadmap.compute.plan import plan
from roadmap.compute.plan_input import (
    ClosedIn,
    CostIn,
    CostKind,
    Covers,
    DayRule,
    FreezeIn,
    LinkIn,
    LinkKind,
    OrderIn,
    PhaseIn,
    PlanInput,
    PromiseIn,
    ServiceIn,
    Standing,
    StepIn,
    StepState,
)
from roadmap.compute.plan_result import Plan
from roadmap.models import Booking, Freeze, Order, OrderLine, Phase, Promise, Service, Step
from roadmap.words import GateState, OrderState

ALL_IN = frozenset({OrderState.ARRIVED, OrderState.CHECKED})
NOT_PLACED = frozenset({OrderState.ASKED, OrderState.PRICED})
NEVER_COMES = frozenset({OrderState.CANCELED})


@dataclass(frozen=True)
class Planned:
    """The input of a ministry's plan and what follows from it."""

    given: PlanInput
    plan: Plan


def planned(ministry: Ministry, *, as_of: date | None = None) -> Planned:
    """Return the ministry's plan computed for today (or `as_of`); the number of queries does not grow with rows."""
    given = plan_input(ministry, as_of=as_of)
    return Planned(given, plan(given))


def plan_input(ministry: Ministry, *, as_of: date | None = None) -> PlanInput:
    """Return everything the dates and totals depend on; ten queries however many rows there are."""
    orders = list(
        Order.objects.filter(ministry=ministry, is_option=False).prefetch_related("lines__arrivals", "promised_dates")
    )
    return PlanInput(
        today=as_of or today(ministry),
        steps=_steps(ministry, orders),
        phases=tuple(_phase(row) for row in Phase.objects.filter(ministry=ministry)),
        orders=tuple(_order(row) for row in orders if row.state not in NEVER_COMES),
        freezes=tuple(
            FreezeIn(row.first_on, row.last_on, cast(Covers, row.covers), row.name)
            for row in Freeze.objects.filter(ministry=ministry)
        ),
        closed=tuple(_closed(ministry)),
        services=tuple(_service(row) for row in Service.objects.filter(ministry=ministry)),
        promises=tuple(_promise(row) for row in Promise.objects.filter(ministry=ministry).select_related("brought_by")),
        currency=ministry.currency,
    )


def with_promises(given: PlanInput, promised: Mapping[str, date]) -> PlanInput:
    """Return the input with other promised dates, order key -> date; KeyError for an order that is not there.

    An order that is in already keeps its arrival: a promise cannot undo what came.
    """
    unknown = set(promised) - {order.key for order in given.orders}
    if unknown:
        raise KeyError(sorted(unknown)[0])
    return replace(
        given,
        orders=tuple(
            replace(order, promised=promised[order.key], placed=True) if order.key in promised else order
            for order in given.orders
        ),
    )


def _steps(ministry: Ministry, orders: Iterable[Order]) -> tuple[StepIn, ...]:
    lines: dict[int, list[tuple[Order, OrderLine]]] = defaultdict(list)
    for order in orders:
        if order.state not in NEVER_COMES:
            for line in order.lines.all():
                if line.step_id:
                    lines[line.step_id].append((order, line))
    rows = (
        Step.objects.filter(ministry=ministry)
        .select_related("phase", "fund")
        .prefetch_related("requires_links__requires", "costs")
    )
    return tuple(_step(row, lines[row.pk]) for row in rows)


def _step(row: Step, lines: list[tuple[Order, OrderLine]]) -> StepIn:
    return StepIn(
        key=row.key,
        title=row.title,
        phase=row.phase.key,
        touches_sunday=row.touches_sunday,
        days=row.days,
        day_rule=cast(DayRule, row.day_rule),
        in_one_piece=row.in_one_piece,
        ends_on_services=row.ends_on_services,
        links=tuple(
            LinkIn(link.requires.key, cast(LinkKind, link.kind), link.lag_days, link.lag_services)
            for link in row.requires_links.all()
        ),
        orders=tuple(dict.fromkeys(order.key for order, line in lines if line.is_must)),
        agreed_start=row.agreed_start,
        agreed_finish=row.agreed_finish,
        actual_start=row.actual_start,
        actual_finish=row.actual_finish,
        not_before=row.not_before,
        state=cast(StepState, row.state),
        costs=(*(_line_cost(order, line) for order, line in lines), *(_own_cost(cost) for cost in row.costs.all())),
        volunteer_hours=row.volunteer_hours,
        fund=row.fund.code if row.fund else "",
        resale_minor=row.resale_minor,
    )


def _line_cost(order: Order, line: OrderLine) -> CostIn:
    return CostIn(cast(CostKind, line.kind), line.net_minor, line.tax_bp, f"{order.key}#{line.position}")


def _own_cost(cost: object) -> CostIn:
    return CostIn(cost.kind, cost.net_minor, cost.tax_bp)  # type: ignore[attr-defined]


def _order(row: Order) -> OrderIn:
    told = [(one.told_on, one.promised_on) for one in row.promised_dates.all()]
    dates = [promised for __, promised in told if promised]
    came = [arrival.on for line in row.lines.all() for arrival in line.arrivals.all() if arrival.on]
    arrived = row.arrived_on or (max(came, default=dates[-1] if dates else None) if row.state in ALL_IN else None)
    return OrderIn(
        key=row.key,
        promised=dates[-1] if dates else None,
        arrived=arrived,
        must_have_arrived=arrived is not None or _minimum_kit_is_in(row),
        promises=tuple(told),
        placed=row.state not in NOT_PLACED,
        lead_days=row.lead_days_high or row.lead_days_low,
    )


def _minimum_kit_is_in(order: Order) -> bool:
    """Tell whether every must-have line has enough that works; an order without must-haves never counts as in."""
    musts = [line for line in order.lines.all() if line.is_must and line.kind == "goods"]
    return bool(musts) and all(line.came >= (line.must_quantity or line.quantity) for line in musts)


def _phase(row: Phase) -> PhaseIn:
    return PhaseIn(
        row.key, row.name, row.contingency_bp, row.cap_minor, row.gate_on, row.gate_state == GateState.PASSED
    )


def _closed(ministry: Ministry) -> Iterable[ClosedIn]:
    zone = ZoneInfo(ministry.zone)
    for row in Booking.objects.filter(ministry=ministry, closes_room=True):
        yield ClosedIn(row.starts_at.astimezone(zone).date(), row.ends_at.astimezone(zone).date(), row.what)


def _service(row: Service) -> ServiceIn:
    return ServiceIn(
        row.name, row.on, row.weekday, row.from_on, row.until_on, tuple(row.times), tuple(row.promise_keys)
    )


def _promise(row: Promise) -> PromiseIn:
    return PromiseIn(
        key=row.key,
        words=row.text,
        must=row.level == "must",
        standing=cast(Standing, row.standing),
        brought_by=row.brought_by.key if row.brought_by else "",
        fallback=row.fallback,
    )
