"""One exact value in trade notation. Returns None for what it cannot read; the sentence is made elsewhere."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import cast

from ._numerals import NUMERAL, BadNumeral, numeral
from .dimensions import NAMES, Dimension, Number, number
from .insulation import read_insulation, says_insulation
from .ladders import PIPE_SIZES, WIRE_PLACE
from .units import BY_DIMENSION, INCH, Unit, unit_of, units_of

_SIMPLE = re.compile(rf"([+-]?)\s?({NUMERAL})\s*(.*)")
_PART = re.compile(rf"({NUMERAL})\s*([a-z]+|['\"])\.?(?![a-z])[\s,-]*", re.I)
# Patterns of the rarer forms are compiled when one is first met.
_WIRE = r"(?i)(?:#|no\.?\s?)?\s?([0-9]{1,4}|[1-4]/0)\s?(awg|ga\.?|gauge|kcmil|mcm)?"
_EHD = rf"(?i)(?:ehd\s?)?({NUMERAL})(?:\s?ehd)?"
_RATIO = rf"({NUMERAL})\s?(?::|\s(?:in|per)\s)\s?({NUMERAL})"
_ALONE = NUMERAL
_SPACED_POWER = r"(?i)\sft[23]$"
_TIMES = r"(?i)\s*x\s*"
_AUGHT = r"[1-4]/0"
_NOMINAL = r"(?i)(.+?)\s*(?:in|inch)\s+nominal"
_YEAR = r"(?i)(?:year\s)?([12][0-9]{3})"

# Units that are written one after the other, largest first.
_CHAINS = (("yd", "ft", "in"), ("m", "cm", "mm"), ("d", "h", "min", "s"), ("lb", "oz"))
_CHAIN_OF = {symbol: chain for chain in _CHAINS for symbol in chain}
_CHAINED = ("length", "time", "mass")


@dataclass(frozen=True, slots=True)
class Exact:
    """A value in the canonical unit of its dimension and the unit it was written in."""

    value: Number
    dimension: Dimension
    unit: str


def exact_value(text: str, dim: Dimension | None) -> Exact | None:
    """Return the value of ``text`` (plain characters), or None when it is not written as one of ``dim``."""
    try:
        if dim is None:
            return _any_value(text)
        special = _SPECIAL.get(dim.name)
        if special is not None:
            return special(text)
        return _simple(text, dim) or _chain(text, dim) or _per(text, dim) or _product(text, dim)
    except BadNumeral:
        return None


def _any_value(text: str) -> Exact | None:
    if text[:1] in "Rr0123456789" and says_insulation(text):
        return _insulation(text)
    match = _SIMPLE.fullmatch(text)
    if match is not None:
        sign, digits, spelling = match.groups()
        if not spelling:
            return _plain_number(text)
        units = units_of(spelling)
        if units:
            return None if _feet_and_inches(text, units[0]) else _scaled(sign, digits, units[0])
    ratio = re.fullmatch(_RATIO, text)
    if ratio is not None and ":" in text:
        return _share(text)
    if re.fullmatch(_NOMINAL, text):
        return _nominal(text)
    if match is None or re.fullmatch(_WIRE, text):
        for reader in (_wire, _ehd, _money, _year):
            found = reader(text)
            if found is not None:
                return found
    for name in _CHAINED:
        found = _chain(text, NAMES[name])
        if found is not None:
            return found
    return _per(text, None)


def _feet_and_inches(text: str, unit: Unit) -> bool:
    """Whether an area or volume written tight, as 6ft2, might as well be feet and inches."""
    return unit.symbol in ("ft2", "ft3") and " " not in text and text[-3:-1].lower() == "ft"


def _scaled(sign: str, digits: str, unit: Unit) -> Exact:
    value = numeral(digits)
    if sign == "-":
        value = -value
    return Exact(number(value * unit.factor + unit.offset), unit.dimension, unit.symbol)


def _simple(text: str, dim: Dimension) -> Exact | None:
    match = _SIMPLE.fullmatch(text)
    table = BY_DIMENSION.get(dim.name)
    if match is None or table is None:
        return None
    sign, digits, spelling = match.groups()
    unit = unit_of(spelling, table)
    return None if unit is None else _scaled(sign, digits, unit)


def _chain(text: str, dim: Dimension, strict: bool = True) -> Exact | None:
    """Read ``12 ft 6-1/2 in``, ``6' 2``, ``9 min 59 s``: whole larger units, then less than one of them.

    Without ``strict`` the larger units need not be whole, nor the smaller ones less.
    """
    if dim.name not in _CHAINED:
        return None
    table = BY_DIMENSION[dim.name]
    place = 1 if text[:1] in ("-", "+") else 0
    parts = _parts(text, place, table)
    chain = _CHAIN_OF.get(parts[0][1]) if parts else None
    if chain is None or any(symbol not in chain for _, symbol in parts):
        return None
    for (upper, above), (lower, below) in pairwise(parts):
        if chain.index(below) <= chain.index(above):
            return None
        if strict and (type(upper) is not int or lower * table[below].factor >= table[above].factor):
            return None
    total = sum((value * table[symbol].factor for value, symbol in parts), start=number(0))
    return Exact(number(-total if text[0] == "-" else total), dim, parts[0][1])


def _parts(text: str, place: int, table: dict[str, Unit]) -> list[tuple[Number, str]]:
    """Return the numbers of ``text`` with their unit symbols, or nothing when something else is in it."""
    parts: list[tuple[Number, str]] = []
    while place < len(text):
        match = _PART.match(text, place)
        if match is not None:
            unit = unit_of(match.group(2), table)
            if unit is None:
                return []
            parts.append((numeral(match.group(1)), unit.symbol))
            place = match.end()
            continue
        # 12ft6 and 6' 2: what follows the feet is inches. But 6 ft2 is an area.
        rest = text[place:]
        if not parts or parts[-1][1] != "ft" or not re.fullmatch(_ALONE, rest) or re.search(_SPACED_POWER, text):
            return []
        parts.append((numeral(rest), "in"))
        break
    return [] if text[-1:] in ("", ",", "-") else parts


def _per(text: str, dim: Dimension | None) -> Exact | None:
    """Read a rate of any two units: ``50 ft3 per 1,000 Btu/h``, ``3 VA/ft2``, ``1/4 in per ft``."""
    upper, middle, lower = text.rpartition(" per ")
    if not middle:
        match = _SIMPLE.fullmatch(text)
        if match is None or "/" not in match.group(3):
            return None
        cut = match.start(3) + match.group(3).rindex("/")
        upper, lower = text[:cut], text[cut + 1 :]
    above, below = _SIMPLE.fullmatch(upper.strip()), _SIMPLE.fullmatch(lower.strip())
    if above is None:
        return None
    base = number(1) if below is None else numeral(below.group(2))
    base_text = "" if below is None else below.group(2) + " "
    if base == 0 or (below is not None and below.group(1)):
        return None
    pair = _pair(above.group(3), lower.strip() if below is None else below.group(3), dim)
    if pair is None:
        return None
    top, bottom, found = pair
    value = numeral(above.group(2)) * Fraction(top.factor) / (base * Fraction(bottom.factor))
    unit = f"{top.symbol} per {base_text}{bottom.symbol}"
    return Exact(number(-value if above.group(1) == "-" else value), found, unit)


def _pair(above: str, below: str, dim: Dimension | None) -> tuple[Unit, Unit, Dimension] | None:
    """Return the meanings of two unit spellings that make ``dim`` (else the likeliest), and their result."""
    for top in units_of(above):
        for bottom in units_of(below):
            # A rate is per degree of difference; a point of the scale has no rate.
            if "temperature" in (top.dimension.name, bottom.dimension.name):
                continue
            found = top.dimension / bottom.dimension
            if not found.powers:
                found = NAMES["share"]
            if dim is None or found.powers == dim.powers:
                return top, bottom, found
    return None


def _product(text: str, dim: Dimension) -> Exact | None:
    """Read an area or a volume written by its sides: ``18 ft x 17 ft``, ``12x14 in``."""
    sides = re.split(_TIMES, text) if dim.name in ("area", "volume") else []
    if len(sides) != (2 if dim.name == "area" else 3):
        return None
    last = exact_value(sides[-1], NAMES["length"])
    if last is None or last.unit not in ("ft", "in", "m", "cm", "mm"):
        return None
    total: Number = last.value
    for side in sides[:-1]:
        length = exact_value(f"{side} {last.unit}" if re.fullmatch(_ALONE, side) else side, NAMES["length"])
        if length is None:
            return None
        total = total * length.value
    return Exact(number(total), dim, f"{last.unit}{len(sides)}")


def loose_chain(text: str, dim: Dimension) -> Exact | None:
    """Return the sum of ``12' 14"`` or ``5-1/2 ft 2 in``, which nobody reads off a tape, to mend it."""
    try:
        return _chain(text, dim, strict=False)
    except BadNumeral:
        return None


