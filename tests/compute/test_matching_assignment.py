"""The best assignment, against published cases, a reference library and trying everything."""

import json
import math
import random
from itertools import product
from pathlib import Path

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.matching import best_assignment

CASES = json.loads((Path(__file__).parents[1] / "checks" / "assign_cases_open.json").read_text(encoding="utf-8"))


def scores_of(matrix, sign):
    return {(r, c): sign * v for r, row in enumerate(matrix) for c, v in enumerate(row) if v is not None}


@pytest.mark.parametrize("case", [c for c in CASES if "cost" in c], ids=lambda case: case["id"])
def test_published_totals(case):
    """Sources stand in each case; a smallest total is asked as the highest of negative scores."""
    rows, columns = len(case["cost"]), len(case["cost"][0])
    sign = -1 if case["sense"] == "min" else 1
    places = case.get("places_per_column", 1)
    found = best_assignment(
        scores_of(case["cost"], sign), dict.fromkeys(range(columns), places), dict.fromkeys(range(rows), 1)
    )
    assert sign * found.total == case["expected"]["total"]
    assert sum(found.pairs.values()) == min(rows, columns * places)


@pytest.mark.parametrize("case", [c for c in CASES if "allowed" in c], ids=lambda case: case["id"])
def test_published_number_of_pairs(case):
    score = {(r, c): 0 for r, row in enumerate(case["allowed"]) for c, v in enumerate(row) if v}
    size = range(len(case["allowed"]))
    found = best_assignment(score, dict.fromkeys(size, 1), dict.fromkeys(size, 1))
    assert sum(found.pairs.values()) == case["expected"]["max_pairs"]


WHOLE = st.integers(-20, 20)


@st.composite
def questions(draw, numbers=WHOLE):
    needs, pieces = range(draw(st.integers(0, 4))), range(draw(st.integers(0, 4)))
    pairs = [(f"p{p}", f"n{n}") for p in pieces for n in needs if draw(st.booleans())]
    wanted = {f"n{n}": draw(st.integers(0, 3)) for n in needs}
    available = {f"p{p}": draw(st.integers(0, 3)) for p in pieces}
    return {pair: draw(numbers) for pair in pairs}, wanted, available


def referee(score, wanted, available):
    """Return (units, total) by the network flow of networkx: most units first, then the cheapest."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(["from", "to"])
    for piece, units in available.items():
        graph.add_edge("from", piece, capacity=units, weight=0)
    for need, units in wanted.items():
        graph.add_edge(need, "to", capacity=units, weight=0)
    for (piece, need), value in score.items():
        graph.add_edge(piece, need, capacity=99, weight=-value)
    flow = networkx.max_flow_min_cost(graph, "from", "to")
    return sum(flow["from"].values()), -networkx.cost_of_flow(graph, flow)


@given(questions())
def test_as_many_units_and_as_high_a_total_as_the_reference_library(question):
    found = best_assignment(*question)
    assert (sum(found.pairs.values()), found.total) == referee(*question)


@given(questions())
def test_nothing_is_taken_twice_and_nothing_wanted_is_forgotten(question):
    score, wanted, available = question
    found = best_assignment(*question)
    for piece, units in available.items():
        assert sum(n for (p, _need), n in found.pairs.items() if p == piece) <= units
    for need, units in wanted.items():
        assert sum(n for (_piece, k), n in found.pairs.items() if k == need) + found.unmet[need] == units
    assert set(found.pairs) <= set(score)
    assert all(units > 0 for units in [*found.pairs.values(), *found.unmet.values()])


@given(questions(st.floats(-1, 1)))
def test_fractions_against_trying_everything(question):
    score, wanted, available = question
    singles = {piece: min(1, units) for piece, units in available.items()}
    choices = [[None, *(n for n in wanted if (p, n) in score)] if singles[p] else [None] for p in singles]
    best = max(
        (sum(n is not None for n in picks), math.fsum(score[p, n] for p, n in zip(singles, picks, strict=True) if n))
        for picks in product(*choices)
        if all(picks.count(n) <= wanted[n] for n in wanted)
    )
    found = best_assignment(score, wanted, singles)
    assert sum(found.pairs.values()) == best[0]
    assert found.total == pytest.approx(best[1])


def test_most_units_come_before_a_high_total():
    found = best_assignment({("a", "x"): 100, ("a", "y"): 1, ("b", "x"): 1}, {"x": 1, "y": 1}, {"a": 1, "b": 1})
    assert found.pairs == {("a", "y"): 1, ("b", "x"): 1}


def test_a_difference_far_behind_the_point_still_decides():
    found = best_assignment({("a", "x"): 1e9, ("b", "x"): 1e9 + 1e-6}, {"x": 1}, {"a": 1, "b": 1})
    assert found.pairs == {("b", "x"): 1}


def test_a_pair_of_an_unknown_piece_or_need_is_not_wanted():
    found = best_assignment({("a", "x"): 1, ("ghost", "x"): 9, ("a", "ghost"): 9}, {"x": 2}, {"a": 1})
    assert found.pairs == {("a", "x"): 1}
    assert found.unmet == {"x": 1}


def test_a_whole_lot_moves_at_once():
    found = best_assignment({("chairs", "hall"): 0.5}, {"hall": 10**9}, {"chairs": 10**9 - 1})
    assert found.unmet == {"hall": 1}


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="-1 units"):
        best_assignment({}, {"x": -1}, {})
    with pytest.raises(ValueError, match="finite"):
        best_assignment({("a", "x"): math.nan}, {"x": 1}, {"a": 1})


def test_two_thousand_pieces_fill_five_hundred_needs():
    rng = random.Random(7)
    score = {(p, n): round(rng.random(), 3) for n in range(500) for p in rng.sample(range(2000), 12)}
    found = best_assignment(score, dict.fromkeys(range(500), 1), dict.fromkeys(range(2000), 1))
    assert sum(found.pairs.values()) == 500
