"""Files that must not hurt, made by hand, each only when its test runs."""

import io
import zipfile
from collections.abc import Callable

TYPES = (
    '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Override PartName="/xl/workbook.xml" '
    'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
    '<Override PartName="/xl/worksheets/sheet1.xml" '
    'ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>'
)
RELS = (
    '<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rId1" Target="{target}" '
    'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/{kind}"/></Relationships>'
)
BOOK = (
    '<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">'
    '<sheets><sheet name="Gear" sheetId="1" r:id="rId1"/></sheets></workbook>'
)
SHEET = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">{body}</worksheet>'
GOOD = (
    '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Item</t></is></c>'
    '<c r="B1" t="inlineStr"><is><t>Serial</t></is></c></row>'
    '<row r="2"><c r="A2" t="inlineStr"><is><t>Stage box</t></is></c>'
    '<c r="B2" t="inlineStr"><is><t>S-1001</t></is></c></row></sheetData>'
)


def workbook(sheet: str, **more: bytes) -> bytes:
    """Return an XLSX of one sheet; `more` adds members, __ in a name stands for a slash."""
    found = io.BytesIO()
    with zipfile.ZipFile(found, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", TYPES)
        archive.writestr("_rels/.rels", RELS.format(target="xl/workbook.xml", kind="officeDocument"))
        archive.writestr("xl/workbook.xml", BOOK)
        archive.writestr("xl/_rels/workbook.xml.rels", RELS.format(target="worksheets/sheet1.xml", kind="worksheet"))
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
        for name, content in more.items():
            archive.writestr(name.replace("__", "/"), content)
    return found.getvalue()


def inflating() -> bytes:
    """Return a small archive whose sheet inflates to 400 MB."""
    found = io.BytesIO(workbook(SHEET.format(body=GOOD)))
    with (
        zipfile.ZipFile(found, "a", zipfile.ZIP_DEFLATED, compresslevel=1) as archive,
        archive.open("xl/sharedStrings.xml", "w", force_zip64=True) as member,
    ):
        for _n in range(400):
            member.write(b" " * 1_000_000)
    return found.getvalue()


def multiplying() -> str:
    """Return a sheet whose entities multiply to gigabytes (the well-known doubling laughs)."""
    lines = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 11))
    body = '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&e10;</t></is></c></row></sheetData>'
    return f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e0 "ha">{lines}]>' + SHEET.format(body=body)


def outside() -> str:
    """Return a sheet that asks for a file of the machine."""
    body = '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&x;</t></is></c></row></sheetData>'
    return '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY x SYSTEM "file:///etc/hostname">]>' + SHEET.format(body=body)


def climbing() -> bytes:
    found = io.BytesIO(workbook(SHEET.format(body=GOOD)))
    with zipfile.ZipFile(found, "a") as archive:
        archive.writestr("../../climbed.txt", "outside the folder")
    return found.getvalue()


def far_corner() -> bytes:
    body = '<dimension ref="A1:XFD1048576"/>' + GOOD.replace(
        "</sheetData>", '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    )
    return workbook(SHEET.format(body=body))


def encrypted() -> bytes:
    """Return what an encrypted workbook begins with: the signature of a compound file. Source: [MS-CFB] 2.2."""
    return bytes.fromhex("d0cf11e0a1b11ae1") + b"\x00" * 16 + "EncryptedPackage".encode("utf-16-le") + b"\x00" * 2000


def one_long_line() -> bytes:
    return b"Item,Serial\nMixer,S-1001\n" + b"x" * 600_000 + b"\n"


def with_remark(remark: str) -> bytes:
    return f"Item,Serial,Remarks\nStage box,S-1001,{remark}\n".encode()


# Nothing can be taken in from these.
REFUSED: dict[str, Callable[[], bytes]] = {
    "empty.csv": lambda: b"",
    "blank.csv": lambda: b"\n\n ; ; \n",
    "truncated.xlsx": lambda: workbook(SHEET.format(body=GOOD))[:-400],
    "page.xlsx": lambda: b"<!DOCTYPE html><html><body><table><tr><td>Item</td></tr></table></body></html>",
    "page.csv": lambda: b"<html><body><table><tr><td>Item</td></tr></table></body></html>",
    "locked.xlsx": encrypted,
    "inflates.xlsx": inflating,
    "entities.xlsx": lambda: workbook(multiplying()),
    "outside.xlsx": lambda: workbook(outside()),
    "photo.csv": lambda: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40,
}

# These must either be read rightly (the serial S-1001 survives) or refused.
STRANGE: dict[str, Callable[[], bytes]] = {
    "far-corner.xlsx": far_corner,
    "climbs.xlsx": climbing,
    "long-line.csv": one_long_line,
    "workbook.csv": lambda: workbook(SHEET.format(body=GOOD)),
    "nul.csv": lambda: with_remark("a\x00b\x07c"),
    "right-to-left.csv": lambda: with_remark("\u202eevil\u202c \u05e9\u05dc\u05d5\u05dd"),
    "formulas.csv": lambda: b"Item,Serial\n=1+1,S-1001\n+cmd,S-1002\n-2,S-1003\n@sum,S-1004\n\tx,S-1005\n",
    "empty-columns.csv": lambda: ("Item,Serial" + "," * 300 + "\nStage box,S-1001" + "," * 300 + "\n").encode(),
    "same-header.csv": lambda: b"Item,Serial,Item,Serial\nStage box,S-1001,Case,C-1\n",
}
