"""The plan's geometry against shapely (GEOS), an independent library, and against textbook figures.

GEOS works in binary floating point; coordinates are whole millimetres here, so that its answers are good to far
better than the tolerances asked for.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from oktocover.site.geometry import (
    Point3,
    Rectangle3,
    distance_between_points,
    distance_point_segment_2d,
    distance_point_to_rectangle,
    inner_point,
    overlap,
    point_in_polygon,
    polygon_area,
    segments_meet,
    square_root,
)
from oktocover.site.plan import Plan
from oktocover.site.root import Site

Corner = tuple[int, int]
coordinates = st.integers(min_value=0, max_value=40)
corners = st.tuples(coordinates, coordinates)
outlines = st.lists(corners, min_size=3, max_size=9, unique=True)


@st.composite
def simple_polygons(draw: st.DrawFn, most: int = 9) -> list[Corner]:
    """Corners sorted by angle around a centre: always a star-shaped, mostly a re-entrant polygon."""
    points = draw(st.lists(corners, min_size=3, max_size=most, unique=True))
    east, north = draw(st.tuples(st.integers(5, 35), st.integers(5, 35)))
    points.sort(key=lambda p: (math.atan2(p[1] - north, p[0] - east), (p[0] - east) ** 2 + (p[1] - north) ** 2))
    assume(Polygon(points).is_valid and Polygon(points).area > 0)
    return points


def drawn(points: list[Corner]) -> Plan:
    return Plan(Site.model_validate({"spaces": {"room": {"outline": [f"{x} mm, {y} mm" for x, y in points]}}}))


MM = 1_000_000


@given(outlines)
@example([(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)])  # a corner that touches a wall
@example([(0, 0), (10, 10), (10, 0), (0, 10)])  # a bow tie
@example([(0, 0), (10, 0), (5, 0), (5, 5)])  # a wall that runs back
@example([(0, 0), (5, 0), (10, 0), (10, 10), (0, 10)])  # a corner in the middle of a straight wall
@settings(max_examples=300, deadline=None)
def test_an_outline_is_refused_exactly_when_shapely_calls_it_invalid(points: list[Corner]) -> None:
    plan = drawn(points)
    assert (plan.room("room") is not None) == (Polygon(points).is_valid and Polygon(points).area > 0)


@given(simple_polygons())
@settings(max_examples=200, deadline=None)
def test_area_and_perimeter_are_those_of_shapely(points: list[Corner]) -> None:
    shape = drawn(points).room("room")
    assert shape is not None
    assert polygon_area(points) == Fraction(round(Polygon(points).area * 2), 2)
    assert shape.area == polygon_area(points) * MM * MM
    # A wall whose length is no ratio of whole numbers is rounded to the nearest nanometre.
    assert abs(float(shape.perimeter) / MM - Polygon(points).length) <= len(points) * 0.5 / MM + 1e-9


@given(simple_polygons())
@settings(max_examples=200, deadline=None)
def test_walls_go_around_counter_clockwise_with_the_outside_ahead(points: list[Corner]) -> None:
    """Half a millimetre ahead of the middle of a wall is out of the room, half a millimetre back is in it."""
    shape = drawn(points).room("room")
    assert shape is not None
    assert Polygon(shape.points).exterior.is_ccw
    polygon = Polygon(points)
    for wall in shape.walls:
        x, y = (float(c) / MM for c in wall.point_on(wall.length / Fraction(2)))
        dx, dy = (float(c) for c in wall.direction)
        length = math.hypot(dx, dy)
        ahead = (-dy / length, dx / length)  # a quarter turn left of the way from the left end to the right end
        near = 1e-6
        assert polygon.contains(Point(x - near * ahead[0], y - near * ahead[1]))
        assert not polygon.contains(Point(x + near * ahead[0], y + near * ahead[1]))


@given(simple_polygons())
@settings(max_examples=200, deadline=None)
def test_a_wall_faces_within_22_and_a_half_degrees_of_its_name(points: list[Corner]) -> None:
    shape = drawn(points).room("room")
    assert shape is not None
    bearings = ["north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest"]
    for wall in shape.walls:
        dx, dy = (float(c) for c in wall.direction)
        bearing = math.degrees(math.atan2(-dy, dx)) % 360
        off = abs(bearing - 45 * bearings.index(wall.facing))
        assert min(off, 360 - off) <= 22.5 + 1e-9
        assert wall.name == wall.facing or wall.name.startswith(wall.facing + "-")


@given(simple_polygons(), corners)
@settings(max_examples=300, deadline=None)
def test_a_point_is_inside_outside_or_on_the_edge_as_shapely_says(points: list[Corner], point: Corner) -> None:
    polygon, spot = Polygon(points), Point(point)
    wanted = None if polygon.boundary.distance(spot) == 0 else polygon.contains(spot)
    assert point_in_polygon(point, points) is wanted


@given(simple_polygons())
@settings(max_examples=200, deadline=None)
def test_an_inner_point_is_inside(points: list[Corner]) -> None:
    x, y = inner_point(points)
    assert Polygon(points).buffer(1e-9).contains(Point(float(x), float(y)))
    assert point_in_polygon((x, y), points) is True


@given(simple_polygons(6), simple_polygons(6))
@settings(max_examples=300, deadline=None)
def test_two_rooms_overlap_when_shapely_finds_a_common_area(one: list[Corner], other: list[Corner]) -> None:
    common = Polygon(one).intersection(Polygon(other)).area
    assume(common == 0 or common > 1e-6)
    assert overlap(one, other) is (common > 0)


@pytest.mark.parametrize(("other", "wanted"), [
    ([(10, 0), (20, 0), (20, 10), (10, 10)], False),  # they share a wall
    ([(0, 0), (10, 0), (10, 10), (0, 10)], True),  # the same room
    ([(10, 10), (0, 10), (0, 0), (10, 0)], True),  # the same room, walked backwards
    ([(2, 2), (4, 2), (4, 4), (2, 4)], True),  # one inside the other
    ([(-5, 4), (15, 4), (15, 6), (-5, 6)], True),  # a cross
    ([(0, 0), (10, 0), (10, 5), (0, 5)], True),  # half of it
    ([(10, 10), (20, 10), (20, 20), (10, 20)], False),  # they share a corner
])
def test_two_rooms_that_touch_or_coincide(other: list[Corner], wanted: bool) -> None:
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    assert overlap(square, other) is wanted
    assert (Polygon(square).intersection(Polygon(other)).area > 0) is wanted


@given(corners, corners, corners, corners)
@settings(max_examples=300, deadline=None)
def test_segments_meet_as_shapely_says(a: Corner, b: Corner, c: Corner, d: Corner) -> None:
    assume(a != b and c != d)
    assert segments_meet(a, b, c, d) is LineString([a, b]).intersects(LineString([c, d]))


@given(corners, corners, corners)
@settings(max_examples=300, deadline=None)
def test_the_distance_to_a_segment_is_that_of_shapely(point: Corner, a: Corner, b: Corner) -> None:
    p, q, r = ((x * MM, y * MM) for x, y in (point, a, b))
    wanted = Point(point).distance(LineString([a, b]) if a != b else Point(a))
    assert float(distance_point_segment_2d(p, q, r)) / MM == pytest.approx(wanted, abs=1e-6)


@given(corners, coordinates, corners, corners, coordinates, st.integers(1, 40))
@settings(max_examples=200, deadline=None)
def test_the_distance_to_an_upright_rectangle_is_the_shortest_of_all(
    point: Corner, z: int, left: Corner, right: Corner, low: int, high: int
) -> None:
    """Second opinion: the nearest spot by shapely on the plan, the nearest height by clamping, Pythagoras."""
    assume(left != right)
    (x, y), (a, b), (c, d) = ((e * MM, n * MM) for e, n in (point, left, right))
    rectangle = Rectangle3((a, b), (c, d), low * MM, (low + high) * MM)
    level = Point(point).distance(LineString([left, right]))
    up = z - min(max(z, low), low + high)
    found = float(distance_point_to_rectangle(Point3(x, y, z * MM), rectangle)) / MM
    assert found == pytest.approx(math.hypot(level, up), abs=1e-6)


@given(simple_polygons(7), st.integers(1, 999))
@settings(max_examples=200, deadline=None)
def test_the_area_inside_the_wall_finish_is_that_of_a_mitred_buffer(points: list[Corner], thousandths: int) -> None:
    """Offset by a small inset no wall of which disappears: compared with GEOS' mitred negative buffer."""
    shape = drawn(points).room("room")
    assert shape is not None
    inset = thousandths / 1000 * 0.01
    inner = Polygon(points).buffer(-inset, join_style="mitre", mitre_limit=1000)
    assume(isinstance(inner, Polygon) and len(inner.exterior.coords) == len(points) + 1)
    sharpest = max(abs(float(_turning(shape, place))) for place in range(len(points)))
    assume(sharpest < 100)
    found = float(shape.area) / MM**2 - float(shape.perimeter) / MM * inset + float(shape.corner_sum) * inset**2
    assert found == pytest.approx(inner.area, rel=1e-6, abs=1e-6)


