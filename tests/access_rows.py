"""What every named address answers to whom: one row a name. A name without a row fails the suite.

To add one: `"gear-take": row("record", lambda make: {"uid": make.piece().uid}, method="post")`. `may` is the ability
of people.roles the page needs; the maker returns the rest of the address (`ministry` is filled in) and runs inside the
ministry of the cast. A page that answers POST only says method="post"; whatever it says to an empty form is fine.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.utils import timezone

from inventory.models import Source, Twin
from people.models import Act, Invitation
from people.services import invitations
from tests.makers import Maker

Kwargs = Callable[[Maker], dict[str, Any]]


@dataclass(frozen=True)
class Row:
    """may: ability a member needs, '' for pages outside a ministry. for_nobody: what a signed-out visitor gets.

    seen_with: ability a member needs to know that the thing is there at all; without it the answer is 404, not 403.
    """

    may: str = "see"
    kwargs: Kwargs | None = None
    method: str = "get"
    data: Kwargs | None = None
    for_nobody: int = 302
    ok: frozenset[int] = frozenset({200, 204, 302, 400, 409, 410, 422})
    seen_with: str = "see"
    reads_words: bool = field(default=True)  # whether the answer is a page whose words a test may read


def row(may: str = "see", kwargs: Kwargs | None = None, **rest: Any) -> Row:
    return Row(may, kwargs, **rest)


def outside(kwargs: Kwargs | None = None, **rest: Any) -> Row:
    """Return a row for a page that belongs to no ministry."""
    return Row("", kwargs, **rest)


def an_act(make: Maker) -> dict[str, Any]:
    make.piece()
    return {"act": Act.objects.filter(ministry=make.cast.ministry).latest("id").pk}


def a_secret(make: Maker) -> dict[str, Any]:
    return {"secret": invitations.invite(email="new@example.org", roles=["crew"], by=make.cast.lead)[1]}


def an_invitation(make: Maker) -> dict[str, Any]:
    now = timezone.now()
    values = {"email": "late@example.org", "roles": ["crew"], "secret_hash": "0" * 64, "invited_by": make.cast.lead}
    kept = Invitation.objects.create(ministry=make.cast.ministry, expires_at=now + timezone.timedelta(days=7), **values)
    return {"invitation": kept.pk}


PEOPLE = {
    "churches": outside(),
    "new-church": outside(),
    "sign-in": outside(for_nobody=200),
    "sign-out": outside(method="post", reads_words=False),
    "account": outside(),
    "password-change": outside(),
    "password-reset": outside(for_nobody=200),
    "password-reset-sent": outside(for_nobody=200),
    "password-reset-confirm": outside(lambda make: {"uidb64": "MQ", "token": "set-password"}, for_nobody=200),
    "join": outside(a_secret, for_nobody=200),
    "healthz": outside(for_nobody=200, reads_words=False),
    "patterns": outside(for_nobody=200, reads_words=False),
    "church": row(reads_words=False),
    "first-list": row("decide_fates"),
    "members": row("manage"),
    "invitation-new": row("manage"),
    "invitation-again": row("manage", an_invitation, method="post"),
    "invitation-withdraw": row("manage", an_invitation, method="post"),
    "member-edit": row("manage", lambda make: {"member": make.cast["crew"].pk}),
    "member-serves": row("manage", lambda make: {"member": make.cast["crew"].pk}, method="post"),
    "persons": row("see"),
    "person-add": row("record"),
    "person-edit": row("record", lambda make: {"uid": make.person().uid}),
    "person-remove": row("remove", lambda make: {"uid": make.person().uid}),
    "happened": row("see"),
    "happened-act": row("see", an_act),
    "happened-thing": row("see", lambda make: {"kind": "piece", "uid": make.piece().uid}),
    "undo": row("plan", an_act),  # the lead's act: those who plan may take anyone's back, others only their own
}


def a_source(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Source, name="list.csv", sha256="0" * 64).uid}


def a_twin(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Twin, first=make.piece(), second=make.piece(), bits=9).uid}


INVENTORY = {
    "intake": row("decide_fates"),
    "sources": row("decide_fates"),
    "source": row("decide_fates", a_source),
    "intake-dry-run": row("decide_fates", a_source),
    "intake-columns": row("decide_fates", a_source, method="post"),
    "source-take-in": row("decide_fates", a_source, method="post"),
    "source-set-aside": row("decide_fates", a_source, method="post"),
    "questions": row("decide_fates"),
    "question-answer": row("decide_fates", method="post"),
    "twins": row("decide_fates"),
    "twin": row("decide_fates", a_twin),
    "twin-rule": row("decide_fates", a_twin, method="post"),
    "twin-unmerge": row("decide_fates", a_twin, method="post"),
}
ROADMAP: dict[str, Row] = {}
ROWS: dict[str, Row] = {**PEOPLE, **INVENTORY, **ROADMAP}

# What a form of a ministry needs besides its viewer, where `make.<name>()` or an empty list will not do:
# {(form's name, argument): value}. tests/test_tenancy.py builds every form with it.
FORM_ARGUMENTS: dict[tuple[str, str], Any] = {}
