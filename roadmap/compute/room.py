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
        late[key] = _late(step, last_start[key], last_finish[key], calendar)
        if step.moves:
            finish = step.finish if late[key] == step.start else _finish(step, late[key], calendar)
            for link in links[key]:
                _hand_down(link, late[key], finish, last_start, last_finish, calendar)
    return late


def _late(step: OnCalendar, last_start: int, last_finish: int, calendar: Calendar) -> int:
    """Return the latest start of one step."""
    if last_start <= step.start or last_finish < step.finish:
        return step.start
    if last_finish == step.finish and not step.work.services:  # a proof may begin later and end on the same Sunday
        return step.start
    if not step.moves:
        return step.start + min(last_finish - step.finish, last_start - step.start)
    latest = calendar.place_latest(step.work, last_start, last_finish)
    return step.start if latest is None else max(step.start, latest)


def _finish(step: OnCalendar, start: int, calendar: Calendar) -> int:
    """Return the finish of a step that starts late."""
    found = calendar.place(step.work, start)
    return found[1] if found else step.finish


def _hand_down(
    link: LinkIn, start: int, finish: int, last_start: dict[str, int], last_finish: dict[str, int], calendar: Calendar
) -> None:
    """Lower the latest start or finish of a required step so that this start and finish stay possible."""
    if link.kind == "FS":
        day = start - 1
    elif link.kind == "SS":
        day = start - bool(link.lag_services)
    else:
        day = finish
    day = calendar.before_sundays(day - link.lag_days, link.lag_services)
    bounds = last_finish if link.kind in ("FS", "FF") else last_start
    if day < bounds[link.step]:
        bounds[link.step] = day
