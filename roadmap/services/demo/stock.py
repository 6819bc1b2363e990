"""What a demo church has: pieces, what they can do and need, what the rooms need, accounts, local channels."""

from decimal import Decimal, InvalidOperation

from inventory.compute.serials import serial_key
from inventory.compute.tags import make_tag
from inventory.models import Account, Choice, Must, NeedsLink, Piece, PieceFact, RoomNeed, TvChannel
from inventory.words import YearPrecision
from people.clock import today
from people.compute.cleaning import sort_key
from people.services import record
from roadmap.services.demo.church import Church
from roadmap.services.demo.tables import day, joined, whole, yes

NOWHERE = {"?": "?", "WASTE": "", "OWNER": ""}  # words that stand where a place would


def load_pieces(church: Church) -> None:
    """Store the pieces with their facts and needs links."""
    rows = church.tables.rows("gear")
    stored = record.add_many([_piece(church, row) for row in rows])
    church.pieces = {row["tag"]: piece for row, piece in zip(rows, stored, strict=True)}
    record.add_many([_fact(church, row) for row in church.tables.rows("piece_facts")])
    record.add_many(
        [
            NeedsLink(
                ministry=church.ministry,
                piece=church.pieces[row["piece"]],
                needs=church.pieces.get(row["needs"]),
                needs_kind=row["needs_kind"],
                quantity=int(row["quantity"]),
                strength=row["strength"],
                why=row["why"],
            )
            for row in church.tables.rows("needs_links")
        ]
    )


def _piece(church: Church, row: dict[str, str]) -> Piece:
    number = int(row["tag"][1:])
    until_on = row["fate_until"] if row["fate_until"][:2] == "20" else ""
    piece = Piece(
        ministry=church.ministry,
        tag=make_tag(row["tag"][0], number),
        tag_number=number,
        serial_key=serial_key(row["serial"]),
        quantity=int(row["quantity"]),
        is_lot=yes(row["is_lot"]),
        fate_until="" if until_on else row["fate_until"],
        fate_until_on=day(until_on),
        place=church.places.get(row["place_now"]),
        place_words=NOWHERE.get(row["place_now"], ""),
        goes_to=church.places.get(row["place_to"]),
        found_at=church.sites[row["found_site"]],
        year=whole(row["year"]),
        year_precision=YearPrecision.YEAR if row["year"] else "",
        resale_minor=whole(row["resale_minor"]),
        watts=Decimal(row["watts"]),
        rack_units=Decimal(row["rack_units"]),
        mass_g=whole(row["mass_g"]),
        radio_low_khz=whole(row["radio_low_khz"]),
        radio_high_khz=whole(row["radio_high_khz"]),
        **_bond(church, row),
        **{name: row[name] for name in _AS_WRITTEN},
    )
    words = (piece.tag, piece.what, piece.maker, piece.model, piece.serial, piece.place_words)
    piece.search_key = sort_key(" ".join(filter(None, words)))[:600]
    piece.sort_key = sort_key(piece.what)[:200]
    return piece


_AS_WRITTEN = ("area", "what", "maker", "model", "serial", "condition", "fate", "next_fate", "price_currency", "note")


def _bond(church: Church, row: dict[str, str]) -> dict[str, object]:
    return {
        "bond": row["owner_kind"],
        "bond_words": row["owner_words"],
        "bond_until": day(row["bound_until"]),
        "owner": church.people.get(row["owner"]),
        "never_sell": yes(row["do_not_sell"]),
        "busy_until": day(row["busy_until"]),
    }


def _fact(church: Church, row: dict[str, str]) -> PieceFact:
    try:
        number = Decimal(row["value"])
    except InvalidOperation:
        number = None
    return PieceFact(
        ministry=church.ministry,
        piece=church.pieces[row["tag"]],
        key=row["key"],
        value=row["value"],
        number=number,
        unit=row["unit"],
    )


def load_needs(church: Church) -> None:
    """Store the room needs, their must-haves, and the pieces chosen for them."""
    rows = church.tables.rows("needs")
    stored = record.add_many([_need(church, row) for row in rows])
    needs = {need.key: need for need in stored}
    record.add_many(
        [
            Must(
                ministry=church.ministry,
                need=needs[row["need"]],
                **{name: row[name] for name in ("key", "op", "value", "unit", "words")},
            )
            for row in church.tables.rows("need_musts")
        ]
    )
    record.add_many([choice for row in rows for choice in _choices(church, row, needs[row["key"]])])


def _need(church: Church, row: dict[str, str]) -> RoomNeed:
    bought = [entry.split(":") for entry in row["bought"].split()]
    orders = [(key, int(count)) for key, count in bought if key.startswith("O-")]
    steps = " ".join(key for key, _count in bought if key.startswith("S"))
    return RoomNeed(
        ministry=church.ministry,
        key=row["key"],
        place=church.places[row["place"]],
        what=row["what"],
        quantity=int(row["quantity"]),
        level=row["level"],
        must_words=row["must_words"],
        gap_words=joined(row["gap"], row["stock_words"], steps),
        order_key=" ".join(key for key, _count in orders),
        order_quantity=sum(count for _key, count in orders),
    )


def _choices(church: Church, row: dict[str, str], need: RoomNeed) -> list[Choice]:
    """Return the pieces of stock chosen for a need; of a lot only as many as are wanted, of a set every part whole."""
    left = need.quantity
    is_set = " x" in row["kinds"]
    chosen = []
    for tag in row["filled_by"].split():
        piece = church.pieces[tag]
        count = piece.quantity if is_set else max(1, min(piece.quantity, left))
        left -= count
        chosen.append(_choice(need, piece, count, stands_in=False, after=row["filled_after"]))
    return chosen + [_choice(need, church.pieces[tag], 1, stands_in=True, after="") for tag in row["stand_in"].split()]


def _choice(need: RoomNeed, piece: Piece, count: int, *, stands_in: bool, after: str) -> Choice:
    return Choice(
        ministry=need.ministry, need=need, piece=piece, quantity=count, stands_in=stands_in, free_from=day(after)
    )


def load_accounts(church: Church) -> None:
    """Store software, subscriptions and permissions, and the TV channels the lead looked up."""
    record.add_many(
        [
            Account(
                ministry=church.ministry,
                holder=church.people.get(row["holder"]),
                holder_words="" if row["holder"] in church.people else row["holder"],
                second_holder=church.people.get(row["second_holder"]),
                renews_on=day(row["renews_on"]),
                yearly_cost_minor=whole(row["yearly_cost_minor"]),
                runs_on=church.pieces.get(row["runs_on"]),
                **{name: row[name] for name in ("key", "kind", "what", "renews_words", "needed_by", "note")},
            )
            for row in church.tables.rows("accounts")
        ]
    )
    record.add_many(
        [
            TvChannel(
                ministry=church.ministry,
                channel=int(row["channel"]),
                low_khz=int(row["low_khz"]),
                high_khz=int(row["high_khz"]),
                found=TvChannel.Found.VACANT if yes(row["vacant"]) else TvChannel.Found.OCCUPIED,
                checked_on=today(church.ministry),
                note=row["note"],
            )
            for row in church.tables.rows("tv_channels")
        ]
    )
