"""Writing pieces: added, changed, moved, checked, split, changed many at once, taken off the list."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import ROUND_DOWN, Decimal
from typing import Any

from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.compute.serials import read_serials
from inventory.compute.tags import make_tag
from inventory.models import Check, Move, NeedsLink, Piece, PieceFact, Place
from inventory.services.fates import refuse_fates
from inventory.services.intake_pieces import keys_of
from people.clock import today
from people.models import Act, Member, Ministry, Person, Tracked
from people.services import record
from people.services.merging import merged

TAG_LETTER = "G"
KEYED_BY = frozenset({"tag", "what", "maker", "model", "serial", "place_words"})
OWN_TO_A_PART = frozenset(
    {"ministry_id", "tag", "tag_number", "serial", "serial_key", "quantity", "search_key", "sort_key"}
)
OF_THE_LOT = ("paid_minor", "resale_minor", "mass_g", "watts")  # these are said of a whole lot


class CannotSplit(ValueError):
    """A lot that cannot be split so; the message is the sentence for the person."""


class CannotRemove(ValueError):
    """A piece that cannot be taken off the list; the message is the sentence for the person."""


def next_tag(ministry: Ministry) -> tuple[str, int]:
    """Return the tag the next piece gets, and its number; merged pieces keep theirs. Queries once."""
    last = Piece.objects.filter(ministry=ministry).aggregate(last=models.Max("tag_number"))["last"] or 0
    return make_tag(TAG_LETTER, last + 1), last + 1


def lookup_keys(piece: Piece) -> dict[str, str]:
    """Return what a piece is searched, sorted and compared by."""
    return {**keys_of(piece), "serial_key": read_serials(piece.serial).key[:120]}


def _take_turns(ministry: Ministry) -> None:
    """Hold the ministry's row, so that two who write at once do not take the same number."""
    Ministry.objects.select_for_update().get(pk=ministry.pk)


def _new(ministry: Ministry, values: Mapping[str, Any]) -> Piece:
    tag, number = next_tag(ministry)
    piece = Piece(ministry=ministry, tag=tag, tag_number=number, **values)
    for name, value in lookup_keys(piece).items():
        setattr(piece, name, value)
    return record.add(piece)


def add_piece(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Piece, Act]:
    """Store a piece with the next free tag."""
    values.setdefault("is_lot", values.get("quantity", 1) > 1)
    with transaction.atomic():
        _take_turns(ministry)
        with record.act(ministry=ministry, by=by, kind="piece-add", says=_("Wrote a piece down.")) as act:
            piece = _new(ministry, values)
            record.retell(_("Wrote down %(piece)s.") % {"piece": piece})
            return piece, act


def change_piece(
    *,
    piece: Piece,
    by: Member | None,
    base_version: int | None = None,
    chosen: Mapping[str, str] | None = None,
    chosen_at: int | None = None,
    **values: Any,
) -> Act | None:
    """Change what differs and return the act, None when nothing does; raises merging.Clashed, fates.REFUSALS.

    base_version: the version the writer saw; what others changed since in other fields is kept.
    """
    with transaction.atomic():
        fresh = Piece.objects.select_for_update().get(pk=piece.pk)
        written = merged(fresh, base_version=base_version, values=values, chosen=chosen, chosen_at=chosen_at)
        if not record.differing(fresh, written):
            return None
        if "fate" in written and written["fate"] != fresh.fate:
            refuse_fates(pieces=[fresh], fate=written["fate"])
        says = _("Changed %(piece)s.") % {"piece": fresh}
        with record.act(ministry=fresh.ministry, by=by, kind="piece-change", says=says) as act:
            _change(fresh, written)
            return act


def _change(piece: Piece, values: Mapping[str, Any]) -> list[str]:
    """Change a piece and the keys that follow; a place chosen from the list replaces the words it was written with."""
    for name, value in values.items():
        setattr(piece, name, value)
    keys = lookup_keys(piece) if KEYED_BY.intersection(values) else {}
    stored = Piece.objects.get(pk=piece.pk)
    changed = record.change(stored, **values, **keys)
    piece.version = stored.version
    return changed


def move_piece(
    *, piece: Piece, by: Member | None, to_place: Place | None, on: date | None = None, note: str = ""
) -> Act:
    """Keep that a piece went to another place, and where it stands now."""
    where = to_place or _("nobody knows where")
    says = _("Moved %(piece)s to %(place)s.") % {"piece": piece, "place": where}
    with record.act(ministry=piece.ministry, by=by, kind="piece-move", says=says) as act:
        record.add(_move(piece, by, to_place, on, note))
        record.change(piece, place=to_place)
        return act


def _move(piece: Piece, by: Member | None, to_place: Place | None, on: date | None, note: str = "") -> Move:
    return Move(
        ministry=piece.ministry,
        piece=piece,
        on=on or today(piece.ministry),
        from_place_id=piece.place_id,
        to_place=to_place,
        by_words=_name(by),
        note=note,
    )


def check_piece(
    *, piece: Piece, by: Member | None, condition: str, depth: str, on: date | None = None, note: str = ""
) -> Act:
    """Keep a check; the piece's condition is what the latest check by date says."""
    says = _("Checked %(piece)s: %(condition)s.") % {"piece": piece, "condition": _(condition)}
    with record.act(ministry=piece.ministry, by=by, kind="piece-check", says=says) as act:
        when = on or today(piece.ministry)
        record.add(
            Check(
                ministry=piece.ministry,
                piece=piece,
                on=when,
                depth=depth,
                condition=condition,
                by=Person.objects.filter(ministry=piece.ministry, member=by).first() if by else None,
                by_words=_name(by),
                note=note,
            )
        )
        latest = piece.checks.order_by("-on", "-id").first()
        if latest and latest.condition == condition:
            record.change(piece, condition=condition)
        return act


