"""Exact geometry of the plane, in whole or fractional nanometres: x east, y north, z up.

Kept apart from the plan because nothing here knows rooms. Numbers are int or Fraction; only a square root
that has no exact value is rounded, to the nearest nanometre.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from oktocover.quantities import Number, magnitude, number

Point = tuple[Number, Number]


@dataclass(frozen=True, slots=True)
class Point3:
    """A point in space.

    Heights compare when they have one `zero` ('grade', or one floor), places when they have one `frame`
    ('plan', or one room that stands nowhere on the plan).
    """

    x: Number
    y: Number
    z: Number
    zero: str = "grade"
    frame: str = "plan"

    @property
    def above_grade(self) -> bool:
        """Whether `z` counts from the ground outside (the level's floor is recorded)."""
        return self.zero == "grade"


@dataclass(frozen=True, slots=True)
class Rectangle3:
    """An upright rectangle: the stretch of wall from `left` to `right`, between two heights."""

    left: Point
    right: Point
    low: Number
    high: Number
    zero: str = "grade"
    frame: str = "plan"


def comparable(one: Point3 | Rectangle3, other: Point3 | Rectangle3) -> bool:
    """Whether a distance between the two can be told."""
    return one.zero == other.zero and one.frame == other.frame


def ratio(over: Number, under: Number) -> Number:
    """`over / under`, exact, as an int when it is whole."""
    if isinstance(over, int) and isinstance(under, int) and over % under == 0:
        return over // under
    return number(Fraction(over) / Fraction(under))


def square_root(value: Number) -> Number:
    """The square root of `value`: exact when it is rational, else the nearest whole number.

    Raises ValueError under zero.
    """
    if value < 0:
        raise ValueError("a negative number has no square root")
    over, under = value.numerator, value.denominator
    root_over, root_under = isqrt(over), isqrt(under)
    if root_over * root_over == over and root_under * root_under == under:
        return ratio(root_over, root_under)
    return (isqrt(4 * over // under) + 1) // 2


def cross(a: Point, b: Point) -> Number:
    """The cross product: above zero when `b` turns left from `a`."""
    return a[0] * b[1] - a[1] * b[0]


def dot(a: Point, b: Point) -> Number:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def less(a: Point, b: Point) -> Point:
    """The vector from `b` to `a`."""
    return a[0] - b[0], a[1] - b[1]


def turn(a: Point, b: Point, c: Point) -> Number:
    """Above zero when the way from `a` over `b` to `c` turns left, zero when the three lie on a line."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def partway(a: Point, b: Point, over: Number, under: Number) -> Point:
    """The point `over / under` of the way from `a` to `b`."""
    return a[0] + ratio((b[0] - a[0]) * over, under), a[1] + ratio((b[1] - a[1]) * over, under)


def middle(a: Point, b: Point) -> Point:
    """The point halfway between two points."""
    return partway(a, b, 1, 2)


def squared(a: Point, b: Point) -> Number:
    """The square of the distance between two points."""
    d = less(b, a)
    return dot(d, d)


def distance(a: Point, b: Point) -> Number:
    """The distance between two points."""
    if a[0] == b[0]:
        return magnitude(b[1] - a[1])
    if a[1] == b[1]:
        return magnitude(b[0] - a[0])
    return square_root(squared(a, b))


def signed_area(points: Sequence[Point]) -> Number:
    """The area of a polygon (Gauss's shoelace formula): above zero when its corners run counter-clockwise."""
    twice: Number = 0
    before = points[-1]
    for after in points:
        twice += cross(before, after)
        before = after
    return ratio(twice, 2)


def polygon_area(points: Sequence[Point]) -> Number:
    """The area of a simple polygon, in square nanometres, whichever way round its corners are given."""
    return magnitude(signed_area(points))


def point_in_polygon(point: Point, points: Sequence[Point]) -> bool | None:
    """True inside, False outside, None on the edge (ray casting with exact turns)."""
    inside = False
    px, py = point
    ax, ay = points[-1]
    for bx, by in points:
        side = (bx - ax) * (py - ay) - (by - ay) * (px - ax)
        if side == 0 and min(ax, bx) <= px <= max(ax, bx) and min(ay, by) <= py <= max(ay, by):
            return None
        if (ay > py) != (by > py) and (side > 0) == (by > ay):
            inside = not inside
        ax, ay = bx, by
    return inside


def distance_point_segment_2d_squared(point: Point, a: Point, b: Point) -> Number:
    """The square of the shortest distance from a point to the segment between `a` and `b`."""
    along, away = less(b, a), less(point, a)
    length, reach = dot(along, along), dot(along, away)
    if length == 0 or reach <= 0:
        return dot(away, away)
    if reach >= length:
        return squared(point, b)
    return ratio(cross(along, away) ** 2, length)


def distance_point_segment_2d(point: Point, a: Point, b: Point) -> Number:
    """The shortest distance from a point to the segment between `a` and `b`."""
    return square_root(distance_point_segment_2d_squared(point, a, b))


def segments_meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two segments have a point in common, their ends included."""
    one, two = turn(a, b, c), turn(a, b, d)
    three, four = turn(c, d, a), turn(c, d, b)
    if (one > 0 > two or one < 0 < two) and (three > 0 > four or three < 0 < four):
        return True
    return any(
        side == 0 and _boxed(point, start, end)
        for side, point, start, end in ((one, c, a, b), (two, d, a, b), (three, a, c, d), (four, b, c, d))
    )


def _boxed(point: Point, a: Point, b: Point) -> bool:
    return min(a[0], b[0]) <= point[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= point[1] <= max(a[1], b[1])


def distance_between_points(a: Point3, b: Point3) -> Number:
    """The straight distance between two points in space. Raises ValueError when they do not compare."""
    _compare(a, b)
    return square_root((a.x - b.x) ** 2 + (a.y - b.y) ** 2 + (a.z - b.z) ** 2)


def distance_point_to_rectangle(point: Point3, rectangle: Rectangle3) -> Number:
    """The straight distance from a point to the nearest spot of an upright rectangle, 0 on it.

    Raises ValueError when the two do not compare.
    """
    _compare(point, rectangle)
    level = distance_point_segment_2d_squared((point.x, point.y), rectangle.left, rectangle.right)
    up = max(rectangle.low - point.z, point.z - rectangle.high, 0)
    return square_root(level + up * up)


def _compare(one: Point3 | Rectangle3, other: Point3 | Rectangle3) -> None:
    if not comparable(one, other):
        places = (f"a height above {place.zero}, drawn on {place.frame}" for place in (one, other))
        raise ValueError("no distance can be told between " + " and ".join(places))


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether the insides of two simple polygons have a point in common; touching is not overlapping."""
    if not boxes_meet(box(one), box(other)):
        return False
    if _runs_inside(one, other) or _runs_inside(other, one):
        return True
    # No edge runs through the inside of the other: they are apart, or they are the same polygon.
    return point_in_polygon(inner_point(one), other) is True


Box = tuple[Number, Number, Number, Number]


def box(points: Sequence[Point]) -> Box:
    """The upright box around points: west, south, east, north."""
    xs, ys = [point[0] for point in points], [point[1] for point in points]
    return min(xs), min(ys), max(xs), max(ys)


def boxes_meet(one: Box, other: Box, within: Number = 0) -> bool:
    """Whether two boxes come nearer than `within`; with 0: whether their insides overlap."""
    return (
        one[0] < other[2] + within
        and other[0] < one[2] + within
        and one[1] < other[3] + within
        and other[1] < one[3] + within
    )


def _runs_inside(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether any piece of the edge of `one` lies inside `other`."""
    start = one[-1]
    for end in one:
        cuts = _cuts(start, end, other)
        if any(point_in_polygon(middle(a, b), other) is True for a, b in zip(cuts, cuts[1:], strict=False)):
            return True
        start = end
    return False


def _cuts(start: Point, end: Point, other: Sequence[Point]) -> list[Point]:
    """The ends of a segment and every point between them where it meets the edge of a polygon, in order."""
    along = less(end, start)
    shares: set[Number] = {0, 1}
    a = other[-1]
    for b in other:
        slope = less(b, a)
        under = cross(along, slope)
        if under:
            apart = less(a, start)
            share, where = ratio(cross(apart, slope), under), ratio(cross(apart, along), under)
            if 0 < share < 1 and 0 <= where <= 1:
                shares.add(share)
        elif cross(along, less(a, start)) == 0:
            length = dot(along, along)
            shares |= {s for s in (ratio(dot(less(p, start), along), length) for p in (a, b)) if 0 < s < 1}
        a = b
    return [(start[0] + along[0] * share, start[1] + along[1] * share) for share in sorted(shares)]


def inner_point(points: Sequence[Point]) -> Point:
    """A point inside a simple polygon: halfway through it on a line between its two lowest corner heights."""
    heights = sorted({point[1] for point in points})
    y = ratio(heights[0] + heights[1], 2)
    crossings: list[Number] = []
    a = points[-1]
    for b in points:
        if (a[1] > y) != (b[1] > y):
            crossings.append(a[0] + ratio((y - a[1]) * (b[0] - a[0]), b[1] - a[1]))
        a = b
    crossings.sort()
    return ratio(crossings[0] + crossings[1], 2), y
