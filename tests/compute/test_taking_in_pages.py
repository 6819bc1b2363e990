"""The examples on the pages about finding rows again and about the columns of a piece hold."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).resolve().parents[2] / "docs" / "algorithms"


@pytest.mark.parametrize("page", ["relisting", "piece-columns"])
def test_the_examples_of_the_page_hold(page):
    found = doctest.testfile(str(PAGES / f"{page}.md"), module_relative=False, encoding="utf-8")
    assert found.attempted and not found.failed
