"""The needs of the rooms matched with the stock of the day, and what the lead accepts of it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inventory.compute.filling import pairs_in
from inventory.compute.kinds import accepts, kind_of
from inventory.compute.matching import (
    UNKNOWN_SCORE,
    Candidate,
    Match,
    NeedMatch,
    NeedToMatch,
    PieceToMatch,
    age_score,
    condition_score,
    match_needs,
    need_kind,
    needs_from_words,
)
from inventory.compute.must_haves import MustHave, Value, must_from, read_facts, units_in, value_from
from inventory.models import Choice, Must, Piece, PieceFact, RoomNeed
from inventory.services.radio_here import band_of
from inventory.services.standing import Ground, ground
from inventory.words import KEPT_FATES, Fate
from people.models import Act, Member, Ministry
from people.services import record


@dataclass
class Proposed:
    """A piece proposed for a part of a need, with how many of the lot."""

    piece: Piece
    quantity: int
    units: int
    candidate: Candidate


@dataclass
class PartMatch:
    """One kind of thing a need asks for, and what the matching says of it."""

    part: NeedToMatch
    match: NeedMatch
    chosen: list[Proposed]
    runner_up: Piece | None
    on_order: int


@dataclass
class Proposal:
    """What the matching proposes for one need, beside what stands chosen."""

    need: RoomNeed
    parts: list[PartMatch]
    stands: list[Choice]

    @property
    def chosen(self) -> list[Proposed]:
        return [one for part in self.parts for one in part.chosen]

    @property
    def unmet(self) -> int:
        return sum(part.match.unmet for part in self.parts)

    @property
    def is_as_chosen(self) -> bool:
        """Return whether every proposed piece is chosen already: nothing is left to accept."""
        return {one.piece.pk for one in self.chosen} <= {choice.piece_id for choice in self.stands}

    @property
    def state(self) -> str:
        """Return 'no kind' (its words name none), 'empty' (nothing fits), 'covered' (by orders or by hand),
        'as chosen', 'short' or 'new'.
        """
        if not any(part.match.kind for part in self.parts):
            return "no kind"
        if not self.chosen:
            return "empty" if self.unmet else "covered"
        if self.is_as_chosen:
            return "as chosen"
        return "short" if self.unmet else "new"


@dataclass
class Answer:
    """The whole matching: proposals in the order of the needs, and the pieces they speak of by tag."""

    proposals: list[Proposal]
    pieces: dict[str, Piece]
    ground: Ground
    match: Match


def parts_of(need: RoomNeed) -> list[NeedToMatch]:
    """Return what a need asks for, one entry a kind of thing; its stored must-haves bind a need of one kind."""
    parts = needs_from_words(need.key, need.what, need.quantity, need.must_words)
    stored = tuple(one for must in need.musts.all() if (one := must_as_data(must)))
    if len(parts) > 1:
        return [replace(part, needed_from=need.needed_on) for part in parts]
    return [replace(parts[0], must_haves=stored, needed_from=need.needed_on)]


def must_as_data(must: Must) -> MustHave | None:
    """Return a stored must-have for the computation, None for one that says no value it can weigh."""
    try:
        return must_from(must.key, must.op, must.value, must.words or str(must))
    except ValueError:
        return None


def facts_of(piece: Piece, stored: Iterable[tuple[str, str]] = ()) -> dict[str, Value]:
    """Return what is known of a piece: stored facts (key, value) over measures over what its words say."""
    facts: dict[str, Value] = dict(read_facts(kind_of(piece.what), piece.what, piece.note))
    if piece.mass_g:
        facts["kg"] = piece.mass_g / piece.quantity / 1000
    if piece.rack_units:
        facts["rack_units"] = float(piece.rack_units)
    if band := band_of(piece):
        facts["band_khz"] = band
    facts |= {key: value for key, text in stored if (value := value_from(text)) is not None}
    return facts


def stored_facts(ministry: Ministry) -> dict[int, list[tuple[str, str]]]:
    """Return piece -> (key, value) of every fact written down. Queries once."""
    facts: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for piece, key, value in PieceFact.objects.filter(ministry=ministry).values_list("piece", "key", "value"):
        facts[piece].append((key, value))
    return facts


def needs_with_choices(ministry: Ministry) -> list[RoomNeed]:
    """Return the needs with place, must-haves and chosen pieces. Queries six times."""
    rows = RoomNeed.objects.filter(ministry=ministry).select_related("place__site")
    return list(rows.prefetch_related("musts", "choices__piece__place", "choices__piece__ministry"))


def propose(ministry: Ministry, *, also_leaving: bool = False, also_ordered: bool = False) -> Answer:
    """Return what the stock of today fills best. The number of queries does not grow with pieces or needs.

    also_leaving: offer pieces that have a fate which takes them away; also_ordered: look for what is on order, too.
    What was chosen by hand stays: those pieces and units are not dealt out again.
    """
    on = ground(ministry)
    rows = Piece.objects.filter(ministry=ministry).listed().select_related("owner", "place", "ministry")
    if not also_leaving:
        rows = rows.filter(fate__in=KEPT_FATES)
    pieces = {piece.tag: piece for piece in rows.order_by("tag_number")}
    needs = needs_with_choices(ministry)
    by_hand = [c for need in needs for c in need.choices.all() if c.how == Choice.How.OVERRIDDEN and not c.stands_in]
    parts = {need.key: parts_of(need) for need in needs}
    asked = {need.key: _still_asked(need, parts[need.key], by_hand, also_ordered) for need in needs}
    stock = _stock(on, pieces.values(), by_hand)
    match = match_needs(
        stock,
        [part for ones in asked.values() for part in ones],
        _sets(pieces.values()),
        standing=_standing(needs, parts),
        whole={piece.key for piece in stock if units_in(piece.what, 1) > 1},
    )
    proposals = [_proposal(need, parts[need.key], asked[need.key], match, pieces) for need in needs]
    return Answer(proposals, pieces, on, match)


def _standing(needs: Iterable[RoomNeed], parts: Mapping[str, Sequence[NeedToMatch]]) -> set[tuple[str, str]]:
    """Return (tag, key of the part) of what was chosen before; a need of several parts stands for each of them."""
    return {
        (choice.piece.tag, part.key)
        for need in needs
        for choice in need.choices.all()
        if not choice.stands_in
        for part in parts[need.key]
    }


def _still_asked(
    need: RoomNeed, parts: Sequence[NeedToMatch], by_hand: Sequence[Choice], also_ordered: bool
) -> list[NeedToMatch]:
    """Return the parts less what is on order and what was chosen by hand."""
    sets_ordered = 0 if also_ordered else need.order_quantity
    given: dict[str, int] = defaultdict(int)
    for choice in by_hand:
        if choice.need_id == need.pk:
            given[kind_of(choice.piece.what)] += units_of(choice)
    left = []
    for part in parts:
        kinds = accepts(need_kind(part)) if len(parts) > 1 else set(given)
        ordered = sets_ordered * part.units // need.quantity if len(parts) > 1 else sets_ordered
        units = max(0, part.units - ordered - sum(given[kind] for kind in kinds))
        left.append(replace(part, units=units))
    return left


def units_of(choice: Choice) -> int:
    """Return the units a choice gives its need: a receiver with four handhelds gives four."""
    return units_in(choice.piece.what, choice.quantity)


def _stock(on: Ground, pieces: Iterable[Piece], by_hand: Sequence[Choice]) -> list[PieceToMatch]:
    taken: dict[int, int] = defaultdict(int)
    for choice in by_hand:
        taken[choice.piece_id] += units_of(choice)
    facts = stored_facts(on.ministry)
    alike: dict[tuple[str, str], int] = defaultdict(int)
    offered = list(pieces)
    for piece in offered:
        alike[piece.maker, piece.model] += piece.quantity
    return [
        _to_match(on, piece, facts.get(piece.pk, ()), alike[piece.maker, piece.model] > 1, taken[piece.pk])
        for piece in offered
    ]


def _to_match(on: Ground, piece: Piece, facts: Iterable[tuple[str, str]], has_a_like: bool, taken: int) -> PieceToMatch:
    scores = {
        "condition": condition_score(piece.condition),
        "age": age_score(piece.year, on.around.on),
        "sameness": 1.0 if piece.model and has_a_like else UNKNOWN_SCORE,
    }
    return PieceToMatch(
        key=piece.tag,
        what=piece.what,
        units=max(0, units_in(piece.what, piece.quantity) - taken),
        kind=kind_of(piece.what),
        facts=facts_of(piece, facts),
        gates=on.own_gates(piece, Fate.USE),
        scores=scores,
        busy_until=piece.busy_until,
        busy_at=piece.place.name if piece.place else "",
    )


def _sets(pieces: Iterable[Piece]) -> list[tuple[str, ...]]:
    """Return the tags that belong together: what notes call a pair."""
    rows = {(piece.tag[:1], piece.tag_number): piece for piece in pieces}
    pairs = pairs_in({key: piece.note for key, piece in rows.items()})
    return [(rows[one].tag, rows[other].tag) for one, other in pairs]


def _proposal(
    need: RoomNeed,
    parts: Sequence[NeedToMatch],
    asked: Sequence[NeedToMatch],
    match: Match,
    pieces: Mapping[str, Piece],
) -> Proposal:
    matches = []
    for part, left in zip(parts, asked, strict=True):
        found = match.needs[part.key]
        chosen = [
            Proposed(pieces[one.piece], _count(pieces[one.piece], one.units), one.units, one.candidate)
            for one in found.chosen
        ]
        runner_up = pieces[found.runner_up.piece] if found.runner_up else None
        matches.append(PartMatch(part, found, chosen, runner_up, part.units - left.units))
    return Proposal(need, matches, list(need.choices.all()))


def _count(piece: Piece, units: int) -> int:
    """Return how many pieces of a lot give so many units."""
    each = units_in(piece.what, 1)
    return min(piece.quantity, -(-units // each))


def accept(*, ministry: Ministry, by: Member | None, proposals: Sequence[Proposal]) -> Act | None:
    """Keep proposals as choices in one act; the pieces are used here and go to the room. None where nothing changes.

    Choices made by hand and what stands in remain; an accepted choice that is no longer proposed ends, its piece keeps
    its fate until somebody decides on it. A stand-in keeps standing in and goes to the room afterwards.
    """
    todo = [one for one in proposals if one.chosen and not one.is_as_chosen]
    if not todo:
        return None
    with record.act(ministry=ministry, by=by, kind="match-accept", says=_accepted(todo)) as act:
        proposed = {one.need.pk: {each.piece.pk for each in one.chosen} for one in todo}
        record.remove_many(
            [
                choice
                for one in todo
                for choice in one.stands
                if choice.piece_id not in proposed[one.need.pk] and _gives_way(choice, one)
            ]
        )
        _write_choices(todo)
        rows = [(each.piece, use_values(each.piece, one.need)) for one in todo for each in one.chosen]
        record.change_each(rows)
        return act


def _gives_way(choice: Choice, proposal: Proposal) -> bool:
    """Return whether a choice ends when others are accepted: one of a kind that is asked for, not set by hand."""
    kinds = {kind for part in proposal.parts for kind in accepts(part.match.kind)}
    return choice.how == Choice.How.ACCEPTED and not choice.stands_in and kind_of(choice.piece.what) in kinds


def _accepted(todo: Sequence[Proposal]) -> str:
    if len(todo) == 1:
        tags = ", ".join(dict.fromkeys(one.piece.tag for one in todo[0].chosen))
        return _("Chose %(tags)s for %(need)s.") % {"tags": tags, "need": todo[0].need}
    return ngettext("Chose pieces for %(n)d need.", "Chose pieces for %(n)d needs.", len(todo)) % {"n": len(todo)}


def _write_choices(todo: Sequence[Proposal]) -> None:
    fresh, changed = [], []
    for one in todo:
        stored = {choice.piece_id: choice for choice in one.stands}
        for each in one.chosen:
            values = {"quantity": each.quantity, "stands_in": False, "how": Choice.How.ACCEPTED, "reason": ""}
            if each.piece.pk in stored:
                changed.append((stored[each.piece.pk], values))
            else:
                fresh.append(
                    Choice(
                        ministry_id=one.need.ministry_id,
                        need=one.need,
                        piece=each.piece,
                        free_from=each.piece.busy_until,
                        **values,
                    )
                )
    record.add_many(fresh)
    record.change_each(changed)


def use_values(piece: Piece, need: RoomNeed) -> dict[str, Any]:
    """Return what choosing a piece for a need changes on it."""
    if piece.fate == Fate.STAND_IN:
        return {"next_fate": Fate.USE, "goes_to": need.place}
    return {"fate": Fate.USE, "next_fate": "", "fate_until": "", "fate_until_on": None, "goes_to": need.place}


def fresh_proposals(ministry: Ministry, keys: Iterable[str] | None = None, **how: Any) -> list[Proposal]:
    """Return the proposals as the stock stands at this moment, all or those of some needs: never what a page held."""
    wanted = None if keys is None else set(keys)
    return [one for one in propose(ministry, **how).proposals if wanted is None or one.need.key in wanted]


def accept_now(*, ministry: Ministry, by: Member | None, keys: Iterable[str] | None, **how: Any) -> Act | None:
    """Match afresh and accept the proposals of these needs, of all where `keys` is None."""
    with transaction.atomic():
        Ministry.objects.select_for_update().get(pk=ministry.pk)
        return accept(ministry=ministry, by=by, proposals=fresh_proposals(ministry, keys, **how))
