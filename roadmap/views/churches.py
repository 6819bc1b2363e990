"""The first page of whoever serves in several churches: which of them needs me most."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from people.access import Viewer
from people.clock import today
from people.compute import phrasing
from people.packs import pack
from people.views.church import first_page
from roadmap.compute.who_needs_me import Signs, by_need, need
from roadmap.services.churches import signs_of, viewers_of


@dataclass(frozen=True)
class ChurchLine:
    """One church as its coach reads it."""

    name: str
    url: str
    roles: str
    words: list[str]
    is_quiet: bool


@login_required
def churches(request: HttpRequest) -> HttpResponse:
    viewers = {one.ministry.slug: one for one in viewers_of(request.user)}
    if len(viewers) == 1:
        return redirect(first_page(*viewers.values()))
    signs = signs_of(viewers.values())
    order = by_need({slug: (signs[slug], today(one.ministry)) for slug, one in viewers.items()})
    lines = [_line(viewers[slug], signs[slug]) for slug in order]
    return render(request, "roadmap/churches.html", {"lines": lines, "first": lines[0] if lines else None})


def _line(viewer: Viewer, signs: Signs) -> ChurchLine:
    return ChurchLine(
        name=viewer.ministry.name,
        url=reverse("church", kwargs={"ministry": viewer.ministry.slug}),
        roles=", ".join(viewer.member.role_words()) if viewer.member else "",
        words=list(_words(viewer, signs)),
        is_quiet=need(signs, today(viewer.ministry)) == 0,
    )


def _words(viewer: Viewer, signs: Signs) -> Iterator[str]:
    """Yield what stands open, what can cost a Sunday first."""
    its_pack = pack(viewer.ministry.country)
    if signs.late_orders:
        says = ngettext("%(n)s order late, by %(days)s", "%(n)s orders late, by up to %(days)s", signs.late_orders)
        days = phrasing.counted(signs.worst_days_late, _("day"), _("days"), its_pack)
        yield says % {"n": signs.late_orders, "days": days}
    if signs.undecided:
        yield ngettext("%(n)s piece to decide", "%(n)s pieces to decide", signs.undecided) % {"n": signs.undecided}
    if signs.next_exit:
        yield _("a building must be empty by %(day)s") % {"day": phrasing.day(signs.next_exit, its_pack)}
    if signs.questions:
        yield ngettext("%(n)s question open", "%(n)s questions open", signs.questions) % {"n": signs.questions}
    if signs.changes:
        says = ngettext(
            "%(n)s thing happened since you last wrote", "%(n)s things happened since you last wrote", signs.changes
        )
        yield says % {"n": signs.changes}
