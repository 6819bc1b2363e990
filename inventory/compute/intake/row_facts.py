"""One row to its facts: each field read with its doubts, nothing lost, nothing made up."""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.compute.gear_words import NOUNS, gear_words, singular
from inventory.compute.intake.columns import Known, is_loose
from inventory.compute.intake.conditions import read_condition
from inventory.compute.intake.dates import read_when
from inventory.compute.intake.facts import NOT_THERE, Cell, Facts
from inventory.compute.intake.grid import Grid, Look, Value, as_text, is_number
from inventory.compute.intake.naming import BULLET, Lexicon, binding_of, describe
from inventory.compute.intake.note_lines import cells_of_line
from inventory.compute.intake.quantities import CASE_OF, PAIR_WORD, quantity_in_text, read_quantity
from inventory.compute.intake.row_price import PriceReader
from inventory.compute.intake.settings import Setting
from inventory.compute.intake.tables import cell
from inventory.compute.intake.units import rack_units_in, read_band, read_length, read_weight, watts_in
from inventory.compute.serials import nearly_model, read_serials, serial_key

DITTO = re.compile(
    r"^(?:\"|''|″|”|“|〃|,,|-\s?[\"″”]\s?-|-?\s?do\.?\s?-?|ditto|dto\.?|idem|as above|same as above|↑|↓|\|"
    r")$",
    re.IGNORECASE,
)
RADIO = re.compile(
    r"\b(?:radio|wireless|hand-?held|head-?set|lapel|lavalier|lav|in-?ears?|iem|body-?pack)\b", re.IGNORECASE
)
NAMELESS = re.compile(
    r"^(?:unbranded|generic|no[- ]?name|no brand|home-?made|custom|various|misc\.?|mixed|assorted|several)$",
    re.IGNORECASE,
)
NO_RADIO = re.compile(
    r"\b(?:wired|camera|recorder|router|wifi|wi-fi|access point|headphones?|cable|antennas?|aerials?|splitter|stand|"
    r"clip)\b",
    re.IGNORECASE,
)
JOINED = re.compile(r"\s+(?:\+|&|and|w/|with|plus)\s+|\s*\n\s*|\s*;\s*", re.IGNORECASE)
COUNTED_PART = re.compile(
    r"^(?:\d{1,3}|two|three|four|five|six|eight|ten) (?:[a-z]+ ){0,2}[a-z]+s(?![a-z])", re.IGNORECASE
)
OURS = re.compile(r"^(?:.*church.*|ours?|us|we|yes|parish|site|chapel.*|congregation)\??$", re.IGNORECASE)
FILLABLE = ("place", "maker", "maker_model", "what", "category", "owner", "condition", "bought", "model")


