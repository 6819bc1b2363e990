"""Whole messy lists against truth tables.

Sources: three lists of an invented English church and three of an invented Ohio church, with truth tables made by hand
beside them (tests/checks/sheets), scored by rules from outside this project (tests/checks/sheets/scoring.py). The lists
under ABROAD_HABITS and AMERICAN_HABITS were written with their truth before the rules had seen them.
"""

from __future__ import annotations

import csv
from datetime import date
from functools import lru_cache
from pathlib import Path

import pytest

from inventory.compute.intake import LEFT_OUT, VERDICTS, Draft, as_score_json, draft, twin_rows
from inventory.compute.twins import suggest
from tests.checks.sheets.scoring import Score

HERE = Path(__file__).parent.parent / "checks" / "sheets"
ENGLISH = ("mill-street.xlsx", "weir-lane.csv", "dockside.xlsx")
OHIO = ("tanner-run.csv", "pennick-road.xlsx", "feed-store.xlsx")
ABROAD_HABITS = ("thornwick.xlsx", "hall-annex.csv", "shed-notes.csv", "vestry-list.csv", "saal-list.csv")
AMERICAN_HABITS = (
    "phone-export.csv",
    "pedant.csv",
    "lanes-closet.csv",
    "school-cage.xlsx",
    "page-breaks.csv",
    "four-columns.csv",
)
THREE_SITES = ("trailer-count.csv", "sanctuary-count.csv", "store-count.xlsx")
NOTES = ("garage-notes.csv", "moved-bins.csv")
WHOLE = (*ENGLISH, *OHIO, *ABROAD_HABITS, *AMERICAN_HABITS)
EVERY = (*WHOLE, *THREE_SITES, *NOTES)


@lru_cache
def read(name: str) -> Draft:
    english = name in ENGLISH + ABROAD_HABITS
    data = (HERE / name).read_bytes()
    return draft(data, name, day_first=english, currency="GBP" if english else "USD", today=date(2026, 7, 9))


def scored(names: tuple[str, ...]) -> dict[str, object]:
    drafts = [read(name) for name in names]
    truths = [HERE / "truth" / f"{name.split('.')[0]}.csv" for name in names]
    result: dict[str, object] = Score(truths, as_score_json(drafts, suggest(twin_rows(drafts)))).run().result()
    return result


@pytest.mark.parametrize("names", [*((name,) for name in WHOLE), ENGLISH, OHIO, THREE_SITES, NOTES], ids="+".join)
def test_a_list_scores_98_or_more_and_nothing_is_silently_wrong(names: tuple[str, ...]) -> None:
    result = scored(names)
    assert result["silent_wrong"] == 0
    assert result["ghosts"] == 0 and result["doubles"] == 0 and result["missed"] == 0
    assert isinstance(result["score"], float) and result["score"] >= 98
    assert result["questions_put"] == result["questions_expected"]
    assert result["file_questions_put"] == result["file_questions_expected"]


def short(key: str) -> str:
    file, _, row = key.partition("|")
    sheet, _, number = row.rpartition("!")
    return f"{file}:{number}" if sheet in ("", "Kit", "Trailer + cupboards") else f"{file}:{sheet}!{number}"


def test_the_pairs_that_a_person_has_to_decide_are_suggested() -> None:
    found = {frozenset((short(each.key_a), short(each.key_b))): each for each in suggest(twin_rows(map(read, ENGLISH)))}
    for wanted in csv.DictReader((HERE / "truth" / "twins.csv").open(encoding="utf-8")):
        first, _, last = wanted["row_a"].rpartition(":")[2].partition("-")
        file = wanted["row_a"].rpartition(":")[0]
        for number in range(int(first), int(last or first) + 1):
            suggestion = found[frozenset((f"{file}:{number}", wanted["row_b"]))]
            hint = {"same": "one piece", "same (halves of a pair)": "halves of a pair"}.get(
                wanted["verdict"], wanted["verdict"]
            )
            assert suggestion.verdict_hint == hint
            assert suggestion.evidence and all(sentence.endswith(".") for sentence in suggestion.evidence)
    assert len(found) < 30


@pytest.mark.parametrize("name", EVERY)
def test_a_draft_survives_the_round_trip_through_json(name: str) -> None:
    assert Draft.from_json(read(name).to_json()) == read(name)


@pytest.mark.parametrize("name", EVERY)
def test_every_row_has_a_verdict_a_reason_and_its_words(name: str) -> None:
    found = read(name)
    for row in found.rows:
        assert row.verdict in VERDICTS and row.reason.endswith(".") and row.fingerprint
        assert row.raw
    assert len({row.key for row in found.rows}) == len(found.rows)
    assert found.totals["rows"] == len(found.rows)


@pytest.mark.parametrize("name", EVERY)
def test_each_question_is_a_sentence_asked_once(name: str) -> None:
    questions = read(name).questions
    assert len({each.key for each in questions}) == len(questions)
    assert [each.importance for each in questions] == sorted((each.importance for each in questions), reverse=True)
    for each in questions:
        assert each.text[-1] in ".?" or each.code in ("ENCODING", "SPLIT")
        assert "{" not in each.text
        assert (
            not each.guess
            or not each.choices
            or each.guess in {value for value, _ in each.choices}
            or each.code == "CURRENCY"
        )


def test_the_same_list_read_again_says_the_same() -> None:
    name = "dockside.xlsx"
    again = draft((HERE / name).read_bytes(), name, day_first=True, currency="GBP", today=date(2026, 7, 9))
    assert again == read(name)


def test_personal_columns_are_dropped_and_said() -> None:
    columns = {column.heading: column for column in read("mill-street.xlsx").columns}
    assert columns["Home address"].personal and columns["Home address"].hidden and not columns["Home address"].samples
    assert "Teasel" not in read("mill-street.xlsx").to_json()


def test_sheets_set_aside_are_named() -> None:
    sheets = {sheet.name: sheet for sheet in read("dockside.xlsx").sheets}
    assert sheets["codes"].hidden and not sheets["codes"].read
    assert "not-a-real-password" not in read("dockside.xlsx").to_json()
    assert sheets["Kit"].header_row == 1 and sheets["Kit"].read


def test_remarks_go_to_the_row_above_and_bind_it() -> None:
    rows = {row.row: row for row in read("weir-lane.csv").rows}
    assert rows[43].fields["do_not_sell"] and "BOUND" in rows[43].flags
    assert rows[44].verdict == LEFT_OUT
    assert any("DO NOT SELL" in note for note in rows[43].notes)


def test_colors_are_asked_once_a_color() -> None:
    colors = [each for each in read("mill-street.xlsx").questions if each.code == "COLOR"]
    assert sorted(each.text.split("mean")[0] for each in colors) == [
        "What does a yellow background ",
        "What does red text ",
    ]
