"""Acts: one thing a person did, told in a sentence and undone as a whole."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Act(models.Model):
    """One user action. Every history row points at the act that wrote it."""

    ministry = models.ForeignKey("people.Ministry", models.CASCADE, related_name="acts")
    by = models.ForeignKey("people.Member", models.SET_NULL, null=True, blank=True, related_name="+")
    by_words = models.CharField(_("by"), max_length=160, blank=True)
    kind = models.SlugField(max_length=60)
    says = models.CharField(_("what happened"), max_length=300)
    holds_money = models.BooleanField(default=False)
    at = models.DateTimeField(_("when"))
    undoes = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="undone_by")

    class Meta:
        indexes = [models.Index(fields=["ministry", "-id"], name="act_newest_first")]
        verbose_name = _("act")
        verbose_name_plural = _("acts")

    def __str__(self) -> str:
        return self.says


class InAct(models.Model):
    """Base of every history table: the act a row was written in."""

    act = models.ForeignKey(Act, models.CASCADE, related_name="+")

    class Meta:
        abstract = True
