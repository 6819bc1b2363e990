"""A first word on the pieces that wait for a decision, from their gates and from what the rooms still need."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.compute.proposals import propose_fate
from inventory.models import Piece, Place
from inventory.services.matching import Answer, propose
from inventory.services.saying import said
from inventory.services.standing import Ground
from inventory.words import Fate
from people.models import Ministry
from people.packs import pack


@dataclass(frozen=True)
class ProposedFor:
    """What is proposed for one piece, why in words, and the room where it would be used."""

    fate: str
    why: str
    place: Place | None


@dataclass(frozen=True)
class Proposals:
    """Piece -> what is proposed, and the ground it stands on."""

    of: dict[int, ProposedFor]
    ground: Ground


def propose_fates(ministry: Ministry, pieces: Sequence[Piece]) -> Proposals:
    """Return a proposal for each piece. Owners must be loaded. The number of queries does not grow."""
    answer = propose(ministry)
    fills = _fills(answer)
    in_use = {
        (piece.maker, piece.model): piece.pk
        for piece in answer.pieces.values()
        if piece.model and piece.fate in {Fate.USE, Fate.STAND_IN}
    }
    its_pack = pack(ministry.country)
    found = {}
    for piece in pieces:
        on = answer.ground
        gates = {gate.name: gate for gate in on.gates(piece, Fate.SELL)}
        need, place = fills.get(piece.tag, ("", None))
        others = in_use.get((piece.maker, piece.model), piece.pk) != piece.pk
        proposed = propose_fate(on.standing(piece), gates, fills=need, has_use_for_spare=others)
        found[piece.pk] = ProposedFor(proposed.fate, said(proposed.why, its_pack, on.names), place)
    return Proposals(found, answer.ground)


def _fills(answer: Answer) -> dict[str, tuple[str, Place]]:
    """Return tag -> (need in words, room) of what the matching proposes."""
    return {
        one.piece.tag: (f"{proposal.need}, {proposal.need.place}", proposal.need.place)
        for proposal in answer.proposals
        for one in proposal.chosen
    }
