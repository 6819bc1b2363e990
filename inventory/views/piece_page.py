"""What the page of a piece says, put together from what is recorded."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from inventory.compute.cautions import cautions
from inventory.models import Account, NeedsLink, Photo, Piece, SourceRow
from inventory.services.kits import NOT_THERE
from inventory.views.gear_rows import names_site, short_name
from inventory.words import KEPT_FATES, LEAVING_FATES, Bond, Fate, Strength
from people.access import Viewer
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.compute.unpriced import unpriced
from people.packs import pack

ROWS_SHOWN = 20


@dataclass(frozen=True)
class Event:
    """One line of a piece's own history: a check or a move."""

    on: date
    kind: str  # check or move
    row: Any


def page_of(viewer: Viewer, piece: Piece) -> dict[str, Any]:
    """Return everything the page shows. Queries a fixed number of times."""
    country = pack(viewer.ministry.country)
    needs = list(piece.needs_links.visible_to(viewer).select_related("needs__ministry").order_by("strength", "id"))
    needed_by = list(piece.needed_by_links.visible_to(viewer).select_related("piece__ministry").order_by("id"))
    warnings = cautions(_words_of(piece), piece.condition, _watts(piece), country.mains.who)
    return {
        "piece": piece,
        "note": piece.note if viewer.sees_money else unpriced(piece.note),
        "answer": answer(piece, country),
        "lede": lede(piece, needs, needed_by, country),
        "needs": needs,
        "needed_by": needed_by,
        "missing": {link.pk for link in needs if is_missing(link)},
        "photos": list(Photo.objects.visible_to(viewer).filter(piece=piece)),
        "facts": facts_of(viewer, piece),
        "events": events(viewer, piece),
        "accounts": list(Account.objects.visible_to(viewer).filter(runs_on=piece).select_related("holder")),
        "sources": _sources(viewer, piece),
        "cautions": [one.words(translate=_) for one in warnings],
        "until": _until(piece, country),
        "radio": _radio(piece, country),
        "doubts": sorted(_column_words(name) for name in piece.doubts),
        "may_record": viewer.may("record") and piece.merged_into_id is None,
        "may_decide": viewer.may("decide_fates") and piece.merged_into_id is None,
        "may_remove": viewer.may("remove"),
    }


def answer(piece: Piece, country: CountryPack) -> str:
    """Return what it is, where, how it stands and what becomes of it."""
    words = {
        "what": piece.what
        if piece.quantity == 1
        else _("%(n)d × %(what)s") % {"n": piece.quantity, "what": piece.what},
        "where": where_words(piece),
        "condition": piece.get_condition_display(),
        "fate": fate_words(piece, country),
    }
    if piece.fate == Fate.UNDECIDED:
        return _("%(what)s, %(condition)s, %(where)s: nobody has decided what becomes of it.") % words
    return _("%(what)s, %(condition)s, %(where)s: %(fate)s.") % words


def fate_words(piece: Piece, country: CountryPack) -> str:
    """Return what becomes of it: until when, and then what."""
    said = piece.get_fate_display()
    if piece.fate_until_on:
        said = _("%(fate)s until %(when)s") % {"fate": said, "when": phrasing.day(piece.fate_until_on, country)}
    elif piece.fate_until:
        said = _("%(fate)s until %(when)s") % {"fate": said, "when": piece.fate_until}
    return (
        _("%(fate)s, then %(next)s") % {"fate": said, "next": piece.get_next_fate_display()}
        if piece.next_fate
        else said
    )


def _until(piece: Piece, country: CountryPack) -> str:
    when = phrasing.day(piece.fate_until_on, country, "long") if piece.fate_until_on else piece.fate_until
    return _("until %(when)s") % {"when": when} if when else ""


def where_words(piece: Piece) -> str:
    if piece.place is None:
        return (
            _("written down as at %(place)s") % {"place": piece.place_words}
            if piece.place_words
            else _("nobody knows where")
        )
    if piece.place.site.receives or names_site(piece.place):
        return _("in %(place)s") % {"place": piece.place.name}
    return _("in %(place)s of %(site)s") % {"place": piece.place.name, "site": short_name(piece.place.site.name)}


