"""Paper: the packets, printed from the data of the day."""

import io

from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from inventory.models import Place
from people.access import Viewer, in_ministry
from people.clock import today
from people.packs import pack
from people.querysets import get_visible


@require_GET
@in_ministry("see")
def paper(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    rooms = Place.objects.visible_to(viewer).filter(site__receives=True, within__isnull=True)
    country = pack(viewer.ministry.country)
    return render(request, "roadmap/paper.html", {"rooms": rooms, "leaders": country.word("leaders")})


@require_GET
@in_ministry("see_money")
def packet_leaders(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    from roadmap.services.packets.leaders import leaders_packet

    out = io.BytesIO()
    leaders_packet(viewer=viewer, out=out)
    return _as_file(out, viewer, "leaders")


@require_GET
@in_ministry("see")
def packet_handover(request: HttpRequest, viewer: Viewer, code: str = "") -> HttpResponse:
    from roadmap.services.packets.handover import handover_packet

    place = get_visible(Place.objects.select_related("within"), viewer, code=code) if code else None
    out = io.BytesIO()
    handover_packet(viewer=viewer, out=out, place=place)
    return _as_file(out, viewer, f"handover-{slugify(code)}" if code else "handover")


def _as_file(out: io.BytesIO, viewer: Viewer, name: str) -> FileResponse:
    out.seek(0)
    filename = f"{viewer.ministry.slug}-{name}-{today(viewer.ministry):%Y-%m-%d}.pdf"
    return FileResponse(out, content_type="application/pdf", filename=filename)
