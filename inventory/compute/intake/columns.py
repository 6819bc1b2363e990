"""What each column holds: its heading checked against its cells."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median

from inventory.compute.gear_words import ROOM_WORDS, gear_words, looks_like_model
from inventory.compute.intake.conditions import read_condition
from inventory.compute.intake.draft import Column
from inventory.compute.intake.grid import Grid, Value, as_text, is_number, letter
from inventory.compute.intake.headings import meaning, unit_of
from inventory.compute.intake.tables import Table, cell, cell_text

ONCE = {
    "what",
    "maker",
    "model",
    "maker_model",
    "serial",
    "quantity",
    "condition",
    "bought",
    "price_each",
    "price_total",
    "price",
    "price_paid",
    "price_new",
    "price_insured",
    "place",
    "kg",
    "length_mm",
    "watts",
    "rack_units",
    "band",
    "owner",
    "tag",
    "size",
    "barcode",
}
PERSONAL = ("personal", "person")
SAMPLE = 300


@dataclass
class Known:
    """A column as the rows are read: its index and its meaning."""

    index: int
    heading: str
    field: str | None
    sure: float
    unit: str = ""
    dropped: bool = False  # hidden or personal and not asked for
    counts: bool = True  # False: formulas and running numbers that do not make a row a thing


@dataclass
class Profile:
    """What a sample of a column's cells looks like, as shares of the filled ones."""

    filled: int
    numbers: float
    running: float
    models: float
    gear: float
    conditions: float
    long_codes: float
    two_words: float
    length: float
    rooms: float
    serials: float
    small: float
    money: float


def profile(values: list[Value]) -> Profile:
    """Return the shares over the filled cells."""
    texts = [as_text(value).strip() for value in values]
    texts = [text for text in texts if text][:SAMPLE]
    count = max(1, len(texts))
    whole = [int(text) for text in texts if re.fullmatch(r"\d{1,6}", text)]
    steps = sum(b == a + 1 for a, b in itertools.pairwise(whole))
    return Profile(
        filled=len(texts),
        numbers=sum(bool(re.fullmatch(r"[\d.,]+", text)) for text in texts) / count,
        running=steps / max(1, len(whole) - 1) if len(whole) > 3 else 0.0,
        models=sum(any(looks_like_model(word) for word in text.split()) for text in texts) / count,
        gear=sum(bool(gear_words(text)) for text in texts) / count,
        conditions=sum(bool(read_condition(text).word) and not text.isdigit() for text in texts) / count,
        long_codes=sum(bool(re.fullmatch(r"\d{8}|\d{11,14}", text)) for text in texts) / count,
        two_words=sum(len(text.split()) >= 2 and looks_like_model(text.split()[-1].strip("?")) for text in texts)
        / count,
        rooms=sum(bool(ROOM_WORDS.search(text)) for text in texts) / count,
        serials=sum(
            bool(re.fullmatch(r"[A-Z]{1,4}\d*[A-Z]?[- ]?\d{3,}|[A-Z0-9]+-\d+(?:-\d+)*", text)) for text in texts
        )
        / count,
        small=sum(bool(re.fullmatch(r"x?\d{1,2}x?", text)) for text in texts) / count,
        money=sum(bool(re.match(r"[£$€]\s?\d", text)) for text in texts) / count,
        length=median([len(text) for text in texts]) if texts else 0.0,
    )


def known_columns(grid: Grid, table: Table, mapping: Mapping[tuple[str, str], str | None] | None = None) -> list[Known]:
    """Return the columns with their meanings; a remembered mapping stands above every guess."""
    found = []
    for index in table.columns:
        heading = table.heading(grid, index)
        values = [cell(grid, row, index) for row in table.rows]
        name, sure = meaning(heading)
        name, sure = _checked(name, sure, profile(values), bool(heading))
        found.append(Known(index, heading, name, sure, unit_of(heading)))
    _settle_doubles(found)
    if table.header < 0:
        _codes_without_headings(grid, table, found)
    _type_is_model(grid, table, found)
    _by_cells_where_unknown(grid, table, found)
    _name_the_things(grid, table, found)
    for known in found:
        if mapping and (grid.name, letter(known.index)) in mapping:
            known.field, known.sure = mapping[grid.name, letter(known.index)], 1.0
    _mark_idle(grid, table, found)
    return found


def is_loose(columns: list[Known]) -> bool:
    """True for the lines of a note: one column without a heading that names things."""
    return len(columns) == 1 and not columns[0].heading and columns[0].field == "what"


