"""What every page's frame shows: the church, who looks, and where one can go."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

from people.access import Viewer
from people.clock import today
from people.packs import pack

# label, the URL's name, the ability it needs, URL names that count as the same page
PAGES = (
    (_("This Sunday"), "this-sunday", "see_plan"),
    (_("Gear"), "gear", "see"),
    (_("Leaving"), "leaving", "see"),
    (_("Steps"), "steps", "see_plan"),
    (_("Money"), "money", "see_money"),
    (_("Paths"), "paths", "see"),
    (_("Hands"), "hands", "see"),
    (_("Paper"), "paper", "see"),
)

# what the menu under one's name offers in a church
MENU = (
    (_("What happened here"), "happened", "see"),
    (_("People"), "persons", "see"),
    (_("Members"), "members", "manage"),
)


@dataclass(frozen=True)
class Way:
    label: str
    url: str
    current: bool


def ways(viewer: Viewer, here: str, pages: Iterable[tuple[Any, str, str]] = PAGES) -> Iterator[Way]:
    """Yield the entries of the navigation that exist and that the viewer may open.

    here: the URL's name, or `name-something` below it.
    """
    for label, name, ability in pages:
        if not viewer.may(ability):
            continue
        try:
            url = reverse(name, kwargs={"ministry": viewer.ministry.slug})
        except NoReverseMatch:
            continue
        yield Way(str(label), url, here == name)


def frame(request: HttpRequest) -> dict[str, Any]:
    """Return the frame's variables; without a ministry in the address only empty ones. Queries nothing."""
    viewer: Viewer | None = getattr(request, "viewer", None)
    if viewer is None:
        return {"nav": [], "viewer": None, "ministry": None}
    match = request.resolver_match
    section = (match.kwargs.get("section") or SECTION_OF.get(match.url_name or "", match.url_name)) if match else ""
    return {
        "viewer": viewer,
        "ministry": viewer.ministry,
        "member": viewer.member,
        "pack": pack(viewer.ministry.country),
        "today": today(viewer.ministry),
        "sees_money": viewer.sees_money,
        "nav": list(ways(viewer, section or "")),
        "menu": list(ways(viewer, section or "", MENU)),
        "roles_words": ", ".join(viewer.member.role_words()) if viewer.member else "",
    }


# Which entry of the navigation a page belongs to, where it is not an entry itself.
SECTION_OF: dict[str, str] = {}
