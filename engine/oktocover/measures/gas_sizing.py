"""What a gas pipe carries: the two equations of the fuel gas codes solved for flow and for pressure, and table rows.

The equations are those of IFGC 402.4 (4-1 below a pressure that the rule names, 4-2 from there on), the same as in
NFPA 54 6.4; in inches, cubic feet an hour, feet and inches of water or psia:

    D = Q^a / (k x (H / (Cr x L))^b)                  low pressure; H: pressure drop
    D = Q^a / (k x ((P1^2 - P2^2) x Y / (Cr x L))^b)  higher pressure, absolute

a, b, k, Cr and Y are limits of the rules. Everything here takes canonical units and gives them back; powers are
taken in floating point and rounded to a millionth, far finer than any table.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from oktocover.findings.finding import Step
from oktocover.measures.registry import plain_function
from oktocover.measures.values import Number, Worked
from oktocover.quantities import show
from oktocover.quantities.units import BY_DIMENSION, FOOT, INCH

CFH: Final = BY_DIMENSION["flow"]["cfh"].factor
WATER: Final = BY_DIMENSION["pressure"]["in w.c."].factor
PSI: Final = BY_DIMENSION["pressure"]["psi"].factor


def flow_of(load: Number, heating_value: Number) -> Number:
    """Flow (nm3/s) that carries a load (Btu/h) of gas with this heating value (Btu/h per nm3/s)."""
    return Fraction(load) / Fraction(heating_value)


@plain_function(
    "low_pressure_flow",
    ("length", "pressure per length", "number", "number", "number", "number"),
    "flow",
    "flow by the low-pressure equation, from bore, drop per length, 1/Cr, the constant k and the powers a and b",
)
def low_pressure_flow(
    bore: Number, slope: Number, inverse: Number, constant: Number, flow_power: Number, slope_power: Number
) -> Worked:
    """Flow (nm3/s) by equation 4-1 from bore (nm), pressure drop per length (Pa/nm), 1/Cr, k, a and b."""
    per_foot = Fraction(slope) * FOOT / WATER
    term = float(per_foot * inverse)
    flow = _flow(bore, term, constant, flow_power, slope_power)
    across = show(bore, "length", "in")
    return Worked(
        flow,
        (
            Step("pressure drop for each foot", "pressure drop / length", f"{float(per_foot):.5g} in w.c. per ft"),
            Step(
                f"flow in a pipe {across} inside",
                f"({across} x {_plain(constant)} x ({float(per_foot):.5g} x {_plain(inverse)})^{_plain(slope_power)})"
                f"^(1/{_plain(flow_power)})",
                show(flow, "flow", "cfh"),
            ),
        ),
    )


@plain_function(
    "higher_pressure_flow",
    ("length", "pressure times pressure", "number per length", "number", "number", "number", "number"),
    "flow",
    "flow by the higher-pressure equation, from bore, P1^2 - P2^2, 1/length, Y/Cr, the constant k and the powers a and b",
)
def higher_pressure_flow(
    bore: Number,
    squares: Number,
    per_length: Number,
    factor: Number,
    constant: Number,
    flow_power: Number,
    slope_power: Number,
) -> Worked:
    """Flow (nm3/s) by equation 4-2 from bore (nm), P1^2 - P2^2 (Pa2, absolute), 1/length (1/nm), Y/Cr, k, a and b."""
    per_foot = Fraction(squares) / PSI**2 * Fraction(per_length) * FOOT
    flow = _flow(bore, float(per_foot * factor), constant, flow_power, slope_power)
    across = show(bore, "length", "in")
    return Worked(
        flow,
        (
            Step("P1^2 - P2^2 for each foot", "(P1^2 - P2^2) / length", f"{float(per_foot):.5g} psia2 per ft"),
            Step(
                f"flow in a pipe {across} inside",
                f"({across} x {_plain(constant)} x ({float(per_foot):.5g} x {float(factor):.5g})^{_plain(slope_power)})"
                f"^(1/{_plain(flow_power)})",
                show(flow, "flow", "cfh"),
            ),
        ),
    )


@plain_function(
    "low_pressure_drop",
    ("flow", "number per length", "length", "number", "number", "number", "number"),
    "pressure",
    "pressure drop by the low-pressure equation, from flow, 1/bore, length, Cr, 1/k and the powers a and 1/b",
)
def low_pressure_drop(
    flow: Number,
    per_bore: Number,
    length: Number,
    gravity: Number,
    inverse: Number,
    flow_power: Number,
    slope_power: Number,
) -> Worked:
    """Pressure drop (Pa) by equation 4-1 from flow (nm3/s), 1/bore (1/nm), length (nm), Cr, 1/k, a and 1/b."""
    term = _term(flow, per_bore, inverse, flow_power, slope_power)
    drop = _rounded(term * float(gravity) * float(Fraction(length) / FOOT)) * WATER
    return Worked(drop, (_drop_step(flow, length, show(drop, "pressure", "in w.c.")),))


@plain_function(
    "higher_pressure_squares",
    ("flow", "number per length", "length", "number", "number", "number", "number"),
    "pressure times pressure",
    "P1^2 - P2^2 by the higher-pressure equation, from flow, 1/bore, length, Cr/Y, 1/k and the powers a and 1/b",
)
def higher_pressure_squares(
    flow: Number,
    per_bore: Number,
    length: Number,
    factor: Number,
    inverse: Number,
    flow_power: Number,
    slope_power: Number,
) -> Worked:
    """P1^2 - P2^2 (Pa2) by equation 4-2 from flow (nm3/s), 1/bore (1/nm), length (nm), Cr/Y, 1/k, a and 1/b."""
    term = _term(flow, per_bore, inverse, flow_power, slope_power)
    squares = _rounded(term * float(factor) * float(Fraction(length) / FOOT))
    return Worked(squares * PSI**2, (_drop_step(flow, length, f"{float(squares):.4g} psia2"),))


@plain_function(
    "root_pressure", ("pressure times pressure",), "pressure", "the pressure whose square this is; none below nothing"
)
def root_pressure(square: Number) -> Number:
    """The pressure (Pa) whose square (Pa2) this is; of less than nothing, 0: the gas does not arrive."""
    if square <= 0:
        return 0
    return _rounded(float(Fraction(square) / PSI**2) ** 0.5) * PSI


def next_row(lengths: Iterable[Number], length: Number) -> Number | None:
    """The row of a table for a length: the same or the next longer one, never one between; None past the last."""
    return min((row for row in lengths if row >= length), default=None)


def required_size(row: Mapping[Number, Number], load: Number) -> Number | None:
    """The smallest size of a table row (size to capacity) that carries a load; None when none does."""
    return min((size for size, capacity in row.items() if capacity >= load), default=None)


def _flow(bore: Number, term: float, constant: Number, flow_power: Number, slope_power: Number) -> Number:
    base = float(Fraction(bore) / INCH) * float(constant) * max(term, 0.0) ** float(slope_power)
    return _rounded(base ** (1 / float(flow_power))) * CFH


def _term(flow: Number, per_bore: Number, inverse: Number, flow_power: Number, slope_power: Number) -> float:
    """What stands in the brackets of the equation: (Q^a / (k x D))^(1/b)."""
    base = float(Fraction(flow) / CFH) ** float(flow_power) * float(inverse) * float(Fraction(per_bore) * INCH)
    return float(base ** float(slope_power))


def _drop_step(flow: Number, length: Number, result: str) -> Step:
    return Step(
        f"{show(flow, 'flow', 'cfh')} through {show(length, 'length', 'ft')}",
        "the equation, solved for the pressure",
        result,
    )


def _rounded(value: float) -> Fraction:
    return Fraction(round(value * 1_000_000), 1_000_000)


def _plain(value: Number) -> str:
    return f"{float(value):.5g}"
