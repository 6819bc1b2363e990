"""Deciding what becomes of pieces: gates, matters of judgment, bonds, sets, one act, and its way back.

Radio: 698-746 MHz closed to microphones in the United States (47 CFR 15.236, FCC: Wireless Microphones); what may
go with a reason and what never is this project's own rule, written in docs/algorithms/kits-and-gates.md.
"""

from datetime import date

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from inventory.models import Choice, NeedsLink, Piece
from inventory.services.fates import FateRefused, SetGoesTogether, set_fate
from people.models import Act
from people.services.undo import undo

OLD_BAND = {"what": "Wireless handheld set 698-746 MHz", "radio_low_khz": 698_000, "radio_high_khz": 746_000}
HALF_BAND = {"what": "Wireless lapel set 640-664 MHz", "radio_low_khz": 640_000, "radio_high_khz": 664_000}


def decide(cast, piece, fate, **how):
    return set_fate(pieces=[piece], fate=fate, by=cast.lead, **how)


def fate_of(piece):
    return Piece.objects.get(pk=piece.pk).fate


@pytest.mark.parametrize(
    ("values", "fate", "allowed"),
    [
        ({}, "sell", True),
        (OLD_BAND, "sell", False),
        (OLD_BAND, "give away", False),
        (OLD_BAND, "use here", False),
        (OLD_BAND, "recycle", True),
        ({"condition": "unsafe"}, "sell", False),
        ({"condition": "unsafe"}, "use here", False),
        ({"condition": "unsafe"}, "recycle", True),
        ({"bond": "lent"}, "sell", False),
        ({"bond": "lent"}, "recycle", False),
        ({"bond": "lent"}, "back to owner", True),
        ({"bond": "lease-to-own", "bond_until": date(2027, 3, 31)}, "sell", False),
        ({"bond": "lease-to-own", "bond_until": date(2026, 11, 2)}, "sell", True),
        ({"bond": "lease-to-own", "bond_until": date(2027, 3, 31)}, "use here", True),
        ({"bond": "in memory"}, "give away", False),
        ({"bond": "in memory"}, "use here", True),
        ({"bond": "landlord"}, "sell", False),
        ({"bond": "landlord"}, "stays with the building", True),
        ({"never_sell": True}, "sell", False),
        ({"never_sell": True}, "shelf spare", True),
        ({"bond": "donor bound"}, "sell", True),
    ],
)
def test_gates_no_reason_overrides(cast, make, values, fate, allowed):
    piece = make.piece(**({"condition": "tested good"} | values))
    if allowed:
        assert decide(cast, piece, fate)
    else:
        with pytest.raises(FateRefused) as refused:
            decide(cast, piece, fate, despite="The elders wish it.")
        assert not refused.value.judgment
    assert fate_of(piece) == (fate if allowed else "to decide")


@pytest.mark.parametrize(
    ("values", "fate"),
    [(HALF_BAND, "sell"), ({"condition": "dead"}, "give away"), ({"condition": "not found"}, "use here")],
)
def test_a_matter_of_judgment_needs_a_reason_and_keeps_it(cast, make, values, fate):
    piece = make.piece(**({"condition": "tested good"} | values))
    with pytest.raises(FateRefused) as refused:
        decide(cast, piece, fate, why="no use")
    assert refused.value.judgment
    assert decide(cast, piece, fate, why="no use", despite="The buyer was told.")
    stored = Piece.objects.get(pk=piece.pk)
    assert (stored.fate, stored.fate_why) == (fate, "no use; The buyer was told.")


def test_the_law_of_radio_is_said_with_source_and_day(cast, make):
    with pytest.raises(FateRefused) as refused:
        decide(cast, make.piece(condition="tested good", **OLD_BAND), "sell")
    (sentence,) = refused.value.sentences
    assert sentence.startswith("Not legal here")
    assert "Federal Communications Commission" in sentence
    assert "checked November 25, 2026" in sentence


def test_the_same_set_may_be_sold_where_the_rule_is_another(cast, make):
    """863-865 MHz: open in Great Britain, closed to microphones in the United States. Source: Ofcom; 47 CFR 15.236."""
    band = {"what": "Wireless handheld set 863-865 MHz", "radio_low_khz": 863_000, "radio_high_khz": 865_000}
    piece = make.piece(condition="tested good", **band)
    with pytest.raises(FateRefused):
        decide(cast, piece, "sell")
    cast.ministry.country = "GB"
    cast.ministry.save()
    assert decide(cast, Piece.objects.get(pk=piece.pk), "sell")


