"""Which of the ten areas of the list a thing belongs to by its name: sound, picture, light and so on.

A first guess for a list that does not say; a person can change it. Source: the words of the trade, common practice.
"""

from __future__ import annotations

import re

from inventory.compute.kinds import kind_of

OTHER = "misc"
KINDS_OF = {
    "video": (
        "camera controller", "screen", "extender", "video splitter", "converter", "projector", "desk monitor",
        "display", "camera", "video router", "stream encoder",
    ),
    "light": ("lighting console", "dimmer", "wash bar", "spotlight"),
    "network": ("network switch", "access point", "firewall"),
    "computer": ("computer",),
    "power": ("power sequencer", "battery back-up"),
    "cable": ("cable",),
    "stand": ("loudspeaker stand", "music stand", "microphone stand", "lectern"),
    "case": ("rack", "case"),
    OTHER: ("bracket", "clock"),
}  # fmt: skip
AREA_OF = {kind: area for area, kinds in KINDS_OF.items() for kind in kinds}
# For names without a known kind; the first that is found decides.
WORDS = tuple(
    (area, re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE))
    for area, pattern in (
        ("case", r"trunks?|cases?|totes?"),
        ("stand", r"tripods?|stands?"),
        ("light", r"lights?|lighting|up-?lighters?|fresnels?|lamps?|leds?|pars?"),
        ("power", r"outlets?|mains|extension (?:cords?|leads?|reels?)|power strips?"),
        ("cable", r"adap(?:to|te)rs?|hdmi|sdi|multi-?cores?|looms?"),
        ("computer", r"clickers?|keyboard and mouse|pcs?"),
        ("video", r"video|capture|vision|tv"),
        (
            "audio",
            r"audio|sound|cassettes?|(?:disc|tape|minidisc) (?:recorders?|decks?|players?)|in-?ears?|headphones?|mics?|"
            r"radio|wall plates?|piano|organ|amps?",
        ),
    )
)


def area_of(what: str) -> str:
    """Return the area a name speaks of: audio, video, light, network, computer, power, cable, stand, case or misc."""
    kind = kind_of(what)
    if kind:
        return AREA_OF.get(kind, "audio")
    return next((area for area, pattern in WORDS if pattern.search(what)), OTHER)
