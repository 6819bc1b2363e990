"""Every color stands on something it can be read on, in light and in dark.

Source: Web Content Accessibility Guidelines 2.2 (W3C Recommendation, 2023), definitions of "relative luminance" and
"contrast ratio"; success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (edges and shapes that carry meaning, 3 : 1).
"""

import re
from itertools import chain
from pathlib import Path

import pytest

CSS = Path(__file__).resolve().parents[2] / "static" / "css"
TOKEN = re.compile(r"--([\w-]+):\s*light-dark\((#[0-9a-f]{6}),\s*(#[0-9a-f]{6})\)")

TEXT = [  # what is read, what it stands on
    ("ink", "sheet"),
    ("ink", "desk"),
    ("ink", "ground"),
    ("ink", "accent-soft"),
    ("ink-2", "sheet"),
    ("ink-2", "desk"),
    ("ink-2", "ground"),
    ("ink-2", "accent-soft"),
    ("accent", "sheet"),
    ("accent", "desk"),
    ("accent", "ground"),
    ("accent", "accent-soft"),
    ("on-accent", "accent"),
    ("sheet", "ink"),
    ("on-tape", "tape"),
    ("board-words", "board"),
    ("on-slide", "slide"),
]
SHAPES = [  # edges of fields, focus, the slides of the board
    ("field", "sheet"),
    ("accent", "sheet"),
    ("accent", "desk"),
    ("slide", "board"),
]
DECORATION = {"rule", "hatch", "board-rail"}  # thin lines; nothing is said by them alone


def tokens() -> dict[str, tuple[str, str]]:
    return {name: (light, dark) for name, light, dark in TOKEN.findall((CSS / "tokens.css").read_text())}


def luminance(color: str) -> float:
    """Return the relative luminance of `#rrggbb`, 0 for black to 1 for white."""
    channels = (int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),  # the extremes named in the definition
        ("#767676", "#ffffff", 4.54),  # W3C, Understanding 1.4.3: the lightest grey that passes on white (from memory)
        ("#777777", "#ffffff", 4.48),  # its neighbor fails (from memory)
    ],
)
def test_the_ratio_agrees_with_known_pairs(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "back"), TEXT)
def test_text_can_be_read(front, back, theme):
    found = tokens()
    assert contrast(found[front][theme], found[back][theme]) >= 4.5


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "back"), SHAPES)
def test_shapes_can_be_told(front, back, theme):
    found = tokens()
    assert contrast(found[front][theme], found[back][theme]) >= 3


def test_no_color_is_left_unchecked():
    checked = set(chain.from_iterable(TEXT + SHAPES)) | DECORATION
    assert set(tokens()) == checked


def test_colors_are_written_in_the_tokens_only():
    allowed = {"packet.css": {"#fff", "#000"}, "print.css": {"#fff", "#f3f4f2"}}  # codes and paper keep their own
    for sheet in CSS.glob("*.css"):
        found = set(re.findall(r"#[0-9a-fA-F]{3,8}\b", re.sub(r"url\([^)]*\)", "", sheet.read_text())))
        if sheet.name != "tokens.css":
            assert found <= allowed.get(sheet.name, set()), sheet.name


def test_every_token_used_exists():
    text = "".join(sheet.read_text() for sheet in CSS.glob("*.css"))
    named = set(re.findall(r"(--[\w-]+)\s*:", text))
    assert set(re.findall(r"var\((--[\w-]+)\)", text)) <= named


def test_every_sheet_is_loaded_in_a_known_layer():
    main = (CSS / "main.css").read_text()
    order = re.search(r"@layer ([^;]+);", main)[1].split(", ")
    loaded = re.findall(r'@import url\("([\w-]+\.css)"\)(?: layer\((\w+)\))?;', main)
    assert {name for name, _ in loaded} == {sheet.name for sheet in CSS.glob("*.css")} - {"main.css"}
    assert {layer for _, layer in loaded if layer} <= set(order)


def test_sheets_stay_short():
    assert all(len(sheet.read_text().splitlines()) <= 200 for sheet in CSS.glob("*.css"))
