"""Roles as boxes to tick, each with what it lets its wearer do, and the address an invitation goes to."""

from django import forms
from django.utils.translation import gettext_lazy as _

from people.models.users import tidy_email
from people.roles import Role

WHAT_A_ROLE_MAY = {
    Role.LEAD: _("everything: gear, steps, money, members"),
    Role.COACH: _("everything except members and taking things off the list; may visit several churches"),
    Role.CREW: _("records, moves, tests and ticks off; sees no prices anywhere"),
    Role.LEADERSHIP: _("reads everything and decides at the gates"),
    Role.TREASURER: _("reads everything, edits money and orders"),
    Role.READER: _("reads rooms, pieces and packets; no prices, nobody's address or number"),
}


def role_choices() -> list[tuple[str, str]]:
    return [(role.value, f"{role.label}: {WHAT_A_ROLE_MAY[role]}") for role in Role]


class RolesForm(forms.Form):
    roles = forms.MultipleChoiceField(
        label=_("Roles"),
        choices=role_choices,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("One person may wear several hats; what one of them may do, they may do."),
        error_messages={"required": _("Tick at least one role.")},
    )


class InvitationForm(RolesForm):
    email = forms.EmailField(label=_("E-mail address"), max_length=254)
    field_order = ["email", "roles"]

    def clean_email(self) -> str:
        return tidy_email(self.cleaned_data["email"])
