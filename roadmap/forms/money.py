"""Forms of funds and gates."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryForm, MinistryModelForm
from roadmap.models import Fund
from roadmap.words import GateState


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
            "pays_anything",
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


class GateForm(MinistryForm):
    gate_state = forms.ChoiceField(label=_("It is"), choices=GateState.choices)
    gate_words = forms.CharField(label=_("in the leaders' words"), max_length=300, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if values.get("gate_state") == GateState.REFUSED and not values.get("gate_words"):
            self.add_error("gate_words", _("Say why, so that the next meeting knows."))
        return values
