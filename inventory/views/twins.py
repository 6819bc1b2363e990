"""Pairs that may be one piece: the evidence, the ruling, and the way back."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from inventory.models import Piece, SourceRow, Twin
from inventory.services.twins import CannotRule, differing, rule_one_piece, rule_two_pieces, unmerge
from people.access import Viewer, in_ministry
from people.compute.phrasing import mass, money
from people.models import Act
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell

AT_ONCE = 10
NAMES = {
    "what": gettext_lazy("What it is"),
    "maker": gettext_lazy("Maker"),
    "model": gettext_lazy("Model"),
    "serial": gettext_lazy("Serial"),
    "quantity": gettext_lazy("How many"),
    "condition": gettext_lazy("Condition"),
    "place": gettext_lazy("Place"),
    "year": gettext_lazy("Year"),
    "paid_minor": gettext_lazy("Paid"),
    "resale_minor": gettext_lazy("Resale guess"),
    "bond_words": gettext_lazy("What binds it"),
    "watts": gettext_lazy("Watts"),
    "rack_units": gettext_lazy("Rack units"),
    "mass_g": gettext_lazy("Mass"),
    "radio_low_khz": gettext_lazy("Radio"),
}


@dataclass(frozen=True)
class Side:
    """One of the two, with the row it came from."""

    piece: Piece
    where: str
    raw: dict[str, str]


@dataclass(frozen=True)
class Pair:
    """Two pieces side by side; `choices` are (column, name, first's words, second's words)."""

    twin: Twin
    first: Side
    second: Side
    choices: list[tuple[str, str, str, str]]


def _twins(viewer: Viewer) -> Any:
    joined = ("first__place__site", "second__place__site", "first__found_at", "second__found_at")
    return Twin.objects.visible_to(viewer).select_related("ministry", *joined)


def _open(viewer: Viewer) -> Any:
    return _twins(viewer).filter(
        ruling=Twin.Ruling.OPEN, first__merged_into__isnull=True, second__merged_into__isnull=True
    )


def _pairs(viewer: Viewer, twins: list[Twin]) -> list[Pair]:
    """Return the pairs with the rows their pieces came from; one query for all of them."""
    ids = {key for twin in twins for key in (twin.first_id, twin.second_id)}
    rows: dict[int, SourceRow] = {}
    for row in SourceRow.objects.filter(piece__in=ids).select_related("source").defer("source__draft").order_by("-id"):
        rows[row.piece_id or 0] = row
    return [
        Pair(
            twin,
            _side(twin.first, rows.get(twin.first_id)),
            _side(twin.second, rows.get(twin.second_id)),
            _choices(viewer, twin.first, twin.second),
        )
        for twin in twins
    ]


def _side(piece: Piece, row: SourceRow | None) -> Side:
    if row is None:
        return Side(piece, _("on the list already"), {})
    where = _("%(list)s, row %(row)s") % {"list": "/".join(filter(None, (row.source.name, row.sheet))), "row": row.row}
    return Side(piece, where, {name: cell for name, cell in row.raw.items() if str(cell).strip()})


def _choices(viewer: Viewer, first: Piece, second: Piece) -> list[tuple[str, str, str, str]]:
    return [
        (name, str(NAMES[name]), _said(viewer, first, name, one), _said(viewer, second, name, other))
        for name, one, other in differing(first, second)
    ]


def _said(viewer: Viewer, piece: Piece, name: str, value: Any) -> str:
    country = pack(viewer.ministry.country)
    if name.endswith("_minor"):
        return money(value, country, currency=piece.price_currency or viewer.ministry.currency)
    if name == "radio_low_khz":
        return f"{value / 1000:g}–{(piece.radio_high_khz or value) / 1000:g} MHz"
    return mass(value, country) if name == "mass_g" else str(value)


@require_GET
@in_ministry("decide_fates")
def twins(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The pairs nobody has ruled on, strongest first, and the last rulings."""
    page = Paginator(_open(viewer), AT_ONCE).get_page(request.GET.get("page"))
    ruled = list(_twins(viewer).exclude(ruling=Twin.Ruling.OPEN).order_by("-ruled_on", "-id")[:AT_ONCE])
    context = {"page": page, "pairs": _pairs(viewer, list(page)), "ruled": ruled, "count": page.paginator.count}
    return render(request, "inventory/twin_list.html", context)


@require_GET
@in_ministry("decide_fates")
def twin(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """One pair side by side, with what would be kept of each."""
    found = get_for_edit(_twins(viewer), viewer, "decide_fates", uid=uid)
    return render(request, "inventory/twin.html", {"pair": _pairs(viewer, [found])[0], "twin": found})


@require_POST
@in_ministry("decide_fates")
def twin_rule(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Rule that the two are one, or two."""
    found = get_for_edit(_twins(viewer), viewer, "decide_fates", uid=uid)
    try:
        if request.POST.get("ruling") == "one":
            second = [name for name in NAMES if request.POST.get(f"keep-{name}") == "second"]
            rule_one_piece(twin=found, by=viewer.member, from_second=second)
        else:
            rule_two_pieces(twin=found, by=viewer.member)
    except CannotRule as told:
        messages.error(request, told.sentence)
        return redirect("twins", ministry=viewer.ministry.slug)
    _tell_last(request, found)
    return redirect("twins", ministry=viewer.ministry.slug)


@require_POST
@in_ministry("decide_fates")
def twin_unmerge(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Make one piece two again."""
    found = get_for_edit(_twins(viewer), viewer, "decide_fates", uid=uid)
    try:
        unmerge(twin=found, by=viewer.member)
    except CannotRule as told:
        messages.error(request, told.sentence)
        return redirect("twins", ministry=viewer.ministry.slug)
    _tell_last(request, found)
    return redirect("twin", ministry=viewer.ministry.slug, uid=found.uid)


def _tell_last(request: HttpRequest, found: Twin) -> None:
    act: Act = found.history.select_related("act__ministry").latest("history_id").act
    tell(request, act)
