"""What a gas pipe carries: flow and drop undo each other, rows are never read between, and the required size is the least."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.measures.gas_sizing import (
    CFH,
    FOOT,
    INCH,
    PSI,
    WATER,
    flow_of,
    higher_pressure_flow,
    higher_pressure_squares,
    low_pressure_drop,
    low_pressure_flow,
    next_row,
    required_size,
    root_pressure,
)

K, A, B = Fraction("19.17"), Fraction("0.381"), Fraction("0.206")
CR = Fraction("0.6094")
BORES = st.sampled_from([Fraction("0.622"), Fraction("0.824"), Fraction("1.049"), Fraction("2.067")])


def test_units_are_those_of_the_trade() -> None:
    assert (INCH, FOOT) == (25_400_000, 304_800_000)
    assert float(PSI / WATER) == pytest.approx(27.68, abs=0.005)
    assert Fraction(FOOT) ** 3 == CFH * 3600


def test_flow_is_load_over_heating_value() -> None:
    """110,000 Btu/h of gas with 1,100 Btu in a cubic foot are 100 cfh."""
    heating_value = Fraction(1100) / CFH
    assert flow_of(110_000, heating_value) == 100 * CFH


@given(BORES, st.integers(1, 60), st.integers(5, 300))
def test_drop_undoes_flow_at_low_pressure(bore: Fraction, tenths: int, feet: int) -> None:
    drop, length = Fraction(tenths, 10) * WATER, feet * FOOT
    flow = low_pressure_flow(bore * INCH, Fraction(drop) / length, 1 / CR, K, A, B).value
    back = low_pressure_drop(flow, 1 / (bore * INCH), length, CR, 1 / K, A, 1 / B).value
    assert float(back / drop) == pytest.approx(1, rel=1e-4)


@given(BORES, st.integers(16, 50), st.integers(1, 14), st.integers(5, 300))
def test_drop_undoes_flow_at_higher_pressure(bore: Fraction, inlet: int, drop: int, feet: int) -> None:
    first = (Fraction(inlet, 10) + Fraction("14.7")) * PSI
    last = first - Fraction(drop, 10) * PSI
    y, k = Fraction("0.9992"), Fraction("18.93")
    flow = higher_pressure_flow(bore * INCH, first**2 - last**2, 1 / Fraction(feet * FOOT), y / CR, k, A, B).value
    squares = higher_pressure_squares(flow, 1 / (bore * INCH), feet * FOOT, CR / y, 1 / k, A, 1 / B).value
    assert float(root_pressure(first**2 - squares) / last) == pytest.approx(1, rel=1e-5)


def test_more_than_arrives_leaves_nothing() -> None:
    assert root_pressure(-1) == 0
    assert root_pressure(0) == 0
    assert root_pressure(9 * PSI**2) == 3 * PSI


@given(BORES, st.integers(1, 30))
def test_flow_rises_with_each_of_its_figures(bore: Fraction, tenths: int) -> None:
    slope = Fraction(tenths, 600) * WATER / FOOT
    flow = low_pressure_flow(bore * INCH, slope, 1 / CR, K, A, B).value
    assert low_pressure_flow(bore * INCH * 2, slope, 1 / CR, K, A, B).value > flow
    assert low_pressure_flow(bore * INCH, slope * 2, 1 / CR, K, A, B).value > flow
    assert low_pressure_flow(bore * INCH, slope, 2 / CR, K, A, B).value > flow
    assert low_pressure_flow(bore * INCH, slope, 1 / CR, K * 2, A, B).value > flow


def test_the_work_shows_the_figures_that_were_put_in() -> None:
    """The step can be typed into a pocket calculator: (0.824 x 19.17 x (0.0083333 x 1.641)^0.206)^(1/0.381) = 137.4."""
    worked = low_pressure_flow(Fraction("0.824") * INCH, Fraction(1, 120) * WATER / FOOT, 1 / CR, K, A, B)
    how = worked.steps[-1].how
    assert how == "(0.824 in x 19.17 x (0.0083333 x 1.641)^0.206)^(1/0.381)"
    typed = (0.824 * 19.17 * (0.0083333 * 1.641) ** 0.206) ** (1 / 0.381)
    assert worked.steps[-1].result == f"{typed:.1f} cfh" == "137.4 cfh"


@given(st.sets(st.integers(1, 200), min_size=1), st.integers(1, 250))
def test_next_row_is_the_shortest_that_is_long_enough(rows: set[int], length: int) -> None:
    found = next_row(rows, length)
    if found is None:
        assert length > max(rows)
    else:
        assert found >= length
        assert not any(length <= row < found for row in rows)


@given(st.dictionaries(st.integers(1, 9), st.integers(1, 500), min_size=1), st.integers(1, 600))
def test_required_size_is_the_least_that_carries_the_load(row: dict[int, int], load: int) -> None:
    size = required_size(row, load)
    if size is None:
        assert max(row.values()) < load
    else:
        assert row[size] >= load
        assert all(row[other] < load for other in row if other < size)
