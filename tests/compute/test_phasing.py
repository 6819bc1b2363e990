"""Fewest phases under a cap: published cases, a brute force referee, and refusals."""

import json
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roadmap.compute.ordering import RequirementLoop, UnknownRequirement
from roadmap.compute.phasing import OverCap, fewest_phases, phased

FILE = json.loads((Path(__file__).parent.parent / "checks" / "phase_cases_open.json").read_text(encoding="utf-8"))


def steps_of(case):
    tasks = FILE["graphs"][case["graph"]]["tasks"]
    return {k: t["cost"] for k, t in tasks.items()}, {k: t["requires"] for k, t in tasks.items()}


def checked(cost, requires, cap):
    """Return the number of phases after checking the three rules."""
    phases = fewest_phases(cost, requires, cap)
    at = {key: number for number, phase in enumerate(phases) for key in phase}
    assert sum(map(len, phases)) == len(at) == len(cost)
    assert all(phases), "a phase without a step"
    assert all(sum(Fraction(str(cost[key])) for key in phase) <= Fraction(str(cap)) for phase in phases)
    assert all(at[other] <= at[key] for key, needed in requires.items() for other in needed)
    return len(phases)


@pytest.mark.parametrize("case", FILE["cases"], ids=lambda case: case["id"])
def test_published_case(case):
    """Source: Scholl's data sets for assembly line balancing, named in the file; no case needs half a second."""
    cost, requires = steps_of(case)
    if case["kind"] == "min_phases":
        assert checked(cost, requires, case["cap"]) == case["expected"]["phases"]
        return
    cap = case["expected"]["cap"]
    assert checked(cost, requires, cap) <= case["phases"]
    if cap > max(cost.values()):
        assert checked(cost, requires, cap - 1) > case["phases"]
    else:
        with pytest.raises(OverCap):
            fewest_phases(cost, requires, cap - 1)


def test_the_worked_example_of_the_page():
    cost = {"desk": 400, "box": 300, "ears": 500, "hang": 600, "notes": 0}
    requires = {"box": ["desk"], "ears": ["box"], "notes": ["ears"]}
    assert fewest_phases(cost, requires, 1000) == [["desk", "hang"], ["box", "ears", "notes"]]


def test_steps_that_cost_nothing_wait_only_for_their_links():
    assert fewest_phases({"a": 0, "b": 0}, {"b": ["a"]}, 0) == [["a", "b"]]
    assert fewest_phases({"a": 5, "free": 0, "b": 5}, {"free": ["a"], "b": ["free"]}, 5) == [["a", "free"], ["b"]]


def test_no_steps_are_no_phases():
    assert fewest_phases({}, {}, 10) == [] and phased({}, {}, 10).proven


def test_cents_and_decimals_count_as_written():
    assert checked({"a": 0.1, "b": 0.2}, {}, 0.3) == 1
    assert checked({"a": 250_01, "b": 250_00, "c": 499_99}, {}, 500_00) == 3


def test_a_large_cap_is_packed_without_the_sums():
    cost = {number: 100_003 + 977 * number for number in range(8)}
    assert checked(cost, {}, 250_000) == 4


def test_a_step_over_the_cap_is_named():
    with pytest.raises(OverCap) as refused:
        fewest_phases({"a": 1, "b": 7, "c": 8}, {}, 5)
    assert refused.value.step == "b" and str(refused.value) == "b alone costs more than a phase may."


@pytest.mark.parametrize(
    ("cost", "requires", "error"),
    [
        ({"a": -1}, {}, ValueError),
        ({"a": 1}, {"a": ["x"]}, UnknownRequirement),
        ({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]}, RequirementLoop),
    ],
)
def test_what_cannot_be_packed_is_refused(cost, requires, error):
    with pytest.raises(error):
        fewest_phases(cost, requires, 10)


def test_without_the_effort_to_prove_the_gap_is_said():
    dice = Random(14)
    cost = {number: dice.choice([dice.randint(10, 60), dice.randint(200, 450)]) for number in range(60)}
    requires = {number: [number - dice.randint(1, min(number, 9))] for number in range(1, 60)}
    quick = phased(cost, requires, -(-sum(cost.values()) // 20), effort=1)
    assert len(quick.phases) > quick.at_least >= 20 and not quick.proven


@st.composite
def small(draw):
    size = draw(st.integers(1, 7))
    cost = {key: draw(st.integers(0, 9)) for key in range(size)}
    requires = {key: [other for other in range(key) if draw(st.integers(0, 3)) == 0] for key in range(size)}
    return cost, requires, draw(st.integers(max(1, *cost.values(), 1), 15))


def fewest_by_force(cost, requires, cap):
    """Return the fewest phases by growing the family of sets that k phases can hold; the empty set with none."""
    reached, phases = {frozenset()}, 0
    everything = frozenset(cost)
    while everything not in reached:
        phases += 1
        grown, open_sets = set(reached), [(done, cap, frozenset()) for done in reached]
        while open_sets:
            done, room, load = open_sets.pop()
            for key in everything - done:
                if cost[key] <= room and set(requires[key]) <= done:
                    bigger = (done | {key}, room - cost[key], load | {key})
                    if bigger not in open_sets:
                        open_sets.append(bigger)
                    grown.add(bigger[0])
        reached = grown
    return phases


@settings(deadline=None)
@given(small())
def test_no_fewer_phases_are_possible(case):
    cost, requires, cap = case
    assert checked(cost, requires, cap) == fewest_by_force(cost, requires, cap)
