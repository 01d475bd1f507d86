"""The plan of one site: which wall is where, what is on it, and what is on its other side.

Positions on a wall are distances from its left end as seen from inside the room. All lengths are exact int
or Fraction nanometres. What the plan cannot tell is a `Doubt` that names the fact to record, never a guess.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import cached_property

from oktocover.quantities import Number
from oktocover.site.base import SiteProblem as PlanProblem
from oktocover.site.geometry import (
    Point,
    Point3,
    Rectangle3,
    comparable,
    distance_between_points,
    distance_point_segment_2d,
    distance_point_to_rectangle,
    overlap,
    point_in_polygon,
    polygon_area,
    square_root,
)
from oktocover.site.outlines import PlanError, outline_points
from oktocover.site.root import Site
from oktocover.site.shapes import PlanWall, RoomShape, room_shape
from oktocover.site.sides import ONE_SIDED, WALL_GAP, Doubt, Sides, doubt, exact

Stretch = tuple[str, Number, Number]
"""A stretch of wall: room.wall, distance of its left end from the wall's left end, width."""


class Plan:
    """The plan of `site`. Rooms are drawn when they are first asked for."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.errors: dict[str, PlanError] = {}
        self._shapes: dict[str, RoomShape | None] = {}
        self._sides = Sides(self)

    def room(self, space_id: str) -> RoomShape | None:
        """The shape of a room; None when it has no outline or size, or one that is wrong (see `errors`)."""
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
        """The one way this plan writes a wall that may have several names."""
        wall = self.wall(wall_ref)
        if wall is not None:
            return wall.ref
        room, _, name = wall_ref.partition(".")
        space = self.site.spaces.get(room)
        return f"{room}.{(space.walls or {}).get(name, name)}" if space is not None else wall_ref

    @cached_property
    def placed(self) -> tuple[RoomShape, ...]:
        """Every room that stands on the common plan, in the order of the site file."""
        shapes = (self.room(name) for name in self.site.spaces)
        return tuple(shape for shape in shapes if shape is not None and shape.placed)

    # what is recorded of two rooms together

    def same_level(self, one: str, other: str) -> bool | None:
        """Whether two rooms are on the same storey; None when that is not recorded."""
        if one == other or self._one_level:
            return True
        spaces = [self.site.spaces.get(name) for name in (one, other)]
        first, second = (space.level if space is not None else None for space in spaces)
        return first == second if first is not None and second is not None else None

    @cached_property
    def _one_level(self) -> bool:
        """Whether somebody signed that the one storey written is all there is."""
        said = (one for one in self.site.looked if one.list_ == "levels" and one.in_ is None)
        return len(self.site.levels) == 1 and any(one.whole for one in said)

    def lacks_place(self, *rooms: str) -> list[Doubt]:
        """What has to be recorded before each room stands on the common plan."""
        found = []
        for name in dict.fromkeys(rooms):
            shape, space = self.room(name), self.site.spaces.get(name)
            if space is not None and (shape is None or not shape.placed):
                found.append(doubt(name, space, "outline" if shape is None else "corner"))
        return found

    def lacks_level(self, one: str, other: str) -> list[Doubt]:
        """What has to be recorded before it is known whether two rooms are on one storey."""
        if self.same_level(one, other) is not None:
            return []
        spaces = [(name, self.site.spaces[name]) for name in (one, other) if name in self.site.spaces]
        return [doubt(name, space, "level", "look") for name, space in spaces if space.level is None]

    def lacks_between(self, one: str, other: str) -> list[Doubt]:
        """What has to be recorded before distances between spots in two rooms can be told.

        Within one room its shape is enough; else both must stand on the plan, their floors on one level or
        at recorded heights.
        """
        if one == other:
            return [] if self.room(one) is not None else self.lacks_place(one)
        found = self.lacks_place(one, other)
        if self.zero(one)[0] == self.zero(other)[0]:
            return found
        for name in (one, other):
            space = self.site.spaces.get(name)
            level = self.site.levels.get(space.level or "") if space is not None else None
            if space is not None and level is None:
                found.append(doubt(name, space, "level", "look"))
            elif space is not None and level is not None and exact(level.floor) is None:
                found.append(doubt(space.level or "", level, "floor"))
        return found

    # two sides of a wall

    def other_side(self, wall_ref: str, at: Number, width: Number) -> list[Stretch]:
        """The same stretch of wall seen from the rooms behind it, as far as it is sure.

        From a `walls` entry that lists both sides, else from the plan: walls of other rooms on the same
        storey that face it within WALL_GAP, the nearest first. `may_be_behind` says what else there may be.
        """
        found = self._sides.across(wall_ref, at, at + width)
        return [(ref, start, end - start) for ref, start, end in found.sure]

    def may_be_behind(self, wall_ref: str, at: Number, width: Number) -> list[Doubt]:
        """What has to be recorded before `other_side` tells everything that is written behind a stretch."""
        across = self._sides.across(wall_ref, at, at + width)
        found = [lacking for _, lacking in across.maybe]
        if across.by_plan:
            own = wall_ref.partition(".")[0]
            others = (name for name in self.site.spaces if self.same_level(own, name) is not False)
            found += self.lacks_place(own, *others)
        return list(dict.fromkeys(found))

    def openings_of(self, room: str, wall: str) -> list[tuple[str, Number, Number]]:
        """Openings on one wall as (id, start, end), left to right, whichever room they were written from.

        Openings whose place is not exactly known are not among them: see `doubts_of`.
        """
        return self._sides.openings_of(self.ref(f"{room}.{wall}"))

    def doubts_of(self, room: str, wall: str, without: Collection[str] = ()) -> list[Doubt]:
        """What has to be recorded before `openings_of` tells every written opening of this wall but those `without`.

        Openings nobody wrote down are another matter: the list of openings has to be whole for that.
        """
        return self._sides.doubts_of(room, self.ref(f"{room}.{wall}"), without)

    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of placed rooms of one storey whose insides overlap, in the order of the site file."""
        order = {name: place for place, name in enumerate(self.site.spaces)}
        found = []
        for one in self.placed:
            for other in self._sides.near[one.name]:
                if order[one.name] < order[other.name] and self._meant_side_by_side(one.name, other.name):
                    found += [(one.name, other.name)] if overlap(one.points, other.points) else []
        return sorted(found, key=lambda pair: (order[pair[0]], order[pair[1]]))

    def _meant_side_by_side(self, one: str, other: str) -> bool:
        uses = {self.site.spaces[one].use, self.site.spaces[other].use}
        return self.same_level(one, other) is True and not uses & {"attic", "crawl space"}

    # heights

    def zero(self, space_id: str) -> tuple[str, Number]:
        """What heights in a room count from, and its floor above that.

        'grade' when the height of the level's floor is recorded, else that floor itself.
        """
        space = self.site.spaces.get(space_id)
        level = self.site.levels.get(space.level or "") if space is not None else None
        if space is None or level is None:
            return f"the floor of {space_id}", 0
        floor = exact(level.floor)
        return ("grade", floor) if floor is not None else (f"the floor of {space.level}", 0)

    def point(self, wall_ref: str, at: Number, height: Number) -> Point3 | None:
        """A spot on a wall in space; None when the wall's room is not drawn.

        Its `zero` is 'grade' when the floor of the room's level is recorded, else that floor; its `frame` is
        'plan' when the room stands on the common plan, else the room.
        """
        wall = self.wall(wall_ref)
        if wall is None:
            return None
        zero, floor = self.zero(wall.room)
        x, y = wall.point_on(at)
        return Point3(x, y, floor + height, zero, self._frame(wall.room))

    def _frame(self, room: str) -> str:
        shape = self.room(room)
        return "plan" if shape is not None and shape.placed else room

    def rectangle_of(self, opening_id: str) -> Rectangle3 | None:
        """The opening as an upright rectangle; None when `lacks_of` names a fact it needs."""
        opening = self.site.openings[opening_id]
        wall = self.wall(opening.wall)
        at, width = exact(opening.at), exact(opening.width)
        sill, high = exact(opening.sill), exact(opening.high)
        if wall is None or at is None or width is None or sill is None or high is None:
            return None
        zero, floor = self.zero(wall.room)
        left, right, low = wall.point_on(at), wall.point_on(at + width), floor + sill
        return Rectangle3(left, right, low, low + high, zero, self._frame(wall.room))

    def lacks_of(self, opening_id: str) -> list[Doubt]:
        """What has to be recorded before an opening has its place in space."""
        opening = self.site.openings[opening_id]
        room = (opening.wall or "").partition(".")[0]
        if room not in self.site.spaces:
            return [doubt(opening_id, opening, "wall", "look")]
        facts = ("at", "width", "sill", "high")
        found = [doubt(opening_id, opening, fact) for fact in facts if exact(getattr(opening, fact)) is None]
        return found if self.room(room) is not None else [*self.lacks_place(room), *found]

    def problems(self) -> list[PlanProblem]:
        """Everything that cannot be as it is written, in the order of the site file."""
        from oktocover.site.plan_problems import plan_problems

        return plan_problems(self)


__all__ = [
    "ONE_SIDED",
    "WALL_GAP",
    "Doubt",
    "Plan",
    "PlanError",
    "PlanProblem",
    "PlanWall",
    "Point",
    "Point3",
    "Rectangle3",
    "RoomShape",
    "Stretch",
    "comparable",
    "distance_between_points",
    "distance_point_segment_2d",
    "distance_point_to_rectangle",
    "outline_points",
    "point_in_polygon",
    "polygon_area",
    "room_shape",
    "square_root",
]
