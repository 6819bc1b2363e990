"""Sentences for what held a step, in English (US); pages that translate read the holds themselves.

`show` turns a day into the words of the reader's country; the default is the ISO date.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from roadmap.compute.plan_result import Hold, StepDates

ShowDay = Callable[[date], str]
RULES = {
    "weekdays": "works on weekdays",
    "any day": "works on any day",
    "monday": "works on Mondays",
    "tuesday": "works on Tuesdays",
    "wednesday": "works on Wednesdays",
    "thursday": "works on Thursdays",
    "friday": "works on Fridays",
    "saturday": "works on Saturdays",
    "sunday": "works on Sundays",
}


def why(dates: StepDates, show: ShowDay = date.isoformat) -> list[str]:
    """Return a sentence for each thing that set the start of a step, the decisive one last."""
    return [sentence(hold, show) for hold in dates.holds]


def cautions(dates: StepDates, show: ShowDay = date.isoformat) -> list[str]:
    """Return a sentence for each thing that did not move a step and should still be known."""
    return [caution(hold, show) for hold in dates.cautions]


def sentence(hold: Hold, show: ShowDay = date.isoformat) -> str:
    """Return why a step does not start (or end) before the day of the hold."""
    day = show(hold.until)
    if hold.kind == "order" and hold.late:
        return f"Order {hold.by} should have come; it counts as coming today, so not before {day}."
    words = {
        "order": f"Order {hold.by} is promised for the day before {day}.",
        "link": f"Requires {hold.by}; not before {day}.",
        "freeze": f"{hold.name or 'A freeze'} lasts until the day before {day}.",
        "closed": f"The room is closed until the day before {day}: {hold.name or 'booked'}.",
        "weekday": f"It {RULES.get(hold.name, hold.name)}; the next is {day}.",
        "gate": f"Phase {hold.by} is decided the day before {day}.",
        "not before": f"Not before {day}, as written down.",
        "agreed": f"Agreed for {day}.",
        "today": f"Nothing starts before {day}.",
        "done": f"Done on {day}.",
        "on it": f"Under way since {day}.",
    }
    return words[hold.kind]


def caution(hold: Hold, show: ShowDay = date.isoformat) -> str:
    """Return what should be known although it moved nothing."""
    day = show(hold.until)
    if hold.kind == "gate":
        return f"Starts before phase {hold.by} is decided; nothing of it may be ordered before {day}."
    if hold.kind == "order":
        return f"Order {hold.by} is not placed; ordered as soon as it may be, it is here for work on {day}."
    return f"Runs into {hold.name or 'a freeze'}, which lasts until the day before {day}."
