"""Sizes that stand on a ladder: conductors and pipe. They compare and have a next size, and never add.

Conductor sizes are those of ASTM B258 (AWG) and the usual kcmil sizes above it; nominal pipe sizes are those
of ASME B36.10M, with the copper and plastic tube size 5/8.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from fractions import Fraction

from .dimensions import Dimension, Number, number

_AWG: tuple[int | str, ...] = (24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, "1/0", "2/0", "3/0", "4/0")
_KCMIL = (250, 300, 350, 400, 500, 600, 700, 750, 800, 900, 1000, 1250, 1500, 1750, 2000)
_QUARTERS = (4, 5, 6, 8, 10, 12, 16, 20)  # 1 in to 5 in

WIRE: tuple[str, ...] = tuple(f"{size} AWG" for size in _AWG) + tuple(f"{size} kcmil" for size in _KCMIL)
"""Conductor sizes, smallest first; the value of a wire size is its place in this tuple."""

WIRE_PLACE: dict[str, int] = {size: place for place, size in enumerate(WIRE)}

PIPE: tuple[Number, ...] = (
    *(Fraction(eighths, 8) for eighths in (1, 2, 3, 4, 6)),
    *(number(Fraction(quarters, 4)) for quarters in _QUARTERS),
    *(6, 8, 10, 12, 14, 16, 18, 20, 24),
)
"""Nominal pipe sizes in inches that a next size is taken from, smallest first."""

PIPE_SIZES: frozenset[Number] = frozenset(PIPE) | {Fraction(5, 8), Fraction(7, 2)}
"""Nominal sizes that are accepted: the ladder and two that only some materials are made in."""


def next_size(value: Number, dim: Dimension, up: bool) -> Number | None:
    """Return the next larger (``up``) or smaller size of a wire or pipe, or None at the end of the ladder.

    Raises ValueError for a dimension that has no ladder.
    """
    if dim.name == "wire size":
        place = int(value) + (1 if up else -1)
        return place if 0 <= place < len(WIRE) else None
    if dim.name != "pipe size":
        raise ValueError(f"a {dim.name} has no ladder of sizes")
    place = bisect_right(PIPE, value) if up else bisect_left(PIPE, value) - 1
    return PIPE[place] if 0 <= place < len(PIPE) else None
