"""Which two rows may be the same thing: evidence in bits, never a merge.

Match weight after Fellegi and Sunter (1969): the sum over fields of log2(m / u) where they agree and
log2((1 - m) / (1 - u)) where they do not; m: how often a field agrees for one thing listed twice, u: for two things.
Candidates come from blocks (same serial, end of serial, model, words of the description), never from all pairs.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from math import log2
from typing import Any

from inventory.compute.gear_words import NOUNS, ROOM_WORDS, STOP, singular
from inventory.compute.serials import distance_is_one, serial_key, steps_by_one

ONE_PIECE = "one piece"
TWO_PIECES = "two pieces"
LOT_OVERLAPS = "lot overlaps"
HALVES = "halves of a pair"

SUGGEST, ASK = 8.0, 2.0
# field -> (m, u); serial and model as in the worked example of the documentation, the others common practice.
M_U = {
    "serial": (0.95, 0.001),
    "model": (0.9, 0.02),
    "maker": (0.9, 0.1),
    "words": (0.8, 0.05),
    "year": (0.8, 0.15),
    "price": (0.6, 0.05),
}
MAX_BLOCK = 60
# Words that say the same thing (common practice).
SAME_WORDS = {
    "loudspeaker": "speaker",
    "microphone": "mic",
    "mike": "mic",
    "amplifier": "amp",
    "television": "tv",
    "console": "desk",
    "mixer": "desk",
    "board": "desk",
    "switcher": "mixer-vision",
    "vision": "mixer-vision",
    "aerial": "antenna",
    "stagebox": "stagebox",
    "subwoofer": "sub",
    "fixture": "light",
    "fresnel": "light",
    "spot": "light",
    "spotlight": "light",
    "wireless": "radio",
    "lead": "cable",
    "cord": "cable",
    "pc": "computer",
    "laptop": "computer",
    "display": "tv",
    "keyboard": "piano",
    "snake": "multicore",
    "lamp": "light",
}
_IDLE = """
way channel port inch in on for at with powered passive active digital analog analogue black small large big
pair set box lot kit old new the
"""
IDLE_WORDS = frozenset(_IDLE.split())


@dataclass(frozen=True)
class TwinRow:
    """A row or a stored piece, as far as comparing needs it."""

    key: str  # any name the caller can find it again by
    site: str  # code of the site, or the list it stands on when no site is known
    source: str  # list and sheet; '' for a stored piece
    fields: Mapping[str, Any]  # as RowDraft.fields
    row: int = 0  # position in the source, 0 when unknown
    note: str = ""  # further text of the row
    flags: tuple[str, ...] = ()  # as RowDraft.flags

    @cached_property
    def serials(self) -> tuple[str, ...]:
        """Comparable serials."""
        text = str(self.fields.get("serial_key") or serial_key_list(str(self.fields.get("serial") or "")))
        return tuple(part for part in text.split(";") if part)

    @cached_property
    def model(self) -> str:
        """Comparable model."""
        return serial_key(str(self.fields.get("model") or ""))

    @cached_property
    def heads(self) -> frozenset[str]:
        """What the serials begin with, where a dash divides them: often the model."""
        parts = str(self.fields.get("serial") or "").split(";")
        heads = (serial_key(part.split("-")[0]) for part in parts if "-" in part)
        return frozenset(head for head in heads if len(head) >= 3 and re.search(r"\d", head))

    @cached_property
    def maker(self) -> str:
        """Comparable maker."""
        return str(self.fields.get("maker") or "").casefold().strip()

    @cached_property
    def words(self) -> frozenset[str]:
        """Words of the description, plurals and synonyms taken together."""
        return frozenset(trade_words(str(self.fields.get("what") or "")))

    @cached_property
    def quantity(self) -> int:
        """How many, 1 when not known."""
        value = self.fields.get("quantity")
        return value if isinstance(value, int) and value > 0 else 1

    @cached_property
    def codes(self) -> frozenset[str]:
        """Everything in the row that could be a serial or a model, for rows that name it in prose."""
        text = f"{self.fields.get('what') or ''} {self.note}"
        tokens = re.findall(r"[A-Za-z0-9][A-Za-z0-9-]*\d[A-Za-z0-9-]*", text)
        return frozenset(serial_key(token) for token in tokens if len(token) > 1)


def serial_key_list(text: str) -> str:
    """Return the comparable forms of serials divided by ';'."""
    return ";".join(serial_key(part) for part in text.split(";"))


def trade_words(text: str) -> set[str]:
    """Return the words of a description that can be compared, plurals and synonyms taken together."""
    plain = re.sub(r"\bstage ?box\b", "stagebox", text.lower())
    plain = re.sub(r"\b(?:video|vision) (?:mixer|switcher|desk)\b", "switcher", plain)
    found = set()
    for word in re.findall(r"[a-zäöüß]{2,}", plain):
        word = singular(word)
        if word not in STOP and word not in IDLE_WORDS:
            found.add(SAME_WORDS.get(word, word))
    return found


@dataclass(frozen=True)
class TwinSuggestion:
    """Two rows a person should look at, and why."""

    key_a: str
    key_b: str
    bits: float
    verdict_hint: str  # one of the four words above
    evidence: tuple[str, ...]  # sentences


def weight(name: str, agree: bool) -> float:
    """Return the evidence of one field in bits."""
    m, u = M_U[name]
    return log2(m / u) if agree else log2((1 - m) / (1 - u))


def suggest(rows: Sequence[TwinRow]) -> list[TwinSuggestion]:
    """Return pairs worth a look, strongest first: above 8 bits a suggestion, from 2 to 8 a question, nothing below.

    Rows are compared only inside blocks; a block of more than 60 rows is cut to neighbors, so the work grows with the
    number of rows, not with its square.
    """
    found: dict[tuple[int, int], TwinSuggestion] = {}
    for left, right in _candidates(rows):
        suggestion = compare(rows[left], rows[right])
        if suggestion is not None:
            found[left, right] = suggestion
    for left, right, suggestion in _overlaps(rows):
        found[left, right] = suggestion
    kept = _strongest(found)
    return sorted(kept, key=lambda each: (-each.bits, each.key_a, each.key_b))


def _strongest(found: dict[tuple[int, int], TwinSuggestion]) -> list[TwinSuggestion]:
    """Drop weak pairs of a row that has a strong one: one question instead of ten."""
    best: dict[int, float] = defaultdict(float)
    for pair, suggestion in found.items():
        for at in pair:
            best[at] = max(best[at], suggestion.bits)
    return [
        suggestion
        for pair, suggestion in found.items()
        if suggestion.bits >= SUGGEST
        or suggestion.verdict_hint == TWO_PIECES
        or all(suggestion.bits >= best[at] - 1 for at in pair)
    ]


def _candidates(rows: Sequence[TwinRow]) -> Iterable[tuple[int, int]]:
    blocks: dict[str, list[int]] = defaultdict(list)
    for at, row in enumerate(rows):
        for name in _block_names(row):
            blocks[name].append(at)
    seen: set[tuple[int, int]] = set()
    for name, members in blocks.items():
        if len(members) < 2:
            continue
        if len(members) <= MAX_BLOCK:
            pairs: Iterable[tuple[int, int]] = combinations(members, 2)
        elif name.startswith(("serial", "tail")):
            pairs = ((a, b) for at, a in enumerate(members) for b in members[at + 1 : at + 8])
        else:
            pairs = pairwise(members)
        for pair in pairs:
            if pair not in seen:
                seen.add(pair)
                yield pair


def _block_names(row: TwinRow) -> set[str]:
    names = {f"serial {serial}" for serial in row.serials}
    names |= {f"tail {serial[-4:]}" for serial in row.serials if len(serial) >= 4}
    names |= {f"tail {code[-4:]}" for code in row.codes if len(code) >= 4 and code[-4:].isdigit()}
    names |= {f"serial {code}" for code in row.codes if len(code) >= 3}
    if row.model:
        names.add(f"model {row.model}")
    names |= {f"model {code}" for code in row.codes | (frozenset() if row.model else row.heads)}
    if not row.serials or not row.model:
        nouns = sorted(row.words)
        names |= {f"words {a} {b}" for a, b in combinations(nouns[:6], 2)}
        names |= {f"word {word}" for word in nouns if word in NOUNS or word in ("stagebox", "mixer-vision")}
    else:
        names |= {f"words {a} {b}" for a, b in combinations(sorted(row.words)[:6], 2)}
        names |= {f"word {word}" for word in row.words if word in NOUNS or word in ("stagebox", "mixer-vision")}
    return names


def compare(left: TwinRow, right: TwinRow) -> TwinSuggestion | None:
    """Return what speaks for the two rows being one thing, None when little does."""
    same_list = left.source == right.source and bool(left.source)
    neighbors = same_list and abs(left.row - right.row) == 1
    special = _filled_down(left, right, neighbors) or _halves(left, right, neighbors)
    if special:
        return special
    bits, evidence, serial = 0.0, list[str](), _serials_agree(left, right)
    if serial is not None:
        bits += weight("serial", serial)
        evidence.append(_serial_sentence(left, right, serial))
    if serial is False:
        near = _near_serials(left, right)
        return _near(left, right, near) if near else None
    bits += _field_bits(left, right, evidence)
    if serial is None and neighbors and not _models_agree(left, right) and left.words != right.words:
        return None
    if serial is None and not neighbors:
        if same_list:
            return None  # a list rarely names a thing twice far apart without saying so
        bits += _hints(left, right, evidence) or -3.0  # two churches often own the same model
    if bits < ASK or not evidence:
        return None
    return TwinSuggestion(left.key, right.key, round(bits, 1), _hint(left, right, serial, same_list), tuple(evidence))


def _hint(left: TwinRow, right: TwinRow, serial: bool | None, same_list: bool) -> str:
    """Same list without serials: most likely two alike; otherwise one thing listed twice, or a lot that holds it."""
    counts = [(each.quantity, len(each.serials)) for each in (left, right) if each.serials]
    if serial and len(counts) == 2 and counts[0] != counts[1]:
        return LOT_OVERLAPS
    return TWO_PIECES if same_list and serial is None else ONE_PIECE


def _serials_agree(left: TwinRow, right: TwinRow) -> bool | None:
    """True: they share a serial; False: both have other ones; None: one of them has none."""
    a, b = set(left.serials), set(right.serials)
    if a & b:
        return True
    if a and b:
        noughts = {x.lstrip("0") for x in a} & {x.lstrip("0") for x in b} and "SERIAL_ZERO" in left.flags + right.flags
        return bool(noughts) or any(_tail(x, y) for x in a for y in b)
    if a and any(code == x or _tail(code, x) for x in a for code in right.codes):
        return True
    if b and any(code == x or _tail(code, x) for x in b for code in left.codes):
        return True
    return None


def _tail(a: str, b: str) -> bool:
    """True when one is the end of the other, three signs or more: 017733 of P12A017733."""
    short, long = sorted((a, b), key=len)
    return 3 <= len(short) < len(long) and long.endswith(short) and (len(short) >= 4 or len(long) - len(short) <= 4)


def _serial_sentence(left: TwinRow, right: TwinRow, agree: bool) -> str:
    shared = set(left.serials) & set(right.serials)
    if agree and shared:
        return f"Both carry serial {sorted(shared)[0]}."
    if agree:
        return "The serial of one stands in the other, at least its end."
    return f"Their serials differ: {', '.join(left.serials[:2])} and {', '.join(right.serials[:2])}."


def _near_serials(left: TwinRow, right: TwinRow) -> tuple[str, str] | None:
    if left.model and right.model and left.model != right.model:
        return None
    if len(left.serials) != 1 or len(right.serials) != 1:
        return None
    a, b = left.serials[0], right.serials[0]
    return (a, b) if len(a) >= 5 and distance_is_one(a, b) else None


def _near(left: TwinRow, right: TwinRow, near: tuple[str, str]) -> TwinSuggestion | None:
    """Serials one sign apart: on one site two units, on different sites perhaps one read wrongly."""
    alike = left.maker == right.maker or not (left.maker and right.maker)
    if not alike:
        return None
    if left.site == right.site:
        return _two_units(left, right, near)
    described = left.words & right.words or (left.model and left.model == right.model)
    if steps_by_one(*near) and not described:
        return None
    bits = weight("serial", True) / 2 + (weight("model", True) if left.model and left.model == right.model else 0)
    text = f"Their serials {near[0]} and {near[1]} differ by one sign, and they stand on different sites."
    return TwinSuggestion(left.key, right.key, round(bits, 1), ONE_PIECE, (text,)) if bits >= ASK else None


def _two_units(left: TwinRow, right: TwinRow, near: tuple[str, str]) -> TwinSuggestion | None:
    """Serials one apart on one site are two units; worth a word only where the rows name them differently."""
    if not left.model or left.model != right.model or left.words == right.words or not steps_by_one(*near):
        return None
    text = f"Their serials {near[0]} and {near[1]} follow each other on one site: two units, though named differently."
    return TwinSuggestion(left.key, right.key, ASK + 1, TWO_PIECES, (text,))


def _field_bits(left: TwinRow, right: TwinRow, evidence: list[str]) -> float:
    bits = 0.0
    model = _models_agree(left, right)
    if model is not None:
        bits += weight("model", model)
        evidence.extend([f"Both are model {left.fields.get('model') or right.fields.get('model')}."] if model else [])
    maker = _makers_agree(left, right)
    if maker is not None:
        bits += weight("maker", maker)
        name = left.fields.get("maker") or right.fields.get("maker")
        evidence.extend([f"Both are made by {name}."] if maker else [])
    if left.words and right.words:
        shared = left.words & right.words
        share = len(shared) / min(len(left.words), len(right.words))
        bits += weight("words", True) * share if share >= 0.5 else weight("words", False)
        evidence.extend([f"Both are described as {', '.join(sorted(shared))}."] if share >= 0.5 else [])
    for name, field in (("year", "year"), ("price", "price_minor")):
        a, b = left.fields.get(field), right.fields.get(field)
        if a and b:
            bits += weight(name, a == b) if a == b or name == "year" else -0.5
    if left.quantity != right.quantity:
        bits -= 1.5
    elif left.quantity > 2:
        bits += 3
        evidence.append(f"Both are lots of {left.quantity}.")
    return bits


def _makers_agree(left: TwinRow, right: TwinRow) -> bool | None:
    """True or False where both have a maker, True where the maker of one stands in the words of the other."""
    if left.maker and right.maker:
        return left.maker == right.maker
    named = (left.maker and left.maker in right.words) or (right.maker and right.maker in left.words)
    return True if named else None


def _models_agree(left: TwinRow, right: TwinRow) -> bool | None:
    if left.model and right.model:
        heads = [serial_key(str(each.fields["model"]).split("-")[0]) for each in (left, right)]
        return left.model == right.model or left.model == heads[1] or right.model == heads[0]
    if (left.model and left.model in right.codes) or (right.model and right.model in left.codes):
        return True
    if (not left.model and right.model in left.heads) or (not right.model and left.model in right.heads):
        return True  # many makers begin a serial with the model (common practice)
    return None


PLACE_HINT = re.compile(
    r"\b(?:(?i:borrowed|lent|lends?|loan\w*|came (?:from|over)|went to|moved|already|theirs|not ours|back to|"
    r"has (?:it|them|one)|took (?:it|them)|serviced)|at [A-Z]\w+|from [A-Z]\w+)\b"
)


def _hints(left: TwinRow, right: TwinRow, evidence: list[str]) -> float:
    """Words that say a thing has moved or been lent, and names that stand in both rows."""
    bits = 0.0
    texts = [f"{each.fields.get('place') or ''} {each.note} {each.fields.get('what') or ''}" for each in (left, right)]
    if any(PLACE_HINT.search(text) for text in texts):
        bits += 2.0
        evidence.append("One of them says that it was lent or moved.")
    names = [set(re.findall(r"\b[A-Z][a-z]{2,}\b(?!:)", text)) for text in texts]
    plain = left.words | right.words | {left.maker, right.maker}
    shared = {name for name in names[0] & names[1] if name.casefold() not in plain and not ROOM_WORDS.match(name)}
    if shared:
        bits += 3.0
        evidence.append(f"Both mention {sorted(shared)[0]}.")
    return bits


def _filled_down(left: TwinRow, right: TwinRow, neighbors: bool) -> TwinSuggestion | None:
    """The same serial on consecutive rows: more likely two pieces and a serial filled down."""
    if not neighbors or not left.serials or left.serials != right.serials:
        return None
    if not left.model or left.model != right.model or "SERIAL_COPY" not in left.flags + right.flags:
        return None
    text = f"Serial {left.serials[0]} stands on two rows one below the other; it may have been filled down."
    return TwinSuggestion(left.key, right.key, round(weight("serial", True), 1), TWO_PIECES, (text,))


def _halves(left: TwinRow, right: TwinRow, neighbors: bool) -> TwinSuggestion | None:
    """Two rows that step by one and share one price for the pair."""
    if not neighbors or left.maker != right.maker or not left.words & right.words:
        return None
    codes = (left.serials[:1] or (left.model,)) + (right.serials[:1] or (right.model,))
    if len(codes) != 2 or not all(codes) or not steps_by_one(*codes):
        return None
    per = {each.fields.get("price_per") for each in (left, right) if each.fields.get("price_minor")}
    priced = [each for each in (left, right) if each.fields.get("price_minor")]
    if len(priced) != 1 or per != {"all"}:
        return None
    text = "Their numbers follow each other and one price stands for the pair."
    return TwinSuggestion(left.key, right.key, 8.5, HALVES, (text,))


def _overlaps(rows: Sequence[TwinRow]) -> Iterable[tuple[int, int, TwinSuggestion]]:
    """A lot that seems to count single rows of the same list again."""
    singles: dict[tuple[str, str], list[int]] = defaultdict(list)
    lots: dict[tuple[str, str], list[int]] = defaultdict(list)
    for at, row in enumerate(rows):
        model = row.model
        if model and row.source:
            (singles if row.quantity == 1 and row.serials else lots)[row.source, model].append(at)
    for name, lot_rows in lots.items():
        members = singles.get(name, [])
        for lot in lot_rows:
            if len(members) < 1 or rows[lot].quantity < 2:
                continue
            yield from _lot_pairs(rows, lot, members)


def _lot_pairs(rows: Sequence[TwinRow], lot: int, members: list[int]) -> Iterable[tuple[int, int, TwinSuggestion]]:
    shared = [at for at in members if set(rows[at].serials) & set(rows[lot].serials)]
    bare = not rows[lot].serials and rows[lot].quantity >= len(members) > 1
    for at in shared or (members if bare else []):
        if len(members) > MAX_BLOCK:
            return
        left, right = sorted((at, lot))
        text = f"The lot of {rows[lot].quantity} of the same model may count this one again."
        yield left, right, TwinSuggestion(rows[left].key, rows[right].key, 6.0 if bare else 9.9, LOT_OVERLAPS, (text,))