def is_missing(link: NeedsLink) -> bool:
    """Tell whether a must of the piece is gone: dead, not found, or leaving."""
    other = link.needs
    if other is None or link.strength != Strength.MUST:
        return False
    return other.condition in NOT_THERE or other.fate in LEAVING_FATES


def lede(piece: Piece, needs: Sequence[NeedsLink], needed_by: Sequence[NeedsLink], country: CountryPack) -> list[str]:
    """Return the sentences that bear on what may be done with it: whose it is, what it lacks, what would break."""
    said = []
    if piece.never_sell:
        said.append(_("It may never be sold."))
    if piece.bond != Bond.OURS:
        said.append(bond_words(piece, country))
    lacking = [link for link in needs if is_missing(link)]
    if lacking and piece.fate in KEPT_FATES:
        names = phrasing.join_words([f"{link.needs} ({gone_words(link.needs)})" for link in lacking], country)
        said.append(_("It cannot work without %(names)s.") % {"names": names})
    relying = [link.piece for link in needed_by if link.strength == Strength.MUST and link.piece.fate in KEPT_FATES]
    if relying:
        names = phrasing.join_words([str(one) for one in relying], country)
        said.append(_("If it goes, this cannot work any more: %(names)s.") % {"names": names})
    return said


def gone_words(other: Piece) -> str:
    return other.get_condition_display() if other.condition in NOT_THERE else other.get_fate_display()


def bond_words(piece: Piece, country: CountryPack) -> str:
    """Return whose it is and until when that binds."""
    said = piece.get_bond_display() + (f", {piece.bond_words}" if piece.bond_words else "")
    if piece.bond_until:
        said += _(", until %(day)s") % {"day": phrasing.day(piece.bond_until, country, "long")}
    return _("Not simply ours: %(words)s.") % {"words": said}


def facts_of(viewer: Viewer, piece: Piece) -> list[dict[str, Any]]:
    """Return what it can do, each under its key in words without the unit: driver_in is driver."""
    found = []
    for fact in piece.facts.visible_to(viewer).order_by("key"):
        words = fact.key.removesuffix(f"_{fact.unit}").replace("_", " ")
        found.append({"words": words, "value": fact.value, "unit": fact.unit, "from_words": fact.from_words})
    return found


def events(viewer: Viewer, piece: Piece) -> list[Event]:
    """Return checks and moves, newest first."""
    checks = [Event(row.on, "check", row) for row in piece.checks.visible_to(viewer).select_related("by")]
    moves = piece.moves.visible_to(viewer).select_related("from_place", "to_place")
    return sorted(checks + [Event(row.on, "move", row) for row in moves], key=lambda e: (e.on, e.row.pk), reverse=True)


def _sources(viewer: Viewer, piece: Piece) -> list[SourceRow]:
    rows = SourceRow.objects.visible_to(viewer).filter(piece=piece).select_related("source")
    return list(rows.order_by("-id")[:ROWS_SHOWN])


def _words_of(piece: Piece) -> str:
    return " ".join((piece.what, piece.maker_model, piece.note, piece.place.name if piece.place else piece.place_words))


def _watts(piece: Piece) -> float | None:
    return None if piece.watts is None else float(piece.watts)


def _radio(piece: Piece, country: CountryPack) -> str:
    if piece.radio_low_khz is None or piece.radio_high_khz is None:
        return ""
    low, high = (phrasing.number(Decimal(khz) / 1000, country) for khz in (piece.radio_low_khz, piece.radio_high_khz))
    return _("%(low)s to %(high)s MHz") % {"low": low, "high": high} if low != high else f"{low} MHz"


def _column_words(name: str) -> str:
    if name == "row":
        return _("the row as a whole")
    return str(Piece._meta.get_field(name).verbose_name)
