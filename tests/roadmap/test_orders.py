"""Orders: what they promise, what comes, what a new date would move, and what is refused in words."""

from datetime import date
from typing import Any

import pytest

from people.models import Act
from people.services.undo import undo
from roadmap.models import Arrival, Order, OrderLine, Payment, PromisedDate, Supplier
from roadmap.services.loading import planned
from roadmap.services.orders import tell_date
from tests.conftest import TODAY
from tests.roadmap.pages import cells, first_line, url, words

FRIDAY = date(2026, 11, 13)


@pytest.fixture
def waiting_step(make: Any) -> Any:
    """A step that waits for one amplifier, promised for Friday November 13."""
    step = make.step(key="S10", title="Amplifier into the rack", agreed_start=date(2026, 11, 9), days=2)
    order = make.order(key="O-05", state="ordered", supplier=make.supplier(name="Blaylock"))
    line = make.order_line(order=order, step=step, what="Amplifier", quantity=1, net_minor=198000)
    make.add(PromisedDate, order=order, told_on=date(2026, 9, 15), promised_on=FRIDAY)
    return step, order, line


def last_act() -> Act:
    return Act.objects.latest("id")


def test_writing_an_order_numbers_it_and_leads_to_it(cast: Any, make: Any) -> None:
    supplier = make.supplier()
    make.order(key="O-12")
    answer = cast.client("treasurer").post(url("order-add"), {"supplier": supplier.pk, "state": "ordered"})
    made = Order.objects.get(key="O-13")
    assert answer.status_code == 302 and answer["Location"] == made.get_absolute_url()
    assert made.supplier == supplier and last_act().kind == "order-add"


def test_an_order_without_a_supplier_is_refused(cast: Any) -> None:
    answer = cast.client("treasurer").post(url("order-add"), {"state": "ordered"})
    assert answer.status_code == 422 and not Order.objects.exists()


def test_an_order_with_a_supplier_of_another_church_is_refused(cast: Any, make: Any) -> None:
    foreign = make.supplier(ministry=cast.elsewhere)
    answer = cast.client("treasurer").post(url("order-add"), {"supplier": foreign.pk, "state": "ordered"})
    assert answer.status_code == 422 and not Order.objects.exists()


def test_the_row_of_days_says_what_each_arrival_would_cost(cast: Any, waiting_step: Any) -> None:
    page = cast.client().get(url("order", key="O-05"))
    days = [one["value"] for one in radios(page.content.decode())]
    assert days[:3] == ["2026-11-13", "2026-11-20", "2026-11-27"] and len(days) == 14
    assert "Nov 20 one step one week" in words(page)


def radios(html: str) -> list[dict[str, str]]:
    import re

    found = re.findall(r"<input type=\"radio\"[^>]*>", html)
    return [dict(re.findall(r'(\w+)="([^"]*)"', one)) for one in found]


def test_a_date_that_is_only_asked_shows_the_differences_and_changes_nothing(cast: Any, waiting_step: Any) -> None:
    step, order, __ = waiting_step
    page = cast.client().get(url("order", key="O-05") + "?promised=2026-11-20")
    moved = cells(page, "Steps that move")
    assert moved[0][0] == "S10 Amplifier into the rack"
    assert moved[0][1:] == ["November 16–17", "November 23–24", "+7"]
    assert [row[0] for row in moved[1:]] == [f"Phase {step.phase.name} ends"]
    assert order.promised_dates.count() == 1


def test_a_date_that_moves_nothing_says_so(cast: Any, waiting_step: Any) -> None:
    page = cast.client().get(url("order", key="O-05") + "?promised=2026-11-15")
    assert "Nothing moves" in words(page)


def test_a_date_that_is_no_date_is_left_aside(cast: Any, waiting_step: Any) -> None:
    page = cast.client().get(url("order", key="O-05") + "?promised=soon")
    assert page.status_code == 200 and "If it comes on" not in words(page)


