"""Serial numbers as written. Examples: common practice of gear lists."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inventory.compute.serials import distance_is_one, nearly_model, read_serials, serial_key, steps_by_one


@pytest.mark.parametrize(
    ("text", "quantity", "written", "doubt"),
    [
        ("P12A 017733", 1, "P12A 017733", ""),
        ("s/n: Q3-38-0907", 1, "Q3-38-0907", ""),
        ("Serial No. 4471-B", 1, "4471-B", ""),
        ("'W6-90021 ", 1, "W6-90021", ""),
        ("P10A-004411'", 1, "P10A-004411", ""),
        ("00427", 1, "00427", ""),
        ("AB/1234", 1, "AB/1234", ""),
        ("W10A-551 to 554", 4, "W10A-551;W10A-552;W10A-553;W10A-554", ""),
        ("W10A-551 thru 554", 6, "W10A-551 thru 554", "SERIAL_RANGE"),
        ("F65-01 to F65-03", 3, "F65-01;F65-02;F65-03", ""),
        ("F65-09 to G65-03", 3, "F65-09 to G65-03", "SERIAL_RANGE"),
        ("12 to A", None, "12 to A", ""),
        ("B6-201…206", None, "B6-201;B6-202;B6-203;B6-204;B6-205;B6-206", ""),
        ("12345-12348", 4, "12345;12346;12347;12348", ""),
        ("12345-12348", None, "12345-12348", ""),
        ("U10-2013-88", 1, "U10-2013-88", ""),
        ("8001/8002", 2, "8001;8002", ""),
        ("3310 3311", 2, "3310;3311", ""),
        ("C4-0551 / 0552", 2, "C4-0551;C4-0552", ""),
        ("S55-2001\nS55-2002", 2, "S55-2001;S55-2002", ""),
        ("DP6-11, M12-404", 2, "DP6-11;M12-404", ""),
        ("BN12A-017733, 017734", 2, "BN12A-017733;BN12A-017734", ""),
        ("BL-071 & BL-072", 2, "BL-071;BL-072", ""),
        ("12345 (on the bottom)", 1, "12345", ""),
        ("1.10E+11", 1, "", "SERIAL_LOST"),
        ("10-Nov", 1, "", "SERIAL_DATE"),
        ("Apr-55", 1, "", "SERIAL_DATE"),
        ("2026-11-10 00:00:00", 1, "", "SERIAL_DATE"),
        ("…1183", 1, "1183", "SERIAL_PARTIAL"),
        ("same …02", 1, "02", "SERIAL_PARTIAL"),
        ("VIN ending 4471", 1, "4471", "SERIAL_PARTIAL"),
        ("last four: 9921", 1, "9921", "SERIAL_PARTIAL"),
        ("44?12", 1, "4412", "SERIAL_PARTIAL"),
        ("ABX", 1, "ABX", "SERIAL_PARTIAL"),
        ("MS-A MS-B on tape", 1, "", ""),
        ("unreadable", 1, "", ""),
        ("worn off, rubbed", 1, "", ""),
        ("none", 1, "", ""),
        ("n/a", 1, "", ""),
        ("???", 1, "", ""),
        ("#!", 1, "", ""),
        ("", 1, "", ""),
    ],
)
def test_serials(text: str, quantity: int | None, written: str, doubt: str) -> None:
    found = read_serials(text, quantity)
    assert (found.written, found.doubt) == (written, doubt)


def test_what_is_no_serial_goes_to_the_note() -> None:
    assert "unreadable" in read_serials("unreadable").remark
    assert "1.10E+11" in read_serials("1.10E+11").remark
    assert read_serials("12345 (on the bottom)").remark == "on the bottom"


def test_o_and_nought_i_and_one_are_alike() -> None:
    assert serial_key("V4-118O3") == serial_key("v4 11803") == "V411803"
    assert read_serials("M24-I02").key == "M24102"


@given(st.text(max_size=40), st.one_of(st.none(), st.integers(1, 50)))
def test_no_text_breaks_the_reader(text: str, quantity: int | None) -> None:
    found = read_serials(text, quantity)
    assert len(found.parts) <= 200
    assert all(part.strip() for part in found.parts)


@given(st.from_regex(r"[A-Z]{1,3}\d{0,2}-\d{4,6}", fullmatch=True))
def test_a_plain_serial_is_kept_as_it_stands(text: str) -> None:
    assume(not re.match(r"(?:JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEP|OCT|NOV|DEC)-(?:19|20)\d\d$", text))  # may be a month
    assume(not text.startswith("XXX"))  # may stand for signs that could not be read
    assert read_serials(text, 1).parts == (text,)
    assert read_serials(f"s/n {text}", 1).parts == (text,)


@given(st.from_regex(r"[A-Z]{1,3}-", fullmatch=True), st.integers(1, 500), st.integers(2, 30))
def test_a_range_gives_as_many_as_the_row_holds(head: str, start: int, count: int) -> None:
    text = f"{head}{start:04d} to {head}{start + count - 1:04d}"
    parts = read_serials(text, count).parts
    assert len(parts) == count == len(set(parts))
    assert parts[0] == f"{head}{start:04d}" and parts[-1] == f"{head}{start + count - 1:04d}"


@given(st.text("AB01", min_size=1, max_size=6), st.text("AB01", min_size=1, max_size=6))
def test_distance_one_is_symmetric_and_agrees_with_the_table_method(left: str, right: str) -> None:
    """Source of the check: the dynamic programme of Wagner and Fischer (1974)."""
    table = {(i, 0): i for i in range(len(left) + 1)} | {(0, j): j for j in range(len(right) + 1)}
    for i, a in enumerate(left, 1):
        for j, b in enumerate(right, 1):
            table[i, j] = min(table[i - 1, j] + 1, table[i, j - 1] + 1, table[i - 1, j - 1] + (a != b))
    assert distance_is_one(left, right) == distance_is_one(right, left) == (table[len(left), len(right)] == 1)


def test_series_step_by_one() -> None:
    assert steps_by_one("LF8-601", "LF8-602") and not steps_by_one("LF8-601", "LF8-603")
    assert not steps_by_one("LF8-601", "LG8-602") and not steps_by_one("ABC", "ABD")


@pytest.mark.parametrize(
    ("serial", "model", "near"),
    [
        ("R16-204417", "N16", True),
        ("0R16-204417", "N16", True),
        ("ON16-204417", "N16", False),
        ("A12-901", "A1200", False),
        ("X-1", "N8", False),
        ("ABC-1", "ABD", False),
    ],
)
def test_a_serial_that_nearly_begins_with_its_model(serial: str, model: str, near: bool) -> None:
    assert nearly_model(serial, model) == near
