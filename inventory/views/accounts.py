"""Software, subscriptions and permissions: who holds them, when they run out, what they cost those who may know."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from inventory.compute.renewals import has_one_holder, renews_soon
from inventory.forms.accounts import AccountForm
from inventory.models import Account
from inventory.services.accounts import add_account, change_account, remove_account
from inventory.views.clashes import chosen_in, shown
from people.access import Viewer, in_ministry
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from people.querysets import get_for_edit, get_visible
from people.services.merging import Clashed
from people.views.told import tell

WITH_NAMES = ("holder", "second_holder", "runs_on")


@dataclass(frozen=True)
class Line:
    """An account with what is worth a word about it."""

    account: Account
    holder: str
    second: str
    alone: bool
    soon: bool

    @property
    def holders(self) -> list[str]:
        return [name for name in (self.holder, self.second) if name]


def line_of(account: Account, viewer: Viewer) -> Line:
    holder = str(account.holder or "") or account.holder_words
    second = str(account.second_holder or "") or account.second_words
    soon = renews_soon(account.renews_on, today(viewer.ministry))
    return Line(account, holder, second, has_one_holder(holder, second), soon)


@require_GET
@in_ministry("see")
def accounts(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    found = Account.objects.visible_to(viewer).select_related(*WITH_NAMES, "runs_on__ministry")
    lines = [line_of(one, viewer) for one in found]
    country = pack(viewer.ministry.country)
    yearly = sum(line.account.yearly_cost_minor or 0 for line in lines) if viewer.sees_money else 0
    told = {
        "lines": lines,
        "answer": accounts_answer(lines, country),
        "yearly": phrasing.money(yearly, country, whole=True) if yearly else "",
        "may_plan": viewer.may("plan"),
    }
    return render(request, "inventory/accounts.html", told)


def accounts_answer(lines: Sequence[Line], country: CountryPack) -> str:
    """Return who holds what alone, and what runs out next."""
    if not lines:
        return _("No software, subscription or permission is written down yet.")
    alone = sum(line.alone for line in lines)
    said = _("Each account has somebody to fall back on.")
    if alone:
        n = phrasing.counted(alone, _("account"), _("accounts"), country, at_start=True)
        said = ngettext("%(n)s has one holder only.", "%(n)s have one holder only.", alone) % {"n": n}
    due = sorted((line for line in lines if line.soon), key=lambda line: line.account.renews_on)
    if due:
        first = {"what": due[0].account.what, "day": phrasing.day(due[0].account.renews_on, country, "long")}
        said += " " + _("Next to renew: %(what)s, on %(day)s.") % first
    return said


@require_GET
@in_ministry("see")
def account(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_visible(Account.objects.select_related(*WITH_NAMES, "runs_on__ministry"), viewer, uid=uid)
    told = {
        "line": line_of(row, viewer),
        "account": row,
        "may_plan": viewer.may("plan"),
        "may_remove": viewer.may("remove"),
    }
    return render(request, "inventory/account.html", told)


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def account_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = AccountForm(request.POST or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        __, act = add_account(ministry=viewer.ministry, by=viewer.member, **form.changed_values())
        tell(request, act)
        return redirect("accounts", ministry=viewer.ministry.slug)
    return _form_page(request, form, _("Which software, subscription or permission?"))


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def account_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Account.objects.all(), viewer, "plan", uid=uid)
    form = AccountForm(request.POST or None, instance=Account.objects.get(pk=row.pk), viewer=viewer)
    more: dict[str, Any] = {}
    if request.method == "POST" and form.is_valid():
        base = form.cleaned_data.get("base_version")
        try:
            act = change_account(
                account=row, by=viewer.member, base_version=base, **chosen_in(request), **form.changed_values()
            )
        except Clashed as clashed:
            more = shown(clashed, form, viewer)
        else:
            if act:
                tell(request, act)
            return redirect("account-page", ministry=viewer.ministry.slug, uid=row.uid)
    return _form_page(request, form, _("What is known of %(name)s?") % {"name": row}, **more)


def _form_page(request: HttpRequest, form: Any, title: str, **told: Any) -> HttpResponse:
    status = 409 if "clashes" in told else 422 if form.errors else 200
    return render(request, "inventory/account_form.html", {"form": form, "title": title, **told}, status=status)


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def account_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    row = get_for_edit(Account.objects.all(), viewer, "remove", uid=uid)
    if request.method == "POST":
        tell(request, remove_account(account=row, by=viewer.member))
        return redirect("accounts", ministry=viewer.ministry.slug)
    return render(request, "inventory/account_remove.html", {"account": row})
