"""Messy gear lists in, drafts of pieces with reasons and questions out. See docs/algorithms/intake.md."""

from inventory.compute.intake.draft import (
    ASK,
    CHANGES,
    CONDITIONS,
    FIELDS,
    LEFT_OUT,
    NEW,
    VERDICTS,
    Column,
    Draft,
    Question,
    RowDraft,
    Sheet,
    Unreadable,
)
from inventory.compute.intake.reading import draft

__all__ = [
    "ASK",
    "CHANGES",
    "CONDITIONS",
    "FIELDS",
    "LEFT_OUT",
    "NEW",
    "VERDICTS",
    "Column",
    "Draft",
    "Question",
    "RowDraft",
    "Sheet",
    "Unreadable",
    "draft",
]
