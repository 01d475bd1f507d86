"""Numbers in figures: thousands commas, carpenters' fractions, and no more decimals than mean something."""

from __future__ import annotations

from fractions import Fraction

from .dimensions import Number, magnitude

_MOST_DECIMALS = 4
DIGITS = 4
"""Digits kept of a number that has no short exact form; the whole part is always kept."""


def decimal(value: Number, digits: int = DIGITS) -> str:
    """Return ``value`` in decimals: exact when four are enough, else rounded to ``digits`` digits."""
    scaled = value * 10**_MOST_DECIMALS
    if isinstance(scaled, int) or scaled.denominator == 1:
        return _placed(int(scaled), _MOST_DECIMALS)
    size = magnitude(value)
    places = digits
    if size >= 1:
        places = max(0, digits - len(str(int(size))))
    else:
        while size * 10 < 1:
            size *= 10
            places += 1
    return _placed(round(value * 10**places), places)


def _placed(scaled: int, places: int) -> str:
    sign = "-" if scaled < 0 else ""
    whole, rest = divmod(abs(scaled), 10**places)
    tail = f"{rest:0{places}}".rstrip("0") if rest else ""
    return f"{sign}{whole:,}.{tail}" if tail else f"{sign}{whole:,}"


def mixed(value: Number) -> str | None:
    """Return a value of inches as ``6-1/2`` when it is a whole number of 64ths, not negative, else None."""
    if isinstance(value, int):
        return f"{value:,}"
    if value < 0 or 64 % value.denominator:
        return None
    whole, above = divmod(value.numerator, value.denominator)
    part = f"{above}/{value.denominator}"
    return f"{whole:,}-{part}" if whole else part


def inches(value: Number, digits: int = DIGITS) -> str:
    """Return a value of inches that is not negative: a carpenter's fraction when it is one, else decimals."""
    exact = value.numerator if isinstance(value, Fraction) and value.denominator == 1 else value
    return mixed(exact) or decimal(exact, digits)
