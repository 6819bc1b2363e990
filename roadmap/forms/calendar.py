"""Forms of what the calendar holds."""

import re
from datetime import time
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from people.forms.base import MinistryModelForm
from people.forms.days import DayInput
from roadmap.models import Booking, Freeze, Promise, Service

DAY = DayInput()
MOMENT = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
WEEKDAYS = [
    ("", _("one date only")),
    (6, _("Sunday")),
    (0, _("Monday")),
    (1, _("Tuesday")),
    (2, _("Wednesday")),
    (3, _("Thursday")),
    (4, _("Friday")),
    (5, _("Saturday")),
]


class TimesField(forms.CharField):
    """Reads `9:00, 10:45` and `9:00 am + 6 pm` as a list of HH:MM."""

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(value) if isinstance(value, list) else value

    def to_python(self, value: Any) -> list[str]:
        text = super().to_python(value)
        parts = [part.strip() for part in re.split(r"[,;+&]|\band\b", text or "") if part.strip()]
        return [self._moment(part) for part in parts]

    def _moment(self, part: str) -> str:
        found = re.fullmatch(r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap])?\.?(?:m\.?)?", part, re.IGNORECASE)
        if not found:
            raise ValidationError(_("Write times like 9:00, 10:45."), code="times")
        hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "").lower()
        if half:
            hour = hour % 12 + (12 if half == "p" else 0)
        try:
            return time(hour, minute).strftime("%H:%M")
        except ValueError:
            raise ValidationError(
                _("There is no such time of day: write times like 9:00, 10:45."), code="times"
            ) from None


class ServiceForm(MinistryModelForm):
    weekday = forms.TypedChoiceField(label=_("Every"), choices=WEEKDAYS, coerce=int, empty_value=None, required=False)
    times = TimesField(label=_("at"), max_length=120, help_text=_("Like 9:00, 10:45."))
    promise_keys = forms.MultipleChoiceField(
        label=_("Promises in force"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("None ticked means all of them."),
    )

    class Meta:
        model = Service
        fields = ["name", "on", "weekday", "from_on", "until_on", "times", "remark", "promise_keys"]
        widgets = {"on": DAY, "from_on": DAY, "until_on": DAY}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        promises = Promise.objects.visible_to(self.viewer)
        self.fields["promise_keys"].choices = [(one.key, str(one)) for one in promises]

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        if values.get("on") is None and values.get("weekday") is None:
            self.add_error("on", _("Give a date, or choose a weekday below."))
        if values.get("on") and values.get("weekday") is not None:
            self.add_error("weekday", _("A date and a weekday at once: keep one of them."))
        return values


class FreezeForm(MinistryModelForm):
    class Meta:
        model = Freeze
        fields = ["name", "first_on", "last_on", "covers"]
        widgets = {"first_on": DAY, "last_on": DAY}

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        first, last = values.get("first_on"), values.get("last_on")
        if first and last and last < first:
            self.add_error("last_on", _("It ends before it begins: swap the two."))
        return values


class BookingForm(MinistryModelForm):
    class Meta:
        model = Booking
        fields = ["place", "what", "starts_at", "ends_at", "closes_room"]
        widgets = {"starts_at": MOMENT, "ends_at": MOMENT}

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        first, last = values.get("starts_at"), values.get("ends_at")
        if first and last and last < first:
            self.add_error("ends_at", _("It ends before it begins: swap the two."))
        return values
