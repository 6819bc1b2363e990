"""What happened here is told field by field, to each as far as their roles see, with the way back."""

from datetime import timedelta

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from people.access import Viewer
from people.models import Act, Person
from people.packs import pack
from people.services import history, record
from people.services.undo import undo
from people.views.history_words import told_rows
from roadmap.models import StepCost
from tests.conftest import make_member, viewer_for


def at(cast, name, **kwargs):
    return reverse(name, kwargs={"ministry": cast.ministry.slug, **kwargs})


def words(answer) -> str:
    return " ".join(BeautifulSoup(answer.content, "html.parser").main.get_text(" ").split())


def act_of(cast, by=None, says="Did something.", **values):
    return record.act(ministry=cast.ministry, by=by or cast.lead, kind="test", says=says, **values)


def told(viewer: Viewer, act: Act):
    rows = history.rows_of_act(viewer, act, history.touched([act]).get(act.pk, {}))
    changes, names = history.changes_of_act(viewer, act, rows)
    return {
        (row.kind, row.name, field.label): (field.was, field.becomes)
        for row in told_rows(changes, names, pack(viewer.ministry.country))
        for field in row.fields
    }


@pytest.fixture
def repriced(cast, make):
    """A piece whose price, condition, place and year changed in one act."""
    piece, place = make.piece(what="Mixer", tag="G9", resale_minor=25000), make.place(name="Booth")
    with act_of(cast, says="Marked the mixer down to $200.", holds_money=True) as act:
        record.change(piece, resale_minor=20000, condition="faulty", place=place, mass_g=5000)
    return piece, act


def test_fields_are_told_in_words_of_the_country(cast, repriced):
    fields = told(cast.viewer(), repriced[1])
    name = "piece", "G9 Mixer"
    assert fields[*name, "condition"] == ("not yet tested", "faulty")
    assert fields[*name, "place"] == ("nothing", "Booth")
    assert fields[*name, "resale guess"] == ("$250.00", "$200.00")
    assert fields[*name, "mass"][1] == "11 lb"  # 5 kg at 453.59237 g a pound (yard and pound agreement, 1959)


@pytest.mark.parametrize("role", ["crew", "reader"])
def test_a_remark_that_speaks_of_a_price_is_not_told_to_those_without_money(cast, role):
    with act_of(cast) as act:
        record.add(Person(ministry=cast.ministry, name="Ana", note="Sings alto | paid $40 a night"))
    assert told(cast.viewer(), act)["person", "Ana", "note"] == ("nothing", "Sings alto | paid $40 a night")
    assert told(cast.viewer(role), act)["person", "Ana", "note"] == ("nothing", "Sings alto | …")


def test_nobody_without_money_meets_a_price_in_history(cast, repriced):
    piece, act = repriced
    for role in ("crew", "reader"):
        pages = [
            cast.client(role).get(at(cast, "happened")),
            cast.client(role).get(at(cast, "happened-act", act=act.pk)),
            cast.client(role).get(at(cast, "happened-thing", kind="piece", uid=piece.uid)),
        ]
        for page in pages:
            assert page.status_code == 200
            assert "$" not in words(page) and "resale" not in words(page) and "200" not in words(page)
        assert "faulty" in words(pages[1]) and "Something changed: 1 piece." in words(pages[0])
    assert "$200.00" in words(cast.client("treasurer").get(at(cast, "happened-act", act=act.pk)))


def test_a_kind_that_is_not_for_a_role_is_not_there(cast, make):
    step, order = make.step(), make.order()
    with act_of(cast, says="Costed the step.") as costed:
        record.add(StepCost(ministry=cast.ministry, step=step, net_minor=5))
    with act_of(cast, says="Order O-1 is late.") as late:
        record.change(order, state="running late")
    assert "Costed" not in words(cast.client("crew").get(at(cast, "happened")))
    assert cast.client("crew").get(at(cast, "happened-act", act=costed.pk)).status_code == 404
    assert "O-1" in words(cast.client("crew").get(at(cast, "happened")))
    assert "O-1" not in words(cast.client("reader").get(at(cast, "happened")))
    assert cast.client("reader").get(at(cast, "happened-act", act=late.pk)).status_code == 404
    assert cast.client("reader").get(at(cast, "happened-thing", kind="order", uid=order.uid)).status_code == 404


