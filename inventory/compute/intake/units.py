"""Weights, lengths, watts, rack units and radio ranges, with what was assumed.

Conversion: 1 lb = 0.45359237 kg and 1 in = 25.4 mm exactly (International Yard and Pound Agreement, 1959).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from inventory.compute.intake.grid import Value, as_text
from inventory.compute.intake.money import read_number

KG = {
    "kg": 1.0,
    "kgs": 1.0,
    "kilo": 1.0,
    "kilos": 1.0,
    "g": 0.001,
    "gr": 0.001,
    "gram": 0.001,
    "grams": 0.001,
    "t": 1000.0,
}
KG |= dict.fromkeys(("lb", "lbs", "pound", "pounds", "#"), 0.45359237) | dict.fromkeys(
    ("oz", "ounce", "ounces"), 0.028349523125
)
MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "meter": 1000.0, "meters": 1000.0, "metre": 1000.0, "metres": 1000.0}
MM |= dict.fromkeys(("in", "inch", "inches", '"', "”", "''"), 25.4) | dict.fromkeys(
    ("ft", "feet", "foot", "'", "’"), 304.8
)
NUMBER = r"\d[\d.,]*|½"
WEIGHT = re.compile(
    rf"(?P<n>{NUMBER})\s*(?P<unit>(?:kgs?|kilos?|grams?|gr|g|lbs?|pounds?|oz|ounces?|t)\b|#)\.?", re.IGNORECASE
)
POUNDS_OUNCES = re.compile(r"^(?P<lb>\d+)\s*lbs?\.?\s*(?P<oz>\d+)\s*oz\.?$", re.IGNORECASE)
LENGTH = re.compile(
    rf"(?P<n>{NUMBER})\s*-?(?P<unit>mm|cm|met(?:er|re)s?|m|inch(?:es)?|in|ft|feet|foot|\"|”|''|'|’)(?![A-Za-z])",
    re.IGNORECASE,
)
FEET_INCHES = re.compile(r"(?P<ft>\d+)\s*(?:'|’|ft)\s*(?P<inch>\d+)\s*(?:\"|”|''|in)", re.IGNORECASE)
WATTS = re.compile(r"(?<![\w.-])(?P<n>\d[\d,]*)\s?(?:w|watts?)\b(?! ?h)", re.IGNORECASE)
RACK = re.compile(r"(?<![\w.])(?P<n>\d{1,2}|½)\s?(?:ru|u)\b", re.IGNORECASE)
PER_UNIT = re.compile(r"\b(?:each|ea|total|all|together)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Measure:
    """A measured value; None: the cell gives none. doubt UNIT: the unit was assumed."""

    value: float | None = None
    doubt: str = ""
    remark: str = ""


def number_of(text: str) -> float | None:
    """Return '1,5', '1.5', '1,200' or '½' as a number."""
    if text.strip() == "½":
        return 0.5
    value, _ = read_number(text.strip(".,"), decimal_comma=False)
    return None if value is None else float(value)


def read_weight(value: Value, unit: str = "") -> Measure:
    """Return kilograms. unit: what the heading says (kg, lb, g); '' leaves bare numbers in doubt."""
    text = as_text(value).strip()
    return _weight(text, unit) if text else Measure()


def _fraction(match: re.Match[str]) -> str:
    """Return '31 1/2' and '31½' as 31.5."""
    part = {"1/2": 0.5, "½": 0.5, "1/4": 0.25, "¼": 0.25, "3/4": 0.75, "¾": 0.75}[match[2]]
    return f"{int(match[1]) + part:g}"


@lru_cache(maxsize=4096)
def _weight(text: str, unit: str) -> Measure:
    text = re.sub(r"\s*\b(?:each|ea\.?|apiece|per piece)$", "", text, flags=re.IGNORECASE) or text
    text = re.sub(r"^(\d+)(?: (?=[13])|(?=[½¼¾]))(1/2|1/4|3/4|½|¼|¾)", _fraction, text)
    if match := POUNDS_OUNCES.match(text):
        return Measure(round(int(match["lb"]) * KG["lb"] + int(match["oz"]) * KG["oz"], 3))
    found = list(WEIGHT.finditer(text))
    if len(found) == 1 or (len(found) > 1 and found[0].start() == 0 and re.match(r"\s*[/(=]", text[found[0].end() :])):
        number = number_of(found[0]["n"])
        rest = (text[: found[0].start()] + text[found[0].end() :]).strip(" .")
        doubt = (
            "UNIT" if number is None or re.search(r"\d", text[: found[0].start()]) or "?" in rest or "~" in rest else ""
        )
        return Measure(_kg(number, found[0]["unit"]), doubt, f"weight: {text}" if rest else "")
    bare = re.fullmatch(NUMBER, text)
    number = number_of(text) if bare else None
    if number is None:
        return Measure(None, "UNIT" if re.search(r"\d", text) else "", f"weight: {text}" if len(text) > 1 else "")
    return Measure(_kg(number, unit or "kg"), "" if unit else "UNIT", "" if unit else f"weight: {text}")


def _kg(number: float | None, unit: str) -> float | None:
    return None if number is None else round(number * KG[unit.lower()], 3)


def read_length(text: str) -> Measure:
    """Return millimeters of the first length in a text; None without one."""
    if match := FEET_INCHES.search(text):
        return Measure(round(int(match["ft"]) * 304.8 + int(match["inch"]) * 25.4, 1))
    match = LENGTH.search(text)
    number = number_of(match["n"]) if match else None
    if match is None or number is None:
        return Measure()
    return Measure(round(number * MM[match["unit"].lower()], 1))


def watts_in(text: str) -> int | None:
    """Return the watts a text names once; None for none or several."""
    found = {match["n"].replace(",", "") for match in WATTS.finditer(text)}
    return int(found.pop()) if len(found) == 1 else None


def rack_units_in(text: str) -> float | None:
    """Return the rack units a text names; None for none."""
    match = RACK.search(text)
    return number_of(match["n"]) if match else None


BAND = re.compile(
    r"(?<![\d.-])(?P<low>\d{1,4}(?:\.\d{1,4})?)\s*(?:mhz)?\s*(?:-|–|—|to|"
    r"/)\s*(?P<high>\d{1,4}(?:\.\d{1,4})?)(?![\d-])\s*(?P<unit>mhz|ghz)?",
    re.IGNORECASE,
)
SINGLE = re.compile(r"(?<![\d.])(?P<n>\d{1,4}(?:\.\d+)?)\s*(?P<unit>mhz|ghz)\b", re.IGNORECASE)


def read_band(text: str, *, radio: bool = False) -> tuple[int, int] | None:
    """Return a radio range in kHz, low and high.

    A bare pair of numbers counts only when `radio` says that the thing is a radio one and both lie in 30 to 6000 MHz.
    '2.4 GHz' alone is the whole license-exempt band 2400-2483.5 MHz (ITU Radio Regulations, ISM band).
    """
    for match in BAND.finditer(text):
        low, high = float(match["low"]), float(match["high"])
        if (match["unit"] or "").lower() == "ghz":
            low, high = low * 1000, high * 1000
        sure = match["unit"] or radio
        if sure and 30 <= low < high <= 6000 and high - low < 700 and not _looks_like_years(match):
            return round(low * 1000), round(high * 1000)
    single = SINGLE.search(text)
    if single and single["unit"].lower() == "ghz" and float(single["n"]) == 2.4:
        return 2_400_000, 2_483_500
    return None


def _looks_like_years(match: re.Match[str]) -> bool:
    return not match["unit"] and all(re.fullmatch(r"(?:19|20)\d{2}", match[name]) for name in ("low", "high"))
