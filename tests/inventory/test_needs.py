"""Needs of rooms: how far they are filled, must-haves as rows, choosing by hand, and the page's sentence."""

from datetime import date

import pytest
from django.urls import reverse

from inventory.compute.filling import Filled, filling, pairs_in
from inventory.compute.matching import needs_from_words
from inventory.compute.tags import make_tag
from inventory.models import Choice, Must, Piece, PieceFact, RoomNeed
from inventory.services.fates import FateRefused
from inventory.services.needs import add_need, choose, leave, look_at_needs
from people.models import Act


def page(name, **kwargs):
    return reverse(name, kwargs={"ministry": "first", **kwargs})


def parts(what, quantity=1, must=""):
    return needs_from_words("N01", what, quantity, must)


# The arithmetic, as the words of the job say it; worked by hand.


@pytest.mark.parametrize(
    ("what", "wanted", "chosen", "on_order", "answer"),
    [
        ("Display", 2, [Filled("display", 2)], 0, (2, "filled", 0)),
        ("Display", 2, [Filled("display", 1)], 0, (1, "open", 1)),
        ("Display", 2, [Filled("display", 1)], 1, (1, "on order", 0)),
        ("Display", 2, [Filled("display", 2, stands_in=True)], 0, (0, "stood in", 2)),
        ("Display", 2, [Filled("display", 2, there=False)], 0, (0, "open", 2)),
        ("Display", 2, [Filled("display", 2, does_it=False)], 0, (0, "falls short", 2)),
        ("Hearing receivers", 10, [Filled("hearing receiver", 6), Filled("hearing transmitter", 9)], 0, (6, "open", 4)),
        ("Display", 1, [Filled("", 1)], 0, (1, "filled", 0)),
        ("Pulpit and microphone", 1, [Filled("lectern", 1)], 0, (1, "open", 1)),
        ("Pulpit and microphone", 1, [Filled("lectern", 1), Filled("lectern microphone", 1)], 0, (2, "filled", 0)),
    ],
)
def test_how_far_a_need_is_filled(what, wanted, chosen, on_order, answer):
    found = filling(parts(what, wanted), chosen, on_order)
    assert (found.filled, found.state, found.gap) == answer


def test_a_pair_is_what_a_note_calls_one_and_both_are_there():
    notes = {("G", 3): "", ("G", 4): "right; pair with G003", ("G", 5): "pair with G099", ("G", 6): "pair with G6"}
    assert pairs_in(notes) == [(("G", 3), ("G", 4))]


# Services


def test_words_become_must_haves_as_rows(cast, make):
    place = make.place()
    words = "24 inputs or more, 12 mix buses or more, seen by volunteers before"
    need, _act = add_need(
        ministry=cast.ministry, by=cast.lead, what="Console", place=place, quantity=1, must_words=words
    )
    rows = [(must.key, must.op, must.value) for must in need.musts.order_by("id")]
    assert rows == [("inputs", "at least", "24"), ("mix_buses", "at least", "12")]
    assert need.key == "N01"


def test_a_chosen_piece_that_fails_a_must_have_falls_short_and_says_so(cast, make):
    need = make.need(what="Projector")
    make.add(Must, need=need, key="lumens", op="at least", value="6000", unit="lm", words="6,000 lumens or more")
    piece = make.piece(what="Projector", condition="tested good", fate="use here")
    make.add(PieceFact, piece=piece, key="lumens", value="4200", number=4200)
    make.add(Choice, need=need, piece=piece)
    (look,) = look_at_needs(cast.ministry)
    assert look.state == "falls short"
    assert str(look.choices[0].fails[0].say) == "lumens: 4200; asked: 6,000 lumens or more"


def test_choosing_by_hand_uses_the_piece_in_the_room_with_its_reason(cast, make):
    need, piece = make.need(what="Display"), make.piece(what="Display 55 in", condition="tested good")
    choose(need=need, piece=piece, by=cast.lead, reason="the children know it")
    choice = Choice.objects.get()
    assert (choice.how, choice.reason) == ("by hand", "the children know it")
    stored = Piece.objects.get(pk=piece.pk)
    assert (stored.fate, stored.goes_to) == ("use here", need.place)
    leave(choice=choice, by=cast.lead)
    assert not Choice.objects.exists()
    assert Piece.objects.get(pk=piece.pk).fate == "use here"


def test_choosing_a_barred_set_by_hand_is_refused(cast, make):
    """698-746 MHz is closed to microphones. Source: FCC, Wireless Microphones."""
    band = {"radio_low_khz": 698_000, "radio_high_khz": 746_000}
    piece = make.piece(what="Wireless handheld set", condition="tested good", **band)
    with pytest.raises(FateRefused):
        choose(need=make.need(what="Wireless handhelds"), piece=piece, by=cast.lead, reason="we always did")
    assert not Choice.objects.exists()
    assert Piece.objects.get(pk=piece.pk).fate == "to decide"


