"""Files that must not hurt: a sentence within seconds, bounded memory, and nothing changed.

What makes each of them dangerous is common knowledge of archive and XML handling; the far corner is the largest cell of
ISO/IEC 29500 spreadsheets (XFD1048576).
"""

import time
from datetime import date

import pytest
from bs4 import BeautifulSoup
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse

from inventory.compute.intake import Unreadable
from inventory.models import Piece, Place, Source
from inventory.services.intake_child import Reading, read_list
from people.models import Act
from tests.inventory.hostile_files import REFUSED, STRANGE

SECONDS = 20  # far above what is needed: other work may share the machine


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "files"


def reading(name):
    return Reading(name, day_first=False, currency="USD", today=date(2026, 11, 3))


def address(name):
    return reverse(name, kwargs={"ministry": "first"})


def nothing_changed():
    return not (Source.objects.exists() or Piece.objects.exists() or Place.objects.exists() or Act.objects.exists())


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_nothing_can_be_taken_from_is_refused_in_words_on_the_page(cast, name):
    data = REFUSED[name]()
    began = time.monotonic()
    response = cast.client().post(address("intake"), {"files": SimpleUploadedFile(name, data)})
    assert time.monotonic() - began < SECONDS
    assert response.status_code == 422
    told = BeautifulSoup(response.content, "html.parser").select_one(".errorlist").get_text(" ", strip=True)
    assert told.endswith(".") and len(told) > 20
    assert "Traceback" not in told
    assert nothing_changed()


@pytest.mark.parametrize("name", REFUSED)
def test_the_command_refuses_it_too(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(REFUSED[name]())
    with pytest.raises(CommandError) as told:
        call_command("intake", str(path), "--dry-run", "--json")
    assert str(told.value).endswith(".")


@pytest.mark.parametrize("name", STRANGE)
def test_a_strange_file_is_read_rightly_or_refused_in_words(name):
    data = STRANGE[name]()
    began = time.monotonic()
    try:
        found = read_list(data, reading(name))
    except Unreadable as told:
        assert told.sentence.endswith(".") and told.code != "broke"
    else:
        assert "S-1001" in {row.fields.get("serial") for row in found.rows}
    assert time.monotonic() - began < SECONDS


def test_cells_that_begin_like_formulas_stay_text(cast):
    text = b"Item,Maker,Serial\n=1+1,Ostwick,S-1001\n+cmd|x,Ostwick,S-1002\n@sum,Ostwick,S-1003\n"
    client = cast.client()
    client.post(address("intake"), {"files": SimpleUploadedFile("f.csv", text)})
    client.post(reverse("source-take-in", kwargs={"ministry": "first", "uid": Source.objects.get().uid}))
    assert Piece.objects.get(serial="S-1001").what == "=1+1"


def test_more_rows_than_can_be_read_are_refused_or_read_within_bounds():
    head = ",".join(f"Col{n}" for n in range(28))
    line = ",".join(["Stage box", "S-1", *["x"] * 28])
    data = ("Item,Serial," + head + "\n" + (line + "\n") * 200_000).encode()
    began = time.monotonic()
    with pytest.raises(Unreadable) as told:
        read_list(data, reading("long.csv"))
    assert told.value.code not in ("broke", "too_long")
    assert time.monotonic() - began < SECONDS


def test_a_reader_that_hangs_is_stopped(monkeypatch):
    monkeypatch.setattr("inventory.services.intake_child.MODULE", "timeit")  # reads nothing, answers nothing of ours
    with pytest.raises(Unreadable) as told:
        read_list(b"Item\nx\n", reading("x.csv"))
    assert told.value.code == "broke"
    monkeypatch.setattr("inventory.services.intake_child.MODULE", "tests.inventory.endless_reader")
    began = time.monotonic()
    with pytest.raises(Unreadable) as told:
        read_list(b"Item\nx\n", reading("x.csv"), seconds=1.5)
    assert told.value.code == "too_long"
    assert time.monotonic() - began < SECONDS


def test_a_reader_without_memory_says_so():
    rows = "".join(f"Lamp {n},Lumbric,L{n},S-{n},1,remark {n}\n" for n in range(25_000))
    with pytest.raises(Unreadable) as told:
        read_list(("Item,Maker,Model,Serial,Qty,Note\n" + rows).encode(), reading("big.csv"), megabytes=90)
    assert told.value.code in ("too_much", "broke")


def test_control_characters_never_reach_the_list(cast):
    text = "Item,Maker,Serial\nStage\x00 box\x07,Ost\u202ewick,S-1001\n".encode()
    client = cast.client()
    client.post(address("intake"), {"files": SimpleUploadedFile("f.csv", text)})
    client.post(reverse("source-take-in", kwargs={"ministry": "first", "uid": Source.objects.get().uid}))
    piece = Piece.objects.get()
    assert piece.what == "Stage box" and piece.maker == "Ostwick"
