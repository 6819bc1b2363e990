"""The faces for paper cover what packets write and keep their bold.

The characters are those of the United States and British country packs (common practice), Latin letters with
accents as ISO/IEC 8859-1 and 8859-2 list them (from memory: a sample of each), and the signs our own text uses.
"""

from pathlib import Path

import pytest
from reportlab.pdfbase.ttfonts import TTFontFile

FONTS = Path(__file__).resolve().parents[2] / "static" / "fonts"
FACES = sorted((FONTS / "print").glob("*.ttf"))
NEEDED = (
    "AZaz09"
    + "àâäåæçéèêëíñóôöøßúüýÿ"
    + "łšžőăčďěňřţ"
    + "$£€"
    + "–—‘’“”…·•"
    + "′″°×±≤≥½¼¾²³"
    + "→←↑↓↗↘↔✓☐"
    + "µΩ"
    + "\u00a0\u202f\u2011"
)


@pytest.mark.parametrize("face", FACES, ids=lambda path: path.stem)
def test_a_face_covers_what_is_printed(face):
    glyphs = TTFontFile(str(face)).charToGlyph
    assert [sign for sign in NEEDED if not glyphs.get(ord(sign))] == []


def test_no_two_faces_share_a_name():
    names = [TTFontFile(str(face)).name for face in FACES]
    assert len(FACES) == 5 and len(set(names)) == len(names)


def test_bold_is_bolder():
    regular, bold = (TTFontFile(str(FONTS / "print" / f"VergerText-{style}.ttf")) for style in ("Regular", "Bold"))
    assert bold.charWidths[ord("m")] > regular.charWidths[ord("m")]


def test_the_license_lies_beside_the_fonts():
    text = (FONTS / "OFL.txt").read_text()
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert all(name in text for name in ("Atkinson Hyperlegible Next", "Atkinson Hyperlegible Mono", "Besley"))
