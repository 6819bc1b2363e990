"""Amounts, days and measures as the ministry's country writes them: `{% money minor %}`, `{% day when "weekday" %}`."""

from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from django import template

from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack

register = template.Library()


def _pack(context: Mapping[str, Any]) -> CountryPack:
    return context.get("pack") or pack("US")


@register.simple_tag(takes_context=True)
def money(context: Mapping[str, Any], minor: int | None, currency: str = "") -> str:
    """Return an amount of minor units, without cents where there are none; a dash for none."""
    return "–" if minor is None else phrasing.money(minor, _pack(context), whole=True, currency=currency)


@register.simple_tag(takes_context=True)
def day(context: Mapping[str, Any], when: date | None, style: str = "day") -> str:
    """Return a date; styles of phrasing.day. Nothing for no date."""
    return phrasing.day(when, _pack(context), style) if when else ""


@register.simple_tag(takes_context=True)
def days(context: Mapping[str, Any], first: date | None, last: date | None) -> str:
    """Return a span of days."""
    return phrasing.day_range(first, last or first, _pack(context)) if first else ""


@register.simple_tag(takes_context=True)
def told(context: Mapping[str, Any], words: str | None) -> str:
    """Return a note with the dates in it as the country writes them."""
    return phrasing.told(words, _pack(context)) if words else ""


@register.simple_tag(takes_context=True)
def clock(context: Mapping[str, Any], when: time | datetime | None) -> str:
    return phrasing.clock(when, _pack(context)) if when else ""


@register.simple_tag(takes_context=True)
def mass(context: Mapping[str, Any], grams: int | None) -> str:
    return "" if grams is None else phrasing.mass(grams, _pack(context))


@register.simple_tag(takes_context=True)
def length(context: Mapping[str, Any], mm: int | None) -> str:
    return "" if mm is None else phrasing.length(mm, _pack(context))


@register.simple_tag(takes_context=True)
def opening(context: Mapping[str, Any], n: int) -> str:
    """Return a number as it opens a sentence: Three, Ten, 11."""
    return phrasing.counted(n, "", "", _pack(context), at_start=True).strip()


@register.simple_tag(takes_context=True)
def joined(context: Mapping[str, Any], words: list[str]) -> str:
    """Return "a, b, and c" as the country writes lists."""
    return phrasing.join_words(words, _pack(context))
