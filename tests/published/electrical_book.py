"""The electrical code as the published checks ask it: folded once, its tables and terms looked through."""

from __future__ import annotations

from functools import cache
from typing import Any

from oktocover.measures import trades
from oktocover.quantities import read
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

assert trades  # rules speak of the kinds that the trades register


@cache
def ruleset(edition: str = "nec 2017") -> RuleSet:
    """The rules of an edition."""
    made = RuleSet(Library().folded(edition))
    made.check()
    return made


def amount(text: str, dimension: str) -> Any:
    """An exact quantity in its canonical unit."""
    found = read(text, dimension).exact
    assert found is not None
    return found
