"""Interval arithmetic and three-valued truth against brute force: every concrete value gives what the bounds say."""

import datetime
import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.findings.finding import Missing
from oktocover.measures.values import Range, Unknown
from oktocover.rules import intervals

LACKS = (Missing("E-1", "length"),)
NUMBERS = st.integers(-6, 6) | st.fractions(-6, 6, max_denominator=4)


@st.composite
def bounded(draw: st.DrawFn, least: int = -6) -> tuple[object, list[object]]:
    """(an exact number or a Range, concrete values inside it)."""
    if draw(st.booleans()):
        value = draw(NUMBERS.filter(lambda number: number >= least))
        return value, [value]
    low, high = sorted((draw(NUMBERS.filter(lambda n: n >= least)), draw(NUMBERS.filter(lambda n: n >= least))))
    left, right = draw(st.booleans()), draw(st.booleans())
    if low == high:
        return Range(low, high, missing=LACKS), [low]
    inside = [low + (high - low) * Fraction(part, 12) for part in (1, 3, 6, 8, 11)]
    values = [*([] if left else [low]), *inside, *([] if right else [high])]
    no_low, no_high = draw(st.integers(0, 5)) == 0, draw(st.integers(0, 5)) == 0
    made = Range(None if no_low else low, None if no_high else high, left, right, LACKS)
    return made, [*values, *([low - 50] if no_low else []), *([high + 50, math.inf] if no_high else [])]


def holds(result: object, value: object) -> bool:
    """Whether a concrete value is one that a result admits."""
    if isinstance(result, Unknown):
        return True
    if not isinstance(result, Range):
        return bool(result == value)
    above = result.low is None or value > result.low or (value == result.low and not result.low_open)
    below = result.high is None or value < result.high or (value == result.high and not result.high_open)
    return bool(above and below)


def divided(x: object, y: object) -> object:
    """x / y of numbers; by nothing, or by no end, as the engine reads it."""
    if y == 0:
        return 0 if x == 0 else math.copysign(math.inf, x)
    if isinstance(y, float):
        return 0
    return x / y if isinstance(x, float) else Fraction(x) / y


def times(x: object, y: object) -> object:
    return 0 if x == 0 or y == 0 else x * y


OPERATIONS = {
    "add": (intervals.add, lambda x, y: x + y),
    "subtract": (intervals.subtract, lambda x, y: x - y),
    "multiply": (intervals.multiply, times),
    "divide": (intervals.divide, divided),
    "least": (intervals.least, min),
    "greatest": (intervals.greatest, max),
}


@pytest.mark.parametrize("name", OPERATIONS)
@settings(max_examples=120)
@given(a=bounded(), b=bounded())
def test_concrete_results_lie_in_the_result(name: str, a: tuple, b: tuple) -> None:
    on_intervals, on_numbers = OPERATIONS[name]
    result = on_intervals(a[0], b[0])
    for x in a[1]:
        for y in b[1]:
            if isinstance(x, float) and isinstance(y, float) and name in ("subtract", "divide"):
                continue  # nothing less nothing is nothing anybody measures
            assert holds(result, on_numbers(x, y)), (a, b, result, x, y)


@settings(max_examples=100)
@given(a=bounded())
def test_rounding_up_and_turning_round(a: tuple) -> None:
    for x in a[1]:
        assert holds(intervals.negate(a[0]), -x)
        assert holds(intervals.ceiling(a[0]), x if isinstance(x, float) else math.ceil(x))


COMPARISONS = {
    "<": (lambda a, b: intervals.less(a, b, False), lambda x, y: x < y),
    "<=": (lambda a, b: intervals.less(a, b, True), lambda x, y: x <= y),
    "==": (intervals.equal, lambda x, y: x == y),
}


