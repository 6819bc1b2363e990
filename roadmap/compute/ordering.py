"""Putting steps in order, and finding what is wrong with their links.

`requires` maps each step to the steps that must come first, as in {"hang": ["steel"], "steel": []}.
The order in which the steps are listed is the order people know; it is kept wherever the links allow.
Source: topological order by repeatedly taking a node without open predecessors (Kahn 1962).
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
from heapq import heapify, heappop, heappush
from typing import Any, TypeVar

Key = TypeVar("Key", bound=Hashable)


class RequirementLoop(ValueError):
    """Steps that wait for each other. `.loop`: each requires the next, the last requires the first."""

    def __init__(self, loop: tuple[Any, ...]) -> None:
        self.loop = loop
        super().__init__("These steps wait for each other: " + ", ".join(map(str, (*loop, loop[0]))) + ".")


class UnknownRequirement(ValueError):
    """A step requires one that is not listed. `.step` is the step, `.missing` what it names."""

    def __init__(self, step: Any, missing: Any) -> None:
        self.step = step
        self.missing = missing
        super().__init__(f"{step} requires {missing}, which is not among the steps.")


def in_order(requires: Mapping[Key, Collection[Key]]) -> list[Key]:
    """Return all keys, each after what it requires; the earliest-listed key that is ready always comes next.

    Raises RequirementLoop (its loop) and UnknownRequirement (step and what is missing).
    """
    keys = list(requires)
    place = {key: number for number, key in enumerate(keys)}
    waits, opens = _edges(requires, place)
    ready = [number for number, count in enumerate(waits) if not count]
    heapify(ready)
    order: list[Key] = []
    while ready:
        number = heappop(ready)
        order.append(keys[number])
        for later in opens[number]:
            waits[later] -= 1
            if not waits[later]:
                heappush(ready, later)
    if len(order) < len(keys):
        raise RequirementLoop(_loop(requires, {keys[n] for n, count in enumerate(waits) if count}))
    return order


def implied_links(requires: Mapping[Key, Collection[Key]]) -> set[tuple[Key, Key]]:
    """Return the links (step, required) that other links already imply, so that they may go.

    Raises as `in_order`. Source: the complement of the transitive reduction (Aho, Garey, Ullman 1972), which is unique
    for a graph without loops.
    """
    bit = {key: 1 << number for number, key in enumerate(requires)}
    before: dict[Key, int] = {}
    implied: set[tuple[Key, Key]] = set()
    for key in in_order(requires):
        needed = set(requires[key])
        through = _union(before[other] for other in needed)
        implied.update((key, other) for other in needed if through & bit[other])
        before[key] = through | _union(bit[other] for other in needed)
    return implied


def _edges(requires: Mapping[Key, Collection[Key]], place: Mapping[Key, int]) -> tuple[list[int], list[list[int]]]:
    """Return how many steps each number waits for, and which numbers each one opens."""
    waits = [0] * len(place)
    opens: list[list[int]] = [[] for _ in place]
    for number, (key, needed) in enumerate(requires.items()):
        for other in set(needed) if len(needed) > 1 else needed:
            if other not in place:
                raise UnknownRequirement(key, other)
            opens[place[other]].append(number)
            waits[number] += 1
    return waits, opens


def _loop(requires: Mapping[Key, Collection[Key]], stuck: set[Key]) -> tuple[Key, ...]:
    """Return one loop among the stuck steps; every stuck step requires at least one other stuck step."""
    key = next(k for k in requires if k in stuck)
    walked: dict[Key, int] = {}
    while key not in walked:
        walked[key] = len(walked)
        key = next(other for other in requires[key] if other in stuck)
    path = list(walked)
    return tuple(path[walked[key] :])


def _union(sets: Iterable[int]) -> int:
    """Return the union of bit sets."""
    union = 0
    for one in sets:
        union |= one
    return union
