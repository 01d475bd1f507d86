"""Arithmetic and comparison on values that may be exact, bounded or unknown (Kleene's three-valued logic).

A truth is True, False or Unknown. A number is exact or a Range. The rules are the usual ones of interval
arithmetic, with open and closed ends kept, so that a value exactly at a limit is decided exactly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.values import Range, Unknown

NO_END = Missing("", "a closer value", "tape", means="a bound that decides")
"""What is missing when a bound does not say itself what would make it exact."""

End = tuple[Any, bool]
"""A bound and whether it is open (itself excluded)."""


class _Word:
    """A cell of a schedule that is no number."""

    def __init__(self, text: str) -> None:
        self.text = text

    def __repr__(self) -> str:
        return self.text


def undecided(*values: Any) -> Unknown:
    """Unknown, with all that is missing in some values."""
    return Unknown(missing_of(*values) or (NO_END,))


NO_LIMIT = _Word("no limit")
NOT_ALLOWED = _Word("not allowed")


def ends(value: Any) -> tuple[End, End]:
    """The lower and upper end of a number or Range."""
    if isinstance(value, Range):
        low = (-math.inf, True) if value.low is None else (value.low, value.low_open)
        high = (math.inf, True) if value.high is None else (value.high, value.high_open)
        return low, high
    return (value, False), (value, False)


def from_ends(low: End, high: End, missing: tuple[Missing, ...]) -> Any:
    """A Range from its ends, or the number when both are the same."""
    if low[0] == high[0] and not (low[1] or high[1]):
        return low[0]
    return Range(
        None if low[0] == -math.inf and low[1] else low[0],
        None if high[0] == math.inf and high[1] else high[0],
        low[1],
        high[1],
        missing,
    )


def missing_of(*values: Any) -> tuple[Missing, ...]:
    """Everything that is missing in some values, each once, in order."""
    found: list[Missing] = []
    for value in values:
        if isinstance(value, (Unknown, Range)):
            found.extend(value.missing)
    return tuple(dict.fromkeys(found))


def undecided_or(function: Callable[..., Any], *values: Any) -> Any:
    """A function of exact values; unknown when one of them is unknown or only bounded."""
    if any(isinstance(value, (Unknown, Range)) for value in values):
        return Unknown(missing_of(*values))
    return _or_unknown(values) or function(*values)


def _or_unknown(values: Iterable[Any]) -> Unknown | None:
    """Unknown when a value is unknown, or is a word ('none') where a figure was needed."""
    lacking = [value for value in values if isinstance(value, Unknown)]
    if lacking:
        return undecided(*lacking)
    words = [value for value in values if isinstance(value, str)]
    if words:
        return Unknown((Missing("", f"a figure where '{words[0]}' is written", means="a figure to compare with"),))
    return None


def _plus(x: Any, y: Any) -> Any:
    """x + y of two ends. An infinite one wins, so that no number is too large to be added to it."""
    if x in _INFINITE or y in _INFINITE:
        return x if x in _INFINITE else y
    return x + y


_INFINITE = (math.inf, -math.inf)


def add(a: Any, b: Any) -> Any:
    """a + b."""
    lost = _or_unknown((a, b))
    if lost:
        return lost
    (al, ah), (bl, bh) = ends(a), ends(b)
    if _opposed(al[0], bl[0]) or _opposed(ah[0], bh[0]):
        return Range(None, None, missing=missing_of(a, b))
    low, high = _plus(al[0], bl[0]), _plus(ah[0], bh[0])
    return from_ends((low, al[1] or bl[1]), (high, ah[1] or bh[1]), missing_of(a, b))


def _opposed(x: Any, y: Any) -> bool:
    """Whether two ends are infinite in opposite directions, so that their sum may be anything."""
    return x in _INFINITE and y in _INFINITE and x != y


def negate(a: Any) -> Any:
    """-a."""
    lost = _or_unknown((a,))
    if lost:
        return lost
    low, high = ends(a)
    return from_ends((-high[0], high[1]), (-low[0], low[1]), missing_of(a))


def subtract(a: Any, b: Any) -> Any:
    """a - b."""
    return add(a, negate(b))


def _times(x: End, y: End) -> End:
    """The product of two ends. A zero that is reached gives a zero that is reached, whatever stands beside it."""
    if x[0] == 0 or y[0] == 0:
        return 0, not any(value == 0 and not opened for value, opened in (x, y))
    if x[0] in _INFINITE or y[0] in _INFINITE:
        return (math.inf if (x[0] > 0) == (y[0] > 0) else -math.inf), x[1] or y[1]
    return x[0] * y[0], x[1] or y[1]


def multiply(a: Any, b: Any) -> Any:
    """a * b."""
    lost = _or_unknown((a, b))
    if lost:
        return lost
    pairs = [_times(x, y) for x in ends(a) for y in ends(b)]
    return from_ends(min(pairs), max(pairs, key=lambda end: (end[0], not end[1])), missing_of(a, b))


def divide(a: Any, b: Any) -> Any:
    """a / b; a division by zero is without bound in the direction of a, never an error of the building."""
    lost = _or_unknown((a, b))
    if lost:
        return lost
    low, high = ends(b)
    if low[0] == high[0] == 0:
        return _by_zero(a)
    if low[0] < 0 <= high[0]:
        return Range(None, None, missing=missing_of(a, b))
    if low[0] == 0 and ends(a)[0][0] < 0:
        return Range(None, None, missing=missing_of(a, b))
    return multiply(a, from_ends(_inverse(high), _inverse(low), missing_of(b)))


def _by_zero(a: Any) -> Any:
    low, high = ends(a)
    if low[0] == high[0] == 0:
        return 0
    if low[0] > 0 or (low[0] == 0 and low[1]):
        return math.inf
    return -math.inf if high[0] < 0 else Range(None, None, missing=missing_of(a))


def _inverse(end: End) -> End:
    value, opened = end
    if value == 0:
        return math.inf, opened
    if value in _INFINITE:
        return 0, False
    inverse = Fraction(1) / value
    return (inverse.numerator if inverse.denominator == 1 else inverse), opened


def least(*values: Any) -> Any:
    """min of numbers: bounded by whatever is known."""
    return _extreme(values, min)


def greatest(*values: Any) -> Any:
    """max of numbers: bounded by whatever is known."""
    return _extreme(values, max)


def _extreme(values: tuple[Any, ...], pick: Callable[..., Any]) -> Any:
    values = tuple(_or_unknown((value,)) or value for value in values)
    spans = [((-math.inf, True), (math.inf, True)) if isinstance(v, Unknown) else ends(v) for v in values]
    if pick is min:
        low = min((span[0] for span in spans), key=lambda end: (end[0], end[1]))
        high = min((span[1] for span in spans), key=lambda end: (end[0], not end[1]))
    else:
        low = max((span[0] for span in spans), key=lambda end: (end[0], end[1]))
        high = max((span[1] for span in spans), key=lambda end: (end[0], not end[1]))
    missing = missing_of(*values)
    if low[0] == -math.inf and high[0] == math.inf:
        return undecided(*values)
    return from_ends(low, high, missing)


def ceiling(a: Any) -> Any:
    """The next whole number up."""
    lost = _or_unknown((a,))
    if lost:
        return lost
    if not isinstance(a, Range):
        return a if isinstance(a, float) and math.isinf(a) else math.ceil(a)
    low, high = ends(a)
    up = (math.floor(low[0]) + 1 if low[1] else math.ceil(low[0]), False) if not math.isinf(low[0]) else low
    down = (math.ceil(high[0]), False) if not math.isinf(high[0]) else high
    return from_ends(up, down, missing_of(a))


def less(a: Any, b: Any, or_equal: bool) -> Any:
    """a < b, or a <= b, of numbers or dates."""
    lost = _or_unknown((a, b))
    if lost:
        return lost
    if not isinstance(a, Range) and not isinstance(b, Range):
        return a <= b if or_equal else a < b
    (al, ah), (bl, bh) = ends(a), ends(b)
    # An end without bound may be infinite itself (nothing there), so that its being open decides nothing.
    if ah[0] < bl[0] or (ah[0] == bl[0] and (or_equal or ((ah[1] or bl[1]) and ah[0] not in _INFINITE))):
        return True
    if al[0] > bh[0] or (al[0] == bh[0] and (not or_equal or ((al[1] or bh[1]) and al[0] not in _INFINITE))):
        return False
    return undecided(a, b)


def equal(a: Any, b: Any) -> Any:
    """a == b, for numbers, words, dates and truths."""
    if isinstance(a, Unknown) or isinstance(b, Unknown):
        return undecided(a, b)
    if not isinstance(a, Range) and not isinstance(b, Range):
        return a == b
    if isinstance(a, str) or isinstance(b, str):
        return False
    below, above = less(a, b, False), less(b, a, False)
    return False if below is True or above is True else undecided(a, b)


def one_of(a: Any, choices: Iterable[Any]) -> Any:
    """a in choices; sure only when it is equal to one of them, or to none."""
    return either(*(equal(a, choice) for choice in choices)) if not isinstance(a, Unknown) else a


def both(*truths: Any) -> Any:
    """Kleene's and: one False decides; else every unknown part is named."""
    if any(truth is False for truth in truths):
        return False
    lacking = [truth for truth in truths if isinstance(truth, Unknown)]
    return undecided(*lacking) if lacking else True


def either(*truths: Any) -> Any:
    """Kleene's or: one True decides."""
    if any(truth is True for truth in truths):
        return True
    lacking = [truth for truth in truths if isinstance(truth, Unknown)]
    return undecided(*lacking) if lacking else False


def opposite(truth: Any) -> Any:
    """Kleene's not."""
    return truth if isinstance(truth, Unknown) else not truth
