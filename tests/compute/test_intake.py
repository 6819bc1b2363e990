"""Small lists, each with one kind of ugliness: what is read, asked, set aside. Kinds: common practice of gear lists."""

from __future__ import annotations

import csv
import io
import time
from collections.abc import Callable
from datetime import date
from typing import Any

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from inventory.compute.intake import ASK, LEFT_OUT, NEW, Draft, RowDraft, Unreadable, draft, question_key

TODAY = date(2026, 7, 9)


def read(text: str | bytes, name: str = "list.csv", **more: Any) -> Draft:
    data = text.encode() if isinstance(text, str) else text
    return draft(data, name, **{"day_first": False, "currency": "USD", "today": TODAY} | more)


def rows(found: Draft) -> dict[int, RowDraft]:
    return {row.row: row for row in found.rows if row.part == 1}


def book(fill: Callable[[Any], None]) -> bytes:
    made = openpyxl.Workbook()
    fill(made)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def codes(found: Draft) -> set[str]:
    return {each.code for each in found.questions}


PLAIN = (
    "Item,Make,Model,Serial,Qty,Room,Price\nSpeaker,Brindlow,P12A,P12A-0177,1,Stage,$50\n"
    "Mic,Fennick,V4,V4-118,2,Booth,$35 each\n"
)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(encoding: str) -> None:
    found = read(PLAIN.replace("Stage", "Café").encode(encoding))
    assert rows(found)[2].fields["place"] == "Café"
    assert ("ENCODING" in codes(found)) == (encoding == "cp1252")


def test_letters_spoilt_once_are_put_right_and_said() -> None:
    found = read(PLAIN.replace("$50", "Â£50").replace("Stage", "Stage â€“ left").encode("utf-8"))
    assert rows(found)[2].fields["currency"] == "GBP" and rows(found)[2].fields["place"] == "Stage – left"
    assert "spoilt" in found.notes[0] and "ENCODING" in codes(found)


def test_a_lonely_strange_letter_is_left_alone() -> None:
    assert rows(read(PLAIN.replace("Stage", "Stage Ã\u0081x")))[2].fields["place"]


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_separators(mark: str) -> None:
    found = read(PLAIN.replace(",", mark))
    assert rows(found)[3].fields["maker"] == "Fennick" and rows(found)[3].fields["quantity"] == 2


def test_semicolons_beside_decimal_commas() -> None:
    found = read(
        "Item;Make;kg;Price\nAmp;Gadsworth;11,0;70,00\nMic;Fennick;0,2;35,50\nSub;Brindlow;12,5;1.400,00\n",
        currency="EUR",
    )
    assert [row.fields["price_minor"] for row in found.rows] == [7000, 3550, 140000]
    assert [row.fields["kg"] for row in found.rows] == [11.0, 0.2, 12.5]


def test_points_and_commas_in_one_list_are_asked() -> None:
    text = "Item;Make;kg;Price\nAmp;Gadsworth;11,0;70.00\nMic;Fennick;0,2;35,50\nSub;Brindlow;12,5;1.400\n"
    assert "DECIMAL" in codes(read(text, currency="EUR"))
    assert read(text, answers={question_key("DECIMAL", ""): "point"}).rows[2].flags == ("PRICE_ODD",)


def test_line_breaks_inside_quotes_do_not_begin_a_row() -> None:
    found = read('Item,Serial,Qty,Notes\nTVs,"S55-2001\nS55-2002",2,"first line\nsecond"\nMic,V4-11801,1,\n')
    assert rows(found)[2].fields["serial"] == "S55-2001;S55-2002"
    assert rows(found)[3].fields["what"] == "Mic"


def test_empty_rows_count() -> None:
    assert set(rows(read(PLAIN + "\n\n,,,\nSub,Brindlow,S15,S15-1,1,Stage,9\n"))) >= {2, 3, 7}


