"""Addresses of the plan, below a ministry's slug."""

from django.urls import URLPattern, path

from people.context import SECTION_OF
from roadmap.views import calendar, ladder, money, orders, paper, steps, sunday, waiting

of_sunday: list[URLPattern] = [
    path("this-sunday/", sunday.this_sunday, name="this-sunday"),
    path("waiting/", waiting.waiting, name="waiting"),
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/<slug:kind>/add/", calendar.calendar_add, name="calendar-add"),
    path("calendar/<slug:kind>/<uuid:uid>/", calendar.calendar_edit, name="calendar-edit"),
    path("calendar/<slug:kind>/<uuid:uid>/remove/", calendar.calendar_remove, name="calendar-remove"),
    path("orders/add/", orders.order_add, name="order-add"),
    path("orders/<slug:key>/", orders.order, name="order"),
    path("orders/<slug:key>/change/", orders.order_edit, name="order-edit"),
    path("orders/<slug:key>/lines/add/", orders.order_line_add, name="order-line-add"),
    path("orders/<slug:key>/date/", orders.order_date, name="order-date"),
    path("orders/<slug:key>/came/<uuid:uid>/", orders.order_receive, name="order-receive"),
    path("orders/<slug:key>/tested/", orders.order_tested, name="order-tested"),
    path("suppliers/", orders.suppliers, name="suppliers"),
    path("suppliers/add/", orders.supplier_add, name="supplier-add"),
    path("suppliers/<uuid:uid>/", orders.supplier_edit, name="supplier-edit"),
]
of_steps: list[URLPattern] = [
    path("steps/", ladder.steps, name="steps"),
    path("steps/add/", steps.step_add, name="step-add"),
    path("steps/<slug:key>/", steps.step, name="step"),
    path("steps/<slug:key>/change/", steps.step_edit, name="step-edit"),
    path("steps/<slug:key>/state/", steps.step_state, name="step-state"),
    path("steps/<slug:key>/require/", steps.step_require, name="step-require"),
    path("steps/<slug:key>/no-more/<uuid:uid>/", steps.step_require_no_more, name="step-require-no-more"),
]
of_money: list[URLPattern] = [
    path("money/", money.money, name="money"),
    path("money/phases/<slug:key>/", money.phase, name="phase"),
    path("money/phases/<slug:key>/change/", money.phase_edit, name="phase-edit"),
    path("money/phases/<slug:key>/decide/", money.phase_decide, name="phase-decide"),
    path("money/funds/add/", money.fund_add, name="fund-add"),
    path("money/funds/<slug:code>/", money.fund, name="fund"),
    path("money/funds/<slug:code>/change/", money.fund_edit, name="fund-edit"),
]
of_paper: list[URLPattern] = [
    path("paper/", paper.paper, name="paper"),
    path("paper/leaders/", paper.packet_leaders, name="packet-leaders"),
    path("paper/handover/", paper.packet_handover, name="packet-handover"),
    path("paper/handover/<slug:code>/", paper.packet_handover, name="packet-handover-room"),
]
for section, addresses in (
    ("this-sunday", of_sunday),
    ("steps", of_steps),
    ("money", of_money),
    ("paper", of_paper),
):
    SECTION_OF.update((address.name or "", section) for address in addresses)

urlpatterns: list[URLPattern] = [*of_sunday, *of_steps, *of_money, *of_paper]
