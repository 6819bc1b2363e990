"""A page of an American church reads American, of a British church British; and every page keeps to strict rules."""

import re

import pytest
from bs4 import BeautifulSoup
from django.http import HttpResponse

from people.roles import Role
from tests.access_rows import ROWS
from tests.conftest import Cast, make_member, make_ministry
from tests.makers import Maker
from tests.test_access import address, files_of_their_own  # noqa: F401
from tests.words_of_countries import american, british

READ = sorted(name for name, row in ROWS.items() if row.may and row.method == "get" and row.reads_words)
COUNTRIES = {
    "US": {"country": "US", "zone": "America/New_York", "currency": "USD"},
    "GB": {"country": "GB", "zone": "Europe/London", "currency": "GBP"},
}


class OneChurch(Cast):
    """A church of some country with a lead who wears every hat, and a stranger's church."""

    def __init__(self, country: str) -> None:
        self.ministry = make_ministry(**COUNTRIES[country])
        lead = make_member(self.ministry, *Role.values, email="lead@first.example.org")
        self.members = dict.fromkeys(Role.values, lead)
        self.elsewhere = make_ministry("elsewhere", **COUNTRIES[country])
        self.stranger = make_member(self.elsewhere, Role.LEAD, email="lead@elsewhere.example.org")


@pytest.fixture
def page(db):
    def read(name: str, country: str) -> HttpResponse:
        make = Maker(OneChurch(country))
        fill(make)
        browser = make.cast.client()
        return browser.get(address(make, name), headers={"accept-language": "de"}, follow=True)

    return read


def fill(make: Maker) -> None:
    """Give every list a row, so that its words show."""
    place = make.place(height_mm=3000)
    make.piece(place=place, area="audio", radio_low_khz=606000, radio_high_khz=640000, mass_g=5000, resale_minor=12300)
    make.need(place=place)
    step = make.step()
    make.order_line(step=step, kind="labor")
    make.order_line(step=step, kind="shipping")
    make.person()


def words_of(answer: HttpResponse) -> str:
    soup = BeautifulSoup(answer.content, "html.parser")
    said = [one.get(name, "") for one in soup.find_all(True) for name in ("aria-label", "title", "placeholder", "alt")]
    for element in soup(["script", "style"]):
        element.decompose()
    return " ".join([soup.get_text(" "), *said])


@pytest.mark.parametrize("name", READ)
def test_a_page_of_an_american_church_has_no_british_word(page, name):
    text = words_of(page(name, "US"))
    assert british(text) == []
    assert "£" not in text
    assert re.findall(r"\b\d{1,2} (?:January|November|December) \d{4}", text) == []


@pytest.mark.parametrize("name", READ)
def test_a_page_of_a_british_church_has_no_american_word(page, name):
    text = words_of(page(name, "GB"))
    assert american(text) == []
    assert "$" not in text
    assert re.findall(r"\b(?:January|November|December) \d{1,2}\b(?!\d)", text) == []
    assert re.findall(r"\d:\d\d [AP]M\b", text) == []


@pytest.mark.parametrize("name", READ)
def test_a_page_is_strict_and_begins_with_one_sentence(page, name):
    answer = page(name, "US")
    soup = BeautifulSoup(answer.content, "html.parser")
    policy = answer["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy
    assert soup.find_all(style=True) == [] and soup.find_all("style") == []
    assert [script for script in soup.find_all("script") if not script.get("src")] == []
    handlers = [attr for tag in soup.find_all(True) for attr in tag.attrs if re.match(r"on[a-z]+$|hx-on", attr)]
    assert handlers == []
    assert len(soup.find_all("h1")) == 1 and soup.h1.get_text(strip=True)
    assert soup.title.get_text(strip=True) and soup.html["lang"]
    ids = [tag["id"] for tag in soup.find_all(id=True)]
    assert sorted(ids) == sorted(set(ids))
    unlabelled = [
        control
        for control in soup.select("main input:not([type=hidden]), main select, main textarea")
        if not (control.get("aria-label") or control.get("aria-labelledby") or control.find_parent("label"))
        and not soup.find("label", attrs={"for": control.get("id")})
    ]
    assert unlabelled == []
