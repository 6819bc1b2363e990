"""What every browser test calls on: the served demo, a browser, pages of someone signed in, and what walks found."""

import io
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from roadmap.services.demo.church import PASS_PHRASE
from tests.browser.addresses import Walk, name_of, walk
from tests.browser.serving import Server, start
from tests.browser.visitor import Visitor
from tests.browser.watching import Watched

WHERE_BROWSERS_STAND = ("/usr/lib/chromium/chromium-headless-shell", "/usr/bin/chromium", "/usr/bin/chromium-browser")
FLAGS = [
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--no-default-browser-check",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
]
HERE = Path(__file__).parent
LEAD = {
    "cordwain": "lead@cordwain.example.org",
    "loomgate": "lead@loomgate.example.org",
    "loomgate-first-week": "lead@loomgate.example.org",
}
A_SHORT_LIST = b"Item,Qty,Condition\nWedge,2,good\nMixing desk,1,works\nOld amplifier,1,hums\n"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep these tests on one worker: they share one server and one browser."""
    for item in items:
        if item.path.is_relative_to(HERE):
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.xdist_group("browser"))


@dataclass
class Demo:
    """The served demo, each person signed in once; `empty` is the slug of a church without anything in it."""

    server: Server
    empty: str = ""
    # Pages no link leads to, by the address's name.
    apart: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.visitor = cache(self._visitor)
        self.walk = cache(self._walk)

    @property
    def leads(self) -> dict[str, str]:
        return {**LEAD, self.empty: LEAD["loomgate"]}

    def email(self, church: str, role: str) -> str:
        if role == "lead":
            return self.leads[church]
        return "coach@example.org" if role == "coach" else f"{role}@{church.split('-')[0]}.example.org"

    def _visitor(self, email: str) -> Visitor:
        visitor = Visitor(self.server.url)
        return visitor.sign_in(email, PASS_PHRASE) if email else visitor

    def _walk(self, church: str, role: str) -> Walk:
        """Return what someone of this role comes upon from the church's first page."""
        return walk(self.visitor(self.email(church, role)), ["/", f"/{church}/"], church)

    def prepare(self) -> None:
        """Do what makes the remaining pages: look at a list, add a picture, invite someone, begin a church."""
        lead = self.visitor(LEAD["cordwain"])
        looked = lead.post("/cordwain/intake/", {}, {"files": ("wedges.csv", A_SHORT_LIST)})
        self.apart["intake-dry-run"] = looked.to
        self.apart["photo-remove"] = self._with_a_picture(lead)
        invited = lead.post("/cordwain/members/invite/", {"email": "new@example.org", "roles": ["crew"]})
        link = invited.page.find("input", id="link")
        self.apart["join"] = "/" + str(link["value"]).split("/", 3)[3]
        answers = {"name": "Quiet Hill Church", "where": "US:OH", "main_room": "sanctuary"}
        self.empty = self.visitor(LEAD["loomgate"]).post("/new/", answers).to.split("/")[1]
        self.apart["first-list"] = f"/{self.empty}/first-list/"
        self.apart["password-reset-sent"] = "/forgotten/sent/"
        self.apart["password-reset-confirm"] = "/forgotten/MQ/set-password/"
        self.apart |= {"patterns": "/patterns/", "sign-in": "/sign-in/", "password-reset": "/forgotten/"}

    @staticmethod
    def _with_a_picture(lead: Visitor) -> str:
        """Give a piece of the list a picture; return the address that takes it off again."""
        from PIL import Image

        drawn = io.BytesIO()
        Image.new("RGB", (640, 480), "#8a3a12").save(drawn, "PNG")
        gear = lead.get("/cordwain/gear/")
        pieces = [address for address in gear.links() if name_of(address) == "piece"]
        assert pieces, f"The gear list answered {gear.status} and links to no piece."
        piece = pieces[0]
        lead.post(f"{piece}photo/", {"shows": "front"}, {"file": ("front.png", drawn.getvalue())})
        found = [link for link in lead.get(piece).links() if name_of(link) == "photo-remove"]
        assert found, f"{piece} shows no picture after one was added."
        return found[0]

    def page_of(self, name: str) -> tuple[str, str]:
        """Return (email, address) of a page of this name as a lead sees it; fails when no link leads to one."""
        if name in self.apart:
            address = self.apart[name]
            signed_out = name.startswith("password-reset") or name in {"join", "sign-in"}
            return ("" if signed_out else LEAD["loomgate" if self.empty in address else "cordwain"]), address
        for church in LEAD:
            found = self.walk(church, "lead").plain(name)
            if found:
                return LEAD[church], found.address
        pytest.fail(f"No link in the demo leads to a page named {name}: link to it, or say in conftest.py where it is.")


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    served = start(tmp_path_factory.mktemp("served"))
    yield served
    served.stop()


@pytest.fixture(scope="session")
def demo(server: Server) -> Demo:
    told = Demo(server)
    told.prepare()
    return told


def find_browser() -> str:
    """Return the path of a browser; without one skip, or fail where VERGER_BROWSER=required."""
    given = os.environ.get("VERGER_CHROMIUM", "")
    found = next((path for path in (given, *WHERE_BROWSERS_STAND) if path and Path(path).exists()), "")
    if not found:
        say = pytest.fail if os.environ.get("VERGER_BROWSER") == "required" else pytest.skip
        say("No browser is here. On Debian: apt-get install chromium-headless-shell; elsewhere set VERGER_CHROMIUM.")
    return found


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One browser for the package. Its loop runs in this thread, so Django is told meanwhile that this is meant."""
    path = find_browser()
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        chromium = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield chromium
        chromium.close()


Opener = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser, demo: Demo) -> Iterator[Opener]:
    """Return open_page(email, address="", **context): a page of a context of its own, signed in by cookie."""
    contexts: list[BrowserContext] = []

    def opener(email: str = "", address: str = "", **wanted: Any) -> Page:
        context = new_context(browser, demo, email, **wanted)
        contexts.append(context)
        page = context.new_page()
        if address:
            page.goto(address)
        return page

    yield opener
    for context in contexts:
        context.close()


def new_context(browser: Browser, demo: Demo, email: str, **wanted: Any) -> BrowserContext:
    """Return a context of someone signed in; moving pictures are off so that nothing is measured half way."""
    plain = {"base_url": demo.server.url, "reduced_motion": "reduce", "viewport": {"width": 1400, "height": 900}}
    context = browser.new_context(**{**plain, **wanted})
    context.set_default_timeout(10_000)
    if email:
        context.add_cookies(demo.visitor(email).cookies_for_browser())
    return context


@pytest.fixture(scope="package")
def watched(browser: Browser, demo: Demo) -> Iterator[Callable[[str], Watched]]:
    """Return watched(email): that person's one page, reused for all the pages that are only looked at."""

    @cache
    def of(email: str) -> Watched:
        return Watched(new_context(browser, demo, email).new_page())

    yield of
