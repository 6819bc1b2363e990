"""Forms of orders, their lines, promised dates and arrivals."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryForm, MinistryModelForm
from people.forms.days import DayInput
from roadmap.models import Order, OrderLine, Supplier

DAY = DayInput()


class OrderForm(MinistryModelForm):
    class Meta:
        model = Order
        fields = [
            "supplier",
            "state",
            "ordered_on",
            "quote_valid_to",
            "lead_days_low",
            "lead_days_high",
            "return_by",
            "deposit_words",
            "is_option",
            "note",
        ]
        widgets = {
            "ordered_on": DAY,
            "quote_valid_to": DAY,
            "return_by": DAY,
            "note": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {"is_option": _("Tick for a way out that is not chosen: it costs and holds nothing.")}

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        low, high = values.get("lead_days_low"), values.get("lead_days_high")
        if low and high and high < low:
            self.add_error("lead_days_high", _("At most is less than at least: swap the two."))
        return values


class OrderLineForm(MinistryModelForm):
    class Meta:
        model = OrderLine
        fields = ["what", "kind", "quantity", "net_minor", "tax_bp", "step", "is_must", "must_quantity"]
        help_texts = {
            "net_minor": _("For the whole line, before tax."),
            "must_quantity": _("How many are enough to start with; empty means all of them."),
        }

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        enough, all_of_them = values.get("must_quantity"), values.get("quantity")
        came = self.instance.came if self.instance.pk else 0
        if all_of_them and all_of_them < came:
            self.add_error("quantity", _("Fewer than came already: write at least as many."))
        if enough and all_of_them and enough > all_of_them:
            self.add_error("must_quantity", _("More than were ordered: write a smaller number, or leave it empty."))
        return values


class SupplierForm(MinistryModelForm):
    class Meta:
        model = Supplier
        fields = ["name", "what", "tax_bp", "exempt_certificate", "exempt_until", "terms"]
        widgets = {"exempt_until": DAY}


class NewDateForm(MinistryForm):
    """A new promised date, in figures or in the supplier's words."""

    promised_on = forms.DateField(label=_("They now promise"), widget=DAY, required=False)
    told_on = forms.DateField(label=_("told us on"), widget=DAY)
    words = forms.CharField(label=_("in their words"), max_length=160, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if not values.get("promised_on") and not values.get("words"):
            self.add_error("promised_on", _("Give the day, or what they said instead of one."))
        return values


class ArrivalForm(MinistryForm):
    quantity = forms.IntegerField(label=_("came"), min_value=1, max_value=9999)
    on = forms.DateField(label=_("on"), widget=DAY)
    tested = forms.BooleanField(label=_("tested, and it works"), required=False)
    note = forms.CharField(label=_("note"), max_length=200, required=False)
