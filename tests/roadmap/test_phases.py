"""Phases: written, decided on a gate night, and proposed under a cap without changing anything."""

from datetime import date
from typing import Any

import pytest

from people.models import Act
from people.services.undo import undo
from roadmap.models import Phase, Step, StepCost, StepLink
from roadmap.services.loading import planned
from tests.roadmap.pages import first_line, url, words


def test_a_new_phase_gets_the_next_number(cast: Any, make: Any) -> None:
    make.phase(key="4", order=40)
    answer = cast.client("coach").post(url("phase-add"), {"name": "Outside", "contingency_bp": "12"})
    made = Phase.objects.get(key="5")
    assert answer["Location"] == url("phase", key="5") and (made.contingency_bp, made.order) == (1200, 50)
    assert first_line(cast.client().get(url("phase", key="5"))) == "Outside: no step is in it yet."


def test_a_phase_needs_a_name(cast: Any) -> None:
    answer = cast.client().post(url("phase-add"), {"contingency_bp": "10"})
    assert answer.status_code == 422 and not Phase.objects.exists()


def test_a_cap_that_is_passed_is_said(cast: Any, make: Any) -> None:
    phase = make.phase(key="3", name="See", contingency_bp=1000, cap_minor=100000)
    make.add(StepCost, step=make.step(phase=phase), net_minor=95000)
    page = words(cast.client("leadership").get(url("phase", key="3")))
    assert "That is $45 over what was allowed for it." in page  # 950 and a tenth of it, less 1,000


def test_leaders_decide_at_a_gate_and_the_dates_follow(cast: Any, make: Any) -> None:
    phase = make.phase(key="3", gate_on=date(2026, 11, 9))
    make.step(key="S19", phase=phase)
    assert planned(cast.ministry).plan.steps["S19"].start == date(2026, 11, 10)
    data = {"gate_state": "passed", "gate_words": "Go ahead"}
    assert cast.client("leadership").post(url("phase-decide", key="3"), data).status_code == 302
    assert planned(cast.ministry).plan.steps["S19"].start == date(2026, 11, 4)
    assert "Go ahead" in words(cast.client("treasurer").get(url("phase", key="3")))


def test_a_refusal_needs_a_reason(cast: Any, make: Any) -> None:
    make.phase(key="3")
    answer = cast.client("leadership").post(url("phase-decide", key="3"), {"gate_state": "refused"})
    assert answer.status_code == 422 and Phase.objects.get().gate_state == "ahead"
    assert "Say why, so that the next meeting knows." in words(answer)


@pytest.mark.parametrize("role", ["coach", "treasurer", "crew"])
def test_who_is_no_leader_decides_nothing(cast: Any, make: Any, role: str) -> None:
    make.phase(key="3")
    assert cast.client(role).post(url("phase-decide", key="3"), {"gate_state": "passed"}).status_code in {403, 404}
    assert Phase.objects.get().gate_state == "ahead"


@pytest.fixture
def four_steps(make: Any) -> dict[str, Step]:
    """60, 50, 40 and 30 of money; the 40 requires the 60. Under a cap of 100 two phases do, 60 and 40 together."""
    phase = make.phase(key="1", name="One")
    steps = {}
    for key, net in (("S01", 6000), ("S02", 5000), ("S03", 4000), ("S04", 3000)):
        steps[key] = make.step(key=key, phase=phase)
        make.add(StepCost, step=steps[key], net_minor=net)
    make.add(StepLink, step=steps["S03"], requires=steps["S01"])
    return steps


def test_the_fewest_phases_are_proposed_and_nothing_changes(cast: Any, four_steps: dict[str, Step]) -> None:
    before = Act.objects.count()
    page = cast.client("coach").get(url("phases-propose") + "?cap=100")
    assert first_line(page) == "Two phases hold what is still ahead, none above $100."
    assert "Fewer cannot do: this is proved." in words(page) and "A new phase" in words(page)
    assert Act.objects.count() == before and Phase.objects.count() == 1


def test_accepting_moves_the_steps_in_one_act_and_undo_brings_them_back(cast: Any, four_steps: dict[str, Step]) -> None:
    before = Act.objects.count()
    assert cast.client().post(url("phases-propose"), {"cap": "100"}).status_code == 302
    assert Act.objects.count() == before + 1 and Phase.objects.count() == 2
    phases = [{step.key for step in phase.steps.all()} for phase in Phase.objects.order_by("order")]
    assert sorted(map(sorted, phases)) in ([["S01", "S03"], ["S02", "S04"]], [["S01", "S04"], ["S02", "S03"]])
    totals = planned(cast.ministry).plan.phases
    assert all(one.total <= 10000 for one in totals.values())
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert Phase.objects.count() == 1 and {step.phase.key for step in Step.objects.all()} == {"1"}


def test_a_step_above_the_cap_is_named(cast: Any, four_steps: dict[str, Step]) -> None:
    for answer in (
        cast.client().get(url("phases-propose") + "?cap=55"),
        cast.client().post(url("phases-propose"), {"cap": "55"}),
    ):
        assert answer.status_code == 422 and "Step S01 alone costs more than that" in first_line(answer)
    assert Phase.objects.count() == 1


@pytest.mark.parametrize("cap", ["", "0", "-5", "much"])
def test_a_cap_that_is_none_is_refused(cast: Any, four_steps: dict[str, Step], cap: str) -> None:
    assert cast.client().post(url("phases-propose"), {"cap": cap}).status_code == 422
    assert Phase.objects.count() == 1


def test_what_is_done_or_under_way_stays_where_it_is(cast: Any, four_steps: dict[str, Step], make: Any) -> None:
    make.step(key="S09", phase=four_steps["S01"].phase, state="signed over", title="Walked the sites")
    make.step(key="S10", phase=four_steps["S01"].phase, state="on it", title="Being done")
    page = words(cast.client().get(url("phases-propose") + "?cap=100"))
    assert "Walked the sites" not in page and "Being done" not in page
