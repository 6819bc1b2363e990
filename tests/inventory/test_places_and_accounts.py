"""Places as a tree, sites on their way to empty, and who holds which account."""

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from inventory.models import Account, Place, Site
from inventory.words import Fate
from people.roles import Role


def page(cast, name, *args, role=Role.LEAD):
    answer = cast.client(role).get(reverse(name, args=[cast.ministry.slug, *args]))
    assert answer.status_code == 200
    return BeautifulSoup(answer.content, "html.parser")


def test_places_stand_in_a_tree_that_counts_what_is_inside(cast, make):
    room = make.place(name="Hall")
    rack = make.place(name="Rack", site=room.site, within=room)
    make.piece(place=room), make.piece(place=rack), make.piece(place=rack), make.piece()
    html = page(cast, "places")
    lines = [line.get_text(" ", strip=True) for line in html.select(".tree-line")]
    assert lines == ["Hall 3 pieces", "Rack 2 pieces"]
    assert "One piece has no place yet." in html.h1.get_text()


def test_a_place_shows_what_stands_and_what_is_to_come(cast, make):
    room = make.place(name="Hall")
    rack = make.place(site=room.site, within=room)
    make.piece(what="Here", place=rack)
    make.piece(what="Coming", goes_to=room)
    html = page(cast, "place", room.uid)
    assert html.h1.get_text() == "1 piece stands in Hall; 1 is still to come."
    assert [each.get_text() for each in html.select("tbody th a")] == ["Here", "Coming"]


def test_a_site_says_in_one_sentence_how_far_from_empty_it_is(cast, make):
    site = make.site(name="School", exit_on="2026-12-18")
    hall = make.place(site=site)
    make.piece(place=hall), make.piece(found_at=site), make.piece(place=hall, fate=Fate.SELL)
    # 45 days: 27 left of November and 18 of December, from the third
    said = "Three pieces are still there, 2 of them undecided; 45 days are left, until December 18, 2026."
    assert page(cast, "leaving").h1.get_text() == f"School: {said}"
    assert page(cast, "site", site.code).h1.get_text() == said


def test_a_passed_exit_is_said_and_a_handed_back_site_rests(cast, make):
    make.site(name="Late", exit_on="2026-10-01")
    make.site(name="Done", exit_on="2026-09-01", handed_back_on="2026-08-30")
    html = page(cast, "leaving")
    assert "it should have been empty by October 1, 2026" in html.h1.get_text()
    assert "The keys went back on August 30, 2026." in html.select_one("li.off").get_text()


@pytest.mark.parametrize("name", ["places", "leaving", "accounts"])
def test_these_pages_cost_the_same_for_few_and_many(cast, make, same_queries, name):
    def more():
        for n in range(20):
            site = make.site(exit_on="2026-12-18")
            place = make.place(site=site, within=make.place(site=site))
            piece = make.piece(place=place)
            make.add(Account, key=f"B{next(make.numbers)}{n}", kind="x", what="y", runs_on=piece, holder=make.person())

    more()
    same_queries(cast.client(), reverse(name, args=[cast.ministry.slug]), more)


def test_a_place_cannot_stand_inside_itself(cast, make):
    room = make.place()
    spot = make.place(site=room.site, within=room)
    given = {"name": "R", "code": room.code, "site": room.site.pk, "within": spot.pk}
    answer = cast.client().post(reverse("place-edit", args=[cast.ministry.slug, room.uid]), given)
    assert answer.status_code == 422
    assert Place.objects.get(pk=room.pk).within is None


def test_sites_and_places_are_written_by_who_plans(cast):
    slug = cast.ministry.slug
    assert cast.client(Role.CREW).get(reverse("site-add", args=[slug])).status_code == 403
    cast.client().post(reverse("site-add", args=[slug]), {"name": "School", "code": "SC", "exit_on": "2026-12-18"})
    site = Site.objects.get()
    cast.client().post(reverse("place-add", args=[slug]), {"name": "Loft", "code": "SC-L", "site": site.pk})
    assert Place.objects.get().site == site
    taken = cast.client().post(reverse("site-add", args=[slug]), {"name": "Other", "code": "SC"})
    assert taken.status_code == 422


def test_the_answer_counts_single_holders_and_names_the_next_renewal(cast, make):
    make.add(Account, key="A01", kind="software", what="Words", holder_words="June", renews_on="2026-12-31")
    make.add(Account, key="A02", kind="license", what="Songs", holder=make.person(), second_words="Gil")
    make.add(Account, key="A03", kind="stream", what="Stream", holder_words="Theo", renews_on="2027-06-01")
    assert page(cast, "accounts").h1.get_text() == (
        "Two accounts have one holder only. Next to renew: Words, on December 31, 2026."
    )


def test_an_account_is_written_changed_and_taken_off(cast):
    slug = cast.ministry.slug
    given = {"what": "Words", "kind": "software", "yearly_cost_minor": "420.00"}
    assert cast.client(Role.CREW).post(reverse("account-add", args=[slug]), given).status_code == 403
    cast.client().post(reverse("account-add", args=[slug]), given)
    row = Account.objects.get()
    assert (row.key, row.yearly_cost_minor) == ("A01", 42_000)
    changed = given | {"what": "Words and songs", "base_version": 1}
    cast.client(Role.COACH).post(reverse("account-edit", args=[slug, row.uid]), changed)
    row.refresh_from_db()
    assert row.what == "Words and songs"
    assert cast.client(Role.COACH).post(reverse("account-remove", args=[slug, row.uid])).status_code == 403
    cast.client().post(reverse("account-remove", args=[slug, row.uid]))
    assert not Account.objects.exists()
