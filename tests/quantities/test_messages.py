"""What is refused, and what the sentence says: found, expected, nearest, mended, and where in the text."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.quantities import NAMES, Quantity, QuantityError, dimension, read, read_any

DATE = "looks like a date that a spreadsheet made of a size"
LENGTH = "a length is written like 14 ft, 12' 6-1/2\", 3.6 m"

SENTENCES = [
    ("14", f"'14' has no unit: {LENGTH}", None, 0),
    ("0", f"'0' has no unit: {LENGTH}", None, 0),
    ("7 psi", f"'7 psi' is a pressure, a length was expected, written like {LENGTH[25:]}", None, 0),
    ("14 fet", f"'fet' in '14 fet' is no known unit, nearest is 'ft': {LENGTH}", "ft", 3),
    ("14 inchs", f"'inchs' in '14 inchs' is no known unit, nearest is 'in': {LENGTH}", "in", 3),
    ("14 qqq", f"'qqq' in '14 qqq' is no known unit: {LENGTH}", None, 3),
    (
        "6-2",
        "'6-2' may be feet and inches or a span: write 6 ft 2 in if it is feet and inches",
        "6 ft 2 in",
        0,
    ),
    (
        "6–2 ft",
        "'6-2 ft' may be feet and inches or a span: write 6 ft 2 in if it is feet and inches",
        "6 ft 2 in",
        0,
    ),
    ("6 ft2", "'6 ft2' may be 6 ft 2 in or 6 sq ft: write one of the two", "6 ft 2 in", 0),
    (
        "12' 14\"",
        "'12' 14\"' has inches that do not fit after the larger unit: write 13 ft 2 in if it is that",
        "13 ft 2 in",
        0,
    ),
    (
        "5-1/2 ft 2 in",
        "'5-1/2 ft 2 in' has inches that do not fit after the larger unit: write 5 ft 8 in if it is that",
        "5 ft 8 in",
        0,
    ),
    (
        "1-Apr",
        f"'1-Apr' {DATE}; if it was 1/4 in, write 1/4 in: {LENGTH}",
        "1/4 in",
        0,
    ),
    (
        "2026-04-01",
        f"'2026-04-01' {DATE}; if it was 1/4 in, write 1/4 in: {LENGTH}",
        "1/4 in",
        0,
    ),
    (
        "Jan-04",
        f"'Jan-04' {DATE}; if it was 1/4 in, write 1/4 in: {LENGTH}",
        "1/4 in",
        0,
    ),
    ("12-Feb", f"'12-Feb' {DATE}: {LENGTH}", None, 0),
    ("1/0 in", f"'1/0' has a zero below the line: {LENGTH}", None, 0),
    ("6-2/2 in", f"the fraction in '6-2/2' is not less than one: {LENGTH}", None, 0),
    ("6² in", f"'² in' in '6² in' is no known unit, nearest is 'in': {LENGTH}", "in", 1),
    ("6-5/2 in", f"the fraction in '6-5/2' is not less than one: {LENGTH}", None, 0),
    ("at least 1/0 in", f"'1/0' has a zero below the line: {LENGTH}", None, 9),
    ("  at least 14", f"'14' has no unit: {LENGTH}", None, 11),
    (
        "from 1 in to 2 psi",
        f"'2 psi' is a pressure, a length was expected, written like {LENGTH[25:]}",
        None,
        13,
    ),
    ("½\u00a0fot", f"'fot' in '1/2 fot' is no known unit, nearest is 'ft': {LENGTH}", "ft", 2),
    ("1e5 ft", "'1e5' is written with a power of ten: write the number out, as 100,000", None, 0),
    ("nan", f"'nan' is no value that can be measured: {LENGTH}", None, 0),
    ("-inf ft", f"'-inf ft' is no value that can be measured: {LENGTH}", None, 0),
    (".inf", f"'.inf' is no value that can be measured: {LENGTH}", None, 0),
    (
        "40,5 in",
        "'40,5' has a comma that parts no thousands: write 40.5 in if it is a point",
        "40.5 in",
        0,
    ),
    (
        "about 6 ft",
        "'about' does not say which way: write what is sure, as at least 6 ft or at most 6 ft",
        None,
        0,
    ),
    ("6 ft (1829 mm)", "'6 ft (1829 mm)' says it twice: write 6 ft", "6 ft", 5),
    ("1 ft or 2 ft", "'1 ft or 2 ft' names two values: write one, or a range as from 1 ft to 2 ft", None, 0),
    ("2 in to 1 in", "'2 in to 1 in' holds nothing: its first end is not below its second", None, 0),
    (
        "over 1 in up to 1 in",
        "'over 1 in up to 1 in' holds nothing: its first end is not below its second",
        None,
        0,
    ),
    ("", f"nothing is written here: {LENGTH}", None, 0),
    ("tall", f"'tall' has no number in it: {LENGTH}", None, 0),
    ("12.5.2 in", f"'12.5.2 in' cannot be read: {LENGTH}", None, 0),
    ("6 ft 2 cm", f"'6 ft 2 cm' cannot be read: {LENGTH}", None, 0),
    ("2\" 6'", f"'2\" 6'' cannot be read: {LENGTH}", None, 0),
]


@pytest.mark.parametrize(("text", "sentence", "suggestion", "column"), SENTENCES)
def test_a_length_that_is_none(text: str, sentence: str, suggestion: str | None, column: int) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text, "length")
    problem = caught.value
    assert str(problem) == problem.message == sentence
    assert (problem.suggestion, problem.column) == (suggestion, column)
    assert (problem.found, problem.expected) == (text, "length")
    assert problem.forms == ("14 ft", "12' 6-1/2\"", "3.6 m")


@pytest.mark.parametrize(
    ("text", "dim", "part", "suggestion"),
    [
        ("12", "wire size", "has no unit", None),
        ("9 AWG", "wire size", "no conductor size, nearest is 10 AWG", "10 AWG"),
        ("260 kcmil", "wire size", "nearest is 250 kcmil", "250 kcmil"),
        ("7/8 in", "pipe size", "no nominal pipe size, nearest is 3/4 in", "3/4 in"),
        ("7/8", "pipe size", "no nominal pipe size, nearest is 3/4 in", "3/4 in"),
        ("4-Mar", "pipe size", "looks like a date", "3/4 in"),
        ("2-Dec", "wire size", "looks like a date", None),
        ("1:30", "time", "may be hours and minutes, minutes and seconds, or a time of day", None),
        ("75 min 70 s", "time", "write 76 min 10 s", "76 min 10 s"),
        ("30 psia", "pressure", "is an absolute pressure, a pressure was expected", None),
        ("3 ACH50", "air changes", "is an air change rate at 50 Pa, an air change rate was expected", None),
        ("12 AWG", "length", "is a wire size, a length was expected", None),
        ("3 pis", "pressure", "nearest is 'psi'", "psi"),
        ("2 ft", "number", "is a length, a plain number was expected", None),
        ("12-2 NM-B", "number", "is a cable designation", None),
        ("50 ft3", "volume per heat rate", "is a volume, a volume per heat rate was expected", None),
        ("10 kWh", "power", "is a heat, a power was expected", None),
    ],
)
def test_other_dimensions_say_what_they_want(text: str, dim: str, part: str, suggestion: str | None) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text, dim)
    assert part in str(caught.value)
    assert caught.value.suggestion == suggestion


@pytest.mark.parametrize("text", ["6ft2", "12-2 NM-B", "oz", "1 or 2", "", "a few"])
def test_what_has_no_unit_of_its_own_is_refused_without_a_dimension_too(text: str) -> None:
    with pytest.raises(QuantityError):
        read_any(text)


def test_every_mended_text_is_itself_accepted() -> None:
    for text, _, suggestion, _ in SENTENCES:
        if suggestion and suggestion[0].isdigit():
            assert read(suggestion, "length").exact is not None, text


def test_an_unknown_dimension_names_the_nearest() -> None:
    with pytest.raises(QuantityError, match="'lenght' is no known dimension, nearest is 'length'"):
        dimension("lenght")


@pytest.mark.parametrize("value", [14, 1.5, None, True, b"6 ft", ["6 ft"]])
def test_what_is_no_text_is_refused_by_name(value: object) -> None:
    with pytest.raises(QuantityError, match=f"not from {type(value).__name__}"):
        read(value, "length")  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match=f"not from {type(value).__name__}"):
        read_any(value)  # type: ignore[arg-type]


HOSTILE = [
    "1 ft per 0 ft",
    "1 in2 per 0 Btu/h",
    "1:0",
    "0 ft x 0 ft per 0",
    "9" * 10_000,
    "9" * 100 + " ft",
    "1/" * 50 + "1",
    "1-1/2-1/2-1/2 in",
    "1 1 1 1 1 1 1/2 in",
    "1e999999 ft",
    "1e999999",
    "1/99999999999999999999 in",
    "0/0",
    "NaN",
    "infinity ft",
    "'" * 119,
    '"' * 119,
    "1'" * 59,
    "1 ft " * 23,
    "-" * 119,
    " per " * 23,
    "1 ft per " * 13,
    "to " * 39,
    "from " * 23,
    "at least " * 13,
    "½" * 119,
    "1½½½ in",
    "٣ ft",
    "6²",
    "\x00",
    "1\x00ft",
    "6\nft\n2",
    "\U0001f600",
    "{6} ft",
    "__import__('os')",
    "1 ft x " * 17 + "1 ft",
    "a" * 119,
    "1 " + "a" * 117,
    " " * 119 + "x",
    "1" + " " * 118,
    "1 " * 59,
    "((((((((((",
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_refused_at_once_and_with_a_sentence(text: str) -> None:
    before = time.perf_counter()
    for dim in NAMES.values():
        try:
            assert isinstance(read(text, dim), Quantity)
        except QuantityError as problem:
            assert str(problem)
            assert "\n" not in str(problem)
            assert len(str(problem)) < 400
            assert 0 <= problem.column <= len(text)
    # Thirty dimensions and their sentences; a pattern that backtracks without end takes minutes.
    assert time.perf_counter() - before < 2


@pytest.mark.parametrize("text", HOSTILE[:20], ids=range(20))
def test_hostile_text_is_no_length(text: str) -> None:
    with pytest.raises(QuantityError):
        read(text, "length")


PIECES = st.sampled_from(
    [
        "1",
        "6",
        "0",
        "12",
        "/",
        "-",
        " ",
        ".",
        ",",
        "'",
        '"',
        "ft",
        "in",
        "psi",
        "½",
        "to",
        " per ",
        "at least ",
        ":",
    ]
    + [
        "from ",
        "over ",
        "x",
        "AWG",
        "#",
        "%",
        "e",
        "(",
        ")",
        "’",
        "″",
        "\u00a0",
        "²",
        "ft2",
        "or more",
        "~",
        "Apr",
    ]
)


@given(st.lists(PIECES, max_size=12).map("".join), st.sampled_from(sorted(NAMES)))
def test_any_text_gives_a_quantity_or_a_quantity_error(text: str, dim: str) -> None:
    for kind in (dim, None):
        try:
            found = read_any(text) if kind is None else read(text, kind)
        except QuantityError as problem:
            assert 0 <= problem.column <= len(text)
        else:
            assert found.low is not None or found.high is not None
            assert not isinstance(found.low, float) and not isinstance(found.high, float)


@given(st.text(max_size=130))
def test_text_from_anywhere_gives_a_quantity_or_a_quantity_error(text: str) -> None:
    for dim in ("length", "share", "wire size", "pipe size"):
        try:
            read(text, dim)
        except QuantityError as problem:
            assert str(problem)
