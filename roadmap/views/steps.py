"""One step: what it is, what it requires, how it stands, and the forms that change it."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.clock import today
from people.packs import pack
from people.querysets import get_for_edit, get_visible
from people.views.told import tell
from roadmap.compute.totals import step_money
from roadmap.forms.steps import LinkForm, RequireForm, StepForm, StepStateForm
from roadmap.models import Phase, Step, StepLink
from roadmap.services.loading import planned
from roadmap.services.money import not_allowed
from roadmap.services.steps import (
    LinkRefused,
    add_step,
    change_link,
    change_step,
    move_step_on,
    reorder,
    require,
    require_no_more,
)
from roadmap.views.editing import edit, write
from roadmap.views.reasons import cautions_of, reasons


@require_GET
@in_ministry("see_plan")
def step(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_visible(Step.objects.select_related("phase", "owner", "fund"), viewer, key=key)
    return render(request, "roadmap/step.html", page_of(viewer, row))


def page_of(viewer: Viewer, row: Step, **forms: object) -> dict[str, object]:
    """Return what the page of a step shows; `forms` replaces forms that came back with faults."""
    made = planned(viewer.ministry)
    given = {one.key: one for one in made.given.steps}
    dates = made.plan.steps.get(row.key)
    links = StepLink.objects.visible_to(viewer)
    country = pack(viewer.ministry.country)
    state = StepStateForm(
        viewer=viewer, initial={"state": row.state, "on": today(viewer.ministry), "words": row.state_words}
    )
    return {
        "step": row,
        "dates": dates,
        "why": reasons(dates, country) if dates else [made.plan.unplaced.get(row.key, "")],
        "requires": [
            (link, made.plan.steps.get(link.requires.key))
            for link in links.filter(step=row).select_related("requires").order_by("requires__order")
        ],
        "required_by": [
            (link, made.plan.steps.get(link.step.key))
            for link in links.filter(requires=row).select_related("step").order_by("step__order")
        ],
        "lines": row.order_lines.select_related("order__supplier").order_by("order__key", "position"),
        "costs": row.costs.visible_to(viewer) if viewer.sees_money else [],
        "money": step_money(given[row.key]) if row.key in given and viewer.sees_money else None,
        "promises": row.brings_promises.all(),
        "cautions": [] if dates and dates.done else cautions_of(row, country),
        "state_form": state,
        "require_form": RequireForm(viewer=viewer),
        "may_plan": viewer.may("plan"),
        "may_record": viewer.may("record"),
        "may_money": viewer.may("edit_money"),
        "payments": row.payments.visible_to(viewer),
        "refused_fund": not_allowed(viewer).get(row.key, ""),
        **forms,
    }


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def step_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=StepForm,
        add=partial(add_step, ministry=viewer.ministry),
        template="roadmap/step_form.html",
        back=reverse("steps", kwargs={"ministry": viewer.ministry.slug}),
        then=Step.get_absolute_url,
        phaseless=not Phase.objects.visible_to(viewer).exists(),
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def step_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Step.objects.all(), viewer, "plan", key=key)
    return edit(
        request,
        viewer,
        row=row,
        form_class=StepForm,
        change=partial(change_step, step=row),
        template="roadmap/step_form.html",
        then=row.get_absolute_url(),
        step=row,
    )


@require_POST
@in_ministry("see_plan")
def step_move(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    """Change places with the step before or after it in the list: `to=up` or `to=down`."""
    row = get_for_edit(Step.objects.all(), viewer, "plan", key=key)
    if act := reorder(step=row, by=viewer.member, up=request.POST.get("to") == "up"):
        tell(request, act)
    return redirect(row)


@require_POST
@in_ministry("see_plan")
def step_state(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Step.objects.select_related("phase"), viewer, "record", key=key)
    form = StepStateForm(request.POST, viewer=viewer)
    if not form.is_valid():
        return render(request, "roadmap/step.html", page_of(viewer, row, state_form=form), status=422)
    tell(request, move_step_on(step=row, by=viewer.member, **form.cleaned_data))
    return redirect(row)


@require_POST
@in_ministry("see_plan")
def step_require(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Step.objects.select_related("phase"), viewer, "plan", key=key)
    form = RequireForm(request.POST, viewer=viewer)
    if form.is_valid():
        try:
            __, act = require(step=row, requires=form.cleaned_data["requires"], by=viewer.member, **form.how())
        except LinkRefused as refused:
            form.add_error("requires", refused.sentence)
        else:
            tell(request, act)
            return redirect(row)
    return render(request, "roadmap/step.html", page_of(viewer, row, require_form=form), status=422)


@require_POST
@in_ministry("see_plan")
def step_require_no_more(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    links = StepLink.objects.select_related("step", "requires")
    link = get_for_edit(links, viewer, "plan", step__key=key, uid=uid)
    tell(request, require_no_more(link=link, by=viewer.member), _("It no longer requires that step."))
    return redirect(link.step)


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def step_link(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    """Change how a step requires another: what must lie between."""
    links = StepLink.objects.select_related("step", "requires")
    link = get_for_edit(links, viewer, "plan", step__key=key, uid=uid)
    return edit(
        request,
        viewer,
        row=link,
        form_class=LinkForm,
        change=partial(change_link, link=link),
        template="roadmap/link_form.html",
        then=link.step.get_absolute_url(),
        link=link,
    )
