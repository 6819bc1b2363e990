"""Kits: a fate that would strand something kept is refused, naming the set that goes together.

The links are those of the invented churches; the walk is checked against networkx.
"""

import csv
from pathlib import Path

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.kits import Kits, NeedsLink

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


def rows(church, table):
    return list(csv.DictReader((DEMO / church / f"{table}.csv").open(encoding="utf-8")))


def kits_of(church):
    return Kits.of(NeedsLink(r["piece"], r["needs"], r["strength"], r["why"]) for r in rows(church, "needs_links"))


def fates_of(church):
    return {r["tag"]: r["fate"] for r in rows(church, "gear")}


CORDWAIN, LOOMGATE = kits_of("cordwain"), kits_of("loomgate")


def test_giving_away_the_dimmer_strands_its_lamps_and_its_desk_if_they_are_kept():
    kept = dict.fromkeys(("G058", "G059", "G060", "G062", "G063"), "use here")
    found = CORDWAIN.stranded("G062", "give away", kept)
    assert not found.allowed
    assert [chain.piece for chain in found.stranded] == ["G058", "G059", "G060", "G063"]
    assert found.goes_together == ("G062", "G058", "G059", "G060", "G063")
    assert str(found.say) == (
        "G058, G059, G060, G063 cannot work without G062. Decide on the set together: G062, G058, G059, G060, G063."
    )
    assert found.stranded[0].why == "dimmer"


def test_as_decided_the_dimmer_the_lamps_and_the_desk_leave_together():
    fates = fates_of("cordwain")
    leaving = dict.fromkeys(("G058", "G059", "G060", "G062", "G063"), "give away")
    assert CORDWAIN.stranded("G062", "give away", fates).allowed
    assert CORDWAIN.stranded_by_all(leaving, fates) == ()
    assert str(CORDWAIN.stranded("G062", "give away", fates).say) == "Nothing that is kept needs G062."


def test_a_bulk_change_that_leaves_one_lamp_behind_is_refused():
    fates = {**fates_of("cordwain"), "G058": "use here"}
    refused = CORDWAIN.stranded_by_all({"G062": "sell", "G059": "sell"}, fates)
    assert [(s.piece, [c.piece for c in s.stranded]) for s in refused] == [("G062", ["G058"])]


def test_what_waits_for_a_decision_counts_as_kept():
    assert not CORDWAIN.stranded("G062", "sell", {"G058": "to decide"}).allowed
    assert not CORDWAIN.stranded("G062", "sell", {}).allowed


def test_a_chain_is_followed_to_its_end():
    """The stand-in projector hangs on the extender, that on the splitter, that on the switcher."""
    found = CORDWAIN.stranded("G092", "sell", fates_of("cordwain"))
    assert [chain.piece for chain in found.stranded] == ["G103", "G053", "G025"]
    last = found.stranded[-1]
    assert [(link.piece, link.needs) for link in last.links] == [("G025", "G053"), ("G053", "G103"), ("G103", "G092")]


def test_a_fate_that_keeps_the_piece_strands_nothing():
    for fate in ("use here", "stand-in", "shelf spare", "to decide"):
        assert CORDWAIN.stranded("G106", fate, {}).allowed


def test_what_is_only_nice_to_have_makes_others_poorer_and_strands_nothing():
    found = CORDWAIN.stranded("G110", "sell", fates_of("cordwain"))
    assert found.allowed
    assert [link.piece for link in found.poorer] == ["G111", "G112", "G113", "G114"]


def test_what_only_the_set_needed_is_idle_afterwards():
    assert LOOMGATE.stranded("G118", "sell", {}).idle == ()  # G119 needs the amplifier too
    both = Kits.of([NeedsLink("lamp", "dimmer"), NeedsLink("dimmer", "desk")])
    assert both.stranded("dimmer", "sell", {"lamp": "sell"}).idle == ("desk",)


def test_another_of_the_kind_keeps_a_piece_working():
    kits = Kits.of([NeedsLink("receiver", "transmitter 1", instead=("transmitter 2",)), NeedsLink("ears", "receiver")])
    assert kits.stranded("transmitter 1", "sell", {"transmitter 2": "use here"}).allowed
    gone = kits.stranded("transmitter 1", "sell", {"transmitter 2": "sell"})
    assert [chain.piece for chain in gone.stranded] == ["receiver", "ears"]


def test_what_a_piece_needs_and_what_needs_it():
    assert [link.needs for link in CORDWAIN.needs("G088")] == ["G087", "G089"]
    assert {link.piece for link in CORDWAIN.needed_by("G106")} == {"G093", "G094", "G108", "G107"}
    assert [chain.piece for chain in CORDWAIN.all_needs("G097")] == ["G107", "G106", "G109"]
    assert [link.strength for link in CORDWAIN.needs("G093")] == ["must", "nice"]
    assert CORDWAIN.needs("none") == ()
    assert CORDWAIN.needed_by("none") == ()


def test_missing_companions_are_the_musts_that_are_not_there():
    assert [link.needs for link in CORDWAIN.missing("G093", {"G095"})] == ["G106"]
    assert CORDWAIN.missing("G093", {"G106"}) == ()


def test_a_loop_of_needs_ends():
    """Transmitter and receivers of the hearing assistance need each other."""
    found = CORDWAIN.stranded("G047", "sell", {})
    assert [chain.piece for chain in found.stranded] == ["G048"]
    assert Kits.of([NeedsLink("a", "a")]).links == ()


@pytest.mark.parametrize("kits", [CORDWAIN, LOOMGATE], ids=["cordwain", "loomgate"])
def test_no_decision_of_the_demo_strands_anything_by_surprise(kits):
    """The demo's leaving pieces strand at most what leaves or waits for a decision itself."""
    church = "cordwain" if kits is CORDWAIN else "loomgate"
    fates = fates_of(church)
    for piece, fate in fates.items():
        for chain in kits.stranded(piece, fate, fates).stranded:
            assert fates[chain.piece] != "use here", (piece, fate, chain)


PIECES = st.sampled_from("abcdef")


@given(st.lists(st.tuples(PIECES, PIECES), max_size=14), PIECES)
def test_the_walk_against_the_reference_library(pairs, start):
    kits = Kits.of(NeedsLink(a, b) for a, b in pairs)
    graph = networkx.DiGraph([(a, b) for a, b in pairs])
    graph.add_node(start)
    assert {chain.piece for chain in kits.all_needs(start)} == networkx.descendants(graph, start)
    assert {chain.piece for chain in kits.all_needed_by(start)} == networkx.ancestors(graph, start)
    assert {chain.piece for chain in kits.stranded(start, "sell", {}).stranded} == networkx.ancestors(graph, start)
    for chain in kits.all_needed_by(start):
        assert (chain.links[0].piece, chain.links[-1].needs) == (chain.piece, start)
        assert len(chain.links) == networkx.shortest_path_length(graph, chain.piece, start)
