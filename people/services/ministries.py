"""A church begins, with its founder as technical lead, and changes what it says of itself."""

from datetime import date
from typing import Any

from django.conf import settings
from django.db import models, transaction
from django.urls import get_resolver
from django.utils.translation import gettext as _

from people.compute import phrasing
from people.compute.cleaning import one_line, slug_words
from people.models import Act, Member, Ministry, User
from people.packs import pack
from people.roles import Role
from people.services import record
from people.services.persons import person_of_member
from people.services.undo import tracked_models

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


class MoneyIsKept(Exception):
    """The country would change while amounts are kept in its currency."""

    def __str__(self) -> str:
        return _("Amounts are kept in the currency of this country, so the country stays.")


def keeps_money(ministry: Ministry) -> bool:
    """Tell whether any amount is kept or was ever kept here; a query for each kind of row that has one, until found.

    History counts: an amount taken back is still told there, and may return.
    """
    for model in tracked_models():
        amounts = [column.name for column in model._meta.concrete_fields if column.name.endswith("_minor")]
        told = models.Q()
        for name in amounts:
            told |= models.Q(**{f"{name}__isnull": False}) & ~models.Q(**{name: 0})
        if amounts and model.history.model.objects.filter(told, ministry=ministry).exists():
            return True
    return False


@transaction.atomic
def change_ministry(*, ministry: Ministry, by: Member | None, **values: Any) -> list[Act]:
    """Set these of name, country, state, zone, main_room and out_by; return an act for each that differs.

    The currency follows the country. Raises MoneyIsKept. A church is no tracked row: each act's sentence holds what
    it was and what it is now.
    """
    church = Ministry.objects.select_for_update().get(pk=ministry.pk)
    before = {name: getattr(church, name) for name in values}
    changed = [name for name in values if before[name] != values[name]]
    if "country" in changed:
        if keeps_money(church):
            raise MoneyIsKept
        church.currency = pack(values["country"]).currency
    for name in changed:
        setattr(church, name, values[name])
    if changed:
        church.save(update_fields=[*changed, "currency"])
    return [_tell(church, by, name, before) for name in changed]


def _tell(church: Ministry, by: Member | None, name: str, before: dict[str, Any]) -> Act:
    says = _("%(what)s of the church: %(was)s → %(becomes)s.") % {
        "what": str(record.column(Ministry, name).verbose_name).capitalize(),
        "was": _said(name, {"country": church.country, **before}),
        "becomes": _said(name, {"country": church.country, name: getattr(church, name)}),
    }
    with record.act(ministry=church, by=by, kind="ministry-edit", says=says) as act:
        return act


def _said(name: str, values: dict[str, Any]) -> str:
    value, its_pack = values[name], pack(values["country"])
    if not value:
        return _("nothing")
    if name == "country":
        return its_pack.name
    if name == "state":
        region = its_pack.region(value)
        return region.name if region else str(value)
    return phrasing.day(value, its_pack, "long") if isinstance(value, date) else str(value)
