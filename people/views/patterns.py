"""One page that shows every part of the look, from samples; it asks the database nothing."""

from types import SimpleNamespace
from typing import Any

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from people.templatetags.glyph_words import GLYPHS

WAYS = ("This Sunday", "Gear", "Leaving", "Steps", "Money", "Paths", "Hands", "Paper")
PIECES = (  # tag, what, note, site, place, condition, fate, fate note, goes to
    (
        "G030-C",
        "Microphone cables, lot of 30",
        "test each",
        "The Lanes",
        "storage",
        "not yet tested",
        "to decide",
        "",
        "",
    ),
    ("G041-M", "Amplifier, 2 x 300 W", "", "Pennick Road", "booth", "not yet tested", "to decide", "", ""),
    ("G024-K", "Words laptop", "battery swollen", "The Lanes", "storage", "unsafe", "recycle", "", "county drop-off"),
    (
        "G003-R",
        "Powered loudspeaker, 12 in",
        "left",
        "The Lanes",
        "auditorium",
        "tested good",
        "stand-in",
        "until Nov 29",
        "kids' room",
    ),
    ("G005-T", "Powered loudspeaker, 10 in", "", "The Lanes", "storage", "works, marked", "shelf spare", "", "storage"),
    (
        "G006-V",
        "Powered loudspeaker, 10 in",
        "driver dead",
        "The Lanes",
        "storage",
        "faulty",
        "for parts",
        "",
        "storage",
    ),
    ("G017-H", "Vocal microphone", "", "The Lanes", "stage", "tested good", "use here", "", "stage"),
    (
        "G027-A",
        "Cargo trailer, 6 x 10 ft",
        "tail light out",
        "Pole barn",
        "yard",
        "tested good",
        "sell",
        "",
        "listed at $1,900",
    ),
    (
        "G035-N",
        "Keyboard amplifier",
        "",
        "The Lanes",
        "storage",
        "works, marked",
        "back to owner",
        "",
        "Dale Haverkamp",
    ),
)
BEADS = {"k": "kept", "f": "kept by fall-back", "r": "at risk", "b": "broken", "n": "not yet promised"}
LADDER = (  # kind, then its own words; every entry takes one row
    (
        "step",
        "on it",
        "13",
        "Wireless in-ears for six singers",
        "on it · Theo, Wednesday evening",
        "needs the frequency plan (step 5)",
        "Hear · $8,170",
    ),
    ("rung", "Nov 8", "kkkfknkfkfkk", "9 kept · 3 by fall-back", "is-next"),
    ("step", "stood here", "10", "Amplifier into the rack", "stood here, Monday, October 19", "", ""),
    (
        "step",
        "planned",
        "14",
        "In-ear rehearsal night",
        "Friday, November 13 · six singers",
        "needs the in-ears (step 13)",
        "",
    ),
    ("rung", "Nov 15", "kkkrknkfkfkk", "1 at risk: singers hear themselves", ""),
    (
        "step",
        "late",
        "10",
        "Amplifier into the rack",
        "Monday, November 16 · four weeks late",
        "needs the amplifier, promised November 13",
        "",
    ),
    ("rung", "Nov 22", "kkkkknkfkfkk", "10 kept · last service at Pennick Road", ""),
    ("freeze", "Thanksgiving, November 23 to 29", "nothing a Sunday leans on is touched"),
    ("rung", "Nov 29", "kkkkknbfkfkk", "1 broken: words on the stage monitor", ""),
    (
        "step",
        "waiting on",
        "22",
        "Empty Pennick Road",
        "waiting on the closing · by December 15",
        "needs every piece there decided",
        "See and send · $7,682",
    ),
    ("rung", "Dec 6", "kkkkkkkfkfkk", "all kept", ""),
)
PHASES = (  # first row, row after the last, name, before tax, tax, total, paid share, ordered share
    (1, 10, "Hear", "$8,170 before tax", "$460 tax · $8,630 in all", 5200, 2500, 8630),
    (10, 12, "See and send", "$7,500 before tax", "$182 tax · $7,682 in all", 0, 400, 7682),
)
SUNDAYS = ("Nov 8", "Nov 15", "Nov 22", "Nov 29", "Dec 6", "Dec 13", "Dec 20", "Dec 27")
MONTHS = (("Nov", 6240), ("Dec", 4100), ("Jan", 1980), ("Feb", 620), ("Mar", 2350), ("Apr", 3400))
SOCKETS = (  # side, far end, where, cable, kind, labelled far, labelled here, socket
    ("in", "Stage box", "out 1, 2 · stage", "N-004", "is-network", True, True, "network A"),
    ("in", "Talkback microphone", "out · booth", "M-031", "", True, True, "line 1"),
    ("in", "Words computer", "sound out · booth", "M-044", "", False, True, "line 3"),
    ("out", "Amplifier", "in 1, 2 · rack room", "L-002", "", True, True, "main L, R"),
    ("out", "Stream encoder", "sound in · booth", "L-007", "", True, True, "out 7, 8"),
    ("out", "Lobby amplifier", "in 1 · rack room", "A-019", "", True, False, "out 5"),
)


