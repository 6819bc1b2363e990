"""A church begins: its row, its zone and currency from the country pack, and its founder as technical lead."""

from datetime import date
from typing import Any

from django.conf import settings
from django.db import transaction
from django.urls import get_resolver

from people.compute.cleaning import one_line, slug_words
from people.models import Member, Ministry, User
from people.packs import pack
from people.roles import Role
from people.services.persons import person_of_member

LONGEST_SLUG = 50


def may_found(user: Any) -> bool:
    """Tell whether this visitor may start a church: anyone signed in, a stranger where nobody is yet or by setting.

    Queries once for a stranger.
    """
    if user.is_authenticated:
        return True
    return bool(getattr(settings, "OPEN_SIGN_UP", False)) or not User.objects.exists()


def reserved_slugs() -> frozenset[str]:
    """Return the first words of addresses that belong to the program, which no church may take."""
    words = {str(entry.pattern).split("/")[0] for entry in get_resolver().url_patterns}
    nested = [entry for entry in get_resolver().url_patterns if not str(entry.pattern)]
    for entry in nested:
        words |= {str(inner.pattern).split("/")[0] for inner in getattr(entry, "url_patterns", ())}
    return frozenset(word for word in words if word and "<" not in word) | {"static", "media", "new", "api"}


def free_slug(name: str) -> str:
    """Return a short name for addresses made from the church's name, not reserved and not taken; queries once."""
    stem = slug_words(name)[:LONGEST_SLUG].strip("-") or "church"
    taken = set(Ministry.objects.filter(slug__startswith=stem).values_list("slug", flat=True)) | reserved_slugs()
    number = 1
    slug = stem
    while slug in taken:
        number += 1
        slug = f"{stem}-{number}"
    return slug


@transaction.atomic
def found_ministry(
    *, user: User, name: str, country: str, state: str, zone: str, main_room: str, out_by: date | None
) -> Member:
    """Store a new church and return its founder as its technical lead.

    zone: '' takes the zone of the state, or of the country. Raises LookupError for a country without a pack.
    """
    its_pack = pack(country)
    ministry = Ministry.objects.create(
        slug=free_slug(name),
        name=one_line(name),
        country=its_pack.code,
        state=state,
        zone=zone or its_pack.zone_of(state),
        currency=its_pack.currency,
        main_room=one_line(main_room),
        out_by=out_by,
    )
    member = Member.objects.create(ministry=ministry, user=user, roles=[Role.LEAD])
    person_of_member(member=member)
    return member
