"""People around the work: written down, changed, taken off; contacts seen by few."""

import pytest
from django.urls import reverse

from people.models import Act, Person
from people.services.undo import undo


def at(cast, name, **kwargs):
    return reverse(name, kwargs={"ministry": cast.ministry.slug, **kwargs})


@pytest.fixture
def gil(make):
    return make.person(name="Gil Mossbarger", email="gil@example.org", phone="555 0100", sort_key="gil mossbarger")


def test_crew_writes_someone_down_and_can_undo_it(cast):
    page = cast.client("crew").post(at(cast, "person-add"), {"name": "Émile Roux", "does": "lights"}, follow=True)
    assert Person.objects.get().sort_key == "emile roux"
    assert f'action="{at(cast, "undo", act=Act.objects.latest("id").pk)}"' in page.content.decode()


def test_only_what_differs_is_written_and_nothing_when_nothing_does(cast, gil):
    url, client = at(cast, "person-edit", uid=gil.uid), cast.client()
    sent = {"name": gil.name, "email": gil.email, "phone": gil.phone, "does": "keys", "base_version": 1}
    client.post(url, sent)
    assert gil.history.count() == 2
    client.post(url, sent | {"base_version": 2})
    assert gil.history.count() == 2


def test_an_edit_of_an_older_state_is_said_and_kept_on_the_second_try(cast, gil):
    url, client = at(cast, "person-edit", uid=gil.uid), cast.client()
    sent = {"name": "Gil", "email": "", "phone": "1", "base_version": 1}
    client.post(url, sent)
    late = client.post(url, sent | {"phone": "2"})
    assert late.status_code == 422 and "Someone wrote 1 here meanwhile" in late.content.decode()
    assert 'name="base_version" value="2"' in late.content.decode()
    client.post(url, sent | {"phone": "2", "base_version": 2})
    gil.refresh_from_db()
    assert gil.phone == "2"


def test_edits_of_different_columns_are_both_kept(cast, gil):
    url, client = at(cast, "person-edit", uid=gil.uid), cast.client()
    sent = {"name": gil.name, "email": gil.email, "phone": gil.phone, "base_version": 1}
    client.post(url, sent | {"does": "keys"})
    client.post(url, sent | {"home_site": "Pennick Road"})
    gil.refresh_from_db()
    assert (gil.does, gil.home_site) == ("keys", "Pennick Road")


@pytest.mark.parametrize(("role", "shown"), [("lead", True), ("crew", True), ("treasurer", True), ("reader", False)])
def test_contacts_are_shown_to_all_but_readers(cast, gil, role, shown):
    page = cast.client(role).get(at(cast, "persons")).content.decode()
    assert gil.name in page and (gil.email in page) is shown and (gil.phone in page) is shown


def test_contacts_of_someone_under_18_stand_on_no_list_and_only_the_lead_edits_them(cast, make):
    amos = make.person(name="Amos", email="amos@example.org", phone="555 0111", is_minor=True)
    for role in ("lead", "coach", "crew", "treasurer", "leadership", "reader"):
        page = cast.client(role).get(at(cast, "persons")).content.decode()
        assert "Amos" in page and "amos@example.org" not in page and "555 0111" not in page
    url = at(cast, "person-edit", uid=amos.uid)
    assert "amos@example.org" in cast.client().get(url).content.decode()
    assert "amos@example.org" not in cast.client("coach").get(url).content.decode()
    cast.client("coach").post(url, {"name": "Amos T", "is_minor": "on", "base_version": 1})
    amos.refresh_from_db()
    assert (amos.name, amos.email) == ("Amos T", "amos@example.org")


def test_taking_someone_off_frees_what_named_them_and_undo_brings_all_back(cast, make, gil):
    step, site = make.step(owner=gil), make.site(keyholder=gil)
    cast.client().post(at(cast, "person-remove", uid=gil.uid))
    step.refresh_from_db()
    assert step.owner is None and not Person.objects.exists()
    undo(act=Act.objects.latest("id"), by=cast.lead)
    step.refresh_from_db()
    site.refresh_from_db()
    assert (step.owner.name, site.keyholder.name) == ("Gil Mossbarger", "Gil Mossbarger")


def test_people_cost_the_same_queries_for_many(cast, make, same_queries):
    make.person(member=cast.lead)
    same_queries(cast.client(), at(cast, "persons"), lambda: [make.person() for _ in range(20)])
