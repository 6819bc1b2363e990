"""The form in which the lead writes down which TV channels are vacant here."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.compute.radio import mhz
from inventory.compute.radio_reference import TvChannel as TvRaster
from inventory.forms.piece import DayInput
from inventory.models import TvChannel
from people.access import Viewer
from people.forms.base import MinistryForm

PREFIX = "channel_"
UNTOUCHED = "-"


class TvChannelsForm(MinistryForm):
    """One choice a channel, and when it was looked up. Channels left as they are keep their date."""

    checked_on = forms.DateField(label=gettext_lazy("Looked up on"), widget=DayInput())
    note = forms.CharField(
        label=gettext_lazy("Where it was looked up"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("The regulator's list of TV stations, or a scan in the room."),
    )

    def __init__(self, *args: Any, viewer: Viewer, channels: Sequence[TvRaster], **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        for one in channels:
            self.fields[f"{PREFIX}{one.number}"] = forms.ChoiceField(
                label=_("Channel %(number)d, %(low)s–%(high)s MHz")
                % {"number": one.number, "low": mhz(one.low_khz), "high": mhz(one.high_khz)},
                choices=[(UNTOUCHED, _("leave as it is")), *TvChannel.Found.choices],
                required=False,
            )

    def found(self) -> dict[int, str]:
        """Return channel -> what was found, of the channels somebody answered."""
        answers = {name: value for name, value in self.cleaned_data.items() if name.startswith(PREFIX)}
        return {
            int(name.removeprefix(PREFIX)): value for name, value in answers.items() if value and value != UNTOUCHED
        }
