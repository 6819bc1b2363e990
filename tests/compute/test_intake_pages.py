"""The worked examples on the pages about intake and twins are true."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).parent.parent.parent / "docs" / "algorithms"


@pytest.mark.parametrize("page", ["intake", "twins"])
def test_the_examples_of_a_page_hold(page: str) -> None:
    found = doctest.testfile(str(PAGES / f"{page}.md"), module_relative=False, encoding="utf-8")
    assert found.attempted and not found.failed
