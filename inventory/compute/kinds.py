"""What kind of thing words speak of: conservative, the first pattern that holds decides, no word means no kind."""

from __future__ import annotations

import re

# Order matters: what is said more exactly stands first. Source: the words of the trade, common practice.
PATTERNS: tuple[tuple[str, str], ...] = (
    ("case", r"(road|flight|carry|equipment).?cases?"),
    ("personal-mixer hub", r"personal.?mixer.?hub"),
    ("personal mixer", r"personal.?mixers?"),
    ("stage box", r"stage.?box(es)?"),
    ("lighting console", r"light(ing|s)?.?(console|desk|board)"),
    ("camera controller", r"camera.?controllers?"),
    ("hearing receiver", r"hearing.*receivers?"),
    ("hearing transmitter", r"hearing.*transmitters?"),
    ("hearing loop", r"(hearing|induction).?loop|loop.?(amp|amplifier|driver)"),
    ("hearing receiver", r"hearing.?assistance"),
    ("in-ear transmitter", r"in.?ear.*transmitters?"),
    ("in-ear receiver", r"in.?ear.*(receivers?|packs?)"),
    ("cable", r"coax.*|(antenna|aerial).*(cables?|leads?)"),
    ("combiner", r"combiners?"),
    ("antenna splitter", r"(antenna|aerial).*splitters?"),
    ("antenna", r"antennas?|aerials?"),
    ("intercom", r"intercoms?|talkback"),
    ("wireless headset", r"(wireless|radio).*headsets?"),
    ("wireless lapel", r"(wireless|radio).*(lapel|lavalier)s?"),
    ("wireless handheld", r"(wireless|radio).*hand.?helds?|(wireless|radio) mic(rophone)?s?"),
    ("keyboard amplifier", r"keyboard.?amp(lifier)?s?"),
    ("headphone amplifier", r"headphone.?amp(lifier)?s?"),
    ("music stand", r"(music|keyboard).?stands?"),
    ("keyboard", r"pianos?|keyboards?"),
    ("loudspeaker stand", r"(loud)?speaker.?stands?"),
    ("microphone stand", r"mic(rophone)?.?stands?"),
    ("loudspeaker processor", r"(loud)?speaker.?processors?"),
    ("subwoofer", r"sub(woofer)?s?"),
    ("wedge", r"wedges?"),
    ("column loudspeaker", r"columns?.?(loud)?speakers?"),
    ("ceiling loudspeaker", r"ceiling.?(loud)?speakers?"),
    ("organ loudspeaker", r"organ.*"),
    ("cable", r"cables?|snakes?|multicores?|leads?"),
    ("amplifier", r"amp(lifier)?s?"),
    ("loudspeaker", r"(loud)?speakers?"),
    ("drum microphone", r"drum.?mic(rophone)?s?"),
    ("lectern microphone", r"(gooseneck|lectern|pulpit).?.*mic(rophone)?s?"),
    ("condenser microphone", r"condenser.*"),
    ("vocal microphone", r"(vocal|dynamic|wired).*mic(rophone)?s?"),
    ("microphone", r"mic(rophone)?s?"),
    ("DI box", r"di.?box(es)?"),
    ("lectern", r"lecterns?|pulpits?"),
    ("earphones", r"earphones?"),
    ("screen", r"(electric|folding|projection|frame)\b.*(screens?|surface)"),
    ("bracket", r"brackets?"),
    ("extender", r"extenders?"),
    ("video splitter", r"(hdmi|sdi|video).*(splitters?|distribution)"),
    ("converter", r"converters?"),
    ("projector", r"projectors?"),
    ("desk monitor", r"desk.?monitors?"),
    ("clock", r"clocks?"),
    ("display", r"displays?|televisions?|tvs?"),
    ("camera", r"cameras?|camcorders?"),
    ("video router", r"(video|vision).*(switchers?|routers?|mixers?)|switcher.?router"),
    ("stream encoder", r"encoders?"),
    ("computer", r"computers?|laptops?"),
    ("network switch", r"network.*switch(es)?|(managed|unmanaged|core).*switch(es)?"),
    ("access point", r"access.?points?|wi.?fi"),
    ("firewall", r"firewalls?|routers?"),
    ("power sequencer", r"sequencers?"),
    ("battery back-up", r"battery.?back.?ups?|ups"),
    ("rack", r"equipment.?racks?|racks?"),
    ("dimmer", r"dimmers?"),
    ("wash bar", r"wash.?bars?"),
    ("spotlight", r"spot.?lights?"),
    ("console", r"consoles?|mixing.?desks?|(digital|analog(ue)?|rack).*mixers?|mixers?"),
)
COMPILED = tuple((kind, re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)) for kind, pattern in PATTERNS)
ACCEPTS = {  # a need in few words takes what is called more exactly; a kind not named takes itself
    "microphone": frozenset({"microphone", "vocal microphone", "condenser microphone", "lectern microphone"}),
    "loudspeaker": frozenset({"loudspeaker", "column loudspeaker"}),
}
EXTRA_WORDS = {"rack digital mixer": "console", "tablet": "tablet"}  # where an earlier word would mislead


def kind_of(words: str) -> str:
    """Return the kind the words speak of, '' where none is recognized. What stands in parentheses does not count."""
    plain = re.sub(r"\([^)]*\)", " ", words)
    for beginning, kind in EXTRA_WORDS.items():
        if plain.lower().strip().startswith(beginning):
            return kind
    head = re.split(r",|\bwith\b|\bfor\b", plain)[0]
    return _first_kind(head) or _first_kind(plain)


def _first_kind(text: str) -> str:
    return next((kind for kind, pattern in COMPILED if pattern.search(text)), "")


def accepts(need_kind: str) -> frozenset[str]:
    """Return the kinds of piece that can fill a need of a kind; none for ''."""
    return ACCEPTS.get(need_kind, frozenset({need_kind} - {""}))
