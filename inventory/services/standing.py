"""How pieces stand before the gates: everything a decision looks at, loaded once for any number of pieces."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from inventory.compute.gates import USED, Around, Gate, Standing, fits, free_when_needed, gates_for
from inventory.compute.kinds import accepts, kind_of
from inventory.compute.kits import Kits
from inventory.models import Choice, NeedsLink, Piece, PieceFact
from inventory.services.kits import NOT_THERE, kits_of
from inventory.services.radio_here import SENDS_NOTHING, around, band_of
from inventory.words import KEPT_FATES, Strength
from people.models import Ministry
from people.packs import pack

OF_FITS = ("width_mm", "mains_volts")


@dataclass
class Ground:
    """What the gates of one ministry ask about, besides the piece itself. `present`: there, working and kept."""

    ministry: Ministry
    around: Around
    kits: Kits
    fates: dict[str, str]  # tag -> fate, of every piece on the list
    names: dict[str, str]  # tag -> "G062 Dimmer"
    present: frozenset[str]
    kinds_present: frozenset[str]
    kinds_needed: dict[int, list[str]]  # piece -> kinds it must have one of
    facts: dict[int, dict[str, float]]  # piece -> facts that decide whether it fits
    chosen_for: dict[int, list[Choice]]  # piece -> choices of needs

    def standing(self, piece: Piece) -> Standing:
        """Return what is recorded of a piece, as the gates ask. The owner must be loaded with it."""
        kind = kind_of(piece.what)
        return Standing(
            kind=kind,
            condition=piece.condition,
            band_khz=None if kind in SENDS_NOTHING else band_of(piece),
            bond=piece.bond,
            bond_until=piece.bond_until,
            owner=piece.owner.name if piece.owner else "",
            never_sell=piece.never_sell,
            missing=self.missing(piece),
        )

    def missing(self, piece: Piece) -> tuple[str, ...]:
        """Return what the piece must have and has not: names of pieces, and kinds of thing."""
        absent = [self.names.get(link.needs, link.needs) for link in self.kits.missing(piece.tag, self.present)]
        kinds = self.kinds_needed.get(piece.pk, ())
        return (*absent, *(words for words in kinds if not self._has_kind(words)))

    def _has_kind(self, words: str) -> bool:
        kind = kind_of(words)
        return not kind or bool(accepts(kind) & self.kinds_present)

    def gates(self, piece: Piece, fate: str) -> tuple[Gate, ...]:
        """Return every gate the fate has to pass, answered."""
        asked = self.own_gates(piece, fate)
        if fate not in USED:
            return asked
        return (*asked, free_when_needed(piece.busy_until, None, where=piece.place.name if piece.place else ""))

    def own_gates(self, piece: Piece, fate: str) -> tuple[Gate, ...]:
        """Return the gates that ask about the piece alone, not about the day it is needed."""
        asked = gates_for(fate, self.standing(piece), self.around)
        if fate not in USED:
            return asked
        facts = self.facts.get(piece.pk, {})
        volts = facts.get("mains_volts")
        fit = fits(
            width_mm=facts.get("width_mm"),
            mains_volts=(int(volts),) if volts else (),
            volts_here=pack(self.ministry.country).mains.volts,
            grams=piece.mass_g / piece.quantity if piece.mass_g else None,
        )
        return (*asked, fit)


def ground(ministry: Ministry) -> Ground:
    """Return the ground of a ministry's decisions. Queries six times, whatever the number of pieces."""
    rows = Piece.objects.filter(ministry=ministry).listed().values_list("tag", "what", "fate", "condition")
    there = [(tag, what) for tag, what, fate, state in rows if fate in KEPT_FATES and state not in NOT_THERE]
    return Ground(
        ministry=ministry,
        around=around(ministry),
        kits=kits_of(ministry),
        fates={tag: fate for tag, _what, fate, _state in rows},
        names={tag: f"{tag} {what}" for tag, what, _fate, _state in rows},
        present=frozenset(tag for tag, _what in there),
        kinds_present=frozenset(kind_of(what) for _tag, what in there),
        kinds_needed=_kinds_needed(ministry),
        facts=_facts(ministry),
        chosen_for=_chosen_for(ministry),
    )


def _kinds_needed(ministry: Ministry) -> dict[int, list[str]]:
    links = NeedsLink.objects.filter(ministry=ministry, needs__isnull=True, strength=Strength.MUST)
    return _listed(links.values_list("piece", "needs_kind"))


def _listed(pairs: Iterable[tuple[int, str]]) -> dict[int, list[str]]:
    lists: dict[int, list[str]] = defaultdict(list)
    for piece, words in pairs:
        lists[piece].append(words)
    return lists


def _facts(ministry: Ministry) -> dict[int, dict[str, float]]:
    facts: dict[int, dict[str, float]] = defaultdict(dict)
    rows = PieceFact.objects.filter(ministry=ministry, key__in=OF_FITS, number__isnull=False)
    for piece, key, number in rows.values_list("piece", "key", "number"):
        facts[piece][key] = float(number or 0)
    return facts


def _chosen_for(ministry: Ministry) -> dict[int, list[Choice]]:
    chosen: dict[int, list[Choice]] = defaultdict(list)
    for choice in Choice.objects.filter(ministry=ministry).select_related("need__place"):
        chosen[choice.piece_id].append(choice)
    return chosen
