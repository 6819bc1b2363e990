"""Which dangers a step speaks of, so that its page can say the usual cautions. Pure; the sentences stand elsewhere."""

from __future__ import annotations

import re
from typing import Literal

Danger = Literal["mains", "overhead", "loud"]

# Words that speak of the danger; common practice.
WORDS: dict[Danger, re.Pattern[str]] = {
    "mains": re.compile(r"\b(?:electric\w*|circuits?|mains|dimmers?|amplifiers?|power into|distro)\b", re.IGNORECASE),
    "overhead": re.compile(
        r"\b(?:hang\w*|hung|rig(?:ger|ging)\w*|rated points?|fixing points?|lift(?:s|ing)?|truss\w*|flown|fly)\b",
        re.IGNORECASE,
    ),
    "loud": re.compile(r"\b(?:in-ears?|ear mixes|pink noise|for the first time)\b", re.IGNORECASE),
}


def dangers(*texts: str) -> tuple[Danger, ...]:
    """Return the dangers that the words of a step speak of, mains first."""
    said = " ".join(texts)
    return tuple(danger for danger, words in WORDS.items() if words.search(said))
