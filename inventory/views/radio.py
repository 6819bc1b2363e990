"""What is legal to switch on here, set by set, and the TV channels the lead looked up."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django.views.decorators.http import require_GET, require_http_methods

from inventory.compute.gates import Around
from inventory.compute.radio import mhz
from inventory.compute.radio_reference import radio_table
from inventory.forms.radio import TvChannelsForm
from inventory.models import Piece, TvChannel
from inventory.services.radio_here import Heard, SetHere, around, channels_asked, sets_here, write_channels
from inventory.services.saying import said
from people.access import Viewer, in_ministry
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from people.views.told import tell

STATES = {  # code of the advice -> the word in the list
    "use": gettext_noop("legal here"),
    "licence": gettext_noop("with a license"),
    "find_out": gettext_noop("find out first"),
    "not recorded": gettext_noop("find out first"),
    "retune": gettext_noop("retune, lock or replace"),
    "out": gettext_noop("not legal here"),
}
VERDICTS = {
    "allowed": gettext_noop("open"),
    "licence": gettext_noop("only with a license"),
    "barred": gettext_noop("barred"),
    "unlisted": gettext_noop("not in the table"),
    "vacant": gettext_noop("channel vacant here: open"),
    "occupied": gettext_noop("a TV station is on this channel: barred here"),
    "not looked up": gettext_noop("open only where the channel is vacant: not looked up yet"),
}


@dataclass(frozen=True)
class ShownPart:
    """One part of a range in words, with the rule behind it."""

    mhz: str
    channel: int | None
    verdict: str
    is_open: bool
    text: str
    condition: str
    source: str
    checked_on: date


@dataclass(frozen=True)
class ShownSet:
    """A set in words."""

    piece: Piece
    code: str
    state: str
    use: str
    say: str
    mhz: str
    parts: list[ShownPart]


def _shown(one: SetHere, country: CountryPack) -> ShownSet:
    piece = one.piece
    say = said(one.advice.say, country) if one.advice else _("Its range is not recorded: read the plate first.")
    band = _range(piece.radio_low_khz, piece.radio_high_khz) if one.advice else ""
    return ShownSet(piece, one.code, STATES[one.code], one.use, say, band, [_part(part) for part in one.heard])


def _part(heard: Heard) -> ShownPart:
    part = heard.segment
    return ShownPart(
        mhz=_range(part.low_khz, part.high_khz),
        channel=part.channel,
        verdict=_(VERDICTS[heard.verdict]),
        is_open=part.usable,
        text=part.rule.text,
        condition=part.rule.condition,
        source=part.rule.source,
        checked_on=part.rule.checked_on,
    )


def _range(low: int | None, high: int | None) -> str:
    return f"{mhz(low or 0)}–{mhz(high or 0)} MHz"


def _sets(viewer: Viewer) -> tuple[Around, list[SetHere]]:
    rows = Piece.objects.visible_to(viewer).listed().select_related("place", "ministry")
    where = around(viewer.ministry)
    return where, sets_here(where, rows)


@require_GET
@in_ministry("see")
def radio(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    where, sets = _sets(viewer)
    country = pack(viewer.ministry.country)
    table = radio_table(where.country)
    context = {
        "sets": [_shown(one, country) for one in sets],
        "answer": _answer(sets, where, country),
        "channels": TvChannel.objects.visible_to(viewer),
        "asks_channels": bool(channels_asked(where, sets)),
        "cautions": _cautions(table.regulator, table.licence_note),
        "table": table,
        "may_decide": viewer.may("decide_fates"),
    }
    return render(request, "inventory/radio.html", context)


def _answer(sets: list[SetHere], where: Around, country: CountryPack) -> str:
    """Return the lead's sentence: what must stay off, what has to be retuned, what depends on what."""
    if not sets:
        return _("Nothing on the list sends by radio.")
    count = Counter(one.code for one in sets)
    parts = []
    if n := count["out"]:
        words = ngettext("%(sets)s may not be switched on here", "%(sets)s may not be switched on here", n)
        parts.append(words % {"sets": _counted(n, country)})
    if n := count["retune"]:
        words = ngettext(
            "%(sets)s must be retuned, locked or replaced", "%(sets)s must be retuned, locked or replaced", n
        )
        parts.append(words % {"sets": _counted(n, country)})
    if on := _depends(sets, country):
        n = count["find_out"] + count["not recorded"] + count["licence"]
        words = ngettext("%(sets)s depends on %(what)s", "%(sets)s depend on %(what)s", n)
        parts.append(words % {"sets": _counted(n, country), "what": on})
    if not parts:
        return ngettext(
            "The one set on the list is legal here.", "All %(n)d sets on the list are legal here.", len(sets)
        ) % {"n": len(sets)}
    sentence = phrasing.join_words(parts, country) if len(parts) < 3 else "; ".join(parts)
    return sentence[0].upper() + sentence[1:] + "."


def _counted(n: int, country: CountryPack) -> str:
    text = phrasing.counted(n, _("set"), _("sets"), country, at_start=True)
    return text[0].lower() + text[1:]


def _depends(sets: list[SetHere], country: CountryPack) -> str:
    """Return what sets depend on: channels nobody looked up, a license, a plate nobody read."""
    channels = sorted(
        {channel for one in sets if one.code == "find_out" and one.advice for channel in one.advice.unknown}
    )
    codes = {one.code for one in sets}
    on = []
    if channels:
        numbers = phrasing.join_words([str(number) for number in channels], country)
        on.append(_("TV channels nobody looked up (%(numbers)s)") % {"numbers": numbers})
    elif "find_out" in codes:
        on.append(_("a rule that has to be found out"))
    if "licence" in codes:
        on.append(_("a license"))
    if "not recorded" in codes:
        on.append(_("a plate nobody read"))
    return phrasing.join_words(on, country)


def _cautions(regulator: str, licence_note: str) -> list[str]:
    first = _(
        "The last word is with the regulator: %(regulator)s. Ask before a set is switched on, sold or given away."
    )
    return [first % {"regulator": regulator}, *filter(None, [licence_note])]


@require_http_methods(["GET", "POST"])
@in_ministry("decide_fates")
def tv_channels(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Write down which TV channels are vacant here; those that our sets' rules ask about, or all of them."""
    where, sets = _sets(viewer)
    asked = channels_asked(where, sets)
    every = request.GET.get("channels") == "all"
    offered = list(radio_table(where.country).channels) if every else asked
    stored = {row.channel: row for row in TvChannel.objects.visible_to(viewer)}
    initial: dict[str, Any] = {"checked_on": today(viewer.ministry)}
    data = request.POST if request.method == "POST" else None
    form = TvChannelsForm(data, viewer=viewer, channels=offered, initial=initial)
    if data is not None and form.is_valid():
        return _write(request, viewer, form)
    lines = [
        {"field": form[f"channel_{one.number}"], "row": stored.get(one.number), "number": one.number} for one in offered
    ]
    context = {"form": form, "lines": lines, "every": every, "stored": stored, "count": len(asked)}
    return render(request, "inventory/radio_channels.html", context, status=200 if data is None else 422)


def _write(request: HttpRequest, viewer: Viewer, form: TvChannelsForm) -> HttpResponse:
    values = form.cleaned_data
    if not form.found():
        messages.info(request, _("Nothing was answered: every channel was left as it is."))
    else:
        act = write_channels(
            ministry=viewer.ministry,
            by=viewer.member,
            found=form.found(),
            checked_on=values["checked_on"],
            note=values["note"],
        )
        tell(request, act)
    return redirect("radio", ministry=viewer.ministry.slug)
