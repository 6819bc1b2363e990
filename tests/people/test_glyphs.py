"""A state is a shape and a word; every word the models know has a shape."""

import re
from pathlib import Path

import pytest
from django.template import Context, Template

from inventory.words import Condition, Fate, Verdict
from people.templatetags.glyph_words import GLYPHS
from people.templatetags.glyphs import hymn_board, state_html, tag_tape, undo_url
from roadmap.words import OrderState, Standing, StepState

SPRITE = (Path(__file__).resolve().parents[2] / "templates" / "_glyphs.html").read_text()


def shown(text: str, **context: object) -> str:
    return Template("{% load glyphs %}" + text).render(Context(context))


@pytest.mark.parametrize(
    ("kind", "choices"),
    [
        ("condition", Condition),
        ("fate", Fate),
        ("verdict", Verdict),
        ("step", StepState),
        ("order", OrderState),
        ("promise", Standing),
    ],
)
def test_every_word_of_the_models_has_a_shape(kind, choices):
    assert set(choices.values) <= set(GLYPHS[kind])


def test_every_shape_is_drawn_once():
    drawn = re.findall(r'<symbol id="g-([\w-]+)"', SPRITE)
    assert len(drawn) == len(set(drawn))
    assert {glyph.shape for words in GLYPHS.values() for glyph in words.values()} <= set(drawn)


def test_within_a_kind_no_two_words_share_a_shape_unless_the_mood_differs():
    same = {"money": {"committed", "ordered"}}  # the same thing said of a sum and of a strip
    for kind, words in GLYPHS.items():
        told = [(glyph.shape, glyph.mood) for word, glyph in words.items() if word not in same.get(kind, set())]
        assert len(told) == len(set(told)), kind


def test_a_state_is_a_shape_and_its_word():
    html = state_html("condition", "works, marked")
    assert 'href="#g-disc-half"' in html and "works, marked" in html and 'aria-hidden="true"' in html


@pytest.mark.parametrize("spelled", ["tested good", "tested_good", "Tested good", "tested-good"])
def test_a_word_is_known_however_it_is_spelled(spelled):
    assert state_html("condition", spelled) == state_html("condition", "tested good")


def test_a_state_that_names_what_it_waits_on_keeps_its_words():
    html = state_html("step", "waiting on the stage box")
    assert 'href="#g-square-hatched"' in html and "waiting on the stage box" in html


def test_an_unknown_word_comes_back_plain_and_escaped():
    html = state_html("condition", "<b>odd</b>")
    assert "<svg" not in html and "&lt;b&gt;odd" in html


def test_nothing_comes_of_nothing():
    assert state_html("fate", None) == "" and tag_tape("") == ""


def test_the_note_is_escaped():
    assert "&lt;i&gt;" in shown("{% state 'fate' 'sell' '<i>' %}")


def test_tape_links_where_it_is_told_and_refuses_kinds_it_does_not_know():
    assert shown("{% tag_tape 'G003-R' '/gear/1/' %}") == '<a class="tape" href="/gear/1/">G003-R</a>'
    assert shown("{% tag_tape 'G121-W' '' 'next' %}") == '<span class="tape tape-next">G121-W</span>'
    with pytest.raises(ValueError, match="none of"):
        tag_tape("G003-R", "", "shiny")


def test_a_board_says_each_number_once_to_a_screen_reader():
    html = shown("{% hymn_board slides %}", slides=[(120, "pieces", "/gear/"), {"number": 9, "word": "undecided"}])
    assert html.count('<span class="out-of-sight">120</span>') == 1
    assert html.count('class="board-digit"') == 4 and html.count('aria-hidden="true"') == 2


def test_a_board_without_numbers_is_not_there():
    assert shown("{% hymn_board slides %}", slides=[]).strip() == ""


def test_a_board_holds_three_numbers():
    with pytest.raises(ValueError, match="holds 3"):
        hymn_board([(1, "a"), (2, "b"), (3, "c"), (4, "d")])


@pytest.mark.parametrize(
    ("amounts", "paid", "ordered"),
    [
        ((440, 180, 620), "70.97%", "29.03%"),
        ((0, 0, 0), "0%", "0%"),
        ((900, 50, 620), "100%", "0%"),
        ((0, 31, 62), "0%", "50%"),
    ],
)
def test_bars_show_shares_and_never_more_than_the_whole(amounts, paid, ordered):
    html = shown("{% bars a b c %}", a=amounts[0], b=amounts[1], c=amounts[2])
    assert f'class="bar-paid" width="{paid}"' in html
    assert (f'width="{ordered}" height="100%" fill="url(#hatch)"' in html) == (ordered != "0%")


def test_undo_is_found_among_the_tags_of_a_message():
    class Message:
        extra_tags = "safe undo:/lanes/undo/4/"

    assert undo_url(Message()) == "/lanes/undo/4/" and undo_url(object()) == ""
