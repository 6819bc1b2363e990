"""One phase: what it holds, what it costs, what is decided; and phases proposed under a cap."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.compute.phasing import OverCap
from roadmap.forms.money import CapForm, GateForm
from roadmap.forms.steps import PhaseForm
from roadmap.models import Phase
from roadmap.services.gates import decide_gate
from roadmap.services.loading import planned
from roadmap.services.money import step_totals
from roadmap.services.phases import accept, add_phase, change_phase, propose
from roadmap.services.standing import stop_after
from roadmap.views.editing import edit, write


@require_GET
@in_ministry("see_money")
def phase(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    return render(request, "roadmap/phase.html", phase_page(viewer, _phase(viewer, key)))


def _phase(viewer: Viewer, key: str) -> Phase:
    return get_for_edit(Phase.objects.all(), viewer, "see_money", key=key)


def phase_page(viewer: Viewer, row: Phase, **forms: object) -> dict[str, object]:
    """Return what the page of a phase shows; `forms` replaces forms that came back with faults."""
    made = planned(viewer.ministry)
    costs = step_totals(made)
    steps = [
        (step, made.plan.steps.get(step.key), costs[step.key])
        for key in made.plan.order
        for step in made.given.steps
        if step.key == key and step.phase == row.key
    ]
    return {
        "phase": row,
        "totals": made.plan.phases[row.key],
        "steps": steps,
        "stop": stop_after(made.given, row.key),
        "leaders": pack(viewer.ministry.country).word("leaders"),
        "gate_form": GateForm(viewer=viewer, initial={"gate_state": row.gate_state, "gate_words": row.gate_words}),
        "may_decide": viewer.may("decide_gates"),
        "may_plan": viewer.may("plan"),
        **forms,
    }


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def phase_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=PhaseForm,
        add=partial(add_phase, ministry=viewer.ministry),
        template="roadmap/phase_form.html",
        back=reverse("money", kwargs={"ministry": viewer.ministry.slug}),
        then=address,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def phase_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Phase.objects.all(), viewer, "plan", key=key)
    return edit(
        request,
        viewer,
        row=row,
        form_class=PhaseForm,
        change=partial(change_phase, phase=row),
        template="roadmap/phase_form.html",
        then=address(row),
        phase=row,
    )


def address(row: Phase) -> str:
    return reverse("phase", kwargs={"ministry": row.ministry.slug, "key": row.key})


@require_POST
@in_ministry("see_money")
def phase_decide(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Phase.objects.all(), viewer, "decide_gates", key=key)
    form = GateForm(request.POST, viewer=viewer)
    if not form.is_valid():
        return render(request, "roadmap/phase.html", phase_page(viewer, row, gate_form=form), status=422)
    tell(request, decide_gate(phase=row, by=viewer.member, **form.cleaned_data))
    return redirect("phase", ministry=viewer.ministry.slug, key=key)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def phases_propose(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The fewest phases under a cap, as a proposal; only the button that says so changes anything."""
    asked = CapForm(request.POST if request.method == "POST" else request.GET or None, viewer=viewer)
    made = planned(viewer.ministry)
    proposal, refusal = None, ""
    if asked.is_valid():
        try:
            proposal = propose(made.given, asked.cleaned_data["cap"])
        except OverCap as over:
            refusal = _("Step %(key)s alone costs more than that: raise the most a phase may cost, or split the step.")
            refusal %= {"key": over.step}
    if proposal and request.method == "POST":
        act = accept(ministry=viewer.ministry, by=viewer.member, proposal=proposal)
        if act:
            tell(request, act)
        return redirect("money", ministry=viewer.ministry.slug)
    context = {"form": asked, "proposal": proposal, "refusal": refusal, "cap": asked.data.get("cap", "")}
    status = 422 if refusal or asked.errors else 200
    return render(request, "roadmap/phases_propose.html", context, status=status)
