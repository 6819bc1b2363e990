"""Writing what was paid, on an order or straight for a step."""

from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member
from people.services import record
from roadmap.models import Order, Payment, Step


def pay(*, of: Order | Step, by: Member | None, **values: Any) -> tuple[Payment, Act]:
    """Store a payment with tax: fund, on, amount_minor, note."""
    on = {"order": of} if isinstance(of, Order) else {"step": of}
    says = _("Paid on %(key)s.") % {"key": of.key}
    with record.act(ministry=of.ministry, by=by, kind="payment-add", says=says, holds_money=True) as act:
        return record.add(Payment(ministry=of.ministry, **on, **values)), act


def take_back(*, payment: Payment, by: Member | None) -> Act:
    """Strike out a payment that was written by mistake."""
    of = payment.order or payment.step
    says = _("Struck out a payment on %(key)s.") % {"key": of.key if of else "–"}
    with record.act(ministry=payment.ministry, by=by, kind="payment-remove", says=says, holds_money=True) as act:
        record.remove(payment)
        return act
