"""Must-haves and facts read from words: plain forms of the trade are understood, everything else is left alone."""

import csv
import string
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute import must_haves
from inventory.compute.kinds import COMPILED, kind_of
from inventory.compute.must_haves import MustHave, judge, judge_all, must_from, read_band, read_facts, read_must_haves
from people.compute.phrasing import shown
from people.packs import pack

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


def short(text):
    read = read_must_haves(text)
    return [(must.attribute, must.operator, must.value) for must in read.known], list(read.to_judge)


# Texts of the invented churches' needs.
@pytest.mark.parametrize(
    ("text", "known", "to_judge"),
    [
        (
            "24 inputs or more, 12 mix buses or more, seen by volunteers before",
            [("inputs", "at least", 24), ("mix_buses", "at least", 12)],
            ["seen by volunteers before"],
        ),
        ("≥32 inputs, ≥14 mix buses", [("inputs", "at least", 32), ("mix_buses", "at least", 14)], []),
        ("6,000 lumens or more", [("lumens", "at least", 6000)], []),
        ("≥5,000 lm", [("lumens", "at least", 5000)], []),
        ("50 in or more", [("diagonal_in", "at least", 50)], []),
        ("legal band; spare wished for", [("legal_band", "is", True)], ["spare wished for"]),
        ("≤22 kg", [("kg", "at most", 22)], []),
        ("55 lb or less", [("kg", "at most", 24.948)], []),
        ("30 in wide or less", [("width_mm", "at most", 762)], []),
        ("0.62 m wide or less", [("width_mm", "at most", 620)], []),
        ("single 15 in", [("drivers", "is", 1), ("driver_in", "is", 15)], []),
        ("4 x 500 W or more", [("amplifier_channels", "at least", 4), ("watts_a_channel", "at least", 500)], []),
        ("≥4×500 W", [("amplifier_channels", "at least", 4), ("watts_a_channel", "at least", 500)], []),
        ("20 in / 12 out, two network ports", [("inputs", "at least", 20), ("outputs", "at least", 12)], None),
        ("covers 536-560 MHz", [("band_khz", "has", (536000, 560000))], []),
        ("606.5-613.5 MHz", [("band_khz", "has", (606500, 613500))], []),
        ("SDI/HDMI", [("sdi", "has", True), ("hdmi", "has", True)], []),
        ("LED, quiet", [("led", "has", True)], ["quiet"]),
        ("≥32×32 channels", [("channels", "at least", 32)], []),
        ("8 sources, 6 distinct feeds", [("sources", "at least", 8), ("feeds", "at least", 6)], []),
        ("27U", [("rack_units", "at least", 27)], []),
        ("any", [], []),
        ("", [], []),
        ("passes stage steps (≤0.62 m)", [], ["passes stage steps (≤0.62 m)"]),
        ("used 4 times", [], ["used 4 times"]),
    ],
)
def test_texts_become_data_and_the_rest_stays_a_sentence(text, known, to_judge):
    found, left = short(text)
    if to_judge is None:
        known, to_judge = [*known, ("network_ports", "at least", 2)], []
    assert (found, left) == (known, to_judge)


@given(st.text(alphabet=string.ascii_letters + string.digits + " ,;.-/×x≥≤°", max_size=60))
def test_any_text_is_read_without_loss(text):
    """Whatever is not understood is still there to be judged by a person."""
    read = read_must_haves(text)
    kept = " ".join([*(must.words for must in read.known), *read.to_judge])
    for word in text.replace(",", " ").replace(";", " ").split():
        assert word in kept or word.lower() == "any" or word.isdigit()


@given(st.integers(1, 99_999), st.sampled_from([" lm", " lumens"]), st.sampled_from(["", " or more"]))
def test_lumens_with_and_without_separator(count, unit, more):
    for written in (str(count), f"{count:,}"):
        assert short(f"{written}{unit}{more}") == ([("lumens", "at least", count)], [])
        assert read_facts("projector", f"Laser projector {written}{unit}") == {"lumens": count}


