"""The outside of a site: upright patches of wall, how far apart they are, and which openings give to the outdoors.

Kept apart from `terminals` because it is geometry that knows no rule. On one wall the tape's figures decide;
between two walls the plan does, moved out to the outside faces where the walls look toward each other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Range, Unknown, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number, number
from oktocover.quantities.units import FOOT
from oktocover.site.geometry import (
    Point,
    boxes_meet,
    distance_point_segment_2d_squared,
    dot,
    less,
    ratio,
    segments_meet,
    square_root,
)
from oktocover.site.plan import Plan
from oktocover.site.shapes import PlanWall

STANDS_OUT = ("walk", "neighbour opening", "lot line", "condenser")
"""Things whose distance from the wall counts; all others are taken as flat on it, which is never too far."""
Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Patch:
    """An upright rectangle on one side of a wall: along it from its left end, and above the room's floor."""

    side: str
    left: Number
    right: Number
    low: Number
    high: Number
    out: Number = 0

    @property
    def room(self) -> str:
        """The room it is seen from."""
        return self.side.partition(".")[0]


def square_patch(side: str, at: Number, height: Number, across: Number) -> Patch:
    """The patch of a terminal of overall size `across` about its centre."""
    half = ratio(across, 2)
    return Patch(side, at - half, at + half, height - half, height + half)


def level_gap(one: Patch, other: Patch) -> Number:
    """Level distance between two patches of one wall; a thing that stands out adds at a right angle."""
    along: Number = max(one.left - other.right, other.left - one.right, 0)
    out: Number = max(other.out - one.out, one.out - other.out)
    if out == 0:
        return along
    return square_root(number(along * along + out * out))


def segments_apart(one: Segment, other: Segment) -> Number:
    """Shortest level distance between two segments of the plan."""
    if segments_meet(*one, *other):
        return 0
    return square_root(
        min(
            *(distance_point_segment_2d_squared(point, *other) for point in one),
            *(distance_point_segment_2d_squared(point, *one) for point in other),
        )
    )


def straight(beside: Number, above: Number, below: Number) -> Number:
    """Straight distance from its level part and its heights (signed: whichever is over 0 counts)."""
    rise = max(above, below, 0)
    if rise == 0 or beside == 0:
        return beside + rise
    return square_root(beside * beside + rise * rise)


def outward(wall: PlanWall) -> Point:
    """A vector square to the wall that points out of its room, as long as the wall."""
    along = less(wall.end, wall.start)
    return along[1], -along[0]


def moved_out(wall: PlanWall, patch: Patch, by: Number) -> Segment:
    """The patch's stretch of wall, moved `by` out of the room."""
    normal = outward(wall)
    x, y = ratio(normal[0] * by, wall.length), ratio(normal[1] * by, wall.length)
    a, b = wall.point_on(patch.left), wall.point_on(patch.right)
    return (a[0] + x, a[1] + y), (b[0] + x, b[1] + y)


def face_each_other(one: PlanWall, here: Segment, other: PlanWall, there: Segment) -> bool:
    """Whether the outside of either wall looks toward the other stretch: then wall thickness brings them nearer."""
    out, back = outward(one), outward(other)
    return any(dot(out, less(q, p)) > 0 or dot(back, less(p, q)) > 0 for p in here for q in there)


REACH = 100 * FOOT
"""How far around a terminal the plan is looked at. Rooms farther apart than this are left out: a bound of the work,
four times the longest distance any section names."""


