"""Addresses of the plan, below a ministry's slug."""

from django.urls import URLPattern, path

from people.context import SECTION_OF
from roadmap.views import (
    calendar,
    costs,
    from_needs,
    funds,
    ladder,
    money,
    orders,
    paper,
    phases,
    promises,
    steps,
    sunday,
    waiting,
)

of_sunday: list[URLPattern] = [
    path("this-sunday/", sunday.this_sunday, name="this-sunday"),
    path("waiting/", waiting.waiting, name="waiting"),
    path("promises/", promises.promises, name="promises"),
    path("promises/add/", promises.promise_add, name="promise-add"),
    path("promises/<slug:key>/change/", promises.promise_edit, name="promise-edit"),
    path("promises/<slug:key>/stands/", promises.promise_stands, name="promise-stands"),
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/<slug:kind>/add/", calendar.calendar_add, name="calendar-add"),
    path("calendar/<slug:kind>/<uuid:uid>/", calendar.calendar_edit, name="calendar-edit"),
    path("calendar/<slug:kind>/<uuid:uid>/remove/", calendar.calendar_remove, name="calendar-remove"),
    path("orders/add/", orders.order_add, name="order-add"),
    path("orders/<slug:key>/", orders.order, name="order"),
    path("orders/<slug:key>/change/", orders.order_edit, name="order-edit"),
    path("orders/<slug:key>/lines/add/", orders.order_line_add, name="order-line-add"),
    path("orders/<slug:key>/lines/<uuid:uid>/", orders.order_line_edit, name="order-line-edit"),
    path("orders/<slug:key>/lines/<uuid:uid>/remove/", orders.order_line_remove, name="order-line-remove"),
    path("orders/<slug:key>/pay/", funds.order_pay, name="order-pay"),
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
    path("steps/from-need/<uuid:uid>/", from_needs.need_to_step, name="need-to-step"),
    path("steps/<slug:key>/", steps.step, name="step"),
    path("steps/<slug:key>/change/", steps.step_edit, name="step-edit"),
    path("steps/<slug:key>/state/", steps.step_state, name="step-state"),
    path("steps/<slug:key>/require/", steps.step_require, name="step-require"),
    path("steps/<slug:key>/requires/<uuid:uid>/", steps.step_link, name="step-link"),
    path("steps/<slug:key>/move/", steps.step_move, name="step-move"),
    path("steps/<slug:key>/costs/add/", costs.step_cost_add, name="step-cost-add"),
    path("steps/<slug:key>/costs/<uuid:uid>/", costs.step_cost_edit, name="step-cost-edit"),
    path("steps/<slug:key>/costs/<uuid:uid>/remove/", costs.step_cost_remove, name="step-cost-remove"),
    path("steps/<slug:key>/pay/", funds.step_pay, name="step-pay"),
    path("goals/", promises.goals, name="goals"),
    path("goals/add/", promises.goal_add, name="goal-add"),
    path("goals/<uuid:uid>/", promises.goal_edit, name="goal-edit"),
    path("steps/<slug:key>/no-more/<uuid:uid>/", steps.step_require_no_more, name="step-require-no-more"),
]
of_money: list[URLPattern] = [
    path("money/", money.money, name="money"),
    path("money/lines.csv", money.money_csv, name="money-csv"),
    path("money/phases/add/", phases.phase_add, name="phase-add"),
    path("money/phases/fewest/", phases.phases_propose, name="phases-propose"),
    path("money/phases/<slug:key>/", phases.phase, name="phase"),
    path("money/phases/<slug:key>/change/", phases.phase_edit, name="phase-edit"),
    path("money/phases/<slug:key>/decide/", phases.phase_decide, name="phase-decide"),
    path("money/funds/add/", funds.fund_add, name="fund-add"),
    path("money/funds/<slug:code>/", funds.fund, name="fund"),
    path("money/funds/<slug:code>/change/", funds.fund_edit, name="fund-edit"),
    path("money/funds/<slug:code>/rules/", funds.fund_rules, name="fund-rules"),
    path("money/funds/<slug:code>/income/add/", funds.income_add, name="income-add"),
    path("money/funds/<slug:code>/income/<uuid:uid>/", funds.income_edit, name="income-edit"),
    path("money/funds/<slug:code>/income/<uuid:uid>/remove/", funds.income_remove, name="income-remove"),
    path("money/payments/<uuid:uid>/remove/", funds.payment_remove, name="payment-remove"),
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
