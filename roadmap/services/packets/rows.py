"""A ruled table as one flowable: widths by what the cells hold, wrapped text, the head again on each page.

A paragraph object in each cell costs five times as much; here a row is measured by `simpleSplit` and painted directly.
"""

import copy
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
LOOKED_AT = 12  # the longest by letters: the widest is among them, near enough


@dataclass(frozen=True)
class Column:
    """A column: its head, its share of the width where room is short (any scale), figures at the right, the face.

    by_hand: it is written on with a pen and keeps its share; any other column without a word in it is left out.
    """

    head: str
    share: float
    right: bool = False
    font: str = TEXT
    by_hand: bool = False


class Rows(Flowable):
    """`Rows(columns, rows)`: rows are sequences of strings, as many as columns; `strong` rows are bold (totals).

    air: points added to each row, for what is filled in by hand.
    """

    def __init__(
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[str]],
        strong: frozenset[int] = frozenset(),
        air: float = 0.0,
    ) -> None:
        super().__init__()
        told = [n for n, column in enumerate(columns) if column.by_hand or any(row[n] for row in rows)]
        self.columns, self.rows = [columns[n] for n in told], [[row[n] for n in told] for row in rows]
        self.strong, self.air = strong, air
        self.spaceAfter = 6
        self._width = 0.0
        self._laid: list[tuple[list[list[str]], float, bool]] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size at this width; lays every row out once a width."""
        if width != self._width:
            self._width = width
            self.widths = _widths(self.columns, self.rows, width)
            self._laid = [self._lay(row, index in self.strong, self.air) for index, row in enumerate(self.rows)]
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
        part = copy.copy(self)  # the widths stay those of the whole table
        part.__dict__.pop("_postponed", None)  # the printer's mark on what it moved to a new page
        part.strong = frozenset(index - first for index in self.strong if first <= index < last)
        part.rows, part._laid = self.rows[first:last], self._laid[first:last]
        return part

    def _lay(self, row: Sequence[str], strong: bool, air: float = 0.0) -> tuple[list[list[str]], float, bool]:
        cells = [
            _wrapped(text, BOLD if strong else column.font, width - 2 * PAD)
            for text, column, width in zip(row, self.columns, self.widths, strict=True)
        ]
        return cells, max(len(cell) for cell in cells) * LEADING + 2 * PAD + air, strong

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
            y = top - PAD - SIZE - (self.air if row is not self._head else 0)
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


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float) -> list[float]:
    """Return a width a column: its share of the paper, and what short columns leave is given to those that wrap.

    A column never becomes narrower than its longest word while another has room to spare.
    """
    whole = sum(column.share for column in columns)
    shares = [width * column.share / whole for column in columns]
    wanted = [_wanted(column, [row[n] for row in rows], width) for n, column in enumerate(columns)]
    least = [
        max(low, share) if column.by_hand else low
        for column, (low, __), share in zip(columns, wanted, shares, strict=True)
    ]
    most = [max(high, low) for low, (__, high) in zip(least, wanted, strict=True)]
    if sum(least) >= width:
        return shares
    if sum(most) <= width:
        spare = width - sum(most)
        return [full + spare * share / width for full, share in zip(most, shares, strict=True)]
    return _shared_out(least, most, shares, width)


def _shared_out(least: Sequence[float], most: Sequence[float], shares: Sequence[float], width: float) -> list[float]:
    """Return widths between least and most that fill the width: one level for all, found by halving."""
    low, high = 0.0, 1.0
    while sum(_at(high, least, most, shares)) < width:
        high *= 2
    for _turn in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if sum(_at(middle, least, most, shares)) < width else (low, middle)
    return _at(low, least, most, shares)


def _at(level: float, least: Sequence[float], most: Sequence[float], shares: Sequence[float]) -> list[float]:
    return [max(a, min(b, level * share)) for a, b, share in zip(least, most, shares, strict=True)]


def _wanted(column: Column, cells: Sequence[str], width: float) -> tuple[float, float]:
    """Return the width of the longest word and that of the longest cell; measures only the longest ones."""
    words = {word for cell in cells for word in cell.split()}
    longest = sorted(words, key=len)[-LOOKED_AT:]
    whole = sorted(set(cells), key=len)[-LOOKED_AT:]
    head = stringWidth(column.head, BOLD, SIZE)
    low = max(
        [stringWidth(word, BOLD, SIZE) for word in column.head.split()] + [_span(word, column) for word in longest]
    )
    high = max([head] + [_span(cell, column) for cell in whole])
    return min(low, width / 3) + 2 * PAD + 0.5, high + 2 * PAD + 0.5


def _span(text: str, column: Column) -> float:
    return max(stringWidth(text, column.font, SIZE), stringWidth(text, BOLD, SIZE) if column.right else 0.0)


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
