"""A ruled table as one flowable: fixed widths, wrapped text, the head again on each page.

A paragraph object in each cell costs five times as much; here a row is measured by `simpleSplit` and painted directly.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from roadmap.services.packets.fonts import BOLD, TEXT

INK, INK_2, RULE = HexColor("#14201d"), HexColor("#495852"), HexColor("#cdd5cd")
PAD, LEADING, SIZE = 3.2, 11.2, 8.8


@dataclass(frozen=True)
class Column:
    """A column: its head, its share of the width (any scale), figures at the right, the face."""

    head: str
    share: float
    right: bool = False
    font: str = TEXT


class Rows(Flowable):
    """`Rows(columns, rows)`: rows are sequences of strings, as many as columns; `strong` rows are bold (totals)."""

    def __init__(
        self, columns: Sequence[Column], rows: Sequence[Sequence[str]], strong: frozenset[int] = frozenset()
    ) -> None:
        super().__init__()
        self.columns, self.rows, self.strong = list(columns), list(rows), strong
        self.spaceAfter = 6
        self._width = 0.0
        self._laid: list[tuple[list[list[str]], float, bool]] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size at this width; lays every row out once a width."""
        if width != self._width:
            self._width = width
            total = sum(column.share for column in self.columns)
            self.widths = [width * column.share / total for column in self.columns]
            self._laid = [self._lay(row, index in self.strong) for index, row in enumerate(self.rows)]
            self._head = self._lay([column.head for column in self.columns], True)
        self.width, self.height = width, self._head[1] + sum(row[1] for row in self._laid)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Any]:
        """Return two tables where not all rows fit, none where not even one does."""
        self.wrap(width, height)
        used, fit = self._head[1], 0
        for _cells, tall, _strong in self._laid:
            if used + tall > height:
                break
            used += tall
            fit += 1
        if fit == 0:
            return []
        if fit >= len(self.rows):
            return [self]
        return [self._part(0, fit), self._part(fit, len(self.rows))]

    def _part(self, first: int, last: int) -> "Rows":
        strong = frozenset(index - first for index in self.strong if first <= index < last)
        part = Rows(self.columns, self.rows[first:last], strong)
        part._width, part.widths, part._head = self._width, self.widths, self._head
        part._laid = self._laid[first:last]
        return part

    def _lay(self, row: Sequence[str], strong: bool) -> tuple[list[list[str]], float, bool]:
        cells = [
            _wrapped(text, BOLD if strong else column.font, width - 2 * PAD)
            for text, column, width in zip(row, self.columns, self.widths, strict=True)
        ]
        return cells, max(len(cell) for cell in cells) * LEADING + 2 * PAD, strong

    def draw(self) -> None:
        y = self.height
        y = self._paint(self._head, y, 1.1, INK)
        for row in self._laid:
            y = self._paint(row, y, 0.4, RULE)

    def _paint(self, row: tuple[list[list[str]], float, bool], top: float, weight: float, line: Any) -> float:
        cells, tall, strong = row
        canvas, x = self.canv, 0.0
        canvas.setFillColor(INK)
        for cell, column, width in zip(cells, self.columns, self.widths, strict=True):
            if cell == [""]:
                x += width
                continue
            canvas.setFont(BOLD if strong else column.font, SIZE)
            y = top - PAD - SIZE
            for text in cell:
                if column.right:
                    canvas.drawRightString(x + width - PAD, y, text)
                else:
                    canvas.drawString(x + PAD, y, text)
                y -= LEADING
            x += width
        canvas.setStrokeColor(line)
        canvas.setLineWidth(weight)
        canvas.line(0, top - tall, self.width, top - tall)
        return top - tall


def _wrapped(text: str, font: str, width: float) -> list[str]:
    """Return the text in lines that fit; a word longer than the cell is broken, so that nothing runs over."""
    if stringWidth(text, font, SIZE) <= width and "\n" not in text:
        return [text]
    lines: list[str] = []
    for line in simpleSplit(text, font, SIZE, width):
        lines.extend(_broken(line, font, width))
    return lines


def _broken(line: str, font: str, width: float) -> list[str]:
    if stringWidth(line, font, SIZE) <= width:
        return [line]
    parts, part = [], ""
    for sign in line:
        if part and stringWidth(part + sign, font, SIZE) > width:
            parts.append(part)
            part = ""
        part += sign
    return [*parts, part]
