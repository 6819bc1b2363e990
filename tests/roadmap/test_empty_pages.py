"""A church that has only begun: each page of the plan says what to do first."""

from bs4 import BeautifulSoup
from django.urls import reverse

from inventory.models import AskedQuestion, Source


def page(cast, name, **more):
    answer = cast.client().get(reverse(name, kwargs={"ministry": cast.ministry.slug, **more}))
    assert answer.status_code == 200
    return BeautifulSoup(answer.content, "html.parser").main


def test_this_sunday_asks_for_the_first_promise_and_names_what_the_lists_ask(cast, make):
    found = page(cast, "this-sunday")
    assert "Nothing has been promised yet." in found.h1.get_text()
    assert found.find("a", string="Write down a promise")
    source = make.add(Source, name="a.csv")
    make.add(AskedQuestion, source=source, code="x", text="What?")
    assert "One question of the lists without an answer" in " ".join(page(cast, "this-sunday").get_text().split())


def test_steps_and_money_say_what_to_write_down_first(cast):
    steps, money = page(cast, "steps"), page(cast, "money")
    assert steps.find("a", string="Write down a step") and steps.find("a", string="What the rooms need")
    assert money.find("a", string="Write down a phase") and money.find("a", string="Write down a fund")
    assert not money.find("table")


def test_a_phase_that_lies_ahead_asks_and_does_not_say_it_was_decided(cast, make):
    phase = make.phase(name="Hear", gate_words="elders decide")
    found = page(cast, "phase", key=phase.key).get_text()
    assert "What do the elders decide?" in found and "What was decided" not in found
