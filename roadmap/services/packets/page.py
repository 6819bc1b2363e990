"""The page every packet is printed on: margins, foot with date, version and page x of y, title, language, bookmarks."""

import hashlib
import re
from dataclasses import dataclass
from typing import Any, BinaryIO
from xml.sax.saxutils import escape

from django.utils.translation import get_language
from django.utils.translation import gettext as _
from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Flowable, Frame, PageBreak, PageTemplate, Paragraph

from people.compute.packs import CountryPack
from roadmap.services.packets.fonts import BOLD, HEAD, ITALIC, TEXT, register
from roadmap.services.packets.rows import INK, INK_2

register()  # paragraphs ask for their faces when they are made; this module is loaded only to print
SIDE, TOP, FOOT = 18 * mm, 16 * mm, 20 * mm


@dataclass(frozen=True)
class Front:
    """What stands in the file's description and at the foot of each page."""

    title: str
    church: str
    printed_on: str
    language: str


def style(name: str, size: float, font: str = TEXT, **more: Any) -> ParagraphStyle:
    return ParagraphStyle(name, fontName=font, fontSize=size, leading=size * 1.32, textColor=INK, **more)


ANSWER = style("answer", 18, HEAD, spaceBefore=18, spaceAfter=6)
SECTION = style("section", 12, HEAD, spaceBefore=9, spaceAfter=3)
BODY = style("body", 9.6, spaceAfter=4)
QUIET = ParagraphStyle("quiet", parent=BODY, textColor=INK_2)
CAUTION = ParagraphStyle("caution", parent=BODY, fontName=ITALIC, leftIndent=8, spaceBefore=2)


def text(words: str, kind: ParagraphStyle = BODY) -> Paragraph:
    """Return a paragraph of plain words: markup in data stays as it was typed."""
    return Paragraph(escape(words), kind)


def labeled(label: str, words: str) -> Paragraph:
    """Return a paragraph that opens with a bold label."""
    return Paragraph(f'<font name="{BOLD}">{escape(label)}</font> {escape(words)}', BODY)


class Bookmarked(Paragraph):
    """A heading that also stands in the file's list of bookmarks. level: 0 for a page's answer, 1 for a section."""

    def __init__(self, words: str, kind: ParagraphStyle = ANSWER, level: int = 0, name: str = "") -> None:
        super().__init__(escape(words), kind)
        self.words, self.level = name or words, level

    def draw(self) -> None:
        key = f"b{id(self)}"
        self.canv.bookmarkPage(key)
        self.canv.addOutlineEntry(self.words, key, self.level, closed=False)
        super().draw()


class FootCanvas(Canvas):
    """Keeps each page until the number of pages is known, then writes the foot."""

    def __init__(self, *args: Any, front: Front, version: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.front, self.version = front, version
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for state in self._pages:
            self.__dict__.update(state)
            self._foot(len(self._pages))
            super().showPage()
        super().save()

    def _foot(self, pages: int) -> None:
        width = self._pagesize[0]
        self.setFont(TEXT, 7.6)
        self.setFillColor(INK_2)
        left = " · ".join((self.front.church, self.front.title, self.front.printed_on))
        right = _("version %(version)s · page %(n)d of %(all)d") % {
            "version": self.version,
            "n": self._pageNumber,
            "all": pages,
        }
        self.drawString(SIDE, 10 * mm, left)
        self.drawRightString(width - SIDE, 10 * mm, right)


def page_size(pack: CountryPack) -> tuple[float, float]:
    return letter if pack.paper == "letter" else A4


def inner_size(pack: CountryPack) -> tuple[float, float]:
    """Return the width and height that words have on this country's paper, in points."""
    width, height = page_size(pack)
    return width - 2 * SIDE, height - TOP - FOOT


def build(story: list[Flowable], front: Front, pack: CountryPack, out: BinaryIO) -> str:
    """Write the packet as a PDF and return its version: eight signs that change when its words do."""
    version = _version(story, front)
    size = page_size(pack)
    frame = Frame(SIDE, FOOT, *inner_size(pack), 0, 0, 0, 0)
    document = BaseDocTemplate(
        out,
        pagesize=size,
        title=front.title,
        author=front.church,
        subject=front.printed_on,
        creator="Verger",
        lang=front.language,
        pageTemplates=[PageTemplate("page", [frame])],
    )

    def canvas(*args: Any, **kwargs: Any) -> FootCanvas:
        made = FootCanvas(*args, front=front, version=version, **{**kwargs, "initialFontName": TEXT})
        made.showOutline()
        return made

    document.build(_with_room(story), canvasmaker=canvas)
    return version


def _with_room(story: list[Flowable]) -> list[Flowable]:
    """Return the story with a new page before a heading that would stand alone at the foot of one."""
    spaced: list[Flowable] = []
    for part in story:
        if isinstance(part, Bookmarked):
            spaced.append(CondPageBreak(190 if part.level == 0 else 70))
        spaced.append(part)
    return spaced


def _version(story: list[Flowable], front: Front) -> str:
    words = hashlib.sha256(front.title.encode())
    for part in story:
        words.update(repr(_words_of(part)).encode())
    return words.hexdigest()[:8]


def _words_of(part: Any) -> Any:
    if isinstance(part, Paragraph):
        return re.sub(r"<[^>]+>", "", part.text)
    if hasattr(part, "rows"):
        return part.rows
    return [_words_of(one) for one in getattr(part, "_content", [])]


def language() -> str:
    """Return the language of the words being written, as a PDF names it (en-US)."""
    head, __, tail = (get_language() or "en-us").partition("-")
    return f"{head}-{(tail or 'us').upper()}"


def new_page() -> Flowable:
    return PageBreak()
