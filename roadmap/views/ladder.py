"""The steps as a Sunday ladder, with the same in figures."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from people.access import Viewer, in_ministry
from roadmap.compute.ordering import implied_links
from roadmap.services.loading import planned


@require_GET
@in_ministry("see_plan")
def steps(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    made = planned(viewer.ministry)
    given = {step.key: step for step in made.given.steps}
    requires = {step.key: [link.step for link in step.links] for step in made.given.steps}
    context = {
        "steps": [(given[key], made.plan.steps.get(key)) for key in made.plan.order],
        "open": [key for key in made.plan.order if (dates := made.plan.steps.get(key)) and not dates.done],
        "implied": sorted(implied_links(requires)),
        "unplaced": made.plan.unplaced,
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/steps.html", context)
