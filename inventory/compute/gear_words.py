"""Words of the trade that tell a thing from a remark, and words that look like models but are not (common practice)."""

from __future__ import annotations

import re
from functools import lru_cache

_NOUNS = """
mic mics microphone microphones speaker speakers loudspeaker loudspeakers amp amps amplifier amplifiers mixer
mixers console desk board wedge wedges monitor monitors sub subs subwoofer subwoofers stagebox snake multicore
cable cables lead leads cord cords stand stands tripod tripods rack racks case cases trunk projector projectors
screen screens display displays tv tvs television camera cameras camcorder switcher converter converters
extender extenders splitter splitters encoder laptop computer pc tablet keyboard piano organ drum drums guitar
light lights fixture fixtures fresnel fresnels par spot spots spotlight uplighter uplighters dimmer dimmers lamp
lamps bulb bulbs bar bars di dis receiver receivers transmitter transmitters handheld handhelds headset headsets
lapel lavalier lav pack packs bodypack antenna antennas aerial aerials battery batteries charger chargers router
switch switches firewall hub processor equalizer compressor player recorder deck turntable clock clicker remote
adapter adapters adaptor adaptors connector connectors headphone headphones earphone earphones intercom talkback
loop cabinet column columns horn horns bracket brackets truss clamp clamps hoist curtain drape drapes lectern
pulpit podium trailer cart chair chairs table power distro sequencer conditioner ups outlet strip reel plate
plates tape gaffer toolbox tool tools tester meter ladder platform riser risers wireless radio interface box
boxes crate bin dvd cd cassette vcr blu-ray hdmi xlr usb software dongle gooseneck condenser dynamic hazer
fogger controller joystick megaphone bell bells whiteboard easel printer copier phone phones
"""
NOUNS = frozenset(_NOUNS.split())
ROOM_WORDS = re.compile(
    r"\b(?:room|hall|sanctuary|auditorium|chapel|stage|booth|balcony|loft|gallery|vestry|sacristy|lobby|foyer|"
    r"narthex|kitchen|office|closet|cupboard|attic|"
    r"basement|cellar|garage|shed|barn|trailer|van|nursery|cr[eè]che|tower|storage|store|cage|gym|cafeteria|"
    r"classroom|hallway|corridor|upstairs|downstairs|pickup|truck|bin|bench|"
    r"fellowship|platform|choir|youth|kids|children'?s|shelf|shelves|cabinet|drawer|rack|trunk|crates?|school|floor|"
    r"landing|mezzanine)\b",
    re.IGNORECASE,
)
NOT_MODELS = re.compile(
    r"^(?:\d+(?:st|nd|rd|th)|\d*[x×]\d+.*|\d+(?:\.\d+)?(?:w|v|va|u|ru|ch|ft|m|mm|cm|in|kg|lbs?|g|hz|khz|mhz|ghz|p|i|"
    r"k|gb|tb|mb|a|ah|way|port|pin|pt|x|lm|oz|s|yd|yr|yrs|hrs?|°)\"?|"
    r"4k|8k|hd\d*|cat-?\d\w*|usb-?\d?\w?|rj-?\d+|xlr-?\d?\w?|nl\d|dmx-?\d*|par-?\d+\w*|mp[34]|aes-?\d*|rg-?\d+\w*|"
    r"c1[345]|e27|e26|gu10|aaa?|d-?cell|pp3|cr20\d\d|"
    r"h26[45]|hdmi-?\d?|vga|dvi-?\w?|trs|ts|rca|bnc|sdi-?\w*|\d+g-sdi|ip\d+|led-?\d*|win(?:dows)?-?\d+|wifi-?\d|"
    r"802\.\d+\w*|bt-?\d|g\d{1,2}(?:\.\d)?|s\d$|12ax7|1/4\"?|t[58]|r\d{2}$|ps2|ps/2|"
    r"v\d$|no\d+|p\d$|l\d$|#\d+|\d+-\d+|\d+/\d+.*)$",
    re.IGNORECASE,
)
MODEL_SHAPE = re.compile(r"^(?=[^\d]*\d)(?=.*[A-Z])[A-Z]{1,5}\d?-?[A-Z]{0,2}\d{1,5}[A-Z]{0,3}(?:-[A-Z0-9]{1,4})?$")
_STOP = """
the a an and or of for with from to in on at by is are was not no old new big small long short spare our your
their his her this that all some
"""
STOP = frozenset(_STOP.split())


@lru_cache(maxsize=20_000)
def gear_words(text: str) -> frozenset[str]:
    """Return the trade nouns of a text, plurals taken back."""
    words = re.findall(r"[a-z][a-z'-]+|tv|di|pc|cd", text.lower())
    return frozenset(singular(word) for word in words if word in NOUNS)


@lru_cache(maxsize=20_000)
def singular(word: str) -> str:
    """Return 'box' for 'boxes', 'mic' for 'mics'; a rough rule that is only used to compare words."""
    if word.endswith(("xes", "ches", "shes")):
        return word[:-2]
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith("s") and not word.endswith(("ss", "us", "is", "as")) and len(word) > 3:
        return word[:-1]
    return word


def looks_like_model(token: str) -> bool:
    """True for a token of capitals and digits that is no size, count or plug."""
    return bool(MODEL_SHAPE.match(token)) and not NOT_MODELS.match(token)
