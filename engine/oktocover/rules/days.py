"""Days of the calendar in expressions: what lies between two, and the day that comes some time after one."""

from __future__ import annotations

import datetime
from calendar import monthrange
from fractions import Fraction

DAY = 86_400
"""Seconds."""


def between(later_one: datetime.date, earlier: datetime.date) -> int:
    """The time from one day to another, in seconds; negative when it lies the other way."""
    return (later_one.toordinal() - earlier.toordinal()) * DAY


def later(day: datetime.date, seconds: int | Fraction) -> datetime.date:
    """The day some time after a day; a part of a day does not count. The first or last day there is, beyond those."""
    return _within(day.toordinal() + int(seconds / DAY))


def months_later(day: datetime.date, months: int | Fraction) -> datetime.date:
    """The same day some whole months later; the last of a month that has no such day (31 January, a month: 28 February)."""
    whole = day.year * 12 + day.month - 1 + int(months)
    year, month = divmod(whole, 12)
    if not datetime.MINYEAR <= year <= datetime.MAXYEAR:
        return datetime.date.min if year < datetime.MINYEAR else datetime.date.max
    return datetime.date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _within(ordinal: int) -> datetime.date:
    return datetime.date.fromordinal(min(max(ordinal, 1), datetime.date.max.toordinal()))
