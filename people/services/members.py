"""Members and the hats they wear. A church always keeps one technical lead."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from people.models import Invitation, Member, Ministry, User
from people.roles import Role
from people.services import record


class LastLead(Exception):
    """The church would be left without a technical lead."""

    def __str__(self) -> str:
        return _("A church needs one technical lead. Make someone else a technical lead first.")


def rename_user(*, user: User, name: str) -> None:
    user.name = name
    user.save(update_fields=["name"])


def set_roles(*, member: Member, roles: Iterable[str], by: Member | None) -> None:
    """Give the member these hats and no others; raises LastLead. by: None from the shell."""
    wanted = [role for role in Role.values if role in set(roles)]
    with transaction.atomic():
        _keep_a_lead(member, stays=Role.LEAD in wanted)
        member.roles = wanted
        member.save(update_fields=["roles"])
        if Role.LEAD not in wanted:
            _withdraw_invitations_of(member)
        _tell(member, by, _("%(name)s is now: %(roles)s.") % {"name": member, "roles": ", ".join(member.role_words())})


def set_serving(*, member: Member, serves: bool, by: Member | None) -> None:
    """Let a member in again, or no longer; raises LastLead. What they did stays under their name."""
    with transaction.atomic():
        _keep_a_lead(member, stays=serves)
        member.is_active = serves
        member.save(update_fields=["is_active"])
        if not serves:
            _withdraw_invitations_of(member)
        says = _("%(name)s serves again.") if serves else _("%(name)s no longer serves here.")
        _tell(member, by, says % {"name": member})


def make_lead(*, ministry: Ministry, user: User) -> Member:
    """Return the user's membership with the lead's hat among theirs; for the shell."""
    with transaction.atomic():
        member, __ = Member.objects.get_or_create(ministry=ministry, user=user, defaults={"roles": [Role.LEAD]})
        member.is_active = True
        member.roles = [role for role in Role.values if role in {*member.roles, Role.LEAD}]
        member.save(update_fields=["is_active", "roles"])
        _tell(
            member, None, _("%(name)s is now: %(roles)s.") % {"name": member, "roles": ", ".join(member.role_words())}
        )
        return member


def _keep_a_lead(member: Member, *, stays: bool) -> None:
    """Raise LastLead where the member is the only one; the rows stay locked until the change is kept.

    Two leads who take each other off at the same moment must not both succeed.
    """
    there = Member.objects.select_for_update().filter(ministry=member.ministry, is_active=True).order_by("pk")
    leads = {one.pk for one in there if Role.LEAD in one.roles}
    if not stays and leads == {member.pk}:
        raise LastLead


def _withdraw_invitations_of(member: Member) -> None:
    for invitation in Invitation.objects.filter(invited_by=member, used_at=None, expires_at__gt=timezone.now()):
        invitation.expires_at = invitation.created_at
        invitation.save(update_fields=["expires_at"])


def _tell(member: Member, by: Member | None, says: str) -> None:
    with record.act(ministry=member.ministry, by=by, kind="member-roles", says=says):
        pass