def test_what_comes_next_is_held_to_the_bond_as_well(cast, make):
    piece = make.piece(condition="tested good", bond="lease-to-own", bond_until=date(2027, 3, 31))
    with pytest.raises(FateRefused):
        decide(cast, piece, "stand-in", next_fate="sell", until_on=date(2026, 12, 1))
    assert decide(cast, piece, "stand-in", next_fate="sell", until_on=date(2027, 4, 1))


@pytest.fixture
def dimmer(make):
    """Two lamps and a desk that need a dimmer: giving the dimmer away strands them."""
    dimmer = make.piece(what="Dimmer pack", condition="tested good", fate="use here")
    for what in ("Lamp left", "Lamp right"):
        lamp = make.piece(what=what, condition="tested good", fate="use here")
        make.add(NeedsLink, piece=lamp, needs=dimmer, why="dimmer")
    return dimmer


def test_what_would_be_stranded_is_named_and_goes_together_in_one_act(cast, dimmer):
    with pytest.raises(SetGoesTogether) as refused:
        decide(cast, dimmer, "sell")
    assert [one.what for one in refused.value.together] == ["Lamp left", "Lamp right"]
    assert "cannot work without" in refused.value.sentences[0]
    assert fate_of(dimmer) == "use here"
    before = Act.objects.count()
    act = decide(cast, dimmer, "sell", together=True)
    assert set(Piece.objects.values_list("fate", flat=True)) == {"sell"}
    assert Act.objects.count() == before + 1
    undo(act=act, by=cast.lead)
    assert set(Piece.objects.values_list("fate", flat=True)) == {"use here"}


def test_a_set_with_a_bound_member_does_not_go(cast, make, dimmer):
    borrowed = make.piece(what="Lamp borrowed", condition="tested good", fate="use here", bond="lent")
    make.add(NeedsLink, piece=borrowed, needs=dimmer, why="dimmer")
    with pytest.raises(FateRefused) as refused:
        decide(cast, dimmer, "sell", together=True)
    assert "Lamp borrowed" in refused.value.sentences[0]
    assert set(Piece.objects.values_list("fate", flat=True)) == {"use here"}


def test_a_piece_chosen_for_a_room_leaves_it_only_with_a_reason(cast, make):
    piece = make.piece(what="Digital console", condition="tested good", fate="use here")
    make.add(Choice, need=make.need(what="Console"), piece=piece)
    with pytest.raises(FateRefused) as refused:
        decide(cast, piece, "sell")
    assert "Console" in refused.value.sentences[0]
    assert decide(cast, piece, "sell", despite="A new one is paid for.")
    assert not Choice.objects.exists()


def test_a_piece_that_leaves_has_no_destination_and_the_same_again_writes_nothing(cast, make):
    piece = make.piece(condition="tested good", goes_to=make.place())
    assert decide(cast, piece, "sell")
    assert Piece.objects.get(pk=piece.pk).goes_to is None
    assert decide(cast, piece, "sell") is None


# Pages


def page(name, **kwargs):
    return reverse(name, kwargs={"ministry": "first", **kwargs})


@pytest.mark.parametrize(
    ("values", "answer"),
    [
        (OLD_BAND, "it may not be sold."),
        (HALF_BAND, "it may be sold, but only with a reason."),
        ({}, "it may be sold."),
    ],
)
def test_the_fate_page_answers_whether_it_may_be_sold(cast, make, values, answer):
    piece = make.piece(condition="tested good", **values)
    html = cast.client("crew").get(page("piece-fate", uid=piece.uid)).content.decode()
    assert f"{answer}</h1>" in html
    assert 'name="fate"' not in html


def test_deciding_on_the_page_and_its_refusal(cast, make):
    piece = make.piece(condition="tested good", **OLD_BAND)
    url = page("piece-fate", uid=piece.uid)
    refused = cast.client().post(url, {"fate": "sell"})
    assert refused.status_code == 422
    assert "Not legal here" in refused.content.decode()
    assert fate_of(piece) == "to decide"
    assert cast.client("crew").post(url, {"fate": "recycle"}).status_code == 403
    assert cast.client().post(url, {"fate": "recycle", "back": "fates"}).url == page("fates")
    assert fate_of(piece) == "recycle"


