"""`manage.py intake`: without a church and without a database it only reads; with a church it takes in."""

import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from inventory.models import Piece, Source, Twin

SHEETS = Path(__file__).resolve().parents[2] / "fixtures" / "demo" / "sheets"
ALL = [str(SHEETS / name) for name in ("weir-lane.csv", "mill-street.xlsx", "dockside.xlsx")]


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def run(*args):
    out = io.StringIO()
    call_command("intake", *args, stdout=out, stderr=io.StringIO())
    return out.getvalue()


def test_a_dry_run_as_json_needs_no_church_and_no_database():
    found = json.loads(run(*ALL, "--dry-run", "--json"))
    assert {"pieces", "questions"} == set(found)
    wanted = {"source_file", "source_sheet", "source_row", "what", "maker", "model", "serial", "quantity", "condition"}
    wanted |= {"year", "price_minor", "currency", "place", "note", "flags"}
    assert all(wanted <= set(piece) for piece in found["pieces"])
    assert all({"file", "code"} == set(question) for question in found["questions"])


def test_pound_signs_say_the_currency_without_a_church():
    found = json.loads(run(ALL[0], "--dry-run", "--json"))
    assert {piece["currency"] for piece in found["pieces"]} - {""} == {"GBP"}


def test_several_files_are_compared_for_twins():
    alone = json.loads(run(ALL[1], "--dry-run", "--json"))
    together = json.loads(run(*ALL, "--dry-run", "--json"))

    def twins_elsewhere(found):
        return [
            flag
            for piece in found["pieces"]
            for flag in piece["flags"]
            if flag.startswith("TWIN@") and not flag.startswith(f"TWIN@{piece['source_file']}")
        ]

    assert not twins_elsewhere(alone) and twins_elsewhere(together)


def test_a_dry_run_in_words_says_each_row(capsys):
    told = run(ALL[0], "--dry-run")
    assert told.startswith("weir-lane.csv: ") and "needs a word from you" in told


def test_lists_are_taken_into_a_church_and_compared(cast, make):
    make.site(code="WL", name="Weir Lane Chapel")
    run(ALL[0], "--ministry", "first", "--site", "wl")
    assert Source.objects.get().site.code == "WL" and Piece.objects.count() > 40
    run(*ALL[1:], "--ministry", "first")
    assert Source.objects.count() == 3 and Twin.objects.exists()


def test_one_bad_file_among_several_takes_nothing_in(cast, tmp_path):
    bad = tmp_path / "bad.xlsx"
    bad.write_bytes(b"<html></html>")
    with pytest.raises(CommandError):
        run(ALL[0], str(bad), "--ministry", "first")
    assert not Source.objects.exists() and not Piece.objects.exists()


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["--ministry", "nowhere"], "There is no church"),
        (["--ministry", "first", "--site", "XX"], "There is no site"),
        ([], "Say which church"),
    ],
)
def test_what_is_missing_is_said(cast, args, says):
    with pytest.raises(CommandError, match=says):
        run(ALL[0], *args)


def test_a_file_that_is_not_there_is_said(tmp_path):
    with pytest.raises(CommandError, match="cannot be read"):
        run(str(tmp_path / "none.csv"), "--dry-run")
