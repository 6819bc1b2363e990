"""Orders: one order with its promises and arrivals, what a new date would move, suppliers."""

from datetime import date
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.access import Viewer, in_ministry
from people.clock import today
from people.querysets import get_for_edit, get_visible
from people.views.told import tell
from roadmap.compute.totals import part
from roadmap.forms.orders import ArrivalForm, NewDateForm, OrderForm, OrderLineForm, SupplierForm
from roadmap.models import Order, OrderLine, Supplier
from roadmap.services.differences import arrivals_ahead, what_moves
from roadmap.services.orders import (
    CameAlready,
    TooMany,
    add_line,
    add_order,
    add_supplier,
    change_line,
    change_order,
    change_supplier,
    mark_tested,
    receive,
    remove_line,
    tell_date,
)
from roadmap.views.editing import edit, write
from roadmap.words import OrderState

STILL_TO_COME = frozenset({OrderState.ORDERED, OrderState.CONFIRMED, OrderState.LATE, OrderState.PART, OrderState.BACK})


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
    return {
        "order": row,
        "lines": lines,
        "told": list(row.promised_dates.visible_to(viewer)),
        "payments": row.payments.visible_to(viewer),
        "net": sum(line.net_minor for line in lines),
        "tax": sum(part(line.net_minor, line.tax_bp) for line in lines),
        "arrivals": arrivals_ahead(viewer.ministry, row.key)
        if row.state in STILL_TO_COME and not row.is_option
        else [],
        "asked": promised,
        "moves": what_moves(viewer.ministry, {row.key: promised}) if promised and not row.is_option else None,
        "date_form": NewDateForm(viewer=viewer, initial={"promised_on": promised, "told_on": day}),
        "arrival_form": ArrivalForm(viewer=viewer, initial={"quantity": 1, "on": day}),
        "line_form": OrderLineForm(viewer=viewer),
        "may_order": viewer.may("edit_orders"),
        "may_money": viewer.may("edit_money"),
        "may_record": viewer.may("record") or viewer.may("edit_orders"),
        **forms,
    }


@require_http_methods(["GET", "POST"])
@in_ministry("edit_orders")
def order_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=OrderForm,
        add=add_order,
        template="roadmap/order_form.html",
        back=reverse("waiting", kwargs={"ministry": viewer.ministry.slug}),
        then=Order.get_absolute_url,
        supplierless=not Supplier.objects.visible_to(viewer).exists(),
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def order_edit(request: HttpRequest, viewer: Viewer, key: str) -> HttpResponse:
    row = get_for_edit(Order.objects.all(), viewer, "edit_orders", key=key)
    return edit(
        request,
        viewer,
        row=row,
        form_class=OrderForm,
        change=partial(change_order, order=row),
        template="roadmap/order_form.html",
        then=row.get_absolute_url(),
        order=row,
    )


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


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def order_line_edit(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    line = get_for_edit(OrderLine.objects.select_related("order"), viewer, "edit_orders", order__key=key, uid=uid)
    return edit(
        request,
        viewer,
        row=line,
        form_class=OrderLineForm,
        change=partial(change_line, line=line),
        template="roadmap/order_line_form.html",
        then=line.order.get_absolute_url(),
        order=line.order,
        line=line,
    )


@require_POST
@in_ministry("see_plan")
def order_line_remove(request: HttpRequest, viewer: Viewer, key: str, uid: str) -> HttpResponse:
    line = get_for_edit(OrderLine.objects.select_related("order"), viewer, "edit_orders", order__key=key, uid=uid)
    order = line.order
    try:
        tell(request, remove_line(line=line, by=viewer.member))
    except CameAlready as refused:
        messages.error(request, refused.sentence)
    return redirect(order)


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
    rows = list(Supplier.objects.visible_to(viewer).prefetch_related("orders"))
    owing = [row for row in rows if any(one.state in STILL_TO_COME and not one.is_option for one in row.orders.all())]
    context = {"suppliers": rows, "owing": len(owing), "may_order": viewer.may("edit_orders")}
    return render(request, "roadmap/suppliers.html", context)


@require_http_methods(["GET", "POST"])
@in_ministry("edit_orders")
def supplier_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return write(
        request,
        viewer,
        form_class=SupplierForm,
        add=partial(add_supplier, ministry=viewer.ministry),
        template="roadmap/supplier_form.html",
        back=reverse("suppliers", kwargs={"ministry": viewer.ministry.slug}),
    )


@require_http_methods(["GET", "POST"])
@in_ministry("see_plan")
def supplier_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Supplier.objects.all(), viewer, "edit_orders", uid=uid)
    return edit(
        request,
        viewer,
        row=row,
        form_class=SupplierForm,
        change=partial(change_supplier, supplier=row),
        template="roadmap/supplier_form.html",
        then=reverse("suppliers", kwargs={"ministry": viewer.ministry.slug}),
        supplier=row,
    )
