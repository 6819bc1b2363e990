"""Two clicks at the very same moment: an invitation is used once, and two leads cannot take each other off."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection, connections

from people.models import Member
from people.services.invitations import NotGood, accept, invite
from people.services.members import LastLead, set_roles
from tests.conftest import make_member, make_ministry

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor == "sqlite", reason="the suite's database in memory has one connection; run on PostgreSQL"
    ),
]


def at_once(*works) -> list[str]:
    """Return what each of the works came to, all begun at the same moment."""
    start = Barrier(len(works))

    def run(work) -> str:
        start.wait(timeout=10)
        try:
            work()
            return "done"
        except (NotGood, LastLead) as refused:
            return type(refused).__name__
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(works)) as pool:
        return sorted(pool.map(run, works))


def test_of_two_who_open_one_link_at_once_one_joins():
    church = make_ministry()
    lead = make_member(church, "lead")
    others = [make_member(make_ministry(f"c{n}"), "lead").user for n in range(2)]
    __, secret = invite(email="x@example.org", roles=["crew"], by=lead)
    assert at_once(*(lambda user=user: accept(secret=secret, user=user) for user in others)) == ["NotGood", "done"]
    assert Member.objects.filter(ministry=church).count() == 2


def test_two_leads_who_take_each_other_off_at_once_leave_one():
    church = make_ministry()
    one, two = make_member(church, "lead", email="1@example.org"), make_member(church, "lead", email="2@example.org")
    works = [
        lambda: set_roles(member=one, roles=["crew"], by=two),
        lambda: set_roles(member=two, roles=["crew"], by=one),
    ]
    assert at_once(*works) == ["LastLead", "done"]