def test_an_act_partly_seen_keeps_its_place_but_not_its_sentence(cast, make):
    step = make.step(title="Hang the speakers")
    with act_of(cast, says="Costed and renamed for the donors."):
        record.change(step, title="Fly the speakers")
        record.add(StepCost(ministry=cast.ministry, step=step, net_minor=5))
    page = words(cast.client("crew").get(at(cast, "happened")))
    assert "donors" not in page and "Something changed: 1 step." in page


def test_contacts_are_hidden_from_readers_and_those_of_minors_from_everyone(cast, make):
    gil, amos = make.person(name="Gil"), make.person(name="Amos", is_minor=True)
    with act_of(cast) as act:
        record.change(gil, phone="555 0100")
        record.change(amos, phone="555 0111")
    assert ("person", "Gil", "phone") in told(cast.viewer("crew"), act)
    assert told(cast.viewer("reader"), act) == {}
    assert ("person", "Amos", "phone") not in told(cast.viewer("lead"), act)


def test_a_member_without_a_name_is_not_told_by_address_to_readers(cast, make):
    make.piece()
    assert "lead@first.example.org" in words(cast.client("crew").get(at(cast, "happened")))
    page = cast.client("reader").get(at(cast, "happened"))
    assert "@" not in words(page) and "a member" in words(page)


def test_a_thing_tells_of_its_parts_and_still_when_it_is_gone(cast, make):
    order = make.order(key="O-7")
    line = make.order_line(order=order, what="Hoist")
    with act_of(cast, says="Took the order away."):
        record.remove(line)
        record.remove(order)
    page = words(cast.client().get(at(cast, "happened-thing", kind="order", uid=order.uid)))
    assert "no longer there" in page and "Hoist" in page and "Took the order away." in page


def test_a_link_of_the_plan_is_called_after_its_two_steps(cast, make):
    from roadmap.models import StepLink

    first, second = make.step(key="S1", title="Rig"), make.step(key="S2", title="Hang")
    with act_of(cast) as act:
        record.add(StepLink(ministry=cast.ministry, step=second, requires=first, lag_days=2))
    assert told(cast.viewer(), act) == {("requires link", "S2 Hang · S1 Rig", "days between"): ("nothing", "2")}


def test_a_name_that_is_gone_is_still_said(cast, make):
    step, gil = make.step(), make.person(name="Gil")
    with act_of(cast) as act:
        record.change(step, owner=gil)
    with act_of(cast):
        record.change(step, owner=None)
        record.remove(gil)
    assert ("nothing", "Gil") in told(cast.viewer(), act).values()


def test_the_list_is_filtered_by_kind_and_by_member_and_comes_in_leaves(cast, make):
    make.piece()
    with act_of(cast, by=cast["crew"], says="Crew wrote."):
        record.add(Person(ministry=cast.ministry, name="Zoe"))
    client, url = cast.client(), at(cast, "happened")
    assert "Crew wrote." not in words(client.get(url, {"kind": "piece"}))
    page = words(client.get(url, {"by": cast["crew"].pk}))
    assert "Crew wrote." in page and "Made for a test." not in page
    for number in range(40):
        make.person(name=f"P{number}")
    assert "1 to 30 of 42" in words(client.get(url)) and "31 to 42 of 42" in words(client.get(url, {"page": 2}))
    assert client.get(url, {"kind": "nonsense", "by": "x", "page": "-3"}).status_code == 200


@pytest.mark.parametrize("where", ["happened", "thing"])
@pytest.mark.parametrize("role", ["lead", "reader"])
def test_history_costs_the_same_queries_for_many(cast, make, same_queries, where, role):
    piece, place = make.piece(), make.place()

    def more():
        for number in range(20):
            with act_of(cast):
                record.change(piece, note=str(number), place=place if number % 2 else None)
            make.piece()

    more()
    url = at(cast, "happened-thing", kind="piece", uid=piece.uid) if where == "thing" else at(cast, "happened")
    same_queries(cast.client(role), url, more)


def test_an_act_of_many_rows_is_read_leaf_by_leaf_and_nothing_is_left_out(cast, make):
    pieces, people = [make.piece() for __ in range(120)], [make.person() for __ in range(90)]
    with act_of(cast, says="Brought in a list.") as act:
        record.change_many(pieces, note="from the list")
        record.change_many(people, note="from the list")
    client, url = cast.client(), at(cast, "happened-act", act=act.pk)
    leaves = [words(client.get(url, {"page": number})) for number in (1, 2, 3)]
    for leaf, which in zip(leaves, ("1 to 100", "101 to 200", "201 to 210"), strict=True):
        assert f"{which} of 210" in leaf
    assert [leaf.count("from the list") for leaf in leaves] == [100, 100, 10]
    for row in (*pieces, *people):
        assert sum(str(row) in leaf for leaf in leaves) >= 1, row
    assert client.get(url, {"page": "99"}).status_code == 200 and client.get(url, {"page": "x"}).status_code == 200
    back = client.get(at(cast, "undo", act=act.pk)).content.decode()
    assert "and 110 more rows" in back and f'href="{url}?page=2"' in back