def test_a_stand_in_says_until_when_and_what_then(cast, make):
    piece = make.piece(condition="tested good")
    url = page("piece-fate", uid=piece.uid)
    assert cast.client().post(url, {"fate": "stand-in"}).status_code == 422
    done = cast.client().post(url, {"fate": "stand-in", "until": "the new one is proven", "next_fate": "sell"})
    assert done.status_code == 302
    stored = Piece.objects.get(pk=piece.pk)
    assert (stored.fate, stored.fate_until, stored.next_fate) == ("stand-in", "the new one is proven", "sell")


def test_what_leaves_forgets_until_when_it_stood_in(cast, make):
    piece = make.piece(condition="tested good", fate="stand-in", fate_until="Easter", next_fate="shelf spare")
    data = {"fate": "sell", "until": "Easter", "next_fate": "shelf spare"}
    assert cast.client().post(page("piece-fate", uid=piece.uid), data).status_code == 302
    stored = Piece.objects.get(pk=piece.pk)
    assert (stored.fate, stored.fate_until, stored.next_fate) == ("sell", "", "")


def test_a_bulk_change_is_held_to_the_same_gates(cast, make, dimmer):
    barred = make.piece(condition="tested good", **OLD_BAND)
    free = make.piece(condition="tested good")
    for pieces, refused in (([barred, free], "Not legal here"), ([dimmer], "cannot work without"), ([free], "")):
        data = {"pick": [str(one.uid) for one in pieces], "fate": "sell"}
        html = cast.client().post(page("gear-bulk"), data, follow=True).content.decode()
        assert refused in html
        assert (fate_of(pieces[-1]) == "sell") == (not refused)
    assert fate_of(barred) == "to decide"


def test_one_button_decides_on_the_set(cast, dimmer):
    url = page("piece-fate", uid=dimmer.uid)
    shown = cast.client().post(url, {"fate": "sell"})
    assert shown.status_code == 422
    assert 'name="together" value="yes"' in shown.content.decode()
    assert cast.client().post(url, {"fate": "sell", "together": "yes"}).status_code == 302
    assert set(Piece.objects.values_list("fate", flat=True)) == {"sell"}


def test_the_list_names_the_building_that_empties_first_and_proposes(cast, make):
    late = make.place(site=make.site(name="Old Mill", exit_on=date(2027, 2, 1)))
    soon = make.place(site=make.site(name="Chapel", exit_on=date(2026, 12, 18)))
    make.piece(what="Later thing", place=late, condition="tested good")
    make.piece(place=soon, condition="tested good", **OLD_BAND)
    html = cast.client().get(page("fates")).content.decode()
    assert "Two pieces still need a decision; Chapel must be empty by December 18, 2026." in html
    assert html.index("Wireless handheld set") < html.index("Later thing")
    assert "Not legal here" in html


def test_ticked_pieces_are_decided_as_proposed_in_one_act(cast, make):
    sold = make.piece(what="Spare shelf unit", condition="tested good")
    barred = make.piece(condition="tested good", **OLD_BAND)
    left = make.piece(what="Another shelf unit", condition="tested good")
    before = Act.objects.count()
    cast.client().post(page("fates-accept"), {"pick": [str(sold.uid), str(barred.uid), "nonsense"]})
    assert (fate_of(sold), fate_of(barred), fate_of(left)) == ("sell", "recycle", "to decide")
    assert Act.objects.count() == before + 1


def test_no_price_on_the_pages_of_fates_for_those_who_see_none(cast, make):
    piece = make.piece(condition="tested good", resale_minor=123_45, paid_minor=678_90)
    for role in ("crew", "reader"):
        for url in (page("fates"), page("piece-fate", uid=piece.uid)):
            said = BeautifulSoup(cast.client(role).get(url).content, "html.parser").get_text(" ")  # no random ids
            assert "123" not in said
            assert "678" not in said


def test_the_list_costs_the_same_for_many(cast, make, same_queries):
    make.piece(condition="tested good", place=make.place())

    def more():
        for _n in range(12):
            make.piece(condition="tested good", place=make.place(), owner=make.person(), bond="lent")

    same_queries(cast.client(), page("fates"), more)
