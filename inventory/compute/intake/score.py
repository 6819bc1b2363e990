"""Drafts as the plain JSON that outside checks read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from inventory.compute.intake.draft import LEFT_OUT, Draft, RowDraft
from inventory.compute.intake.settings import FIELD_OF
from inventory.compute.twins import LOT_OVERLAPS, TwinRow, TwinSuggestion

PLAIN = (
    "what",
    "maker",
    "model",
    "serial",
    "quantity",
    "condition",
    "year",
    "price_minor",
    "currency",
    "place",
    "note",
)
KINDS = {"worth now": "resale"}


def twin_rows(drafts: Iterable[Draft]) -> list[TwinRow]:
    """Return the rows of several drafts as they are compared; the site is the list while no site is known."""
    return [
        TwinRow(
            twin_key(each, row),
            each.file,
            f"{each.file}!{row.sheet}",
            row.fields,
            row.row,
            " ".join(row.notes),
            row.flags,
        )
        for each in drafts
        for row in each.rows
        if row.verdict != LEFT_OUT
    ]


def twin_key(draft: Draft, row: RowDraft) -> str:
    """Return a row's name among the rows of several drafts."""
    return f"{draft.file}|{row.key}"


def as_score_json(drafts: Iterable[Draft], twins: Iterable[TwinSuggestion]) -> dict[str, Any]:
    """Return {'pieces': [...], 'questions': [{'file', 'code'}]}; a flag is a field or a code put to a person."""
    drafts = list(drafts)
    marks: dict[str, list[str]] = defaultdict(list)
    for twin in twins:
        code = "LOT_OVERLAP" if twin.verdict_hint == LOT_OVERLAPS else "TWIN"
        marks[twin.key_a].append(f"{code}@{twin.key_b}")
        marks[twin.key_b].append(f"{code}@{twin.key_a}")
    pieces = [
        _piece(each, row, marks[twin_key(each, row)]) for each in drafts for row in each.rows if row.verdict != LEFT_OUT
    ]
    asked = dict.fromkeys((each.file, _code(question.code)) for each in drafts for question in each.questions)
    return {"pieces": pieces, "questions": [{"file": file, "code": code} for file, code in asked]}


def _code(code: str) -> str:
    return "COLOUR" if code == "COLOR" else code


def _piece(draft: Draft, row: RowDraft, twins: list[str]) -> dict[str, Any]:
    fields = row.fields
    piece: dict[str, Any] = {"source_file": draft.file, "source_sheet": row.sheet, "source_row": row.row}
    piece |= {name: fields.get(name, "") for name in PLAIN}
    if fields.get("year_precision"):
        piece["year_precision"] = fields["year_precision"]
    if fields.get("year_precision") in ("day", "month"):
        piece["bought"] = fields.get("bought", "")
    for name in ("kg", "price_per"):
        if name in fields:
            piece[name] = fields[name]
    if "price_kind" in fields:
        piece["price_kind"] = KINDS.get(fields["price_kind"], fields["price_kind"])
    flags = [_code(code) for code in row.flags]
    flags += [FIELD_OF[code] for code in row.flags if code in FIELD_OF and FIELD_OF[code] != "price_minor"]
    flags += ["price" for code in row.flags if FIELD_OF.get(code) == "price_minor"]
    piece["flags"] = list(dict.fromkeys(flags + twins))
    return piece
