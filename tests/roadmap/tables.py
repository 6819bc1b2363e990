"""Sums worked out straight from the tables of fixtures/demo, without any code of the program.

Tax is rounded half up once for each order line, once for the costs of a step that share a rate and that no order
carries; contingency half up once for each phase on the sum with tax; totals are plain sums.
"""

import csv
from collections import defaultdict
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


def rows(slug: str, table: str) -> list[dict[str, str]]:
    with (FOLDER / slug / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def at_rate(amount: int, basis_points: str) -> int:
    share = Decimal(amount) * Decimal(basis_points or 0) / 10_000
    return int(share.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def steps_of(slug: str) -> dict[str, dict[str, int]]:
    """Return {step: before_tax, tax, total} in minor units."""
    net: dict[str, int] = defaultdict(int)
    tax: dict[str, int] = defaultdict(int)
    never = {row["key"] for row in rows(slug, "orders") if row["is_option"] == "yes"}
    for line in rows(slug, "order_lines"):
        if line["step"] and line["order"] not in never:
            net[line["step"]] += int(line["net_minor"])
            tax[line["step"]] += at_rate(int(line["net_minor"]), line["tax_bp"])
    own: dict[tuple[str, str], int] = defaultdict(int)
    for cost in rows(slug, "step_costs"):
        own[cost["step"], cost["tax_bp"]] += int(cost["net_minor"])
    for (step, rate), amount in own.items():
        net[step] += amount
        tax[step] += at_rate(amount, rate)
    return {
        row["key"]: {"before_tax": net[row["key"]], "tax": tax[row["key"]], "total": net[row["key"]] + tax[row["key"]]}
        for row in rows(slug, "steps")
    }


def totals_of(slug: str) -> dict[str, dict[str, int]]:
    """Return {phase: before_tax, tax, total, contingency, total_with_contingency} in minor units."""
    phase_of = {row["key"]: row["phase"] for row in rows(slug, "steps")}
    found = {}
    for phase in rows(slug, "phases"):
        sums = {"before_tax": 0, "tax": 0, "total": 0}
        for step, money in steps_of(slug).items():
            if phase_of[step] == phase["key"]:
                sums = {name: sums[name] + money[name] for name in sums}
        contingency = at_rate(sums["total"], phase["contingency_bp"])
        found[phase["key"]] = sums | {
            "contingency": contingency,
            "total_with_contingency": sums["total"] + contingency,
        }
    return found


def resale_of(slug: str) -> dict[str, int]:
    """Return {phase: resale its steps bring} in minor units."""
    found = {phase["key"]: 0 for phase in rows(slug, "phases")}
    for step in rows(slug, "steps"):
        found[step["phase"]] += int(step["resale_minor"])
    return found


def funds_of(slug: str) -> dict[str, dict[str, int]]:
    """Return {fund: banked, expected (each amount times its chance, half up), needed} in minor units."""
    found = {fund["code"]: {"banked": 0, "expected": 0, "needed": 0} for fund in rows(slug, "funds")}
    for one in rows(slug, "fund_income"):
        amount = int(one["amount_minor"])
        chance = str(Decimal(one["probability"]) * 10_000)
        found[one["fund"]]["expected"] += at_rate(amount, chance)
        if one["state"] == "in the bank":
            found[one["fund"]]["banked"] += amount
    costs = steps_of(slug)
    for step in rows(slug, "steps"):
        if step["fund"]:
            found[step["fund"]]["needed"] += costs[step["key"]]["total"]
    return found
