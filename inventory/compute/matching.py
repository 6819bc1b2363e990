"""Which piece fills which need: gates first, then the best assignment; sets that must stay together stay together."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from inventory.compute.assignment import Assignment, best_assignment
from inventory.compute.gates import FAIL, PASS, Gate, free_when_needed, worst
from inventory.compute.kinds import accepts, kind_of
from inventory.compute.must_haves import Facts, Met, MustHave, judge_all, read_must_haves
from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

__all__ = ["Assignment", "best_assignment", "match_needs"]

# What counts how much, out of one. Source: ours; the lead may change them.
WEIGHTS: dict[str, float] = {
    "condition": 0.20,
    "fit": 0.25,
    "volunteers": 0.20,
    "age": 0.10,
    "parts": 0.10,
    "sameness": 0.10,
    "running": 0.05,
}
CONDITION_SCORE = {"tested good": 1.0, "works, marked": 0.8, "not yet tested": 0.5, "faulty": 0.25}
UNKNOWN_SCORE = 0.5  # a criterion nobody has judged stands in the middle
BESIDE = (  # named together, the plain word means the exact one
    ("lectern", "microphone", "lectern microphone"),
    ("combiner", "antenna", "transmit antenna"),
)
STANDING = 1e-10  # what stands wins among equals; all units together weigh less than the last digit of a score
ROUNDS = 4  # of assigning again, where a piece that serves one need fell to several
EXPECTED_YEARS = 12  # of life, where the kind of thing has no figure of its own; common practice


@dataclass(frozen=True)
class PieceToMatch:
    """A piece or lot as matching sees it. The caller answers the gates that ask about the piece alone."""

    key: str
    what: str
    units: int = 1
    kind: str = ""  # '' reads it from `what`
    facts: Facts = field(default_factory=dict)
    gates: tuple[Gate, ...] = ()
    scores: Mapping[str, float] = field(default_factory=dict)  # criterion of WEIGHTS -> 0..1; 'fit' is worked out
    busy_until: date | None = None
    busy_at: str = ""


@dataclass(frozen=True)
class NeedToMatch:
    """A need of a room."""

    key: str
    what: str
    units: int = 1
    must_haves: tuple[MustHave, ...] = ()
    kind: str = ""
    needed_from: date | None = None


@dataclass(frozen=True)
class Candidate:
    """A piece of the right kind before a need, with everything that was asked of it."""

    piece: str
    score: float  # 0..1; 0 where a gate fails
    gates: tuple[Gate, ...]  # of the piece, of the pair and one for each must-have
    parts: Mapping[str, float]  # criterion -> 0..1
    result: str  # of all gates together: pass, depends or fail

    @property
    def allowed(self) -> bool:
        return self.result != FAIL

    @property
    def reasons(self) -> tuple[Gate, ...]:
        """Return what speaks against it: the failed gates, or else what it depends on."""
        failed = tuple(gate for gate in self.gates if gate.result == FAIL)
        return failed or tuple(gate for gate in self.gates if gate.result != PASS)


@dataclass(frozen=True)
class Chosen:
    """A piece proposed for a need with so many units."""

    piece: str
    units: int
    candidate: Candidate

    @property
    def score(self) -> float:
        return self.candidate.score


@dataclass(frozen=True)
class NeedMatch:
    """What fills a need, what comes next, and why the others do not."""

    need: str
    kind: str
    chosen: tuple[Chosen, ...]
    runner_up: Candidate | None  # the best allowed one that nothing else has taken
    margin: float | None  # lowest chosen score less that of the runner-up
    unmet: int
    candidates: tuple[Candidate, ...]  # allowed ones, best first
    rejected: tuple[Candidate, ...]

    @property
    def state(self) -> str:
        """Return 'filled', 'in doubt' (filled, but something depends), 'short' or 'empty'."""
        if not self.chosen:
            return "empty"
        if self.unmet:
            return "short"
        return "in doubt" if any(chosen.candidate.reasons for chosen in self.chosen) else "filled"


@dataclass(frozen=True)
class Match:
    """The whole answer. `to_buy`: need -> units that no stock fills."""

    needs: dict[str, NeedMatch]
    total: float
    weights: Mapping[str, float]

    @property
    def to_buy(self) -> dict[str, int]:
        return {key: match.unmet for key, match in self.needs.items() if match.unmet}

    @property
    def taken(self) -> dict[str, dict[str, int]]:
        """Return piece -> need -> units."""
        taken: dict[str, dict[str, int]] = {}
        for key, match in self.needs.items():
            for chosen in match.chosen:
                taken.setdefault(chosen.piece, {})[key] = chosen.units
        return taken


def match_needs(
    pieces: Sequence[PieceToMatch],
    needs: Sequence[NeedToMatch],
    sets: Iterable[Collection[str]] = (),
    weights: Mapping[str, float] = WEIGHTS,
    *,
    standing: Collection[tuple[str, str]] = (),
    whole: Collection[str] = (),
) -> Match:
    """Return the best filling of the needs from the pieces.

    sets: pieces that fill one need together or none at all (a pair of loudspeakers). A failing gate removes a pair and
    is kept as its reason; a gate that depends lowers the score. Most units are filled first, then the highest total.
    standing: (piece, need) that was chosen before: among equal answers the one that changes least. whole: pieces of
    several units that serve one need only, as a receiver with four handhelds.
    """
    by_kind: dict[str, list[PieceToMatch]] = {}
    for piece in pieces:
        by_kind.setdefault(piece.kind or kind_of(piece.what), []).append(piece)
    before: dict[str, dict[str, Candidate]] = {}
    for need in needs:
        kind = need_kind(need)
        fitting = [piece for one in sorted(accepts(kind)) for piece in by_kind.get(one, ())]
        before[need.key] = {piece.key: _candidate(piece, need, kind, weights) for piece in fitting}
    score = {
        (c.piece, key): c.score + (STANDING if (c.piece, key) in standing else 0)
        for key, found in before.items()
        for c in found.values()
        if c.allowed
    }
    wanted = {need.key: need.units for need in needs}
    available = {piece.key: piece.units for piece in pieces}
    assignment = _assign_whole(score, wanted, available, list(sets), frozenset(whole))
    matches = {need.key: _need_match(need, before[need.key], assignment, available) for need in needs}
    return Match(matches, round(assignment.total, 6), dict(weights))


def _assign_whole(
    score: Mapping[tuple[str, str], float],
    wanted: Mapping[str, int],
    available: Mapping[str, int],
    sets: Sequence[Collection[str]],
    whole: Collection[str],
) -> Assignment[str, str]:
    """Return an assignment in which each `whole` piece serves one need: the one that takes most of it.

    The rest is assigned again; after ROUNDS a piece still shared keeps the need with most of it and no other.
    """
    allowed = dict(score)
    for _round in range(ROUNDS):
        found = assign_sets(allowed, wanted, available, sets)
        given: dict[str, dict[str, int]] = {}
        for (piece, need), units in found.pairs.items():
            if piece in whole:
                given.setdefault(piece, {})[need] = units
        keeper = {piece: max(needs, key=lambda need: needs[need]) for piece, needs in given.items() if len(needs) > 1}
        if not keeper:
            return found
        allowed = {pair: s for pair, s in allowed.items() if keeper.get(pair[0], pair[1]) == pair[1]}
    return assign_sets(allowed, wanted, available, sets)


def need_kind(need: NeedToMatch) -> str:
    """Return the kind a need asks for, by its words or else by a must-have only one kind has."""
    attributes = {must.attribute for must in need.must_haves}
    by_measure = "display" if "diagonal_in" in attributes else "projector" if "lumens" in attributes else ""
    return need.kind or kind_of(need.what) or by_measure


def needs_from_words(key: str, what: str, units: int, must: str) -> list[NeedToMatch]:
    """Return a need as written, or its parts where it names several kinds: "mixer, 2 loudspeakers, 2 wireless mics".

    Parts have the keys N30.1, N30.2 and so on; a clause that names no kind belongs to none of them.
    """
    read = read_must_haves(must)
    known = (*read.known, *(one for one in read_must_haves(what.partition(" with ")[2]).known))
    parts = _parts(what) if kind_of(what) else _parts(", ".join(read.to_judge))
    if len(parts) < 2:
        return [NeedToMatch(key, what, units, known)]
    kinds = [kind_of(words) for _count, words in parts]
    for beside, plain, exact in BESIDE:
        if beside in kinds:
            kinds = [exact if kind == plain else kind for kind in kinds]
    wanted = [
        NeedToMatch(f"{key}.{n}", words, units * count, (), kind)
        for n, ((count, words), kind) in enumerate(zip(parts, kinds, strict=True), 1)
    ]
    first = wanted[0]
    return [NeedToMatch(first.key, first.what, first.units, known, first.kind), *wanted[1:]]


def _parts(text: str) -> list[tuple[int, str]]:
    """Return (count, words) of the kinds of thing a text lists."""
    parts = []
    for words in text.replace(" and ", ", ").split(","):
        first, _space, rest = words.strip().partition(" ")
        number = {"two": 2, "three": 3, "four": 4}.get(first) or (int(first) if first.isdigit() else 0)
        name = rest if number else words.strip()
        if kind_of(name):
            parts.append((number or 1, name))
    return parts


def _candidate(piece: PieceToMatch, need: NeedToMatch, kind: str, weights: Mapping[str, float]) -> Candidate:
    facts = dict(piece.facts)
    legality = next((gate for gate in piece.gates if gate.name == "legal"), None)
    if legality and legality.result != "depends":
        facts["legal_band"] = legality.passed
    free = _free(piece.busy_until, need.needed_from, piece.busy_at)
    asked = tuple(_as_gate(met) for met in judge_all(need.must_haves, facts, kind) if not _is_legality(met, legality))
    gates = (*piece.gates, free, *asked)
    parts = {**dict.fromkeys(weights, UNKNOWN_SCORE), **piece.scores, "fit": fit_score(gates)}
    result = worst(gates)
    return Candidate(piece.key, 0.0 if result == FAIL else weighed(parts, weights), gates, parts, result)


def weighed(parts: Mapping[str, float], weights: Mapping[str, float]) -> float:
    """Return the weighted mean of the criteria, each held within 0 and 1; 0 where nothing weighs anything."""
    whole = sum(weights.values())
    return round(sum(weights[name] * min(1.0, max(0.0, parts[name])) for name in weights) / whole, 6) if whole else 0.0


@lru_cache(maxsize=4096)
def _free(busy_until: date | None, needed_from: date | None, busy_at: str) -> Gate:
    return free_when_needed(busy_until, needed_from, where=busy_at)


def _is_legality(met: Met, legality: Gate | None) -> bool:
    return met.must.attribute == "legal_band" and legality is not None


@lru_cache(maxsize=4096)
def _as_gate(met: Met) -> Gate:
    result = {True: "pass", False: "fail", None: "depends"}[met.met]
    return Gate("must_have", result, met.say, source=met.must.words or met.must.attribute)


def fit_score(gates: Sequence[Gate]) -> float:
    """Return how well the answers fit: 1 where everything passes, half for each that depends, 0 for each that fails."""
    worth = {"pass": 1.0, "depends": 0.5, "fail": 0.0}
    return sum(worth[gate.result] for gate in gates) / len(gates) if gates else 1.0


def condition_score(condition: str) -> float:
    """Return the share of a condition; what does not work or is not there is 0."""
    return CONDITION_SCORE.get(condition, 0.0)


def age_score(bought_year: int | None, today: date, expected_years: int = EXPECTED_YEARS) -> float:
    """Return the share of its life that is left, UNKNOWN_SCORE where the year is not known."""
    if bought_year is None:
        return UNKNOWN_SCORE
    return min(1.0, max(0.0, 1 - (today.year - bought_year) / expected_years))


def _need_match(
    need: NeedToMatch,
    found: Mapping[str, Candidate],
    assignment: Assignment[str, str],
    available: Mapping[str, int],
) -> NeedMatch:
    used: dict[str, int] = {}
    for (piece, _need), units in assignment.pairs.items():
        used[piece] = used.get(piece, 0) + units
    ranked = sorted((c for c in found.values() if c.allowed), key=lambda c: -c.score)
    chosen = tuple(Chosen(c.piece, u, c) for c in ranked if (u := assignment.pairs.get((c.piece, need.key), 0)))
    mine = {one.piece for one in chosen}
    spare = (c for c in ranked if c.piece not in mine and used.get(c.piece, 0) < available[c.piece])
    runner_up = next(spare, None)
    margin = min(c.score for c in chosen) - runner_up.score if chosen and runner_up else None
    rejected = tuple(c for c in found.values() if not c.allowed)
    kind = need_kind(need)
    return NeedMatch(need.key, kind, chosen, runner_up, margin, assignment.unmet[need.key], tuple(ranked), rejected)


def assign_sets(
    score: Mapping[tuple[str, str], float],
    wanted: Mapping[str, int],
    available: Mapping[str, int],
    sets: Iterable[Collection[str]],
) -> Assignment[str, str]:
    """Return the best assignment in which the pieces of each set fill one need together or none at all.

    The optimizer is only called, and only loaded, for the needs and pieces a set couples; the rest is plain.
    """
    coupling = [tuple(dict.fromkeys(one)) for one in sets]
    allowed = {piece for piece, _need in score}
    coupling = [one for one in coupling if len(one) > 1 and any(piece in allowed for piece in one)]
    if not coupling:
        return best_assignment(score, wanted, available)
    from inventory.compute.together import assign_together, coupled

    tied = coupled(score, coupling)
    plain = best_assignment({pair: s for pair, s in score.items() if pair not in tied}, wanted, available)
    bound = assign_together({pair: s for pair, s in score.items() if pair in tied}, wanted, available, coupling)
    pairs = {**plain.pairs, **bound}
    filled: dict[str, int] = dict.fromkeys(wanted, 0)
    for (_piece, need), units in pairs.items():
        filled[need] += units
    unmet = type(plain.unmet)({need: wanted[need] - n for need, n in filled.items() if wanted[need] > n})
    return Assignment(pairs, sum(score[pair] * units for pair, units in pairs.items()), unmet)


def why_not(match: NeedMatch, piece: str) -> Sentence:
    """Return why a piece does not fill a need, in words."""
    for candidate in match.rejected:
        if candidate.piece == piece:
            return candidate.reasons[0].say
    if any(candidate.piece == piece for candidate in match.candidates):
        return _("Another piece fits better, or it does more good elsewhere.")
    return _("It is another kind of thing.")
