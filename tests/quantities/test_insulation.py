"""Insulation compares part by part: the alternatives are those the residential energy table lists for one climate zone."""

import pytest

from oktocover.quantities import QuantityError, read, read_any, show
from oktocover.quantities.insulation import Insulation


def r(text: str) -> Insulation:
    found = read(text, "insulation").exact
    assert isinstance(found, Insulation)
    return found


@pytest.mark.parametrize(
    ("text", "ways"),
    [
        ("R-20", ((20, 0),)),
        ("R-20+5ci", ((20, 5),)),
        ("R-20+R-5ci", ((20, 5),)),
        ("20+5 ci", ((20, 5),)),
        ("15ci", ((0, 15),)),
        ("R-13+10ci or R-30", ((13, 10), (30, 0))),
        ("21+0ci or 15+5ci or 0+15ci", ((21, 0), (15, 5), (0, 15))),
        ("8", ((8, 0),)),
    ],
)
def test_notation(text: str, ways: object) -> None:
    assert r(text).ways == ways
    assert r(show(read(text, "insulation").low, "insulation")).ways == ways  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["R-value", "R-410A", "R-3", "R-5"])
def test_words_that_are_no_insulation(text: str) -> None:
    with pytest.raises(QuantityError):
        read_any(text)


@pytest.mark.parametrize(
    ("built", "needed", "holds"),
    [
        ("R-20+5ci", "R-20+5ci", True),
        ("R-21+5ci", "R-20+5ci", True),
        ("R-19+6ci", "R-20+5ci", False),
        ("R-25", "R-20+5ci", False),
        ("R-30", "R-20+5ci or R-30", True),
        ("R-29", "R-20+5ci or R-30", False),
        ("R-14+10ci", "R-20+5ci or R-13+10ci", True),
        # the builder has not said which of the two it is: both have to hold
        ("R-20+5ci or R-13+5ci", "R-20+5ci", False),
    ],
)
def test_part_by_part(built: str, needed: str, holds: bool) -> None:
    assert (r(built) >= r(needed)) is holds
    assert (r(needed) <= r(built)) is holds


def test_a_bound_is_read_too() -> None:
    found = read("at least R-20+5ci", "insulation")
    assert (found.exact, found.high) == (None, None)
    assert found.low == r("R-20+5ci")


def test_incomparable_values_are_neither_above_nor_below() -> None:
    one, other = r("R-20+5ci"), r("R-13+10ci")
    assert not one >= other and not one <= other and not one > other and not one < other
    assert r("R-21") > r("R-20") and not r("R-20") > r("R-20")
