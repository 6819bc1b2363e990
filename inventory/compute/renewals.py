"""When an account must be renewed, and who else could do it."""

from __future__ import annotations

from datetime import date

NOBODY = frozenset({"", "nobody", "no one", "none", "-", "–"})
SOON_DAYS = 60  # time to find the holder, the invoice and the money; common practice


def renews_soon(renews_on: date | None, today: date) -> bool:
    """Tell whether the renewal is due within 60 days, or was due before today."""
    return renews_on is not None and (renews_on - today).days <= SOON_DAYS


def has_one_holder(holder: str, second: str) -> bool:
    """Tell whether one person only can get into it: exactly one of the two names is known."""
    return _is_somebody(holder) != _is_somebody(second)


def _is_somebody(name: str) -> bool:
    return name.strip().casefold() not in NOBODY
