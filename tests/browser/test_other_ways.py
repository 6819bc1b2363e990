"""Without scripts, in forced colors and on paper; and forms that refuse keep what was typed."""

import re

import pytest
from playwright.sync_api import Page, expect

from roadmap.services.demo.church import PASS_PHRASE
from tests.browser.conftest import LEAD, Demo
from tests.browser.watching import Watched

MAIN_PAGES = [
    "this-sunday",
    "gear",
    "piece",
    "leaving",
    "steps",
    "step",
    "money",
    "phase",
    "order",
    "waiting",
    "paper",
    "persons",
]
LETTER_WIDTH = 710  # px: 8.5 inches at 96 px without the margins of 13 mm


@pytest.fixture
def without_scripts(open_page):
    def opener(address: str, church: str = "cordwain") -> Page:
        return open_page(LEAD[church], f"/{church}/{address}", java_script_enabled=False)

    return opener


def test_signing_in_without_scripts(open_page):
    page = open_page("", "/sign-in/", java_script_enabled=False)
    page.locator("#id_username").fill(LEAD["cordwain"])
    page.locator("#id_password").fill(PASS_PHRASE)
    page.get_by_role("button", name="Sign in").click()
    expect(page).to_have_url(re.compile(r"/cordwain/"))


def test_the_list_is_filtered_without_scripts(without_scripts):
    page = without_scripts("gear/")
    everything = page.locator(".list-count output").inner_text()
    page.get_by_label("called").fill("microphone")
    page.get_by_role("button", name="Show", exact=True).click()
    expect(page).to_have_url(re.compile("q=microphone"))
    assert page.locator(".list-count output").inner_text() != everything
    expect(page.get_by_label("called")).to_have_value("microphone")


def test_a_piece_is_written_and_taken_back_without_scripts(without_scripts):
    page = without_scripts("gear/")
    page.get_by_label("What it is", exact=True).fill("Scriptless lectern lamp")
    page.get_by_role("button", name="Enter keeps it").click()
    expect(page.locator(".notice")).to_contain_text("Scriptless lectern lamp")
    page.locator(".notice").get_by_role("button", name="Undo").click()
    page.goto("/cordwain/gear/?q=scriptless")
    expect(page.locator("main")).to_contain_text("Nothing on the list is like that.")


def test_a_date_is_asked_about_without_scripts(without_scripts):
    page = without_scripts("waiting/")
    page.locator("main a[href*='/orders/']").first.click()
    page.get_by_label("What if it comes on").fill("2027-02-16")
    page.get_by_role("button", name="Show what that moves").click()
    expect(page.get_by_role("heading", name=re.compile("If it comes on"))).to_be_visible()


def test_a_list_is_looked_at_without_scripts(without_scripts, tmp_path):
    sheet = tmp_path / "loft.csv"
    sheet.write_text("Item,Qty\nLoft lamp,2\n")
    page = without_scripts("intake/", "loomgate-first-week")
    page.locator("input[type=file]").set_input_files(sheet)
    page.get_by_role("button", name="Show me what it would do").click()
    expect(page.get_by_role("button", name="Take the list in")).to_be_visible()
    page.get_by_role("button", name="Not this one").click()
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def said_again(page: Page, typed: dict[str, str]) -> None:
    expect(page.get_by_role("alert").first).to_be_visible()
    for name, words in typed.items():
        expect(page.locator(f"main [name={name}]").first).to_have_value(words)
    wrong = page.locator("[aria-invalid=true]").first
    expect(wrong).to_be_visible()
    assert wrong.evaluate(
        "el => Boolean(document.getElementById(el.getAttribute('aria-describedby')?.split(' ').at(-1)))"
    )


REFUSED = {
    "people/add/": {"name": "", "email": "rose@", "note": "Knows the patch bay."},
    "orders/add/": {"lead_days_low": "20", "lead_days_high": "10", "note": "Asked twice by phone."},
    "gear/add/": {"what": "", "note": "Stood behind the organ."},
    "steps/add/": {"title": "", "days": "-3"},
}


@pytest.mark.parametrize("address", REFUSED)
def test_a_refused_form_keeps_what_was_typed(lead_form, address):
    page = lead_form(address)
    typed = {name: words for name, words in REFUSED[address].items() if page.locator(f"main [name={name}]").count()}
    assert len(typed) > 1, f"{address} has none of the fields {sorted(REFUSED[address])}"
    for name, words in typed.items():
        page.locator(f"main [name={name}]").first.fill(words)
    page.locator("main form").filter(has=page.locator("[name=csrfmiddlewaretoken]")).last.locator(
        ".button-main"
    ).click()
    said_again(page, typed)
    assert not Watched(page).axe()


@pytest.fixture
def lead_form(open_page):
    return lambda address: open_page(LEAD["cordwain"], f"/cordwain/{address}")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", MAIN_PAGES)
def test_forced_colors_leave_words_to_every_state(demo: Demo, watched, name, scheme):
    email, address = demo.page_of(name)
    one = watched(email)
    one.at(1400)
    one.visit(address, forced_colors="active", color_scheme=scheme)
    assert not one.look("unreadStates")


@pytest.mark.parametrize("name", MAIN_PAGES)
def test_a_page_prints_light_within_the_paper_and_without_buttons(demo: Demo, watched, name):
    email, address = demo.page_of(name)
    one = watched(email)
    one.at(LETTER_WIDTH)
    page = one.visit(address, media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    for gone in (".frame-nav", "main button", ".filter", ".board"):
        assert not page.locator(gone).locator("visible=true").count(), f"{gone} is printed"
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert not one.look("unreadStates")
    assert not one.look("tooWide")
    assert page.pdf(prefer_css_page_size=True).startswith(b"%PDF")
