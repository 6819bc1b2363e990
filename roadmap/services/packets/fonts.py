"""The print faces, registered once and embedded in every file."""

from functools import cache

from django.conf import settings
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

TEXT, BOLD, ITALIC, TAG, HEAD = "VergerText", "VergerText-Bold", "VergerText-Italic", "VergerTag", "VergerHead"
FILES = {
    TEXT: "VergerText-Regular.ttf",
    BOLD: "VergerText-Bold.ttf",
    ITALIC: "VergerText-Italic.ttf",
    TAG: "VergerTag-Regular.ttf",
    HEAD: "VergerHead-SemiBold.ttf",
}


@cache
def register() -> None:
    """Register the faces and the family, so that bold and italic inside a paragraph find them."""
    folder = settings.BASE_DIR / "static" / "fonts" / "print"
    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(TEXT, normal=TEXT, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
    for alone in (HEAD, TAG):
        pdfmetrics.registerFontFamily(alone, normal=alone, bold=alone, italic=alone, boldItalic=alone)
