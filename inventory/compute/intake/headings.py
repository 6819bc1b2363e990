"""What a column heading means: words people put above columns, with how sure they are. Vocabulary: common practice."""

from __future__ import annotations

import re
from functools import lru_cache

# (pattern over the bare heading, field, how sure); the first match wins.
WORDS: tuple[tuple[str, str, float], ...] = (
    (
        r"(?:home |street |mailing |postal )?address(?:es)?|(?:cell |home |mobile )?(?:phone|tel|telephone|mobile|"
        r"cell)(?: (?:no|number|#))?|e-?mails?(?: address)?|birthday|d\.?o\.?b|zip(?: code)?|postcode",
        "personal",
        1.0,
    ),
    (
        r"who(?: has| have| took| got)?(?: it| them)?(?: now)?|held by|holder|keeper|contact(?: person)?|"
        r"(?:checked|signed|loaned|lent) (?:out )?(?:to|by)|borrowed by|borrower|counted by|"
        r"(?:checked|tested|inspected|entered|typed) by|donor|(?:donated|given) by|initials|key ?holder|person(?: "
        r"responsible)?|volunteer|responsible",
        "person",
        0.9,
    ),
    (
        r"(?:items?|gear|things?|equip(?:ment)?|descr?(?:iption)?|article|device|piece)\s*(?:/|&|\+|,|and|or)\s*"
        r"(?:make|maker|brand|model|type)s?.*",
        "what",
        0.9,
    ),
    (
        r"make\s*(?:/|&|\+|,|and|or)\s*mod(?:el)?|(?:brand|maker|mfr|mfg|manufacturer)\s*(?:/|&|\+|,|and|"
        r"or)\s*(?:model|type|mod)|make model|brand model|model\s*(?:/|&|and)\s*(?:make|brand)",
        "maker_model",
        0.95,
    ),
    (
        r"s\s*/?\s*n\s*(?:#|no|number|:)?|serien ?(?:nr|nummer)|ser(?:ial)?s?(?: ?(?:#|nos?|nrs?|num|number|"
        r"numbers|code))?|plate (?:no|"
        r"number|#)|serial ?(?:/|or) "
        r"?.*|ser ?#|s ?#",
        "serial",
        0.95,
    ),
    (
        r"hersteller|fabrikat|marke|(?:who )?(?:makes?|made)(?: it| by| them)?|maker|whose make|mfgr?\.? name|"
        r"brand|brand name|mfr|mfg|mfgr|"
        r"manufacturer|manuf|company|make/brand|brand/make",
        "maker",
        0.95,
    ),
    (
        r"mdl|modell|typ(?:enbezeichnung)?|model(?: ?(?:#|no|nr|num|number|name|type))?|model ?/ ?(?:descr?|desc|"
        r"description|type)|mod(?:el)?|"
        r"part(?: ?(?:#|no|number))",
        "model",
        0.9,
    ),
    (
        r"anz(?:ahl)?|menge|stk|(?:no|nbr|number) of(?: (?:them|units|pcs))?|(?:qty|quantity|quant|how many|"
        r"count|units|pcs|pieces|number of(?: items)?|# of(?: items)?|howmany|qnty|"
        r"total qty|on hand|have|stück|qty on hand|how many\?)(?: have)?",
        "quantity",
        0.95,
    ),
    (r"no|nr|n|#|num|number|nos", "number", 0.5),
    (
        r"zust(?:and)?|wrks|(?:(?:current|physical) )?(?:condition|cond|cond'?n|state|status|shape)(?: ?(?:code|"
        r"now|today|of it|"
        r"of them|\(.*\)))?|works|"
        r"working|does it work|work|ok|tested|functional|works or not|how is it|good or bad|working condition|works "
        r"good|grade|is it ok",
        "condition",
        0.9,
    ),
    (
        r"each|ea|(?:unit|price|cost|value|worth) (?:price|each|ea|cost|per|per unit)|(?:£|\$|€) ?(?:each|ea)|per "
        r"(?:unit|item|piece)|price ea|unit (?:price|cost|value)|each (?:£|\$|€)|(?:value|worth|price|cost) ?(?:/|"
        r"per) ?(?:unit|each|ea)(?: ?(?:usd|gbp|eur|£|\$|€))?",
        "price_each",
        0.9,
    ),
    (
        r"(?:line |row |ext(?:ended)? |grand |(?:£|\$|€) ?)?tot(?:al)?(?: (?:value|price|cost|worth|£|\$|€))?|"
        r"ext(?:ended)?(?: "
        r"(?:price|cost|value))?|sum|(?:£|\$|€) total|amount",
        "price_total",
        0.85,
    ),
    (
        r"(?:price |amount |what we |we )?paid(?: (?:£|\$|€|new))?|cost(?: ?\(.*\))?|(?:orig(?:inal)?|purchase|"
        r"first) (?:price|cost)|bought for|purchase (?:amount|amt)|cost price|what it cost",
        "price_paid",
        0.85,
    ),
    (
        r"(?:price |cost |£ ?|\$ ?|€ ?)(?:when )?new|(?:price |cost )?to replace(?: (?:price|cost))?|"
        r"cost ?\(?new\)?|repl(?:acement)?(?: (?:cost|value|"
        r"price|£|\$))?|list(?: price)?|rrp|msrp|retail",
        "price_new",
        0.85,
    ),
    (r"insured(?: (?:value|for))?|insurance(?: (?:value|val|amount))?|ins ?val(?:ue)?", "price_insured", 0.9),
    (
        r"(?:zeit)?wert|preis|(?:est|approx|book|fair)\.? ?(?:£|\$|€)|(?:est(?:imated)?|resale|current|today'?s|"
        r"market|used|"
        r"second ?hand|sale|ebay|fair)?\.? ?(?:val(?:ue)?|"
        r"worth|price|prices)(?: (?:now|today|est|guess|£|\$|€|usd|gbp|eur))*|(?:£|\$|€)+|usd|gbp|eur|p/x|"
        r"asking(?: price)?|(?:what )?(?:we'?d|we might|we could|could|might|would) get(?: for it)?|sell(?:ing)?(?: "
        r"(?:price|for))?|resale|money|est|guess(?:ed)?(?: (?:value|price|£|\$))?|(?:£|\$|€) ?(?:value|val|worth|"
        r"now|est|guess)|how much|used price",
        "price",
        0.85,
    ),
    (
        r"gekauft(?: am)?|kauf(?:datum|jahr)|anschaffung(?:sjahr|sdatum)?|baujahr|(?:date |year |when |yr |"
        r"month )?(?:got|bought|purchased|acquired|purchase|in service|installed|obtained|"
        r"new)(?: ?(?:it|in|date|year|on|when))?|when(?: bought| purchased| got| acquired)?|date(?: (?:bought|"
        r"acquired|purchased|of purchase|in service|added))?|"
        r"year(?:s)?(?: (?:bought|purchased|acquired|made|new|of purchase|got))?|yr(?: (?:bought|purchased|made))?|"
        r"since|from|vintage|bought \(.*\)|purch(?:ase)?(?: ?date)?|acq(?:uired)?(?: date)?",
        "bought",
        0.9,
    ),
    (
        r"ort|raum|(?:lager|stand)ort|bldg(?: ?/ ?r(?:oo)?m)?|whereabouts|where(?: (?:is it|it is|kept|stored|now|"
        r"found|it lives|at|to find))?|loc(?:ation|"
        r"n)?s?(?: ?(?:now|kept|"
        r"code|/ ?room))?|room(?:s| ?/ ?(?:place|area|location))?|place|kept(?: in| at)?|stored(?: in| at)?|"
        r"storage(?: (?:location|place|area))?|shelf|bin|spot|area|building|campus|home|lives(?: in)?|position|site|"
        r"closet|rack/shelf",
        "place",
        0.9,
    ),
    (
        r"gewicht|(?:unit |ship(?:ping)? )?(?:weight|wt|mass)(?: ?\(?(?:each|ea|kgs?|lbs?|pounds?|g|grams)\)?)*|"
        r"kgs?|lbs?|"
        r"pounds|weight in (?:kg|lbs?|pounds)|heavy|how heavy",
        "kg",
        0.95,
    ),
    (r"length|len|long|(?:length|len) ?\(?(?:m|ft|feet|meters)\)?|ft|feet|how long", "length_mm", 0.7),
    (r"watts?|wattage|power|power (?:draw|use|rating)|power ?\(?w(?:atts)?\)?|w|power draw", "watts", 0.8),
    (r"r?u|rack (?:units?|space|spaces|height|u)|height ?\(?r?u\)?|spaces", "rack_units", 0.8),
    (
        r"(?:radio |rf |freq(?:uency)? )?(?:band|range)|freq(?:uency|uencies|s)?(?: ?(?:range|band|\(?mhz\)?))?|mhz|"
        r"rf|tv channel",
        "band",
        0.9,
    ),
    (r"size|dim(?:ension)?s?|size ?/ ?.*|specs?|specification|size or .*", "size", 0.7),
    (r"owner|who'?s|owned by|belongs? to|whose(?: is it)?|property of|ownership", "owner", 0.9),
    (r"(?:bar ?)?code|bar ?codes?|upc|ean|sku|qr(?: code)?|scan", "barcode", 0.8),
    (
        r"(?:asset|inventory|inv|tag|item|our|church|property|equip(?:ment)?|label|sticker|stock) ?(?:tag|#|no|nr|"
        r"number|id|num|label)s?|tag|id|ref(?:erence)?|line|row|entry|lfd|pos|seq|asset|sticker",
        "tag",
        0.8,
    ),
    (
        r"cat(?:egory|egories)?|type|kind|dept|department|group|class|system|section|ministry|team|area/dept|"
        r"category ?/ ?.*",
        "category",
        0.7,
    ),
    (
        r"bem(?:erkung(?:en)?)?|notiz(?:en)?|cmts?|(?:any )?(?:other |misc |further )?(?:notes?|remarks?|"
        r"comments?|misc|other|info|information|details|"
        r"history|"
        r"problems?|issues?|what'?s wrong|more|extra|observations)(?: ?(?:/|&|and) ?.*)?|to ?do|plan|action|keep\??|"
        r"keep or .*|decision|fate|disposition|what to do|sell\??|for sale\??|also",
        "note",
        0.85,
    ),
    (
        r"bezeichnung|gerät(?:e|ebezeichnung)?|gegenstand|artikel|(?:equip|descr?)(?: (?:equip|descr?))?|"
        r"items?(?: (?:name|description|desc|descr))?|gear|things?|stuff|what(?: (?:is it|it is|we have|we got|is "
        r"there))?|desc(?:r|ription)?s?(?: of (?:item|gear|equipment))?|equip(?:ment)?(?: (?:name|type|item|"
        r"description))?|name|article|kit|piece|device|product(?: name)?|object|asset (?:name|description)|what'?s "
        r"there|unit|what\?",
        "what",
        0.9,
    ),
)
COMPILED = tuple((re.compile(rf"(?:{pattern})$", re.IGNORECASE), name, sure) for pattern, name, sure in WORDS)

