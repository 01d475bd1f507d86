"""Exact numbers back to trade notation, read back as the same value where that has a short form."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from ._decimals import DIGITS, decimal, inches
from ._exact import exact_value
from .dimensions import Dimension, Number, dimension, magnitude, number
from .ladders import WIRE
from .units import BY_DIMENSION, FOOT, INCH, Unit, unit_of

_CLOCK = (("h", 3600), ("min", 60), ("s", 1))


def show(value: Number, dim: Dimension | str, like: str | None = None, digits: int = DIGITS) -> str:
    """Return ``value`` (canonical unit of ``dim``) in the trade's units.

    ``like`` is a unit, usually ``Quantity.unit`` of what it is compared with; one that does not belong to
    ``dim`` is ignored. A value without a short exact form is rounded to ``digits`` digits.
    """
    kind = dimension(dim) if isinstance(dim, str) else dim
    if kind.name == "insulation":
        return str(value)
    special = _SPECIAL.get(kind.name)
    if special is not None:
        return special(number(value), like, digits)
    table = BY_DIMENSION.get(kind.name)
    unit = unit_of(like, table) if like and table else None
    if unit is None:
        rate = _rate(value, kind, like, digits)
        if rate is not None:
            return rate
        unit = _usual(number(value), kind, table)
    if unit is None:
        return f"{decimal(value, digits)} ({kind.name})"
    return _plain(value, unit, digits)


def show_apart(left: Number, right: Number, dim: Dimension | str, like: str | None = None) -> tuple[str, str]:
    """Return both values shown, with as many digits as it takes to see that and how much they differ."""
    kind = dimension(dim) if isinstance(dim, str) else dim
    room = magnitude(left - right)
    for digits in range(DIGITS, 30):
        shown = show(left, kind, like, digits), show(right, kind, like, digits)
        if room == 0 or _strays(shown[0], left, kind) + _strays(shown[1], right, kind) < room:
            break
    return shown


def _strays(shown: str, value: Number, dim: Dimension) -> Number:
    """Return by how much a shown value differs from the true one."""
    found = exact_value(shown, dim)
    return 0 if found is None else magnitude(number(Fraction(found.value) - value))


def show_range(
    low: Number | None,
    high: Number | None,
    low_open: bool,
    high_open: bool,
    dim: Dimension | str,
    like: str | None = None,
) -> str:
    """Return a range in words that read back as the same range: ``at least 1-1/4 in``, ``from 1 in to 2 in``.

    A range without ends is 'not recorded'.
    """
    first = None if low is None else show(low, dim, like)
    last = None if high is None else show(high, dim, like)
    if first is None:
        if last is None:
            return "not recorded"
        return f"{'under' if high_open else 'at most'} {last}"
    if last is None:
        return f"{'over' if low_open else 'at least'} {first}"
    if low == high:
        return first
    return f"{'over' if low_open else 'from'} {first} to {'under ' if high_open else ''}{last}"


def _plain(value: Number, unit: Unit, digits: int) -> str:
    amount = number(Fraction(value - unit.offset) / unit.factor)
    gap = "" if unit.symbol == "°" else " "
    return f"{decimal(amount, digits)}{gap}{unit.symbol}"


def _usual(value: Number, dim: Dimension, table: dict[str, Unit] | None) -> Unit | None:
    """Return the unit the trade would use: small areas and volumes in inches, else the first in the table."""
    if not table:
        return None
    if dim.name == "area" and magnitude(value) < FOOT**2:
        return table["in2"]
    if dim.name == "volume" and magnitude(value) < FOOT**3:
        return table["in3"]
    return next(iter(table.values()))


def _rate(value: Number, dim: Dimension, like: str | None, digits: int) -> str | None:
    """Return a value in a compound unit such as ``ft3 per 1,000 Btu/h``, or None when there is none."""
    if like:
        one = exact_value(f"1 {like}", dim)
        if one is not None and one.value:
            return f"{decimal(number(Fraction(value) / one.value), digits)} {one.unit}"
    upper, _, lower = dim.name.partition(" per ")
    top, bottom = BY_DIMENSION.get(upper), BY_DIMENSION.get(lower)
    if not top or not bottom:
        return None
    above, below = next(iter(top.values())), next(iter(bottom.values()))
    amount = number(Fraction(value) * below.factor / above.factor)
    return f"{decimal(amount, digits)} {above.symbol} per {below.symbol}"


def _length(value: Number, like: str | None, digits: int) -> str:
    unit = unit_of(like, BY_DIMENSION["length"]) if like else None
    symbol = unit.symbol if unit else ("in" if magnitude(value) < 2 * FOOT else "ft")
    sign, size = ("-", -value) if value < 0 else ("", value)
    if symbol == "in":
        return f"{sign}{inches(number(Fraction(size, INCH)), digits)} in"
    if symbol != "ft":
        return _plain(value, unit or BY_DIMENSION["length"][symbol], digits)
    feet, rest = divmod(size, FOOT)
    part = inches(number(Fraction(rest, INCH)), digits)
    if part == "12":
        # Rounded up to a whole foot.
        feet, part = feet + 1, "0"
    if part == "0":
        return f"{sign}{feet:,} ft"
    return f"{sign}{feet:,} ft {part} in" if feet else f"{sign}{part} in"


def _time(value: Number, like: str | None, digits: int) -> str:
    sign, left = ("-", -value) if value < 0 else ("", value)
    unit = unit_of(like, BY_DIMENSION["time"]) if like else None
    if unit and unit.symbol == "d":
        return _plain(value, unit, digits)
    start = {"h": 0, "min": 1, "s": 2}[unit.symbol] if unit else 0
    parts: list[str] = []
    for symbol, size in _CLOCK[start:-1]:
        amount, left = divmod(left, size)
        if amount:
            parts.append(f"{amount:,} {symbol}")
    if left or not parts:
        parts.append(f"{decimal(number(left), digits)} s" if left else f"0 {_CLOCK[start][0] if unit else 'min'}")
    return sign + " ".join(parts)


def _share(value: Number, like: str | None, digits: int) -> str:
    if like == "":
        return decimal(value, digits)
    if like == ":" and value:
        ratio = Fraction(value)
        if ratio.numerator == 1:
            return f"1:{ratio.denominator:,}"
        return f"{ratio.numerator}:{ratio.denominator}" if ratio.denominator <= 999 else _percent(value, digits)
    if like and " per " in like:
        one = exact_value(f"1 {like}", dimension("share"))
        if one is not None and one.value:
            amount = number(Fraction(value) / one.value)
            return f"{inches(amount, digits) if value >= 0 else decimal(amount, digits)} {one.unit}"
    return _percent(value, digits)


def _percent(value: Number, digits: int) -> str:
    return f"{decimal(number(value * 100), digits)} %"


def _wire(value: Number, like: str | None, digits: int) -> str:
    return WIRE[int(value)]


_SPECIAL: dict[str, Callable[[Number, str | None, int], str]] = {
    "length": _length,
    "time": _time,
    "share": _share,
    "wire size": _wire,
    "pipe size": lambda value, like, digits: f"{inches(value, digits)} in",
    "number": lambda value, like, digits: decimal(value, digits),
    "year": lambda value, like, digits: f"year {value}",
    "ehd": lambda value, like, digits: f"EHD {decimal(value, digits)}",
}
