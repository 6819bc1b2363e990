"""What a list came to once it is in: so many pieces, possible twins, radios not legal here, values in doubt."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Q

from inventory.compute.piece_columns import count_of_doubts
from inventory.compute.radio import advice, band_status
from inventory.models import AskedQuestion, Piece, Source, TvChannel, Twin
from people.clock import today
from people.compute.sentences import Sentence
from people.models import Ministry
from people.packs import pack


@dataclass(frozen=True)
class RadioDoubt:
    """A radio that may not simply be switched on here."""

    piece: Piece
    code: str  # out or retune
    say: Sentence


@dataclass(frozen=True)
class Result:
    """The figures of one list that was taken in."""

    pieces: tuple[Piece, ...]
    twins: int
    radios: tuple[RadioDoubt, ...]
    doubts: int
    questions: int
    worth_minor: int
    doubtful_minor: int

    @property
    def illegal(self) -> list[RadioDoubt]:
        return [radio for radio in self.radios if radio.code == "out"]

    @property
    def partly_barred(self) -> list[RadioDoubt]:
        return [radio for radio in self.radios if radio.code != "out"]

    @property
    def units(self) -> int:
        return sum(piece.quantity for piece in self.pieces)


def result_of(source: Source) -> Result:
    """Return the figures of a list as its pieces stand today; five queries whatever its length."""
    pieces = tuple(Piece.objects.filter(source_rows__source=source).listed().distinct().order_by("tag_number"))
    ids = Piece.objects.filter(source_rows__source=source).values("pk")
    twins = Twin.objects.filter(Q(first__in=ids) | Q(second__in=ids), ruling=Twin.Ruling.OPEN)
    own = [piece for piece in pieces if not piece.price_currency]
    return Result(
        pieces=pieces,
        twins=twins.count(),
        radios=tuple(radios_in_doubt(source.ministry, pieces)),
        doubts=count_of_doubts(piece.doubts for piece in pieces),
        questions=AskedQuestion.objects.filter(source=source, answer="").count(),
        worth_minor=sum(piece.resale_minor or piece.paid_minor or 0 for piece in own),
        doubtful_minor=sum(
            piece.resale_minor or piece.paid_minor or 0
            for piece in own
            if {"resale_minor", "paid_minor"} & piece.doubts.keys()
        ),
    )


def radios_in_doubt(ministry: Ministry, pieces: Sequence[Piece]) -> list[RadioDoubt]:
    """Return the radios among the pieces that are barred here in whole or in part, by the rules of today."""
    country, on = pack(ministry.country).radio_table, today(ministry)
    radios = [
        (piece, piece.radio_low_khz, piece.radio_high_khz)
        for piece in pieces
        if piece.radio_low_khz is not None and piece.radio_high_khz is not None
    ]
    local = dict(TvChannel.objects.filter(ministry=ministry).values_list("channel", "found")) if radios else {}
    found = []
    for piece, low, high in radios:
        told = advice(country, band_status(country, low, high, on), local)
        if told.code in ("out", "retune"):
            found.append(RadioDoubt(piece, told.code, told.say))
    return found
