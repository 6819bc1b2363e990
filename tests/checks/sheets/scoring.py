# ruff: noqa: E501, B007, RUF034, C408
"""Score an import of messy sheets against a truth table.

Source: the rules by which lists are checked from outside this project, taken over as they are; only the way in is by
function instead of the command line. The sheets and truth tables beside it are invented for these checks.

IMPORTED.json  a list of pieces, or {"pieces": [...], "questions": [{"file", "code"}, ...]}.  One piece:
  source_file, source_row      file name and 1-based row (a csv row is a record: a quoted line break does not start a row)
  source_sheet                 optional; left out = the main sheet of the file
  what maker model serial quantity condition year price_minor currency place note
  optional, scored only when given: year_precision bought kg price_kind price_per
  flags                        optional list (or dict) of fields or question codes put to a person instead of decided,
                               e.g. ["serial", "quantity", "TWIN"]; a flagged value is never "silent"

A question put once for a file ("questions": [{"file": "x.csv", "code": "DATE_ORDER"}]) counts for all its rows; a twin may be asked at either row.

TRUTH.csv, one line per expected piece; verdict says what a row is:
  piece, lot (several alike)   must be imported          repeat, part   same thing as another row: import it flagged, or not at all
  note subtotal header title blank skip   must not become pieces (also_ok names what else is acceptable)
  file (row 0)                 questions about the whole file
A row holding several things has several lines (part 1, 2 ...): import each, or keep it whole with a flag on the row.
serial: letters and digits only, upper case; several with ';'.  O = 0 and I = 1 when compared.  condition 'mixed' = ask or split.
accept: further right answers per field.  note: phrases (between |) that must not be lost.

Result of each field of each found piece:
  right    equal to the truth (or to an accepted answer)      asked    truth wants a question and the field is flagged
  guessed  right, but it should have been asked               missing  left empty
  flagged  wrong but flagged                                  SILENT   a value is there, it is wrong, nobody was asked
points: right, asked +1; guessed, missing, flagged 0; SILENT -10; a piece made from nothing or counted twice unflagged -10 each;
a flag nobody needs -0.25.
score = 100 x points / (fields of all expected pieces).  Exit status 1 when anything is SILENT.
"""

import csv
import json
import re
from collections import Counter, defaultdict

FIELDS = [
    "what",
    "maker",
    "model",
    "serial",
    "quantity",
    "condition",
    "year",
    "price_minor",
    "currency",
    "place",
    "note",
]
EXTRA = ["year_precision", "bought", "kg"]
CODE = {
    "QTY": "quantity",
    "COND_WORD": "condition",
    "COND_SPLIT": "condition",
    "PLACE_FILL": "place",
    "MAKER": "maker",
    "MODEL": "model",
    "WHAT": "what",
    "CURRENCY": "price",
    "PRICE_EACH_ALL": "price",
    "PRICE_TAX": "price",
    "PRICE_TWO": "price",
    "PRICE_STRIKE": "price",
    "PRICE_NEG": "price",
    "PRICE_ODD": "price",
    "FORMULA_ERR": "price",
    "DATE_ORDER": "bought",
    "DATE_BAD": "year",
    "DATE_SERIAL": "bought",
    "UNIT": "kg",
    "SERIAL_LOST": "serial",
    "SERIAL_ZERO": "serial",
    "SERIAL_DATE": "serial",
    "SERIAL_COPY": "serial",
    "SERIAL_PARTIAL": "serial",
    "SERIAL_FORMULA": "serial",
}
ALIAS = {
    "price_minor": "price",
    "currency": "price",
    "price_kind": "price",
    "price_per": "price",
    "date": "bought",
    "weight": "kg",
}
SOFT = {
    "COLOUR",
    "STRIKE",
    "SERIAL_FORMULA",
    "DITTO",
    "DATE_SERIAL",
    "HIDDEN_ROW",
    "PRICE_STRIKE",
    "UNIT",
}  # asked once per file is as good
IMPORTED = ("piece", "lot", "repeat", "part")
RANK = {"about": 1, "year": 2, "month": 3, "day": 4}
WEIGHT = 10


def field_of(code):
    code = code.split("@")[0]
    f = CODE.get(code.upper())
    if f:
        return f
    return ALIAS.get(code.lower(), code.lower() if code.lower() in FIELDS + EXTRA + ["price"] else "row")


