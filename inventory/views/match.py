"""The needs matched with the stock: chosen, next best, margin, what is missing, who was turned down; accepting."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from inventory.models import RoomNeed
from inventory.services.matching import Answer, accept_now, propose
from inventory.views.match_words import in_words
from inventory.views.needs import number_word
from people.access import Viewer, in_ministry
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell

A_PAGE = 40
NEW = ("new", "short")
ORDER = {"new": 0, "short": 0, "empty": 1, "no kind": 2, "as chosen": 3, "covered": 4}


def _asked(data: Any) -> dict[str, bool]:
    """Return what the reader asked the matching to look at besides."""
    also = set(data.getlist("also"))
    return {"also_leaving": "leaving" in also, "also_ordered": "ordered" in also}


@require_GET
@in_ministry("see")
def match(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    asked = _asked(request.GET)
    answer = propose(viewer.ministry, **asked)
    ordered = sorted(answer.proposals, key=lambda one: ORDER[one.state])
    page = Paginator(ordered, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "shown": in_words(answer, list(page.object_list)),
        "answer": _answer(answer),
        "new": sum(one.state in NEW for one in answer.proposals),
        "weights": {name: round(weight * 100) for name, weight in answer.match.weights.items()},
        "also": [name for name in ("leaving", "ordered") if asked[f"also_{name}"]],
        "may_decide": viewer.may("decide_fates"),
        **asked,
    }
    return render(request, "inventory/match.html", context)


def _answer(answer: Answer) -> str:
    states = [one.state for one in answer.proposals]
    if not states:
        return _("There is no need to match: write down what the rooms must do.")
    country = pack(answer.ground.ministry.country)
    new = sum(state in NEW for state in states)
    text = ngettext(
        "For %(n)s need the stock has an answer you have not chosen",
        "For %(n)s needs the stock has an answer you have not chosen",
        new,
    )
    parts = [text % {"n": number_word(new, country)} if new else _("The stock fills the needs as you chose")]
    if nothing := sum(one.unmet > 0 for one in answer.proposals):
        text = ngettext("%(n)s wants what we do not have", "%(n)s want what we do not have", nothing)
        parts.append(text % {"n": number_word(nothing, country)})
    return "; ".join(parts) + "."


@require_POST
@in_ministry("decide_fates")
def match_accept(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Accept the proposal of one need (`need`, its public id), or all of them; matched afresh at this moment."""
    uid = request.POST.get("need", "")
    keys = None
    if uid:
        keys = [get_for_edit(RoomNeed.objects.all(), viewer, "decide_fates", **_by_uid(uid)).key]
    act = accept_now(ministry=viewer.ministry, by=viewer.member, keys=keys, **_asked(request.POST))
    if act:
        tell(request, act)
    else:
        messages.info(request, _("Nothing is left to accept there: it stands as proposed."))
    return redirect("match", ministry=viewer.ministry.slug)


def _by_uid(uid: str) -> dict[str, Any]:
    try:
        return {"uid": UUID(uid)}
    except ValueError:
        return {"pk": 0}
