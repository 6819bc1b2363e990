"""Forms of room needs, their must-haves, and a piece chosen by hand."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.compute.must_haves import UNITS, value_from
from inventory.compute.tags import TagError, read_tag
from inventory.forms.piece import DayInput, place_label
from inventory.models import Must, Piece, RoomNeed
from people.access import Viewer
from people.forms.base import MinistryForm, MinistryModelForm

SPARE_LINES = 3


class NeedForm(MinistryModelForm):
    """A need of a room in words; what it must be able to do is kept as rows beside it."""

    class Meta:
        model = RoomNeed
        fields = [
            "what", "place", "quantity", "level", "must_words", "needed_on", "order_key", "order_quantity", "gap_words",
        ]  # fmt: skip
        labels = {
            "order_key": gettext_lazy("On order with"),
            "order_quantity": gettext_lazy("how many of them"),
            "gap_words": gettext_lazy("What is to know about the gap"),
        }
        help_texts = {
            "must_words": gettext_lazy("As you say it: “24 inputs or more, 12 mix buses or more”."),
            "order_key": gettext_lazy("The number of the order, as O-05."),
        }
        widgets = {"needed_on": DayInput(), "quantity": forms.NumberInput(attrs={"min": 1})}

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.fields["place"].queryset = self.fields["place"].queryset.select_related("site")
        self.fields["place"].label_from_instance = place_label
        self.fields["quantity"].min_value = 1

    def clean_quantity(self) -> int:
        count: int = self.cleaned_data["quantity"]
        if count < 1:
            raise ValidationError(_("A need asks for one at least."), "one")
        return count


class MustForm(MinistryForm):
    """One must-have as a row: what is counted, how, how much, in which unit; in words if wanted."""

    id = forms.IntegerField(required=False, widget=forms.HiddenInput)
    key = forms.CharField(
        max_length=40,
        required=False,
        label=gettext_lazy("What is counted"),
        widget=forms.TextInput(attrs={"list": "must-keys"}),
    )
    op = forms.ChoiceField(choices=Must.Op, label=gettext_lazy("how"))
    value = forms.CharField(max_length=60, required=False, label=gettext_lazy("value"))
    unit = forms.CharField(max_length=20, required=False, label=gettext_lazy("unit"))
    words = forms.CharField(max_length=120, required=False, label=gettext_lazy("in words"))

    def clean_key(self) -> str:
        return "_".join(self.cleaned_data["key"].lower().replace("-", " ").replace("_", " ").split())

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not given.get("key"):
            return given
        if given.get("op") == Must.Op.HAS and not given.get("value"):
            given["value"] = "yes"
        if value_from(given.get("value", "")) is None:
            said = _("Write a number, a range as 536000-560000, yes or no.")
            self.add_error("value", ValidationError(said, "value"))
        if not given.get("unit"):
            given["unit"] = UNITS.get(given["key"], "")
        return given


class ChooseForm(MinistryForm):
    """A piece chosen for a need by hand, and why not the one that is proposed."""

    tag = forms.CharField(max_length=20, label=gettext_lazy("The tag of the piece"))
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1, label=gettext_lazy("How many of it"))
    stands_in = forms.BooleanField(required=False, label=gettext_lazy("It only stands in for now"))
    free_from = forms.DateField(required=False, label=gettext_lazy("From (a day)"), widget=DayInput())
    reason = forms.CharField(max_length=300, label=gettext_lazy("Why this one"))

    def clean_tag(self) -> Piece:
        try:
            tag = read_tag(self.cleaned_data["tag"]).tag
        except TagError as error:
            raise ValidationError(error.say.words(translate=_), error.code) from None
        rows = Piece.objects.visible_to(self.viewer).listed().select_related("owner", "place", "ministry")
        found = rows.filter(tag=tag).first()
        if found is None:
            raise ValidationError(_("No piece has this tag."), "unknown")
        return found
