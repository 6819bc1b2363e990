"""Ministries, their members, the people around them, and invitations."""

import uuid
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from people.models.base import Tracked
from people.roles import Role


class Ministry(models.Model):
    """One church: the tenant. Its slug begins every address."""

    slug = models.SlugField(_("short name in addresses"), max_length=60, unique=True)
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(_("name"), max_length=120)
    country = models.CharField(_("country"), max_length=2)
    state = models.CharField(_("state or region"), max_length=40, blank=True)
    zone = models.CharField(_("time zone"), max_length=60)
    currency = models.CharField(_("currency"), max_length=3)
    main_room = models.CharField(_("what you call the main room"), max_length=80, blank=True)
    out_by = models.DateField(_("the date everything must be out"), null=True, blank=True)
    today_is = models.DateField(_("pretend today is"), null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name = _("ministry")
        verbose_name_plural = _("ministries")

    def __str__(self) -> str:
        return self.name


def check_roles(value: Any) -> None:
    """Refuse anything but a list of known roles."""
    if not isinstance(value, list) or not value or set(value) - set(Role.values):
        raise ValidationError(_("Choose at least one role from the list."), code="roles")


class Member(models.Model):
    """A user in a ministry, with the hats they wear there."""

    ministry = models.ForeignKey(Ministry, models.CASCADE, related_name="members")
    user = models.ForeignKey("people.User", models.CASCADE, related_name="memberships")
    roles = models.JSONField(_("roles"), default=list, validators=[check_roles])
    is_active = models.BooleanField(_("still serves"), default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["ministry", "user"], name="one_membership_a_ministry")]
        verbose_name = _("member")
        verbose_name_plural = _("members")

    def __str__(self) -> str:
        return str(self.user)

    def role_words(self) -> list[str]:
        return [str(Role(role).label) for role in Role.values if role in self.roles]


class Person(Tracked):
    """Someone around the work: an owner of steps or pieces. No login is needed."""

    name = models.CharField(_("name"), max_length=120)
    member = models.ForeignKey(Member, models.SET_NULL, null=True, blank=True, related_name="+")
    home_site = models.CharField(_("came from"), max_length=80, blank=True)
    email = models.EmailField(_("e-mail address"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    is_minor = models.BooleanField(_("under 18"), default=False)
    does = models.CharField(_("what they do here"), max_length=200, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    sort_key = models.CharField(max_length=120, blank=True, editable=False)

    contact_fields = frozenset({"email", "phone"})

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        indexes = [models.Index(fields=["ministry", "sort_key"], name="person_by_name")]

    def __str__(self) -> str:
        return self.name


class Invitation(models.Model):
    """A one-time link that makes its bearer a member. Only the hash of its secret is kept."""

    ministry = models.ForeignKey(Ministry, models.CASCADE, related_name="invitations")
    email = models.EmailField(_("e-mail address"))
    roles = models.JSONField(_("roles"), default=list, validators=[check_roles])
    secret_hash = models.CharField(max_length=64, unique=True, editable=False)
    invited_by = models.ForeignKey(Member, models.SET_NULL, null=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("invitation")
        verbose_name_plural = _("invitations")

    def __str__(self) -> str:
        return self.email
