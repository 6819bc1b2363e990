"""The rows of the gear list, painted in Python: at fifty rows of seven cells that is most of the page's time."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache, reduce
from typing import Any, NamedTuple
from uuid import UUID

from django.db.models import Q
from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from inventory.models import NeedsLink, Piece, Place
from inventory.words import Fate
from people.access import Viewer
from people.compute import phrasing
from people.compute.unpriced import unpriced
from people.packs import pack
from people.templatetags.glyphs import state_html

NOBODY = UUID(int=0)
LONGEST_NOTE = 26  # characters; longer ones wrap the row
MOST_NAMED = 2


class Row(NamedTuple):
    """What a line shows, named as the database is asked: as objects, six tables wide, they cost a third of the page."""

    pk: int
    uid: UUID
    tag: str
    what: str
    quantity: int
    maker: str
    model: str
    condition: str
    fate: str
    fate_until: str
    fate_until_on: date | None
    next_fate: str
    place_words: str
    note: str
    resale_minor: int | None
    price_currency: str
    place_id: int | None
    goes_to_id: int | None
    found_at__name: str | None
    place__name: str | None
    place__site__name: str | None
    place__site__receives: bool | None
    goes_to__name: str | None
    goes_to__site__name: str | None
    goes_to__site__receives: bool | None


SHOWN = Row._fields


class Link(NamedTuple):
    """One piece needs another; both with tag and name."""

    piece_id: int
    needs_id: int
    piece__tag: str
    piece__what: str
    needs__tag: str
    needs__what: str


def row_of(piece: Piece) -> Row:
    """Return a piece read with for_list() as a row."""
    begin: Any = piece
    return Row._make(reduce(_step, name.split("__"), begin) for name in SHOWN)


def _step(there: Any, name: str) -> Any:
    return None if there is None else getattr(there, name)


@dataclass
class Painter:
    """Paints rows for one viewer; `links` are those of the pieces on the page."""

    viewer: Viewer
    may_tick: bool
    columns: int
    needs: Mapping[int, list[str]] = field(default_factory=dict)
    needed_by: Mapping[int, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        where = {"ministry": self.viewer.ministry.slug, "uid": NOBODY}
        self.before, self.after = reverse("piece", kwargs=where).split(str(NOBODY))
        self.pack = pack(self.viewer.ministry.country)
        self.needs_words, self.its_words, self.then_words = _("needs"), _("for"), _("then")
        self.goes_words, self.until_words = escape(_("Goes to")), _("until %(when)s")
        self._money, self.resale_words = self.viewer.sees_money, escape(_("Resale"))
        self.nowhere = f'<span class="quiet">{escape(_("nowhere yet"))}</span>'
        self.states: dict[tuple[str, str, str], str] = {}

    def rows(self, pieces: Iterable[Row], heads: Mapping[str, str] | None = None) -> SafeString:
        """Return table rows; heads: words for the rows above the undecided and the decided, when in that order."""
        parts: list[str] = []
        group = ""
        for piece in pieces:
            now = "undecided" if piece.fate == Fate.UNDECIDED else "decided"
            if heads and now != group:
                group = now
                parts.append(
                    f'<tr class="group"><th colspan="{self.columns}" scope="rowgroup">{escape(heads[now])}</th></tr>'
                )
            parts.append(self._row(piece))
        return mark_safe("\n".join(parts))

    def _row(self, piece: Row) -> str:
        url, tag = f"{self.before}{piece.uid}{self.after}", escape(piece.tag)
        tick = (
            f'<input type="checkbox" class="tick" name="pick" value="{piece.uid}" aria-label="{tag}">'
            if self.may_tick
            else ""
        )
        note = self._note(piece)
        count = f' <span class="count">× {piece.quantity}</span>' if is_worth_counting(piece) else ""
        resale = f'<td class="num" data-label="{self.resale_words}">{self._resale(piece)}</td>' if self._money else ""
        goes = self._goes(piece)
        return (
            f'<tr><td class="hang">{tick}<a class="tape" href="{url}">{tag}</a></td>'
            f'<th scope="row"><a href="{url}">{escape(piece.what)}</a>{count}'
            f"{f' <span class=note>· {escape(note)}</span>' if note else ''}</th>"
            f"<td>{self._where(piece)}</td>"
            f'<td class="inline">{self._state("condition", piece.condition)}</td>'
            f'<td class="inline">{self._state("fate", piece.fate, self._until(piece))}</td>'
            f"<td{f' data-label={chr(34)}{self.goes_words}{chr(34)}' if goes else ''}>{goes}</td>{resale}</tr>"
        )

    def _state(self, kind: str, word: str, note: str = "") -> str:
        painted = self.states.get((kind, word, note))
        if painted is None:
            painted = self.states[kind, word, note] = state_html(kind, word, note)
        return painted

    def _resale(self, piece: Row) -> str:
        if piece.resale_minor is None:
            return ""
        return escape(money_words(piece.resale_minor, self.pack.code, piece.price_currency))

    def _note(self, piece: Row) -> str:
        needs, needed_by = self.needs.get(piece.pk), self.needed_by.get(piece.pk)
        if needs:
            return f"{self.needs_words} {_some(needs)}"
        if needed_by:
            return f"{self.its_words} {_some(needed_by)}"
        note = piece.note if self._money else unpriced(piece.note, "")
        return first_words(note) or first_words(" ".join(filter(None, (piece.maker, piece.model))))

    def _where(self, piece: Row) -> str:
        if piece.place__name is not None:
            return place_html(piece.place__name, piece.place__site__name or "", bool(piece.place__site__receives))
        words = escape(piece.place_words) if piece.place_words else self.nowhere
        site = piece.found_at__name
        return words + (f' <span class="note">· {escape(short_name(site))}</span>' if site else "")

    def _until(self, piece: Row) -> str:
        if piece.fate_until_on:
            return self.until_words % {"when": phrasing.day(piece.fate_until_on, self.pack, "short")}
        return self.until_words % {"when": piece.fate_until} if piece.fate_until else ""

    def _goes(self, piece: Row) -> str:
        if piece.next_fate:
            return f"{escape(self.then_words)} {escape(_(piece.next_fate))}"
        if piece.goes_to__name is None or piece.goes_to_id == piece.place_id:
            return ""
        return place_html(piece.goes_to__name, piece.goes_to__site__name or "", bool(piece.goes_to__site__receives))


@lru_cache(maxsize=4096)
def money_words(minor: int, country: str, currency: str) -> str:
    """Return an amount in words, remembered: guesses are round figures and come again."""
    return phrasing.money(minor, pack(country), whole=True, currency=currency)


def _some(tags: list[str]) -> str:
    more = len(tags) - MOST_NAMED
    return ", ".join(tags[:MOST_NAMED]) + (f" +{more}" if more > 0 else "")


def is_worth_counting(piece: Row) -> bool:
    """Tell whether the count says more than the name: "lot of 30" has said it."""
    return piece.quantity > 1 and str(piece.quantity) not in piece.what.split()


def short_name(name: str) -> str:
    """Return a site's name up to its first comma: The Lanes, Depot Street is The Lanes in a row."""
    return name.partition(",")[0]


