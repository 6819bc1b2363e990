"""The coach's first page puts the church first that needs them most; who serves in one church is led into it."""

from datetime import date, timedelta

from django.test import Client

from people.models import Member
from people.services import record
from roadmap.compute.who_needs_me import Signs, by_need, need
from tests.conftest import TODAY, make_member, make_ministry
from tests.makers import Maker

DAY = date(2026, 11, 3)


def test_what_can_cost_a_sunday_comes_before_what_can_wait():
    # the order, not the figures, is the rule: common practice
    late, undecided = Signs(late_orders=1, worst_days_late=14), Signs(undecided=10, next_exit=DAY + timedelta(days=90))
    near, asked = Signs(undecided=10, next_exit=DAY + timedelta(days=3)), Signs(questions=4)
    churches = {"quiet": Signs(), "asked": asked, "far": undecided, "near": near, "late": late}
    assert by_need({key: (signs, DAY) for key, signs in churches.items()}) == ["late", "near", "far", "asked", "quiet"]
    assert need(Signs(next_exit=DAY), DAY) == 0 == need(Signs(worst_days_late=9), DAY)


def test_pieces_weigh_more_the_nearer_the_day_and_no_more_once_it_is_past():
    weights = [need(Signs(undecided=4, next_exit=DAY + timedelta(days=d)), DAY) for d in (200, 28, 1, 0, -5)]
    assert weights == sorted(weights) and weights[-1] == weights[-2] == 4


def late_order(make: Maker, days: int):
    from roadmap.models import PromisedDate

    order = make.order(state="ordered", ministry=make.cast.ministry)
    make.add(PromisedDate, order=order, promised_on=TODAY - timedelta(days=days), position=1)
    make.add(PromisedDate, order=order, promised_on=TODAY + timedelta(days=30), position=2)
    return order


def coach_of_two(cast) -> Client:
    coach = cast["coach"]
    Member.objects.create(ministry=cast.elsewhere, user=coach.user, roles=["coach"])
    return cast.client("coach")


def test_the_church_with_a_late_order_is_named_first_with_the_reason(cast, make):
    late_order(make, 14)
    late_order(make, -3)  # first promised for later: not late
    page = coach_of_two(cast).get("/").content.decode()
    assert "First Church needs you first: 1 order late, by 14 days." in page
    assert page.index('href="/first/"') < page.index('href="/elsewhere/"')


def test_a_reader_is_told_nothing_of_orders(cast, make):
    late_order(make, 14)
    Member.objects.create(ministry=cast.elsewhere, user=cast["reader"].user, roles=["reader"])
    assert "order" not in cast.client("reader").get("/").content.decode()


def test_changes_by_others_since_ones_own_last_are_counted(cast, make):
    client = coach_of_two(cast)
    with record.act(ministry=cast.ministry, by=cast["coach"], kind="t", says="Mine."):
        pass
    make.person()
    make.person()
    assert "2 things happened since you last wrote" in client.get("/").content.decode()


def test_one_church_is_entered_at_once_none_says_what_to_do(cast):
    assert cast.client().get("/")["Location"] == "/first/this-sunday/"
    assert cast.client("reader").get("/")["Location"] == "/first/gear/"
    cast["crew"].is_active = False
    cast["crew"].save()
    assert "You are in no church yet" in cast.client("crew").get("/").content.decode()


def test_many_churches_cost_the_same_queries(cast, same_queries):
    def more():
        for number in range(6):
            church = make_ministry(f"church-{number}")
            make_member(church, "coach", email=cast["coach"].user.email)

    same_queries(coach_of_two(cast), "/", more)
