"""Writing sites and places."""

from collections.abc import Mapping
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from inventory.models import Place, Site
from inventory.services.intake_places import PlaceBook
from people.models import Act, Member, Ministry, Tracked
from people.services import record
from people.services.editing import change_merged


def add_site(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Site, Act]:
    """Store a site at the end of the list."""
    return _add(Site, ministry, by, "site-add", values)


def add_place(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Place, Act]:
    """Store a place at the end of its site's."""
    return _add(Place, ministry, by, "place-add", values)


def _add(model: Any, ministry: Ministry, by: Member | None, kind: str, values: Mapping[str, Any]) -> tuple[Any, Act]:
    last = model.objects.filter(ministry=ministry).aggregate(last=models.Max("order"))["last"] or 0
    says = _("Wrote down %(name)s.") % {"name": values["name"]}
    with record.act(ministry=ministry, by=by, kind=kind, says=says) as act:
        return record.add(model(ministry=ministry, order=last + 10, **values)), act


def change_site(*, site: Site, by: Member | None, **how: Any) -> Act | None:
    """Change a site; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    return change_named(row=site, by=by, act_kind="site-change", **how)


def change_place(*, place: Place, by: Member | None, **how: Any) -> Act | None:
    """Change a place; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    return change_named(row=place, by=by, act_kind="place-change", **how)


def change_named(*, row: Tracked, by: Member | None, act_kind: str, **how: Any) -> Act | None:
    """Change a row known by its name, merged by field; None when nothing differs. Raises merging.Clashed."""
    return change_merged(row=row, by=by, act_kind=act_kind, says=_("Changed %(name)s.") % {"name": row}, **how)


def place_called(ministry: Ministry, words: str) -> Place | None:
    """Return the one place these words name ("stage", "School · stage", a code), None where it is none or several.

    Queries twice.
    """
    book = PlaceBook(ministry)
    site_words, _dot, rest = words.partition(" · ")
    site = book.site_named(site_words) if rest else None
    sites = [site] if site else book.sites
    wanted = rest if site else words
    found = {place.pk: place for each in sites if (place := book.find(each, wanted)) is not None}
    return found.popitem()[1] if len(found) == 1 else None
