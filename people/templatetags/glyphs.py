"""Template tags for the parts every page shares: states, tape, the hymn board, bars and the undo of a message."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from people.templatetags.glyph_words import GLYPHS, Glyph

register = template.Library()
LARGEST_BOARD = 3
LONG_NUMBER = 3  # digits; longer numbers stand on narrower slides


def folded(word: str) -> str:
    """Return the word as the table spells it: `tested_good`, `Tested good` and `tested good` are the same word."""
    return re.sub(r"[\s_\-,()]+", " ", word).strip().casefold()


@lru_cache(maxsize=64)
def _words(kind: str) -> dict[str, tuple[str, Glyph]]:
    return {folded(word): (word, glyph) for word, glyph in GLYPHS.get(kind, {}).items()}


def glyph_for(kind: str, value: str) -> tuple[str, Glyph] | None:
    """Return (word as spelled in the table, glyph) or None; "waiting on the stage box" finds "waiting on"."""
    words, asked = _words(kind), folded(value)
    if asked in words:
        return words[asked]
    starts = [word for word in words if asked.startswith(word + " ")]
    return (value, words[max(starts, key=len)][1]) if starts else None


@lru_cache(maxsize=4096)
def _state_html(kind: str, value: str, note: str, language: str) -> SafeString:
    tail = format_html(' <span class="state-note">{}</span>', note) if note else ""
    found = glyph_for(kind, value)
    if found is None:
        return format_html('<span class="state state-plain">{}{}</span>', value, tail)
    word, glyph = found
    return format_html(
        '<span class="state state-{}{}"><svg class="glyph" aria-hidden="true"><use href="#g-{}"/></svg>'
        "<span>{}{}</span></span>",
        kind,
        f" state-{glyph.mood}" if glyph.mood else "",
        glyph.shape,
        _(word),
        tail,
    )


def plain(text: object) -> str:
    """Return a bare string: a string marked safe equals an unmarked one, and the memory must not mix them up."""
    return str.__str__(str(text))


def state_html(kind: str, value: object, note: object = "") -> SafeString:
    """Return a state as glyph and word; an unknown word comes back plain, nothing for an empty one.

    kind: condition, fate, step, order, promise, verdict, label, cable, skill or money. Remembered, so a list of
    thousands of rows may call it for each.
    """
    if value in (None, ""):
        return SafeString("")
    return _state_html(kind, plain(value), plain(note or ""), get_language() or "")


@register.simple_tag
def state(kind: str, value: object, note: object = "") -> SafeString:
    """Show a state: `{% state "condition" piece.get_condition_display %}`; a note follows in grey."""
    return state_html(kind, value, note)


@register.simple_tag
def glyph(kind: str, value: object) -> SafeString:
    """Show the shape alone, named for a screen reader: for drawings and beads where the word stands elsewhere."""
    found = glyph_for(kind, str(value))
    if found is None:
        return SafeString("")
    word, shape = found
    mood = f" state-{shape.mood}" if shape.mood else ""
    return format_html(
        '<svg class="glyph glyph-{}{}" role="img" aria-label="{}"><use href="#g-{}"/></svg>',
        shape.shape,
        mood,
        _(word),
        shape.shape,
    )


TAPE_KINDS = {"", "next", "ghost", "none", "old", "large"}


@register.simple_tag
def tag_tape(piece_tag: object, url: str = "", kind: str = "") -> SafeString:
    """Show a tag or a cable number as tape; kind: next (dashed, not given yet), ghost, none (missing), old, large."""
    if kind not in TAPE_KINDS:
        raise ValueError(f"tag_tape: kind {kind!r} is none of {sorted(TAPE_KINDS)}; leave it out for plain tape.")
    looks = f"tape tape-{kind}" if kind else "tape"
    if not piece_tag:
        return SafeString("")
    if url:
        return format_html('<a class="{}" href="{}">{}</a>', looks, url, piece_tag)
    return format_html('<span class="{}">{}</span>', looks, piece_tag)


class Slide(NamedTuple):
    """One number on the hymn board with its word."""

    number: str
    word: str
    url: str = ""

    @property
    def digits(self) -> list[str]:
        return list(self.number)

    @property
    def is_long(self) -> bool:
        return len(self.number) > LONG_NUMBER


def _slide(given: Any) -> Slide:
    if isinstance(given, Mapping):
        return Slide(str(given["number"]), str(given["word"]), str(given.get("url", "")))
    number, word, *url = given
    return Slide(str(number), str(word), str(url[0]) if url else "")


@register.inclusion_tag("_hymn_board.html")
def hymn_board(slides: Iterable[Any] | None) -> dict[str, list[Slide]]:
    """Show up to three numbers: each a (number, word) or (number, word, url) or a mapping with those names."""
    found = [_slide(given) for given in slides or ()]
    if len(found) > LARGEST_BOARD:
        raise ValueError(f"hymn_board: {len(found)} numbers given; a board holds {LARGEST_BOARD}, drop the others.")
    return {"slides": found}


@register.inclusion_tag("_bars.html")
def bars(paid: float, ordered: float, whole: float, words: str = "") -> dict[str, Any]:
    """Show the share paid (solid), ordered (hatched) and planned (open) of a whole; amounts in one unit, >= 0."""
    share = (lambda part: 100 * min(max(part / whole, 0), 1)) if whole else (lambda part: 0)
    first = share(paid)
    second = min(share(ordered), 100 - first)
    said = words or _("%(paid)d%% paid, %(ordered)d%% ordered") % {"paid": round(first), "ordered": round(second)}
    return {"paid": _percent(first), "ordered": _percent(second), "words": said}


def _percent(share: float) -> str:
    return f"{share:.2f}".rstrip("0").rstrip(".") + "%"


@register.filter
def undo_url(message: Any) -> str:
    """Return the address that undoes what a message reports, from its extra tag `undo:<address>`, or nothing."""
    tags = (getattr(message, "extra_tags", "") or "").split()
    return next((tag.removeprefix("undo:") for tag in tags if tag.startswith("undo:")), "")