def _name(by: Member | None) -> str:
    """Return a member's name for a row that everyone reads; never an address."""
    return by.user.name[:120] if by else ""


def split_lot(
    *,
    piece: Piece,
    by: Member | None,
    count: int,
    condition: str | None = None,
    place: Place | None = None,
    serial: str = "",
) -> tuple[Piece, Act]:
    """Take `count` out of a lot as a lot of their own, with what is different about them; price, mass and watts
    are shared by count.

    Facts and needs links go along. Raises CannotSplit where that many cannot be taken out.
    """
    if not 1 <= count < piece.quantity:
        raise CannotSplit(
            _("From %(n)d only 1 to %(most)d can be taken out.") % {"n": piece.quantity, "most": piece.quantity - 1}
        )
    with transaction.atomic():
        _take_turns(piece.ministry)
        says = ngettext("Took %(n)d out of %(piece)s.", "Took %(n)d out of %(piece)s.", count)
        says %= {"n": count, "piece": piece}
        with record.act(ministry=piece.ministry, by=by, kind="piece-split", says=says) as act:
            values = {name: value for name, value in piece.tracked_values().items() if name not in OWN_TO_A_PART}
            values |= {"quantity": count, "is_lot": count > 1, "serial": serial, **_share(piece, count)}
            if condition:
                values["condition"] = condition
            if place:
                values["place_id"] = place.pk
            made = _new(piece.ministry, values)
            left = {name: getattr(piece, name) - share for name, share in _share(piece, count).items()}
            rest = piece.quantity - count
            record.change(piece, quantity=rest, is_lot=rest > 1, **left)
            _copy_parts(piece, made)
            return made, act


def _share(piece: Piece, count: int) -> dict[str, Any]:
    """Return the part's share of what is said of the lot, rounded down; the rest stays, so that the sum holds."""
    known = {name: value for name in OF_THE_LOT if (value := getattr(piece, name)) is not None}
    return {
        name: value * count // piece.quantity
        if isinstance(value, int)
        else (value * count / piece.quantity).quantize(Decimal("0.1"), ROUND_DOWN)
        for name, value in known.items()
    }


def _copy_parts(piece: Piece, made: Piece) -> None:
    for model in (PieceFact, NeedsLink):
        rows = model.objects.filter(piece=piece)
        record.add_many([model(**{**row.tracked_values(), "piece_id": made.pk}) for row in rows])


def change_pieces(*, pieces: Sequence[Piece], by: Member, **values: Any) -> tuple[Act | None, int]:
    """Give many pieces the same place, fate, condition or area in one act; return it and how many changed.

    A new place keeps a move for each, a new condition a check. Raises fates.REFUSALS for a fate that may not be.
    """
    ministry = by.ministry
    with transaction.atomic():
        fresh = list(Piece.objects.select_for_update().filter(pk__in=[piece.pk for piece in pieces]).order_by("pk"))
        todo = [piece for piece in fresh if record.differing(piece, values)]
        if not todo:
            return None, 0
        if "fate" in values:
            refuse_fates(pieces=todo, fate=values["fate"])
        says = _bulk_words(len(todo), values)
        with record.act(ministry=ministry, by=by, kind="pieces-change", says=says) as act:
            if "place" in values:
                moving = [piece for piece in todo if piece.place_id != values["place"].pk]
                record.add_many([_move(piece, by, values["place"], None) for piece in moving])
            if "condition" in values:
                record.add_many(
                    [
                        Check(
                            ministry=ministry,
                            piece=piece,
                            on=today(ministry),
                            depth=Check.Depth.SEEN,
                            condition=values["condition"],
                            by_words=_name(by),
                        )
                        for piece in todo
                        if piece.condition != values["condition"]
                    ]
                )
            record.change_many(todo, **values)
            return act, len(todo)


def _bulk_words(count: int, values: Mapping[str, Any]) -> str:
    names = {"place": _("place"), "fate": _("fate"), "condition": _("condition"), "area": _("kind")}
    told = "; ".join(f"{names[name]}: {_value_words(name, value)}" for name, value in values.items())
    return ngettext("Changed %(n)d piece, %(told)s.", "Changed %(n)d pieces, %(told)s.", count) % {
        "n": count,
        "told": told,
    }


def _value_words(name: str, value: Any) -> str:
    if isinstance(value, models.Model):
        return str(value)
    column: Any = Piece._meta.get_field(name)
    return str(dict(column.flatchoices).get(value, value))


def remove_piece(*, piece: Piece, by: Member | None) -> Act:
    """Take a piece off the list with its checks, moves and links; undo brings all of it back.

    What only names it (accounts that run on it, rows of lists) names nothing then. Raises CannotRemove for a piece
    that others were merged into.
    """
    if piece.merged_from.exists():
        raise CannotRemove(_("Other entries were merged into this one: take them apart again first."))
    says = _("Took %(piece)s off the list.") % {"piece": piece}
    with record.act(ministry=piece.ministry, by=by, kind="piece-remove", says=says) as act:
        for relation in Piece._meta.related_objects:
            if relation.on_delete is models.SET_NULL and issubclass(relation.related_model, Tracked):
                naming = relation.related_model.objects.filter(**{relation.field.name: piece})
                record.change_many(list(naming), **{relation.field.name: None})
        record.remove(piece)
        return act
