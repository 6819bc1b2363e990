"""The questions of a list in plain sentences, each asked once for a column or a pattern, the weightiest first."""

from __future__ import annotations

from inventory.compute.intake.draft import CONDITIONS, Question
from inventory.compute.intake.settings import FIELD_OF, Asked, Setting, question_key

KEEP = (("keep", "Keep what the row says for now"), ("blank", "Leave it empty until somebody has looked"))
READ = (("read", "Read it"), ("leave", "Leave it out"))

# code -> (sentence, choices, weight); {about}, {example}, {count} and {rows} may stand in a sentence.
TEXTS: dict[str, tuple[str, tuple[tuple[str, str], ...], int]] = {
    "DATE_ORDER": ("Is {example} written with the day first or with the month first?", (("day", "Day first"), ("month", "Month first")), 90),
    "PRICE_KIND": (
        "What do the amounts under “{about}” mean?",
        (("worth now", "What it is worth now"), ("paid", "What was paid"), ("new", "What a new one costs"), ("insured", "What it is insured for")),
        88,
    ),
    "QTY_HEADER": ("Does “{about}” say how many there are?", (("quantity", "Yes, how many"), ("tag", "No, it is a running number")), 86),
    "COND_WORD": ("What does “{about}” mean in this list?", tuple((word, word) for word in CONDITIONS), 84),
    "HIDDEN_SHEET": ("Sheet “{sheet}” is hidden. Shall it be read?", READ, 82),
    "OLD_SHEET": ("Sheet “{sheet}” looks out of date by its name. Shall it be read?", READ, 82),
    "HIDDEN_ROW": ("{count} rows are hidden. Are these things still there?", READ, 80),
    "HIDDEN_COL": ("Column “{about}” is hidden. Shall it be read?", (("drop", "Leave it out"), ("read", "Read it")), 70),
    "PERSON_COL": ("Column “{about}” names people. Shall it be kept with the rows?", (("drop", "Leave it out"), ("read", "Keep it")), 69),
    "COLOR": (
        "{count} rows are marked by a color ({about}). What does it mean?",
        (("nothing", "Nothing"), ("to be sold", "To be sold"), ("broken", "Broken"), ("gone", "Gone"), ("ask again", "Ask again later")),
        76,
    ),
    "STRIKE": ("{count} rows are struck through. Are these things gone?", (("gone", "Yes, gone"), ("nothing", "No, still here")), 78),
    "SIDE_TABLE": ("Another small table stands beside the list (“{about}”). Shall it be read too?", READ, 66),
    "CURRENCY": ("{count} prices are in {about}. Is that right?", (("keep", "Yes, keep that currency"), ("blank", "No, leave the price empty")), 74),
    "PRICE_EACH_ALL": ("When a row holds several things and one price, is it for each or for all?", (("each", "For each"), ("all", "For all together")), 85),
    "PRICE_TAX": ("{count} prices say that tax comes on top. Are they before tax?", (("out", "Yes, before tax"), ("in", "No, tax is in")), 72),
    "UNIT": ("Weights such as {example} have no unit. What are they?", (("kg", "Kilograms"), ("lb", "Pounds")), 75),
    "PLACE_FILL": (
        "The room is not stated in {count} rows. Where are these things?",
        (("fill", "Where the heading or the rows above say"), ("leave", "Not known")),
        73,
    ),
    "CODE_COL": ("Is “{about}” a bar code from the shop?", (("barcode", "Yes, not a serial"), ("serial", "No, it is the serial")), 40),
    "ENCODING": ("Do the letters look right in: {example}", (("yes", "Yes"), ("no", "No, some are wrong")), 60),
    "DECIMAL": ("Commas and points are both used in numbers. Is 1.400 one thousand four hundred?", (("comma", "Yes"), ("point", "No, one point four")), 68),
    "FORMULA_ERR": ("{count} cells show a formula error; their prices are left empty.", KEEP, 50),
    "SPLIT": ("Row {rows} seems to hold several things: {example}", (("keep", "Keep it as one"), ("apart", "Take it apart")), 64),
    "ABOVE_HEADER": ("“{example}” is jotted above the headings. Is it a thing of its own?", (("piece", "Yes, a thing"), ("note", "No, a note")), 62),
    "SERIAL_COPY": ("{count} rows carry the serial of the row above ({example}). Was it filled down?", (("blank", "Yes, leave it empty"), ("keep", "No, it is right")), 71),
    "SERIAL_PARTIAL": ("{count} serials are only partly there. Read them off the plates when you can.", KEEP, 45),
    "SERIAL_ZERO": ("{count} serials may have lost noughts in front.", KEEP, 46),
    "SERIAL_DATE": ("The spreadsheet turned {count} serials into dates. Read them off the plates when you can.", KEEP, 47),
    "SERIAL_LOST": ("The spreadsheet rounded {count} serials. Read them off the plates when you can.", KEEP, 47),
    "SERIAL_RANGE": ("{count} ranges of serials do not fit the number of pieces.", KEEP, 44),
    "SERIAL_SLIP": ("{count} serials differ from their model by one sign. Was it misread?", KEEP, 44),
    "SERIAL_FORMULA": ("{count} serials are worked out by a formula. Are they on the plates?", KEEP, 30),
    "QTY": ("In {count} rows it is not clear how many there are.", KEEP, 67),
    "COND_SPLIT": ("In {count} rows some pieces work and some do not. They can be taken apart later.", KEEP, 55),
    "OWNER": ("{count} rows may not be ours. Whose are they?", KEEP, 77),
    "BOUND": ("{count} rows say that they must not be sold or must stay.", KEEP, 65),
    "HP_MEANING": ("Does “HP”, “LTO” or the like in {count} rows mean that they are not paid off yet?", KEEP, 77),
    "BAND": ("The radio range of {count} sets is not stated. Read it off the plates when you can.", KEEP, 63),
    "DITTO": ("{count} rows repeat the row above by marks. That was followed.", KEEP, 20),
    "DATE_BAD": ("In {count} rows the date cannot be read.", KEEP, 43),
    "DATE_SERIAL": ("{count} dates came as day numbers and were turned back.", KEEP, 25),
    "PRICE_TWO": ("{count} price cells hold more than one amount; the first is taken.", KEEP, 61),
    "PRICE_NEG": ("{count} prices are below zero; the amount is taken without the sign.", KEEP, 59),
    "PRICE_ODD": ("{count} prices are not plain amounts.", KEEP, 58),
    "PRICE_MERGED": ("{count} rows share one price cell.", KEEP, 57),
    "PRICE_STRIKE": ("{count} price cells have a struck part; what is not struck is taken.", KEEP, 35),
    "MAKER": ("In {count} rows the maker is a guess.", KEEP, 42),
    "MODEL": ("In {count} rows the model is a guess.", KEEP, 42),
    "SHEETS": ("{about} sheets hold lists with different columns. Are they all this site's?", (("yes", "Yes"), ("no", "No")), 38),
    "BESIDE": ("{count} rows stand in a table at the side.", KEEP, 40),
}  # fmt: skip


def questions_of(setting: Setting) -> tuple[Question, ...]:
    """Return the open questions, weightiest first, then those that touch more rows."""
    made = [_made(asked, setting) for key, asked in setting.asked.items() if key not in setting.answers]
    return tuple(sorted(made, key=lambda each: (-each.importance, -each.count, each.key)))


def _made(asked: Asked, setting: Setting) -> Question:
    sentence, choices, weight = TEXTS[asked.code]
    text = sentence.format(
        about=asked.about, example=asked.example or "", count=len(asked.rows), rows=", ".join(map(str, asked.rows[:5])), sheet=asked.sheet
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
