"""The demo tables: what they point at exists, and their money adds up.

Source of the expected figures: the churches' own totals in whole dollars and pounds, written down before the lines were
split up (the tables are inventions of this project, see fixtures/demo/README.md).
"""

import csv
import re
from collections import Counter, defaultdict
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
CHURCHES = ("cordwain", "loomgate")
# step: goods, labor, shipping, tax, all together, in whole dollars or pounds
STEP_TOTALS = {
    "cordwain": {
        "S01": (90, 0, 0, 0, 90), "S02": (310, 1150, 0, 106, 1566), "S03": (0, 220, 0, 0, 220),
        "S04": (420, 0, 28, 0, 448), "S05": (85, 0, 0, 0, 85), "S06": (60, 0, 0, 0, 60), "S07": (260, 0, 12, 0, 272),
        "S08": (0, 1450, 0, 0, 1450), "S09": (5500, 400, 260, 0, 6160), "S10": (2220, 0, 85, 0, 2305),
        "S11": (55, 0, 0, 0, 55), "S12": (40, 0, 0, 0, 40), "S13": (2800, 0, 30, 0, 2830),
        "S14": (45, 500, 0, 0, 545), "S15": (0, 0, 0, 0, 0), "S16": (0, 90, 0, 0, 90), "S17": (900, 0, 18, 0, 918),
        "S18": (0, 300, 0, 0, 300), "S19": (1130, 1400, 42, 102, 2674), "S20": (4120, 0, 60, 0, 4180),
        "S21": (620, 0, 0, 0, 620), "S22": (0, 380, 0, 0, 380), "S23": (540, 0, 18, 0, 558),
        "S24": (260, 0, 0, 0, 260), "S25": (1100, 2600, 45, 0, 3745), "S26": (1350, 350, 0, 0, 1700),
        "S27": (660, 480, 14, 35, 1189), "S28": (380, 520, 0, 0, 900),
    },
    "loomgate": {
        "S01": (60, 0, 0, 0, 60), "S02": (0, 0, 0, 0, 0), "S03": (240, 780, 0, 204, 1224), "S04": (0, 140, 0, 0, 140),
        "S05": (315, 0, 15, 66, 396), "S06": (75, 0, 0, 0, 75), "S07": (40, 0, 0, 0, 40),
        "S08": (210, 0, 10, 44, 264), "S09": (0, 1130, 0, 226, 1356), "S10": (0, 350, 0, 70, 420),
        "S11": (5380, 0, 120, 1100, 6600), "S12": (45, 0, 0, 9, 54), "S13": (830, 0, 12, 168, 1010),
        "S14": (2530, 0, 35, 513, 3078), "S15": (0, 180, 0, 36, 216), "S16": (0, 0, 0, 0, 0),
        "S17": (1303, 0, 18, 264, 1585), "S18": (4115, 0, 20, 827, 4962), "S19": (40, 460, 0, 100, 600),
        "S20": (0, 0, 0, 0, 0), "S21": (0, 80, 0, 16, 96), "S22": (0, 280, 0, 56, 336), "S23": (0, 270, 0, 54, 324),
        "S24": (1000, 900, 25, 385, 2310), "S25": (2950, 0, 45, 599, 3594), "S26": (540, 0, 0, 108, 648),
        "S27": (420, 0, 15, 87, 522), "S28": (260, 0, 0, 52, 312), "S29": (175, 0, 0, 35, 210),
        "S30": (0, 440, 0, 88, 528), "S31": (0, 520, 0, 104, 624), "S32": (640, 990, 30, 332, 1992),
        "S33": (1650, 900, 0, 510, 3060), "S34": (580, 360, 12, 190, 1142), "S35": (310, 460, 0, 154, 924),
    },
}  # fmt: skip
# order: goods and labor, shipping, paid so far
ORDER_TOTALS = {
    "cordwain": {
        "O-01": (1460, 0, 1566), "O-02": (420, 28, 448), "O-03": (5500, 260, 5760), "O-04": (900, 18, 918),
        "O-05": (2220, 85, 1153), "O-06": (2800, 30, 2520), "O-07": (3700, 45, 0), "O-09": (4120, 60, 0),
        "O-10": (1130, 42, 0), "O-11": (1880, 0, 0), "O-12": (1700, 0, 0),
    },
    "loomgate": {
        "O-01": (1020, 0, 1224), "O-02": (315, 15, 396), "O-03": (5380, 120, 6600), "O-04": (830, 12, 1010),
        "O-05": (2530, 35, 1539), "O-06": (1303, 18, 1189), "O-07": (4115, 20, 4962), "O-08": (1510, 0, 0),
        "O-09": (2950, 45, 0), "O-10": (1000, 25, 0), "O-11": (1260, 0, 0), "O-12": (2830, 0, 336),
        "O-13": (640, 30, 0), "O-14": (190, 0, 228),
    },
}  # fmt: skip
# phase: goods, labor, shipping, tax, sum, volunteer hours
PHASE_TOTALS = {
    "loomgate": {
        "1": (940, 2050, 25, 540, 3555, 218),
        "2": (14243, 1350, 205, 3159, 18957, 146),
        "3": (5345, 1610, 85, 1408, 8448, 138),
        "4": (3180, 3230, 42, 1290, 7742, 118),
    }
}
FUND_NEEDS = {
    "cordwain": {"GEN": 3314, "BLD": 14544, "MEM": 6050, "GRT": 1700, "PLG": 8032, "RES": 0},
    "loomgate": {"GEN": 3347, "BLD": 15200, "SAL": 10002, "GFT": 6547, "ACC": 3396, "KID": 210, "RES": 0},
}
COUNTS = {
    "cordwain": {"gear": 120, "steps": 28, "orders": 12, "needs": 30, "step_links": 51, "promises": 12, "twins": 10,
                 "accounts": 10, "goals": 9, "needs_links": 44, "tv_channels": 23, "phases": 4},
    "loomgate": {"gear": 180, "steps": 35, "orders": 15, "needs": 43, "step_links": 61, "promises": 14, "twins": 13,
                 "accounts": 10, "goals": 9, "needs_links": 53, "tv_channels": 0, "phases": 4},
}  # fmt: skip
NOT_A_PLACE = {"WASTE", "OWNER", "?", ""}
CONDITIONS = {"tested good", "works, marked", "faulty", "dead", "unsafe", "not yet tested", "not found"}
DATE_COLUMN = re.compile(r"(.*_on|on|as_of|.*_by|.*_until|bound_until|quote_valid_to|available_from|not_before|"
                         r"(agreed|actual)_(start|finish))$")  # fmt: skip
