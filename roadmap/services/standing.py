"""Which promises stand if the work stops after a phase. From the record, until the drawing computes it."""

from dataclasses import dataclass

from roadmap.compute.plan_input import PlanInput, PromiseIn

HOLDS = frozenset({"kept", "kept by fall-back"})


@dataclass(frozen=True)
class StopHere:
    """What holds if nothing is done after a phase, and what does not."""

    holds: tuple[PromiseIn, ...]
    missing: tuple[PromiseIn, ...]


def stop_after(given: PlanInput, phase: str) -> StopHere:
    """Return the promises that hold when every step up to and with `phase` is done and none after it.

    A promise holds when it is kept today or a step of those phases brings it.
    """
    order = [one.key for one in given.phases]
    done = set(order[: order.index(phase) + 1]) if phase in order else set()
    of_step = {step.key: step.phase for step in given.steps}
    holds: list[PromiseIn] = []
    missing: list[PromiseIn] = []
    for promise in given.promises:
        brought = promise.brought_by and of_step.get(promise.brought_by) in done
        (holds if brought or promise.standing in HOLDS else missing).append(promise)
    return StopHere(tuple(holds), tuple(missing))
