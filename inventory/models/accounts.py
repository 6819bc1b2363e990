"""Software, subscriptions and permissions: who holds them and when they run out. Never a password."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models.pieces import Piece
from people.models import Person, Tracked


class Account(Tracked):
    key = models.CharField(_("number"), max_length=12)
    kind = models.CharField(_("kind"), max_length=40)
    what = models.CharField(_("what"), max_length=200)
    holder = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    holder_words = models.CharField(_("who holds it"), max_length=120, blank=True)
    second_holder = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="+")
    second_words = models.CharField(_("second holder"), max_length=120, blank=True)
    renews_on = models.DateField(_("renews on"), null=True, blank=True)
    renews_words = models.CharField(_("renewal"), max_length=80, blank=True)
    yearly_cost_minor = models.BigIntegerField(_("cost a year"), null=True, blank=True)
    runs_on = models.ForeignKey(Piece, models.SET_NULL, null=True, blank=True, related_name="accounts")
    needed_by = models.CharField(_("needed by"), max_length=200, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    money_fields = frozenset({"yearly_cost_minor"})

    class Meta:
        ordering = ["key", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="account_key_once")]
        verbose_name = _("account")
        verbose_name_plural = _("software and accounts")

    def __str__(self) -> str:
        return self.what