def test_keeping_a_later_date_makes_the_order_late_and_moves_the_plan(cast: Any, waiting_step: Any) -> None:
    __, order, __ = waiting_step
    data = {"promised_on": "2026-11-20", "told_on": "2026-11-03", "words": "one part short"}
    answer = cast.client("treasurer").post(url("order-date", key="O-05"), data)
    order.refresh_from_db()
    assert answer.status_code == 302 and order.state == "running late"
    assert [(one.told_on, one.promised_on) for one in order.promised_dates.all()] == [
        (date(2026, 9, 15), FRIDAY),
        (TODAY, date(2026, 11, 20)),
    ]
    assert planned(cast.ministry).plan.steps["S10"].start == date(2026, 11, 23)
    assert last_act().says == "Order O-05 is now promised for November 20, 2026."
    assert "their second date" in first_line(cast.client().get(url("order", key="O-05")))


def test_the_first_date_confirms_an_order(cast: Any, make: Any) -> None:
    order = make.order(key="O-07", state="ordered")
    cast.client().post(url("order-date", key="O-07"), {"promised_on": "2026-12-01", "told_on": "2026-11-03"})
    order.refresh_from_db()
    assert order.state == "date confirmed"


def test_an_earlier_date_than_the_first_confirms_again(cast: Any, waiting_step: Any) -> None:
    __, order, __ = waiting_step
    cast.client().post(url("order-date", key="O-05"), {"promised_on": "2026-11-06", "told_on": "2026-11-03"})
    order.refresh_from_db()
    assert order.state == "date confirmed"


def test_a_date_told_in_words_only_is_kept_as_words(cast: Any, waiting_step: Any) -> None:
    __, order, __ = waiting_step
    cast.client().post(url("order-date", key="O-05"), {"words": "two to three weeks", "told_on": "2026-11-03"})
    order.refresh_from_db()
    assert order.promised_dates.last().words == "two to three weeks" and order.state == "ordered"


def test_no_date_and_no_words_is_refused(cast: Any, waiting_step: Any) -> None:
    answer = cast.client().post(url("order-date", key="O-05"), {"told_on": "2026-11-03"})
    assert answer.status_code == 422
    assert "Give the day, or what they said instead of one." in words(answer)


def test_taking_back_a_new_date_restores_state_and_plan(cast: Any, waiting_step: Any) -> None:
    __, order, __ = waiting_step
    __, act = tell_date(order=order, by=cast.lead, promised_on=date(2026, 11, 20), told_on=TODAY)
    undo(act=act, by=cast.lead)
    order.refresh_from_db()
    assert order.state == "ordered" and order.promised_dates.count() == 1


def test_parts_arrive_one_after_the_other(cast: Any, make: Any) -> None:
    line = make.order_line(order=make.order(key="O-06", state="ordered"), quantity=3)
    address = url("order-receive", key="O-06", uid=line.uid)
    client = cast.client("crew")
    assert client.post(address, {"quantity": "2", "on": "2026-11-03"}).status_code == 302
    assert Order.objects.get(key="O-06").state == "part arrived"
    assert last_act().says.startswith("Order O-06: 2 of 3 came")
    client.post(address, {"quantity": "1", "on": "2026-11-05", "tested": "on"})
    order = Order.objects.get(key="O-06")
    assert order.state == "all arrived" and order.arrived_on == date(2026, 11, 5)
    page = client.get(url("order", key="O-06"))
    assert "2 came Nov 3" in words(page) and "1 came Nov 5" in words(page) and "3 of 3" in words(page)


def test_more_than_was_ordered_cannot_come(cast: Any, make: Any) -> None:
    line = make.order_line(order=make.order(key="O-06", state="ordered"), quantity=3)
    address = url("order-receive", key="O-06", uid=line.uid)
    answer = cast.client().post(address, {"quantity": "4", "on": "2026-11-03"})
    assert answer.status_code == 422 and not Arrival.objects.exists()
    assert "3 of this line are still owed: write that many or fewer." in words(answer)


