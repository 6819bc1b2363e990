"""What to know before anyone touches a piece: batteries, mains and things overhead. The tool warns; others judge."""

from __future__ import annotations

import re

from people.compute.sentences import Sentence
from people.compute.sentences import sentence as _

# Words that speak of the danger; common practice.
BATTERY = re.compile(r"\b(?:batter\w*|ups|lithium|li-?ion|rechargeable|lead.acid|back.?up power)\b", re.IGNORECASE)
MAINS = re.compile(
    r"\b(?:dimmer\w*|distro|power distribution|extension (?:lead|cord|reel)|mains|amp(?:lifier)?s?|powered|rack|"
    r"sequencer|lamp|fixture|projector|heater|smoke|plug)\b",
    re.IGNORECASE,
)
OVERHEAD = re.compile(
    r"\b(?:hoists?|chain motor|truss\w*|rigging|shackles?|flown|hung|hanging|overhead|ceiling|bars?|yoke|clamps?|"
    r"second safety|brackets?)\b",
    re.IGNORECASE,
)


def cautions(words: str, condition: str, watts: float | None, electrician: str) -> tuple[Sentence, ...]:
    """Return the sentences to show with a piece.

    words: everything written about it; watts: 0 or None where it draws none; electrician: who may open mains here.
    A piece marked unsafe always gets one; the danger of batteries and of things overhead is said in any condition.
    """
    unsafe, broken = condition == "unsafe", condition in {"unsafe", "faulty", "dead"}
    found = []
    if unsafe:
        found.append(_("Marked unsafe: take it out of use, label it, and let nobody plug it in or hang it to try."))
    if BATTERY.search(words):
        found.append(
            _("Battery: do not open, crush or charge a swollen or hot one; keep it outside and out of the trash.")
        )
    if broken and (watts or MAINS.search(words)):
        found.append(
            _(
                "Mains: unplug before touching it. Opening it or its fixed wiring is for {who}; local code decides.",
                who=electrician,
            )
        )
    if OVERHEAD.search(words):
        found.append(
            _(
                "Overhead: nobody stands below. Hanging, taking down and judging its load is for a qualified rigger, "
                "with a second safety; local code decides."
            )
        )
    return tuple(found)
