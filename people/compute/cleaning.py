"""Text as it is kept: composed, without characters nobody can see and that can mislead."""

from __future__ import annotations

import re
import unicodedata

# Controls, lone surrogates, the byte order mark and the zero width space show nothing; embeddings, overrides and
# isolates turn the reading direction so that a name reads as another one.
# Source: Unicode Technical Report 36, section 2.5 (bidirectional text spoofing). Joiners stay: scripts need them.
UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff]"
)
BREAKS = re.compile(r"[\t\n\r\x0b\x0c\x85\u2028\u2029]+")


def one_line(text: str) -> str:
    """Return the text on one line, composed (NFC) and trimmed; breaks become spaces, unseen characters go."""
    return UNSEEN.sub("", unicodedata.normalize("NFC", BREAKS.sub(" ", text))).strip()


def several_lines(text: str) -> str:
    """Return the text with its line breaks as \\n, composed (NFC), trimmed, without other unseen characters."""
    lines = re.split(r"\r\n|[\n\r\x0b\x0c\x85\u2028\u2029]", text)
    return "\n".join(one_line(line) for line in lines).strip()


def sort_key(text: str) -> str:
    """Return what a list is sorted and searched by: one line, case folded, without accents.

    Accents fall by compatibility decomposition (NFKD) without combining marks; Unicode Standard Annex 15.
    """
    decomposed = unicodedata.normalize("NFKD", one_line(text).casefold())
    return "".join(mark for mark in decomposed if not unicodedata.combining(mark)).casefold()


def slug_words(text: str) -> str:
    """Return the text as lower case letters, figures and hyphens for an address; '' where nothing is left."""
    return re.sub(r"[^a-z0-9]+", "-", sort_key(text)).strip("-")
