"""The filter of "what happened here", read as one sentence."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from people.access import Viewer
from people.models import Member, Tracked


class HappenedForm(forms.Form):
    kind = forms.ChoiceField(required=False)
    by = forms.TypedChoiceField(required=False, coerce=int, empty_value=None)

    def __init__(self, *args: Any, viewer: Viewer, kinds: Iterable[type[Tracked]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = sorted((str(kind._meta.verbose_name_plural), kind._meta.model_name) for kind in kinds)
        self.fields["kind"].label = _("what happened to")
        self.fields["kind"].choices = [("", _("anything")), *((name, label) for label, name in words)]
        self.fields["by"].label = _("by")
        self.fields["by"].choices = [("", _("anyone")), *self._members(viewer)]

    @staticmethod
    def _members(viewer: Viewer) -> list[tuple[int, str]]:
        """Return the ministry's members by name; nobody's address to who sees none."""
        members = Member.objects.select_related("user").filter(ministry=viewer.ministry)
        named = [(one.pk, str(one)) for one in members if one.user.name or viewer.may("see_contacts")]
        return sorted(named, key=lambda one: one[1].casefold())
