"""The control for a day."""

from typing import Any

from django import forms


class DayInput(forms.DateInput):
    """A day in the browser's own control, which takes the form of ISO 8601 only, whatever the country writes."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)
