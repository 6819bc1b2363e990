"""Tags: the check letter finds every single slip."""

import random
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_37_2

from inventory.compute.tags import (
    CHECK_LETTERS,
    FIRST_LETTERS,
    MODULUS,
    RADIX,
    TagError,
    TagReading,
    check_value,
    make_tag,
    read_tag,
    tag_payload,
)

KEYS = string.ascii_uppercase + string.digits
LETTERS = st.sampled_from(FIRST_LETTERS)
NUMBERS = st.integers(0, 10**9)


def accepted(text):
    """Return what a text is taken for with its check letter seen to be right, else None."""
    try:
        reading = read_tag(text)
    except TagError:
        return None
    return (reading.letter, reading.number) if reading.has_check else None


def test_the_recursion_gives_the_published_examples():
    """Sources: MOD 11-2 in the ORCID documentation (0000-0002-1825-0097, 0000-0001-5109-3700), from memory;
    MOD 37-2 in the ISBT 128 technical specification (G1234 89 654321, check character Y), through python-stdnum."""
    for identifier in ("0000000218250097", "0000000151093700"):
        assert check_value(map(int, identifier[:-1]), 11, 2) == int(identifier[-1])
        assert mod_11_2.is_valid(identifier)
    alphabet = string.digits + string.ascii_uppercase + "*"
    assert alphabet[check_value(map(alphabet.index, "G123489654321"), 37, 2)] == "Y"
    assert mod_37_2.is_valid("G123489654321Y")


@given(LETTERS, NUMBERS)
def test_the_check_letter_is_that_of_the_reference_library(letter, number):
    """Source: python-stdnum, the pure system with radix 2 over an alphabet of seventeen characters."""
    tag = make_tag(letter, number)
    values = [FIRST_LETTERS.index(letter), *map(int, tag[1:-2])]
    spelled = "".join(CHECK_LETTERS[value] for value in values)
    assert mod_37_2.calc_check_digit(spelled, alphabet=CHECK_LETTERS) == tag[-1]


def test_the_modulus_is_a_prime_with_as_many_letters():
    assert all(MODULUS % n for n in range(2, MODULUS))
    assert len(set(CHECK_LETTERS)) == len(set(FIRST_LETTERS)) == MODULUS
    assert RADIX % MODULUS != 1
    assert not set("BGILOQSVZ") & set(CHECK_LETTERS)


def test_as_printed():
    assert make_tag("G", 12)[:5] == "G012-"
    assert make_tag("G", 123456)[:8] == "G123456-"


def every_tag():
    return [make_tag(letter, number) for letter in FIRST_LETTERS for number in [*range(0, 1000, 7), 1000, 99999]]


def test_every_single_wrong_character_is_found():
    for tag in every_tag():
        right = (tag[0], int(tag[1:-2]))
        for place, own in enumerate(tag):
            if own == "-":
                continue
            for other in KEYS:
                if other != own:
                    assert accepted(tag[:place] + other + tag[place + 1 :]) is None, (tag, place, other)
        assert accepted(tag) == right


def test_every_swap_of_neighbors_is_found():
    for tag in every_tag():
        plain = tag.replace("-", "")
        for place in range(len(plain) - 1):
            a, b = plain[place : place + 2]
            if a != b:
                assert accepted(plain[:place] + b + a + plain[place + 2 :]) is None, (tag, place)


def test_all_tags_of_one_letter_with_three_digits():
    rng = random.Random(7064)
    for number in range(1000):
        tag = make_tag("G", number)
        place = rng.choice([1, 2, 3])
        for digit in set(string.digits) - {tag[place]}:
            assert accepted(tag[:place] + digit + tag[place + 1 :]) is None


@given(LETTERS, NUMBERS)
def test_reading_gives_back_what_was_made(letter, number):
    tag = make_tag(letter, number)
    for text in (tag, tag.lower(), tag.replace("-", ""), f" {tag[0]} {tag[1:]} ", tag_payload(tag)):
        assert read_tag(text) == TagReading(letter, number, True)
    assert read_tag(tag[:-2]) == TagReading(letter, number, False)
    assert read_tag(tag).tag == tag


def test_missing_zeros_at_the_front_are_understood():
    assert read_tag("g12").tag == make_tag("G", 12)
    assert not read_tag("g12").has_check


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("012", "first_letter"),
        ("O012", "first_letter"),
        ("G", "digits"),
        ("GO12-J", "digits"),
        ("G-J", "digits"),
        ("G0100-C", "digits"),
        ("G1²", "check_letter"),
        ("G012-5", "check_letter"),
        ("G012-JJ", "check_letter"),
    ],
)
def test_a_text_that_is_no_tag_is_refused_with_a_reason(text, code):
    with pytest.raises(TagError) as caught:
        read_tag(text)
    assert caught.value.code == code
    assert str(caught.value).endswith(".")


def test_the_payload_is_the_same_on_every_host_and_fits_the_small_alphabet():
    """Source: ISO/IEC 18004, alphanumeric mode: digits, capitals and $%*+-./: and space."""
    payload = tag_payload("g012")
    assert payload == f"TAG:{make_tag('G', 12)}"
    assert set(payload) <= set(string.digits + string.ascii_uppercase + " $%*+-./:")


@pytest.mark.parametrize(("letter", "number"), [("O", 1), ("g", 1), ("GG", 1), ("", 1), ("G", -1)])
def test_no_tag_is_made_from_nonsense(letter, number):
    with pytest.raises(ValueError, match="A tag"):
        make_tag(letter, number)
