"""Messy gear lists in, drafts of pieces with reasons and questions out. See docs/algorithms/intake.md."""

from inventory.compute.intake.draft import (
    ASK,
    CHANGES,
    COLUMN_FIELDS,
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
from inventory.compute.intake.score import as_score_json, twin_key, twin_rows
from inventory.compute.intake.settings import FIELD_OF, question_key

__all__ = [
    "ASK",
    "CHANGES",
    "COLUMN_FIELDS",
    "CONDITIONS",
    "FIELDS",
    "FIELD_OF",
    "LEFT_OUT",
    "NEW",
    "VERDICTS",
    "Column",
    "Draft",
    "Question",
    "RowDraft",
    "Sheet",
    "Unreadable",
    "as_score_json",
    "draft",
    "question_key",
    "twin_key",
    "twin_rows",
]
