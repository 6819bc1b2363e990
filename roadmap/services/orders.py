"""Writing orders: what suppliers promise, and what comes."""

from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from people.compute import phrasing
from people.models import Act, Member, Ministry
from people.packs import pack
from people.services import record
from people.services.editing import change_merged
from roadmap.models import Arrival, Order, OrderLine, PromisedDate, Supplier
from roadmap.words import OrderState


def next_key(ministry: Ministry) -> str:
    """Return the number the next order gets: O-13 after O-12. Queries once."""
    keys = Order.objects.filter(ministry=ministry).values_list("key", flat=True)
    numbers = [int(key[2:]) for key in keys if key[2:].isdigit()]
    return f"O-{max(numbers, default=0) + 1:02d}"


def add_order(*, supplier: Supplier, by: Member | None, **values: Any) -> tuple[Order, Act]:
    """Store a new order with a supplier."""
    values.setdefault("key", next_key(supplier.ministry))
    says = _("Wrote order %(key)s with %(supplier)s.") % {"key": values["key"], "supplier": supplier.name}
    with record.act(ministry=supplier.ministry, by=by, kind="order-add", says=says) as act:
        return record.add(Order(ministry=supplier.ministry, supplier=supplier, **values)), act


def change_order(*, order: Order, by: Member | None, **how: Any) -> Act | None:
    """Change an order; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed order %(key)s.") % {"key": order.key}
    return change_merged(row=order, by=by, act_kind="order-change", says=says, **how)


def add_line(*, order: Order, by: Member | None, **values: Any) -> tuple[OrderLine, Act]:
    """Store a new line; its tax is the supplier's unless given."""
    values.setdefault("tax_bp", order.supplier.tax_bp)
    values.setdefault("position", order.lines.count() + 1)
    says = _("Order %(key)s: added %(what)s.") % {"key": order.key, "what": values["what"]}
    with record.act(ministry=order.ministry, by=by, kind="order-line-add", says=says) as act:
        return record.add(OrderLine(ministry=order.ministry, order=order, **values)), act


def change_line(*, line: OrderLine, by: Member | None, **how: Any) -> Act | None:
    """Change a line of an order. Raises merging.Clashed."""
    says = _("Order %(key)s: changed %(what)s.") % {"key": line.order.key, "what": line.what}
    return change_merged(row=line, by=by, act_kind="order-line-change", says=says, **how)


class CameAlready(Exception):
    """A line of which something came cannot be struck out; `sentence` says what to do instead."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def remove_line(*, line: OrderLine, by: Member | None) -> Act:
    """Strike a line out of an order; raises CameAlready."""
    if line.arrivals.exists():
        raise CameAlready(_("Something of this line came already: change how many were ordered instead."))
    says = _("Order %(key)s: struck out %(what)s.") % {"key": line.order.key, "what": line.what}
    with record.act(ministry=line.ministry, by=by, kind="order-line-remove", says=says) as act:
        record.remove(line)
        return act


def tell_date(
    *, order: Order, by: Member | None, promised_on: date | None, told_on: date, words: str = ""
) -> tuple[PromisedDate, Act]:
    """Keep a new promised date as told; the earlier ones stay. A second date or later makes the order run late."""
    told = order.promised_dates.count()
    country = pack(order.ministry.country)
    day = phrasing.day(promised_on, country, "long") if promised_on else words
    says = _("Order %(key)s is now promised for %(day)s.") % {"key": order.key, "day": day}
    with record.act(ministry=order.ministry, by=by, kind="order-date", says=says) as act:
        made = record.add(
            PromisedDate(
                ministry=order.ministry,
                order=order,
                promised_on=promised_on,
                told_on=told_on,
                words=words,
                position=told + 1,
            )
        )
        waits = order.state in {OrderState.ORDERED, OrderState.CONFIRMED, OrderState.LATE, OrderState.BACK}
        if waits and promised_on:
            earlier = [one.promised_on for one in order.promised_dates.all() if one.promised_on and one.pk != made.pk]
            late = bool(earlier) and promised_on > min(earlier)
            record.change(order, state=OrderState.LATE if late else OrderState.CONFIRMED)
        return made, act


class TooMany(Exception):
    """More would have come than was ordered; `sentence` says so."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def receive(
    *, line: OrderLine, by: Member | None, quantity: int, on: date, tested_on: date | None = None, note: str = ""
) -> tuple[Arrival, Act]:
    """Keep that so many of a line came; the order's state follows from all its lines. Raises TooMany."""
    here = line.came
    if quantity < 1 or here + quantity > line.quantity:
        raise TooMany(_("%(owed)d of this line are still owed: write that many or fewer.") % {"owed": line.owed})
    order = line.order
    says = _("Order %(key)s: %(n)d of %(all)d came, %(what)s.") % {
        "key": order.key,
        "n": here + quantity,
        "all": line.quantity,
        "what": line.what,
    }
    with record.act(ministry=line.ministry, by=by, kind="order-arrival", says=says) as act:
        made = record.add(
            Arrival(
                ministry=line.ministry,
                line=line,
                on=on,
                quantity=quantity,
                tested_on=tested_on,
                works=True if tested_on else None,
                note=note,
            )
        )
        record.change(order, **_state_after(order, on))
        return made, act


def _state_after(order: Order, on: date) -> dict[str, Any]:
    goods = list(OrderLine.objects.filter(order=order, kind="goods").prefetch_related("arrivals"))
    if any(line.owed for line in goods):
        return {"state": OrderState.PART}
    tested = all(arrival.tested_on for line in goods for arrival in line.arrivals.all())
    return {"state": OrderState.CHECKED if tested else OrderState.ARRIVED, "arrived_on": on}


def mark_tested(*, order: Order, by: Member | None, on: date, works: bool = True) -> Act:
    """Say that everything that came was tested on a day; what works is checked, what does not goes back.

    What goes back counts as not come: the steps behind it wait until something that works is here.
    """
    says = (
        _("Order %(key)s: everything that came was tested and works.")
        if works
        else _("Order %(key)s: what came was tested and does not work.")
    ) % {"key": order.key}
    with record.act(ministry=order.ministry, by=by, kind="order-tested", says=says) as act:
        arrivals = list(Arrival.objects.filter(line__order=order, tested_on__isnull=True))
        record.change_many(arrivals, tested_on=on, works=works)
        if not works:
            record.change(order, state=OrderState.BACK, arrived_on=None)
        elif order.state == OrderState.ARRIVED:
            record.change(order, state=OrderState.CHECKED)
        return act


def add_supplier(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Supplier, Act]:
    """Store a new supplier."""
    says = _("Wrote down the supplier %(name)s.") % values
    with record.act(ministry=ministry, by=by, kind="supplier-add", says=says) as act:
        return record.add(Supplier(ministry=ministry, **values)), act


def change_supplier(*, supplier: Supplier, by: Member | None, **how: Any) -> Act | None:
    """Change a supplier; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed the supplier %(name)s.") % {"name": supplier.name}
    return change_merged(row=supplier, by=by, act_kind="supplier-change", says=says, **how)
