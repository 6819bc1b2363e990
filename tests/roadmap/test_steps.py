"""Steps: the ladder, one step, what it requires, how it stands, and what is refused in words."""

from datetime import date
from typing import Any

import pytest

from people.models import Act
from roadmap.models import Freeze, FundRule, Promise, PromisedDate, Service, Step, StepCost, StepLink
from roadmap.services.loading import planned
from tests.conftest import TODAY
from tests.roadmap.pages import cells, first_line, url, words


def a_form(**only_what_matters: Any) -> dict[str, Any]:
    values = {"title": "Hang the loudspeakers", "kind": "work", "days": "2", "day_rule": "weekdays"}
    numbers = {"people_needed": "0", "volunteer_hours": "0", "resale_minor": "0"}
    return {**values, **numbers, **only_what_matters}


def last_act() -> Act:
    return Act.objects.latest("id")


def test_a_new_step_gets_the_next_number_and_the_last_place(cast: Any, make: Any) -> None:
    before = make.step(key="S07", order=70)
    answer = cast.client("coach").post(url("step-add"), a_form(phase=before.phase.pk))
    made = Step.objects.get(key="S08")
    assert answer["Location"] == made.get_absolute_url() and made.order > before.order


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"touches_sunday": "on"}, "what runs meanwhile?"),
        ({"agreed_start": "2026-11-09", "agreed_finish": "2026-11-06"}, "It ends before it starts"),
        ({"title": ""}, "Fill this in: it is needed."),
    ],
)
def test_a_step_that_cannot_be_is_refused_in_words(cast: Any, make: Any, wrong: dict[str, str], said: str) -> None:
    answer = cast.client().post(url("step-add"), a_form(phase=make.phase().pk, **wrong))
    assert answer.status_code == 422 and said in words(answer) and not Step.objects.exists()


def test_a_step_that_touches_a_sunday_names_what_runs_meanwhile(cast: Any, make: Any) -> None:
    data = a_form(phase=make.phase().pk, touches_sunday="on", interim="the stand-in pair")
    assert cast.client().post(url("step-add"), data).status_code == 302
    assert Step.objects.get().interim == "the stand-in pair"


def test_a_person_owns_a_step(cast: Any, make: Any) -> None:
    step, person = make.step(), make.person(name="Theo Ansah")
    cast.client().post(url("step-edit", key=step.key), a_form(phase=step.phase.pk, owner=person.pk))
    assert "Theo Ansah" in words(cast.client("crew").get(url("step", key=step.key)))


@pytest.mark.parametrize(
    ("state", "started", "finished"),
    [
        ("on it", TODAY, None),
        ("in, not proven", TODAY, TODAY),
        ("proven on a Sunday", TODAY, TODAY),
        ("approved", None, None),
    ],
)
def test_saying_how_it_stands_sets_what_really_happened(
    cast: Any, make: Any, state: str, started: date | None, finished: date | None
) -> None:
    step = make.step(key="S10")
    answer = cast.client("crew").post(url("step-state", key="S10"), {"state": state, "on": "2026-11-03"})
    step.refresh_from_db()
    assert answer.status_code == 302
    assert (step.state, step.actual_start, step.actual_finish) == (state, started, finished)


def test_a_finished_step_keeps_its_dates_and_loses_them_when_it_is_set_back(cast: Any, make: Any) -> None:
    step = make.step(key="S10", actual_start=date(2026, 10, 19))
    client = cast.client("crew")
    client.post(url("step-state", key="S10"), {"state": "in, not proven", "on": "2026-10-20"})
    client.post(url("step-state", key="S10"), {"state": "proven on a Sunday", "on": "2026-11-01"})
    step.refresh_from_db()
    assert (step.actual_start, step.actual_finish) == (date(2026, 10, 19), date(2026, 10, 20))
    client.post(url("step-state", key="S10"), {"state": "ready", "on": "2026-11-03"})
    step.refresh_from_db()
    assert (step.actual_start, step.actual_finish) == (None, None)


@pytest.mark.parametrize("state", ["waiting on", "set aside until"])
def test_waiting_needs_a_word(cast: Any, make: Any, state: str) -> None:
    step = make.step(key="S10")
    answer = cast.client("crew").post(url("step-state", key="S10"), {"state": state, "on": "2026-11-03"})
    step.refresh_from_db()
    assert answer.status_code == 422 and step.state == "wished for"
    assert "Say what it waits on, or until when it is set aside." in words(answer)


