"""Workbooks to grids: guarded before opening, values by the fast reader, looks by an own pass over the XML."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
import zlib
from collections.abc import Iterator
from typing import IO
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesImpl

from inventory.compute.intake.draft import Unreadable
from inventory.compute.intake.grid import MAX_BYTES, MAX_COLUMNS, MAX_ROWS, Grid, Look, Value, cleaned
from inventory.compute.intake.xlsx_styles import Styles, read_styles

MAX_INFLATED = 200_000_000  # of the parts that are read
MAX_RATIO = 300
CHUNK = 1 << 16
CELL = re.compile(r"([A-Z]{1,3})(\d{1,7})$")


def grids_from_xlsx(data: bytes, name: str) -> list[Grid]:
    """Return the sheets in order, hidden ones too. Raises Unreadable; nothing is unpacked to disk."""
    archive = _opened(data, name)
    with archive:
        try:
            book = _Book(archive, name)
            grids = [book.grid(sheet) for sheet in book.sheets]
        except Unreadable:
            raise
        except (KeyError, ValueError, EOFError, OSError, RuntimeError, zipfile.BadZipFile, zlib.error) as problem:
            raise _damaged(name) from problem
    _fill_values(data, grids, name)
    return grids


def _damaged(name: str) -> Unreadable:
    return Unreadable(
        f"{name} is damaged. Open it in the spreadsheet program, save it again, and bring the new file.", "damaged"
    )


def _opened(data: bytes, name: str) -> zipfile.ZipFile:
    """Return the archive after looking at its table of contents only."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as problem:
        raise _damaged(name) from problem
    members = archive.infolist()
    if any(member.flag_bits & 1 for member in members):
        raise Unreadable(f"{name} is locked with a password. Take the password off and bring it again.", "encrypted")
    if any(_climbs(member.filename) for member in members):
        raise Unreadable(
            f"{name} was put together in an unsafe way. Copy the cells into a new workbook.", "unsafe names"
        )
    read = [member for member in members if member.filename.endswith((".xml", ".rels", ".vml"))]
    size = sum(member.file_size for member in read)
    bomb = any(m.file_size > 20_000_000 and m.file_size > MAX_RATIO * max(1, m.compress_size) for m in members)
    if size > MAX_INFLATED or len(members) > 5000 or bomb:
        raise Unreadable(
            f"{name} unpacks to far more than a gear list needs. Copy only the filled cells into a new workbook.",
            "inflates",
        )
    if "[Content_Types].xml" not in archive.namelist():
        raise Unreadable(f"{name} is an archive but not a workbook. Save the list as XLSX or CSV.", "not a workbook")
    return archive


def _climbs(member: str) -> bool:
    path = member.replace("\\", "/")
    return path.startswith("/") or ".." in path.split("/") or ":" in path.split("/")[0]


class _Sheet:
    def __init__(self, name: str, path: str, hidden: bool):
        self.name, self.path, self.hidden = name, path, hidden


class _Book:
    """The workbook's table of contents, styles and texts; makes one grid a sheet."""

    def __init__(self, archive: zipfile.ZipFile, name: str):
        self.archive, self.name = archive, name
        self.names = set(archive.namelist())
        self.from_1904 = False
        self.sheets: list[_Sheet] = []
        root = self._links("_rels/.rels")
        path = next((target for target in root.values() if target.endswith("workbook.xml")), "xl/workbook.xml")
        self._read_book(path)
        folder = posixpath.dirname(path)
        self.styles: Styles = read_styles(self._part(f"{folder}/styles.xml"), self.parse)
        self.struck = self._struck_texts(f"{folder}/sharedStrings.xml")

    def _part(self, path: str) -> bytes | None:
        return path.encode() if path in self.names else None

    def parse(self, path: str | bytes, handler: ContentHandler) -> None:
        """Run the handler over one part, without entities and with a bound on its size."""
        from xml.sax import SAXException

        import defusedxml
        import defusedxml.sax

        path = path.decode() if isinstance(path, bytes) else path
        parser = defusedxml.sax.make_parser()
        parser.forbid_dtd = True
        parser.setContentHandler(handler)
        try:
            with self.archive.open(path) as part:
                for chunk in _bounded(part, self.name):
                    parser.feed(chunk)
            parser.close()
        except _Enough:
            return
        except defusedxml.DefusedXmlException as problem:
            raise Unreadable(
                f"{self.name} refers to things outside itself. Copy the cells into a new workbook and bring that.",
                "unsafe xml",
            ) from problem
        except SAXException as problem:
            raise _damaged(self.name) from problem

    def _links(self, path: str) -> dict[str, str]:
        handler = _Elements("Relationship")
        if path in self.names:
            self.parse(path, handler)
        folder = posixpath.dirname(posixpath.dirname(path))
        found = {}
        for attributes in handler.found:
            target = attributes.get("Target", "")
            whole = target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            found[attributes.get("Id", "")] = whole
        return found

    def _read_book(self, path: str) -> None:
        handler = _Elements("sheet", "workbookPr")
        if path not in self.names:
            raise Unreadable(
                f"{self.name} is an archive but not a workbook. Save the list as XLSX or CSV.", "not a workbook"
            )
        self.parse(path, handler)
        links = self._links(f"{posixpath.dirname(path)}/_rels/{posixpath.basename(path)}.rels")
        for attributes in handler.found:
            if attributes.get("date1904") in ("1", "true"):
                self.from_1904 = True
            part = links.get(attributes.get("r:id", ""))
            if part and "worksheets/" in part:
                self.sheets.append(
                    _Sheet(attributes.get("name", ""), part, attributes.get("state", "visible") != "visible")
                )
        if not self.sheets:
            raise Unreadable(f"{self.name} holds no sheet with a list.", "no sheet")

    def _struck_texts(self, path: str) -> dict[int, str]:
        if path not in self.names:
            return {}
        handler = _SharedTexts()
        self.parse(path, handler)
        return handler.struck

    def grid(self, sheet: _Sheet) -> Grid:
        """Return the sheet's looks; values are filled in later."""
        grid = Grid(name=sheet.name, rows=[], hidden=sheet.hidden, from_1904=self.from_1904)
        handler = _SheetPass(grid, self.styles, self.struck, self.name)
        self.parse(sheet.path, handler)
        for part, text in self._comments(sheet.path):
            row, column = part
            grid.looks[part] = _with(grid.look(row, column), comment=text)
        return grid

    def _comments(self, path: str) -> Iterator[tuple[tuple[int, int], str]]:
        folder, base = posixpath.split(path)
        for target in self._links(f"{folder}/_rels/{base}.rels").values():
            low = target.lower()
            if "comment" in low and "threaded" not in low and low.endswith(".xml") and target in self.names:
                handler = _Comments()
                self.parse(target, handler)
                yield from handler.found.items()


