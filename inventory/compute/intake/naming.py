"""Maker, model, serial and place out of one description; what binds a piece to an owner."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from dataclasses import dataclass, field

from inventory.compute.gear_words import NOT_MODELS, NOUNS, ROOM_WORDS, STOP, gear_words, looks_like_model
from inventory.compute.serials import serial_key

SERIAL_PHRASE = re.compile(
    r"[,;(]?\s*\b(?:s\s?/\s?n|serial(?: ?(?:no|number|#))?|ser\.? ?(?:no\.?|"
    r"#))\s*[:#.]*\s*(?P<serial>[A-Z0-9]+(?:[- ][A-Z0-9]*\d[A-Z0-9]*)*)\)?",
    re.IGNORECASE,
)
PLACE_CHUNK = re.compile(
    r"^(?:(?:kept|stored|lives|now|is|currently) )?(?:in|at|on|under|behind|inside|beside|near|above|below|by|"
    r"over)(?: the)? (?P<place>[\w' -]{2,40})$",
    re.IGNORECASE,
)
OWNER_QUERY = re.compile(r"^(?P<owner>[A-Z][\w.'-]+(?: [A-Z][\w.'-]*)?)(?:'s|s')\s*\?*$")
BULLET = re.compile(r"^\s*(?:[-–—•*·▪‣o]\s+|\d{1,3}[.)]\s+|\[[ xX]?\]\s*)")

MAKER_MODEL = re.compile(r"^(?P<maker>[A-Z][a-z]{2,}) (?P<model>(?=\S*\d)[A-Z][A-Z0-9-]*)(?=$|[\s,;(])")

BOUND = re.compile(
    r"\b(?:do(?: not|n'?t) (?:sell|throw|give|scrap|get rid)|not for sale|never sell|in memor(?:y|iam)|memorial|"
    r"dedicated to|given in memory|stays?(?:$|[ ,-]+(?:with|w|in|here|put))|"
    r"sale contract|sold with|must (?:go back|stay|be returned)|has to go back)\b",
    re.IGNORECASE,
)
NOT_OURS = re.compile(
    r"\b(?:belongs? to|owned by|property of|on loan|loaned|lent (?:by|from|to us)|borrowed|not ours|theirs|is "
    r"(?:mine|his|hers)|'s own|own(?:er)?\b.*\?|landlord'?s?|leas(?:ed?|ing)|instal?lments?|lease[- ]to[- ]own|"
    r"LTO(?![\w-])|rent[- ]to[- ]own|RTO(?![\w-])|rental|rented|on hire|hire purchase|HP(?![\w-])|h\.p\.|on finance|"
    r"financed|payments? left|"
    r"still paying|last tenant'?s?|return to|goes back|go back to|ours\?\??|whose)\b",
    re.IGNORECASE,
)
SHORT_BOUND = re.compile(r"\b(?:HP|LTO|RTO|H\.P\.)(?![\w-])")
OWNER_NAME = re.compile(
    r"\b(?:belongs? to|owned by|property of|borrowed from|on loan from|loaned by|lent by|return "
    r"to)\s+(?P<owner>(?:the )?[A-Z][\w'.]*(?: [A-Z][\w'.]*){0,3})"
)
OWN = re.compile(r"\b(?P<owner>[A-Z]\w+(?: [A-Z]\w*)?)'s own\b")


@dataclass
class Lexicon:
    """Names learned from the list itself: makers as written, models and heads of serials by their keys."""

    makers: dict[str, str] = field(default_factory=dict)
    models: dict[str, str] = field(default_factory=dict)
    serial_heads: set[str] = field(default_factory=set)

    def learn_maker(self, text: str) -> None:
        """Remember a maker that stands in a column of its own."""
        word = text.strip().rstrip("?")
        if 1 < len(word) < 30 and not re.search(r"\d", word) and word.lower() not in NOUNS | STOP:
            self.makers.setdefault(word.lower(), word)

    def learn_model(self, text: str) -> None:
        """Remember a model that stands in a column of its own."""
        word = text.strip().rstrip("?")
        if 1 < len(word) < 20 and re.search(r"\d", word) and re.search(r"[A-Za-z]", word) and " " not in word:
            self.models.setdefault(serial_key(word), word)

    def learn_serial(self, text: str) -> None:
        """Remember how a serial of the list begins."""
        head = re.match(r"^([A-Z]{1,5}\d{0,4}[A-Z]?)[- ]", text.strip())
        if head and re.search(r"\d", text[head.end() :]):
            self.serial_heads.add(serial_key(head[1]))

    def learn_descriptions(self, texts: list[str]) -> None:
        """Learn makers that stand before models in two or more descriptions."""
        seen: Counter[str] = Counter()
        for text in texts:
            tokens = text.split()
            for left, right in itertools.pairwise(tokens):
                if _name_like(left) and looks_like_model(right.strip(",;()")):
                    seen[left] += 1
        for word, number in seen.items():
            if number > 1:
                self.learn_maker(word)
        self._learn_heads(texts)

    def _learn_heads(self, texts: list[str]) -> None:
        """Learn from a list whose habit it is to begin each description with maker and model."""
        heads = [match for match in map(MAKER_MODEL.match, texts) if match and _name_like(match["maker"])]
        if len(heads) >= 4 and len(heads) * 5 >= len([text for text in texts if text]) * 2:
            for match in heads:
                self.learn_maker(match["maker"])
                self.learn_model(match["model"])


def _name_like(word: str) -> bool:
    return (
        bool(re.fullmatch(r"[A-Z][a-z]{2,}[\w'-]*", word)) and word.lower() not in NOUNS | STOP and not gear_words(word)
    )


@dataclass
class Described:
    """A description taken apart; nothing of it is lost: what is left over stays in `what` or in the remarks."""

    what: str
    maker: str = ""
    model: str = ""
    serial: str = ""
    place: str = ""
    flags: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def describe(
    text: str, lexicon: Lexicon, *, maker: str = "", model: str = "", serial: str = "", place: str = ""
) -> Described:
    """Return the facts a description carries beside those the row's own columns give."""
    found = Described(BULLET.sub("", " ".join(text.split())))
    if not serial and (match := SERIAL_PHRASE.search(found.what)):
        found.serial = match["serial"].strip()
        found.what = _cut(found.what, match)
    _chunks(found, place)
    tokens = found.what.split()
    taken: set[int] = set()
    if not maker:
        _find_maker(found, tokens, lexicon, taken)
    if not model:
        _find_model(found, tokens, lexicon, taken, maker or found.maker)
    if not serial and not found.serial:
        _find_serial(found, tokens, lexicon, taken)
    if not maker and not found.maker and found.model:
        _guess_maker(found, tokens, taken)
    rest = " ".join(token for at, token in enumerate(tokens) if at not in taken).strip(" ,;-/")
    if rest and (gear_words(rest) or len(rest.split()) > 1):
        found.what = rest
    return found


