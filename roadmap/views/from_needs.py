"""What is missing becomes a step: a small form, and the way to the step."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from inventory.models import RoomNeed
from inventory.services.needs import look_at_needs
from people.access import Viewer, in_ministry
from people.querysets import get_for_edit
from people.views.told import tell
from roadmap.forms.from_needs import NeedStepForm
from roadmap.services.from_needs import step_from_need, step_of
from roadmap.words import StepKind


@require_http_methods(["GET", "POST"])
@in_ministry("plan")
def need_to_step(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    rows = RoomNeed.objects.select_related("place", "ministry").prefetch_related("musts", "choices__piece")
    need = get_for_edit(rows, viewer, "plan", uid=uid)
    (look,) = look_at_needs(viewer.ministry, [need])
    initial = {"title": title_of(need, look.filling.gap), "kind": StepKind.BUY, "days": 1}
    form = NeedStepForm(request.POST or None, viewer=viewer, initial=initial)
    if request.method == "POST" and form.is_valid():
        step, act = step_from_need(need=need, by=viewer.member, **form.cleaned_data)
        tell(request, act)
        return redirect("step", ministry=viewer.ministry.slug, key=step.key)
    context = {"need": need, "form": form, "gap": look.filling.gap, "filling": look.filling, "step": step_of(need)}
    return render(request, "roadmap/need_to_step.html", context, status=422 if request.method == "POST" else 200)


def title_of(need: RoomNeed, gap: int) -> str:
    """Return what to buy and fit where, with the number where it is more than one."""
    what = f"{gap} × {need.what}" if gap > 1 else need.what
    return _("Buy and fit: %(what)s, %(place)s") % {"what": what, "place": need.place}
