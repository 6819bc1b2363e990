"""A list is taken in as one act, comes again without doubling, and is taken back by one button."""

from pathlib import Path

import pytest

from inventory.models import AskedQuestion, Piece, Place, Source, SourceRow, Twin
from inventory.services.intake import bring, map_columns, take_in, take_in_source
from people.models import Act
from people.services import record
from people.services.undo import undo

SHEETS = Path(__file__).resolve().parents[2] / "fixtures" / "demo" / "sheets"
PLAIN = """Item;Maker;Model;Serial;Qty;Place;Paid
Stage box;Ostwick;S16;OS-1001;1;Rack;250.00
Stage box;Ostwick;S16;OS-1002;1;Rack;250.00
Music stand;Plinthwork;M2;;4;Store;10.00
Lectern lamp;Lumbric;L1;LL-77;1;Front;15.00
"""


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def site(make):
    return make.site(code="MS", name="Mill Street")


def take(cast, text, site=None, name="list.csv", **more):
    data = text if isinstance(text, bytes) else text.encode()
    return take_in(ministry=cast.ministry, by=cast.lead, name=name, data=data, site=site, **more)


def stood(model):
    return {row.pk: row.tracked_values() for row in model.objects.all()}


def test_a_plain_list_becomes_pieces_with_tags_places_and_rows(cast, site):
    source = take(cast, PLAIN, site)
    pieces = list(Piece.objects.order_by("tag_number"))
    assert [piece.what for piece in pieces] == ["Stage box", "Stage box", "Music stand", "Lectern lamp"]
    assert [piece.serial_key for piece in pieces[:2]] == ["0S1001", "0S1002"]
    assert len({piece.tag for piece in pieces}) == 4
    assert (pieces[2].quantity, pieces[2].is_lot) == (4, True)
    assert pieces[0].place.name == "Rack" and pieces[0].place.site == site
    assert pieces[0].found_at == site
    assert pieces[0].paid_minor == 25000
    assert Place.objects.filter(site=site).count() == 3
    assert SourceRow.objects.filter(source=source, piece__isnull=False).count() == 4
    assert source.taken_in.kind == "intake"
    assert Act.objects.filter(kind__startswith="intake").count() == 1


def test_taking_it_back_leaves_nothing(cast, site):
    before = {model: stood(model) for model in (Piece, Place, SourceRow, AskedQuestion, Twin, Source)}
    source = take(cast, (SHEETS / "weir-lane.csv").read_bytes(), site, name="weir-lane.csv")
    assert Piece.objects.count() > 40 and AskedQuestion.objects.exists() and Twin.objects.exists()
    undo(act=source.taken_in, by=cast.lead)
    assert {model: stood(model) for model in before} == before


