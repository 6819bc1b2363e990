"""The pages about the plan show what the program really answers."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).parents[2] / "docs" / "algorithms"


@pytest.mark.parametrize("page", ["order", "critical-path", "phases", "levelling", "plan-dates", "totals", "ripple"])
def test_worked_example(page):
    found = doctest.testfile(str(PAGES / f"{page}.md"), module_relative=False, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert found.attempted >= 2 and not found.failed
