"""What happened here: acts of a ministry or of one thing, each field before and after, and the way back."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Page, Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

from people.access import Viewer, in_ministry
from people.clock import now, today
from people.compute.packs import CountryPack
from people.forms.happened import HappenedForm
from people.models import Act, Tracked
from people.packs import pack
from people.services import undo as undoing
from people.services.history import (
    ROWS_SHOWN,
    acts_for,
    acts_of_thing,
    changes_of_act,
    changes_of_thing,
    kinds_seen,
    may_tell,
    may_undo,
    rows_of_act,
    sees,
    touched,
)
from people.views.history_words import (
    ToldRow,
    counted_kinds,
    kind_slug,
    kind_words,
    neutral_sentence,
    told_rows,
)
from people.views.told import tell

A_PAGE = 30


@dataclass(frozen=True)
class ToldAct:
    """One act as this viewer may read it."""

    act: Act
    says: str
    by: str
    at: Any
    what: str
    url: str
    undo_url: str  # '' where it cannot be taken back by this viewer
    taken_back: bool
    rows: tuple[ToldRow, ...] = ()


def told_act(
    viewer: Viewer, act: Act, kinds: dict[type[Tracked], int], its_pack: CountryPack, rows: tuple[ToldRow, ...] = ()
) -> ToldAct:
    seen = {model: count for model, count in kinds.items() if sees(viewer, model)}
    taken_back = getattr(act, "undone_by", None) is not None
    back = may_undo(viewer, act, kinds) and not taken_back
    where = {"ministry": viewer.ministry.slug, "act": act.pk}
    return ToldAct(
        act=act,
        says=act.says if may_tell(viewer, act, kinds) else neutral_sentence(seen, its_pack),
        by=by_words(viewer, act),
        at=act.at.astimezone(now(viewer.ministry).tzinfo),
        what=counted_kinds(seen, its_pack),
        url=reverse("happened-act", kwargs=where) if seen else "",
        undo_url=reverse("undo", kwargs=where) if back else "",
        taken_back=taken_back,
        rows=rows,
    )


def by_words(viewer: Viewer, act: Act) -> str:
    """Return who did it; an address stands in for a missing name only where addresses may be seen."""
    by = act.by_words or _("the program")
    return by if "@" not in by or viewer.may("see_contacts") else _("a member")


@in_ministry("see")
def happened(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = HappenedForm(request.GET, viewer=viewer, kinds=kinds_seen(viewer))
    chosen = form.cleaned_data if form.is_valid() else {}
    model = next((one for one in kinds_seen(viewer) if kind_slug(one) == chosen.get("kind")), None)
    page = _page(request, acts_for(viewer, model=model, by=chosen.get("by") or None))
    kinds, its_pack = touched(page), pack(viewer.ministry.country)
    acts = [told_act(viewer, act, kinds.get(act.pk, {}), its_pack) for act in page]
    told = {
        "form": form,
        "page": page,
        "acts": acts,
        "on_the_day": [one for one in acts if one.at.date() == today(viewer.ministry)],
        "keep": _rest_of_query(request),
        "filtered": bool(chosen.get("kind") or chosen.get("by")),
    }
    return render(request, "people/happened.html", told)


@in_ministry("see")
def happened_act(request: HttpRequest, viewer: Viewer, act: int) -> HttpResponse:
    """Show every field one act changed, a leaf of rows at a time."""
    chosen, kinds = _act_seen(viewer, act)
    its_pack = pack(viewer.ministry.country)
    rows = rows_of_act(viewer, chosen, kinds)
    page = Paginator(range(sum(rows.values())), ROWS_SHOWN).get_page(request.GET.get("page"))
    changes, names = changes_of_act(viewer, chosen, rows, first=page.start_index() - 1 if rows else 0)
    told = {
        "told": told_act(viewer, chosen, kinds, its_pack, tuple(told_rows(changes, names, its_pack))),
        "page": page,
    }
    return render(request, "people/happened_act.html", told)


@in_ministry("see")
def happened_thing(request: HttpRequest, viewer: Viewer, kind: str, uid: str) -> HttpResponse:
    """Show what happened to one thing and the parts of it, also when it is gone."""
    model = next((one for one in kinds_seen(viewer) if kind_slug(one) == kind), None)
    last = (
        model and model.history.model.objects.filter(uid=uid, ministry=viewer.ministry).order_by("-history_id").first()
    )
    if not model or not last:
        raise Http404
    page = _page(request, acts_of_thing(viewer, model, last.id))
    its_pack, kinds = pack(viewer.ministry.country), touched(page)
    changes, names = changes_of_thing(viewer, model, last.id, list(page))
    acts = [
        told_act(
            viewer, act, kinds.get(act.pk, {}), its_pack, tuple(told_rows(changes.get(act.pk, ()), names, its_pack))
        )
        for act in page
    ]
    told = {
        "kind": kind_words(model),
        "name": str(last.instance),
        "gone": last.history_type == "-",
        "acts": acts,
        "page": page,
    }
    return render(request, "people/happened_thing.html", told)


@in_ministry("undo")
def undo(request: HttpRequest, viewer: Viewer, act: int) -> HttpResponse:
    """Ask when opened, take back when posted; a refusal names what stands in the way."""
    chosen, kinds = _act_seen(viewer, act)
    if kinds and not may_undo(viewer, chosen, kinds):
        raise PermissionDenied
    if request.method == "POST":
        return _take_back(request, viewer, chosen, kinds)
    its_pack = pack(viewer.ministry.country)
    rows = rows_of_act(viewer, chosen, kinds)
    changes, names = changes_of_act(viewer, chosen, rows)
    told = {
        "told": told_act(viewer, chosen, kinds, its_pack, tuple(told_rows(changes, names, its_pack))),
        "refused": undoing.why_not(act=chosen) if kinds else None,
        "nothing": not kinds,
        "what": counted_kinds(kinds, its_pack),
        "more": max(0, sum(rows.values()) - ROWS_SHOWN),
    }
    return render(request, "people/undo.html", told)


def _take_back(request: HttpRequest, viewer: Viewer, act: Act, kinds: dict[type[Tracked], int]) -> HttpResponse:
    back = _way_back(request, viewer)
    if not kinds:
        messages.error(request, _("Nothing to take back: this changed no thing."))
        return redirect(back)
    try:
        tell(request, undoing.undo(act=act, by=viewer.member))
    except undoing.CannotUndo as refused:
        messages.error(request, str(refused))
    return redirect(back)


def _way_back(request: HttpRequest, viewer: Viewer) -> str:
    """Return the page of this church the button stood on, if it is surely still there: a list, not a thing."""
    home = reverse("happened", kwargs={"ministry": viewer.ministry.slug})
    came_from = request.headers.get("Referer", "")
    if not url_has_allowed_host_and_scheme(came_from, {request.get_host()}, require_https=request.is_secure()):
        return home
    parts = urlsplit(came_from)
    try:
        match = resolve(parts.path)
    except Resolver404:
        return home
    if match.kwargs != {"ministry": viewer.ministry.slug}:
        return home
    return parts.path + (f"?{parts.query}" if parts.query else "")


def _act_seen(viewer: Viewer, act: int) -> tuple[Act, dict[type[Tracked], int]]:
    chosen = acts_for(viewer).filter(pk=act).first()
    if chosen is None:
        raise Http404
    return chosen, touched([chosen]).get(chosen.pk, {})


def _page(request: HttpRequest, acts: Any) -> Page[Act]:
    return Paginator(acts, A_PAGE).get_page(request.GET.get("page"))


def _rest_of_query(request: HttpRequest) -> str:
    query = request.GET.copy()
    query.pop("page", None)
    return f"{query.urlencode()}&" if query else ""
