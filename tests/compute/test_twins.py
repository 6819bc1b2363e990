"""Pairs of rows that may be one thing.

Sources: match weights after Fellegi and Sunter, "A theory for record linkage" (1969); the worked figures for serial and
model are those of the documentation page. Which pairs a person should see: common practice.
"""

from __future__ import annotations

import time
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.twins import HALVES, LOT_OVERLAPS, ONE_PIECE, TWO_PIECES, TwinRow, suggest, weight


def row(key: str, site: str = "A", at: int = 0, flags: tuple[str, ...] = (), note: str = "", **fields: Any) -> TwinRow:
    return TwinRow(key, site, f"{site} list", fields, at, note, flags)


def hints(*rows: TwinRow) -> dict[tuple[str, str], str]:
    return {(each.key_a, each.key_b): each.verdict_hint for each in suggest(rows)}


def test_the_weights_of_the_worked_example() -> None:
    assert weight("serial", True) == pytest.approx(9.9, abs=0.05)
    assert weight("serial", False) == pytest.approx(-4.3, abs=0.05)
    assert weight("model", True) == pytest.approx(5.5, abs=0.05)
    assert weight("model", False) == pytest.approx(-3.3, abs=0.05)


def test_one_serial_on_two_lists_is_one_piece() -> None:
    speaker = {"what": "Speaker", "maker": "Brindlow", "model": "P12A", "serial": "P12A-017733"}
    assert hints(row("a", **speaker), row("b", "B", **speaker | {"serial": "p12a 0I7733"})) == {("a", "b"): ONE_PIECE}


def test_the_end_of_a_serial_in_prose_is_evidence() -> None:
    found = suggest(
        [
            row("a", what="Speaker", model="P12A", serial="P12A-017733"),
            row("b", "B", what="P12A powered 017733", note="borrowed"),
        ]
    )
    assert found[0].verdict_hint == ONE_PIECE and found[0].bits > 8
    assert "serial" in found[0].evidence[0]


def test_serials_one_apart_on_one_site_are_two_units_and_stay_silent() -> None:
    mic = {"what": "Mic", "maker": "Fennick", "model": "V4"}
    assert hints(row("a", at=1, serial="V4-11801", **mic), row("b", at=2, serial="V4-11802", **mic)) == {}


def test_serials_one_apart_on_one_site_under_different_names_are_shown_as_two() -> None:
    found = hints(
        row("a", at=1, what="Speaker", maker="Brindlow", model="P12A", serial="P12A-017733"),
        row("b", at=2, what="Brindlow P12A", maker="Brindlow", model="P12A", serial="P12A-017734"),
    )
    assert found == {("a", "b"): TWO_PIECES}


def test_serials_one_sign_apart_on_different_sites_may_be_one() -> None:
    mic = {"what": "Mic", "maker": "Fennick", "model": "V4"}
    assert hints(row("a", serial="V4-11801", **mic), row("b", "B", serial="V4-11871", **mic)) == {("a", "b"): ONE_PIECE}
    assert hints(row("a", serial="V4-11801", **mic), row("b", "B", serial="V4-99999", **mic)) == {}
    other = {"what": "Mic", "maker": "Quillmark", "model": "Q5"}
    assert hints(row("a", serial="V4-11801", **mic), row("b", "B", serial="V4-11871", **other)) == {}


def test_consecutive_serials_of_things_named_differently_on_different_sites_stay_silent() -> None:
    assert hints(row("a", what="Mic", serial="V4-11801"), row("b", "B", what="Mixer", serial="V4-11802")) == {}


def test_a_serial_filled_down_means_two_pieces() -> None:
    splitter = {"what": "splitter", "maker": "Halvane", "model": "D4", "serial": "D4-120"}
    found = hints(row("a", at=17, **splitter), row("b", at=18, flags=("SERIAL_COPY",), **splitter))
    assert found == {("a", "b"): TWO_PIECES}


def test_two_halves_of_a_pair() -> None:
    half = {"what": "extender", "maker": "Halvane"}
    found = hints(
        row("a", at=30, model="TP-331", price_minor=8000, price_per="all", **half),
        row("b", at=31, model="TP-332", **half),
    )
    assert found == {("a", "b"): HALVES}
    apart = hints(
        row("a", at=30, model="TP-331", price_minor=80, price_per="each", **half),
        row("b", at=31, model="TP-332", **half),
    )
    assert HALVES not in apart.values()


def test_a_lot_that_counts_single_rows_again() -> None:
    mic = {"what": "Mic", "model": "V4"}
    rows = [row(f"m{n}", at=n, serial=f"V4-1180{n}", quantity=1, **mic) for n in range(1, 5)]
    found = hints(*rows, row("lot", at=6, what="mics", model="V4", quantity=6))
    assert set(found.values()) == {LOT_OVERLAPS} and len(found) == 4


def test_a_pair_and_one_of_it() -> None:
    box = {"what": "speaker", "maker": "Brindlow", "model": "H215", "quantity": 1}
    found = hints(row("a", at=9, serial="071;072", **box), row("b", at=10, serial="71", flags=("SERIAL_ZERO",), **box))
    assert found == {("a", "b"): LOT_OVERLAPS}


