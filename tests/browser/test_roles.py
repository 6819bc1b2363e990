"""Each page as each role, over the wire: what is shown opens, what is not allowed is refused, prices stay unseen."""

import io
import re

import pytest
from pypdf import PdfReader

from people.roles import Role
from tests.access_rows import ROWS
from tests.browser.addresses import Walk
from tests.browser.conftest import LEAD, Demo
from tests.browser.visitor import Answer
from tests.test_access import may

WITHOUT_PRICES = ("crew", "reader")
# Everyone in the whole church; in the others those whose pages differ most.
WALKS = [
    *(("cordwain", role) for role in Role.values),
    *((church, role) for church in ("loomgate", "loomgate-first-week") for role in ("lead", *WITHOUT_PRICES)),
]
# Signs and codes of ISO 4217's currencies that the demo churches use.
A_PRICE = re.compile(r"[$£€]\s*\d|\d\s*[$£€]|\b(USD|GBP|EUR)\b")


def text_of(answer: Answer) -> str:
    """Return what can be read of an answer: of a page, of a PDF, of a list of values; nothing of a picture."""
    if answer.is_page:
        return answer.words
    if answer.kind.startswith("application/pdf"):
        return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.body)).pages)
    return answer.body.decode() if answer.kind.startswith("text/") else ""


def told_off(found: Walk) -> list[str]:
    """Return the links on which this person was refused, or which led nowhere."""
    refused = [
        f"{answer.status} {answer.address} linked on {found.stood_on.get(answer.address, 'no page')}"
        for _, answer in found.answers()
        if answer.status not in {200, 302}
    ]
    return refused + [f"nowhere: {link} linked on {found.stood_on.get(link)}" for link in found.lost]


@pytest.mark.parametrize(("church", "role"), WALKS)
def test_every_link_a_role_is_shown_opens_for_it(demo: Demo, church, role):
    assert not told_off(demo.walk(church, role))


def test_every_link_of_an_empty_church_opens(demo: Demo):
    assert not told_off(demo.walk(demo.empty, "lead"))


@pytest.mark.parametrize("church", LEAD)
@pytest.mark.parametrize("role", WITHOUT_PRICES)
def test_no_price_reaches_who_may_not_see_one(demo: Demo, church, role):
    priced = []
    for _, answer in demo.walk(church, role).answers():
        found = A_PRICE.search(text := text_of(answer))
        if found:
            priced.append(f"{answer.address}: …{text[max(found.start() - 40, 0) : found.end() + 20]!r}")
    assert not priced


def test_the_search_for_prices_finds_them_where_they_may_be_seen(demo: Demo):
    for role in ("lead", "treasurer", "leadership"):
        assert any(A_PRICE.search(text_of(one)) for _, one in demo.walk("cordwain", role).answers()), role


# Told of whatever the lead did last: not there for a role that does not see such things at all.
ABOUT_ANYTHING = {"happened-act", "happened-thing", "undo"}
GET = sorted(name for name, row in ROWS.items() if row.method == "get" and row.may)


@pytest.mark.parametrize("role", [role for role in Role.values if role != "lead"])
def test_pages_answer_each_role_as_the_table_says(demo: Demo, role):
    """The pages the lead came upon, asked for by someone else of the same church."""
    visitor, shown = demo.visitor(demo.email("cordwain", role)), demo.walk("cordwain", "lead")
    wrong = []
    for name in GET:
        row, page = ROWS[name], shown.plain(name)
        if page is None:
            continue
        refused = 403 if may(role, row.seen_with) else 404
        allowed = {200, 302} | ({404} if name in ABOUT_ANYTHING else set())
        if may(role, row.may) and not page.is_page:
            continue  # a paper takes long to print, and the walk of this role has had it
        if visitor.get(page.address).status not in (allowed if may(role, row.may) else {refused}):
            wrong.append(page.address)
    assert not wrong


@pytest.mark.parametrize("name", GET)
def test_a_stranger_finds_no_page_of_another_church(demo: Demo, name):
    shown = demo.walk("cordwain", "lead").plain(name)
    if shown is not None:
        assert demo.visitor(LEAD["loomgate"]).get(shown.address).status == 404
        assert demo.visitor("").get(shown.address).to.startswith("/sign-in/")