class Outdoors:
    """The outside of one site: finds patches, walls and who is whose neighbour."""

    def __init__(self, view: SiteView) -> None:
        self.view = view
        self.plan = view.plan
        self.closes_spaces = view.whole("spaces")
        self._walls: dict[str, PlanWall | None] = {}
        self._far: dict[tuple[str, str], bool] = {}
        self.wall_of: dict[str, Subject] = {}
        for wall in view.of("wall"):
            for side in wall.exact("sides") or ():
                self.wall_of.setdefault(self.plan.ref(side), wall)

    def wall(self, side: str) -> PlanWall | None:
        """The wall `room.wall` of the plan, if that room is drawn and placed."""
        if side not in self._walls:
            shape = self.plan.room(side.partition(".")[0])
            self._walls[side] = self.plan.wall(side) if shape is not None and shape.placed else None
        return self._walls[side]

    def far_apart(self, one: Patch | None, other: Patch | None) -> bool:
        """Whether two patches surely stand in rooms farther apart than REACH."""
        if one is None or other is None:
            return False
        rooms = one.room, other.room
        found = self._far.get(rooms)
        if found is None:
            shapes = [self.plan.room(room) for room in rooms]
            boxes = [shape.box for shape in shapes if shape is not None and shape.placed]
            found = self._far[rooms] = len(boxes) == len(rooms) and not boxes_meet(boxes[0], boxes[1], REACH)
        return found

    def rise(self, one: str, other: str) -> Number | tuple[Missing, ...]:
        """How much higher the floor of room `other` is than that of `one`, or what is missing."""
        if self.plan.same_level(one, other):
            return 0
        rooms = [self.view.elements.get(name) for name in (one, other)]
        if any(room is None for room in rooms):
            return tuple(Missing(name, "level", "look", "space", path=("spaces", name)) for name in (one, other))
        levels = [room.value("level") for room in rooms if room is not None]
        lacks = [item for level in levels if isinstance(level, Unknown) for item in level.missing]
        if lacks:
            return tuple(lacks)
        if levels[0] is levels[1]:
            return 0
        floors = [level.exact("floor") for level in levels]
        if None in floors:
            return tuple(level.lacks("floor") for level, floor in zip(levels, floors, strict=True) if floor is None)
        change: Number = floors[1] - floors[0]
        return change

    def level_between(self, one: Patch, other: Patch) -> Number | tuple[Missing, ...]:
        """Level distance between two patches on any two walls, or what is missing."""
        if one.side == other.side:
            return level_gap(one, other)
        here, there = self.wall(one.side), self.wall(other.side)
        if here is None or there is None:
            return tuple(
                Missing(
                    patch.room,
                    "outline",
                    "tape",
                    "space",
                    means="its corners on the common plan",
                    path=("spaces", patch.room),
                )
                for patch, wall in ((one, here), (other, there))
                if wall is None
            )
        out: list[Number] = [one.out, other.out]
        stretches = moved_out(here, one, one.out), moved_out(there, other, other.out)
        if not self._in_line(here, there) and face_each_other(here, stretches[0], there, stretches[1]):
            for index, patch in enumerate((one, other)):
                thick = self._thickness(patch.side)
                if isinstance(thick, Missing):
                    return (thick,)
                out[index] += thick
            stretches = moved_out(here, one, out[0]), moved_out(there, other, out[1])
        return segments_apart(*stretches)

    @staticmethod
    def _in_line(one: PlanWall, other: PlanWall) -> bool:
        way = one.direction
        return all(way[0] * step[1] == way[1] * step[0] for step in (other.direction, less(other.left, one.left)))

    def _thickness(self, side: str) -> Number | Missing:
        wall = self.wall_of.get(side)
        thick = wall.exact("thickness") if wall is not None else None
        if thick is not None:
            found: Number = thick
            return found
        if wall is not None:
            return wall.lacks("thickness")
        return Missing(
            side, "thickness", "tape", "wall", means="overall thickness of this outside wall", path=("walls",)
        )

    def opens_outdoors(self, opening: Subject, there: Read) -> bool | Unknown:
        """Whether an opening gives to the outdoors: by its wall's entry, by the plan, else not recorded."""
        patch = there.patch
        if patch is None:
            return unknown(*there.missing)
        if opening.exact("other_side") is not None:
            return False
        wall = self.wall_of.get(patch.side)
        if wall is not None:
            exterior = wall.exact("exterior")
            if isinstance(exterior, bool):
                # One entry may stand for a whole outside wall: the sides of several rooms in a row.
                return exterior
        stretch = patch.side, patch.left, patch.right - patch.left
        if self.plan.other_side(*stretch):
            return False
        doubts = self.plan.may_be_behind(*stretch)
        if not doubts and self.closes_spaces is None:
            return True
        which = (
            wall.lacks("exterior")
            if wall is not None
            else Missing(
                patch.side, "exterior", "look", "wall", means="whether this is an outside wall", path=("walls",)
            )
        )
        return unknown(which)


@dataclass(frozen=True, slots=True)
class Read:
    """A patch as read from a subject, how well it is known, or what is missing for it."""

    patch: Patch | None
    missing: tuple[Missing, ...]
    known: int


def read_patch(subject: Subject, names: Iterable[str]) -> tuple[list[Any], tuple[Missing, ...], int]:
    """The exact values of some facts of a subject, what is missing, and the weakest way any is known."""
    values: list[Any] = []
    lacks: list[Missing] = []
    known = TESTED
    for name in names:
        fact = subject.fact(name)
        known = min(known, fact.known)
        if isinstance(fact.value, (Unknown, Range)):
            lacks.extend(fact.value.missing or (subject.lacks(name),))
        values.append(fact.value)
    return values, tuple(dict.fromkeys(lacks)), known


def terminal_patch(plan: Plan, terminal: Subject) -> Read:
    """Where a terminal stands."""
    values, lacks, known = read_patch(terminal, ("wall", "at", "height", "across"))
    if lacks:
        return Read(None, lacks, known)
    side, *rest = values
    return Read(square_patch(plan.ref(side), *rest), (), known)


def opening_patch(plan: Plan, opening: Subject) -> Read:
    """Where an opening stands."""
    values, lacks, known = read_patch(opening, ("wall", "at", "width", "sill", "high"))
    if lacks:
        return Read(None, lacks, known)
    side, at, width, sill, high = values
    return Read(Patch(plan.ref(side), at, at + width, sill, sill + high), (), known)


def thing_patch(plan: Plan, thing: Subject) -> Read:
    """Where an outside thing stands; `out` is asked only of what does not hang on the wall."""
    what, lacks, known = read_patch(thing, ("what",))
    if lacks:
        return Read(None, lacks, known)
    names = ["wall", "at", "width", "height", "high"] + (["out"] if what[0] in STANDS_OUT else [])
    values, lacks, known = read_patch(thing, names)
    if lacks:
        return Read(None, lacks, known)
    side, at, width, height, high, *out = values
    return Read(Patch(plan.ref(side), at, at + width, height, height + high, out[0] if out else 0), (), known)
