"""What the money pages and the leaders' packet say: phases and funds in figures."""

from collections import defaultdict
from dataclasses import dataclass

from people.access import Viewer
from roadmap.compute.plan_result import Money, PhaseTotals
from roadmap.compute.totals import by_fund, by_step, part, whole
from roadmap.models import Fund, FundIncome, FundRule, Payment, Phase, Step
from roadmap.services.loading import Planned
from roadmap.words import Certainty, StepState


@dataclass(frozen=True)
class FundRow:
    """One fund in minor units. expected: what comes, each amount times its chance; banked: what is in already;
    needed: its steps with tax, before contingency; left: expected less needed (negative: short)."""

    fund: Fund
    banked: int
    expected: int
    needed: int

    @property
    def left(self) -> int:
        return self.expected - self.needed

    @property
    def short(self) -> int:
        return max(0, -self.left)


@dataclass(frozen=True)
class PhaseRow:
    """One phase: its totals, and what was paid and ordered of it with tax."""

    phase: Phase
    totals: PhaseTotals
    paid: int
    ordered: int

    @property
    def ordered_left(self) -> int:
        """What stands on placed orders and is not paid yet."""
        return max(0, self.ordered - self.paid)


@dataclass(frozen=True)
class MoneySheet:
    phases: list[PhaseRow]
    whole: PhaseTotals
    funds: list[FundRow]
    unfunded: int

    @property
    def paid(self) -> int:
        return sum(row.paid for row in self.phases)


def money_sheet(viewer: Viewer, made: Planned) -> MoneySheet:
    """Return every phase and fund of the viewer's ministry; four queries. Nothing where the viewer sees no money."""
    phases = list(Phase.objects.visible_to(viewer)) if viewer.sees_money else []
    paid = _paid_by_phase(viewer)
    ordered = _ordered_by_phase(made)
    rows = [
        PhaseRow(phase, made.plan.phases.get(phase.key, PhaseTotals()), paid[phase.key], ordered[phase.key])
        for phase in phases
    ]
    funds = by_fund(made.given)
    return MoneySheet(
        phases=rows,
        whole=whole(row.totals for row in rows),
        funds=_fund_rows(viewer, funds),
        unfunded=funds.get("", Money()).total,
    )


def _fund_rows(viewer: Viewer, needed: dict[str, Money]) -> list[FundRow]:
    banked: dict[int, int] = defaultdict(int)
    expected: dict[int, int] = defaultdict(int)
    for income in FundIncome.objects.visible_to(viewer):
        if income.certainty == Certainty.BANKED:
            banked[income.fund_id] += income.amount_minor
        expected[income.fund_id] += part(income.amount_minor, income.probability_bp)
    return [
        FundRow(fund, banked[fund.pk], expected[fund.pk], needed.get(fund.code, Money()).total)
        for fund in Fund.objects.visible_to(viewer)
    ]


def _paid_by_phase(viewer: Viewer) -> dict[str, int]:
    """Return what was paid, by phase: a payment on an order goes to the phases of its lines by their share."""
    paid: dict[str, int] = defaultdict(int)
    payments = Payment.objects.visible_to(viewer).select_related("step__phase", "order")
    for payment in payments.prefetch_related("order__lines__step__phase"):
        if payment.step:
            paid[payment.step.phase.key] += payment.amount_minor
        elif payment.order:
            for key, share in _shares(payment).items():
                paid[key] += share
    return paid


def _shares(payment: Payment) -> dict[str, int]:
    """Return the payment split over phases by the net of its order's lines; the last phase takes what is left over."""
    weights: dict[str, int] = defaultdict(int)
    for line in payment.order.lines.all() if payment.order else ():
        if line.step:
            weights[line.step.phase.key] += line.net_minor
    total, left = sum(weights.values()), payment.amount_minor
    shares: dict[str, int] = {}
    for key, weight in weights.items():
        shares[key] = payment.amount_minor * weight // total if total else 0
        left -= shares[key]
    if shares:
        shares[key] += left
    return shares


def _ordered_by_phase(made: Planned) -> dict[str, int]:
    """Return what stands on placed orders with tax, by phase."""
    placed = {order.key for order in made.given.orders if order.placed}
    ordered: dict[str, int] = defaultdict(int)
    for step in made.given.steps:
        for cost in step.costs:
            if cost.order_line.partition("#")[0] in placed:
                ordered[step.phase] += cost.net_minor + part(cost.net_minor, cost.tax_bp)
    return ordered


def the_fund(viewer: Viewer, made: Planned, fund: Fund) -> FundRow:
    """Return one fund in figures; two queries."""
    return next(row for row in _fund_rows(viewer, by_fund(made.given)) if row.fund.pk == fund.pk)


def not_allowed(viewer: Viewer) -> dict[str, str]:
    """Return {step: name of its fund} for the steps whose fund may not pay for them; two queries.

    A fund without rules that is not said to pay for anything pays for nothing. Nothing where no money is seen.
    """
    if not viewer.sees_money:
        return {}
    allowed = {(one.fund_id, one.step_id, one.phase_id) for one in FundRule.objects.visible_to(viewer)}
    bound = Step.objects.visible_to(viewer).filter(fund__isnull=False, fund__pays_anything=False)
    return {
        step.key: step.fund.name
        for step in bound.exclude(state=StepState.DROPPED).select_related("fund")
        if step.fund
        and (step.fund_id, step.pk, None) not in allowed
        and (step.fund_id, None, step.phase_id) not in allowed
    }


def step_totals(made: Planned) -> dict[str, int]:
    """Return each step's cost with tax in minor units."""
    return {key: money.total for key, money in by_step(made.given).items()}
