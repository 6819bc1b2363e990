"""Lines of a note to cells: a phone note or a pasted list says in one line what a table says in columns.

'2x wedge, one dead - in shed' holds a count, a thing, a state and a place. The line is cut at its commas and dashes and
each part goes where it says it belongs; what says nothing clear stays in the note, so no word is lost.
"""

from __future__ import annotations

import re

from inventory.compute.gear_words import ROOM_WORDS, gear_words, looks_like_model
from inventory.compute.intake.conditions import read_condition
from inventory.compute.intake.naming import OWNER_QUERY, PLACE_CHUNK, binding_of
from inventory.compute.serials import PREFIX

CUT = re.compile(
    r",\s+|;\s*|(?<=[a-z]{4})\.\s+(?=[A-Za-z])|\s+[-–—]{1,2}\s+|\s+(?=\d+\s+(?:good|ok|okay|fine|bad|dead|broken|"
    r"faulty|not|no|work\w*)\b)|"
    r"\s+(?=(?:bought|got|since|from) (?:in )?(?:19|20)\d\d\b|belongs? to |sn\s|s/n\s|serial\s)"
)
COUNT_FIRST = re.compile(
    r"^(?P<n>(?:about |approx\.? |~ ?|maybe )?(?:½|1/2|half a|a|one|two|three|\d{1,3})\s?(?:x|×|off|doz(?:en|\.)?|"
    r"pairs?|prs?\.?|couple(?: of)?)|(?:a )?(?:pair|couple)(?: of)?|doz(?:en|\.)?|a few|some|several|a bunch of|"
    r"(?:about|approx\.?|~|maybe) ?\d{1,3})\s+(?=[A-Za-z0-9\"'])",
    re.IGNORECASE,
)
COUNT_ALONE = re.compile(
    r"^(?:x\s?\d{1,3}|(?:about |approx\.? |around |maybe |~ ?)?(?:a |half a )?(?:dozen|\d{1,3})(?: or so|ish|\?|"
    r" of (?:them|"
    r"these))?|\d{1,3} or \d{1,3}|a few|several|a pair|pair)$",
    re.IGNORECASE,
)
PRICE = re.compile(
    r"^(?:about |approx\.? |~ ?|paid |worth |cost )?(?:[£$€]\s?\d|\d[\d.,]*\s?(?:[£$€]|quid\b|bucks\b|dollars\b|"
    r"euros?\b))",
    re.I,
)
WHEN = re.compile(
    r"^(?:bought |got |from |since |new |about |c\.? ?|ca\.? ?)*(?:in )?(?:[a-z]{3,9}\.? )?'?(?:(?:19|"
    r"20)\d\d)(?:-?ish|\?)?$",
    re.IGNORECASE,
)
INSIDE = re.compile(
    r"^(?:(?:kept|stored|lives|now|is|currently|both|all) )*(?:in|at|on|from|out of)(?: the)? ", re.IGNORECASE
)
KEPT_IN = re.compile(
    r"^(?:the )?(?:[\w']+ ){0,2}(?:case|trunk|crate|drawer|tote|bin|shelf|bag|locker|chest)$", re.IGNORECASE
)


def cells_of_line(text: str) -> list[tuple[str, str]]:
    """Return (field, text) of each part of a line, the thing first; a line of one part is the thing alone."""
    first, *rest = _parts(text)
    cells: list[tuple[str, str]] = []
    if match := COUNT_FIRST.match(first):
        cells.append(("quantity", re.sub(r"\s*\bof$", "", match["n"]).strip()))
        first = first[match.end() :]
    what = [first]
    for part in rest:
        field = _field_of(part)
        if field == "what":
            what.append(part)
        else:
            cells.append((field, part))
    return _joined_states([("what", ", ".join(what)), *cells])


def head_of_line(text: str) -> str:
    """Return the first part of a line: what it names, without what it says about it."""
    return _parts(text)[0]


def _parts(text: str) -> list[str]:
    """Cut a line, but not inside brackets."""
    hidden = re.sub(r"\([^)]*\)", lambda match: "\x01" * len(match[0]), text)
    parts, start = [], 0
    for cut in CUT.finditer(hidden):
        parts.append(text[start : cut.start()])
        start = cut.end()
    parts.append(text[start:])
    return [part.strip() for part in parts if part.strip()] or [text]


def _field_of(part: str) -> str:
    """Return the field a later part of a line belongs to."""
    if PREFIX.match(part):
        return "serial"
    for name, pattern in (("price", PRICE), ("bought", WHEN), ("quantity", COUNT_ALONE)):
        if pattern.match(part):
            return name
    if OWNER_QUERY.match(part):
        return "what"  # the description's reader turns it into a question
    binding = binding_of(part)
    if binding.flags or binding.owner:
        return "note"
    if _is_place(part):
        return "place"
    if any(looks_like_model(word.strip("()")) for word in part.split()):
        return "what"
    if read_condition(part, None, 2).word:
        return "condition"
    return "note"


def _is_place(part: str) -> bool:
    named = PLACE_CHUNK.match(part)
    if named or KEPT_IN.match(part):
        return True
    from_room = re.match(r"^(?:both |all )?(?:from|out of) the ", part, re.IGNORECASE)
    short = len(part.split()) <= 3 and not gear_words(part)
    return bool(ROOM_WORDS.search(part) and (short or from_room))


def _joined_states(cells: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Keep the first cell of each field; states belong together, other doubles go to the note."""
    states = [text for field, text in cells if field == "condition"]
    result: list[tuple[str, str]] = []
    seen: set[str] = set()
    for field, text in cells:
        if field == "condition":
            text = ", ".join(states)
            if "condition" in seen:
                continue
        elif field in seen and field != "note":
            field = "note"
        seen.add(field)
        result.append((field, INSIDE.sub("", text) if field == "place" else text))
    return result
