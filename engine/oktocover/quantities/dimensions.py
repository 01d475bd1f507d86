"""What kind of thing a quantity is, kept apart from how it is written.

Physics alone would let air changes be compared with air changes at 50 Pa, or gauge with absolute pressure.
Those have bases of their own here, because in the trade a comparison of the two is a mistake.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from .errors import QuantityError, clip

Number = int | Fraction
Powers = tuple[tuple[str, int], ...]


def number(x: Number) -> Number:
    """Return ``x`` as an int when it is whole, else as a Fraction. Floats are refused: they are not exact."""
    if type(x) is int:
        return x
    if isinstance(x, Fraction):
        return x.numerator if x.denominator == 1 else x
    raise TypeError(f"an exact number was expected (int or Fraction), not {type(x).__name__}")


def magnitude(x: Number) -> Number:
    """Return ``x`` without its sign (``abs`` of the union has no type of its own)."""
    return -x if x < 0 else x


@dataclass(frozen=True, slots=True)
class Dimension:
    """A named product of powers of bases, such as heat rate = heat / time.

    Two dimensions may be compared when their powers agree (``compatible``); the name keeps apart what is
    written differently, as a share (40 %) and a plain number are.
    """

    name: str
    powers: Powers = ()

    def compatible(self, other: Dimension) -> bool:
        """Whether values of the two dimensions may be compared and added."""
        return self.powers == other.powers

    def __mul__(self, other: Dimension) -> Dimension:
        return _combine(self, other, 1)

    def __truediv__(self, other: Dimension) -> Dimension:
        return _combine(self, other, -1)

    def __str__(self) -> str:
        return self.name


def _add(left: Powers, right: Powers, sign: int) -> Powers:
    total = dict(left)
    for base, power in right:
        total[base] = total.get(base, 0) + sign * power
    return tuple(sorted((base, power) for base, power in total.items() if power))


@lru_cache(maxsize=1024)
def _combine(left: Dimension, right: Dimension, sign: int) -> Dimension:
    powers = _add(left.powers, right.powers, sign)
    if right.name == "number":
        return left
    if left.name == "number" and sign > 0:
        return right
    known = _BY_POWERS.get(powers)
    if known is not None:
        return known
    if left.name in NAMES and right.name in NAMES:
        return Dimension(f"{left.name} {'times' if sign > 0 else 'per'} {right.name}", powers)
    return Dimension(_spelled(powers), powers)


def _spelled(powers: Powers) -> str:
    """Return a name for powers that come from several steps: a known pair if there is one, else the bases."""
    for upper in NAMES.values():
        for lower in NAMES.values():
            if upper.powers and lower.powers and _add(upper.powers, lower.powers, -1) == powers:
                return f"{upper.name} per {lower.name}"
    above = " times ".join(base if power == 1 else f"{base}^{power}" for base, power in powers if power > 0)
    below = " per ".join(base if power == -1 else f"{base}^{-power}" for base, power in powers if power < 0)
    return " per ".join(part for part in (above or "number", below) if part)


_BASES = (
    "length",
    "time",
    "pressure",
    "absolute pressure",
    "heat",
    "voltage",
    "current",
    "temperature",
    "temperature difference",
    "mass",
    "force",
    "angle",
    "air changes",
    "air changes at 50 Pa",
    "wire size",
    "pipe size",
    "money",
    "calendar time",
    "year",
    "insulation",
)

# Watts are volts times amperes, so that a product of the two compares with a limit in VA. The heat rate of an
# appliance is another kind: a limit on gas input is never meant for a breaker.
_DERIVED: tuple[tuple[str, Powers], ...] = (
    ("number", ()),
    ("share", ()),
    ("ehd", ()),
    ("area", (("length", 2),)),
    ("volume", (("length", 3),)),
    ("speed", (("length", 1), ("time", -1))),
    ("flow", (("length", 3), ("time", -1))),
    ("heat rate", (("heat", 1), ("time", -1))),
    ("heating value", (("heat", 1), ("length", -3))),
    ("power", (("current", 1), ("voltage", 1))),
    ("resistance", (("current", -1), ("voltage", 1))),
    ("torque", (("force", 1), ("length", 1))),
    ("surface load", (("force", 1), ("length", -2))),
    ("frequency", (("time", -1),)),
)

NAMES: dict[str, Dimension] = {name: Dimension(name, ((name, 1),)) for name in _BASES} | {
    name: Dimension(name, powers) for name, powers in _DERIVED
}
_BY_POWERS: dict[Powers, Dimension] = {}
for _known in NAMES.values():
    _BY_POWERS.setdefault(_known.powers, _known)


@lru_cache(maxsize=256)
def dimension(name: str) -> Dimension:
    """Return the dimension called ``name``: a known one, ``<known> per <known>``, ``<known> times <known>``.

    Raises QuantityError, naming the nearest known one, when there is no such dimension.
    """
    found = NAMES.get(name)
    if found is not None:
        return found
    for word in (" per ", " times "):
        left, middle, right = name.partition(word)
        if middle and left in NAMES and right in NAMES:
            return NAMES[left] / NAMES[right] if word == " per " else NAMES[left] * NAMES[right]
    from difflib import get_close_matches

    near = get_close_matches(name[:40], NAMES, n=1)
    hint = f", nearest is '{near[0]}'" if near else ""
    raise QuantityError(
        f"'{clip(name)}' is no known dimension{hint}",
        found=name,
        forms=tuple(NAMES),
        suggestion=near[0] if near else None,
    )
