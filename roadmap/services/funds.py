"""Writing funds and what comes into them."""

from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from roadmap.models import Fund


def add_fund(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Fund, Act]:
    """Store a new fund at the end of the list."""
    last = Fund.objects.filter(ministry=ministry).order_by("-order").first()
    says = _("Wrote down the fund %(name)s.") % {"name": values["name"]}
    with record.act(ministry=ministry, by=by, kind="fund-add", says=says, holds_money=True) as act:
        return record.add(Fund(ministry=ministry, order=(last.order if last else 0) + 10, **values)), act


def change_fund(*, fund: Fund, by: Member | None, **values: Any) -> Act:
    """Change a fund's fields."""
    says = _("Changed the fund %(name)s.") % {"name": fund.name}
    with record.act(ministry=fund.ministry, by=by, kind="fund-change", says=says, holds_money=True) as act:
        record.change(fund, **values)
        return act