def test_a_stand_in_stays_one_when_it_is_chosen_for_later(cast, make):
    piece = make.piece(what="Powered loudspeaker", condition="tested good", fate="stand-in", next_fate="sell")
    need = make.need(what="Loudspeaker")
    choose(need=need, piece=piece, by=cast.lead, reason="good enough")
    stored = Piece.objects.get(pk=piece.pk)
    assert (stored.fate, stored.next_fate, stored.goes_to) == ("stand-in", "use here", need.place)


# Pages


def test_the_sentence_counts_what_is_filled_what_waits_and_names_the_rest(cast, make):
    filled = make.need(what="Projector")
    make.add(Choice, need=filled, piece=make.piece(what="Projector", condition="tested good", fate="use here"))
    make.need(what="Amplifier", order_key="O-05", order_quantity=1)
    make.need(what="Stage box")
    html = cast.client("reader").get(page("needs")).content.decode()
    assert "1 of 3 needs are filled" in html
    assert "one waits for an order; one is not: Stage box." in html


def test_a_must_have_is_changed_added_and_ended_as_a_row(cast, make):
    need = make.need(what="Console")
    kept = make.add(Must, need=need, key="inputs", op="at least", value="24")
    make.add(Must, need=need, key="mix_buses", op="at least", value="12")
    rows = [
        {"id": kept.pk, "key": "inputs", "op": "at least", "value": "32"},
        {"id": "", "key": "network ports", "op": "at least", "value": "2"},
    ]
    done = cast.client().post(page("need-edit", uid=need.uid), form_of(need, rows))
    assert done.status_code == 302
    stored = [(must.key, must.value) for must in need.musts.order_by("id")]
    assert stored == [("inputs", "32"), ("network_ports", "2")]


def form_of(need, rows):
    data = {
        "what": need.what, "place": need.place_id, "quantity": 1, "level": "must", "order_quantity": 0,
        "base_version": need.version, "musts-TOTAL_FORMS": len(rows), "musts-INITIAL_FORMS": 0,
    }  # fmt: skip
    for n, row in enumerate(rows):
        data |= {f"musts-{n}-{name}": value for name, value in row.items()}
    return data


@pytest.mark.parametrize("value", ["plenty", ""])
def test_a_value_that_is_no_figure_is_refused_and_nothing_changes(cast, make, value):
    need = make.need(what="Console")
    rows = [{"id": "", "key": "inputs", "op": "at least", "value": value}]
    refused = cast.client().post(page("need-edit", uid=need.uid), form_of(need, rows))
    assert refused.status_code == 422
    assert "Write a number" in refused.content.decode()
    assert not Must.objects.exists()


def test_a_row_of_another_need_is_not_taken_over(cast, make):
    need, other = make.need(what="Console"), make.need(what="Stage box")
    theirs = make.add(Must, need=other, key="inputs", op="at least", value="16")
    rows = [{"id": theirs.pk, "key": "inputs", "op": "at least", "value": "1"}]
    cast.client().post(page("need-edit", uid=need.uid), form_of(need, rows))
    theirs.refresh_from_db()
    assert (theirs.need, theirs.value) == (other, "16")


def test_two_who_change_the_same_word_are_asked(cast, make):
    need = make.need(what="Console")
    mine = form_of(need, []) | {"what": "Big console"}
    cast.client().post(page("need-edit", uid=need.uid), form_of(need, []) | {"what": "Small console"})
    answer = cast.client("coach").post(page("need-edit", uid=need.uid), mine)
    assert answer.status_code == 409
    assert "Small console" in answer.content.decode()
    assert RoomNeed.objects.get(pk=need.pk).what == "Small console"


def test_choosing_on_the_page_asks_for_a_reason(cast, make):
    need, tag = make.need(what="Display"), make_tag("G", 7)
    url = page("need-choose", uid=need.uid)
    other = make.piece(what="Display 43 in", tag=tag, condition="tested good")
    assert cast.client().post(url, {"tag": tag, "quantity": 1}).status_code == 422
    assert not Choice.objects.exists()
    assert cast.client().post(url, {"tag": tag, "quantity": 1, "reason": "lighter"}).status_code == 302
    assert Choice.objects.get().piece == other


def test_a_need_is_written_down_and_taken_off_with_a_way_back(cast, make):
    place = make.place()
    data = {"what": "Display", "place": place.pk, "quantity": 2, "level": "should", "order_quantity": 0}
    done = cast.client().post(page("need-add"), data | {"must_words": "50 in or more"})
    need = RoomNeed.objects.get()
    assert done.url == page("need", uid=need.uid)
    assert need.musts.get().key == "diagonal_in"
    assert cast.client("coach").post(page("need-remove", uid=need.uid)).status_code == 403
    cast.client().post(page("need-remove", uid=need.uid))
    assert not RoomNeed.objects.exists()
    cast.client().post(page("undo", act=Act.objects.latest("id").pk))
    assert RoomNeed.objects.get().musts.get().value == "50"


def test_the_list_costs_the_same_for_many(cast, make, same_queries):
    def more():
        for n in range(10):
            need = make.need(what="Display", needed_on=date(2026, 12, 1))
            make.add(Must, need=need, key="diagonal_in", op="at least", value="50")
            make.add(Choice, need=need, piece=make.piece(what=f"Display {n}", place=make.place()))

    more()
    same_queries(cast.client(), page("needs"), more)
