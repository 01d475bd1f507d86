"""What the drawing of the plan works on: the sheet as it grows, and walls as they come to lie on it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Final

from oktocover.measures.view import SiteView
from oktocover.quantities import Number
from oktocover.quantities.units import FOOT, INCH
from oktocover.reports._svg import Spot, Taken, n, safe
from oktocover.site.shapes import PlanWall

BAND: Final = 5.5 * INCH
"""How thick a wall is drawn outside its inside face: a stud; no thickness is taken from it."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Where plan places come to lie on the sheet: `unit` sheet units to the foot, `west`/`north` at `x`/`y`."""

    unit: float
    west: Number
    north: Number
    x: float
    y: float

    def at(self, point: tuple[Number, Number]) -> Spot:
        """The spot of the sheet for a point of the plan (east, north)."""
        east = float(point[0] - self.west) / FOOT * self.unit
        return self.x + east, self.y + float(self.north - point[1]) / FOOT * self.unit


@dataclass(slots=True)
class Sheet:
    """The drawing while it grows downward."""

    view: SiteView
    unit: float
    taken: Taken
    y: float = 0
    parts: list[str] = field(default_factory=list)
    used: dict[str, str] = field(default_factory=dict)
    """Drawings of the key, by their words."""
    small: list[str] = field(default_factory=list)
    """Facts of rooms that are drawn too small to hold them."""
    crowded: dict[str, list[tuple[float, str]]] = field(default_factory=dict)
    """By wall: marks beside which there is no place for their names, with how far along they stand."""

    @property
    def band(self) -> float:
        """Thickness of a drawn wall."""
        return max(3.0, BAND / FOOT * self.unit)

    def text(self, kind: str, spot: Spot, words: str, anchor: str = "middle", turn: float = 0, size: float = 0) -> None:
        """One line of text; `spot` is the middle of its height."""
        turned = f' transform="rotate({n(turn)} {n(spot[0])} {n(spot[1])})"' if turn else ""
        turned += f' style="font-size:{n(size)}px"' if size else ""
        self.parts.append(
            f'<text class="{kind}" x="{n(spot[0])}" y="{n(spot[1])}" dy="0.35em" '
            f'text-anchor="{anchor}"{turned}>{safe(words)}</text>'
        )


@dataclass(frozen=True, slots=True)
class Side:
    """A wall on the sheet."""

    wall: PlanWall
    frame: Frame

    @property
    def left(self) -> Spot:
        return self.frame.at(self.wall.left)

    @property
    def right(self) -> Spot:
        return self.frame.at(self.wall.right)

    @property
    def along(self) -> Spot:
        long = math.dist(self.left, self.right) or 1.0
        return (self.right[0] - self.left[0]) / long, (self.right[1] - self.left[1]) / long

    @property
    def out(self) -> Spot:
        return self.along[1], -self.along[0]

    @property
    def turn(self) -> float:
        """Degrees from level, for a drawing whose x runs along the wall."""
        return math.degrees(math.atan2(self.along[1], self.along[0]))

    def spot(self, at: Number) -> Spot:
        return self.frame.at(self.wall.point_on(at))

    def distance(self, spot: Spot) -> float:
        """How far along the wall, in units of the sheet, a spot stands."""
        return (spot[0] - self.left[0]) * self.along[0] + (spot[1] - self.left[1]) * self.along[1]

    def off(self, spot: Spot, outward: float, along: float = 0) -> Spot:
        (u, v), (x, y) = self.along, self.out
        return spot[0] + x * outward + u * along, spot[1] + y * outward + v * along
