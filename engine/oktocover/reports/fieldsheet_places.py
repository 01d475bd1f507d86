"""Where each element of a site stands, and the order in which a person walks past it.

Room by room as the site file names them; in a room clockwise from its first door, wall by wall, left to right, low to
high; then what is on no wall. What has no place of its own stands where the thing is that it serves, feeds or hangs on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from oktocover.quantities import show
from oktocover.site.base import Element
from oktocover.site.plan import Plan
from oktocover.site.root import Site, element_lists

BUILDING = ""
"""The room of what stands in none."""
VIA = ("to", "box", "serves", "appliance", "vent", "pipe", "panel", "of", "after", "from", "outlets", "receptacle")
"""References that lead to a thing with a place, the surest first."""
HOPS = 4
DOORS = ("door", "sliding door", "garage door", "cased opening")


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the building."""

    room: str = BUILDING
    wall: str = ""
    at: float | None = None
    height: float | None = None
    text: str = ""


class Places:
    """The places of the elements of a site."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.plan = Plan(site)
        self.rooms = {name: number for number, name in enumerate(site.spaces)}
        self._elements: dict[str, Element] = {}
        for field in element_lists(type(site)):
            for name, element in getattr(site, field).items():
                self._elements.setdefault(name, element)
        self._walls: dict[str, dict[str, int]] = {}
        self._on: dict[str, str] = {}
        for field in ("receptacles", "switches", "lights"):
            for name, element in getattr(site, field).items():
                if element.box is not None:
                    self._on.setdefault(element.box, name)

    def anchor(self, name: str) -> str:
        """The thing a person stands at for an element: for a box, the outlet on it."""
        return self._on.get(name, name)

    def spot(self, name: str, otherwise: tuple[str, str, float] = ("", "", 0.0)) -> Spot:
        """The place of an element, a room or a wall (`room.wall`).

        What has none stands in the room that `otherwise` names, or in the building.
        """
        if name in self.rooms:
            return Spot(name)
        room, _, wall = name.partition(".")
        if wall and room in self.rooms:
            return Spot(room, wall)
        found = self._spot(name, HOPS)
        if found is None and otherwise[0] in self.rooms:
            side = otherwise[1]
            return Spot(otherwise[0], side, otherwise[2], None, f"{side} wall" if side else "")
        return found or Spot()

    def order(self, spot: Spot) -> tuple[Any, ...]:
        """The place of a spot among all."""
        sides = self._sides(spot.room)
        wall = sides.get(spot.wall, len(sides)) if spot.wall else len(sides) + 1
        last = float("inf")
        return (
            self.rooms.get(spot.room, len(self.rooms)),
            wall,
            last if spot.at is None else spot.at,
            last if spot.height is None else spot.height,
        )

    def _spot(self, name: str, hops: int) -> Spot | None:
        element = self._elements.get(name)
        if element is None:
            return None
        own = self._own(element)
        if own is not None or not hops:
            return own
        return next((found for other in self._via(name, element) if (found := self._spot(other, hops - 1))), None)

    def _own(self, element: Element) -> Spot | None:
        sides = getattr(element, "sides", None)
        wall = getattr(element, "wall", None) or (sides[0] if sides else None)
        space = getattr(element, "space", None)
        room, _, side = (self.plan.ref(wall) if isinstance(wall, str) else "").partition(".")
        at, height = (_figure(getattr(element, name, None)) for name in ("at", "height"))
        if room in self.rooms:
            parts = [f"{side} wall", f"{_said(element.at)} from its left end" if side and at is not None else ""]  # type: ignore[attr-defined]
            parts.append(f"{_said(element.height)} up" if height is not None else "")  # type: ignore[attr-defined]
            return Spot(room, side, at, height, ", ".join(part for part in parts if part))
        if isinstance(space, str) and space in self.rooms:
            mount = getattr(element, "mount", None) or getattr(element, "member", None)
            return Spot(space, "", None, height, mount if isinstance(mount, str) and mount != "wall" else "")
        return None

    def _via(self, name: str, element: Element) -> Iterator[str]:
        if name in self._on:
            yield self._on[name]
        for field in VIA:
            for key in (field, field + "_"):
                found = getattr(element, key, None)
                yield from (one for one in (found if isinstance(found, list) else [found]) if isinstance(one, str))

    def _sides(self, room: str) -> dict[str, int]:
        if room not in self._walls:
            shape = self.plan.room(room)
            names = [wall.name for wall in reversed(shape.walls)] if shape is not None else []
            doors = [one.wall for one in self.site.openings.values() if one.what in DOORS and one.wall]
            first = next((name for door in doors for name in names if self.plan.ref(door) == f"{room}.{name}"), None)
            at = names.index(first) if first else 0
            self._walls[room] = {name: number for number, name in enumerate(names[at:] + names[:at])}
        return self._walls[room]


def _figure(value: Any) -> float | None:
    low = getattr(value, "low", None)
    return None if low is None else float(low)


def _said(value: Any) -> str:
    return show(value.exact, "length") if value.exact is not None else str(value.text)
