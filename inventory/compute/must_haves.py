"""Must-haves as data, the facts of a piece read from its words, and whether the one meets the other.

Reading is conservative: a clause that is not understood stays a clause for a person to judge, a fact that is not said
is unknown, and unknown is a doubt, never a refusal.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from people.compute.sentences import Grams, Millimeters, Sentence
from people.compute.sentences import sentence as _

Value = float | bool | tuple[int, int]
Facts = Mapping[str, Value]

UNITS = {  # attribute: unit shown; the word of the attribute is its key with spaces
    "inputs": "",
    "outputs": "",
    "channels": "",
    "mix_buses": "",
    "ports": "",
    "powered_ports": "",
    "network_ports": "",
    "sources": "",
    "feeds": "",
    "ways": "",
    "universes": "",
    "amplifier_channels": "",
    "watts_a_channel": "W",
    "lumens": "lm",
    "diagonal_in": "in",
    "driver_in": "in",
    "drivers": "",
    "width_mm": "mm",
    "kg": "kg",
    "rack_units": "U",
    "degrees_wide": "degrees",
    "peak_db": "dB",
    "band_khz": "kHz",
    "legal_band": "",
    "led": "",
    "robotic": "",
    "hdmi": "",
    "sdi": "",
    "managed": "",
}
LABELS = {  # where the attribute's own words would not read well
    "mix_buses": _("mix buses"),
    "watts_a_channel": _("watts a channel"),
    "diagonal_in": _("diagonal in inches"),
    "driver_in": _("driver in inches"),
    "width_mm": _("width"),
    "kg": _("mass"),
    "degrees_wide": _("degrees wide"),
    "peak_db": _("peak level in dB"),
    "band_khz": _("radio range"),
    "legal_band": _("legal here"),
    "led": "LED",
    "hdmi": "HDMI",
    "sdi": "SDI",
}
STANDS_FOR = {  # an attribute not said may follow from another of the same kind of thing
    "console": {"inputs": "channels", "channels": "inputs"},
    "video router": {"sources": "inputs", "feeds": "outputs"},
    "antenna splitter": {"ways": "outputs"},
    "power sequencer": {"ways": "outputs"},
}
KG_A_POUND = 0.45359237
MM_AN_INCH = 25.4
NUMBER_WORDS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
NUMBER = rf"(\d{{1,3}}(?:,\d{{3}})+|\d+(?:\.\d+)?|{'|'.join(NUMBER_WORDS)})"
AT_LEAST = re.compile(r"≥|>=|\bor more\b|\bat least\b|\bmin(imum)?\b")
AT_MOST = re.compile(r"≤|<=|\bor less\b|\bat most\b|\bmax(imum)?\b|\bup to\b")
COUNTED = (  # attribute, what follows the number
    ("mix_buses", r"(?:mix(?:es)?)[ -]?bus(?:es|ses)?"),
    ("powered_ports", r"powered ports?"),
    ("network_ports", r"network ports?"),
    ("ports", r"ports?"),
    ("lumens", r"(?:ansi )?(?:lm|lumens?)(?:/ansi)?"),
    ("inputs", r"(?:hdmi |sdi |mic |mic/line )?inputs?"),
    ("outputs", r"(?:display |hdmi |sdi |video )?outputs?"),
    ("channels", r"(?:ch|channels?)"),
    ("sources", r"sources?"),
    ("feeds", r"(?:distinct )?feeds?"),
    ("ways", r"ways?"),
    ("universes", r"universes?"),
    ("rack_units", r"u"),
    ("degrees_wide", r"(?:degrees?|°)(?: wide)?"),
    ("peak_db", r"db(?: peak)?"),
)
COUNT_PATTERNS = tuple((key, re.compile(rf"{NUMBER}[ -]?(?:{words})(?![\w])")) for key, words in COUNTED)
BAND = re.compile(r"(\d+(?:\.\d+)?) ?(?:-|–|to) ?(\d+(?:\.\d+)?) ?mhz")
SHARED_BANDS = {"2.4": (2_400_000, 2_483_500), "5.8": (5_725_000, 5_850_000)}  # GHz as printed -> kHz
FLAGS = {"led": "led", "robotic": "robotic", "hdmi": "hdmi", "sdi": "sdi", "managed": "managed"}

DENIED = {"halogen": "led", "unmanaged": "managed"}


@dataclass(frozen=True)
class MustHave:
    """One must-have: an attribute, an operator and the value in the unit of the attribute."""

    attribute: str
    operator: str  # 'at least', 'at most', 'is' or 'has' (a flag, or a range that covers the value)
    value: Value
    words: str = ""  # the clause as written

    @property
    def unit(self) -> str:
        return UNITS.get(self.attribute, "")


OPERATORS = ("at least", "at most", "is", "has")


def must_from(attribute: str, operator: str, value: str, words: str = "") -> MustHave:
    """Return a must-have from its stored texts. Raises ValueError for an unknown operator or an unread value."""
    read = value_from(value)
    if operator not in OPERATORS or read is None:
        raise ValueError(f"{attribute} {operator} {value} is not a must-have.")
    return MustHave(attribute, operator, read, words)


def value_from(text: str) -> Value | None:
    """Return a stored value: yes, no, a number or a range "536000-560000"; None where it is none of these."""
    plain = text.strip().lower().replace(",", "")
    if plain in ("yes", "no"):
        return plain == "yes"
    if found := re.fullmatch(r"(\d+)-(\d+)", plain):
        return int(found[1]), int(found[2])
    return _number(plain) if re.fullmatch(r"-?\d+(\.\d+)?", plain) else None


@dataclass(frozen=True)
class MustHaves:
    """What a text asks for: as data, and the clauses left for a person to judge."""

    known: tuple[MustHave, ...]
    to_judge: tuple[str, ...]


@dataclass(frozen=True)
class Met:
    """Whether a piece meets a must-have: True, False, or None for not known; and why."""

    must: MustHave
    met: bool | None
    say: Sentence


def read_must_haves(text: str) -> MustHaves:
    """Return the must-haves of a text like "24 inputs or more, 12 mix buses or more, seen by volunteers before"."""
    known: list[MustHave] = []
    to_judge: list[str] = []
    for clause in re.split(r";|,(?!\d{3}\b)", text):
        words = clause.strip()
        found = _clause(words.lower(), words)
        known += found
        if words and not found and words.lower() != "any":
            to_judge.append(words)
    return MustHaves(tuple(known), tuple(to_judge))


def _clause(text: str, words: str) -> list[MustHave]:
    """Return the must-haves of one clause, in small letters; none where it is not wholly a known form."""
    operator = "at most" if AT_MOST.search(text) else "at least"
    bare = " ".join(AT_MOST.sub(" ", AT_LEAST.sub(" ", text)).split())
    if bare in ("legal band", "legal here"):
        return [MustHave("legal_band", "is", True, words)]
    if found := re.fullmatch(rf"(?:covers )?{BAND.pattern}", bare):
        return [MustHave("band_khz", "has", _khz(found[1], found[2]), words)]
    if found := re.fullmatch(rf"{NUMBER} ?[x×] ?{NUMBER} ?w", bare):
        return _both("amplifier_channels", found[1], "watts_a_channel", found[2], operator, words)
    if found := re.fullmatch(rf"{NUMBER} ?in ?/ ?{NUMBER} ?out", bare):
        return _both("inputs", found[1], "outputs", found[2], operator, words)
    if found := re.fullmatch(rf"{NUMBER} ?[x×] ?{NUMBER} channels", bare):
        return [MustHave("channels", operator, _number(found[1]), words)]
    return _measure(bare, operator, words) or _count(bare, operator, words) or _flags(bare, words)


def _both(one: str, one_text: str, other: str, other_text: str, operator: str, words: str) -> list[MustHave]:
    return [
        MustHave(one, operator, _number(one_text), words),
        MustHave(other, operator, _number(other_text), words),
    ]


def _measure(bare: str, operator: str, words: str) -> list[MustHave]:
    """Return a must-have of mass, width, driver or diagonal."""
    if found := re.fullmatch(rf"{NUMBER} ?(lb|lbs|kg)", bare):
        kg = _number(found[1]) * (1 if found[2] == "kg" else KG_A_POUND)
        return [MustHave("kg", operator, round(kg, 3), words)]
    if found := re.fullmatch(rf"{NUMBER} ?(in|mm|cm|m) wide", bare):
        return [MustHave("width_mm", operator, _mm(found[1], found[2]), words)]
    if found := re.fullmatch(rf"single {NUMBER} ?in", bare):
        return [MustHave("drivers", "is", 1, words), MustHave("driver_in", "is", _number(found[1]), words)]
    if found := re.fullmatch(rf"{NUMBER} ?in(?:ch(?:es)?)?", bare):
        return [MustHave("diagonal_in", operator, _number(found[1]), words)]
    return []


def _count(bare: str, operator: str, words: str) -> list[MustHave]:
    for key, pattern in COUNT_PATTERNS:
        if found := pattern.fullmatch(bare):
            return [MustHave(key, operator, _number(found[1]), words)]
    return []


def _flags(bare: str, words: str) -> list[MustHave]:
    """Return flags where the clause holds nothing else: "SDI/HDMI", "LED"."""
    parts = re.split(r"[/ ]+", bare)
    return [MustHave(FLAGS[part], "has", True, words) for part in parts] if all(p in FLAGS for p in parts) else []


def read_facts(kind: str, what: str, note: str = "") -> dict[str, Value]:
    """Return what the words of a piece say: attribute -> value in the attribute's unit.

    kind: as kind_of(what), decides what "in" means (inputs of a mixer, inches of a display). Only the plain forms of
    the trade count; a note adds what the words of the piece leave out.
    """
    facts = _facts(kind, what.lower())
    return {**_facts(kind, note.lower()), **facts} if note else facts


def _facts(kind: str, text: str) -> dict[str, Value]:
    facts: dict[str, Value] = {}
    for key, pattern in COUNT_PATTERNS:
        if found := pattern.search(text):
            facts.setdefault(key, _number(found[1]))
    for part, key in FLAGS.items():
        if re.search(rf"\b{part}\b", text):
            facts[key] = True
    for part, key in DENIED.items():
        if re.search(rf"\b{part}\b", text):
            facts[key] = False
    facts |= _ways_in_and_out(kind, text) | _sizes(kind, text)
    if found := re.search(rf"{NUMBER} ?[x×] ?{NUMBER} ?w\b", text):
        facts |= {"amplifier_channels": _number(found[1]), "watts_a_channel": _number(found[2])}
    if band := read_band(text):
        facts["band_khz"] = band
    return facts


def _ways_in_and_out(kind: str, text: str) -> dict[str, Value]:
    if found := re.search(rf"{NUMBER} ?in ?/ ?{NUMBER} ?out\b", text):
        return {"inputs": _number(found[1]), "outputs": _number(found[2])}
    if kind in ("stage box", "cable") and (found := re.search(r"\b(\d+)/(\d+)\b", text)):
        return {"inputs": _number(found[1]), "outputs": _number(found[2])}
    if kind == "console" and (found := re.search(rf"{NUMBER} ?in\b(?! ?wide)", text)):
        return {"inputs": _number(found[1])}
    return {}


def _sizes(kind: str, text: str) -> dict[str, Value]:
    sizes: dict[str, Value] = {}
    if found := re.search(rf"{NUMBER} ?(in|mm|cm|m) wide", text):
        sizes["width_mm"] = _mm(found[1], found[2])
        text = text.replace(found[0], " ")
    if kind in ("display", "desk monitor") and (found := re.search(rf"{NUMBER} ?(?:in|\"|inch)(?![\w])", text)):
        sizes["diagonal_in"] = _number(found[1])
    if kind.endswith(("loudspeaker", "subwoofer", "wedge")):
        sizes |= _drivers(text)
    return sizes


def _drivers(text: str) -> dict[str, Value]:
    if found := re.search(rf"{NUMBER} ?[x×] ?{NUMBER} ?in\b", text):
        return {"drivers": _number(found[1]), "driver_in": _number(found[2])}
    if found := re.search(rf"{NUMBER} ?in\b", text):
        return {"drivers": 1, "driver_in": _number(found[1])}
    return {}


def read_band(text: str) -> tuple[int, int] | None:
    """Return the radio range in kHz that words name: "536-560 MHz" or a shared band as "2.4 GHz"; None for none."""
    low_text = text.lower()
    if (found := BAND.search(low_text)) and float(found[1]) < float(found[2]):
        return _khz(found[1], found[2])
    if found := re.search(r"\b(2\.4|5\.8) ?ghz\b", low_text):
        return SHARED_BANDS[found[1]]
    return None


def units_in(what: str, quantity: int) -> int:
    """Return how many a need can count in a piece or lot: a receiver "with 4 handhelds" counts as four."""
    if found := re.search(rf"\bwith {NUMBER} (?:hand.?helds?|headsets?|packs?|receivers?)\b", what.lower()):
        return quantity * int(_number(found[1]))
    return quantity


def judge(must: MustHave, facts: Facts, kind: str = "") -> Met:
    """Return whether the facts meet a must-have. A fact that is not said, and does not follow, is None: a doubt."""
    has = facts.get(must.attribute)
    if has is None and (other := STANDS_FOR.get(kind, {}).get(must.attribute)):
        has = facts.get(other)
    return _judged(must, has)


@lru_cache(maxsize=4096)
def _judged(must: MustHave, has: Value | None) -> Met:
    name = LABELS.get(must.attribute, must.attribute.replace("_", " "))
    asked = must.words or _shown(must.attribute, must.value)
    if has is None:
        return Met(must, None, _("{what} not recorded; asked: {asked}", what=name, asked=asked))
    shown = _shown(must.attribute, has)
    if _compare(has, must):
        return Met(must, True, _("{what}: {has}, as asked: {asked}", what=name, has=shown, asked=asked))
    return Met(must, False, _("{what}: {has}; asked: {asked}", what=name, has=shown, asked=asked))


def _compare(has: Value, must: MustHave) -> bool:
    if isinstance(has, tuple) or isinstance(must.value, tuple):
        if not (isinstance(has, tuple) and isinstance(must.value, tuple)):
            return False
        return has[0] <= must.value[0] and must.value[1] <= has[1]
    if must.operator == "at least":
        return has >= must.value
    if must.operator == "at most":
        return has <= must.value
    return has == must.value


def judge_all(musts: Sequence[MustHave], facts: Facts, kind: str = "") -> list[Met]:
    """Return one verdict a must-have, in their order."""
    return [judge(must, facts, kind) for must in musts]


def _shown(attribute: str, value: Value) -> object:
    """Return a value ready to be written in the country's way."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, tuple):
        return f"{value[0] / 1000:g}-{value[1] / 1000:g} MHz"
    if attribute == "kg":
        return Grams(value * 1000)
    if attribute == "width_mm":
        return Millimeters(value)
    return int(value) if value == int(value) else value


def _number(text: str) -> float:
    if text in NUMBER_WORDS:
        return NUMBER_WORDS.index(text) + 1
    value = float(text.replace(",", ""))
    return int(value) if value.is_integer() else value


def _khz(low: str, high: str) -> tuple[int, int]:
    return round(float(low) * 1000), round(float(high) * 1000)


def _mm(text: str, unit: str) -> int:
    return round(_number(text) * {"in": MM_AN_INCH, "mm": 1, "cm": 10, "m": 1000}[unit])