@pytest.mark.parametrize("role", ["leadership", "treasurer"])
def test_who_only_reads_does_not_say_how_it_stands(cast: Any, make: Any, role: str) -> None:
    step = make.step()
    answer = cast.client(role).post(url("step-state", key=step.key), {"state": "on it", "on": "2026-11-03"})
    assert answer.status_code == 403 and Step.objects.get().state == "wished for"


def linked(make: Any) -> tuple[Step, Step, Step]:
    """S10, then S12, then S16."""
    steps = make.step(key="S10", title="Amplifier"), make.step(key="S12", title="Prove"), make.step(key="S16")
    make.add(StepLink, step=steps[1], requires=steps[0])
    make.add(StepLink, step=steps[2], requires=steps[1])
    return steps


def asks(step: Step, **rest: Any) -> dict[str, Any]:
    return {"requires": step.pk, "kind": "FS", "lag_days": "", "lag_services": "", **rest}


def test_a_link_is_kept_and_both_pages_say_so(cast: Any, make: Any) -> None:
    first, second = make.step(key="S10"), make.step(key="S12")
    assert cast.client().post(url("step-require", key="S12"), asks(first, lag_services="2")).status_code == 302
    link = StepLink.objects.get()
    assert (link.step, link.requires, link.lag_services) == (second, first, 2)
    assert "and two Sundays after it" in words(cast.client().get(url("step", key="S12")))
    assert "S12" in words(cast.client().get(url("step", key="S10")))


def test_a_loop_is_refused_with_the_whole_circle_in_words(cast: Any, make: Any) -> None:
    _first, _second, third = linked(make)
    answer = cast.client().post(url("step-require", key="S10"), asks(third))
    said = words(answer)
    assert answer.status_code == 422 and StepLink.objects.count() == 2
    assert "That would go round in a circle" in said
    assert "S10 (Amplifier) waits for S16" in said and "S12 (Prove) waits for S10" in said
    assert "None of them could ever start, so it was not kept." in said


def test_a_step_cannot_require_itself_or_the_same_twice(cast: Any, make: Any) -> None:
    first, _second, __ = linked(make)
    itself = cast.client().post(url("step-require", key="S10"), asks(first))
    twice = cast.client().post(url("step-require", key="S12"), asks(first))
    assert "A step cannot require itself" in words(itself) and "It requires that step already." in words(twice)
    assert (itself.status_code, twice.status_code, StepLink.objects.count()) == (422, 422, 2)


def test_a_step_of_another_church_cannot_be_required(cast: Any, make: Any) -> None:
    step = make.step(key="S10")
    foreign = make.step(ministry=cast.elsewhere, phase=make.phase(ministry=cast.elsewhere))
    answer = cast.client().post(url("step-require", key="S10"), asks(foreign))
    assert answer.status_code == 422 and not step.requires_links.exists()


def test_a_link_is_changed_and_taken_away(cast: Any, make: Any) -> None:
    linked(make)
    link = StepLink.objects.get(step__key="S12")
    data = {"kind": "FS", "lag_days": "3", "lag_services": "0"}
    cast.client().post(url("step-link", key="S12", uid=link.uid), data)
    link.refresh_from_db()
    assert link.lag_days == 3 and last_act().says == "Changed how step S12 requires S10."
    cast.client().post(url("step-require-no-more", key="S12", uid=link.uid))
    assert not StepLink.objects.filter(uid=link.uid).exists()


def test_links_that_others_imply_are_pointed_out(cast: Any, make: Any) -> None:
    first, __, third = linked(make)
    make.add(StepLink, step=third, requires=first)
    page = words(cast.client().get(url("steps")))
    assert "One link is already implied by others and may go" in page
    assert "S16 requires S10, and also something that requires it" in page


def test_a_link_with_a_lag_of_its_own_is_not_called_implied(cast: Any, make: Any) -> None:
    first, __, third = linked(make)
    make.add(StepLink, step=third, requires=first, lag_services=2)
    assert "already implied" not in words(cast.client().get(url("steps")))


def test_steps_change_places_in_the_list(cast: Any, make: Any) -> None:
    for key in ("S01", "S02", "S03"):
        make.step(key=key)
    cast.client().post(url("step-move", key="S03"), {"to": "up"})
    assert [step.key for step in Step.objects.order_by("order")] == ["S01", "S03", "S02"]
    before = Act.objects.count()
    cast.client().post(url("step-move", key="S01"), {"to": "up"})
    assert Act.objects.count() == before


