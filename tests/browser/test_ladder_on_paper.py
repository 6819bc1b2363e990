"""The Sunday ladder on paper: fourteen Sundays with their steps stand on one sheet, nothing beside it."""

from typing import Any

import pytest

# Sheets less the margins of static/css/print.css (14 mm above and below, 13 mm beside), at 96 pixels an inch.
# Letter is 8.5 by 11 inches (ANSI/ASME Y14.1), A4 is 210 by 297 mm (ISO 216).
SHEETS = {"cordwain": (215.9 - 26, 279.4 - 28), "loomgate": (210.0 - 26, 297.0 - 28)}
PIXELS_A_MM = 96 / 25.4


@pytest.mark.parametrize("church", sorted(SHEETS))
def test_fourteen_sundays_fit_on_one_sheet(open_page: Any, church: str) -> None:
    width, height = (int(side * PIXELS_A_MM) for side in SHEETS[church])
    page = open_page(f"lead@{church}.example.org", f"/{church}/steps/", viewport={"width": width, "height": height})
    page.emulate_media(media="print")
    box = page.locator(".ladder").bounding_box()
    ahead = page.locator(".ladder-rung:not(.is-past)").count()
    assert ahead >= 14 and page.locator(".ladder-step").count() > 14
    assert box["y"] + box["height"] <= height, f"The ladder ends {box['y'] + box['height'] - height:.0f} px too low."
    assert page.evaluate("document.documentElement.scrollWidth") <= width
