"""Which two rows may be the same thing: evidence in bits, never a merge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

ONE_PIECE = "one piece"
TWO_PIECES = "two pieces"
LOT_OVERLAPS = "lot overlaps"
HALVES = "halves of a pair"


@dataclass(frozen=True)
class TwinRow:
    """A row or a stored piece, as far as comparing needs it."""

    key: str  # any name the caller can find it again by
    site: str  # code of the site, or the list it stands on when no site is known
    source: str  # list and sheet; '' for a stored piece
    fields: Mapping[str, Any]  # as RowDraft.fields
    row: int = 0  # position in the source, 0 when unknown
    note: str = ""  # further text of the row


@dataclass(frozen=True)
class TwinSuggestion:
    """Two rows a person should look at, and why."""

    key_a: str
    key_b: str
    bits: float
    verdict_hint: str  # one of the four words above
    evidence: tuple[str, ...]  # sentences


def suggest(rows: Sequence[TwinRow]) -> list[TwinSuggestion]:
    """Return pairs worth a look, strongest first."""
    raise NotImplementedError
