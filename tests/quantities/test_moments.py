"""Days and clock times as written on a test log."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.quantities import QuantityError, read_clock, read_date, read_moment


@pytest.mark.parametrize("text", ["2026-05-03", " 2026-5-3 ", "2026–05–03", "2026-05-3"])
def test_a_day_is_written_year_first(text: str) -> None:
    assert read_date(text) == date(2026, 5, 3)


@pytest.mark.parametrize(
    ("text", "hour", "minute", "second"),
    [
        ("9:05", 9, 5, 0),
        ("09:05", 9, 5, 0),
        ("14:30", 14, 30, 0),
        ("9:05 am", 9, 5, 0),
        ("9:05 p.m.", 21, 5, 0),
        ("12:00 am", 0, 0, 0),
        ("12:30 PM", 12, 30, 0),
        ("9 am", 9, 0, 0),
        ("9:05\u202fpm", 21, 5, 0),
        ("23:59:59", 23, 59, 59),
        ("0:00", 0, 0, 0),
    ],
)
def test_a_clock_time(text: str, hour: int, minute: int, second: int) -> None:
    assert read_clock(text) == time(hour, minute, second)


@pytest.mark.parametrize(
    "text", ["2026-05-03 9:05", "2026-05-03T09:05", "2026-05-03 at 9:05 am", "2026-05-03, 9:05"]
)
def test_a_moment(text: str) -> None:
    assert read_moment(text) == datetime(2026, 5, 3, 9, 5)


@pytest.mark.parametrize(
    ("text", "sentence", "mended"),
    [
        ("5/3/2026", "'5/3/2026' is a date in an order that differs by country: write 2026-05-03", None),
        (
            "5/13/2026",
            "'5/13/2026' is a date in an order that differs by country: write 2026-05-13",
            "2026-05-13",
        ),
        (
            "5/13/26",
            "'5/13/26' is a date in an order that differs by country: write 2026-05-13",
            "2026-05-13",
        ),
        ("2026-02-30", "'2026-02-30' is no day of the calendar", None),
        ("May 3", "'May 3' is no date: write year, month, day, as 2026-05-03", None),
        ("", "'' is no date: write year, month, day, as 2026-05-03", None),
    ],
)
def test_a_day_that_is_none(text: str, sentence: str, mended: str | None) -> None:
    with pytest.raises(QuantityError) as caught:
        read_date(text)
    assert str(caught.value) == sentence
    assert caught.value.suggestion == mended
    assert caught.value.expected == "date"


@pytest.mark.parametrize(
    "text", ["545", "9", "25:00", "9:60", "13:00 pm", "0:30 am", "9:5", "9.05", "noon", "9:05 m", ""]
)
def test_a_clock_time_that_is_none(text: str) -> None:
    with pytest.raises(QuantityError, match="clock time"):
        read_clock(text)


@pytest.mark.parametrize("text", ["2026-05-03", "9:05", "2026-05-03 25:00", "2026-13-01 9:05", "x" * 10_000])
def test_a_moment_that_is_none(text: str) -> None:
    with pytest.raises(QuantityError):
        read_moment(text)


def test_what_a_reader_made_a_number_of_is_refused_by_name() -> None:
    with pytest.raises(QuantityError, match="is read from text, not from int"):
        read_clock(545)  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match="is read from text, not from date"):
        read_date(date(2026, 5, 3))  # type: ignore[arg-type]


@given(st.dates())
def test_any_day_reads_back(day: date) -> None:
    assert read_date(day.isoformat()) == day


@given(st.datetimes().map(lambda moment: moment.replace(microsecond=0)))
def test_any_moment_reads_back(moment: datetime) -> None:
    assert read_moment(moment.isoformat(sep=" ")) == moment


@given(st.text(max_size=80))
def test_any_text_is_a_moment_or_a_quantity_error(text: str) -> None:
    for reader in (read_date, read_clock, read_moment):
        try:
            reader(text)
        except QuantityError as problem:
            assert str(problem)
