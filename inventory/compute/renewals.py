"""When an account must be renewed, and who else could do it."""

from __future__ import annotations

from datetime import date

SOON_DAYS = 60  # time to find the holder, the invoice and the money; common practice


def renews_soon(renews_on: date | None, today: date) -> bool:
    """Tell whether the renewal is due within 60 days, or was due before today."""
    return renews_on is not None and (renews_on - today).days <= SOON_DAYS


def has_one_holder(holder: str, second: str) -> bool:
    """Tell whether one person only can get into it: exactly one of the two names is known."""
    return bool(holder.strip()) != bool(second.strip())
