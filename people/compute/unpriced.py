"""Remarks for readers who see no prices: what speaks of money is left out, the rest stays."""

from __future__ import annotations

import re

# A sign or code of a currency beside a figure, or a word of buying and selling with a figure in the same remark;
# common practice: a remark too many is left out rather than a price too many shown.
CURRENCY = r"(?:[$£€¥]|\b(?:usd|gbp|eur|dollars?|pounds? sterling|euros?|bucks|quid)\b)"
TRADE = (
    r"\b(?:costs?|price[ds]?|paid|pay|worth|values?|valued|resale|bought for|sold for|sell for|listed at|"
    r"offer\w*|quote\w*|asking|new unit|replacement|invoice\w*|refund\w*|struck through|deposit|insured)\b"
)
SPEAKS_OF_MONEY = re.compile(rf"(?:{CURRENCY}.*\d|\d.*{CURRENCY}|{TRADE}.*\d|\d.*{TRADE})", re.IGNORECASE | re.DOTALL)
PARTS = re.compile(r"(\s*[;|\n]\s*)")


def speaks_of_money(text: str) -> bool:
    """Tell whether a remark holds a price as far as words can show."""
    return bool(SPEAKS_OF_MONEY.search(text))


def unpriced(text: str, instead: str = "…") -> str:
    """Return the text with each part that speaks of money replaced; parts end at a semicolon, a bar or a line."""
    if not speaks_of_money(text):
        return text
    return "".join(instead if speaks_of_money(part) else part for part in PARTS.split(text))
