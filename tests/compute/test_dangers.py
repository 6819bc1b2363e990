"""Dangers are read from the words of a step; which words count is common practice."""

import doctest
from pathlib import Path

import pytest

from roadmap.compute.dangers import dangers


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("Electrician: test stage, booth and rack circuits", ("mains",)),
        ("Engineer's check, rated points, hang the loudspeakers", ("overhead",)),
        ("Amplifier into the rack; new loudspeakers sound for the first time", ("mains", "loud")),
        ("Wireless in-ears for six singers", ("loud",)),
        ("Empty the cafeteria", ()),
        ("Change the light on the porch", ()),
        ("Write the rigid plan", ()),
    ],
)
def test_words_speak_of_dangers(words: str, found: tuple[str, ...]) -> None:
    assert dangers(words) == found


def test_who_signs_counts_too() -> None:
    assert dangers("Lighting from stock", "licensed electrician") == ("mains",)


def test_the_worked_examples_of_the_page_come_out_as_printed() -> None:
    page = Path(__file__).resolve().parents[2] / "docs" / "algorithms" / "dangers.md"
    result = doctest.testfile(str(page), module_relative=False, encoding="utf-8")
    assert (result.attempted, result.failed) == (4, 0)
