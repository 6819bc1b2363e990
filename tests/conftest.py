"""The cast every test can call on: a church with one member a role, a stranger, and makers of single things."""

import os
from collections.abc import Callable
from datetime import date
from typing import Any

import hypothesis
import pytest
from django.test import Client

from people.access import Viewer
from people.models import Member, Ministry, User
from people.roles import Role

TODAY = date(2026, 11, 3)

# No example is judged by the clock: machines are shared. In CI the same examples come each time.
hypothesis.settings.register_profile("suite", deadline=None, derandomize="CI" in os.environ)
hypothesis.settings.load_profile("suite")


def make_ministry(slug: str = "first", **only_what_matters: Any) -> Ministry:
    values = {"name": slug.title() + " Church", "country": "US", "zone": "America/New_York", "currency": "USD"}
    return Ministry.objects.create(slug=slug, today_is=TODAY, **(values | only_what_matters))


def make_member(ministry: Ministry, *roles: str, email: str = "") -> Member:
    address = email or f"{'-'.join(roles)}@{ministry.slug}.example.org"
    user = User.objects.filter(email=address).first() or User.objects.create_user(address, "a long pass phrase")
    return Member.objects.create(ministry=ministry, user=user, roles=list(roles))


def viewer_for(member: Member) -> Viewer:
    return Viewer(member.ministry, member, frozenset(member.roles))


class Cast:
    """One ministry with a member a role, one with two hats, a stranger who leads another church."""

    def __init__(self) -> None:
        self.ministry = make_ministry()
        self.members = {role: make_member(self.ministry, role) for role in Role.values}
        self.two_hats = make_member(self.ministry, Role.CREW, Role.TREASURER)
        self.elsewhere = make_ministry("elsewhere")
        self.stranger = make_member(self.elsewhere, Role.LEAD)

    def __getitem__(self, role: str) -> Member:
        return self.members[role]

    @property
    def lead(self) -> Member:
        return self.members[Role.LEAD]

    def viewer(self, role: str = Role.LEAD) -> Viewer:
        return viewer_for(self.members[role])

    def client(self, who: str | Member | None = Role.LEAD) -> Client:
        """Return a browser signed in as a role, a member, or nobody (None)."""
        client = Client()
        if who is not None:
            client.force_login(
                (who if isinstance(who, Member) else self.members[who]).user,
                backend="django.contrib.auth.backends.ModelBackend",
            )
        return client


@pytest.fixture
def cast(db: None) -> Cast:
    return Cast()


@pytest.fixture
def make(cast: Cast) -> Any:
    from tests.makers import Maker

    return Maker(cast)


@pytest.fixture
def same_queries(django_assert_num_queries: Any) -> Callable[..., None]:
    """Assert that a page costs the same number of queries for few rows and for many."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def check(client: Client, url: str, add_rows: Callable[[], None]) -> None:
        client.get(url)
        with CaptureQueriesContext(connection) as few:
            assert client.get(url).status_code == 200
        add_rows()
        with CaptureQueriesContext(connection) as many:
            assert client.get(url).status_code == 200
        assert len(many) == len(few), "\n".join(q["sql"][:160] for q in many.captured_queries)

    return check
