"""The signs of several churches at once; reads only, a fixed number of queries however many churches."""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db.models import Count, Max, Min, OuterRef, Q, QuerySet, Subquery

from inventory.models import AskedQuestion, Piece, Site
from inventory.words import Fate
from people.access import Viewer
from people.clock import today
from people.models import Act, Member, User
from roadmap.compute.who_needs_me import Signs
from roadmap.models import Order, PromisedDate
from roadmap.words import OrderState

AWAITED = (OrderState.ORDERED, OrderState.CONFIRMED, OrderState.LATE, OrderState.PART)


def viewers_of(user: User) -> list[Viewer]:
    """Return the user as a viewer of each church they serve in, by name; one query."""
    members = Member.objects.select_related("ministry", "user").filter(user=user, is_active=True)
    return [Viewer(one.ministry, one, frozenset(one.roles)) for one in members.order_by("ministry__name", "pk")]


def signs_of(viewers: Iterable[Viewer]) -> dict[str, Signs]:
    """Return {slug: signs} as far as each viewer may know them; six queries."""
    viewers = list(viewers)
    ids = [one.ministry.pk for one in viewers]
    late = _late_orders([one for one in viewers if one.may("see_plan")])
    undecided = _counts(Piece.objects.listed().filter(ministry__in=ids, fate=Fate.UNDECIDED))
    questions = _counts(AskedQuestion.objects.filter(ministry__in=ids, answer=""))
    open_sites = Site.objects.filter(ministry__in=ids, exit_on__isnull=False, handed_back_on=None, emptied_on=None)
    exits = dict(open_sites.order_by().values_list("ministry").annotate(Min("exit_on")))
    changes = _changes_since_own(viewers)
    return {
        one.ministry.slug: Signs(
            late_orders=len(late.get(one.ministry.pk, ())),
            worst_days_late=max(late.get(one.ministry.pk, [0])),
            undecided=undecided[one.ministry.pk],
            next_exit=exits.get(one.ministry.pk),
            questions=questions[one.ministry.pk],
            changes=changes[one.ministry.pk],
        )
        for one in viewers
    }


def _counts(rows: QuerySet[Any]) -> Counter[int]:
    return Counter(dict(rows.order_by().values_list("ministry").annotate(Count("pk"))))


def _late_orders(viewers: list[Viewer]) -> Mapping[int, list[int]]:
    """Return {ministry: days late of each order not in on the day first promised}; a later promise heals nothing."""
    days: dict[int, date] = {one.ministry.pk: today(one.ministry) for one in viewers}
    told = PromisedDate.objects.filter(order=OuterRef("pk"), promised_on__isnull=False)
    first = told.order_by("position", "pk").values("promised_on")[:1]
    awaited = Order.objects.filter(ministry__in=days, state__in=AWAITED, is_option=False, arrived_on=None)
    found: dict[int, list[int]] = {}
    for ministry, promised in awaited.annotate(promised=Subquery(first)).values_list("ministry", "promised"):
        if promised and promised < days[ministry]:
            found.setdefault(ministry, []).append((days[ministry] - promised).days)
    return found


def _changes_since_own(viewers: list[Viewer]) -> Counter[int]:
    """Return how many acts others did in each church since the viewer's own last one there."""
    own = Act.objects.filter(by__in=[one.member for one in viewers]).order_by().values_list("ministry")
    last = dict(own.annotate(Max("id")))
    later = Q(pk__in=())
    for one in viewers:
        later |= Q(ministry=one.ministry, id__gt=last.get(one.ministry.pk, 0))
    return _counts(Act.objects.filter(later))