def _checked(name: str | None, sure: float, seen: Profile, headed: bool) -> tuple[str | None, float]:
    """Let the cells overrule a heading that misleads."""
    if name == "number":
        return ("tag", 0.7) if seen.running > 0.6 else ("quantity", 0.6)
    if name == "barcode":
        return ("barcode", 0.9) if seen.long_codes > 0.5 else ("tag", 0.5)
    if name == "what" and seen.filled > 3 and seen.running > 0.6 and seen.numbers > 0.8:
        return "tag", 0.8
    if name == "maker" and seen.filled and seen.two_words > 0.4:
        return "maker_model", 0.8
    if name == "category" and seen.gear > 0.6 and seen.length > 8:
        return "what", 0.5
    if name == "quantity" and seen.running > 0.8 and seen.filled > 5:
        return "tag", 0.6
    if name is None and not headed and seen.filled:
        return _by_cells(seen)
    return name, sure


def _by_cells(seen: Profile) -> tuple[str | None, float]:
    """A column without a heading, by its cells alone."""
    if seen.gear > 0.5 and seen.numbers < 0.2:
        return "what", 0.4
    if seen.rooms > 0.5:
        return "place", 0.4
    if seen.serials > 0.6 and seen.filled > 1:
        return "serial", 0.4
    if seen.models > 0.6 and seen.length < 12 and seen.filled > 1:
        return "model", 0.4
    if seen.small > 0.8 and seen.running < 0.6 and seen.filled > 1:
        return "quantity", 0.4
    if seen.money > 0.6:
        return "price", 0.4
    if seen.conditions > 0.6 and seen.filled > 2:
        return "condition", 0.4
    return "note", 0.2


def _settle_doubles(found: list[Known]) -> None:
    """Let one column a field stand; the weaker one goes to the note, a second description stays one."""
    for name in ONCE:
        same = sorted((known for known in found if known.field == name), key=lambda known: (-known.sure, known.index))
        for known in same[1:]:
            known.field, known.sure = ("price_total" if name == "price_each" else "note"), 0.3
    fields = {known.field for known in found}
    if "maker_model" in fields and "model" not in fields and "maker" in fields:
        next(known for known in found if known.field == "maker_model").field = "model"


def _type_is_model(grid: Grid, table: Table, found: list[Known]) -> None:
    """Beside a maker and without a model, a column of short names with figures headed 'Type' holds the models."""
    fields = {known.field for known in found}
    if "maker" not in fields or fields & {"model", "maker_model"}:
        return
    for known in found:
        if known.field in ("category", "tag") and re.search(
            r"\b(?:type|ref|art|article|code)\b", known.heading.lower()
        ):
            texts = [cell_text(grid, row, known.index) for row in table.rows]
            texts = [text for text in texts if text and any(sign.isalnum() for sign in text)][:SAMPLE]
            named = sum(len(text) <= 20 and bool(re.search(r"[A-Za-z].*\d|\d.*[A-Za-z]", text)) for text in texts)
            if named * 2 > len(texts):
                known.field, known.sure = "model", 0.6
                return


def _codes_without_headings(grid: Grid, table: Table, found: list[Known]) -> None:
    """Without headings: the longer of two kinds of codes are serials, names beside them makers, rooms places."""
    texts = {each.index: [text for row in table.rows if (text := cell_text(grid, row, each.index))] for each in found}
    codes = [
        each
        for each in found
        if each.field in ("serial", "model", "note")
        and len(texts[each.index]) > 1
        and sum(bool(CODE.fullmatch(text)) for text in texts[each.index]) * 5 > len(texts[each.index]) * 3
    ]
    codes.sort(key=lambda each: median(map(len, texts[each.index])))
    if len(codes) == 1:
        known = codes[0]
        same = len(set(texts[known.index])) < len(texts[known.index])
        short = median(map(len, texts[known.index])) < 7
        known.field = "model" if same or short else "serial"
    elif len(codes) > 1:
        codes[0].field, codes[-1].field = "model", "serial"
    _rooms_without_headings(found, texts)
    if any(each.field in ("maker", "maker_model") for each in found) or not any(
        each.field in ("model", "serial") for each in found
    ):
        return
    for known in found:
        words = texts[known.index]
        names = sum(bool(re.fullmatch(r"[A-Z][a-z]{2,}[a-z-]*", text)) and not gear_words(text) for text in words)
        rooms = sum(bool(ROOM_WORDS.search(text)) for text in words)
        if known.field == "note" and len(words) > 1 and names * 5 > len(words) * 4 and not rooms:
            known.field, known.sure = "maker", 0.4
            return


