"""What the radio rules say here: the country's table, the day, the state, and the TV channels the lead looked up."""

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _

from inventory.compute.gates import Around
from inventory.compute.radio_reference import radio_table
from inventory.models import TvChannel
from people.clock import today
from people.models import Act, Member, Ministry
from people.packs import pack
from people.services import record

KNOWN = frozenset({TvChannel.Found.VACANT, TvChannel.Found.OCCUPIED})


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
