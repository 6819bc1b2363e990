"""Pages in a state the walk does not meet: empty, refused, not there, asked what would be."""

import pytest

from tests.browser.conftest import LEAD, Demo
from tests.browser.watching import Watched

PHONE, DESK = 390, 1400
FORMS = ("-add", "-edit", "-new")


def seen_faults(one: Watched) -> list[str]:
    """Return what went wrong while loading and what axe and a look find at both widths."""
    found = list(one.faults)
    one.at(DESK)
    found += [*one.axe(), *one.look("tooWide")]
    one.at(PHONE)
    return found + one.look("tooWide")


def test_pages_of_a_church_with_nothing_in_it(demo: Demo, watched):
    one, found = watched(demo.leads[demo.empty]), {}
    for name, answers in demo.walk(demo.empty, "lead").found.items():
        address = answers[0].address
        if not address.startswith(f"/{demo.empty}/") or not answers[0].is_page or name.endswith(FORMS):
            continue
        one.visit(address)
        found[address] = seen_faults(one)
    assert len(found) > 10
    assert not {address: said for address, said in found.items() if said}


ASKED = {
    "gear": "q=nothing+is+called+so",
    "order": "promised=2027-03-09",
    "happened": "page=2",
}


@pytest.mark.parametrize("name", ASKED)
def test_pages_that_were_asked_something(demo: Demo, watched, name):
    email, address = demo.page_of(name)
    one = watched(email)
    one.visit(f"{address.partition('?')[0]}?{ASKED[name]}")
    assert not seen_faults(one)


@pytest.mark.parametrize(
    ("who", "address", "status"),
    [
        (LEAD["cordwain"], "/cordwain/gear/00000000-0000-4000-8000-000000000000/", 404),
        (LEAD["cordwain"], "/loomgate/gear/", 404),
        ("treasurer@cordwain.example.org", "/cordwain/members/", 403),
    ],
)
def test_a_page_that_says_no(watched, who, address, status):
    one = watched(who)
    one.at(DESK)
    page = one.visit(address)
    # The page itself is refused and a browser says so; nothing else may go wrong.
    one.faults[:] = [
        fault for fault in one.faults if not fault.startswith((f"{status} for", "console: Failed to load"))
    ]
    assert page.get_by_role("heading", level=1).count() == 1
    assert not seen_faults(one)
