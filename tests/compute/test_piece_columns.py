"""What a row becomes in the columns of a piece: nothing converted, nothing cut without a word."""

from datetime import date
from decimal import Decimal

import pytest

from inventory.compute.intake.draft import ASK, LEFT_OUT, NEW, RowDraft
from inventory.compute.piece_columns import (
    count_of_doubts,
    doubts,
    makes_a_piece,
    piece_columns,
    price_column,
    shortened,
)


def drafted(verdict=NEW, flags=(), notes=(), **fields):
    return RowDraft("Sheet", 3, 1, verdict, "Because.", fields, tuple(flags), {}, tuple(notes))


def columns(*, own="USD", **fields):
    return piece_columns(drafted(**fields), own)


@pytest.mark.parametrize(
    ("fields", "want"),
    [
        ({"price_minor": 500, "price_kind": "paid", "currency": "USD"}, (500, None, "")),
        ({"price_minor": 500, "price_kind": "new", "currency": "EUR"}, (500, None, "EUR")),
        ({"price_minor": 500, "price_kind": "worth now"}, (None, 500, "")),
        ({"price_minor": 500, "price_kind": "offered", "quantity": 3, "price_per": "each"}, (None, 1500, "")),
        ({"price_minor": 500, "price_kind": "offered", "quantity": 3, "price_per": "all"}, (None, 500, "")),
        ({"price_minor": 500}, (500, None, "")),
        ({"price_minor": 500, "price_kind": "insured"}, (None, None, "")),
        ({"price_kind": "paid"}, (None, None, "")),
    ],
)
def test_a_price_goes_where_its_kind_says_and_is_never_converted(fields, want):
    found = columns(what="Amp", **fields)
    assert (found["paid_minor"], found["resale_minor"], found["price_currency"]) == want


@pytest.mark.parametrize(
    ("quantity", "want"), [(None, (1, False)), (4, (4, True)), (0, (1, False)), (10**9, (1, False)), ("x", (1, False))]
)
def test_a_count_is_one_or_more(quantity, want):
    found = columns(what="Amp", quantity=quantity)
    assert (found["quantity"], found["is_lot"]) == want


@pytest.mark.parametrize(
    ("fields", "want"),
    [
        ({"year": 2019, "year_precision": "day", "bought": "2019-03-14"}, (2019, "day", date(2019, 3, 14))),
        ({"year": 2019, "year_precision": "month", "bought": "2019-03"}, (2019, "month", None)),
        ({"year": 19}, (None, "", None)),
        ({"year": 2019, "bought": "2019-13-14"}, (2019, "", None)),
    ],
)
def test_a_year_keeps_how_sure_it_is(fields, want):
    found = columns(what="Amp", **fields)
    assert (found["year"], found["year_precision"], found["bought_on"]) == want


def test_measures_are_kept_in_their_units_or_not_at_all():
    found = columns(what="Amp", kg=2.5, watts=180, rack_units=2, band_low_khz=740_000, band_high_khz=764_000)
    assert (found["mass_g"], found["watts"], found["rack_units"]) == (2500, Decimal("180.0"), Decimal("2.0"))
    assert (found["radio_low_khz"], found["radio_high_khz"]) == (740_000, 764_000)
    odd = columns(what="Amp", kg="heavy", watts=-1, rack_units=float("inf"), band_low_khz=9, band_high_khz=3)
    assert [odd[name] for name in ("mass_g", "watts", "rack_units", "radio_low_khz", "radio_high_khz")] == [None] * 5
    assert columns(what="Amp", watts=True)["watts"] is None and columns(what="A", watts=10**9)["watts"] is None


def test_a_text_too_long_for_its_column_stands_whole_in_the_note():
    long = "word " * 60
    found = columns(what=long.strip(), note="dusty")
    assert len(found["what"]) <= 200 and found["what"].endswith("…")
    assert found["note"] == "dusty | " + long.strip()


def test_the_note_gathers_what_has_no_column_once():
    row = drafted(
        what="Amp",
        note="dusty | loud",
        condition="mixed",
        condition_split="faulty x1",
        price_tax="out",
        notes=["loud", "Bob's"],
    )
    found = piece_columns(row, "USD")
    assert found["note"] == "dusty | loud | Bob's | faulty x1 | price before tax"
    assert found["condition"] == "not yet tested"


def test_a_row_without_a_name_takes_maker_and_model():
    assert columns(maker="Ostwick", model="N4")["what"] == "Ostwick N4"
    assert columns(serial="S1")["what"] == "?"


def test_only_rows_that_say_what_they_are_make_pieces():
    assert makes_a_piece(drafted(what="Amp")) and makes_a_piece(drafted(ASK, serial="S1"))
    assert not makes_a_piece(drafted(LEFT_OUT, what="Total")) and not makes_a_piece(drafted(ASK, note="?"))


def test_doubts_stand_at_the_column_they_are_about():
    row = drafted(
        ASK,
        flags=["DATE_ORDER", "CURRENCY", "serial", "TWIN@other.csv:3", "UNIT", "OWNER"],
        what="Amp",
        price_kind="worth now",
    )
    codes = {"DATE_ORDER": "bought", "CURRENCY": "price_minor", "UNIT": "kg", "OWNER": "owner"}
    found = doubts(row, codes)
    assert found == {
        "bond_words": ["OWNER"],
        "mass_g": ["UNIT"],
        "resale_minor": ["CURRENCY"],
        "row": ["TWIN@other.csv:3"],
        "serial": ["serial"],
        "year": ["DATE_ORDER"],
    }
    assert count_of_doubts([found, {}]) == 6
    assert doubts(drafted(flags=["price"], price_kind="insured"), {}) == {"note": ["price"]}


def test_price_column_is_none_for_what_is_only_insured():
    assert price_column({"price_kind": "insured"}) is None and price_column({}) == "paid_minor"


def test_shortened_leaves_short_texts_alone():
    assert shortened("abc", 3) == "abc" and shortened("abcd", 3) == "ab…"
