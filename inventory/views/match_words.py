"""What the matching says of a need, in words: chosen, next best, what is missing, who was turned down and why."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.compute.gates import Gate
from inventory.compute.matching import Candidate
from inventory.models import Piece
from inventory.services.fates import gate_words
from inventory.services.matching import Answer, PartMatch, Proposal, Proposed

MOST_SHOWN = 12


@dataclass(frozen=True)
class ShownCandidate:
    """A piece before a need: score of 100, what it depends on or why it was turned down."""

    piece: Piece
    score: int
    reasons: list[str]
    quantity: int = 0


@dataclass(frozen=True)
class ShownPart:
    """One kind of thing a need asks for."""

    what: str
    kind: str
    chosen: list[ShownCandidate]
    next_best: ShownCandidate | None
    margin: int | None
    unmet: int
    covered: int
    others: list[ShownCandidate]
    rejected: list[ShownCandidate]
    more: int  # rejected ones that are not listed


@dataclass(frozen=True)
class ShownProposal:
    """A need with its parts in words."""

    proposal: Proposal
    parts: list[ShownPart]


def in_words(answer: Answer, proposals: Sequence[Proposal]) -> list[ShownProposal]:
    """Return proposals in words. Queries nothing."""
    return [ShownProposal(one, [_part(answer, part) for part in one.parts]) for one in proposals]


def _part(answer: Answer, part: PartMatch) -> ShownPart:
    match = part.match
    taken = {one.piece.tag for one in part.chosen}
    next_best = match.runner_up
    others = [c for c in match.candidates if c.piece not in taken and (not next_best or c.piece != next_best.piece)]
    return ShownPart(
        what=part.part.what,
        kind=match.kind,
        chosen=[_chosen(answer, one) for one in part.chosen],
        next_best=_candidate(answer, next_best) if next_best else None,
        margin=None if match.margin is None else round(match.margin * 100),
        unmet=match.unmet,
        covered=part.on_order,
        others=[_candidate(answer, one) for one in others[:MOST_SHOWN]],
        rejected=[_candidate(answer, one) for one in match.rejected[:MOST_SHOWN]],
        more=max(0, len(match.rejected) - MOST_SHOWN),
    )


def _chosen(answer: Answer, one: Proposed) -> ShownCandidate:
    reasons = reasons_in_words(answer, one.candidate.reasons)
    return ShownCandidate(one.piece, round(one.candidate.score * 100), reasons, one.quantity)


def _candidate(answer: Answer, one: Candidate) -> ShownCandidate:
    return ShownCandidate(answer.pieces[one.piece], round(one.score * 100), reasons_in_words(answer, one.reasons), 0)


def reasons_in_words(answer: Answer, gates: Sequence[Gate]) -> list[str]:
    """Return each reason once, the law with source and date."""
    return list(dict.fromkeys(gate_words(answer.ground, gate) for gate in gates))
