"""How many: counts as people type them, with a doubt where a person must look."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from inventory.compute.intake.grid import Value, as_text, is_number

SPELT = "zero one two three four five six seven eight nine ten eleven twelve"
NUMBER_WORDS = {word: number for number, word in enumerate(SPELT.split())} | {
    "a dozen": 12,
    "half a dozen": 6,
    "a": 1,
    "an": 1,
    "dozen": 12,
    "doz": 12,
    "doz.": 12,
    "twenty": 20,
    "thirty": 30,
}
WORD = "|".join(re.escape(word) for word in NUMBER_WORDS)
COUNT = rf"\d+|{WORD}"
PLAIN = re.compile(
    rf"^(?:qty\.?:?\s*|x\s*|×\s*)?(?P<n>{COUNT})\s*(?:x|×|off|no\.?|nos\.?|ea\.?|each|pcs?\.?|pieces?|units?|st\.?|stk\.?|stück|of|pk|"
    rf"count|ct\.?)?$",
    re.IGNORECASE,
)
HALF_DOZEN = re.compile(r"^(?:½|1/2|half(?: a)?)\s*doz(?:en|\.)?(?: of)?$", re.IGNORECASE)
DOZENS = re.compile(r"^(?P<n>\d+|two|three)\s*doz(?:en|\.)?$|^(?:a |1 )?(?:doz(?:en|\.)?)$", re.IGNORECASE)
PAIRS = re.compile(rf"^(?:(?P<n>{COUNT})\s*)?(?:pairs?|prs?\.?|paar|couple)(?: of)?(?:\s*\(?2\)?)?$", re.IGNORECASE)
BOXES = re.compile(
    rf"^(?P<n>{COUNT})?\s*(?P<unit>box(?:es)?|bags?|crates?|bins?|tubs?|totes?|cases?|trunks?|drawers?|rolls?|reels?|"
    rf"spools?|kits?|sets?|lots?|bundles?|packs?|shelf|piles?)"
    rf"(?:\s*(?:of|\()\s*(?:about |~)?(?P<inside>\d+)\)?)?$",
    re.IGNORECASE,
)
ABOUT = re.compile(
    rf"^(?:about|approx\.?|around|roughly|ca?\.?|~|maybe|at least|over|under|nearly|almost|up to)\s*(?P<n>{COUNT})$|"
    rf"^(?P<ish>\d+)\s*(?:-?ish|\?+|\+|or so|or more|approx\.?|give or take)$",
    re.IGNORECASE,
)
OUT_OF = re.compile(r"^(?P<good>\d+)\s*(?:/|of|out of)\s*(?P<all>\d+)\b(?P<rest>.*)$", re.IGNORECASE)
VAGUE = re.compile(
    r"^(?:a few|few|some|several|lots?|many|various|misc\.?|plenty|loads|a bunch|bunch|tons|ton|mixed|assorted|"
    r"enough|\?+|tbd|unknown)\b.*$",
    re.IGNORECASE,
)
SUM = re.compile(r"^\d+(?:\s*\+\s*\d+)+$")
ASIDE = re.compile(r"^(?P<head>[^(]+?)\s*[(\-–,]\s*(?P<rest>.*[a-z].*?)\)?$", re.IGNORECASE)


@dataclass(frozen=True)
class Quantity:
    """A count; `number` None: the cell gives none."""

    number: int | None = None
    doubt: str = ""  # QTY or ''
    remark: str = ""  # words that belong in the note
    unit: str = ""  # box, kit ... when counted in those
    faulty: int = 0  # how many of them do not work, when the cell says so


def read_quantity(value: Value) -> Quantity:
    """Return the count of one cell."""
    if is_number(value):
        whole = float(value).is_integer() and 0 < value < 100_000
        return Quantity(int(value)) if whole else Quantity(None, "QTY", f"quantity: {as_text(value)}")
    text = as_text(value).strip()
    return _from_text(text) if text else Quantity()


@lru_cache(maxsize=4096)
def _from_text(text: str) -> Quantity:
    if re.fullmatch(r"[-–—.]+|n/?a", text, re.IGNORECASE):
        return Quantity()
    if match := PLAIN.match(text):
        number = _number(match["n"])
        return Quantity(number) if number else Quantity(None, "QTY", f"quantity: {text}")
    if HALF_DOZEN.match(text):
        return Quantity(6)
    if match := DOZENS.match(text):
        return Quantity(12 * (_number(match["n"]) if match["n"] else 1))
    if match := PAIRS.match(text):
        pairs = _number(match["n"]) if match["n"] else 1
        loose = "couple" in text.lower() or pairs > 1
        return Quantity(2 * pairs, "QTY" if loose else "", f"quantity: {text}" if loose else "")
    return _boxes(text) or _doubtful(text)


def _number(text: str) -> int:
    return int(text) if text.isdigit() else NUMBER_WORDS[text.lower()]


def _boxes(text: str) -> Quantity | None:
    match = BOXES.match(text)
    if not match:
        return None
    number = _number(match["n"]) if match["n"] else 1
    unit = match["unit"].lower()
    if match["inside"]:
        return Quantity(number * int(match["inside"]), "QTY", f"quantity: {text}", unit)
    loose = number != 1 or unit.startswith(("lot", "pile", "bundle")) or not match["n"]
    return Quantity(number, "QTY" if loose else "", f"quantity: {text}", unit)


def _doubtful(text: str) -> Quantity:
    remark = f"quantity: {text}"
    if match := ABOUT.match(text):
        return Quantity(_number(match["n"] or match["ish"]), "QTY", remark)
    if match := OUT_OF.match(text):
        good, everything = int(match["good"]), int(match["all"])
        if 0 <= good <= everything < 1000 and everything:
            return Quantity(everything, "", remark, faulty=everything - good)
    if match := re.match(
        r"^(\d{1,3})\s*\(\s*(?:or )?\d{1,3}\s*\?*\s*\)$|^(\d{1,3})\s*(?:or|"
        r"/)\s*\d{1,3}\s*\?*$",
        text,
    ):
        return Quantity(int(match[1] or match[2]) or None, "QTY", remark)
    if SUM.match(text):
        return Quantity(sum(int(part) for part in text.split("+")), "QTY", remark)
    if VAGUE.match(text):
        return Quantity(None, "QTY", remark)
    aside = ASIDE.match(text)
    if aside and aside["head"] != text:
        inner = _from_text(aside["head"].strip())
        if inner.number is not None:
            broken = re.match(
                r"^(\d+)\s+(?:broken|dead|bad|faulty|missing|not working|don'?t work)", aside["rest"], re.IGNORECASE
            )
            return Quantity(
                inner.number, "" if broken else inner.doubt, remark, inner.unit, int(broken[1]) if broken else 0
            )
    return Quantity(None, "QTY", remark)


# Counts that stand inside the description.
IN_TEXT = (
    re.compile(r"^(?P<n>\d{1,3})\s?[x×]\s+(?=[A-Za-z])", re.IGNORECASE),
    re.compile(r"\s+[x×]\s?(?P<n>\d{1,3})\b(?![\d.]|,\d|\s?(?:\d|in\b|ft\b|cm\b|mm\b|m\b|[\"']))", re.IGNORECASE),
    re.compile(r"\((?:x\s?|qty\.?:?\s*)?(?P<n>\d{1,3})(?:\s?x| off| pcs?| ea| total)?\)", re.IGNORECASE),
    re.compile(r",?\s*\b(?:lot|set|box|bag|case|pack|bundle)s? of (?P<n>\d{1,3})\b", re.IGNORECASE),
    re.compile(r",?\s*\bqty\.?:?\s*(?P<n>\d{1,3})\b", re.IGNORECASE),
    re.compile(r"^(?P<n>\d{1,3}) (?:off|pcs|pieces)\b\s*", re.IGNORECASE),
)
LEADING = re.compile(
    r"^(?P<n>\d{1,3}|a dozen|two|three|four|five|six|eight|ten|twelve)\s+(?P<rest>[A-Za-z].*)$", re.IGNORECASE
)
MEASURES = re.compile(
    r"^(?:way|ways|volts?|v|watts?|w|ports?|ch|chan\w*|channels?|in|inch\w*|ft|feet|foot|m|mm|cm|meters?|metres?|lb|"
    r"lbs|kg|u|ru|bit|key|keys|pin|"
    r"space|spaces|band|outlets?|gang|zones?|person|seats?|point|lumens?|universes?|amp|amps|hz|khz|mhz|ghz|rows?|"
    r"tier|step|by|x|k|step|input|output|inputs|outputs|gauge|awg)\b",
    re.IGNORECASE,
)
PAIR_WORD = re.compile(r"\b(?:pairs?|prs?|set of two|twin set|matched pair)\b", re.IGNORECASE)
CASE_OF = re.compile(
    r"\b(?:case|kit|set|box|rack|bag|pack) of (\d{1,3})\b|\b(\d{1,3})[- ]?(?:pc|piece)s?\b", re.IGNORECASE
)


def quantity_in_text(text: str) -> tuple[int | None, str]:
    """Return the count a description carries and the description without it; (None, text) when it carries none."""
    for pattern in IN_TEXT:
        if match := pattern.search(text):
            number = int(match["n"])
            rest = (
                (text[: match.start()] + " " + text[match.end() :]).strip(" ,")
                if not CASE_OF.search(match[0])
                else text
            )
            if 1 <= number <= 500 and not _is_measure(text, match):
                return number, " ".join(rest.split())
    match = LEADING.match(text)
    if match and not MEASURES.match(match["rest"]) and _plural(match["rest"]):
        word = match["n"].lower()
        return 12 if word == "a dozen" else _number(word), match["rest"]
    return None, text


def _is_measure(text: str, match: re.Match[str]) -> bool:
    """'2x 15in' and '(16 way)' are measures."""
    return bool(re.match(r"\s*\d", text[match.end() :])) or bool(MEASURES.match(text[match.end() :].strip() or "-"))


def _plural(rest: str) -> bool:
    """True when one of the first four words is a plural: '8 stage lights', not '16 channel mixer'."""
    words = re.findall(r"[A-Za-z]+", rest.split(",")[0])[:4]
    return any(
        len(word) > 2 and word.lower().endswith("s") and not word.lower().endswith(("ss", "us", "is")) for word in words
    )
