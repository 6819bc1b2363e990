"""Writing funds, what comes into them and what they may pay for."""

from collections.abc import Collection
from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from people.services.editing import change_merged
from roadmap.models import Fund, FundIncome, FundRule, Phase, Step


def add_fund(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Fund, Act]:
    """Store a new fund at the end of the list."""
    last = Fund.objects.filter(ministry=ministry).order_by("-order").first()
    says = _("Wrote down the fund %(name)s.") % {"name": values["name"]}
    with record.act(ministry=ministry, by=by, kind="fund-add", says=says, holds_money=True) as act:
        return record.add(Fund(ministry=ministry, order=(last.order if last else 0) + 10, **values)), act


def change_fund(*, fund: Fund, by: Member | None, **how: Any) -> Act | None:
    """Change a fund; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed the fund %(name)s.") % {"name": fund.name}
    return change_merged(row=fund, by=by, act_kind="fund-change", says=says, holds_money=True, **how)


def add_income(*, fund: Fund, by: Member | None, **values: Any) -> tuple[FundIncome, Act]:
    """Store money that came, or is to come, into a fund."""
    says = _("%(name)s: wrote down money coming in.") % {"name": fund.name}
    with record.act(ministry=fund.ministry, by=by, kind="income-add", says=says, holds_money=True) as act:
        return record.add(FundIncome(ministry=fund.ministry, fund=fund, **values)), act


def change_income(*, income: FundIncome, by: Member | None, **how: Any) -> Act | None:
    """Change money coming in. Raises merging.Clashed."""
    says = _("%(name)s: changed money coming in.") % {"name": income.fund.name}
    return change_merged(row=income, by=by, act_kind="income-change", says=says, holds_money=True, **how)


def remove_income(*, income: FundIncome, by: Member | None) -> Act:
    """Take money coming in out of a fund."""
    says = _("%(name)s: took away money coming in.") % {"name": income.fund.name}
    with record.act(ministry=income.ministry, by=by, kind="income-remove", says=says, holds_money=True) as act:
        record.remove(income)
        return act


def set_rules(
    *, fund: Fund, by: Member | None, pays_anything: bool, steps: Collection[Step], phases: Collection[Phase]
) -> Act:
    """Say what a fund may pay for: any step, or these steps and the steps of these phases."""
    says = _("Changed what %(name)s may pay for.") % {"name": fund.name}
    rules = list(fund.rules.all())
    kept_steps, kept_phases = {step.pk for step in steps}, {phase.pk for phase in phases}
    gone = [one for one in rules if one.step_id not in kept_steps and one.phase_id not in kept_phases]
    new_steps = [step for step in steps if step.pk not in {one.step_id for one in rules}]
    new_phases = [phase for phase in phases if phase.pk not in {one.phase_id for one in rules}]
    with record.act(ministry=fund.ministry, by=by, kind="fund-rules", says=says, holds_money=True) as act:
        record.change(fund, pays_anything=pays_anything)
        record.remove_many(gone)
        record.add_many([FundRule(ministry=fund.ministry, fund=fund, step=step) for step in new_steps])
        record.add_many([FundRule(ministry=fund.ministry, fund=fund, phase=phase) for phase in new_phases])
        return act
