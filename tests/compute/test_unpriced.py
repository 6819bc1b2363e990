"""Remarks that speak of money are left out for readers who see no prices; common practice, no standard."""

import pytest

from people.compute.unpriced import unpriced


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("battery dead: set costs 110, new unit 260", "…"),
        ("works; $90 on the auction site; two clips missing", "works; …; two clips missing"),
        ("250 EUR | lid cracked", "… | lid cracked"),
        ("struck through: 320", "…"),
        ("fits 19 in racks; 2 of 6 dead", "fits 19 in racks; 2 of 6 dead"),
        ("do not sell", "do not sell"),
        ("", ""),
    ],
)
def test_only_the_part_with_a_price_is_left_out(text, shown):
    assert unpriced(text) == shown
