"""What cannot be true of any site: readings that lie in the future."""

from __future__ import annotations

import datetime

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text

TEST = """\
gas systems: {G: {gas: natural gas}}
gas tests:
  T1: {of: G, started: 2026-05-03 9:05, ended: %s}
"""


def test_a_reading_of_a_day_that_has_not_come_is_refused_with_its_line() -> None:
    with pytest.raises(InputProblems) as refused:
        read_site_text(TEST % "2027-05-03 9:15", today=datetime.date(2026, 6, 15))
    assert "site.yaml:3:" in str(refused.value)
    assert "2027-05-03 is in the future" in str(refused.value)


def test_a_reading_of_the_day_itself_stands() -> None:
    assert read_site_text(TEST % "2026-06-15 23:59", today=datetime.date(2026, 6, 15)).site.gas_tests