@lru_cache(maxsize=4096)
def place_html(name: str, site: str, receives: bool) -> str:
    """Return a place without its remark in parentheses, and its site, which goes without saying where all move to."""
    shown = escape(name.partition(" (")[0])
    if receives or _begin_alike(name, site):
        return shown
    return f'{shown} <span class="note">· {escape(short_name(site))}</span>'


def names_site(place: Place) -> bool:
    """Tell whether the place's own name begins as its site's does: the site then goes without saying."""
    return _begin_alike(place.name, place.site.name)


def _begin_alike(name: str, other: str) -> bool:
    return name.split(" ")[0].strip(",") == other.split(" ")[0].strip(",")


def first_words(text: str) -> str:
    """Return the first remark of a text, cut at a word where it is long."""
    first = text.replace(" | ", ";").partition(";")[0].strip()
    if len(first) <= LONGEST_NOTE:
        return first
    return first[:LONGEST_NOTE].rpartition(" ")[0].rstrip(" ,.:(") + " …"


def links_of(viewer: Viewer, pieces: Iterable[Row]) -> list[Link]:
    """Return the links from and to these pieces, with both ends. Queries once."""
    keys = [piece.pk for piece in pieces]
    links = NeedsLink.objects.visible_to(viewer).filter(needs__isnull=False)
    found = links.filter(Q(piece_id__in=keys) | Q(needs_id__in=keys)).order_by("id").values_list(*Link._fields)
    return [Link(*values) for values in found]


def by_end(links: Iterable[Link]) -> tuple[dict[int, list[str]], dict[int, list[str]]]:
    """Return ({piece: tags it needs}, {piece: tags that need it})."""
    needs: dict[int, list[str]] = defaultdict(list)
    needed_by: dict[int, list[str]] = defaultdict(list)
    for link in links:
        needs[link.piece_id].append(link.needs__tag)
        needed_by[link.needs_id].append(link.piece__tag)
    return needs, needed_by
