"""A church begins with three questions; whoever is new says who they are as well."""

from django.contrib.auth import login
from django.contrib.auth.views import redirect_to_login
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from inventory.forms.new_church import NewChurchForm
from inventory.services.first_church import begin_church
from people.forms.accounts import NewUserForm
from people.models import Member, User
from people.services.ministries import may_found


def new_church(request: HttpRequest) -> HttpResponse:
    if not may_found(request.user):
        return redirect_to_login(request.get_full_path())
    form = NewChurchForm(request.POST if request.method == "POST" else None)
    founder = (
        None
        if request.user.is_authenticated
        else NewUserForm(request.POST if request.method == "POST" else None, prefix="me")
    )
    if request.method == "POST" and _all_valid(form, founder):
        lead = _begin(request, form, founder)
        return redirect("first-list", ministry=lead.ministry.slug)
    wrong = form.errors or (founder and founder.errors)
    told = {"form": form, "founder": founder}
    return render(request, "inventory/new_church.html", told, status=422 if wrong else 200)


def _all_valid(form: NewChurchForm, founder: NewUserForm | None) -> bool:
    """Ask both, so that one round shows everything that is wrong."""
    answers, who = form.is_valid(), founder is None or founder.is_valid()
    return answers and who


@transaction.atomic
def _begin(request: HttpRequest, form: NewChurchForm, founder: NewUserForm | None) -> Member:
    user = request.user
    if founder:
        values = founder.cleaned_data
        user = User.objects.create_user(values["email"], values["new_password1"], name=values["name"])
    lead = begin_church(user=user, **form.answers())
    if founder:
        login(request, user, backend="django.contrib.auth.backends.ModelBackend")
    return lead
