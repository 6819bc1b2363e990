"""What every form of a ministry does: choices of that ministry only, nothing the viewer may not see, clean text."""

from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models
from django.http import QueryDict
from django.utils.translation import gettext as _

from people.access import Viewer
from people.compute.cleaning import one_line, several_lines
from people.forms.amounts import MoneyField, PercentField
from people.models import Member
from people.packs import pack


def rows_for(rows: Any, viewer: Viewer) -> Any:
    """Return the rows of a queryset the viewer may choose from; members count when they still serve."""
    if rows.model is Member:
        return rows.filter(ministry=viewer.ministry, is_active=True)
    return rows.visible_to(viewer)


class OfMinistry(forms.BaseForm):
    """Takes `viewer=`; limits every choice of rows to theirs, drops fields they may not see, tidies what was typed."""

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        self.viewer = viewer
        super().__init__(*args, **kwargs)
        for name, field in list(self.fields.items()):
            if self._is_hidden_from_viewer(name, field):
                del self.fields[name]
            elif isinstance(field, forms.ModelChoiceField):
                field.queryset = rows_for(field.queryset, viewer)
        self._say_what_is_missing()
        if self.is_bound:
            self.data = self._tidied(self.data)

    def _say_what_is_missing(self) -> None:
        """An empty box says what to do, unless the field has words of its own."""
        plain = forms.Field.default_error_messages["required"]
        for field in self.fields.values():
            if field.error_messages.get("required") == plain:
                chosen = isinstance(field, forms.ChoiceField)
                field.error_messages["required"] = _("Choose one.") if chosen else _("Fill this in: it is needed.")

    def _is_hidden_from_viewer(self, name: str, field: forms.Field) -> bool:
        """Tell whether the field shows rows of a kind that is not for the viewer: kept, not emptied, when saved."""
        if not isinstance(field, forms.ModelChoiceField):
            return False
        return not self.viewer.may(getattr(field.queryset.model, "seen_with", "see"))

    def _tidied(self, data: Any) -> QueryDict:
        """Return the submitted data with clean text: on one line, or several where the box has several."""
        boxes = {self.add_prefix(n) for n, f in self.fields.items() if isinstance(f.widget, forms.Textarea)}
        tidied = QueryDict(mutable=True)
        for key in data:
            values = data.getlist(key) if hasattr(data, "getlist") else self._as_list(data[key])
            tidy = several_lines if key in boxes else one_line
            tidied.setlist(key, [tidy(value) if isinstance(value, str) else value for value in values])
        return tidied

    @staticmethod
    def _as_list(value: Any) -> list[Any]:
        return list(value) if isinstance(value, (list, tuple)) else [value]


class MinistryForm(OfMinistry, forms.Form):
    """A form that is not a row of one model: `MinistryForm(request.POST, viewer=viewer)`."""


class MinistryModelForm(OfMinistry, forms.ModelForm):
    """A form of one tracked row: `PieceForm(request.POST or None, instance=piece, viewer=viewer)`.

    It never saves: hand `cleaned_data` (or `changed_values()`) to a service. A row of another ministry is refused as
    "not one of the available choices". Columns unique in a ministry are checked here, on the field a person can change.
    """

    base_version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, viewer: Viewer, **kwargs: Any) -> None:
        super().__init__(*args, viewer=viewer, **kwargs)
        if self.instance.ministry_id is None:
            self.instance.ministry = viewer.ministry
        self._write_money_as_amounts()
        if self.instance.pk:
            self.initial.setdefault("base_version", self.instance.version)
        else:
            del self.fields["base_version"]

    def _is_hidden_from_viewer(self, name: str, field: forms.Field) -> bool:
        hidden = frozenset[str]()
        if not self.viewer.sees_money:
            hidden |= getattr(self._meta.model, "money_fields", frozenset())
        if not self.viewer.may("see_contacts"):
            hidden |= getattr(self._meta.model, "contact_fields", frozenset())
        return name in hidden or super()._is_hidden_from_viewer(name, field)

    def _write_money_as_amounts(self) -> None:
        """Columns in minor units or hundredths of a percent are written as people write them."""
        country = pack(self.viewer.ministry.country)
        for name, field in self.fields.items():
            words = {"label": field.label, "required": field.required, "help_text": field.help_text}
            if name.endswith("_minor") and isinstance(field, forms.IntegerField):
                comma = country.locale.startswith("de")
                self.fields[name] = MoneyField(exponent=country.exponent, decimal_comma=comma, **words)
            elif name.endswith("_bp"):
                label = str(field.label).replace(_("hundredths of a percent"), _("percent"))
                self.fields[name] = PercentField(**{**words, "label": label})
        self._say_what_is_missing()

    def changed_values(self) -> dict[str, Any]:
        """Return the model's fields as submitted, ready for `record.change(row, **values)`; without base_version."""
        columns = {field.name for field in self._meta.model._meta.concrete_fields}
        return {name: value for name, value in self.cleaned_data.items() if name in columns}

    def save(self, commit: bool = True) -> Any:
        raise TypeError(f"{type(self).__name__} does not save: hand changed_values() to a service.")

    def _get_validation_exclusions(self) -> set[str]:
        return super()._get_validation_exclusions() - {"ministry"}

    def _update_errors(self, errors: ValidationError) -> None:
        """Say "there is one already" at the column a person can change instead of naming the ministry too."""
        found = errors.error_dict.get(NON_FIELD_ERRORS, []) if hasattr(errors, "error_dict") else []
        for error in [one for one in found if one.code == "unique_together"]:
            names = [n for n in (error.params or {}).get("unique_check", ()) if n in self.fields]
            if names:
                found.remove(error)
                errors.error_dict.setdefault(names[0], []).append(self._taken(names[0]))
        if hasattr(errors, "error_dict") and not found:
            errors.error_dict.pop(NON_FIELD_ERRORS, None)
        super()._update_errors(errors)

    def _taken(self, name: str) -> ValidationError:
        label = self.fields[name].label or name
        said: models.Model = self.instance
        return ValidationError(
            _("There is already one with this %(label)s: choose another.") % {"label": str(label).lower()},
            code="taken",
            params={"value": getattr(said, name, "")},
        )
