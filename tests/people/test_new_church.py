"""A church begins with three answers; whoever is first on a new machine says who they are as well."""

from datetime import date

import pytest
from django.test import Client

from inventory.models import Place, Site
from people.compute.cleaning import slug_words
from people.models import Act, Member, Ministry, Person, User
from people.services.ministries import free_slug, reserved_slugs
from people.services.undo import undo

ANSWERS = {"name": "Cordwain Church", "where": "US:OH", "main_room": "Auditorium", "out_by": "2027-01-31"}
ME = {
    "me-email": "Renata@Example.org",
    "me-name": "Renata Kowalczyk",
    "me-new_password1": "four unrelated words",
    "me-new_password2": "four unrelated words",
}


def test_three_answers_make_a_church_with_its_lead_and_two_buildings(cast):
    answer = cast.client("crew").post("/new/", ANSWERS)
    church = Ministry.objects.get(slug="cordwain-church")
    assert answer["Location"] == "/cordwain-church/first-list/"
    assert (church.country, church.state, church.currency) == ("US", "OH", "USD")
    assert church.zone == "America/New_York"  # Ohio keeps Eastern Time: 49 CFR 71.5, IANA America/New_York
    assert Member.objects.get(ministry=church).roles == ["lead"]
    assert Person.objects.get(ministry=church).member.user == cast["crew"].user
    here, old = Site.objects.filter(ministry=church)
    assert here.receives and Place.objects.get(ministry=church).site == here
    assert Place.objects.get(ministry=church).name == "Auditorium" and old.exit_on == date(2027, 1, 31)


def test_what_a_church_began_with_is_one_act_and_can_be_taken_back(cast):
    cast.client().post("/new/", ANSWERS)
    undo(act=Act.objects.get(kind="church-begin"), by=cast.lead)
    assert not Site.objects.exists() and not Place.objects.exists()


@pytest.mark.parametrize(
    ("where", "currency", "zone"),
    [
        ("GB:", "GBP", "Europe/London"),
        ("US:HI", "USD", "Pacific/Honolulu"),
        ("IE:", "EUR", "Europe/Dublin"),
        ("DE:", "EUR", "Europe/Berlin"),
    ],
)
def test_country_and_state_decide_money_and_time(cast, where, currency, zone):
    choices = cast.client().get("/new/").content.decode()
    sent = where if f'value="{where}"' in choices else next_region(choices, where)
    cast.client().post("/new/", ANSWERS | {"where": sent})
    church = Ministry.objects.get(slug="cordwain-church")
    assert (church.currency, church.zone) == (currency, zone)


def next_region(page: str, where: str) -> str:
    start = page.index(f'value="{where}') + len('value="')
    return page[start : page.index('"', start)]


def test_the_first_visitor_of_a_new_machine_becomes_lead_and_is_signed_in(db):
    client = Client()
    assert "Your password" not in client.get("/new/").content.decode()
    assert "Begin with your church" in client.get("/sign-in/").content.decode()
    assert client.post("/new/", ANSWERS | ME)["Location"] == "/cordwain-church/first-list/"
    assert client.get("/cordwain-church/first-list/").status_code == 200
    assert User.objects.get().email == "renata@example.org"


def test_once_somebody_is_here_strangers_sign_in_first(cast, settings):
    assert Client().get("/new/")["Location"] == "/sign-in/?next=/new/"
    assert Client().post("/new/", ANSWERS | ME)["Location"].startswith("/sign-in/")
    settings.OPEN_SIGN_UP = True
    assert Client().get("/new/").status_code == 200


@pytest.mark.parametrize(
    "wrong", [{"where": "FR:"}, {"where": ""}, {"name": "\u200b"}, {"main_room": ""}, {"out_by": "someday"}]
)
def test_an_answer_that_cannot_be_used_is_named_and_nothing_is_kept(cast, wrong):
    before = Ministry.objects.count()
    assert cast.client().post("/new/", ANSWERS | wrong).status_code == 422
    assert Ministry.objects.count() == before


def test_nothing_is_kept_of_a_founder_whose_answers_are_wrong(db):
    assert Client().post("/new/", ANSWERS | ME | {"where": ""}).status_code == 422
    assert not User.objects.exists()


def test_short_names_are_unlike_any_address_and_any_other(cast):
    assert {"new", "sign-in", "join", "healthz", "account", "patterns", "static"} <= reserved_slugs()
    assert free_slug("New!") == "new-2" and free_slug("First") == "first-2" and free_slug("聖堂") == "church"
    assert len(free_slug("x" * 300)) <= 60


def test_a_short_name_reads_like_the_name():
    assert slug_words("  St. Émile's & Söhne ") == "st-emile-s-sohne"


def test_the_first_list_goes_to_the_intake(cast):
    page = cast.client().get("/first/first-list/").content.decode()
    assert 'action="/first/intake/"' in page and 'name="files"' in page
