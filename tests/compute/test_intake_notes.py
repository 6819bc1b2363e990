"""Notes line by line, lists without headings, headings nobody knows. Wordings: common practice of gear lists."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.compute.intake import LEFT_OUT, Draft, RowDraft, draft
from inventory.compute.intake.conditions import legend_of, read_condition
from inventory.compute.intake.dates import read_when
from inventory.compute.intake.headings import meaning
from inventory.compute.intake.money import read_money
from inventory.compute.intake.note_lines import cells_of_line, head_of_line
from inventory.compute.intake.quantities import read_quantity
from inventory.compute.intake.units import read_weight
from inventory.compute.intake.xlsx_styles import currency_of
from inventory.compute.serials import read_serials
from inventory.compute.twins import TwinRow, compare

TODAY = date(2026, 7, 9)


def read(text: str) -> Draft:
    return draft(text.encode(), "list.csv", day_first=False, currency="USD", today=TODAY)


def things(found: Draft) -> list[RowDraft]:
    return [row for row in found.rows if row.verdict != LEFT_OUT]


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        (
            "2x wedge, one dead - in shed",
            [("what", "wedge"), ("quantity", "2x"), ("condition", "one dead"), ("place", "shed")],
        ),
        ("½ doz music stands", [("what", "music stands"), ("quantity", "½ doz")]),
        ("mic stands - about a dozen", [("what", "mic stands"), ("quantity", "about a dozen")]),
        ("speaker, s/n 017750, £220", [("what", "speaker"), ("serial", "s/n 017750"), ("price", "£220")]),
        ("desk, 2008ish, under the stairs", [("what", "desk"), ("bought", "2008ish"), ("place", "under the stairs")]),
        ("DI box 3 good 1 dead", [("what", "DI box"), ("condition", "3 good, 1 dead")]),
        ("snake 16/4, Plinthwork SK-164", [("what", "snake 16/4, Plinthwork SK-164")]),
        ("columns, Bob's?", [("what", "columns, Bob's?")]),
        ("amp, blue trunk, in the loft", [("what", "amp"), ("place", "blue trunk"), ("note", "in the loft")]),
        ("fog machine - goes back", [("what", "fog machine"), ("note", "goes back")]),
        ("amp (old, heavy)", [("what", "amp (old, heavy)")]),
        ("lamp, purple", [("what", "lamp"), ("note", "purple")]),
    ],
)
def test_a_line_of_a_note_is_cut_into_cells(line: str, cells: list[tuple[str, str]]) -> None:
    assert cells_of_line(line) == cells


@given(st.text(alphabet="abc XY12,-–;()'\"£½.", max_size=60))
def test_no_word_of_a_line_is_lost(line: str) -> None:
    kept = " ".join(text for _, text in cells_of_line(line))
    for word in line.replace(",", " ").replace(";", " ").split():
        if word.isalnum() and word.lower() not in ("in", "on", "at"):
            assert word in kept
    assert head_of_line(line) in line


def test_a_note_of_sentences_and_things() -> None:
    found = read(
        "Stuff in the van (Nico, Sat 12 Sept)\n\n* 2 x wedges, one dead\n- laptop - battery swollen, don't charge\n"
        "ask Ray about the ladder\nSHED\n4 DI boxes - works\n--- end ---\ntotal about 7 bits\n"
    )
    read_in = {row.row: row for row in things(found)}
    assert sorted(read_in) == [3, 4, 7]
    assert read_in[3].fields["quantity"] == 2 and "COND_SPLIT" in read_in[3].flags
    assert read_in[4].fields["condition"] == "unsafe"
    assert read_in[7].fields["quantity"] == 4 and read_in[7].fields["place"] == "SHED"


def test_a_price_in_a_line_is_a_price() -> None:
    row = things(read("- speaker, works, $220?\n- amp, paid $90\n- mixer 12 ch\n"))
    assert row[0].fields["price_minor"] == 22000 and "PRICE_ODD" in row[0].flags
    assert row[1].fields["price_minor"] == 9000


def test_codes_makers_and_bins_without_headings() -> None:
    found = things(
        read(
            "Vocal mic\tFennick\tFV-31\tFV31-12001\tgood\tBin 3\nDI box\tFennick\tFD-1\t\tgood\tBin 3\n"
            "Switcher\tHalvane\tHV-6\tHV6-4410\tgood\tShelf\n"
        )
    )
    assert [row.fields.get("model") for row in found] == ["FV-31", "FD-1", "HV-6"]
    assert [row.fields.get("serial") for row in found] == ["FV31-12001", None, "HV6-4410"]
    assert {row.fields.get("maker") for row in found} == {"Fennick", "Halvane"}
    assert [row.fields.get("place") for row in found] == ["Bin 3", "Bin 3", "Shelf"]


@pytest.mark.parametrize(
    ("codes", "name"), [(("AB12-0001", "AB12-0002"), "serial"), (("AB-1", "AB-2"), "model"), (("A-1001",) * 2, "model")]
)
def test_one_column_of_codes_without_headings(codes: tuple[str, str], name: str) -> None:
    found = things(read("".join(f"Microphone\t{code}\tgood sound\n" for code in codes)))
    assert [row.fields.get(name) for row in found] == list(codes)


def test_a_column_headed_type_beside_makers_holds_models() -> None:
    text = "Device,Manufacturer,Type,Pcs\nMixer,Hobsley,RK-160,1\nSub,Brindlow,BN-15S,1\n"
    assert [row.fields.get("model") for row in things(read(text))] == ["RK-160", "BN-15S"]
    kinds = "Device,Manufacturer,Type,Pcs\nMixer,Hobsley,audio,1\nSub,Brindlow,audio,1\n"
    assert all("model" not in row.fields for row in things(read(kinds)))


def test_headings_nobody_knows_leave_it_to_the_cells() -> None:
    text = "Item,W / DW,Zone,Moved to,Qty\nMic,W,Balcony,Hall,1\nAmp,DW,Vestry,Hall,1\nSub,W,Balcony,Hall,1\n"
    found = read(text)
    assert [column.field for column in found.columns[:3]] == ["what", "condition", "place"]
    assert things(found)[0].fields["place"] == "Balcony" and "Hall" in things(found)[0].fields["note"]


def test_item_and_model_in_one_column_are_things() -> None:
    for heading in ("Item / Model", "Model"):
        found = things(read(f"{heading},Qty,Room\nAmplifier PA-300,1,Booth\nWireless microphone FV-31,2,Booth\n"))
        assert [row.fields["what"] for row in found] == ["Amplifier", "Wireless microphone"]


def test_descriptions_that_begin_with_maker_and_model() -> None:
    text = "Description,Qty\n" + "".join(f"Maker{n} X{n}0 amp,1\n".replace(str(n), "abcd"[n], 1) for n in range(4))
    assert all(row.fields["maker"] and not {"MAKER", "MODEL"} & set(row.flags) for row in things(read(text)))


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Who makes it", "maker"),
        ("Who has it", "person"),
        ("Whereabouts", "place"),
        ("Cond'n", "condition"),
        ("Ser. Nos.", "serial"),
        ("£ new", "price_new"),
        ("Worth (each)", "price_each"),
        ("Est. $", "price"),
        ("Any other info", "note"),
        ("State of it", "condition"),
        ("Item / Model", "what"),
    ],
)
def test_more_headings(heading: str, field: str) -> None:
    assert meaning(heading)[0] == field


@pytest.mark.parametrize(
    ("text", "quantity", "word"),
    [
        ("in order", 1, "tested good"),
        ("defect", 1, "faulty"),
        ("failed PAT 2023", 1, "unsafe"),
        ("battery puffed up!", 1, "unsafe"),
        ("plug burnt", 1, "unsafe"),
        ("1/1 working", 1, "tested good"),
        ("VGC", 1, "tested good"),
        ("U/S", 1, "faulty"),
        ("5 VGC 1 US", 6, "mixed"),
        ("2 failed, rest OK", 1, "mixed"),
    ],
)
def test_more_states(text: str, quantity: int, word: str) -> None:
    assert read_condition(text, None, quantity).word == word


def test_a_key_with_a_question_mark() -> None:
    assert legend_of("W = works   DW = doesn't work   ? = didn't try") == {
        "w": "works, marked?",
        "dw": "faulty",
        "?": "not yet tested",
    }


@pytest.mark.parametrize(
    ("text", "written", "doubt"),
    [
        ("without", "", ""),
        ("same", "", "SERIAL_COPY"),
        ("-do-", "", "SERIAL_COPY"),
        ("110000000000", "", "SERIAL_LOST"),
        ("10055 is the old one", "", "SERIAL_PARTIAL"),
        ("XXX-0001 to XXX-0002", "XXX-0001;XXX-0002", ""),
        ("HAR-001~003", "HAR-001;HAR-002;HAR-003", ""),
    ],
)
def test_more_serials(text: str, written: str, doubt: str) -> None:
    found = read_serials(text, None)
    assert (found.written, found.doubt) == (written, doubt)


def test_more_counts_weights_dates_and_prices() -> None:
    assert [read_quantity(text).number for text in ("3 St.", "3 (4?)", "6 or 7", "about a dozen")] == [3, 3, 6, 12]
    assert read_quantity("0/0").number is None
    assert read_weight("31 1/2 lb").value == 14.288 and read_weight("2½ kg each").value == 2.5
    assert read_when("abt 2009", TODAY).precision == "about"
    assert read_money("$45 @").per == "each" and read_money("330 the six").per == "all"


def test_dollars_of_other_countries() -> None:
    # Windows language code identifiers (from memory): 1009 Canada, C09 Australia, 409 United States
    codes = ("[$$-1009]#,##0", "[$CA$-1009]#,##0", "[$$-C09]#,##0", "[$$-409]#,##0", "[$CHF] #,##0", '"$"#,##0')
    assert [currency_of(code) for code in codes] == ["CAD", "CAD", "AUD", "USD", "CHF", "$"]


def test_a_maker_named_in_words_and_a_model_at_the_head_of_a_serial_are_evidence() -> None:
    left = TwinRow("a", "TR", "tr", {"what": "Hobsley stage box", "quantity": 1}, 9, "Renata has it")
    right = TwinRow("b", "FS", "fs", {"what": "Stage box 24x12", "maker": "Hobsley", "quantity": 1}, 3)
    found = compare(left, right)
    assert found is not None and "Both are made by Hobsley." in found.evidence
    piano = TwinRow("c", "TR", "tr", {"what": "Piano", "serial": "KB700-3110", "year": 2024, "quantity": 1}, 4)
    other = TwinRow("d", "FS", "fs", {"what": "KB-700", "model": "KB-700", "year": 2024, "quantity": 1}, 5)
    assert compare(piano, other) is not None and compare(other, piano) is not None


def test_a_tag_column_of_words_names_the_things() -> None:
    text = "asset,make+model,n\nconsole,Hobsley DS-32,1\nstage box,Hobsley SB-24,2\namp,Gadsworth GA-1200,1\n"
    found = things(read(text))
    assert [row.fields["what"] for row in found] == ["console", "stage box", "amp"]
    assert [row.fields["quantity"] for row in found] == [1, 2, 1]


def test_a_line_of_dashes_is_no_piece() -> None:
    assert len(things(read("Item,Qty,Room\nMic,1,Booth\n---,---,---\nEnd of list?,,\n"))) == 1
