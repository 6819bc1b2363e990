"""The form of a decision on pieces."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.forms.piece import DayInput, place_label
from inventory.models import Place
from inventory.words import LEAVING_FATES, Fate
from people.access import Viewer
from people.forms.base import MinistryForm


class FateForm(MinistryForm):
    """What becomes of a piece, for how long, what then, and why."""

    fate = forms.ChoiceField(choices=Fate, label=gettext_lazy("What becomes of it"), widget=forms.RadioSelect)
    until_on = forms.DateField(required=False, label=gettext_lazy("Until (a day)"), widget=DayInput())
    until = forms.CharField(
        max_length=120, required=False, label=gettext_lazy("or until what"), help_text=gettext_lazy("A step, an event.")
    )
    next_fate = forms.ChoiceField(choices=(), required=False, label=gettext_lazy("and then"))
    goes_to = forms.ModelChoiceField(
        queryset=Place.objects.select_related("site"), required=False, label=gettext_lazy("Where it goes")
    )
    why = forms.CharField(max_length=200, required=False, label=gettext_lazy("Why"))
    despite = forms.CharField(
        max_length=150,
        required=False,
        label=gettext_lazy("All the same, because"),
        help_text=gettext_lazy("Where it says “only with a reason”. The reason is kept with the piece."),
    )

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        later = [choice for choice in Fate.choices if choice[0] not in {Fate.UNDECIDED, Fate.STAND_IN}]
        self.fields["next_fate"].choices = [("", _("nothing is planned")), *later]
        self.fields["goes_to"].label_from_instance = place_label
        self.fields["goes_to"].empty_label = _("where it stands, or nowhere")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        fate = given.get("fate")
        if fate == Fate.STAND_IN:
            if not given.get("until") and not given.get("until_on"):
                self.add_error("until_on", ValidationError(_("A stand-in ends: say until when."), "until"))
            if not given.get("next_fate"):
                self.add_error("next_fate", ValidationError(_("Say what becomes of it afterwards."), "then"))
        if fate in LEAVING_FATES:  # what leaves does so for good: words left over from a stand-in say nothing any more
            given |= {"next_fate": "", "until": "", "until_on": None}
        return given
