"""Filling of needs, first proposals of fates, and what the matching holds together.

The figures are worked by hand; the order of proposals is this project's own.
"""

from datetime import date

import pytest

from inventory.compute import gates
from inventory.compute.filling import Filled, filling
from inventory.compute.gates import Around, Standing
from inventory.compute.matching import NeedToMatch, PieceToMatch, match_needs
from inventory.compute.proposals import propose_fate

HERE = Around("US", date(2026, 11, 3))
OLD_BAND = (698_000, 746_000)
HALF_BAND = (640_000, 664_000)


def proposed(fills="", spare=False, **values):
    standing = Standing(**({"condition": "tested good"} | values))
    asked = {gate.name: gate for gate in gates.gates_for("sell", standing, HERE)}
    return propose_fate(standing, asked, fills=fills, has_use_for_spare=spare)


@pytest.mark.parametrize(
    ("values", "fate"),
    [
        ({}, "sell"),
        ({"spare": True}, "shelf spare"),
        ({"fills": "N01 Display"}, "use here"),
        ({"bond": "landlord", "fills": "N01 Display"}, "stays with the building"),
        ({"bond": "lent"}, "back to owner"),
        ({"bond": "lent", "fills": "N01 Display"}, "use here"),
        ({"bond": "in memory"}, "shelf spare"),
        ({"condition": "not found"}, ""),
        ({"condition": "not yet tested"}, ""),
        ({"condition": "faulty"}, ""),
        ({"condition": "faulty", "spare": True}, "for parts"),
        ({"condition": "dead", "spare": True}, "for parts"),
        ({"condition": "dead"}, "recycle"),
        ({"condition": "unsafe", "spare": True}, "recycle"),
        ({"kind": "wireless handheld", "band_khz": OLD_BAND}, "recycle"),
        ({"kind": "wireless handheld", "band_khz": OLD_BAND, "bond": "lent"}, "back to owner"),
        ({"kind": "wireless lapel", "band_khz": HALF_BAND}, ""),
    ],
)
def test_what_to_think_of_first(values, fate):
    found = proposed(**values)
    assert found.fate == fate
    assert str(found.why)


def test_a_need_takes_no_more_than_it_wants_and_companions_do_not_count():
    (part,) = [NeedToMatch("N01", "Hearing receivers", 10)]
    found = filling([part], [Filled("hearing receiver", 12), Filled("hearing transmitter", 1)])
    assert (found.filled, found.state, found.gap) == (10, "filled", 0)


QUAD = PieceToMatch("quad", "Quad wireless receiver with 4 handhelds", units=4)
SINGLE = PieceToMatch("single", "Wireless handheld set", scores={"condition": 0.1})


def test_a_piece_that_serves_one_need_is_not_shared_out():
    needs = [NeedToMatch("N1", "Wireless handhelds", 3), NeedToMatch("N2", "Wireless handhelds", 1)]
    assert match_needs([QUAD, SINGLE], needs).taken["quad"] == {"N1": 3, "N2": 1}
    whole = match_needs([QUAD, SINGLE], needs, whole={"quad"})
    assert whole.taken == {"quad": {"N1": 3}, "single": {"N2": 1}}


def test_what_stands_wins_among_equals_only():
    alike = [PieceToMatch(key, "Display 55 in", scores={"condition": 1.0}) for key in ("a", "b")]
    needs = [NeedToMatch("N1", "Display"), NeedToMatch("N2", "Display")]
    for standing in ({("a", "N1"), ("b", "N2")}, {("a", "N2"), ("b", "N1")}):
        taken = match_needs(alike, needs, standing=standing).taken
        assert {(piece, need) for piece, given in taken.items() for need in given} == standing
    better = PieceToMatch("c", "Display 55 in", scores={"condition": 1.0, "age": 1.0})
    assert match_needs([alike[0], better], needs[:1], standing={("a", "N1")}).taken == {"c": {"N1": 1}}
