"""The plan of one site: which wall is where, what is on it, and what is on its other side.

Positions on a wall are distances from its left end as seen from inside the room. All lengths are exact int or
Fraction nanometres. What the plan cannot tell is a `Doubt` that names the fact to record; it is never a guess.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from oktocover.quantities import Number, Quantity
from oktocover.site.base import Element
from oktocover.site.building import Opening, Space
from oktocover.site.building import Wall as WallEntry
from oktocover.site.geometry import (
    Point,
    Point3,
    Rectangle3,
    boxes_meet,
    cross,
    distance_between_points,
    distance_point_segment_2d,
    distance_point_to_rectangle,
    dot,
    less,
    overlap,
    point_in_polygon,
    polygon_area,
    ratio,
    square_root,
)
from oktocover.site.root import Site
from oktocover.site.shapes import PlanError, PlanWall, RoomShape, nearest_name, outline_points, room_shape, said

WALL_GAP = 18 * 25_400_000
"""How far apart the faces of two rooms may be drawn and still be two sides of one wall. A tolerance of drawing."""

PARALLEL = 32
"""Two walls run together when they part by no more than 1 in this many. A tolerance of drawing."""

ONE_SIDED = frozenset({"fireplace", "fixed cabinet", "railing", "bar counter", "stair opening"})
"""Openings that take up wall in one room only."""

Stretch = tuple[str, Number, Number]
"""A piece of wall: room.wall, distance of its left end, width."""


@dataclass(frozen=True, slots=True)
class PlanProblem:
    """Something in the site file that cannot be: where it stands, what was found, what would be accepted."""

    path: tuple[str | int, ...]
    message: str
    expected: str = ""
    do: str = ""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A fact that would have to be recorded before the plan can tell."""

    element: str
    kind: str
    fact: str
    path: tuple[str | int, ...]
    found_by: str = "tape"


@dataclass(frozen=True, slots=True)
class _Across:
    """What is known of an opening's other side: where it surely is, and on which rooms and walls it may be."""

    sure: tuple[tuple[str, Number, Number], ...] = ()
    """(room.wall, start, end)."""
    maybe: tuple[tuple[str, str | None, Doubt], ...] = ()
    """(room, wall or None for any, what would settle it)."""
    anywhere: Doubt | None = None
    """It may be in any room but its own."""
    by_plan: bool = False
    """Nothing but the plan tells; rooms that stand nowhere on the plan stay open."""


