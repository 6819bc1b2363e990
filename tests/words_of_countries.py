"""Words that give away the country a text was written for. From memory: common British and American dictionaries agree
on these spellings; words that both use (program, check, socket, ground) are left out, since only the sense differs."""

import re

# American spelling or word -> British
AMERICAN = {
    "color": "colour",
    "center": "centre",
    "catalog": "catalogue",
    "labor": "labour",
    "favor": "favour",
    "favorite": "favourite",
    "honor": "honour",
    "neighbor": "neighbour",
    "behavior": "behaviour",
    "gray": "grey",
    "meter": "metre",
    "centimeter": "centimetre",
    "millimeter": "millimetre",
    "liter": "litre",
    "fiber": "fibre",
    "theater": "theatre",
    "aluminum": "aluminium",
    "analog": "analogue",
    "license": "licence",
    "defense": "defence",
    "canceled": "cancelled",
    "labeled": "labelled",
    "traveled": "travelled",
    "organize": "organise",
    "organization": "organisation",
    "recognize": "recognise",
    "authorized": "authorised",
    "trash": "bin",
    "elders": "leaders",
    "lease-to-own": "hire purchase",
    "zip code": "postcode",
    "sidewalk": "pavement",
    "flashlight": "torch",
    "cell phone": "mobile",
    "vacation": "holiday",
}
# British words without an American twin that a page could hold by right
BRITISH_ONLY = {
    "colour",
    "centre",
    "catalogue",
    "labour",
    "favour",
    "favourite",
    "honour",
    "neighbour",
    "behaviour",
    "grey",
    "metre",
    "centimetre",
    "millimetre",
    "litre",
    "fibre",
    "theatre",
    "aluminium",
    "analogue",
    "licence",
    "defence",
    "labelled",
    "travelled",
    "organise",
    "organisation",
    "recognise",
    "authorised",
    "hire purchase",
    "postcode",
    "whilst",
    "fortnight",
    "lorry",
    "programme",
    "cheque",
    "autumn",
    "car park",
    "practise",
}


def _pattern(words) -> re.Pattern[str]:
    return re.compile(r"\b(" + "|".join(sorted(map(re.escape, words), key=len, reverse=True)) + r")s?\b", re.IGNORECASE)


AMERICAN_WORD, BRITISH_WORD = _pattern(AMERICAN), _pattern(BRITISH_ONLY)


def american(text: str) -> list[str]:
    return [found.group(0) for found in AMERICAN_WORD.finditer(text)]


def british(text: str) -> list[str]:
    return [found.group(0) for found in BRITISH_WORD.finditer(text)]