@pytest.mark.parametrize(
    ("what", "facts"),
    [
        ("Digital console, 32 ch, 12 mix buses", {"channels": 32, "mix_buses": 12}),
        ("Rack digital mixer, 16 in", {"inputs": 16}),
        ("Display 55 in", {"diagonal_in": 55}),
        ("Laser projector 6,000 lm", {"lumens": 6000}),
        ("Managed network switch 24-port, powered", {"ports": 24, "managed": True}),
        ("Unmanaged network switch 8-port", {"ports": 8, "managed": False}),
        ("Stage box 24/12, two network ports", {"inputs": 24, "outputs": 12, "network_ports": 2}),
        ("Amplifier 2 x 1,200 W", {"amplifier_channels": 2, "watts_a_channel": 1200}),
        ("Full-range loudspeaker 2 x 15 in", {"drivers": 2, "driver_in": 15}),
        ("Powered subwoofer 15 in", {"drivers": 1, "driver_in": 15}),
        ("Loudspeaker processor 2 in / 6 out", {"inputs": 2, "outputs": 6}),
        ("Wireless handheld set 536-560 MHz", {"band_khz": (536000, 560000)}),
        ("Wireless handheld set 2.4 GHz", {"band_khz": (2_400_000, 2_483_500)}),
        ("Video switcher, 6 HDMI inputs", {"inputs": 6, "hdmi": True}),
        ("Halogen spotlight 575 W", {"led": False}),
        ("LED spotlight, tunable white", {"led": True}),
        ("Lighting console, 2 universes", {"universes": 2}),
        ("Cargo trailer 6 x 10 ft", {}),
        ("Passive column loudspeaker", {}),
        ("House chairs, stacking, lot of 230", {}),
    ],
)
def test_the_words_of_a_piece(what, facts):
    assert read_facts(kind_of(what), what) == facts


def test_a_note_adds_what_the_words_leave_out_and_overrules_nothing():
    assert read_facts("subwoofer", "Subwoofer 2 x 18 in", "41 in wide")["width_mm"] == 1041
    assert read_facts("display", "Display 55 in", "replaces a 32 in")["diagonal_in"] == 55
    assert read_facts("computer", "Words computer", "two display outputs") == {"outputs": 2}


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("470.125 - 470.5 MHz", (470125, 470500)),
        ("536–560 MHz", (536000, 560000)),
        ("560-536 MHz", None),
        ("1.9 GHz", None),
        ("5.8 GHz", (5_725_000, 5_850_000)),
        ("band plate worn off", None),
    ],
)
def test_radio_ranges(text, band):
    assert read_band(text) == band


def test_the_facts_of_both_churches_agree_with_their_own_table():
    """What is read from names and notes is what the invented churches' fact tables say, wherever both speak."""
    for church in ("cordwain", "loomgate"):
        table = {}
        for row in csv.DictReader((DEMO / church / "piece_facts.csv").open(encoding="utf-8")):
            table[row["tag"], row["key"]] = must_haves.value_from(row["value"])
        seen = 0
        for row in csv.DictReader((DEMO / church / "gear.csv").open(encoding="utf-8")):
            for key, value in read_facts(kind_of(row["what"]), row["what"], row["note"]).items():
                if (row["tag"], key) in table:
                    seen += 1
                    assert table[row["tag"], key] == value, (church, row["tag"], key)
        assert seen > 40


@pytest.mark.parametrize(
    ("must", "facts", "kind", "met"),
    [
        (("inputs", "at least", "24"), {"inputs": 24}, "", True),
        (("inputs", "at least", "24"), {"inputs": 23}, "", False),
        (("inputs", "at least", "24"), {}, "", None),
        (("inputs", "at least", "24"), {"channels": 32}, "console", True),
        (("inputs", "at least", "24"), {"channels": 32}, "computer", None),
        (("kg", "at most", "25"), {"kg": 25.0}, "", True),
        (("kg", "at most", "25"), {"kg": 25.1}, "", False),
        (("drivers", "is", "1"), {"drivers": 2}, "", False),
        (("led", "has", "yes"), {"led": True}, "", True),
        (("led", "has", "yes"), {"led": False}, "", False),
        (("legal_band", "is", "yes"), {}, "", None),
        (("band_khz", "has", "536000-560000"), {"band_khz": (470000, 700000)}, "", True),
        (("band_khz", "has", "536000-560000"), {"band_khz": (540000, 700000)}, "", False),
        (("band_khz", "has", "536000-560000"), {"band_khz": 5}, "", False),
        (("rated_hanging_points", "has", "yes"), {"rated_hanging_points": True}, "", True),
    ],
)
def test_met_not_met_or_not_known(must, facts, kind, met):
    found = judge(must_from(*must), facts, kind)
    assert found.met is met
    assert str(found.say)


