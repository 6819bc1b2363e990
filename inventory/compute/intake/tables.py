"""Where the lists stand on a sheet: headings found by what they say, repeated headings, tables at the side."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from inventory.compute.intake.grid import Grid, Value, as_text, is_number
from inventory.compute.intake.headings import bare, meaning

SEARCH_ROWS = 60
FIGURES = re.compile(r"\d{3}|\d[-/.]\d")


@dataclass
class Table:
    """One list: its heading row (-1 when it has none), its columns and the rows below."""

    header: int
    columns: list[int]
    rows: list[int] = field(default_factory=list)
    before: list[int] = field(default_factory=list)  # filled rows above the headings
    side: bool = False  # stands beside another one and is another kind of list
    repeats: list[int] = field(default_factory=list)  # rows that only repeat the headings

    def heading(self, grid: Grid, column: int) -> str:
        """The text above a column, '' for none."""
        return cell_text(grid, self.header, column) if self.header >= 0 else ""


def cell(grid: Grid, row: int, column: int) -> Value:
    """Return a value, None outside the sheet."""
    line = grid.rows[row] if 0 <= row < len(grid.rows) else []
    return line[column] if 0 <= column < len(line) else None


def cell_text(grid: Grid, row: int, column: int) -> str:
    """Return a value as text."""
    return as_text(cell(grid, row, column)).strip()


def filled(grid: Grid, row: int) -> list[int]:
    """Return the columns of a row that hold something."""
    return [column for column, value in enumerate(grid.rows[row]) if value is not None and value != ""]


def heading_hits(grid: Grid, row: int) -> int:
    """Return how many cells of a row read as headings; 0 when the row cannot be a heading row."""
    columns = filled(grid, row)
    if len(columns) < 2 or any(is_number(grid.rows[row][column]) for column in columns):
        return 0
    if row >= SEARCH_ROWS and has_figures(grid, row, columns):
        return 0
    found = [meaning(as_text(grid.rows[row][column])) for column in columns]
    names = {name for name, sure in found if name and sure >= 0.5}
    hits = sum(1 for name, _ in found if name)
    return hits if len(names) >= 2 and hits * 2 >= len(columns) else 0


def has_figures(grid: Grid, row: int, columns: list[int]) -> bool:
    """True when a cell holds three figures in a row or a date: no later heading row does; spares the longer look."""
    return any(
        not isinstance(grid.rows[row][column], str) or FIGURES.search(grid.rows[row][column]) for column in columns
    )


def tables_of(grid: Grid) -> list[Table]:
    """Return the lists of a sheet in order. A sheet without headings gives one table with header -1."""
    header = _first_header(grid)
    width = range(grid.width)
    if header < 0:
        table = Table(
            -1,
            [column for column in width if any(cell(grid, row, column) is not None for row in range(len(grid.rows)))],
        )
        table.rows = [row for row in range(len(grid.rows)) if filled(grid, row)]
        return [table]
    groups = _groups(grid, header)
    main = max(groups, key=lambda group: (_gear_score(grid, header, group), -group[0]))
    result = []
    for group in groups:
        table = Table(header, group, side=group is not main and not _same_headings(grid, header, group, main))
        result.append(table)
    _share_rows(grid, header, result, result[groups.index(main)])
    return result


def _first_header(grid: Grid) -> int:
    best, found = 0, -1
    for row in range(min(SEARCH_ROWS, len(grid.rows))):
        hits = heading_hits(grid, row)
        if hits > best:
            best, found = hits, row
    return found if found >= 0 else _plain_heading(grid)


def _plain_heading(grid: Grid) -> int:
    """Return the first row of several short words when one of them is a heading beyond doubt, -1 for none."""
    for row in range(min(5, len(grid.rows))):
        columns = filled(grid, row)
        if len(columns) < 2 or has_figures(grid, row, columns):
            continue
        sure = max(meaning(as_text(grid.rows[row][column]))[1] for column in columns)
        return row if sure >= 0.85 and row + 1 < len(grid.rows) else -1
    return -1


def _groups(grid: Grid, header: int) -> list[list[int]]:
    """Cut the columns where a column is empty from the headings down and headings follow behind it."""
    used = set()
    for row in range(header, len(grid.rows)):
        used.update(filled(grid, row))
    groups: list[list[int]] = [[]]
    for column in range(grid.width):
        if column in used:
            groups[-1].append(column)
        elif groups[-1]:
            groups.append([])
    groups = [group for group in groups if group]
    joined = [groups[0]]
    for group in groups[1:]:
        headed = sum(bool(cell_text(grid, header, column)) for column in group)
        if headed >= 2:
            joined.append(group)
        else:
            joined[-1].extend(group)
    return joined


def _gear_score(grid: Grid, header: int, group: list[int]) -> float:
    return sum(meaning(cell_text(grid, header, column))[1] for column in group)


def _same_headings(grid: Grid, header: int, group: list[int], main: list[int]) -> bool:
    """True when the table at the side is the same kind of list: it names things and two facts about them."""
    names = {meaning(cell_text(grid, header, column))[0] for column in group}
    there = {meaning(cell_text(grid, header, column))[0] for column in main}
    return bool(names & {"what", "maker_model", "model"}) and len((names & there) - {None, "category"}) >= 3


def _share_rows(grid: Grid, header: int, tables: list[Table], main: Table) -> None:
    main.before = [row for row in range(header) if filled(grid, row)]
    for table in tables:
        inside = set(table.columns)
        for row in range(header + 1, len(grid.rows)):
            columns = [column for column in filled(grid, row) if column in inside]
            if not columns:
                continue
            if _repeats(grid, row, header, columns):
                table.repeats.append(row)
            else:
                table.rows.append(row)


def _repeats(grid: Grid, row: int, header: int, columns: list[int]) -> bool:
    if len(columns) < 2 or has_figures(grid, row, columns):
        return False
    same = sum(bare(cell_text(grid, row, column)) == bare(cell_text(grid, header, column)) != "" for column in columns)
    near = sum(
        meaning(cell_text(grid, row, column))[0] == meaning(cell_text(grid, header, column))[0] is not None
        for column in columns
    )
    return (same >= 2 and same * 2 > len(columns)) or (near * 3 > len(columns) * 2 and near >= 3)


def new_headings(grid: Grid, table: Table) -> list[Table]:
    """Cut a table where other headings begin further down; each part has its own columns' meaning."""
    parts = [Table(table.header, table.columns, [], table.before, table.side, table.repeats)]
    for row in table.rows:
        if _other_headings(grid, row):
            parts.append(Table(row, table.columns, [], [], table.side))
        else:
            parts[-1].rows.append(row)
    return parts


def _other_headings(grid: Grid, row: int) -> bool:
    columns = filled(grid, row)
    if len(columns) < 3 or has_figures(grid, row, columns):
        return False
    sure = [meaning(cell_text(grid, row, column)) for column in columns]
    return heading_hits(grid, row) >= 3 and sum(certainty >= 0.85 for _, certainty in sure) * 3 >= len(columns) * 2
