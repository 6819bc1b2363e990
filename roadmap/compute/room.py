"""How late each placed step could start without moving any end: the backward pass on the church's calendar.

Source: backward pass of the critical path method (Kelley and Walker 1959).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from roadmap.compute.calendar import Calendar, Work
from roadmap.compute.plan_input import LinkIn


class OnCalendar(Protocol):
    """A step on the calendar, in ordinals; see `plan.Placed`."""

    @property
    def work(self) -> Work: ...
    @property
    def start(self) -> int: ...
    @property
    def finish(self) -> int: ...
    @property
    def moves(self) -> bool: ...


def late_starts(
    order: Sequence[str],
    links: Mapping[str, tuple[LinkIn, ...]],
    placed: Mapping[str, OnCalendar],
    calendar: Calendar,
) -> dict[str, int]:
    """Return the latest start of every placed step, never before its start.

    A step may slip until it would move the end of the plan or the latest start of a step that has not begun; steps done
    or under way hold nothing back. Agreed dates, orders and gates are no reason to hurry and do not count here.
    """
    end = max((step.finish for step in placed.values()), default=0)
    last_start = dict.fromkeys(placed, end)
    last_finish = dict.fromkeys(placed, end)
    late: dict[str, int] = {}
    for key in reversed(order):
        step = placed.get(key)
        if step is None:
            continue
        late[key], finish = _latest(step, last_start[key], last_finish[key], calendar)
        if step.moves:
            for link in links[key]:
                bound = _bound(link, late[key], finish, calendar)
                bounds = last_finish if link.kind == "FS" or link.kind == "FF" else last_start
                if bound < bounds[link.step]:
                    bounds[link.step] = bound
    return late


def _latest(step: OnCalendar, last_start: int, last_finish: int, calendar: Calendar) -> tuple[int, int]:
    """Return the latest start of one step, and its finish then."""
    stays = step.start, step.finish
    if last_start <= step.start or last_finish < step.finish:
        return stays
    if last_finish == step.finish and not step.work.services:  # a proof may begin later and end on the same Sunday
        return stays
    if not step.moves:
        room = min(last_finish - step.finish, last_start - step.start)
        return step.start + room, step.finish + room
    latest = calendar.place_latest(step.work, last_start, last_finish)
    return stays if latest is None or latest[0] < step.start else latest


def _bound(link: LinkIn, start: int, finish: int, calendar: Calendar) -> int:
    """Return the latest day for the end that a link ties of the required step, so that this place stays possible."""
    if link.kind == "FS":
        day = start - 1 - link.lag_days
    elif link.kind == "SS":
        day = start - bool(link.lag_services) - link.lag_days
    else:
        day = finish - link.lag_days
    return calendar.before_sundays(day, link.lag_services) if link.lag_services else day