def test_a_cost_is_written_changed_and_taken_away(cast: Any, make: Any) -> None:
    step, client = make.step(key="S14"), cast.client("treasurer")
    data = {"kind": "labor", "what": "The coach's day", "net_minor": "500", "tax_bp": "7.25"}
    assert client.post(url("step-cost-add", key="S14"), data).status_code == 302
    cost = StepCost.objects.get()
    assert (cost.step, cost.net_minor, cost.tax_bp) == (step, 50000, 725) and last_act().holds_money
    assert "$536.25" in words(client.get(url("step", key="S14")))  # 500 and 7.25 % of it
    client.post(url("step-cost-edit", key="S14", uid=cost.uid), {**data, "net_minor": "400"})
    cost.refresh_from_db()
    assert cost.net_minor == 40000
    client.post(url("step-cost-remove", key="S14", uid=cost.uid))
    assert not StepCost.objects.exists()


def test_a_cost_without_an_amount_is_refused(cast: Any, make: Any) -> None:
    make.step(key="S14")
    answer = cast.client("treasurer").post(url("step-cost-add", key="S14"), {"kind": "goods", "net_minor": ""})
    assert answer.status_code == 422 and not StepCost.objects.exists()


def test_a_fund_that_may_not_pay_is_said_on_the_step(cast: Any, make: Any) -> None:
    fund = make.fund(name="Access grant", pays_anything=False)
    step, other = make.step(key="S26", fund=fund), make.step(key="S10", fund=fund)
    make.add(FundRule, fund=fund, step=step)
    said = "Access grant may not pay for this step"
    assert said in words(cast.client().get(url("step", key="S10")))
    assert said not in words(cast.client().get(url("step", key="S26")))
    assert said not in words(cast.client("crew").get(url("step", key=other.key)))


def test_the_ladder_says_how_late_and_where_a_step_stood(cast: Any, make: Any) -> None:
    make.add(Service, key="V1", name="Sunday", weekday=6, from_on=date(2026, 9, 1), times=["09:00"])
    make.step(key="S10", title="Amplifier", agreed_start=date(2026, 10, 19))
    page = cast.client("crew").get(url("steps"))
    assert first_line(page) == "One step to November 4, 2026; one is late, S10 by two weeks."
    assert "stood here, October 19" in words(page) and "two weeks late" in words(page)
    assert page.content.count(b"ladder-slide") == 1


def test_a_step_agreed_before_the_ladder_begins_is_told_in_words(cast: Any, make: Any) -> None:
    make.step(key="S10", title="Amplifier", agreed_start=date(2026, 7, 6))
    page = cast.client().get(url("steps"))
    assert "agreed for July 6" in words(page) and "stood here," not in words(page)
    assert b"ladder-slide" not in page.content


def test_three_late_steps_have_three_lines(cast: Any, make: Any) -> None:
    for key in ("S10", "S12", "S16", "S18"):
        make.step(key=key, agreed_start=date(2026, 10, 19))
    html = cast.client().get(url("steps")).content.decode()
    assert [f"lane-{n}" in html for n in (1, 2, 3)] == [True] * 3 and html.count("ladder-slide") == 3


def test_a_freeze_stands_on_the_ladder_and_holds_a_sunday_path(cast: Any, make: Any) -> None:
    make.add(Freeze, name="Christmas", first_on=date(2026, 11, 4), last_on=date(2026, 11, 12))
    make.step(key="S10", touches_sunday=True)
    assert "Christmas, November 4–12" in words(cast.client("crew").get(url("steps")))
    assert planned(cast.ministry).plan.steps["S10"].start == date(2026, 11, 13)


def test_a_promise_on_a_rung_becomes_kept_when_its_step_is_over(cast: Any, make: Any) -> None:
    make.add(Service, key="V1", name="Sunday", weekday=6, from_on=date(2026, 9, 1), times=["09:00"])
    step = make.step(key="S13", agreed_start=date(2026, 11, 9), days=2)
    make.add(Promise, key="SP-04", text="Singers hear themselves", standing="at risk", brought_by=step)
    make.step(key="S28", agreed_start=date(2026, 11, 23))
    page = words(cast.client().get(url("steps")))
    assert "1 at risk: Singers hear themselves" in page and "all kept" in page


def test_the_same_stands_in_figures(cast: Any, make: Any) -> None:
    _first, _second, _third = linked(make)
    rows = cells(cast.client("crew").get(url("steps")), "Every step in figures")
    assert [row[0].split()[0] for row in rows] == ["S10", "S12", "S16"] and rows[1][-1] == "S10"


