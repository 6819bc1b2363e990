"""The assignment where sets of pieces must stay together, by integer optimization. Loaded only when a set couples."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

import highspy

Pair = tuple[str, str]
MOST_NODES = 5_000  # bound of work, so that the same question has the same answer on any machine


class _Quiet(highspy.Highs):
    """The optimizer without its banner, which it prints on the standard output before any option can be set."""

    def enableCallbacks(self) -> None:
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def coupled(score: Mapping[Pair, float], sets: Sequence[Collection[str]]) -> set[Pair]:
    """Return the pairs that a set can influence: those connected, through pieces, needs and sets, to one of a set."""
    pieces = {piece for one in sets for piece in one}
    needs: set[str] = set()
    while True:
        more_needs = {need for piece, need in score if piece in pieces} - needs
        needs |= more_needs
        more_pieces = {piece for piece, need in score if need in needs} - pieces
        pieces |= more_pieces
        if not more_needs and not more_pieces:
            return {pair for pair in score if pair[0] in pieces}


def assign_together(
    score: Mapping[Pair, float],
    wanted: Mapping[str, int],
    available: Mapping[str, int],
    sets: Sequence[Collection[str]],
) -> dict[Pair, int]:
    """Return (piece, need) -> units: most units, then the highest total, each set whole in one need or left out."""
    model: Any = _Quiet()  # type: ignore[no-untyped-call]
    for option, value in (
        ("output_flag", False),
        ("log_to_console", False),
        ("threads", 1),
        ("random_seed", 0),
        ("mip_rel_gap", 0.0),
        ("mip_max_nodes", MOST_NODES),
    ):
        model.setOptionValue(option, value)
    units = {
        pair: model.addVariable(0, min(available[pair[0]], wanted[pair[1]]), type=highspy.HighsVarType.kInteger)
        for pair in score
    }
    _limit(model, units, 0, available)
    _limit(model, units, 1, wanted)
    for one in sets:
        _keep_together(model, units, one, available)
    model.maximize(_sum(model, units, dict.fromkeys(score, 1.0)))
    most = round(model.getObjectiveValue())
    model.addConstr(_sum(model, units, dict.fromkeys(score, 1.0)) >= most)
    model.maximize(_sum(model, units, score))
    values = {pair: round(model.val(variable)) for pair, variable in units.items()}
    return {pair: value for pair, value in values.items() if value}


def _limit(model: Any, units: Mapping[Pair, Any], side: int, limits: Mapping[str, int]) -> None:
    """Hold what each piece (side 0) or need (side 1) takes part in within its limit."""
    groups: dict[str, dict[Pair, float]] = {}
    for pair in units:
        groups.setdefault(pair[side], {})[pair] = 1.0
    for key, group in groups.items():
        model.addConstr(_sum(model, units, group) <= limits[key])


def _keep_together(model: Any, units: Mapping[Pair, Any], one: Collection[str], available: Mapping[str, int]) -> None:
    """Let all pieces of a set, with all their units, go to one need or none."""
    needs = dict.fromkeys(need for piece, need in units if piece in one)
    for need in needs:
        whole = model.addVariable(0, 1, type=highspy.HighsVarType.kInteger)
        for piece in one:
            if (piece, need) in units:
                model.addConstr(units[piece, need] - available[piece] * whole == 0)
            else:
                model.addConstr(1.0 * whole == 0)


def _sum(model: Any, units: Mapping[Pair, Any], factors: Mapping[Pair, float]) -> Any:
    return model.qsum(factor * units[pair] for pair, factor in factors.items())
