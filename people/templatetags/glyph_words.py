"""Which shape stands before which state word. The words belong to the models; only their shapes are named here."""

from __future__ import annotations

from typing import NamedTuple


class Glyph(NamedTuple):
    """A symbol of _glyphs.html and how it is said: worry (accent), quiet (grey) or plain."""

    shape: str
    mood: str = ""


GLYPHS: dict[str, dict[str, Glyph]] = {
    "condition": {
        "tested good": Glyph("disc-tick"),
        "works, marked": Glyph("disc-half"),
        "faulty": Glyph("triangle-mark", "worry"),
        "dead": Glyph("cross", "worry"),
        "unsafe": Glyph("octagon", "worry"),
        "not yet tested": Glyph("ring-dashed"),
        "not found": Glyph("question", "worry"),
    },
    "fate": {
        "to decide": Glyph("square-hatched", "worry"),
        "use here": Glyph("square"),
        "stand-in": Glyph("square-half"),
        "shelf spare": Glyph("square-open"),
        "for parts": Glyph("square-notched"),
        "sell": Glyph("arrow-sold"),
        "give away": Glyph("arrow-out"),
        "back to owner": Glyph("arrow-turn"),
        "stays with the building": Glyph("house"),
        "recycle": Glyph("ring-arrow"),
    },
    "step": {
        "wished for": Glyph("corners", "quiet"),
        "costed": Glyph("square-sum"),
        "approved": Glyph("square-ticked"),
        "waiting on": Glyph("square-hatched"),
        "ready": Glyph("square-bold"),
        "on it": Glyph("square"),
        "in, not proven": Glyph("square-ring"),
        "proven on a Sunday": Glyph("square-sun"),
        "signed over": Glyph("square-signed"),
        "set aside until": Glyph("square-aside", "quiet"),
        "dropped": Glyph("square-struck", "quiet"),
        "planned": Glyph("square-open"),
        "late": Glyph("square-hatched", "worry"),
        "stood here": Glyph("square-ghost", "quiet"),
    },
    "need": {
        "filled": Glyph("disc"),
        "on order": Glyph("slip"),
        "stood in": Glyph("disc-half"),
        "falls short": Glyph("triangle", "worry"),
        "open": Glyph("ring-dashed", "worry"),
    },
    "radio": {
        "legal here": Glyph("disc-tick"),
        "with a license": Glyph("slip-lines"),
        "find out first": Glyph("question", "worry"),
        "retune, lock or replace": Glyph("triangle", "worry"),
        "not legal here": Glyph("cross", "worry"),
    },
    "order": {
        "asked for price": Glyph("slip-dashed"),
        "priced": Glyph("slip-lines"),
        "ordered": Glyph("slip"),
        "date confirmed": Glyph("slip-dated"),
        "running late": Glyph("slip-late", "worry"),
        "part arrived": Glyph("box-half"),
        "all arrived": Glyph("box"),
        "checked and working": Glyph("box-tick"),
        "going back": Glyph("box-back"),
        "canceled": Glyph("slip-struck", "quiet"),
    },
    "promise": {
        "kept": Glyph("disc"),
        "kept by fall-back": Glyph("disc-lower"),
        "at risk": Glyph("triangle", "worry"),
        "broken": Glyph("cross", "worry"),
        "not yet promised": Glyph("ring", "quiet"),
    },
    "verdict": {
        "new to us": Glyph("plus"),
        "changes one we have": Glyph("overlap"),
        "needs a word from you": Glyph("speech", "worry"),
        "left out": Glyph("dash", "quiet"),
    },
    "label": {
        "no label": Glyph("tape-none", "worry"),
        "tape only": Glyph("tape-open"),
        "printed one end": Glyph("tape-half"),
        "printed both ends": Glyph("tape-full"),
        "checked both ends": Glyph("tape-tick"),
        "wrong": Glyph("tape-wrong", "worry"),
    },
    "cable": {
        "planned": Glyph("square-open"),
        "run in": Glyph("square-half"),
        "terminated": Glyph("square-ring"),
        "tested": Glyph("disc-tick"),
        "in use": Glyph("square"),
        "standby": Glyph("disc-half"),
        "left dead": Glyph("square-struck", "quiet"),
        "unidentified": Glyph("question", "worry"),
    },
    "skill": {
        "learning": Glyph("level-one"),
        "steady": Glyph("level-two"),
        "can teach": Glyph("level-three"),
    },
    "money": {
        "hoped for": Glyph("corners", "quiet"),
        "pledged": Glyph("slip-dashed"),
        "in the bank": Glyph("disc"),
        "committed": Glyph("square-hatched"),
        "ordered": Glyph("square-hatched"),
        "planned": Glyph("square-open"),
        "paid": Glyph("square"),
        "reclaimed": Glyph("arrow-turn"),
    },
}
