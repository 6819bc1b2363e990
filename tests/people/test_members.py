"""Members and their roles; a church keeps one technical lead."""

import pytest
from django.urls import reverse

from people.models import Act, Invitation, Member
from people.roles import Role
from people.services.invitations import invite
from people.services.members import LastLead, set_roles, set_serving
from tests.conftest import make_member


def at(cast, name, **kwargs):
    return reverse(name, kwargs={"ministry": cast.ministry.slug, **kwargs})


def test_the_lead_gives_and_takes_roles_and_it_is_told(cast):
    sent = {"roles": ["coach", "crew"]}
    answer = cast.client().post(at(cast, "member-edit", member=cast["crew"].pk), sent)
    assert answer.status_code == 302
    assert Member.objects.get(pk=cast["crew"].pk).roles == ["coach", "crew"]
    assert Act.objects.latest("id").says == "crew@first.example.org is now: coach, crew."


def test_no_role_or_an_unknown_one_is_refused(cast):
    url = at(cast, "member-edit", member=cast["crew"].pk)
    for sent in ({}, {"roles": ["pope"]}):
        assert cast.client().post(url, sent).status_code == 422


def test_the_last_lead_stays(cast):
    with pytest.raises(LastLead):
        set_roles(member=cast.lead, roles=["coach"], by=cast.lead)
    with pytest.raises(LastLead):
        set_serving(member=cast.lead, serves=False, by=cast.lead)
    answer = cast.client().post(at(cast, "member-edit", member=cast.lead.pk), {"roles": ["coach"]})
    assert answer.status_code == 422 and "one technical lead" in answer.content.decode()
    answer = cast.client().post(at(cast, "member-serves", member=cast.lead.pk), {"serves": "no"}, follow=True)
    assert "one technical lead" in answer.content.decode()
    cast.lead.refresh_from_db()
    assert cast.lead.is_active and cast.lead.roles == ["lead"]


def test_with_a_second_lead_the_first_may_go_and_one_gone_does_not_count(cast):
    second = make_member(cast.ministry, Role.LEAD, email="second@example.org")
    set_serving(member=second, serves=False, by=cast.lead)
    with pytest.raises(LastLead):
        set_roles(member=cast.lead, roles=["crew"], by=cast.lead)
    set_serving(member=second, serves=True, by=cast.lead)
    set_roles(member=cast.lead, roles=["crew"], by=second)
    assert Member.objects.get(pk=cast.lead.pk).roles == ["crew"]


def test_whoever_no_longer_serves_sees_nothing_and_may_come_back(cast):
    url = at(cast, "persons")
    crew = cast.client("crew")
    cast.client().post(at(cast, "member-serves", member=cast["crew"].pk), {"serves": "no"})
    assert crew.get(url).status_code == 404
    cast.client().post(at(cast, "member-serves", member=cast["crew"].pk), {"serves": "yes"})
    assert crew.get(url).status_code == 200


def test_the_links_of_a_lead_who_goes_are_good_no_more(cast):
    second = make_member(cast.ministry, Role.LEAD, email="second@example.org")
    invitation, __ = invite(email="friend@example.org", roles=["lead"], by=second)
    set_roles(member=second, roles=["reader"], by=cast.lead)
    assert Invitation.objects.get(pk=invitation.pk).expires_at == invitation.created_at


def test_every_role_says_what_it_may(cast):
    page = cast.client().get(at(cast, "members")).content.decode()
    for words in ("technical lead", "sees no prices anywhere", "decides at the gates", "edits money and orders"):
        assert words in page


def test_members_cost_the_same_queries_for_many(cast, same_queries):
    def more():
        for number in range(20):
            make_member(cast.ministry, "crew", email=f"c{number}@example.org")
            invite(email=f"i{number}@example.org", roles=["crew"], by=cast.lead)

    invite(email="i@example.org", roles=["crew"], by=cast.lead)
    same_queries(cast.client(), at(cast, "members"), more)
