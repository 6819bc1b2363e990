"""Pages of the plan cost the same number of queries for few rows and for many."""

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from roadmap.models import (
    Arrival,
    Booking,
    Freeze,
    FundIncome,
    FundRule,
    Goal,
    Payment,
    Promise,
    PromisedDate,
    Service,
    StepCost,
    StepLink,
)
from tests.conftest import TODAY
from tests.roadmap.pages import url


def one_more(make: Any) -> None:
    """Add one of everything a page of the plan shows, tied together as a church has it."""
    number = next(make.numbers)
    day = TODAY + timedelta(days=number % 40)
    step = make.step(key=f"T{number}", fund=make.fund(), owner=make.person(), agreed_start=TODAY - timedelta(days=7))
    other = make.step(key=f"U{number}", phase=step.phase)
    make.add(StepLink, step=other, requires=step)
    make.add(StepCost, step=step, net_minor=1000)
    order = make.order(key=f"X-{number}", state="ordered")
    line = make.order_line(order=order, step=step, quantity=2)
    make.order_line(order=make.order(key=f"Y-{number}", state="priced"), step=other)
    make.order_line(order=make.order(key=f"Z-{number}", state="all arrived", return_by=day), step=other)
    make.add(Arrival, line=line, on=TODAY, quantity=1)
    make.add(PromisedDate, order=order, promised_on=day, told_on=TODAY)
    make.add(Payment, order=order, on=TODAY, amount_minor=500, fund=step.fund)
    make.add(FundIncome, fund=step.fund, on=day, amount_minor=5000)
    make.add(FundRule, fund=step.fund, step=step)
    make.add(Promise, key=f"P{number}", text=f"Promise {number}", brought_by=step, standing="kept")
    make.add(Goal, key=f"G{number}", goal=f"Goal {number}", phase=step.phase)
    make.add(Service, key=f"V{number}", name=f"Service {number}", on=day, times=["09:00"])
    make.add(Freeze, name=f"Freeze {number}", first_on=day, last_on=day)
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=ZoneInfo("America/New_York"))
    make.add(Booking, place=make.place(), what="Supper", starts_at=noon, ends_at=noon + timedelta(hours=2))


PAGES = ("this-sunday", "waiting", "calendar", "suppliers", "steps", "money", "promises", "goals")


@pytest.mark.parametrize("name", PAGES)
def test_a_list_page_costs_the_same_for_few_and_many(cast: Any, make: Any, same_queries: Any, name: str) -> None:
    one_more(make)
    same_queries(cast.client(), url(name), lambda: [one_more(make) for __ in range(5)])


def test_a_step_an_order_a_phase_and_a_fund_cost_the_same_too(cast: Any, make: Any, same_queries: Any) -> None:
    one_more(make)
    phase, fund = make.phase(key="9"), make.fund(code="GEN", pays_anything=True)
    step = make.step(key="S10", phase=phase, fund=fund)
    order = make.order(key="O-05", state="ordered")
    make.add(PromisedDate, order=order, promised_on=date(2026, 11, 13))

    def grow() -> None:
        for __ in range(4):
            one_more(make)
            needed = make.step(phase=phase, fund=fund)
            make.add(StepLink, step=step, requires=needed)
            make.add(StepLink, step=make.step(), requires=step)
            make.order_line(order=order, step=step)
            make.add(Payment, order=order, fund=fund, on=TODAY, amount_minor=100)
            make.add(FundIncome, fund=fund, on=TODAY, amount_minor=100)

    grow()
    for address in (
        url("step", key="S10"),
        url("order", key="O-05"),
        url("order", key="O-05") + "?promised=2026-11-20",
        url("phase", key="9"),
        url("fund", code="GEN"),
    ):
        same_queries(cast.client(), address, grow)
