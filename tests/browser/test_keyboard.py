"""The main paths by keyboard alone: nothing here points or clicks."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from roadmap.services.demo.church import PASS_PHRASE
from tests.browser.conftest import LEAD

MOST_TABS = 220
FOCUS = """el => {
  const outlined = ({ outlineStyle, outlineWidth }) => outlineStyle !== "none" && parseFloat(outlineWidth) >= 2;
  const styles = [el, ...(el.labels ?? [])].map((one) => getComputedStyle(one));
  return styles.some(outlined) || parseFloat(styles[0].borderBottomWidth) >= 2;
}"""


def tab_to(page: Page, goal: Locator, key: str = "Tab") -> Locator:
    """Press Tab until the goal has the focus, and see that it shows."""
    expect(goal).to_be_attached()
    for _ in range(MOST_TABS):
        page.keyboard.press(key)
        if goal.evaluate("el => el === document.activeElement"):
            assert goal.evaluate(FOCUS), f"the focus does not show on {goal}"
            expect(goal).to_be_in_viewport()
            return goal
    raise AssertionError(f"{MOST_TABS} tabs did not reach {goal}")


def press_on(page: Page, goal: Locator, key: str = "Enter") -> None:
    tab_to(page, goal)
    page.keyboard.press(key)


def press_and_go(page: Page, goal: Locator) -> None:
    """Press Enter on what leads to another page, and wait for it."""
    tab_to(page, goal)
    with page.expect_navigation():
        page.keyboard.press("Enter")


def write_day(page: Page, field: Locator, day: str) -> None:
    """Type a day into a date field as a US keyboard does: month, day, year."""
    tab_to(page, field)
    page.keyboard.type(day)


@pytest.fixture
def lead_page(open_page):
    def opener(address: str, church: str = "cordwain", **wanted) -> Page:
        return open_page(LEAD[church], f"/{church}/{address}", locale="en-US", **wanted)

    return opener


def test_signing_in_by_the_form(open_page):
    page = open_page("", "/sign-in/")
    expect(page.locator("#id_username")).to_be_focused()
    page.keyboard.type(LEAD["cordwain"])
    tab_to(page, page.locator("#id_password"))
    page.keyboard.type(PASS_PHRASE)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/cordwain/"))
    press_on(page, page.locator(".frame-who summary"))
    press_on(page, page.get_by_role("button", name="Sign out"))
    expect(page).to_have_url(re.compile(r"/sign-in/"))


def test_the_first_stop_skips_to_the_page(lead_page):
    page = lead_page("gear/")
    skip = page.get_by_role("link", name="Skip to the page")
    expect(skip).not_to_be_in_viewport()
    page.keyboard.press("Tab")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    page.keyboard.press("Tab")
    assert page.locator("main :focus").count() == 1


def test_a_piece_is_written_found_checked_and_the_check_taken_back(lead_page):
    page = lead_page("")
    press_on(page, page.get_by_role("navigation", name="Pages").get_by_role("link", name="Gear", exact=True))
    tab_to(page, page.get_by_label("What it is", exact=True))
    page.keyboard.type("Folding keyboard stand")
    page.keyboard.press("Enter")
    expect(page.locator(".notice")).to_contain_text("Folding keyboard stand")

    tab_to(page, page.get_by_label("called"))
    page.keyboard.type("folding keyboard")
    expect(page.locator("#list tbody th[scope=row] a")).to_have_count(1)
    press_on(page, page.locator("#list").get_by_role("link", name="Folding keyboard stand"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("Folding keyboard stand")

    press_on(page, page.get_by_role("link", name="It was checked"))
    tab_to(page, page.get_by_label("It is", exact=True))
    page.keyboard.type("faulty")
    press_and_go(page, page.locator("main").get_by_role("button").first)
    expect(page.locator("main .state-condition").first).to_contain_text("faulty")
    press_and_go(page, page.locator(".notice").get_by_role("button", name="Undo"))
    page.goto("/cordwain/gear/?q=folding+keyboard")
    expect(page.locator("#list tbody tr:not(.group, .write-line) .state-condition")).to_have_text("not yet tested")


def test_what_a_new_date_moves_is_asked_and_the_date_kept(lead_page):
    page = lead_page("waiting/")
    press_and_go(page, page.locator("main a[href*='/orders/']").first)
    order = page.url
    write_day(page, page.get_by_label("What if it comes on"), "03092027")
    press_on(page, page.get_by_role("button", name="Show what that moves"))
    expect(page.get_by_role("heading", name=re.compile("If it comes on"))).to_be_visible()
    expect(page.locator("main")).to_contain_text(re.compile(r"steps? moves?|Nothing moves"))
    told = page.locator("details", has=page.locator("[name=told_on]"))
    if told.get_attribute("open") is None:
        press_on(page, told.locator("summary"))
    write_day(page, page.get_by_label("They now promise"), "03092027")
    write_day(page, page.get_by_label("told us on"), "11032026")
    press_on(page, page.get_by_role("button", name="Keep this date"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("March 9")
    press_and_go(page, page.locator(".notice").get_by_role("button", name="Undo"))
    page.goto(order)
    expect(page.get_by_role("heading", level=1)).not_to_contain_text("March 9")


def test_a_question_is_answered(lead_page):
    page = lead_page("intake/questions/", "loomgate-first-week")
    before = page.get_by_role("heading", level=1).inner_text()
    question = page.locator(".question").first
    answer = question.locator("select, input:not([type=hidden])").first
    tab_to(page, answer)
    page.keyboard.press("ArrowDown")
    press_on(page, question.get_by_role("button", name="Keep this answer"))
    expect(page.locator(".notice")).to_be_visible()
    assert page.get_by_role("heading", level=1).inner_text() != before


def test_a_list_is_looked_at_taken_in_and_taken_back(lead_page, tmp_path):
    sheet = tmp_path / "shed.csv"
    sheet.write_text("Item,Qty,Condition\nGarden loudspeaker,2,good\nLong lead,3,good\n")
    page = lead_page("intake/", "loomgate-first-week")
    files = page.locator("input[type=file]")
    tab_to(page, files)
    files.set_input_files(sheet)
    press_on(page, page.get_by_role("button", name="Show me what it would do"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("2")
    press_on(page, page.get_by_role("button", name="Take the list in"))
    expect(page.locator(".notice")).to_be_visible()
    press_and_go(page, page.locator(".notice").get_by_role("button", name="Undo"))
    page.goto("/loomgate-first-week/gear/?q=garden+loudspeaker")
    expect(page.locator("main")).to_contain_text("Nothing on the list is like that.")


def test_the_menu_opens_and_closes_by_key(lead_page):
    page = lead_page("gear/")
    press_on(page, page.locator(".frame-who summary"))
    expect(page.get_by_role("link", name="Your account")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="Your account")).not_to_be_visible()
    expect(page.locator(".frame-who summary")).to_be_focused()


@pytest.mark.parametrize("address", ["this-sunday/", "steps/", "money/", "waiting/", "paper/", "leaving/"])
def test_nothing_holds_the_focus_fast(lead_page, address):
    """Tab leaves the page at its end: WCAG 2.2, 2.1.2 No Keyboard Trap."""
    page = lead_page(address)
    last = page.evaluate("document.querySelectorAll('a[href], button, input, select, textarea, summary').length")
    stops = []
    for _ in range(last + 2):
        page.keyboard.press("Tab")
        stops.append(page.evaluate("document.activeElement === document.body"))
        if stops[-1]:
            break
    assert stops[-1], f"after {len(stops)} tabs the focus is still on the page"
