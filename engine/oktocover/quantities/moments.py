"""Days and clock times as text. A day is written year first, because 5/3 is two days in two countries."""

from __future__ import annotations

import re
from datetime import date, datetime, time

from ._plain import plain
from .errors import QuantityError, clip

_ISO = r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})"
_SLASHED = r"([0-9]{1,2})[/.-]([0-9]{1,2})[/.-]([0-9]{4}|[0-9]{2})"
_CLOCK = r"(?i)([0-9]{1,2})(?::([0-9]{2}))?(?::([0-9]{2}))?\s*([ap])?\.?(m)?\.?"
_MOMENT = r"([0-9]{4}-[0-9]{1,2}-[0-9]{1,2})(?:\s*,\s*|\s+at\s+|\s+|[tT])(.+)"
_LONGEST = 60


def _bad(sentence: str, found: str, expected: str, forms: tuple[str, ...], mended: str | None = None) -> QuantityError:
    return QuantityError(sentence, found=found[:200], expected=expected, forms=forms, suggestion=mended)


def _line(text: str, expected: str, forms: tuple[str, ...]) -> str:
    if type(text) is not str:
        words = f"a {expected} is read from text, not from {type(text).__name__}: write {forms[0]}"
        raise _bad(words, clip(repr(text)), expected, forms)
    if len(text) > _LONGEST:
        raise _bad(f"'{clip(text)}' is too long for a {expected}: write {forms[0]}", text, expected, forms)
    return plain(text).text


def read_date(text: str) -> date:
    """Return the day written as ``2026-05-03``. Raises QuantityError, mended where that is certain."""
    forms = ("2026-05-03",)
    line = _line(text, "date", forms)
    match = re.fullmatch(_ISO, line)
    if match is not None:
        try:
            return date(*(int(part) for part in match.groups()))
        except ValueError:
            raise _bad(f"'{clip(line)}' is no day of the calendar", text, "date", forms) from None
    slashed = re.fullmatch(_SLASHED, line)
    if slashed is not None:
        first, second, year = (int(part) for part in slashed.groups())
        years = year if year > 99 else 2000 + year
        mended = f"{years}-{first:02}-{second:02}" if second > 12 >= first > 0 and second < 32 else None
        example = mended or "2026-05-03"
        words = f"'{clip(line)}' is a date in an order that differs by country: write {example}"
        raise _bad(words, text, "date", forms, mended)
    raise _bad(f"'{clip(line)}' is no date: write year, month, day, as 2026-05-03", text, "date", forms)


def read_clock(text: str) -> time:
    """Return the clock time written as ``9:05``, ``14:30:15`` or ``9:05 am``. Raises QuantityError."""
    forms = ("9:05", "14:30", "9:05 am")
    line = _line(text, "clock time", forms)
    match = re.fullmatch(_CLOCK, line)
    if match is None or (match.group(2) is None and match.group(4) is None) or (match.group(5) and not match.group(4)):
        raise _bad(f"'{clip(line)}' is no clock time: write 9:05, 14:30 or 9:05 am", text, "clock time", forms)
    hour, minute, second = (int(part or 0) for part in match.groups()[:3])
    half = (match.group(4) or "").lower()
    if half and not 1 <= hour <= 12:
        raise _bad(f"'{clip(line)}' is no clock time: am and pm go with 1 to 12", text, "clock time", forms)
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23 or minute > 59 or second > 59:
        raise _bad(f"'{clip(line)}' is no clock time: the day runs from 0:00 to 23:59", text, "clock time", forms)
    return time(hour, minute, second)


def read_moment(text: str) -> datetime:
    """Return the day and clock time written as ``2026-05-03 9:05``. Raises QuantityError."""
    forms = ("2026-05-03 9:05",)
    line = _line(text, "day and time", forms)
    match = re.fullmatch(_MOMENT, line)
    if match is None:
        words = f"'{clip(line)}' is no day with a clock time: write both, as 2026-05-03 9:05"
        raise _bad(words, text, "day and time", forms)
    return datetime.combine(read_date(match.group(1)), read_clock(match.group(2)))