def test_neighbors_alike_without_serials_are_asked() -> None:
    amp = {"what": "Amp A300", "maker": "Gadsworth", "model": "A300", "year": 2009}
    assert hints(row("a", at=3, **amp), row("b", at=4, **amp)) == {("a", "b"): TWO_PIECES}
    assert hints(row("a", at=3, **amp), row("b", at=40, **amp)) == {}


def test_one_thing_on_two_lists_that_says_it_moved() -> None:
    found = suggest(
        [
            row("a", what="Y8 switcher", model="Y8", serial="Y8-4402"),
            row("b", "B", what="vision mixer on desk", note="came from Dockside"),
        ]
    )
    assert [each.verdict_hint for each in found] == [ONE_PIECE]
    assert 2 <= found[0].bits < 8
    assert any("moved" in sentence for sentence in found[0].evidence)


def test_a_name_that_stands_in_both_rows() -> None:
    found = suggest(
        [row("a", what="Stagebox 16/8", note="Ines has it"), row("b", "B", what="stage box", place="Ines's car")]
    )
    assert any("Ines" in sentence for sentence in found[0].evidence)


def test_the_same_model_on_two_sites_without_serials_is_a_question_only() -> None:
    mic = {"what": "radio handheld", "maker": "Quillmark", "model": "Q2-HH"}
    found = suggest([row("a", **mic), row("b", "B", serial="Q2-74-903", **mic)])
    assert 2 <= found[0].bits <= 10


def test_different_things_stay_silent() -> None:
    assert hints(row("a", what="Mixer", maker="Hobsley"), row("b", "B", what="Speaker stand", maker="Plinthwork")) == {}
    assert hints(row("a", what="Speaker", model="P12A"), row("b", "B", what="Speaker", model="P15A")) == {}
    assert hints(row("a"), row("b", "B")) == {}


def test_lots_of_the_same_count() -> None:
    found = suggest(
        [
            row("a", what="Fresnels", model="F65", quantity=8, year=2007, price_minor=2500),
            row("b", "B", what="stage lights chapel", quantity=8, place="at Weir Lane", note="theirs, not ours?"),
        ]
    )
    assert any("lots of 8" in sentence for sentence in found[0].evidence)


def test_stored_pieces_can_be_compared_with_drafts() -> None:
    stored = TwinRow(
        "G003",
        "MS",
        "",
        {"what": "Powered loudspeaker 12 in", "maker": "Brindlow", "model": "P12A", "serial": "P12A-017733"},
    )
    assert (
        hints(stored, row("new", "B", what="Speaker", model="P12A", serial="P12A 017733"))[("G003", "new")] == ONE_PIECE
    )


def test_one_question_instead_of_ten_weak_ones() -> None:
    strong = {"what": "Speaker", "maker": "Brindlow", "serial": "P12A-017733"}
    rows = [row("a", **strong), row("b", "B", **strong), row("c", "C", what="Speaker", note="lent")]
    assert set(hints(*rows)) == {("a", "b")}


def test_the_answer_is_sorted_and_does_not_hang_on_the_order_of_rows() -> None:
    rows = [row(str(n), site="AB"[n % 2], what="Speaker", model="P12A", serial=f"P12A-{n // 2:05d}") for n in range(20)]
    found = suggest(rows)
    assert all(a.bits >= b.bits for a, b in pairwise(found))
    assert {frozenset((e.key_a, e.key_b)) for e in found} == {
        frozenset((e.key_a, e.key_b)) for e in suggest(rows[::-1])
    }


def test_ten_thousand_rows_take_seconds() -> None:
    nouns = ("Mic", "Speaker", "Amp", "Mixer", "Stand", "Cable", "Projector")
    rows = [
        row(
            str(n), site="ABC"[n % 3], at=n, what=nouns[n % 7], maker="Brindlow", model=f"M{n % 90}", serial=f"S{n:06d}"
        )
        for n in range(10_000)
    ]
    start = time.process_time()
    suggest(rows)
    assert time.process_time() - start < 15


@given(
    st.lists(
        st.builds(
            lambda site, what, serial, quantity: {"site": site, "what": what, "serial": serial, "quantity": quantity},
            st.sampled_from("AB"),
            st.sampled_from(["Mic", "Speaker P12A", "stage box", ""]),
            st.sampled_from(["", "P12A-01", "P12A-02", "01", "1;2"]),
            st.sampled_from([1, 2, None]),
        ),
        max_size=8,
    )
)
def test_every_suggestion_names_two_rows_once_and_says_why(made: list[dict[str, Any]]) -> None:
    rows = [row(str(n), at=n, **fields) for n, fields in enumerate(made)]
    found = suggest(rows)
    pairs = [frozenset((each.key_a, each.key_b)) for each in found]
    assert len(set(pairs)) == len(pairs) and all(len(pair) == 2 for pair in pairs)
    assert all(each.evidence and each.bits >= 2 for each in found)