def _plain_number(text: str) -> Exact | None:
    match = _SIMPLE.fullmatch(text)
    if match is None or match.group(3):
        return None
    value = numeral(match.group(2))
    return Exact(-value if match.group(1) == "-" else value, NAMES["number"], "")


def _share(text: str) -> Exact | None:
    found = _simple(text, NAMES["share"]) or _plain_number(text) or _per(text, NAMES["share"])
    if found is not None:
        return Exact(found.value, NAMES["share"], found.unit)
    ratio = re.fullmatch(_RATIO, text)
    if ratio is None or numeral(ratio.group(2)) == 0:
        return None
    value = Fraction(numeral(ratio.group(1))) / numeral(ratio.group(2))
    return Exact(number(value), NAMES["share"], ":")


def _ehd(text: str) -> Exact | None:
    match = re.fullmatch(_EHD, text)
    return None if match is None else Exact(numeral(match.group(1)), NAMES["ehd"], "EHD")


def _wire(text: str) -> Exact | None:
    match = re.fullmatch(_WIRE, text)
    if match is None:
        return None
    size, kind = match.groups()
    if kind is None and text[0].isdigit() and not re.fullmatch(_AUGHT, size):
        return None
    unit = "kcmil" if (kind or "").lower() in ("kcmil", "mcm") else "AWG"
    place = WIRE_PLACE.get(f"{size} {unit}")
    return None if place is None else Exact(place, NAMES["wire size"], unit)


