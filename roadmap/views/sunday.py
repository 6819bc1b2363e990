"""This Sunday: are we safe, what is weakest, what happens this week, what is late and what it holds up."""

from datetime import date, datetime, time, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from inventory.models import AskedQuestion, Piece, Twin
from people.access import Viewer, in_ministry
from people.clock import today
from roadmap.compute.calendar import days_of_rule
from roadmap.compute.plan_input import PromiseIn, ServiceIn
from roadmap.compute.waiting import waiting_on
from roadmap.models import Booking, Order, Promise
from roadmap.services.loading import Planned, planned
from roadmap.words import OrderState

WEAKEST_FIRST = ("broken", "at risk", "not yet promised", "kept by fall-back", "kept")


@require_GET
@in_ministry("see_plan")
def this_sunday(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    made, day = planned(viewer.ministry), today(viewer.ministry)
    sunday = day + timedelta(days=(6 - day.weekday()) % 7)
    promises = list(made.given.promises)
    asked = [one for one in promises if one.standing != "not yet promised"]
    unsafe = [one for one in asked if one.must and one.standing in {"broken", "at risk"}]
    awaited = waiting_on(made.given, made.plan)
    rows = {row.key: row for row in Promise.objects.visible_to(viewer)}
    weakest = min(asked or promises, key=_weakness, default=None)
    context = {
        "sunday": sunday,
        "times": [time.fromisoformat(text) for text in _times(made.given.services, sunday)],
        "others": [
            (one.on, one) for one in made.given.services if one.on and day <= one.on <= sunday and one.on != sunday
        ],
        "promises": [(one, rows[one.key]) for one in sorted(promises, key=_weakness)],
        "asked": asked,
        "unsafe": unsafe,
        "by_fallback": [one for one in asked if one.standing == "kept by fall-back"],
        "not_yet": [one for one in promises if one.standing == "not yet promised"],
        "weakest": rows.get(weakest.key) if weakest else None,
        "week": _week(viewer, made, day, sunday),
        "awaited": awaited,
        "orders": {
            row.key: row
            for row in Order.objects.visible_to(viewer).select_related("supplier").prefetch_related("lines")
        },
        "untested": Order.objects.visible_to(viewer).filter(state=OrderState.ARRIVED).select_related("supplier"),
        "titles": {step.key: step.title for step in made.given.steps},
        "may_plan": viewer.may("plan"),
        "undecided": Piece.objects.visible_to(viewer).listed().undecided().count(),
        **_open_of_lists(viewer),
    }
    context["board_slides"] = [
        (len(asked), _("promises")),
        (len(asked) - len(unsafe), _("hold")),
        (len(awaited), _("awaited")),
    ]
    return render(request, "roadmap/this_sunday.html", context)


def _open_of_lists(viewer: Viewer) -> dict[str, int]:
    """Return how many questions and possible twins of the lists wait, for those who answer them."""
    if not viewer.may("decide_fates"):
        return {}
    return {
        "questions_open": AskedQuestion.objects.visible_to(viewer).filter(answer="").count(),
        "twins_open": Twin.objects.visible_to(viewer).filter(ruling=Twin.Ruling.OPEN).count(),
    }


def _weakness(promise: PromiseIn) -> tuple[int, int, str]:
    """Return what sorts the weakest promise first: a must that breaks before a should that is at risk."""
    return WEAKEST_FIRST.index(promise.standing), 0 if promise.must else 1, promise.key


def _times(services: tuple[ServiceIn, ...], day: date) -> list[str]:
    """Return the times of every service on a day; a service for that date takes the place of the weekly one."""
    single = [text for one in services if one.on == day for text in one.times]
    weekly = [
        text
        for one in services
        if one.weekday == day.weekday() and (not one.since or one.since <= day) and (not one.until or day <= one.until)
        for text in one.times
    ]
    return sorted(set(single or weekly))


def _day(moment: datetime) -> date:
    """Return the date of a moment where the ministry is."""
    return timezone.localtime(moment).date()


def _week(viewer: Viewer, made: Planned, day: date, sunday: date) -> list[tuple[date, list[object], list[Booking]]]:
    """Return each day until Sunday with the steps on it and the bookings that close a room."""
    bookings = list(
        Booking.objects.visible_to(viewer)
        .filter(starts_at__date__lte=sunday, ends_at__date__gte=day)
        .select_related("place")
    )
    found = []
    for offset in range((sunday - day).days + 1):
        when = day + timedelta(days=offset)
        steps = [
            step
            for step in made.given.steps
            if (dates := made.plan.steps.get(step.key))
            and not dates.done
            and dates.start <= when <= dates.finish
            and (step.ends_on_services or days_of_rule(step.day_rule, when.toordinal(), when.toordinal()))
        ]
        taken = [one for one in bookings if _day(one.starts_at) <= when <= _day(one.ends_at)]
        found.append((when, steps, taken))
    return found