def test_enough_to_start_with_frees_the_step(cast: Any, make: Any) -> None:
    """Six of seven receivers are enough: the seventh is a spare."""
    step = make.step(key="S13", agreed_start=date(2026, 11, 9))
    line = make.order_line(order=make.order(key="O-06", state="ordered"), step=step, quantity=7, must_quantity=6)
    make.add(PromisedDate, order=line.order, promised_on=date(2026, 12, 1))
    assert planned(cast.ministry).plan.steps["S13"].start == date(2026, 12, 2)
    cast.client().post(url("order-receive", key="O-06", uid=line.uid), {"quantity": "6", "on": "2026-11-03"})
    assert planned(cast.ministry).plan.steps["S13"].start == date(2026, 11, 9)


@pytest.mark.parametrize(
    ("said", "state", "works"), [("yes", "checked and working", True), ("no", "going back", False)]
)
def test_what_came_is_tested_or_goes_back(cast: Any, make: Any, said: str, state: str, works: bool) -> None:
    line = make.order_line(order=make.order(key="O-03", state="all arrived"))
    arrival = make.add(Arrival, line=line, on=TODAY, quantity=1)
    cast.client("crew").post(url("order-tested", key="O-03"), {"works": said})
    arrival.refresh_from_db()
    assert (Order.objects.get(key="O-03").state, arrival.works, arrival.tested_on) == (state, works, TODAY)


def test_a_line_is_changed_and_the_totals_follow(cast: Any, waiting_step: Any) -> None:
    __, __, line = waiting_step
    data = {"what": "Amplifier", "kind": "goods", "quantity": "1", "net_minor": "2100", "tax_bp": "7.25"}
    answer = cast.client("treasurer").post(url("order-line-edit", key="O-05", uid=line.uid), data)
    line.refresh_from_db()
    assert answer.status_code == 302 and (line.net_minor, line.tax_bp) == (210000, 725)
    assert "$152.25" in words(cast.client("treasurer").get(url("order", key="O-05")))  # 7.25 % of 2,100


def test_fewer_than_came_cannot_be_ordered(cast: Any, make: Any) -> None:
    line = make.order_line(order=make.order(key="O-06"), quantity=3)
    make.add(Arrival, line=line, on=TODAY, quantity=2)
    data = {"what": line.what, "kind": "goods", "quantity": "1", "net_minor": "10", "tax_bp": "0"}
    answer = cast.client().post(url("order-line-edit", key="O-06", uid=line.uid), data)
    assert answer.status_code == 422 and "Fewer than came already" in words(answer)


def test_a_line_is_struck_out_and_comes_back_on_undo(cast: Any, waiting_step: Any) -> None:
    __, __, line = waiting_step
    cast.client().post(url("order-line-remove", key="O-05", uid=line.uid))
    assert not OrderLine.objects.filter(uid=line.uid).exists()
    undo(act=last_act(), by=cast.lead)
    assert OrderLine.objects.get(uid=line.uid).net_minor == 198000


def test_a_line_of_which_something_came_stays(cast: Any, make: Any) -> None:
    line = make.order_line(order=make.order(key="O-06"), quantity=3)
    make.add(Arrival, line=line, on=TODAY, quantity=1)
    answer = cast.client().post(url("order-line-remove", key="O-06", uid=line.uid), follow=True)
    assert OrderLine.objects.filter(uid=line.uid).exists()
    assert "Something of this line came already" in words(answer)


def test_a_new_line_takes_the_tax_given(cast: Any, make: Any) -> None:
    order = make.order(key="O-01")
    data = {"what": "Labor", "kind": "labor", "quantity": "1", "net_minor": "1,150.00", "tax_bp": "7.25"}
    cast.client().post(url("order-line-add", key="O-01"), data)
    line = order.lines.get()
    assert (line.net_minor, line.tax_bp, line.position) == (115000, 725, 1)


