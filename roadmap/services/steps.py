"""Writing steps and what they require."""

from datetime import date
from itertools import pairwise
from typing import Any

from django.utils.translation import gettext as _

from people.models import Act, Member, Ministry
from people.services import record
from people.services.editing import change_merged
from roadmap.compute.ordering import RequirementLoop, in_order
from roadmap.models import Step, StepCost, StepLink
from roadmap.words import DONE_STATES, StepState


class LinkRefused(Exception):
    """A requires link that cannot be; `sentence` says why, `loop` holds the keys going round."""

    def __init__(self, sentence: str, loop: tuple[str, ...] = (), code: str = "loop") -> None:
        super().__init__(sentence)
        self.sentence, self.loop, self.code = sentence, loop, code


def next_key(ministry: Ministry) -> str:
    """Return the number the next step gets: S29 after S28. Queries once."""
    numbers = [
        int(key[1:])
        for key in Step.objects.filter(ministry=ministry).values_list("key", flat=True)
        if key[1:].isdigit()
    ]
    return f"S{max(numbers, default=0) + 1:02d}"


def add_step(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Step, Act]:
    """Store a new step at the end of the list; the key is made when none is given."""
    values.setdefault("key", next_key(ministry))
    last = Step.objects.filter(ministry=ministry).order_by("-order").first()
    says = _("Wrote step %(key)s: %(title)s.") % values
    with record.act(ministry=ministry, by=by, kind="step-add", says=says) as act:
        return record.add(Step(ministry=ministry, order=(last.order if last else 0) + 10, **values)), act


def change_step(*, step: Step, by: Member | None, **how: Any) -> Act | None:
    """Change a step; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    says = _("Changed step %(key)s, %(title)s.") % {"key": step.key, "title": step.title}
    return change_merged(row=step, by=by, act_kind="step-change", says=says, **how)


def reorder(*, step: Step, by: Member | None, up: bool) -> Act | None:
    """Let a step change places with the one before it (or after it) in the list; None at the end of the list."""
    rows = list(Step.objects.filter(ministry=step.ministry).order_by("order", "id"))
    at = next(n for n, row in enumerate(rows) if row.pk == step.pk)
    other = at - 1 if up else at + 1
    if not 0 <= other < len(rows):
        return None
    rows[at], rows[other] = rows[other], rows[at]
    says = _("Moved step %(key)s in the list.") % {"key": step.key}
    with record.act(ministry=step.ministry, by=by, kind="step-reorder", says=says) as act:
        record.change_each((row, {"order": 10 * (n + 1)}) for n, row in enumerate(rows))
        return act


def move_step_on(*, step: Step, by: Member | None, state: str, on: date, words: str = "") -> Act:
    """Say how a step stands now: begun steps get their start, steps that are in get their finish.

    on: the day it happened. A step set back from done loses its finish, so that it is dated again.
    """
    values: dict[str, Any] = {"state": state, "state_words": words}
    if state == StepState.ON_IT:
        values |= {"actual_start": step.actual_start or on, "actual_finish": None}
    elif state in DONE_STATES:
        values |= {"actual_start": step.actual_start or on, "actual_finish": step.actual_finish or on}
    else:
        values |= {"actual_start": None, "actual_finish": None}
    says = _("Step %(key)s, %(title)s: now %(state)s.") % {"key": step.key, "title": step.title, "state": state}
    with record.act(ministry=step.ministry, by=by, kind="step-state", says=says) as act:
        record.change(step, **values)
        return act


def requires_of(ministry: Ministry) -> dict[str, list[str]]:
    """Return {step: the steps it requires} by key, in listed order; two queries."""
    requires: dict[str, list[str]] = {
        key: [] for key in Step.objects.filter(ministry=ministry).values_list("key", flat=True)
    }
    for step, needed in StepLink.objects.filter(ministry=ministry).values_list("step__key", "requires__key"):
        requires[step].append(needed)
    return requires


def require(*, step: Step, requires: Step, by: Member | None, **how: Any) -> tuple[StepLink, Act]:
    """Let a step require another; raises LinkRefused for itself, twice, or a loop, which it names in words."""
    if step.pk == requires.pk:
        raise LinkRefused(_("A step cannot require itself: choose another step."), (step.key,), "itself")
    if StepLink.objects.filter(step=step, requires=requires).exists():
        raise LinkRefused(_("It requires that step already."), code="twice")
    graph = requires_of(step.ministry)
    graph[step.key].append(requires.key)
    try:
        in_order(graph)
    except RequirementLoop as found:
        raise LinkRefused(loop_in_words(step.ministry, found.loop), found.loop) from found
    says = _("Step %(key)s now requires %(needs)s.") % {"key": step.key, "needs": requires.key}
    with record.act(ministry=step.ministry, by=by, kind="step-require", says=says) as act:
        return record.add(StepLink(ministry=step.ministry, step=step, requires=requires, **how)), act


def loop_in_words(ministry: Ministry, loop: tuple[str, ...]) -> str:
    """Return the loop as a sentence a person can follow: S10 waits for S12, S12 waits for S10. Queries once."""
    titles = dict(Step.objects.filter(ministry=ministry, key__in=loop).values_list("key", "title"))
    ring = [*loop, loop[0]]
    parts = [
        _("%(step)s (%(title)s) waits for %(needs)s") % {"step": a, "title": titles.get(a, a), "needs": b}
        for a, b in pairwise(ring)
    ]
    return _("That would go round in a circle: %(chain)s. None of them could ever start, so it was not kept.") % {
        "chain": "; ".join(parts)
    }


def require_no_more(*, link: StepLink, by: Member | None) -> Act:
    """Take a requires link away."""
    says = _("Step %(key)s no longer requires %(needs)s.") % {"key": link.step.key, "needs": link.requires.key}
    with record.act(ministry=link.ministry, by=by, kind="step-require-no-more", says=says) as act:
        record.remove(link)
        return act


def change_link(*, link: StepLink, by: Member | None, **how: Any) -> Act | None:
    """Change how a step requires another: kind and lags. Raises merging.Clashed."""
    says = _("Changed how step %(key)s requires %(needs)s.") % {"key": link.step.key, "needs": link.requires.key}
    return change_merged(row=link, by=by, act_kind="step-link-change", says=says, **how)


def add_cost(*, step: Step, by: Member | None, **values: Any) -> tuple[StepCost, Act]:
    """Store a cost of a step that no order carries."""
    with record.act(
        ministry=step.ministry, by=by, kind="step-cost-add", says=_costs_say(step), holds_money=True
    ) as act:
        return record.add(StepCost(ministry=step.ministry, step=step, **values)), act


def change_cost(*, cost: StepCost, by: Member | None, **how: Any) -> Act | None:
    """Change a cost of a step. Raises merging.Clashed."""
    says = _costs_say(cost.step)
    return change_merged(row=cost, by=by, act_kind="step-cost-change", says=says, holds_money=True, **how)


def remove_cost(*, cost: StepCost, by: Member | None) -> Act:
    """Take a cost of a step away."""
    says = _costs_say(cost.step)
    with record.act(ministry=cost.ministry, by=by, kind="step-cost-remove", says=says, holds_money=True) as act:
        record.remove(cost)
        return act


def _costs_say(step: Step) -> str:
    return _("Changed the costs of step %(key)s, %(title)s.") % {"key": step.key, "title": step.title}