NO_DATES = {"filled_by", "needed_by", "brought_by", "fate_until", "own_target", "runs_on", "everything_out_by"}


@cache
def table(church: str, name: str) -> tuple[dict[str, str], ...]:
    with (DEMO / church / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def keys(church: str, name: str, column: str = "key") -> set[str]:
    return {row[column] for row in table(church, name)}


def tax(net_minor: int, tax_bp: int) -> int:
    """Return the tax in minor units, half up."""
    return (net_minor * tax_bp + 5000) // 10000


def whole(minor: int) -> int:
    """Return whole dollars or pounds, half up."""
    return (minor + 50) // 100


def real_lines(church: str) -> list[dict[str, str]]:
    options = {order["key"] for order in table(church, "orders") if order["is_option"] == "yes"}
    return [line for line in table(church, "order_lines") if line["order"] not in options]


@cache
def money_of_steps(church: str) -> dict[str, Counter[str]]:
    """Return for each step its goods, labor, shipping and tax in minor units."""
    sums: dict[str, Counter[str]] = {row["key"]: Counter() for row in table(church, "steps")}
    beside: dict[str, Counter[int]] = defaultdict(Counter)
    for line in real_lines(church):
        net, rate = int(line["net_minor"]), int(line["tax_bp"])
        sums[line["step"]].update({line["kind"]: net, "tax": tax(net, rate)})
    for cost in table(church, "step_costs"):
        sums[cost["step"]][cost["kind"]] += int(cost["net_minor"])
        beside[cost["step"]][int(cost["tax_bp"])] += int(cost["net_minor"])
    for step, by_rate in beside.items():
        sums[step]["tax"] += sum(tax(net, rate) for rate, net in by_rate.items())
    return sums


@pytest.mark.parametrize("name", sorted(path.stem for path in (DEMO / "cordwain").glob("*.csv")))
def test_both_churches_have_the_same_columns(name: str) -> None:
    heads = {(DEMO / church / f"{name}.csv").read_text("utf-8").splitlines()[0] for church in CHURCHES}
    assert len(heads) == 1


@pytest.mark.parametrize("church", CHURCHES)
@pytest.mark.parametrize("name", sorted(COUNTS["cordwain"]))
def test_each_table_has_its_rows(church: str, name: str) -> None:
    assert len(table(church, name)) == COUNTS[church][name]


@pytest.mark.parametrize("church", CHURCHES)
def test_tags_run_without_a_gap(church: str) -> None:
    tags = [row["tag"] for row in table(church, "gear")]
    assert tags == [f"G{number:03}" for number in range(1, len(tags) + 1)]


@pytest.mark.parametrize("church", CHURCHES)
def test_every_piece_says_where_it_is_and_what_becomes_of_it(church: str) -> None:
    sites, places = keys(church, "sites", "code"), keys(church, "places", "code")
    people, steps = keys(church, "people", "name"), keys(church, "steps")
    for piece in table(church, "gear"):
        assert piece["found_site"] in sites
        assert {piece["place_now"], piece["place_to"]} <= places | NOT_A_PLACE, piece["tag"]
        assert piece["condition"] in CONDITIONS
        assert piece["owner"] in people | {""}
        until = piece["fate_until"]
        assert not until or until in steps or date.fromisoformat(until)
        assert bool(until) == (piece["fate"] == "stand-in"), piece["tag"]
        assert int(piece["quantity"]) == 1 or piece["is_lot"] == "yes"
        assert bool(piece["radio_low_khz"]) == bool(piece["radio_high_khz"])


@pytest.mark.parametrize(
    ("church", "tag", "quantity"),
    [
        ("cordwain", "G028", 12), ("cordwain", "G086", 4), ("cordwain", "G023", 1), ("cordwain", "G053", 1),
        ("cordwain", "G120", 230), ("loomgate", "G033", 14), ("loomgate", "G178", 6), ("loomgate", "G180", 1),
    ],
)  # fmt: skip
def test_a_lot_counts_what_its_name_says_and_a_kit_is_one(church: str, tag: str, quantity: int) -> None:
    assert {row["tag"]: int(row["quantity"]) for row in table(church, "gear")}[tag] == quantity


@pytest.mark.parametrize("church", CHURCHES)
@pytest.mark.parametrize(
    ("name", "column", "target", "target_column"),
    [
        ("members", "person", "people", "name"),
        ("places", "site", "sites", "code"),
        ("places", "parent", "places", "code"),
        ("piece_facts", "tag", "gear", "tag"),
        ("needs", "place", "places", "code"),
        ("needs", "filled_by", "gear", "tag"),
        ("needs", "stand_in", "gear", "tag"),
        ("needs", "short_of", "gear", "tag"),
        ("need_musts", "need", "needs", "key"),
        ("needs_links", "piece", "gear", "tag"),
        ("needs_links", "needs", "gear", "tag"),
        ("twins", "pieces", "gear", "tag"),
        ("accounts", "runs_on", "gear", "tag"),
        ("accounts", "needed_by", "promises", "key"),
        ("orders", "supplier", "suppliers", "name"),
        ("orders", "option_for_step", "steps", "key"),
        ("order_lines", "order", "orders", "key"),
        ("order_lines", "step", "steps", "key"),
        ("order_promises", "order", "orders", "key"),
        ("payments", "order", "orders", "key"),
        ("payments", "step", "steps", "key"),
        ("steps", "phase", "phases", "key"),
        ("steps", "fund", "funds", "code"),
        ("steps", "owner", "people", "name"),
        ("steps", "sells", "gear", "tag"),
        ("step_links", "step", "steps", "key"),
        ("step_links", "requires", "steps", "key"),
        ("step_costs", "step", "steps", "key"),
        ("fund_rules", "fund", "funds", "code"),
        ("fund_rules", "step", "steps", "key"),
        ("fund_rules", "phase", "phases", "key"),
        ("fund_income", "fund", "funds", "code"),
        ("services", "site", "sites", "code"),
        ("bookings", "place", "places", "code"),
        ("circuits", "place", "places", "code"),
        ("promises", "brought_by", "steps", "key"),
        ("goals", "phase", "phases", "key"),
        ("visits", "person", "people", "name"),
    ],
)
def test_what_a_row_points_at_exists(church: str, name: str, column: str, target: str, target_column: str) -> None:
    known = keys(church, target, target_column)
    many = target_column in {"tag", "key"}
    for row in table(church, name):
        named = row[column].split() if many else [row[column]]
        assert set(filter(None, named)) <= known, row


@pytest.mark.parametrize("church", CHURCHES)
def test_services_name_known_promises_and_needs_known_orders(church: str) -> None:
    promises = keys(church, "promises") | {"all"}
    sources = keys(church, "orders") | keys(church, "steps")
    for service in table(church, "services"):
        assert set(service["promises"].split()) <= promises
        assert bool(service["weekday"]) != bool(service["on"])
    for need in table(church, "needs"):
        assert {entry.split(":")[0] for entry in need["bought"].split()} <= sources
    for reserve in table(church, "replacement"):
        assert set(reserve["pieces"].split()) <= sources | keys(church, "gear", "tag")


@pytest.mark.parametrize("church", [*CHURCHES, "firstweek"])
def test_every_date_is_a_date(church: str) -> None:
    for path in (DEMO / church).glob("*.csv"):
        for row in table(church, path.stem):
            for column, value in row.items():
                if value and DATE_COLUMN.match(column) and column not in NO_DATES:
                    date.fromisoformat(value)


@pytest.mark.parametrize("church", CHURCHES)
def test_a_need_is_met_from_stock_and_orders_or_says_its_gap(church: str) -> None:
    gear = {row["tag"]: row for row in table(church, "gear")}
    counted = {(f["tag"], f["key"]): int(f["value"]) for f in table(church, "piece_facts") if f["key"] == "handhelds"}
    for need in table(church, "needs"):
        if " x" in need["kinds"]:
            continue
        stock = sum(counted.get((tag, "handhelds"), int(gear[tag]["quantity"])) for tag in need["filled_by"].split())
        bought = sum(int(entry.split(":")[1]) for entry in need["bought"].split())
        assert stock + bought >= int(need["quantity"]), need["key"]
        assert {gear[tag]["kind"] for tag in need["filled_by"].split()} <= set(need["kinds"].split("; ")), need["key"]


@pytest.mark.parametrize("church", CHURCHES)
def test_the_lines_of_an_order_add_up(church: str) -> None:
    sums: dict[str, Counter[str]] = defaultdict(Counter)
    for line in real_lines(church):
        sums[line["order"]]["shipping" if line["kind"] == "shipping" else "net"] += int(line["net_minor"])
        assert int(line["arrived_quantity"]) <= int(line["quantity"])
        assert bool(int(line["arrived_quantity"])) == bool(line["arrived_on"])
    paid: Counter[str] = Counter()
    for payment in table(church, "payments"):
        assert bool(payment["order"]) != bool(payment["step"])
        paid[payment["order"]] += int(payment["amount_minor"])
    found = {key: (each["net"] // 100, each["shipping"] // 100, whole(paid[key])) for key, each in sums.items()}
    assert found == ORDER_TOTALS[church]


@pytest.mark.parametrize("church", CHURCHES)
def test_the_money_of_each_step_adds_up(church: str) -> None:
    found = {}
    for key, money in money_of_steps(church).items():
        assert all(money[kind] % 100 == 0 for kind in ("goods", "labor", "shipping"))
        parts = [money["goods"] // 100, money["labor"] // 100, money["shipping"] // 100, whole(money["tax"])]
        found[key] = (*parts, whole(money.total()))
    assert found == STEP_TOTALS[church]


@pytest.mark.parametrize("church", sorted(PHASE_TOTALS))
def test_the_money_of_each_phase_adds_up(church: str) -> None:
    sums: dict[str, list[int]] = defaultdict(lambda: [0] * 6)
    for step in table(church, "steps"):
        money = money_of_steps(church)[step["key"]]
        parts = [whole(money[kind]) for kind in ("goods", "labor", "shipping", "tax")]
        for place, value in enumerate([*parts, whole(money.total()), int(step["volunteer_hours"])]):
            sums[step["phase"]][place] += value
    assert {key: tuple(each) for key, each in sums.items()} == PHASE_TOTALS[church]


def test_loomgate_to_the_penny() -> None:
    """Phase 2 in pence: 14,243 + 1,350 + 205 before tax, and 20 % of it, without the rounding to pounds."""
    phase_of = {row["key"]: row["phase"] for row in table("loomgate", "steps")}
    money = money_of_steps("loomgate")
    assert sum(each.total() for key, each in money.items() if phase_of[key] == "2") == 1_895_760
    assert sum(each.total() for each in money.values()) == 3_870_300


def test_cordwain_taxes_its_electrician_line_by_line() -> None:
    """310.00 and 1,150.00 at 7.25 %: 22.475 and 83.375 go half up to 22.48 and 83.38."""
    assert money_of_steps("cordwain")["S02"]["tax"] == 2248 + 8338


@pytest.mark.parametrize("church", CHURCHES)
def test_each_fund_carries_the_steps_it_was_meant_for(church: str) -> None:
    needed: Counter[str] = Counter(dict.fromkeys(keys(church, "funds", "code"), 0))
    for step in table(church, "steps"):
        needed[step["fund"]] += whole(money_of_steps(church)[step["key"]].total())
    assert dict(needed) == FUND_NEEDS[church]


@pytest.mark.parametrize("church", CHURCHES)
def test_what_comes_in_is_what_each_fund_holds(church: str) -> None:
    income: Counter[str] = Counter()
    for row in table(church, "fund_income"):
        income[row["fund"]] += int(row["amount_minor"])
    assert income == {row["code"]: int(row["amount_minor"]) for row in table(church, "funds")}


@pytest.mark.parametrize("church", CHURCHES)
def test_each_step_is_paid_by_a_fund_that_may(church: str) -> None:
    rules = table(church, "fund_rules")
    for step in table(church, "steps"):
        mine = [rule for rule in rules if rule["fund"] == step["fund"]]
        assert any(
            rule["any_step"] == "yes" or rule["step"] == step["key"] or rule["phase"] == step["phase"] for rule in mine
        ), step["key"]


@pytest.mark.parametrize(("church", "list_price"), [("cordwain", 6205), ("loomgate", 6510)])
def test_resale_is_the_list_price_of_what_is_to_be_sold(church: str, list_price: int) -> None:
    for_sale = [row for row in table(church, "gear") if "sell" in {row["fate"], row["next_fate"]}]
    assert sum(int(row["resale_minor"]) for row in for_sale) == list_price * 100
    fund = next(row for row in table(church, "funds") if row["code"] == "RES")
    assert whole(list_price * 100 * 55 // 100) == pytest.approx(int(fund["amount_minor"]) // 100, abs=1)


def test_what_stands_in_weir_lane_chapel_and_in_the_barn() -> None:
    """47 pieces in the chapel, 42 of them to move, 225 kg; 7 in the barn, 591 kg, list price 4,140."""
    gear = table("loomgate", "gear")
    chapel = [row for row in gear if row["place_now"] == "WL"]
    to_move = [row for row in chapel if row["place_to"] != "WL"]
    assert (len(chapel), len(to_move), round(sum(int(row["mass_g"]) for row in to_move) / 1000)) == (47, 42, 225)
    barn = [row for row in gear if row["place_now"] == "BARN"]
    assert (len(barn), round(sum(int(row["mass_g"]) for row in barn) / 1000)) == (7, 591)
    assert sum(int(row["resale_minor"]) for row in barn) == 414_000


@pytest.mark.parametrize("church", CHURCHES)
def test_a_step_lasts_as_many_days_of_its_rule_as_lie_between_its_dates(church: str) -> None:
    fits = {"weekdays": range(5), "any day": range(7), "friday": [4], "saturday": [5]}
    for step in table(church, "steps"):
        first, last = date.fromisoformat(step["agreed_start"]), date.fromisoformat(step["agreed_finish"])
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        assert sum(day.weekday() in fits[step["day_rule"]] for day in days) == int(step["days"]), step["key"]
        if step["ends_on_services"]:
            assert last.weekday() == 6
            assert sum(day.weekday() == 6 for day in days) == int(step["ends_on_services"])


@pytest.mark.parametrize("church", CHURCHES)
def test_a_step_that_is_done_says_when_and_one_that_waits_says_for_what(church: str) -> None:
    as_of = date.fromisoformat(table(church, "ministry")[0]["as_of"])
    for step in table(church, "steps"):
        done = step["state"] in {"in, not proven", "proven on a Sunday", "signed over"}
        assert bool(step["actual_finish"]) == done
        assert not done or date.fromisoformat(step["actual_finish"]) <= as_of
        assert bool(step["waiting_words"]) == (step["state"] == "waiting on")


@pytest.mark.parametrize("church", CHURCHES)
def test_the_last_promised_date_of_the_late_order_is_the_third(church: str) -> None:
    told = [row["promised_on"] for row in table(church, "order_promises") if row["order"] == "O-05"]
    assert (
        told
        == {
            "cordwain": ["2026-10-16", "2026-10-30", "2026-11-13"],
            "loomgate": ["2026-10-16", "2026-11-13", "2026-12-11"],
        }[church]
    )


@pytest.mark.parametrize("church", CHURCHES)
def test_no_address_could_reach_anybody(church: str) -> None:
    for member in table(church, "members"):
        assert re.fullmatch(r"[a-z]+@([a-z]+\.)?example\.org", member["email"])


def test_the_coach_has_one_login_everywhere() -> None:
    coaches = {
        row["email"]
        for church in (*CHURCHES, "firstweek")
        for row in table(church, "members")
        if row["roles"] == "coach"
    }
    assert coaches == {"coach@example.org"}


def test_the_sheets_lie_beside_the_tables() -> None:
    assert sorted(path.name for path in (DEMO / "sheets").iterdir()) == [
        "dockside.xlsx", "mill-street.xlsx", "weir-lane.csv",
    ]  # fmt: skip
