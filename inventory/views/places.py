"""Sites and places: the tree with what stands in each, one place, one site, and how far each site is from empty."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from inventory.compute.leaving import days_left
from inventory.forms.places import PlaceForm, SiteForm
from inventory.models import Piece, Place, Site
from inventory.services.places import add_place, add_site, change_place, change_site
from inventory.tables import gear_table, heads
from inventory.views.clashes import chosen_in, shown
from inventory.views.gear_rows import Painter, by_end, links_of, row_of
from inventory.words import Fate
from people.access import Viewer, in_ministry
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from people.querysets import get_for_edit, get_visible
from people.services.merging import Clashed
from people.views.told import tell

MOST_ROWS = 200


@dataclass
class Branch:
    """A place with what stands in it and the places inside it."""

    place: Place
    own: int = 0
    inside: list["Branch"] = field(default_factory=list)

    @property
    def all(self) -> int:
        return self.own + sum(branch.all for branch in self.inside)


@dataclass
class SiteTree:
    site: Site
    branches: list[Branch]
    loose: int  # found at this site, in no place

    @property
    def all(self) -> int:
        return self.loose + sum(branch.all for branch in self.branches)


def trees(viewer: Viewer) -> list[SiteTree]:
    """Return every site with its places as a tree. Queries four times."""
    counts = dict(Piece.objects.visible_to(viewer).listed().values_list("place").annotate(n=Count("pk")).order_by())
    loose = dict(
        Piece.objects.visible_to(viewer)
        .listed()
        .filter(place__isnull=True)
        .values_list("found_at")
        .annotate(n=Count("pk"))
        .order_by()
    )
    places = list(Place.objects.visible_to(viewer))
    branches = {place.pk: Branch(place, counts.get(place.pk, 0)) for place in places}
    tops: dict[int, list[Branch]] = defaultdict(list)
    for place in places:
        above = branches.get(place.within_id or 0)
        (above.inside if above else tops[place.site_id]).append(branches[place.pk])
    return [SiteTree(site, tops[site.pk], loose.get(site.pk, 0)) for site in Site.objects.visible_to(viewer)]


@require_GET
@in_ministry("see")
def places(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    country = pack(viewer.ministry.country)
    found = trees(viewer)
    nowhere = Piece.objects.visible_to(viewer).listed().filter(place__isnull=True).count()
    told = {
        "trees": found,
        "answer": places_answer(found, nowhere, country),
        "nowhere": nowhere,
        "may_plan": viewer.may("plan"),
    }
    return render(request, "inventory/places.html", told)


def places_answer(found: Iterable[SiteTree], nowhere: int, country: CountryPack) -> str:
    held = [tree for tree in found if tree.all]
    if not held and not nowhere:
        return _("Nothing stands anywhere yet.")
    names = [f"{phrasing.counted(tree.all, _('piece'), _('pieces'), country)} · {tree.site.name}" for tree in held]
    first = _("Gear stands at %(n)s.") % {"n": phrasing.counted(len(held), _("site"), _("sites"), country)}
    if held:
        most = max(held, key=lambda tree: tree.all)
        first = _("Most of it stands at %(site)s: %(n)s.") % {
            "site": most.site.name,
            "n": phrasing.counted(most.all, _("piece"), _("pieces"), country),
        }
    if not nowhere:
        return first + (" " + _("Every piece has its place.") if names else "")
    none = ngettext("%(n)s piece has no place yet.", "%(n)s pieces have no place yet.", nowhere)
    return f"{first} {none % {'n': phrasing.counted(nowhere, '', '', country, at_start=True).strip()}}"


def painted(viewer: Viewer, pieces: list[Piece]) -> dict[str, Any]:
    """Return the headings and rows of a list of pieces without ticks, as the gear list shows them."""
    columns, rows = heads(gear_table(viewer, "")), [row_of(piece) for piece in pieces]
    needs, needed_by = by_end(links_of(viewer, rows)) if rows else ({}, {})
    return {
        "heads": columns,
        "rows": Painter(viewer, False, len(columns), needs, needed_by).rows(rows),
        "any": bool(pieces),
    }


@require_GET
@in_ministry("see")
def place(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_visible(Place.objects.select_related("site", "within"), viewer, uid=uid)
    everything = Piece.objects.visible_to(viewer).listed().for_list().order_by("tag_number", "id")
    here = list(everything.filter(Q(place=row) | Q(place__within=row))[:MOST_ROWS])
    to_come = list(everything.filter(goes_to=row).exclude(place=row)[:MOST_ROWS])
    country = pack(viewer.ministry.country)
    told = {
        "place": row,
        "answer": place_answer(row, here, to_come, country),
        "here": painted(viewer, here),
        "to_come": painted(viewer, to_come),
        "inside": list(Place.objects.visible_to(viewer).filter(within=row)),
        "may_plan": viewer.may("plan"),
    }
    return render(request, "inventory/place.html", told)


def place_answer(row: Place, here: list[Piece], to_come: list[Piece], country: CountryPack) -> str:
    said = {"place": row.name, "n": phrasing.counted(len(here), _("piece"), _("pieces"), country)}
    first = ngettext("%(n)s stands in %(place)s", "%(n)s stand in %(place)s", len(here)) % said
    if not here:
        first = _("Nothing stands in %(place)s") % said
    if not to_come:
        return f"{first}."
    more = ngettext("%(n)s is still to come", "%(n)s are still to come", len(to_come))
    return f"{first}; {more % {'n': phrasing.number(len(to_come), country)}}."


@dataclass(frozen=True)
class Standing:
    """How far a site is from empty."""

    site: Site
    pieces: int
    undecided: int
    sentence: str

    @property
    def worries(self) -> bool:
        return self.site.handed_back_on is None and self.undecided > 0


def standings(viewer: Viewer) -> list[Standing]:
    """Return every site that has an exit date, in the order of those dates. Queries twice."""
    own = Piece.objects.visible_to(viewer).listed()
    sites = [site for site in Site.objects.visible_to(viewer) if site.exit_on]
    at = Q(place__isnull=True)
    counts: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    rows = own.values_list("place__site", "found_at", "fate").annotate(n=Count("pk")).order_by()
    for site, found_at, fate, n in rows.filter(at | Q(place__isnull=False)):
        key = site if site is not None else found_at
        counts[key][0] += n
        counts[key][1] += n if fate == Fate.UNDECIDED else 0
    on, country = today(viewer.ministry), pack(viewer.ministry.country)
    return [
        Standing(site, *counts[site.pk], site_sentence(site, *counts[site.pk], on, country))
        for site in sorted(sites, key=lambda site: (site.handed_back_on is not None, site.exit_on))
    ]


def site_sentence(site: Site, pieces: int, undecided: int, on: date, country: CountryPack) -> str:
    """Return one sentence: what is still there, what of it is undecided, how many days are left."""
    n = phrasing.counted(pieces, _("piece"), _("pieces"), country, at_start=True)
    if site.handed_back_on:
        day = phrasing.day(site.handed_back_on, country, "long")
        still = ngettext("%(n)s on the list still stands there.", "%(n)s on the list still stand there.", pieces)
        left = f" {still % {'n': n}}" if pieces else ""
        return _("The keys went back on %(day)s.") % {"day": day} + left
    if not pieces and site.emptied_on:
        return _("Empty since %(day)s.") % {"day": phrasing.day(site.emptied_on, country, "long")}
    if not pieces:
        first = _("Nothing is left there")
    else:
        first = ngettext("%(n)s is still there", "%(n)s are still there", pieces) % {"n": n}
    if undecided:
        none = ngettext("%(u)s of them undecided", "%(u)s of them undecided", undecided)
        first += ", " + none % {"u": phrasing.number(undecided, country)}
    return f"{first}; {days_words(site, on, country)}"


def days_words(site: Site, on: date, country: CountryPack) -> str:
    left, day = days_left(site.exit_on, on), phrasing.day(site.exit_on, country, "long")
    if left < 0:
        return _("it should have been empty by %(day)s.") % {"day": day}
    days = phrasing.counted(left, _("day"), _("days"), country)
    return ngettext("%(days)s is left, until %(day)s.", "%(days)s are left, until %(day)s.", left) % {
        "days": days,
        "day": day,
    }


@require_GET
@in_ministry("see")
def leaving(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    found = standings(viewer)
    return render(request, "inventory/leaving.html", {"standings": found, "answer": leaving_answer(found)})


def leaving_answer(found: list[Standing]) -> str:
    open_ones = [one for one in found if not one.site.handed_back_on and (one.pieces or not one.site.emptied_on)]
    if not open_ones:
        return _("No building has to be emptied.")
    return f"{open_ones[0].site.name}: {open_ones[0].sentence}"


@require_GET
@in_ministry("see")
def site(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_visible(Site.objects.select_related("keyholder"), viewer, code=code)
    tree = next(one for one in trees(viewer) if one.site.pk == row.pk)
    pieces = Piece.objects.visible_to(viewer).listed().for_list()
    there = list(
        pieces.filter(Q(place__site=row) | Q(place__isnull=True, found_at=row)).order_by("tag_number", "id")[:MOST_ROWS]
    )
    standing = next((one for one in standings(viewer) if one.site.pk == row.pk), None)
    answer = standing.sentence if standing else _("%(n)s pieces stand at %(site)s.") % {"n": tree.all, "site": row.name}
    told = {
        "site": row,
        "answer": answer,
        "tree": tree,
        "there": painted(viewer, there),
        "shown": len(there),
        "may_plan": viewer.may("plan"),
        "sees_access": viewer.may("see_contacts"),
    }
    return render(request, "inventory/site.html", told)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def site_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return _written(request, viewer, SiteForm, add_site, _("Which building?"), "places")


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def place_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return _written(request, viewer, PlaceForm, add_place, _("Which place, and in which building?"), "places")


def _written(request: HttpRequest, viewer: Viewer, form_class: Any, add: Any, title: str, back: str) -> HttpResponse:
    form = form_class(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        __, act = add(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect(back, ministry=viewer.ministry.slug)
    return _form_page(request, form, title)


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def site_edit(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    row = get_for_edit(Site.objects.all(), viewer, "plan", code=code)
    form = SiteForm(request.POST or None, instance=Site.objects.get(pk=row.pk), viewer=viewer)
    return _changed(request, viewer, form, row, lambda **how: change_site(site=row, **how))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def place_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Place.objects.all(), viewer, "plan", uid=uid)
    form = PlaceForm(request.POST or None, instance=Place.objects.get(pk=row.pk), viewer=viewer)
    return _changed(request, viewer, form, row, lambda **how: change_place(place=row, **how))


def _changed(request: HttpRequest, viewer: Viewer, form: Any, row: Any, change: Any) -> HttpResponse:
    more: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        base = form.cleaned_data.get("base_version")
        try:
            act = change(by=viewer.member, base_version=base, **chosen_in(request), **form.changed_values())
        except Clashed as clashed:
            more = shown(clashed, form, viewer)
        else:
            if act:
                tell(request, act)
            return redirect("places", ministry=viewer.ministry.slug)
    return _form_page(request, form, _("What is known of %(name)s?") % {"name": row}, **more)


def _form_page(request: HttpRequest, form: Any, title: str, **told: Any) -> HttpResponse:
    status = 409 if "clashes" in told else 422 if form.errors else 200
    return render(request, "inventory/place_form.html", {"form": form, "title": title, **told}, status=status)
