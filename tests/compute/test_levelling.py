"""Levelled schedules: published cases with their optimum, and a brute force referee on small ones."""

import json
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roadmap.compute.levelling import OverCapacity, levelled
from roadmap.compute.ordering import RequirementLoop, UnknownRequirement

CASES = json.loads((Path(__file__).parent.parent / "checks" / "rcpsp_cases_open.json").read_text(encoding="utf-8"))


def tables(case):
    tasks = case["tasks"]
    return (
        {key: task["duration"] for key, task in tasks.items()},
        {key: task["requires"] for key, task in tasks.items()},
        {key: dict(enumerate(task["uses"])) for key, task in tasks.items()},
        dict(enumerate(case["capacity"])),
    )


def assert_allowed(result, durations, requires, uses, capacity):
    starts = result.starts
    assert set(starts) == set(durations) and all(start >= 0 for start in starts.values())
    assert result.length == max((starts[k] + durations[k] for k in starts), default=0)
    assert all(starts[o] + durations[o] <= starts[k] for k in requires for o in requires[k])
    for moment in set(starts.values()):
        for resource, there_is in capacity.items():
            under_way = [k for k in starts if starts[k] <= moment < starts[k] + durations[k]]
            assert sum(uses.get(k, {}).get(resource, 0) for k in under_way) <= there_is


@pytest.fixture(scope="module")
def published():
    """Every published case, solved once."""
    return {case["id"]: levelled(*tables(case)) for case in CASES}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_published_case(case, published):
    """Source: PSPLIB (Kolisch and Sprecher 1996), named in the file."""
    result, best = published[case["id"]], case["expected"]["optimal_makespan"]
    assert_allowed(result, *tables(case))
    assert result.at_least <= best <= result.length <= 1.06 * best
    assert result.at_least >= case["expected"]["cpm_length"]
    assert result.proven is (result.at_least == result.length)


def test_published_cases_are_near_the_optimum_on_average(published):
    over = [published[case["id"]].length / case["expected"]["optimal_makespan"] - 1 for case in CASES]
    assert sum(over) / len(over) <= 0.02


def test_the_worked_example_of_the_page():
    durations = {"pull": 3, "rack": 2, "hang": 2, "test": 1}
    result = levelled(
        durations,
        {"test": ["pull", "rack", "hang"]},
        {"pull": {"hands": 2}, "rack": {"hands": 1}, "hang": {"hands": 2}},
        {"hands": 3},
    )
    assert result.length == 6 and result.proven
    assert result.starts["test"] == 5
    assert sum((until - first) * amount for first, until, amount in result.load["hands"]) == 3 * 2 + 2 * 1 + 2 * 2


def test_load_tells_what_is_used_when():
    result = levelled({"a": 2, "b": 1}, {"b": ["a"]}, {"a": {"hands": 2}}, {"hands": 2, "van": 1})
    assert result.load == {"hands": [(0, 2, 2), (2, 3, 0)], "van": [(0, 3, 0)]}


def test_no_tasks():
    result = levelled({}, {}, {}, {"hands": 1})
    assert result.starts == {} and result.length == 0 and result.proven


def test_half_days_are_allowed():
    result = levelled({"a": 0.5, "b": 0.25}, {}, {"a": {"van": 1}, "b": {"van": 1}}, {"van": 1})
    assert result.length == 0.75 and result.proven


def test_the_same_question_has_the_same_answer():
    case = next(case for case in CASES if case["id"] == "psplib-j3013_4")
    assert levelled(*tables(case), schedules=60).starts == levelled(*tables(case), schedules=60).starts


@pytest.mark.parametrize("uses", [{"hands": 3}, {"crane": 1}])
def test_a_task_that_needs_more_than_there_is_is_named(uses):
    with pytest.raises(OverCapacity) as refused:
        levelled({"a": 1}, {}, {"a": uses}, {"hands": 2})
    assert (refused.value.task, refused.value.resource) == ("a", next(iter(uses)))


@pytest.mark.parametrize(
    ("durations", "requires", "error"),
    [
        ({"a": -1}, {}, ValueError),
        ({"a": 1}, {"a": ["x"]}, UnknownRequirement),
        ({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]}, RequirementLoop),
    ],
)
def test_what_cannot_be_levelled_is_refused(durations, requires, error):
    with pytest.raises(error):
        levelled(durations, requires, {}, {})


@st.composite
def small(draw):
    size = draw(st.integers(1, 5))
    durations = {key: draw(st.integers(0, 4)) for key in range(size)}
    requires = {key: [other for other in range(key) if draw(st.integers(0, 3)) == 0] for key in range(size)}
    uses = {key: {"hands": draw(st.integers(0, 3)), "van": draw(st.integers(0, 1))} for key in range(size)}
    return durations, requires, uses, {"hands": 3, "van": 1}


def shortest_by_force(durations, requires, uses, capacity):
    """Return the best length over every list of tasks, each put at the first whole day that is free."""
    lengths = []
    for listed in permutations(durations):
        used, ends = {}, {}
        if any(listed.index(o) > listed.index(k) for k in requires for o in requires[k]):
            continue
        for key in listed:
            start = max((ends[o] for o in requires[key]), default=0)
            days = durations[key]
            while any(
                used.get((d, r), 0) + uses[key][r] > capacity[r] for d in range(start, start + days) for r in capacity
            ):
                start += 1
            ends[key] = start + days
            for day in range(start, start + days):
                for r in capacity:
                    used[day, r] = used.get((day, r), 0) + uses[key][r]
        lengths.append(max(ends.values()))
    return min(lengths)


@settings(max_examples=60, deadline=None)
@given(small())
def test_small_schedules_are_shortest(case):
    result = levelled(*case, schedules=200)
    assert_allowed(result, *case)
    shortest = shortest_by_force(*case)
    assert result.at_least <= shortest == result.length
