"""The filtered gear list as a spreadsheet."""

import tempfile

from django.db.models import QuerySet
from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from inventory.forms.gear import GearFilter
from inventory.models import Piece, Site
from inventory.services.exports import WIDTHS, sheet_of
from people.access import Viewer, in_ministry
from people.clock import today
from people.services.sheets import csv_lines, write_xlsx

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
IN_MEMORY = 5_000_000  # bytes; larger files are kept on disk until they are sent


def filtered(request: HttpRequest, viewer: Viewer) -> QuerySet[Piece]:
    """Return the pieces the list would show on all its leaves."""
    sites = list(Site.objects.visible_to(viewer))
    return GearFilter(request.GET, Piece.objects.visible_to(viewer).listed(), sites=sites).found()


@require_GET
@in_ministry("see")
def gear_csv(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    head, rows = sheet_of(viewer, filtered(request, viewer))
    answer = StreamingHttpResponse(csv_lines(head, rows), content_type="text/csv; charset=utf-8")
    return _as_download(answer, viewer, "csv")


@require_GET
@in_ministry("see")
def gear_xlsx(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    head, rows = sheet_of(viewer, filtered(request, viewer))
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 (the answer closes it)
    write_xlsx(file, _("Gear"), head, rows, WIDTHS)
    file.seek(0)
    return _as_download(FileResponse(file, content_type=XLSX), viewer, "xlsx")


def _as_download(answer: HttpResponse, viewer: Viewer, ending: str) -> HttpResponse:
    name = f"{viewer.ministry.slug}-{today(viewer.ministry):%Y-%m-%d}.{ending}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer
