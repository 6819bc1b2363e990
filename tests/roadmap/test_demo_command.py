"""`manage.py demo`: an empty database becomes three churches, whole and in their own ministry."""

from collections.abc import Iterator
from datetime import date, timedelta
from io import StringIO
from typing import Any

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import models
from django.test import TestCase, override_settings

from inventory.models import AskedQuestion, Choice, Piece, Place, RoomNeed, Site, Source, Twin
from people.models import Act, Member, Ministry, Person, Tracked, User
from people.roles import Role
from roadmap.models import (
    Arrival,
    Booking,
    Fund,
    FundIncome,
    Order,
    OrderLine,
    Payment,
    Phase,
    Promise,
    PromisedDate,
    Service,
    Step,
    StepLink,
)
from roadmap.services.demo.church import PASS_PHRASE
from roadmap.services.demo.tables import moved
from roadmap.services.loading import planned

TRACKED = [model for model in apps.get_models() if issubclass(model, Tracked)]
WEEK = timedelta(weeks=1)


@pytest.fixture(autouse=True, scope="module")
def files_of_the_lists(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the lists taken in out of the program's own folder."""
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("files")):
        yield


def demo(*words: str) -> str:
    out = StringIO()
    call_command("demo", *words, stdout=out)
    return out.getvalue()


