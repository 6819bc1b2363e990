"""How far a need is filled by what is chosen, on order or stands in. The figures are worked by hand."""

import pytest

from inventory.compute.filling import Filled, filling, pairs_in
from inventory.compute.matching import NeedToMatch

TWO_SPEAKERS = [NeedToMatch("N02", "Loudspeakers", 2, kind="loudspeaker")]
SPEAKER = "loudspeaker"


@pytest.mark.parametrize(
    ("chosen", "on_order", "filled", "state", "gap"),
    [
        ([], 0, 0, "open", 2),
        ([Filled(SPEAKER, 2)], 0, 2, "filled", 0),
        ([Filled(SPEAKER, 1)], 0, 1, "open", 1),
        ([Filled(SPEAKER, 1)], 1, 1, "on order", 0),
        ([], 2, 0, "on order", 0),
        ([], 5, 0, "on order", 0),
        ([Filled(SPEAKER, 2, there=False)], 0, 0, "open", 2),
        ([Filled(SPEAKER, 2, does_it=False)], 0, 0, "falls short", 2),
        ([Filled(SPEAKER, 2, does_it=False)], 2, 0, "on order", 0),
        ([Filled(SPEAKER, 2, stands_in=True)], 0, 0, "stood in", 2),
        ([Filled(SPEAKER, 2, stands_in=True, there=False)], 0, 0, "open", 2),
        ([Filled("display", 2)], 0, 2, "filled", 0),  # of another kind, and nothing of the kind: chosen on purpose
        ([Filled("display", 2), Filled(SPEAKER, 1)], 0, 1, "open", 1),  # beside one of the kind: a companion
    ],
)
def test_a_need_is_filled_stood_in_on_order_or_open(chosen, on_order, filled, state, gap):
    found = filling(TWO_SPEAKERS, chosen, on_order)
    assert (found.wanted, found.filled, found.state, found.gap) == (2, filled, state, gap)


def test_the_parts_of_a_need_are_filled_each_by_its_own_kind():
    parts = [
        NeedToMatch("N03", "Console", 1, kind="console"),
        NeedToMatch("N03", "Loudspeakers", 2, kind=SPEAKER),
    ]
    found = filling(parts, [Filled("console", 3), Filled(SPEAKER, 1)])
    assert (found.wanted, found.filled, found.state, found.gap) == (3, 2, "open", 1)


@pytest.mark.parametrize(
    ("notes", "pairs"),
    [
        ({("G", 1): "pair with G002", ("G", 2): "pair with G1"}, [(("G", 1), ("G", 2))]),
        ({("G", 2): "scratched; pair with G001", ("G", 1): ""}, [(("G", 1), ("G", 2))]),
        ({("G", 1): "pair with G009"}, []),  # the other is not on the list
        ({("G", 1): "pair with G001"}, []),  # itself
        ({("G", 1): "a pair", ("G", 2): ""}, []),
    ],
)
def test_notes_that_call_two_pieces_a_pair_are_read_once(notes, pairs):
    assert pairs_in(notes) == pairs
