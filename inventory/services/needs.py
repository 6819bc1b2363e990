"""Writing the needs of rooms, their must-haves, and the pieces chosen by hand; how far each need is filled."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from inventory.compute.filling import Filled, Filling, filling
from inventory.compute.kinds import kind_of
from inventory.compute.matching import needs_from_words
from inventory.compute.must_haves import Met, MustHave, Value, judge_all
from inventory.models import Choice, Must, Piece, RoomNeed
from inventory.services.fates import FateRefused, refusals, words
from inventory.services.matching import facts_of, must_as_data, needs_with_choices, stored_facts, units_of, use_values
from inventory.services.standing import ground
from inventory.words import KEPT_FATES, Fate
from people.models import Act, Member, Ministry, Tracked
from people.services import record
from people.services.merging import merged

GONE = frozenset({"dead", "not found", "unsafe"})


@dataclass
class ChoiceLook:
    """A chosen piece beside the need: what it fails of the must-haves, and whether it is there at all."""

    choice: Choice
    units: int
    fails: list[Met]
    there: bool


@dataclass
class NeedLook:
    """A need with what is chosen for it, and how far that goes."""

    need: RoomNeed
    filling: Filling
    choices: list[ChoiceLook]

    @property
    def state(self) -> str:
        return self.filling.state


def look_at_needs(ministry: Ministry, rows: Sequence[RoomNeed] | None = None) -> list[NeedLook]:
    """Return each need with its filling. `rows` come from needs_with_choices; queries do not grow with them."""
    facts = stored_facts(ministry)
    needs = needs_with_choices(ministry) if rows is None else rows
    return [_look(need, facts) for need in needs]


def _look(need: RoomNeed, facts: Mapping[int, list[tuple[str, str]]]) -> NeedLook:
    parts = needs_from_words(need.key, need.what, need.quantity, need.must_words)
    musts = [one for must in need.musts.all() if (one := must_as_data(must))] if len(parts) == 1 else []
    looks = [_look_at(choice, musts, facts.get(choice.piece_id, ())) for choice in need.choices.all()]
    chosen = [
        Filled(kind_of(one.choice.piece.what), one.units, one.there, not one.fails, one.choice.stands_in)
        for one in looks
    ]
    return NeedLook(need, filling(parts, chosen, _order_units(need, parts)), looks)


def _order_units(need: RoomNeed, parts: Sequence[Any]) -> int:
    """Return the units on order: an order of a need with several parts counts whole sets."""
    whole = sum(part.units for part in parts)
    return need.order_quantity * whole // need.quantity if len(parts) > 1 else need.order_quantity


def _look_at(choice: Choice, musts: Sequence[MustHave], stored: Iterable[tuple[str, str]]) -> ChoiceLook:
    piece = choice.piece
    facts: dict[str, Value] = facts_of(piece, stored)
    fails = [met for met in judge_all(musts, facts, kind_of(piece.what)) if met.met is False]
    there = piece.fate in KEPT_FATES and piece.condition not in GONE
    return ChoiceLook(choice, units_of(choice), fails, there)


def next_key(ministry: Ministry) -> str:
    """Return the number the next need gets: N31 after N30. Queries once."""
    keys = RoomNeed.objects.filter(ministry=ministry).values_list("key", flat=True)
    numbers = [int(key[1:]) for key in keys if key[1:].isdigit()]
    return f"N{max(numbers, default=0) + 1:02d}"


def add_need(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[RoomNeed, Act]:
    """Store a need; what its words ask for in a form that is understood becomes must-haves as data."""
    values.setdefault("key", next_key(ministry))
    says = _("Wrote down need %(key)s: %(what)s.") % values
    with record.act(ministry=ministry, by=by, kind="need-add", says=says) as act:
        need = record.add(RoomNeed(ministry=ministry, **values))
        record.add_many([_must_row(need, must) for must in _read(need)])
        return need, act


def _read(need: RoomNeed) -> tuple[MustHave, ...]:
    parts = needs_from_words(need.key, need.what, need.quantity, need.must_words)
    return parts[0].must_haves if len(parts) == 1 else ()


def _must_row(need: RoomNeed, must: MustHave) -> Must:
    return Must(
        ministry_id=need.ministry_id,
        need=need,
        key=must.attribute,
        op=must.operator,
        value=stored_value(must.value),
        unit=must.unit,
        words=must.words[:120],
    )


def stored_value(value: Value) -> str:
    """Return a value as must-haves and facts are kept: yes, no, 24, 536000-560000."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value[0]}-{value[1]}" if isinstance(value, tuple) else f"{value:g}" if value < 1e6 else str(value)


