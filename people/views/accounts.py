"""Signing in and out, one's password, one's name. The framework's own views, with our forms, pages and sentences."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_required
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache

from people.forms.accounts import AccountForm, ChangePasswordForm, ForgottenForm, NewPasswordForm, SignInForm
from people.network import client_address
from people.services.letters import may_send_letter
from people.services.members import rename_user
from people.services.ministries import may_found

CONSOLE_MAIL = ("console", "filebased", "dummy")


def mail_is_set_up() -> bool:
    """Tell whether letters really leave this machine."""
    return not any(word in settings.EMAIL_BACKEND for word in CONSOLE_MAIL)


class SignIn(auth_views.LoginView):
    """The form counts wrong attempts by address and name (django-axes); a locked pair sees people/locked_out.html."""

    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: object) -> dict[str, object]:
        return super().get_context_data(may_found=may_found(self.request.user), **kwargs)


sign_in = SignIn.as_view()
sign_out = auth_views.LogoutView.as_view()


class ChangePassword(auth_views.PasswordChangeView):
    template_name = "people/password_change.html"
    form_class = ChangePasswordForm
    success_url = reverse_lazy("account")

    def form_valid(self, form: ChangePasswordForm) -> HttpResponse:
        messages.success(self.request, _("Your password is changed. Other devices must sign in again."))
        return super().form_valid(form)


password_change = ChangePassword.as_view()


class Forgotten(auth_views.PasswordResetView):
    """Says the same whether or not there is such an account, and whether or not a letter may still go this hour."""

    template_name = "people/password_forgotten.html"
    email_template_name = "people/letters/password.txt"
    subject_template_name = "people/letters/password_subject.txt"
    form_class = ForgottenForm
    success_url = reverse_lazy("password-reset-sent")
    extra_context = {"mail_is_set_up": mail_is_set_up}

    def form_valid(self, form: ForgottenForm) -> HttpResponse:
        email = form.cleaned_data["email"]
        if may_send_letter(email=email, network=client_address(self.request), now=timezone.now()):
            return super().form_valid(form)
        return redirect(self.success_url)


password_reset = Forgotten.as_view()
password_reset_sent = auth_views.PasswordResetDoneView.as_view(template_name="people/password_sent.html")


class ResetPassword(auth_views.PasswordResetConfirmView):
    """The link works once and for a day; the address bar loses its secret before the form shows."""

    template_name = "people/password_new.html"
    form_class = NewPasswordForm
    success_url = reverse_lazy("sign-in")

    def form_valid(self, form: NewPasswordForm) -> HttpResponse:
        messages.success(self.request, _("Your new password is kept. Sign in with it."))
        return super().form_valid(form)


password_reset_confirm = ResetPassword.as_view()


@login_required
def account(request: HttpRequest) -> HttpResponse:
    form = AccountForm(request.POST if request.method == "POST" else None, initial={"name": request.user.name})
    if form.is_valid():
        rename_user(user=request.user, **form.cleaned_data)
        messages.success(request, _("Your name is kept."))
        return redirect("account")
    return render(request, "people/account.html", {"form": form}, status=422 if form.is_bound else 200)


@never_cache
def healthz(request: HttpRequest) -> HttpResponse:
    """Answer "ok" when the database answers; for whatever watches the server."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")
