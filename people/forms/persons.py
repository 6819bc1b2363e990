"""One person around the work."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from people.access import Viewer
from people.forms.base import MinistryModelForm
from people.models import Person


class PersonForm(MinistryModelForm):
    """Contacts of someone under 18 are a field only for the technical lead."""

    class Meta:
        model = Person
        fields = ["name", "does", "home_site", "is_minor", "email", "phone", "member", "note"]
        labels = {"member": _("Signs in as"), "is_minor": _("Under 18")}
        help_texts = {
            "does": _("Shown beside steps and pieces they look after."),
            "is_minor": _("Their address and number stay off every list and every sheet of paper."),
            "member": _("Only if this person also signs in."),
        }

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        if self.instance.is_minor and not viewer.may("manage"):
            for name in Person.contact_fields:
                self.fields.pop(name, None)
        if "member" in self.fields:
            self.fields["member"].queryset = self.fields["member"].queryset.select_related("user")
            self.fields["member"].empty_label = _("nobody who signs in")
