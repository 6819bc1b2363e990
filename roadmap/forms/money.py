"""Forms of funds and gates."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.amounts import MoneyField
from people.forms.base import MinistryForm, MinistryModelForm
from people.forms.days import DayInput
from people.packs import pack
from roadmap.models import Fund, FundIncome, Payment, Phase, Step, StepCost
from roadmap.words import Certainty, GateState

DAY = DayInput()


class FundForm(MinistryModelForm):
    class Meta:
        model = Fund
        fields = [
            "code",
            "name",
            "nature",
            "nature_words",
            "purpose_words",
            "amount_minor",
            "when_words",
        ]
        help_texts = {
            "code": _("A short name for lists, like BLD."),
            "purpose_words": _("A gift with a purpose binds: only what the giver meant may be paid from it."),
        }

    def clean_code(self) -> str:
        code = self.cleaned_data["code"].strip().upper()
        if not code.isalnum():
            raise forms.ValidationError(_("Use letters and figures only."), code="code")
        return code


class FundRulesForm(MinistryForm):
    """What a fund may pay for."""

    pays_anything = forms.BooleanField(label=_("It may pay for any step"), required=False)
    phases = forms.ModelMultipleChoiceField(
        label=_("or every step of"),
        queryset=Phase.objects.all(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    steps = forms.ModelMultipleChoiceField(
        label=_("or these steps"), queryset=Step.objects.all(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        named = values.get("phases") or values.get("steps")
        if not values.get("pays_anything") and not named:
            self.add_error("steps", _("Tick what the giver meant, or tick that it may pay for any step."))
        if values.get("pays_anything") and named:
            self.add_error("pays_anything", _("Any step, or only some: keep one of the two."))
        return values


class IncomeForm(MinistryModelForm):
    class Meta:
        model = FundIncome
        fields = ["on", "amount_minor", "certainty", "probability_bp", "note"]
        widgets = {"on": DAY}
        labels = {"probability_bp": _("chance (percent)")}
        help_texts = {"probability_bp": _("How likely it comes. Pledges are counted at their amount times this.")}

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        chance = values.get("probability_bp")
        if values.get("certainty") == Certainty.BANKED and chance not in (None, 10_000):
            self.add_error("probability_bp", _("What is in the bank is certain: write 100."))
        return values


class PaymentForm(MinistryModelForm):
    class Meta:
        model = Payment
        fields = ["on", "amount_minor", "fund", "note"]
        widgets = {"on": DAY}


class CostForm(MinistryModelForm):
    class Meta:
        model = StepCost
        fields = ["kind", "what", "net_minor", "tax_bp"]
        help_texts = {"net_minor": _("What no order carries: food, fuel, a visit.")}


class CapForm(MinistryForm):
    """The most that one phase may cost, with tax."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        country = pack(self.viewer.ministry.country)
        self.fields["cap"] = MoneyField(
            label=_("The most one phase may cost, with tax"),
            exponent=country.exponent,
            decimal_comma=country.locale.startswith("de"),
        )

    def clean_cap(self) -> int:
        cap = self.cleaned_data["cap"]
        if cap <= 0:
            raise forms.ValidationError(_("Write an amount above nothing."), code="cap")
        return cap


class GateForm(MinistryForm):
    gate_state = forms.ChoiceField(label=_("It is"), choices=GateState.choices)
    gate_words = forms.CharField(label=_("in the leaders' words"), max_length=300, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if values.get("gate_state") == GateState.REFUSED and not values.get("gate_words"):
            self.add_error("gate_words", _("Say why, so that the next meeting knows."))
        return values