class Plan:
    """The plan of `site`. Rooms are drawn when they are first asked for."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.errors: dict[str, PlanError] = {}
        self._shapes: dict[str, RoomShape | None] = {}

    # rooms and walls

    def room(self, space_id: str) -> RoomShape | None:
        """The shape of a room; None when it has no outline or size, or one that cannot be drawn (see `errors`)."""
        if space_id not in self._shapes:
            space = self.site.spaces.get(space_id)
            try:
                self._shapes[space_id] = room_shape(space_id, space) if space is not None else None
            except PlanError as error:
                self.errors[space_id] = error
                self._shapes[space_id] = None
        return self._shapes[space_id]

    def wall(self, wall_ref: str | None) -> PlanWall | None:
        """The wall that `room.wall` names, or None when there is none or its room is not drawn."""
        room, _, name = (wall_ref or "").partition(".")
        shape = self.room(room)
        return shape.wall(name) if shape is not None else None

    def ref(self, wall_ref: str) -> str:
        """The one way this plan writes a wall that may have several names; as it stands when it is not drawn."""
        wall = self.wall(wall_ref)
        return wall.ref if wall is not None else wall_ref

    @cached_property
    def placed(self) -> tuple[RoomShape, ...]:
        """Every room that stands on the common plan, in the order of the site file."""
        shapes = (self.room(name) for name in self.site.spaces)
        return tuple(shape for shape in shapes if shape is not None and shape.placed)

    def same_level(self, one: str, other: str) -> bool | None:
        """Whether two rooms are on the same storey; None when that is not recorded."""
        first, second = self.site.spaces[one].level, self.site.spaces[other].level
        if first is not None and second is not None:
            return first == second
        return True if self._one_level else None

    @cached_property
    def _one_level(self) -> bool:
        return len(self.site.levels) == 1 and any(
            one.list_ == "levels" and one.whole and one.in_ is None for one in self.site.looked)

    # two sides of a wall

    def other_side(self, wall_ref: str, at: Number, width: Number) -> list[Stretch]:
        """The same stretch of wall seen from the rooms behind it, as far as it is sure.

        From a `walls` entry that lists both sides, else from the plan: walls of other rooms on the same storey
        that face it within WALL_GAP, the nearest first. `doubts_of` says what else there may be.
        """
        found = self._across(wall_ref, at, at + width, None)
        return [(ref, start, end - start) for ref, start, end in found.sure]

    def openings_of(self, room: str, wall: str) -> list[tuple[str, Number, Number]]:
        """Openings on one wall as (id, start, end), left to right, those written from the other room's side too.

        Openings whose place is not exactly known are not among them: see `doubts_of`.
        """
        return list(self._openings_by_wall.get(self.ref(f"{room}.{wall}"), ()))

    def doubts_of(self, room: str, wall: str) -> list[Doubt]:
        """What would have to be recorded before `openings_of` tells every written opening of this wall."""
        ref = self.ref(f"{room}.{wall}")
        found: dict[Doubt, None] = {}
        for name, opening in self.site.openings.items():
            own = opening.wall
            if own is None:
                found[_doubt(name, opening, "wall", "look")] = None
            elif self.ref(own) == ref:
                found.update(dict.fromkeys(_unplaced(name, opening)))
            elif own.partition(".")[0] != room:
                found.update(dict.fromkeys(self._maybe_here(name, opening, room, ref)))
        return list(found)

    def _maybe_here(self, name: str, opening: Opening, room: str, ref: str) -> Iterator[Doubt]:
        """What leaves open whether an opening written in another room is on this wall."""
        across = self._sights[name]
        if across.anywhere is not None:
            yield across.anywhere
        for other, wall, doubt in across.maybe:
            if other == room and wall in (None, ref):
                yield doubt
        if across.by_plan:
            yield from self._unseen(opening, room)

    def _unseen(self, opening: Opening, room: str) -> Iterator[Doubt]:
        """Facts without which the plan cannot say whether an opening of another room leads into this one."""
        own = (opening.wall or "").partition(".")[0]
        if own not in self.site.spaces or room not in self.site.spaces:
            return
        if self.same_level(own, room) is False:
            return
        for space in (own, room):
            lacking = self._lacks_place(space)
            if lacking is not None:
                yield lacking

    def _lacks_place(self, space_id: str) -> Doubt | None:
        shape = self.room(space_id)
        if shape is not None and shape.placed:
            return None
        return _doubt(space_id, self.site.spaces[space_id], "outline" if shape is None else "corner")

    @cached_property
    def _openings_by_wall(self) -> dict[str, list[tuple[str, Number, Number]]]:
        found: dict[str, list[tuple[str, Number, Number]]] = {}
        for name, opening in self.site.openings.items():
            start, width = _exact(opening.at), _exact(opening.width)
            if opening.wall is not None and start is not None and width is not None:
                found.setdefault(self.ref(opening.wall), []).append((name, start, start + width))
            for ref, left, right in self._sights[name].sure:
                found.setdefault(ref, []).append((name, left, right))
        for entries in found.values():
            entries.sort(key=lambda entry: entry[1])
        return found

    @cached_property
    def _sights(self) -> dict[str, _Across]:
        return {name: self._sight(name, opening) for name, opening in self.site.openings.items()}

    def _sight(self, name: str, opening: Opening) -> _Across:
        if opening.wall is None or opening.what in ONE_SIDED:
            return _Across()
        start, width = _exact(opening.at), _exact(opening.width)
        lacking = _unplaced(name, opening)
        if start is None or width is None:
            # Somewhere on its wall: whatever is behind any part of the wall may have it.
            wall = self.wall(opening.wall)
            whole = self._across(opening.wall, 0, wall.length if wall else 0, opening.other_side, name)
            doubts = tuple((ref.partition(".")[0], ref, lacking[0]) for ref, _, _ in whole.sure)
            return _Across((), doubts + whole.maybe, whole.anywhere, whole.by_plan)
        across = self._across(opening.wall, start, start + width, opening.other_side, name)
        if opening.what is None and across.sure:
            doubt = _doubt(name, opening, "what", "look")
            doubts = tuple((ref.partition(".")[0], ref, doubt) for ref, _, _ in across.sure)
            return _Across((), doubts + across.maybe, across.anywhere, across.by_plan)
        return across

    def _across(self, wall_ref: str, start: Number, end: Number, told: str | None, name: str = "") -> _Across:
        """The other side of a stretch: as told, as a `walls` entry lists it, or by the plan."""
        if told is not None:
            return self._onto(wall_ref, start, end, (told,))
        entry = self._entries.get(self.ref(wall_ref))
        if entry is not None:
            if entry.exterior:
                return _Across()
            others = [side for side in entry.sides or () if self.ref(side) != self.ref(wall_ref)]
            if others or entry.exterior is False or len(entry.sides or ()) == 1:
                return self._onto(wall_ref, start, end, tuple(others))
        return self._by_plan(wall_ref, start, end)

    @cached_property
    def _entries(self) -> dict[str, WallEntry]:
        return {self.ref(side): entry for entry in self.site.walls.values() for side in entry.sides or ()}

    def _onto(self, wall_ref: str, start: Number, end: Number, targets: tuple[str, ...]) -> _Across:
        """A stretch carried over to walls that are known to be its other side."""
        wall = self.wall(wall_ref)
        sure: list[tuple[str, Number, Number]] = []
        maybe: list[tuple[str, str | None, Doubt]] = []
        for target in targets:
            behind = self.wall(target)
            room = target.partition(".")[0]
            own = wall_ref.partition(".")[0]
            if wall is not None and behind is not None and self._both_placed(own, room):
                piece = _carried(wall, behind, start, end)
                sure += [(behind.ref, *piece)] if piece else []
            elif wall is not None and behind is not None and wall.length == behind.length:
                sure.append((behind.ref, wall.length - end, wall.length - start))
            else:
                lacking = [self._lacks_place(space) for space in (own, room) if space in self.site.spaces]
                maybe += [(room, self.ref(target), doubt) for doubt in lacking if doubt is not None]
        return _Across(tuple(sure), tuple(maybe))

    def _both_placed(self, one: str, other: str) -> bool:
        shapes = (self.room(one), self.room(other))
        return all(shape is not None and shape.placed for shape in shapes)

    def _by_plan(self, wall_ref: str, start: Number, end: Number) -> _Across:
        wall = self.wall(wall_ref)
        own = self.room(wall_ref.partition(".")[0])
        if wall is None or own is None or not own.placed:
            return _Across(by_plan=True)
        sure: list[tuple[str, Number, Number]] = []
        maybe: list[tuple[str, str | None, Doubt]] = []
        left = [(start, end)]
        for _, behind, low, high in self._behind(wall, own):
            level = self.same_level(own.name, behind.room)
            for a, b in list(left):
                piece = _carried(wall, behind, max(a, low), min(b, high)) if max(a, low) < min(b, high) else None
                if piece is None:
                    continue
                if level is None:
                    maybe += [(behind.room, behind.ref, doubt) for doubt in self._lacks_level(own.name, behind.room)]
                    continue
                sure.append((behind.ref, *piece))
                left.remove((a, b))
                left += [(c, d) for c, d in ((a, max(a, low)), (min(b, high), b)) if c < d]
        return _Across(tuple(sure), tuple(maybe), by_plan=True)

    def _lacks_level(self, *rooms: str) -> Iterator[Doubt]:
        for room in rooms:
            if self.site.spaces[room].level is None:
                yield _doubt(room, self.site.spaces[room], "level", "look")

    @cached_property
    def _facing_walls(self) -> dict[str, list[tuple[Number, PlanWall, Number, Number]]]:
        return {}

    def _behind(self, wall: PlanWall, own: RoomShape) -> list[tuple[Number, PlanWall, Number, Number]]:
        """Walls of other rooms that face this one: (gap, wall, start, end on this wall), the nearest first."""
        found = self._facing_walls.get(wall.ref)
        if found is None:
            found = []
            for shape in self._near[own.name]:
                for other in shape.walls:
                    faced = _faced(wall, other)
                    found += [faced] if faced else []
            found.sort(key=lambda item: item[0])
            self._facing_walls[wall.ref] = found
        return found

    @cached_property
    def _near(self) -> dict[str, list[RoomShape]]:
        """For each placed room the others that come within WALL_GAP and are not on another storey."""
        near: dict[str, list[RoomShape]] = {shape.name: [] for shape in self.placed}
        ordered = sorted(self.placed, key=lambda shape: shape.box[0])
        for index, one in enumerate(ordered):
            for other in ordered[index + 1:]:
                if other.box[0] > one.box[2] + WALL_GAP:
                    break
                if boxes_meet(one.box, other.box, WALL_GAP + 1) and self.same_level(one.name, other.name) is not False:
                    near[one.name].append(other)
                    near[other.name].append(one)
        return near

    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of placed rooms of one storey whose insides overlap, in the order of the site file."""
        order = list(self.site.spaces)
        pairs = {
            tuple(sorted((one, other.name), key=order.index))
            for one, others in self._near.items() for other in others
            if self.same_level(one, other.name) and self._is_room(one) and self._is_room(other.name)
        }
        shapes = {shape.name: shape.points for shape in self.placed}
        found = [(one, other) for one, other in pairs if overlap(shapes[one], shapes[other])]
        return sorted(found, key=lambda pair: (order.index(pair[0]), order.index(pair[1])))

    def _is_room(self, space_id: str) -> bool:
        return self.site.spaces[space_id].use not in ("attic", "crawl space")

    # heights

    def zero(self, space_id: str) -> tuple[str, Number]:
        """What heights in a room count from, and its floor above that: ('grade', floor height) when it is recorded."""
        space = self.site.spaces.get(space_id)
        level = self.site.levels.get(space.level) if space is not None and space.level is not None else None
        floor = _exact(level.floor) if level is not None else None
        if floor is not None:
            return "grade", floor
        return (f"the floor of {space.level}" if level is not None and space is not None else f"the floor of {space_id}"), 0

    def point(self, wall_ref: str, at: Number, height: Number) -> Point3 | None:
        """A spot on a wall in space; None when the wall's room is not placed on the plan.

        Its `zero` is 'grade' when the floor of the room's level is recorded, else that floor.
        """
        wall = self.wall(wall_ref)
        if wall is None or not self._both_placed(wall.room, wall.room):
            return None
        zero, floor = self.zero(wall.room)
        x, y = wall.point_on(at)
        return Point3(x, y, floor + height, zero)

    def rectangle_of(self, opening_id: str) -> Rectangle3 | None:
        """The opening as an upright rectangle; None when `lacks_of` names a fact it needs."""
        opening = self.site.openings[opening_id]
        if self.lacks_of(opening_id) or opening.wall is None:
            return None
        at, width, sill, high = (_exact(one) for one in (opening.at, opening.width, opening.sill, opening.high))
        wall = self.wall(opening.wall)
        if wall is None or at is None or width is None or sill is None or high is None:
            return None
        zero, floor = self.zero(wall.room)
        return Rectangle3(wall.point_on(at), wall.point_on(at + width), floor + sill, floor + sill + high, zero)

    def lacks_of(self, opening_id: str) -> tuple[Doubt, ...]:
        """What has to be recorded before an opening has its place in space."""
        opening = self.site.openings[opening_id]
        if opening.wall is None:
            return (_doubt(opening_id, opening, "wall", "look"),)
        facts = [_doubt(opening_id, opening, fact) for fact in ("at", "width", "sill", "high")
                 if _exact(getattr(opening, fact)) is None]
        room = opening.wall.partition(".")[0]
        place = self._lacks_place(room) if room in self.site.spaces else _doubt(opening_id, opening, "wall", "look")
        return tuple([place, *facts] if place else facts)

    def problems(self) -> list[PlanProblem]:
        """Everything that cannot be as it is written, in the order of the site file."""
        from oktocover.site.plan_problems import plan_problems

        return plan_problems(self)


