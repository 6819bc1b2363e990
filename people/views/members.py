"""Who signs in here, with which hats, and who is invited."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from people.access import Viewer, in_ministry
from people.forms.members import WHAT_A_ROLE_MAY, InvitationForm, RolesForm
from people.models import Invitation, Member
from people.roles import Role
from people.services.invitations import NotGood, invite, invite_again, send_letter, unanswered, withdraw
from people.services.members import LastLead, set_roles, set_serving
from people.views.accounts import mail_is_set_up


def members_of(viewer: Viewer) -> list[Member]:
    """Return everyone who serves or served, those who serve first, by name; one query."""
    found = Member.objects.select_related("user").filter(ministry=viewer.ministry)
    return sorted(found, key=lambda one: (not one.is_active, str(one).casefold()))


@in_ministry("manage")
def members(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    everyone = members_of(viewer)
    serving = [one for one in everyone if one.is_active]
    leads = [one for one in serving if Role.LEAD in one.roles]
    return render(
        request,
        "people/members.html",
        {
            "serving": serving,
            "gone": [one for one in everyone if not one.is_active],
            "leads": leads,
            "only_lead": leads[0] if len(leads) == 1 else None,
            "invitations": list(unanswered(viewer.member)),
            "now": timezone.now(),
            "roles": [(role.label, WHAT_A_ROLE_MAY[role]) for role in Role],
        },
    )


@in_ministry("manage")
def member_edit(request: HttpRequest, viewer: Viewer, member: int) -> HttpResponse:
    chosen = get_object_or_404(Member.objects.select_related("user"), pk=member, ministry=viewer.ministry)
    form = RolesForm(request.POST if request.method == "POST" else None, initial={"roles": chosen.roles})
    if request.method == "POST" and form.is_valid():
        try:
            set_roles(member=chosen, roles=form.cleaned_data["roles"], by=viewer.member)
            messages.success(request, _("Kept the roles of %(name)s.") % {"name": chosen})
            return _back(viewer)
        except LastLead as refused:
            form.add_error("roles", str(refused))
    return render(
        request, "people/member_edit.html", {"form": form, "chosen": chosen}, status=422 if form.errors else 200
    )


@require_POST
@in_ministry("manage")
def member_serves(request: HttpRequest, viewer: Viewer, member: int) -> HttpResponse:
    """Let a member go, or in again."""
    chosen = get_object_or_404(Member.objects.select_related("user"), pk=member, ministry=viewer.ministry)
    serves = request.POST.get("serves") == "yes"
    try:
        set_serving(member=chosen, serves=serves, by=viewer.member)
    except LastLead as refused:
        messages.error(request, str(refused))
        return _back(viewer)
    says = _("%(name)s may sign in here again.") if serves else _("%(name)s can no longer sign in here.")
    messages.success(request, says % {"name": chosen})
    return redirect("churches") if chosen == viewer.member and not serves else _back(viewer)


@never_cache
@in_ministry("manage")
def invitation_new(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = InvitationForm(request.POST if request.method == "POST" else None, initial={"roles": [Role.CREW]})
    if request.method == "POST" and form.is_valid():
        invitation, secret = invite(by=viewer.member, **form.cleaned_data)
        return _show_link(request, viewer, invitation, secret)
    return render(request, "people/invitation_new.html", {"form": form}, status=422 if form.errors else 200)


@never_cache
@require_POST
@in_ministry("manage")
def invitation_again(request: HttpRequest, viewer: Viewer, invitation: int) -> HttpResponse:
    chosen = get_object_or_404(unanswered(viewer.member), pk=invitation)
    try:
        return _show_link(request, viewer, chosen, invite_again(invitation=chosen, by=viewer.member))
    except NotGood as refused:
        messages.error(request, str(refused))
        return _back(viewer)


@require_POST
@in_ministry("manage")
def invitation_withdraw(request: HttpRequest, viewer: Viewer, invitation: int) -> HttpResponse:
    chosen = get_object_or_404(unanswered(viewer.member), pk=invitation)
    try:
        withdraw(invitation=chosen, by=viewer.member)
        messages.success(request, _("The invitation of %(email)s is withdrawn.") % {"email": chosen.email})
    except NotGood as refused:
        messages.error(request, str(refused))
    return _back(viewer)


def _show_link(request: HttpRequest, viewer: Viewer, invitation: Invitation, secret: str) -> HttpResponse:
    """Answer with the link, this once: it is stored nowhere and no address leads to this page again."""
    link = request.build_absolute_uri(reverse("join", kwargs={"secret": secret}))
    sent = mail_is_set_up() and send_letter(invitation=invitation, link=link, by=viewer.member)
    told = {"invitation": invitation, "link": link, "sent": sent, "mail_is_set_up": mail_is_set_up()}
    return render(request, "people/invitation_link.html", told)


def _back(viewer: Viewer) -> HttpResponse:
    return redirect("members", ministry=viewer.ministry.slug)