def test_a_list_only_looked_at_changes_no_piece(cast, site):
    source = bring(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    assert source.taken_in is None and not Piece.objects.exists() and not Place.objects.exists()
    again = bring(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    assert again.pk == source.pk


def test_the_same_list_again_changes_nothing(cast, site):
    take(cast, PLAIN, site)
    before, places = stood(Piece), stood(Place)
    again = take(cast, PLAIN, site)
    assert (again.rows_new, again.rows_changed) == (0, 0)
    assert stood(Piece) == before and stood(Place) == places
    assert not Twin.objects.exclude(first__tag__in=["x"]).filter(second__source_rows__source=again, bits__lt=0).exists()


@pytest.mark.parametrize("name", ["weir-lane.csv", "mill-street.xlsx", "dockside.xlsx"])
def test_a_messy_list_again_changes_nothing(cast, site, name):
    data = (SHEETS / name).read_bytes()
    take(cast, data, site, name=name)
    before, questions = stood(Piece), AskedQuestion.objects.count()
    again = take(cast, data, site, name="the same, renamed.csv" if name.endswith("csv") else "renamed.xlsx")
    assert (again.rows_new, again.rows_changed) == (0, 0)
    assert stood(Piece) == before
    assert AskedQuestion.objects.count() == questions


def test_an_edited_list_changes_only_what_changed(cast, site):
    take(cast, PLAIN, site)
    edited = PLAIN.replace("OS-1001;1;Rack;250.00", "OS-1001;1;Cupboard;240.00").replace(
        "Lectern lamp;", "Desk fan;Corvane;F9;F-1;1;Front;5.00\nLectern lamp;"
    )
    again = take(cast, edited, site, name="list v2.csv")
    assert (again.rows_new, again.rows_changed) == (1, 1)
    assert Piece.objects.count() == 5
    changed = Piece.objects.get(serial="OS-1001")
    assert (changed.paid_minor, changed.place.name, changed.place_words) == (24000, "Cupboard", "Cupboard")
    assert Piece.objects.filter(version=1).count() == 4


def test_a_value_somebody_changed_here_stays(cast, site):
    take(cast, PLAIN, site)
    piece = Piece.objects.get(serial="LL-77")
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Renamed."):
        record.change(piece, paid_minor=1)
    take(cast, PLAIN.replace("15.00", "16.00").replace("LL-77;1", "LL-77;2"), site)
    piece.refresh_from_db()
    assert (piece.paid_minor, piece.quantity) == (1, 2)


def test_a_row_that_went_keeps_its_piece(cast, site):
    take(cast, PLAIN, site)
    shorter = PLAIN.rpartition("Lectern")[0]
    again = take(cast, shorter, site)
    assert again.rows_new == 0 and Piece.objects.count() == 4


def test_foreign_money_keeps_its_currency_and_is_not_converted(cast, site):
    text = "Item,Maker,Price paid\nCamera,Dunmere,€900\nCamera lens,Dunmere,$80\n"
    take(cast, text, site)
    camera, lens = Piece.objects.order_by("tag_number")
    assert (camera.paid_minor or camera.resale_minor, camera.price_currency) == (90000, "EUR")
    assert (lens.paid_minor or lens.resale_minor, lens.price_currency) == (8000, "")


def test_a_radio_band_is_kept_in_kilohertz(cast, site):
    take(cast, "Item,Maker,Model,Remarks\nRadio handheld,Quillmark,Q2,740 to 764 MHz\nCable,Halvane,C1,\n", site)
    radio = Piece.objects.get(model="Q2")
    assert (radio.radio_low_khz, radio.radio_high_khz) == (740000, 764000)


def test_a_known_place_is_found_and_a_slip_of_it_is_asked(cast, make, site):
    known = make.place(site=site, code="MS-VC", name="Vestry cupboard")
    rows = (
        "Item,Maker,Model,Place",
        "Amp,Gadsworth,A1,vestry CUPBOARD",
        "Amp,Gadsworth,A2,Vestry cupbord",
        "Fan,Corvane,F1,Loft",
    )
    text = "\n".join(rows)
    take(cast, text, site)
    first, second, third = Piece.objects.order_by("tag_number")
    assert first.place == known
    assert second.place is None and second.place_words == "Vestry cupbord"
    assert third.place.name == "Loft"
    asked = AskedQuestion.objects.get(code="WHICH_PLACE")
    assert asked.guess == str(known.uid)


def test_a_heading_put_right_is_remembered_for_the_next_list_of_the_sender(cast, site):
    text = "Item,Maker,Kubb,Qty\nAmp,Gadsworth,A1,1\nMixer,Ostwick,N4,2\n"
    source = bring(ministry=cast.ministry, by=cast.lead, name="a.csv", data=text.encode(), site=site, from_words="Joan")
    map_columns(source=source, by=cast.lead, chosen={("", "C"): "model"})
    take_in_source(source=source, by=cast.lead)
    assert list(Piece.objects.order_by("id").values_list("what", "model")) == [("Amp", "A1"), ("Mixer", "N4")]
    other = "Item,Kubb,Maker,Qty\nLamp,L9,Lumbric,1\n"
    take(cast, other, site, name="b.csv", from_words="Joan")
    lamp = Piece.objects.get(maker="Lumbric")
    assert (lamp.what, lamp.model) == ("Lamp", "L9")


def test_one_of_our_own_tags_with_its_check_letter_changes_that_piece(cast, site):
    take(cast, PLAIN, site)
    lamp = Piece.objects.get(serial="LL-77")
    text = f"Tag,Item,Serial,Condition\n{lamp.tag},Lectern lamp,LL-77,faulty\n"
    again = take(cast, text, site, name="from verger.csv")
    lamp.refresh_from_db()
    assert (again.rows_new, again.rows_changed, lamp.condition) == (0, 1, "faulty")


def test_three_messy_lists_give_twins_across_them(cast, make):
    sites = {code: make.site(code=code, name=code) for code in ("WL", "MS", "DU")}
    for name, code in (("weir-lane.csv", "WL"), ("mill-street.xlsx", "MS"), ("dockside.xlsx", "DU")):
        take(cast, (SHEETS / name).read_bytes(), sites[code], name=name)
    across = [
        twin for twin in Twin.objects.select_related("first", "second") if twin.first.found_at != twin.second.found_at
    ]
    assert across and all(twin.ruling == "open" and twin.evidence for twin in across)
    assert Piece.objects.filter(merged_into__isnull=False).count() == 0


def test_a_list_sent_twice_by_an_impatient_finger_is_taken_in_once(cast, site):
    source = bring(ministry=cast.ministry, by=cast.lead, name="l.csv", data=PLAIN.encode(), site=site)
    same = Source.objects.get(pk=source.pk)
    take_in_source(source=source, by=cast.lead)
    take_in_source(source=same, by=cast.lead)
    assert Piece.objects.count() == 4 and same.taken_in == source.taken_in
