"""Each role begins where its question is answered."""

import pytest

from people.roles import Role
from people.views.church import first_page


@pytest.mark.parametrize(
    ("role", "page"),
    [
        (Role.LEAD, "this-sunday"),
        (Role.COACH, "this-sunday"),
        (Role.CREW, "this-sunday"),
        (Role.LEADERSHIP, "money"),
        (Role.TREASURER, "money"),
        (Role.READER, "gear"),
    ],
)
def test_a_role_begins_at_its_own_page(cast, role, page):
    assert first_page(cast.viewer(role)) == f"/first/{page}/"
    assert cast.client(role).get("/first/").url == f"/first/{page}/"


def test_a_treasurer_who_also_serves_begins_with_sunday(cast):
    assert cast.client(cast.two_hats).get("/first/").url == "/first/this-sunday/"