def test_headings_below_titles_and_again_further_down() -> None:
    headings = "Item,Make,S/N,Where?\n"
    text = f"OUR GEAR (v3),,,\n,,,\n{headings}Mic,Fennick,V4-1,Booth\n{headings}Amp,Gadsworth,A3-1,Rack\n"
    found = read(text)
    assert [row.row for row in found.rows if row.verdict != LEFT_OUT] == [4, 6]
    assert found.sheets[0].header_row == 3 and found.sheets[0].title == "OUR GEAR (v3)"
    assert rows(found)[5].reason == "Left out: the headings again."


def test_other_headings_further_down_have_their_own_meaning() -> None:
    text = "Item,Make,Serial,Room\nMic,Fennick,V4-1,Booth\n,,,\nRoom,Item,Qty,Condition\nHall,Amp,2,dead\n"
    found = rows(read(text))[5].fields
    assert (found["place"], found["what"], found["quantity"], found["condition"]) == ("Hall", "Amp", 2, "dead")


def test_totals_remarks_and_sections_are_set_aside() -> None:
    text = (
        PLAIN
        + "SOUND:,,,,,,\nTotal sound,,,,,,$120\n^ the mic rattles,,,,,,\n"
        + ",,,,,,$300\nDO NOT SELL - the speaker is Edith's,,,,,,\n"
    )
    found = read(text)
    assert [row.verdict for row in found.rows] == [NEW, ASK, *[LEFT_OUT] * 5][:0] or all(
        row.verdict == LEFT_OUT for row in found.rows[2:]
    )
    assert "the mic rattles" in rows(found)[3].notes
    assert rows(found)[2].fields["do_not_sell"] and "BOUND" in rows(found)[2].flags


def test_a_remark_far_below_belongs_to_the_list() -> None:
    found = read(PLAIN + ",,,,,,\n" * 6 + "Prices are what we might get for it.,,,,,,\n")
    assert "Prices are what we might get for it." in found.notes


def test_ditto_marks_repeat_the_row_above() -> None:
    found = read('Item,Make,Serial,Room\nMic,Fennick,V4-11801,Booth\n"""",ditto,"""",do.\n')
    row = rows(found)[3]
    assert (row.fields["what"], row.fields["maker"], row.fields["place"]) == ("Mic", "Fennick", "Booth")
    assert "serial" not in row.fields and {"DITTO", "SERIAL_PARTIAL"} <= set(row.flags)


def test_dates_that_nothing_proves_are_asked_once_and_answered() -> None:
    text = "Item,Make,Bought\nMic,Fennick,03/04/19\nAmp,Gadsworth,05/06/2018\n"
    asked = [each for each in read(text).questions if each.code == "DATE_ORDER"]
    assert len(asked) == 1 and asked[0].rows == (2, 3) and asked[0].guess == "month" and asked[0].field == "bought"
    answered = read(text, answers={asked[0].key: "day"})
    assert answered.rows[0].fields["bought"] == "2019-04-03" and answered.rows[0].flags == ()
    assert "DATE_ORDER" not in codes(answered)


def test_words_of_a_list_are_asked_once_and_answered() -> None:
    text = "Item,Make,Condition\nMic,Fennick,fair\nAmp,Gadsworth,fair\n"
    found = read(text)
    key = question_key("COND_WORD", "", "fair")
    assert {each.key: each.rows for each in found.questions}[key] == (2, 3)
    answered = read(text, answers={key: "faulty"})
    assert [row.fields["condition"] for row in answered.rows] == ["faulty", "faulty"] and not answered.rows[0].flags


def test_a_key_above_the_list_explains_its_words() -> None:
    found = read("Y = plugged in and tested; N = dead\nItem,Make,Works?\nMic,Fennick,Y\nAmp,Gadsworth,N\n")
    assert [row.fields["condition"] for row in found.rows[1:]] == ["tested good", "dead"]
    assert not found.rows[1].flags


def test_prices_each_or_for_all_are_asked_once_and_answered() -> None:
    text = "Item,Make,Qty,Value\nMic,Fennick,4,100\nStand,Plinthwork,6,60\n"
    found = read(text)
    assert all("PRICE_EACH_ALL" in row.flags for row in found.rows)
    answered = read(
        text, answers={question_key("PRICE_EACH_ALL", ""): "all", question_key("PRICE_KIND", "", "Value"): "paid"}
    )
    assert [row.fields["price_per"] for row in answered.rows] == ["all", "all"]
    assert [row.fields["price_kind"] for row in answered.rows] == ["paid", "paid"] and not answered.rows[0].flags


