"""Nothing merges by itself; a merge keeps both sources and comes apart again."""

import pytest

from inventory.models import NeedsLink, Piece, PieceFact, SourceRow, Twin
from inventory.services.intake import take_in
from inventory.services.twins import CannotRule, differing, rule_one_piece, rule_two_pieces, unmerge
from people.models import Act
from people.services import record
from people.services.undo import undo

HERE = "Item,Maker,Model,Serial,Qty,Remarks\nPowered speaker,Brindlow,P12A,P12A-017733,1,lent out\n"
THERE = "Thing,Maker,Model,Serial,Condition,Qty,Remarks\nPowered speaker,Brindlow,P12A,P12A 017733,faulty,1,hums\n"


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def take(cast, make, text, code):
    return take_in(
        ministry=cast.ministry,
        by=cast.lead,
        name=f"{code}.csv",
        data=text.encode(),
        site=make.site(code=code, name=code),
    )


@pytest.fixture
def pair(cast, make):
    take(cast, make, HERE, "MS")
    take(cast, make, THERE, "DU")
    return Twin.objects.get()


def test_the_same_serial_on_two_sites_is_suggested_with_evidence_and_not_merged(pair):
    assert pair.ruling == "open" and pair.evidence and pair.bits > 0
    assert pair.first_id < pair.second_id
    assert Piece.objects.listed().count() == 2


def test_one_piece_fills_the_first_and_keeps_both_rows(cast, pair):
    rule_one_piece(twin=pair, by=cast.lead)
    first, second = Piece.objects.order_by("id")
    assert second.merged_into == first and first.merged_into is None
    assert first.condition == "faulty"
    assert first.note == "lent out | hums"
    assert SourceRow.objects.filter(piece=first).count() == SourceRow.objects.filter(piece=second).count() == 1
    assert list(Piece.objects.listed()) == [first]


def test_where_both_say_something_the_first_keeps_unless_chosen(cast, make, pair):
    first, second = pair.first, pair.second
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Years."):
        record.change(first, year=2016)
        record.change(second, year=2017)
    assert ("year", 2016, 2017) in differing(first, second)
    rule_one_piece(twin=pair, by=cast.lead)
    first.refresh_from_db()
    assert first.year == 2016
    unmerge(twin=pair, by=cast.lead)
    rule_one_piece(twin=pair, by=cast.lead, from_second=["year"])
    first.refresh_from_db()
    assert first.year == 2017


def test_unmerging_restores_both(cast, pair):
    before = [piece.tracked_values() for piece in Piece.objects.order_by("id")]
    rule_one_piece(twin=pair, by=cast.lead)
    unmerge(twin=pair, by=cast.lead)
    assert [piece.tracked_values() for piece in Piece.objects.order_by("id")] == before
    pair.refresh_from_db()
    assert pair.ruling == "open"


def test_unmerging_leaves_what_was_changed_since(cast, pair):
    rule_one_piece(twin=pair, by=cast.lead)
    first = Piece.objects.get(pk=pair.first_id)
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Repaired."):
        record.change(first, condition="tested good")
    pair.refresh_from_db()
    unmerge(twin=pair, by=cast.lead)
    first.refresh_from_db()
    assert first.condition == "tested good"


def test_a_merge_is_undone_as_one_act(cast, pair):
    before = [piece.tracked_values() for piece in Piece.objects.order_by("id")]
    rule_one_piece(twin=pair, by=cast.lead)
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert [piece.tracked_values() for piece in Piece.objects.order_by("id")] == before
    pair.refresh_from_db()
    assert pair.ruling == "open"


def test_what_pointed_at_the_second_points_at_the_first_and_back(cast, make, pair):
    stand = make.piece(what="Stand")
    link = make.add(NeedsLink, piece=pair.second, needs=stand)
    kept = make.add(PieceFact, piece=pair.first, key="drivers", value="1")
    twice = make.add(PieceFact, piece=pair.second, key="drivers", value="2")
    rule_one_piece(twin=pair, by=cast.lead)
    link.refresh_from_db()
    twice.refresh_from_db()
    assert link.piece_id == pair.first_id
    assert twice.piece_id == pair.second_id and kept.piece_id == pair.first_id
    unmerge(twin=pair, by=cast.lead)
    link.refresh_from_db()
    assert link.piece_id == pair.second_id


def test_two_pieces_is_remembered_and_not_asked_again(cast, make, pair):
    rule_two_pieces(twin=pair, by=cast.lead)
    take(cast, make, "Item,Maker,Model,Serial,Qty\nStool,Plinthwork,S1,ST-1,1\n", "WL")
    assert Twin.objects.filter(first=pair.first, second=pair.second).count() == 1
    pair.refresh_from_db()
    assert pair.ruling == "two pieces"
    with pytest.raises(CannotRule) as refused:
        rule_one_piece(twin=pair, by=cast.lead)
    assert refused.value.code == "decided"


def test_a_piece_merged_meanwhile_cannot_be_merged_again(cast, make, pair):
    third = make.piece(what="Powered speaker")
    other = make.add(Twin, first=pair.second, second=third, bits=3.0)
    rule_one_piece(twin=pair, by=cast.lead)
    with pytest.raises(CannotRule) as refused:
        rule_one_piece(twin=Twin.objects.get(pk=other.pk), by=cast.lead)
    assert refused.value.code == "merged"


def test_an_answer_or_a_newer_list_reaches_the_piece_it_was_merged_into(cast, make, pair):
    rule_one_piece(twin=pair, by=cast.lead)
    changed = THERE.replace("faulty", "dead")
    take_in(ministry=cast.ministry, by=cast.lead, name="DU.csv", data=changed.encode(), site=pair.second.found_at)
    assert Piece.objects.get(pk=pair.first_id).condition == "dead"
    assert Piece.objects.listed().count() == 1
