"""How far a need is filled by what was chosen for it, what is on order, and what stands in."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inventory.compute.kinds import accepts
from inventory.compute.matching import NeedToMatch, need_kind

FILLED, FALLS_SHORT, ON_ORDER, STOOD_IN, OPEN = "filled", "falls short", "on order", "stood in", "open"
STATES = (OPEN, FALLS_SHORT, STOOD_IN, ON_ORDER, FILLED)


@dataclass(frozen=True)
class Filled:
    """A piece chosen for a need: its kind, the units it gives, and how it does."""

    kind: str
    units: int
    there: bool = True  # kept, found and working
    does_it: bool = True  # no must-have is known to fail
    stands_in: bool = False


@dataclass(frozen=True)
class Filling:
    """Units: wanted, filled by what is there, on order. `state`: filled, on order, stood in, falls short or open."""

    wanted: int
    filled: int
    on_order: int
    state: str

    @property
    def gap(self) -> int:
        """Return the units that nothing fills and nothing on order will."""
        return max(0, self.wanted - self.filled - self.on_order)


def filling(parts: Sequence[NeedToMatch], chosen: Sequence[Filled], on_order: int = 0) -> Filling:
    """Return how far the parts of one need are filled.

    A thing of another kind counts only where nothing chosen is of a kind the need asks for: then the lead chose it on
    purpose; else it is a companion, as the transmitter of ten receivers. What is not there fills nothing.
    """
    wanted = sum(part.units for part in parts)
    holds = [one for one in chosen if one.there and not one.stands_in]
    filled = _units(parts, [one for one in holds if one.does_it])
    if filled >= wanted:
        return Filling(wanted, filled, on_order, FILLED)
    return Filling(wanted, filled, on_order, _state(wanted, filled, on_order, chosen, holds))


def _state(wanted: int, filled: int, on_order: int, chosen: Sequence[Filled], holds: Sequence[Filled]) -> str:
    if filled + on_order >= wanted:
        return ON_ORDER
    if any(not one.does_it for one in holds):
        return FALLS_SHORT
    return STOOD_IN if any(one.stands_in and one.there for one in chosen) else OPEN


def _units(parts: Sequence[NeedToMatch], chosen: Sequence[Filled]) -> int:
    """Return the units of the parts that are filled, none more than it wants."""
    by_kind: dict[str, int] = {}
    for one in chosen:
        by_kind[one.kind] = by_kind.get(one.kind, 0) + one.units
    wanted = {kind for part in parts for kind in accepts(need_kind(part))}
    others = 0 if wanted & set(by_kind) else sum(by_kind.values())
    filled = 0
    for part in parts:
        left = part.units
        for kind in sorted(accepts(need_kind(part))):
            taken = min(left, by_kind.get(kind, 0))
            by_kind[kind] = by_kind.get(kind, 0) - taken
            left -= taken
        taken = min(left, others)
        others -= taken
        filled += part.units - left + taken
    return filled


PAIR = re.compile(r"\bpair with ([A-Z])0*(\d+)\b")


def pairs_in(notes: Mapping[tuple[str, int], str]) -> list[tuple[tuple[str, int], tuple[str, int]]]:
    """Return what notes call a pair: (letter, number) of both, in order and once. notes: (letter, number) -> note."""
    found = set()
    for key, note in notes.items():
        for letter, number in PAIR.findall(note):
            other = (letter, int(number))
            if other in notes and other != key:
                found.add((min(key, other), max(key, other)))
    return sorted(found)
