"""The shortest schedule found when hands, rooms or vans are few.

Every task keeps its resources for its whole length; at no moment may the tasks under way use more than there is.
Source: resource-constrained project scheduling is hard to solve exactly (Blazewicz, Lenstra, Rinnooy Kan 1983), so this
is a bounded search: serial schedule generation under several priority rules (Kolisch 1996), forward-backward
improvement (Li and Willis 1992; as double justification, Valls, Ballestin, Quintanilla 2005), random sampling around
the latest finishes and small changes to the best. Fixed seed: same question, same answer.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from random import Random
from typing import Any, Generic, TypeVar

from roadmap.compute.critical_path import critical_path

Key = TypeVar("Key", bound=Hashable)
SEED = 1896
WORK = 120_000  # how many tasks are placed before the search gives up
SAME = 1e-9


class OverCapacity(ValueError):
    """A task uses more than there is at all. `.task`, `.resource`."""

    def __init__(self, task: Any, resource: Any) -> None:
        self.task = task
        self.resource = resource
        super().__init__(f"{task} needs more of {resource} than there is.")


@dataclass(frozen=True, slots=True)
class Levelled(Generic[Key]):
    """A schedule.

    starts: task -> start, from 0; length: the last finish; at_least: no schedule is shorter;
    load: resource -> spans (from, until, amount in use) without gaps from 0 to the length.
    """

    starts: dict[Key, float]
    length: float
    at_least: float
    load: dict[Any, list[tuple[float, float, float]]]

    @property
    def proven(self) -> bool:
        """Whether no schedule can be shorter."""
        return self.length <= self.at_least + SAME


def levelled(
    durations: Mapping[Key, float],
    requires: Mapping[Key, Collection[Key]],
    uses: Mapping[Key, Mapping[Any, float]],
    capacity: Mapping[Any, float],
    schedules: int | None = None,
) -> Levelled[Key]:
    """Return the shortest schedule found.

    durations: task -> length, 0 or more; requires: task -> tasks that end first; uses: task -> {resource: amount};
    capacity: {resource: amount}. schedules: how many are built at most; None for about a second of work.
    Raises OverCapacity, RequirementLoop, UnknownRequirement, ValueError for a negative length.
    """
    timing = critical_path(durations, requires).timing
    keys = list(timing)  # each after what it requires
    problem = _Problem(keys, durations, requires, uses, capacity)
    problem.heads = [timing[key].early_start for key in keys]
    length = max((timing[key].early_finish for key in keys), default=0)
    problem.tails = [length - timing[key].late_finish for key in keys]
    starts = _Search(problem, schedules or WORK // len(keys) + 1).best() if keys else []
    end = max((start + problem.long[i] for i, start in enumerate(starts)), default=0)
    load = {name: problem.load(r, starts, end) for r, name in enumerate(problem.resources)}
    return Levelled(dict(zip(keys, starts, strict=True)), end, problem.at_least(), load)


class _Problem:
    """The question with tasks and resources as numbers; tasks in an order that suits the links."""

    heads: list[float]
    tails: list[float]

    def __init__(
        self,
        keys: list[Key],
        durations: Mapping[Key, float],
        requires: Mapping[Key, Collection[Key]],
        uses: Mapping[Key, Mapping[Any, float]],
        capacity: Mapping[Any, float],
    ) -> None:
        number = {key: i for i, key in enumerate(keys)}
        self.long = [durations[key] for key in keys]
        self.before = [sorted({number[other] for other in requires.get(key, ())}) for key in keys]
        self.after: list[list[int]] = [[] for _ in keys]
        for i, needed in enumerate(self.before):
            for other in needed:
                self.after[other].append(i)
        self.resources = list(capacity)
        self.capacity = [capacity[name] for name in self.resources]
        self.uses = [_uses(key, uses.get(key, {}), self.resources, self.capacity) for key in keys]

    def load(self, resource: int, starts: Sequence[float], end: float) -> list[tuple[float, float, float]]:
        """Return the spans of what a resource is used for, from 0 to the end."""
        changes: dict[float, float] = {0: 0, end: 0}
        for i, start in enumerate(starts):
            for r, amount in self.uses[i]:
                if r == resource:
                    changes[start] = changes.get(start, 0) + amount
                    changes[start + self.long[i]] = changes.get(start + self.long[i], 0) - amount
        times, spans, used = sorted(changes), [], 0.0
        for first, last in pairwise(times):
            used += changes[first]
            spans.append((first, last, used))
        return spans

    def at_least(self) -> float:
        """Return a length that no schedule can undercut.

        The longest path; and for each resource and each pair of a head and a tail: the tasks with at least this head
        and this tail must all fit between, by the work they ask of the resource, and one by one where any two together
        would use too much of it.
        """
        bound = max((h + d + t for h, d, t in zip(self.heads, self.long, self.tails, strict=True)), default=0)
        for resource, there_is in enumerate(self.capacity):
            amounts = [dict(used).get(resource, 0) for used in self.uses]
            users = [i for i, amount in enumerate(amounts) if amount]
            for head in {self.heads[i] for i in users}:
                work = alone = 0.0
                for i in sorted((i for i in users if self.heads[i] >= head), key=lambda i: -self.tails[i]):
                    work += self.long[i] * amounts[i] / there_is
                    alone += self.long[i] if 2 * amounts[i] > there_is else 0
                    bound = max(bound, self._whole(head + max(work, alone) + self.tails[i]))
        return bound

    def _whole(self, bound: float) -> float:
        """Return the bound, up to the next whole number when every length is whole."""
        if any(d != int(d) for d in self.long):
            return bound
        return int(bound - SAME) + 1 if bound - int(bound) > SAME else int(bound)


def _uses(key: Any, used: Mapping[Any, float], names: list[Any], capacity: list[float]) -> list[tuple[int, float]]:
    """Return what a task uses as (resource number, amount), without zeros."""
    found = []
    for name, amount in used.items():
        if amount:
            if name not in names or amount > capacity[names.index(name)]:
                raise OverCapacity(key, name)
            found.append((names.index(name), amount))
    return found


class _Room:
    """What is free of each resource, as spans between sorted times; the last span never ends."""

    def __init__(self, capacity: list[float]) -> None:
        self.times: list[float] = [0]
        self.free = [list(capacity)]

    def first(self, earliest: float, long: float, used: list[tuple[int, float]]) -> float:
        """Return the first moment from `earliest` on at which so much is free for so long."""
        times, free = self.times, self.free
        start, span = earliest, bisect_right(times, earliest) - 1
        while span < len(times) and times[span] < start + long:
            row = free[span]
            span += 1
            for resource, amount in used:
                if row[resource] < amount:
                    start = times[span]
                    break
        return start

    def take(self, start: float, long: float, used: list[tuple[int, float]]) -> None:
        """Take what is used out of the spans from start on."""
        for row in self.free[self._cut(start) : self._cut(start + long)]:
            for resource, amount in used:
                row[resource] -= amount

    def _cut(self, at: float) -> int:
        """Return the span that begins at this moment, made if there is none."""
        span = bisect_left(self.times, at)
        if span == len(self.times) or self.times[span] != at:
            self.times.insert(span, at)
            self.free.insert(span, self.free[span - 1].copy())
        return span


class _Search:
    """Looks for a short schedule until a bound is met or so many schedules are built."""

    def __init__(self, problem: _Problem, schedules: int) -> None:
        self.problem, self.left = problem, schedules
        self.goal = problem.at_least()
        self.dice = Random(SEED)
        self.starts: list[float] = []
        self.length = float("inf")

    def best(self) -> list[float]:
        """Return the starts of the best schedule."""
        rules = self._rules()
        for rank in rules:
            self._improve(self._listed(rank))
        latest = rules[0]
        while self._is_open():
            if self.left % 2:
                spread = self.dice.choice([2, 4, 8])
                rank = [value + self.dice.expovariate(1 / spread) for value in latest]
            else:
                rank = [start + self.dice.expovariate(1 / 3) for start in self.starts]
            self._improve(self._listed(rank))
        return self.starts

    def _is_open(self) -> bool:
        return self.left > 0 and self.length > self.goal + SAME

    def _rules(self) -> list[list[float]]:
        """Return ranks, lowest first: latest finish, latest start, most tasks behind, most work behind."""
        p = self.problem
        finish = [-tail for tail in p.tails]
        start = [-tail - long for tail, long in zip(p.tails, p.long, strict=True)]
        behind: list[set[int]] = [set() for _ in p.long]
        for i in range(len(p.long) - 1, -1, -1):
            for later in p.after[i]:
                behind[i] |= behind[later] | {later}
        most = [-float(len(tasks)) for tasks in behind]
        work = [-p.long[i] - sum(p.long[j] for j in tasks) for i, tasks in enumerate(behind)]
        return [finish, start, most, work]

    def _listed(self, rank: Sequence[float]) -> list[int]:
        """Return the tasks, each after what it requires, lowest rank first among those that are ready."""
        p = self.problem
        waits = [len(needed) for needed in p.before]
        ready = [i for i, count in enumerate(waits) if not count]
        order = []
        while ready:
            task = min(ready, key=lambda i: (rank[i], i))
            ready.remove(task)
            order.append(task)
            for later in p.after[task]:
                waits[later] -= 1
                if not waits[later]:
                    ready.append(later)
        return order

    def _improve(self, order: list[int]) -> None:
        """Build the schedule of a list, pull it together from the end and from the start while that helps; keep it."""
        p = self.problem
        length = float("inf")
        while True:
            starts, end = self._built(order, p.before)
            if end < self.length or not self.starts:
                self.starts, self.length = starts, end
            if end >= length - SAME or not self._is_open():
                return
            length = end
            late = sorted(range(len(order)), key=lambda i: (-starts[i] - p.long[i], -starts[i], -i))
            from_end, reach = self._built(late, p.after)
            order = sorted(range(len(order)), key=lambda i: (reach - from_end[i] - p.long[i], i))

    def _built(self, order: list[int], before: list[list[int]]) -> tuple[list[float], float]:
        """Return the starts when each task of the list takes the first place that is free, and the last finish."""
        p, room = self.problem, _Room(self.problem.capacity)
        starts: list[float] = [0] * len(order)
        end: float = 0
        for task in order:
            earliest = max((starts[other] + p.long[other] for other in before[task]), default=0)
            if p.uses[task] and p.long[task]:
                earliest = room.first(earliest, p.long[task], p.uses[task])
                room.take(earliest, p.long[task], p.uses[task])
            starts[task] = earliest
            end = max(end, earliest + p.long[task])
        self.left -= 1
        return starts, end
