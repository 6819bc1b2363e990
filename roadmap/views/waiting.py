"""Waiting on: what is awaited, since when, and what it holds up."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from people.access import Viewer, in_ministry
from people.clock import today
from roadmap.compute.waiting import waiting_on
from roadmap.models import Order
from roadmap.services.loading import planned
from roadmap.words import OrderState


@require_GET
@in_ministry("see_plan")
def waiting(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    made = planned(viewer.ministry)
    awaited = waiting_on(made.given, made.plan)
    orders = {
        row.key: row for row in Order.objects.visible_to(viewer).select_related("supplier").prefetch_related("lines")
    }
    keys = {one.order for one in awaited}
    context = {
        "awaited": [(one, orders[one.order]) for one in awaited],
        "late": [one for one in awaited if one.nth > 1 or one.overdue],
        "holding": [one for one in awaited if one.holds_up],
        "untested": [row for row in orders.values() if row.state == OrderState.ARRIVED],
        "priced": [
            row for row in orders.values() if row.state in {OrderState.PRICED, OrderState.ASKED} and not row.is_option
        ],
        "others": [row for row in orders.values() if row.key not in keys and row.state == OrderState.CHECKED],
        "options": [row for row in orders.values() if row.is_option],
        "titles": {step.key: step.title for step in made.given.steps},
        "promise_words": {promise.key: promise.words for promise in made.given.promises},
        "phase_names": {phase.key: phase.name for phase in made.given.phases},
        "day": today(viewer.ministry),
        "may_order": viewer.may("edit_orders"),
    }
    return render(request, "roadmap/waiting.html", context)
