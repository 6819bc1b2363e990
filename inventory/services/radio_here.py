"""What the radio rules say here: the country's table, the day, the state, and the TV channels the lead looked up."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from inventory.compute.gates import Around, Standing
from inventory.compute.kinds import kind_of
from inventory.compute.radio import Advice, LocalSegment, advice, band_status, here
from inventory.compute.radio_reference import TvChannel as TvRaster
from inventory.compute.radio_reference import radio_table
from inventory.models import Piece, TvChannel
from people.clock import today
from people.models import Act, Member, Ministry
from people.packs import pack
from people.services import record

# Kinds that carry a range in their name and send nothing themselves.
SENDS_NOTHING = frozenset({"antenna", "antenna splitter", "combiner", "cable"})
KNOWN = frozenset({TvChannel.Found.VACANT, TvChannel.Found.OCCUPIED})


def band_of(piece: Piece) -> tuple[int, int] | None:
    """Return the radio range in kHz, None where it is not recorded from end to end."""
    if piece.radio_low_khz is None or piece.radio_high_khz is None:
        return None
    return piece.radio_low_khz, piece.radio_high_khz


def around(ministry: Ministry) -> Around:
    """Return where and when gates are asked in this ministry. Queries once."""
    rows = TvChannel.objects.filter(ministry=ministry, found__in=KNOWN).values_list("channel", "found")
    return Around(pack(ministry.country).radio_table, today(ministry), dict(rows), ministry.state)


def write_channels(
    *, ministry: Ministry, by: Member | None, found: Mapping[int, str], checked_on: date, note: str = ""
) -> Act:
    """Keep what was looked up of TV channels: channel -> 'vacant', 'occupied' or 'unknown'; rows are made as needed.

    A channel whose answer stays the same is dated anew: it was looked up again. Raises KeyError for a channel that the
    country's table does not have.
    """
    raster = {one.number: one for one in radio_table(pack(ministry.country).radio_table).channels}
    stored = {row.channel: row for row in TvChannel.objects.filter(ministry=ministry, channel__in=found)}
    with record.act(ministry=ministry, by=by, kind="tv-channels", says=_("Looked up TV channels.")) as act:
        fresh = [
            TvChannel(
                ministry=ministry,
                channel=number,
                low_khz=raster[number].low_khz,
                high_khz=raster[number].high_khz,
                found=answer,
                checked_on=checked_on,
                note=note,
            )
            for number, answer in found.items()
            if number not in stored and answer != TvChannel.Found.UNKNOWN
        ]
        record.add_many(fresh)
        values = {"checked_on": checked_on, **({"note": note} if note else {})}
        record.change_each([(row, {"found": found[number], **values}) for number, row in stored.items()])
        numbers = ", ".join(str(number) for number in sorted({row.channel for row in fresh} | set(stored)))
        record.retell(_("Looked up TV channels: %(numbers)s.") % {"numbers": numbers or "–"})
        return act


@dataclass(frozen=True)
class Heard:
    """A part of a set's range as it stands here: kHz, verdict, the rule, and the TV channel it depends on."""

    segment: LocalSegment

    @property
    def verdict(self) -> str:
        """Return allowed, licence, barred, unlisted, or for a channel: vacant, occupied, not looked up."""
        one = self.segment
        if one.channel is None:
            return one.verdict
        return one.state or ("barred" if one.verdict == "barred" else "not looked up")


@dataclass(frozen=True)
class SetHere:
    """A piece with a radio before the rules of the country. `advice` is None where its range is not recorded."""

    piece: Piece
    use: str
    advice: Advice | None
    heard: list[Heard]

    @property
    def code(self) -> str:
        """Return use, licence, find_out, retune, out or not recorded."""
        return self.advice.code if self.advice else "not recorded"


CODES = ("out", "retune", "find_out", "not recorded", "licence", "use")


def sets_here(where: Around, pieces: Iterable[Piece]) -> list[SetHere]:
    """Return the pieces that have a radio, what may not be switched on first. Queries nothing."""
    found = [_set_here(where, piece) for piece in pieces]
    return sorted((one for one in found if one), key=lambda one: (CODES.index(one.code), one.piece.tag_number))


def _set_here(where: Around, piece: Piece) -> SetHere | None:
    kind, band = kind_of(piece.what), band_of(piece)
    use = "" if kind in SENDS_NOTHING else Standing(kind=kind, band_khz=band).radio_use
    if not use:
        return None
    if band is None:
        return SetHere(piece, use, None, [])
    segments = band_status(where.country, *band, where.on, use=use, region=where.region)
    parts = here(where.country, segments, where.local_channels)
    return SetHere(piece, use, advice(where.country, segments, where.local_channels), [Heard(part) for part in parts])


def channels_asked(where: Around, sets: Iterable[SetHere]) -> list[TvRaster]:
    """Return the TV channels that the sets' rules ask about, in order."""
    numbers = {one.segment.channel for each in sets for one in each.heard if one.segment.channel is not None}
    return [one for one in radio_table(where.country).channels if one.number in numbers]
