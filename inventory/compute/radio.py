"""What the radio rules of a country say about a range on a day, and which carriers disturb each other.

All frequencies are whole kHz. The tables name their source and the day they were checked; the regulator has the last
word, and nothing here replaces asking it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import combinations, pairwise, permutations

from inventory.compute.radio_reference import USES, BandRule, RadioTable, TvChannel, radio_table
from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

Segment = tuple[int, int, str, BandRule]
VACANT, OCCUPIED = "vacant", "occupied"


@dataclass(frozen=True)
class ThirdOrder:
    """Third-order products in kHz, sorted, each once."""

    two_transmitter: tuple[int, ...]  # 2a - b
    three_transmitter: tuple[int, ...]  # a + b - c


def third_order(carriers_khz: Iterable[int]) -> ThirdOrder:
    """Return the third-order products of the carriers (kHz); a carrier named twice counts once.

    Source: order is the sum of the harmonic numbers; 2a - b for two transmitters, a + b - c for three.
    """
    carriers = sorted(set(carriers_khz))
    pairs = {2 * a - b for a, b in permutations(carriers, 2)}
    triples = {a + b - c for a, b in combinations(carriers, 2) for c in carriers if c not in (a, b)}
    return ThirdOrder(tuple(sorted(pairs)), tuple(sorted(triples)))


def band_status(
    country: str, low_khz: int, high_khz: int, on: date, *, use: str = "microphone", region: str = ""
) -> list[Segment]:
    """Return adjacent segments (low_khz, high_khz, verdict, rule) that cover the range from end to end.

    country: US, GB or EU; on: the day asked about; use: microphone, in-ear, intercom, cueing or hearing assistance;
    region: a state, where a rule depends on it. A range of no width gives one segment: the rule from there upward.
    Raises LookupError for another country, ValueError for a range turned round or an unknown use.
    """
    if low_khz > high_khz:
        raise ValueError(f"The range {low_khz}-{high_khz} kHz is turned round.")
    if use not in USES:
        raise ValueError(f"{use!r} is not a use of radio this table knows.")
    table = radio_table(country)
    rules = [rule for rule in table.rules if rule.holds(on, use, region)]
    edges = {edge for rule in rules for edge in (rule.low_khz, rule.high_khz) if low_khz < edge < high_khz}
    cuts = sorted({low_khz, high_khz} | edges)
    spans = list(pairwise(cuts)) or [(low_khz, high_khz)]
    return _joined([(low, high, *_rule_at(rules, table, low, high)) for low, high in spans])


def _rule_at(rules: Sequence[BandRule], table: RadioTable, low: int, high: int) -> tuple[str, BandRule]:
    for rule in rules:
        if rule.low_khz <= low < rule.high_khz:
            return rule.verdict, rule
    return "unlisted", table.unlisted(low, high)


def _joined(segments: Iterable[Segment]) -> list[Segment]:
    """Return the segments, neighbors of one rule made one."""
    joined: list[Segment] = []
    for low, high, verdict, rule in segments:
        if joined and joined[-1][2:] == (verdict, rule):
            low = joined.pop()[0]
        joined.append((low, high, verdict, rule))
    return joined


def channel_at(country: str, khz: float) -> TvChannel | None:
    """Return the television channel a frequency lies in, None outside the TV bands (lower edge in, upper edge out).

    Source: 47 CFR 73.603(a), 6 MHz wide, for US; the European 8 MHz raster for GB and EU.
    """
    return next((c for c in radio_table(country).channels if c.low_khz <= khz < c.high_khz), None)


@dataclass(frozen=True)
class LocalSegment:
    """A part of a range as it stands at one place: with the TV channel it depends on, where it depends on one."""

    low_khz: int
    high_khz: int
    verdict: str
    rule: BandRule
    channel: int | None = None
    state: str = ""  # 'vacant', 'occupied', '' not said or not asked

    @property
    def usable(self) -> bool:
        """Return whether it can be used here today: open, with a licence, or on a channel said to be vacant."""
        return self.verdict in ("allowed", "licence") and (self.channel is None or self.state == VACANT)

    @property
    def in_doubt(self) -> bool:
        """Return whether somebody has to find something out first."""
        waits = self.verdict in ("allowed", "licence") and self.channel is not None and not self.state
        return waits or self.verdict == "unlisted"


def here(country: str, segments: Iterable[Segment], local_channels: Mapping[int, str]) -> list[LocalSegment]:
    """Return the segments split by TV channel where a rule asks for a vacant one, with what is known here.

    local_channels: channel number -> 'vacant' or 'occupied'; one left out is not known, an occupied one is barred.
    """
    found = []
    for low, high, verdict, rule in segments:
        if rule.needs_vacant_channel:
            found += _by_channel(country, low, high, verdict, rule, local_channels)
        else:
            found.append(LocalSegment(low, high, verdict, rule))
    return found


def _by_channel(
    country: str, low: int, high: int, verdict: str, rule: BandRule, local: Mapping[int, str]
) -> list[LocalSegment]:
    channels = [c for c in radio_table(country).channels if c.low_khz < high and c.high_khz > low]
    if low == high:
        channels = [c for c in radio_table(country).channels if c.low_khz <= low < c.high_khz]
    parts = []
    for channel in channels:
        state = local.get(channel.number, "")
        stands = "barred" if state == OCCUPIED else verdict
        ends = max(low, channel.low_khz), min(high, channel.high_khz)
        parts.append(LocalSegment(*ends, stands, rule, channel.number, state))
    return parts or [LocalSegment(low, high, verdict, rule)]


@dataclass(frozen=True)
class Advice:
    """What to do with a set that tunes a range. `code`: use, licence, find_out, retune or out."""

    code: str
    say: Sentence
    usable: tuple[tuple[int, int], ...]  # kHz, joined: where it may work here
    rules: tuple[BandRule, ...]  # those that bar or bind, in order
    occupied: tuple[int, ...] = ()
    unknown: tuple[int, ...] = ()  # channels to find out about


ADVICE = {
    "use": _("Legal here: the whole range {range} MHz is open."),
    "vacant": _("Legal here on vacant TV channels: {channels}."),
    "licence": _("Legal only with a license: {range} MHz."),
    "mixed": _("Legal without a license: {free} MHz; only with a license: {bound} MHz."),
    "find_out": _("Not settled: find out about {what} before it is switched on."),
    "retune": _("Partly barred: retune it into {usable} MHz and lock it there, or replace it."),
    "retune_licence": _("Partly barred: lock it to {usable} MHz, which needs a license, or replace it."),
    "retune_ask": _(
        "Partly barred: retune, lock or replace it, once it is known what else of {range} MHz is open here."
    ),
    "out": _("Not legal here: do not switch it on, do not sell it or give it to be used; recycle it."),
    "occupied": _("TV stations fill its whole range here: retune or replace it; it may be legal elsewhere."),
}


def advice(country: str, segments: Sequence[Segment], local_channels: Mapping[int, str] | None = None) -> Advice:
    """Return what to do with a set that tunes `segments` (of band_status), as far as the local channels are known.

    A set that can tune into a barred part is never called illegal for it: retune, lock or replace. The FCC speaks of
    the frequencies operated on; a stricter reading exists, so the sentence asks for a lock.
    """
    parts = here(country, segments, local_channels or {})
    usable = _spans(part for part in parts if part.usable)
    code, say = _verdict(parts, usable)
    binding = tuple(dict.fromkeys(part.rule for part in parts if part.verdict != "allowed" or part.rule.condition))
    occupied = tuple(part.channel for part in parts if part.state == OCCUPIED and part.channel is not None)
    unknown = tuple(part.channel for part in parts if part.in_doubt and part.channel is not None)
    return Advice(code, say, usable, binding, occupied, unknown)


def _verdict(parts: Sequence[LocalSegment], usable: Sequence[tuple[int, int]]) -> tuple[str, Sentence]:
    """Return (code, sentence). By rule barred weighs more than a station in the way, and that more than a doubt."""
    barred = [part for part in parts if part.verdict == "barred" and part.state != OCCUPIED]
    doubtful = [part for part in parts if part.in_doubt]
    whole = _range([(parts[0].low_khz, parts[-1].high_khz)])
    if len(barred) == len(parts):
        return "out", ADVICE["out"]
    free = _spans(part for part in parts if part.usable and part.verdict == "allowed")
    bound = _spans(part for part in parts if part.usable and part.verdict == "licence")
    if barred:
        return "retune", _retune(free, bound, whole)
    if not usable and not doubtful:
        return "retune", ADVICE["occupied"]
    if not usable:
        return "find_out", _with("find_out", what=_doubts(doubtful))
    if not free:
        return "licence", _with("licence", range=_range(bound))
    if bound:
        return "use", _with("mixed", free=_range(free), bound=_range(bound))
    channels = [part.channel for part in parts if part.usable and part.channel is not None]
    if channels:
        return "use", _with("vacant", channels=", ".join(map(str, channels)))
    return "use", _with("use", range=_range(usable))


def _retune(free: Sequence[tuple[int, int]], bound: Sequence[tuple[int, int]], whole: str) -> Sentence:
    if free:
        return _with("retune", usable=_range(free))
    return _with("retune_licence", usable=_range(bound)) if bound else _with("retune_ask", range=whole)


def _with(key: str, **values: object) -> Sentence:
    return _(ADVICE[key].template, **values)


def _doubts(parts: Iterable[LocalSegment]) -> Sentence:
    channels = [str(part.channel) for part in parts if part.channel is not None]
    if channels:
        return _("TV channels {channels} here", channels=", ".join(channels))
    return _("the rule for this range")


def _spans(parts: Iterable[LocalSegment]) -> tuple[tuple[int, int], ...]:
    spans: list[tuple[int, int]] = []
    for part in parts:
        if spans and spans[-1][1] == part.low_khz:
            spans[-1] = (spans[-1][0], part.high_khz)
        else:
            spans.append((part.low_khz, part.high_khz))
    return tuple(spans)


def _range(spans: Iterable[tuple[int, int]]) -> str:
    return ", ".join(f"{mhz(low)}-{mhz(high)}" for low, high in spans)


def mhz(khz: int) -> str:
    """Return a frequency in MHz as the trade writes it: 606.5, 470."""
    return f"{(Decimal(khz) / 1000).normalize():f}"


def over_limit(rule: BandRule, milliwatts: float) -> bool:
    """Return whether a transmitter is stronger than the rule permits; False where the rule names no limit."""
    return rule.limit_mw is not None and milliwatts > rule.limit_mw


def dbm(milliwatts: float) -> float:
    """Return the power in dB above one milliwatt."""
    return 10 * math.log10(milliwatts)


def cordless_limit_mw(bandwidth_hz: float) -> float:
    """Return the limit in 1920-1930 MHz (US): 100 µW times the root of the bandwidth. Source: 47 CFR 15.301 ff."""
    return 0.1 * math.sqrt(bandwidth_hz)


def lies_inside(carrier_khz: float, width_khz: float, low_khz: float, high_khz: float) -> bool:
    """Return whether the whole signal lies in the range, not only its carrier. Source: 47 CFR 74.861(c)."""
    return low_khz <= carrier_khz - width_khz / 2 and carrier_khz + width_khz / 2 <= high_khz


def on_raster(country: str, carrier_khz: float, step_khz: float = 25) -> bool:
    """Return whether a carrier stands a whole number of steps from its TV channel's edge; True outside TV channels.

    Source: 47 CFR 15.236(f), from memory: a warning, not an error.
    """
    channel = channel_at(country, carrier_khz)
    return channel is None or (carrier_khz - channel.low_khz) % step_khz == 0


def may_ask_for_licence(country: str, microphones: int) -> bool | None:
    """Return whether so many microphones in routine use open the way to a licence; None where no number is known."""
    least = radio_table(country).licence_from_microphones
    return None if least is None else microphones >= least


@dataclass(frozen=True)
class Clash:
    """Two carriers too close, or a carrier too close to a product of others."""

    kind: str  # 'spacing', 'two' (2a - b), 'three' (a + b - c)
    carrier_khz: int
    others_khz: tuple[int, ...]
    product_khz: int  # the other carrier itself for 'spacing'
    apart_khz: int


def clashes(carriers_khz: Collection[int], spacing: int = 350, two: int = 100, three: int = 50) -> list[Clash]:
    """Return every pair and product that leaves too little room, in order of kind and carrier.

    spacing: least distance between carriers; two, three: least distance of a carrier from 2a - b and a + b - c, kHz.
    A product counts against carriers that do not make it. Source: common practice; makers print their own distances.
    """
    carriers = sorted(set(carriers_khz))
    found = [Clash("spacing", a, (b,), b, b - a) for a, b in combinations(carriers, 2) if b - a < spacing]
    for a, b in permutations(carriers, 2):
        found += _hits("two", carriers, (a, b), 2 * a - b, two)
    for a, b in combinations(carriers, 2):
        for c in carriers:
            if c not in (a, b):
                found += _hits("three", carriers, (a, b, c), a + b - c, three)
    return found


def _hits(kind: str, carriers: Sequence[int], makers: tuple[int, ...], product: int, least: int) -> list[Clash]:
    return [
        Clash(kind, carrier, makers, product, abs(carrier - product))
        for carrier in carriers
        if carrier not in makers and abs(carrier - product) < least
    ]
