"""Insulation in the trade's own notation: `R-20+5ci`, `R-13+10ci or R-30`: cavity, then continuous, part by part.

R-20 between the studs and R-5 over them is not R-25: a wall that needs `R-20+5ci` is held against each part. So two
values compare only where each part does, and one that names alternatives is met by any of them.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from ._numerals import NUMERAL, BadNumeral, numeral
from .dimensions import Number

_ONE = re.compile(rf"(?i)(?:R-?\s?)?({NUMERAL})\s?(ci)?(?:\s?\+\s?(?:R-?\s?)?({NUMERAL})\s?ci)?")
_OR = re.compile(r"(?i)\s+or\s+")
_SIGN = re.compile(r"(?i)R-?\s?[0-9]{2}|[0-9]\s?ci\b")
"""R-3 alone may be a group of occupancy: without its dimension a single digit is insulation only beside a ci."""


@dataclass(frozen=True, slots=True)
class Insulation:
    """One or more ways to insulate, each (cavity, continuous) in h ft2 °F/Btu. No bound is beyond the infinite."""

    ways: tuple[tuple[Number, Number], ...]

    def __le__(self, other: object) -> bool:
        """Whether whatever `other` is, it holds at least one of these ways, part by part."""
        if not isinstance(other, Insulation):
            return other == math.inf
        return all(any(cavity >= a and over >= b for a, b in self.ways) for cavity, over in other.ways)

    def __ge__(self, other: object) -> bool:
        return other <= self if isinstance(other, Insulation) else other == -math.inf

    def __lt__(self, other: object) -> bool:
        return self <= other and self != other if isinstance(other, Insulation) else other == math.inf

    def __gt__(self, other: object) -> bool:
        return other < self if isinstance(other, Insulation) else other == -math.inf

    def moved(self, way: int, part: int, steps: int) -> Insulation:
        """The same with one part of one way changed by whole R; nothing below R-0."""
        found = list(self.ways[way])
        found[part] = max(found[part] + steps, 0)
        return Insulation((*self.ways[:way], (found[0], found[1]), *self.ways[way + 1 :]))

    def __str__(self) -> str:
        return " or ".join(_written(*way) for way in self.ways)


def _written(cavity: Number, over: Number) -> str:
    if not over:
        return f"R-{_digits(cavity)}"
    return f"R-{_digits(cavity)}+{_digits(over)}ci"


def _digits(value: Number) -> str:
    return str(value) if type(value) is int else f"{float(Fraction(value)):g}"


def says_insulation(text: str) -> bool:
    """Whether a text without a known dimension is meant as insulation: it has an R or a ci."""
    return _SIGN.search(text) is not None and read_insulation(text) is not None


def read_insulation(text: str) -> Insulation | None:
    """What a text says as insulation (`R-20+5ci or R-30`, `15ci`, `21+0ci`), or None when it is none."""
    ways = []
    for part in _OR.split(text.strip()):
        match = _ONE.fullmatch(part)
        if match is None or (match.group(2) and match.group(3)):
            return None
        try:
            first, second = numeral(match.group(1)), numeral(match.group(3) or "0")
        except BadNumeral:
            return None
        ways.append((0, first) if match.group(2) else (first, second))
    return Insulation(tuple(ways))
