"""How long a site still is ours, and by when its pieces must be decided on."""

from __future__ import annotations

from datetime import date, timedelta

NOTICE_DAYS = 14  # for buyers and collectors before a load goes; common practice, 10 to 14 days


def decide_by(exit_on: date, own_target_on: date | None = None) -> date:
    """Return the day by which the fate of a site's pieces must be known: notice before the earlier of both dates."""
    return min(exit_on, own_target_on or exit_on) - timedelta(days=NOTICE_DAYS)


def days_left(exit_on: date, today: date) -> int:
    """Return the days from today to the exit, negative when it has passed."""
    return (exit_on - today).days
