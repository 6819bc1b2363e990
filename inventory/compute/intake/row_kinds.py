"""What a row is: a thing, a remark, a sub-total, a heading of a section, or nothing."""

from __future__ import annotations

import re

from inventory.compute.gear_words import ROOM_WORDS, gear_words
from inventory.compute.intake.columns import Known, is_loose
from inventory.compute.intake.grid import Grid, as_text, is_number
from inventory.compute.intake.note_lines import head_of_line
from inventory.compute.intake.tables import cell, cell_text

THING, REMARK, SUBTOTAL, SECTION, IDLE = "thing", "remark", "subtotal", "section", "idle"

TOTAL = re.compile(r"(?:^|\b)(?:sub-?\s?total|grand total|totals?|sum|summe)\b", re.IGNORECASE)
MARKED = re.compile(
    r"^\s*(?:\^|↑|<-|←|->|→|\*{1,3}\s|nb\b|n\.b\.|note\b|notes:|ps\b|p\.s\.|see above|see below|\(see)", re.IGNORECASE
)
SENTENCE = re.compile(
    r"[?!]{1,}\s|[?!]$|\b(?:is|are|was|were|has|have|had|says?|said|ask(?:s|ed)?|do(?: not|n'?t)|please|needs?|"
    r"nothing|"
    r"should|would|could|can'?t|will|won'?t|printed|updated|typed|counted|"
    r"thanks?|thinks?|told|wants?|everything|nobody|somebody|these|those|this|above|below|we|he|she|they|i|my|me|"
    r"our|you|until|because|when|which|who|last updated)\b|^[A-Z][a-z]+: ",
    re.IGNORECASE,
)
RULE = re.compile(r"[-–—_=*~.\s]{2,}")  # a line drawn across the list
STRONG = {"maker", "model", "maker_model", "serial", "quantity", "condition", "bought", "kg", "band"}


def is_sentence(text: str) -> bool:
    """True when a text talks about things rather than naming one."""
    return len(text.split()) > 9 or bool(SENTENCE.search(text))


def kind_of(grid: Grid, row: int, columns: list[Known]) -> str:
    """Return what a row is."""
    present = [
        known for known in columns if cell(grid, row, known.index) is not None and cell_text(grid, row, known.index)
    ]
    counting = [known for known in present if known.counts and not known.dropped]
    if not counting or all(RULE.fullmatch(cell_text(grid, row, known.index)) for known in counting):
        return IDLE
    if _is_total(grid, row, present, counting):
        return SUBTOTAL
    lead = _lead(grid, row, counting)
    text = cell_text(grid, row, lead.index)
    strong = [known for known in counting if known.field in STRONG and known is not lead]
    if (
        TOTAL.search(text)
        and not [known for known in strong if known.field != "quantity"]
        and _only_numbers(grid, row, counting, lead)
    ):
        return SUBTOTAL
    if MARKED.match(text):
        return REMARK
    if all(is_number(cell(grid, row, known.index)) or grid.look(row, known.index).error for known in counting):
        return SUBTOTAL if all((known.field or "").startswith("price") for known in counting) else IDLE
    others = [known for known in counting if known is not lead and known.field != "place"]
    if not others:
        return _alone(grid, row, columns, counting, lead, text)
    if lead.field == "note" and not strong:
        return REMARK
    return THING


def _is_total(grid: Grid, row: int, present: list[Known], counting: list[Known]) -> bool:
    """True when a total stands in a column that names no things, or a bare amount stands alone."""
    aside = [known for known in present if known not in counting or known.field in ("place", "category", "tag")]
    named = any(TOTAL.match(cell_text(grid, row, known.index)) for known in aside)
    amounts = [known for known in counting if (known.field or "").startswith(("price", "quantity"))]
    rest = [known for known in counting if known not in amounts and known not in aside]
    return bool(amounts) and not rest and (named or all((known.field or "").startswith("price") for known in amounts))


def _lead(grid: Grid, row: int, counting: list[Known]) -> Known:
    """Return the column that names the thing, else the first text of the row."""
    for name in ("what", "maker_model", "model", "maker"):
        for known in counting:
            if known.field == name:
                return known
    return next((known for known in counting if not is_number(cell(grid, row, known.index))), counting[0])


def _only_numbers(grid: Grid, row: int, counting: list[Known], lead: Known) -> bool:
    return all(
        known is lead
        or is_number(cell(grid, row, known.index))
        or re.fullmatch(r"[\s£$€]*[\d.,]*[\s£$€]*|#\w+[!/?]?\w*", cell_text(grid, row, known.index))
        or known.field in ("place", "note")
        for known in counting
    )


def _alone(grid: Grid, row: int, columns: list[Known], counting: list[Known], lead: Known, text: str) -> str:
    """A row with one telling cell."""
    place = [known for known in counting if known.field == "place" and known is not lead]
    named = lead.field in ("what", "maker_model", "model")
    wide = any(top <= row <= bottom and right > left for top, left, bottom, right in grid.merges)
    outside = re.sub(r"\([^)]*\)", "", text).strip()
    capitals = (
        outside.upper() == outside
        and re.search(r"[A-Z]{3}", outside)
        and len(text.split()) <= 7
        and not re.search(r"\d", text)
    )
    if is_loose(columns):
        return _note_line(row, text)
    if is_sentence(text) and not (named and place):
        return REMARK
    if text.endswith(":") or wide or (not place and (capitals or re.fullmatch(r"[-–—=*~ ]+.*[-–—=*~ ]+", text))):
        return SECTION
    if place and named:
        return THING
    if named and len(columns) == 1:
        return THING if gear_words(text) or row > 0 else SECTION
    if named and gear_words(text):
        return THING
    first = min(known.index for known in columns)
    if lead.index == first or lead.field in ("place", "category", "tag") or ROOM_WORDS.search(text):
        return SECTION
    return REMARK


def _note_line(row: int, text: str) -> str:
    """A line of a note is judged by what it begins with: what it says behind that is about the thing."""
    head = head_of_line(text)
    if re.search(r":$|[-–—=*~]{2,}$", text):
        return SECTION
    if is_sentence(head) and not (gear_words(head) and re.match(r"^[^\w]*\d+\s?[x×]?\s", head)):
        return REMARK
    capitals = head.upper() == head and len(text.split()) <= 4 and not re.search(r"\d", text)
    if capitals and re.search(r"[A-Z]{3}", head) and head == text:
        return SECTION
    return THING if gear_words(text) or row > 0 else SECTION


def jotted_things(grid: Grid, row: int, columns: list[Known]) -> str:
    """Return the name of a thing jotted above the headings, '' when the row is a title or a remark."""
    texts = [(column, as_text(value)) for column, value in enumerate(grid.rows[row]) if value is not None]
    lead = next((known for known in columns if known.field in ("what", "maker_model")), None)
    if (
        len(texts) != 1
        or lead is None
        or texts[0][0] != lead.index
        or lead.index == min(known.index for known in columns)
    ):
        return ""
    text = texts[0][1]
    titled = re.search(
        r"\b(?:list|inventory|church|chapel|kit list|all the|equipment|gear|updated|count|page|by)\b",
        text,
        re.IGNORECASE,
    )
    without = re.sub(r"\([^)]*\)", "", text)
    return text if _names_gear(without) and not titled and len(without.split()) < 7 and not is_sentence(without) else ""


def _names_gear(text: str) -> bool:
    return bool(gear_words(text))
