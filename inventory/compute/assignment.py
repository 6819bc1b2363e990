"""The best assignment of pieces to needs: most units first, then the highest total score."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from heapq import heappop, heappush
from typing import Generic, TypeVar

Piece = TypeVar("Piece", bound=Hashable)
Need = TypeVar("Need", bound=Hashable)


@dataclass(frozen=True)
class Assignment(Generic[Piece, Need]):
    """Which piece fills which need with how many units, the total score of all units, and what is left open."""

    pairs: dict[tuple[Piece, Need], int]
    total: float
    unmet: Counter[Need]  # need -> units left, 0 for a need that is filled


def best_assignment(
    score: Mapping[tuple[Piece, Need], float], wanted: Mapping[Need, int], available: Mapping[Piece, int]
) -> Assignment[Piece, Need]:
    """Return the assignment with the most units, and among those the one with the highest total.

    score: (piece, need) -> number of any sign, a pair that is absent is not allowed; wanted: need -> units;
    available: piece -> units. Pairs of an unknown piece or need count as not wanted.
    Equal questions have equal answers.
    Raises ValueError for a negative count or a score that is not a finite number.
    Source: successive shortest paths with potentials and early end (Edmonds and Karp 1972; Jonker and Volgenant 1987),
    in whole numbers throughout so that no rounding can prefer the wrong pair.
    """
    _check_counts(wanted)
    _check_counts(available)
    costs = _whole_costs(score)
    search = _Search(costs, wanted, available)
    for need, units in wanted.items():
        search.place(need, units)
    pairs = {(piece, need): units for piece, takers in search.taken.items() for need, units in takers.items()}
    ordered = {pair: pairs[pair] for pair in score if pairs.get(pair)}
    return Assignment(ordered, sum(score[pair] * units for pair, units in ordered.items()), search.unmet)


def _check_counts(counts: Mapping[Need, int]) -> None:
    for key, units in counts.items():
        if units < 0:
            raise ValueError(f"{key!r} cannot have {units} units.")


def _whole_costs(score: Mapping[tuple[Piece, Need], float]) -> dict[tuple[Piece, Need], int]:
    """Return the scores turned round into costs, as whole numbers on one common denominator."""
    if wrong := [pair for pair, value in score.items() if isinstance(value, float) and not math.isfinite(value)]:
        raise ValueError(f"The score of {wrong[0]!r} is not a finite number.")
    exact = {pair: Fraction(value) for pair, value in score.items()}
    scale = math.lcm(*{value.denominator for value in exact.values()})
    return {pair: -value.numerator * (scale // value.denominator) for pair, value in exact.items()}


class _Search(Generic[Piece, Need]):
    """Placing one need after the other, each by the cheapest chain of exchanges.

    Reduced cost of an edge: cost + price[need] - price[piece], never negative, 0 where units flow. Leaving a unit out
    costs more than all pairs together, so that the most units come first.
    """

    def __init__(
        self, costs: Mapping[tuple[Piece, Need], int], wanted: Mapping[Need, int], available: Mapping[Piece, int]
    ) -> None:
        self.edges: dict[Need, list[tuple[Piece, int]]] = {need: [] for need in wanted}
        for (piece, need), cost in costs.items():
            if need in self.edges and available.get(piece, 0) > 0:
                self.edges[need].append((piece, cost))
        self.free = {piece: units for piece, units in available.items() if units > 0}
        self.taken: dict[Piece, dict[Need, int]] = {piece: {} for piece in self.free}
        self.unmet: Counter[Need] = Counter()
        self._nothing: Piece | None = None
        values = costs.values()
        self.left_out = 1 + (max(values, default=0) - min(values, default=0)) * (len(self.free) + len(wanted) + 1)
        self.left_out += max(values, default=0)
        self.need_price: dict[Need, int] = dict.fromkeys(wanted, 0)
        lowest = min(values, default=0)
        self.piece_price: dict[Piece, int] = dict.fromkeys(self.free, lowest)
        self.end_price = lowest

    def place(self, need: Need, units: int) -> None:
        """Give all units of a need a piece or leave them out."""
        while units:
            chain, end = self._cheapest_chain(need)
            moved = self._room(chain, end, units)
            self._exchange(chain, end, moved)
            units -= moved

    def _cheapest_chain(self, start: Need) -> tuple[dict[Need, tuple[Piece, Need]], tuple[Need, Piece | None]]:
        """Return how each need was reached (through which piece, from which need) and the last (need, free piece).

        The piece of the end is None where leaving the last need's unit out is the cheapest.
        """
        best, end = self._cost_of_leaving(start), (start, self._nothing)
        distance, reached = {start: 0}, dict[Piece, int]()
        came: dict[Need, tuple[Piece, Need]] = {}
        queue, ties = [(0, 0, start)], 1
        while queue and queue[0][0] < best:
            so_far, _tie, need = heappop(queue)
            if so_far > distance[need]:
                continue
            if so_far + self._cost_of_leaving(need) < best:
                best, end = so_far + self._cost_of_leaving(need), (need, self._nothing)
            base = so_far + self.need_price[need]
            for piece, cost in self.edges[need]:
                along = base + cost - self.piece_price[piece]
                if along >= best or along >= reached.get(piece, best):
                    continue
                reached[piece] = along
                if self.free[piece]:
                    if along + self.piece_price[piece] - self.end_price < best:
                        best, end = along + self.piece_price[piece] - self.end_price, (need, piece)
                    continue
                for other in self.taken[piece]:
                    if along < distance.get(other, best):
                        distance[other], came[other] = along, (piece, need)
                        heappush(queue, (along, ties, other))
                        ties += 1
        self._reprice(distance, reached, best)
        return came, end

    def _cost_of_leaving(self, need: Need) -> int:
        return self.left_out + self.need_price[need] - self.end_price

    def _reprice(self, distance: Mapping[Need, int], reached: Mapping[Piece, int], best: int) -> None:
        for need, away in distance.items():
            if away < best:
                self.need_price[need] += away - best
        for piece, away in reached.items():
            if away < best:
                self.piece_price[piece] += away - best

    def _steps(
        self, came: Mapping[Need, tuple[Piece, Need]], end: tuple[Need, Piece | None]
    ) -> Iterable[tuple[Piece, Need, Need]]:
        """Yield (piece, need that gives it up, need that gets it), from the end of the chain to its start."""
        need = end[0]
        while need in came:
            piece, taker = came[need]
            yield piece, need, taker
            need = taker

    def _room(self, came: Mapping[Need, tuple[Piece, Need]], end: tuple[Need, Piece | None], units: int) -> int:
        room = units if end[1] is None else min(units, self.free[end[1]])
        return min([room, *(self.taken[piece][giver] for piece, giver, _taker in self._steps(came, end))])

    def _exchange(self, came: Mapping[Need, tuple[Piece, Need]], end: tuple[Need, Piece | None], units: int) -> None:
        last, free_piece = end
        if free_piece is None:
            self.unmet[last] += units
        else:
            self.free[free_piece] -= units
            self._take(free_piece, last, units)
        for piece, giver, taker in list(self._steps(came, end)):
            self._take(piece, giver, -units)
            self._take(piece, taker, units)

    def _take(self, piece: Piece, need: Need, units: int) -> None:
        takers = self.taken[piece]
        takers[need] = takers.get(need, 0) + units
        if not takers[need]:
            del takers[need]
