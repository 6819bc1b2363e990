"""Gates: yes-or-no questions a piece must pass before anything is weighed, each with its reason, source and date.

A gate passes, fails, or depends on something somebody can find out. Where work can hurt somebody the gate only passes
on what a competent person has recorded; the tool signs nothing.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from inventory.compute import radio
from inventory.compute.radio_reference import HEARING, radio_table
from people.compute.sentences import Millimeters, Sentence
from people.compute.sentences import sentence as _

PASS, FAIL, DEPENDS = "pass", "fail", "depends"

TWO_PERSON_GRAMS = 23_000  # load constant of the NIOSH lifting equation: a guide, not a legal limit
COMMON_PRACTICE = "common practice"
RECORD = "this ministry's record"
CHURCH = "church"

# What binds a piece, as it is stored.
OURS, LENT, LEASE, MEMORY, LANDLORD, DONOR = (
    "ours",
    "lent",
    "lease-to-own",
    "in memory",
    "landlord",
    "donor bound",
)
HANDED_ON = ("sell", "give away")  # somebody else will switch it on
SCRAPPED = ("recycle", "for parts")
USED = ("use here", "stand-in", "shelf spare")
RADIO_USES = {  # kind of thing -> use of radio
    "wireless handheld": "microphone",
    "wireless headset": "microphone",
    "wireless lapel": "microphone",
    "in-ear transmitter": "in-ear",
    "in-ear receiver": "in-ear",
    "intercom": "intercom",
    "hearing transmitter": HEARING,
    "hearing receiver": HEARING,
}
ALWAYS_RADIO = ("wireless", "in-ear transmitter", "hearing transmitter")
BOND_WORDS = (  # conservative: the plain sayings of lists
    (LEASE, r"lease[- ]to[- ]own|hire purchase|\bHP\b until"),
    (MEMORY, r"in memory of|in loving memory|memorial|never sell|do not sell"),
    (LENT, r"\bbelongs to\b|\bon loan from\b|\blent by\b|\bborrowed from\b"),
    (LANDLORD, r"landlord'?s|(written )?into the sale contract|stays? with the building"),
    (DONOR, r"(restricted|donor)[- ](gift|restricted|bound)|given for"),
)


@dataclass(frozen=True)
class Standing:
    """What is recorded of a piece, as far as gates ask."""

    kind: str = ""
    condition: str = "not yet tested"
    band_khz: tuple[int, int] | None = None
    bond: str = OURS
    bond_until: date | None = None
    owner: str = ""
    never_sell: bool = False
    missing: tuple[str, ...] = ()  # names of must-have companions that are not there

    @property
    def radio_use(self) -> str:
        """Return what its radio is used for, '' where it has none that anybody recorded."""
        if self.band_khz is None and not self.kind.startswith(ALWAYS_RADIO):
            return ""
        return RADIO_USES.get(self.kind, "microphone")


@dataclass(frozen=True)
class Around:
    """Where and when the gates are asked."""

    country: str  # of the radio table: US, GB, EU
    on: date
    local_channels: Mapping[int, str] = field(default_factory=dict)
    region: str = ""


@dataclass(frozen=True)
class Gate:
    """One answered gate. checked_on: the day the rule behind it was checked, None for what the record alone says."""

    name: str  # legal, safe, ours, free, complete, fits, must_have
    result: str  # pass, fail, depends
    say: Sentence
    source: str = RECORD
    checked_on: date | None = None

    @property
    def passed(self) -> bool:
        return self.result == PASS

    @property
    def failed(self) -> bool:
        return self.result == FAIL


def legal(
    country: str,
    band_khz: tuple[int, int] | None,
    on: date,
    *,
    use: str = "microphone",
    local_channels: Mapping[int, str] | None = None,
    region: str = "",
    transmits: bool = True,
) -> Gate:
    """Return whether a set may be switched on in this country on this day.

    band_khz: the range it tunes, None where nobody has read it; transmits: False for what has no radio at all.
    """
    if not transmits:
        return Gate("legal", PASS, _("It sends no radio signal."), COMMON_PRACTICE)
    table = radio_table(country)
    if band_khz is None:
        return Gate(
            "legal",
            DEPENDS,
            _("Its radio range is not recorded: read the plate before it is switched on."),
            table.regulator,
            table.checked_on,
        )
    segments = radio.band_status(country, *band_khz, on, use=use, region=region)
    advice = radio.advice(country, segments, local_channels)
    rule = advice.rules[0] if advice.rules else segments[0][3]
    result = {"out": FAIL, "use": PASS}.get(advice.code, DEPENDS)
    return Gate("legal", result, advice.say, rule.source, rule.checked_on)


def safe(condition: str, *, tested_on: date | None = None, lithium_swollen: bool = False) -> Gate:
    """Return whether a piece may be switched on: unsafe fails, untested waits for a competent person."""
    if lithium_swollen:
        return Gate("safe", FAIL, _("Its battery is swollen: do not charge it; set it apart."), COMMON_PRACTICE)
    if condition == "unsafe":
        return Gate("safe", FAIL, _("Marked unsafe: leave it unplugged until a competent person has dealt with it."))
    if condition == "not found":
        return Gate("safe", FAIL, _("Not found."))
    if condition == "dead":
        return Gate("safe", FAIL, _("Dead: it does nothing any more."))
    if condition == "not yet tested":
        return Gate("safe", DEPENDS, _("Not yet tested: have it tested before it is used."), COMMON_PRACTICE)
    if condition == "faulty":
        return Gate("safe", DEPENDS, _("Faulty: find out whether it can be mended."))
    if tested_on:
        return Gate("safe", PASS, _("Tested on {day}.", day=tested_on), checked_on=tested_on)
    return Gate("safe", PASS, _("Nothing against it is recorded."))


def bond_of(note: str, owner: str = "") -> str:
    """Return what binds a piece by the words of its note, OURS where nothing is said. owner: '' for the church."""
    for bond, pattern in BOND_WORDS:
        if re.search(pattern, note, re.IGNORECASE):
            return bond
    return LENT if owner and owner.lower() != CHURCH else OURS


def ours_to_dispose(
    bond: str, on: date, *, until: date | None = None, owner: str = "", never_sell: bool = False
) -> Gate:
    """Return whether the church may sell, give away or scrap a piece.

    until: last day of a lease-to-own; never_sell: somebody wrote that it must stay.
    """
    if never_sell and bond == OURS:
        return Gate("ours", FAIL, _("The list says never to sell it: ask who wrote that."))
    if bond == OURS:
        return Gate("ours", PASS, _("It is the church's own and nothing binds it."))
    if bond == LEASE:
        return _lease(on, until)
    if bond == LENT:
        return Gate("ours", FAIL, _("It belongs to {owner}: it can only go back.", owner=owner or _("somebody else")))
    if bond == MEMORY:
        return Gate("ours", FAIL, _("It was given in memory of somebody: keep it, or ask the family and the leaders."))
    if bond == LANDLORD:
        return Gate("ours", FAIL, _("It belongs to the building: it stays."))
    return Gate("ours", DEPENDS, _("It was given for a purpose: money from it follows the purpose; ask the treasurer."))


def _lease(on: date, until: date | None) -> Gate:
    if until is None:
        return Gate("ours", FAIL, _("It is not paid off, and until when is not recorded."))
    if on <= until:
        return Gate("ours", FAIL, _("It is not paid off until {day}: it cannot be sold before.", day=until))
    return Gate("ours", DEPENDS, _("Its payments ended on {day}: see the paper that says it is yours.", day=until))


def ours_to_use(bond: str, *, owner: str = "") -> Gate:
    """Return whether a piece may be put to use in a room of ours."""
    if bond == LENT:
        return Gate("ours", DEPENDS, _("Ask {owner} whether it may stay.", owner=owner or _("its owner")))
    if bond == LANDLORD:
        return Gate("ours", DEPENDS, _("It belongs to the building: it can only be used where it stands."))
    return Gate("ours", PASS, _("The church may use it."))


def free_when_needed(busy_until: date | None, needed_from: date | None, *, where: str = "") -> Gate:
    """Return whether a piece is free in time.

    busy_until: last day of service elsewhere, None for free now; needed_from: None for some day.
    """
    if busy_until is None:
        return Gate("free", PASS, _("Free now."))
    free_from = busy_until + timedelta(days=1)
    if needed_from is None:
        return Gate(
            "free", DEPENDS, _("Busy at {place} until {day}.", place=where or _("another place"), day=busy_until)
        )
    if free_from <= needed_from:
        return Gate("free", PASS, _("Free from {day}, in time.", day=free_from))
    return Gate("free", FAIL, _("Busy until {day}; needed from {needed}.", day=busy_until, needed=needed_from))


def complete(missing: Sequence[str], cost_minor: int | None = None, value_minor: int | None = None) -> Gate:
    """Return whether nothing it needs is missing, or the missing costs less than the piece is worth.

    missing: names of the must-have companions that are not there; cost and value in minor units, None for not known.
    """
    if not missing:
        return Gate("complete", PASS, _("Nothing it needs is missing."))
    if cost_minor is None or value_minor is None:
        return Gate("complete", DEPENDS, _("Missing: {parts}. What they cost is not known.", parts=tuple(missing)))
    if cost_minor < value_minor:
        return Gate("complete", DEPENDS, _("Missing: {parts}; worth completing.", parts=tuple(missing)))
    return Gate("complete", FAIL, _("Missing: {parts}; they cost more than it is worth.", parts=tuple(missing)))


def fits(
    *,
    width_mm: float | None = None,
    door_mm: float | None = None,
    mains_volts: Collection[int] = (),
    volts_here: int | None = None,
    grams: float | None = None,
) -> Gate:
    """Return whether a piece passes the narrowest door on its way and takes the mains of the place.

    mains_volts: what its plate says, empty where it needs none or nobody has read it. A heavy piece passes with the
    advice to carry it by two: the figure is a guide of the NIOSH lifting equation, not a limit of law.
    """
    if width_mm is not None and door_mm is not None and width_mm >= door_mm:
        return Gate(
            "fits",
            FAIL,
            _("It is {width} wide and the door {door}.", width=Millimeters(width_mm), door=Millimeters(door_mm)),
        )
    if mains_volts and volts_here is not None and not any(abs(v - volts_here) <= 0.1 * v for v in mains_volts):
        return Gate("fits", FAIL, _("Its plate does not name {volts} V.", volts=volts_here), "its plate")
    if grams is not None and grams > TWO_PERSON_GRAMS:
        return Gate(
            "fits", PASS, _("It fits; two people or a lifting aid carry it."), "NIOSH lifting equation, a guide"
        )
    return Gate("fits", PASS, _("Nothing recorded keeps it out."))


def worst(gates: Sequence[Gate]) -> str:
    """Return the result of all gates together: fail over depends over pass."""
    results = {gate.result for gate in gates}
    return next((result for result in (FAIL, DEPENDS) if result in results), PASS)


def gates_for(fate: str, piece: Standing, around: Around) -> tuple[Gate, ...]:
    """Return the gates that a fate has to pass; none for a fate that takes no decision about the piece's use.

    To be used here: legal, safe, ours to use, complete. To be handed on: legal, safe, ours to dispose of. To be
    scrapped: ours to dispose of. Back to its owner, staying with the building and undecided pass unasked.
    """
    ours = ours_to_dispose(
        piece.bond, around.on, until=piece.bond_until, owner=piece.owner, never_sell=piece.never_sell
    )
    if fate in SCRAPPED:
        return (ours,)
    if fate in HANDED_ON:
        return (*_legal_of(piece, around), safe(piece.condition), ours)
    if fate in USED:
        to_use = ours_to_use(piece.bond, owner=piece.owner)
        return (*_legal_of(piece, around), safe(piece.condition), to_use, complete(piece.missing))
    return ()


def _legal_of(piece: Standing, around: Around) -> tuple[Gate, ...]:
    if not piece.radio_use:
        return ()
    gate = legal(
        around.country,
        piece.band_khz,
        around.on,
        use=piece.radio_use,
        local_channels=around.local_channels,
        region=around.region,
    )
    return (gate,)
