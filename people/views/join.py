"""Opening an invitation: as someone new, or as one who has an account."""

from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from people.forms.accounts import NewUserForm
from people.models import Invitation, Member, User
from people.services.invitations import NotGood, accept, accept_as_new, find_good, used_by

BACKEND = "django.contrib.auth.backends.ModelBackend"


@never_cache
def join(request: HttpRequest, secret: str) -> HttpResponse:
    try:
        invitation = find_good(secret)
        if request.user.is_authenticated:
            return _as_signed_in(request, secret, invitation)
        if User.objects.filter(email=invitation.email).exists():
            return render(request, "people/join_sign_in.html", {"invitation": invitation})
        return _as_new(request, secret, invitation)
    except NotGood as refused:
        member = used_by(secret, request.user) if request.user.is_authenticated else None
        if member:
            return _welcome(request, member)
        return render(request, "people/join_refused.html", {"sentence": str(refused)}, status=410)


def _as_signed_in(request: HttpRequest, secret: str, invitation: Invitation) -> HttpResponse:
    if request.method == "POST":
        return _welcome(request, accept(secret=secret, user=request.user))
    return render(request, "people/join_confirm.html", {"invitation": invitation, "roles_given": roles_in(invitation)})


def _as_new(request: HttpRequest, secret: str, invitation: Invitation) -> HttpResponse:
    form = NewUserForm(request.POST if request.method == "POST" else None, fixed_email=invitation.email)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        member = accept_as_new(secret=secret, name=values["name"], password=values["new_password1"])
        login(request, member.user, backend=BACKEND)
        return _welcome(request, member)
    told = {"form": form, "invitation": invitation, "roles_given": roles_in(invitation)}
    return render(request, "people/join_new.html", told, status=422 if form.errors else 200)


def roles_in(invitation: Invitation) -> list[str]:
    return Member(roles=invitation.roles).role_words()


def _welcome(request: HttpRequest, member: Member) -> HttpResponse:
    messages.success(request, _("Welcome to %(ministry)s.") % {"ministry": member.ministry})
    return redirect("church", ministry=member.ministry.slug)
