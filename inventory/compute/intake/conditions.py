"""How well it works: the seven words of the list from the words of a volunteer, and whether that was sure.

The vocabulary is common practice; what one list means by its own words is asked once a word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

GOOD, MARKED, FAULTY, DEAD, UNSAFE, UNTRIED, LOST = (
    "tested good",
    "works, marked",
    "faulty",
    "dead",
    "unsafe",
    "not yet tested",
    "not found",
)

DANGER = re.compile(
    r"\b(?:bulg(?:ing|es|ed)|swollen|swelling|do(?: not|n'?t)(?: even)? (?:charge|plug(?: it)?(?: in)?|power|"
    r"switch on|turn "
    r"on|use|energi[sz]e|connect)|unsafe|"
    r"shocks?(?: you| me| hazard)?|sparks?|sparking|burn(?:ing|t) smell|smells? (?:hot|burnt|of burning)|bare "
    r"wires?|exposed (?:wires?|mains)|"
    r"ground pin (?:missing|broken|cut|gone)|perished|frayed|fire hazard|caught fire|smoked?|smoking|leaking "
    r"battery|puffed|puffy|bloated|scorched|(?:burnt|burned|melted|cracked|broken|split|"
    r"damaged) (?:mains )?(?:plug|socket|inlet|cord|power cord|power plug|flex)|"
    r"(?:plug|socket|inlet|cord|flex) (?:is )?(?:burnt|burned|melted|cracked|split|damaged)|"
    r"fail(?:ed|s)? (?:the )?(?:pat|(?:electrical|safety|portable)\b.*test)|(?:pat|safety test|"
    r"electrical test) fail(?:ed)?|hazard|dangerous|live chassis)\b|!{2,}",
    re.IGNORECASE,
)
NOT_TRIED = re.compile(
    r"^(?:ungeprüft|ungetestet|not (?:yet )?(?:tried|tested|checked|sure)|un-?tested|un-?tried|un-?checked|"
    r"no idea|don'?t know|dunno|"
    r"unknown|unk\.?|never (?:tried|tested)|dnt|n/t|nt|"
    r"needs? test(?:ing|ed)?|to (?:test|be tested)|t\.?b\.?t\.?|assumed.*|\?+|haven'?t (?:tried|tested)|could not "
    r"test|not powered.*)\b",
    re.IGNORECASE,
)
GONE = re.compile(
    r"^(?:missing|not found|lost|stolen|gone|can'?t find|cannot find|mia|awol|not here|not seen|disappeared|nowhere|"
    r"where is it.*)\b",
    re.IGNORECASE,
)
ALL_DEAD = re.compile(
    r"^(?:dead(?!\s+[a-z])|dead as\b.*|doa|does(?: not|n'?t) (?:power|turn|come|switch)(?: (?:on|up))?|won'?t "
    r"(?:power|turn|come|switch)(?: "
    r"(?:on|up))?|no power(?! (?:supply|brick|cord|adapter|cable))|kaput|toast|"
    r"nfg|fried|blown up|written off|beyond repair|dead as.*)\b",
    re.IGNORECASE,
)
BROKEN = re.compile(
    r"\b(?:broken?|fault(?:y|s)?|dead|bust(?:ed)?|bad|blown|seized|won'?t (?:\w+)|does(?: not|n'?t) (?:work|charge|"
    r"hold|pass|\w+)|not working|no (?:output|sound|signal|picture)|"
    r"fails?|failed|failing|kaputt?|defe[ck]t(?:ive)?|needs? (?:repair|fixing|fixed|work|a new)|stopped working|"
    r"repair|"
    r"drops? out|cuts? out|dies|crashes|missing (?:parts?|supply))\b",
    re.IGNORECASE,
)
TESTED = re.compile(
    r"^(?:tested|tested[-, ]*(?:and )?(?:ok(?:ay)?|good|fine|working|works|passed?|all good|pass)|test(?:s)? (?:ok|"
    r"good|fine)|pass(?:ed|es)?)(?=$|[\s,.;:(!/-])",
    re.IGNORECASE,
)
SOUND = re.compile(
    r"^(?:in (?:good |full |perfect )?order|good|ok(?:ay)?|o\.k\.|excellent|very good|v\.?g\.?(?:c\.?)?|mint|"
    r"perfect|like new|"
    r"as new|great|all good)(?: (?:condition|"
    r"cond\.?|shape|order|working order))?(?=$|[\s,.;:(!/-])",
    re.IGNORECASE,
)
GOES = re.compile(
    r"^(?:works?|working|in working order|functional|functions|operational|still works)(?=$|[\s,.;:(!/-])",
    re.IGNORECASE,
)
MIDDLING = re.compile(
    r"^(?:fair|so-?so|used|worn|scuffed|scratched|dented|tatty|rough|cosmetic.*|old but works|knocked about.*|well "
    r"used|ok-?ish|usable|average|beat up|active|in (?:use|service|rotation))(?=$|[\s,.;:(!/-])",
    re.IGNORECASE,
)
SHAKY = re.compile(
    r"\b(?:sort of|kind of|kinda|mostly|sometimes|intermittent\w*|flaky|iffy|partly|partial(?:ly)?|half|on and off|"
    r"temperamental|hums?|crackl\w+|noisy|buzz\w*)\b",
    re.IGNORECASE,
)
WEAK = re.compile(r"^(?:u/?s|unserviceable|poor|weak|bad|rough shape)(?=$|[\s,.;:(!/-])", re.IGNORECASE)
YES = re.compile(r"^(?:(?:y|yes|yep|yeah|✓|✔)(?![\w])|(?:x|true|1|tick)$)", re.IGNORECASE)
NO = re.compile(r"^(?:n|nope|✗|✘|false|0|no)(?=$|\s*[,;:(-])", re.IGNORECASE)
POWERED = re.compile(
    r"\b(?:powers?|lights?|turns?|comes?|switches) (?:up|on)\b|\bplugged in ok\b|\bworks\b|\bneeds\b", re.IGNORECASE
)
SCRAP = re.compile(r"^(?:junk|trash|scrap|parts(?: only)?|retired|condemned)\b", re.IGNORECASE)
COUNTED = re.compile(
    r"(?:^|[,;/+&]|\band\b)\s*(?P<n>\d{1,3}|one|two|three|four|five|six|some|a few|a couple)\s+(?:(?:of (?:them|"
    r"these) )?(?:is |are |has |have |with )?)?(?P<rest>[a-z][^,;/]*)",
    re.IGNORECASE,
)
OUT_OF = re.compile(r"^(?P<good>\d{1,3})\s*(?:/|of|out of)\s*(?P<all>\d{1,3})\b[\s,:-]*(?P<rest>.*)$", re.IGNORECASE)
COUNT_WORDS = {"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6"}


@dataclass(frozen=True)
class Condition:
    """One state cell. word '': it does not say; sure False: the word must be confirmed."""

    word: str = ""  # one of the seven, or mixed
    sure: bool = True
    doubt: str = ""  # COND_WORD, COND_SPLIT or ''
    pattern: str = ""  # the list's own word, the thing that is asked once
    remark: str = ""
    split: str = ""  # 'tested good x3; faulty x1'


def read_condition(text: str, legend: dict[str, str] | None = None, quantity: int | None = None) -> Condition:
    """Return the condition of one cell. legend: the list's own key to its words, lower case -> one of the seven."""
    text = " ".join(text.split())
    if not text or re.fullmatch(r"[-–—.]+|n/?a", text, re.IGNORECASE):
        return Condition()
    head = re.split(r"[\s,;:(/-]", text, maxsplit=1)[0].lower()
    for key in (text.lower().rstrip(".! "), head):
        if legend and key in legend:
            rest = text[len(key) :].strip(" ,;:-/()")
            sure = not legend[key].endswith("?")
            return Condition(legend[key].rstrip("?"), sure, "" if sure else "COND_WORD", key, text if rest else "")
    return _read(text, quantity or 1)


