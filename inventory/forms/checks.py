"""Forms of what happens to a piece: it is moved, it is checked."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.forms.piece import DayInput, place_label
from inventory.models import Check, Piece, Place
from inventory.words import Condition
from people.access import Viewer
from people.clock import today
from people.forms.base import MinistryForm


class OnADay(MinistryForm):
    """A form whose day is today unless said otherwise, never later."""

    on = forms.DateField(label=gettext_lazy("When"), widget=DayInput())
    note = forms.CharField(max_length=300, required=False, label=gettext_lazy("Note"))

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.fields["on"].initial = today(viewer.ministry)

    def clean_on(self) -> Any:
        if self.cleaned_data["on"] > today(self.viewer.ministry):
            raise ValidationError(_("This day is still to come: write down what has happened."), "future")
        return self.cleaned_data["on"]


class MoveForm(OnADay):
    to_place = forms.ModelChoiceField(
        Place.objects.select_related("site"), required=False, label=gettext_lazy("Where it is now")
    )
    field_order = ["to_place", "on", "note"]

    def __init__(self, *args: Any, viewer: Viewer, piece: Piece, **kwargs: Any) -> None:
        goes_to = piece.goes_to_id if piece.goes_to_id != piece.place_id else None
        super().__init__(*args, viewer=viewer, initial={"to_place": goes_to}, **kwargs)
        self.piece = piece
        self.fields["to_place"].empty_label = _("nobody knows where")
        self.fields["to_place"].label_from_instance = place_label

    def clean_to_place(self) -> Place | None:
        """Return the new place; a move to where the piece already stands is none."""
        place: Place | None = self.cleaned_data["to_place"]
        if (place.pk if place else None) == self.piece.place_id:
            there = place.name if place else _("no known place")
            raise ValidationError(
                _("It is already written down at %(place)s: choose where it went.") % {"place": there}, "no-move"
            )
        return place


class CheckForm(OnADay):
    condition = forms.ChoiceField(choices=Condition, label=gettext_lazy("It is"))
    depth = forms.ChoiceField(choices=Check.Depth, initial=Check.Depth.POWER, label=gettext_lazy("How deep"))
    field_order = ["condition", "depth", "on", "note"]
