"""The calendar as plain rows: services that must run, freezes, and rooms that are taken."""

from datetime import timedelta
from functools import partial
from typing import Any, NamedTuple

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.clock import today
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.forms.calendar import BookingForm, FreezeForm, ServiceForm
from roadmap.models import Booking, Freeze, Service
from roadmap.services.calendar import add_row, change_row, remove_row
from roadmap.views.editing import edit, write


class Kind(NamedTuple):
    model: Any
    form: Any


KINDS = {
    "service": Kind(Service, ServiceForm),
    "freeze": Kind(Freeze, FreezeForm),
    "booking": Kind(Booking, BookingForm),
}
A_YEAR = timedelta(days=400)


def kind_or_404(name: str) -> Kind:
    if name not in KINDS:
        raise Http404
    return KINDS[name]


@require_GET
@in_ministry("see_plan")
def calendar(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    day = today(viewer.ministry)
    freezes = Freeze.objects.visible_to(viewer).filter(last_on__gte=day)
    known = {(one.first_on, one.last_on) for one in freezes}
    usual = pack(viewer.ministry.country).freezes_between(day, day + A_YEAR)
    context = {
        "weekly": Service.objects.visible_to(viewer).filter(on__isnull=True).exclude(until_on__lt=day),
        "single": Service.objects.visible_to(viewer).filter(on__gte=day),
        "freezes": freezes,
        "usual": [(preset, first, last) for preset, first, last in usual if (first, last) not in known],
        "bookings": Booking.objects.visible_to(viewer).filter(ends_at__date__gte=day).select_related("place"),
        "running": next((one for one in freezes if one.first_on <= day), None),
        "next_freeze": next((one for one in freezes if one.first_on > day), None),
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/calendar.html", context)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def calendar_add(request: HttpRequest, viewer: Viewer, kind: str) -> HttpResponse:
    """Write a row; `?name=…&first_on=…` fills the form, so that a country's usual freeze is one click."""
    found = kind_or_404(kind)
    return write(
        request,
        viewer,
        form_class=found.form,
        add=partial(add_row, kind=found.model, ministry=viewer.ministry),
        template="roadmap/calendar_form.html",
        back=reverse("calendar", kwargs={"ministry": viewer.ministry.slug}),
        initial=request.GET.dict(),
        kind=kind,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def calendar_edit(request: HttpRequest, viewer: Viewer, kind: str, uid: str) -> HttpResponse:
    found = kind_or_404(kind)
    row = get_for_edit(found.model.objects.all(), viewer, "plan", uid=uid)
    return edit(
        request,
        viewer,
        row=row,
        form_class=found.form,
        change=partial(change_row, row=row),
        template="roadmap/calendar_form.html",
        then=reverse("calendar", kwargs={"ministry": viewer.ministry.slug}),
        kind=kind,
        calendar_row=row,
    )


@require_POST
@in_ministry("see_plan")
def calendar_remove(request: HttpRequest, viewer: Viewer, kind: str, uid: str) -> HttpResponse:
    row = get_for_edit(kind_or_404(kind).model.objects.all(), viewer, "plan", uid=uid)
    tell(request, remove_row(row=row, by=viewer.member))
    return redirect("calendar", ministry=viewer.ministry.slug)