def codes_lose(codes):  # left empty without a word although the cell held something
    return any(c.startswith(("SERIAL_", "FORMULA", "PRICE_", "QTY")) for c in codes)


def words(s):
    return re.findall(r"\w+(?:[.,]\d+)?", str(s or "").casefold())


def alnum(s):
    return re.sub(r"[^A-Z0-9]", "", str(s or "").upper())


def fold(s):
    return alnum(s).replace("O", "0").replace("I", "1")


def num(v):
    if v in (None, ""):
        return None
    try:
        x = float(v)
        return int(x) if x == int(x) else x
    except (ValueError, OverflowError):
        return str(v).strip()


def empty(f, v):
    if v is None:
        return True
    s = str(v).strip()
    return s == "" or (f in ("serial",) and s.lower() in ("none", "n/a", "-", "unreadable", "lot"))


def same(f, got, want):
    if empty(f, got) and empty(f, want):
        return True
    if empty(f, got) or empty(f, want):
        return False
    if f in ("quantity", "year", "price_minor"):
        return num(got) == num(want)
    if f == "bought":
        return str(want).startswith(str(got).strip()[:10])  # less exact is not wrong
    if f == "kg":
        try:
            return abs(float(got) - float(want)) <= max(0.06, 0.02 * float(want))
        except ValueError:
            return False
    if f in ("maker", "model"):
        return alnum(got) == alnum(want)
    if f == "serial":
        w = {fold(x) for x in re.split(r"[;,]", str(want)) if alnum(x)}
        g = {fold(x) for x in re.split(r"[;,&+]|\s/\s", str(got)) if alnum(x)}
        first, last = fold(re.split(r"[;,]", str(want))[0]), fold(re.split(r"[;,]", str(want))[-1])
        whole = fold(got)  # a range kept as it was written is right for a lot
        return (
            w == g
            or whole == fold(want)
            or (len(w) > 1 and first in whole and whole.endswith(last[-2:]) and whole != first)
        )
    if f in ("what", "place"):
        a, b = set(words(got)), set(words(want))
        if not b:
            return not a
        return b <= a and len(a) <= len(b) + 6 if f == "place" else len(a & b) >= 0.6 * len(b)
    return str(got).strip().casefold() == str(want).strip().casefold()


def note_ok(p, want):
    hay = set()
    for k in ("note", "what", "place", "condition_text", "maker", "model"):
        hay |= set(words(p.get(k)))
    for phrase in str(want).split("|"):
        w = words(phrase)
        if w and sum(x in hay for x in w) < 0.8 * len(w):
            return False
    return True