# Second choices: a heading may stand for another field when the cells say so.
UNITS = {"kg": "kg", "kgs": "kg", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "g": "g", "grams": "g"}


def bare(heading: str) -> str:
    """Return the heading in small letters without question marks, dots and what stands in brackets."""
    text = re.sub(r"\s*[(\[][^)\]]*[)\]]?\s*", " ", heading.lower().replace("\n", " "))
    return " ".join(re.sub(r"[?!:;.*_]+", " ", text).split())


@lru_cache(maxsize=4096)
def meaning(heading: str) -> tuple[str | None, float]:
    """Return the field a heading names and how sure that is, (None, 0) when it names none."""
    if len(heading) > 90 or not heading.strip():
        return None, 0.0
    whole = " ".join(re.sub(r"[?!:;.*_]+", " ", heading.lower().replace("\n", " ")).split())
    opened = " ".join(re.sub(r"[()\[\]]", " ", whole).split())
    for text in dict.fromkeys((whole, opened, bare(heading))):
        for pattern, name, sure in COMPILED:
            if text and pattern.match(text):
                return name, sure
    return _by_one_word(bare(heading))


def _by_one_word(text: str) -> tuple[str | None, float]:
    """A longer heading may still hold one telling word: 'approx value of it'."""
    if not text or len(text.split()) > 6:
        return None, 0.0
    if re.search(
        r"\b(?:warranty|expir\w*|due|sold|returned|serviced?|calibrat\w*|pat|last|next|moved|left|updated|counted|"
        r"inspected)\b",
        text,
    ):
        return "note", 0.5
    for word, name in (
        ("mfgr", "maker"),
        ("serial", "serial"),
        ("address", "personal"),
        ("phone", "personal"),
        ("model", "model"),
        ("manufacturer", "maker"),
        ("brand", "maker"),
        ("condition", "condition"),
        ("state", "condition"),
        ("good", "condition"),
        ("works", "condition"),
        ("working", "condition"),
        ("quantity", "quantity"),
        ("qty", "quantity"),
        ("location", "place"),
        ("room", "place"),
        ("stored", "place"),
        ("where", "place"),
        ("weight", "kg"),
        ("value", "price"),
        ("worth", "price"),
        ("price", "price"),
        ("paid", "price_paid"),
        ("cost", "price_paid"),
        ("purchased", "bought"),
        ("purchase", "bought"),
        ("purch", "bought"),
        ("bought", "bought"),
        ("acquired", "bought"),
        ("acq", "bought"),
        ("date", "bought"),
        ("yr", "bought"),
        ("make", "maker"),
        ("mfr", "maker"),
        ("tag", "tag"),
        ("who", "person"),
        ("resale", "price"),
        ("weighs", "kg"),
        ("name", "what"),
        ("kept", "place"),
        ("year", "bought"),
        ("notes", "note"),
        ("comments", "note"),
        ("remarks", "note"),
        ("description", "what"),
        ("item", "what"),
        ("equipment", "what"),
        ("gear", "what"),
        ("freq", "band"),
        ("frequency", "band"),
        ("owner", "owner"),
        ("donor", "person"),
        ("email", "personal"),
    ):
        if re.search(rf"\b{word}\b", text):
            return name, 0.6
    return None, 0.0


def unit_of(heading: str) -> str:
    """Return the weight unit a heading names: 'Wt (lb)' gives lb."""
    found = [UNITS[word] for word in re.findall(r"[a-z]+", heading.lower()) if word in UNITS]
    return found[0] if found and len(set(found)) == 1 else ""
