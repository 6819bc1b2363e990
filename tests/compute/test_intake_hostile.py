"""Files that must not hurt: each is answered by a sentence within seconds, or read as far as it can be.

The kinds of bad file are common practice in attacks on file readers (inflating archives, entities, climbing names).
"""

from __future__ import annotations

import io
import time
import zipfile
from datetime import date

import openpyxl
import pytest

from inventory.compute.intake import Draft, Unreadable, draft

HEADINGS = "Item,Make,Model,Serial,Qty,Room\n"


def read(data: bytes, name: str = "list.csv") -> Draft:
    return draft(data, name, day_first=False, currency="USD", today=date(2026, 7, 9))


def refused(data: bytes, name: str) -> Unreadable:
    start = time.process_time()
    with pytest.raises(Unreadable) as caught:
        read(data, name)
    assert time.process_time() - start < 10
    sentence = caught.value.sentence
    assert sentence.endswith(".") and name in sentence and len(sentence) > 30
    return caught.value


def workbook(rows: list[list[object]] | None = None) -> bytes:
    book = openpyxl.Workbook()
    for row in rows or [["Item", "Make", "Qty"], ["Speaker", "Brindlow", 2]]:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def changed(part: str, content: bytes | None, extra: dict[str, bytes] | None = None) -> bytes:
    """A workbook with one part replaced and others added."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook())) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.infolist():
            body = old.read(member)
            new.writestr(member.filename, content if member.filename == part and content is not None else body)
        for name, body in (extra or {}).items():
            new.writestr(name, body)
    return out.getvalue()


SHEET = "xl/worksheets/sheet1.xml"
NS = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf", b";;;\r\n;;;\r\n"])
def test_an_empty_file(data: bytes) -> None:
    assert refused(data, "list.csv").code in ("empty", "no list")


def test_a_truncated_archive() -> None:
    assert refused(workbook()[:900], "list.xlsx").code == "damaged"


def test_an_archive_whose_middle_is_spoilt() -> None:
    data = bytearray(workbook())
    with zipfile.ZipFile(io.BytesIO(bytes(data))) as archive:
        at = archive.getinfo(SHEET).header_offset + 60
    data[at : at + 40] = b"\x00" * 40
    assert refused(bytes(data), "list.xlsx").code == "damaged"


@pytest.mark.parametrize(
    "start", [b"<!DOCTYPE html><html><table>", b"  <html><body><table><tr><td>Item", b"<table><tr>"]
)
def test_a_web_page_named_as_a_workbook(start: bytes) -> None:
    assert refused(start + b"<td>x</td>" * 50, "list.xlsx").code == "web page"


def test_an_encrypted_workbook() -> None:
    data = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600 + "EncryptedPackage".encode("utf-16-le") + b"\x00" * 600
    assert refused(data, "list.xlsx").code == "encrypted"


def test_a_workbook_of_the_old_kind() -> None:
    assert refused(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 2000, "list.xls").code == "old workbook"


def test_an_archive_with_a_password() -> None:
    data = bytearray(workbook())
    with zipfile.ZipFile(io.BytesIO(bytes(data))) as archive:
        first = archive.infolist()[0]
    central = bytes(data).find(b"PK\x01\x02")
    data[central + 8] |= 1
    data[first.header_offset + 6] |= 1
    assert refused(bytes(data), "list.xlsx").code == "encrypted"


def test_an_archive_that_inflates_to_hundreds_of_megabytes() -> None:
    bomb = changed(SHEET, b"<worksheet>" + b" " * 300_000_000)
    assert len(bomb) < 2_000_000
    assert refused(bomb, "list.xlsx").code == "inflates"


def test_a_cell_in_the_far_corner() -> None:
    body = f'<worksheet {NS}><dimension ref="A1:XFD1048576"/><sheetData><row r="1"><c r="A1"><v>1</v></c></row>'
    body += '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>'
    assert refused(changed(SHEET, body.encode()), "list.xlsx").code == "far corner"


def test_a_declared_size_far_larger_than_the_cells_is_no_harm() -> None:
    cells = "".join(
        f'<row r="{row}">'
        + "".join(
            f'<c r="{col}{row}" t="inlineStr"><is><t>{text}</t></is></c>'
            for col, text in zip("ABC", texts, strict=True)
        )
        + "</row>"
        for row, texts in ((1, ("Item", "Make", "Serial")), (2, ("Speaker", "Brindlow", "B-12345")))
    )
    body = f'<worksheet {NS}><dimension ref="A1:XFD1048576"/><sheetData>{cells}</sheetData></worksheet>'
    found = read(changed(SHEET, body.encode()), "list.xlsx")
    assert [row.fields["maker"] for row in found.rows] == ["Brindlow"]


@pytest.mark.parametrize(
    "head",
    [
        '<!DOCTYPE worksheet [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
        '<!DOCTYPE worksheet [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;">]>',
    ],
)
def test_entities_inside_the_xml(head: str) -> None:
    cells = '<row r="1"><c r="A1"><v>1</v></c></row>'
    body = f'<?xml version="1.0"?>{head}<worksheet {NS}><sheetData>{cells}</sheetData></worksheet>'
    assert refused(changed(SHEET, body.encode()), "list.xlsx").code == "unsafe xml"


@pytest.mark.parametrize("name", ["../../etc/cron.d/x", "/etc/passwd", "xl\\..\\..\\x", "C:/x"])
def test_names_that_climb_out_of_the_folder(name: str) -> None:
    assert refused(changed("", None, {name: b"x"}), "list.xlsx").code == "unsafe names"


def test_xml_that_is_not_well_formed() -> None:
    assert refused(changed(SHEET, b"<worksheet><sheetData><row>"), "list.xlsx").code == "damaged"


def test_an_archive_that_is_no_workbook() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("readme.txt", "hello")
    assert refused(out.getvalue(), "list.xlsx").code == "not a workbook"


def test_a_workbook_without_a_book() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
    assert refused(out.getvalue(), "list.xlsx").code == "not a workbook"


def test_one_line_of_hundreds_of_thousands_of_characters() -> None:
    assert refused(HEADINGS.encode() + b"x" * 400_000, "list.csv").code == "long line"


def test_one_cell_longer_than_a_spreadsheet_holds() -> None:
    assert (
        refused(HEADINGS.encode() + b"Speaker,Brindlow,P1," + b"x" * 40_000 + b",1,Booth\n", "list.csv").code
        == "long line"
    )


def test_an_open_quote_that_never_ends() -> None:
    data = HEADINGS + '"Speaker,Brindlow\n' + "Mic,Fennick,V4,V4-11801,1,Booth\n" * 30_000
    assert refused(data.encode(), "list.csv").code in ("long line", "bad csv")


def test_a_workbook_named_csv_is_read_and_said() -> None:
    found = read(workbook(), "list.csv")
    assert found.rows[0].fields["maker"] == "Brindlow"
    assert any("workbook" in note for note in found.notes)


def test_nul_and_control_characters_are_taken_out() -> None:
    found = read((HEADINGS + "Spea\x00ker\x07,Brind\x1blow,P12A,P12A-0177,1,Booth\n" * 3).encode())
    assert found.rows[0].fields["what"] == "Speaker" and found.rows[0].fields["maker"] == "Brindlow"


def test_a_binary_file() -> None:
    assert refused(bytes(range(256)) * 40, "list.csv").code == "binary"


@pytest.mark.parametrize("start", [b"%PDF-1.7 ", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0", b"{\\rtf1"])
def test_other_kinds_of_file(start: bytes) -> None:
    assert refused(start + b"x" * 500, "list.xlsx").code == "not a list"


def test_a_file_full_of_pictures_is_too_large() -> None:
    assert refused(b"PK\x03\x04" + b"x" * 26_000_000, "list.xlsx").code == "too large"


def test_right_to_left_text_is_kept_and_its_marks_taken_out() -> None:
    found = read((HEADINGS + "\u202emicrophone \u05de\u05d9\u05e7\u202c,Fennick,V4,V4-11801,1,Booth\n").encode())
    assert "\u05de\u05d9\u05e7" in found.rows[0].fields["what"] and "\u202e" not in found.rows[0].fields["what"]


@pytest.mark.parametrize("text", ["=cmd|' /C calc'!A0", "+1+2", "-speaker", "@SUM(A1)", "\tspeaker"])
def test_cells_that_begin_like_formulas_stay_text(text: str) -> None:
    found = read((HEADINGS + f'"{text}",Brindlow,P12A,P12A-01,1,Booth\n').encode())
    assert found.rows[0].raw["Item"] == text.strip()


def test_hundreds_of_empty_formatted_columns() -> None:
    book = openpyxl.Workbook()
    book.active.append(["Item", "Make", "Qty"])
    book.active.append(["Speaker", "Brindlow", 2])
    for column in range(4, 304):
        for row in range(1, 60):
            book.active.cell(row, column).number_format = "0.00"
    out = io.BytesIO()
    book.save(out)
    found = read(out.getvalue(), "list.xlsx")
    assert len(found.columns) == 3 and len(found.rows) == 1


def test_the_same_heading_twice() -> None:
    found = read(b"Item,Serial,Serial,Qty,Qty\nSpeaker,P12A-0177,OLD-77,1,1\n")
    assert found.rows[0].fields["serial"] == "P12A-0177"
    assert "OLD-77" in found.rows[0].fields["note"] and "OLD-77" in found.rows[0].raw.values()


def test_two_hundred_thousand_rows() -> None:
    line = ",".join(["x"] * 30) + "\n"
    assert refused(("Item,Make," + line + line * 200_000).encode(), "list.csv").code in ("too many rows", "too large")


def test_two_hundred_thousand_rows_in_a_workbook() -> None:
    row = '<row r="{0}">' + "".join(f'<c r="{letter}{{0}}"><v>1</v></c>' for letter in "ABCDEFGHIJ") + "</row>"
    body = (
        f"<worksheet {NS}><sheetData>"
        + "".join(row.format(number) for number in range(1, 200_001))
        + "</sheetData></worksheet>"
    )
    assert refused(changed(SHEET, body.encode()), "list.xlsx").code in ("too many rows", "inflates")


def test_a_list_that_is_no_list() -> None:
    assert refused(b"Dear all,\nplease send me what you have.\nThanks!\n", "list.csv").code == "no list"


def test_the_refusal_crosses_a_process_border() -> None:
    import pickle

    problem = pickle.loads(pickle.dumps(Unreadable("It is empty. Bring another.", "empty")))
    assert (problem.sentence, problem.code) == ("It is empty. Bring another.", "empty")
