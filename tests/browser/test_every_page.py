"""Every page a lead can open: found by the walk, so that a new page is looked at without being named here."""

import pytest

from tests.access_rows import ROWS
from tests.browser.conftest import Demo
from tests.browser.watching import CONTRAST_ONLY

NO_PAGES = {"church", "healthz", "photo", "place-words"}  # a redirect, a machine's word, a picture, a page's part
PAGES = sorted(name for name, row in ROWS.items() if row.method == "get" and name not in NO_PAGES)
PHONE, DESK = 390, 1400


@pytest.fixture
def visit(demo: Demo, watched):
    """Return visit(name): the watched page of that name, loaded; a file or a redirect is passed over."""

    def visiting(name: str, **media):
        email, address = demo.page_of(name)
        visitor = demo.visitor(email)
        answer = visitor.get(address)
        if not answer.is_page:
            pytest.skip(f"{name} answers with {answer.kind or answer.status}, not with a page.")
        one = watched(email)
        one.at(DESK)
        one.visit(address, **media)
        return one

    return visiting


@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(visit, name):
    one = visit(name)
    found = {"desk, light": one.axe()}
    one.at(PHONE)
    found["phone, light"] = one.axe()
    one.page.emulate_media(color_scheme="dark")
    found["phone, dark"] = one.axe(CONTRAST_ONLY)
    one.at(DESK)
    found["desk, dark"] = one.axe(CONTRAST_ONLY)
    assert not {where: said for where, said in found.items() if said}


@pytest.mark.parametrize("name", PAGES)
def test_it_loads_clean_and_fits(visit, name):
    one = visit(name)
    found = {"loading": list(one.faults), "desk": one.look("tooWide")}
    one.page.keyboard.press("Tab")
    found["focus"] = one.look("unseenFocus")
    one.at(PHONE)
    found["phone"] = one.look("tooWide")
    assert not {where: said for where, said in found.items() if said}