class RowReader:
    """Reads the rows of one table in order; remembers the row above for ditto marks."""

    def __init__(self, grid: Grid, columns: list[Known], setting: Setting, *, order: str, main_currency: str):
        self.grid, self.columns, self.setting = grid, columns, setting
        self.order, self.main_currency = order, main_currency
        self.names = self._names()
        self.prices = PriceReader(grid.name, columns, setting, main_currency, self.names)
        self.legend: dict[str, str] = {}
        self.above: dict[int, Value] = {}
        self.loose = is_loose(columns)
        self.has_place = any(known.field == "place" for known in columns)
        self.place_seen = False
        self.fills = self._fills()
        self.last_place = ""
        self.gaps_asked = False

    def notice_gaps(self, rows: list[int]) -> None:
        """Ask about missing rooms where the list states a room once for several rows."""
        for column in self._columns_of("place"):
            merged = any(at == column for _, at in self.fills)
            blank = sum(cell(self.grid, row, column) is None and (row, column) not in self.fills for row in rows)
            self.gaps_asked = merged or blank * 10 >= len(rows) * 3

    def _columns_of(self, name: str) -> set[int]:
        return {known.index for known in self.columns if known.field == name}

    def _names(self) -> dict[int, str]:
        names: dict[int, str] = {}
        for known in self.columns:
            name = known.heading or f"column {known.index + 1}"
            names[known.index] = name if name not in names.values() else f"{name} ({known.index + 1})"
        return names

    def _fills(self) -> dict[tuple[int, int], tuple[int, int]]:
        """Cells inside a merge -> its first cell; only merges that run down."""
        fills = {}
        for top, left, bottom, right in self.grid.merges:
            if bottom > top and (bottom - top) * (right - left + 1) < 5000:
                for row in range(top, bottom + 1):
                    for column in range(left, right + 1):
                        if (row, column) != (top, left):
                            fills[row, column] = (top, left)
        return fills

    def read(self, row: int, section: str = "") -> Facts:
        """Return the facts of one row that is a thing."""
        facts = Facts(row)
        self._take_cells(facts)
        quantity = self._name_it(facts)
        self._serial(facts, quantity)
        self._condition(facts)
        self._bought(facts)
        self.prices.read(facts)
        self._place(facts, section)
        self._measures(facts)
        self._remarks(facts)
        self._binding(facts)
        self._joined(facts)
        return facts

    def _take_cells(self, facts: Facts) -> None:
        for known in self.columns:
            value, look = self._value(facts, known)
            text = as_text(value).strip()
            if text and known.field != "personal":
                facts.raw[self.names[known.index]] = text
            if known.dropped:
                continue
            if self.loose and known.field == "what":
                for name, part in cells_of_line(BULLET.sub("", text)):
                    facts.cells.setdefault(name, []).append(Cell(replace(known, field=name), part, part, look))
            elif text or look.error:
                facts.cells.setdefault(known.field or "other", []).append(Cell(known, value, text, look))
            if look.comment:
                facts.note(f"comment: {look.comment}")
        facts.words = " ".join(each.text for cells in facts.cells.values() for each in cells)

    def _value(self, facts: Facts, known: Known) -> tuple[Value, Look]:
        row, column = facts.row, known.index
        value, look = cell(self.grid, row, column), self.grid.look(row, column)
        if value is None and (row, column) in self.fills:
            top = self.fills[row, column]
            if known.field in FILLABLE:
                value = cell(self.grid, *top)
            elif (known.field or "").startswith("price") and cell(self.grid, *top) is not None:
                facts.flag("PRICE_MERGED")
        elif isinstance(value, str) and DITTO.match(value):
            value = self._ditto(facts, known, value)
        elif look.struck and isinstance(value, str):
            value = self._without_struck(facts, known, value, look.struck)
        self.above[column] = value
        return value, look

    def _ditto(self, facts: Facts, known: Known, mark: str) -> Value:
        if known.field == "serial":
            facts.flag("SERIAL_PARTIAL")
            return None
        if known.field == "what" and len(mark) > 2 and self.above.get(known.index) is None:
            return mark
        facts.flag("DITTO")
        return self.above.get(known.index)

    def _without_struck(self, facts: Facts, known: Known, value: str, struck: str) -> str:
        rest = " ".join(value.replace(struck, " ", 1).split())
        if not rest or rest == value:
            return value
        facts.note(f"struck through: {struck}")
        facts.flag("PRICE_STRIKE" if (known.field or "").startswith("price") else "STRIKE")
        return rest

    def _name_it(self, facts: Facts) -> int | None:
        text = " / ".join(dict.fromkeys(each.text for each in facts.cells.get("what", ())))
        maker, model = self._maker_model(facts)
        counted = facts.first("quantity")
        quantity = read_quantity(counted.value) if counted else read_quantity(None)
        in_text, without = quantity_in_text(text) if text else (None, "")
        found = describe(
            without,
            self.setting.lexicon,
            maker=maker,
            model=model,
            serial=facts.text("serial"),
            place=facts.text("place"),
        )
        facts.fields["what"] = found.what or None
        facts.fields["maker"] = maker or found.maker or None
        facts.fields["model"] = model or found.model or None
        facts.flag(*found.flags, quantity.doubt)
        facts.note(quantity.remark, *found.remarks)
        if found.serial:
            facts.fields["serial"] = found.serial
        if found.place:
            facts.fields["place"] = found.place
        if quantity.faulty:
            facts.fields["condition"], facts.fields["condition_split"] = "mixed", f"faulty x{quantity.faulty}"
            facts.flag("COND_SPLIT")
        return self._count(facts, quantity.number, bool(counted), in_text, text, quantity.unit)

    def _maker_model(self, facts: Facts) -> tuple[str, str]:
        """Return maker and model from their columns; one cell of both is cut after the maker."""
        maker, model, both = (self._named(facts, name) for name in ("maker", "model", "maker_model"))
        for name, text in (("MAKER", maker), ("MODEL", model or both)):
            if text.endswith("?"):
                facts.flag(name)
        maker, model, both = maker.rstrip("? "), model.rstrip("? "), both.rstrip("? ")
        if not both:
            return _unrepeated(maker, model, self.setting.lexicon)
        if both.lower() in self.setting.lexicon.makers:
            return both, model
        two = " ".join(both.split()[:2]).lower()
        head, _, rest = both.partition(" ")
        if two in self.setting.lexicon.makers and " " in two:
            head, rest = " ".join(both.split()[:2]), " ".join(both.split()[2:])
        if not rest:
            return ("", both) if re.search(r"\d", both) else (both, model)
        if re.search(r"\d", head) and head.lower() not in self.setting.lexicon.makers:
            return maker, both
        if not re.search(r"[\dA-Z]", rest):  # a maker and a word of what it is, not a model
            facts.flag("MODEL")
            facts.note(both)
            return head, ""
        return head, rest

    @staticmethod
    def _named(facts: Facts, name: str) -> str:
        """The text of a maker or model cell; words that say there is none go to the note."""
        text = facts.text(name)
        if NAMELESS.match(text) or (name == "maker" and binding_of(text).flags):
            facts.note(text)
            return ""
        return text

    def _count(
        self, facts: Facts, number: int | None, stated: bool, in_text: int | None, text: str, unit: str
    ) -> int | None:
        """Settle how many: the column, else the description, else one; contradictions are put to a person."""
        pair = bool(PAIR_WORD.search(text))
        if number is None:
            number = (
                in_text
                if in_text is not None
                else (None if stated and "QTY" in facts.flags else 2 if pair and in_text is None else 1)
            )
            if in_text is None and not stated and (pair or several_named(text)):
                facts.flag("QTY")
        elif in_text is not None and in_text != number:
            facts.flag("QTY")
            facts.note(f"in the description: {text}")
        elif pair and number == 1:
            facts.flag("QTY")
        if unit and (CASE_OF.search(text) or (PAIR_WORD.search(text) and unit != "pair")):
            facts.flag("QTY")
        if in_text is not None and number == in_text and in_text > 1 and CASE_OF.search(text):
            facts.flag("QTY")
        if number is not None:
            facts.fields["quantity"] = number
        return number

    def _serial(self, facts: Facts, quantity: int | None) -> None:
        found = facts.first("serial")
        if found is None:
            if facts.fields.get("serial"):
                self._keep_serials(facts, (facts.fields["serial"],))
            return
        value = found.value
        if not isinstance(value, str | int | float):
            facts.flag("SERIAL_DATE")
            facts.note(f"serial as the sheet shows it: {found.text}")
            return
        if is_number(value) and abs(float(value)) >= 1e15:
            facts.flag("SERIAL_LOST")
            facts.note(f"serial as the sheet shows it: {found.text}")
            return
        read = read_serials(found.text, quantity)
        facts.note(read.remark)
        facts.flag(read.doubt)
        if found.look.formula:
            facts.flag("SERIAL_FORMULA")
        if (is_number(value) and len(found.text) < 4) or self._shorter(found.text):
            facts.flag("SERIAL_ZERO")
        self._keep_serials(facts, read.parts)
        if len(read.parts) > 1 and "QTY" in facts.flags and facts.first("quantity") is None:
            facts.fields["quantity"] = len(read.parts)
        elif (
            len(read.parts) > 1 and quantity != len(read.parts) and not JOINED.search(str(facts.fields.get("what", "")))
        ):
            facts.flag("QTY")

    def _shorter(self, text: str) -> bool:
        """True when a bare number is shorter than its zero-led neighbors: a program cut the noughts off."""
        return text.isdigit() and not text.startswith("0") and len(text) < self.zero_led

    zero_led = 0

    def _keep_serials(self, facts: Facts, parts: tuple[str, ...]) -> None:
        facts.serials = parts
        facts.fields.pop("serial", None)
        if parts:
            facts.fields["serial"] = ";".join(parts)
            facts.fields["serial_key"] = ";".join(serial_key(part) for part in parts)
            if any(nearly_model(part, str(facts.fields.get("model") or "")) for part in parts):
                facts.flag("SERIAL_SLIP")

    def _condition(self, facts: Facts) -> None:
        texts = [each.text for each in facts.cells.get("condition", ())]
        if not texts:
            return
        read = read_condition(", ".join(texts), self.legend, facts.fields.get("quantity"))
        if read.remark:
            facts.note(read.remark)
        answer = ""
        if read.pattern and read.doubt != "COND_SPLIT":
            about = read.pattern[:60]
            known = read.pattern in self.legend and read.sure
            answer = (
                ""
                if known
                else self.setting.ask(
                    "COND_WORD", self.grid.name, about, row=facts.row + 1, guess=read.word, example=texts[0]
                )
            )
        if "COND_SPLIT" not in facts.flags:
            facts.fields["condition"] = answer or read.word or None
        if read.split:
            facts.fields["condition_split"] = read.split
        if read.doubt and not answer:
            facts.flag(read.doubt)

    def _bought(self, facts: Facts) -> None:
        found = facts.first("bought")
        if found is None:
            return
        answer = self.setting.answer("DATE_ORDER", self.grid.name, str(found.known.index))
        when = read_when(
            found.value,
            self.setting.today,
            order=answer or self.order,
            day_first=self.setting.day_first,
            from_1904=self.grid.from_1904,
            parts=found.look.date_parts,
        )
        facts.note(when.remark)
        facts.flag(when.doubt)
        if when.doubt == "DATE_ORDER":
            guess = "day" if self.setting.day_first else "month"
            self.setting.ask(
                "DATE_ORDER", self.grid.name, str(found.known.index), row=facts.row + 1, guess=guess, example=found.text
            )
        if when.year is not None:
            facts.fields["year"] = when.year
            facts.fields["year_precision"] = when.precision
        if when.bought and when.doubt != "DATE_BAD":
            facts.fields["bought"] = when.bought

    def _place(self, facts: Facts, section: str) -> None:
        found = facts.text("place")
        if found:
            facts.fields["place"] = found.rstrip("?").strip() if found.endswith("?") else found
            if found.endswith("?"):
                facts.flag("PLACE_FILL")
            self.place_seen, self.last_place = True, str(facts.fields["place"])
        elif not self.has_place and section and not facts.fields.get("place"):
            answer = self.setting.ask(
                "PLACE_FILL", self.grid.name, "section", row=facts.row + 1, guess="fill", example=section
            )
            if answer != "leave":
                facts.fields["place"] = section
            facts.flag("" if answer else "PLACE_FILL")
        elif (
            self.has_place
            and self.place_seen
            and self.gaps_asked
            and not facts.cells.get("place")
            and not facts.fields.get("place")
        ):
            answer = self.setting.ask("PLACE_FILL", self.grid.name, "gaps", row=facts.row + 1, guess="leave")
            if answer == "fill":
                facts.fields["place"] = self.last_place
            facts.flag("" if answer else "PLACE_FILL")

    def _measures(self, facts: Facts) -> None:
        found = facts.first("kg")
        if found:
            self._weight(facts, found)
        what = str(facts.fields.get("what") or "")
        size = facts.text("size")
        watts = read_number_of(facts.text("watts").replace(",", "")) or watts_in(what)
        units = rack_units_in(facts.text("rack_units") + "U" if facts.text("rack_units") else f"{size} {what}")
        length = read_length(facts.text("length_mm")) if facts.text("length_mm") else None
        for name, value in (("watts", watts), ("rack_units", units), ("length_mm", length.value if length else None)):
            if value:
                facts.fields[name] = value
        self._band(facts, what, size)

    def _weight(self, facts: Facts, found: Cell) -> None:
        answer = found.known.unit or self.setting.answer("UNIT", self.grid.name, str(found.known.index))
        read = read_weight(found.value, answer)
        facts.note(read.remark if read.doubt != "UNIT" or read.value is None else "")
        if read.doubt == "UNIT" and read.value is not None:
            guess = "lb" if self.setting.currency == "USD" else "kg"
            read = read if guess == "kg" else read_weight(found.value, guess)
            facts.flag("UNIT")
            self.setting.ask(
                "UNIT", self.grid.name, str(found.known.index), row=facts.row + 1, guess=guess, example=found.text
            )
        facts.flag(read.doubt if read.doubt != "UNIT" or read.value is None else "")
        if read.value is not None:
            facts.fields["kg"] = read.value

    def _band(self, facts: Facts, what: str, size: str) -> None:
        radio = bool(RADIO.search(what)) and not NO_RADIO.search(what)
        texts = [facts.text("band"), size, what, *(each.text for each in facts.cells.get("note", ()))]
        for text in texts:
            band = read_band(text, radio=radio or text == facts.text("band")) if text else None
            if band:
                facts.fields["band_low_khz"], facts.fields["band_high_khz"] = band
                return
        if radio and re.search(r"\b(?:radio|wireless|in-?ears?|iem)\b", what, re.IGNORECASE) and "2.4" not in what:
            facts.flag("BAND")

    def _remarks(self, facts: Facts) -> None:
        for name in ("note", "other", "size", "band", "category", "person"):
            for each in facts.cells.get(name, ()):
                if (
                    not each.text
                    or NOT_THERE.match(each.text)
                    or (name in ("other", "category") and len(each.text) <= 2)
                ):
                    continue
                plain = name == "note" or not each.known.heading
                facts.note(each.text if plain else f"{each.known.heading}: {each.text}")
        owner, tag = facts.text("owner"), facts.text("tag")
        if owner:
            facts.fields["owner"] = owner
            facts.flag("" if OURS.match(owner) else "OWNER")
        if tag:
            facts.fields["tag"] = tag
        for each in facts.cells.get("barcode", ()):
            if each.known.field == "barcode":
                self.setting.ask("CODE_COL", self.grid.name, each.known.heading, guess="barcode", example=each.text)

    def _binding(self, facts: Facts) -> None:
        comments = " ".join(note for note in facts.notes)
        found = binding_of(f"{facts.fields.get('what') or ''} . {comments}")
        facts.flag(*found.flags)
        if found.owner and "owner" not in facts.fields:
            facts.fields["owner"] = found.owner
        if found.do_not_sell:
            facts.fields["do_not_sell"] = True

    def _joined(self, facts: Facts) -> None:
        """Several things in one cell: kept whole, with a proposal, and put to a person."""
        written = " ".join(each.text for each in facts.cells.get("what", ()))
        parts = [part.strip() for part in JOINED.split(re.sub(r"\([^)]*\)", "", written)) if part and part.strip()]
        if len(parts) < 2:
            return
        serial_heads = {re.split(r"[-\s]", part)[0] for part in facts.serials}
        price, weight = facts.first("price") or facts.first("price_each"), facts.first("kg")
        sums = [each for each in (price, weight) if each and re.search(r"\d\s*\+\s*\d", each.text)]
        models = sum(bool(re.search(r"\b[A-Z]{1,5}-?\d{1,5}[A-Z]?\b", part)) for part in parts)
        counted = bool(re.match(r"^\s*\d+\s?[x×]?\s", written)) and " + " in written
        many = len(written.split(",")) > 2 and " + " in written
        alone = len(serial_heads) > 1 and len(facts.serials) == len(parts)
        kinds = [gear_words(part) for part in parts]
        counted = counted or any(COUNTED_PART.match(part) for part in parts[1:])
        named = not re.search(r" w/ | with ", written) and all(kinds) and len(set(kinds)) == len(parts)
        if models > 1 or sums or alone or counted or many or named:
            facts.flag("SPLIT")
            facts.extra_parts = parts
            self.setting.ask(
                "SPLIT", self.grid.name, str(facts.row + 1), row=facts.row + 1, guess="keep", example=written
            )


def _unrepeated(maker: str, model: str, lexicon: Lexicon) -> tuple[str, str]:
    """Return maker and model where each column also holds the other: 'Hobsley RK-160' beside 'RK-160'."""
    head, _, rest = model.partition(" ")
    if rest and (head.lower() == maker.lower() or (not maker and head.lower() in lexicon.makers)):
        return head, rest
    if model and maker.lower().endswith(" " + model.lower()):
        return maker[: -len(model)].strip(), model
    return maker, model


def several_named(text: str) -> bool:
    """True when a description names its thing in the plural without saying how many: 'extension cords'."""
    head = re.split(r"[,(/;]| (?:for|with|of|in|on|from|to) ", text)[0].split()
    words = [word for word in head if word.isalpha()]
    return bool(words) and words[-1].lower() in NOUNS and singular(words[-1].lower()) != words[-1].lower()


def read_number_of(text: str) -> int | None:
    """Return a plain whole number, None for anything else."""
    match = re.fullmatch(r"(\d{1,6})\s*(?:w|watts?)?", text.strip(), re.IGNORECASE)
    return int(match[1]) if match else None
