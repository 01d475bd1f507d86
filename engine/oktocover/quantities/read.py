"""Trade notation to exact quantities: ``12' 6-1/2"``, ``7 in w.c.``, ``at least 1-1/4 in``, ``12 AWG``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ._bounds import split_bounds
from ._exact import Exact, exact_value
from ._plain import plain
from .dimensions import NAMES, Dimension, Number, dimension, number
from .errors import QuantityError

_LONGEST = 120


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value, or a range of values, in the canonical unit of ``dimension``.

    ``low`` and ``high`` are None where the range has no end on that side; an open end does not belong to the
    range. ``unit`` is the unit it was written in, fit for ``show(..., like=unit)``; ``text`` is as written.
    """

    low: Number | None
    high: Number | None
    dimension: Dimension
    unit: str = ""
    text: str = ""
    low_open: bool = False
    high_open: bool = False

    @property
    def exact(self) -> Number | None:
        """The one value this is, or None when it is a range."""
        return self.low if self.low is not None and self.low == self.high else None

    @classmethod
    def of(cls, value: Number, dimension: Dimension, unit: str = "", text: str = "") -> Quantity:
        """Return the quantity that is exactly ``value`` (canonical unit)."""
        exact = number(value)
        return cls(exact, exact, dimension, unit, text)


def read(text: str, dim: Dimension | str) -> Quantity:
    """Return what ``text`` says, as a quantity of ``dim``.

    Raises QuantityError when it is not written as one, with what was expected and, where there is one, the
    mended text.
    """
    if type(text) is not str:
        raise _not_text(text, dim if isinstance(dim, Dimension) else dimension(dim))
    return _read(text, dim if isinstance(dim, Dimension) else dimension(dim))


def read_any(text: str) -> Quantity:
    """Return what ``text`` says, the dimension found from its unit.

    A bare number is a plain number, ``oz`` is gas pressure, ``W`` electrical power, ``°F`` a temperature.
    Raises QuantityError.
    """
    if type(text) is not str:
        raise _not_text(text, None)
    return _read(text, None)


def dimension_of_unit(unit: str) -> Dimension:
    """Return the dimension that a unit standing alone belongs to, as ``psf`` or ``ft3 per 1,000 Btu/h``.

    Raises QuantityError when there is no such unit.
    """
    if unit.strip().lower() in ("kcmil", "mcm", "awg"):
        return NAMES["wire size"]
    return read_any(f"1 {unit}").dimension


def readable(text: str, dim: Dimension | None = None) -> Quantity | None:
    """Return what ``text`` says, as ``read`` does, or None where it says nothing: for texts that may be words."""
    return _readable(text, dim) if type(text) is str and len(text) <= _LONGEST else None


def _read(text: str, dim: Dimension | None) -> Quantity:
    found = _readable(text, dim) if len(text) <= _LONGEST else None
    if found is None:
        raise _refusal(text, dim)
    return found


@lru_cache(maxsize=16384)
def _readable(text: str, dim: Dimension | None) -> Quantity | None:
    line = plain(text)
    found = exact_value(line.text, dim)
    if found is not None:
        return Quantity(found.value, found.value, dim or found.dimension, found.unit, text)
    bounds = split_bounds(line.text)
    if bounds is None:
        return None
    high = exact_value(bounds.high, dim) if bounds.high is not None else None
    dim = dim or (high.dimension if high is not None else None)
    low = _low_end(bounds.low, dim, high) if bounds.low is not None else None
    if (high is None and bounds.high is not None) or (low is None and bounds.low is not None):
        return None
    if low is not None and high is not None and _empty(low, high, bounds.low_open or bounds.high_open):
        return None
    known = low or high
    assert known is not None
    return Quantity(
        None if low is None else low.value,
        None if high is None else high.value,
        dim or known.dimension,
        known.unit,
        text,
        bounds.low_open,
        bounds.high_open,
    )


def _refusal(text: str, dim: Dimension | None) -> QuantityError:
    """Return why ``text`` cannot be read, about the part of it that is wrong."""
    from . import _diagnose as say  # imported only when something is wrong

    if len(text) > _LONGEST:
        return say.too_long(text, dim)
    line = plain(text)
    bounds = split_bounds(line.text)
    if bounds is None:
        return say.diagnose(line, line.text, 0, dim)
    high = exact_value(bounds.high, dim) if bounds.high is not None else None
    if bounds.high is not None and high is None:
        return say.diagnose(line, bounds.high, bounds.high_at, dim)
    dim = dim or (high.dimension if high is not None else None)
    low = _low_end(bounds.low, dim, high) if bounds.low is not None else None
    if bounds.low is not None and low is None:
        return say.diagnose(line, bounds.low, bounds.low_at, dim)
    known = low or high
    assert known is not None
    return say.out_of_order(line, dim or known.dimension)


def _not_text(value: object, dim: Dimension | None) -> QuantityError:
    from . import _diagnose as say

    return say.not_text(value, dim)


def _empty(low: Exact, high: Exact, is_open: bool) -> bool:
    return low.value > high.value or (low.value == high.value and is_open)


def _low_end(text: str, dim: Dimension | None, high: Exact | None) -> Exact | None:
    """Return the low end; in ``1 to 2 in`` it has no unit of its own and takes that of the high end."""
    if high is not None and high.unit and text[-1:].isdigit():
        shared = exact_value(f"{text} {high.unit}", dim)
        if shared is not None:
            return shared
    return exact_value(text, dim)
