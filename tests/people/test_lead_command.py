"""The shell makes a technical lead, and a new one chooses a password by a link that works once."""

import io
import re

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from people.models import Member, Ministry


def run(*words: str) -> str:
    out = io.StringIO()
    call_command("lead", *words, stdout=out)
    return out.getvalue()


def test_a_new_lead_gets_a_link_that_sets_a_password_once(cast):
    said = run("Ana@Example.org", "--ministry", "first", "--name", "Ana")
    path = re.search(r"http://[^/]+(/forgotten/\S+)", said)[1]
    client = Client()
    form = client.get(path, follow=True).redirect_chain[-1][0]
    client.post(form, {"new_password1": "four unrelated words", "new_password2": "four unrelated words"})
    sent = {"username": "ana@example.org", "password": "four unrelated words"}
    assert Client().post("/sign-in/", sent)["Location"] == "/"
    assert "no longer good" in Client().get(path, follow=True).content.decode()


def test_one_who_is_here_keeps_their_other_roles_and_no_link_is_made(cast):
    said = run("crew@first.example.org", "--ministry", "first")
    assert Member.objects.get(pk=cast["crew"].pk).roles == ["lead", "crew"]
    assert "forgotten" not in said


def test_what_cannot_be_done_is_said(cast):
    with pytest.raises(CommandError, match="There are: elsewhere, first"):
        run("ana@example.org")
    with pytest.raises(CommandError, match="There are"):
        run("ana@example.org", "--ministry", "third")
    with pytest.raises(CommandError, match="no e-mail address"):
        run("ana", "--ministry", "first")


def test_before_there_is_a_church_it_says_where_to_begin(db):
    assert not Ministry.objects.exists()
    with pytest.raises(CommandError, match="/new/"):
        run("ana@example.org")
