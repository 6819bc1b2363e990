"""Names fall into the areas a careful person gave them, checked against the demo churches' own registers."""

import csv
from pathlib import Path

import pytest

from inventory.compute.areas import AREA_OF, area_of
from inventory.compute.kinds import PATTERNS
from inventory.words import Area

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


@pytest.mark.parametrize("church", ["cordwain", "loomgate"])
def test_nineteen_of_twenty_pieces_of_a_register_fall_where_it_says(church):
    with open(DEMO / church / "gear.csv", encoding="utf-8", newline="") as register:
        rows = list(csv.DictReader(register))
    wrong = [(row["what"], row["area"]) for row in rows if area_of(row["what"]) != row["area"]]
    assert len(wrong) <= len(rows) / 20, wrong


@pytest.mark.parametrize(
    ("what", "area"),
    [
        ('Small speakers 5"', "audio"),
        ("stage lights chapel", "light"),
        ("box of HDMI", "cable"),
        ("Video tripod", "stand"),
        ("power strip", "power"),
        ("tool chest", "misc"),
        ("", "misc"),
    ],
)
def test_words_of_a_messy_list(what, area):
    assert area_of(what) == area


def test_every_area_is_one_of_the_list_and_every_kind_is_known():
    assert set(AREA_OF.values()) <= set(Area.values)
    known = {kind for kind, _pattern in PATTERNS}
    assert set(AREA_OF) - {"case", "clock"} <= known
