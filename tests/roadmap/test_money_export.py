"""The treasurer's sheet: its lines add up to the money page; formulas stay text; crew and readers get none."""

import csv
import io
from decimal import Decimal

import pytest
from django.urls import reverse

from people.roles import Role
from roadmap.models import FundIncome, Payment
from roadmap.services.loading import planned
from tests.conftest import TODAY


def lines(cast, role=Role.TREASURER):
    answer = cast.client(role).get(reverse("money-csv", kwargs={"ministry": cast.ministry.slug}))
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(b"".join(answer.streaming_content).decode("utf-8-sig"))))


@pytest.fixture
def spent(make):
    fund = make.fund(name="Sound gift")
    make.add(FundIncome, fund=fund, on=TODAY, amount_minor=90000, note="=1+1")
    step = make.step(phase=make.phase(name="Hear"), title="Amplifier", fund=fund, agreed_start=TODAY)
    order = make.order(state="ordered")
    make.order_line(step=step, order=order, net_minor=100000, tax_bp=725)
    make.add(Payment, order=order, fund=fund, on=TODAY, amount_minor=50050)
    return step


def test_the_lines_add_up_to_the_money_page(cast, spent):
    rows = lines(cast)
    sums = {
        kind: sum(Decimal(row["Amount with tax"]) for row in rows if row["Line"] == kind)
        for kind in ("comes in", "step", "paid")
    }
    whole = sum(phase.total for phase in planned(cast.ministry).plan.phases.values())
    # 1,000.00 and 7.25 % tax, worked by hand
    assert sums == {"comes in": Decimal("900"), "step": Decimal("1072.50"), "paid": Decimal("500.50")}
    assert sums["step"] == Decimal(whole) / 100


def test_a_formula_in_a_note_stays_text(cast, spent):
    """Source: OWASP, CSV injection: cells that begin with =, +, - or @ must not be run by a spreadsheet."""
    assert not any(row["Note"].startswith("=") for row in lines(cast))


@pytest.mark.parametrize("role", [Role.CREW, Role.READER])
def test_who_sees_no_money_gets_no_sheet(cast, spent, role):
    answer = cast.client(role).get(reverse("money-csv", kwargs={"ministry": cast.ministry.slug}))
    assert answer.status_code == 403
