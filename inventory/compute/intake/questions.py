"""The questions of a list in plain sentences, each asked once for a column or a pattern, the weightiest first."""

from __future__ import annotations

from colorsys import rgb_to_hls

from inventory.compute.intake.draft import CONDITIONS, Question
from inventory.compute.intake.settings import FIELD_OF, Asked, Setting, question_key

HUES = (
    (18, "red"),
    (42, "orange"),
    (70, "yellow"),
    (165, "green"),
    (200, "turquoise"),
    (260, "blue"),
    (300, "purple"),
    (340, "pink"),
    (360, "red"),
)
KEEP = (("keep", "Keep what the row says for now"), ("blank", "Leave it empty until somebody has looked"))
READ = (("read", "Read it"), ("leave", "Leave it out"))

# code -> (sentence, choices, weight); {about}, {example}, {rows_said} and {rows} may stand in a sentence.
TEXTS: dict[str, tuple[str, tuple[tuple[str, str], ...], int]] = {
    "DATE_ORDER": (
        "Is {example} written with the day first or with the month first?",
        (("day", "Day first"), ("month", "Month first")),
        90,
    ),
    "PRICE_KIND": (
        "What do the amounts under “{about}” mean?",
        (
            ("worth now", "What it is worth now"),
            ("paid", "What was paid"),
            ("new", "What a new one costs"),
            ("insured", "What it is insured for"),
        ),
        88,
    ),
    "QTY_HEADER": (
        "Does “{about}” say how many there are?",
        (("quantity", "Yes, how many"), ("tag", "No, it is a running number")),
        86,
    ),
    "COND_WORD": ("What does “{about}” mean in this list?", tuple((word, word) for word in CONDITIONS), 84),
    "HIDDEN_SHEET": ("Sheet “{sheet}” is hidden. Shall it be read?", READ, 82),
    "OLD_SHEET": ("Sheet “{sheet}” seems out of date by its name. Shall it be read?", READ, 82),
    "HIDDEN_ROW": ("Some rows are hidden ({rows_said}). Are these things still there?", READ, 80),
    "HIDDEN_COL": (
        "Column “{about}” is hidden. Shall it be read?",
        (("drop", "Leave it out"), ("read", "Read it")),
        70,
    ),
    "PERSON_COL": (
        "Column “{about}” names people. Shall it be kept with the rows?",
        (("drop", "Leave it out"), ("read", "Keep it")),
        69,
    ),
    "COLOR": (
        "What does {about} mean in this list ({rows_said})?",
        (
            ("nothing", "Nothing"),
            ("to be sold", "To be sold"),
            ("broken", "Broken"),
            ("gone", "Gone"),
            ("ask again", "Ask again later"),
        ),
        76,
    ),
    "STRIKE": (
        "Are the things that are struck through gone ({rows_said})?",
        (("gone", "Yes, gone"), ("nothing", "No, still here")),
        78,
    ),
    "SIDE_TABLE": ("Another small table stands beside the list (“{about}”). Shall it be read too?", READ, 66),
    "CURRENCY": (
        "Some prices are in {about} ({rows_said}). Is that right?",
        (("keep", "Yes, keep that currency"), ("blank", "No, leave the price empty")),
        74,
    ),
    "PRICE_EACH_ALL": (
        "When a row holds several things and one price, is it for each or for all?",
        (("each", "For each"), ("all", "For all together")),
        85,
    ),
    "PRICE_TAX": (
        "Some prices say that tax comes on top ({rows_said}). Are they before tax?",
        (("out", "Yes, before tax"), ("in", "No, tax is in")),
        72,
    ),
    "UNIT": ("Weights such as {example} have no unit. What are they?", (("kg", "Kilograms"), ("lb", "Pounds")), 75),
    "PLACE_FILL": (
        "The room is not stated ({rows_said}). Where are these things?",
        (("fill", "Where the heading or the rows above say"), ("leave", "Not known")),
        73,
    ),
    "CODE_COL": (
        "Is “{about}” a bar code from the shop?",
        (("barcode", "Yes, not a serial"), ("serial", "No, it is the serial")),
        40,
    ),
    "ENCODING": ("Do the letters look right in: {example}", (("yes", "Yes"), ("no", "No, some are wrong")), 60),
    "DECIMAL": (
        "Commas and points are both used in numbers. Is 1.400 one thousand four hundred?",
        (("comma", "Yes"), ("point", "No, one point four")),
        68,
    ),
    "FORMULA_ERR": ("Some price formulas show an error ({rows_said}); these prices are left empty.", KEEP, 50),
    "SPLIT": (
        "Row {rows} seems to hold several things: {example}",
        (("keep", "Keep it as one"), ("apart", "Take it apart")),
        64,
    ),
    "ABOVE_HEADER": (
        "“{example}” is jotted above the headings. Is it a thing of its own?",
        (("piece", "Yes, a thing"), ("note", "No, a note")),
        62,
    ),
    "SERIAL_COPY": (
        "Serial {example} stands on rows one below the other ({rows_said}). Was it filled down?",
        (("blank", "Yes, leave it empty"), ("keep", "No, it is right")),
        71,
    ),
    "SERIAL_PARTIAL": ("Some serials are only partly there ({rows_said}). Can you read them off the plates?", KEEP, 45),
    "SERIAL_ZERO": (
        "Some serials may have lost zeros in front ({rows_said}). Can you read them off the plates?",
        KEEP,
        46,
    ),
    "SERIAL_DATE": (
        "The spreadsheet made dates of some serials ({rows_said}). Can you read them off the plates?",
        KEEP,
        47,
    ),
    "SERIAL_LOST": ("The spreadsheet rounded some serials ({rows_said}). Can you read them off the plates?", KEEP, 47),
    "SERIAL_RANGE": ("Some ranges of serials do not fit the number of pieces ({rows_said}). Which is right?", KEEP, 44),
    "SERIAL_SLIP": ("Some serials differ from their model by one sign ({rows_said}). Were they misread?", KEEP, 44),
    "SERIAL_FORMULA": ("Some serials are worked out by a formula ({rows_said}). Do the plates say the same?", KEEP, 30),
    "QTY": ("How many are there really ({rows_said})?", KEEP, 67),
    "COND_SPLIT": ("Some pieces of a lot work and some do not ({rows_said}). Which are they?", KEEP, 55),
    "OWNER": ("Some things may not be ours ({rows_said}). Whose are they?", KEEP, 77),
    "BOUND": ("Some things must not be sold or must stay ({rows_said}). Is that so?", KEEP, 65),
    "HP_MEANING": ("Do short words such as HP or LTO mean that a thing is not paid off yet ({rows_said})?", KEEP, 77),
    "BAND": ("The radio range is not stated ({rows_said}). Can you read it off the plates?", KEEP, 63),
    "DITTO": ("Some rows repeat the row above by ditto marks ({rows_said}). Is that right?", KEEP, 20),
    "DATE_BAD": ("Some dates cannot be read ({rows_said}). When was it bought?", KEEP, 43),
    "DATE_SERIAL": ("Some dates came as day numbers and were turned back ({rows_said}). Are they right?", KEEP, 25),
    "PRICE_TWO": (
        "Some price cells hold more than one amount ({rows_said}); the first is taken. Is that right?",
        KEEP,
        61,
    ),
    "PRICE_NEG": ("Some prices are below zero ({rows_said}). Is the amount without the sign right?", KEEP, 59),
    "PRICE_ODD": ("Some prices are not plain amounts ({rows_said}). Are they right?", KEEP, 58),
    "PRICE_MERGED": ("Some rows share one price cell ({rows_said}). Is it the price of all of them?", KEEP, 57),
    "PRICE_STRIKE": (
        "Some prices are partly struck through ({rows_said}); the rest is taken. Is that right?",
        KEEP,
        35,
    ),
    "MAKER": ("Some makers are guesses ({rows_said}). Are they right?", KEEP, 42),
    "MODEL": ("Some models are guesses ({rows_said}). Are they right?", KEEP, 42),
    "SHEETS": (
        "{about} sheets hold lists with different columns. Are they all this site's?",
        (("yes", "Yes"), ("no", "No")),
        38,
    ),
    "NO_HEADINGS": ("The list has no headings. Are the columns taken for what they are ({rows_said})?", KEEP, 89),
    "BESIDE": ("Some rows stand in a table at the side ({rows_said}). Do they belong to the list?", KEEP, 40),
}


