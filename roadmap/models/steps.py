"""Phases, the steps in them, what each requires and what it costs. Dates are computed, never stored here."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from people.models import Person, Tracked
from roadmap.words import CostKind, DayRule, GateState, LinkKind, StepKind, StepState


class Phase(Tracked):
    """Steps that are decided and paid together; after each the church can stop."""

    key = models.CharField(_("number"), max_length=12)
    name = models.CharField(_("name"), max_length=120)
    gives = models.CharField(_("what the church gets"), max_length=300, blank=True)
    gate_on = models.DateField(_("decided on"), null=True, blank=True)
    gate_state = models.CharField(_("decision"), max_length=10, choices=GateState, default=GateState.AHEAD)
    gate_words = models.CharField(_("what was decided"), max_length=300, blank=True)
    contingency_bp = models.PositiveIntegerField(_("contingency (hundredths of a percent)"), default=1000)
    cap_minor = models.BigIntegerField(_("at most"), null=True, blank=True)
    if_we_stop = models.CharField(_("if we stop after it"), max_length=300, blank=True)
    order = models.PositiveIntegerField(default=0)

    money_fields = frozenset({"cap_minor", "contingency_bp"})

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="phase_key_once")]
        verbose_name = _("phase")
        verbose_name_plural = _("phases")

    def __str__(self) -> str:
        return f"{self.key} {self.name}"


class Step(Tracked):
    """A small piece of work. `agreed_*` is the baseline, `actual_*` what happened."""

    key = models.CharField(_("number"), max_length=12)
    phase = models.ForeignKey(Phase, models.PROTECT, related_name="steps")
    title = models.CharField(_("step"), max_length=200)
    kind = models.CharField(_("kind"), max_length=10, choices=StepKind, default=StepKind.WORK)
    state = models.CharField(_("state"), max_length=20, choices=StepState, default=StepState.WISHED)
    state_words = models.CharField(_("waiting on what, or until when"), max_length=160, blank=True)
    days = models.PositiveSmallIntegerField(_("days of work"), default=1)
    day_rule = models.CharField(_("on which days"), max_length=10, choices=DayRule, default=DayRule.WEEKDAYS)
    in_one_piece = models.BooleanField(_("in one piece"), default=False)
    ends_on_services = models.PositiveSmallIntegerField(_("ends on the n-th Sunday"), null=True, blank=True)
    agreed_start = models.DateField(_("agreed start"), null=True, blank=True)
    agreed_finish = models.DateField(_("agreed finish"), null=True, blank=True)
    actual_start = models.DateField(_("started"), null=True, blank=True)
    actual_finish = models.DateField(_("finished"), null=True, blank=True)
    not_before = models.DateField(_("not before"), null=True, blank=True)
    touches_sunday = models.BooleanField(_("touches a Sunday path"), default=False)
    interim = models.CharField(_("what runs meanwhile"), max_length=200, blank=True)
    volunteer_hours = models.PositiveSmallIntegerField(_("volunteer hours"), default=0)
    people_needed = models.PositiveSmallIntegerField(_("people"), default=0)
    owner = models.ForeignKey(Person, models.SET_NULL, null=True, blank=True, related_name="steps")
    owner_words = models.CharField(_("who"), max_length=80, blank=True)
    fund = models.ForeignKey("roadmap.Fund", models.SET_NULL, null=True, blank=True, related_name="steps")
    resale_minor = models.BigIntegerField(_("resale it brings"), default=0)
    signs = models.CharField(_("who signs"), max_length=120, blank=True)
    note = models.CharField(_("note"), max_length=500, blank=True)
    order = models.PositiveIntegerField(default=0)

    money_fields = frozenset({"resale_minor", "fund"})

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="step_key_once")]
        verbose_name = _("step")
        verbose_name_plural = _("steps")

    def __str__(self) -> str:
        return f"{self.key} {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("step", kwargs={"ministry": self.ministry.slug, "key": self.key})


class StepLink(Tracked):
    """`step` requires `requires`, with a lag in days or in services."""

    step = models.ForeignKey(Step, models.CASCADE, related_name="requires_links")
    requires = models.ForeignKey(Step, models.CASCADE, related_name="required_by_links")
    kind = models.CharField(_("how"), max_length=2, choices=LinkKind, default=LinkKind.FINISH_START)
    lag_days = models.SmallIntegerField(_("days between"), default=0)
    lag_services = models.PositiveSmallIntegerField(_("Sundays between"), default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["step", "requires"], name="requires_link_once"),
            models.CheckConstraint(condition=~models.Q(step=models.F("requires")), name="no_step_requires_itself"),
        ]
        verbose_name = _("requires link")
        verbose_name_plural = _("requires links")

    def __str__(self) -> str:
        return f"{self.step_id} requires {self.requires_id}"


class StepCost(Tracked):
    """A cost of a step that no order carries."""

    step = models.ForeignKey(Step, models.CASCADE, related_name="costs")
    kind = models.CharField(_("kind"), max_length=10, choices=CostKind, default=CostKind.GOODS)
    what = models.CharField(_("what"), max_length=160, blank=True)
    net_minor = models.BigIntegerField(_("before tax"))
    tax_bp = models.PositiveIntegerField(_("tax (hundredths of a percent)"), default=0)

    seen_with = "see_money"
    money_fields = frozenset({"net_minor", "tax_bp"})

    class Meta:
        verbose_name = _("cost of a step")
        verbose_name_plural = _("costs of steps")

    def __str__(self) -> str:
        return self.what or self.kind
