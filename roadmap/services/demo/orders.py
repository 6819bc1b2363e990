"""What a demo church ordered, what it was promised, what came, and what it paid."""

from people.services import record
from roadmap.models import Arrival, Order, OrderLine, Payment, PromisedDate, Supplier
from roadmap.services.demo.church import Church
from roadmap.services.demo.tables import day, joined, the_day, whole, yes


def load_orders(church: Church) -> None:
    """Store suppliers, orders with their lines, promised dates and arrivals, and payments."""
    stored = record.add_many(
        [
            Supplier(
                ministry=church.ministry,
                name=row["name"],
                what=row["what"],
                tax_bp=int(row["tax_bp"]),
                exempt_certificate="on file" if yes(row["exempt_certificate"]) else "",
                terms=row["terms"],
            )
            for row in church.tables.rows("suppliers")
        ]
    )
    suppliers = {supplier.name: supplier for supplier in stored}
    orders = record.add_many([_order(church, row, suppliers) for row in church.tables.rows("orders")])
    church.orders = {order.key: order for order in orders}
    lines = _load_lines(church)
    _load_promised_dates(church)
    record.add_many([_payment(church, row, lines) for row in church.tables.rows("payments")])


def _order(church: Church, row: dict[str, str], suppliers: dict[str, Supplier]) -> Order:
    option = f"{row['option_for_step']}, {row['available_from']}" if yes(row["is_option"]) else ""
    return Order(
        ministry=church.ministry,
        supplier=suppliers[row["supplier"]],
        is_option=yes(row["is_option"]),
        lead_days_low=whole(row["lead_days_low"]),
        lead_days_high=whole(row["lead_days_high"]),
        note=joined(option, row["note"]),
        **{name: day(row[name]) for name in ("ordered_on", "quote_valid_to", "arrived_on", "return_by")},
        **{name: row[name] for name in ("key", "state", "deposit_words")},
    )


def _load_lines(church: Church) -> list[OrderLine]:
    rows = church.tables.rows("order_lines")
    lines = record.add_many(
        [
            OrderLine(
                ministry=church.ministry,
                order=church.orders[row["order"]],
                step=church.steps.get(row["step"]),
                position=int(row["line"]),
                kind=row["kind"],
                what=row["what"],
                quantity=int(row["quantity"]),
                net_minor=int(row["net_minor"]),
                tax_bp=int(row["tax_bp"]),
                is_must=yes(row["must_have"]),
                must_quantity=whole(row["must_quantity"]),
            )
            for row in rows
        ]
    )
    record.add_many(
        [
            Arrival(
                ministry=church.ministry,
                line=line,
                on=day(row["arrived_on"]),
                quantity=int(row["arrived_quantity"]),
                tested_on=day(row["tested_on"]),
                works=True if row["tested_on"] else None,
            )
            for row, line in zip(rows, lines, strict=True)
            if int(row["arrived_quantity"])
        ]
    )
    return lines


def _load_promised_dates(church: Church) -> None:
    told: dict[str, int] = {}
    made = []
    for row in church.tables.rows("order_promises"):
        told[row["order"]] = told.get(row["order"], 0) + 1
        made.append(
            PromisedDate(
                ministry=church.ministry,
                order=church.orders[row["order"]],
                told_on=day(row["told_on"]),
                promised_on=day(row["promised_on"]),
                words=joined(row["reason"], row["words"]),
                position=told[row["order"]],
            )
        )
    record.add_many(made)


def _payment(church: Church, row: dict[str, str], lines: list[OrderLine]) -> Payment:
    order = church.orders.get(row["order"])
    step = church.steps.get(row["step"])
    pays_for = step or next(line.step for line in lines if line.order == order and line.step)
    return Payment(
        ministry=church.ministry,
        order=order,
        step=step,
        fund=pays_for.fund,
        on=the_day(row["on"]),
        amount_minor=int(row["amount_minor"]),
        note=row["words"],
    )
