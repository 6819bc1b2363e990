"""Orders: one order with its promises and arrivals, what a new date would move, suppliers."""

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.clock import today
from people.querysets import get_for_edit, get_visible
from people.views.told import tell
from roadmap.forms.orders import ArrivalForm, NewDateForm, OrderForm, OrderLineForm, SupplierForm
from roadmap.models import Order, OrderLine, Supplier
from roadmap.services.differences import what_moves
from roadmap.services.orders import (
    TooMany,
    add_line,
    add_order,
    add_supplier,
    change_order,
    change_supplier,
    mark_tested,
    receive,
    tell_date,
)


@require_GET
@in_ministry("see_plan")
def order(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    """The order; `?promised=2026-11-20` shows what that date would move before anything is kept."""
    row = get_visible(Order.objects.select_related("supplier"), viewer, key=key)
    return render(request, "roadmap/order.html", page_of(viewer, row, asked_date(request.GET.get("promised"))))


def asked_date(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text or "")
    except ValueError:
        return None


def page_of(viewer: Viewer, row: Order, promised: date | None = None, **forms: Any) -> dict[str, Any]:
    """Return what the page of an order shows; `forms` replaces forms that came back with faults."""
    day = today(viewer.ministry)
    lines = list(
        OrderLine.objects.visible_to(viewer).filter(order=row).select_related("step").prefetch_related("arrivals")
    )
    for line in lines:
        line.came = sum(arrival.quantity for arrival in line.arrivals.all())
        line.owed = max(0, line.quantity - line.came)
    return {
        "order": row,
        "lines": lines,
        "told": list(row.promised_dates.visible_to(viewer)),
        "payments": row.payments.visible_to(viewer),
        "net": sum(line.net_minor for line in lines),
        "asked": promised,
        "moves": what_moves(viewer.ministry, {row.key: promised}) if promised and not row.is_option else None,
        "date_form": NewDateForm(viewer=viewer, initial={"promised_on": promised, "told_on": day}),
        "arrival_form": ArrivalForm(viewer=viewer, initial={"quantity": 1, "on": day}),
        "line_form": OrderLineForm(viewer=viewer),
        "may_order": viewer.may("edit_orders"),
        "may_record": viewer.may("record") or viewer.may("edit_orders"),
        **forms,
    }


@require_http_methods(["GET", "POST"])
@in_ministry("edit_orders")
def order_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = OrderForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        made, act = add_order(by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect(made)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/order_form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def order_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Order.objects.all(), viewer, "edit_orders", key=key)
    form = OrderForm(request.POST or None, instance=row, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        fresh = get_for_edit(Order.objects.all(), viewer, "edit_orders", key=key)
        tell(request, change_order(order=fresh, by=viewer.member, **form.changed_values()))
        return redirect(fresh)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/order_form.html", {"form": form, "order": row}, status=status)


@require_POST
@in_ministry("see_plan")
def order_line_add(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Order.objects.select_related("supplier"), viewer, "edit_orders", key=key)
    form = OrderLineForm(request.POST, viewer=viewer)
    if not form.is_valid():
        return render(request, "roadmap/order.html", page_of(viewer, row, line_form=form), status=422)
    __, act = add_line(order=row, by=viewer.member, **form.changed_values())
    tell(request, act)
    return redirect(row)


@require_POST
@in_ministry("see_plan")
def order_date(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Order.objects.select_related("supplier"), viewer, "edit_orders", key=key)
    form = NewDateForm(request.POST, viewer=viewer)
    if not form.is_valid():
        return render(request, "roadmap/order.html", page_of(viewer, row, date_form=form), status=422)
    __, act = tell_date(order=row, by=viewer.member, **form.cleaned_data)
    tell(request, act)
    return redirect(row)


@require_POST
@in_ministry("see_plan")
def order_receive(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    ability = "record" if viewer.may("record") else "edit_orders"
    line = get_for_edit(OrderLine.objects.select_related("order__supplier"), viewer, ability, order__key=key, uid=uid)
    form = ArrivalForm(request.POST, viewer=viewer)
    if form.is_valid():
        values = form.cleaned_data
        try:
            __, act = receive(
                line=line,
                by=viewer.member,
                quantity=values["quantity"],
                on=values["on"],
                tested_on=values["on"] if values["tested"] else None,
                note=values["note"],
            )
        except TooMany as refused:
            form.add_error("quantity", refused.sentence)
        else:
            tell(request, act)
            return redirect(line.order)
    return render(request, "roadmap/order.html", page_of(viewer, line.order, arrival_form=form), status=422)


@require_POST
@in_ministry("see_plan")
def order_tested(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    ability = "record" if viewer.may("record") else "edit_orders"
    row = get_for_edit(Order.objects.all(), viewer, ability, key=key)
    works = request.POST.get("works") != "no"
    tell(request, mark_tested(order=row, by=viewer.member, on=today(viewer.ministry), works=works))
    return redirect(row)


@require_GET
@in_ministry("see_plan")
def suppliers(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    rows = Supplier.objects.visible_to(viewer).prefetch_related("orders")
    return render(request, "roadmap/suppliers.html", {"suppliers": rows, "may_order": viewer.may("edit_orders")})


@require_http_methods(["GET", "POST"])
@in_ministry("edit_orders")
def supplier_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = SupplierForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        __, act = add_supplier(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect("suppliers", ministry=viewer.ministry.slug)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/supplier_form.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def supplier_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Supplier.objects.all(), viewer, "edit_orders", uid=uid)
    form = SupplierForm(request.POST or None, instance=row, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        fresh = get_for_edit(Supplier.objects.all(), viewer, "edit_orders", uid=uid)
        tell(request, change_supplier(supplier=fresh, by=viewer.member, **form.changed_values()))
        return redirect("suppliers", ministry=viewer.ministry.slug)
    status = 422 if request.method == "POST" else 200
    return render(request, "roadmap/supplier_form.html", {"form": form, "supplier": row}, status=status)