def _nominal(text: str) -> Exact | None:
    match = re.fullmatch(_NOMINAL, text)
    return _pipe(match.group(1) if match else text)


def _pipe(text: str) -> Exact | None:
    match = _SIMPLE.fullmatch(text)
    if match is None or match.group(1):
        return None
    spelling = match.group(3)
    unit = unit_of(spelling, BY_DIMENSION["length"]) if spelling else None
    if spelling and (unit is None or unit.factor != INCH):
        return None
    value = numeral(match.group(2))
    return Exact(value, NAMES["pipe size"], "in") if value in PIPE_SIZES else None


def _money(text: str) -> Exact | None:
    named = text.removeprefix("$")
    return _simple(f"{named} USD" if named != text else text, NAMES["money"])


def _year(text: str) -> Exact | None:
    match = re.fullmatch(_YEAR, text)
    return None if match is None else Exact(int(match.group(1)), NAMES["year"], "year")


def _insulation(text: str) -> Exact | None:
    found = read_insulation(text)
    # parts of a wall are no one number, but they compare, and that is all that is asked of a value
    return None if found is None else Exact(cast("Number", found), NAMES["insulation"], "R")


_SPECIAL: dict[str, Callable[[str], Exact | None]] = {
    "insulation": _insulation,
    "money": _money,
    "year": _year,
    "number": _plain_number,
    "share": _share,
    "ehd": _ehd,
    "wire size": _wire,
    "pipe size": _nominal,
}
