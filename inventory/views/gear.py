"""The gear list: filtered by a sentence, sorted, a leaf at a time; the next piece on its first line; many at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.cache import cache
from django.core.paginator import Page, Paginator
from django.db.models import Case, Count, IntegerField, Max, Q, QuerySet, Sum, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from inventory.compute.leaving import decide_by
from inventory.compute.tags import make_tag
from inventory.forms.gear import BulkForm, GearFilter, NextPieceForm
from inventory.forms.plain_select import options, said
from inventory.models import Piece, Place, Site
from inventory.services.fates import REFUSALS
from inventory.services.pieces import TAG_LETTER, add_piece, change_pieces
from inventory.tables import GearTable, gear_table, heads, order_of
from inventory.views.gear_rows import SHOWN, Link, Painter, Row, by_end, links_of, short_name
from inventory.words import LEAVING_FATES, Condition, Fate
from people.access import Viewer, in_ministry
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.models import Act
from people.packs import pack
from people.views.told import tell

A_LEAF = 50
FEW = 1000  # pieces
REMEMBERED = 60  # seconds
LAST_ACTS = 8  # more never run at once
BY_TAG = ("tag_number", "id")
UNDECIDED_FIRST = Case(When(fate=Fate.UNDECIDED, then=0), default=1, output_field=IntegerField())


@dataclass(frozen=True)
class Stock:
    """Counts over a ministry's list, or over what a filter lets through."""

    pieces: int = 0
    undecided: int = 0
    leaving: int = 0
    units: int = 0
    mass_g: int = 0
    resale_minor: int = 0
    last_number: int = 0


def stock_of(pieces: QuerySet[Piece]) -> Stock:
    """Return the counts of all these pieces but for the merged ones, and the last number given. Queries once."""
    listed = Q(merged_into__isnull=True)
    return _counted(
        pieces,
        pieces=Count("pk", filter=listed),
        undecided=Count("pk", filter=listed & Q(fate=Fate.UNDECIDED)),
        leaving=Count("pk", filter=listed & Q(fate__in=LEAVING_FATES)),
        units=Sum("quantity", filter=listed),
        mass_g=Sum("mass_g", filter=listed),
        resale_minor=Sum("resale_minor", filter=listed & Q(price_currency="")),
        last_number=Max("tag_number"),
    )


def shown_of(found: QuerySet[Piece]) -> Stock:
    """Return what the page says of what the filter lets through: neither leaving nor the last number. Queries once."""
    return _counted(
        found,
        pieces=Count("pk"),
        undecided=Count("pk", filter=Q(fate=Fate.UNDECIDED)),
        units=Sum("quantity"),
        mass_g=Sum("mass_g"),
        resale_minor=Sum("resale_minor", filter=Q(price_currency="")),
    )


def _counted(rows: QuerySet[Piece], **counts: Any) -> Stock:
    return Stock(**{name: int(value or 0) for name, value in rows.aggregate(**counts).items()})


@dataclass(frozen=True)
class Whole:
    """What holds for the list as a whole, whoever looks and whatever is asked."""

    stock: Stock
    sites: tuple[Site, ...]


def whole_list(viewer: Viewer, pieces: QuerySet[Piece]) -> Whole:
    """Return the counts of the whole list and the sites, remembered until the next act. Queries once, else thrice.

    Every write stands in an act, so the same last acts mean the same rows. Several are compared, because an act may
    commit after one that began later; they are read before the rows, so that what is kept is never newer than it says.
    """
    key = f"gear-{viewer.ministry.uid}"
    acts = tuple(Act.objects.filter(ministry=viewer.ministry).order_by("-id").values_list("pk", flat=True)[:LAST_ACTS])
    kept_acts, whole = cache.get(key) or (None, None)
    if whole is None or kept_acts != acts:
        whole = Whole(stock_of(pieces), tuple(Site.objects.visible_to(viewer)))
        cache.set(key, (acts, whole), REMEMBERED)
    return whole


@dataclass
class Leaf:
    """One leaf of the list as asked for: what there is, what is shown, and in which order."""

    viewer: Viewer
    sites: Sequence[Site]
    filter: GearFilter
    table: GearTable
    stock: Stock
    shown: Stock
    page: Page[Any]
    pieces: list[Row]

    @property
    def undecided_first(self) -> bool:
        return not order_of(self.table)


def leaf_of(viewer: Viewer, query: Any) -> Leaf:
    """Read a leaf: the whole, the pieces of one page. Queries twice; once more filtered, or in both parts."""
    everything = Piece.objects.visible_to(viewer)
    whole = whole_list(viewer, everything)
    stock, sites = whole.stock, whole.sites
    table = gear_table(viewer, query.get("sort", ""))
    sentence = GearFilter(query, everything.listed(), sites=sites)
    found = sentence.found()
    shown = shown_of(found) if sentence.chosen() else stock
    page = Paginator(range(shown.pieces), A_LEAF).get_page(query.get("page"))
    return Leaf(viewer, sites, sentence, table, stock, shown, page, pieces_on(page, found, table, sentence, shown))


