"""Invitations: a link that makes its bearer a member, once, for seven days. Only its hash is kept."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterable
from datetime import timedelta

from django.core.mail import send_mail
from django.db import models, transaction
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _

from people.models import Invitation, Member, User
from people.models.users import tidy_email
from people.roles import Role
from people.services import record
from people.services.persons import person_of_member

GOOD_FOR = timedelta(days=7)


class NotGood(Exception):
    """The link is unknown, used, withdrawn or too old; one sentence for all, so that nothing can be guessed."""

    def __str__(self) -> str:
        return _("This invitation is no longer good. Ask the one who sent it for a new link.")


def hashed(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def invite(*, email: str, roles: Iterable[str], by: Member) -> tuple[Invitation, str]:
    """Store an invitation and return it with its secret, which is kept nowhere."""
    secret = secrets.token_urlsafe(32)
    chosen = set(roles)
    with transaction.atomic():
        invitation = Invitation.objects.create(
            ministry=by.ministry,
            email=tidy_email(email),
            roles=[role for role in Role.values if role in chosen],
            secret_hash=hashed(secret),
            invited_by=by,
            expires_at=timezone.now() + GOOD_FOR,
        )
        _tell(by, _("Invited a new member."))
    return invitation, secret


def invite_again(*, invitation: Invitation, by: Member) -> str:
    """Make a new link, good for seven days, and return its secret; the old link is good no more."""
    secret = secrets.token_urlsafe(32)
    with transaction.atomic():
        locked = Invitation.objects.select_for_update().get(pk=invitation.pk)
        if locked.used_at:
            raise NotGood
        locked.secret_hash, locked.invited_by = hashed(secret), by
        locked.expires_at = timezone.now() + GOOD_FOR
        locked.save(update_fields=["secret_hash", "invited_by", "expires_at"])
        _tell(by, _("Sent an invitation again."))
    return secret


def withdraw(*, invitation: Invitation, by: Member) -> None:
    """End an invitation: its end is put at its beginning."""
    with transaction.atomic():
        locked = Invitation.objects.select_for_update().get(pk=invitation.pk)
        if locked.used_at:
            raise NotGood
        locked.expires_at = locked.created_at
        locked.save(update_fields=["expires_at"])
        _tell(by, _("Withdrew an invitation."))


def unanswered(member: Member) -> models.QuerySet[Invitation]:
    """Return the member's ministry's invitations that were neither used nor withdrawn, also those run out."""
    mine = Invitation.objects.filter(ministry=member.ministry, used_at=None)
    return mine.filter(expires_at__gt=models.F("created_at")).select_related("invited_by__user").order_by("-created_at")


def find_good(secret: str) -> Invitation:
    """Return the invitation this secret opens; raises NotGood."""
    found = Invitation.objects.select_related("ministry").filter(secret_hash=hashed(secret)).first()
    return _good(found)


def _good(invitation: Invitation | None) -> Invitation:
    if invitation is None or invitation.used_at or invitation.expires_at <= timezone.now():
        raise NotGood
    return invitation


@transaction.atomic
def accept(*, secret: str, user: User) -> Member:
    """Make the user a member with the invitation's roles beside any they have; raises NotGood.

    The row is locked, so that of two clicks one joins and the other finds the link used.
    """
    locked = Invitation.objects.select_for_update().filter(secret_hash=hashed(secret)).first()
    invitation = _good(locked)
    member, __ = Member.objects.get_or_create(
        ministry=invitation.ministry, user=user, defaults={"roles": invitation.roles}
    )
    member.roles = [role for role in Role.values if role in {*member.roles, *invitation.roles}]
    member.is_active = True
    member.save(update_fields=["roles", "is_active"])
    invitation.used_at = timezone.now()
    invitation.save(update_fields=["used_at"])
    person_of_member(member=member)
    return member


@transaction.atomic
def accept_as_new(*, secret: str, name: str, password: str) -> Member:
    """Make an account for the invited address and join with it; raises NotGood, also where there is an account."""
    invitation = _good(Invitation.objects.select_for_update().filter(secret_hash=hashed(secret)).first())
    if User.objects.filter(email=invitation.email).exists():
        raise NotGood
    user = User.objects.create_user(invitation.email, password, name=name)
    return accept(secret=secret, user=user)


def used_by(secret: str, user: User) -> Member | None:
    """Return the membership of a user who opens a link of their church that was used before, perhaps a moment ago."""
    found = Invitation.objects.filter(secret_hash=hashed(secret), used_at__isnull=False).first()
    if found is None:
        return None
    return (
        Member.objects.select_related("ministry")
        .filter(ministry_id=found.ministry_id, user=user, is_active=True)
        .first()
    )


def send_letter(*, invitation: Invitation, link: str, by: Member) -> bool:
    """Send the link by e-mail; tell whether it left."""
    told = {"ministry": invitation.ministry, "link": link, "by": by}
    subject = _("You are invited to %(ministry)s") % {"ministry": invitation.ministry}
    try:
        return bool(
            send_mail(subject, render_to_string("people/letters/invitation.txt", told), None, [invitation.email])
        )
    except OSError:
        return False


def _tell(by: Member, says: str) -> None:
    with record.act(ministry=by.ministry, by=by, kind="member-invitation", says=says):
        pass
