"""Country packs: what the law or the custom of a country decides, as plain data.

A pack is read from one file a country (see docs/algorithms/country-packs.md); this module turns the parsed file into
frozen values and works out the days a freeze preset means in a given year. It reads nothing itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from dateutil.easter import easter

SUNDAY = 6
WORD_KEYS = frozenset((
    "fund_restricted", "fund_designated", "fund_free", "leaders", "minister", "van", "hearing_help", "postcode",
    "floor_at_street", "lease_to_own", "socket", "earth",
))  # fmt: skip


class PackError(ValueError):
    """A pack file says something that cannot be used; the text names the country and the entry."""


@dataclass(frozen=True)
class TaxManner:
    """How tax reaches the church: added by each supplier, or at one rate on everything."""

    kind: str  # 'sales tax' or 'VAT'
    name: str
    rate_from: str  # 'supplier' or 'standard'
    standard_rate: Decimal | None  # 0.20 is twenty percent; None where only suppliers know it
    reclaimable: bool
    exempt_by_certificate: bool
    included_in_prices: bool  # what a price on a web page usually means
    say: str
    source: str


@dataclass(frozen=True)
class Mains:
    """The electricity of the country, and who may touch it."""

    volts: int
    hertz: int
    breaker_amps: int
    plug: str
    code_name: str
    who: str


@dataclass(frozen=True)
class DisposalRule:
    """What to mind before a thing of some kind leaves."""

    key: str
    covers: frozenset[str]  # of: electrical battery lamp data gift radio
    text: str
    source: str
    confidence: str  # 'read', 'secondary', 'common practice' or 'from memory'


@dataclass(frozen=True)
class FreezeEdge:
    """A day found from the church or civil calendar: an anchor, moved by days, then on to a weekday."""

    on: str
    days: int = 0
    then: str = ""  # '' or 'sunday': the first Sunday on or after


@dataclass(frozen=True)
class FreezePreset:
    """A span in which nothing that touches a Sunday path should move."""

    key: str
    name: str
    first: FreezeEdge
    last: FreezeEdge


@dataclass(frozen=True)
class Region:
    """A state or region, its zone first and its further zones after it."""

    code: str
    name: str
    zone: str
    more_zones: tuple[str, ...] = ()


@dataclass(frozen=True)
class CountryPack:
    """Everything a country decides. Lengths, masses and frequencies are stored in mm, g and kHz whatever it says."""

    code: str
    name: str
    locale: str  # for figures and money: en_US, en_GB, en_IE, de_DE
    language: str  # for texts: en-us, en-gb
    currency: str
    exponent: int
    tax: TaxManner
    length_unit: str  # 'feet' or 'meters'
    mass_unit: str  # 'pounds' or 'kilograms'
    wire_unit: str  # 'AWG' or 'mm2'
    temperature_unit: str  # 'F' or 'C'
    paper: str  # 'letter' or 'a4'
    day_first: bool
    first_weekday: int  # 0 is Monday
    clock: int  # 12 or 24
    numeric_date: str  # pattern of the Unicode locale data
    mains: Mains
    picture_rate: str  # '59.94' or '50'
    zone: str
    region_word: str
    radio_table: str  # 'US', 'GB' or 'EU'
    tv_channel_mhz: int
    words: Mapping[str, str]
    disposal: tuple[DisposalRule, ...]
    freezes: tuple[FreezePreset, ...]
    regions: tuple[Region, ...] = field(repr=False)
    checked_on: date = date.min

    @property
    def text_locale(self) -> str:
        """Return the language as Babel spells it: en_US for en-us."""
        language, _, territory = self.language.partition("-")
        return f"{language}_{territory.upper()}" if territory else language

    @property
    def feet(self) -> bool:
        return self.length_unit == "feet"

    def word(self, key: str) -> str:
        """Return this country's word. Raises KeyError for a key no pack has."""
        return self.words[key]

    def region(self, code: str) -> Region | None:
        return next((region for region in self.regions if region.code == code), None)

    def zone_of(self, region_code: str) -> str:
        """Return the zone of a state or region, the country's own when it is unknown or ''."""
        region = self.region(region_code)
        return region.zone if region else self.zone

    def zones(self) -> tuple[str, ...]:
        """Return every zone of the country once, its default first."""
        found = [self.zone]
        for region in self.regions:
            found += [region.zone, *region.more_zones]
        return tuple(dict.fromkeys(found))

    def disposal_for(self, *kinds: str) -> tuple[DisposalRule, ...]:
        """Return the rules that cover any of these kinds, in the order of the pack."""
        return tuple(rule for rule in self.disposal if rule.covers & set(kinds))

    def freezes_between(self, first: date, last: date) -> list[tuple[FreezePreset, date, date]]:
        """Return (preset, first day, last day) of every preset that touches first..last, earliest first."""
        years = range(first.year - 1, last.year + 1)
        spans = [(preset, *freeze_days(preset, year)) for preset in self.freezes for year in years]
        return sorted((s for s in spans if s[1] <= last and s[2] >= first), key=lambda s: (s[1], s[2], s[0].key))