@pytest.mark.parametrize("op", COMPARISONS)
@settings(max_examples=200)
@given(a=bounded(), b=bounded())
def test_a_decided_comparison_is_decided_alike_for_every_value(op: str, a: tuple, b: tuple) -> None:
    three_valued, plain = COMPARISONS[op]
    result = three_valued(a[0], b[0])
    if isinstance(result, Unknown):
        assert result.missing
        return
    assert all(plain(x, y) is result for x in a[1] for y in b[1]), (a, b, result)


@pytest.mark.parametrize("op", ["<", "<="])
@settings(max_examples=100)
@given(a=bounded(), b=bounded())
def test_a_comparison_is_not_left_open_when_all_values_agree(op: str, a: tuple, b: tuple) -> None:
    """Bounds are used as sharply as they can be: open only when values with both answers exist or an end is open."""
    spans = [end for end in (a[0], b[0]) if isinstance(end, Range)]
    if any(span.low_open or span.high_open or None in (span.low, span.high) for span in spans):
        return
    three_valued, plain = COMPARISONS[op]
    answers = {plain(x, y) for x in a[1] for y in b[1]}
    assert isinstance(three_valued(a[0], b[0]), Unknown) == (len(answers) == 2)


@pytest.mark.parametrize(
    ("a", "b", "or_equal", "wanted"),
    [
        (Range(None, 6, missing=LACKS), 6, True, True),
        (Range(None, 6, high_open=True, missing=LACKS), 6, False, True),
        (Range(6, None, low_open=True, missing=LACKS), 6, True, False),
        (Range(6, None, missing=LACKS), 6, False, False),
        (math.inf, 6, True, False),
        (6, math.inf, False, True),
        (Range(3, None, missing=LACKS), math.inf, True, True),
    ],
)
def test_ends(a: object, b: object, or_equal: bool, wanted: bool) -> None:
    assert intervals.less(a, b, or_equal) is wanted


def test_an_end_without_bound_may_be_nothing_there() -> None:
    assert isinstance(intervals.less(Range(3, None, missing=LACKS), math.inf, False), Unknown)


def test_zero_times_an_open_end_is_reached() -> None:
    product = intervals.multiply(Range(0, 1, missing=LACKS), Range(2, 3, True, True, LACKS))
    assert isinstance(intervals.less(0, product, False), Unknown)


def test_a_figure_of_any_size_stands_beside_infinity() -> None:
    huge = 10**400
    assert intervals.add(math.inf, huge) == math.inf
    assert intervals.multiply(math.inf, huge) == math.inf
    assert intervals.divide(huge, math.inf) == 0


def test_days_compare_beside_unknown_values() -> None:
    day = datetime.date(2024, 5, 1)
    assert intervals.less(day, day, True) is True
    assert intervals.less(day, day, False) is False


def test_a_bound_that_names_nothing_missing_still_gives_an_unknown() -> None:
    found = intervals.less(Range(1, 3), 2, True)
    assert isinstance(found, Unknown) and found.missing


@given(st.lists(st.sampled_from(["yes", "no", "?"]), max_size=5))
def test_truths_against_every_completion(words: list[str]) -> None:
    truths = [{"yes": True, "no": False, "?": Unknown(LACKS)}[word] for word in words]
    open_at = [index for index, word in enumerate(words) if word == "?"]
    both, either = set(), set()
    for pattern in range(2 ** len(open_at)):
        filled = [word == "yes" for word in words]
        for bit, index in enumerate(open_at):
            filled[index] = bool(pattern >> bit & 1)
        both.add(all(filled))
        either.add(any(filled))
    for got, answers in ((intervals.both(*truths), both), (intervals.either(*truths), either)):
        assert got is (answers.pop() if len(answers) == 1 else got)
        assert isinstance(got, Unknown) == bool(answers and len(answers) > 1)


@given(a=bounded(), choices=st.lists(NUMBERS, max_size=4))
def test_membership_is_sure_only_for_every_value(a: tuple, choices: list) -> None:
    found = intervals.one_of(a[0], choices)
    if not isinstance(found, Unknown):
        assert all((x in choices) is found for x in a[1])