def _with(look: Look, **changes: str | bool) -> Look:
    from dataclasses import replace

    return replace(look, **changes)  # type: ignore[arg-type]


def _bounded(part: IO[bytes], name: str) -> Iterator[bytes]:
    seen = 0
    while chunk := part.read(CHUNK):
        seen += len(chunk)
        if seen > MAX_INFLATED:
            raise Unreadable(f"{name} unpacks to far more than a gear list needs.", "inflates")
        yield chunk


class _Enough(Exception):
    """The rest of the part is of no use."""


class _Elements(ContentHandler):
    """Collects the attributes of the named elements."""

    def __init__(self, *names: str):
        super().__init__()
        self.names, self.found = names, list[dict[str, str]]()

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        if name.rpartition(":")[2] in self.names:
            self.found.append(dict(attrs.items()))


class _SharedTexts(ContentHandler):
    """Finds shared texts of which a part is struck through: index -> the struck part."""

    def __init__(self) -> None:
        super().__init__()
        self.index, self.struck = -1, dict[int, str]()
        self._strike = self._in_text = False

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        if name == "si":
            self.index += 1
        elif name == "r":
            self._strike = False
        elif name == "strike":
            self._strike = attrs.get("val", "1") not in ("0", "false")
        elif name == "t":
            self._in_text = True

    def endElement(self, name: str) -> None:
        if name == "t":
            self._in_text = False
        elif name in ("r", "si"):
            self._strike = False

    def characters(self, content: str) -> None:
        if self._strike and self._in_text:
            self.struck[self.index] = self.struck.get(self.index, "") + content


class _Comments(ContentHandler):
    """Cell comments: (row, column) -> text."""

    def __init__(self) -> None:
        super().__init__()
        self.found = dict[tuple[int, int], str]()
        self._at: tuple[int, int] | None = None

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        if name == "comment":
            self._at = place_of(attrs.get("ref", ""))

    def endElement(self, name: str) -> None:
        if name == "comment":
            self._at = None

    def characters(self, content: str) -> None:
        if self._at is not None:
            self.found[self._at] = self.found.get(self._at, "") + content


def place_of(reference: str) -> tuple[int, int] | None:
    """Return (row, column), 0-based, of 'B7'; None for anything else."""
    match = CELL.match(reference)
    if not match:
        return None
    column = 0
    for each in match[1]:
        column = column * 26 + ord(each) - 64
    return int(match[2]) - 1, column - 1