def pieces_on(
    page: Page[Any], found: QuerySet[Piece], table: GearTable, sentence: GearFilter, shown: Stock
) -> list[Row]:
    """Return the pieces of a page, place and site with them.

    Unfiltered, undecided and decided are read apart, each along an index; filtered lists are short enough to sort.
    A few are found first and then sorted: along the index of names a database would pass all the others by.
    """
    start, stop = (page.start_index() - 1, page.end_index()) if shown.pieces else (0, 0)
    order = order_of(table)
    if sentence.chosen() and shown.pieces <= FEW:
        found = Piece.objects.filter(pk__in=found.values("pk"))
    if order:
        return _read(found, order, start, stop, shown.pieces)
    if sentence.chosen():
        return _read(found, (UNDECIDED_FIRST, *BY_TAG), start, stop, shown.pieces)
    first = shown.undecided
    undecided = _read(found.filter(fate=Fate.UNDECIDED), BY_TAG, start, min(stop, first), first)
    decided = found.exclude(fate=Fate.UNDECIDED)
    return undecided + _read(decided, BY_TAG, max(start - first, 0), stop - first, shown.pieces - first)


def _read(found: QuerySet[Piece], order: Sequence[Any], start: int, stop: int, count: int) -> list[Row]:
    """Return rows start to stop of `count` in this order; a stretch near the end is counted from the end.

    The ids come from an index inside the statement; wide rows and joins are read for these only.
    """
    if stop <= start:
        return []
    turned, keys = start > count - stop, found.order_by(*order)
    if turned:
        keys, start, stop = keys.reverse(), count - stop, count - start
    on_it = Piece.objects.filter(pk__in=keys.values("pk")[start:stop]).order_by(*order)
    return [Row(*values) for values in on_it.values_list(*SHOWN)]