def test_tax_on_top_is_asked_and_answered() -> None:
    text = "Item,Make,Value\nMic,Fennick,100 + tax\n"
    assert "PRICE_TAX" in read(text).rows[0].flags
    answered = read(text, answers={question_key("PRICE_TAX", ""): "in"}).rows[0]
    assert answered.fields["price_tax"] == "in" and not answered.flags


def test_two_kinds_of_price_are_both_kept() -> None:
    row = read("Item,Make,Cost new,Paid,Worth now,Total\nMic,Fennick,$90,$60,$35,$35\n").rows[0]
    assert (row.fields["price_minor"], row.fields["price_kind"]) == (3500, "worth now")
    assert "Paid: $60" in row.fields["note"] and "Cost new: $90" in row.fields["note"]


def test_only_a_line_total() -> None:
    row = read("Item,Make,Qty,Total\nMic,Fennick,4,$140\n").rows[0]
    assert (row.fields["price_minor"], row.fields["price_per"]) == (14000, "all")


def test_foreign_money_is_asked() -> None:
    found = read("Item,Make,Value\nMic,Fennick,$40\nAmp,Gadsworth,$60\nCamera,Dunmere,€440\n")
    assert found.rows[2].fields["currency"] == "EUR" and "CURRENCY" in found.rows[2].flags
    assert (
        not read(
            "Item,Make,Value\nMic,Fennick,$4\nCamera,Dunmere,€44\nAmp,Gadsworth,$6\n",
            answers={question_key("CURRENCY", "", "EUR"): "keep"},
        )
        .rows[1]
        .flags
    )


def test_weights_without_a_unit_are_asked_and_answered() -> None:
    text = "Item,Make,Weight\nMic,Fennick,12\nAmp,Gadsworth,20 kg\n"
    found = read(text)
    asked = next(each for each in found.questions if each.code == "UNIT")
    assert asked.guess == "lb" and "UNIT" in found.rows[0].flags and not found.rows[1].flags
    assert read(text, answers={asked.key: "kg"}).rows[0].fields["kg"] == 12.0
    assert read("Item,Make,Wt (lb)\nMic,Fennick,10\n").rows[0].fields["kg"] == 4.536


def test_zeros_lost_in_front_of_serials() -> None:
    found = read("Item,Make,Serial\nMic,Fennick,00427\nMic,Fennick,428\nMic,Fennick,99428\n")
    assert ["SERIAL_ZERO" in row.flags for row in found.rows] == [False, True, False]


def test_a_serial_filled_down_is_asked_and_answered() -> None:
    text = "Item,Model,Serial\nSplitter,D4,D4-120\nSplitter,D4,D4-120\nSplitter,D4,D4-121\n"
    assert ["SERIAL_COPY" in row.flags for row in read(text).rows] == [False, True, False]
    assert "serial" not in read(text, answers={question_key("SERIAL_COPY", ""): "blank"}).rows[1].fields
    assert read(text, answers={question_key("SERIAL_COPY", ""): "keep"}).rows[1].fields["serial"] == "D4-120"


def test_an_answer_may_leave_a_doubtful_field_empty() -> None:
    text = "Item,Make,Serial\nMic,Fennick,…1183\n"
    assert read(text).rows[0].fields["serial"] == "1183"
    left = read(text, answers={question_key("SERIAL_PARTIAL", ""): "blank"}).rows[0]
    assert "serial" not in left.fields and left.verdict == NEW
    assert "1183" in left.fields["note"]