def _cut(text: str, match: re.Match[str]) -> str:
    return " ".join((text[: match.start()] + " " + text[match.end() :]).split()).strip(" ,;")


def _chunks(found: Described, place: str) -> None:
    """Take ', in vestry' and ', Bob's?' out of a description."""
    first, *rest = found.what.split(", ")
    kept = [first]
    for chunk in rest:
        where = PLACE_CHUNK.match(chunk.strip())
        owner = OWNER_QUERY.match(chunk.strip())
        if where and not place and not found.place and (ROOM_WORDS.search(chunk) or len(rest) > 1):
            found.place = where["place"].strip()
        elif owner:
            found.flags.append("OWNER")
            found.remarks.append(chunk.strip())
        else:
            kept.append(chunk)
    found.what = ", ".join(kept)


def _bare(token: str) -> str:
    return token.strip(",;:()[]\"'")


def _find_maker(found: Described, tokens: list[str], lexicon: Lexicon, taken: set[int]) -> None:
    for at, token in enumerate(tokens):
        two = " ".join(tokens[at : at + 2]).lower().strip(",;:()")
        if two in lexicon.makers and " " in two:
            found.maker = lexicon.makers[two]
            taken.update((at, at + 1))
            return
        if _bare(token).lower() in lexicon.makers:
            found.maker = lexicon.makers[_bare(token).lower()]
            taken.add(at)
            return


def _find_model(found: Described, tokens: list[str], lexicon: Lexicon, taken: set[int], maker: str) -> None:
    for at, token in enumerate(tokens):
        if serial_key(_bare(token)) in lexicon.models and len(_bare(token)) > 1 and not _is_count(_bare(token)):
            found.model = _bare(token)
            taken.add(at)
            return
    for at, token in enumerate(tokens):
        word = _bare(token)
        beside = bool(maker) and at > 0 and _bare(tokens[at - 1]).lower() == maker.lower()
        shaped = looks_like_model(word) or (
            beside and bool(re.search(r"\d", word)) and bool(re.match(r"[A-Za-z]", word)) and not NOT_MODELS.match(word)
        )
        if shaped and not _serial_shaped(word, lexicon):
            found.model = word
            taken.add(at)
            if not beside and serial_key(word) not in lexicon.serial_heads:
                found.flags.append("MODEL")
            return


def _is_count(word: str) -> bool:
    return word.isdigit()


def _serial_shaped(word: str, lexicon: Lexicon) -> bool:
    head, _, tail = word.partition("-")
    if bool(tail) and bool(re.fullmatch(r"[A-Z0-9-]*\d{3,}", tail)) and len(re.sub(r"\D", "", tail)) >= 3:
        key = serial_key(head)
        return key in lexicon.serial_heads or key in lexicon.models or len(re.sub(r"\D", "", tail)) >= 4
    return False


def _find_serial(found: Described, tokens: list[str], lexicon: Lexicon, taken: set[int]) -> None:
    for at, token in enumerate(tokens):
        word = _bare(token)
        plain = bool(re.fullmatch(r"\d{5,}|0\d{2,}", word)) and not re.fullmatch(r"0\d{2,}", word[:1] + "x")
        if at not in taken and (_serial_shaped(word, lexicon) or plain):
            found.serial = word
            taken.add(at)
            return


def _guess_maker(found: Described, tokens: list[str], taken: set[int]) -> None:
    """A capitalized word right before the model may be its maker: put to a person."""
    at = next((i for i, token in enumerate(tokens) if _bare(token) == found.model), 0)
    if at > 0 and _name_like(_bare(tokens[at - 1])):
        found.maker = _bare(tokens[at - 1])
        found.flags.append("MAKER")
        taken.add(at - 1)


@dataclass(frozen=True)
class Binding:
    """What binds a piece: an owner's name when one is given, whether it may be sold, the questions it raises."""

    owner: str = ""
    do_not_sell: bool = False
    flags: tuple[str, ...] = ()


def binding_of(text: str) -> Binding:
    """Return what a row's words say about ownership. Short forms such as HP and LTO are asked about."""
    if not text:
        return Binding()
    name = OWNER_NAME.search(text) or OWN.search(text)
    bound, foreign = bool(BOUND.search(text)), bool(NOT_OURS.search(text))
    short = bool(SHORT_BOUND.search(text))
    flags = (("BOUND",) if bound else ()) + (("OWNER",) if foreign else ()) + (("HP_MEANING",) if short else ())
    return Binding(name["owner"].strip() if name else "", bound or short, flags)
