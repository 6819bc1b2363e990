"""The three questions a church begins with."""

from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext_lazy as _

from people.compute.cleaning import one_line
from people.forms.days import DayInput
from people.forms.ministries import place_choices
from people.packs import countries, pack


class NewChurchForm(forms.Form):
    """Name, then three questions; currency and zone follow from the country and state."""

    name = forms.CharField(label=_("What is the church called?"), max_length=120)
    where = forms.ChoiceField(
        label=_("In which country and state does it stand?"),
        choices=place_choices,
        help_text=_("It decides the currency, the time zone, the paper, the units and the radio rules."),
    )
    main_room = forms.CharField(
        label=_("What do you call the main room?"),
        max_length=80,
        help_text=_("For instance sanctuary, auditorium or worship hall."),
    )
    out_by = forms.DateField(
        label=_("By which date must everything be out of the old building?"),
        required=False,
        widget=DayInput(),
        help_text=_("Leave it open when no building is given up."),
    )

    def clean_name(self) -> str:
        return self._said("name")

    def clean_main_room(self) -> str:
        return self._said("main_room")

    def clean_where(self) -> tuple[str, str]:
        """Return (country, state)."""
        country, __, state = self.cleaned_data["where"].partition(":")
        if country not in countries():
            raise forms.ValidationError(_("Choose a country from the list."), code="country")
        return country, state

    def _said(self, name: str) -> str:
        said = one_line(self.cleaned_data[name])
        if not said:
            raise forms.ValidationError(_("Write a name that can be read."), code="required")
        return said

    def answers(self) -> dict[str, Any]:
        """Return what people.services.ministries.found_ministry takes."""
        country, state = self.cleaned_data["where"]
        zone = ZoneInfo(pack(country).zone_of(state)).key
        kept = {key: self.cleaned_data[key] for key in ("name", "main_room", "out_by")}
        return {**kept, "country": country, "state": state, "zone": zone}
