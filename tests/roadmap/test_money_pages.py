"""Money: every figure shown is the sum of the tables of fixtures/demo, to the cent, for both churches."""

from collections.abc import Iterator
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import Client, TestCase, override_settings

from people.models import User
from tests.roadmap import tables
from tests.roadmap.pages import cells, first_line, minor, url, words

CHURCHES = ("cordwain", "loomgate")
NAMES = ("before_tax", "tax", "total", "contingency", "total_with_contingency")


@pytest.fixture(autouse=True, scope="module")
def files_of_the_lists(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the lists taken in out of the program's own folder."""
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("files")):
        yield


class MoneyOfBothChurches(TestCase):
    @classmethod
    def setUpTestData(cls) -> None:
        call_command("demo", stdout=StringIO())

    def at(self, church: str, role: str = "treasurer") -> Client:
        client = Client()
        client.force_login(
            User.objects.get(email=f"{role}@{church}.example.org"),
            backend="django.contrib.auth.backends.ModelBackend",
        )
        return client

    def test_the_phases_are_the_sums_of_the_tables(self) -> None:
        for church in CHURCHES:
            shown = cells(self.at(church).get(url("money", church)), "Cost by phase")
            resale = tables.resale_of(church)
            expected = [
                [*(one[name] for name in NAMES), one["total_with_contingency"] - resale[key]]
                for key, one in tables.totals_of(church).items()
            ]
            self.assertEqual([[minor(cell) for cell in row[2:]] for row in shown[:-1]], expected, church)
            self.assertEqual(
                [minor(cell) for cell in shown[-1][2:]], [sum(column) for column in zip(*expected, strict=True)]
            )

    def test_the_funds_are_the_sums_of_the_tables(self) -> None:
        for church in CHURCHES:
            shown = cells(self.at(church).get(url("money", church)), "Funds")
            natures = {fund["code"]: fund["nature"] for fund in tables.rows(church, "funds")}
            funds = {code: one for code, one in tables.funds_of(church).items() if natures[code] != "resale"}
            expected = [
                [one["banked"], one["expected"], one["needed"], one["expected"] - one["needed"]]
                for one in funds.values()
            ]
            self.assertEqual([[minor(cell) for cell in row[1:]] for row in shown[: len(expected)]], expected, church)
            self.assertEqual(
                [minor(cell) for cell in shown[len(expected)][1:]],
                [sum(column) for column in zip(*expected, strict=True)],
            )

    def test_what_funds_pay_and_what_phases_cost_is_the_same_sum(self) -> None:
        for church in CHURCHES:
            without_fund = sum(
                tables.steps_of(church)[row["key"]]["total"] for row in tables.rows(church, "steps") if not row["fund"]
            )
            needed = sum(one["needed"] for one in tables.funds_of(church).values())
            self.assertEqual(needed + without_fund, sum(one["total"] for one in tables.totals_of(church).values()))

    def test_a_page_of_a_phase_adds_up_its_steps(self) -> None:
        for church in CHURCHES:
            totals, phase_of = tables.totals_of(church), {r["key"]: r["phase"] for r in tables.rows(church, "steps")}
            for key, expected in totals.items():
                shown = cells(self.at(church).get(url("phase", church, key=key)), "Steps of this phase")
                costs = {row[0].split()[0]: minor(row[-1]) for row in shown[:-3]}
                self.assertEqual(
                    costs,
                    {s: m["total"] for s, m in tables.steps_of(church).items() if phase_of[s] == key},
                )
                self.assertEqual(
                    [minor(row[-1]) for row in shown[-3:]],
                    [expected["total"], expected["contingency"], expected["total_with_contingency"]],
                )

    def test_a_page_of_a_fund_names_what_is_left_or_short(self) -> None:
        for church in CHURCHES:
            for code, one in tables.funds_of(church).items():
                answer = self.at(church).get(url("fund", church, code=code))
                line = first_line(answer)
                self.assertEqual(answer.status_code, 200)
                if one["needed"] > one["expected"]:
                    self.assertIn("short", line, code)
        self.assertIn("It is $50 short.", first_line(self.at("cordwain").get(url("fund", "cordwain", code="MEM"))))

    def test_the_costs_of_a_step_are_those_of_its_lines(self) -> None:
        for church in CHURCHES:
            client = self.at(church, "lead")
            for key, one in tables.steps_of(church).items():
                if one["total"]:
                    shown = cells(client.get(url("step", church, key=key)), "Goods")
                    self.assertEqual(sum(minor(row[-1]) for row in shown[:-1]), one["before_tax"], key)
                    self.assertEqual(minor(shown[-1][-1]), one["total"], key)

    def test_an_order_adds_up_its_lines(self) -> None:
        for church in CHURCHES:
            client = self.at(church)
            for order in {line["order"] for line in tables.rows(church, "order_lines")}:
                net = sum(int(r["net_minor"]) for r in tables.rows(church, "order_lines") if r["order"] == order)
                shown = cells(client.get(url("order", church, key=order)), "Lines of this order")
                together = next(row for row in shown if row[0] == "Together")
                self.assertEqual(minor(together[-1]), net, order)

    def test_the_first_sentence_names_the_whole(self) -> None:
        line = first_line(self.at("cordwain").get(url("money", "cordwain")))
        total = sum(one["total"] for one in tables.totals_of("cordwain").values())
        self.assertTrue(line.startswith("Four phases cost"), line)
        self.assertIn(f"${total / 100:,.2f}", line)

    def test_who_sees_no_money_meets_no_price_anywhere(self) -> None:
        """Every page of the plan that crew and reader may open, with its forms: no currency sign, no amount named."""
        for church, sign in (("cordwain", "$"), ("loomgate", "£")):
            for role in ("crew", "reader"):
                client, opened = self.at(church, role), 0
                for address in self.every_page(church):
                    answer = client.get(address)
                    if answer.status_code == 200:
                        opened += 1
                        self.assertNotIn(sign, answer.content.decode(), f"{role} at {address}")
                        self.assertNotIn("_minor", answer.content.decode(), f"{role} at {address}")
                        self.assertNotIn("contingency", words(answer).lower(), f"{role} at {address}")
                        self.assertNotIn("before tax", words(answer).lower(), f"{role} at {address}")
                self.assertEqual(opened, len(self.every_page(church)) if role == "crew" else 2, role)

    def every_page(self, church: str) -> list[str]:
        plain = ("this-sunday", "waiting", "calendar", "suppliers", "steps", "paper", "promises", "goals", "happened")
        return [
            *(url(name, church) for name in plain),
            url("steps", church) + "?until=end",
            *(url("step", church, key=row["key"]) for row in tables.rows(church, "steps")),
            *(url("order", church, key=row["key"]) for row in tables.rows(church, "orders")),
        ]

    def test_the_same_pages_show_prices_to_those_who_see_them(self) -> None:
        client = self.at("cordwain", "lead")
        self.assertIn("$1,980", words(client.get(url("order", "cordwain", key="O-05"))))
        self.assertIn("$", words(client.get(url("steps", "cordwain"))))
