"""Where a list says a thing is: a known place of its site, a new one, or a question where two may be one."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from inventory.compute.piece_columns import WIDTHS, shortened
from inventory.compute.relisting import folded
from inventory.models import Place, Site
from people.compute.cleaning import one_line
from people.models import Ministry
from people.services import record

LIKE = 0.85  # of SequenceMatcher: one slip in a word of seven letters
SMALL_WORDS = frozenset(("a", "an", "the", "in", "on", "at", "of", "by", "to", "under", "over", "behind", "inside"))
NOWHERE = frozenset({"", "all over", "various", "none", "n a", "unknown", "everywhere", "misc"})
CODE_WIDTH = 24
MANY = 300  # places of a site beyond which names are no longer compared for slips


@dataclass
class DoubtfulPlace:
    """Words that may mean a place there already is."""

    site: Site
    words: str
    like: list[Place]
    rows: list[int] = field(default_factory=list)
    sheet: str = ""


class PlaceBook:
    """The sites and places of a ministry, read once (two queries), and the places a list adds."""

    def __init__(self, ministry: Ministry) -> None:
        self.ministry = ministry
        self.sites = list(Site.objects.filter(ministry=ministry))
        self.codes: set[str] = set()
        self.order = 0
        self.known: dict[tuple[int, str], Place] = {}
        self.doubtful: dict[tuple[int, str], DoubtfulPlace] = {}
        for place in Place.objects.filter(ministry=ministry).order_by("-order", "-id"):
            self.codes.add(place.code.casefold())
            self.order = max(self.order, place.order)
            self._know(place)

    def _know(self, place: Place) -> None:
        for words in (place.code, place.name, place.name.partition("(")[0]):
            self.known[place.site_id, folded(words)] = place

    def site_named(self, words: str) -> Site | None:
        """Return the site a sheet or cell names by its name or code."""
        wanted = _plain(words)
        return next((site for site in self.sites if wanted and wanted in {_plain(site.name), _plain(site.code)}), None)

    def find(self, site: Site | None, words: str) -> Place | None:
        """Return the place of the site called so, None when there is none or it is doubtful."""
        return self.known.get((site.pk, folded(words))) if site else None

    def note(self, site: Site | None, words: str, sheet: str, row: int) -> Place | None:
        """Meet the words of one row: remember a new place (unsaved) or a doubt; return the place if there is one."""
        key = folded(words)
        if site is None or key in NOWHERE:
            return None
        found = self.known.get((site.pk, key))
        if found is not None:
            return found
        doubtful = self.doubtful.get((site.pk, key)) or self._doubt(site, words, sheet)
        if doubtful:
            doubtful.rows.append(row)
            return None
        return self._make(site, words)

    def _doubt(self, site: Site, words: str, sheet: str) -> DoubtfulPlace | None:
        places = [place for (of, _words), place in self.known.items() if of == site.pk]
        like = _alike(words, places) if len(places) <= MANY else []
        if not like and "?" not in words:
            return None
        return self.doubtful.setdefault((site.pk, folded(words)), DoubtfulPlace(site, words, like, sheet=sheet))

    def _make(self, site: Site, words: str) -> Place:
        self.order += 10
        name = shortened(one_line(words), WIDTHS["place_words"])
        place = Place(ministry=self.ministry, site=site, code=self._code(site, name), name=name, order=self.order)
        self._know(place)
        return place

    def _code(self, site: Site, name: str) -> str:
        letters = "".join(word[:3] for word in re.findall(r"[a-z0-9]+", name.casefold())[:4]).upper() or "P"
        stem = f"{site.code}-{letters}"[: CODE_WIDTH - 4]
        code, number = stem, 2
        while code.casefold() in self.codes:
            code, number = f"{stem}{number}", number + 1
        self.codes.add(code.casefold())
        return code

    def add_new(self) -> list[Place]:
        """Store the places met for the first time, in the act in progress."""
        new = {id(place): place for place in self.known.values() if place.pk is None}
        return record.add_many(sorted(new.values(), key=lambda place: place.order))

    def make_now(self, site: Site, words: str) -> Place:
        """Store and return a place of the site called so, or the one there is."""
        return self.find(site, words) or record.add(self._make(site, words))


def _plain(words: str) -> str:
    return " ".join(word for word in folded(words).split() if word not in SMALL_WORDS)


def _alike(words: str, places: Iterable[Place]) -> list[Place]:
    """Return the places whose name is the same but for small words or a slip, nearest first."""
    wanted = _plain(words)
    scored = {}
    for place in places:
        name = _plain(place.name)
        near = (
            1.0 if name == wanted else SequenceMatcher(None, wanted, name).ratio() if _same_figures(wanted, name) else 0
        )
        if near >= LIKE:
            scored[id(place)] = (near, place)
    return [place for _near, place in sorted(scored.values(), key=lambda pair: -pair[0])][:4]


def _same_figures(one: str, other: str) -> bool:
    """Cupboard 1 and cupboard 2 are a slip apart and never the same; so are left and right."""
    marks = r"\d+|\b(?:[a-z]|left|right|north|south|east|west|front|back|upper|lower)\b"
    return re.findall(marks, one) == re.findall(marks, other)
