"""Days of the calendar in expressions: between two days, some days on, some months on."""

import datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.measures.values import Unknown
from oktocover.quantities import read_date
from oktocover.rules.days import DAY, between, later, months_later
from oktocover.rules.limits import Cell, Limit
from oktocover.rules.types import RuleError, Type, quantity

from .kinds import env, expression

DAYS = st.dates(datetime.date(1900, 1, 1), datetime.date(2200, 12, 31))
LIMITS = {
    "first": Limit("first", "2024-01-31", Type("date"), cell=Cell("2024-01-31", read_date("2024-01-31"))),
    "month": Limit("month", "1 month", quantity("calendar time"), cell=Cell("1 month", 1)),
    "thirty": Limit("thirty", "30 d", quantity("time"), cell=Cell("30 d", 30 * DAY)),
}


@pytest.mark.parametrize(
    ("day", "months", "wanted"),
    [
        # worked out on a wall calendar
        ("2024-01-31", 1, "2024-02-29"),
        ("2023-01-31", 1, "2023-02-28"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2023-12-15", 1, "2024-01-15"),
        ("2024-01-15", -1, "2023-12-15"),
        ("2024-03-31", -1, "2024-02-29"),
    ],
)
def test_months_on(day: str, months: int, wanted: str) -> None:
    assert months_later(read_date(day), months) == read_date(wanted)


@given(DAYS, st.integers(-1000, 1000))
def test_days_on_and_between_are_each_others_way_back(day: datetime.date, count: int) -> None:
    assert between(later(day, count * DAY), day) == count * DAY


@given(DAYS, st.integers(0, 600))
def test_months_on_never_skip_a_month(day: datetime.date, months: int) -> None:
    there = months_later(day, months)
    assert (there.year * 12 + there.month) - (day.year * 12 + day.month) == months
    assert there.day <= day.day


def test_beyond_the_calendar_is_its_end() -> None:
    assert later(read_date("2024-01-01"), 10**15) == datetime.date.max
    assert months_later(read_date("2024-01-01"), -(10**6)) == datetime.date.min


@pytest.mark.parametrize(
    ("text", "made", "wanted"),
    [
        ("made <= first + thirty", "2024-03-01", True),
        ("made <= first + thirty", "2024-03-02", False),
        ("made <= first + month", "2024-02-29", True),
        ("made <= first + month", "2024-03-01", False),
        ("made - first <= thirty", "2024-03-01", True),
        ("made - first <= thirty", "2024-03-02", False),
        ("made - month >= first", "2024-02-29", False),
        ("made - thirty >= first", "2024-03-01", True),
        ("made - thirty >= first", "2024-02-29", False),
    ],
)
def test_in_an_expression(text: str, made: str, wanted: bool) -> None:
    compiled = expression(text, limits=LIMITS)
    asked: Any = env({"made": read_date(made)})
    assert compiled.evaluate(asked) is wanted
    for _ in range(20):  # compiled by now
        assert compiled.evaluate(asked) is wanted


def test_a_day_nobody_wrote_is_unknown() -> None:
    assert isinstance(expression("made <= first + month", limits=LIMITS).evaluate(env({})), Unknown)


def test_shown_as_it_was_written() -> None:
    compiled = expression("made <= first + month", limits=LIMITS)
    asked: Any = env({"made": read_date("2024-02-29")})
    assert compiled.named() == "made <= first + month"
    assert compiled.shown(compiled.values(asked), {}) == "2024-02-29 <= 2024-01-31 + 1 months"
    assert expression("made - month >= first", limits=LIMITS).named() == "made - month >= first"
    assert expression("made - first <= thirty", limits=LIMITS).named() == "made - first <= thirty"


@pytest.mark.parametrize("text", ["made + first >= made", "made * month >= first", "made + long >= first"])
def test_what_cannot_be_done_with_a_day(text: str) -> None:
    with pytest.raises(RuleError, match="calculates with a date"):
        expression(text, limits=LIMITS)
