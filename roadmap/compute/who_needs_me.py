"""Which church needs its visiting coach most, from a few counts of the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

LATE_ORDER = 10.0  # an order that is late can move a Sunday
LATE_WEEK = 3.0  # and each week it is late
UNDECIDED_AT_EXIT = 1.0  # a piece without a fate on the day the keys go; less, the further off that day is
FAR_OFF_DAYS = 28  # where no building is given up, or the day is further off than this
QUESTION = 0.5  # an open question holds up a list, not a Sunday
CHANGE = 0.05  # something happened since the coach last wrote here: a reason to look, not to worry


@dataclass(frozen=True)
class Signs:
    """What stands open in one church. next_exit: the nearest date a building must be empty, None for none."""

    late_orders: int = 0
    worst_days_late: int = 0
    undecided: int = 0
    next_exit: date | None = None
    questions: int = 0
    changes: int = 0


def need(signs: Signs, today: date) -> float:
    """Return how much a church needs its coach, 0 when nothing stands open; only the order of figures has a meaning.

    Weights are common practice: what can cost a Sunday first, then what a date forces, then what can wait.
    """
    late = LATE_ORDER * signs.late_orders + LATE_WEEK * (signs.worst_days_late / 7 if signs.late_orders else 0)
    pieces = UNDECIDED_AT_EXIT * signs.undecided * FAR_OFF_DAYS / (FAR_OFF_DAYS + _days_left(signs, today))
    return late + pieces + QUESTION * signs.questions + CHANGE * signs.changes


def _days_left(signs: Signs, today: date) -> int:
    if signs.next_exit is None:
        return 13 * FAR_OFF_DAYS
    return max(0, (signs.next_exit - today).days)


def by_need(churches: Mapping[str, tuple[Signs, date]]) -> list[str]:
    """Return the keys, the church that needs the coach most first; equal ones as given. Values: (signs, its today)."""
    return sorted(churches, key=lambda key: -need(*churches[key]))
