"""A row in the making: its cells, its facts, its doubts and the words that must not be lost."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from inventory.compute.intake.columns import Known
from inventory.compute.intake.grid import Look, Value

NOT_THERE = re.compile(r"^(?:[-–—.?]+|n/?a|none|unknown|tbd)$", re.IGNORECASE)


@dataclass
class Cell:
    """One cell of a row under its column's meaning."""

    known: Known
    value: Value
    text: str
    look: Look


@dataclass
class Facts:
    """A row in the making."""

    row: int  # 0-based
    fields: dict[str, Any] = field(default_factory=dict)
    flags: dict[str, None] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    raw: dict[str, str] = field(default_factory=dict)
    cells: dict[str, list[Cell]] = field(default_factory=dict)
    serials: tuple[str, ...] = ()
    words: str = ""  # all its text, for looking up remarks
    extra_parts: list[str] = field(default_factory=list)

    def flag(self, *codes: str) -> None:
        """Put codes to a person, each once, in order."""
        self.flags.update(dict.fromkeys(code for code in codes if code))

    def note(self, *texts: str) -> None:
        """Keep texts for the note, each once."""
        self.notes.extend(text for text in dict.fromkeys(texts) if text and text not in self.notes)

    def first(self, name: str) -> Cell | None:
        """The first cell of a field that holds something."""
        return next((each for each in self.cells.get(name, ()) if each.text or each.look.error), None)

    def text(self, name: str) -> str:
        """The text of a field, '' for none or a dash."""
        found = self.first(name)
        return "" if found is None or NOT_THERE.match(found.text) else found.text
