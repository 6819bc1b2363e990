"""A church begins with two buildings: the one it moves into, with its main room, and the one it leaves."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inventory.models import Place, Site
from people.models import Member, User
from people.services import record
from people.services.ministries import found_ministry

HERE, OLD, MAIN = "HERE", "OLD", "MAIN"


@transaction.atomic
def begin_church(
    *, user: User, name: str, country: str, state: str, zone: str, main_room: str, out_by: date | None
) -> Member:
    """Store the church, its first two sites and its main room; return its founder, who is its technical lead."""
    lead = found_ministry(
        user=user, name=name, country=country, state=state, zone=zone, main_room=main_room, out_by=out_by
    )
    church = lead.ministry
    says = _("%(name)s began here.") % {"name": church.name}
    with record.act(ministry=church, by=lead, kind="church-begin", says=says):
        here = record.add(Site(ministry=church, code=HERE, name=church.name[:120], receives=True, order=1))
        record.add(Place(ministry=church, site=here, code=MAIN, name=church.main_room, order=1))
        record.add(Site(ministry=church, code=OLD, name=_("The old building"), exit_on=out_by, order=2))
    return lead
