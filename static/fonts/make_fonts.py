"""Make the print faces and the small "signs" web faces from the released TrueType files.

    python3 make_fonts.py FOLDER

FOLDER holds the released files (found by name anywhere below it) of Atkinson Hyperlegible Next, Atkinson
Hyperlegible Mono and Besley. Needs fontTools; with brotli the web faces are made too.

The released faces lack arrows, primes, a tick, an empty box, the micro sign and the non-breaking hyphen, which
packets and pages use. They are drawn here from straight strokes whose thickness is taken from the face's own hyphen.
Each face is renamed (name IDs 1, 2, 4, 6) to a family of its own per weight: a PDF reader groups faces by these
names, and two faces sharing them print in one weight.
"""

import sys
from pathlib import Path

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
FACES = (  # released file (ending), file made here, family, style
    ("AtkinsonHyperlegibleNext*Regular.ttf", "VergerText-Regular", "Verger Text", "Regular"),
    ("AtkinsonHyperlegibleNext*_700Bold.ttf", "VergerText-Bold", "Verger Text", "Bold"),
    ("AtkinsonHyperlegibleNext*400Regular_Italic.ttf", "VergerText-Italic", "Verger Text", "Italic"),
    ("AtkinsonHyperlegibleMono*Regular.ttf", "VergerTag-Regular", "Verger Tag", "Regular"),
    ("Besley*600SemiBold.ttf", "VergerHead-SemiBold", "Verger Head SemiBold", "Regular"),
)
SIGNS = [
    0x3A9,
    0x3BC,
    0x2032,
    0x2033,
    *range(0x2190, 0x219A),
    0x221A,
    0x221E,
    0x2248,
    0x2260,
    0x2264,
    0x2265,
    0x2610,
    0x2713,
]
SAME_AS = {0x202F: 0xA0, 0x2011: 0x2D, 0xB5: 0x3BC, 0x2009: 0xA0, 0x2007: 0x30}
TURNS = {0x2192: (1, 0), 0x2190: (-1, 0), 0x2191: (0, 1), 0x2193: (0, -1)}
SLANTS = {0x2197: (1, 1), 0x2198: (1, -1), 0x2196: (-1, 1), 0x2199: (-1, -1)}
Point = tuple[float, float]


def stroke(start: Point, end: Point, thick: float) -> list[Point]:
    """Return the four corners of a straight stroke, clockwise as TrueType outlines run."""
    (x0, y0), (x1, y1) = start, end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    dx, dy = (x1 - x0) / length * thick / 2, (y1 - y0) / length * thick / 2
    return [(x0 - dy, y0 + dx), (x1 - dy, y1 + dx), (x1 + dy, y1 - dx), (x0 + dy, y0 - dx)]


def arrow(way: Point, wide: float, middle: float, thick: float) -> list[list[Point]]:
    """Return the strokes of an arrow of length `wide * .8` around its middle."""
    norm = (way[0] ** 2 + way[1] ** 2) ** 0.5
    ux, uy = way[0] / norm, way[1] / norm
    half, barb, cx = wide * 0.38, wide * 0.26, wide / 2
    tip = (cx + ux * half, middle + uy * half)
    tail = (cx - ux * half, middle - uy * half)
    back = (tip[0] - ux * thick * 0.5, tip[1] - uy * thick * 0.5)
    sides = [(tip[0] - (ux * 0.8 + s * uy * 0.75) * barb, tip[1] - (uy * 0.8 - s * ux * 0.75) * barb) for s in (1, -1)]
    return [stroke(tail, back, thick), *(stroke(side, tip, thick) for side in sides)]


def box(wide: float, tall: float, thick: float) -> list[list[Point]]:
    low, high, left, right = thick / 2, tall - thick / 2, wide * 0.08, wide * 0.92
    corners = [(left, low), (left, high), (right, high), (right, low)]
    reach = thick / 2
    ends = zip(corners, [*corners[1:], corners[0]], strict=True)
    return [stroke(*_longer(a, b, reach), thick) for a, b in ends]


def _longer(a: Point, b: Point, by: float) -> tuple[Point, Point]:
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    ux, uy = (b[0] - a[0]) / length * by, (b[1] - a[1]) / length * by
    return (a[0] - ux, a[1] - uy), (b[0] + ux, b[1] + uy)


def tick(wide: float, tall: float, thick: float) -> list[list[Point]]:
    low = (wide * 0.4, tall * 0.08)
    return [
        stroke((wide * 0.1, tall * 0.42), low, thick),
        stroke((wide * 0.4 - thick * 0.3, tall * 0.06), (wide * 0.92, tall * 0.86), thick),
    ]


