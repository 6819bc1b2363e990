"""The worked examples of the pages on clean text and on which church needs me."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).resolve().parents[2] / "docs" / "algorithms"


@pytest.mark.parametrize("page", ["clean-text", "who-needs-me"])
def test_the_worked_examples_of_a_page_come_out_as_printed(page):
    result = doctest.testfile(str(PAGES / f"{page}.md"), module_relative=False, encoding="utf-8")
    assert result.attempted > 3
    assert result.failed == 0
