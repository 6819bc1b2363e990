"""The lead changes what the church says of itself; each change is told, and money keeps its country.

Zones are those of the IANA time zone database for the state; that currency follows the country is ISO 4217.
"""

from datetime import date

import pytest
from bs4 import BeautifulSoup
from django.urls import reverse

from people.models import Act, Ministry
from people.services import record
from people.services.ministries import MoneyIsKept, change_ministry, keeps_money


@pytest.fixture
def url(cast):
    return reverse("ministry-edit", kwargs={"ministry": cast.ministry.slug})


def page(client, url):
    return BeautifulSoup(client.get(url).content, "html.parser")


def sent(client, url, **changes):
    """Post the page's form as a browser would, with these changes."""
    form = page(client, url).main.find("form", method="post")
    values = {one["name"]: one.get("value", "") for one in form.find_all("input") if one.get("name")}
    for select in form.find_all("select"):
        chosen = select.find("option", selected=True) or select.find("option")
        values[select["name"]] = chosen["value"]
    return client.post(url, values | changes)


def told(cast):
    return list(Act.objects.filter(ministry=cast.ministry, kind="ministry-edit").order_by("pk").values_list("says"))


def test_each_change_is_kept_and_told_with_what_it_was(cast, url):
    answer = sent(cast.client(), url, name=" Second Church\t", main_room="sanctuary", out_by="2026-12-18")
    assert answer.status_code == 302
    church = Ministry.objects.get(pk=cast.ministry.pk)
    assert (church.name, church.main_room, church.out_by) == ("Second Church", "sanctuary", date(2026, 12, 18))
    assert (church.slug, church.country, church.zone) == ("first", "US", "America/New_York")
    assert told(cast) == [
        ("Name of the church: First Church → Second Church.",),
        ("What you call the main room of the church: nothing → sanctuary.",),
        ("The date everything must be out of the church: nothing → December 18, 2026.",),
    ]
    acts = Act.objects.filter(kind="ministry-edit")
    assert {act.by for act in acts} == {cast.lead}
    happened = cast.client("reader").get(reverse("happened", kwargs={"ministry": "first"})).content.decode()
    assert "First Church → Second Church" in happened


def test_what_was_not_changed_on_the_page_stays_as_another_left_it(cast, url):
    client = cast.client()
    change_ministry(ministry=cast.ministry, by=cast.lead, main_room="hall")
    opened = page(client, url)
    change_ministry(ministry=cast.ministry, by=cast.lead, name="Renamed meanwhile")
    form = opened.main.find("form", method="post")
    values = {one["name"]: one.get("value", "") for one in form.find_all("input") if one.get("name")}
    values |= {"where": "US:", "zone": "usual", "main_room": "auditorium"}
    assert client.post(url, values).status_code == 302
    church = Ministry.objects.get(pk=cast.ministry.pk)
    assert (church.name, church.main_room) == ("Renamed meanwhile", "auditorium")


def test_nothing_changed_writes_no_act(cast, url):
    assert sent(cast.client(), url).status_code == 302
    assert told(cast) == []


@pytest.mark.parametrize(
    ("changes", "zone"),
    [
        ({"where": "US:AZ"}, "America/Phoenix"),
        ({"where": "US:OH"}, "America/New_York"),
        ({"where": "US:FL", "zone": "America/Chicago"}, "America/Chicago"),
        ({"zone": "America/Denver"}, "America/Denver"),
    ],
)
def test_the_zone_follows_the_state_unless_one_is_chosen(cast, url, changes, zone):
    sent(cast.client(), url, **changes)
    assert Ministry.objects.get(pk=cast.ministry.pk).zone == zone


def test_without_money_the_country_may_change_and_the_currency_goes_with_it(cast, make, url):
    make.step(resale_minor=0)
    assert "No amount is kept yet" in page(cast.client(), url).main.get_text()
    assert sent(cast.client(), url, where="GB:ENG").status_code == 302
    church = Ministry.objects.get(pk=cast.ministry.pk)
    assert (church.country, church.currency, church.zone) == ("GB", "GBP", "Europe/London")
    assert ("Country of the church: United States → United Kingdom.",) in told(cast)


def test_a_zone_of_another_country_is_refused(cast, url):
    answer = sent(cast.client(), url, where="GB:ENG", zone="America/Denver")
    assert answer.status_code == 422 and "no zone of United Kingdom" in answer.content.decode()
    assert Ministry.objects.get(pk=cast.ministry.pk).country == "US"


def test_with_money_the_country_stays_and_the_page_says_why(cast, make, url):
    piece = make.piece(resale_minor=25000)
    with record.act(ministry=cast.ministry, by=cast.lead, kind="test", says="No guess after all."):
        record.change(piece, resale_minor=None)
    assert keeps_money(cast.ministry) and not keeps_money(cast.elsewhere)
    said = page(cast.client(), url).main
    assert "Amounts are kept in USD" in said.get_text()
    assert not said.select('option[value^="GB:"]') and said.select('option[value="US:OH"]')
    assert sent(cast.client(), url, where="GB:ENG").status_code == 422
    with pytest.raises(MoneyIsKept):
        change_ministry(ministry=cast.ministry, by=cast.lead, country="GB")
    assert sent(cast.client(), url, where="US:AZ").status_code == 302
    church = Ministry.objects.get(pk=cast.ministry.pk)
    assert (church.country, church.state, church.zone) == ("US", "AZ", "America/Phoenix")


@pytest.mark.parametrize("wrong", [{"name": ""}, {"name": "\u200b"}, {"out_by": "someday"}, {"where": "FR:"}])
def test_what_cannot_be_used_is_named_and_nothing_is_kept(cast, url, wrong):
    assert sent(cast.client(), url, **wrong).status_code == 422
    assert told(cast) == []


def test_a_british_church_keeps_its_date_when_only_its_name_changes(cast, url):
    """The browser's control takes ISO 8601 only; a day written 18/12/2026 would come back empty."""
    change_ministry(ministry=cast.ministry, by=cast.lead, country="GB", zone="Europe/London", out_by=date(2026, 12, 18))
    assert page(cast.client(), url).select_one('input[name="out_by"]')["value"] == "2026-12-18"
    sent(cast.client(), url, name="Renamed")
    church = Ministry.objects.get(pk=cast.ministry.pk)
    assert (church.name, church.out_by) == ("Renamed", date(2026, 12, 18))


def test_the_members_page_leads_there(cast, url):
    members = reverse("members", kwargs={"ministry": cast.ministry.slug})
    assert page(cast.client(), members).select_one(f'a[href="{url}"]')