# Taking back


def test_undo_asks_first_says_what_returns_and_then_does_it(cast, repriced):
    piece, act = repriced
    url = at(cast, "undo", act=act.pk)
    page = words(cast.client().get(url))
    assert "What returns" in page and "faulty → not yet tested" in page
    piece.refresh_from_db()
    assert piece.condition == "faulty"
    answer = cast.client().post(url, follow=True)
    piece.refresh_from_db()
    assert piece.condition == "not yet tested" and "Took back: Marked the mixer down" in answer.content.decode()
    assert "taken back" in words(cast.client().get(at(cast, "happened")))


def test_a_refusal_is_named_before_and_after_the_button(cast, repriced):
    piece, act = repriced
    with act_of(cast, says="Wrote a note."):
        record.change(piece, note="x")
    url = at(cast, "undo", act=act.pk)
    sentence = "Later changes touched the same things: Wrote a note. Take those back first."
    page = cast.client().get(url)
    assert sentence in words(page) and '<button class="button button-main"' not in page.content.decode()
    assert sentence in cast.client().post(url, follow=True).content.decode()
    piece.refresh_from_db()
    assert piece.condition == "faulty"


def test_one_takes_back_ones_own_and_only_who_plans_takes_back_others(cast, make):
    piece = make.piece()
    with act_of(cast, by=cast["crew"]) as mine:
        record.change(piece, note="crew")
    other = make_member(cast.ministry, "crew", email="other@example.org")
    url = at(cast, "undo", act=mine.pk)
    assert cast.client(other).post(url).status_code == 403
    assert cast.client("reader").post(url).status_code == 403
    assert cast.client(cast.stranger).post(url).status_code == 404
    assert cast.client("crew").get(url).status_code == 200
    assert cast.client("coach").post(url).status_code == 302
    piece.refresh_from_db()
    assert piece.note == ""


def test_nobody_takes_back_what_they_do_not_wholly_see(cast, make):
    step = make.step()
    with act_of(cast, by=cast["crew"], holds_money=True) as act:
        record.change(step, resale_minor=5)
    assert not history.may_undo(viewer_for(cast["crew"]), act, history.touched([act])[act.pk])
    assert cast.client("crew").post(at(cast, "undo", act=act.pk)).status_code == 403


def test_an_act_without_things_leaves_nothing_to_take_back(cast):
    with act_of(cast, says="Talked.") as act:
        pass
    assert "Nothing to take back" in words(cast.client().get(at(cast, "undo", act=act.pk)))
    assert at(cast, "undo", act=act.pk) not in cast.client().get(at(cast, "happened")).content.decode()
    cast.client().post(at(cast, "undo", act=act.pk))
    assert not Act.objects.filter(undoes=act).exists()


@pytest.mark.parametrize(
    ("came_from", "goes_to"),
    [
        ("http://testserver/first/people/?page=2", "/first/people/?page=2"),
        ("http://testserver/first/people/{uid}/", "/first/happened/"),
        ("http://testserver/elsewhere/people/", "/first/happened/"),
        ("http://evil.example.org/first/people/", "/first/happened/"),
        ("http://testserver/no/such/page/at/all/", "/first/happened/"),
        ("", "/first/happened/"),
    ],
)
def test_undo_leads_back_to_the_list_it_was_pressed_on(cast, make, came_from, goes_to):
    person = make.person()
    url = at(cast, "undo", act=Act.objects.latest("id").pk)
    answer = cast.client().post(url, headers={"referer": came_from.format(uid=person.uid)})
    assert answer["Location"] == goes_to


def test_what_was_taken_back_twice_over_stays_as_it_was(cast, repriced):
    piece, act = repriced
    again = undo(act=act, by=cast.lead)
    undo(act=again, by=cast.lead)
    piece.refresh_from_db()
    assert piece.condition == "faulty"
    assert Act.objects.latest("id").at - act.at < timedelta(minutes=1)
