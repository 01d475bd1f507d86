"""One trade step of each dimension, the least difference the trade works to, and what its tools can read."""

from __future__ import annotations

from fractions import Fraction

from .dimensions import Dimension, Number, dimension, magnitude, number
from .units import BY_DIMENSION, INCH, unit_of

_STEPS: dict[str, tuple[Number, str]] = {
    "length": (Fraction(1, 16), "in"),
    "time": (1, "s"),
    "pressure": (Fraction(1, 10), "psi"),
    "absolute pressure": (Fraction(1, 10), "psia"),
    "heat": (1, "Btu"),
    "heat rate": (1, "Btu/h"),
    "heating value": (1, "Btu/ft3"),
    "area": (1, "in2"),
    "volume": (Fraction(1, 10), "in3"),
    "flow": (1, "cfh"),
    "speed": (1, "fpm"),
    "voltage": (1, "V"),
    "current": (1, "A"),
    "power": (1, "W"),
    "resistance": (Fraction(1, 10), "ohm"),
    "temperature difference": (1, "°F"),
    "temperature": (1, "°F"),
    "mass": (1, "oz"),
    "force": (1, "lbf"),
    "torque": (1, "lb-in"),
    "surface load": (1, "psf"),
    "frequency": (1, "Hz"),
    "angle": (1, "deg"),
    "money": (1, "USD"),
    "calendar time": (1, "months"),
    "air changes": (Fraction(1, 100), "ACH"),
    "air changes at 50 Pa": (Fraction(1, 100), "ACH50"),
}
_PLAIN: dict[str, Number] = {"number": 1, "share": Fraction(1, 100), "ehd": 1, "year": 1}

# Steps that follow the unit something is written in: water columns are read to a tenth of an inch, rooms to a
# cubic foot.
_LIKE: dict[tuple[str, str], Number] = {
    ("pressure", "in w.c."): Fraction(1, 10),
    ("pressure", "oz"): Fraction(1, 10),
    ("pressure", "ft w.c."): Fraction(1, 10),
    ("pressure", "in Hg"): Fraction(1, 10),
    ("pressure", "mbar"): Fraction(1, 10),
    ("pressure", "Pa"): 1,
    ("volume", "ft3"): 1,
    ("flow", "cfm"): 1,
    ("time", "d"): 1,
    ("flow", "gpm"): Fraction(1, 10),
}

_TOOL: dict[str, Number] = {
    "length": Fraction(INCH, 16),
    "time": 1,
    "temperature": Fraction(5, 9),
    "temperature difference": Fraction(5, 9),
}


def trade_step(dim: Dimension | str, like: str | None = None) -> Number | None:
    """Return one trade step of ``dim`` in its canonical unit, or None where there is none.

    Sizes on a ladder have ``next_size`` instead; for compound dimensions the caller decides. ``like`` is the
    unit the value is written in. The steps are common practice.
    """
    kind = dimension(dim) if isinstance(dim, str) else dim
    if kind.name in _PLAIN:
        return _PLAIN[kind.name]
    usual = _STEPS.get(kind.name)
    if usual is None:
        return None
    table = BY_DIMENSION[kind.name]
    unit = unit_of(like, table) if like else None
    if unit is not None and (kind.name, unit.symbol) in _LIKE:
        return number(_LIKE[kind.name, unit.symbol] * unit.factor)
    amount, symbol = usual
    return number(amount * table[symbol].factor)


def reading_step(dim: Dimension | str) -> Number | None:
    """Return what the usual tool reads at best (tape 1/16 in, watch 1 s, thermometer 1 °F), or None."""
    return _TOOL.get(dim if isinstance(dim, str) else dim.name)


def closer_than_tape(difference: Number, dim: Dimension | str) -> bool:
    """Whether a margin that is not zero is smaller than the usual tool can read."""
    step = reading_step(dim)
    return step is not None and 0 < magnitude(difference) < step
