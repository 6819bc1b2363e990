"""Small filters of the plan's templates."""

from collections.abc import Mapping
from typing import Any

from django import template

register = template.Library()


@register.filter
def of(mapping: Mapping[str, Any], key: str) -> Any:
    """Return what a mapping holds under a key, nothing where it holds none."""
    return mapping.get(key, "")


@register.filter
def signed(number: int) -> str:
    """Return +7 or −7, with the true minus sign."""
    return f"+{number}" if number > 0 else str(number).replace("-", "−")