class SampleForm(forms.Form):
    """One field of each kind, so that all of them can be looked at."""

    what = forms.CharField(
        label="What it is", help_text="As you would say it: portable mixer, 12 channel.", max_length=80
    )
    condition = forms.ChoiceField(label="Condition", choices=[(word, word) for word in GLYPHS["condition"]])
    price = forms.DecimalField(
        label="What it cost", required=False, help_text="In dollars; leave empty when nobody knows."
    )
    seen = forms.DateField(label="Last seen", widget=forms.DateInput(attrs={"type": "date"}))
    kept_by = forms.ChoiceField(
        label="Who keeps it",
        choices=[("booth", "the booth"), ("stage", "the stage"), ("kids", "the kids' room")],
        widget=forms.RadioSelect,
    )
    tested = forms.BooleanField(label="I switched it on and heard it", required=False)
    note = forms.CharField(label="Note", widget=forms.Textarea(attrs={"rows": 3}), required=False)


class SampleFilter(forms.Form):
    """The words to change; each label is what stands before its word."""

    area = forms.ChoiceField(label="", choices=[("", "all gear"), ("audio", "the sound gear")], required=False)
    site = forms.ChoiceField(
        label="from", choices=[("", "every site"), ("pr", "Pennick Road")], required=False, initial="pr"
    )
    condition = forms.ChoiceField(label="", choices=[("", "in any condition"), ("good", "tested good")], required=False)
    fate = forms.ChoiceField(label="", choices=[("", "with any fate"), ("sell", "to be sold")], required=False)
    q = forms.CharField(
        label="called",
        widget=forms.TextInput(attrs={"type": "search", "placeholder": "a word or a tag"}),
        required=False,
    )


def ladder_rows() -> list[dict[str, Any]]:
    """Return the sample rows of the ladder, each with the grid row it stands in."""
    rows = []
    for number, (kind, *words) in enumerate(LADDER, start=1):
        row: dict[str, Any] = {"kind": kind, "row": number, "words": words}
        if kind == "rung":
            row["beads"] = [BEADS[letter] for letter in words[1]]
        rows.append(row)
    return rows


def month_line(wide: int = 560, tall: int = 150) -> dict[str, Any]:
    """Return the points of the level line and the words of each month, in drawing units."""
    step, most = wide / len(MONTHS), max(level for _, level in MONTHS)
    low = min(MONTHS, key=lambda month: month[1])
    places, path = [], []
    for number, (name, level) in enumerate(MONTHS):
        x, y = round(number * step, 1), round(tall - 110 * level / most, 1)
        path.append(f"{'L' if path else 'M'}{x} {y}H{round(x + step, 1)}")
        places.append(
            {
                "name": name,
                "level": f"${level:,}",
                "x": round(x + step / 2, 1),
                "left": x,
                "right": round(x + step, 1),
                "y": y,
                "is_low": (name, level) == low,
            }
        )
    line = "".join(path)
    return {"line": line, "ground": f"{line}V{tall}H0Z", "places": places, "wide": wide, "tall": tall}


def patterns(request: HttpRequest) -> HttpResponse:
    """Show every part once: states, tape, forms, tables, the ladder, the delay row, money, a thread, a device."""
    spoiled = SampleForm({"what": "", "condition": "faulty", "seen": "", "kept_by": "stage"})
    context = {
        "nav": [
            SimpleNamespace(label=label, url="#" + label.replace(" ", "-"), current=label == "Gear") for label in WAYS
        ],
        "slides": [(120, "pieces", "#gear"), (2, "undecided"), (41, "leaving")],
        "kinds": [(kind, list(words)) for kind, words in GLYPHS.items()],
        "pieces": PIECES,
        "form": SampleForm(),
        "spoiled": spoiled,
        "filter": SampleFilter(initial={"site": "pr"}),
        "ladder": ladder_rows(),
        "phases": PHASES,
        "sundays": SUNDAYS,
        "month_lines": (("only-wide", month_line()), ("only-narrow", month_line(340))),
        "sockets_in": [socket for socket in SOCKETS if socket[0] == "in"],
        "sockets_out": [socket for socket in SOCKETS if socket[0] == "out"],
        "page": Paginator(range(120), 50).page(2),
        "figures_heads": ("Arrives", "Weeks lost"),
        "figures_rows": (("by November 9", "none"), ("November 16", "four"), ("November 30", "six")),
        "cautions": (
            "A loudspeaker overhead needs rated points, rated hardware and a second, independent safety.",
            "Nobody stands under it while it is raised.",
        ),
        "sample_messages": [
            SimpleNamespace(level_tag="success", extra_tags="undo:/undo", words="Words laptop goes to recycling."),
            SimpleNamespace(level_tag="error", extra_tags="", words="Not kept: someone changed the same line at 8:14."),
        ],
    }
    return render(request, "patterns.html", context)
