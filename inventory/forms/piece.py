"""Forms of one piece: what is known of it, taking some out of a lot, what it needs, a photograph."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.compute.tags import TagError, read_tag
from inventory.forms.gear import PlaceWordsField
from inventory.forms.measures import MassField, MegahertzField
from inventory.models import NeedsLink, Photo, Piece, Place
from inventory.services.places import place_called
from inventory.words import Condition
from people.access import Viewer
from people.compute.unpriced import speaks_of_money
from people.forms.base import MinistryForm, MinistryModelForm
from people.forms.days import DayInput
from people.packs import pack


class PieceForm(MinistryModelForm):
    """What is known of a piece. Place, condition and fate have their own pages, since each leaves a trace."""

    class Meta:
        model = Piece
        fields = [
            "what", "area", "maker", "model", "serial", "quantity", "goes_to", "bond", "bond_words", "bond_until",
            "owner", "never_sell", "year", "year_precision", "bought_on", "paid_minor", "resale_minor",
            "price_currency", "watts", "rack_units", "mass_g", "radio_low_khz", "radio_high_khz", "busy_until", "note",
        ]  # fmt: skip
        labels = {
            "what": gettext_lazy("What it is"),
            "owner": gettext_lazy("Who to ask about it"),
            "watts": gettext_lazy("Watts of it all"),
            "price_currency": gettext_lazy("Currency of its prices, if foreign"),
        }
        help_texts = {
            "quantity": gettext_lazy("Alike things with one condition, place and fate are one lot."),
            "serial": gettext_lazy("As it stands on the plate. Several of a lot: divide them by a semicolon."),
        }
        widgets = {
            "bond_until": DayInput(),
            "bought_on": DayInput(),
            "busy_until": DayInput(),
            "note": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        if not viewer.sees_money and speaks_of_money(self.instance.note):
            del self.fields["note"]  # kept as it is: it holds a price
        self.fields["mass_g"] = MassField(country=pack(viewer.ministry.country))
        self.fields["radio_low_khz"] = MegahertzField(label=_("Radio from, in MHz"))
        self.fields["radio_high_khz"] = MegahertzField(label=_("Radio to, in MHz"))
        self.fields["goes_to"].queryset = self.fields["goes_to"].queryset.select_related("site")
        self.fields["goes_to"].label_from_instance = place_label

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        low, high = given.get("radio_low_khz"), given.get("radio_high_khz")
        if low is not None and high is not None and low > high:
            self.add_error("radio_high_khz", ValidationError(_("The range ends below where it begins."), "range"))
        return given

    def changed_values(self) -> dict[str, Any]:
        values = super().changed_values()
        if "quantity" in values:
            values["is_lot"] = values["quantity"] > 1
        return values


def place_label(place: Place) -> str:
    """Return "The Lanes · Stage"; a barn that is its own only place is named once."""
    return place.name if place.name == place.site.name else f"{place.site.name} · {place.name}"


class NewPieceForm(PieceForm):
    """A piece in full, with where it is and how it stands."""

    where = PlaceWordsField(label=gettext_lazy("Where it is"))
    condition = forms.ChoiceField(choices=Condition, initial=Condition.UNTESTED, label=gettext_lazy("Condition"))
    field_order = ["what", "area", "where", "condition"]

    def changed_values(self) -> dict[str, Any]:
        given = self.cleaned_data
        place = place_called(self.viewer.ministry, given["where"]) if given["where"] else None
        words = "" if place else given["where"]
        return super().changed_values() | {"place": place, "place_words": words, "condition": given["condition"]}


class SplitForm(MinistryForm):
    count = forms.IntegerField(min_value=1, label=gettext_lazy("How many to take out"))
    condition = forms.ChoiceField(required=False, label=gettext_lazy("They are"))
    place = forms.ModelChoiceField(
        Place.objects.select_related("site"), required=False, label=gettext_lazy("They stand in")
    )
    serial = forms.CharField(max_length=120, required=False, label=gettext_lazy("Their serials"))

    def __init__(self, *args: Any, viewer: Viewer, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.fields["count"].max_value = piece.quantity - 1
        self.fields["count"].widget.attrs["max"] = piece.quantity - 1
        self.fields["condition"].choices = [("", _("as the others")), *Condition.choices]
        self.fields["place"].empty_label = _("where the others are")
        self.fields["place"].label_from_instance = place_label


class NeedsForm(MinistryForm):
    """What a piece needs: another by its tag, or anything of a kind."""

    tag = forms.CharField(max_length=20, required=False, label=gettext_lazy("The tag of what it needs"))
    needs_kind = forms.CharField(max_length=120, required=False, label=gettext_lazy("or anything of this kind"))
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1, label=gettext_lazy("How many"))
    strength = forms.ChoiceField(choices=NeedsLink._meta.get_field("strength").choices, label=gettext_lazy("How badly"))
    why = forms.CharField(max_length=200, required=False, label=gettext_lazy("Why"))

    def __init__(self, *args: Any, viewer: Viewer, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.piece = piece

    def clean_tag(self) -> Piece | None:
        text = self.cleaned_data["tag"]
        if not text:
            return None
        try:
            tag = read_tag(text).tag
        except TagError as error:
            raise ValidationError(error.say.words(translate=_), error.code) from None
        found = Piece.objects.visible_to(self.viewer).listed().filter(tag=tag).first()
        if found is None:
            raise ValidationError(_("No piece has this tag."), "unknown")
        if found == self.piece:
            raise ValidationError(_("A piece cannot need itself."), "itself")
        if self.piece.needs_links.filter(needs=found).exists():
            raise ValidationError(_("This is written down already."), "twice")
        return found

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if not self.errors and not given.get("tag") and not given.get("needs_kind"):
            self.add_error("tag", ValidationError(_("Write a tag or a kind."), "neither"))
        return given

    def values(self) -> dict[str, Any]:
        values = dict(self.cleaned_data)
        return {"needs": values.pop("tag"), **values}


class PhotoForm(MinistryForm):
    file = forms.FileField(
        label=gettext_lazy("Picture"),
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp", "capture": "environment"}),
        help_text=gettext_lazy("JPEG, PNG or WebP. It is drawn anew, and where it was taken is left out."),
    )
    shows = forms.ChoiceField(choices=Photo.Shows, label=gettext_lazy("What it shows"))
    caption = forms.CharField(max_length=200, required=False, label=gettext_lazy("Caption"))
