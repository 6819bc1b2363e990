"""Early and late dates of a network of tasks on a plain time line, and what has no room to move.

Time 0 is the start, a task takes [start, start + duration], no task starts before 0 and the end is the latest early
finish. A link is the key of the required task, or (key, kind, lag): the kind names which ends are tied, the required
task's first (FS, SS, FF, SF); the lag may be negative.
Source: critical path method, forward and backward pass (Kelley and Walker 1959); links with lags as in precedence
diagramming (Fondahl 1961).
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, NamedTuple, TypeVar

from roadmap.compute.ordering import in_order

Key = TypeVar("Key", bound=Hashable)
KINDS = ("FS", "SS", "FF", "SF")
SAME = 1e-9  # two times closer than this share of the length are the same time


class Timing(NamedTuple):
    """Dates and room of one task. total_float: delay that moves no end; free_float: delay that moves no other task."""

    early_start: float
    early_finish: float
    late_start: float
    late_finish: float
    total_float: float
    free_float: float


@dataclass(frozen=True, slots=True)
class CriticalPath(Generic[Key]):
    """length: the latest early finish; critical: keys without float, in order; timing: by key."""

    length: float
    critical: list[Key]
    timing: dict[Key, Timing]


def critical_path(durations: Mapping[Key, float], requires: Mapping[Key, Collection[Any]]) -> CriticalPath[Key]:
    """Return length, critical tasks and the timing of every task.

    durations: task -> length, 0 or more; requires: task -> links, tasks without links may be left out.
    The free float of a last task runs to the end. Raises RequirementLoop, UnknownRequirement, ValueError for a negative
    length or an unknown kind of link.
    """
    links = {key: _links(requires.get(key, ())) for key in durations}
    order = in_order({key: [link[0] for link in links[key]] for key in durations})
    early, length = _forward(order, durations, links)
    late, free = _backward(order, durations, links, early, length)
    timing = {}
    for key in order:
        start, last, long = early[key], late[key], durations[key]
        timing[key] = Timing(start, start + long, last, last + long, last - start, free[key])
    room = SAME * max(1, length)
    return CriticalPath(length, [key for key in order if late[key] - early[key] <= room], timing)


def _links(listed: Collection[Any]) -> list[tuple[Any, str, float]]:
    """Return the links of one task as (key, kind, lag); a plain key is FS without lag."""
    links = []
    for link in listed:
        if not _is_full_link(link):
            link = (link, "FS", 0)
        elif link[1] not in KINDS:
            raise ValueError(f"The kind of a link is one of {', '.join(KINDS)}, not {link[1]!r}.")
        links.append(link)
    return links


def _is_full_link(link: Any) -> bool:
    """Return whether a link is (key, kind, lag) and not a plain key."""
    return isinstance(link, (tuple, list)) and len(link) == 3 and isinstance(link[1], str)


def _forward(
    order: list[Key], durations: Mapping[Key, float], links: Mapping[Key, list[tuple[Key, str, float]]]
) -> tuple[dict[Key, float], float]:
    """Return the early start of every task, and the latest early finish."""
    early: dict[Key, float] = {}
    length: float = 0
    for key in order:
        long = durations[key]
        if long < 0:
            raise ValueError(f"{key} has a negative length: {long}.")
        start: float = 0
        for other, kind, lag in links[key]:
            at = early[other] + lag
            if kind == "FS" or kind == "FF":
                at += durations[other]
            if kind == "FF" or kind == "SF":
                at -= long
            if at > start:
                start = at
        early[key] = start
        if start + long > length:
            length = start + long
    return early, length


def _backward(
    order: list[Key],
    durations: Mapping[Key, float],
    links: Mapping[Key, list[tuple[Key, str, float]]],
    early: Mapping[Key, float],
    length: float,
) -> tuple[dict[Key, float], dict[Key, float]]:
    """Return the late start and the free float of every task.

    A task passes on to each one it requires the latest start that suits itself, and the room between the two.
    """
    late = {key: length - durations[key] for key in order}
    free = {key: length - durations[key] - early[key] for key in order}
    for key in reversed(order):
        long, last, first = durations[key], late[key], early[key]
        for other, kind, lag in links[key]:
            back = lag
            if kind == "FS" or kind == "FF":
                back += durations[other]
            if kind == "FF" or kind == "SF":
                back -= long
            if last - back < late[other]:
                late[other] = last - back
            if first - back - early[other] < free[other]:
                free[other] = first - back - early[other]
    return late, free
