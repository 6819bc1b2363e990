"""The handover packet of a room or of everything: what is here, what belongs together, what is due, whom to ask."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import BinaryIO

from django.utils.translation import gettext as _
from reportlab.platypus import Flowable, Spacer

from inventory.models import Account, NeedsLink, Piece, Place, RoomNeed
from inventory.words import KEPT_FATES, Condition, Fate
from people.access import Viewer
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.models import Person
from people.packs import pack
from roadmap.models import Order
from roadmap.services.packets.page import (
    ANSWER,
    CAUTION,
    QUIET,
    SECTION,
    Bookmarked,
    Front,
    build,
    labeled,
    language,
    text,
)
from roadmap.services.packets.rows import Column, Rows

DUE_WITHIN = timedelta(days=365)
GOOD = frozenset({Condition.GOOD, Condition.MARKED})


@dataclass(frozen=True)
class Room:
    """A room and what the packet says of it."""

    place: Place
    pieces: list[Piece]
    needs: list[RoomNeed]


def handover_packet(*, viewer: Viewer, out: BinaryIO, place: Place | None = None) -> str:
    """Write the packet and return its version. place: a room with its spots; None for the whole receiving building.

    No price stands in it. Addresses and numbers of persons only for viewers who may see them, never a minor's.
    """
    ministry = viewer.ministry
    country, day = pack(ministry.country), today(ministry)
    rooms = list(_rooms(viewer, place))
    title = _("Handover: %(room)s") % {"room": place.name} if place else _("Handover: the whole building")
    front = Front(title, ministry.name, phrasing.day(day, country, "long"), language())
    story: list[Flowable] = _whole(rooms, country) if place is None else []
    for room in rooms:
        if room.pieces or room.needs or len(rooms) == 1:
            story += _room(room, viewer, country)
    story += _empty_rooms([room for room in rooms if not (room.pieces or room.needs)], country)
    story += _due(viewer, day, country)
    story += _whom_to_ask(viewer, country)
    story += _cautions(country, [piece for room in rooms for piece in room.pieces])
    return build(story, front, country, out)


def _rooms(viewer: Viewer, place: Place | None) -> Iterable[Room]:
    places = list(Place.objects.visible_to(viewer).filter(site__receives=True).select_related("within"))
    if place is not None:
        places = [one for one in Place.objects.visible_to(viewer).select_related("within") if _lies_in(one, place)]
        rooms = [place]
    else:
        rooms = [one for one in places if one.within_id is None]
    pieces: dict[int, list[Piece]] = defaultdict(list)
    here = Piece.objects.visible_to(viewer).listed().filter(place__in=places, fate__in=KEPT_FATES)
    for piece in here.select_related("place").order_by("sort_key", "id"):
        pieces[piece.place_id or 0].append(piece)
    needs: dict[int, list[RoomNeed]] = defaultdict(list)
    for need in RoomNeed.objects.visible_to(viewer).prefetch_related("choices__piece"):
        needs[need.place_id].append(need)
    for room in rooms:
        spots = [one for one in places if _lies_in(one, room)]
        found = [piece for spot in spots for piece in pieces[spot.pk]]
        yield Room(room, found, [need for spot in spots for need in needs[spot.pk]])


def _lies_in(place: Place, room: Place) -> bool:
    """Tell whether a place is the room or a spot in it (two levels are enough for a building)."""
    return place.pk == room.pk or place.within_id == room.pk or bool(place.within and place.within.within_id == room.pk)


def _room(room: Room, viewer: Viewer, country: CountryPack) -> list[Flowable]:
    answer = _how_it_stands(room.place.name, room.pieces, country)
    story: list[Flowable] = [Bookmarked(answer, ANSWER, name=room.place.name)]
    size = " · ".join(filter(None, (room.place.size, room.place.people, phrasing.told(room.place.remarks, country))))
    if size:
        story.append(text(size, QUIET))
    story += _what_is_here(room.pieces, country)
    story += _belongs_together(room.pieces, viewer)
    story += _to_mind(room.pieces, country)
    story += _needs(room.needs, country)
    return story


def _how_it_stands(name: str, pieces: Sequence[Piece], country: CountryPack) -> str:
    """Return the sentence that opens a room: how much is here and how much of it can be relied on."""
    working = sum(1 for piece in pieces if piece.condition in GOOD)
    if not pieces:
        return _("%(room)s: nothing is recorded here yet.") % {"room": name}
    if len(pieces) == 1:
        one = (
            _("%(room)s: one thing here, tested and working.")
            if working
            else _("%(room)s: one thing here, not to be relied on yet.")
        )
        return one % {"room": name}
    some = _("%(room)s: %(count)s here, %(working)s of them tested and working.")
    words = {
        0: _("%(room)s: %(count)s here, none of them to be relied on yet."),
        len(pieces): _("%(room)s: %(count)s here, all tested and working."),
    }.get(working, some)
    count = phrasing.counted(len(pieces), _("thing"), _("things"), country)
    return words % {"room": name, "count": count, "working": working}


def _whole(rooms: Sequence[Room], country: CountryPack) -> list[Flowable]:
    """Return the lines that open a packet of several rooms: what lies where."""
    full = [room for room in rooms if room.pieces]
    if len(full) < 2:
        return []
    everything = [piece for room in full for piece in room.pieces]
    where = [f"{room.place.name} ({phrasing.number(len(room.pieces), country)})" for room in full]
    return [
        text(_how_it_stands(_("The whole building"), everything, country), ANSWER),
        text(" · ".join(where), QUIET),
    ]


def _empty_rooms(rooms: Sequence[Room], country: CountryPack) -> list[Flowable]:
    if len(rooms) < 2:
        return []
    names = phrasing.join_words([room.place.name for room in rooms], country)
    return [text(_("Nothing is recorded in: %(rooms)s.") % {"rooms": names}, QUIET)]


def _what_is_here(pieces: Sequence[Piece], country: CountryPack) -> list[Flowable]:
    if not pieces:
        return []
    columns = [
        Column(_("Tag"), 9, font="VergerTag"),
        Column(_("What"), 27),
        Column(_("Maker, model, serial"), 24),
        Column(_("Condition"), 13),
        Column(_("Here as"), 14),
        Column(_("Note"), 22),
    ]
    rows = [
        (
            piece.tag,
            f"{piece.quantity} × {piece.what}" if piece.quantity > 1 and not piece.is_lot else piece.what,
            " ".join(filter(None, (piece.maker_model, piece.serial))),
            str(Condition(piece.condition).label),
            _here_as(piece),
            phrasing.told(piece.note, country),
        )
        for piece in pieces
    ]
    return [Bookmarked(_("What is here"), SECTION, 1), Rows(columns, rows)]


def _here_as(piece: Piece) -> str:
    words = str(Fate(piece.fate).label)
    return f"{words} {_('until')} {piece.fate_until}" if piece.fate == Fate.STAND_IN and piece.fate_until else words


def _belongs_together(pieces: Sequence[Piece], viewer: Viewer) -> list[Flowable]:
    links = (
        NeedsLink.objects.visible_to(viewer)
        .filter(piece__in=pieces)
        .select_related("piece", "needs__place")
        .order_by("piece__sort_key", "id")
    )
    rows = [
        (
            f"{link.piece.tag} {link.piece.what}",
            f"{link.needs.tag} {link.needs.what}" if link.needs else link.needs_kind,
            (link.needs.place.name if link.needs.place else _("not known where")) if link.needs else "",
            link.why,
        )
        for link in links
    ]
    if not rows:
        return []
    columns = [
        Column(_("This"), 30),
        Column(_("is of use only with"), 30),
        Column(_("which is in"), 18),
        Column(_("Why"), 22),
    ]
    return [Bookmarked(_("What belongs together"), SECTION, 1), Rows(columns, rows)]


def _to_mind(pieces: Sequence[Piece], country: CountryPack) -> list[Flowable]:
    bad = [piece for piece in pieces if piece.condition not in GOOD]
    if not bad:
        return []
    rows = [
        (piece.tag, piece.what, str(Condition(piece.condition).label), phrasing.told(piece.note, country))
        for piece in bad
    ]
    columns = [
        Column(_("Tag"), 10, font="VergerTag"),
        Column(_("What"), 34),
        Column(_("Condition"), 16),
        Column(_("Note"), 40),
    ]
    return [Bookmarked(_("Not to be relied on yet"), SECTION, 1), Rows(columns, rows)]


def _needs(needs: Sequence[RoomNeed], country: CountryPack) -> list[Flowable]:
    if not needs:
        return []
    rows = []
    for need in needs:
        filled = ", ".join(choice.piece.tag for choice in need.choices.all())
        rows.append((need.key, need.what, str(need.quantity), filled or "–", phrasing.told(need.gap_words, country)))
    columns = [
        Column(_("No."), 7),
        Column(_("The room needs"), 36),
        Column(_("How many"), 9, right=True),
        Column(_("Filled by"), 26),
        Column(_("Still to come"), 24),
    ]
    return [Bookmarked(_("What this room must do"), SECTION, 1), Rows(columns, rows)]


def _due(viewer: Viewer, day: date, country: CountryPack) -> list[Flowable]:
    rows = sorted((when, what, who) for when, what, who in _due_rows(viewer, day, country) if when)
    head = Bookmarked(_("What is due in the coming year"), ANSWER)
    if not rows:
        return [
            head,
            text(
                _("Nothing recorded falls due before %(day)s.")
                % {"day": phrasing.day(day + DUE_WITHIN, country, "long")}
            ),
        ]
    shown = [(phrasing.day(when, country, "long"), what, who) for when, what, who in rows]
    return [head, Rows([Column(_("By"), 20), Column(_("What"), 58), Column(_("Who"), 22)], shown), Spacer(1, 6)]


def _due_rows(viewer: Viewer, day: date, country: CountryPack) -> Iterable[tuple[date | None, str, str]]:
    last = day + DUE_WITHIN
    for account in Account.objects.visible_to(viewer).filter(renews_on__range=(day, last)):
        holder = account.holder_words or _("nobody named")
        yield account.renews_on, _("%(what)s renews") % {"what": account.what}, holder
    if viewer.may("see_plan"):
        for order in Order.objects.visible_to(viewer).filter(return_by__range=(day, last)).select_related("supplier"):
            words = _("Order %(key)s can go back no later") % {"key": order.key}
            yield order.return_by, words, order.supplier.name
    for piece in Piece.objects.visible_to(viewer).listed().filter(bond_until__range=(day, last)):
        yield (
            piece.bond_until,
            _("%(tag)s %(what)s: bound until then") % {"tag": piece.tag, "what": piece.what},
            phrasing.told(piece.bond_words, country),
        )


def _whom_to_ask(viewer: Viewer, country: CountryPack) -> list[Flowable]:
    people = Person.objects.visible_to(viewer).order_by("sort_key", "name")
    contacts = viewer.may("see_contacts")
    rows = [
        (person.name, person.does or person.note, _contact(person) if contacts and not person.is_minor else "")
        for person in people
    ]
    if not rows:
        return []
    columns = [Column(_("Name"), 26), Column(_("Can tell you about"), 48), Column(_("Reach them"), 26)]
    return [Bookmarked(_("Whom to ask"), ANSWER), Rows(columns, rows), Spacer(1, 6)]


def _contact(person: Person) -> str:
    return " · ".join(filter(None, (person.phone, person.email)))


def _cautions(country: CountryPack, pieces: Sequence[Piece]) -> list[Flowable]:
    """Return the usual cautions; who signs is named, nothing is signed here."""
    story: list[Flowable] = [Bookmarked(_("Before you touch anything"), ANSWER)]
    story.append(
        labeled(
            _("Mains."),
            _("Nothing behind a panel or a plate is ours to open: call %(who)s. Local rules (%(code)s) decide.")
            % {"who": country.mains.who, "code": country.mains.code_name},
        )
    )
    story.append(
        labeled(
            _("Overhead."),
            _("Nothing is hung, moved or taken down without the rigger who certified it. Two people lift heavy boxes."),
        )
    )
    story.append(
        labeled(
            _("Hearing."), _("Keep the limiters on. Where it is loud for long, offer ear protection and turn it down.")
        )
    )
    if any(piece.radio_low_khz for piece in pieces):
        story.append(
            labeled(
                _("Radio."),
                _("Use only the frequencies on this church's sheet; what is legal depends on the place and the date."),
            )
        )
    story.append(
        labeled(
            _("Batteries."),
            _(
                "A swollen or hot battery is not charged, opened or shipped: "
                "keep away from it, keep others away, and ask the recycler."
            ),
        )
    )
    story.append(text(_("These are reminders, not instructions. Local codes and licensed people decide."), CAUTION))
    return story