@lru_cache(maxsize=8192)
def _read(text: str, quantity: int) -> Condition:
    if found := _mixed(text, quantity):
        return found
    if (DANGER.search(text) and not text.endswith("!!!")) or (DANGER.search(text) and BROKEN.search(text)):
        plain = re.search(
            r"bulg|swollen|puff|bloated|scorch|melted|burnt|burned|pat\b|safety|electrical|unsafe|do(?: not|"
            r"n'?t)|shock|spark|ground pin|smok",
            text,
            re.IGNORECASE,
        )
        return Condition(UNSAFE, bool(plain), "" if plain else "COND_WORD", text.lower(), text)
    for pattern, word, sure in (
        (NOT_TRIED, UNTRIED, True),
        (GONE, LOST, True),
        (ALL_DEAD, DEAD, True),
    ):
        if match := pattern.match(text):
            return _found(text, match, word, sure)
    if match := TESTED.match(text):
        return _found(text, match, GOOD, True)
    return _by_words(text)


def _found(text: str, match: re.Match[str], word: str, sure: bool) -> Condition:
    rest = text[match.end() :].strip(" ,;:.-!()")
    return Condition(word, sure, "" if sure else "COND_WORD", match[0].strip().lower(), text if rest else "")


def _by_words(text: str) -> Condition:
    if re.fullmatch(r"\?+", text):
        return Condition(UNTRIED, False, "COND_WORD", "?")
    for pattern, word in ((YES, GOOD), (NO, FAULTY), (SCRAP, DEAD)):
        if match := pattern.match(text):
            return Condition(word, False, "COND_WORD", match[0].lower(), text if text[match.end() :] else "")
    if match := GOES.match(text):
        rest = text[match.end() :].strip(" ,;:.-!()")
        if re.match(r"(?:great|fine|well|good|perfect|ok|100)", rest):
            return Condition(GOOD, False, "COND_WORD", text.lower())
        broken = bool(rest and BROKEN.search(rest) and not re.match(r"^(?:but|except)", rest))
        sure = (
            match[0].lower() in ("works", "work", "still works")
            and not broken
            and not re.match(r"(?:some|most|part|inter|if|when|for now|\?)", rest)
        )
        return Condition(MARKED, sure, "" if sure else "COND_WORD", match[0].lower(), text if rest else "")
    if match := SOUND.match(text):
        rest = text[match.end() :].strip(" ,;:.-!()")
        return Condition(GOOD, not rest, "" if not rest else "COND_WORD", match[0].lower(), text if rest else "")
    if match := MIDDLING.match(text):
        return Condition(MARKED, False, "COND_WORD", match[0].lower(), text if text[match.end() :] else "")
    if SHAKY.search(text) or WEAK.match(text):
        return Condition(FAULTY, False, "COND_WORD", text.lower(), text)
    if BROKEN.search(text):
        sure = bool(
            re.match(
                r"^(?:fault\w*|broken?|bust(?:ed)?|not working|defe[ck]t(?:ive)?|doesn'?t work|does not work)\b|"
                r".*\bdead\b|"
                r".*\bbroken\b",
                text,
                re.IGNORECASE,
            )
        )
        return Condition(
            FAULTY,
            sure,
            "" if sure else "COND_WORD",
            text.lower() if len(text) < 25 else "",
            text if len(text.split()) > 1 else "",
        )
    word = MARKED if POWERED.search(text) else ""
    return Condition(word, False, "COND_WORD", text.lower(), text)


