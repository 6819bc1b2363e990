"""Writing what was promised for every Sunday, how it stands, and the figures the work should move."""

from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from people.services.editing import change_merged
from roadmap.models import Goal, Promise
from roadmap.words import Standing


def next_key(model: type[Promise] | type[Goal], ministry: Ministry, letters: str) -> str:
    """Return the number the next row gets: SP-13 after SP-12. Queries once."""
    keys = model.objects.filter(ministry=ministry).values_list("key", flat=True)
    numbers = [int(figures) for key in keys if (figures := key.removeprefix(letters)).isdigit()]
    return f"{letters}{max(numbers, default=0) + 1:0{2 if letters == 'SP-' else 1}d}"


def add_promise(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Promise, Act]:
    """Store a new promise at the end of the list."""
    values.setdefault("key", next_key(Promise, ministry, "SP-"))
    last = Promise.objects.filter(ministry=ministry).order_by("-order").first()
    says = _("Promised for every Sunday: %(text)s.") % values
    with record.act(ministry=ministry, by=by, kind="promise-add", says=says) as act:
        return record.add(Promise(ministry=ministry, order=(last.order if last else 0) + 10, **values)), act


def change_promise(*, promise: Promise, by: Member | None, **how: Any) -> Act | None:
    """Change a promise; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed the promise %(text)s.") % {"text": promise.text}
    return change_merged(row=promise, by=by, act_kind="promise-change", says=says, **how)


def say_how_it_stands(*, promise: Promise, by: Member | None, standing: str, why: str = "") -> Act:
    """Keep how a promise stands today, and why."""
    says = _("%(text)s: now %(standing)s.") % {"text": promise.text, "standing": Standing(standing).label}
    with record.act(ministry=promise.ministry, by=by, kind="promise-stands", says=says) as act:
        record.change(promise, standing=standing, why=why)
        return act


def add_goal(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Goal, Act]:
    """Store a figure the work should move."""
    values.setdefault("key", next_key(Goal, ministry, "GO"))
    says = _("Wrote down a goal: %(goal)s.") % values
    with record.act(ministry=ministry, by=by, kind="goal-add", says=says) as act:
        return record.add(Goal(ministry=ministry, **values)), act


def change_goal(*, row: Goal, by: Member | None, **how: Any) -> Act | None:
    """Change a goal or its figures. Raises merging.Clashed."""
    says = _("Changed the goal %(goal)s.") % {"goal": row.goal}
    return change_merged(row=row, by=by, act_kind="goal-change", says=says, **how)
