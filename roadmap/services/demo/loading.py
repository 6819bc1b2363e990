"""The demo as a whole: three ministries, or one empty church."""

from collections.abc import Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from inventory.services.intake import take_in
from people.models import Act, Member, Ministry, User
from people.services import record
from roadmap.services.demo.calendar import load_calendar
from roadmap.services.demo.church import Church, begin_church, load_people, load_sites
from roadmap.services.demo.orders import load_orders
from roadmap.services.demo.steps import load_promises, load_steps
from roadmap.services.demo.stock import load_accounts, load_needs, load_pieces
from roadmap.services.demo.tables import SHEETS, STORY_DAY, Tables

WHOLE = ("cordwain", "loomgate")
FIRST_WEEK = "firstweek"
FIRST_WEEK_SHEETS = {"mill-street.xlsx": "MS", "weir-lane.csv": "WL", "dockside.xlsx": "DU"}
TABLES_OF_COUNTRY = {"US": "cordwain", "GB": "loomgate"}


class DemoRefused(Exception):
    """The demo cannot be loaded; the text says why and what to do."""


@dataclass(frozen=True)
class Login:
    """One way into a demo church."""

    church: str
    slug: str
    role: str
    name: str
    email: str


def days_moved(start: date) -> int:
    """Return by how many days the story moves so that its 3 November 2026 falls on `start`; raises DemoRefused.

    Only whole weeks, because Sundays must stay Sundays.
    """
    days = (start - STORY_DAY).days
    if days % 7:
        before = STORY_DAY.toordinal() + days - days % 7
        nearest = f"{date.fromordinal(before)} or {date.fromordinal(before + 7)}"
        raise DemoRefused(
            f"The demo moves by whole weeks, so that its Sundays stay Sundays. {start} is a {start:%A} and "
            f"the story's day is a {STORY_DAY:%A}: choose {nearest}."
        )
    return days


def check_empty() -> None:
    """Raise DemoRefused where somebody has begun already."""
    if Ministry.objects.exists() or User.objects.exists():
        raise DemoRefused(
            "This database is not empty, and the demo never mixes with what is there. Choose an empty database "
            "(DATABASE_URL), or throw the demo's own away with: python3 run.py demo --reset"
        )


def load_demo(start: date = STORY_DAY) -> Iterator[Church]:
    """Load the three ministries, one act each (and one a list that is taken in); yield each when it stands."""
    days = days_moved(start)
    check_empty()
    for folder in WHOLE:
        yield load_church(Tables(folder, days))
    yield load_first_week(Tables(FIRST_WEEK, days))


def load_empty(start: date = STORY_DAY, country: str = "US") -> Church:
    """Load one ministry with members, sites and places only; a country without a church of its own borrows one."""
    days = days_moved(start)
    check_empty()
    church = begin_church(Tables(TABLES_OF_COUNTRY.get(country.upper(), WHOLE[0]), days), country)
    return load_sites_only(church)


def load_church(tables: Tables) -> Church:
    """Load a church with everything its tables hold, as one act."""
    church = begin_church(tables)
    with _act(church):
        load_people(church)
        load_sites(church)
        load_pieces(church)
        load_needs(church)
        load_accounts(church)
        load_steps(church)
        load_promises(church)
        load_orders(church)
        load_calendar(church)
    return church


def load_sites_only(church: Church) -> Church:
    """Load members, sites and places, as one act."""
    with _act(church):
        load_people(church, only_members=True)
        load_sites(church)
    return church


def load_first_week(tables: Tables) -> Church:
    """Load sites and places, then take in the three lists as they arrived, questions and twins left open."""
    church = load_sites_only(begin_church(tables))
    for name, site in FIRST_WEEK_SHEETS.items():
        take_in(
            ministry=church.ministry,
            by=church.lead,
            name=name,
            data=(SHEETS / name).read_bytes(),
            site=church.sites[site],
        )
    return church


def _act(church: Church) -> AbstractContextManager[Act]:
    says = _("The demo was loaded: %(name)s.") % {"name": church.ministry.name}
    return record.act(ministry=church.ministry, by=church.lead, kind="demo-load", says=says)


def logins() -> list[Login]:
    """Return who can sign in, ministry by ministry in the order of the roles."""
    members = Member.objects.select_related("ministry", "user").filter(user__email__endswith="example.org")
    return [
        Login(
            member.ministry.name,
            member.ministry.slug,
            ", ".join(member.role_words()),
            str(member.user),
            member.user.email,
        )
        for member in members.order_by("ministry_id", "id")
    ]
