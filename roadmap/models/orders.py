"""Suppliers, orders, what was promised when, and what came."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from people.models import Tracked
from roadmap.models.steps import Step
from roadmap.words import CostKind, OrderState


class Supplier(Tracked):
    name = models.CharField(_("name"), max_length=120)
    what = models.CharField(_("supplies"), max_length=120, blank=True)
    tax_bp = models.PositiveIntegerField(_("tax (hundredths of a percent)"), default=0)
    exempt_certificate = models.CharField(_("exemption certificate"), max_length=80, blank=True)
    exempt_until = models.DateField(_("certificate valid until"), null=True, blank=True)
    terms = models.CharField(_("terms"), max_length=200, blank=True)

    seen_with = "see_plan"
    money_fields = frozenset({"tax_bp", "terms"})

    class Meta:
        ordering = ["name", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "name"], name="supplier_name_once")]
        verbose_name = _("supplier")
        verbose_name_plural = _("suppliers")

    def __str__(self) -> str:
        return self.name


class Order(Tracked):
    key = models.CharField(_("number"), max_length=12)
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="orders")
    state = models.CharField(_("state"), max_length=20, choices=OrderState, default=OrderState.ASKED)
    is_option = models.BooleanField(_("only an option"), default=False)
    ordered_on = models.DateField(_("ordered on"), null=True, blank=True)
    quote_valid_to = models.DateField(_("price holds until"), null=True, blank=True)
    lead_days_low = models.PositiveSmallIntegerField(_("takes at least (days)"), null=True, blank=True)
    lead_days_high = models.PositiveSmallIntegerField(_("takes at most (days)"), null=True, blank=True)
    arrived_on = models.DateField(_("all arrived on"), null=True, blank=True)
    return_by = models.DateField(_("can go back until"), null=True, blank=True)
    deposit_words = models.CharField(_("paid how"), max_length=160, blank=True)
    note = models.CharField(_("note"), max_length=400, blank=True)

    seen_with = "see_plan"
    money_fields = frozenset({"deposit_words"})

    class Meta:
        ordering = ["key", "id"]
        constraints = [models.UniqueConstraint(fields=["ministry", "key"], name="order_key_once")]
        verbose_name = _("order")
        verbose_name_plural = _("orders")

    def __str__(self) -> str:
        return self.key

    @property
    def goods(self) -> list[str]:
        """Return what its lines hold, shipping left out; queries unless the lines were prefetched."""
        return [line.what for line in self.lines.all() if line.kind != CostKind.SHIPPING]

    @property
    def musts(self) -> list[str]:
        """Return the goods a step cannot start without; queries unless the lines were prefetched."""
        return [line.what for line in self.lines.all() if line.is_must and line.kind == CostKind.GOODS]

    def get_absolute_url(self) -> str:
        return reverse("order", kwargs={"ministry": self.ministry.slug, "key": self.key})


class OrderLine(Tracked):
    """A line of an order. `step` is the step that pays for and waits for it."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="lines")
    step = models.ForeignKey(Step, models.PROTECT, null=True, blank=True, related_name="order_lines")
    position = models.PositiveSmallIntegerField(default=1)
    kind = models.CharField(_("kind"), max_length=10, choices=CostKind, default=CostKind.GOODS)
    what = models.CharField(_("what"), max_length=200)
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    net_minor = models.BigIntegerField(_("before tax"), default=0)
    tax_bp = models.PositiveIntegerField(_("tax (hundredths of a percent)"), default=0)
    is_must = models.BooleanField(_("the step cannot start without it"), default=True)
    must_quantity = models.PositiveSmallIntegerField(_("enough to start with"), null=True, blank=True)

    seen_with = "see_plan"
    money_fields = frozenset({"net_minor", "tax_bp"})

    class Meta:
        ordering = ["order", "position", "id"]
        verbose_name = _("order line")
        verbose_name_plural = _("order lines")

    def __str__(self) -> str:
        return self.what

    @property
    def came(self) -> int:
        """Return how many came and were not found dead; queries unless the arrivals were prefetched."""
        return sum(arrival.quantity for arrival in self.arrivals.all() if arrival.works is not False)

    @property
    def owed(self) -> int:
        """Return how many are still to come; queries as `came` does."""
        return max(0, self.quantity - self.came)


class PromisedDate(Tracked):
    """A date the supplier promised, told on a day. The last one told counts."""

    order = models.ForeignKey(Order, models.CASCADE, related_name="promised_dates")
    told_on = models.DateField(_("told on"), null=True, blank=True)
    promised_on = models.DateField(_("promised for"), null=True, blank=True)
    words = models.CharField(_("in their words"), max_length=160, blank=True)
    position = models.PositiveSmallIntegerField(default=1)

    seen_with = "see_plan"

    class Meta:
        ordering = ["order", "position", "id"]
        verbose_name = _("promised date")
        verbose_name_plural = _("promised dates")

    def __str__(self) -> str:
        return str(self.promised_on or self.words)


class Arrival(Tracked):
    """So many of a line came on a day."""

    line = models.ForeignKey(OrderLine, models.CASCADE, related_name="arrivals")
    on = models.DateField(_("came on"), null=True, blank=True)
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    tested_on = models.DateField(_("tested on"), null=True, blank=True)
    works = models.BooleanField(_("works"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    seen_with = "see_plan"

    class Meta:
        ordering = ["on", "id"]
        verbose_name = _("arrival")
        verbose_name_plural = _("arrivals")

    def __str__(self) -> str:
        return f"{self.quantity} on {self.on}"