class _SheetPass(ContentHandler):
    """Looks, merges, hidden parts and the real size of one sheet."""

    def __init__(self, grid: Grid, styles: Styles, struck: dict[int, str], name: str):
        super().__init__()
        self.grid, self.styles, self.struck, self.name = grid, styles, struck, name
        self.row, self.column, self.filled_rows = -1, -1, 0
        self._style, self._type, self._value, self._formula = 0, "", "", False
        self._reading = False

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        if name == "c":
            self._start_cell(attrs)
        elif name == "v":
            self._reading = self._type in ("e", "s")
            self._has_value()
        elif name == "is":
            self._has_value()
        elif name == "f":
            self._formula = True
        elif name == "row":
            self._start_row(attrs)
        elif name == "col":
            self._hidden_columns(attrs)
        elif name == "mergeCell":
            self._merge(attrs.get("ref", ""))
        elif name == "autoFilter":
            self.grid.filtered = True

    def _start_row(self, attrs: AttributesImpl) -> None:
        number = attrs.get("r")
        self.row = int(number) - 1 if number else self.row + 1
        self.column = -1
        if attrs.get("hidden") in ("1", "true"):
            self.grid.hidden_rows.add(self.row)

    def _start_cell(self, attrs: AttributesImpl) -> None:
        at = place_of(attrs.get("r", ""))
        self.row, self.column = at if at else (self.row, self.column + 1)
        self._style, self._type = int(attrs.get("s", "0")), attrs.get("t", "")
        self._value, self._formula = "", False

    def _has_value(self) -> None:
        if self.row >= MAX_ROWS or self.column >= MAX_COLUMNS:
            self._refuse()

    def _refuse(self) -> None:
        if (
            self.row >= MAX_ROWS
            and self.column < MAX_COLUMNS
            and len(self.grid.rows) >= 0
            and self.filled_rows > MAX_ROWS // 2
        ):
            raise Unreadable(
                f"{self.name} has more than {MAX_ROWS:,} rows; a gear list has fewer. Cut it into several lists.",
                "too many rows",
            )
        raise Unreadable(
            f"Sheet {self.grid.name} of {self.name} holds a cell in row {self.row + 1:,}, far outside a list. "
            "Delete the empty rows and columns around the list and save it again.",
            "far corner",
        )

    def endElement(self, name: str) -> None:
        if name == "c":
            self._end_cell()
        elif name == "v":
            self._reading = False
        elif name == "row":
            self.filled_rows += 1

    def characters(self, content: str) -> None:
        if self._reading:
            self._value += content

    def _end_cell(self) -> None:
        look = self.styles.looks.get(self._style)
        struck = ""
        if self._type == "s" and self.struck and self._value.isdigit():
            struck = self.struck.get(int(self._value), "")
        error = self._value if self._type == "e" else ""
        if look is None and not (struck or error or self._formula):
            return
        if self.row >= MAX_ROWS or self.column >= MAX_COLUMNS:
            return
        look = look or Look()
        if struck or error or self._formula:
            look = _with(look, struck=cleaned(struck), error=error, formula=self._formula)
        self.grid.looks[self.row, self.column] = look

    def _hidden_columns(self, attrs: AttributesImpl) -> None:
        if attrs.get("hidden") in ("1", "true"):
            first, last = int(attrs.get("min", "1")), int(attrs.get("max", "1"))
            self.grid.hidden_columns.update(range(first - 1, min(last, MAX_COLUMNS)))

    def _merge(self, reference: str) -> None:
        first, _, last = reference.partition(":")
        start, end = place_of(first), place_of(last)
        if start and end and end[0] < MAX_ROWS:
            self.grid.merges.append((*start, *end))


def _fill_values(data: bytes, grids: list[Grid], name: str) -> None:
    """Fill in the values by the fast reader, which runs only now that the sizes are known to be small."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        for grid in grids:
            sheet = book.get_sheet_by_name(grid.name)
            grid.rows = [[_plain(each) for each in row] for row in sheet.to_python(skip_empty_area=False)]
            _trim(grid.rows)
    except (CalamineError, OSError, ValueError) as problem:
        raise _damaged(name) from problem


def _plain(value: Value) -> Value:
    if isinstance(value, str):
        return cleaned(value) or None
    return value


def _trim(rows: list[list[Value]]) -> None:
    while rows and all(cell is None for cell in rows[-1]):
        rows.pop()


def looks_like_workbook(data: bytes) -> bool:
    """True for any zip archive."""
    return data[:4] in (b"PK\x03\x04", b"PK\x05\x06")


def refuse_other_kinds(data: bytes, name: str) -> None:
    """Raise Unreadable for a file too large, a locked or old workbook, a picture or a PDF."""
    if len(data) > MAX_BYTES:
        size = len(data) // 1_000_000
        raise Unreadable(
            f"{name} has {size} MB; a list needs less than {MAX_BYTES // 1_000_000}. Take pasted pictures out and "
            f"save it again.",
            "too large",
        )
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        if "EncryptedPackage".encode("utf-16-le") in data:
            raise Unreadable(
                f"{name} is locked with a password. Take the password off and bring it again.", "encrypted"
            )
        raise Unreadable(f"{name} is a workbook of the old kind. Save it as XLSX and bring that.", "old workbook")
    kinds = {
        b"%PDF": "a PDF",
        b"\xff\xd8\xff": "a picture",
        b"\x89PNG": "a picture",
        b"{\\rtf": "a word-processor file",
    }
    for start, kind in kinds.items():
        if data.startswith(start):
            raise Unreadable(f"{name} is {kind}, not a list. Bring the list as XLSX or CSV.", "not a list")
