"""An invitation is a link that works once, for seven days, for one who is new and for one who is here."""

import re
from datetime import timedelta

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from people.models import Invitation, Member, Person, User
from people.services.invitations import NotGood, accept, accept_as_new, invite, invite_again

NEW = {"name": "Theo Ansah", "new_password1": "four unrelated words", "new_password2": "four unrelated words"}


@pytest.fixture
def invited(cast):
    return invite(email="Theo@Example.org", roles=["crew", "treasurer"], by=cast.lead)


def join(secret: str) -> str:
    return reverse("join", kwargs={"secret": secret})


def test_the_secret_is_kept_only_as_its_hash(invited):
    invitation, secret = invited
    assert len(secret) >= 40 and secret not in str(vars(Invitation.objects.get())) and len(invitation.secret_hash) == 64


def test_someone_new_names_themselves_and_is_in(cast, invited):
    client = Client()
    page = client.get(join(invited[1]))
    assert page.status_code == 200 and "theo@example.org" in page.content.decode()
    assert client.post(join(invited[1]), NEW).status_code == 302
    member = Member.objects.get(user__email="theo@example.org")
    assert member.ministry == cast.ministry and member.roles == ["crew", "treasurer"]
    assert Person.objects.get(member=member).name == "Theo Ansah"
    assert client.get(f"/{cast.ministry.slug}/people/").status_code == 200


def test_a_link_works_once_and_a_second_click_of_the_same_finger_is_welcomed(cast, invited):
    client = Client()
    client.post(join(invited[1]), NEW)
    assert Client().get(join(invited[1])).status_code == 410
    assert client.post(join(invited[1]), NEW)["Location"] == f"/{cast.ministry.slug}/"
    assert User.objects.filter(email="theo@example.org").count() == 1
    with pytest.raises(NotGood):
        accept_as_new(secret=invited[1], name="Again", password="x")
    with pytest.raises(NotGood):
        accept(secret=invited[1], user=cast["reader"].user)


def test_one_who_is_signed_in_joins_with_a_click_and_keeps_the_roles_they_have(cast, invited):
    client = cast.client("reader")
    assert "Join First Church" in client.get(join(invited[1])).content.decode()
    client.post(join(invited[1]))
    assert Member.objects.get(pk=cast["reader"].pk).roles == ["crew", "treasurer", "reader"]


def test_one_who_has_an_account_must_sign_in_and_no_link_changes_their_password(cast):
    __, secret = invite(email=cast.stranger.user.email, roles=["lead"], by=cast.lead)
    page = Client().post(join(secret), NEW).content.decode()
    assert "Sign in to join" in page and f"next={join(secret)}" in page
    assert User.objects.get(pk=cast.stranger.user.pk).check_password("a long pass phrase")


@pytest.mark.parametrize("how", ["too old", "withdrawn", "made up", "replaced"])
def test_a_link_that_is_no_longer_good_says_one_sentence(cast, invited, how):
    invitation, secret = invited
    if how == "too old":
        invitation.expires_at = timezone.now() - timedelta(seconds=1)
        invitation.save()
    elif how == "withdrawn":
        kwargs = {"ministry": cast.ministry.slug, "invitation": invitation.pk}
        cast.client().post(reverse("invitation-withdraw", kwargs=kwargs))
    elif how == "replaced":
        invite_again(invitation=invitation, by=cast.lead)
    answer = Client().post(join("x" * 43 if how == "made up" else secret), NEW)
    assert answer.status_code == 410 and "no longer good" in answer.content.decode()
    assert not User.objects.filter(email="theo@example.org").exists()


def test_it_is_good_for_seven_days(invited):
    left = invited[0].expires_at - timezone.now()
    assert timedelta(days=6, hours=23) < left <= timedelta(days=7)


def test_the_link_is_shown_once_and_sent(cast):
    url = reverse("invitation-new", kwargs={"ministry": cast.ministry.slug})
    page = cast.client().post(url, {"email": "theo@example.org", "roles": ["crew"]})
    link = re.search(r"http://testserver/join/[\w-]+/", page.content.decode())[0]
    assert link in mail.outbox[0].body and mail.outbox[0].to == ["theo@example.org"]
    assert "no-store" in page["Cache-Control"]
    members = cast.client().get(reverse("members", kwargs={"ministry": cast.ministry.slug})).content.decode()
    assert "theo@example.org" in members and link not in members


def test_without_mail_the_page_says_to_hand_the_link_over(cast, settings):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    url = reverse("invitation-new", kwargs={"ministry": cast.ministry.slug})
    page = cast.client().post(url, {"email": "theo@example.org", "roles": ["crew"]}).content.decode()
    assert "Give this link to theo@example.org yourself" in page and "/join/" in page


def test_a_name_already_on_the_list_of_people_is_the_same_person(cast, make, invited):
    known = make.person(name="Theo Ansah", sort_key="theo ansah")
    Client().post(join(invited[1]), NEW)
    known.refresh_from_db()
    assert known.member.user.email == "theo@example.org" and Person.objects.count() == 1


def test_a_weak_or_mistyped_password_is_refused(invited):
    for password, again in (
        ("short", "short"),
        ("four unrelated words", "another"),
        ("theo@example.org", "theo@example.org"),
    ):
        answer = Client().post(join(invited[1]), {"name": "T", "new_password1": password, "new_password2": again})
        assert answer.status_code == 422
