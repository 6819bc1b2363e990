"""Tags: one letter, a number of any length and a check letter, as G012-J.

The check letter follows the pure systems of ISO/IEC 7064 (the sum of value times radix to the power of its place is 1
modulo M) with radix 2 and M = 17. Seventeen is prime, so every single wrong character and every swap of neighbors is
found; the standard's own system with letters (MOD 37-2) would also give digits, look-alikes and a star.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

MODULUS = 17
RADIX = 2
CHECK_LETTERS = "ACDEFHJKMNPRTUWXY"  # without B G I L O Q S V Z, which pass for 8 6 1 1 0 0 5 U 2
FIRST_LETTERS = "ACDEFGHJKMNPRTWXY"  # never where a digit may stand, so G may stay
DIGITS = "0123456789"
SHORTEST = 3  # digits shown: G012
PAYLOAD_PREFIX = "TAG:"


class TagError(ValueError):
    """A text that is no tag, or one with a slip in it; `.say` is the sentence for the reader."""

    def __init__(self, code: str, say: Sentence) -> None:
        super().__init__(str(say))
        self.code = code
        self.say = say


@dataclass(frozen=True)
class TagReading:
    """What a typed or scanned text says. Without its check letter a slip cannot be seen: ask before acting on it."""

    letter: str
    number: int
    has_check: bool

    @property
    def tag(self) -> str:
        """Return the whole tag, with its check letter."""
        return make_tag(self.letter, self.number)


def check_value(values: Iterable[int], modulus: int, radix: int) -> int:
    """Return the value of the check character behind `values` by a pure system of ISO/IEC 7064.

    values: character values in reading order, 0 <= value < modulus.
    Source: the recursion of the standard, p = (p + value) radix modulo M.
    """
    product = 0
    for value in values:
        product = (product + value) * radix % modulus
    return (1 - product) % modulus


def make_tag(letter: str, number: int) -> str:
    """Return the tag as printed: make_tag("G", 12) is G012-J or another check letter.

    Raises ValueError for a letter outside FIRST_LETTERS or a negative number.
    """
    if len(letter) != 1 or letter not in FIRST_LETTERS:
        raise ValueError(f"A tag begins with one of {FIRST_LETTERS}, not with {letter!r}.")
    if number < 0:
        raise ValueError(f"A tag counts from 0, not from {number}.")
    digits = str(number).zfill(SHORTEST)
    return f"{letter}{digits}-{_check_letter(letter, digits)}"


def _check_letter(letter: str, digits: str) -> str:
    values = [FIRST_LETTERS.index(letter), *(int(digit) for digit in digits)]
    return CHECK_LETTERS[check_value(values, MODULUS, RADIX)]


def read_tag(text: str) -> TagReading:
    """Return what a text says: small letters, spaces, a missing dash and missing leading zeros are understood.

    Raises TagError with a code: empty, first_letter, digits, check_letter or mismatch.
    """
    compact = "".join(text.upper().split()).removeprefix(PAYLOAD_PREFIX)
    if not compact:
        raise TagError("empty", _("Type a tag: one letter, a number and the check letter behind the dash."))
    letter, rest = compact[0], compact[1:]
    if letter not in FIRST_LETTERS:
        raise TagError("first_letter", _("A tag begins with a letter; {found} cannot begin one.", found=letter))
    digits, check = _split(rest)
    if not digits or any(character not in DIGITS for character in digits):
        raise TagError("digits", _("After the letter only digits can follow: look at {found} again.", found=compact))
    if len(digits) > SHORTEST and digits[0] == "0":  # K0100 for K1000 would pass as K100
        raise TagError("digits", _("A number this long does not begin with 0: look at {found} again.", found=compact))
    return _checked(letter, int(digits), check)


def _split(rest: str) -> tuple[str, str]:
    """Return (digits, check): the check is what stands behind the dash, or a letter at the end."""
    if "-" in rest:
        digits, _dash, check = rest.partition("-")
        return digits, check
    if rest and rest[-1] not in DIGITS:
        return rest[:-1], rest[-1]
    return rest, ""


def _checked(letter: str, number: int, check: str) -> TagReading:
    if check and (len(check) > 1 or check not in CHECK_LETTERS):
        raise TagError("check_letter", _("{found} is never a check letter: read it again.", found=check))
    tag = make_tag(letter, number)
    if check and check != tag[-1]:
        raise TagError(
            "mismatch", _("Letter, number and check letter {found} do not belong together: read it again.", found=check)
        )
    return TagReading(letter, number, bool(check))


def tag_payload(tag: str) -> str:
    """Return what the square code holds: the tag without any address, in the small alphabet of such codes."""
    return PAYLOAD_PREFIX + read_tag(tag).tag