class Score:
    def __init__(self, truths, data):
        pieces = data["pieces"] if isinstance(data, dict) else data
        self.asked_file = {
            (q.get("file"), q.get("code", "").upper())
            for q in (data.get("questions", []) if isinstance(data, dict) else [])
        }
        rows = []
        for path in truths:
            with open(path, encoding="utf-8-sig", newline="") as fh:
                rows += list(csv.DictReader(fh))
        self.truth, self.status, self.file_q = defaultdict(list), {}, []
        count = Counter((r["file"], r["sheet"]) for r in rows if r["verdict"] in IMPORTED)
        self.main = {}
        for (f, s), n in count.most_common():
            self.main.setdefault(f, s)
        for r in rows:
            if r["verdict"] == "file":
                self.file_q.append(r)
                continue
            a, _, z = r["row"].partition("-")
            for n in range(int(a), int(z or a) + 1):
                k = (r["file"], r["sheet"], n)
                self.status.setdefault(k, r)
                if r["verdict"] in IMPORTED:
                    self.truth[k].append(r)
        files = {r["file"] for r in rows}
        self.got, self.foreign, self.present = defaultdict(list), 0, set()
        for p in pieces:
            f = str(p.get("source_file", "")).replace("\\", "/").split("/")[-1]
            if f not in files:
                self.foreign += 1
                continue
            row, sheet = p.get("source_row"), p.get("source_sheet")
            if isinstance(row, str) and "!" in row:
                sheet, row = row.rsplit("!", 1)
            sheet = self.main.get(f, "") if sheet in (None, "") else sheet
            if f.endswith(".csv"):
                sheet = ""
            try:
                row = int(row)
            except (TypeError, ValueError):
                row = -1
            self.got[f, sheet, row].append(p)
            self.present.add(f)
        self.row_flags = {(k[0], k[1], k[2]) for k, ps in self.got.items() for p in ps if "row" in self.flags(p)}
        self.tab = {f: Counter() for f in FIELDS + EXTRA}
        self.silent, self.ghosts, self.doubles, self.missed, self.guesses, self.q_missed = [], [], [], [], [], []
        self.tp = self.expected = self.unit_want = self.unit_got = self.over = self.q_want = self.q_hit = 0
        self.kind = defaultdict(Counter)

    @staticmethod
    def flags(p):
        fl = p.get("flags") or []
        fl = list(fl) if not isinstance(fl, dict) else list(fl)
        return {field_of(str(x)) for x in fl}

    def run(self):
        for k in sorted(set(self.truth) | set(self.got), key=str):
            T, G = self.truth.get(k, []), self.got.get(k, [])
            if T:
                self.row(k, T, G)
            else:
                st = self.status.get(k)
                v = st["verdict"] if st else "no such row"
                if st and "piece" in st["also_ok"]:
                    continue
                for p in G:
                    self.ghosts.append((k, v, p))
        return self

    def row(self, k, T, G):
        must = [t for t in T if t["verdict"] in ("piece", "lot")]
        soft = bool(T) and T[0]["verdict"] in ("repeat", "part")
        twin_other = "repeat" in T[0]["also_ok"]
        self.expected += len(must)
        self.unit_want += sum(int(t["quantity"] or 1) for t in must)
        if not G:
            if soft:
                return
            for t in T:
                if twin_other and t["twin_of"]:  # the same thing stands in another file that is imported too
                    self.expected -= 1
                    self.unit_want -= int(t["quantity"] or 1)
                    continue
                self.missed.append((k, t))
            return
        if soft:
            for p in G:
                if "row" not in self.flags(p):
                    self.doubles.append((k, T[0], p))
            self.fields(k, T[0], G[0], soft=True)
            return
        if len(T) == 1:
            t, q = T[0], num(T[0]["quantity"])
            if len(G) > 1:
                ns = [num(p.get("quantity")) or 1 for p in G]
                if q and (
                    sum(x for x in ns if isinstance(x, (int, float))) == q or len(G) == q
                ):  # a lot taken apart: fine
                    m = dict(G[0])
                    m["quantity"] = q
                    m["serial"] = ";".join(str(p.get("serial") or "") for p in G if p.get("serial"))
                    cs = {str(p.get("condition") or "") for p in G}
                    m["condition"] = "mixed" if len(cs) > 1 else cs.pop()
                    m["note"] = " | ".join(str(p.get("note") or "") for p in G)
                    m["flags"] = [f for p in G for f in self.flags(p)]
                    G = [m]
                else:
                    G = sorted(G, key=lambda p: -self.like(p, t))
                    for p in G[1:]:
                        self.ghosts.append((k, "one row, one thing", p))
            self.hit(k, t, G[0])
            return
        left = list(G)  # several things in one row
        if len(G) == 1 and "row" in self.flags(G[0]):  # kept whole and asked
            self.tp += len(T)
            self.unit_got += sum(int(t["quantity"] or 1) for t in T)
            self.q_want += 1
            self.q_hit += 1
            for f in FIELDS:
                self.tab[f]["asked"] += len(T)
            return
        for t in T:
            if not left:
                self.missed.append((k, t))
                continue
            p = max(left, key=lambda p: self.like(p, t))
            left.remove(p)
            self.hit(k, t, p)
        for p in left:
            self.ghosts.append((k, "row already used up", p))

    def like(self, p, t):
        return sum(same(f, p.get(f), t[f]) for f in ("what", "maker", "model", "serial", "quantity"))

    def hit(self, k, t, p):
        self.tp += 1
        q = num(p.get("quantity"))
        self.unit_got += q if isinstance(q, int) and 0 < q < 10_000 else 1
        self.fields(k, t, p)

    def fields(self, k, t, p, soft=False):
        fl = self.flags(p)
        ask = defaultdict(list)
        for c in filter(None, t["questions"].split(";")):
            base, _, where = c.partition("@")
            if where:
                wf, _, wr = where.partition(":")
                ws, _, wr = wr.rpartition("!")
                if wf not in self.present:
                    continue
                if (wf, ws or self.main.get(wf, ""), int(wr)) in self.row_flags:
                    fl = fl | {"row"}  # asked at the other row
            if (k[0], base) in self.asked_file:
                fl = fl | {field_of(base)}  # asked once for the file
            ask[field_of(base.rstrip("?"))].append(base)
        acc = json.loads(t["accept"]) if t["accept"] else {}
        for f, codes in ask.items():
            if all(c in SOFT or c.endswith("?") for c in codes):
                continue
            self.q_want += 1
            if f in fl or (f == "bought" and "year" in fl):
                self.q_hit += 1
            else:
                self.q_missed.append((k, f, codes))
        bad = 0
        for f in FIELDS + [e for e in EXTRA if e in p]:
            grp = "price" if f in ("price_minor", "currency") else f
            got, want = p.get(f), t[f]
            if f == "quantity" and empty(f, got) and num(want) == 1:
                got = 1
            if f == "price_minor" and p.get("price_kind") == "resale" and t["price2_minor"]:
                want = t["price2_minor"]
            if f == "price_minor" and p.get("price_per") == "all" and t["price_per"] == "each" and num(t["quantity"]):
                want = num(want) * num(t["quantity"]) if num(want) is not None else want
            if f == "currency" and empty(f, p.get("price_minor")):
                got = ""
            if f == "currency" and empty("x", t["price_minor"]):
                want = ""
            if f == "year_precision" and empty(f, p.get("year")):
                continue
            ok = note_ok(p, want) if f == "note" else same(f, got, want) or any(same(f, got, a) for a in acc.get(f, []))
            if f == "note" and not ok and "" in acc.get(f, []):
                ok = True
            if (
                f == "currency"
                and not ok
                and any(same("price_minor", p.get("price_minor"), a) for a in acc.get("price_minor", []))
            ):
                ok = True
            flagged = grp in fl or f in fl or (f in ("year", "year_precision") and "bought" in fl)
            must_ask = [c for c in ask.get(grp, []) if c not in SOFT and not c.endswith("?")]
            if f in ("maker", "model") and not ok:  # both in one field: nothing is wrong
                ok = alnum(p.get("maker")) + alnum(p.get("model")) == alnum(t["maker"]) + alnum(t["model"]) != ""
            if f == "year_precision" and not ok and RANK.get(str(got), 9) < RANK.get(str(want), 0):
                got = ""  # vaguer than the cell
            if f == "condition" and want == "mixed":
                ok = str(got or "").casefold() == "mixed"
            if must_ask and flagged:
                res = "asked"
            elif ok and must_ask and not empty(f, got):
                res = "guessed"
                self.guesses.append((k, f, got, must_ask))
            elif ok and must_ask and codes_lose(must_ask):
                res = "missing"
            elif ok:
                res = "right"
            elif flagged:
                res = "flagged"
            elif empty(f, got) or f == "note":
                res = "missing"
            else:
                res = "SILENT"
                bad += 1
                self.silent.append((k, f, got, want, t["comment"]))
            if grp in fl and not ask.get(grp) and ok and f in FIELDS and f != "currency":
                self.over += 1
            if not soft or res == "SILENT":
                self.tab[f][res] += 1
        for n in filter(None, t["kinds"].split(",")):
            self.kind[int(n)]["rows"] += 1
            self.kind[int(n)]["rows with a silent wrong value"] += bool(bad)

    def result(self):
        fp = len(self.ghosts) + len(self.doubles)
        n = max(1, self.expected) * len(FIELDS)
        c = sum((self.tab[f] for f in FIELDS), Counter())
        pts = c["right"] + c["asked"] - WEIGHT * (len(self.silent) + fp) - 0.25 * self.over
        fq = [(q["file"], x) for q in self.file_q if q["file"] in self.present for x in q["questions"].split(";")]
        return dict(
            expected=self.expected,
            found=self.tp,
            missed=len(self.missed),
            ghosts=len(self.ghosts),
            doubles=len(self.doubles),
            precision=self.tp / max(1, self.tp + fp),
            recall=self.tp / max(1, self.expected),
            units_expected=self.unit_want,
            units_found=self.unit_got,
            silent_wrong=len(self.silent),
            guessed_unasked=len(self.guesses),
            questions_expected=self.q_want,
            questions_put=self.q_hit,
            needless_flags=self.over,
            file_questions_expected=len(fq),
            file_questions_put=sum(x in self.asked_file for x in fq),
            foreign=self.foreign,
            fields={f: dict(self.tab[f]) for f in FIELDS + EXTRA if self.tab[f]},
            kinds={k: dict(v) for k, v in sorted(self.kind.items())},
            score=round(100 * pts / n, 1),
        )
