"""The shape of one room: its outline read from the site file, and its walls as seen from inside.

A wall's left end is on the left hand of a person who stands in the room and looks at that wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from oktocover.quantities import Number, magnitude
from oktocover.site.building import Space
from oktocover.site.geometry import Box, Point, box, cross, distance, dot, less, partway, ratio, signed_area
from oktocover.site.outlines import PlanError, outline_points, said_point

# Counter-clockwise from east, each with the way it points.
COMPASS: dict[str, tuple[int, int]] = {
    "east": (1, 0),
    "northeast": (1, 1),
    "north": (0, 1),
    "northwest": (-1, 1),
    "west": (-1, 0),
    "southwest": (-1, -1),
    "south": (0, -1),
    "southeast": (1, -1),
}


@dataclass(frozen=True, slots=True)
class PlanWall:
    """One straight wall of a room. `start` to `end` walks with the room on the left."""

    room: str
    name: str
    automatic: str
    """The name it has by the way it faces, whatever else it is called."""
    facing: str
    """Which of eight ways its outside faces."""
    start: Point
    end: Point
    length: Number

    @property
    def ref(self) -> str:
        """The wall as the site file writes it: room.wall."""
        return f"{self.room}.{self.name}"

    @property
    def left(self) -> Point:
        """Its left end, seen from inside the room."""
        return self.end

    @property
    def right(self) -> Point:
        """Its right end, seen from inside the room."""
        return self.start

    @property
    def direction(self) -> Point:
        """The vector from its left end to its right end."""
        return less(self.start, self.end)

    def point_on(self, at: Number) -> Point:
        """The spot on the plan at a distance from the left end."""
        return partway(self.end, self.start, at, self.length)

    def along(self, point: Point) -> Number:
        """How far from the left end the spot of its line nearest to `point` is; under 0: left of it."""
        return ratio(dot(less(point, self.end), self.direction), self.length)


@dataclass(frozen=True)
class RoomShape:
    """The outline of a room, counter-clockwise, with its walls in the same order."""

    name: str
    points: tuple[Point, ...]
    walls: tuple[PlanWall, ...]
    placed: bool
    """Whether its corners are those of the common plan; else they count from its own south-west corner."""
    size: tuple[Number, Number] | None = None
    """East-west by north-south, when it was written as a size."""
    other_names: dict[str, str] | None = None

    @cached_property
    def area(self) -> Number:
        """The area as it was taped, in square nanometres."""
        return signed_area(self.points)

    @cached_property
    def perimeter(self) -> Number:
        """The sum of the walls as they were taped."""
        return sum((wall.length for wall in self.walls), start=0)

    @cached_property
    def box(self) -> Box:
        """The upright box around it."""
        return box(self.points)

    @cached_property
    def corner_sum(self) -> Number:
        """What each unit of inset takes back at the corners: the sum of tan(turn / 2) over all corners.

        For a polygon moved inward by t (offset with mitred corners) the perimeter is P - 2 t s and the area
        A - P t + t^2 s, with s this sum; it is 4 for every outline with square corners.
        """
        total: Number = 0
        before = self.walls[-1]
        for after in self.walls:
            a, b = less(before.end, before.start), less(after.end, after.start)
            total += ratio(cross(a, b), before.length * after.length + dot(a, b))
            before = after
        return total

    @cached_property
    def _by_name(self) -> dict[str, PlanWall]:
        names = {wall.automatic: wall for wall in self.walls}
        names.update({wall.name: wall for wall in self.walls})
        for other, automatic in (self.other_names or {}).items():
            if automatic in names:
                names[other] = names[automatic]
        return names

    def wall(self, name: str) -> PlanWall | None:
        """The wall of that name (its own, its automatic one, or another name the room gives it), or None."""
        return self._by_name.get(name)

    @property
    def wall_names(self) -> tuple[str, ...]:
        """Every name by which a wall of this room may be called."""
        return tuple(self._by_name)


def nearest_name(word: str, names: Sequence[str]) -> str | None:
    """The name most like `word`, or None when none is near."""
    from difflib import get_close_matches  # only what is misspelt needs it

    found = get_close_matches(word.casefold(), names, n=1)
    return found[0] if found else None


def room_shape(name: str, space: Space) -> RoomShape | None:
    """The shape of a space, or None when neither outline nor size is recorded. Raises PlanError."""
    if space.outline is None and space.size is None:
        return None
    corners = outline_points(space)
    points = tuple((x, y) for x, y, _ in corners)
    walls = _walls(name, points, [wall for _, _, wall in corners])
    size = None
    if space.outline is None:
        size = points[1][0] - points[0][0], points[2][1] - points[1][1]
    placed = space.outline is not None or space.corner is not None
    shape = RoomShape(name, points, walls, placed, size, space.walls)
    _check_other_names(shape)
    return shape


def _walls(room: str, points: tuple[Point, ...], names: list[str | None]) -> tuple[PlanWall, ...]:
    edges = list(zip(points, points[1:] + points[:1], strict=True))
    walls = tuple(
        PlanWall(room, given or name, name, facing, start, end, distance(start, end))
        for (start, end), given, (facing, name) in zip(edges, names, _automatic_names(edges), strict=True)
    )
    automatic = {wall.automatic: wall for wall in walls}
    for wall in walls:
        other = automatic.get(wall.name, wall)
        if other is not wall:
            ends = f"{said_point(wall.start)} to {said_point(wall.end)}"
            message = (
                f"the wall from {ends} faces {wall.facing}; "
                f"'{wall.name}' is the name of another wall, by the way that one faces"
            )
            raise PlanError(
                ("outline",),
                message,
                "a name that is no compass direction, or the true one",
                "give the wall another name",
            )
    return walls


def _automatic_names(edges: list[tuple[Point, Point]]) -> list[tuple[str, str]]:
    """Facing and name of each edge: walls that face one way are numbered left to right, seen from inside."""
    facings = [_facing(start, end) for start, end in edges]
    names = list(facings)
    for facing in set(facings):
        same = [index for index, one in enumerate(facings) if one == facing]
        if len(same) > 1:
            # Who looks along (x, y) has the right hand along (y, -x). One behind the other: the nearer first.
            ahead = COMPASS[facing]
            hand = (ahead[1], -ahead[0])
            same.sort(key=lambda index: (_twice(edges[index], hand), _twice(edges[index], ahead)))
            for place, index in enumerate(same, 1):
                names[index] = f"{facing}-{place}"
    return list(zip(facings, names, strict=True))


def _twice(edge: tuple[Point, Point], way: Point) -> Number:
    return dot(edge[0], way) + dot(edge[1], way)


def _facing(start: Point, end: Point) -> str:
    """The nearest of eight ways for the outside of an edge that has its room on the left."""
    x, y = end[1] - start[1], start[0] - end[0]
    across, up = magnitude(x), magnitude(y)
    # tan(22.5 degrees) is the square root of 2, less 1: squared, the test stays exact.
    if (across + up) ** 2 < 2 * max(across, up) ** 2:
        if across > up:
            return "east" if x > 0 else "west"
        return "north" if y > 0 else "south"
    return ("north" if y > 0 else "south") + ("east" if x > 0 else "west")


def _check_other_names(shape: RoomShape) -> None:
    walls = {wall.automatic: wall for wall in shape.walls} | {wall.name: wall for wall in shape.walls}
    own = sorted(walls)
    for other, target in (shape.other_names or {}).items():
        if target not in own:
            near = nearest_name(target, own)
            do = f"write {near}" if near else "name a wall of this room"
            message = f"{shape.name} has no wall '{target}'"
            raise PlanError(("walls", other), message, "one of " + ", ".join(own), do)
        if other in walls and walls[other] is not walls[target]:
            message = f"'{other}' is already the name of another wall of {shape.name}"
            raise PlanError(("walls", other), message, "a name no other wall has", "choose another name")
