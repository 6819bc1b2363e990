"""What the style numbers of a workbook mean: fill, font color, strike, currency and date parts of the number format."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesImpl

from inventory.compute.intake.grid import Look

# Windows language code identifiers whose bare dollar sign is known, and dollar signs written with their country.
DOLLAR_LANDS = {"409": "USD", "1009": "CAD", "C09": "AUD", "1409": "NZD"}
LONG_MARKS = {"CA$": "CAD", "C$": "CAD", "A$": "AUD", "AU$": "AUD", "NZ$": "NZD", "US$": "USD"}
CURRENCY_MARKS = {"£": "GBP", "€": "EUR", "$": "$", "¥": "JPY", "USD": "USD", "GBP": "GBP", "EUR": "EUR", "CHF": "CHF"}
DATE_FORMATS = {14: "dmy", 15: "dmy", 16: "dm", 17: "my", 22: "dmy"}  # built-in number formats
PALETTE = {2: "FF0000", 3: "00FF00", 4: "0000FF", 5: "FFFF00", 10: "FF0000", 11: "00FF00", 12: "0000FF", 13: "FFFF00"}
THEME = {
    0: "FFFFFF",
    1: "",
    2: "EEECE1",
    3: "1F497D",
    4: "4F81BD",
    5: "C0504D",
    6: "9BBB59",
    7: "8064A2",
    8: "4BACC6",
    9: "F79646",
}


@dataclass
class Styles:
    """Style number -> look, only those that show something."""

    looks: dict[int, Look] = field(default_factory=dict)


def read_styles(path: bytes | None, parse: Callable[[bytes, ContentHandler], None]) -> Styles:
    """Return the looks by style number; nothing for a workbook without styles."""
    handler = _StylePass()
    if path:
        parse(path, handler)
    styles = Styles()
    for number, (form, font, fill) in enumerate(handler.cells):
        font_color, strike = handler.fonts[font] if font < len(handler.fonts) else ("", False)
        code = handler.formats.get(form, "")
        look = Look(
            fill=handler.fills[fill] if fill < len(handler.fills) else "",
            font=font_color,
            strike=strike,
            currency=currency_of(code),
            date_parts=DATE_FORMATS.get(form) or date_parts(code),
        )
        if look != Look():
            styles.looks[number] = look
    return styles


def currency_of(code: str) -> str:
    """Return the ISO code a number format shows, '$' for a dollar sign without a country, '' for none."""
    for mark, country in re.findall(r"\[\$([^\]-]*)(?:-([0-9A-Fa-f]+))?\]", code):
        if mark == "$" and country.lstrip("0").upper() in DOLLAR_LANDS:
            return DOLLAR_LANDS[country.lstrip("0").upper()]
        if mark.strip().upper() in LONG_MARKS or re.fullmatch(r"[A-Z]{3}", mark.strip()):
            return LONG_MARKS.get(mark.strip().upper(), str(mark).strip())
        if mark in CURRENCY_MARKS:
            return CURRENCY_MARKS[mark]
    bare = re.sub(r"\[[^\]]*\]", "", code)
    return next((iso for mark, iso in CURRENCY_MARKS.items() if mark in bare), "")


def date_parts(code: str) -> str:
    """Return which of d, m and y a number format shows; '' for a format of numbers or times."""
    bare = re.sub(r'\[[^\]]*\]|"[^"]*"|\\.', "", code).lower()
    if re.search(r"[0#?@]", bare) or "general" in bare:
        return ""
    parts = "".join(part for part in "dmy" if part in bare)
    return parts if "y" in parts or "d" in parts else ""


class _StylePass(ContentHandler):
    def __init__(self) -> None:
        super().__init__()
        self.formats: dict[int, str] = {}
        self.fonts: list[tuple[str, bool]] = []
        self.fills: list[str] = []
        self.cells: list[tuple[int, int, int]] = []
        self._inside = ""
        self._solid = False

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        if name in ("fonts", "fills", "cellXfs", "cellStyleXfs", "dxfs", "borders"):
            self._inside = name
        elif name == "numFmt" and self._inside != "dxfs":
            self.formats[int(attrs.get("numFmtId", "0"))] = attrs.get("formatCode", "")
        elif self._inside == "fonts":
            self._font(name, attrs)
        elif self._inside == "fills":
            self._fill(name, attrs)
        elif self._inside == "cellXfs" and name == "xf":
            self.cells.append(
                (int(attrs.get("numFmtId", "0")), int(attrs.get("fontId", "0")), int(attrs.get("fillId", "0")))
            )

    def _font(self, name: str, attrs: AttributesImpl) -> None:
        if name == "font":
            self.fonts.append(("", False))
        elif name == "strike" and attrs.get("val", "1") not in ("0", "false"):
            self.fonts[-1] = (self.fonts[-1][0], True)
        elif name == "color":
            shade = color_of(attrs)
            self.fonts[-1] = ("" if shade == "000000" else shade, self.fonts[-1][1])

    def _fill(self, name: str, attrs: AttributesImpl) -> None:
        if name == "fill":
            self.fills.append("")
        elif name == "patternFill":
            self._solid = attrs.get("patternType", "") not in ("", "none", "gray125")
        elif name == "fgColor" and self._solid:
            shade = color_of(attrs)
            self.fills[-1] = "" if shade == "FFFFFF" else shade


def color_of(attrs: AttributesImpl) -> str:
    """Return a color as RRGGBB, '' for automatic."""
    if rgb := attrs.get("rgb", ""):
        return str(rgb)[-6:].upper()
    if theme := attrs.get("theme", ""):
        return THEME.get(int(theme), "")
    return PALETTE.get(int(attrs.get("indexed", "64")), "")
