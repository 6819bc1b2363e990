"""Funds, what comes into them, what they may pay for, and what was paid."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from people.models import Tracked
from roadmap.models.orders import Order
from roadmap.models.steps import Phase, Step
from roadmap.words import Certainty, FundNature


class Fund(Tracked):
    code = models.CharField(_("code"), max_length=12)
    name = models.CharField(_("name"), max_length=120)
    nature = models.CharField(_("nature"), max_length=12, choices=FundNature, default=FundNature.FREE)
    nature_words = models.CharField(_("in the giver's words"), max_length=200, blank=True)
    purpose_words = models.CharField(_("may pay for"), max_length=200, blank=True)
    amount_minor = models.BigIntegerField(_("amount"), default=0)
    when_words = models.CharField(_("when it comes"), max_length=200, blank=True)
    pays_anything = models.BooleanField(_("may pay for any step"), default=False)
    order = models.PositiveIntegerField(default=0)

    seen_with = "see_money"
    money_fields = frozenset({"amount_minor"})

    class Meta:
        ordering = ["order", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "code"], name="fund_code_once")]
        verbose_name = _("fund")
        verbose_name_plural = _("funds")

    def __str__(self) -> str:
        return self.name


class FundRule(Tracked):
    """A step or a phase that a fund may pay for."""

    fund = models.ForeignKey(Fund, models.CASCADE, related_name="rules")
    step = models.ForeignKey(Step, models.CASCADE, null=True, blank=True, related_name="+")
    phase = models.ForeignKey(Phase, models.CASCADE, null=True, blank=True, related_name="+")

    seen_with = "see_money"

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(step__isnull=False) | models.Q(phase__isnull=False), name="fund_rule_names_something"
            )
        ]
        verbose_name = _("fund rule")
        verbose_name_plural = _("fund rules")

    def __str__(self) -> str:
        return f"{self.fund_id}"


class FundIncome(Tracked):
    """Money that came or is to come into a fund, with how sure it is."""

    fund = models.ForeignKey(Fund, models.CASCADE, related_name="income")
    on = models.DateField(_("on"))
    amount_minor = models.BigIntegerField(_("amount"))
    certainty = models.CharField(_("how sure"), max_length=12, choices=Certainty, default=Certainty.BANKED)
    probability_bp = models.PositiveIntegerField(_("chance (hundredths of a percent)"), default=10000)
    note = models.CharField(_("note"), max_length=200, blank=True)

    seen_with = "see_money"
    money_fields = frozenset({"amount_minor"})

    class Meta:
        ordering = ["on", "id"]
        verbose_name = _("money coming in")
        verbose_name_plural = _("money coming in")

    def __str__(self) -> str:
        return self.note or str(self.on)


class Payment(Tracked):
    """Money that left: on an order, or straight for a step."""

    order = models.ForeignKey(Order, models.CASCADE, null=True, blank=True, related_name="payments")
    step = models.ForeignKey(Step, models.CASCADE, null=True, blank=True, related_name="payments")
    fund = models.ForeignKey(Fund, models.SET_NULL, null=True, blank=True, related_name="payments")
    on = models.DateField(_("paid on"))
    amount_minor = models.BigIntegerField(_("amount with tax"))
    note = models.CharField(_("note"), max_length=200, blank=True)

    seen_with = "see_money"
    money_fields = frozenset({"amount_minor"})

    class Meta:
        ordering = ["on", "id"]
        verbose_name = _("payment")
        verbose_name_plural = _("payments")

    def __str__(self) -> str:
        return self.note or str(self.on)
