"""The shape of one room: its outline read from the site file, and its walls as seen from inside.

A wall's left end is on the left hand of a person who stands in the room and looks at that wall.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property

from oktocover import quantities
from oktocover.quantities import Number, QuantityError
from oktocover.site.building import Corner, Space
from oktocover.site.geometry import (
    Box,
    Point,
    box,
    cross,
    distance,
    dot,
    less,
    partway,
    ratio,
    segments_meet,
    signed_area,
    turn,
)

NamedPoint = tuple[Number, Number, str | None]

# Counter-clockwise from east, each with the way it points.
COMPASS: dict[str, tuple[int, int]] = {
    "east": (1, 0), "northeast": (1, 1), "north": (0, 1), "northwest": (-1, 1),
    "west": (-1, 0), "southwest": (-1, -1), "south": (0, -1), "southeast": (1, -1),
}

_POINT = "two distances with a comma between, such as 18 ft, 0 ft"
_TIMES = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)


class PlanError(ValueError):
    """The outline of a room cannot be drawn.

    `path_suffix` leads from the room's entry to the value at fault; `message` is a plain sentence about what was
    found, `expected` what would be accepted, `do` what to do.
    """

    def __init__(self, path_suffix: tuple[str | int, ...], message: str, expected: str = "", do: str = "") -> None:
        super().__init__(message)
        self.path_suffix = path_suffix
        self.message = message
        self.expected = expected
        self.do = do


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
        """How far from the left end the spot of this wall's line nearest to `point` is (under 0: left of it)."""
        return ratio(dot(less(point, self.end), self.direction), self.length)


@dataclass(frozen=True)
class RoomShape:
    """The outline of a room, counter-clockwise, with its walls in the same order."""

    name: str
    points: tuple[Point, ...]
    walls: tuple[PlanWall, ...]
    placed: bool
    """Whether its corners stand where they are on the common plan; else the shape counts from its own corner."""
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
    found = get_close_matches(word.casefold(), names, n=1)
    return found[0] if found else None


def said(length: Number) -> str:
    """A length as a person writes it."""
    return quantities.show(length, "length")


def said_point(point: Point) -> str:
    """A point as a person writes it."""
    return f"{said(point[0])}, {said(point[1])}"


def room_shape(name: str, space: Space) -> RoomShape | None:
    """The shape of a space, or None when neither outline nor size is recorded. Raises PlanError."""
    if space.outline is None and space.size is None:
        return None
    corners = outline_points(space)
    placed = space.outline is not None or space.corner is not None
    points = tuple((x, y) for x, y, _ in corners)
    walls = _walls(name, points, [wall for _, _, wall in corners])
    size = None
    if space.outline is None:
        size = points[1][0] - points[0][0], points[2][1] - points[1][1]
    shape = RoomShape(name, points, walls, placed, size, space.walls)
    _check_other_names(shape)
    return shape


def outline_points(space: Space) -> list[NamedPoint]:
    """The corners of a space counter-clockwise, each with the given name of the wall that starts there.

    From `outline`, or from `size` with `corner`. Raises PlanError when they make no room.
    """
    if space.outline is not None and space.size is not None:
        raise PlanError(("size",), "the room has both an outline and a size", "one of the two",
                        "keep the outline and take the size out, or the other way round")
    if space.outline is None:
        return _rectangle(space)
    corners = [_corner(index, entry) for index, entry in enumerate(space.outline)]
    if len(corners) > 3 and corners[0][:2] == corners[-1][:2]:
        corners.pop()
    _check_corners(corners)
    points = [(x, y) for x, y, _ in corners]
    if signed_area(points) > 0:
        return corners
    # Walked the other way round: each name stays with the same two corners.
    turned = corners[::-1]
    return [(x, y, turned[(index + 1) % len(turned)][2]) for index, (x, y, _) in enumerate(turned)]


