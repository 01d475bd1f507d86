"""Whether two ways of writing a fact say the same: 3/4 in and 0.75 in do, and 1 in is within `at most 1-1/4 in`."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from oktocover.quantities import Quantity
from oktocover.reading.short.work import classes
from oktocover.site.base import Element, spaced


def within(name: str, fact: str, own: Any, said: Any) -> bool:
    """Whether `own` says at least as much as `said`: the same, or a range that lies in the other."""
    one, other = _meant(name, fact, own), _meant(name, fact, said)
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return _low_end(one, other) and _high_end(one, other)
    return bool(one == other)


def same(name: str, fact: str, one: Any, other: Any) -> bool:
    """Whether two values say the same."""
    return within(name, fact, one, other) and within(name, fact, other, one)


def _low_end(one: Quantity, other: Quantity) -> bool:
    if other.low is None or one.low is None:
        return other.low is None
    return one.low > other.low or (one.low == other.low and (one.low_open or not other.low_open))


def _high_end(one: Quantity, other: Quantity) -> bool:
    if other.high is None or one.high is None:
        return other.high is None
    return one.high < other.high or (one.high == other.high and (one.high_open or not other.high_open))


def _meant(name: str, fact: str, value: Any) -> Any:
    """What a value means; a value that means nothing stands for its own text."""
    return _read(classes()[name], fact, value) if isinstance(value, str) else value


@lru_cache(maxsize=4096)
def _read(made: type[Element], fact: str, text: str) -> Any:
    field = next((n for n, about in made.model_fields.items() if (about.alias or spaced(n)) == fact), None)
    if field is None:
        return text
    try:
        return getattr(made.model_validate({fact: text}), field)
    except ValidationError:
        return text