class LoadedDemo(TestCase):
    said: str

    @classmethod
    def setUpTestData(cls) -> None:
        cls.said = demo()
        cls.cordwain = Ministry.objects.get(slug="cordwain")
        cls.loomgate = Ministry.objects.get(slug="loomgate")
        cls.first_week = Ministry.objects.get(slug="loomgate-first-week")

    def of(self, model: type[Any], ministry: Ministry) -> Any:
        return model.objects.filter(ministry=ministry)

    def test_every_church_stands_on_the_day_of_the_story(self) -> None:
        rows = Ministry.objects.order_by("id").values_list("country", "currency", "zone", "today_is")
        assert list(rows) == [
            ("US", "USD", "America/New_York", date(2026, 11, 3)),
            ("GB", "GBP", "Europe/London", date(2026, 11, 3)),
            ("GB", "GBP", "Europe/London", date(2026, 11, 3)),
        ]

    def test_each_church_has_what_its_tables_hold(self) -> None:
        models_counted = (Piece, Step, StepLink, Order, RoomNeed, Promise, Phase)
        assert [self.of(model, self.cordwain).count() for model in models_counted] == [120, 28, 51, 12, 30, 12, 4]
        assert [self.of(model, self.loomgate).count() for model in models_counted] == [180, 35, 61, 15, 43, 14, 4]

    def test_the_first_week_has_sites_and_places_and_no_plan(self) -> None:
        assert self.of(Site, self.first_week).count() == 5
        codes = set(self.of(Place, self.loomgate).values_list("code", flat=True))
        assert codes <= set(self.of(Place, self.first_week).values_list("code", flat=True))
        assert not self.of(Step, self.first_week).exists()
        assert not self.of(RoomNeed, self.first_week).exists()

    def test_the_first_week_took_in_three_lists_and_waits_for_answers(self) -> None:
        """Each list is an act of its own; the church has 180 pieces, many of them several to a row."""
        sources = self.of(Source, self.first_week)
        assert {source.name: source.site.code for source in sources} == {
            "mill-street.xlsx": "MS",
            "weir-lane.csv": "WL",
            "dockside.xlsx": "DU",
        }
        acts = Act.objects.filter(ministry=self.first_week).order_by("id")
        assert [act.kind for act in acts] == ["demo-load", "intake", "intake", "intake"]
        assert 100 < self.of(Piece, self.first_week).count() <= 180
        for source in sources:
            assert self.of(AskedQuestion, self.first_week).filter(source=source, answer="").exists()

    def test_the_first_week_leaves_twins_for_a_person_to_decide(self) -> None:
        """Lent for a camp, the loudspeaker 017733 stands on two lists; nothing is merged by itself."""
        twins = self.of(Twin, self.first_week)
        assert set(twins.values_list("ruling", flat=True)) == {Twin.Ruling.OPEN}
        serials = {frozenset((twin.first.serial[-6:], twin.second.serial[-6:])) for twin in twins}
        assert frozenset({"017733"}) in serials
        assert not self.of(Piece, self.first_week).filter(merged_into__isnull=False).exists()

    def test_no_row_points_into_another_ministry(self) -> None:
        for model in TRACKED:
            for name in _pointers(model):
                strangers = model.objects.exclude(**{f"{name}__ministry": models.F("ministry")})
                assert not strangers.filter(**{f"{name}__isnull": False}).exists(), f"{model.__name__}.{name}"

    def test_every_text_fits_its_column(self) -> None:
        """SQLite stores a text too long without a word; other engines refuse it."""
        for model in TRACKED:
            widths = {f.attname: f.max_length for f in model._meta.concrete_fields if isinstance(f, models.CharField)}
            for row in model.objects.values(*widths):
                assert not {name: row[name] for name, width in widths.items() if width and len(row[name]) > width}

    def test_every_word_is_one_its_column_knows(self) -> None:
        for model in TRACKED:
            for field in model._meta.concrete_fields:
                known = {value for value, _label in field.choices or ()} | {""}
                if field.choices:
                    assert set(model.objects.values_list(field.name, flat=True)) <= known, f"{model}.{field.name}"

    def test_one_act_tells_of_it_and_keeps_every_row(self) -> None:
        act = Act.objects.get(ministry=self.cordwain)
        assert act.says == "The demo was loaded: Cordwain Church."
        for model in TRACKED:
            rows = model.objects.filter(ministry=self.cordwain).count()
            assert model.history.model.objects.filter(act=act, history_type="+").count() == rows, model.__name__

    def test_one_login_a_role_is_printed_and_opens(self) -> None:
        assert PASS_PHRASE in self.said
        for member in Member.objects.select_related("user"):
            assert member.user.email in self.said
            assert member.user.check_password(PASS_PHRASE)
        for ministry in (self.cordwain, self.loomgate, self.first_week):
            roles = [member.roles for member in Member.objects.filter(ministry=ministry)]
            assert sorted(role for each in roles for role in each) == sorted(Role.values)

    def test_the_coach_comes_to_all_three(self) -> None:
        coach = User.objects.get(email="coach@example.org")
        assert coach.memberships.count() == 3
        names = Person.objects.filter(member__user=coach).order_by("ministry_id").values_list("name", flat=True)
        assert list(names) == ["Desmond Achebe-Rowe", "Adaeze Morrow", "The visiting coach"]

    def test_a_place_in_a_room_knows_it(self) -> None:
        booth = self.of(Place, self.cordwain).get(code="LN-BO")
        assert booth.within.code == "LN-AU"
        assert booth.within.polygon[2] == [18.898, 10.363]

    def test_pieces_keep_what_binds_them(self) -> None:
        piano = self.of(Piece, self.cordwain).get(tag_number=34)
        assert (piano.bond, piano.bond_until, piano.never_sell) == ("lease-to-own", date(2027, 3, 31), True)
        assert self.of(Piece, self.cordwain).get(tag_number=35).owner.name == "Dale Haverkamp"
        assert self.of(Piece, self.cordwain).get(tag_number=49).busy_until == date(2026, 11, 22)
        assert self.of(Piece, self.loomgate).get(tag_number=178).bond == "landlord"

    def test_what_is_thrown_away_or_lost_stands_nowhere(self) -> None:
        assert self.of(Piece, self.cordwain).get(tag_number=24).goes_to is None
        lost = self.of(Piece, self.cordwain).get(tag_number=99)
        assert (lost.place, lost.place_words) == (None, "?")

    def test_of_a_lot_only_as_many_are_chosen_as_are_wanted(self) -> None:
        stands = self.of(Choice, self.loomgate).filter(need__key="N21").order_by("piece__tag_number")
        assert [(choice.piece.quantity, choice.quantity) for choice in stands] == [(14, 14), (6, 2)]
        projector = self.of(Choice, self.cordwain).filter(need__key="N20", stands_in=False).get()
        assert (projector.piece.tag_number, projector.free_from) == (49, date(2026, 11, 22))

    def test_the_late_order_was_promised_three_times(self) -> None:
        told = self.of(PromisedDate, self.cordwain).filter(order__key="O-05").order_by("position")
        assert [each.promised_on for each in told] == [date(2026, 10, 16), date(2026, 10, 30), date(2026, 11, 13)]

    def test_two_of_three_receivers_came_and_are_enough(self) -> None:
        line = self.of(OrderLine, self.cordwain).get(order__key="O-06", what__startswith="In-ear receivers")
        assert (line.quantity, line.must_quantity) == (3, 2)
        assert Arrival.objects.get(line=line).quantity == 2

    def test_what_was_paid_is_in_its_fund(self) -> None:
        paid = self.of(Payment, self.cordwain).filter(order__key="O-05").get()
        assert (paid.amount_minor, paid.fund.code) == (115_300, "MEM")

    def test_a_fund_holds_what_comes_in(self) -> None:
        for fund in Fund.objects.all():
            came = FundIncome.objects.filter(fund=fund).aggregate(total=models.Sum("amount_minor"))["total"]
            assert came == fund.amount_minor, fund.code

    def test_a_sunday_that_goes_differently_has_one_service(self) -> None:
        """27 December: one service at 10:00 instead of the usual two."""
        day = date(2026, 12, 27)
        on_that_day = [
            service
            for service in self.of(Service, self.cordwain)
            if service.on == day
            or (
                service.weekday == day.weekday()
                and service.from_on <= day
                and (service.until_on is None or day <= service.until_on)
            )
        ]
        assert [service.name for service in on_that_day] == ["One service only"]

    def test_vacation_bible_school_lasts_six_evenings(self) -> None:
        days = self.of(Service, self.cordwain).filter(name="Vacation Bible School").values_list("on", flat=True)
        assert sorted(days) == [date(2027, 6, 13) + timedelta(days=n) for n in range(6)]

    def test_bookings_stand_in_the_time_of_the_town(self) -> None:
        """8 in the morning in Ohio is 13:00 UTC in November."""
        wedding = self.of(Booking, self.cordwain).filter(what__startswith="Wedding").first()
        assert wedding.starts_at.isoformat() == "2026-11-13T13:00:00+00:00"

    def test_the_phases_come_to_what_the_church_counted(self) -> None:
        """With contingency, in whole pounds; Loomgate's own figures: 3,911, 20,853, 9,462 and 8,671."""
        counted = planned(self.loomgate).plan.phases.values()
        assert [(phase.total_with_contingency + 50) // 100 for phase in counted] == [3911, 20853, 9462, 8671]

    def test_the_late_amplifier_pushes_the_proof_past_the_freeze(self) -> None:
        """The promise is Friday 13 November: in on the 16th and 17th; two Sundays from the 18th would reach into the
        freeze of 25 November to 3 January, so the proof starts on the 4th and ends on Sunday the 17th."""
        steps = planned(self.cordwain).plan.steps
        assert (steps["S10"].start, steps["S10"].finish) == (date(2026, 11, 16), date(2026, 11, 17))
        assert (steps["S12"].start, steps["S12"].finish) == (date(2027, 1, 4), date(2027, 1, 17))

    def test_a_database_in_use_is_refused(self) -> None:
        with pytest.raises(CommandError, match="not empty"):
            demo()

    def test_who_prints_the_logins_again_and_changes_nothing(self) -> None:
        before = Act.objects.count()
        assert "lead@cordwain.example.org" in demo("--who")
        assert Act.objects.count() == before


def _pointers(model: type[Tracked]) -> list[str]:
    return [
        field.name
        for field in model._meta.concrete_fields
        if isinstance(field, models.ForeignKey)
        and field.name != "ministry"
        and "ministry" in {each.name for each in field.related_model._meta.concrete_fields}
    ]


@pytest.mark.django_db
def test_the_whole_story_moves_by_weeks() -> None:
    demo("--start", "2027-01-05")
    nine_weeks = 9 * WEEK
    cordwain = Ministry.objects.get(slug="cordwain")
    assert set(Ministry.objects.values_list("today_is", flat=True)) == {date(2027, 1, 5)}
    assert Step.objects.get(ministry=cordwain, key="S10").agreed_start == date(2026, 10, 19) + nine_weeks
    assert Site.objects.get(ministry=cordwain, code="PR").exit_on == date(2026, 12, 18) + nine_weeks
    assert Piece.objects.get(ministry=cordwain, tag_number=49).note == (
        "busy at Pennick Road until its last service, 24 Jan 2027"
    )
    assert "empty since 2026-10-28" in Site.objects.get(ministry=cordwain, code="TR").state


@pytest.mark.django_db
def test_a_start_that_is_no_whole_week_away_is_refused_with_the_days_that_are() -> None:
    with pytest.raises(CommandError, match="2026-11-03 or 2026-11-10"):
        demo("--start", "2026-11-04")
    assert not Ministry.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("words", "country", "currency", "main_room"),
    [
        ((), "US", "USD", "auditorium"),
        (("--country", "GB"), "GB", "GBP", "hall"),
        (("--country", "DE"), "DE", "EUR", "auditorium"),
    ],
)
def test_an_empty_church_has_members_sites_and_places_only(
    words: tuple[str, ...], country: str, currency: str, main_room: str
) -> None:
    demo("--empty", *words)
    ministry = Ministry.objects.get()
    assert (ministry.country, ministry.currency, ministry.main_room) == (country, currency, main_room)
    assert Member.objects.count() == len(Role.values)
    filled = {model for model in TRACKED if model.objects.exists()}
    assert filled == {Person, Site, Place}


@pytest.mark.parametrize(
    ("told", "a_week_later"),
    [
        ("until 2027-03-31: cannot be sold", "until 2027-04-07: cannot be sold"),
        ("until 22 Nov", "until 29 Nov"),
        ("lease ends Sep 30", "lease ends Oct 7"),
        ("in use from 30 September", "in use from 7 October"),
        ("needed till 29 Dec 2026", "needed till 5 Jan 2027"),
        ("December 29, 2026", "January 5, 2027"),
        ("band closed on 1 May 2020", "band closed on 1 May 2020"),
        ("1,500 each on 1 Jul, 1 Oct, 1 Jan", "1,500 each on 8 Jul, 8 Oct, 8 Jan"),
        ("fixed installation of 2009, 31 Feb", "fixed installation of 2009, 31 Feb"),
        ("16/4, 100 ft; lines 1-9; 09:00 10:45", "16/4, 100 ft; lines 1-9; 09:00 10:45"),
    ],
)
def test_days_told_in_words_move_too(told: str, a_week_later: str) -> None:
    assert moved(told, 7) == a_week_later
    assert moved(told, 0) == told
