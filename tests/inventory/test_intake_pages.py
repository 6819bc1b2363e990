"""The pages of the intake: each opens with its sentence, is for lead and coach, and costs the same for any length."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.compute.intake.draft import ASK, CHANGES, LEFT_OUT, NEW
from inventory.models import AskedQuestion, Piece, Source, SourceRow, Twin
from inventory.services.intake import bring, count_sentence, take_in
from people.roles import Role

SHEETS = Path(__file__).resolve().parents[2] / "fixtures" / "demo" / "sheets"
PLAIN = "Item;Maker;Model;Serial;Qty\nStage box;Ostwick;S16;OS-1;1\nMixer;Ostwick;N16;ON-1;1\n"


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def site(make):
    return make.site(code="WL", name="Weir Lane Chapel")


def at(name, **kwargs):
    return reverse(name, kwargs={"ministry": "first", **kwargs})


def page(response):
    return BeautifulSoup(response.content, "html.parser")


def heading(response):
    found = page(response).find_all("h1")
    assert len(found) == 1
    return found[0].get_text(" ", strip=True)


def messy(name="weir-lane.csv"):
    return SimpleUploadedFile(name, (SHEETS / name).read_bytes())


@pytest.fixture
def waiting(cast, site):
    data = (SHEETS / "weir-lane.csv").read_bytes()
    return bring(ministry=cast.ministry, by=cast.lead, name="weir-lane.csv", data=data, site=site)


def test_a_list_is_brought_looked_at_taken_in_and_taken_back(cast, site):
    client = cast.client()
    brought = client.post(at("intake"), {"files": messy(), "site": site.pk})
    source = Source.objects.get()
    assert brought["Location"] == at("intake-dry-run", uid=source.uid)
    look = client.get(brought["Location"])
    assert "rows:" in heading(look) and "new to us" in heading(look)
    assert Piece.objects.count() == 0
    taken = client.post(at("source-take-in", uid=source.uid), follow=True)
    said = heading(taken)
    assert f"{Piece.objects.count()} pieces" in said
    assert "possible twin" in said and "not legal here" in said and "in doubt" in said
    source.refresh_from_db()
    client.post(reverse("undo", kwargs={"ministry": "first", "act": source.taken_in_id}))
    assert Piece.objects.count() == 0


def test_the_first_sentence_counts_the_rows_by_verdict(cast, waiting):
    response = cast.client().get(at("intake-dry-run", uid=waiting.uid))
    plan = response.context["plan"]
    counts = plan.counts
    assert sum(counts.values()) == len(plan.rows)
    for count in counts.values():
        assert str(count) in heading(response)


def test_every_row_of_the_dry_run_has_its_reason(cast, waiting):
    response = cast.client().get(at("intake-dry-run", uid=waiting.uid), {"only": "asks"})
    assert response.context["leaf"] and all(line.reason for line in response.context["leaf"])


def test_each_column_shows_its_meaning_and_five_cells_at_most(cast, waiting):
    shown = page(cast.client().get(at("intake-dry-run", uid=waiting.uid)))
    selects = shown.select("form[action$='columns/'] select")
    assert len(selects) >= 8
    assert all(select.find("option", selected=True) for select in selects)


def test_a_column_put_right_is_read_again(cast, site):
    source = bring(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    client = cast.client()
    form = client.get(at("intake-dry-run", uid=source.uid)).context["form"]
    model = next(n for n, column in enumerate(form.columns) if column.heading == "Model")
    client.post(at("intake-columns", uid=source.uid), {f"c{model}": "note"})
    client.post(at("source-take-in", uid=source.uid))
    assert {piece.model for piece in Piece.objects.all()} == {""}
    assert "S16" in Piece.objects.get(serial="OS-1").note


def test_pasted_rows_are_read_with_their_tabs(cast, site):
    text = PLAIN.replace(";", "\t")
    response = cast.client().post(at("intake"), {"pasted": text, "site": site.pk})
    assert response.status_code == 302
    cast.client().post(at("source-take-in", uid=Source.objects.get().uid))
    assert Piece.objects.get(serial="OS-1").model == "S16"


def test_several_lists_at_once_wait_side_by_side(cast, site):
    files = [messy("weir-lane.csv"), messy("dockside.xlsx")]
    response = cast.client().post(at("intake"), {"files": files}, follow=True)
    assert "2 lists wait" in heading(response).replace("0 lists are in, ", "") or "2 wait" in heading(response)


def test_the_same_list_again_says_how_many_rows_changed(cast, site):
    take_in(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    client = cast.client()
    response = client.post(at("intake"), {"files": SimpleUploadedFile("l.csv", PLAIN.encode())}, follow=True)
    assert "The same list again: 0 rows changed." in page(response).get_text(" ", strip=True)


def test_nothing_brought_is_said(cast):
    response = cast.client().post(at("intake"), {})
    assert response.status_code == 422
    assert "Choose a file" in page(response).get_text()


def test_too_large_a_file_is_refused_with_the_reason(cast, monkeypatch):
    monkeypatch.setattr("inventory.forms.intake.MAX_BYTES", 1000)
    response = cast.client().post(at("intake"), {"files": SimpleUploadedFile("l.csv", b"x" * 1001)})
    assert response.status_code == 422
    assert "Photographs" in page(response).get_text()
    assert not Source.objects.exists()


def test_a_waiting_list_can_be_set_aside(cast, waiting):
    cast.client().post(at("source-set-aside", uid=waiting.uid))
    assert not Source.objects.exists()


def test_questions_come_ten_at_a_time_with_their_guess(cast, site):
    data = (SHEETS / "mill-street.xlsx").read_bytes()
    take_in(ministry=cast.ministry, by=cast.lead, name="mill-street.xlsx", data=data, site=site)
    client = cast.client()
    response = client.get(at("questions"))
    left = AskedQuestion.objects.filter(answer="").count()
    assert heading(response).startswith(f"{left} questions")
    lines = response.context["lines"]
    assert len(lines) == 10
    first = lines[0].question
    value = first.choices[0][0] if first.choices else "Bob"
    client.post(at("question-answer"), {f"q{first.pk}": value, "only": str(first.uid)})
    first.refresh_from_db()
    assert first.answer == value


def test_all_answers_on_the_page_are_one_act(cast, site):
    data = (SHEETS / "weir-lane.csv").read_bytes()
    take_in(ministry=cast.ministry, by=cast.lead, name="weir-lane.csv", data=data, site=site)
    client = cast.client()
    lines = client.get(at("questions")).context["lines"]
    sent = {f"q{line.question.pk}": line.question.choices[0][0] for line in lines if line.question.choices}
    client.post(at("question-answer"), {**sent, "only": ""})
    acts = {q.history.latest("history_id").act_id for q in AskedQuestion.objects.exclude(answer="")}
    assert len(acts) == 1


def test_no_answer_chosen_is_said(cast, site):
    response = cast.client().post(at("question-answer"), {"only": ""})
    assert response.status_code == 422


@pytest.fixture
def pair(cast, site, make):
    there = make.site(code="DU", name="Dockside")
    for name, where in (("a.csv", site), ("b.csv", there)):
        take_in(ministry=cast.ministry, by=cast.lead, name=name, data=PLAIN.encode() + name.encode(), site=where)
    return Twin.objects.filter(first__serial="OS-1", second__serial="OS-1").get()


def test_twins_show_both_rows_and_are_ruled_on(cast, pair):
    client = cast.client()
    response = client.get(at("twins"))
    assert heading(response).startswith(f"{Twin.objects.count()} pair")
    assert "a.csv" in response.content.decode() and "b.csv" in response.content.decode()
    client.post(at("twin-rule", uid=pair.uid), {"ruling": "one"})
    assert Piece.objects.filter(merged_into__isnull=False).count() == 1
    assert "are one piece" in heading(client.get(at("twin", uid=pair.uid)))
    client.post(at("twin-unmerge", uid=pair.uid))
    assert Piece.objects.filter(merged_into__isnull=False).count() == 0


@pytest.mark.parametrize("role", [Role.CREW, Role.LEADERSHIP, Role.TREASURER, Role.READER])
def test_others_may_not_take_lists_in(cast, waiting, role):
    client = cast.client(role)
    assert client.get(at("intake")).status_code == 403
    assert client.get(at("intake-dry-run", uid=waiting.uid)).status_code == 403
    assert client.post(at("source-take-in", uid=waiting.uid)).status_code == 403
    assert client.get(at("questions")).status_code == 403
    assert client.get(at("twins")).status_code == 403


def test_a_stranger_finds_nothing(cast, waiting, pair):
    client = cast.client(cast.stranger)
    for name in ("intake", "sources", "questions", "twins"):
        assert client.get(at(name)).status_code == 404
    elsewhere = reverse("intake-dry-run", kwargs={"ministry": "elsewhere", "uid": waiting.uid})
    assert client.get(elsewhere).status_code == 404
    twin_elsewhere = reverse("twin-rule", kwargs={"ministry": "elsewhere", "uid": pair.uid})
    assert client.post(twin_elsewhere, {"ruling": "one"}).status_code == 404


def longer(cast, site, rows, name):
    text = "Item;Maker;Model;Serial;Qty\n" + "".join(f"Lamp;Lumbric;L{n};{name}-{n};1\n" for n in range(rows))
    take_in(ministry=cast.ministry, by=cast.lead, name=name, data=text.encode(), site=site)


def test_the_pages_cost_the_same_for_few_rows_and_for_many(cast, site, same_queries):
    longer(cast, site, 3, "short.csv")
    same_queries(cast.client(), at("sources"), lambda: longer(cast, site, 30, "long.csv"))
    same_queries(cast.client(), at("twins"), lambda: longer(cast, site, 9, "more.csv"))


def test_the_dry_run_costs_the_same_for_few_rows_and_for_many(cast, site, django_assert_max_num_queries):
    sources = []
    for rows in (3, 60):
        text = "Item;Maker;Serial;Qty\n" + "".join(f"Lamp {n};Lumbric;D{rows}-{n};1\n" for n in range(rows))
        sources.append(bring(ministry=cast.ministry, by=cast.lead, name=f"{rows}.csv", data=text.encode(), site=site))
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    counts = []
    for source in sources:
        with CaptureQueriesContext(connection) as asked:
            assert cast.client().get(at("intake-dry-run", uid=source.uid)).status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("role", [Role.CREW, Role.READER])
def test_rows_as_they_were_written_are_not_for_those_who_see_no_prices(cast, site, role):
    take_in(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    assert SourceRow.objects.visible_to(cast.viewer(Role.LEAD)).count() == 2
    for model in (Source, SourceRow, AskedQuestion):
        assert not model.objects.visible_to(cast.viewer(role)).exists()


@pytest.mark.parametrize(
    ("counts", "told"),
    [
        ((8, 0, 7, 3), "18 rows: 8 new to us, 7 need a word from you, 3 left out."),
        ((1, 1, 1, 0), "3 rows: 1 new to us, 1 changes one we have, 1 needs a word from you."),
        ((0, 0, 0, 0), "No row could be read."),
    ],
)
def test_the_count_of_rows_is_told_without_noughts(counts, told):
    by_verdict = dict(zip((NEW, CHANGES, ASK, LEFT_OUT), counts, strict=True))
    assert count_sentence(by_verdict) == told


def test_what_a_list_came_to_says_no_for_none_and_names_radios_to_retune(cast, make, site):
    """Source: 47 CFR 15.236 and 74.802: 614-616 MHz stays open, 617-652 MHz was auctioned off."""
    sheet = b"Item,Maker,Model,Qty\nWireless handheld 614-638 MHz,Quillmark,QL-6,1\nLamp,Lumbric,L9,1\n"
    source = bring(ministry=cast.ministry, by=cast.lead, name="a.csv", data=sheet, site=site)
    taken = cast.client().post(at("source-take-in", uid=source.uid), follow=True)
    assert heading(taken).startswith(
        "2 pieces, no possible twins, no radios not legal here, 1 radio to retune or replace,"
    )
