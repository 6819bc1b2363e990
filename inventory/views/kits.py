"""What a piece needs: links written down and taken back."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from inventory.forms.piece import NeedsForm
from inventory.models import NeedsLink, Piece
from inventory.services.kits import add_needs_link, remove_needs_link
from people.access import Viewer, in_ministry
from people.querysets import get_for_edit
from people.views.told import tell


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def needs_link_add(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    piece = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = NeedsForm(request.POST or None, viewer=viewer, piece=piece)
    if request.method == "POST" and form.is_valid():
        tell(request, add_needs_link(piece=piece, by=viewer.member, **form.values()))
        return redirect(piece)
    told = {"form": form, "piece": piece}
    return render(request, "inventory/needs_link_add.html", told, status=422 if form.errors else 200)


@require_POST
@in_ministry("see")
def needs_link_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    link = get_for_edit(NeedsLink.objects.select_related("piece", "needs"), viewer, "record", uid=uid)
    piece = link.piece
    tell(request, remove_needs_link(link=link, by=viewer.member))
    return redirect(piece)
