"""The outline of a room, read from what the site file says: corners, or a size, as text.

Apart from the shape of the room because only this knows how a corner is written and what is wrong with it.
"""

from __future__ import annotations

import re

from oktocover import quantities
from oktocover.quantities import Number, QuantityError
from oktocover.site.building import Corner, Space
from oktocover.site.geometry import Point, dot, less, segments_meet, signed_area, turn

Path = tuple[str | int, ...]
NamedPoint = tuple[Number, Number, str | None]
"""East, north, and the given name of the wall that starts there."""

_POINT = "two distances with a comma between, such as 18 ft, 0 ft"
_TIMES = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
_AROUND = "corners in order around the room"


class PlanError(ValueError):
    """The outline of a room cannot be drawn.

    `path_suffix` leads from the room's entry to the value at fault; `message` is a plain sentence about what
    was found, `expected` what would be accepted, `do` what to do.
    """

    def __init__(self, path_suffix: Path, message: str, expected: str = "", do: str = "") -> None:
        super().__init__(message)
        self.path_suffix = path_suffix
        self.message = message
        self.expected = expected
        self.do = do


def said(length: Number) -> str:
    """A length as a person writes it."""
    return quantities.show(length, "length")


def said_point(point: Point) -> str:
    """A point as a person writes it."""
    return f"{said(point[0])}, {said(point[1])}"


def outline_points(space: Space) -> list[NamedPoint]:
    """The corners of a space counter-clockwise, each with the given name of the wall that starts there.

    From `outline`, or from `size` with `corner`. Raises PlanError when they make no room.
    """
    if space.outline is not None and space.size is not None:
        raise PlanError(
            ("size",),
            "the room has both an outline and a size",
            "one of the two",
            "keep the outline and take the size out, or the other way round",
        )
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
    like = "east-west by north-south, such as 18 ft x 17 ft"
    parts = [part for part in _TIMES.split(text.strip()) if part]
    if len(parts) != 2:
        do = "write two distances with an x between; for any other shape write an outline"
        raise PlanError(("size",), f"'{text}' is not a size", like, do)
    width, depth = (_length(part, ("size",), like) for part in parts)
    if width <= 0 or depth <= 0:
        do = "write how long the room is east-west, then north-south"
        raise PlanError(("size",), f"'{text}' has no area", f"two distances above zero, {like}", do)
    x, y = _point(space.corner, ("corner",)) if space.corner is not None else (0, 0)
    return [(x, y, None), (x + width, y, None), (x + width, y + depth, None), (x, y + depth, None)]


def _corner(index: int, entry: str | Corner) -> NamedPoint:
    if isinstance(entry, Corner):
        x, y = _point(entry.at, ("outline", index, "at"))
        return x, y, entry.wall
    x, y = _point(entry, ("outline", index))
    return x, y, None


def _point(text: str, path: Path) -> Point:
    """Read `18 ft, 0 ft`. A comma may also stand inside a number: every comma is tried."""
    commas = [place for place, char in enumerate(text) if char == ","]
    cuts = [(text[:place].strip(), text[place + 1 :].strip()) for place in commas]
    readable = [halves for halves in cuts if all(_reads(half) for half in halves)]
    if len(readable) == 1 or len(cuts) == 1:
        east, north = (readable or cuts)[0]
        return _length(east, path, _POINT), _length(north, path, _POINT)
    do = "write the point as two distances: east, then north"
    if not cuts:
        line = f"- {text.strip() or '18 ft'}, 0 ft"
        do = f"put each corner on a line of its own: {line} (a list in [ ] is cut at its commas)"
    raise PlanError(path, f"'{text}' is not a point", _POINT, do)


def _reads(text: str) -> bool:
    try:
        quantities.read(text, "length")
    except QuantityError:
        return text == "0"
    return True


def _length(text: str, path: Path, expected: str) -> Number:
    if text == "0":
        return 0
    try:
        read = quantities.read(text, "length")
    except QuantityError as error:
        raise PlanError(path, str(error), expected, "write each distance with its unit") from None
    if read.exact is None:
        message = f"'{text}' is not one exact length, and a plan is drawn from exact ones"
        raise PlanError(path, message, expected, "tape it; leave the line out until somebody has")
    return read.exact


def _check_corners(corners: list[NamedPoint]) -> None:
    if len(corners) < 3:
        message = f"an outline of {len(corners)} corner{'s' * (len(corners) != 1)} makes no room"
        do = "write every corner of the room, or a size when it is a rectangle"
        raise PlanError(("outline",), message, "three corners or more, in order around", do)
    seen: dict[Point, int] = {}
    for index, (x, y, _) in enumerate(corners):
        if (x, y) in seen:
            first = f"corner {seen[x, y] + 1}: {said_point((x, y))}"
            expected = "every corner once (the first may be written again at the end)"
            raise PlanError(
                ("outline", index),
                f"corner {index + 1} is the same point as {first}",
                expected,
                "take one of them out, or tape it again",
            )
        seen[x, y] = index
    points = list(seen)
    if all(turn(points[0], points[1], point) == 0 for point in points):
        raise PlanError(
            ("outline",),
            "all corners lie on one line: the room has no area",
            _AROUND,
            "check the east and north distances of each corner",
        )
    _check_crossings(corners, points)
    _check_given_names(corners)


def _check_crossings(corners: list[NamedPoint], points: list[Point]) -> None:
    count = len(points)
    edges = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i in range(count):
        a, b, c = points[i], points[(i + 1) % count], points[(i + 2) % count]
        if turn(a, b, c) == 0 and dot(less(b, a), less(c, b)) < 0:
            message = f"{_said_wall(corners, i + 1)} runs back along {_said_wall(corners, i)}"
            do = "check the three corners; a wall cannot turn back on itself"
            raise PlanError(("outline", (i + 2) % count), message, _AROUND, do)
    for i in range(count):
        for j in range(i + 2, count if i else count - 1):
            if segments_meet(*edges[i], *edges[j]):
                message = f"{_said_wall(corners, i)} crosses {_said_wall(corners, j)}"
                do = "check the order of the corners, and the distances of these"
                raise PlanError(("outline", j), message, f"{_AROUND}; no two walls cross or touch", do)


def _said_wall(corners: list[NamedPoint], index: int) -> str:
    first, second = index % len(corners), (index + 1) % len(corners)
    name = corners[first][2]
    ends = " to ".join(f"corner {at + 1} ({said_point(corners[at][:2])})" for at in (first, second))
    called = f"the wall '{name}'" if name else "the wall"
    return f"{called} from {ends}"


def _check_given_names(corners: list[NamedPoint]) -> None:
    seen: set[str] = set()
    for index, (_, _, name) in enumerate(corners):
        if name is not None and name in seen:
            raise PlanError(
                ("outline", index, "wall"),
                f"two walls of the room are called '{name}'",
                "a name of its own for each wall",
                "give one of them another name",
            )
        seen.add(name or "")