def test_a_payment_is_written_and_struck_out(cast: Any, waiting_step: Any) -> None:
    data = {"on": "2026-11-03", "amount_minor": "1153", "note": "half with order"}
    client = cast.client("treasurer")
    assert client.post(url("order-pay", key="O-05"), data).status_code == 302
    paid = Payment.objects.get()
    assert (paid.amount_minor, paid.order.key) == (115300, "O-05") and last_act().holds_money
    assert "$1,153" in words(client.get(url("order", key="O-05")))
    client.post(url("payment-remove", uid=paid.uid))
    assert not Payment.objects.exists()


def test_a_payment_without_an_amount_is_refused(cast: Any, waiting_step: Any) -> None:
    answer = cast.client("treasurer").post(url("order-pay", key="O-05"), {"on": "2026-11-03"})
    assert answer.status_code == 422 and not Payment.objects.exists()


def test_suppliers_are_listed_with_what_they_owe(cast: Any, waiting_step: Any) -> None:
    assert first_line(cast.client().get(url("suppliers"))) == "One supplier; one still owes us something."


def test_a_supplier_is_written_once(cast: Any) -> None:
    client = cast.client("treasurer")
    assert client.post(url("supplier-add"), {"name": "Whetstone", "tax_bp": "7.25"}).status_code == 302
    assert Supplier.objects.get().tax_bp == 725
    again = client.post(url("supplier-add"), {"name": "Whetstone", "tax_bp": "0"})
    assert again.status_code == 422 and "There is already one with this name" in words(again)


def test_waiting_says_what_is_awaited_and_what_it_holds_up(cast: Any, waiting_step: Any) -> None:
    page = cast.client("crew").get(url("waiting"))
    assert first_line(page) == "We wait for one order, O-05, and it holds up one step."
    assert "Holds up: S10 Amplifier into the rack" in words(page)


def test_nothing_awaited_is_said_too(cast: Any) -> None:
    assert first_line(cast.client().get(url("waiting"))) == "Nothing is being waited for."


@pytest.mark.parametrize("role", ["crew", "leadership"])
def test_who_may_not_order_keeps_no_date(cast: Any, waiting_step: Any, role: str) -> None:
    data = {"promised_on": "2026-11-20", "told_on": "2026-11-03"}
    assert cast.client(role).post(url("order-date", key="O-05"), data).status_code == 403
    assert PromisedDate.objects.count() == 1


def test_what_does_not_work_counts_as_not_come_until_another_is_here(cast: Any, waiting_step: Any) -> None:
    """The amplifier came dead: its step waits again, its cost stays, and a working one may still come."""
    __, order, line = waiting_step
    client = cast.client("crew")
    came = url("order-receive", key="O-05", uid=line.uid)
    client.post(came, {"quantity": "1", "on": "2026-11-03"})
    assert planned(cast.ministry).plan.steps["S10"].start == date(2026, 11, 9)
    client.post(url("order-tested", key="O-05"), {"works": "no"})
    order.refresh_from_db()
    assert (order.state, order.arrived_on) == ("going back", None)
    found = planned(cast.ministry).plan
    assert found.steps["S10"].start == date(2026, 11, 16)  # as promised: Friday the 13th, then a weekend
    assert sum(phase.before_tax for phase in found.phases.values()) == 198000
    page = client.get(url("order", key="O-05"))
    assert "What came does not work and goes back" in first_line(page) and "0 of 1" in words(page)
    client.post(came, {"quantity": "1", "on": "2026-11-06", "tested": "on"})
    order.refresh_from_db()
    assert order.state == "checked and working" and order.arrived_on == date(2026, 11, 6)


def test_a_canceled_order_holds_and_costs_nothing(cast: Any, waiting_step: Any) -> None:
    __, order, __ = waiting_step
    data = {"supplier": order.supplier.pk, "state": "canceled", "base_version": order.version}
    cast.client().post(url("order-edit", key="O-05"), data)
    found = planned(cast.ministry).plan
    assert found.steps["S10"].start == date(2026, 11, 9)
    assert sum(phase.before_tax for phase in found.phases.values()) == 0
