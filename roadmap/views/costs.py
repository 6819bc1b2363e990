"""What a step costs that no order carries."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.forms.money import CostForm
from roadmap.models import Step, StepCost
from roadmap.services.steps import add_cost, change_cost, remove_cost
from roadmap.views.editing import edit, write


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def step_cost_add(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Step.objects.all(), viewer, "edit_money", key=key)
    return write(
        request,
        viewer,
        form_class=CostForm,
        add=partial(add_cost, step=row),
        template="roadmap/cost_form.html",
        back=row.get_absolute_url(),
        step=row,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def step_cost_edit(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    row = get_for_edit(StepCost.objects.select_related("step"), viewer, "edit_money", step__key=key, uid=uid)
    return edit(
        request,
        viewer,
        row=row,
        form_class=CostForm,
        change=partial(change_cost, cost=row),
        template="roadmap/cost_form.html",
        then=row.step.get_absolute_url(),
        step=row.step,
        cost=row,
    )


@require_POST
@in_ministry("see_money")
def step_cost_remove(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    row = get_for_edit(StepCost.objects.select_related("step"), viewer, "edit_money", step__key=key, uid=uid)
    step = row.step
    tell(request, remove_cost(cost=row, by=viewer.member))
    return redirect(step)
