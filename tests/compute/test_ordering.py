"""Order of steps, loops and links that say nothing new. Referee: networkx."""

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roadmap.compute.ordering import RequirementLoop, UnknownRequirement, implied_links, in_order


@st.composite
def graphs(draw, loops=False):
    """Draw requires of up to 12 steps; without loops a step requires only steps of lower rank."""
    size = draw(st.integers(0, 12))
    rank = draw(st.permutations(range(size)))
    return {
        key: [
            other
            for other in range(size)
            if (loops or rank[other] < rank[key]) and draw(st.booleans()) and draw(st.booleans())
        ]
        for key in range(size)
    }


def as_networkx(requires):
    graph = nx.DiGraph()
    graph.add_nodes_from(requires)
    graph.add_edges_from((other, key) for key, needed in requires.items() for other in needed)
    return graph


def test_the_earliest_listed_step_that_is_ready_comes_next():
    assert in_order({"a": ["c"], "b": [], "c": []}) == ["b", "c", "a"]


def test_nothing_to_order():
    assert in_order({}) == [] and implied_links({}) == set()


def test_a_link_named_twice_counts_once():
    assert in_order({"a": ["b", "b"], "b": []}) == ["b", "a"]


def test_a_loop_is_named_step_by_step():
    with pytest.raises(RequirementLoop) as refused:
        in_order({"rack": ["hang"], "hang": ["power"], "power": ["rack"], "paint": []})
    assert refused.value.loop == ("rack", "hang", "power")
    assert str(refused.value) == "These steps wait for each other: rack, hang, power, rack."


def test_steps_behind_a_loop_are_not_part_of_it():
    with pytest.raises(RequirementLoop) as refused:
        in_order({"late": ["a"], "a": ["b"], "b": ["a"]})
    assert refused.value.loop == ("a", "b")


def test_a_step_that_requires_itself_is_a_loop_of_one():
    with pytest.raises(RequirementLoop) as refused:
        implied_links({"a": ["a"]})
    assert refused.value.loop == ("a",)


def test_a_requirement_that_is_not_listed_is_named():
    with pytest.raises(UnknownRequirement) as refused:
        in_order({"a": [], "b": ["a", "x"]})
    assert (refused.value.step, refused.value.missing) == ("b", "x")
    assert str(refused.value) == "b requires x, which is not among the steps."


def test_the_worked_example_of_the_page():
    requires = {"S1": [], "S2": ["S1"], "S3": ["S1", "S2"], "S4": []}
    assert in_order(requires) == ["S1", "S2", "S3", "S4"]
    assert implied_links(requires) == {("S3", "S1")}


@settings(deadline=None)
@given(graphs())
def test_order_is_the_referees_lexicographic_order(requires):
    place = {key: number for number, key in enumerate(requires)}
    assert in_order(requires) == list(nx.lexicographical_topological_sort(as_networkx(requires), key=place.get))


@settings(deadline=None)
@given(graphs())
def test_implied_links_are_those_the_reduction_drops(requires):
    graph = as_networkx(requires)
    dropped = set(graph.edges) - set(nx.transitive_reduction(graph).edges)
    assert implied_links(requires) == {(key, other) for other, key in dropped}


@settings(deadline=None)
@given(graphs(loops=True))
def test_a_loop_is_found_exactly_when_there_is_one(requires):
    try:
        in_order(requires)
    except RequirementLoop as refused:
        loop = refused.loop
        assert len(set(loop)) == len(loop)
        assert all(after in requires[key] for key, after in zip(loop, (*loop[1:], loop[0]), strict=True))
    else:
        assert nx.is_directed_acyclic_graph(as_networkx(requires))
