"""Two people change the same row: fields only one of them touched are both kept, a clash shows both values."""

from datetime import date
from typing import Any

import pytest

from people.models import Act
from roadmap.models import Fund, Phase, Step
from roadmap.services.steps import change_step
from tests.roadmap.pages import url, words


@pytest.fixture
def step(make: Any) -> Step:
    made: Step = make.step(key="S10", title="Amplifier", days=2)
    return made


def as_seen(step: Step, **typed: Any) -> dict[str, Any]:
    """Return the form of a step as somebody has it open at the version the step has now."""
    shown = {"title": step.title, "phase": step.phase.pk, "kind": step.kind, "days": step.days}
    zeros = {"people_needed": "0", "volunteer_hours": "0", "resale_minor": "0"}
    return {**shown, **zeros, "day_rule": step.day_rule, "base_version": step.version, **typed}


def test_what_two_people_change_in_different_fields_is_both_kept(cast: Any, step: Step) -> None:
    mine = as_seen(step, title="Amplifier into the rack")
    change_step(step=step, by=cast["coach"], days=3)
    answer = cast.client().post(url("step-edit", key="S10"), mine)
    step.refresh_from_db()
    assert answer.status_code == 302 and (step.title, step.days) == ("Amplifier into the rack", 3)


def test_a_clash_shows_both_values_and_writes_nothing(cast: Any, step: Step) -> None:
    mine = as_seen(step, title="Mine", days="4")
    change_step(step=step, by=cast["coach"], title="Theirs")
    before = Act.objects.count()
    answer = cast.client().post(url("step-edit", key="S10"), mine)
    said = words(answer)
    step.refresh_from_db()
    assert answer.status_code == 409 and (step.title, step.days, Act.objects.count()) == ("Theirs", 2, before)
    assert "It was: Amplifier" in said and "Theirs: Theirs" in said and "Mine: Mine" in said
    assert 'name="chosen_at" value="2"' in answer.content.decode()


@pytest.mark.parametrize(("choice", "kept"), [("mine", "Mine"), ("theirs", "Theirs")])
def test_the_choice_is_kept_with_the_rest(cast: Any, step: Step, choice: str, kept: str) -> None:
    mine = as_seen(step, title="Mine", days="4")
    change_step(step=step, by=cast["coach"], title="Theirs")
    chosen = {"choose_title": choice, "chosen_at": "2"}
    assert cast.client().post(url("step-edit", key="S10"), mine | chosen).status_code == 302
    step.refresh_from_db()
    assert (step.title, step.days) == (kept, 4)


def test_a_choice_made_before_it_moved_on_again_is_asked_again(cast: Any, step: Step) -> None:
    mine = as_seen(step, title="Mine")
    change_step(step=step, by=cast["coach"], title="Theirs")
    change_step(step=step, by=cast["coach"], title="Theirs again")
    chosen = {"choose_title": "mine", "chosen_at": "2"}
    assert cast.client().post(url("step-edit", key="S10"), mine | chosen).status_code == 409


def test_keeping_a_form_unchanged_writes_no_act(cast: Any, step: Step) -> None:
    before = Act.objects.count()
    assert cast.client().post(url("step-edit", key="S10"), as_seen(step)).status_code == 302
    step.refresh_from_db()
    assert (Act.objects.count(), step.version) == (before, 1)


def test_values_are_shown_as_people_read_them(cast: Any, make: Any) -> None:
    """An amount as money, a date in words, a choice by its word."""
    make.fund(code="BLD", name="Building", amount_minor=100000, nature="free")
    data = {"code": "BLD", "name": "Building", "amount_minor": "1500", "nature": "restricted", "base_version": 1}
    first = {"code": "BLD", "name": "Building", "amount_minor": "1250.50", "nature": "designated", "base_version": 1}
    cast.client("treasurer").post(url("fund-edit", code="BLD"), first)
    said = words(cast.client().post(url("fund-edit", code="BLD"), data))
    assert "It was: $1,000.00" in said and "Theirs: $1,250.50" in said and "Mine: $1,500.00" in said
    assert "Theirs: set aside by the leaders" in said and "Mine: restricted by the giver" in said
    assert Fund.objects.get().amount_minor == 125050


def test_days_are_shown_in_words(cast: Any, make: Any) -> None:
    phase = make.phase(key="3", name="See", gate_on=date(2026, 11, 9), contingency_bp=1000)
    data = {"name": "See", "contingency_bp": "10", "base_version": 1}
    cast.client("coach").post(url("phase-edit", key="3"), data | {"gate_on": "2026-11-16"})
    said = words(cast.client().post(url("phase-edit", key="3"), data | {"gate_on": ""}))
    assert "It was: November 9, 2026" in said and "Theirs: November 16, 2026" in said and "Mine: nothing" in said
    assert Phase.objects.get(pk=phase.pk).gate_on == date(2026, 11, 16)
