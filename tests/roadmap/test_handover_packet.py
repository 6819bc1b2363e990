"""The handover packet: right words, right paper, nothing cut off, no price, no minor's number."""

import io

import pytest
from pypdf import PdfReader

from inventory.models import Account, NeedsLink
from people.roles import Role
from roadmap.services.packets.handover import handover_packet
from tests.conftest import TODAY, make_member, make_ministry, viewer_for


def read(viewer, place=None):
    out = io.BytesIO()
    version = handover_packet(viewer=viewer, out=out, place=place)
    return PdfReader(io.BytesIO(out.getvalue())), version


def all_words(reader):
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages)


@pytest.fixture
def hall(make):
    site = make.site(receives=True, name="The Lanes")
    return make.place(site=site, name="Auditorium", code="AU")


def test_it_says_what_is_here_and_how_it_is(cast, make, hall):
    spot = make.place(site=hall.site, within=hall, name="Booth", code="BO")
    make.piece(what="Digital console", place=spot, condition="tested good", fate="use here", resale_minor=123456)
    make.piece(what="Old amplifier", place=hall, condition="faulty", fate="shelf spare", note="hums")
    make.piece(what="Sold wedge", place=hall, fate="sell")
    reader, __ = read(cast.viewer())
    text = all_words(reader)
    assert "Auditorium: 2 things here, 1 of them tested and working." in text
    assert "Digital console" in text and "hums" in text and "Sold wedge" not in text
    assert "1,234" not in text


@pytest.mark.parametrize(
    ("conditions", "words"),
    [
        ([], "Auditorium: nothing is recorded here yet."),
        (["tested good"], "Auditorium: one thing here, tested and working."),
        (["faulty"], "Auditorium: one thing here, not to be relied on yet."),
        (["tested good", "works, marked"], "Auditorium: 2 things here, all tested and working."),
        (["dead", "not yet tested"], "Auditorium: 2 things here, none of them to be relied on yet."),
    ],
)
def test_the_first_sentence_reads_well_for_any_number(cast, make, hall, conditions, words):
    for condition in conditions:
        make.piece(place=hall, fate="use here", condition=condition)
    assert words in all_words(read(cast.viewer(), hall)[0])


def test_dates_in_notes_are_told_as_the_country_tells_them(cast, make, hall):
    make.piece(place=hall, fate="use here", note="lent until 2027-03-31")
    assert "lent until March 31, 2027" in all_words(read(cast.viewer())[0])


def test_small_rooms_share_a_page_and_the_whole_is_told_first(cast, make, hall):
    for name in ("Lobby", "Nursery", "Office"):
        make.piece(place=make.place(site=hall.site, name=name, code=name[:2]), fate="use here", condition="tested good")
    reader, __ = read(cast.viewer())
    assert all_words(reader).startswith("The whole building: 3 things here, all tested and working. Lobby (1)")
    assert len(reader.pages) <= 2


def test_a_column_without_a_word_is_left_out(cast, make, hall):
    make.piece(place=hall, fate="use here")
    assert "Note" not in all_words(read(cast.viewer())[0])
    make.piece(place=hall, fate="use here", note="hums")
    assert "Note" in all_words(read(cast.viewer())[0])


def test_an_address_is_not_broken_where_another_column_has_room(cast, make, hall):
    make.person(name="Theo", email="a.rather.long.address@cordwain.example.org", does="radio")
    assert "a.rather.long.address@cordwain.example.org" in all_words(read(cast.viewer())[0])


def test_kits_and_due_dates_stand_in_it(cast, make, hall):
    mixer = make.piece(what="Rack mixer", place=hall, fate="use here")
    tablet = make.piece(what="Tablet", place=hall, fate="use here")
    make.add(NeedsLink, piece=mixer, needs=tablet, why="mixed from it only")
    make.add(Account, key="A01", what="Song projection", renews_on=TODAY.replace(month=12), holder_words="June")
    text = all_words(read(cast.viewer())[0])
    assert "mixed from it only" in text and "Song projection renews" in text and "June" in text


@pytest.mark.parametrize(("role", "seen"), [(Role.LEAD, True), (Role.READER, False)])
def test_numbers_of_persons_only_for_those_who_may_see_them_and_never_a_minor_s(cast, make, hall, role, seen):
    make.person(name="Theo", phone="555-0101", does="radio")
    make.person(name="Addie", phone="555-0199", is_minor=True)
    text = all_words(read(cast.viewer(role))[0])
    assert "Theo" in text and ("555-0101" in text) is seen
    assert "555-0199" not in text


def test_cautions_name_who_signs(cast, hall):
    text = all_words(read(cast.viewer())[0])
    assert "licensed electrician" in text and "Local codes and licensed people decide." in text


def test_title_language_bookmarks_pages_fonts_and_version(cast, make, hall):
    for n in range(120):
        make.piece(what=f"Loudspeaker number {n} with a long name that wraps over lines", place=hall, fate="use here")
    reader, version = read(cast.viewer())
    assert reader.metadata.title == "Handover: the whole building"
    assert reader.trailer["/Root"]["/Lang"] == "en-US"
    assert next(entry.title for entry in reader.outline if not isinstance(entry, list)) == "Auditorium"
    pages = len(reader.pages)
    assert pages > 3
    for number, page in enumerate(reader.pages, 1):
        assert f"version {version} · page {number} of {pages}" in " ".join(page.extract_text().split())
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()
            described = font.get("/FontDescriptor") or font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert "/FontFile2" in described.get_object(), font["/BaseFont"]


def test_the_version_changes_with_the_words_only(cast, make, hall):
    piece = make.piece(what="Console", place=hall, fate="use here")
    first, again = read(cast.viewer())[1], read(cast.viewer())[1]
    make.piece(what="Second console", place=hall, fate="use here")
    assert first == again != read(cast.viewer())[1]
    assert piece.what == "Console"


@pytest.mark.parametrize(
    ("country", "zone", "size"), [("US", "America/New_York", (612, 792)), ("GB", "Europe/London", (595, 842))]
)
def test_the_paper_is_the_country_s(db, country, zone, size):
    ministry = make_ministry("paper", country=country, zone=zone)
    reader, __ = read(viewer_for(make_member(ministry, Role.LEAD)))
    box = reader.pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


def test_a_room_alone_holds_only_its_own_things(cast, make, hall):
    other = make.place(site=hall.site, name="Lobby", code="LB")
    make.piece(what="Console", place=hall, fate="use here")
    make.piece(what="Display", place=other, fate="use here")
    text = all_words(read(cast.viewer(), other)[0])
    assert "Display" in text and "Console" not in text


def test_markup_in_data_stays_as_it_was_typed(cast, make, hall):
    make.piece(what="<b>Bold & brave</b>", place=hall, fate="use here", note="a < b")
    assert "<b>Bold & brave</b>" in all_words(read(cast.viewer())[0])
