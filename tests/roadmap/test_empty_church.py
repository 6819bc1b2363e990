"""A church without a plan: every page opens, says so in its first sentence, and shows where to begin."""

from typing import Any

import pytest

from roadmap.models import Phase, Step
from tests.roadmap.pages import first_line, url, words

SAYS = {
    "this-sunday": "Nothing has been promised yet.",
    "waiting": "Nothing is being waited for.",
    "calendar": "No freeze lies ahead.",
    "suppliers": "No supplier is written down yet.",
    "steps": "No step is written down yet.",
    "money": "No phase is written down yet, so nothing costs anything.",
    "promises": "Nothing has been promised yet.",
    "goals": "No figure was named that the work should move.",
}


@pytest.mark.parametrize("name", sorted(SAYS))
def test_an_empty_page_says_so(cast: Any, name: str) -> None:
    assert first_line(cast.client().get(url(name))) == SAYS[name]


def test_nothing_ahead_needs_no_phase(cast: Any) -> None:
    page = cast.client().get(url("phases-propose") + "?cap=100")
    assert first_line(page) == "Nothing is ahead that needs a phase."


def test_a_step_and_an_order_say_what_must_come_first(cast: Any, make: Any) -> None:
    assert "Write down the first phase" in words(cast.client().get(url("step-add")))
    assert "Write down the first supplier" in words(cast.client().get(url("order-add")))
    make.phase()
    make.supplier()
    assert "Write down the first phase" not in words(cast.client().get(url("step-add")))
    assert "Write down the first supplier" not in words(cast.client().get(url("order-add")))


def test_from_nothing_to_a_dated_step_by_pages_alone(cast: Any) -> None:
    client = cast.client("coach")
    client.post(url("phase-add"), {"name": "Open the doors", "contingency_bp": "10"})
    phase = Phase.objects.get()
    numbers = {"days": "2", "people_needed": "0", "volunteer_hours": "0", "resale_minor": "0"}
    kind = {"kind": "work", "day_rule": "weekdays"}
    client.post(url("step-add"), {"title": "Walk the sites", "phase": phase.pk, **numbers, **kind})
    assert Step.objects.get().key == "S01"
    assert first_line(client.get(url("step", key="S01"))) == "Walk the sites: November 4–5."  # the day after today
