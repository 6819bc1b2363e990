"""Counting at the edges of a calendar. Sundays of November 2026, from a printed calendar: 1, 8, 15, 22 and 29."""

from datetime import date

from roadmap.compute.calendar import Calendar, Work

NOVEMBER = Calendar((), (), (), date(2026, 11, 1), date(2026, 11, 30))


def day(number: int) -> int:
    return date(2026, 11, number).toordinal()


def test_no_sunday_to_wait_for_is_the_day_itself():
    assert NOVEMBER.before_sundays(day(10), 0) == NOVEMBER.sunday_after(day(10), 0) == day(10)
    assert NOVEMBER.before_sundays(day(22), 2) == day(14)
    assert NOVEMBER.before_sundays(day(10), 9) == day(1)


def test_work_that_would_begin_before_the_calendar_has_no_last_place():
    on = NOVEMBER.days("any day", True)
    assert NOVEMBER.place_latest(Work(5, True, None, on), day(30), day(3)) is None
    assert NOVEMBER.place_latest(Work(1, True, 9, on), day(30), day(30)) is None
    assert NOVEMBER.place_latest(Work(3, True, None, on), day(30), day(10)) == (day(8), day(10))
