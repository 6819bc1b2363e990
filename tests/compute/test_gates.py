"""Gates: each answers with its reason, its source and, where a rule stands behind it, the day it was checked."""

from datetime import date

import pytest

from inventory.compute import gates
from people.compute.phrasing import shown
from people.packs import pack

TODAY = date(2026, 11, 3)
LOCAL = {26: "vacant", 27: "occupied"}


def legal(low, high, country="US", **more):
    return gates.legal(country, (low * 1000, high * 1000), TODAY, **more)


@pytest.mark.parametrize(
    ("gate", "result"),
    [
        (legal(698, 746), "fail"),
        (legal(640, 664), "depends"),
        (legal(596, 630), "depends"),
        (legal(536, 560), "depends"),
        (legal(536, 560, local_channels=LOCAL), "pass"),
        (legal(902, 928), "pass"),
        (legal(740, 764, "GB"), "fail"),
        (legal(607, 613, "GB"), "depends"),  # needs a licence
        (legal(863, 865, "GB"), "pass"),
        (legal(72, 73, use="hearing assistance"), "pass"),
        (legal(72, 73), "depends"),
        (gates.legal("US", None, TODAY), "depends"),
        (gates.legal("US", None, TODAY, transmits=False), "pass"),
        (legal(698, 746, transmits=False), "pass"),
    ],
)
def test_legal_by_country_range_and_place(gate, result):
    """Source: the radio tables, each rule with its own source."""
    assert gate.result == result
    assert gate.source and str(gate.say)
    assert gate.passed == (result == "pass") and gate.failed == (result == "fail")


def test_the_legal_gate_names_the_regulator_and_the_day():
    gate = legal(698, 746)
    assert "Federal Communications Commission" in gate.source
    assert gate.checked_on == date(2026, 11, 25)
    assert legal(902, 928).checked_on


@pytest.mark.parametrize(
    ("condition", "result"),
    [
        ("tested good", "pass"),
        ("works, marked", "pass"),
        ("faulty", "depends"),
        ("not yet tested", "depends"),
        ("unsafe", "fail"),
        ("dead", "fail"),
        ("not found", "fail"),
    ],
)
def test_safe_by_condition(condition, result):
    assert gates.safe(condition).result == result


def test_a_swollen_battery_fails_whatever_else_is_recorded():
    gate = gates.safe("tested good", lithium_swollen=True)
    assert gate.failed and "do not charge" in str(gate.say)


def test_a_test_is_shown_with_its_day():
    gate = gates.safe("tested good", tested_on=date(2026, 9, 1))
    assert (str(gate.say), gate.checked_on) == ("Tested on 2026-09-01.", date(2026, 9, 1))


# Notes of the invented churches' lists.
@pytest.mark.parametrize(
    ("note", "bond"),
    [
        ("lease-to-own until 2027-03-31: cannot be sold", gates.LEASE),
        ("hire purchase to 31 Mar 2027: cannot be sold", gates.LEASE),
        ("belongs to Dale Haverkamp", gates.LENT),
        ("on loan from Ainscarth Players; two packs dead", gates.LENT),
        ("given in memory of E. Teague: never sell", gates.MEMORY),
        ("gift in memory of E. Thwaite: never sell", gates.MEMORY),
        ("landlord's; we may use, not move", gates.LANDLORD),
        ("written into the sale contract", gates.LANDLORD),
        ("given for children's work", gates.DONOR),
        ("left by the bowling alley: trace before use", gates.OURS),
        ("sell with the BN-215 pair", gates.OURS),
        ("", gates.OURS),
    ],
)
def test_what_binds_a_piece_is_read_from_plain_sayings_only(note, bond):
    assert gates.bond_of(note) == bond


def test_an_owner_other_than_the_church_has_lent_it():
    assert gates.bond_of("", owner="Dale") == gates.LENT
    assert gates.bond_of("", owner="Church") == gates.OURS


@pytest.mark.parametrize(
    ("bond", "more", "result", "says"),
    [
        (gates.OURS, {}, "pass", "own"),
        (gates.OURS, {"never_sell": True}, "fail", "never to sell"),
        (gates.LENT, {"owner": "Dale Haverkamp"}, "fail", "belongs to Dale Haverkamp"),
        (gates.LENT, {}, "fail", "belongs to somebody else"),
        (gates.LEASE, {}, "fail", "until when is not recorded"),
        (gates.LEASE, {"until": date(2027, 3, 31)}, "fail", "until 2027-03-31"),
        (gates.LEASE, {"until": date(2026, 11, 3)}, "fail", "until 2026-11-03"),
        (gates.LEASE, {"until": date(2026, 11, 2)}, "depends", "ended on 2026-11-02"),
        (gates.MEMORY, {}, "fail", "in memory"),
        (gates.LANDLORD, {}, "fail", "stays"),
        (gates.DONOR, {}, "depends", "treasurer"),
    ],
)
def test_ours_to_dispose_of(bond, more, result, says):
    gate = gates.ours_to_dispose(bond, TODAY, **more)
    assert gate.result == result
    assert says in str(gate.say)


