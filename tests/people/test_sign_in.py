"""Signing in and out, and replacing a password, give nothing away and stop whoever guesses."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.core import mail
from django.test import Client

from people.models import LetterCount, User
from people.network import client_address, neighborhood
from people.services.letters import may_send_letter

GOOD = "a long pass phrase"


def sign_in(client: Client, email: str, password: str = GOOD, **extra):
    return client.post("/sign-in/", {"username": email, "password": password}, **extra)


def test_a_member_signs_in_by_address_in_any_case_and_out_again(cast):
    client = Client()
    assert sign_in(client, "  LEAD@first.example.org").status_code == 302
    assert client.get("/account/").status_code == 200
    assert client.get("/sign-out/").status_code == 405
    client.post("/sign-out/")
    assert client.get("/account/").status_code == 302


def test_a_wrong_password_and_an_unknown_address_read_the_same(cast):
    answers = [sign_in(Client(), email, "wrong") for email in ("lead@first.example.org", "nobody@example.org")]
    texts = [re.sub(r'value="[^"]*"|content="[^"]*"', "", answer.content.decode()) for answer in answers]
    assert texts[0] == texts[1] and "do not belong together" in texts[0]


def test_guessing_one_address_is_stopped_in_every_spelling_and_others_are_not(cast):
    client = Client()
    for number in range(8):
        sign_in(client, "lead@first.example.org" if number % 2 else "Lead@First.example.org", "wrong")
    locked = sign_in(client, "LEAD@first.example.org")
    assert locked.status_code == 429 and "wait a quarter of an hour" in locked.content.decode()
    assert sign_in(Client(), "crew@first.example.org").status_code == 302
    assert sign_in(Client(), "lead@first.example.org", REMOTE_ADDR="192.0.2.7").status_code == 302


@pytest.mark.parametrize("where", ["https://elsewhere.example.org/", "//elsewhere.example.org/", "javascript:alert(1)"])
def test_signing_in_never_leads_to_another_site(cast, where):
    answer = Client().post(
        f"/sign-in/?next={where}", {"username": cast.lead.user.email, "password": GOOD, "next": where}
    )
    assert answer.status_code == 302 and answer["Location"] == "/"


def test_a_closed_account_does_not_sign_in(cast):
    User.objects.get(email="crew@first.example.org")
    user = cast["crew"].user
    user.is_active = False
    user.save()
    assert sign_in(Client(), user.email).status_code == 200


def test_asking_for_a_new_password_answers_alike_and_writes_only_to_those_here(cast):
    answers = [Client().post("/forgotten/", {"email": e}) for e in ("LEAD@first.example.org", "nobody@example.org")]
    assert {answer["Location"] for answer in answers} == {"/forgotten/sent/"}
    assert [letter.to for letter in mail.outbox] == [["lead@first.example.org"]]


def ask(email: str, network: str = "192.0.2.1"):
    return Client().post("/forgotten/", {"email": email}, REMOTE_ADDR=network)


def test_a_mailbox_gets_three_letters_an_hour_and_the_answer_stays_the_same(cast):
    """Three and twenty are this project's own numbers; the addresses are those RFC 5737 sets aside for examples."""
    answers = [ask("lead@first.example.org", f"192.0.2.{n}") for n in range(5)]
    assert {(one.status_code, one["Location"]) for one in answers} == {(302, "/forgotten/sent/")}
    assert len(mail.outbox) == 3
    ask("crew@first.example.org")
    assert len(mail.outbox) == 4


def test_one_network_address_sends_for_twenty_letters_an_hour(cast):
    for number in range(20):
        ask(f"nobody{number}@example.org")
    assert ask("lead@first.example.org")["Location"] == "/forgotten/sent/" and not mail.outbox
    ask("lead@first.example.org", "198.51.100.7")
    assert len(mail.outbox) == 1