def _rectangle(space: Space) -> list[NamedPoint]:
    text = space.size or ""
    parts = [part for part in _TIMES.split(text.strip()) if part]
    if len(parts) != 2:
        raise PlanError(("size",), f"'{text}' is not a size", "east-west by north-south, such as 18 ft x 17 ft",
                        "write two distances with an x between; for any other shape write an outline")
    width, depth = (_length(part, ("size",), "such as 18 ft x 17 ft") for part in parts)
    if width <= 0 or depth <= 0:
        raise PlanError(("size",), f"'{text}' has no area", "two distances above zero, such as 18 ft x 17 ft",
                        "write how long the room is east-west, then north-south")
    x, y = _point(space.corner, ("corner",)) if space.corner is not None else (0, 0)
    return [(x, y, None), (x + width, y, None), (x + width, y + depth, None), (x, y + depth, None)]


def _corner(index: int, entry: str | Corner) -> NamedPoint:
    if isinstance(entry, Corner):
        x, y = _point(entry.at, ("outline", index, "at"))
        return x, y, entry.wall
    x, y = _point(entry, ("outline", index))
    return x, y, None


def _point(text: str, path: tuple[str | int, ...]) -> Point:
    """Read `18 ft, 0 ft`. A comma may also stand inside a number: every comma is tried."""
    commas = [index for index, char in enumerate(text) if char == ","]
    readable = []
    for index in commas:
        halves = text[:index].strip(), text[index + 1:].strip()
        if all(_reads(half) for half in halves):
            readable.append(halves)
    if len(readable) == 1:
        east, north = readable[0]
        return _length(east, path, _POINT), _length(north, path, _POINT)
    if len(commas) == 1:
        east, north = (half.strip() for half in text.split(","))
        return _length(east, path, _POINT), _length(north, path, _POINT)
    do = "write the point as two distances: east, then north"
    if not commas:
        do = f"put each corner on a line of its own: - {text.strip() or '18 ft'}, 0 ft (a list in [ ] is cut at its commas)"
    raise PlanError(path, f"'{text}' is not a point", _POINT, do)


def _reads(text: str) -> bool:
    try:
        quantities.read(text, "length")
    except QuantityError:
        return text == "0"
    return True


def _length(text: str, path: tuple[str | int, ...], expected: str) -> Number:
    if text == "0":
        return 0
    try:
        read = quantities.read(text, "length")
    except QuantityError as error:
        raise PlanError(path, str(error), expected, "write each distance with its unit") from None
    if read.exact is None:
        raise PlanError(path, f"'{text}' is not one exact length, and a plan is drawn from exact ones", expected,
                        "tape it; leave the line out until somebody has")
    return read.exact


def _check_corners(corners: list[NamedPoint]) -> None:
    if len(corners) < 3:
        raise PlanError(("outline",), f"{len(corners)} corners make no room", "three corners or more, in order around",
                        "write every corner of the room, or a size when it is a rectangle")
    seen: dict[Point, int] = {}
    for index, (x, y, _) in enumerate(corners):
        if (x, y) in seen:
            raise PlanError(
                ("outline", index), f"corner {index + 1} is the same point as corner {seen[x, y] + 1}: {said_point((x, y))}",
                "every corner once (the first may be written again at the end)", "take one of them out, or tape it again")
        seen[x, y] = index
    points = list(seen)
    if all(turn(points[0], points[1], point) == 0 for point in points):
        raise PlanError(("outline",), "all corners lie on one line: the room has no area",
                        "corners in order around the room", "check the east and north distances of each corner")
    _check_crossings(corners, points)
    _check_given_names(corners)


def _check_crossings(corners: list[NamedPoint], points: list[Point]) -> None:
    count = len(points)
    for i in range(count):
        a, b = points[i], points[(i + 1) % count]
        c = points[(i + 2) % count]
        if turn(a, b, c) == 0 and dot(less(b, a), less(c, b)) < 0:
            raise PlanError(
                ("outline", (i + 2) % count), f"{_said_wall(corners, i + 1)} runs back along {_said_wall(corners, i)}",
                "corners in order around the room", "check the three corners; a wall cannot turn back on itself")
        for j in range(i + 2, count if i else count - 1):
            if segments_meet(a, b, points[j], points[(j + 1) % count]):
                raise PlanError(
                    ("outline", j), f"{_said_wall(corners, i)} crosses {_said_wall(corners, j)}",
                    "corners in order around the room, so that no two walls cross or touch",
                    "check the order of the corners and the distances of these four")