def prime(wide: float, tall: float, thick: float, count: int) -> list[list[Point]]:
    step = thick * 1.75
    first = wide / 2 - step * (count - 1) / 2
    return [
        stroke((first + i * step - thick * 0.25, tall * 0.66), (first + i * step + thick * 0.3, tall), thick * 0.95)
        for i in range(count)
    ]


def drawn(font: TTFont) -> dict[int, tuple[float, list[list[Point]]]]:
    """Return {code point: (advance, strokes)} of the signs this face lacks."""
    cmap, tables = font.getBestCmap(), font["glyf"]
    hyphen, tall = tables[cmap[0x2D]], font["OS/2"].sCapHeight
    thick, fixed = hyphen.yMax - hyphen.yMin, font["post"].isFixedPitch
    em = font["hmtx"][cmap[0x30]][0]
    wide = em if fixed else tall * 1.25
    signs = {code: (wide, arrow(way, wide, tall / 2, thick)) for code, way in {**TURNS, **SLANTS}.items()}
    signs[0x2194] = (wide, arrow((1, 0), wide, tall / 2, thick) + arrow((-1, 0), wide, tall / 2, thick))
    signs[0x2195] = (wide, arrow((0, 1), wide, tall / 2, thick) + arrow((0, -1), wide, tall / 2, thick))
    square = em if fixed else tall * 1.1
    signs[0x2610] = (square, box(square, min(tall, square * 0.84), thick))
    signs[0x2713] = (square, tick(square, tall, thick * 1.15))
    signs[0x2032] = (em if fixed else thick * 3.2, prime(em if fixed else thick * 3.2, tall, thick, 1))
    signs[0x2033] = (em if fixed else thick * 5, prime(em if fixed else thick * 5, tall, thick, 2))
    return {code: sign for code, sign in signs.items() if code not in cmap}


def add_signs(font: TTFont) -> None:
    """Draw what the face lacks and let equal characters share a glyph."""
    order, cmaps = font.getGlyphOrder(), [t for t in font["cmap"].tables if t.isUnicode()]
    for code, (advance, strokes) in drawn(font).items():
        pen = TTGlyphPen(None)
        for corners in strokes:
            pen.moveTo(_whole(corners[0]))
            for corner in corners[1:]:
                pen.lineTo(_whole(corner))
            pen.closePath()
        name, glyph = f"uni{code:04X}", pen.glyph()
        font["glyf"][name] = glyph
        glyph.recalcBounds(font["glyf"])
        font["hmtx"][name] = (round(advance), glyph.xMin)
        if name not in order:
            order.append(name)
        for table in cmaps:
            table.cmap[code] = name
    font.setGlyphOrder(order)
    for code, twin in SAME_AS.items():
        for table in cmaps:
            if code not in table.cmap and twin in table.cmap:
                table.cmap[code] = table.cmap[twin]


def _whole(point: Point) -> tuple[int, int]:
    return round(point[0]), round(point[1])


def rename(font: TTFont, file: str, family: str, style: str) -> None:
    """Give the face a family and a full name no other face shares; the licence and copyright lines stay."""
    for record in list(font["name"].names):
        if record.nameID in (16, 17, 21, 22, 25):
            font["name"].names.remove(record)
    full = family if style == "Regular" else f"{family} {style}"
    for number, text in ((1, family), (2, style), (3, f"{file};drawn signs added"), (4, full), (6, file)):
        font["name"].setName(text, number, 3, 1, 0x409)
        font["name"].setName(text, number, 1, 0, 0)


def web_signs(font: TTFont, file: str) -> None:
    """Write the signs alone as a small web face, beside the released Latin ones."""
    options = Options(flavor="woff2", layout_features=[], notdef_outline=True)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=SIGNS)
    subsetter.subset(font)
    font.flavor = "woff2"
    font.save(HERE / f"{file}.woff2")


def main(folder: Path) -> None:
    (HERE / "print").mkdir(exist_ok=True)
    for pattern, file, family, style in FACES:
        source = min(
            (p for p in folder.rglob(pattern) if "Italic" in pattern or "Italic" not in p.name),
            key=lambda p: len(p.name),
        )
        font = TTFont(source)
        add_signs(font)
        rename(font, file, family, style)
        font.save(HERE / "print" / f"{file}.ttf")
    web_signs(TTFont(HERE / "print" / "VergerText-Regular.ttf"), "next-signs")
    web_signs(TTFont(HERE / "print" / "VergerText-Bold.ttf"), "next-signs-bold")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
