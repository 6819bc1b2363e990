"""What steps, phases and funds cost, to the cent.

Tax is rounded half up once for each order line (once for the costs of a step that no order carries), contingency half
up once for each phase on the sum with tax; everything else is addition, so every table reconciles.
Source: rounding per line or per invoice is the trader's choice in most tax law; half up per line is common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date

from roadmap.compute.plan_input import CostIn, PhaseIn, PlanInput, StepIn
from roadmap.compute.plan_result import Money, PhaseTotals, StepDates

BASIS = 10_000


def part(amount_minor: int, rate_bp: int) -> int:
    """Return the part of an amount in minor units at a rate in basis points, rounded half up (away from zero)."""
    product = abs(amount_minor) * rate_bp
    rounded = (product + BASIS // 2) // BASIS
    return rounded if amount_minor >= 0 else -rounded


def tax_of(costs: Iterable[CostIn]) -> int:
    """Return the tax on the costs of one step: costs of the same order line and rate are rounded as one sum."""
    sums: dict[tuple[str, int], int] = {}
    for cost in costs:
        line = (cost.order_line, cost.tax_bp)
        sums[line] = sums.get(line, 0) + cost.net_minor
    tax = 0
    for (_, rate), amount in sums.items():
        tax += part(amount, rate)
    return tax


def step_money(step: StepIn) -> Money:
    """Return the money of one step; a dropped step costs and brings nothing."""
    if step.state == "dropped":
        return Money()
    goods = labor = shipping = 0
    for cost in step.costs:
        if cost.kind == "goods":
            goods += cost.net_minor
        elif cost.kind == "labor":
            labor += cost.net_minor
        else:
            shipping += cost.net_minor
    net, tax, resale = goods + labor + shipping, tax_of(step.costs), step.resale_minor
    return Money(net, tax, net + tax, goods, labor, shipping, resale, net + tax - resale)


def added(parts: Iterable[Money]) -> Money:
    """Return the sum of moneys, column by column."""
    rows = tuple(parts)
    return Money(*map(sum, zip(*rows, strict=True))) if rows else Money()


def by_step(plan: PlanInput) -> dict[str, Money]:
    """Return the money of every step."""
    return {step.key: step_money(step) for step in plan.steps}


def by_fund(plan: PlanInput) -> dict[str, Money]:
    """Return what each fund's steps cost, before contingency; '' holds the steps without a fund."""
    funds: dict[str, list[Money]] = {}
    for step in plan.steps:
        funds.setdefault(step.fund, []).append(step_money(step))
    return {fund: added(parts) for fund, parts in funds.items()}


def by_phase(plan: PlanInput, dates: Mapping[str, StepDates] | None = None) -> dict[str, PhaseTotals]:
    """Return the totals of every phase in order; with dates, also its first and last day."""
    known = {phase.key: phase for phase in plan.phases}
    steps: dict[str, list[StepIn]] = {key: [] for key in known}
    for step in plan.steps:
        steps.setdefault(step.phase, []).append(step)
    return {key: _phase(known.get(key, PhaseIn(key)), listed, dates or {}) for key, listed in steps.items()}


def whole(phases: Iterable[PhaseTotals]) -> PhaseTotals:
    """Return the totals of all phases together."""
    phases = tuple(phases)
    dated = ("start", "finish")
    sums = {c.name: sum(getattr(p, c.name) for p in phases) for c in fields(PhaseTotals) if c.name not in dated}
    starts = [phase.start for phase in phases if phase.start]
    finishes = [phase.finish for phase in phases if phase.finish]
    return PhaseTotals(start=min(starts, default=None), finish=max(finishes, default=None), **sums)


def _phase(phase: PhaseIn, steps: list[StepIn], dates: Mapping[str, StepDates]) -> PhaseTotals:
    """Return the totals of one phase."""
    money = added(map(step_money, steps))
    contingency = part(money.total, phase.contingency_bp)
    total = money.total + contingency
    start, finish = _ends([dates[step.key] for step in steps if step.key in dates])
    return PhaseTotals(
        before_tax=money.before_tax,
        tax=money.tax,
        total=money.total,
        contingency=contingency,
        total_with_contingency=total,
        resale=money.resale,
        after_resale=total - money.resale,
        goods=money.goods,
        labor=money.labor,
        shipping=money.shipping,
        volunteer_hours=sum(step.volunteer_hours for step in steps if step.state != "dropped"),
        over_cap=0 if phase.cap_minor is None else max(0, total - phase.cap_minor),
        start=start,
        finish=finish,
    )


def _ends(placed: list[StepDates]) -> tuple[date | None, date | None]:
    """Return the first start and the last finish, None when nothing is placed."""
    return min((dates.start for dates in placed), default=None), max((dates.finish for dates in placed), default=None)
