"""The way in: bytes of a list to a draft."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from inventory.compute.gear_words import gear_words
from inventory.compute.intake.columns import PERSONAL, Known, known_columns, shown
from inventory.compute.intake.csv_file import grid_from_csv
from inventory.compute.intake.draft import LEFT_OUT, Column, Draft, RowDraft, Sheet, Unreadable
from inventory.compute.intake.grid import Grid, letter
from inventory.compute.intake.questions import questions_of
from inventory.compute.intake.rows import TableRows
from inventory.compute.intake.settings import Setting
from inventory.compute.intake.tables import Table, cell_text, new_headings, tables_of
from inventory.compute.intake.xlsx_file import grids_from_xlsx, looks_like_workbook, refuse_other_kinds

OLD = re.compile(
    r"\b(?:old|do not use|don'?t use|archive[d]?|obsolete|superseded|backup|copy of|previous|deprecated|before "
    r"20\d\d|unused|do not read)\b",
    re.IGNORECASE,
)


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
    if not data.strip(b"\x00\r\n\t ;,"):
        raise Unreadable(f"{name} is empty. Save the list again and bring the new file.", "empty")
    setting = Setting(name, today, day_first, currency, exponent, dict(answers or {}))
    grids, notes = _grids(data, name, setting)
    return _Reading(setting, grids, notes, dict(mapping or {})).draft(hashlib.sha256(data).hexdigest())


def _grids(data: bytes, name: str, setting: Setting) -> tuple[list[Grid], list[str]]:
    refuse_other_kinds(data, name)
    if looks_like_workbook(data):
        grids = grids_from_xlsx(data, name)
        notes = (
            [] if name.lower().endswith((".xlsx", ".xlsm")) else [f"{name} is a workbook in truth and was read as one."]
        )
        return grids, notes
    grid, encoding = grid_from_csv(data, name)
    if encoding not in ("utf-8", "utf-16"):
        example = next((cell for row in grid.rows for cell in row if isinstance(cell, str) and not cell.isascii()), "")
        if example:
            setting.ask("ENCODING", "", guess="yes", example=example[:60])
    return [grid], grid.remarks


class _Reading:
    """One file being read: sheets in order, then one draft of all."""

    def __init__(
        self, setting: Setting, grids: list[Grid], notes: list[str], mapping: dict[tuple[str, str], str | None]
    ):
        self.setting, self.grids, self.notes, self.mapping = setting, grids, list(notes), mapping
        self.columns: list[Column] = []
        self.rows: list[RowDraft] = []
        self.sheets: list[Sheet] = []

    def draft(self, digest: str) -> Draft:
        """Return the draft of the whole file."""
        parts = [(grid, self._parts(grid)) for grid in self.grids if self._is_read(grid)]
        self._learn(parts)
        for grid, tables in parts:
            self._sheet(grid, tables)
        self._whole_file(parts)
        if self._nothing_found(parts) and not self.setting.answers:
            raise Unreadable(
                f"{self.setting.file} holds no list that could be read. Bring the sheet with the gear on it.", "no list"
            )
        return Draft(
            file=self.setting.file,
            sha256=digest,
            sheets=tuple(self.sheets),
            columns=tuple(self.columns),
            rows=tuple(self.rows),
            questions=questions_of(self.setting),
            notes=tuple(dict.fromkeys(self.notes)),
            totals=_totals(self.rows),
        )

    def _nothing_found(self, parts: list[tuple[Grid, list[tuple[Table, list[Known]]]]]) -> bool:
        """True when no row is a thing; without headings one of them must name some gear."""
        things = [row for row in self.rows if row.verdict != LEFT_OUT]
        headed = any(table.header >= 0 for _, tables in parts for table, _ in tables)
        return not things or not (headed or any(gear_words(str(row.fields.get("what", ""))) for row in things))

    def _is_read(self, grid: Grid) -> bool:
        if not grid.rows:
            return False
        code = "HIDDEN_SHEET" if grid.hidden else "OLD_SHEET" if OLD.search(grid.name) and len(self.grids) > 1 else ""
        wanted = not code or self.setting.ask(code, grid.name, guess="leave") == "read"
        if not wanted:
            filled = sum(any(cell is not None for cell in row) for row in grid.rows)
            self.sheets.append(Sheet(grid.name, filled, 0, grid.hidden, read=False))
        return wanted

    def _parts(self, grid: Grid) -> list[tuple[Table, list[Known]]]:
        found = []
        for table in tables_of(grid):
            if table.side:
                heading = table.heading(grid, table.columns[0])
                answer = self.setting.ask("SIDE_TABLE", grid.name, heading, guess="leave")
                if answer != "read":
                    self.notes.append(f"Set aside from the side of the list: {_side_text(grid, table)}")
                    continue
            for part in new_headings(grid, table):
                columns = known_columns(grid, part, self.mapping)
                self._choose(grid, columns)
                found.append((part, columns))
        return found

    def _choose(self, grid: Grid, columns: list[Known]) -> None:
        """Settle which columns are read: hidden and personal ones only when asked for."""
        for known in columns:
            if (grid.name, letter(known.index)) in self.mapping:
                known.dropped = known.field is None
                continue
            if known.index in grid.hidden_columns or known.field == "personal":
                known.dropped = self.setting.ask("HIDDEN_COL", grid.name, known.heading, guess="drop") != "read"
            elif known.field in PERSONAL:
                known.dropped = self.setting.ask("PERSON_COL", grid.name, known.heading, guess="drop") != "read"
            elif known.field in ("quantity", "tag") and _numbered(known.heading):
                answer = self.setting.ask("QTY_HEADER", grid.name, known.heading, guess=known.field)
                known.field = answer or known.field

    def _learn(self, parts: list[tuple[Grid, list[tuple[Table, list[Known]]]]]) -> None:
        """Learn makers, models and heads of serials from the columns that hold nothing else."""
        lexicon = self.setting.lexicon
        learn = {"maker": lexicon.learn_maker, "model": lexicon.learn_model, "serial": lexicon.learn_serial}
        descriptions: list[str] = []
        commas = points = 0
        for grid, tables in parts:
            for table, columns in tables:
                for known in columns:
                    texts = [cell_text(grid, row, known.index) for row in table.rows]
                    if known.field in learn:
                        for text in set(texts):
                            learn[known.field](text)
                    elif known.field == "maker_model":
                        for text in set(texts):
                            head, _, rest = text.partition(" ")
                            lexicon.learn_maker(head)
                            lexicon.learn_model(rest.split(" ")[0])
                    elif known.field == "what":
                        descriptions += list(set(texts))
                    if known.field == "kg" or (known.field or "").startswith("price"):
                        commas += sum(bool(re.search(r"\d,\d{1,2}(?!\d)", text)) for text in texts)
                        points += sum(bool(re.search(r"\d\.\d{1,2}(?!\d)", text)) for text in texts if grid.name == "")
        lexicon.learn_descriptions(descriptions)
        self.setting.decimal_comma = commas > 0
        if commas and points:
            self.setting.decimal_comma = self.setting.ask("DECIMAL", parts[0][0].name, guess="comma") != "point"

    def _sheet(self, grid: Grid, tables: list[tuple[Table, list[Known]]]) -> None:
        title, header, seen = "", 0, set()
        for table, columns in tables:
            drafts, notes = TableRows(grid, table, columns, self.setting).read()
            self.rows += drafts
            self.notes += notes
            title = title or (notes[0] if table.before and notes else "")
            header = header or table.header + 1
            for known in columns:
                if known.index not in seen:
                    seen.add(known.index)
                    self.columns.append(shown(grid, table, known))
        if len(tables) > 1:
            self.rows = _numbered_parts(self.rows)
        filled = sum(any(cell is not None for cell in row) for row in grid.rows)
        self.sheets.append(Sheet(grid.name, filled, header, grid.hidden, True, title))

    def _whole_file(self, parts: list[tuple[Grid, list[tuple[Table, list[Known]]]]]) -> None:
        headings = {tuple(known.field for known in columns) for _, tables in parts for _, columns in tables}
        if len(parts) > 1 and len(headings) > 1:
            self.setting.ask("SHEETS", "", str(len(parts)), guess="yes")


def _numbered_parts(rows: list[RowDraft]) -> list[RowDraft]:
    """Give rows of two lists side by side parts of their own, so that each row keeps one name."""
    seen: Counter[tuple[str, int]] = Counter()
    result = []
    for row in rows:
        seen[row.sheet, row.row] += 1
        result.append(replace(row, part=seen[row.sheet, row.row]))
    return result


def _numbered(heading: str) -> bool:
    return bool(re.fullmatch(r"\s*(?:no|nr|#|num|number|nos)\.?\s*", heading, re.IGNORECASE))


def _side_text(grid: Grid, table: Table) -> str:
    rows = [table.header, *table.rows[:20]]
    return "; ".join(
        ", ".join(filter(None, (cell_text(grid, row, column) for column in table.columns))) for row in rows
    )


def _totals(rows: list[RowDraft]) -> dict[str, int]:
    totals = Counter(row.verdict for row in rows)
    pieces = sum(int(row.fields.get("quantity", 1)) for row in rows if row.verdict != LEFT_OUT)
    return {**totals, "rows": len(rows), "pieces": pieces}