def questions_of(setting: Setting) -> tuple[Question, ...]:
    """Return the open questions, weightiest first, then those that touch more rows."""
    made = [_made(asked, setting) for key, asked in setting.asked.items() if key not in setting.answers]
    return tuple(sorted(made, key=lambda each: (-each.importance, -each.count, each.key)))


def _made(asked: Asked, setting: Setting) -> Question:
    sentence, choices, weight = TEXTS[asked.code]
    text = sentence.format(
        about=color_said(asked.about) if asked.code == "COLOR" else asked.about,
        example=asked.example or "",
        rows_said="1 row" if len(asked.rows) == 1 else f"{len(asked.rows)} rows",
        rows=", ".join(map(str, asked.rows[:5])),
        sheet=asked.sheet,
    )
    return Question(
        key=question_key(asked.code, asked.sheet, asked.about),
        code=asked.code,
        file=setting.file,
        sheet=asked.sheet,
        text=text[:1].upper() + text[1:],
        choices=choices,
        guess=asked.guess,
        rows=tuple(asked.rows),
        field=FIELD_OF.get(asked.code, ""),
        importance=weight,
    )


def color_said(mark: str) -> str:
    """Return 'a yellow background' for 'fill FFFF00' and 'red text' for 'text C00000'."""
    kind, _, code = mark.partition(" ")
    red, green, blue = (int(code[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, light, full = rgb_to_hls(red, green, blue)
    name = "gray" if full < 0.2 else next(word for limit, word in HUES if hue * 360 <= limit)
    name = "brown" if name == "orange" and light < 0.35 else name
    article = "an" if name[0] in "aeiou" else "a"
    return f"{name} text" if kind == "text" else f"{article} {name} background"