def test_a_row_of_two_things_is_kept_whole_until_somebody_says_otherwise() -> None:
    text = 'Item,Serial,Price,kg\nDimmer DP6 + lighting desk M12,"DP6-11, M12-404",60 + 20,12 + 4\n'
    whole = read(text).rows
    assert len(whole) == 1 and "SPLIT" in whole[0].flags and whole[0].verdict == ASK
    parts = read(text, answers={question_key("SPLIT", "", "2"): "apart"}).rows
    assert [(row.part, row.fields["serial"], row.fields["price_minor"], row.fields["kg"]) for row in parts] == [
        (1, "DP6-11", 6000, 12.0),
        (2, "M12-404", 2000, 4.0),
    ]
    assert [row.key for row in parts] == ["!2", "!2.2"]
    assert len(read(text, answers={question_key("SPLIT", "", "2"): "keep"}).rows) == 1


def test_rooms_named_once_for_several_rows_are_asked_and_answered() -> None:
    text = "Room,Item,Make\nHall,Mic,Fennick\n,Amp,Gadsworth\n,Sub,Brindlow\nBooth,Desk,Ostwick\n"
    assert "PLACE_FILL" in rows(read(text))[3].flags and "place" not in rows(read(text))[3].fields
    filled = read(text, answers={question_key("PLACE_FILL", "", "gaps"): "fill"})
    assert [row.fields["place"] for row in filled.rows] == ["Hall", "Hall", "Hall", "Booth"] and not filled.rows[
        1
    ].flags


def test_rooms_as_headings_of_sections() -> None:
    text = "BOOTH\nItem,Make,Value\nMixer,Hobsley,$5\nSTAGE\nWedge,Brindlow,$10\n"
    found = read(text)
    assert [row.fields.get("place") for row in found.rows if row.verdict != LEFT_OUT] == ["BOOTH", "STAGE"]
    left = read(text, answers={question_key("PLACE_FILL", "", "section"): "leave"})
    assert all("place" not in row.fields for row in left.rows)


def test_two_lists_side_by_side_and_a_table_of_something_else() -> None:
    two = read("Item,Serial,Qty,,Item,Serial,Qty\nSpeaker,B-0177,1,,Mic,V4-11,1\n,,,,Amp,A3-12,1\n")
    assert sorted((row.key, row.fields["what"]) for row in two.rows) == [
        ("!2", "Speaker"),
        ("!2.2", "Mic"),
        ("!3", "Amp"),
    ]
    text = "Item,Serial,Qty,,Supplies,have,order\nSpeaker,B-0177,1,,AA cells,48,100\nMic,V4-11,1,,tape,3,\n"
    aside = read(text)
    assert [row.fields["what"] for row in aside.rows] == ["Speaker", "Mic"]
    assert any("AA cells" in note for note in aside.notes) and "SIDE_TABLE" in codes(aside)
    both = read(text, answers={question_key("SIDE_TABLE", "", "Supplies"): "read"})
    assert len(both.rows) == 4


def test_a_list_without_headings() -> None:
    found = read(
        "Speaker,Brindlow,P12A,P12A-0177,2,Stage,$50\nMicrophone,Fennick,V4,V4-118,1,Booth,$20\nConsole,Ostwick,N16,N16-5,1,Booth,$5\n"
    )
    first = found.rows[0]
    assert {name: first.fields[name] for name in ("what", "model", "serial", "quantity", "place", "price_minor")} == {
        "what": "Speaker", "model": "P12A", "serial": "P12A-0177", "quantity": 2, "place": "Stage", "price_minor": 5000,
    }  # fmt: skip
    assert all("NO_HEADINGS" in row.flags for row in found.rows)


def test_a_pasted_list_of_dashes() -> None:
    found = read(
        "Stuff at the shed\n- 2 BN-15S subs (one buzzes)\n- 6 mic cables\n- old snake, in the closet\n- Brindlow "
        "BN-12A speaker s/n BN12A-0177\n"
    )
    assert found.rows[0].verdict == LEFT_OUT
    assert [row.fields["quantity"] for row in found.rows[1:]] == [2, 6, 1, 1]
    assert found.rows[3].fields["place"] == "closet" and found.rows[4].fields["serial"] == "BN12A-0177"


