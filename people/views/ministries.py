"""The church's own settings."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from people.access import Viewer, in_ministry
from people.clock import now
from people.forms.ministries import MinistryEditForm
from people.packs import pack
from people.services.ministries import MoneyIsKept, change_ministry


@in_ministry("manage")
def ministry_edit(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = MinistryEditForm(request.POST if request.method == "POST" else None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        try:
            acts = change_ministry(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
            messages.success(request, " ".join(act.says for act in acts) or _("Nothing was changed."))
            return redirect("ministry-edit", ministry=viewer.ministry.slug)
        except MoneyIsKept as refused:
            form.add_error("where", str(refused))
    church, its_pack = viewer.ministry, pack(viewer.ministry.country)
    region = its_pack.region(church.state)
    told = {"form": form, "place": region.name if region else its_pack.name, "time": now(church)}
    return render(request, "people/ministry_edit.html", told, status=422 if form.errors else 200)
