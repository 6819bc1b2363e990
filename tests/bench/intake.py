"""An import of 10,000 rows, history included, against plain bulk_create; XLSX against CSV."""

import io
import resource
from collections.abc import Iterator
from datetime import date

from inventory.compute.intake import draft
from inventory.models import Piece
from inventory.services.intake import take_in
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
    """Measure in turns; each round fills a church of its own."""
    for attempt in range(2):
        mine, base = [], []
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        for n in range(3):
            target = church(f"import-{attempt}-{n}", 0)
            mine.append(
                seconds(lambda target=target: take_in(ministry=target, by=None, name="k.csv", data=text, site=None))
            )
            other = church(f"plain-{attempt}-{n}", 0)
            bare = [
                Piece(
                    ministry=other,
                    tag=one.tag,
                    tag_number=one.tag_number,
                    **{
                        k: getattr(one, k)
                        for k in (
                            "what",
                            "maker",
                            "model",
                            "serial",
                            "serial_key",
                            "quantity",
                            "condition",
                            "year",
                            "year_precision",
                            "resale_minor",
                            "note",
                            "search_key",
                            "sort_key",
                            "doubts",
                        )
                    },
                )
                for one in Piece.objects.filter(ministry=target)
            ]
            assert len(bare) == ROWS, len(bare)
            base.append(seconds(lambda bare=bare: Piece.objects.bulk_create(bare, batch_size=500)))
        grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
        found = Figure(
            f"import of 10,000 rows with history : plain bulk_create (+{grown:.0f} MB)",
            sorted(mine)[1] / sorted(base)[1],
            3,
            sorted(mine)[1] * 1000,
            sorted(base)[1] * 1000,
        )
        if found.holds:
            break
    return found
