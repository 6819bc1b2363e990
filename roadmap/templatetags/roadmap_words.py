"""Small filters of the plan's templates."""

from collections.abc import Iterable, Mapping
from datetime import time
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack

register = template.Library()


@register.filter
def of(mapping: Mapping[str, Any], key: str) -> Any:
    """Return what a mapping holds under a key, nothing where it holds none."""
    return mapping.get(key, "")


@register.filter
def signed(number: int) -> str:
    """Return +7 or −7, with the true minus sign."""
    return f"+{number}" if number > 0 else str(number).replace("-", "−")


@register.simple_tag(takes_context=True)
def numbered(context: Mapping[str, Any], n: int, singular: str, plural: str) -> str:
    """Return "Three steps" for the start of a sentence: `{% numbered steps|length _("step") _("steps") as many %}`."""
    return phrasing.counted(n, singular, plural, _pack(context), at_start=True)


@register.simple_tag(takes_context=True)
def numbers(context: Mapping[str, Any], n: int, singular: str, plural: str) -> str:
    """Return "three steps", for the middle of a sentence."""
    words = phrasing.counted(n, singular, plural, _pack(context), at_start=True)
    return words[:1].lower() + words[1:]


@register.simple_tag(takes_context=True)
def clocks(context: Mapping[str, Any], times: Iterable[str]) -> str:
    """Return times of day kept as HH:MM the way the country writes them: 9:00 AM, 10:45 AM."""
    country = _pack(context)
    return ", ".join(phrasing.clock(time.fromisoformat(text), country) for text in times)


@register.filter
def unbroken(text: str) -> SafeString:
    """Return a number like O-05 so that no line ends at its hyphen."""
    return format_html('<span class="nowrap">{}</span>', text)


@register.simple_tag
def nth(number: int) -> str:
    """Return "third" for 3; "latest" beyond what is named."""
    words = (_("first"), _("second"), _("third"), _("fourth"), _("fifth"), _("sixth"), _("seventh"), _("eighth"))
    return words[number - 1] if 0 < number <= len(words) else _("latest")


@register.simple_tag(takes_context=True)
def percent(context: Mapping[str, Any], basis_points: int) -> str:
    """Return hundredths of a percent as percent: 9500 is 95%."""
    digits = 0 if basis_points % 100 == 0 else 2
    return phrasing.percent(basis_points / 10_000, _pack(context), digits=digits)


def _pack(context: Mapping[str, Any]) -> CountryPack:
    return context.get("pack") or pack("US")