@pytest.mark.parametrize(
    ("bond", "result"),
    [(gates.OURS, "pass"), (gates.MEMORY, "pass"), (gates.LENT, "depends"), (gates.LANDLORD, "depends")],
)
def test_ours_to_use(bond, result):
    assert gates.ours_to_use(bond, owner="Dale").result == result


@pytest.mark.parametrize(
    ("busy_until", "needed_from", "result"),
    [
        (None, None, "pass"),
        (None, date(2026, 11, 1), "pass"),
        (date(2026, 11, 22), None, "depends"),
        (date(2026, 11, 22), date(2026, 11, 23), "pass"),
        (date(2026, 11, 22), date(2026, 11, 22), "fail"),
    ],
)
def test_free_when_needed(busy_until, needed_from, result):
    assert gates.free_when_needed(busy_until, needed_from).result == result


@pytest.mark.parametrize(
    ("missing", "cost", "value", "result"),
    [
        ([], None, None, "pass"),
        (["power supply"], None, 5000, "depends"),
        (["power supply"], 1200, None, "depends"),
        (["power supply"], 1200, 5000, "depends"),
        (["power supply"], 5000, 5000, "fail"),
    ],
)
def test_complete_or_worth_completing(missing, cost, value, result):
    gate = gates.complete(missing, cost, value)
    assert gate.result == result
    assert ("power supply" in str(gate.say)) == bool(missing)


@pytest.mark.parametrize(
    ("facts", "result"),
    [
        ({}, "pass"),
        ({"width_mm": 1041.4, "door_mm": 914.4}, "fail"),  # 41 in through a 36 in door
        ({"width_mm": 762, "door_mm": 914.4}, "pass"),
        ({"width_mm": 762}, "pass"),
        ({"mains_volts": [230], "volts_here": 120}, "fail"),
        ({"mains_volts": [100, 240], "volts_here": 230}, "pass"),
        ({"mains_volts": [115], "volts_here": 120}, "pass"),
        ({"mains_volts": [], "volts_here": 120}, "pass"),
    ],
)
def test_fits_through_the_door_and_to_the_mains(facts, result):
    assert gates.fits(**facts).result == result


def test_a_heavy_piece_fits_and_is_carried_by_two():
    """Source: load constant of the NIOSH lifting equation, 23 kg or 51 lb: a guide, not a limit of law."""
    assert "two people" not in str(gates.fits(grams=23_000).say)
    assert "two people" in str(gates.fits(grams=23_001).say)


def test_the_worst_gate_decides():
    pass_, depends, fail = gates.safe("tested good"), gates.safe("faulty"), gates.safe("dead")
    assert gates.worst([]) == "pass"
    assert gates.worst([pass_, depends]) == "depends"
    assert gates.worst([fail, depends, pass_]) == "fail"


HERE = gates.Around("US", TODAY, LOCAL)


def asked(fate, **recorded):
    return {gate.name: gate.result for gate in gates.gates_for(fate, gates.Standing(**recorded), HERE)}


def test_each_fate_asks_its_own_gates():
    mic = {"kind": "wireless handheld", "condition": "tested good", "band_khz": (698000, 746000)}
    assert asked("use here", **mic) == {"legal": "fail", "safe": "pass", "ours": "pass", "complete": "pass"}
    assert asked("sell", **mic) == {"legal": "fail", "safe": "pass", "ours": "pass"}
    assert asked("recycle", **mic) == {"ours": "pass"}
    assert asked("to decide", **mic) == asked("back to owner", **mic) == {}
    assert asked("sell", bond="lent") == {"safe": "depends", "ours": "fail"}
    assert asked("give away", never_sell=True, condition="tested good")["ours"] == "fail"
    assert asked("use here", missing=("power supply",))["complete"] == "depends"


def test_who_has_a_radio():
    assert gates.Standing(kind="wireless headset").radio_use == "microphone"
    assert asked("use here", kind="wireless headset")["legal"] == "depends"  # nobody has read the plate
    assert gates.Standing(kind="in-ear receiver").radio_use == ""
    assert gates.Standing(kind="in-ear receiver", band_khz=(572000, 596000)).radio_use == "in-ear"
    assert gates.Standing(kind="hearing transmitter").radio_use == "hearing assistance"
    assert gates.Standing(kind="intercom").radio_use == ""
    assert gates.Standing(kind="thing", band_khz=(1, 2)).radio_use == "microphone"


def test_a_door_is_written_in_the_unit_of_the_country():
    say = gates.fits(width_mm=1041.4, door_mm=914.4).say
    assert str(say) == "It is 1041.4 mm wide and the door 914.4 mm."
    assert say.words(show=lambda value: shown(value, pack("US"))) == "It is 41 in wide and the door 36 in."
