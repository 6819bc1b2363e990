"""Tabular PDF against a canvas painter and against a paragraph in every cell; export against the barest writers."""

import csv
import io
import zipfile
from collections.abc import Iterator
from xml.sax.saxutils import escape

from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Table

from people.packs import pack
from people.services.sheets import csv_lines, write_xlsx
from roadmap.services.packets.page import Front, build
from roadmap.services.packets.rows import Column, Rows
from tests.bench.measure import Figure, ratio

PAGES, A_PAGE = 200, 36
ROWS = [
    (f"G{n:04}", f"Powered loudspeaker number {n}", f"Maker model {n}", "tested good", "use here", "left of the stage")
    for n in range(PAGES * A_PAGE)
]
WIDTHS = (60, 130, 110, 80, 70, 90)


def ours() -> None:
    columns = [Column(head, width) for head, width in zip("ABCDEF", WIDTHS, strict=True)]
    build([Rows(columns, ROWS)], Front("Bench", "Church", "today", "en-US"), pack("US"), io.BytesIO())


def painter() -> None:
    """Paint the same rows straight on a canvas, each cell split to its width."""
    canvas = Canvas(io.BytesIO(), letter)
    for first in range(0, len(ROWS), A_PAGE):
        y = 740.0
        for row in ROWS[first : first + A_PAGE]:
            canvas.setFont("VergerText", 8.8)
            x = 40.0
            for text, width in zip(row, WIDTHS, strict=True):
                for line in simpleSplit(text, "VergerText", 8.8, width - 6):
                    canvas.drawString(x, y, line)
                x += width
            canvas.line(40, y - 4, 580, y - 4)
            y -= 18
        canvas.showPage()
    canvas.save()


def paragraphs(share: int = 10) -> None:
    """Lay a tenth of the rows with a paragraph in every cell (the whole would take half a minute)."""
    style = getSampleStyleSheet()["BodyText"]
    rows = [[Paragraph(text, style) for text in row] for row in ROWS[: len(ROWS) // share]]
    SimpleDocTemplate(io.BytesIO(), pagesize=letter).build([Table(rows, colWidths=WIDTHS)])


def bare_xlsx(rows: list[tuple[str, ...]]) -> None:
    """Write the smallest workbook that opens everywhere as hand-made XML, row by row into the archive."""
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    with zipfile.ZipFile(io.BytesIO(), "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr(
            "[Content_Types].xml",
            f'<Types xmlns="{package}/content-types"><Default Extension="rels" ContentType='
            f'"application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" '
            f'ContentType="{kind}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" '
            f'ContentType="{kind}.worksheet+xml"/></Types>',
        )
        rel = f'<Relationships xmlns="{package}/relationships"><Relationship Id="r1" Type="{office}'
        book.writestr("_rels/.rels", f'{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>')
        book.writestr(
            "xl/_rels/workbook.xml.rels", f'{rel}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>'
        )
        book.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{main}" xmlns:r="{office}"><sheets><sheet name="A" sheetId="1" r:id="r1"/></sheets>'
            "</workbook>",
        )
        with book.open("xl/worksheets/sheet1.xml", "w") as sheet:
            sheet.write(f'<worksheet xmlns="{main}"><sheetData>'.encode())
            for number, row in enumerate(rows, 1):
                cells = "".join(
                    f'<c r="{name}{number}" t="inlineStr"><is><t>{escape(text)}</t></is></c>'
                    for name, text in zip("ABCDEF", row, strict=True)
                )
                sheet.write(f'<row r="{number}">{cells}</row>'.encode())
            sheet.write(b"</sheetData></worksheet>")


def figures() -> Iterator[Figure]:
    yield ratio("tabular PDF of 200 pages : canvas painter", 1.5, ours, painter, 3)
    tenth = ROWS[: len(ROWS) // 10]
    columns = [Column(head, width) for head, width in zip("ABCDEF", WIDTHS, strict=True)]
    front = Front("Bench", "Church", "today", "en-US")
    yield ratio(
        "tabular PDF of 20 pages : a paragraph in every cell",
        0.2,
        lambda: build([Rows(columns, tenth)], front, pack("US"), io.BytesIO()),
        paragraphs,
        3,
    )
    rows = (ROWS * 2)[:10_000]
    head = list("ABCDEF")
    yield ratio(
        "export of 10,000 rows as CSV : csv.writer",
        3,
        lambda: sum(len(line) for line in csv_lines(head, rows)),
        lambda: csv.writer(io.StringIO()).writerows(rows),
        5,
    )
    yield ratio(
        "export of 10,000 rows as XLSX : hand-made XML",
        6,
        lambda: write_xlsx(io.BytesIO(), "Gear", head, rows),
        lambda: bare_xlsx(rows),
        3,
    )
