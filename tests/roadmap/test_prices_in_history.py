"""History of the plan: what was done with money is told to those who see money, and to nobody else."""

from typing import Any

import pytest

from roadmap.models import FundIncome, OrderLine, Payment, StepCost
from tests.roadmap.pages import url, words

SEE_MONEY = ("lead", "coach", "leadership", "treasurer")


@pytest.fixture
def spent(cast: Any, make: Any) -> dict[str, Any]:
    """A treasurer wrote a cost, a payment, money coming in, and changed a line of an order."""
    client = cast.client("treasurer")
    step, fund = make.step(key="S14"), make.fund(code="BLD", name="Building fund")
    line = make.order_line(order=make.order(key="O-05"), step=step, what="Amplifier")
    client.post(url("step-cost-add", key="S14"), {"kind": "goods", "what": "Food", "net_minor": "4321", "tax_bp": "0"})
    client.post(url("order-pay", key="O-05"), {"on": "2026-11-03", "amount_minor": "4321", "note": "half"})
    income = {"on": "2026-11-03", "amount_minor": "4321", "certainty": "pledged", "probability_bp": "90"}
    client.post(url("income-add", code="BLD"), income)
    changed = {"what": "Amplifier", "kind": "goods", "quantity": "1", "net_minor": "4321", "tax_bp": "7.25"}
    client.post(url("order-line-edit", key="O-05", uid=line.uid), changed)
    assert (StepCost.objects.count(), Payment.objects.count(), FundIncome.objects.count()) == (1, 1, 1)
    assert OrderLine.objects.get().net_minor == 432100
    return {"step": step, "order": line.order, "orderline": line, "fund": fund}


@pytest.mark.parametrize("role", ["crew", "reader"])
def test_who_sees_no_money_meets_none_in_what_happened(cast: Any, spent: dict[str, Any], role: str) -> None:
    client = cast.client(role)
    for address in (
        url("happened"),
        url("happened-thing", kind="step", uid=spent["step"].uid),
        url("happened-thing", kind="order", uid=spent["order"].uid),
        url("happened-thing", kind="orderline", uid=spent["orderline"].uid),
        url("happened-thing", kind="fund", uid=spent["fund"].uid),
    ):
        said = words(client.get(address))
        assert "4,321" not in said and "$" not in said and "7.25" not in said, address
        assert "Building fund" not in said and "Paid on" not in said, address


@pytest.mark.parametrize("role", SEE_MONEY)
def test_who_sees_money_reads_what_was_done_with_it(cast: Any, spent: dict[str, Any], role: str) -> None:
    said = words(cast.client(role).get(url("happened")))
    assert "Paid on O-05." in said and "Building fund: wrote down money coming in." in said


@pytest.mark.parametrize("role", ["crew", "reader", *SEE_MONEY])
def test_the_leaders_packet_is_offered_to_who_sees_money(cast: Any, role: str) -> None:
    page = cast.client(role).get(url("paper"))
    assert page.status_code == 200
    assert ("The leaders' packet" in words(page)) is (role in SEE_MONEY)
