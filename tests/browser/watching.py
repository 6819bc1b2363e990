"""A page that is listened to while it loads, and the looks taken at it."""

from pathlib import Path
from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import ConsoleMessage, Page, Request, Response

LOOK = (Path(__file__).parent / "look.js").read_text()
# Written through the object model, which the content security policy lets the test do.
STAND_STILL = """() => {
  const still = new CSSStyleSheet();
  still.replaceSync("*, *::before, *::after { transition: none !important; animation: none !important }");
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, still];
}"""
# Without preload axe leaves the page's style sheets alone, which the policy would not let it copy.
QUIETLY = {"resultTypes": ["violations"], "preload": False}
CONTRAST_ONLY = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


class Watched:
    """One page of one person; `faults` gathers what went wrong since the last visit."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.faults: list[str] = []
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.faults.append(f"script failed: {error}"))
        page.on("requestfailed", self._not_fetched)
        page.on("response", self._answered)

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.faults.append(f"console: {message.text}")

    def _not_fetched(self, request: Request) -> None:
        if "ERR_ABORTED" not in (request.failure or ""):  # what a next visit cut short
            self.faults.append(f"not fetched: {request.url} {request.failure}")

    def _answered(self, response: Response) -> None:
        if response.status >= 400:
            self.faults.append(f"{response.status} for {response.url}")

    def visit(self, address: str, **media: Any) -> Page:
        """Load a page afresh; media: color_scheme, forced_colors, media as emulate_media takes them."""
        self.page.emulate_media(**{"media": "screen", "color_scheme": "light", "forced_colors": "none", **media})
        self.faults.clear()
        self.page.goto(address, wait_until="load")
        self.page.evaluate(STAND_STILL)
        return self.page

    def at(self, width: int, height: int = 900) -> Page:
        self.page.set_viewport_size({"width": width, "height": height})
        return self.page

    def look(self, name: str) -> list[str]:
        """Return what one of look.js's functions has to say of the page as it stands."""
        self.page.evaluate(LOOK)
        said: list[str] = self.page.evaluate(f"window.look.{name}()")
        return said

    def axe(self, options: dict[str, Any] | None = None) -> list[str]:
        """Return what axe finds, one line a fault."""
        if not self.page.evaluate("Boolean(window.axe)"):
            self.page.evaluate(AXE_SCRIPT)
        found = self.page.evaluate("(options) => axe.run(document, options)", {**QUIETLY, **(options or {})})
        return [
            f"axe {one['id']}: {node['target'][0]} {node['html'][:160]} — {node['failureSummary'][:300]}"
            for one in found["violations"]
            for node in one["nodes"][:3]
        ]