def test_running_numbers_are_no_quantities() -> None:
    text = "No.,Item,Make\n" + "".join(f"{n},Mic,Fennick\n" for n in range(1, 9))
    found = read(text)
    assert all(row.fields["quantity"] == 1 and row.fields["tag"] for row in found.rows) and "QTY_HEADER" in codes(found)
    turned = read(text, answers={question_key("QTY_HEADER", "", "No."): "quantity"})
    assert [row.fields["quantity"] for row in turned.rows] == list(range(1, 9))


def test_bar_codes_are_no_serials() -> None:
    found = read("Item,Serial,Code\nMic,V4-11,2000000013240\nAmp,A3-1,2000000013257\n")
    assert "CODE_COL" in codes(found) and found.rows[0].fields["serial"] == "V4-11"


def test_people_are_dropped_unless_asked_for() -> None:
    text = "Item,Make,Who has it,Phone\nMic,Fennick,Elsie,555-0100\n"
    assert "Elsie" not in str(read(text).rows[0].fields) and "555-0100" not in read(text).to_json()
    kept = read(text, answers={question_key("PERSON_COL", "", "Who has it"): "read"})
    assert "Elsie" in kept.rows[0].fields["note"]


def test_a_remembered_mapping_stands_above_every_guess() -> None:
    text = "Zorp,Blip,Item\nV4-118,Hall,Mic\n"
    found = read(text, mapping={("", "A"): "serial", ("", "B"): "place", ("", "C"): "what"})
    assert (found.rows[0].fields["serial"], found.rows[0].fields["place"]) == ("V4-118", "Hall")
    dropped = read("Item,Make,Phone\nMic,Fennick,555\n", mapping={("", "B"): None})
    assert "maker" not in dropped.rows[0].fields


def test_the_fingerprint_hangs_on_the_words_alone() -> None:
    first, again = read(PLAIN), read("\n" + PLAIN.replace("$50", "$50 "))
    assert rows(first)[2].fingerprint == rows(again)[3].fingerprint
    assert rows(read(PLAIN.replace("$50", "$51")))[2].fingerprint != rows(first)[2].fingerprint


def test_colors_strikes_comments_hidden_and_merged_cells() -> None:
    def fill(made: Any) -> None:
        sheet = made.active
        sheet.append(["Room", "Item", "Make", "Serial", "Qty", "Price", "Secret"])
        for n in range(1, 7):
            sheet.append([None, "Mic", "Fennick", f"V4-10{n}0", 1, 20 + n, "under the stairs"])
        sheet["A2"] = "Hall"
        sheet.merge_cells("A2:A4")
        sheet.merge_cells("F6:F7")
        for column in "BCDEF":
            sheet[f"{column}3"].fill = PatternFill("solid", fgColor="FFFFFF00")
            sheet[f"{column}4"].font = Font(strike=True)
            sheet[f"{column}5"].font = Font(color="FFFF0000")
        sheet["B2"].comment = Comment("Don't sell, it is Edith's", "x")
        sheet.row_dimensions[6].hidden = True
        sheet.column_dimensions["G"].hidden = True

    data = book(fill)
    found = rows(read(data, "list.xlsx"))
    assert [found[n].fields.get("place") for n in range(2, 8)] == ["Hall"] * 3 + [None] * 3
    assert "PLACE_FILL" in found[5].flags and "COLOR" in found[3].flags and "COLOR" in found[5].flags
    assert {"STRIKE", "PRICE_STRIKE"} <= set(found[4].flags) and "HIDDEN_ROW" in found[6].flags
    assert "BOUND" in found[2].flags and "PRICE_MERGED" in found[7].flags
    answers = {
        question_key("COLOR", "Sheet", "fill FFFF00"): "to be sold",
        question_key("STRIKE", "Sheet"): "gone",
        question_key("HIDDEN_ROW", "Sheet"): "leave",
        question_key("HIDDEN_COL", "Sheet", "Secret"): "read",
    }
    answered = rows(read(data, "list.xlsx", answers=answers))
    assert answered[4].verdict == LEFT_OUT and answered[6].verdict == LEFT_OUT
    assert "marked by color: to be sold" in answered[3].notes and "COLOR" not in answered[3].flags
    assert "under the stairs" in answered[2].fields["note"]


