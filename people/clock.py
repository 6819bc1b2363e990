"""Today, in one place: the ministry's own date, or the date it pretends."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from people.models import Ministry


def today(ministry: Ministry) -> date:
    """Return the date in the ministry's zone; a ministry that pretends a date (the demo) gets that one."""
    return ministry.today_is or now(ministry).date()


def now(ministry: Ministry) -> datetime:
    """Return the present moment in the ministry's zone, aware."""
    return timezone.now().astimezone(ZoneInfo(ministry.zone))
