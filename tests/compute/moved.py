"""A plan input with every date in it moved."""

from dataclasses import fields, is_dataclass, replace
from datetime import date


def moved_by(value, days):
    """Return the value with every date moved by a timedelta, however deep it stands."""
    if isinstance(value, date):
        return value + days
    if isinstance(value, tuple):
        return tuple(moved_by(one, days) for one in value)
    if is_dataclass(value):
        return replace(value, **{field.name: moved_by(getattr(value, field.name), days) for field in fields(value)})
    return value
