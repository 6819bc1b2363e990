"""Critical path with lags, against published cases and against networkx as referee."""

import json
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roadmap.compute.critical_path import critical_path
from roadmap.compute.ordering import RequirementLoop, UnknownRequirement

CASES = json.loads((Path(__file__).parent.parent / "checks" / "cpm_cases_open.json").read_text(encoding="utf-8"))
TIMINGS = ("early_start", "early_finish", "late_start", "late_finish", "total_float", "free_float")


def solved(case):
    durations = {key: task["duration"] for key, task in case["tasks"].items()}
    requires = {
        key: [link if isinstance(link, str) else (link["task"], link["type"], link["lag"]) for link in task["requires"]]
        for key, task in case["tasks"].items()
    }
    return critical_path(durations, requires)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_published_case(case):
    """Sources stand in the file, beside each case."""
    expected, near = case["expected"], case.get("tolerance", 1e-9)
    result = solved(case)
    if "duration" in expected:
        assert result.length == pytest.approx(expected["duration"], abs=near)
    if "critical" in expected:
        assert sorted(result.critical) == sorted(expected["critical"])
    for name in TIMINGS:
        for key, value in expected.get(name, {}).items():
            assert getattr(result.timing[key], name) == pytest.approx(value, abs=near), (name, key)


def test_the_cases_say_something_about_every_figure():
    said = {name for case in CASES for name in case["expected"]}
    assert said >= {*TIMINGS, "duration", "critical"}


def test_the_worked_example_of_the_page():
    result = critical_path({"rack": 2, "wire": 4, "tune": 1}, {"tune": ["rack", ("wire", "FS", 2)]})
    assert result.length == 7 and result.critical == ["wire", "tune"]
    assert result.timing["rack"]._asdict() == {
        "early_start": 0,
        "early_finish": 2,
        "late_start": 4,
        "late_finish": 6,
        "total_float": 4,
        "free_float": 4,
    }


def test_no_tasks():
    assert critical_path({}, {}).length == 0


def test_a_tuple_may_be_a_key():
    result = critical_path({("a", 1): 2, ("b", 1): 1}, {("b", 1): [("a", 1)]})
    assert result.length == 3


def test_thirds_of_a_day_stay_critical():
    result = critical_path(dict.fromkeys(range(30), 1 / 3), {n: [n - 1] for n in range(1, 30)})
    assert len(result.critical) == 30


def test_a_last_task_has_room_to_the_end():
    result = critical_path({"a": 5, "b": 2}, {})
    assert result.timing["b"].free_float == result.timing["b"].total_float == 3


@pytest.mark.parametrize(
    ("durations", "requires", "error"),
    [
        ({"a": -1}, {}, ValueError),
        ({"a": 1, "b": 1}, {"b": [("a", "XS", 0)]}, ValueError),
        ({"a": 1}, {"a": ["x"]}, UnknownRequirement),
        ({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]}, RequirementLoop),
    ],
)
def test_what_cannot_be_computed_is_refused(durations, requires, error):
    with pytest.raises(error):
        critical_path(durations, requires)


@st.composite
def networks(draw):
    size = draw(st.integers(1, 9))
    durations = {key: draw(st.integers(0, 9)) for key in range(size)}
    requires = {
        key: [
            (other, draw(st.sampled_from(["FS", "SS", "FF", "SF"])), draw(st.integers(-4, 6)))
            for other in range(key)
            if draw(st.booleans())
        ]
        for key in range(size)
    }
    return durations, requires


def start_graph(durations, requires):
    """Every link as a least distance between two starts, with a source at 0 and an end after every finish."""
    graph = nx.DiGraph()
    for key, long in durations.items():
        graph.add_edge("begin", key, far=0)
        graph.add_edge(key, "end", far=long)
        for other, kind, lag in requires[key]:
            far = lag + (durations[other] if kind[0] == "F" else 0) - (long if kind[1] == "F" else 0)
            graph.add_edge(other, key, far=far)
    return graph


@settings(deadline=None)
@given(networks())
def test_dates_are_longest_paths(network):
    durations, requires = network
    graph = start_graph(durations, requires)
    for *_, edge in graph.edges(data=True):
        edge["near"] = -edge["far"]
    from_begin = nx.single_source_bellman_ford_path_length(graph, "begin", weight="near")
    to_end = nx.single_source_bellman_ford_path_length(graph.reverse(), "end", weight="near")
    result = critical_path(durations, requires)
    assert result.length == -from_begin["end"]
    for key, timing in result.timing.items():
        assert timing.early_start == -from_begin[key]
        assert timing.late_start == result.length + to_end[key]
        assert timing.total_float == timing.late_start - timing.early_start >= timing.free_float >= 0


@settings(deadline=None)
@given(networks())
def test_free_float_is_the_most_a_task_may_slip_alone(network):
    durations, requires = network
    result = critical_path(durations, requires)
    slipped = {key: timing.early_start for key, timing in result.timing.items()}
    for key, timing in result.timing.items():
        for extra, allowed in ((0, True), (1, False)):
            starts = slipped | {key: timing.early_start + timing.free_float + extra}
            holds = starts[key] + durations[key] <= result.length and all(
                starts[task] + (durations[task] if kind[1] == "F" else 0)
                >= starts[other] + (durations[other] if kind[0] == "F" else 0) + lag
                for task in durations
                for other, kind, lag in requires[task]
            )
            assert holds is allowed