def test_a_church_without_steps_says_so(cast: Any) -> None:
    page = cast.client().get(url("steps"))
    assert page.status_code == 200 and first_line(page) == "No step is written down yet."


def reasons_of(cast: Any, key: str) -> str:
    said = words(cast.client("crew").get(url("step", key=key)))
    return said[said.index("Why then") : said.index("Steps that wait for it")]


def test_a_page_says_which_order_set_the_date(cast: Any, make: Any) -> None:
    order = make.order(key="O-05", state="ordered")
    make.add(PromisedDate, order=order, promised_on=date(2026, 11, 13))
    make.order_line(order=order, step=make.step(key="S10"))
    said = reasons_of(cast, "S10")
    assert "Order O-05 is promised for November 13, 2026." in said
    assert "It is done on weekdays; the next is November 16, 2026." in said


def test_a_page_says_that_an_overdue_order_counts_as_coming_today(cast: Any, make: Any) -> None:
    order = make.order(key="O-05", state="ordered")
    make.add(PromisedDate, order=order, promised_on=date(2026, 10, 30))
    make.order_line(order=order, step=make.step(key="S10"))
    assert "Order O-05 should have come: as if it came today" in reasons_of(cast, "S10")


def test_a_page_names_the_freeze_and_the_booking_that_moved_it(cast: Any, make: Any) -> None:
    make.add(Freeze, name="Advent", first_on=date(2026, 11, 4), last_on=date(2026, 11, 12))
    make.step(key="S10", touches_sunday=True)
    said = reasons_of(cast, "S10")
    assert "What has not begun starts tomorrow at the earliest." in said
    assert "Advent lasts until November 12, 2026." in said


def test_a_page_names_the_gate_what_is_agreed_and_what_it_requires(cast: Any, make: Any) -> None:
    ahead = make.phase(key="3", gate_on=date(2026, 11, 9))
    make.step(key="S19", phase=ahead)
    agreed = make.step(key="S20", agreed_start=date(2026, 12, 1))
    behind = make.step(key="S21")
    make.add(StepLink, step=behind, requires=agreed)
    assert "Phase 3 is decided on November 9, 2026." in reasons_of(cast, "S19")
    assert "It was agreed for December 1, 2026." in reasons_of(cast, "S20")
    assert "It requires S20, so not before December 2, 2026." in reasons_of(cast, "S21")


def test_a_page_says_since_when_it_is_under_way_and_when_it_was_done(cast: Any, make: Any) -> None:
    make.step(key="S18", state="on it", actual_start=date(2026, 10, 26), days=2)
    make.step(key="S17", state="signed over", actual_start=date(2026, 9, 29), actual_finish=date(2026, 10, 2))
    assert "It is under way since October 26, 2026. It is not over yet." in reasons_of(cast, "S18")
    assert "It was done on October 2, 2026." in reasons_of(cast, "S17")


def test_an_order_of_a_gated_phase_that_is_not_placed_is_known(cast: Any, make: Any) -> None:
    phase = make.phase(key="3", gate_on=date(2026, 11, 9))
    step = make.step(key="S20", phase=phase, agreed_start=date(2026, 11, 9), agreed_finish=date(2026, 11, 9))
    make.order_line(order=make.order(key="O-09", state="priced", lead_days_high=56), step=step)
    said = reasons_of(cast, "S20")
    assert "It starts before phase 3 is decided on November 9, 2026; nothing of it may be ordered before." in said
    assert "Order O-09 is not placed yet" in said


def test_a_step_that_can_hurt_someone_says_the_usual_cautions(cast: Any, make: Any) -> None:
    make.step(key="S25", title="Hang the loudspeakers", signs="the engineer's certificate")
    make.step(key="S02", title="Test the circuits")
    make.step(key="S03", title="Empty the cafeteria")
    hung, wired, plain = (words(cast.client("crew").get(url("step", key=key))) for key in ("S25", "S02", "S03"))
    assert (
        "nobody stands below" in hung and "Signed by: the engineer's certificate. Verger only keeps the date." in hung
    )
    assert "wiring is for a licensed electrician, by the local code" in wired
    assert "Before anyone touches this" not in plain


def test_a_step_that_is_done_needs_no_cautions_any_more(cast: Any, make: Any) -> None:
    make.step(key="S02", title="Test the circuits", state="signed over", actual_finish=TODAY)
    assert "Before anyone touches this" not in words(cast.client().get(url("step", key="S02")))