def change_need(
    *,
    need: RoomNeed,
    by: Member | None,
    musts: Sequence[Mapping[str, Any]] | None = None,
    base_version: int | None = None,
    chosen: Mapping[str, str] | None = None,
    chosen_at: int | None = None,
    **values: Any,
) -> Act | None:
    """Change a need and, where `musts` is given, make its must-haves these rows; None where nothing changes.

    musts: {"id": of a stored row or None, "key", "op", "value", "unit", "words"}; stored rows left out end.
    Raises merging.Clashed.
    """
    says = _("Changed need %(need)s.") % {"need": need}
    fresh = RoomNeed.objects.get(pk=need.pk)
    written = merged(fresh, base_version=base_version, values=values, chosen=chosen, chosen_at=chosen_at)
    rows = {must.pk: must for must in fresh.musts.all()}
    wanted = None if musts is None else [dict(one) for one in musts]
    if not _differs(fresh, written) and (wanted is None or _same(rows, wanted)):
        return None
    with record.act(ministry=need.ministry, by=by, kind="need-change", says=says) as act:
        record.change(fresh, **written)
        if wanted is not None:
            _write_musts(fresh, rows, wanted)
        return act


def _differs(row: Tracked, values: Mapping[str, Any]) -> bool:
    return any(getattr(row, name) != value for name, value in values.items())


def _same(rows: Mapping[int, Must], wanted: Sequence[Mapping[str, Any]]) -> bool:
    stored = [{"id": pk, **{name: getattr(row, name) for name in MUST_COLUMNS}} for pk, row in rows.items()]
    return stored == [{"id": one.get("id"), **{name: one[name] for name in MUST_COLUMNS}} for one in wanted]


MUST_COLUMNS = ("key", "op", "value", "unit", "words")


def _write_musts(need: RoomNeed, rows: Mapping[int, Must], wanted: Sequence[Mapping[str, Any]]) -> None:
    kept = {one.get("id") for one in wanted}
    record.remove_many([row for pk, row in rows.items() if pk not in kept])
    values = [{name: one[name] for name in MUST_COLUMNS} for one in wanted]
    pairs = list(zip(wanted, values, strict=True))
    record.change_each([(rows[one["id"]], each) for one, each in pairs if one.get("id") in rows])
    record.add_many([Must(ministry_id=need.ministry_id, need=need, **each) for one, each in pairs if not one.get("id")])


def remove_need(*, need: RoomNeed, by: Member | None) -> Act:
    """Take a need off the list with its must-haves and choices; the pieces keep their fates."""
    says = _("Took need %(need)s off the list.") % {"need": need}
    with record.act(ministry=need.ministry, by=by, kind="need-remove", says=says) as act:
        record.remove(need)
        return act


def choose(
    *,
    need: RoomNeed,
    piece: Piece,
    by: Member | None,
    quantity: int = 1,
    reason: str = "",
    stands_in: bool = False,
    free_from: date | None = None,
) -> Act:
    """Choose a piece for a need by hand; it is used here and goes to the room, or stands in where it is.

    Raises FateRefused where a gate that no reason overrides forbids its use, or where one of judgment has no reason.
    """
    on = ground(need.ministry)
    fate = Fate.STAND_IN if stands_in else Fate.USE
    against = [one for one in refusals(on, piece, fate) if not (one.judgment and reason)]
    if against:
        raise FateRefused(against, [words(on, one) for one in against])
    says = _("Chose %(piece)s for %(need)s by hand.") % {"piece": piece, "need": need}
    with record.act(ministry=need.ministry, by=by, kind="need-choose", says=says) as act:
        values = {
            "quantity": min(quantity, piece.quantity),
            "how": Choice.How.OVERRIDDEN,
            "stands_in": stands_in,
            "free_from": free_from or piece.busy_until,
            "reason": reason[:300],
        }
        stored = Choice.objects.filter(need=need, piece=piece).first()
        if stored:
            record.change(stored, **values)
        else:
            record.add(Choice(ministry_id=need.ministry_id, need=need, piece=piece, **values))
        record.change(piece, **({"fate": Fate.STAND_IN} if stands_in else use_values(piece, need)))
        return act


def leave(*, choice: Choice, by: Member | None) -> Act:
    """Say that a piece no longer fills a need; what becomes of the piece is decided by itself."""
    says = _("%(piece)s no longer fills %(need)s.") % {"piece": choice.piece, "need": choice.need}
    with record.act(ministry=choice.ministry, by=by, kind="need-leave", says=says) as act:
        record.remove(choice)
        return act
