"""The way in: bytes of a list to a draft."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from inventory.compute.intake.draft import Draft, Unreadable


def draft(
    data: bytes,
    name: str,
    *,
    day_first: bool,
    currency: str,
    exponent: int = 2,
    today: date,
    mapping: Mapping[tuple[str, str], str | None] | None = None,
    answers: Mapping[str, str] | None = None,
) -> Draft:
    """Return what the list says: rows with verdicts and reasons, columns, questions; nothing is stored.

    data: the file as it came; name: its file name. day_first, currency and exponent are the country's habits and are
    only guesses wherever the list does not say. mapping: (sheet, column letter) -> field as remembered, None: drop.
    answers: question key -> chosen value; the rows are read again with them applied.
    Raises Unreadable with a sentence for people and a code.
    """
    if not data:
        raise Unreadable(f"{name} is empty. Save the list again and bring the new file.", "empty")
    raise NotImplementedError
