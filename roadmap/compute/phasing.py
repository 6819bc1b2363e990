"""Fewest phases under a cap on what a phase may cost, proved.

Every step goes into one phase, the costs of a phase sum to at most the cap, and no step stands in an earlier phase than
anything it requires (the same phase is allowed).
Source: the problem is simple assembly line balancing of type 1 (Scholl 1999, Balancing and Sequencing of Assembly
Lines). Method: branch and bound phase by phase over maximal loads, with heads and tails, the load swap rule of Jackson
(1956), a memory of visited sets (as in branch, bound and remember; Sewell and Jacobson 2012), reachable sums of the
costs at hand, and both directions tried in turn with growing effort. No randomness: same question, same answer.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from heapq import heapify, heappop, heappush
from math import gcd, lcm
from typing import Any, Generic, TypeVar

from roadmap.compute.ordering import in_order

Key = TypeVar("Key", bound=Hashable)
SUMS_UP_TO = 200_000  # a cap beyond this makes the sets of reachable sums slower than they help
FIRST_EFFORT = 300


class OverCap(ValueError):
    """A step costs more than a whole phase may. `.step` is the first such step, as listed."""

    def __init__(self, step: Any) -> None:
        self.step = step
        super().__init__(f"{step} alone costs more than a phase may.")


@dataclass(frozen=True, slots=True)
class Phasing(Generic[Key]):
    """phases: keys by phase, in listed order as far as links allow; at_least: no answer has fewer phases."""

    phases: list[list[Key]]
    at_least: int

    @property
    def proven(self) -> bool:
        return len(self.phases) <= self.at_least


def fewest_phases(cost: Mapping[Key, float], requires: Mapping[Key, Collection[Key]], cap: float) -> list[list[Key]]:
    """Return the steps in the proved fewest phases, first phase first.

    cost: step -> cost, 0 or more; requires: step -> steps not later than it, steps without may be left out.
    Raises OverCap, RequirementLoop, UnknownRequirement, ValueError for a negative cost. The proof may take long where
    many phases of many steps fit almost exactly; `phased` stops in time.
    """
    return phased(cost, requires, cap).phases


def phased(
    cost: Mapping[Key, float],
    requires: Mapping[Key, Collection[Key]],
    cap: float,
    effort: int | None = None,
) -> Phasing[Key]:
    """Return phases as `fewest_phases`, and how few there can be at best.

    effort: how many partial answers to look at before one more phase is allowed; None: until proved.
    """
    order = in_order({key: requires.get(key, ()) for key in cost})
    whole, limit = _whole_numbers(cost, cap)
    for key, amount in whole.items():
        if amount < 0:
            raise ValueError(f"{key} has a negative cost: {cost[key]}.")
        if amount > limit:
            raise OverCap(key)
    costed = [key for key in order if whole[key]]
    before = _ancestors(order, requires, costed)
    loads, at_least = _fewest([whole[key] for key in costed], before, limit, effort)
    number = {costed[i]: phase for phase, load in enumerate(loads) for i in load}
    phases: list[list[Key]] = [[] for _ in range(max(len(loads), bool(order)))]
    for key in order:
        if key not in number:  # costs nothing: as early as its links allow
            number[key] = max((number[other] for other in requires.get(key, ())), default=0)
        phases[number[key]].append(key)
    return Phasing(phases, max(at_least, bool(order)))


def _whole_numbers(cost: Mapping[Key, float], cap: float) -> tuple[dict[Key, int], int]:
    """Return costs and cap in the largest unit that divides every cost; decimals count as written."""
    exact = {key: Fraction(str(amount)) for key, amount in cost.items()}
    scale = lcm(*(amount.denominator for amount in exact.values()))
    whole = {key: int(amount * scale) for key, amount in exact.items()}
    unit = gcd(*whole.values()) or 1
    return {key: amount // unit for key, amount in whole.items()}, int(Fraction(str(cap)) * scale // unit)


def _ancestors(order: list[Key], requires: Mapping[Key, Collection[Key]], costed: list[Key]) -> list[int]:
    """Return for each costed step the bit set of costed steps before it, through steps that cost nothing too."""
    bit = {key: 1 << number for number, key in enumerate(costed)}
    before: dict[Key, int] = {}
    for key in order:
        before[key] = 0
        for other in requires.get(key, ()):
            before[key] |= before[other] | bit.get(other, 0)
    return [before[key] for key in costed]


def _fewest(costs: list[int], before: list[int], cap: int, effort: int | None) -> tuple[list[list[int]], int]:
    """Return the loads of the phases as lists of numbers, and the proved least number of phases."""
    if not costs:
        return [], 0
    variants = _variants(costs, before, cap)
    phases = at_least = -(-sum(costs) // cap)
    while True:
        loads, decided = _try(variants, phases, effort)
        if loads is not None:
            return loads, at_least
        phases += 1
        if decided and at_least == phases - 1:
            at_least = phases


def _try(variants: list[_Network], phases: int, effort: int | None) -> tuple[list[list[int]] | None, bool]:
    """Return loads for that many phases, or None, and whether the answer is certain."""
    step = least = FIRST_EFFORT + len(variants[0].costs) ** 2 // 10  # enough for one way straight down
    while effort is None or step <= max(effort, least):
        for network in variants:
            try:
                return _Search(network, phases, step).run(), True
            except _OutOfEffort:
                continue
        step *= 2
    return None, False


def _variants(costs: list[int], before: list[int], cap: int) -> list[_Network]:
    """Return the question forward and backward, each with long tails first and with big steps first."""
    after = [sum(1 << j for j in range(len(costs)) if before[j] >> i & 1) for i in range(len(costs))]
    found = []
    for earlier, later, backward in ((before, after, False), (after, before, True)):
        tails = [costs[i] + _sum(costs, later[i]) for i in range(len(costs))]
        found += [_Network(costs, earlier, cap, rank, backward) for rank in (tails, costs)]
    return found


def _sum(costs: list[int], chosen: int) -> int:
    """Return the sum of the costs in a bit set."""
    total = 0
    while chosen:
        low = chosen & -chosen
        total += costs[low.bit_length() - 1]
        chosen ^= low
    return total


class _Network:
    """The steps renumbered so that each comes after what it requires, higher rank first."""

    def __init__(self, costs: list[int], before: list[int], cap: int, rank: list[int], backward: bool) -> None:
        self.names = _by_rank(before, rank)
        self.cap, self.backward = cap, backward
        self.costs = [costs[name] for name in self.names]
        place = {name: i for i, name in enumerate(self.names)}
        self.before = [sum(1 << place[j] for j in range(len(costs)) if before[n] >> j & 1) for n in self.names]
        size = range(len(costs))
        self.after = [sum(1 << j for j in size if self.before[j] >> i & 1) for i in size]
        self.total = sum(costs)
        self.head = _phases_needed(self.costs, self.before, range(len(costs)), cap)
        self.tail = _phases_needed(self.costs, self.after, range(len(costs) - 1, -1, -1), cap)

    def named(self, loads: list[int]) -> list[list[int]]:
        """Return loads given as bit sets in the caller's numbers, first phase first."""
        lists = [[name for i, name in enumerate(self.names) if load >> i & 1] for load in loads]
        return lists[::-1] if self.backward else lists


