"""Forms of steps, what they require, and phases."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryForm, MinistryModelForm
from people.forms.days import DayInput
from roadmap.models import Phase, Step, StepLink
from roadmap.words import StepState


class StepForm(MinistryModelForm):
    class Meta:
        model = Step
        fields = [
            "title",
            "phase",
            "kind",
            "days",
            "day_rule",
            "in_one_piece",
            "ends_on_services",
            "agreed_start",
            "agreed_finish",
            "not_before",
            "touches_sunday",
            "interim",
            "people_needed",
            "volunteer_hours",
            "owner",
            "fund",
            "resale_minor",
            "signs",
            "note",
        ]
        widgets = {
            "agreed_start": DayInput(),
            "agreed_finish": DayInput(),
            "not_before": DayInput(),
            "note": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "days": _("Days of work on the days chosen below. A step that ends on a Sunday ignores it."),
            "ends_on_services": _("For proving: 2 means it ends on the second Sunday after it starts."),
            "touches_sunday": _("Tick when a service leans on what is touched: such a step never falls in a freeze."),
            "interim": _("What carries the Sundays until this is in and proven."),
            "signs": _("The licensed or competent person who signs it. Verger never signs."),
        }

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        start, finish = values.get("agreed_start"), values.get("agreed_finish")
        if start and finish and finish < start:
            self.add_error("agreed_finish", _("It ends before it starts: give a later day, or leave it empty."))
        if values.get("touches_sunday") and not values.get("interim"):
            self.add_error("interim", _("A step on a Sunday path needs an answer here: what runs meanwhile?"))
        return values


class StepStateForm(MinistryForm):
    state = forms.ChoiceField(label=_("It is now"), choices=StepState.choices)
    on = forms.DateField(label=_("since"), widget=DayInput())
    words = forms.CharField(label=_("waiting on what, or until when"), max_length=160, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if values.get("state") in {StepState.WAITING, StepState.ASIDE} and not values.get("words"):
            self.add_error("words", _("Say what it waits on, or until when it is set aside."))
        return values


class RequireForm(MinistryForm):
    requires = forms.ModelChoiceField(label=_("It requires"), queryset=Step.objects.all())
    lag_services = forms.IntegerField(
        label=_("Sundays that must pass between"), min_value=0, max_value=20, initial=0, required=False
    )
    lag_days = forms.IntegerField(label=_("days between"), min_value=-60, max_value=365, initial=0, required=False)
    kind = forms.ChoiceField(label=_("how"), choices=StepLink._meta.get_field("kind").choices, initial="FS")

    def how(self) -> dict[str, Any]:
        """Return the link's own values, empty boxes as none."""
        cleaned = self.cleaned_data
        return {
            "kind": cleaned["kind"],
            "lag_days": cleaned["lag_days"] or 0,
            "lag_services": cleaned["lag_services"] or 0,
        }


class LinkForm(MinistryModelForm):
    class Meta:
        model = StepLink
        fields = ["lag_services", "lag_days", "kind"]
        labels = {"lag_services": _("Sundays that must pass between")}


class PhaseForm(MinistryModelForm):
    class Meta:
        model = Phase
        fields = ["name", "gives", "gate_on", "contingency_bp", "cap_minor", "if_we_stop"]
        widgets = {
            "gate_on": DayInput(),
            "gives": forms.Textarea(attrs={"rows": 2}),
        }