def _turning(shape: object, place: int) -> float:
    walls = shape.walls  # type: ignore[attr-defined]
    before, after = walls[place - 1], walls[place]
    a = math.atan2(before.end[1] - before.start[1], before.end[0] - before.start[0])
    b = math.atan2(after.end[1] - after.start[1], after.end[0] - after.start[0])
    return math.tan(((b - a + math.pi) % (2 * math.pi) - math.pi) / 2)


def test_the_corner_sum_of_regular_outlines() -> None:
    """Elementary geometry: 4 tan(45) for square corners; for a triangle the cotangents of its half angles."""
    room = drawn([(0, 0), (20, 0), (20, 8), (12, 8), (12, 15), (0, 15)]).room("room")
    assert room is not None and room.corner_sum == 4
    # The triangle with sides 3, 4, 5 has half angles with tangents 1, 1/2 and 1/3.
    triangle = drawn([(0, 0), (30, 0), (0, 40)]).room("room")
    assert triangle is not None and triangle.corner_sum == 6


@pytest.mark.parametrize("sides", [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29)])
def test_right_triangles_with_whole_sides_have_exact_diagonals(sides: tuple[int, int, int]) -> None:
    """Pythagorean triples, known to every carpenter and in every textbook."""
    a, b, c = (Fraction(25_400_000 * side, 16) for side in sides)
    assert distance_between_points(Point3(0, 0, 0), Point3(a, b, 0)) == c


def test_a_box_of_whole_sides_has_an_exact_diagonal() -> None:
    """The Pythagorean quadruples 1, 2, 2, 3 and 2, 3, 6, 7."""
    assert distance_between_points(Point3(0, 0, 0), Point3(1, 2, 2)) == 3
    assert distance_between_points(Point3(0, 0, 0), Point3(2, 3, 6)) == 7


@given(st.fractions(min_value=0, max_value=10**20))
def test_a_square_root_is_exact_or_within_half_a_nanometre(value: Fraction) -> None:
    assert square_root(value * value) == value
    root = square_root(value)
    if root * root != value:
        assert isinstance(root, int)
        assert max(root - Fraction(1, 2), 0) ** 2 <= value <= (root + Fraction(1, 2)) ** 2


def test_a_square_root_of_a_negative_is_refused() -> None:
    with pytest.raises(ValueError, match="no square root"):
        square_root(-1)


def test_the_library_asked_is_geos() -> None:
    assert shapely.geos_version >= (3, 10, 0)
