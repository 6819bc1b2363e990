"""What a demo church is going to do: phases, funds, steps, what they require and cost, promises and goals."""

from people.services import record
from roadmap.models import Fund, FundIncome, FundRule, Goal, Phase, Promise, Step, StepCost, StepLink
from roadmap.services.demo.church import Church
from roadmap.services.demo.tables import day, joined, the_day, whole, yes


def load_steps(church: Church) -> None:
    """Store phases, funds, steps, links and costs."""
    phases = record.add_many([_phase(church, row, order) for order, row in enumerate(church.tables.rows("phases"), 1)])
    church.phases = {phase.key: phase for phase in phases}
    funds = record.add_many([_fund(church, row, order) for order, row in enumerate(church.tables.rows("funds"), 1)])
    church.funds = {fund.code: fund for fund in funds}
    steps = record.add_many([_step(church, row, order) for order, row in enumerate(church.tables.rows("steps"), 1)])
    church.steps = {step.key: step for step in steps}
    _load_links_and_costs(church)
    _load_what_funds_may_and_get(church)


def _phase(church: Church, row: dict[str, str], order: int) -> Phase:
    names = ("key", "name", "gives", "gate_state", "if_we_stop")
    return Phase(
        ministry=church.ministry,
        gate_on=day(row["gate_on"]),
        gate_words="" if row["gate_words"] == row["gate_state"] else row["gate_words"],
        contingency_bp=int(row["contingency_bp"]),
        cap_minor=whole(row["cap_minor"]),
        order=order * 10,
        **{name: row[name] for name in names},
    )


def _fund(church: Church, row: dict[str, str], order: int) -> Fund:
    anything = {rule["fund"] for rule in church.tables.rows("fund_rules") if yes(rule["any_step"])}
    return Fund(
        ministry=church.ministry,
        purpose_words=row["may_pay_words"],
        amount_minor=int(row["amount_minor"]),
        pays_anything=row["code"] in anything,
        order=order * 10,
        **{name: row[name] for name in ("code", "name", "nature", "nature_words", "when_words")},
    )


def _step(church: Church, row: dict[str, str], order: int) -> Step:
    dates = ("agreed_start", "agreed_finish", "actual_start", "actual_finish", "not_before")
    return Step(
        ministry=church.ministry,
        phase=church.phases[row["phase"]],
        state_words=row["waiting_words"],
        days=int(row["days"]),
        in_one_piece=yes(row["in_one_piece"]),
        ends_on_services=whole(row["ends_on_services"]),
        touches_sunday=yes(row["touches_sunday"]),
        volunteer_hours=int(row["volunteer_hours"]),
        owner=church.people[row["owner"]],
        fund=church.funds[row["fund"]],
        resale_minor=int(row["resale_minor"]),
        signs=row["permission_words"],
        order=order * 10,
        **{name: day(row[name]) for name in dates},
        **{name: row[name] for name in ("key", "title", "kind", "state", "day_rule", "interim")},
    )


def _load_links_and_costs(church: Church) -> None:
    record.add_many(
        [
            StepLink(
                ministry=church.ministry,
                step=church.steps[row["step"]],
                requires=church.steps[row["requires"]],
                kind=row["kind"],
                lag_days=int(row["lag_days"]),
                lag_services=int(row["lag_services"]),
            )
            for row in church.tables.rows("step_links")
        ]
    )
    record.add_many(
        [
            StepCost(
                ministry=church.ministry,
                step=church.steps[row["step"]],
                kind=row["kind"],
                what=row["what"],
                net_minor=int(row["net_minor"]),
                tax_bp=int(row["tax_bp"]),
            )
            for row in church.tables.rows("step_costs")
        ]
    )


def _load_what_funds_may_and_get(church: Church) -> None:
    record.add_many(
        [
            FundRule(
                ministry=church.ministry,
                fund=church.funds[row["fund"]],
                step=church.steps.get(row["step"]),
                phase=church.phases.get(row["phase"]),
            )
            for row in church.tables.rows("fund_rules")
            if not yes(row["any_step"])
        ]
    )
    record.add_many(
        [
            FundIncome(
                ministry=church.ministry,
                fund=church.funds[row["fund"]],
                on=the_day(row["on"]),
                amount_minor=int(row["amount_minor"]),
                certainty=row["state"],
                probability_bp=round(float(row["probability"]) * 10_000),
                note=joined(row["who"], row["note"]),
            )
            for row in church.tables.rows("fund_income")
        ]
    )


def load_promises(church: Church) -> None:
    """Store the Sunday promises and the goals."""
    names = ("key", "text", "source", "listener", "level", "path_today", "fallback", "standing", "why")
    record.add_many(
        [
            Promise(
                ministry=church.ministry,
                brought_by=church.steps.get((row["brought_by"].split() or [""])[-1]),  # the last one completes it
                order=order * 10,
                **{name: row[name] for name in names},
            )
            for order, row in enumerate(church.tables.rows("promises"), 1)
        ]
    )
    record.add_many(
        [
            Goal(
                ministry=church.ministry,
                before_on=day(row["before_on"]),
                target=row["target_words"],
                how=row["measured_how"],
                phase=church.phases[row["phase"]],
                **{name: row[name] for name in ("key", "goal", "unit", "before", "after")},
            )
            for row in church.tables.rows("goals")
        ]
    )
