"""Every named address against nobody, a stranger and each role."""

from dataclasses import replace

import pytest
from django.db import transaction
from django.test import Client
from django.urls import URLResolver, get_resolver, reverse

from people.roles import ABILITIES, Ability, Role
from tests.access_rows import ROWS, Row


def all_names(resolver=None) -> list[str]:
    """Return the name of every address, walking into every include."""
    found = []
    for entry in (resolver or get_resolver()).url_patterns:
        found += all_names(entry) if isinstance(entry, URLResolver) else [entry.name or f"unnamed: {entry.pattern}"]
    return found


def address(make, name: str, ministry: str = "") -> str:
    row = ROWS[name]
    kwargs = row.kwargs(make) if row.kwargs else {}
    return reverse(name, kwargs={"ministry": ministry or make.cast.ministry.slug, **kwargs} if row.may else kwargs)


def answer(client: Client, url: str, row: Row, make) -> int:
    """Return the status, with whatever the page wrote taken back."""
    with transaction.atomic():
        if row.method == "post":
            status = client.post(url, row.data(make) if row.data else {}).status_code
        else:
            status = client.get(url).status_code
        transaction.set_rollback(True)
    return status


def may(role: str, abilities: str) -> bool:
    return any(role in ABILITIES[Ability(ability)] for ability in abilities.split())


@pytest.fixture(autouse=True)
def files_of_their_own(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


# What architecture.md's sentence on roles says, ability by ability, written out once more by hand.
SPOKEN = {
    "see": "lead coach crew leadership treasurer reader",
    "see_plan": "lead coach crew leadership treasurer",
    "see_money": "lead coach leadership treasurer",
    "see_contacts": "lead coach crew leadership treasurer",
    "record": "lead coach crew",
    "decide_fates": "lead coach",
    "plan": "lead coach",
    "edit_money": "lead coach treasurer",
    "edit_orders": "lead coach treasurer",
    "decide_gates": "lead leadership",
    "manage": "lead",
    "remove": "lead",
    "undo": "lead coach crew treasurer leadership",
}


def test_the_table_of_roles_is_what_was_agreed():
    assert {str(ability): set(roles) for ability, roles in ABILITIES.items()} == {
        ability: set(roles.split()) for ability, roles in SPOKEN.items()
    }


def test_every_named_address_has_a_row_and_every_row_an_address():
    names = set(all_names())
    assert not names - set(ROWS), f"give these a row in tests/access_rows.py: {sorted(names - set(ROWS))}"
    assert not set(ROWS) - names, f"these rows lead nowhere: {sorted(set(ROWS) - names)}"


@pytest.mark.parametrize("name", sorted(ROWS))
def test_an_address_answers_each_as_the_table_says(cast, make, name):
    row = ROWS[name]
    url = address(make, name)
    assert answer(cast.client(None), url, row, make) == row.for_nobody, "nobody"
    for role in Role.values:
        expected = row.ok if not row.may or may(role, row.may) else {403 if may(role, row.seen_with) else 404}
        assert answer(cast.client(role), url, row, make) in expected, role
    if row.may:
        assert answer(cast.client(cast.stranger), url, row, make) == 404, "a stranger"


@pytest.mark.parametrize("name", sorted(name for name, row in ROWS.items() if row.method == "post"))
def test_an_address_that_writes_is_not_opened_by_a_link(cast, make, name):
    assert cast.client().get(address(make, name)).status_code == 405


@pytest.mark.parametrize("name", sorted(name for name, row in ROWS.items() if row.to_write))
def test_who_may_open_a_page_may_not_always_send_its_form(cast, make, name):
    row = ROWS[name]
    url, sending = address(make, name), replace(row, method="post")
    for role in Role.values:
        expected = row.ok if may(role, row.to_write) else {403}
        assert answer(cast.client(role), url, sending, make) in expected, role
