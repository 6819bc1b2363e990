"""Signing in, choosing and replacing a password, and one's own name, in our own sentences."""

from typing import Any

from django import forms
from django.contrib.auth import forms as auth_forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from people.compute.cleaning import one_line
from people.models import User
from people.models.users import tidy_email

PASSWORD_HELP = _("At least ten characters. Four unrelated words are easier to remember than one with odd signs.")


class SignInForm(auth_forms.AuthenticationForm):
    error_messages = {
        "invalid_login": _("This address and this password do not belong together. Try again, or set a new password."),
        "inactive": _("This account is closed. Ask the technical lead of your church."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"] = auth_forms.UsernameField(
            label=_("E-mail address"),
            max_length=254,
            widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
        )
        self.fields["password"].label = _("Password")

    def clean_username(self) -> str:
        """Return the address as it is stored, so that capitals open no second count of attempts."""
        return tidy_email(self.cleaned_data["username"])


class NewPasswordForm(auth_forms.SetPasswordForm):
    """A new password, typed twice."""

    error_messages = {"password_mismatch": _("The two passwords differ. Type the same one twice.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["new_password1"].label = _("New password")
        self.fields["new_password1"].help_text = PASSWORD_HELP
        self.fields["new_password2"].label = _("The same once more")
        self.fields["new_password2"].help_text = ""


class ChangePasswordForm(NewPasswordForm, auth_forms.PasswordChangeForm):
    error_messages = {
        **NewPasswordForm.error_messages,
        "password_incorrect": _("That is not your password of today. Type it once more."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = _("Your password of today")


class ForgottenForm(auth_forms.PasswordResetForm):
    email = forms.EmailField(
        label=_("E-mail address"), max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "email"})
    )

    def clean_email(self) -> str:
        return tidy_email(self.cleaned_data["email"])


class NewUserForm(forms.Form):
    """Who someone is and the password they choose; the address comes with an invitation or is asked for."""

    email = forms.EmailField(
        label=_("E-mail address"), max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "username"})
    )
    name = forms.CharField(label=_("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    new_password1 = forms.CharField(
        label=_("Password"),
        strip=False,
        help_text=PASSWORD_HELP,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    new_password2 = forms.CharField(
        label=_("The same once more"), strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "new-password"})
    )

    def __init__(self, *args: Any, fixed_email: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fixed_email = fixed_email
        if fixed_email:
            del self.fields["email"]

    def clean_name(self) -> str:
        return one_line(self.cleaned_data["name"])

    def clean_email(self) -> str:
        email = tidy_email(self.cleaned_data["email"])
        if User.objects.filter(email=email).exists():
            raise forms.ValidationError(_("There is an account with this address. Sign in with it."), code="taken")
        return email

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        first, second = values.get("new_password1"), values.get("new_password2")
        if first and second and first != second:
            self.add_error("new_password2", forms.ValidationError(_("The two passwords differ."), code="mismatch"))
        elif first:
            self._check_strength(first, values)
        return values

    def _check_strength(self, password: str, values: dict[str, Any]) -> None:
        user = User(email=self.fixed_email or values.get("email", ""), name=values.get("name", ""))
        try:
            validate_password(password, user)
        except forms.ValidationError as weak:
            self.add_error("new_password1", weak)


class AccountForm(forms.Form):
    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        help_text=_("As it stands beside what you do."),
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )

    def clean_name(self) -> str:
        return one_line(self.cleaned_data["name"])
