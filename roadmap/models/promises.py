"""What was promised for every Sunday, and the figures the work should move."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.words import Level
from people.models import Tracked
from roadmap.words import Standing


class Promise(Tracked):
    """A source that reaches a listener on Sunday. How it stands is recorded until the drawing can compute it."""

    key = models.CharField(_("number"), max_length=12)
    text = models.CharField(_("promise"), max_length=200)
    source = models.CharField(_("from"), max_length=120, blank=True)
    listener = models.CharField(_("to"), max_length=120, blank=True)
    level = models.CharField(_("how badly"), max_length=8, choices=Level, default=Level.MUST)
    path_today = models.CharField(_("the way it takes today"), max_length=300, blank=True)
    fallback = models.CharField(_("fall-back"), max_length=200, blank=True)
    standing = models.CharField(_("today"), max_length=20, choices=Standing, default=Standing.NOT_YET)
    why = models.CharField(_("why"), max_length=200, blank=True)
    brought_by = models.ForeignKey(
        "roadmap.Step", models.SET_NULL, null=True, blank=True, related_name="brings_promises"
    )
    order = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="promise_key_once")]
        verbose_name = _("promise")
        verbose_name_plural = _("promises")

    def __str__(self) -> str:
        return f"{self.key} {self.text}"


class Goal(Tracked):
    """A figure before, the figure aimed at, and the figure after."""

    key = models.CharField(max_length=12)
    goal = models.CharField(_("goal"), max_length=200)
    unit = models.CharField(_("unit"), max_length=40, blank=True)
    before = models.CharField(_("before"), max_length=40, blank=True)
    before_on = models.DateField(_("measured on"), null=True, blank=True)
    target = models.CharField(_("aim"), max_length=60, blank=True)
    after = models.CharField(_("after"), max_length=40, blank=True)
    after_on = models.DateField(null=True, blank=True)
    how = models.CharField(_("how it is measured"), max_length=120, blank=True)
    phase = models.ForeignKey("roadmap.Phase", models.SET_NULL, null=True, blank=True, related_name="goals")

    class Meta:
        ordering = ["key", "id"]
        verbose_name = _("goal")
        verbose_name_plural = _("goals")

    def __str__(self) -> str:
        return self.goal
