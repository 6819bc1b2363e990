"""Photographs: added, shown only to who may see the piece, taken off."""

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from inventory.forms.piece import PhotoForm
from inventory.models import Photo, Piece
from inventory.services.photos import PhotoRefused, add_photo, remove_photo
from people.access import Viewer, in_ministry
from people.querysets import get_for_edit, get_visible
from people.views.told import tell

A_YEAR = 31_536_000  # seconds; another picture has another address


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_photo_add(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    piece = get_for_edit(Piece.objects.listed(), viewer, "record", uid=uid)
    form = (
        PhotoForm(request.POST, request.FILES, viewer=viewer) if request.method == "POST" else PhotoForm(viewer=viewer)
    )
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            __, act = add_photo(
                piece=piece,
                by=viewer.member,
                file=given["file"],
                size=given["file"].size,
                shows=given["shows"],
                caption=given["caption"],
            )
        except PhotoRefused as refused:
            form.add_error("file", str(refused))
        else:
            tell(request, act)
            return redirect(piece)
    told = {"form": form, "piece": piece}
    return render(request, "inventory/photo_add.html", told, status=422 if form.errors else 200)


@require_GET
@in_ministry("see")
def photo(request: HttpRequest, viewer: Viewer, uid: str, size: str) -> HttpResponse:
    """Send a picture; only its own piece's viewers get it, and only their own browser keeps it."""
    picture = get_visible(Photo.objects.all(), viewer, uid=uid)
    etag = f'"{picture.uid}-{size}"'
    if request.headers.get("If-None-Match") == etag:
        answer = HttpResponse(status=304)
    else:
        try:
            file = (picture.small if size == "small" else picture.file).open("rb")
        except FileNotFoundError:
            raise Http404 from None
        answer = FileResponse(file, content_type="image/webp")
    answer["Cache-Control"] = f"private, max-age={A_YEAR}, immutable"
    answer["ETag"] = etag
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def photo_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    picture = get_for_edit(Photo.objects.select_related("piece"), viewer, "remove", uid=uid)
    if request.method == "POST":
        piece = picture.piece
        tell(request, remove_photo(photo=picture, by=viewer.member))
        return redirect(piece)
    return render(request, "inventory/photo_remove.html", {"photo": picture, "piece": picture.piece})
