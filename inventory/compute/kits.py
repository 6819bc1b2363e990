"""Kits: which piece needs which, and what a fate would strand.

A link reads "piece needs other, because"; a must makes the piece useless without the other, a nice only poorer.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field

from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

MUST, NICE = "must", "nice"
LEAVING = frozenset({"sell", "give away", "back to owner", "stays with the building", "recycle", "for parts"})


@dataclass(frozen=True)
class NeedsLink:
    """One link: `piece` needs `needs`."""

    piece: str
    needs: str
    strength: str = MUST
    why: str = ""
    instead: tuple[str, ...] = ()  # others of the kind that would do as well


@dataclass(frozen=True)
class Chain:
    """How one piece depends on another: the links from it down to that one, nearest first."""

    piece: str
    links: tuple[NeedsLink, ...]

    @property
    def why(self) -> str:
        return self.links[0].why


@dataclass(frozen=True)
class Stranding:
    """What a fate of a piece would do to others."""

    piece: str
    fate: str
    stranded: tuple[Chain, ...]  # kept pieces that could no longer work
    goes_together: tuple[str, ...]  # the piece first, then all that have no use without it, kept or not
    poorer: tuple[NeedsLink, ...]  # kept pieces that would do with less
    idle: tuple[str, ...]  # what only this set has needed: look at it too

    @property
    def allowed(self) -> bool:
        return not self.stranded

    @property
    def say(self) -> Sentence:
        """Return the refusal, or what is to be known, in words."""
        if not self.stranded:
            return _("Nothing that is kept needs {piece}.", piece=self.piece)
        return _(
            "{pieces} cannot work without {piece}. Decide on the set together: {set}.",
            pieces=tuple(chain.piece for chain in self.stranded),
            piece=self.piece,
            set=self.goes_together,
        )


@dataclass(frozen=True)
class Kits:
    """The links of a ministry, ready to be asked in both directions."""

    links: tuple[NeedsLink, ...]
    _down: dict[str, list[NeedsLink]] = field(default_factory=dict, repr=False, compare=False)
    _up: dict[str, list[NeedsLink]] = field(default_factory=dict, repr=False, compare=False)

    @classmethod
    def of(cls, links: Iterable[NeedsLink]) -> Kits:
        """Return the kits of these links; a link from a piece to itself is left out."""
        kits = cls(tuple(link for link in links if link.piece != link.needs))
        for link in kits.links:
            kits._down.setdefault(link.piece, []).append(link)
            kits._up.setdefault(link.needs, []).append(link)
        return kits

    def needs(self, piece: str) -> tuple[NeedsLink, ...]:
        """Return the direct links of what the piece needs, musts first."""
        return tuple(sorted(self._down.get(piece, ()), key=lambda link: link.strength != MUST))

    def needed_by(self, piece: str) -> tuple[NeedsLink, ...]:
        """Return the direct links of what needs the piece, musts first."""
        return tuple(sorted(self._up.get(piece, ()), key=lambda link: link.strength != MUST))

    def all_needs(self, piece: str) -> tuple[Chain, ...]:
        """Return everything the piece cannot work without, through any number of musts, nearest first."""
        found = self._walk(piece, lambda key: self._down.get(key, ()), lambda link: link.needs)
        return tuple(Chain(key, links) for key, links in found.items())

    def all_needed_by(self, piece: str) -> tuple[Chain, ...]:
        """Return everything that cannot work without the piece, nearest first."""
        found = self._walk(piece, lambda key: self._up.get(key, ()), lambda link: link.piece)
        return tuple(Chain(key, links[::-1]) for key, links in found.items())

    def _walk(
        self, start: str, links_of: Callable[[str], Iterable[NeedsLink]], other: Callable[[NeedsLink], str]
    ) -> dict[str, tuple[NeedsLink, ...]]:
        """Return piece -> links from the start to it, by fewest links; loops end where they began."""
        paths: dict[str, tuple[NeedsLink, ...]] = {start: ()}
        queue = deque([start])
        while queue:
            here = queue.popleft()
            for link in links_of(here):
                there = other(link)
                if link.strength == MUST and there not in paths:
                    paths[there] = (*paths[here], link)
                    queue.append(there)
        del paths[start]
        return paths

    def stranded(self, piece: str, fate: str, fates: Mapping[str, str]) -> Stranding:
        """Return what giving `piece` this fate would do, when the others have `fates` (piece -> fate).

        Only a fate that takes the piece away strands; a piece that waits for a decision counts as kept. A link with
        another of its kind still kept does not break.
        """
        if fate not in LEAVING:
            return Stranding(piece, fate, (), (piece,), (), ())
        gone = {key for key, their in fates.items() if their in LEAVING} | {piece}
        chains = self._broken_by(piece, gone)
        together = (piece, *(chain.piece for chain in chains))
        kept = tuple(chain for chain in chains if chain.piece not in gone)
        poorer = tuple(
            link
            for link in self.needed_by(piece)
            if link.strength == NICE and link.piece not in gone and link.piece not in together
        )
        return Stranding(piece, fate, kept, together, poorer, self._idle(together))

    def _broken_by(self, piece: str, gone: Collection[str]) -> tuple[Chain, ...]:
        """Return the chains of musts that lead to the piece and have no other way."""
        useless = set(gone)

        def breaking(key: str) -> list[NeedsLink]:
            useless.add(key)
            return [link for link in self._up.get(key, ()) if useless.issuperset(link.instead)]

        found = self._walk(piece, breaking, lambda link: link.piece)
        return tuple(Chain(key, links[::-1]) for key, links in found.items())

    def _idle(self, together: Collection[str]) -> tuple[str, ...]:
        """Return what is needed by the set and by nothing else."""
        needed = dict.fromkeys(link.needs for piece in together for link in self.needs(piece))
        return tuple(key for key in needed if key not in together and all(up.piece in together for up in self._up[key]))

    def stranded_by_all(self, leaving: Mapping[str, str], fates: Mapping[str, str]) -> tuple[Stranding, ...]:
        """Return the strandings of a bulk change: what leaves in the same act strands nothing of its own set."""
        after = {**fates, **leaving}
        found = (self.stranded(piece, fate, after) for piece, fate in leaving.items())
        return tuple(stranding for stranding in found if not stranding.allowed)

    def missing(self, piece: str, present: Collection[str]) -> tuple[NeedsLink, ...]:
        """Return the musts of a piece whose other side is not among `present` (there, working and kept)."""
        return tuple(link for link in self.needs(piece) if link.strength == MUST and link.needs not in present)
