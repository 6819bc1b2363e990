"""Cells that a spreadsheet would run as a formula, made to stand as text."""

from __future__ import annotations

# A cell beginning with one of these is read as a formula, also in its full-width form or behind a tab or line break.
# Source: OWASP Foundation, "CSV Injection" (owasp.org), list of characters.
STARTERS = frozenset("=+-@\t\r\n＝＋－＠")


def is_risky(text: str) -> bool:
    """Tell whether a spreadsheet could take the text for a formula; blanks before it do not hide it."""
    return text[:1] in STARTERS or text.lstrip()[:1] in STARTERS if text else False


def neutral(value: object) -> object:
    """Return the value, a risky text with an apostrophe before it; numbers, dates and other kinds as they are."""
    return f"'{value}" if isinstance(value, str) and is_risky(value) else value
