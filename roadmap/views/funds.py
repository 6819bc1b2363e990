"""One fund: what comes in, what it may pay for and what it pays for; and what was paid."""

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.clock import today
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.forms.money import FundForm, FundRulesForm, IncomeForm, PaymentForm
from roadmap.models import Fund, FundIncome, Order, Payment, Step
from roadmap.services.funds import add_fund, add_income, change_fund, change_income, remove_income, set_rules
from roadmap.services.loading import planned
from roadmap.services.money import FundRow, not_allowed, step_totals, the_fund
from roadmap.services.payments import pay, take_back
from roadmap.views.editing import edit, write


@require_GET
@in_ministry("see_money")
def fund(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Fund.objects.all(), viewer, "see_money", code=code)
    made = planned(viewer.ministry)
    found: FundRow = the_fund(viewer, made, row)
    costs = step_totals(made)
    refused = not_allowed(viewer)
    context = {
        "row": found,
        "income": row.income.visible_to(viewer),
        "payments": row.payments.visible_to(viewer).select_related("order", "step"),
        "rules": row.rules.visible_to(viewer).select_related("step", "phase"),
        "steps": [(step, costs[step.key], step.key in refused) for step in made.given.steps if step.fund == row.code],
        "refused": [step for step in made.given.steps if step.fund == row.code and step.key in refused],
        "may_edit": viewer.may("edit_money"),
    }
    return render(request, "roadmap/fund.html", context)


def address(row: Fund) -> str:
    return reverse("fund", kwargs={"ministry": row.ministry.slug, "code": row.code})


@require_http_methods(["GET", "POST"])
@in_ministry("edit_money")
def fund_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=FundForm,
        add=partial(add_fund, ministry=viewer.ministry),
        template="roadmap/fund_form.html",
        back=reverse("money", kwargs={"ministry": viewer.ministry.slug}),
        then=address,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def fund_edit(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Fund.objects.all(), viewer, "edit_money", code=code)
    return edit(
        request,
        viewer,
        row=row,
        form_class=FundForm,
        change=partial(change_fund, fund=row),
        template="roadmap/fund_form.html",
        then=reverse("money", kwargs={"ministry": viewer.ministry.slug}),
        fund=row,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def fund_rules(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Say which steps or phases a fund may pay for."""
    row = get_for_edit(Fund.objects.all(), viewer, "edit_money", code=code)
    rules = list(row.rules.visible_to(viewer))
    initial = {
        "pays_anything": row.pays_anything,
        "steps": [one.step_id for one in rules if one.step_id],
        "phases": [one.phase_id for one in rules if one.phase_id],
    }
    form = FundRulesForm(request.POST if request.method == "POST" else None, viewer=viewer, initial=initial)
    if request.method == "POST" and form.is_valid():
        tell(request, set_rules(fund=row, by=viewer.member, **form.cleaned_data))
        return redirect(address(row))
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "fund": row, "rules": True, "back": address(row)}
    return render(request, "roadmap/fund_form.html", context, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def income_add(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Fund.objects.all(), viewer, "edit_money", code=code)
    return write(
        request,
        viewer,
        form_class=IncomeForm,
        add=partial(add_income, fund=row),
        template="roadmap/income_form.html",
        back=address(row),
        initial={"on": today(viewer.ministry)},
        fund=row,
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def income_edit(request: HttpRequest, viewer: Viewer, code: str, uid: str) -> HttpResponse:
    row = get_for_edit(FundIncome.objects.select_related("fund"), viewer, "edit_money", fund__code=code, uid=uid)
    return edit(
        request,
        viewer,
        row=row,
        form_class=IncomeForm,
        change=partial(change_income, income=row),
        template="roadmap/income_form.html",
        then=address(row.fund),
        fund=row.fund,
        income=row,
    )


@require_POST
@in_ministry("see_money")
def income_remove(request: HttpRequest, viewer: Viewer, code: str, uid: str) -> HttpResponse:
    row = get_for_edit(FundIncome.objects.select_related("fund"), viewer, "edit_money", fund__code=code, uid=uid)
    fund = row.fund
    tell(request, remove_income(income=row, by=viewer.member))
    return redirect(address(fund))


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def order_pay(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    return _pay(request, viewer, get_for_edit(Order.objects.all(), viewer, "edit_money", key=key))


@require_http_methods(["GET", "POST"])
@in_ministry("see_money")
def step_pay(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    return _pay(request, viewer, get_for_edit(Step.objects.all(), viewer, "edit_money", key=key))


def _pay(request: HttpRequest, viewer: Viewer, of: Order | Step) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=PaymentForm,
        add=partial(pay, of=of),
        template="roadmap/payment_form.html",
        back=of.get_absolute_url(),
        initial={"on": today(viewer.ministry), "fund": of.fund_id if isinstance(of, Step) else None},
        of=of,
    )


@require_POST
@in_ministry("see_money")
def payment_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Payment.objects.select_related("order", "step"), viewer, "edit_money", uid=uid)
    of = row.order or row.step
    tell(request, take_back(payment=row, by=viewer.member))
    return redirect(of.get_absolute_url() if of else reverse("money", kwargs={"ministry": viewer.ministry.slug}))
