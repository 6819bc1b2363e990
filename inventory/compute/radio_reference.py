"""The dated radio tables that ship with the program, as frozen values. Each file is read once; nothing else is read."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parent.parent.parent / "fixtures" / "reference" / "radio"
MICROPHONES = frozenset({"microphone", "in-ear", "intercom", "cueing"})
HEARING = "hearing assistance"
USES = MICROPHONES | {HEARING}
VERDICTS = ("allowed", "licence", "barred", "unlisted")


@dataclass(frozen=True)
class BandRule:
    """What holds between two frequencies, since and until when, and who says so. The regulator has the last word."""

    low_khz: int
    high_khz: int
    verdict: str  # allowed, licence, barred, unlisted
    text: str
    source: str
    checked_on: date
    condition: str = ""
    confidence: str = ""  # read, secondary, from memory
    since: date = date.min
    until: date = date.max  # last day on which it holds
    uses: frozenset[str] = MICROPHONES
    regions: frozenset[str] = frozenset()  # states it is limited to; empty: everywhere
    needs_vacant_channel: bool = False
    limit_mw: float | None = None

    def holds(self, on: date, use: str, region: str) -> bool:
        in_region = not self.regions or region in self.regions
        return self.since <= on <= self.until and use in self.uses and in_region


@dataclass(frozen=True)
class TvChannel:
    """A television channel of the country's raster."""

    number: int
    low_khz: int
    high_khz: int


@dataclass(frozen=True)
class RadioTable:
    """The rules of one country in order of precedence, and its television channels."""

    country: str
    regulator: str
    checked_on: date
    rules: tuple[BandRule, ...]
    unlisted_text: str
    unlisted_source: str
    channels: tuple[TvChannel, ...]
    licence_from_microphones: int | None = None
    licence_note: str = ""

    def unlisted(self, low_khz: int, high_khz: int) -> BandRule:
        """Return the rule for a range the table does not know."""
        return BandRule(
            low_khz, high_khz, "unlisted", self.unlisted_text, self.unlisted_source, self.checked_on, uses=USES
        )


@cache
def radio_table(country: str) -> RadioTable:
    """Return the table of US, GB or EU. Raises LookupError for any other."""
    path = FOLDER / f"{country.lower()}.json"
    if country not in ("US", "GB", "EU"):
        raise LookupError(f"There is no radio table for {country!r}: choose US, GB or EU.")
    return table_from(json.loads(path.read_text(encoding="utf-8")))


def table_from(entries: dict[str, Any]) -> RadioTable:
    """Return the table a parsed file means. Raises ValueError for a rule that cannot be used."""
    checked = date.fromisoformat(entries["checked_on"])
    return RadioTable(
        country=entries["country"],
        regulator=entries["regulator"],
        checked_on=checked,
        rules=tuple(_rule(rule, checked) for rule in entries["rules"]),
        unlisted_text=entries["unlisted"]["text"],
        unlisted_source=entries["unlisted"]["source"],
        channels=_channels(entries),
        licence_from_microphones=entries.get("licence_from_microphones"),
        licence_note=entries.get("licence_note", ""),
    )


def _rule(entries: dict[str, Any], checked: date) -> BandRule:
    every = USES if entries.get("every_use") else MICROPHONES
    rule = BandRule(
        low_khz=entries["low_khz"],
        high_khz=entries["high_khz"],
        verdict=entries["verdict"],
        text=entries["text"],
        source=entries["source"],
        checked_on=date.fromisoformat(entries["checked_on"]) if "checked_on" in entries else checked,
        condition=entries["condition"],
        confidence=entries["confidence"],
        since=date.fromisoformat(entries["since"]) if "since" in entries else date.min,
        until=date.fromisoformat(entries["until"]) if "until" in entries else date.max,
        uses=frozenset(entries.get("uses", every)),
        regions=frozenset(entries.get("regions", ())),
        needs_vacant_channel=entries.get("needs_vacant_channel", False),
        limit_mw=entries.get("limit_mw"),
    )
    if rule.verdict not in VERDICTS or rule.low_khz >= rule.high_khz or not rule.source or not rule.uses <= USES:
        raise ValueError(f"The radio rule {rule.low_khz}-{rule.high_khz} kHz cannot be used: {rule}.")
    return rule


def _channels(entries: dict[str, Any]) -> tuple[TvChannel, ...]:
    width = entries["channel_width_khz"]
    channels = []
    for first, low in entries["channels"]:
        last = entries["last_channels"].get(str(first), first)
        channels += [
            TvChannel(n, low + width * (n - first), low + width * (n - first + 1)) for n in range(first, last + 1)
        ]
    return tuple(channels)
