"""Deciding what becomes of pieces: gates first, sets together, one act.

`set_fate` is the one door for a fate, of one piece or of many. It raises FateRefused (a gate says no) or
SetGoesTogether (something kept could no longer work); both carry `sentences` for people, and REFUSALS catches either.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inventory.compute.gates import FAIL, HANDED_ON, LEASE, PASS, Gate, ours_to_dispose
from inventory.compute.kits import Stranding
from inventory.models import Choice, Piece, Place
from inventory.services.kits import Strands
from inventory.services.saying import said
from inventory.services.standing import Ground, ground
from inventory.words import LEAVING_FATES, Fate
from people.compute.sentences import sentence
from people.models import Act, Member, Ministry
from people.packs import pack
from people.services import record

NEVER = ("unsafe",)  # a condition no reason overrides: somebody can be hurt
MOST_TOLD = 6
NEEDED = gettext_noop("It is chosen for {need}: choose another piece there first, or say why not.")
WHENCE = gettext_noop("({source}, checked {day})")


@dataclass(frozen=True)
class Refusal:
    """One gate that stands against a fate of a piece. `judgment`: a reason may override it."""

    piece: Piece
    gate: Gate
    judgment: bool


class FateRefused(Exception):
    """A fate that gates forbid. `refusals` has the gates, `sentences` the words, `judgment` whether a reason helps."""

    def __init__(self, refusals: Sequence[Refusal], sentences: list[str]) -> None:
        super().__init__(" ".join(sentences))
        self.refusals, self.sentences = list(refusals), sentences

    @property
    def judgment(self) -> bool:
        return all(one.judgment for one in self.refusals)


class SetGoesTogether(Strands):
    """A fate that would strand something kept. `together`: the kept pieces that would have to go along."""

    def __init__(self, sentences: list[str], together: list[Piece]) -> None:
        super().__init__(sentences)
        self.together = together


REFUSALS = (FateRefused, Strands)


def refusals(on: Ground, piece: Piece, fate: str, next_fate: str = "", until: date | None = None) -> list[Refusal]:
    """Return the gates that stand against a fate, hard ones first. The owner must be loaded with the piece.

    A set that is partly barred may be handed on only with a reason: whoever gets it has to be told to lock it.
    """
    found = [_refusal(piece, fate, gate) for gate in on.gates(piece, fate)]
    later = _next_gate(on, piece, next_fate, until)
    fills = on.chosen_for.get(piece.pk, []) if fate in LEAVING_FATES else []
    found += [Refusal(piece, _needed(choice), True) for choice in fills if not choice.stands_in]
    return sorted(filter(None, (*found, later)), key=lambda one: one.judgment)


def _refusal(piece: Piece, fate: str, gate: Gate) -> Refusal | None:
    if gate.result == PASS:
        return None
    if gate.result == FAIL:
        by_judgment = gate.name == "complete" or (gate.name == "safe" and piece.condition not in NEVER)
        return Refusal(piece, gate, by_judgment)
    partly_barred = gate.name == "legal" and fate in HANDED_ON
    return Refusal(piece, gate, True) if partly_barred else None


def _next_gate(on: Ground, piece: Piece, next_fate: str, until: date | None) -> Refusal | None:
    """Return the bond that stands against what comes after; a lease that may have ended by then does not."""
    if next_fate not in {*HANDED_ON, Fate.RECYCLE, Fate.PARTS} or (piece.bond == LEASE and until is None):
        return None
    its = on.standing(piece)
    day = until or on.around.on
    gate = ours_to_dispose(its.bond, day, until=its.bond_until, owner=its.owner, never_sell=its.never_sell)
    return Refusal(piece, gate, False) if gate.failed else None


def _needed(choice: Choice) -> Gate:
    need = f"{choice.need.key} {choice.need.what}, {choice.need.place.name}"
    return Gate("needed", FAIL, sentence(NEEDED, need=need))


def strandings(on: Ground, pieces: Iterable[Piece], fate: str) -> tuple[Stranding, ...]:
    """Return what giving all these pieces the fate at once would strand."""
    return on.kits.stranded_by_all({piece.tag: fate for piece in pieces}, on.fates)


def together_with(on: Ground, pieces: Sequence[Piece], fate: str) -> list[str]:
    """Return the tags of the kept pieces that must go along, so that nothing kept is stranded."""
    mine = {piece.tag for piece in pieces}
    found = (chain.piece for one in strandings(on, pieces, fate) for chain in one.stranded)
    return [tag for tag in dict.fromkeys(found) if tag not in mine]


def set_fate(
    *,
    pieces: Sequence[Piece],
    fate: str,
    by: Member | None,
    next_fate: str = "",
    until: str = "",
    until_on: date | None = None,
    why: str = "",
    goes_to: Place | None = None,
    despite: str = "",
    together: bool = False,
) -> Act | None:
    """Decide on pieces of one ministry as one act; None where nothing changes.

    until, until_on: in words or as a day, for a fate that holds for a while; next_fate: what comes then. goes_to: None
    leaves the destination of what stays and empties that of what leaves. despite: the reason that overrides gates of
    judgment, kept with `why`. together: what would be stranded gets the same fate in the same act.
    A piece that leaves is no longer chosen for a need. Raises FateRefused, SetGoesTogether.
    """
    ministry = pieces[0].ministry
    with transaction.atomic():
        on = ground(ministry)
        fresh = _fresh(ministry, [piece.tag for piece in pieces])
        if together:
            fresh += _fresh(ministry, together_with(on, fresh, fate))
        turning = [piece for piece in fresh if piece.fate != fate]
        _refuse(on, turning, fate, next_fate, until_on, despite)
        values = {
            "fate": fate,
            "next_fate": next_fate,
            "fate_until": until,
            "fate_until_on": until_on,
            "fate_why": "; ".join(filter(None, (why, despite)))[:300],
            **_destination(fate, goes_to),
        }
        todo = [piece for piece in fresh if _differs(piece, values)]
        return _write(on, todo, values, by) if todo else None


def _fresh(ministry: Ministry, tags: Sequence[str]) -> list[Piece]:
    rows = Piece.objects.select_for_update(of=("self",)).filter(ministry=ministry, tag__in=tags)
    return list(rows.select_related("owner", "place", "ministry").order_by("tag_number"))


def _destination(fate: str, goes_to: Place | None) -> dict[str, Any]:
    if goes_to is not None or fate in LEAVING_FATES:
        return {"goes_to": goes_to}
    return {}


def _differs(piece: Piece, values: Mapping[str, Any]) -> bool:
    return any(getattr(piece, name) != value for name, value in values.items())


def _refuse(on: Ground, turning: Sequence[Piece], fate: str, next_fate: str, until: date | None, despite: str) -> None:
    """Raise where a gate or a kit forbids the fate. Gates first: a set that may not go cannot go together."""
    against = [one for piece in turning for one in refusals(on, piece, fate, next_fate, until)]
    standing = [one for one in against if not (one.judgment and despite)]
    if standing:
        raise FateRefused(standing, _told(on, standing, len(turning) > 1))
    found = strandings(on, turning, fate)
    if found:
        its_pack = pack(on.ministry.country)
        tags = together_with(on, turning, fate)
        pieces = list(Piece.objects.filter(ministry=on.ministry, tag__in=tags).order_by("tag_number"))
        raise SetGoesTogether([said(one.say, its_pack, on.names) for one in found], pieces)


def _told(on: Ground, against: Sequence[Refusal], named: bool) -> list[str]:
    """Return the refusals in words, the first of them where they are many."""
    told = [words(on, one, named) for one in against[:MOST_TOLD]]
    if more := len(against) - len(told):
        told.append(ngettext("And %(n)d more.", "And %(n)d more.", more) % {"n": more})
    return told


def refuse_fates(*, pieces: Sequence[Piece], fate: str) -> None:
    """Raise FateRefused or SetGoesTogether where these pieces may not all get the fate; for those who write it with
    other things, a bulk change. Whose fate stays the same is not asked.
    """
    if pieces:
        on = ground(pieces[0].ministry)
        fresh = _fresh(on.ministry, [piece.tag for piece in pieces])
        _refuse(on, [piece for piece in fresh if piece.fate != fate], fate, "", None, "")


def words(on: Ground, refusal: Refusal, named: bool = False) -> str:
    """Return a refusal as a sentence with its source and the day the rule was checked; named: with the piece."""
    text = gate_words(on, refusal.gate)
    return f"{refusal.piece}: {text}" if named else text


def gate_words(on: Ground, gate: Gate) -> str:
    """Return what a gate says; where the law of radio says it, with the source and the day it was checked."""
    its_pack = pack(on.ministry.country)
    text = said(gate.say, its_pack, on.names)
    if gate.name != "legal" or gate.checked_on is None:
        return text
    return f"{text} {said(sentence(WHENCE, source=gate.source, day=gate.checked_on), its_pack)}"


def _write(on: Ground, todo: list[Piece], values: dict[str, Any], by: Member | None) -> Act:
    with record.act(ministry=on.ministry, by=by, kind="fate-set", says=_says(todo, values["fate"])) as act:
        if values["fate"] in LEAVING_FATES:
            record.remove_many([choice for piece in todo for choice in on.chosen_for.get(piece.pk, [])])
        record.change_many(todo, **values)
        return act


def _says(pieces: Sequence[Piece], fate: str) -> str:
    word = str(Fate(fate).label)
    if len(pieces) == 1:
        return _("Decided on %(piece)s: %(fate)s.") % {"piece": pieces[0], "fate": word}
    tags = ", ".join(piece.tag for piece in pieces[:12])
    text = ngettext(
        "Decided on %(n)d piece, %(fate)s: %(tags)s.", "Decided on %(n)d pieces, %(fate)s: %(tags)s.", len(pieces)
    )
    return text % {"n": len(pieces), "fate": word, "tags": tags + ("…" if len(pieces) > 12 else "")}
