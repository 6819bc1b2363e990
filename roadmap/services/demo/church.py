"""A demo church begins: its row, its members and people, its sites and places."""

from dataclasses import dataclass, field
from functools import cache

from django.contrib.auth.hashers import make_password
from django.utils.translation import gettext_lazy as _

from inventory.models import Piece, Place, Site
from people.compute.cleaning import sort_key
from people.models import Member, Ministry, Person, User
from people.packs import pack
from people.services import record
from roadmap.models import Fund, Order, Phase, Step
from roadmap.services.demo.tables import Tables, clock, day, joined, points, whole, yes

PASS_PHRASE = "four lamps on the stage"  # the churches are invented; printed for whoever tries them
POST_WORDS = {
    "MIX": _("mix"),
    "STG": _("stage and monitors"),
    "WRD": _("words"),
    "VIS": _("cameras"),
    "STM": _("stream"),
    "LGT": _("lights"),
    "HST": _("team host"),
}
LEVEL_WORDS = {"1": _("learning"), "2": _("steady"), "3": _("can teach")}


@dataclass
class Church:
    """A church while it is loaded, with what was stored so far by key."""

    ministry: Ministry
    tables: Tables
    members: dict[str, Member] = field(default_factory=dict)  # by role
    people: dict[str, Person] = field(default_factory=dict)
    sites: dict[str, Site] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    pieces: dict[str, Piece] = field(default_factory=dict)
    phases: dict[str, Phase] = field(default_factory=dict)
    funds: dict[str, Fund] = field(default_factory=dict)
    steps: dict[str, Step] = field(default_factory=dict)
    orders: dict[str, Order] = field(default_factory=dict)

    @property
    def lead(self) -> Member:
        return self.members["lead"]


@cache
def hashed_pass_phrase() -> str:
    """Return the pass phrase as it is stored; hashed once, since it is no secret."""
    return make_password(PASS_PHRASE)


def begin_church(tables: Tables, country: str = "") -> Church:
    """Store the ministry and its members and return the church.

    country: another country than the table's; currency and zone then come from its pack.
    """
    row = tables.row("ministry")
    its_pack = pack(country or row["country"])
    moved_away = its_pack.code != row["country"]
    ministry = Ministry.objects.create(
        slug=row["slug"],
        name=row["name"],
        country=its_pack.code,
        state="" if moved_away else row["state"],
        zone=its_pack.zone_of("") if moved_away else row["zone"],
        currency=its_pack.currency,
        main_room=row["main_room"],
        out_by=day(row["everything_out_by"]),
        today_is=day(row["as_of"]),
    )
    church = Church(ministry, tables)
    for member in tables.rows("members"):
        church.members[member["roles"]] = _member(ministry, member)
    return church


def _member(ministry: Ministry, row: dict[str, str]) -> Member:
    user = User.objects.filter(email=row["email"]).first()
    if user is None:
        user = User(email=row["email"], name=row["name"], password=hashed_pass_phrase())
        user.save()
    return Member.objects.create(ministry=ministry, user=user, roles=row["roles"].split())


def load_people(church: Church, *, only_members: bool = False) -> None:
    """Store the people around the work, or only those who can sign in."""
    members = {row["person"] or row["name"]: church.members[row["roles"]] for row in church.tables.rows("members")}
    rows = [] if only_members else church.tables.rows("people")
    named = {row["name"] for row in rows}
    rows += [{"name": name} for name in members if name not in named]
    site_names = {row["code"]: row["name"] for row in church.tables.rows("sites")}
    stored = record.add_many(
        [
            Person(
                ministry=church.ministry,
                name=row["name"],
                member=members.get(row["name"]),
                email=members[row["name"]].user.email if row["name"] in members else "",
                home_site=site_names.get(row.get("home_site", ""), ""),
                is_minor=yes(row.get("under_18", "")),
                does=_post_words(row.get("posts", "")),
                note=row.get("note", ""),
                sort_key=sort_key(row["name"]),
            )
            for row in rows
        ]
    )
    church.people = {person.name: person for person in stored}


def _post_words(posts: str) -> str:
    """Return "mix (can teach), words (learning)" from "MIX3 WRD1"."""
    return ", ".join(f"{POST_WORDS[post[:3]]} ({LEVEL_WORDS[post[3]]})" for post in posts.split())


def load_sites(church: Church) -> None:
    """Store the sites, and the places in them."""
    rows = church.tables.rows("sites")
    stored = record.add_many([_site(church, row, order) for order, row in enumerate(rows, 1)])
    church.sites = {site.code: site for site in stored}
    rows = church.tables.rows("places")
    for outer in (True, False):  # a room before the spots in it
        some = [row for row in rows if (not row["parent"]) == outer]
        for place in record.add_many([_place(church, row) for row in some]):
            church.places[place.code] = place


def _site(church: Church, row: dict[str, str], order: int) -> Site:
    return Site(
        ministry=church.ministry,
        code=row["code"],
        name=row["name"],
        kind=row["what"],
        receives=row["kind"] == "receiving",
        last_service_on=day(row["last_service_on"]),
        last_service_at=clock(row["last_service_at"]),
        exit_on=day(row["exit_on"]),
        exit_at=clock(row["exit_at"]),
        own_target_on=day(row["own_target_on"]),
        emptied_on=day(row["emptied_on"]),
        handed_back_on=day(row["handed_back_on"]),
        duties=row["duties"],
        state=row["state"],
        order=order * 10,
    )


def _place(church: Church, row: dict[str, str]) -> Place:
    return Place(
        ministry=church.ministry,
        site=church.sites[row["site"]],
        within=church.places.get(row["parent"]),
        code=row["code"],
        name=row["name"],
        people=" ".join(filter(None, (row["people"], row["people_text"]))),
        size=row["size_text"],
        height_mm=whole(row["height_mm"]),
        polygon=points(row["polygon"]),
        remarks=joined("" if row["height_mm"] else row["height_text"], row["remarks"]),
        order=int(row["order"]),
    )
