"""The treasurer's sheet: what comes in, what the steps cost and what was paid, a line each, one column of money."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from people.access import Viewer
from people.packs import pack
from roadmap.models import FundIncome, Payment, Step
from roadmap.services.loading import planned
from roadmap.services.money import step_totals

Line = tuple[Any, ...]


def sheet_of_money(viewer: Viewer) -> tuple[list[str], Iterator[Line]]:
    """Return the head and the lines: dates as dates, amounts as numbers with tax, in the church's own currency.

    The lines of steps add up to the total of the money page, those of payments to what was paid. For viewers who see
    money; three queries besides the plan's.
    """
    head = [_("Line"), _("On"), _("Phase"), _("Step or order"), _("What"), _("Fund"), _("Amount with tax"), _("Note")]
    return head, _lines(viewer)


def _lines(viewer: Viewer) -> Iterator[Line]:
    exponent = pack(viewer.ministry.country).exponent

    def amount(minor: int) -> Decimal:
        return Decimal(minor).scaleb(-exponent)

    for one in FundIncome.objects.visible_to(viewer).select_related("fund").order_by("fund__code", "on", "id"):
        told = one.get_certainty_display()
        yield _("comes in"), one.on, "", "", told, one.fund.name, amount(one.amount_minor), one.note
    costs = step_totals(planned(viewer.ministry))
    for step in Step.objects.visible_to(viewer).select_related("phase", "fund").order_by("phase__order", "order", "id"):
        if step.key in costs:
            fund = step.fund.name if step.fund else ""
            yield _("step"), None, step.phase.name, step.key, step.title, fund, amount(costs[step.key]), ""
    for paid in Payment.objects.visible_to(viewer).select_related("fund", "order__supplier", "step"):
        of = paid.order or paid.step
        what = paid.order.supplier.name if paid.order else paid.step.title if paid.step else ""
        fund = paid.fund.name if paid.fund else ""
        yield _("paid"), paid.on, "", of.key if of else "", what, fund, amount(paid.amount_minor), paid.note
