"""Serial numbers as people write them: comparable forms, several in one cell, and the ways they get spoilt.

O and 0, I and 1 are one class when compared (they are read off worn plates). Nothing is repaired silently: what
has lost something carries a doubt.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

NO_SERIAL = re.compile(
    r"(?:none|no|nil|without|w/o|ohne|keine|not on it|n\s*/?\s*a|[-–—.?]+|unknown|unk\.?|lot|various|misc\.?|"
    r"mixed|tbd|tba|no s/?n|no serial.*|"
    r"not? (?:found|visible|marked|legible|readable).*|can'?t (?:read|find|see).*|see .*|worn( off)?|missing|blank|"
    r"nothing)$",
    re.IGNORECASE,
)
UNREADABLE = re.compile(
    r"(?:unreadable|illegible|not readable|worn|scratched|rubbed|can'?t read|label (?:gone|missing))", re.IGNORECASE
)
PREFIX = re.compile(
    r"^(?:(?:s\s*[/.]\s*n\.?|ser(?:ial)?\.?\s*(?:no|nr|num(?:ber)?|#)\.?|serial)\s*[:#=.]?\s*|(?:sn|"
    r"ser)\s*[:#=.\s]\s*)"
    r"(?=[A-Z0-9….])",
    re.IGNORECASE,
)
TAIL_ONLY = re.compile(
    r"^(?:same\b.*?|ditto\b.*?|vin\s+)?(?:…|\.{2,}|\*+|x{3,}-?|(?:ends?|ending)(?: in| with)?:?\s|last (?:\d|four|"
    r"three|five|six)(?: digits?)?:?\s)\s*(?P<tail>[A-Z0-9-]+)\W*$",
    re.IGNORECASE,
)
SCIENTIFIC = re.compile(r"^\d(?:[.,]\d+)?E[+]?\d{1,3}$", re.IGNORECASE)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DATE_LIKE = re.compile(
    rf"^(?:\d{{1,2}}[-/ ](?:{'|'.join(MONTHS)})[a-z]*(?:[-/ ]\d{{2,4}})?|"
    rf"(?:{'|'.join(MONTHS)})[a-z]*[-/ ](?:\d{{1,2}}|(?:19|20)\d{{2}})"
    r"|\d{1,2}/\d{1,2}/(?:19|20)\d{2}|(?:19|20)\d{2}-\d{2}-\d{2}(?: 00:00(?::00)?)?)$",
    re.IGNORECASE,
)
RANGE = re.compile(
    r"^(?P<first>.*\d)\s*(?:\bto\b|\bthru\b|\bthrough\b|\bbis\b|…|~|\.{2,3}|\s[-–—]\s|–|"
    r"—)\s*(?P<last>[A-Z]*.*\d)$",
    re.IGNORECASE,
)
TIGHT_RANGE = re.compile(r"^(?P<first>(?:.*[^\d])?\d+)-(?P<last>\d+)$")
SPLIT = re.compile(r"\s*(?:[\n;,&+]|\s/\s|\band\b)\s*", re.IGNORECASE)
MAX_RANGE = 200


@dataclass(frozen=True)
class Serials:
    """One cell read: the serials as written, a doubt code or '', and words that belong in the note."""

    parts: tuple[str, ...] = ()
    doubt: str = ""  # SERIAL_LOST, SERIAL_DATE, SERIAL_PARTIAL, SERIAL_ZERO, SERIAL_RANGE
    remark: str = ""

    @property
    def written(self) -> str:
        """All of them divided by ';'."""
        return ";".join(self.parts)

    @property
    def key(self) -> str:
        """Comparable forms divided by ';'."""
        return ";".join(serial_key(part) for part in self.parts)


@lru_cache(maxsize=20_000)
def serial_key(text: str) -> str:
    """Return the comparable form: capitals and digits only, O as 0, I as 1."""
    return re.sub(r"[^A-Z0-9]", "", text.upper()).replace("O", "0").replace("I", "1")


SAME = re.compile(
    r"^(?:same|-\s?do\.?\s?-|ditto|as above|same as (?:above|before|the other.*)|idem|see above|likewise)[.!]?$",
    re.IGNORECASE,
)
ROUNDED = re.compile(r"^[1-9]\d{2,9}0{6,}$")  # what is left of a long number after a program showed it as 1.10E+11


def read_serials(text: str, quantity: int | None = None) -> Serials:
    """Return the serials of one cell.

    quantity: how many pieces the row holds, when known; a range is only spelt out when it gives that many.
    """
    text = " ".join(part for part in (text or "").replace("\n", " ; ").split(" ") if part).strip(" ;")
    text = text.strip("'’‘`\" ")
    if SAME.match(text):
        return Serials(doubt="SERIAL_COPY", remark=f"serial: {text}")
    if not text or NO_SERIAL.match(text):
        return Serials(remark=f"serial: {text}" if UNREADABLE.search(text) or len(text) > 8 else "")
    if SCIENTIFIC.match(text) or ROUNDED.match(text):
        return Serials(doubt="SERIAL_LOST", remark=f"serial as written: {text}")
    if DATE_LIKE.match(text):
        return Serials(doubt="SERIAL_DATE", remark=f"serial as written: {text}")
    if UNREADABLE.search(text) and not re.search(r"\d{3}", text):
        return Serials(remark=f"serial {text}")
    if len(re.findall(r"(?<![A-Za-z])[a-z]{2,}(?![A-Za-z])", re.sub(r"\([^)]*\)", " ", text))) >= 3:
        return Serials(doubt="SERIAL_PARTIAL", remark=f"serial: {text}")
    return _read_marked(text, quantity)


def _read_marked(text: str, quantity: int | None) -> Serials:
    text = PREFIX.sub("", text).strip()
    tail = TAIL_ONLY.match(text)
    if tail:
        return Serials((tail["tail"],), "SERIAL_PARTIAL", f"serial as written: {text}")
    remark = ""
    aside = re.search(r"\s*\(([^)]*)\)\s*$", text)
    if aside and re.search(r"\d", text[: aside.start()]):
        text, remark = text[: aside.start()], aside[1]
    doubt = (
        "SERIAL_PARTIAL" if "?" in text or UNREADABLE.search(text) or re.search(r"(?:…|\.{2,}|\*{2,})$", text) else ""
    )
    text = text.replace("?", "").strip()
    if not re.search(r"[A-Z0-9]", text, re.IGNORECASE):
        return Serials(doubt=doubt, remark=remark)
    parts, unclear = _parts(text, quantity)
    if not re.search(r"\d", text) and not remark:
        return _words_only(text)
    return Serials(tuple(parts), doubt or unclear, remark)


def _words_only(text: str) -> Serials:
    """A cell of letters only: a code such as ABX is kept and doubted, a sentence goes to the note."""
    if len(text) > 12 or " " in text:
        return Serials(remark=f"serial: {text}")
    return Serials((text,), "SERIAL_PARTIAL")


def _parts(text: str, quantity: int | None) -> tuple[list[str], str]:
    figures = text.split()
    apart = len(figures) > 1 and all(re.fullmatch(r"\d{3,}", each) and len(each) == len(figures[0]) for each in figures)
    pieces = figures if apart else [piece for piece in SPLIT.split(text) if piece]
    parts: list[str] = []
    doubt = ""
    for piece in pieces:
        spelt = _slashes(piece) or _range(piece, quantity if len(pieces) == 1 else None)
        if spelt is None:
            parts.append(_completed(piece, parts))
            continue
        if not spelt:
            doubt, spelt = "SERIAL_RANGE", [piece]
        parts.extend(spelt)
    return parts, doubt


def _slashes(piece: str) -> list[str] | None:
    """'C4-0551/0552' and '8001/8002' are two serials; 'AB/1234' is one."""
    pieces = piece.split("/")
    alike = all(re.search(r"\d", each) for each in pieces) and len(pieces) > 1
    if not alike or any(len(each.strip()) < 2 for each in pieces):
        return None
    tail = all(
        re.fullmatch(r"\d+", each.strip()) and len(each.strip()) <= len(pieces[0].strip()) for each in pieces[1:]
    )
    shape = {re.sub(r"\d+", "9", each.strip()) for each in pieces}
    if not tail and len(shape) > 1:
        return None
    parts = [pieces[0].strip()]
    for each in pieces[1:]:
        parts.append(_completed(each.strip(), parts))
    return parts


def _completed(piece: str, before: list[str]) -> str:
    """Give '0552' the head of 'C4-0551' when it stands behind it."""
    piece = PREFIX.sub("", piece).strip("'’ ")
    if not before or not re.fullmatch(r"\d+", piece):
        return piece
    head = re.match(r"^(.*?[^\d])(\d+)$", before[-1])
    if head and len(piece) <= len(head[2]):
        return before[-1][: len(before[-1]) - len(piece)] + piece
    return piece


def _range(piece: str, quantity: int | None) -> list[str] | None:
    """Return the serials of a range, [] when it is one but cannot be spelt out, None when it is none."""
    match = RANGE.match(piece)
    tight = None if match else TIGHT_RANGE.match(piece)
    match = match or tight
    if not match:
        return None
    first = re.match(r"^(.*?)(\d+)$", match["first"].strip())
    last = re.match(r"^(.*?)(\d+)$", match["last"].strip())
    if not first or not last:
        return None if tight else []
    digits, end = first[2], last[2]
    if last[1].strip() and serial_key(last[1]) != serial_key(first[1]):
        return None if tight else []
    low = int(digits[-len(end) :]) if len(end) < len(digits) else int(digits)
    count = int(end) - low + 1
    if tight and (quantity is None or quantity < 2 or count != quantity):
        return None
    if not 2 <= count <= MAX_RANGE or (quantity is not None and quantity > 1 and count != quantity):
        return []
    start, width = int(digits), len(digits)
    return [f"{first[1]}{start + step:0{width}d}" for step in range(count)]


def nearly_model(serial: str, model: str) -> bool:
    """True when the serial begins with the model but for one sign: a slip of the reader (R16-204 for model N16).

    Many makers begin a serial with the model, so a near miss is worth another look at the plate (common practice).
    """
    wanted = serial_key(model)
    head = serial_key(re.split(r"[-\s/]", serial)[0])
    if len(wanted) < 3 or not len(wanted) <= len(head) <= len(wanted) + 2 or not re.search(r"\d", wanted):
        return False
    windows = [head[start : start + len(wanted)] for start in range(len(head) - len(wanted) + 1)]
    distances = [sum(a != b for a, b in zip(window, wanted, strict=True)) for window in windows]
    return min(distances) == 1 and not any(distance == 0 for distance in distances)


def distance_is_one(left: str, right: str) -> bool:
    """True when one insertion, deletion or replacement turns one text into the other."""
    if abs(len(left) - len(right)) > 1 or left == right:
        return False
    if len(left) > len(right):
        left, right = right, left
    at = next((i for i, (a, b) in enumerate(zip(left, right, strict=False)) if a != b), len(left))
    return left[at + (len(left) == len(right)) :] == right[at + 1 :]


def steps_by_one(left: str, right: str) -> bool:
    """True when the number at the end of the second serial follows that of the first."""
    a, b = re.match(r"^(.*?)(\d+)$", serial_key(left)), re.match(r"^(.*?)(\d+)$", serial_key(right))
    return bool(a and b and a[1] == b[1] and abs(int(b[2]) - int(a[2])) == 1)
