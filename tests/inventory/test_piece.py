"""A piece's page and what is written on it: changes of two people, moves, checks, lots, needs, taking off the list."""

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from inventory.models import Account, Check, Move, NeedsLink, Piece, PieceFact, Source, SourceRow
from inventory.services.pieces import CannotSplit, add_piece, change_piece, split_lot
from inventory.words import Condition, Fate
from people.models import Act
from people.roles import Role
from people.services.merging import Clashed
from people.services.undo import undo


def url(name, piece):
    return reverse(name, args=[piece.ministry.slug, piece.uid])


def form_of(piece, **given):
    same = {"what": piece.what, "area": piece.area, "quantity": piece.quantity, "bond": piece.bond}
    return same | {"maker": piece.maker, "note": piece.note, "base_version": piece.version} | given


def text_of(answer):
    return BeautifulSoup(answer.content, "html.parser").get_text(" ", strip=True)


def test_the_first_sentence_says_what_where_how_and_what_becomes_of_it(cast, make):
    hall = make.place(name="Loft", site=make.site(name="The school, Elm Street"))
    piece = make.piece(
        what="Mic", place=hall, condition=Condition.GOOD, fate=Fate.STAND_IN, fate_until="S12", next_fate="sell"
    )
    html = BeautifulSoup(cast.client().get(piece.get_absolute_url()).content, "html.parser")
    assert html.h1.get_text() == "Mic, tested good, in Loft of The school: stand-in until S12, then sell."


def test_needs_are_told_both_ways_and_what_is_missing_is_named(cast, make):
    lamp = make.piece(what="Lamp", fate=Fate.USE)
    dimmer = make.piece(what="Dimmer", condition=Condition.DEAD)
    make.add(NeedsLink, piece=lamp, needs=dimmer, why="dims it")
    said = text_of(cast.client().get(lamp.get_absolute_url()))
    assert f"It cannot work without {dimmer} (dead)." in said
    said = text_of(cast.client().get(dimmer.get_absolute_url()))
    assert f"If it goes, this cannot work any more: {lamp}." in said


def test_the_page_costs_the_same_whatever_hangs_on_the_piece(cast, make, same_queries):
    piece = make.piece(place=make.place(), goes_to=make.place(), owner=make.person())
    source = make.add(Source, name="list.csv", sha256="0" * 64)

    def more():
        for n in range(20):
            make.add(NeedsLink, piece=piece, needs=make.piece())
            make.add(NeedsLink, piece=make.piece(), needs=piece)
            make.add(Check, piece=piece, on="2026-10-01", condition="faulty", by=make.person())
            make.add(Move, piece=piece, on="2026-10-02", from_place=make.place(), to_place=make.place())
            make.add(PieceFact, piece=piece, key=f"k{n}", value="1")
            make.add(SourceRow, source=source, row=n, verdict="new to us", piece=piece)

    more_once = make.add(NeedsLink, piece=piece, needs=make.piece())
    assert more_once
    make.add(Account, key="A1", kind="x", what="Words", runs_on=piece)
    make.add(SourceRow, source=source, row=99, verdict="new to us", piece=piece)
    same_queries(cast.client(), piece.get_absolute_url(), more)


def test_cautions_stand_with_what_can_hurt(cast, make):
    said = text_of(cast.client().get(make.piece(what="Chain hoist", condition=Condition.UNSAFE).get_absolute_url()))
    assert "take it out of use" in said and "qualified rigger" in said
    said = text_of(cast.client().get(make.piece(what="Battery back-up unit").get_absolute_url()))
    assert "swollen" in said
    said = text_of(cast.client().get(make.piece(what="Desk", watts=40, condition="faulty").get_absolute_url()))
    assert "local code decides" in said
    assert "Before anyone touches" not in text_of(cast.client().get(make.piece(what="Music stand").get_absolute_url()))


def test_fields_only_one_of_two_people_touched_are_both_kept(cast, make):
    piece = make.piece(what="Desk", maker="Old")
    shown = form_of(piece)
    change_piece(piece=piece, by=cast.lead, base_version=1, maker="Brindlow")
    answer = cast.client(Role.CREW).post(url("piece-edit", piece), shown | {"note": "scratched"})
    assert answer.status_code == 302
    piece.refresh_from_db()
    assert (piece.maker, piece.note, piece.version) == ("Brindlow", "scratched", 3)