@require_GET
@in_ministry("see")
def gear(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return render(request, "inventory/gear.html", page_of(viewer, request.GET))


def page_of(viewer: Viewer, query: Any, **more: Any) -> dict[str, Any]:
    """Return what the page shows."""
    leaf = leaf_of(viewer, query)
    its_pack = pack(viewer.ministry.country)
    links = links_of(viewer, leaf.pieces) if leaf.pieces else []
    needs, needed_by = by_end(links)
    may_record = viewer.may("record")
    columns = heads(leaf.table)
    painter = Painter(viewer, may_record, len(columns), needs, needed_by)
    groups = _groups(viewer, leaf.sites, its_pack) if leaf.undecided_first else None
    return {
        "answer": answer(viewer, leaf, its_pack),
        "lede": together(leaf.pieces, links),
        "slides": slides(viewer, leaf.stock, its_pack),
        "filter": leaf.filter,
        "count_said": count_words(leaf, its_pack),
        "heads": columns,
        "rows": painter.rows(leaf.pieces, groups),
        "pieces": leaf.pieces,
        "page": leaf.page,
        "keep": kept_query(query, "page"),
        "keep_unsorted": kept_query(query, "page", "sort"),
        "sums": sums(viewer, leaf, its_pack),
        "next_tag": make_tag(TAG_LETTER, leaf.stock.last_number + 1),
        "condition_options": options(said(Condition), Condition.UNTESTED),
        "fate_options": options(said(Fate)),
        "may_record": may_record,
        "may_decide": viewer.may("decide_fates"),
        "bulk": BulkForm(viewer=viewer, auto_id="several_%s") if may_record else None,
        "no_gear": not leaf.stock.pieces,
        **more,
    }


def kept_query(query: Any, *without: str) -> str:
    """Return the address's choices but for some, ending in & where there are any."""
    kept = query.copy()
    for name in without:
        kept.pop(name, None)
    for name in [name for name, value in kept.items() if not value]:
        del kept[name]
    return f"{kept.urlencode()}&" if kept else ""


def next_exit(sites: Sequence[Site]) -> Site | None:
    """Return the site that must be empty next, or should have been."""
    open_ones = [site for site in sites if site.exit_on and not site.handed_back_on and not site.emptied_on]
    return min(open_ones, key=lambda site: site.exit_on, default=None)


def answer(viewer: Viewer, leaf: Leaf, its_pack: CountryPack) -> str:
    """Return what stands at the top: what is undecided, and which keys go back when."""
    stock, site = leaf.stock, next_exit(leaf.sites)
    if not stock.pieces:
        return _("No gear is written down yet.")
    if stock.undecided:
        n = phrasing.counted(stock.undecided, _("piece"), _("pieces"), its_pack, at_start=True)
        first = ngettext("%(n)s still needs a decision", "%(n)s still need a decision", stock.undecided) % {"n": n}
    else:
        first = _("Every piece has a fate")
    if site is None:
        return f"{first}."
    when = {"site": short_name(site.name), "day": phrasing.day(site.exit_on, its_pack)}
    if site.exit_on < today(viewer.ministry):
        return _("%(first)s; %(site)s should have been empty by %(day)s.") % {"first": first, **when}
    return _("%(first)s; the keys of %(site)s go back on %(day)s.") % {"first": first, **when}


def together(pieces: Sequence[Row], links: Sequence[Link]) -> str:
    """Return the first two undecided pieces on this leaf of which one needs the other."""
    undecided = {piece.pk for piece in pieces if piece.fate == Fate.UNDECIDED}
    for link in links:
        if link.piece_id in undecided and link.needs_id in undecided:
            names = {
                "one": f"{link.piece__tag} {link.piece__what}",
                "other": f"{link.needs__tag} {link.needs__what}",
            }
            return _("%(one)s needs %(other)s: decide on them together.") % names
    return ""


def slides(viewer: Viewer, stock: Stock, its_pack: CountryPack) -> list[tuple[str, str, str]]:
    url = reverse("gear", kwargs={"ministry": viewer.ministry.slug})
    return [
        (phrasing.number(stock.pieces, its_pack), ngettext("piece", "pieces", stock.pieces), url),
        (phrasing.number(stock.undecided, its_pack), _("undecided"), f"{url}?fate=to+decide"),
        (phrasing.number(stock.leaving, its_pack), _("leaving"), f"{url}?fate=leaving"),
    ]


def count_words(leaf: Leaf, its_pack: CountryPack) -> str:
    shown, whole = (phrasing.number(n, its_pack) for n in (leaf.shown.pieces, leaf.stock.pieces))
    said = {"shown": shown, "all": whole, "pieces": ngettext("piece", "pieces", leaf.stock.pieces)}
    words = _("%(shown)s of %(all)s %(pieces)s") if leaf.filter.chosen() else _("%(all)s %(pieces)s")
    return words % said + (_(", undecided first") if leaf.undecided_first and leaf.shown.undecided else "")


def sums(viewer: Viewer, leaf: Leaf, its_pack: CountryPack) -> list[str]:
    """Return the totals of what is shown, in words; money only for those who see it."""
    shown = leaf.shown
    said = [phrasing.counted(shown.units, _("thing in all"), _("things in all"), its_pack)]
    if shown.mass_g:
        said.append(phrasing.mass(shown.mass_g, its_pack))
    if viewer.sees_money and shown.resale_minor:
        money = phrasing.money(shown.resale_minor, its_pack, whole=True)
        said.append(_("%(money)s resale, as guessed") % {"money": money})
    return said


def _groups(viewer: Viewer, sites: Sequence[Site], its_pack: CountryPack) -> Mapping[str, str]:
    """Return the words above the undecided and above the decided."""
    site = next_exit(sites)
    by = decide_by(site.exit_on, site.own_target_on) if site else None
    if by is None:
        undecided = _("To decide")
    elif by < today(viewer.ministry):
        undecided = _("To decide now")
    else:
        undecided = _("To decide by %(day)s") % {"day": phrasing.day(by, its_pack, "full")}
    return {"undecided": undecided, "decided": _("Decided")}


@require_POST
@in_ministry("record")
def gear_next(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Keep the piece written on the first line."""
    form = NextPieceForm(request.POST, viewer=viewer)
    if not form.is_valid():
        told = page_of(viewer, request.GET, next_form=form, next_wrong=_("Write what it is."))
        return render(request, "inventory/gear.html", told, status=422)
    __, act = add_piece(ministry=viewer.ministry, by=viewer.member, **form.values())
    tell(request, act)
    return redirect(_way_back(request, viewer))


@require_POST
@in_ministry("record")
def gear_bulk(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Change the ticked pieces in one act."""
    form = BulkForm(request.POST, viewer=viewer)
    pieces = list(Piece.objects.visible_to(viewer).listed().filter(uid__in=_uids(request)))
    values = form.values() if form.is_valid() else {}
    if not pieces or not values:
        words = [str(error) for errors in form.errors.values() for error in errors]
        messages.error(request, " ".join(words) or _("Nothing changed: tick pieces and choose what they become."))
        return redirect(_way_back(request, viewer))
    try:
        act, __ = change_pieces(pieces=pieces, by=viewer.member, **values)
    except REFUSALS as refused:
        messages.error(request, str(refused))
    else:
        if act:
            tell(request, act)
        else:
            messages.info(request, _("Nothing changed: they were so already."))
    return redirect(_way_back(request, viewer))


def _uids(request: HttpRequest) -> list[UUID]:
    found = []
    for text in request.POST.getlist("pick"):
        try:
            found.append(UUID(text))
        except ValueError:
            continue
    return found


def _way_back(request: HttpRequest, viewer: Viewer) -> str:
    """Return the list as it was filtered, else the whole list."""
    back = request.POST.get("back", "")
    home = reverse("gear", kwargs={"ministry": viewer.ministry.slug})
    known = url_has_allowed_host_and_scheme(back, {request.get_host()}, require_https=request.is_secure())
    return back if known and back.startswith(home) else home


@require_GET
@in_ministry("see")
def place_words(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Return the places as suggestions, fetched when a place is first written."""
    places = Place.objects.visible_to(viewer).select_related("site").order_by("site__order", "order", "id")
    return render(request, "inventory/_place_words.html", {"places": places})
