"""The worked examples of the pages on packs, tags, radio, matching, kits and gates."""

import doctest
from pathlib import Path

import pytest

PAGES = Path(__file__).resolve().parents[2] / "docs" / "algorithms"


@pytest.mark.parametrize("page", ["country-packs", "tags", "radio", "matching", "kits-and-gates"])
def test_the_worked_examples_of_a_page_come_out_as_printed(page):
    options = doctest.IGNORE_EXCEPTION_DETAIL
    result = doctest.testfile(str(PAGES / f"{page}.md"), module_relative=False, encoding="utf-8", optionflags=options)
    assert result.attempted > 4
    assert result.failed == 0