def test_a_field_both_touched_is_put_to_the_second_with_all_they_typed(cast, make):
    piece = make.piece(what="Desk", maker="Old")
    shown = form_of(piece)
    change_piece(piece=piece, by=cast.lead, base_version=1, maker="Theirs")
    typed = shown | {"maker": "Mine", "note": "typed"}
    client = cast.client(Role.CREW)
    answer = client.post(url("piece-edit", piece), typed)
    html = BeautifulSoup(answer.content, "html.parser")
    assert answer.status_code == 409
    assert html.select_one("[name=note]").get_text(strip=True) == "typed"
    assert html.select_one("[name=maker]")["value"] == "Mine"
    assert [each["value"] for each in html.select("[name=keep-maker]")] == ["theirs", "mine"]
    kept_at = html.select_one("[name=kept_at]")["value"]
    chosen = typed | {"kept_at": kept_at, "keep-maker": "theirs"}
    assert client.post(url("piece-edit", piece), chosen).status_code == 302
    piece.refresh_from_db()
    assert (piece.maker, piece.note) == ("Theirs", "typed")


def test_a_choice_made_before_the_row_moved_on_again_is_asked_again(cast, make):
    piece = make.piece(maker="Old")
    change_piece(piece=piece, by=cast.lead, base_version=1, maker="Second")
    change_piece(piece=piece, by=cast.lead, base_version=2, maker="Third")
    with pytest.raises(Clashed) as clash:
        change_piece(piece=piece, by=cast.lead, base_version=1, chosen={"maker": "mine"}, chosen_at=2, maker="Mine")
    assert (clash.value.clashes[0].was, clash.value.clashes[0].theirs) == ("Old", "Third")
    change_piece(piece=piece, by=cast.lead, base_version=1, chosen={"maker": "mine"}, chosen_at=3, maker="Mine")
    assert Piece.objects.get(pk=piece.pk).maker == "Mine"


def test_a_changed_name_and_serial_change_what_is_searched(cast, make):
    piece = make.piece()
    change_piece(piece=piece, by=cast.lead, what="Écran", serial="s/n: ko-1")
    piece.refresh_from_db()
    assert piece.sort_key == "ecran"
    assert "ecran" in piece.search_key
    assert piece.serial_key == "K01"


def test_mass_is_read_as_the_country_writes_it_and_comes_back_to_the_gram(cast, make):
    piece = make.piece(mass_g=18_143)
    page = BeautifulSoup(cast.client().get(url("piece-edit", piece)).content, "html.parser")
    written = page.select_one("[name=mass_g]")["value"]
    assert written == "39.998"  # pounds of 453.59237 g: international yard and pound agreement, 1959
    cast.client().post(url("piece-edit", piece), form_of(piece, mass_g=written, note="x"))
    piece.refresh_from_db()
    assert (piece.mass_g, piece.note) == (18_143, "x")


def test_a_move_and_a_check_leave_a_trace_and_change_what_is_so(cast, make):
    piece, place = make.piece(), make.place(name="Loft")
    client = cast.client(Role.CREW)
    client.post(url("piece-move", piece), {"to_place": place.pk, "on": "2026-11-02"})
    client.post(url("piece-check", piece), {"condition": "faulty", "depth": "power-on", "on": "2026-11-03"})
    piece.refresh_from_db()
    assert (piece.place, piece.condition) == (place, "faulty")
    assert (Move.objects.get().to_place, Check.objects.get().condition) == (place, "faulty")
    answer = client.post(url("piece-check", piece), {"condition": "dead", "depth": "seen", "on": "2026-11-04"})
    assert answer.status_code == 422  # the fourth is still to come


def test_an_older_check_written_later_does_not_change_the_condition(cast, make):
    piece, client = make.piece(), cast.client()
    for condition, on in (("tested good", "2026-11-02"), ("faulty", "2026-09-01")):
        client.post(url("piece-check", piece), {"condition": condition, "depth": "seen", "on": on})
    piece.refresh_from_db()
    assert piece.condition == "tested good"


def test_some_of_a_lot_are_taken_out_with_their_share_and_their_links(cast, make):
    stand = make.piece()
    lot = make.piece(quantity=8, is_lot=True, resale_minor=1001, mass_g=8000, watts="80.0")
    make.add(NeedsLink, piece=lot, needs=stand)
    make.add(PieceFact, piece=lot, key="inputs", value="2")
    lot.refresh_from_db()
    made, act = split_lot(piece=lot, by=cast.lead, count=3, condition="dead")
    lot.refresh_from_db()
    assert (made.quantity, made.condition, lot.quantity, lot.condition) == (3, "dead", 5, "not yet tested")
    assert made.resale_minor + lot.resale_minor == 1001
    assert made.mass_g + lot.mass_g == 8000
    assert made.tag != lot.tag
    assert (made.needs_links.count(), made.facts.count()) == (1, 1)
    undo(act=act, by=cast.lead)
    lot.refresh_from_db()
    assert (lot.quantity, lot.resale_minor, Piece.objects.count()) == (8, 1001, 2)


