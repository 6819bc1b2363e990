"""What the reading of one file leans on: the country's habits, the answers given, the questions gathered."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from inventory.compute.intake.naming import Lexicon

# Question code -> the field it is about; codes that are about the row or the file are not named here.
FIELD_OF = {
    "QTY": "quantity",
    "COND_WORD": "condition",
    "COND_SPLIT": "condition",
    "PLACE_FILL": "place",
    "MAKER": "maker",
    "MODEL": "model",
    "WHAT": "what",
    "CURRENCY": "price_minor",
    "PRICE_EACH_ALL": "price_minor",
    "PRICE_TAX": "price_minor",
    "PRICE_TWO": "price_minor",
    "PRICE_STRIKE": "price_minor",
    "PRICE_NEG": "price_minor",
    "PRICE_ODD": "price_minor",
    "PRICE_MERGED": "price_minor",
    "FORMULA_ERR": "price_minor",
    "DATE_ORDER": "bought",
    "DATE_BAD": "year",
    "DATE_SERIAL": "bought",
    "UNIT": "kg",
    "SERIAL_LOST": "serial",
    "SERIAL_ZERO": "serial",
    "SERIAL_DATE": "serial",
    "SERIAL_COPY": "serial",
    "SERIAL_PARTIAL": "serial",
    "SERIAL_FORMULA": "serial",
    "SERIAL_RANGE": "serial",
    "SERIAL_SLIP": "serial",
}


def question_key(code: str, sheet: str, about: str = "") -> str:
    """Return the stable name of a question."""
    return "|".join((code, sheet, about))


@dataclass
class Asked:
    """A question in the making."""

    code: str
    sheet: str
    about: str
    rows: list[int] = field(default_factory=list)
    guess: str = ""
    example: str = ""


@dataclass
class Setting:
    """The habits, the answers and the questions of one file."""

    file: str
    today: datetime.date
    day_first: bool
    currency: str
    exponent: int
    answers: Mapping[str, str]
    lexicon: Lexicon = field(default_factory=Lexicon)
    decimal_comma: bool = False
    asked: dict[str, Asked] = field(default_factory=dict)

    def ask(self, code: str, sheet: str, about: str = "", *, row: int = -1, guess: str = "", example: str = "") -> str:
        """Gather a question (rows 1-based) and return the answer already given, '' while it stands open."""
        key = question_key(code, sheet, about)
        asked = self.asked.setdefault(key, Asked(code, sheet, about, guess=guess, example=example))
        if row > 0 and (not asked.rows or asked.rows[-1] != row):
            asked.rows.append(row)
        return self.answers.get(key, "")

    def answer(self, code: str, sheet: str, about: str = "") -> str:
        """Return the answer to a question, '' while it stands open; asks nothing."""
        return self.answers.get(question_key(code, sheet, about), "")