def _mixed(text: str, quantity: int) -> Condition | None:
    """Several conditions in one cell: '3 ok, 1 dead', '4/6 working', 'one rattles, one dented'."""
    if match := OUT_OF.match(text):
        good, everything = int(match["good"]), int(match["all"])
        if good < everything <= 500 and not re.match(r"^\d", match["rest"]):
            return Condition("mixed", True, "COND_SPLIT", "", text, f"{GOOD} x{good}; {FAULTY} x{everything - good}")
        if good == everything:
            sure = everything == quantity
            return Condition(GOOD, sure, "" if sure else "COND_WORD", "" if sure else text.lower(), text)
    if re.match(r"^\d{1,3} [A-Za-z]", text):  # '2 ok 1 dead': a new count begins a new part
        text = re.sub(r"(?<=[A-Za-z!])\s+(?=\d{1,3} [A-Za-z])", ", ", text)
    counted = list(COUNTED.finditer(text))
    if counted and re.search(r"\b(?:the )?(?:rest|others?|remainder)\b", text, re.IGNORECASE):
        quantity = max(quantity, 2)
    if not counted or (quantity < 2 and len(counted) < 2):
        return None
    if (
        len(counted) == 1
        and not re.match(r"^\d", text)
        and quantity > 1
        and not re.search(r"\bbut\b|\bexcept\b", text)
        and GOES.match(text)
    ):
        return None  # 'works, 2 missing clutches': one word for all, a remark about some
    parts = []
    for each in counted:
        inner = _read(each["rest"].strip(), 1)
        parts.append(f"{inner.word or 'to be said'} x{COUNT_WORDS.get(each['n'].lower(), each['n'])}")
    return Condition("mixed", True, "COND_SPLIT", "", text, "; ".join(parts))


def legend_of(text: str) -> dict[str, str]:
    """Return the key a heading or a note gives: 'Y = plugged in and worked, N = did not' -> words of the list.

    A meaning that must be confirmed ends in '?'.
    """
    found = {}
    for match in re.finditer(
        r"(?<![A-Za-z0-9])(?P<key>[A-Za-z0-9✓✔*?+-]{1,12})\s*=\s*(?P<text>[^=;/\n]+?)(?=[,;)/\n]|"
        r"\s+[A-Za-z0-9✓✔*?+-]{1,10}\s*=|$)",
        text,
    ):
        word = _meaning(match["text"].strip())
        if word:
            found[match["key"].lower()] = word
    return found


def _meaning(text: str) -> str:
    if re.search(
        r"\b(?:not|never|un|(?:did|have|has)n'?t)[\s-]?(?:yet )?(?:test|tr[iy]|check|plug|"
        r"power)",
        text,
        re.IGNORECASE,
    ):
        return UNTRIED
    if re.search(
        r"\b(?:plugged|powered|tested|tried|checked|switched on|turned on|heard)\b", text, re.IGNORECASE
    ) and not BROKEN.search(text):
        return GOOD
    read = _read(" ".join(text.split()), 1)
    if read.word in ("", "mixed"):
        return ""
    return read.word if read.sure and read.word != MARKED else f"{read.word}?"
