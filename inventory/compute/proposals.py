"""A first word on what might become of a piece nobody has decided on; the lead decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from inventory.compute.gates import LANDLORD, LENT, Gate, Standing
from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

USE, SPARE, PARTS, SELL = "use here", "shelf spare", "for parts", "sell"
OWNER, STAYS, RECYCLE = "back to owner", "stays with the building", "recycle"


@dataclass(frozen=True)
class ProposedFate:
    """fate: '' where something has to be found out first; why: the reason in words."""

    fate: str
    why: Sentence


def propose_fate(
    piece: Standing, gates: Mapping[str, Gate], *, fills: str = "", has_use_for_spare: bool = False
) -> ProposedFate:
    """Return what to think of first. Source of the order: whose it is, what the law says, what it is good for.

    gates: the gates of selling by name; fills: the need the matching would give it to; has_use_for_spare: something of
    its maker and model stays in use.
    """
    ours, legal = gates.get("ours"), gates.get("legal")
    if piece.bond == LANDLORD:
        return ProposedFate(STAYS, _("It belongs to the building."))
    if piece.condition == "not found":
        return ProposedFate("", _("Look for it first."))
    if legal and legal.failed and not (ours and ours.failed):
        return ProposedFate(RECYCLE, legal.say)
    if fills:
        return ProposedFate(USE, _("It would fill {need}.", need=fills))
    if piece.bond == LENT and ours:
        return ProposedFate(OWNER, ours.say)
    if ours and ours.failed:
        return ProposedFate(SPARE, ours.say)
    return _by_condition(piece.condition, legal, has_use_for_spare)


def _by_condition(condition: str, legal: Gate | None, has_use_for_spare: bool) -> ProposedFate:
    if condition in ("dead", "unsafe", "faulty"):
        if condition != "unsafe" and has_use_for_spare:
            return ProposedFate(PARTS, _("It does not work, and another of its model stays in use."))
        if condition == "faulty":
            return ProposedFate("", _("Find out whether it can be mended."))
        return ProposedFate(RECYCLE, _("It does not work, and no need asks for it."))
    if condition == "not yet tested":
        return ProposedFate("", _("Have it tested first: no need asks for it yet."))
    if has_use_for_spare:
        return ProposedFate(SPARE, _("Another of its model stays in use."))
    if legal and not legal.passed:
        return ProposedFate("", legal.say)
    return ProposedFate(SELL, _("It works, and no need asks for it."))
