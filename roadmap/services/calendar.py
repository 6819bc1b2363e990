"""Writing services, freezes and bookings."""

from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from people.services.editing import change_merged
from roadmap.models import Booking, Freeze, Service

Row = Service | Freeze | Booking


def add_row(*, kind: type[Row], ministry: Ministry, by: Member | None, **values: Any) -> tuple[Row, Act]:
    """Store a new service, freeze or booking."""
    made = kind(ministry=ministry, **values)
    says = _("Wrote into the calendar: %(what)s.") % {"what": made}
    with record.act(ministry=ministry, by=by, kind=f"{kind._meta.model_name}-add", says=says) as act:
        return record.add(made), act


def change_row(*, row: Row, by: Member | None, **how: Any) -> Act | None:
    """Change a service, freeze or booking; takes base_version, chosen, chosen_at and the values. Raises Clashed."""
    says = _("Changed in the calendar: %(what)s.") % {"what": row}
    return change_merged(row=row, by=by, act_kind=f"{row._meta.model_name}-change", says=says, **how)


def remove_row(*, row: Row, by: Member | None) -> Act:
    """Take a service, freeze or booking out of the calendar."""
    says = _("Took out of the calendar: %(what)s.") % {"what": row}
    with record.act(ministry=row.ministry, by=by, kind=f"{row._meta.model_name}-remove", says=says) as act:
        record.remove(row)
        return act