@pytest.mark.parametrize("count", [0, -1, 4, 5])
def test_a_lot_is_never_emptied_by_taking_out(cast, make, count):
    lot = make.piece(quantity=4)
    with pytest.raises(CannotSplit):
        split_lot(piece=lot, by=cast.lead, count=count)


def test_tags_go_on_counting_past_merged_pieces(cast, make):
    make.piece(tag="G007-X", tag_number=7, merged_into=make.piece(tag="G001-X", tag_number=1))
    made, __ = add_piece(ministry=cast.ministry, by=cast.lead, what="Mic")
    assert made.tag.startswith("G008-")


def test_a_needs_link_is_written_by_tag_and_taken_back(cast, make):
    piece = make.piece()
    other, __ = add_piece(ministry=cast.ministry, by=cast.lead, what="Stand")
    client = cast.client()
    given = {"tag": other.tag.lower().replace("-", " "), "quantity": 1, "strength": "must"}
    assert client.post(url("needs-link-add", piece), given).status_code == 302
    link = piece.needs_links.get()
    assert link.needs == other
    assert client.post(url("needs-link-add", piece), given).status_code == 422
    assert client.post(url("needs-link-add", other), given).status_code == 422
    assert client.post(url("needs-link-add", piece), {"quantity": 1, "strength": "must"}).status_code == 422
    client.post(reverse("needs-link-remove", args=[cast.ministry.slug, link.uid]))
    assert not piece.needs_links.exists()


def test_only_the_lead_takes_a_piece_off_and_undo_brings_all_of_it_back(cast, make):
    piece = make.piece()
    account = make.add(Account, key="A1", kind="x", what="Words", runs_on=piece)
    make.add(Check, piece=piece, on="2026-10-01", condition="faulty")
    assert cast.client(Role.COACH).post(url("piece-remove", piece)).status_code == 403
    cast.client().post(url("piece-remove", piece))
    assert not Piece.objects.exists() and not Check.objects.exists()
    undo(act=Act.objects.latest("pk"), by=cast.lead)
    account.refresh_from_db()
    assert (account.runs_on, Check.objects.count()) == (Piece.objects.get(), 1)


def test_a_piece_others_were_merged_into_stays_with_a_sentence(cast, make):
    keeper = make.piece()
    make.piece(merged_into=keeper)
    answer = cast.client().post(url("piece-remove", keeper))
    assert answer.status_code == 409
    assert "take them apart again first" in text_of(answer)


@pytest.mark.parametrize(
    "name", ["piece-edit", "piece-move", "piece-check", "piece-split", "piece-photo-add", "needs-link-add"]
)
def test_who_may_write_and_who_may_not(cast, make, name):
    piece, theirs = make.piece(quantity=2), make.piece(ministry=cast.elsewhere)
    expected = dict.fromkeys((Role.LEAD, Role.COACH, Role.CREW), 200)
    for role in Role.values:
        assert cast.client(role).get(url(name, piece)).status_code == expected.get(role, 403), role
    assert cast.client(cast.stranger).get(url(name, piece)).status_code == 404
    assert cast.client().get(reverse(name, args=[cast.ministry.slug, theirs.uid])).status_code == 404


def test_a_place_of_another_church_is_no_choice(cast, make):
    theirs = make.place(ministry=cast.elsewhere)
    piece = make.piece()
    answer = cast.client().post(url("piece-move", piece), {"to_place": theirs.pk, "on": "2026-11-02"})
    assert answer.status_code == 422


def test_a_move_to_where_the_piece_stands_is_none_and_says_so(cast, make):
    place = make.place(name="Loft")
    piece = make.piece(place=place)
    answer = cast.client(Role.CREW).post(url("piece-move", piece), {"to_place": place.pk, "on": "2026-11-02"})
    assert answer.status_code == 422 and not Move.objects.exists()
    assert "It is already written down at Loft: choose where it went." in answer.content.decode()


def test_dates_in_a_note_are_told_as_the_country_tells_them(cast, make):
    piece = make.piece(note="lent until 2027-03-31")
    page = cast.client(Role.CREW).get(piece.get_absolute_url()).content.decode()
    assert "lent until March 31, 2027" in page
