"""What was promised for every Sunday and how it stands, and the figures the work should move."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from people.access import Viewer, in_ministry
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.compute.ladder import WORST_FIRST
from roadmap.forms.promises import GoalForm, PromiseForm, StandingForm
from roadmap.models import Goal, Promise
from roadmap.services.promises import add_goal, add_promise, change_goal, change_promise, say_how_it_stands
from roadmap.views.editing import edit, write
from roadmap.words import Standing


@require_GET
@in_ministry("see_plan")
def promises(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    rows = list(Promise.objects.visible_to(viewer).select_related("brought_by"))
    asked = [row for row in rows if row.standing != Standing.NOT_YET]
    context = {
        "promises": sorted(rows, key=lambda row: WORST_FIRST.index(row.standing)),
        "asked": asked,
        "holding": [row for row in asked if row.standing in {Standing.KEPT, Standing.FALLBACK}],
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/promises.html", context)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def promise_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=PromiseForm,
        add=partial(add_promise, ministry=viewer.ministry),
        template="roadmap/promise_form.html",
        back=reverse("promises", kwargs={"ministry": viewer.ministry.slug}),
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def promise_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Promise.objects.all(), viewer, "plan", key=key)
    return edit(
        request,
        viewer,
        row=row,
        form_class=PromiseForm,
        change=partial(change_promise, promise=row),
        template="roadmap/promise_form.html",
        then=reverse("promises", kwargs={"ministry": viewer.ministry.slug}),
        promise=row,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def promise_stands(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    """Say how a promise stands today; the earlier words stay in its history."""
    row = get_for_edit(Promise.objects.all(), viewer, "plan", key=key)
    back = reverse("promises", kwargs={"ministry": viewer.ministry.slug})
    form = StandingForm(
        request.POST if request.method == "POST" else None,
        viewer=viewer,
        initial={"standing": row.standing, "why": row.why},
    )
    if request.method == "POST" and form.is_valid():
        tell(request, say_how_it_stands(promise=row, by=viewer.member, **form.cleaned_data))
        return redirect(back)
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "promise": row, "stands": True, "back": back}
    return render(request, "roadmap/promise_form.html", context, status=status)


@require_GET
@in_ministry("see_plan")
def goals(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    rows = list(Goal.objects.visible_to(viewer).select_related("phase"))
    context = {
        "goals": rows,
        "measured": [row for row in rows if row.after],
        "not_begun": [row for row in rows if not row.before],
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/goals.html", context)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def goal_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=GoalForm,
        add=partial(add_goal, ministry=viewer.ministry),
        template="roadmap/goal_form.html",
        back=reverse("goals", kwargs={"ministry": viewer.ministry.slug}),
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def goal_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Goal.objects.all(), viewer, "plan", uid=uid)
    return edit(
        request,
        viewer,
        row=row,
        form_class=GoalForm,
        change=partial(change_goal, row=row),
        template="roadmap/goal_form.html",
        then=reverse("goals", kwargs={"ministry": viewer.ministry.slug}),
        goal=row,
    )