def test_reasons_in_words():
    must = read_must_haves("24 inputs or more").known[0]
    assert str(judge(must, {"inputs": 16}).say) == "inputs: 16; asked: 24 inputs or more"
    assert str(judge(must, {"inputs": 32.0}).say) == "inputs: 32, as asked: 24 inputs or more"
    assert str(judge(must, {}).say) == "inputs not recorded; asked: 24 inputs or more"
    legal = must_from("legal_band", "is", "yes")
    assert str(judge(legal, {"legal_band": False}).say) == "legal here: no; asked: yes"
    band = must_from("band_khz", "has", "536000-560000", "covers 536-560 MHz")
    assert str(judge(band, {"band_khz": (470000, 500000)}).say) == (
        "radio range: 470-500 MHz; asked: covers 536-560 MHz"
    )
    heavy = judge(read_must_haves("55 lb or less").known[0], {"kg": 58.1}).say
    wide = judge(read_must_haves("30 in wide or less").known[0], {"width_mm": 1041}).say
    assert str(heavy) == "mass: 58.1 kg; asked: 55 lb or less"
    assert heavy.words(show=lambda value: shown(value, pack("US"))) == "mass: 128 lb; asked: 55 lb or less"
    assert wide.words(show=lambda value: shown(value, pack("US"))) == "width: 41 in; asked: 30 in wide or less"
    assert str(wide) == "width: 1041 mm; asked: 30 in wide or less"
    assert [met.met for met in judge_all([must, legal], {"inputs": 30})] == [True, None]
    assert (must.unit, MustHave("kg", "at most", 5).unit, MustHave("sparkle", "has", True).unit) == ("", "kg", "")


@given(st.integers(0, 500), st.integers(0, 500))
def test_more_of_a_thing_never_meets_less(has, asked):
    more = judge(must_from("inputs", "at least", str(asked)), {"inputs": has}).met
    assert more == (has >= asked)
    assert judge(must_from("kg", "at most", str(asked)), {"kg": has}).met == (has <= asked)


@pytest.mark.parametrize(
    ("text", "value"),
    [("yes", True), ("No", False), ("24", 24), ("24.5", 24.5), ("1,200", 1200), ("536000-560000", (536000, 560000))],
)
def test_stored_values(text, value):
    assert must_haves.value_from(text) == value


def test_a_value_or_operator_that_means_nothing_is_refused():
    assert must_haves.value_from("a few") is None
    for operator, value in (("at least", "a few"), ("roughly", "5")):
        with pytest.raises(ValueError, match="not a must-have"):
            must_from("inputs", operator, value)


def test_a_receiver_with_four_handhelds_counts_as_four():
    assert must_haves.units_in("Quad wireless receiver with 4 handhelds 536-560 MHz", 1) == 4
    assert must_haves.units_in("Wireless in-ear receivers 572-596 MHz, lot of 4", 4) == 4


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("Digital console, 32 ch, 12 mix buses", "console"),
        ("Lighting console, 2 universes", "lighting console"),
        ("Tablet for the rack mixer", "tablet"),
        ("Personal-mixer hub, 6 powered ports", "personal-mixer hub"),
        ("Loudspeaker stands, lot of 4", "loudspeaker stand"),
        ("Keyboard stand, double brace", "music stand"),
        ("Amplifier flight case 6U, empty", "case"),
        ("Projector ceiling bracket", "bracket"),
        ("Aerial and coax runs, lot", "cable"),
        ("Wall clock and count-down display", "clock"),
        ("Quad wireless receiver with 4 handhelds 536-560 MHz", "wireless handheld"),
        ("Microphone cables mixed, lot of 30", "cable"),
        ("Wireless in-ear receivers 572-596 MHz, lot of 4", "in-ear receiver"),
        ("Hearing assistance", "hearing receiver"),
        ("Words computer with three outputs", "computer"),
        ("Cassette deck", ""),
        ("", ""),
    ],
)
def test_kinds(words, kind):
    assert kind_of(words) == kind


@given(st.text(max_size=80))
def test_a_kind_is_one_of_the_list_or_none(text):
    assert kind_of(text) in {"", "tablet", *(kind for kind, _pattern in COMPILED)}
