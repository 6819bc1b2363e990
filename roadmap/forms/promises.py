"""Forms of Sunday promises and goals."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryForm, MinistryModelForm
from people.forms.days import DayInput
from roadmap.models import Goal, Promise
from roadmap.words import Standing

DAY = DayInput()
NEEDS_A_REASON = frozenset({Standing.BROKEN, Standing.RISK, Standing.FALLBACK})


class PromiseForm(MinistryModelForm):
    class Meta:
        model = Promise
        fields = ["text", "source", "listener", "level", "path_today", "fallback", "brought_by"]
        labels = {"brought_by": _("the step that brings it")}
        help_texts = {
            "text": _("What reaches whom, like: Words → screen."),
            "fallback": _("What carries it when the way it takes fails."),
        }


class StandingForm(MinistryForm):
    """How a promise stands today."""

    standing = forms.ChoiceField(label=_("Today it is"), choices=Standing.choices)
    why = forms.CharField(label=_("why"), max_length=200, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if values.get("standing") in NEEDS_A_REASON and not values.get("why"):
            self.add_error("why", _("Say why, so that whoever reads it on Sunday knows."))
        return values


class GoalForm(MinistryModelForm):
    class Meta:
        model = Goal
        fields = ["goal", "unit", "before", "before_on", "target", "after", "after_on", "how", "phase"]
        labels = {"after_on": _("measured again on"), "phase": _("the phase that is to move it")}
        widgets = {"before_on": DAY, "after_on": DAY}
