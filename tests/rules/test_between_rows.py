"""A figure between the rows of a table is told step by step, and by the same figure that the rule takes."""

from __future__ import annotations

from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.quantities import read, show
from oktocover.rules.between_rows import between
from oktocover.rules.library import Library
from oktocover.rules.limits import look_up
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.types import quantity

assert trades
RULES = RuleSet(Library().folded("ifgc 2021"))
LENGTH, RATE = quantity("length"), quantity("heat rate")


def steps(size: str, rise: str, lateral: str, column: str = "natural_most") -> list[Any]:
    table = RULES.table("ifgc.bvent_alone")
    assert table is not None
    keys = [read(text, "length").exact for text in (size, rise, lateral)]
    return between(table, keys, [LENGTH] * 3, column, RATE)


# Annex of the code, example 3: 77 + 2/5 x (87 - 77) = 81.
def test_one_interpolation_as_the_annex_writes_it() -> None:
    (one,) = steps("4 in", "12 ft", "5 ft")
    assert one.what == "4 in, 12 ft, between 10 ft and 15 ft"
    assert one.how == "77 MBH + (12 ft - 10 ft) / (15 ft - 10 ft) x (87 MBH - 77 MBH)"
    assert one.result == "81 MBH"


# By hand: at 10 ft 81 + 1/3 (77 - 81) = 79.667, at 15 ft 93 + 1/3 (87 - 93) = 91; 2/5 between them 84.2.
def test_two_keys_between_their_rows_inner_lines_first() -> None:
    found = steps("4 in", "12 ft", "3 ft")
    assert [one.what for one in found] == [
        "4 in, 10 ft, 3 ft, between 2 ft and 5 ft",
        "4 in, 15 ft, 3 ft, between 2 ft and 5 ft",
        "4 in, 12 ft, between 10 ft and 15 ft",
    ]
    assert [one.result for one in found[1:]] == ["91 MBH", "84.2 MBH"]
    assert found[0].result.startswith("79.67")


@pytest.mark.parametrize(("size", "rise", "lateral"), [("4 in", "10 ft", "5 ft"), ("4 in", "31 ft", "5 ft"),
                                                       ("9 in", "12 ft", "5 ft"), ("4 in", "7 ft", "7 ft")])
def test_on_a_row_or_off_the_table_nothing_is_told(size: str, rise: str, lateral: str) -> None:
    assert steps(size, rise, lateral) == []


def test_the_last_line_is_what_the_rule_takes() -> None:
    table = RULES.table("ifgc.bvent_alone")
    assert table is not None
    for rise in ("7 ft", "9 ft 6 in", "11 ft", "18 ft", "22 ft 3 in"):
        keys = [read(text, "length").exact for text in ("4 in", rise, "4 ft")]
        taken = look_up(table, keys, "fan_most", None, "bvent_alone")
        assert steps("4 in", rise, "4 ft", "fan_most")[-1].result == show(taken, "heat rate", "MBH", 4)
