"""What the rooms need, and how far it is filled; one need; changing it; choosing by hand."""

import re
from collections import Counter
from itertools import groupby
from typing import Any

from django.forms import formset_factory
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.compute.must_haves import UNITS, read_must_haves
from inventory.forms.needs import SPARE_LINES, ChooseForm, MustForm, NeedForm
from inventory.models import Choice, Must, PieceFact, RoomNeed
from inventory.services.fates import FateRefused
from inventory.services.matching import propose
from inventory.services.needs import (
    NeedLook,
    add_need,
    change_need,
    choose,
    leave,
    look_at_needs,
    remove_need,
)
from inventory.services.saying import said
from inventory.views.clashes import chosen_in, shown
from inventory.views.match_words import in_words
from people.access import Viewer, in_ministry
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from people.querysets import get_for_edit, get_visible
from people.services.merging import Clashed
from people.views.told import tell

WITH_CHOICES = ("musts", "choices__piece__place__site", "choices__piece__ministry")
STEP_KEY = re.compile(r"\bS\d+\b")


def needs_of(viewer: Viewer) -> Any:
    rows = RoomNeed.objects.visible_to(viewer).select_related("place__site", "ministry")
    return rows.prefetch_related(*WITH_CHOICES)


@require_GET
@in_ministry("see")
def needs(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    looks = look_at_needs(viewer.ministry, list(needs_of(viewer).order_by("place__order", "place", "key")))
    groups = [(place, list(rows)) for place, rows in groupby(looks, key=lambda look: look.need.place)]
    counts = Counter(look.state for look in looks)
    context = {
        "groups": groups,
        "looks": looks,
        "answer": _answer(viewer, looks, counts),
        "slides": [(counts["filled"], _("filled"), ""), (counts["on order"], _("on order"), "")] if looks else [],
        "may_decide": viewer.may("decide_fates"),
    }
    return render(request, "inventory/need_list.html", context)


def _answer(viewer: Viewer, looks: list[NeedLook], counts: Counter[str]) -> str:
    """Return the sentence: so many of all are filled, so many wait, which are open."""
    country = pack(viewer.ministry.country)
    if not looks:
        return _("Nobody has written down yet what the rooms need.")
    text = ngettext("%(n)s of %(all)d need is filled", "%(n)s of %(all)d needs are filled", len(looks))
    parts = [text % {"n": counts["filled"], "all": len(looks)}]
    if waiting := counts["on order"]:
        words = ngettext("%(n)s waits for an order", "%(n)s wait for an order", waiting)
        parts.append(words % {"n": number_word(waiting, country)})
    open_ones = [look.need.what for look in looks if look.state not in ("filled", "on order")]
    if open_ones:
        text = ngettext("%(n)s is not: %(which)s", "%(n)s are not: %(which)s", len(open_ones))
        more = open_ones[:5] + [_("others")] * (len(open_ones) > 5)
        parts.append(text % {"n": number_word(len(open_ones), country), "which": phrasing.join_words(more, country)})
    return "; ".join(parts) + "."


def number_word(n: int, country: CountryPack) -> str:
    """Return a small number as a word within a sentence: two; larger ones in figures."""
    return phrasing.counted(n, "", "", country, at_start=True).strip().lower()


@require_GET
@in_ministry("see")
def need(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    return render(request, "inventory/need.html", page_of(viewer, get_visible(needs_of(viewer), viewer, uid=uid)))


def page_of(viewer: Viewer, row: RoomNeed, **forms: Any) -> dict[str, Any]:
    """Return what the page of a need shows; `forms` replaces a form that came back with faults."""
    (look,) = look_at_needs(viewer.ministry, [row])
    answer = propose(viewer.ministry)
    proposal = next(one for one in answer.proposals if one.need.pk == row.pk)
    country = pack(viewer.ministry.country)
    return {
        "need": row,
        "look": look,
        "fails": {one.choice.pk: [said(met.say, country) for met in one.fails] for one in look.choices},
        "choices": [
            {"look": one, "choice": one.choice, "fails": [said(met.say, country) for met in one.fails]}
            for one in look.choices
        ],
        "musts": row.musts.all(),
        "to_judge": _to_judge(row, len(proposal.parts)),
        "shown": in_words(answer, [proposal])[0],
        "step_keys": STEP_KEY.findall(row.gap_words),
        "choose_form": ChooseForm(viewer=viewer),
        "may_decide": viewer.may("decide_fates"),
        "sees_plan": viewer.may("see_plan"),
        **forms,
    }


def _to_judge(row: RoomNeed, parts: int) -> tuple[str, ...]:
    """Return the clauses left for a person; a need that names several things is shown by its parts instead."""
    return () if parts > 1 or row.musts.all() else read_must_haves(row.must_words).to_judge


def must_set(viewer: Viewer, data: Any = None, row: RoomNeed | None = None) -> Any:
    """Return the must-haves as rows of a form, with some empty ones below."""
    stored = list(row.musts.order_by("id").values("id", "key", "op", "value", "unit", "words")) if row else []
    for one in stored:
        one["key"] = one["key"].replace("_", " ")
    forms = formset_factory(MustForm, extra=SPARE_LINES, can_delete=False, max_num=60, validate_max=True)
    return forms(data, initial=stored, prefix="musts", form_kwargs={"viewer": viewer})


def _must_keys(viewer: Viewer) -> list[str]:
    """Return what can be counted: what words are read for, and what this church has written down itself."""
    own = Must.objects.visible_to(viewer).values_list("key", flat=True).distinct()
    facts = PieceFact.objects.visible_to(viewer).values_list("key", flat=True).distinct()
    return sorted({key.replace("_", " ") for key in (*UNITS, *own, *facts)})


@require_http_methods(["GET", "POST"])
@in_ministry("decide_fates")
def need_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = NeedForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        row, act = add_need(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect("need", ministry=viewer.ministry.slug, uid=row.uid)
    status = 422 if request.method == "POST" else 200
    return render(request, "inventory/need_form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def need_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(RoomNeed.objects.select_related("ministry"), viewer, "decide_fates", uid=uid)
    data = request.POST if request.method == "POST" else None
    form = NeedForm(data, instance=RoomNeed.objects.get(pk=row.pk), viewer=viewer)
    musts = must_set(viewer, data, row)
    more: dict[str, Any] = {}
    if data is not None and form.is_valid() and musts.is_valid():
        rows = [one.cleaned_data for one in musts if one.cleaned_data.get("key")]
        base = form.cleaned_data.get("base_version")
        try:
            act = change_need(
                need=row, by=viewer.member, musts=rows, base_version=base, **chosen_in(request), **form.changed_values()
            )
        except Clashed as clashed:
            more = shown(clashed, form, viewer)
        else:
            if act:
                tell(request, act)
            return redirect("need", ministry=viewer.ministry.slug, uid=row.uid)
    status = 409 if more else 422 if data is not None else 200
    context = {"form": form, "need": row, "musts": musts, "must_keys": _must_keys(viewer), **more}
    context["may_remove"] = viewer.may("remove")
    return render(request, "inventory/need_form.html", context, status=status)


@require_POST
@in_ministry("see")
def need_choose(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(needs_of(viewer), viewer, "decide_fates", uid=uid)
    form = ChooseForm(request.POST, viewer=viewer)
    if form.is_valid():
        values = dict(form.cleaned_data)
        try:
            act = choose(need=row, piece=values.pop("tag"), by=viewer.member, **values)
        except FateRefused as refused:
            form.add_error(None, " ".join(refused.sentences))
        else:
            tell(request, act)
            return redirect("need", ministry=viewer.ministry.slug, uid=row.uid)
    return render(request, "inventory/need.html", page_of(viewer, row, choose_form=form), status=422)


@require_POST
@in_ministry("see")
def need_leave(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    rows = Choice.objects.select_related("need", "piece", "ministry")
    choice = get_for_edit(rows, viewer, "decide_fates", uid=uid)
    need_uid = choice.need.uid
    tell(request, leave(choice=choice, by=viewer.member))
    return redirect("need", ministry=viewer.ministry.slug, uid=need_uid)


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def need_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(RoomNeed.objects.select_related("ministry", "place"), viewer, "remove", uid=uid)
    if request.method == "POST":
        tell(request, remove_need(need=row, by=viewer.member))
        return redirect("needs", ministry=viewer.ministry.slug)
    return render(request, "inventory/need_remove.html", {"need": row})