def test_after_an_hour_letters_go_again_and_old_counts_are_used_anew(db):
    start = datetime(2026, 11, 3, 9, tzinfo=UTC)
    for minute in range(3):
        assert may_send_letter(email="a@example.org", network="192.0.2.1", now=start + timedelta(minutes=minute))
    assert not may_send_letter(email="a@example.org", network="192.0.2.1", now=start + timedelta(minutes=59))
    assert may_send_letter(email="a@example.org", network="192.0.2.1", now=start + timedelta(minutes=60))
    later = start + timedelta(hours=3)
    for number in range(10):
        when = later + number * timedelta(hours=2)
        assert may_send_letter(email=f"b{number}@example.org", network=f"192.0.2.{number}", now=when)
    assert LetterCount.objects.count() == 2
    assert not any("example" in key for key in LetterCount.objects.values_list("key", flat=True))


@pytest.mark.parametrize(
    ("proxies", "forwarded", "is_from"),
    [
        (0, "203.0.113.9", "192.0.2.1"),
        (1, "203.0.113.9", "203.0.113.9"),
        (1, "198.51.100.1, 203.0.113.9", "203.0.113.9"),  # the left one is what the visitor wrote
        (2, "198.51.100.1, 203.0.113.9", "198.51.100.1"),
        (2, "203.0.113.9", "192.0.2.1"),
        (1, "nonsense", None),
        (1, "", "192.0.2.1"),
    ],
)
def test_the_visitor_is_told_from_the_servers_in_front(settings, rf, proxies, forwarded, is_from):
    """Source: RFC 7239, section 5.2: each server appends the address it was asked from."""
    settings.PROXIES = proxies
    assert client_address(rf.get("/", headers={"x-forwarded-for": forwarded}, REMOTE_ADDR="192.0.2.1")) == is_from


def test_neighbors_of_one_ipv6_site_count_together():
    """Source: RFC 6177: a site has at least 64 bits to itself; addresses of RFC 3849."""
    assert neighborhood("2001:db8::1") == neighborhood("2001:db8::ffff") != neighborhood("2001:db8:1::1")
    assert neighborhood("192.0.2.1") == "192.0.2.1" and neighborhood(None) == "unknown"


def test_the_link_sets_a_new_password_once(cast):
    Client().post("/forgotten/", {"email": "lead@first.example.org"})
    link = re.search(r"http://testserver(/forgotten/\S+)", mail.outbox[0].body)[1]
    client = Client()
    form = client.get(link, follow=True)
    assert link not in form.redirect_chain[-1][0]  # the secret leaves the address bar
    new = "four unrelated words here"
    client.post(form.redirect_chain[-1][0], {"new_password1": new, "new_password2": new})
    assert sign_in(Client(), "lead@first.example.org", new).status_code == 302
    assert "no longer good" in Client().get(link, follow=True).content.decode()


def test_changing_ones_password_signs_other_devices_out(cast):
    here, there = cast.client(), cast.client()
    new = "four unrelated words here"
    sent = {"old_password": GOOD, "new_password1": new, "new_password2": new}
    assert here.post("/account/password/", sent).status_code == 302
    assert here.get("/account/").status_code == 200 and there.get("/account/").status_code == 302


def test_a_weak_password_is_refused_in_words(cast):
    sent = {"old_password": GOOD, "new_password1": "short", "new_password2": "short"}
    assert "at least 10 characters" in cast.client().post("/account/password/", sent).content.decode()


def test_one_may_be_called_something_else(cast):
    client = cast.client()
    client.post("/account/", {"name": " Renata\u200b Kowalczyk "})
    cast.lead.user.refresh_from_db()
    assert cast.lead.user.name == "Renata Kowalczyk"
    assert client.post("/account/", {"name": ""}).status_code == 422


def test_passwords_are_kept_by_argon2_outside_the_suite(settings):
    assert "Argon2" in settings.PASSWORD_HASHERS[1]  # the first is the suite's fast one