def pack_from(entries: Mapping[str, Any]) -> CountryPack:
    """Return the pack a parsed file means.

    Raises PackError naming the country and what is missing or not understood.
    """
    code = str(entries.get("code", "?"))
    try:
        pack = _pack(entries)
    except (KeyError, TypeError, ValueError) as wrong:
        raise PackError(f"Country pack {code}: {type(wrong).__name__} {wrong}.") from wrong
    _check(pack)
    return pack


def _pack(entries: Mapping[str, Any]) -> CountryPack:
    units, dates, zones = entries["units"], entries["dates"], entries["zones"]
    return CountryPack(
        code=entries["code"],
        name=entries["name"],
        locale=entries["locale"],
        language=entries["language"],
        currency=entries["money"]["currency"],
        exponent=entries["money"]["exponent"],
        tax=_tax(entries["tax"]),
        length_unit=units["length"],
        mass_unit=units["mass"],
        wire_unit=units["wire"],
        temperature_unit=units["temperature"],
        paper=entries["page"]["paper"],
        day_first=dates["day_first"],
        first_weekday=dates["first_weekday"],
        clock=dates["clock"],
        numeric_date=dates["numeric"],
        mains=Mains(**entries["mains"]),
        picture_rate=entries["picture"]["rate"],
        zone=zones["default"],
        region_word=zones["region_word"],
        radio_table=entries["radio"]["table"],
        tv_channel_mhz=entries["radio"]["channel_mhz"],
        words=dict(entries["words"]),
        disposal=tuple(DisposalRule(**{**rule, "covers": frozenset(rule["covers"])}) for rule in entries["disposal"]),
        freezes=tuple(_freeze(preset) for preset in entries["freeze"]),
        regions=_regions(entries["regions"]),
        checked_on=entries["checked_on"],
    )


def _tax(entries: Mapping[str, Any]) -> TaxManner:
    rate = entries.get("standard_rate")
    return TaxManner(**{**entries, "standard_rate": None if rate is None else Decimal(rate)})


def _freeze(entries: Mapping[str, Any]) -> FreezePreset:
    return FreezePreset(entries["key"], entries["name"], FreezeEdge(**entries["from"]), FreezeEdge(**entries["to"]))


def _regions(entries: Mapping[str, Sequence[str]]) -> tuple[Region, ...]:
    return tuple(Region(code, row[0], row[1], tuple(row[2:])) for code, row in entries.items())


def _check(pack: CountryPack) -> None:
    """Raise PackError for an entry outside the known choices."""
    choices: list[tuple[str, object, tuple[object, ...]]] = [
        ("length", pack.length_unit, ("feet", "meters")),
        ("mass", pack.mass_unit, ("pounds", "kilograms")),
        ("paper", pack.paper, ("letter", "a4")),
        ("clock", pack.clock, (12, 24)),
        ("first weekday", pack.first_weekday, tuple(range(7))),
        ("tax rate", pack.tax.rate_from, ("supplier", "standard")),
        ("radio table", pack.radio_table, ("US", "GB", "EU")),
    ]
    wrong = [f"{name} {value!r}" for name, value, allowed in choices if value not in allowed]
    if pack.tax.rate_from == "standard" and pack.tax.standard_rate is None:
        wrong.append("no standard rate of tax")
    wrong += [f"no word for {key}" for key in sorted(WORD_KEYS - set(pack.words))]
    for preset in pack.freezes:
        wrong += [f"anchor {edge.on!r}" for edge in (preset.first, preset.last) if edge.on not in ANCHORS]
    if wrong:
        raise PackError(f"Country pack {pack.code}: {'; '.join(wrong)}.")


def freeze_days(preset: FreezePreset, year: int) -> tuple[date, date]:
    """Return the first and last day of the freeze that begins in `year`.

    An end that would lie before the beginning belongs to the next year: Epiphany after Advent.
    """
    first = edge_day(preset.first, year)
    last = edge_day(preset.last, year)
    return (first, last) if last >= first else (first, edge_day(preset.last, year + 1))


def edge_day(edge: FreezeEdge, year: int) -> date:
    """Return the day an edge means in `year`."""
    day = ANCHORS[edge.on](year) + timedelta(days=edge.days)
    return _on_or_after(day, SUNDAY) if edge.then == "sunday" else day


def _on_or_after(day: date, weekday: int) -> date:
    return day + timedelta(days=(weekday - day.weekday()) % 7)


def advent_sunday(year: int) -> date:
    """Return the fourth Sunday before Christmas Day."""
    return _on_or_after(date(year, 11, 27), SUNDAY)


def thanksgiving(year: int) -> date:
    """Return the fourth Thursday of November. Source: 5 U.S.C. 6103."""
    return _on_or_after(date(year, 11, 22), 3)


def _easter(year: int) -> date:
    return easter(year)


ANCHORS: dict[str, Callable[[int], date]] = {
    "easter": _easter,
    "advent sunday": advent_sunday,
    "thanksgiving": thanksgiving,
    "epiphany": lambda year: date(year, 1, 6),
    "new year": lambda year: date(year, 1, 1),
    "mothers day": lambda year: _on_or_after(date(year, 5, 8), SUNDAY),  # second Sunday of May
    "remembrance sunday": lambda year: _on_or_after(date(year, 11, 8), SUNDAY),  # second Sunday of November
    "first sunday of october": lambda year: _on_or_after(date(year, 10, 1), SUNDAY),
}
