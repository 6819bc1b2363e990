"""A need that no stock fills becomes a step; the need names the step."""

import re

from django.utils.translation import gettext as _

from inventory.models import RoomNeed
from inventory.services.needs import change_need
from people.models import Act, Member
from people.services import record
from roadmap.models import Phase, Step
from roadmap.services.steps import add_step

STEP_KEY = re.compile(r"\bS\d+\b")


def step_of(need: RoomNeed) -> Step | None:
    """Return the step a need was made into, None where it names none that is still there. Queries at most once."""
    keys = STEP_KEY.findall(need.gap_words)
    return Step.objects.filter(ministry=need.ministry, key__in=keys).first() if keys else None


def step_from_need(
    *, need: RoomNeed, by: Member | None, title: str, phase: Phase, kind: str, days: int
) -> tuple[Step, Act]:
    """Write the missing part of a need down as a step and name it at the need, in one act."""
    says = _("Made a step of need %(need)s: %(title)s.") % {"need": need, "title": title}
    with record.act(ministry=need.ministry, by=by, kind="need-to-step", says=says) as act:
        note = _("From need %(need)s, %(place)s. %(must)s") % {
            "need": need,
            "place": need.place,
            "must": need.must_words,
        }
        step, __ = add_step(
            ministry=need.ministry, by=by, title=title, phase=phase, kind=kind, days=days, note=note.strip()[:500]
        )
        words = "; ".join(filter(None, (need.gap_words, _("becomes step %(key)s") % {"key": step.key})))
        change_need(need=need, by=by, gap_words=words[-200:])
        return step, act
