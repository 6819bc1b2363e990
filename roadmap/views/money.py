"""Money: phases and funds, each with the same in figures; the treasurer's spreadsheet."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from people.access import Viewer, in_ministry
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.forms.money import FundForm, GateForm
from roadmap.forms.steps import PhaseForm
from roadmap.models import Fund, Phase
from roadmap.services.funds import add_fund, change_fund
from roadmap.services.gates import decide_gate
from roadmap.services.loading import planned
from roadmap.services.money import FundRow, money_sheet, step_totals
from roadmap.services.standing import stop_after
from roadmap.services.steps import change_phase
from roadmap.words import FundNature, GateState


@require_GET
@in_ministry("see_money")
def money(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    made = planned(viewer.ministry)
    sheet = money_sheet(viewer, made)
    counted = [row for row in sheet.funds if row.fund.nature != FundNature.RESALE]
    ahead = [row for row in sheet.phases if row.phase.gate_state == GateState.AHEAD]
    context = {
        "sheet": sheet,
        "funds": counted,
        "sales": [row for row in sheet.funds if row.fund.nature == FundNature.RESALE],
        "together": {
            "banked": sum(row.banked for row in counted),
            "expected": sum(row.expected for row in counted),
            "needed": sum(row.needed for row in counted),
            "left": sum(row.left for row in counted),
        },
        "short": [row for row in counted if row.left < 0],
        "asked": ahead[0] if ahead else None,
        "leaders": pack(viewer.ministry.country).word("leaders"),
        "may_edit": viewer.may("edit_money"),
    }
    return render(request, "roadmap/money.html", context)


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
@in_ministry("see_money")
def phase_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Phase.objects.all(), viewer, "plan", key=key)
    form = PhaseForm(request.POST or None, instance=row, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        fresh = get_for_edit(Phase.objects.all(), viewer, "plan", key=key)
        tell(request, change_phase(phase=fresh, by=viewer.member, **form.changed_values()))
        return redirect("phase", ministry=viewer.ministry.slug, key=key)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/phase_form.html", {"form": form, "phase": row}, status=status)


@require_http_methods(["POST"])
@in_ministry("see_money")
def phase_decide(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Phase.objects.all(), viewer, "decide_gates", key=key)
    form = GateForm(request.POST, viewer=viewer)
    if not form.is_valid():
        return render(request, "roadmap/phase.html", phase_page(viewer, row, gate_form=form), status=422)
    tell(request, decide_gate(phase=row, by=viewer.member, **form.cleaned_data))
    return redirect("phase", ministry=viewer.ministry.slug, key=key)


@require_GET
@in_ministry("see_money")
def fund(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Fund.objects.all(), viewer, "see_money", code=code)
    made = planned(viewer.ministry)
    found: FundRow = next(one for one in money_sheet(viewer, made).funds if one.fund.pk == row.pk)
    costs = step_totals(made)
    context = {
        "row": found,
        "income": row.income.visible_to(viewer),
        "payments": row.payments.visible_to(viewer).select_related("order", "step"),
        "rules": row.rules.visible_to(viewer).select_related("step", "phase"),
        "steps": [(step, costs[step.key]) for step in made.given.steps if step.fund == row.code],
        "may_edit": viewer.may("edit_money"),
    }
    return render(request, "roadmap/fund.html", context)


@require_http_methods(["GET", "POST"])
@in_ministry("edit_money")
def fund_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = FundForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        made, act = add_fund(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect("fund", ministry=viewer.ministry.slug, code=made.code)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/fund_form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def fund_edit(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Fund.objects.all(), viewer, "edit_money", code=code)
    form = FundForm(request.POST or None, instance=row, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        fresh = get_for_edit(Fund.objects.all(), viewer, "edit_money", code=code)
        tell(request, change_fund(fund=fresh, by=viewer.member, **form.changed_values()))
        return redirect("fund", ministry=viewer.ministry.slug, code=form.cleaned_data["code"])
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/fund_form.html", {"form": form, "fund": row}, status=status)