def _said_wall(corners: list[NamedPoint], index: int) -> str:
    count = len(corners)
    first, second = index % count, (index + 1) % count
    name = corners[first][2]
    called = f"the wall '{name}'" if name else "the wall"
    ends = " to ".join(f"corner {at + 1} ({said_point(corners[at][:2])})" for at in (first, second))
    return f"{called} from {ends}"


def _check_given_names(corners: list[NamedPoint]) -> None:
    seen: dict[str, int] = {}
    for index, (_, _, name) in enumerate(corners):
        if name is None:
            continue
        if name in seen:
            raise PlanError(("outline", index, "wall"), f"two walls of the room are called '{name}'",
                            "a name of its own for each wall", "give one of them another name")
        seen[name] = index


def _walls(room: str, points: tuple[Point, ...], names: list[str | None]) -> tuple[PlanWall, ...]:
    edges = list(zip(points, points[1:] + points[:1], strict=True))
    automatic = _automatic_names(edges)
    walls = []
    for (start, end), given, (facing, name) in zip(edges, names, automatic, strict=True):
        walls.append(PlanWall(room, given or name, name, facing, start, end, distance(start, end)))
    taken = {wall.automatic: wall for wall in walls}
    for wall in walls:
        other = taken.get(wall.name)
        if other is not None and other is not wall:
            raise PlanError(("outline",), f"the name '{wall.name}' is given to a wall that faces {wall.facing}, and "
                            f"another wall has it by the way it faces", "a name that says no compass direction, or the true one",
                            "give the wall another name")
    return tuple(walls)


def _automatic_names(edges: list[tuple[Point, Point]]) -> list[tuple[str, str]]:
    """Facing and name of each edge: walls that face one way are numbered left to right as seen from inside."""
    facings = [_facing(start, end) for start, end in edges]
    names = list(facings)
    for facing in set(facings):
        same = [index for index, one in enumerate(facings) if one == facing]
        if len(same) > 1:
            # The right hand of a person who looks `out` points along (out y, -out x); equal ones: the nearer first.
            out = COMPASS[facing]
            hand = (out[1], -out[0])
            same.sort(key=lambda index: (_twice(edges[index], hand), _twice(edges[index], out)))
            for place, index in enumerate(same, 1):
                names[index] = f"{facing}-{place}"
    return list(zip(facings, names, strict=True))


def _twice(edge: tuple[Point, Point], way: Point) -> Number:
    return dot(edge[0], way) + dot(edge[1], way)


def _facing(start: Point, end: Point) -> str:
    """The nearest of eight ways for the outside of an edge that has its room on the left."""
    x, y = end[1] - start[1], start[0] - end[0]
    across, up = abs(x), abs(y)
    # Within 22.5 degrees of an axis exactly when the sum of the sides is under the square root of 2 times the longer.
    if (across + up) ** 2 < 2 * max(across, up) ** 2:
        if across > up:
            return "east" if x > 0 else "west"
        return "north" if y > 0 else "south"
    return ("north" if y > 0 else "south") + ("east" if x > 0 else "west")


def _check_other_names(shape: RoomShape) -> None:
    own = {name for wall in shape.walls for name in (wall.name, wall.automatic)}
    for other, target in (shape.other_names or {}).items():
        if target not in own:
            near = nearest_name(target, sorted(own))
            raise PlanError(("walls", other), f"{shape.name} has no wall '{target}'", "one of " + ", ".join(sorted(own)),
                            f"write {near}" if near else "name a wall of this room")
        if other in own and shape.wall(other) is not shape.wall(target):
            raise PlanError(("walls", other), f"'{other}' is already the name of another wall of {shape.name}",
                            "a name no other wall has", "choose another name")
