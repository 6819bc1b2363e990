"""The same list again: the worked example of docs/algorithms/relisting.md and the rules one by one."""

from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.relisting import ListedRow, changed_fields, matched, same_list


def row(key, number=1, part=1, sheet="", fingerprint="", **fields):
    return ListedRow(key, sheet, number, part, fingerprint, fields)


def test_the_worked_example_of_the_docs():
    before = [
        row("b1", 2, fingerprint="aa", what="Stage box", serial_key="0S1001"),
        row("b2", 3, fingerprint="bb", what="Music stand", quantity=4),
        row("b3", 4, fingerprint="cc", what="Lectern lamp", serial_key="LL77"),
    ]
    now = [
        row("n1", 2, fingerprint="ax", what="Stage box", serial_key="0S1001", price_minor=24000),
        row("n2", 3, fingerprint="dd", what="Desk fan"),
        row("n3", 4, fingerprint="bx", what="Music stand", quantity=5),
        row("n4", 5, fingerprint="cc", what="Lectern lamp", serial_key="LL77"),
    ]
    assert matched(now, before) == {"n1": "b1", "n3": "b2", "n4": "b3"}


def test_rows_that_say_the_same_are_paired_in_order():
    before = [row("b1", 2, fingerprint="f"), row("b2", 3, fingerprint="f")]
    now = [row("n1", 5, fingerprint="f"), row("n2", 6, fingerprint="f"), row("n3", 7, fingerprint="f")]
    assert matched(now, before) == {"n1": "b1", "n2": "b2"}


def test_a_serial_that_stands_twice_pairs_nothing_by_itself():
    before = [row("b1", 2, serial_key="S1", what="Amp left"), row("b2", 9, serial_key="S1", what="Amp right")]
    now = [row("n1", 20, serial_key="S1", what="Amp center")]
    assert matched(now, before) == {}


def test_the_lists_own_number_pairs_within_its_sheet():
    before = [row("b1", 2, sheet="A", tag="7", what="Amp"), row("b2", 2, sheet="B", tag="7", what="Box")]
    now = [row("n1", 9, sheet="B", tag="7", what="Box, red")]
    assert matched(now, before) == {"n1": "b2"}


def test_two_of_a_name_are_told_apart_by_where_they_stood():
    before = [row("b1", 2, what="Amp", model="A3", year=2009), row("b2", 3, what="Amp", model="A3", year=2010)]
    now = [row("n1", 2, what="Amp", model="A3", year=2008), row("n2", 3, what="Amp", model="A3", year=2011)]
    assert matched(now, before) == {"n1": "b1", "n2": "b2"}


def test_another_serial_at_the_same_place_is_another_thing():
    before = [row("b1", 2, what="Amp", model="A", serial_key="S1")]
    now = [row("n1", 2, what="Amp", model="B", serial_key="S2")]
    assert matched(now, before) == {}


def test_a_value_that_went_is_a_change():
    assert changed_fields({"year": 2009, "what": "Amp"}, {"what": "Amp", "kg": 3}) == {"year": None, "kg": 3}
    assert changed_fields({"what": "Amp"}, {"what": "Amp"}) == {}


def test_lists_that_share_half_their_rows_are_one_list():
    assert same_list(["a", "b", "c"], ["a", "b", "x", "y"])
    assert not same_list(["a", "b", "c"], ["a", "x", "y"])
    assert not same_list([], ["a"]) and not same_list(["", ""], ["", ""])


rows = st.lists(
    st.builds(
        lambda n, print_, what, serial: ("", n, 1, print_, {"what": what, "serial_key": serial}),
        st.integers(1, 9),
        st.sampled_from(["", "f", "g", "h"]),
        st.sampled_from(["Amp", "Box", "Amp box", ""]),
        st.sampled_from(["", "S1", "S2"]),
    ),
    max_size=9,
)


@given(rows, rows)
def test_every_row_is_used_at_most_once_and_a_list_matches_itself(now, before):
    here = [ListedRow(f"n{i}", *each) for i, each in enumerate(now)]
    there = [ListedRow(f"b{i}", *each) for i, each in enumerate(before)]
    found = matched(here, there)
    assert len(set(found.values())) == len(found)
    assert set(found) <= {each.key for each in here} and set(found.values()) <= {each.key for each in there}
    printed = [each for each in here if each.fingerprint]
    assert all(each.key in matched(printed, printed) for each in printed)
