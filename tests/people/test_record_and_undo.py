"""Every write is in an act; an act is taken back as a whole, unless something later touched it."""

import pytest

from inventory.models import Piece
from people.models import Act
from people.models.base import NotInAnAct
from people.services import record
from people.services.undo import CannotUndo, tracked_models, undo


def test_a_write_outside_an_act_is_refused(make):
    piece = make.piece()
    with pytest.raises(NotInAnAct):
        piece.save()
    with pytest.raises(NotInAnAct):
        record.change(piece, what="Other")


def test_only_changed_columns_are_written_and_the_version_counts(cast, make):
    piece = make.piece(what="Console")
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Renamed."):
        assert record.change(piece, what="Desk", note="") == ["what"]
    piece.refresh_from_db()
    assert (piece.what, piece.version) == ("Desk", 2)
    assert [h.what for h in piece.history.order_by("history_id")] == ["Console", "Desk"]


def test_undo_restores_changed_added_and_removed_rows(cast, make):
    kept, gone = make.piece(what="Kept"), make.piece(what="Gone")
    gone_id = gone.pk
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Did three things.") as act:
        record.change(kept, what="Changed")
        record.remove(gone)
        record.add(Piece(ministry=cast.ministry, tag="Z9", tag_number=9, what="Added"))
    undo(act=act, by=cast.lead)
    assert set(Piece.objects.values_list("what", flat=True)) == {"Kept", "Gone"}
    assert Piece.objects.get(pk=gone_id).uid == gone.uid
    with pytest.raises(CannotUndo) as refused:
        undo(act=act, by=cast.lead)
    assert refused.value.code == "twice"


def test_an_undo_can_be_taken_back(cast, make):
    piece = make.piece(what="Old")
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Renamed.") as act:
        record.change(piece, what="New")
    again = undo(act=act, by=cast.lead)
    undo(act=again, by=cast.lead)
    piece.refresh_from_db()
    assert piece.what == "New"


def test_undo_names_the_later_act_in_the_way(cast, make):
    piece = make.piece()
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="First.") as first:
        record.change(piece, what="One")
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Second."):
        record.change(piece, what="Two")
    with pytest.raises(CannotUndo) as refused:
        undo(act=first, by=cast.lead)
    assert refused.value.later == ("Second.",)
    piece.refresh_from_db()
    assert piece.what == "Two"


def test_bulk_writes_keep_history_and_are_undone(cast, make):
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Added.") as added:
        rows = record.add_many([Piece(ministry=cast.ministry, tag=f"B{n}", tag_number=n, what="x") for n in range(30)])
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Changed.") as changed:
        assert len(record.change_many(rows, note="same")) == 30
        assert record.change_many(rows, note="same") == []
    undo(act=changed, by=cast.lead)
    assert Piece.objects.filter(note="same").count() == 0
    undo(act=added, by=cast.lead)
    assert Piece.objects.count() == 0


def test_an_inner_act_joins_the_outer_one(cast, make):
    before = Act.objects.count()
    with (
        record.act(ministry=cast.ministry, by=cast.lead, kind="outer", says="Outer."),
        record.act(ministry=cast.ministry, by=cast.lead, kind="inner", says="Inner."),
    ):
        record.add(Piece(ministry=cast.ministry, tag="Q1", tag_number=1, what="x"))
    assert Act.objects.count() == before + 1


def test_tracked_models_come_after_what_they_point_at():
    order = [m.__name__ for m in tracked_models()]
    assert order.index("Site") < order.index("Place") < order.index("Piece") < order.index("NeedsLink")
    assert order.index("Phase") < order.index("Step") < order.index("StepLink")