def test_banded_rows_mean_nothing() -> None:
    def fill(made: Any) -> None:
        made.active.append(["Item", "Make", "Serial"])
        for n in range(2, 14):
            made.active.append(["Mic", "Fennick", f"V4-10{n}0"])
            if n % 2:
                for column in "ABC":
                    made.active[f"{column}{n}"].fill = PatternFill("solid", fgColor="FFEEEEEE")

    assert "COLOR" not in codes(read(book(fill), "list.xlsx"))


def test_numbers_dates_and_errors_of_a_workbook() -> None:
    def fill(made: Any) -> None:
        sheet = made.active
        sheet.append(["Item", "Make", "Serial", "Bought", "Price", "Qty"])
        sheet.append(["Mic", "Fennick", date(2026, 11, 10), date(2019, 5, 1), "=VLOOKUP(A1,#REF!,2)", 1])
        sheet.append(["Mic", "Fennick", 1234567890123456789, 43558, 33.333, 1])
        sheet.append(["Mic", "Fennick", 71, 2019, -5, 1])
        sheet["D2"].number_format = "mmm-yy"
        sheet["E4"].number_format = "[$$-409]#,##0.00"

    found = rows(read(book(fill), "list.xlsx"))
    assert {"SERIAL_DATE"} <= set(found[2].flags) and "serial" not in found[2].fields
    assert found[2].fields["bought"] == "2019-05" and "price_minor" not in found[2].fields
    assert {"SERIAL_LOST", "DATE_SERIAL", "PRICE_ODD"} <= set(found[3].flags)
    assert {"SERIAL_ZERO", "PRICE_NEG"} <= set(found[4].flags) and found[4].fields["price_minor"] == 500


def test_hidden_and_old_sheets_are_read_only_when_asked() -> None:
    def fill(made: Any) -> None:
        made.active.append(["Item", "Make"])
        made.active.append(["Mic", "Fennick"])
        for name, state in (("codes", "hidden"), ("OLD do not use", "visible"), ("empty", "visible")):
            made.create_sheet(name).sheet_state = state
        for name in ("codes", "OLD do not use"):
            made[name].append(["Item", "Serial", "Qty"])
            made[name].append(["Amp", f"A3-{name[:2]}1", 1])

    data = book(fill)
    found = read(data, "list.xlsx")
    assert len(found.rows) == 1 and {"HIDDEN_SHEET", "OLD_SHEET"} <= codes(found)
    both = read(
        data,
        "list.xlsx",
        answers={question_key("HIDDEN_SHEET", "codes"): "read", question_key("OLD_SHEET", "OLD do not use"): "read"},
    )
    assert len(both.rows) == 3 and "SHEETS" in codes(both)


def test_a_thing_jotted_above_the_headings() -> None:
    text = "ALL OUR GEAR,,\n,Stagebox 16/8 (Ines has it),\nRoom,Item,Make\nHall,Mic,Fennick\n"
    found = rows(read(text))
    assert "ABOVE_HEADER" in found[2].flags and found[2].fields["note"] == "Ines has it"
    note = read(text, answers={question_key("ABOVE_HEADER", "", "2"): "note"})
    assert rows(note)[2].verdict == LEFT_OUT
    assert "ABOVE_HEADER" not in rows(read(text, answers={question_key("ABOVE_HEADER", "", "2"): "piece"}))[2].flags


def test_whatever_a_row_says_is_kept() -> None:
    row = read(
        'Item,Make,Model,Qty,Price,Zorp,Size,Notes\nMic,Fennick,V4?,a few,"$20 each, 5 the bad one",hello '
        "there,2U,rattles\n"
    ).rows[0]
    for words in ("a few", "bad one", "hello there", "2U", "rattles"):
        assert words in row.fields["note"]
    assert {"MODEL", "QTY", "PRICE_TWO"} <= set(row.flags) and row.fields["rack_units"] == 2