def _rooms_without_headings(found: list[Known], texts: dict[int, list[str]]) -> None:
    """A second column that names rooms, bins or shelves says where things are."""
    if any(each.field == "place" for each in found):
        return
    for known in found:
        words = texts[known.index]
        rooms = sum(bool(ROOM_WORDS.search(text)) and len(text.split()) < 4 for text in words)
        if known.field == "note" and len(words) > 1 and rooms * 2 > len(words):
            known.field, known.sure = "place", 0.4
            return


CODE = re.compile(r"(?=\S*\d)(?=\S*[A-Z])[A-Z0-9][A-Z0-9/-]{2,}")
AHEAD = re.compile(
    r"\b(?:new|next|future|goes|going|move|moving|to|after|wanted|plan|was|old|"
    r"former)\b",
    re.IGNORECASE,
)


def _by_cells_where_unknown(grid: Grid, table: Table, found: list[Known]) -> None:
    """A heading nobody knows leaves it to the cells, for fields no other column holds."""
    for known in found:
        if known.field is not None or not known.heading:
            continue
        texts = [text for text in (cell_text(grid, row, known.index) for row in table.rows) if text]
        if len(texts) < 3:
            continue
        name = "condition" if _lists_its_values(known.heading, texts) else ""
        if not name and not AHEAD.search(known.heading):
            name = _by_cells(profile(list(texts)))[0] or ""
        if name == "serial" and any(each.field == "serial" for each in found):
            name = "model"
        if name in ("condition", "place", "serial", "model") and not any(each.field == name for each in found):
            known.field, known.sure = name, 0.4


def _lists_its_values(heading: str, texts: list[str]) -> bool:
    """True for a heading such as 'W / DW / ?' above cells that hold just these marks."""
    marks = {mark.strip().lower() for mark in re.split(r"[/,|]| or ", heading)}
    held = sum(text.lower() in marks for text in texts)
    return len(marks) > 1 and held * 2 > len(texts)


def _mistaken_for_codes(grid: Grid, table: Table, found: list[Known]) -> None:
    """A column headed as a tag or a model that holds words of the trade names the things."""
    for known in found:
        values = [cell(grid, row, known.index) for row in table.rows]
        seen, texts = profile(values), [as_text(value) for value in values]
        wordy = sum(bool(text) and not re.search(r"\d", text) for text in texts) * 5 > len(texts) * 3
        tag = known.field == "tag" or meaning(known.heading)[0] == "tag"
        if (tag and wordy and seen.gear > 0.3) or (known.field == "model" and seen.gear > 0.5 and seen.length > 8):
            known.field, known.sure = "what", 0.5
            return


def _name_the_things(grid: Grid, table: Table, found: list[Known]) -> None:
    """Make sure that one column says what the things are."""
    if not any(known.field == "what" for known in found):
        _mistaken_for_codes(grid, table, found)
    if any(known.field in ("what", "maker_model", "model") for known in found) or not found:
        return
    free = [known for known in found if known.field in (None, "note", "category")]
    free = free or [known for known in found if known.sure < 0.5]
    if free:
        best = max(free, key=lambda known: profile([cell(grid, row, known.index) for row in table.rows]).gear)
        best.field, best.sure = "what", 0.4


def _mark_idle(grid: Grid, table: Table, found: list[Known]) -> None:
    """Columns filled by formulas or running numbers do not make a row a thing."""
    for known in found:
        formulas = sum(grid.look(row, known.index).formula for row in table.rows)
        known.counts = not (
            known.field in ("tag", "price_total") and (formulas * 2 > len(table.rows) or known.field == "tag")
        )


def shown(grid: Grid, table: Table, known: Known) -> Column:
    """Return the column as the mapping page shows it, five cells as written."""
    samples = []
    for row in table.rows:
        text = cell_text(grid, row, known.index)
        if text and text not in samples:
            samples.append(text)
        if len(samples) == 5:
            break
    personal = known.field in PERSONAL
    return Column(
        sheet=grid.name,
        index=known.index,
        letter=letter(known.index),
        heading=known.heading,
        field=known.field,
        confidence=known.sure,
        samples=() if known.field == "personal" else tuple(samples),
        personal=personal,
        hidden=known.index in grid.hidden_columns,
    )


def is_money_like(value: Value) -> bool:
    """True for a number or a text that begins with a money mark."""
    return is_number(value) or bool(re.match(r"^\s*[£$€]", as_text(value)))
