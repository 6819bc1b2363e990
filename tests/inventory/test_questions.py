"""A question is asked once, its answer reaches every piece nobody has touched, and it is taken back."""

from pathlib import Path

import pytest

from inventory.models import AskedQuestion, Piece, SourceRow
from inventory.services.intake import take_in
from inventory.services.questions import answer_each_list, short_key
from people.models import Act
from people.services import record
from people.services.undo import undo

SHEETS = Path(__file__).resolve().parents[2] / "fixtures" / "demo" / "sheets"
DATES = "Item,Maker,Serial,Bought,Qty\nAmp,Gadsworth,A-100,03/04/2019,1\nMixer,Ostwick,N-200,05/06/2018,1\n"


@pytest.fixture(autouse=True)
def own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def site(make):
    return make.site(code="WL", name="Weir Lane")


def take(cast, data, site, name="list.csv"):
    data = data if isinstance(data, bytes) else data.encode()
    return take_in(ministry=cast.ministry, by=cast.lead, name=name, data=data, site=site)


def answer(cast, question, value):
    return answer_each_list(ministry=cast.ministry, by=cast.lead, answers={question: value})[1]


def test_an_answer_about_dates_changes_the_pieces_and_closes_the_question(cast, site):
    source = take(cast, DATES, site)
    question = AskedQuestion.objects.get(source=source, code="DATE_ORDER")
    amp = Piece.objects.get(serial="A-100")
    assert "year" in amp.doubts
    answer(cast, question, "day")
    amp.refresh_from_db()
    assert amp.bought_on.isoformat() == "2019-04-03"
    assert "year" not in amp.doubts
    question.refresh_from_db()
    assert (question.answer, question.answered_on) == ("day", cast.ministry.today_is)


def test_the_other_answer_gives_the_other_day(cast, site):
    take(cast, DATES, site)
    answer(cast, AskedQuestion.objects.get(code="DATE_ORDER"), "month")
    assert Piece.objects.get(serial="A-100").bought_on.isoformat() == "2019-03-04"


def test_a_piece_changed_by_hand_stays_as_it_was_left(cast, site):
    take(cast, DATES, site)
    amp = Piece.objects.get(serial="A-100")
    with record.act(ministry=cast.ministry, by=cast.lead, kind="t", says="Put right."):
        record.change(amp, year=2001, bought_on=None, year_precision="year")
    before = amp.tracked_values()
    answer(cast, AskedQuestion.objects.get(code="DATE_ORDER"), "day")
    amp.refresh_from_db()
    assert amp.year == before["year"]


def test_an_answer_is_one_act_and_is_taken_back(cast, site):
    take(cast, DATES, site)
    before = [piece.tracked_values() for piece in Piece.objects.order_by("id")]
    question = AskedQuestion.objects.get(code="DATE_ORDER")
    acts = Act.objects.count()
    answer(cast, question, "day")
    assert Act.objects.count() == acts + 1
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert [piece.tracked_values() for piece in Piece.objects.order_by("id")] == before
    question.refresh_from_db()
    assert question.answer == ""


def test_every_question_of_the_messy_lists_takes_each_of_its_answers(cast, make):
    """No choice the reader offers may break the reading, and none may lose a piece that somebody has worked on."""
    site = make.site(code="MS", name="Mill Street")
    for name in ("weir-lane.csv", "mill-street.xlsx", "dockside.xlsx"):
        source = take(cast, (SHEETS / name).read_bytes(), site, name=name)
        for choice in (-1, 0):
            asked = AskedQuestion.objects.filter(source=source)
            given = {one: one.choices[choice][0] if one.choices else "Bob" for one in asked}
            answer_each_list(ministry=cast.ministry, by=cast.lead, answers=given)
        assert not SourceRow.objects.filter(source=source, verdict="new to us", piece=None).exists()


def test_rows_that_turn_out_to_be_gone_leave_the_list_and_come_back_with_undo(cast, site):
    source = take(cast, (SHEETS / "mill-street.xlsx").read_bytes(), site, name="mill-street.xlsx")
    question = AskedQuestion.objects.filter(source=source, code="HIDDEN_ROW").first()
    assert question is not None
    count = Piece.objects.count()
    answer(cast, question, "leave")
    after = Piece.objects.count()
    assert after <= count
    undo(act=Act.objects.latest("id"), by=cast.lead)
    assert Piece.objects.count() == count


def test_a_doubtful_place_is_settled_by_its_answer(cast, make, site):
    known = make.place(site=site, code="WL-VC", name="Vestry cupboard")
    take(cast, "Item,Maker,Model,Place\nAmp,Gadsworth,A1,Vestry cupbord\nFan,Corvane,F1,Loft\n", site)
    question = AskedQuestion.objects.get(code="WHICH_PLACE")
    answer(cast, question, str(known.uid))
    assert Piece.objects.get(model="A1").place == known
    undo(act=Act.objects.latest("id"), by=cast.lead)
    answer(cast, AskedQuestion.objects.get(pk=question.pk), "new")
    assert Piece.objects.get(model="A1").place.name == "Vestry cupbord"


def test_a_long_key_is_kept_short_and_stays_distinct():
    long = "COND_WORD|sheet|" + "x" * 300
    assert len(short_key(long)) == 160 and short_key(long) != short_key(long + "y")
    assert short_key("a|b|c") == "a|b|c"
