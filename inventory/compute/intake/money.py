"""Prices as people type them: amount, currency, tax in or out, each or all, and what is doubtful."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import lru_cache

MARKS = {
    "£": "GBP",
    "€": "EUR",
    "¥": "JPY",
    "us$": "USD",
    "ca$": "CAD",
    "c$": "CAD",
    "a$": "AUD",
    "au$": "AUD",
    "nz$": "NZD",
}
CODES = ("USD", "GBP", "EUR", "CAD", "AUD", "NZD", "CHF", "JPY", "SEK", "NOK", "DKK", "PLN", "CZK")
WORDS = {
    "dollar": "$",
    "dollars": "$",
    "bucks": "$",
    "quid": "GBP",
    "pound": "GBP",
    "pounds": "GBP",
    "euro": "EUR",
    "euros": "EUR",
}
EXPONENTS = {"JPY": 0, "KRW": 0, "ISK": 0, "HUF": 2, "BHD": 3, "KWD": 3, "JOD": 3}
DOLLARS = ("USD", "CAD", "AUD", "NZD")
NUMBER = r"\d{1,3}(?: \d{3})+,\d{2}(?!\d)|\d[\d.,'’]*\d|\d"
AMOUNT = re.compile(rf"(?P<number>{NUMBER})(?:[.,][-–—]+)?(?P<k>\s?k\b)?", re.IGNORECASE)
NOTHING = re.compile(
    r"^(?:[-–—.?]+|n\s*/?\s*a|none|unknown|unk|tbd|tba|ask.*|scrap|junk|worthless|no value|sentimental|priceless|"
    r"see .*|"
    r"donated|gift|given|loan(?:ed)?|in kind|not? for sale|nfs|\?+)[.!]*$",
    re.IGNORECASE,
)
ZERO = re.compile(r"^(?:nil|zero|nothing|0)[.!]*$", re.IGNORECASE)
FREE = re.compile(r"^(?:free|no charge|n/c|gratis)\b.*$", re.IGNORECASE)
EACH = re.compile(
    r"\b(?:each|ea|apiece|per (?:piece|unit|one|item)|a ?pop|je|p\.?/?p\.?)\b|/\s?(?:ea|each|pc|unit|st(?:k|"
    r"ück)?)\b|^@|"
    r"\d\s?@",
    re.IGNORECASE,
)
ALL = re.compile(
    r"\b(?:(?:the|das) (?:pair|paar|set|lot|bunch|box|whole lot|two|three|four|five|six|eight|ten|dozen)|"
    r"for (?:the )?(?:pair|"
    r"set|lot|all|both|\d+|everything)|all(?: "
    r"\d+)?|both|altogether|total|"
    r"(?:per|a) (?:pair|set|lot)|pr|lot|set|pair)\b|/\s?(?:pr|pair|set|lot)\b",
    re.IGNORECASE,
)
TAX_OUT = re.compile(
    r"(?:\+|\bplus\b|\bex(?:cl)?\.?\b|\bexcluding\b|\bbefore\b|\bwithout\b|\bno\b)\s*(?:vat|tax|gst|sales tax)|"
    r"\bnet\b",
    re.IGNORECASE,
)
TAX_IN = re.compile(
    r"\b(?:inc|incl|including|with)\.?\s*(?:vat|tax|gst|sales tax)|\bgross\b|\bbrutto\b|\b(?:vat|tax) (?:inc|"
    r"paid)",
    re.IGNORECASE,
)
ABOUT = re.compile(
    r"~|\?|\b(?:about|approx\.?|around|circa|ca?\.|roughly|maybe|or so|under|over|max|min|up to|est\.?)\b|\dish\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Money:
    """One price cell. `minor` None: the cell gives no price."""

    minor: int | None = None
    currency: str = ""  # ISO code, '' when the cell does not say
    per: str = ""  # each, all or ''
    tax: str = ""  # in, out or ''
    doubt: str = ""  # PRICE_TWO, PRICE_NEG, PRICE_TAX, PRICE_ODD or ''
    remark: str = ""  # words that belong in the note


def exponent_of(currency: str, default: str, exponent: int) -> int:
    """Return the number of decimals of a currency: the given one for the default currency, else the ISO 4217 one."""
    return exponent if currency in ("", default) else EXPONENTS.get(currency, 2)


def read_number(text: str, *, decimal_comma: bool = False) -> tuple[Decimal | None, bool]:
    """Return the number and whether its reading is doubtful.

    Both marks: the last one is the decimal mark. One mark before three digits groups thousands, unless that breaks the
    grouping; one mark before one or two digits is decimal. decimal_comma: the list's habit, used only to settle doubts.
    """
    text = re.sub(r"[\s'’]", "", text)
    points, commas = text.count("."), text.count(",")
    doubtful = False
    if points and commas:
        mark = max(".", ",", key=text.rfind)
        other = "," if mark == "." else "."
        doubtful = text.count(mark) > 1 or not re.fullmatch(rf"\d{{1,3}}(?:\{other}\d{{2,3}})*\{mark}\d+", text)
        text = text.replace(other, "").replace(mark, ".")
    elif points or commas:
        mark = "." if points else ","
        grouped = re.fullmatch(rf"[1-9]\d{{0,2}}(?:\{mark}\d{{3}})+", text)
        if grouped:
            doubtful = mark == "." and not decimal_comma and text.count(".") == 1
            text = text.replace(mark, "")
        else:
            doubtful = text.count(mark) > 1
            text = text.replace(mark, ".")
    try:
        return Decimal(text), doubtful
    except InvalidOperation:
        return None, True


def minor_units(amount: Decimal, exponent: int) -> tuple[int, bool]:
    """Return the amount in minor units, half up, and whether rounding lost something."""
    scaled = amount.scaleb(exponent)
    whole = scaled.quantize(Decimal(1), ROUND_HALF_UP)
    return int(whole), abs(whole - scaled) > Decimal("0.01")


@lru_cache(maxsize=8192)
def read_money(text: str, default: str = "USD", exponent: int = 2, *, decimal_comma: bool = False) -> Money:
    """Return the price of one cell of text. `default` only decides which dollar '$' means and the decimals."""
    text = text.replace("\u00a0", " ").replace("\n", " ").strip()
    if not text or NOTHING.match(text):
        return Money(remark="" if len(text) < 4 else f"price: {text}")
    if ZERO.match(text):
        return Money(minor=0)
    if FREE.match(text):
        return Money(minor=0, doubt="PRICE_ODD", remark=f"price: {text}")
    currency, rest = _currency(text, default)
    found = list(AMOUNT.finditer(_without_counts(rest)))
    if not found:
        return Money(remark=f"price: {text}")
    return _priced(text, rest, currency, found, exponent_of(currency, default, exponent), decimal_comma)


def _priced(
    text: str, rest: str, currency: str, found: list[re.Match[str]], exponent: int, decimal_comma: bool
) -> Money:
    amount, doubtful = read_number(found[0]["number"], decimal_comma=decimal_comma)
    if amount is None or amount > 10_000_000:
        return Money(doubt="PRICE_ODD", remark=f"price: {text}")
    minor, lost = minor_units(amount * 1000 if found[0]["k"] else amount, exponent)
    per = "all" if ALL.search(rest) else "each" if EACH.search(rest) else ""
    if EACH.search(rest) and ALL.search(rest):
        per = "each" if EACH.search(rest).start() < ALL.search(rest).start() else "all"  # type: ignore[union-attr]
    tax = "out" if TAX_OUT.search(rest) else "in" if TAX_IN.search(rest) else ""
    doubt = _doubt(text, rest, found, lost or doubtful, tax)
    remark = f"price: {text}" if doubt or re.search(r"[^\W\d_]{3,}", _plain_words(rest)) else ""
    return Money(minor, currency, per, tax, doubt, remark)


def _doubt(text: str, rest: str, found: list[re.Match[str]], odd: bool, tax: str) -> str:
    if len(found) > 1:
        return "PRICE_TWO"
    if re.match(r"^\s*(?:[-–—]\s*[^\d\s]?\s*\d|\(\s*[^\w\s]?\s*\d[\d.,]*\s*\)$)", text):
        return "PRICE_NEG"
    if tax == "out":
        return "PRICE_TAX"
    return "PRICE_ODD" if odd or ABOUT.search(rest) else ""


def _plain_words(rest: str) -> str:
    for pattern in (EACH, ALL, TAX_OUT, TAX_IN):
        rest = pattern.sub(" ", rest)
    return rest


def _without_counts(text: str) -> str:
    """Blank out counts that are no amounts: 'for the 4', 'all 6'."""
    return re.sub(
        r"\b(for (?:the |all )?|"
        r"all )\d{1,2}\b(?![.,]\d)",
        lambda match: " " * len(match[0]),
        text,
        flags=re.IGNORECASE,
    )


def _currency(text: str, default: str) -> tuple[str, str]:
    """Return the currency a text shows, and the text without its marks."""
    found = ""
    low = text.lower()
    for mark, code in MARKS.items():
        if mark in low:
            found = found or code
            text = re.sub(re.escape(mark), " ", text, flags=re.IGNORECASE)
            low = text.lower()
    if "$" in text:
        found = found or (default if default in DOLLARS else "USD")
        text = text.replace("$", " ")
    for code in CODES:
        if re.search(rf"\b{code}\b", text, re.IGNORECASE):
            found = found or code
            text = re.sub(rf"\b{code}\b", " ", text, flags=re.IGNORECASE)
    for word, code in WORDS.items():
        if re.search(rf"\b{word}\b", text, re.IGNORECASE):
            found = found or (code if code != "$" else default if default in DOLLARS else "USD")
            text = re.sub(rf"\b{word}\b", " ", text, flags=re.IGNORECASE)
    return found, text
