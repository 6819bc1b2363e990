"""Funds: what comes in, what they may pay for, and what is said when they may not."""

from datetime import date
from typing import Any

import pytest

from people.models import Act
from people.services.undo import undo
from roadmap.models import Fund, FundIncome, FundRule, StepCost
from tests.roadmap.pages import first_line, url, words


def last_act() -> Act:
    return Act.objects.latest("id")


def a_pledge(**only_what_matters: Any) -> dict[str, Any]:
    values = {"on": "2026-12-31", "amount_minor": "1,500", "certainty": "pledged", "probability_bp": "90"}
    return {**values, "note": "household 3", **only_what_matters}


def test_a_fund_is_written_down_once(cast: Any) -> None:
    client = cast.client("treasurer")
    data = {"code": "bld", "name": "Building fund", "nature": "designated", "amount_minor": "14,600"}
    assert client.post(url("fund-add"), data)["Location"] == url("fund", code="BLD")
    assert Fund.objects.get().amount_minor == 1460000
    again = client.post(url("fund-add"), data | {"name": "Another"})
    assert again.status_code == 422 and "There is already one with this code" in words(again)


def test_money_coming_in_is_written_changed_and_taken_out(cast: Any, make: Any) -> None:
    fund, client = make.fund(code="PLG", name="Pledges"), cast.client("treasurer")
    assert client.post(url("income-add", code="PLG"), a_pledge()).status_code == 302
    income = FundIncome.objects.get()
    assert (income.fund, income.amount_minor, income.probability_bp) == (fund, 150000, 9000)
    assert "$1,500 pledged · 90% likely · household 3" in words(client.get(url("fund", code="PLG")))
    assert first_line(client.get(url("fund", code="PLG"))).startswith("Pledges is to give $1,350;")  # 90 % of 1,500
    client.post(url("income-edit", code="PLG", uid=income.uid), a_pledge(probability_bp="60"))
    income.refresh_from_db()
    assert income.probability_bp == 6000
    client.post(url("income-remove", code="PLG", uid=income.uid))
    assert not FundIncome.objects.exists()
    undo(act=last_act(), by=cast.lead)
    assert FundIncome.objects.get().amount_minor == 150000


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"certainty": "in the bank"}, "What is in the bank is certain: write 100."),
        ({"amount_minor": "a lot"}, "Write an amount in figures"),
        ({"probability_bp": "140"}, "less than or equal to 100"),
    ],
)
def test_what_cannot_come_in_is_refused_in_words(cast: Any, make: Any, wrong: dict[str, str], said: str) -> None:
    make.fund(code="PLG")
    answer = cast.client("treasurer").post(url("income-add", code="PLG"), a_pledge(**wrong))
    assert answer.status_code == 422 and said in words(answer) and not FundIncome.objects.exists()


def test_what_a_fund_may_pay_for_is_said_as_one_act(cast: Any, make: Any) -> None:
    fund, phase = make.fund(code="MEM"), make.phase(name="See and send")
    kept, gone, new = make.step(key="S10"), make.step(key="S12"), make.step(key="S25")
    make.add(FundRule, fund=fund, step=kept)
    make.add(FundRule, fund=fund, step=gone)
    data = {"steps": [kept.pk, new.pk], "phases": [phase.pk]}
    assert cast.client("treasurer").post(url("fund-rules", code="MEM"), data).status_code == 302
    assert {(one.step, one.phase) for one in fund.rules.all()} == {(kept, None), (new, None), (None, phase)}
    undo(act=last_act(), by=cast.lead)
    assert {one.step for one in fund.rules.all()} == {kept, gone}


@pytest.mark.parametrize("pays_anything", ["", "on"])
def test_all_or_some_must_be_said_and_not_both(cast: Any, make: Any, pays_anything: str) -> None:
    make.fund(code="MEM")
    step = make.step()
    data = {"pays_anything": "on", "steps": [step.pk]} if pays_anything else {}
    answer = cast.client("treasurer").post(url("fund-rules", code="MEM"), data)
    assert answer.status_code == 422 and not FundRule.objects.exists()
    assert ("keep one of the two" if pays_anything else "Tick what the giver meant") in words(answer)


def test_a_fund_says_which_of_its_steps_it_may_not_pay_for(cast: Any, make: Any) -> None:
    fund = make.fund(code="GRT", name="Access grant", pays_anything=False)
    make.add(FundRule, fund=fund, step=make.step(key="S26", fund=fund))
    make.step(key="S10", title="Amplifier", fund=fund)
    page = words(cast.client("leadership").get(url("fund", code="GRT")))
    assert "Access grant may not pay for S10, Amplifier" in page and "may not pay for S26" not in page
    assert "One step is charged to a fund that may not pay for it: S10." in words(cast.client().get(url("money")))


def test_a_rule_for_a_phase_covers_its_steps(cast: Any, make: Any) -> None:
    fund, phase = make.fund(code="PLG", name="Pledges"), make.phase()
    make.add(FundRule, fund=fund, phase=phase)
    make.step(key="S19", phase=phase, fund=fund)
    assert "may not pay" not in words(cast.client().get(url("fund", code="PLG")))


def test_a_fund_that_is_short_says_by_how_much(cast: Any, make: Any) -> None:
    fund = make.fund(code="MEM", name="Memorial gift", pays_anything=True)
    make.add(FundIncome, fund=fund, on=date(2026, 8, 15), amount_minor=600000, certainty="in the bank")
    make.add(StepCost, step=make.step(fund=fund), net_minor=605000)
    line = first_line(cast.client("leadership").get(url("fund", code="MEM")))
    assert line == "Memorial gift is to give $6,000; its steps need $6,050. It is $50 short."


@pytest.mark.parametrize("role", ["leadership", "crew", "reader"])
def test_who_may_not_write_money_does_not(cast: Any, make: Any, role: str) -> None:
    make.fund(code="PLG")
    assert cast.client(role).post(url("income-add", code="PLG"), a_pledge()).status_code == 403
    assert not FundIncome.objects.exists()
