"""Out again in the trade's units, and the way back: what is printed reads as the same value."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.quantities import (
    NAMES,
    PIPE_SIZES,
    WIRE,
    Number,
    Quantity,
    dimension,
    read,
    show,
    show_apart,
    show_range,
)
from oktocover.quantities.units import BY_DIMENSION

SIXTY_FOURTH = 396_875

SHOWN = [
    ("6 ft 1/16 in", "length", "ft", "6 ft 1/16 in"),
    ("66-1/16 in", "length", "in", "66-1/16 in"),
    ("66-1/16 in", "length", None, "5 ft 6-1/16 in"),
    ("12' 6½\"", "length", "ft", "12 ft 6-1/2 in"),
    ("216 in", "length", "ft", "18 ft"),
    ("23-15/16 in", "length", None, "23-15/16 in"),
    ("24 in", "length", None, "2 ft"),
    ("3/64 in", "length", None, "3/64 in"),
    ("1.4 in", "length", None, "1.4 in"),
    ("3.5 in", "length", "in", "3-1/2 in"),
    ("0 in", "length", None, "0 in"),
    ("-1/16 in", "length", None, "-1/16 in"),
    ("-6 ft 2 in", "length", "ft", "-6 ft 2 in"),
    ("6 ft", "length", "m", "1.8288 m"),
    ("1/2 in", "length", "mm", "12.7 mm"),
    ("1.83 m", "length", "ft", "6 ft 0.04724 in"),
    ("5280 ft", "length", "ft", "5,280 ft"),
    ("6 ft", "length", "psi", "6 ft"),
    ("25 in2", "area", None, "25 in2"),
    ("306 ft2", "area", None, "306 ft2"),
    ("306 ft2", "area", "in2", "44,064 in2"),
    ("20.3 in3", "volume", None, "20.3 in3"),
    ("3480 ft3", "volume", None, "3,480 ft3"),
    ("3 psi", "pressure", None, "3 psi"),
    ("7 in w.c.", "pressure", "in w.c.", "7 in w.c."),
    ("4 oz", "pressure", None, "0.25 psi"),
    ("7 in w.c.", "pressure", "psi", "0.2529 psi"),
    ("40000 Btu/h", "heat rate", None, "40,000 Btu/h"),
    ("1 kW", "heat rate", "Btu/h", "3,412 Btu/h"),
    ("599 s", "time", None, "9 min 59 s"),
    ("599 s", "time", "min", "9 min 59 s"),
    ("599 s", "time", "s", "599 s"),
    ("90 min", "time", None, "1 h 30 min"),
    ("90 min", "time", "min", "90 min"),
    ("60 min", "time", "min", "60 min"),
    ("24 h", "time", None, "24 h"),
    ("7 d", "time", "d", "7 d"),
    ("0 min", "time", None, "0 min"),
    ("120 °F", "temperature", None, "120 °F"),
    ("20 °C", "temperature", None, "68 °F"),
    ("20 °C", "temperature", "°C", "20 °C"),
    ("0.4", "share", None, "40 %"),
    ("0.40", "share", "", "0.4"),
    ("1:48", "share", "in per ft", "1/4 in per ft"),
    ("2 %", "share", ":", "1:50"),
    ("1/48", "share", None, "2.083 %"),
    ("#12", "wire size", None, "12 AWG"),
    ("250 MCM", "wire size", None, "250 kcmil"),
    ("1¼", "pipe size", None, "1-1/4 in"),
    ("18", "ehd", None, "EHD 18"),
    ("2", "number", None, "2"),
    ("1/3", "number", None, "0.3333"),
    ("1000.5", "number", None, "1,000.5"),
    ("0.05 ft3 per Btu/h", "volume per heat rate", "ft3 per 1,000 Btu/h", "50 ft3 per 1,000 Btu/h"),
    ("50 ft3 per 1,000 Btu/h", "volume per heat rate", None, "0.05 ft3 per Btu/h"),
    ("0.40 ACH", "air changes", None, "0.4 ACH"),
    ("45°", "angle", None, "45 deg"),
]


@pytest.mark.parametrize(("text", "dim", "like", "shown"), SHOWN)
def test_values_are_shown_as_the_trade_writes_them(text: str, dim: str, like: str | None, shown: str) -> None:
    value = read(text, dim).exact
    assert value is not None
    assert show(value, dim, like) == shown


@pytest.mark.parametrize(
    "text", ["at least 1-1/4 in", "at most 1 in", "over 2 ft", "under 3 ft", "from 1 in to 2 in"]
)
def test_ranges_are_shown_in_the_words_they_are_written_in(text: str) -> None:
    found = read(text, "length")
    assert show_range(found.low, found.high, found.low_open, found.high_open, "length", found.unit) == text


def test_a_range_without_ends_is_not_recorded_and_one_value_is_no_range() -> None:
    assert show_range(None, None, False, False, "length") == "not recorded"
    assert show_range(SIXTY_FOURTH, SIXTY_FOURTH, False, False, "length") == "1/64 in"


def test_two_values_that_differ_never_look_the_same() -> None:
    limit, measured = read("6 ft", "length").exact, read("1.8288001 m", "length").exact
    assert limit is not None and measured is not None
    assert show_apart(measured, limit, "length", "m") == ("1.8288001 m", "1.8288 m")
    assert show_apart(limit, limit, "length", "ft") == ("6 ft", "6 ft")
    rate = read("3 kW", "heat rate").exact
    assert rate is not None
    near = show_apart(rate, rate + Fraction(1, 1000), "heat rate")
    assert near == ("10,236.425 Btu/h", "10,236.426 Btu/h")


def test_a_rounded_length_never_shows_twelve_inches() -> None:
    value = read("6 ft", "length").exact
    assert value is not None
    assert show(value - Fraction(1, 1000), "length", "ft") == "6 ft"
    assert show(value + 12 * 25_400_000 - Fraction(1, 1000), "length", "ft") == "7 ft"


LENGTHS = st.integers(-(10**6), 10**6).map(lambda count: count * SIXTY_FOURTH)


@given(LENGTHS, st.sampled_from(["ft", "in", "yd", None]))
def test_any_count_of_64ths_reads_back(value: int, like: str | None) -> None:
    if like != "yd":
        assert read(show(value, "length", like), "length").exact == value


@given(st.integers(-(10**9), 10**9), st.sampled_from(["mm", "cm", "m"]))
def test_any_count_of_tenths_of_a_millimetre_reads_back(tenths: int, like: str) -> None:
    value = tenths * 100_000
    assert read(show(value, "length", like), "length").exact == value


@given(st.integers(0, 10**6), st.sampled_from(["s", "min", "h", None]))
def test_any_count_of_seconds_reads_back(value: int, like: str | None) -> None:
    assert read(show(value, "time", like), "time").exact == value


UNITS = [(dim, unit.symbol) for dim, table in BY_DIMENSION.items() for unit in dict.fromkeys(table.values())]


@given(st.sampled_from(UNITS), st.integers(0, 10**9))
def test_a_value_shown_in_the_unit_it_was_written_in_reads_back(
    unit: tuple[str, str], thousandths: int
) -> None:
    dim, symbol = unit
    written = read(f"{thousandths // 1000}.{thousandths % 1000:03} {symbol}", dim)
    assert written.exact is not None
    shown = show(written.exact, dim, written.unit)
    if dim == "length" and symbol == "ft":
        # Feet are shown with inches, which have a short form only for some decimals of a foot.
        return
    assert read(shown, dim).exact == written.exact


@given(st.integers(0, len(WIRE) - 1))
def test_every_conductor_reads_back(value: int) -> None:
    assert read(show(value, "wire size"), "wire size").exact == value


@pytest.mark.parametrize("value", sorted(PIPE_SIZES))
def test_every_pipe_size_reads_back(value: Number) -> None:
    assert read(show(value, "pipe size"), "pipe size").exact == value


@given(st.sampled_from(sorted(NAMES)), st.fractions(-(10**12), 10**12), st.text("fitnpsah %:.", max_size=6))
def test_showing_never_fails_whatever_the_hint(dim: str, value: Fraction, like: str) -> None:
    if dim not in ("wire size", "pipe size"):
        assert show(value, dim, like)


# Any of these writes the same length; at the limit every comparison must come out the same whichever is used.
def _feet_and_inches(nanometres: Fraction) -> str:
    feet, rest = divmod(nanometres, 304_800_000)
    inches = Fraction(rest) / 25_400_000
    whole, part = divmod(inches, 1)
    return f"{feet}' {whole}-{part}\"" if part else f"{feet}' {whole}\""


def _inches(nanometres: Fraction) -> str:
    whole, part = divmod(nanometres / 25_400_000, 1)
    return f"{whole} {part} in" if part else f"{whole}″"


def _metric(nanometres: Fraction, unit: str, places: int) -> str:
    return f"{int(nanometres) // 10**places}.{int(nanometres) % 10**places:0{places}} {unit}"


@given(st.integers(1, 100_000), st.integers(-2, 2))
def test_the_same_length_compares_alike_at_the_limit_in_every_unit(sixteenths: int, steps: int) -> None:
    limit = read(f"{sixteenths}/16 in", "length").exact
    nanometres = Fraction(25_400_000, 16) * (sixteenths + steps)
    if limit is None or nanometres < 0:
        return
    texts = [_feet_and_inches(nanometres), _inches(nanometres), f"{sixteenths + steps}/16 in"]
    texts += [_metric(nanometres, "mm", 6), _metric(nanometres, "cm", 7), _metric(nanometres, "m", 9)]
    for text in texts:
        value = read(text, "length").exact
        assert value == nanometres, text
        assert (value > limit, value == limit, value < limit) == (steps > 0, steps == 0, steps < 0)


@given(LENGTHS, LENGTHS, st.booleans(), st.booleans())
def test_any_range_reads_back(first: int, second: int, low_open: bool, high_open: bool) -> None:
    low, high = sorted((first, second))
    if low == high:
        return
    pairs: list[tuple[int | None, int | None]] = [(low, high), (low, None), (None, high)]
    for start, end in pairs:
        first_open, last_open = low_open and start is not None, high_open and end is not None
        found = read(show_range(start, end, first_open, last_open, "length", "in"), "length")
        assert found == Quantity(start, end, dimension("length"), "in", found.text, first_open, last_open)
