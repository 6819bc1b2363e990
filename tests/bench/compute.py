"""Order, dates and matching against the barest loops that answer the same question."""

import random
from collections import deque
from collections.abc import Iterator

from roadmap.compute.critical_path import critical_path
from roadmap.compute.ordering import in_order
from tests.bench.measure import Figure, ratio

STEPS = 1000


def graph(seed: int = 7) -> tuple[dict[str, list[str]], dict[str, int]]:
    """Return 1,000 steps with up to four earlier ones required each, and their durations."""
    rng = random.Random(seed)
    names = [f"S{n}" for n in range(STEPS)]
    requires = {name: rng.sample(names[:n], min(n, rng.randint(0, 4))) for n, name in enumerate(names)}
    return requires, {name: rng.randint(1, 9) for name in names}


def kahn(requires: dict[str, list[str]]) -> list[str]:
    """Return any order: Kahn's queue, nothing else."""
    waits = {key: len(needed) for key, needed in requires.items()}
    opens: dict[str, list[str]] = {key: [] for key in requires}
    for key, needed in requires.items():
        for one in needed:
            opens[one].append(key)
    ready, order = deque(key for key, count in waits.items() if not count), []
    while ready:
        key = ready.popleft()
        order.append(key)
        for later in opens[key]:
            waits[later] -= 1
            if not waits[later]:
                ready.append(later)
    return order


def bare_pass(requires: dict[str, list[str]], days: dict[str, int]) -> tuple[dict[str, int], dict[str, int]]:
    """Return earliest and latest starts: order, forward, backward, no floats."""
    order = kahn(requires)
    early: dict[str, int] = {}
    for key in order:
        early[key] = max((early[one] + days[one] for one in requires[key]), default=0)
    end = max(early[key] + days[key] for key in order)
    late = {key: end - days[key] for key in order}
    for key in reversed(order):
        for one in requires[key]:
            late[one] = min(late[one], late[key] - days[one])
    return early, late


def figures() -> Iterator[Figure]:
    requires, days = graph()
    yield ratio("order of 1,000 steps : Kahn's queue", 4, lambda: in_order(requires), lambda: kahn(requires), 9, 20)
    yield ratio(
        "dates of 1,000 steps : bare forward and backward pass",
        2,
        lambda: critical_path(days, requires),
        lambda: bare_pass(requires, days),
        9,
        20,
    )
