"""Ratios of processor time, baseline and measured in turns, medians of several rounds."""

import gc
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

SLACK = 1.3  # shared machines swing; a gate fails at goal times this, and only when it fails twice


@dataclass(frozen=True)
class Figure:
    """A ratio against its goal. `what` says of what to what; counts have no slack (1)."""

    what: str
    ratio: float
    goal: float
    milliseconds: float
    base_milliseconds: float
    slack: float = SLACK

    @property
    def holds(self) -> bool:
        return self.ratio <= self.goal * self.slack

    def line(self) -> str:
        mark = "ok " if self.holds else "NO "
        return (
            f"{mark} {self.what:<74} {self.ratio:8.2f}  goal <= {self.goal:<5g} "
            f"({self.milliseconds:9.2f} ms : {self.base_milliseconds:9.2f} ms)"
        )


def seconds(run: Callable[[], object]) -> float:
    """Return the processor time of one call, children left out, the collector held still."""
    gc.collect()
    gc.disable()
    start = time.process_time()
    try:
        run()
    finally:
        gc.enable()
    return time.process_time() - start


def ratio(
    what: str, goal: float, run: Callable[[], object], base: Callable[[], object], rounds: int = 7, inner: int = 1
) -> Figure:
    """Return the ratio of the medians of `run` to `base`, taken in turns; twice where the first misses its goal."""

    def many(call: Callable[[], object]) -> Callable[[], object]:
        return call if inner == 1 else lambda: [call() for _ in range(inner)]

    run_many, base_many = many(run), many(base)
    run_many(), base_many()
    figure = _once(what, goal, run_many, base_many, rounds, inner)
    return figure if figure.holds else _once(what, goal, run_many, base_many, rounds, inner)


def _once(
    what: str, goal: float, run: Callable[[], object], base: Callable[[], object], rounds: int, inner: int
) -> Figure:
    runs, bases = [], []
    for _ in range(rounds):
        bases.append(seconds(base))
        runs.append(seconds(run))
    mine, other = statistics.median(runs), statistics.median(bases)
    return Figure(what, mine / max(other, 1e-9), goal, mine * 1000 / inner, other * 1000 / inner)