def _exact(quantity: object) -> Number | None:
    return quantity.exact if isinstance(quantity, Quantity) else None


def _doubt(name: str, element: Element, fact: str, found_by: str = "tape") -> Doubt:
    return Doubt(name, element.kind, fact, (element.plural, name, fact), found_by)


def _unplaced(name: str, opening: Opening) -> list[Doubt]:
    return [_doubt(name, opening, fact) for fact in ("at", "width") if _exact(getattr(opening, fact)) is None]


def _carried(wall: PlanWall, behind: PlanWall, start: Number, end: Number) -> tuple[Number, Number] | None:
    """A stretch of one wall as (start, end) on the wall behind it, cut to that wall; None when nothing is left."""
    left, right = behind.along(wall.point_on(end)), behind.along(wall.point_on(start))
    low, high = max(left, 0), min(right, behind.length)
    return (low, high) if low < high else None


def _faced(wall: PlanWall, other: PlanWall) -> tuple[Number, PlanWall, Number, Number] | None:
    """How `other` stands behind `wall`: (gap, other, start, end on wall), or None when it does not."""
    way, back = wall.direction, other.direction
    if dot(way, back) >= 0 or (PARALLEL * cross(way, back)) ** 2 > dot(way, way) * dot(back, back):
        return None
    to_left, to_right = less(other.left, wall.left), less(other.right, wall.left)
    # Facing outward the left-to-right vector turned a quarter left is straight ahead.
    gap = ratio(cross(way, to_left) + cross(way, to_right), 2 * wall.length)
    if not 0 <= gap <= WALL_GAP:
        return None
    start, end = wall.along(other.right), wall.along(other.left)
    return (gap, other, start, end) if max(start, 0) < min(end, wall.length) else None


__all__ = [
    "WALL_GAP", "Doubt", "Plan", "PlanError", "PlanProblem", "PlanWall", "Point", "Point3", "Rectangle3", "RoomShape",
    "Space", "Stretch", "distance_between_points", "distance_point_segment_2d", "distance_point_to_rectangle",
    "nearest_name", "outline_points", "point_in_polygon", "polygon_area", "room_shape", "said", "square_root",
]
