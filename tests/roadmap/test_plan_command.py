"""`manage.py plan`: the plan of both churches as JSON, with dates worked out by hand from the tables of fixtures/demo.

The hand-worked dates follow the calendar rules of the demo's README: a step starts on the day after what it requires,
on a day of its rule, not before its agreed date nor before tomorrow; a step on a Sunday path stays out of freezes.
"""

import json
from collections.abc import Iterator
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import TestCase, override_settings

from tests.roadmap.tables import totals_of


@pytest.fixture(autouse=True, scope="module")
def files_of_the_lists(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the lists taken in out of the program's own folder."""
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("files")):
        yield


def plan(*words: str) -> dict[str, Any]:
    out = StringIO()
    call_command("plan", "--json", *words, stdout=out)
    answer: dict[str, Any] = json.loads(out.getvalue())
    return answer


def said(*words: str) -> str:
    out = StringIO()
    call_command("plan", *words, stdout=out)
    return out.getvalue()


class PlanOfBothChurches(TestCase):
    @classmethod
    def setUpTestData(cls) -> None:
        call_command("demo", stdout=StringIO())

    def assert_spans(self, answer: dict[str, Any], expected: dict[str, tuple[str, str]]) -> None:
        found = {key: (answer["steps"][key]["start"], answer["steps"][key]["finish"]) for key in expected}
        self.assertEqual(found, expected)

    def test_the_json_has_the_names_others_read(self) -> None:
        answer = plan("--ministry", "cordwain")
        self.assertLessEqual({"order", "steps", "phases", "critical"}, set(answer))
        self.assertNotIn("changes", answer)
        for step in answer["steps"].values():
            self.assertLessEqual({"start", "finish", "early", "late", "float_days", "critical"}, set(step))
        for phase in answer["phases"].values():
            self.assertLessEqual({"before_tax", "tax", "total", "contingency", "total_with_contingency"}, set(phase))

    def test_every_step_stands_in_the_order_after_what_it_requires(self) -> None:
        for slug, steps in (("cordwain", 28), ("loomgate", 35)):
            order = plan("--ministry", slug)["order"]
            self.assertEqual(len(order), steps)
            for step, needed in links_of(slug):
                self.assertLess(order.index(needed), order.index(step), (slug, step, needed))

    def test_the_late_amplifier_sets_the_dates_at_cordwain(self) -> None:
        """O-05 is promised for Fri Nov 13; the day after is a Saturday with a wedding, so Monday Nov 16.

        S12 ends on the second Sunday after it starts (Nov 18 to Nov 29), which touches the freeze Nov 25 - Jan 3: it
        starts on Jan 4 and ends on Sunday Jan 17. S16 takes ten weekdays after that. S14 is on its Friday, S15 not
        before two Sundays (Nov 8 and 15) have passed.
        """
        self.assert_spans(
            plan("--ministry", "cordwain"),
            {
                "S13": ("2026-10-26", "2026-11-04"),
                "S10": ("2026-11-16", "2026-11-17"),
                "S12": ("2027-01-04", "2027-01-17"),
                "S14": ("2026-11-06", "2026-11-06"),
                "S15": ("2026-11-16", "2026-11-18"),
                "S16": ("2027-01-18", "2027-01-29"),
                "S22": ("2026-12-07", "2026-12-15"),
                "S25": ("2027-03-15", "2027-03-17"),
                "S28": ("2027-05-10", "2027-06-26"),
            },
        )

    def test_the_late_stage_box_sets_the_dates_at_loomgate(self) -> None:
        """O-05 is promised for Fri Dec 11, inside the freeze Nov 28 - Jan 6: S14 takes Thu Jan 7 and Fri Jan 8.

        S16 is the next Saturday, Jan 9; S17 and S18 start the Monday after; S19 is a Friday; S20 waits two Sundays
        (Jan 17 and 24) after it.
        """
        self.assert_spans(
            plan("--ministry", "loomgate"),
            {
                "S12": ("2026-10-17", "2026-11-15"),
                "S14": ("2027-01-07", "2027-01-08"),
                "S16": ("2027-01-09", "2027-01-09"),
                "S17": ("2027-01-11", "2027-01-12"),
                "S18": ("2027-01-11", "2027-01-13"),
                "S19": ("2027-01-15", "2027-01-15"),
                "S20": ("2027-01-25", "2027-01-29"),
                "S21": ("2026-11-16", "2026-11-27"),
            },
        )

    def test_the_totals_of_every_phase_are_those_of_the_tables(self) -> None:
        for slug in ("cordwain", "loomgate"):
            found = {
                key: {
                    name: phase[name]
                    for name in ("before_tax", "tax", "total", "contingency", "total_with_contingency")
                }
                for key, phase in plan("--ministry", slug)["phases"].items()
            }
            self.assertEqual(found, totals_of(slug), slug)

    def test_critical_steps_are_those_without_float_in_order(self) -> None:
        for slug in ("cordwain", "loomgate"):
            answer = plan("--ministry", slug)
            without = [key for key in answer["order"] if answer["steps"][key]["critical"]]
            self.assertEqual(answer["critical"], without)
            self.assertTrue(all(answer["steps"][key]["float_days"] == 0 for key in without))
            self.assertEqual(answer["critical"][-1], "S28" if slug == "cordwain" else "S35")

    def test_a_new_promise_says_only_what_differs(self) -> None:
        """A week later, Fri Nov 20: S10 on Mon Nov 23 and Tue Nov 24, the last days before the freeze; S12 stays."""
        changes = plan("--ministry", "cordwain", "--promise", "O-05=2026-11-20")["changes"]
        self.assertEqual(
            [(one["key"], one["start"], one["finish"], one["days"]) for one in changes["steps"]],
            [("S10", "2026-11-23", "2026-11-24", 7)],
        )
        self.assertEqual(changes["services"], ["2026-11-22"])
        self.assertEqual(changes["phases"], [])

    def test_one_day_more_falls_into_the_freeze(self) -> None:
        """Mon Nov 23 would start S10 on Tue Nov 24, but its second day is in the freeze: Mon Jan 4 and Tue Jan 5.

        S12 follows on Jan 6; its second Sunday is Jan 17, so it ends as before, and nothing behind it moves.
        """
        answer = plan("--ministry", "cordwain", "--promise", "O-05=2026-11-23")
        self.assert_spans(answer, {"S10": ("2027-01-04", "2027-01-05"), "S12": ("2027-01-06", "2027-01-17")})
        self.assertEqual([one["key"] for one in answer["changes"]["steps"]], ["S10", "S12"])
        self.assertEqual(answer["changes"]["freeze"]["step"], "S10")

    def test_an_earlier_promise_lets_everything_come_before_the_freeze(self) -> None:
        """Thu Nov 5: S10 on Fri Nov 6 and Mon Nov 9, S12 to Sunday Nov 22, S16 takes ten weekdays from Nov 23."""
        self.assert_spans(
            plan("--ministry", "cordwain", "--promise", "O-05=2026-11-05"),
            {
                "S10": ("2026-11-06", "2026-11-09"),
                "S12": ("2026-11-10", "2026-11-22"),
                "S16": ("2026-11-23", "2026-12-04"),
            },
        )

    def test_several_promises_are_taken_at_once(self) -> None:
        answer = plan("--ministry", "cordwain", "--promise", "O-05=2026-11-20", "--promise", "O-06=2026-12-01")
        self.assertEqual([one["key"] for one in answer["changes"]["steps"]], ["S10"])

    def test_as_of_a_later_day_an_overdue_order_counts_as_coming_that_day(self) -> None:
        """On Mon Nov 16 nothing has come: it counts as coming that day, so S10 is on Nov 17 and 18."""
        answer = plan("--ministry", "cordwain", "--as-of", "2026-11-16")
        self.assert_spans(answer, {"S10": ("2026-11-17", "2026-11-18")})

    def test_without_a_ministry_the_first_one_answers(self) -> None:
        self.assertEqual(plan(), plan("--ministry", "cordwain"))

    def test_in_words_each_step_stands_on_a_line(self) -> None:
        words = said("--ministry", "cordwain").splitlines()
        self.assertEqual(words[0], "Cordwain Church")
        self.assertEqual(len(words), 29)
        self.assertIn("S10  2026-11-16 to 2026-11-17", words)

    def test_what_cannot_be_answered_is_refused_in_words(self) -> None:
        for words, reason in (
            (("--ministry", "nowhere"), "There is no ministry called 'nowhere'"),
            (("--promise", "O-99=2026-11-20"), "There is no order O-99"),
            (("--promise", "O-05"), "is not ORDER=DATE"),
            (("--promise", "O-05=soon"), "is not ORDER=DATE"),
        ):
            with self.assertRaisesMessage(CommandError, reason):
                said(*words)


def links_of(slug: str) -> list[tuple[str, str]]:
    from tests.roadmap.tables import rows

    return [(row["step"], row["requires"]) for row in rows(slug, "step_links")]
