"""One piece: read, written down, changed, moved, checked, split, taken off the list."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from inventory.forms.checks import CheckForm, MoveForm
from inventory.forms.piece import NewPieceForm, PieceForm, SplitForm
from inventory.models import Piece
from inventory.services.pieces import (
    CannotRemove,
    CannotSplit,
    add_piece,
    change_piece,
    check_piece,
    move_piece,
    remove_piece,
    split_lot,
)
from inventory.views.clashes import chosen_in, shown
from inventory.views.piece_page import page_of
from people.access import Viewer, in_ministry
from people.querysets import get_for_edit, get_visible
from people.services.merging import Clashed
from people.views.told import tell

FOR_PAGE = ("place__site", "goes_to__site", "found_at", "owner", "merged_into")


@require_GET
@in_ministry("see")
def piece(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_visible(Piece.objects.select_related(*FOR_PAGE), viewer, uid=uid)
    return render(request, "inventory/piece.html", page_of(viewer, row))


@require_http_methods(["GET", "POST"])
@in_ministry("record")
def piece_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = NewPieceForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        made, act = add_piece(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect(made)
    return _form_page(request, form, None, title=_("What is it, and where?"), button=_("Keep it"))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = PieceForm(request.POST or None, instance=Piece.objects.get(pk=row.pk), viewer=viewer)
    more: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        base = form.cleaned_data.get("base_version")
        try:
            act = change_piece(
                piece=row, by=viewer.member, base_version=base, **chosen_in(request), **form.changed_values()
            )
        except Clashed as clashed:
            more = shown(clashed, form, viewer)
        else:
            if act:
                tell(request, act)
            return redirect(row)
    title = _("What is known of %(piece)s?") % {"piece": row}
    return _form_page(request, form, row, title=title, button=_("Keep it"), **more)


def _form_page(request: HttpRequest, form: Any, row: Piece | None, **told: Any) -> HttpResponse:
    status = 409 if "clashes" in told else 422 if form.errors else 200
    return render(request, "inventory/piece_form.html", {"form": form, "piece": row, **told}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_move(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = MoveForm(request.POST or None, viewer=viewer, piece=row)
    if request.method == "POST" and form.is_valid():
        tell(request, move_piece(piece=row, by=viewer.member, **form.cleaned_data))
        return redirect(row)
    title = _("Where is %(piece)s now?") % {"piece": row}
    return _form_page(request, form, row, title=title, button=_("It stands there"))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_check(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = CheckForm(request.POST or None, viewer=viewer, initial={"condition": row.condition})
    if request.method == "POST" and form.is_valid():
        tell(request, check_piece(piece=row, by=viewer.member, **form.cleaned_data))
        return redirect(row)
    title = _("How is %(piece)s?") % {"piece": row}
    return _form_page(request, form, row, title=title, button=_("Keep the check"))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_split(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = SplitForm(request.POST or None, viewer=viewer, piece=row)
    if request.method == "POST" and form.is_valid():
        try:
            made, act = split_lot(piece=row, by=viewer.member, **form.cleaned_data)
        except CannotSplit as refused:
            form.add_error("count", str(refused))
        else:
            tell(request, act)
            return redirect(made)
    title = _("Which of the %(n)d of %(piece)s are different?") % {"n": row.quantity, "piece": row}
    return _form_page(request, form, row, title=title, button=_("Take them out"))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Ask first; refuse with a sentence where other entries were merged into it."""
    row = get_for_edit(Piece.objects.all(), viewer, "remove", uid=uid)
    refused = ""
    if request.method == "POST":
        try:
            tell(request, remove_piece(piece=row, by=viewer.member))
            return redirect("gear", ministry=viewer.ministry.slug)
        except CannotRemove as error:
            refused = str(error)
    told = {"piece": row, "refused": refused}
    return render(request, "inventory/piece_remove.html", told, status=409 if refused else 200)
