"""Forms of sites and places."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inventory.models import Place, Site
from people.access import Viewer
from people.forms.base import MinistryModelForm
from people.forms.days import DayInput


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%H:%M", **kwargs)


class SiteForm(MinistryModelForm):
    class Meta:
        model = Site
        fields = [
            "name", "code", "kind", "receives", "last_service_on", "last_service_at", "exit_on", "exit_at",
            "own_target_on", "emptied_on", "handed_back_on", "duties", "access", "keyholder", "state",
        ]  # fmt: skip
        widgets = {
            **dict.fromkeys(
                ("last_service_on", "exit_on", "own_target_on", "emptied_on", "handed_back_on"), DayInput()
            ),
            **dict.fromkeys(("last_service_at", "exit_at"), TimeInput()),
        }


class PlaceForm(MinistryModelForm):
    class Meta:
        model = Place
        fields = ["name", "code", "site", "within", "is_room", "people", "size", "rack_units", "remarks"]
        labels = {"site": gettext_lazy("Site"), "within": gettext_lazy("In which place")}

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        self.fields["within"].empty_label = _("stands by itself")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        within, site = given.get("within"), given.get("site")
        if within and site and within.site_id != site.pk:
            self.add_error("within", ValidationError(_("This place is in another site."), "site"))
        if within and self.instance.pk and self._is_inside_itself(within):
            self.add_error("within", ValidationError(_("A place cannot be inside itself."), "loop"))
        return given

    def _is_inside_itself(self, within: Place) -> bool:
        above = dict(Place.objects.visible_to(self.viewer).values_list("pk", "within"))
        at: int | None = within.pk
        while at is not None and at != self.instance.pk:
            at = above.get(at)
        return at == self.instance.pk