def _phases_needed(costs: list[int], beyond: list[int], order: Iterable[int], cap: int) -> list[int]:
    """Return for each step the least number of phases that it and everything beyond it need.

    beyond: the bit set of steps on one side of each; order: every step after those beyond it. What lies beyond a step
    is put one by one, longest way first; a way that ends inside a phase in which the step itself has no room is
    rounded up to the whole phase. Source: heads and tails of Johnson (1988) as given by Scholl (1999).
    """
    way = [0] * len(costs)  # cost beyond the step, unused rests of phases counted
    for i in order:
        spent = 0
        for j in sorted((j for j in range(len(costs)) if beyond[i] >> j & 1), key=lambda j: -way[j]):
            spent += costs[j]
            way[i] = max(way[i], spent + way[j])
        if way[i] % cap + costs[i] > cap:
            way[i] += -way[i] % cap
    return [-(-(cost + far) // cap) for cost, far in zip(costs, way, strict=True)]


def _by_rank(before: list[int], rank: list[int]) -> list[int]:
    """Return the numbers, each after those before it, higher rank first."""
    waits = [ancestors.bit_count() for ancestors in before]
    ready = [(-rank[i], i) for i, count in enumerate(waits) if not count]
    heapify(ready)
    order = []
    while ready:
        _, number = heappop(ready)
        order.append(number)
        for later, ancestors in enumerate(before):
            if ancestors >> number & 1:
                waits[later] -= 1
                if not waits[later]:
                    heappush(ready, (-rank[later], later))
    return order


class _OutOfEffort(Exception):
    """The search may not look at more partial answers."""


class _Search:
    """Is there an answer with so many phases? Depth first over the sets of steps done after each phase."""

    def __init__(self, network: _Network, phases: int, effort: int) -> None:
        self.net, self.phases, self.effort = network, phases, float(effort)
        self.seen: dict[int, int] = {}
        latest = [phases - tail for tail in network.tail]
        self.too_early = any(head - 1 > last for head, last in zip(network.head, latest, strict=True))
        self.due = [sum(1 << i for i, last in enumerate(latest) if last < k) for k in range(phases + 1)]

    def run(self) -> list[list[int]] | None:
        """Return the loads, or None when it is proved that there are none; raises _OutOfEffort."""
        if self.too_early:
            return None
        everything = (1 << len(self.net.costs)) - 1
        path: list[int] = []
        open_loads = [self._loads(0, 0, 0)]
        sums = [(0, 0)]
        while open_loads:
            load = next(open_loads[-1], None)
            if load is None:
                open_loads.pop()
                sums.pop()
                if path:
                    path.pop()
                continue
            done, spent = sums[-1][0] | load[0], sums[-1][1] + load[1]
            path.append(load[0])
            if done == everything:
                return self.net.named(path)
            sums.append((done, spent))
            open_loads.append(self._loads(len(path), done, spent))
        return None

    def _loads(self, phase: int, done: int, spent: int) -> Iterator[tuple[int, int]]:
        """Yield each (load, its cost) worth trying as the next phase; none when this set leads nowhere."""
        left = self.phases - phase
        idle = left * self.net.cap - (self.net.total - spent)
        if not left or idle < 0 or self.due[phase] & ~done:
            return
        if self.seen.get(done, 0) >= left or self._too_many_big(done, left) or self._too_much_due(phase, done):
            return
        self.seen[done] = left
        self._spend(1)
        at_hand = self._at_hand(done)
        must = self.due[phase + 1] & ~done
        for load, cost in self._subsets(at_hand, done, must, self.net.cap - idle):
            if not must & ~load and self._is_worth_it(at_hand, done, load, self.net.cap - cost):
                yield load, cost

    def _spend(self, amount: float) -> None:
        self.effort -= amount
        if self.effort < 0:
            raise _OutOfEffort

    def _too_many_big(self, done: int, left: int) -> bool:
        """Return whether the steps left cannot fit because two halves, or three thirds, do not share a phase."""
        cap, halves, thirds = self.net.cap, 0, 0
        for i, cost in enumerate(self.net.costs):
            if not done >> i & 1:
                halves += 2 if 2 * cost > cap else 2 * cost == cap
                if 3 * cost > cap:
                    thirds += 6 if 3 * cost > 2 * cap else 4 if 3 * cost == 2 * cap else 3
                elif 3 * cost == cap:
                    thirds += 2
        return halves > 2 * left or thirds > 6 * left

    def _too_much_due(self, phase: int, done: int) -> bool:
        """Return whether more is due by some later phase than fits until then."""
        net, owed, open_steps = self.net, 0, ~done
        for until in range(phase + 1, self.phases):
            fresh = self.due[until] & open_steps
            open_steps &= ~fresh
            owed += _sum(net.costs, fresh)
            if owed > (until - phase) * net.cap:
                return True
        return False

    def _at_hand(self, done: int) -> list[int]:
        """Return the steps that could stand in the next phase together with what they still require."""
        net, found, reached = self.net, [], done
        for i, cost in enumerate(net.costs):
            if done >> i & 1 or net.before[i] & ~reached:
                continue
            if cost + _sum(net.costs, net.before[i] & ~done) <= net.cap:
                found.append(i)
                reached |= 1 << i
        return found

    def _subsets(self, at_hand: list[int], done: int, must: int, least: int) -> Iterator[tuple[int, int]]:
        """Yield (load, cost) of loads closed under what they require that cost from `least` to the cap."""
        costs, before, cap = self.net.costs, self.net.before, self.net.cap
        rest = self._rests(at_hand)
        sums = self._reachable(at_hand) if cap <= SUMS_UP_TO else None
        stack = [(0, 0, 0)]
        while stack:
            place, load, cost = stack.pop()
            if cost + rest[place] < least:
                continue
            if sums and not (sums[place] & ((2 << (cap - cost)) - 1)) >> max(0, least - cost):
                continue
            if place == len(at_hand):
                yield load, cost
                continue
            self._spend(0.05)
            step = at_hand[place]
            if not must >> step & 1:
                stack.append((place + 1, load, cost))
            if cost + costs[step] <= cap and not before[step] & ~(done | load):
                stack.append((place + 1, load | 1 << step, cost + costs[step]))

    def _rests(self, at_hand: list[int]) -> list[int]:
        """Return for each place the cost of everything from there on."""
        rest = [0] * (len(at_hand) + 1)
        for place in range(len(at_hand) - 1, -1, -1):
            rest[place] = rest[place + 1] + self.net.costs[at_hand[place]]
        return rest

    def _reachable(self, at_hand: list[int]) -> list[int]:
        """Return for each place the bit set of sums that the steps from there on can make, links left aside."""
        within = (2 << self.net.cap) - 1
        sums = [1] * (len(at_hand) + 1)
        for place in range(len(at_hand) - 1, -1, -1):
            sums[place] = (sums[place + 1] | sums[place + 1] << self.net.costs[at_hand[place]]) & within
        return sums

    def _is_worth_it(self, at_hand: list[int], done: int, load: int, room: int) -> bool:
        """Return False when another step still fits, or when a swap gives a load that is at least as good."""
        net, now = self.net, done | load
        out = [i for i in at_hand if not load >> i & 1]
        if any(net.costs[i] <= room and not net.before[i] & ~now for i in out):
            return False
        for inside in at_hand:
            if not load >> inside & 1 or net.after[inside] & load:
                continue
            without = now ^ 1 << inside
            if any(self._swaps(inside, i, room) and not net.before[i] & ~without for i in out):
                return False
        return True

    def _swaps(self, inside: int, outside: int, room: int) -> bool:
        """Return whether the step outside fits in place of the one inside and frees at least as much."""
        net = self.net
        small, big = net.costs[inside], net.costs[outside]
        if not small <= big <= small + room or net.after[inside] & ~net.after[outside]:
            return False
        return small < big or net.after[inside] != net.after[outside] or outside < inside