def test_two_thousand_rows_in_a_second_or_so() -> None:
    line = "Mic,Fennick,V4,V4-{0:05d},1,tested ok,{1}/{2}/2019,$35,Booth,{3} lb,note {0}\n"
    text = "Item,Make,Model,Serial,Qty,Condition,Bought,Value,Room,Weight,Notes\n"
    text += "".join(line.format(n, n % 12 + 1, n % 28 + 1, n % 40 + 1) for n in range(2_000))
    start = time.process_time()
    assert read(text).totals["pieces"] == 2_000
    assert time.process_time() - start < 10


WORDS = (
    'Item|Make|S/N|Qty|Price|Room|Total|x4|$40 each|03/04/19|pair|"|^ a remark|#REF!|Brindlow|P12A|P12A-017733|'
    "DI boxes x 6|works, hums|3 ok, 1 dead|in the vestry|HP|1.10E+11|2.4 GHz|-||"
)
CELLS = st.one_of(st.sampled_from(WORDS.split("|")), st.text(max_size=12))


@given(st.lists(st.lists(CELLS, min_size=1, max_size=8), min_size=1, max_size=12), st.sampled_from(",;\t"))
@settings(max_examples=200, deadline=None)
def test_no_list_breaks_the_reader(table: list[list[str]], mark: str) -> None:
    out = io.StringIO()
    csv.writer(out, delimiter=mark).writerows(table)
    try:
        found = read(out.getvalue())
    except Unreadable as refused:
        assert refused.sentence.endswith(".")
        return
    assert Draft.from_json(found.to_json()) == found
    assert len({row.key for row in found.rows}) == len(found.rows)
    assert all(row.verdict != ASK or row.flags for row in found.rows)


def test_makers_and_models_that_stand_in_each_others_column() -> None:
    text = "Item,Brand,Model\nMixer,Hobsley RK-160,RK-160\nAmp,Gadsworth,Gadsworth A300\n"
    text += "Mic,,Gadsworth V4\nCable,generic,various\n"
    found = [(row.fields.get("maker"), row.fields.get("model")) for row in read(text).rows]
    assert found == [("Hobsley", "RK-160"), ("Gadsworth", "A300"), ("Gadsworth", "V4"), (None, None)]


def test_maker_and_model_in_one_cell() -> None:
    text = "Item,Make/Model\nMixer,Hobsley RK-160\nLaptop,Orrin laptop\nAmp,Gadsworth\n"
    text += "Mic,FV-31\nDesk,AN-24 mk 2\nRack,Plinthwork R27?\n"
    rows_read = read(text).rows
    assert [(row.fields.get("maker"), row.fields.get("model")) for row in rows_read] == [
        ("Hobsley", "RK-160"),
        ("Orrin", None),
        ("Gadsworth", None),
        (None, "FV-31"),
        (None, "AN-24 mk 2"),
        ("Plinthwork", "R27"),
    ]
    assert "MODEL" in rows_read[1].flags and "MODEL" in rows_read[5].flags


def test_columns_without_headings_beside_headed_ones() -> None:
    text = "Item,Make,,,\nMic,Fennick,good,$20,3\nAmp,Gadsworth,dead,$40,1\nSub,Brindlow,good,$60,2\n"
    assert {column.letter: column.field for column in read(text).columns}["C"] == "condition"


def test_a_list_whose_description_column_has_no_known_heading() -> None:
    found = read("Zorp,Make,Serial\nbig speaker,Brindlow,P12A-01\nmic,Fennick,V4-1182\n")
    assert [row.fields["what"] for row in found.rows] == ["big speaker", "mic"]


def test_an_item_column_of_running_numbers() -> None:
    text = "Item,Description,Make\n" + "".join(f"{n},Mic,Fennick\n" for n in range(1, 7))
    assert [row.fields["what"] for row in read(text).rows] == ["Mic"] * 6


def test_ditto_marks_in_pasted_cells() -> None:
    found = read('Item\tMake\tSerial\tRoom\nMic\tFennick\tV4-11801\tBooth\n"\t"\tV4-11802\t"\n')
    assert [row.fields["place"] for row in found.rows] == ["Booth", "Booth"]
    assert found.rows[1].fields["what"] == "Mic"
