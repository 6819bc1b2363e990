"""Lists as sheets: CSV line by line and XLSX row by row, neither held in memory; formulas neutralized."""

import csv
from collections.abc import Iterable, Iterator, Sequence
from typing import IO, Any

from people.compute.sheet_safety import is_risky, neutral

BYTE_ORDER_MARK = "\ufeff"  # without it the common spreadsheets read UTF-8 as their own old code page
LINES_AT_ONCE = 500
WIDEST = 60  # characters


class _Echo:
    """A file that hands back what is written."""

    def write(self, text: str) -> str:
        return text


def csv_lines(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[str]:
    """Yield the sheet as CSV text in pieces of many lines, beginning with the byte order mark."""
    writer = csv.writer(_Echo())
    lines = [BYTE_ORDER_MARK, writer.writerow([neutral(word) for word in head])]
    for row in rows:
        lines.append(writer.writerow([neutral(cell) for cell in row]))
        if len(lines) >= LINES_AT_ONCE:
            yield "".join(lines)
            lines = []
    yield "".join(lines)


def write_xlsx(
    file: IO[bytes], title: str, head: Sequence[str], rows: Iterable[Sequence[Any]], widths: Sequence[int] = ()
) -> None:
    """Write one sheet with a bold, frozen first row and a filter. widths: of the columns, in characters.

    Text is always written as text, never as formula, address or number; text that another program could still take for
    a formula also carries the format's own mark for "as typed".
    """
    from xlsxwriter import Workbook

    options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with Workbook(file, options) as book:
        sheet = book.add_worksheet(_sheet_name(title))
        bold = book.add_format({"bold": True})
        as_typed = book.add_format({"quote_prefix": True})
        a_day = book.add_format({"num_format": "yyyy-mm-dd"})
        for column, width in enumerate(widths):
            sheet.set_column(column, column, min(width, WIDEST))
        sheet.freeze_panes(1, 0)
        for column, word in enumerate(head):
            sheet.write_string(0, column, word, bold)
        last = 0
        for last, row in enumerate(rows, 1):
            _write_row(sheet, last, row, as_typed, a_day)
        sheet.autofilter(0, 0, last, max(len(head) - 1, 0))


def _write_row(sheet: Any, at: int, row: Sequence[Any], as_typed: Any, a_day: Any) -> None:
    for column, cell in enumerate(row):
        if cell is None or cell == "":
            continue
        if isinstance(cell, str):
            sheet.write_string(at, column, cell, as_typed if is_risky(cell) else None)
        elif hasattr(cell, "isoformat"):
            sheet.write_datetime(at, column, cell, a_day)
        elif isinstance(cell, bool):
            sheet.write_boolean(at, column, cell)
        else:
            sheet.write_number(at, column, cell)


def _sheet_name(title: str) -> str:
    """Return the title as the format allows it: at most 31 characters, none of []:*?/\\ and no apostrophe at an end."""
    return "".join(" " if mark in "[]:*?/\\" else mark for mark in title)[:31].strip("' ") or "1"
