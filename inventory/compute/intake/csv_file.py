"""Text lists to a grid: encodings, separators, quoted line breaks."""

from __future__ import annotations

import csv
import re
from collections import Counter

from inventory.compute.intake.draft import Unreadable
from inventory.compute.intake.grid import MAX_CELL, MAX_COLUMNS, MAX_ROWS, Grid, cleaned

SEPARATORS = ",;\t|"
# UTF-8 read once as Windows-1252: a lead byte shown as one of these letters, then one or two marks of the upper half.
SPOILT = re.compile("[ÂÃ][\u0080-\u00bf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]|â[\u0080-\u00bf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]{2}")
BULLET = re.compile(r"^(?:[-–—•*·▪‣]+|\d{1,3}[.)]|\[[ xX]?\])\s+")
LONE_QUOTE = re.compile(r"(?:(?<=\t)|(?<=^))\"(?=\t|\r?$)", re.MULTILINE)
MARKUP = re.compile(rb"^\s*(?:<!doctype\s+html|<html|<head|<table|<body|<\?xml[^>]*>\s*<html)", re.IGNORECASE)


def grid_from_csv(data: bytes, name: str) -> tuple[Grid, str]:
    """Return the list as one grid and the encoding it was read in. A record is a row, empty ones counted.

    Raises Unreadable for a web page, a binary file, over-long lines and too many rows.
    """
    if MARKUP.match(data[:2000]):
        raise Unreadable(
            f"{name} is a web page, not a list. Open it, copy the table into a spreadsheet, save that.", "web page"
        )
    text, encoding = decoded(data, name)
    repaired, spoilt = SPOILT.subn(_unspoilt, text)
    rows = _records(repaired, name)
    grid = Grid(name="", rows=rows)
    if spoilt:
        grid.remarks.append(f"{spoilt} characters had been spoilt by an earlier program and were put right.")
    return grid, encoding + (" spoilt" if spoilt else "")


def decoded(data: bytes, name: str) -> tuple[str, str]:
    """Return the text and the encoding's name: UTF-8 and UTF-16 by mark or by trial, else Windows-1252."""
    if data[:3] == b"\xef\xbb\xbf":
        return data[3:].decode("utf-8", "replace"), "utf-8"
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace"), "utf-16"
    sample = data[:4000]
    nuls = sample.count(0)
    if nuls > len(sample) / 4:
        return _utf16_without_mark(data, sample, name)
    marks = sum(byte < 32 and byte not in b"\t\n\r" for byte in sample)
    if marks > len(sample) / 10 and marks > 8:
        raise Unreadable(f"{name} is not a text list. Save the list as CSV or XLSX and bring that file.", "binary")
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace"), "windows-1252"


def _utf16_without_mark(data: bytes, sample: bytes, name: str) -> tuple[str, str]:
    odd, even = sample[1::2].count(0), sample[::2].count(0)
    if abs(odd - even) * 2 < odd + even:
        raise Unreadable(f"{name} is not a text list. Save the list as CSV or XLSX and bring that file.", "binary")
    kind = "utf-16-le" if odd > even else "utf-16-be"
    return data.decode(kind, "replace"), "utf-16"


def _unspoilt(match: re.Match[str]) -> str:
    try:
        return match[0].encode("cp1252").decode("utf-8")
    except UnicodeError:
        return match[0]


def separator(text: str) -> str:
    """Return the separator that cuts most lines into the same number of cells; '' when none does."""
    lines = [_unquoted(line) for line in text[:40_000].split("\n")[:120] if line.strip()]
    best, found = 0.0, ""
    for mark in SEPARATORS:
        counts = Counter(line.count(mark) for line in lines)
        counts.pop(0, None)
        if not counts:
            continue
        score = sum(number * min(seen, 12) for seen, number in counts.items()) * max(counts.values())
        if mark == "," and _decimal_commas(lines):
            score //= 8
        if score > best:
            best, found = score, mark
    if found == "," and _prose(lines):
        return ""
    cut = sum(found in line for line in lines) if found else 0
    return found if (best >= 2 and cut * 5 >= len(lines) * 2) or len(lines) <= 2 else ""


def _prose(lines: list[str]) -> bool:
    """True when the commas are those of sentences: a blank behind most of them, and no usual number in a line."""
    commas = sum(line.count(",") for line in lines)
    spaced = sum(len(re.findall(r",\s", line)) for line in lines)
    usual = Counter(line.count(",") for line in lines).most_common(1)[0]
    return spaced * 10 >= commas * 8 and (usual[0] == 0 or usual[1] * 5 < len(lines) * 3)


def _unquoted(line: str) -> str:
    return re.sub(r'"[^"]*"?', "", line)


def _decimal_commas(lines: list[str]) -> bool:
    """True when most commas stand between digits, as in 11,0 beside another separator."""
    text = "\n".join(lines)
    commas = text.count(",")
    return commas > 0 and len(re.findall(r"\d,\d", text)) * 2 > commas and (text.count(";") + text.count("\t")) > commas


def _records(text: str, name: str) -> list[list[str | None]]:
    if max(map(len, text.split("\n")), default=0) > 8 * MAX_CELL:
        raise Unreadable(
            f"{name} holds a line of more than {8 * MAX_CELL:,} characters. Save the list again as CSV.", "long line"
        )
    text = text.replace("\x00", "")
    mark = separator(text)
    if mark == "\t":  # pasted cells are not quoted, so a lone quote is a ditto mark
        text = LONE_QUOTE.sub("〃", text)
    csv.field_size_limit(16 * MAX_CELL)
    rows: list[list[str | None]] = []
    try:
        reader = csv.reader(_lines(text), delimiter=mark or "\x1f", skipinitialspace=True)
        for record in reader:
            if len(rows) >= MAX_ROWS and any(record):
                raise Unreadable(
                    f"{name} has more than {MAX_ROWS:,} rows; a gear list has fewer. Cut it into several lists.",
                    "too many rows",
                )
            rows.append([cleaned(cell) or None for cell in record[:MAX_COLUMNS]])
    except csv.Error as problem:
        raise Unreadable(
            f"{name} cannot be cut into cells. Save the list again as CSV or XLSX.", "bad csv"
        ) from problem
    if any(cell and len(cell) > MAX_CELL for row in rows for cell in row):
        raise Unreadable(
            f"{name} holds a cell of more than {MAX_CELL:,} characters. Save the list again as CSV.", "long line"
        )
    while rows and not any(rows[-1]):
        rows.pop()
    _without_bullets(rows)
    return rows


def _without_bullets(rows: list[list[str | None]]) -> None:
    """Take the dashes or stars off a list of which most lines begin with one."""
    filled = [row for row in rows if any(row)]
    marked = [row for row in filled if row[0] and BULLET.match(row[0])]
    narrow = max((len(row) for row in filled), default=0) == 1
    if len(marked) > 1 and (narrow or len(marked) * 5 > len(filled) * 2):
        for row in marked:
            row[0] = BULLET.sub("", row[0] or "") or None


def _lines(text: str) -> list[str]:
    return (
        text.replace("\r\n", "\n").replace("\r", "\n").splitlines(keepends=True)
        if "\x0b" not in text
        else text.split("\n")
    )
