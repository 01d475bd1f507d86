"""The two sides of every wall: which openings are on it, from whichever room they were written.

Apart from the plan because it answers one question: what may be on this wall, and what does nobody know.

An opening's other side is as its entry tells, else on the wall that a `walls` entry lists as the other side,
else where the plan shows a wall behind it. What cannot be told is a `Doubt` that names the fact to record;
nothing is guessed, so that a fact taken away leaves less known and never something else.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from oktocover.quantities import Number, Quantity
from oktocover.site.base import Element
from oktocover.site.building import Opening, Wall
from oktocover.site.geometry import box, boxes_meet, cross, dot, less, ratio
from oktocover.site.shapes import PlanWall, RoomShape

if TYPE_CHECKING:
    from oktocover.site.plan import Plan

WALL_GAP = 18 * 25_400_000
"""How far apart two rooms may be drawn and still be on two sides of one wall: a tolerance of drawing."""

PARALLEL = 32
"""Two walls run together when they part by no more than 1 in this many: a tolerance of drawing."""

ONE_SIDED = frozenset({"fireplace", "fixed cabinet", "railing", "bar counter", "stair opening"})
"""Openings that take up wall in one room only."""

Piece = tuple[str, Number, Number]
"""A piece of wall: room.wall, and the distances of its two ends from the wall's left end."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A fact that would have to be recorded before the plan can tell."""

    element: str
    kind: str
    fact: str
    path: tuple[str | int, ...]
    found_by: str = "tape"


@dataclass(frozen=True, slots=True)
class Across:
    """What is known of the other side of a stretch of wall."""

    sure: tuple[Piece, ...] = ()
    maybe: tuple[tuple[str, Doubt], ...] = ()
    """Walls on which it may be too (room.wall), and what would settle it."""
    by_plan: bool = False
    """Nothing but the plan tells: rooms that stand nowhere on it stay open."""


def doubt(name: str, element: Element, fact: str, found_by: str = "tape") -> Doubt:
    """The doubt about a fact of an element that is not recorded, or not exactly."""
    return Doubt(name, element.kind, fact, (element.plural, name, fact), found_by)


def exact(quantity: object) -> Number | None:
    """The one value of a recorded quantity, or None."""
    return quantity.exact if isinstance(quantity, Quantity) else None


class Sides:
    """Openings and walls of one plan, seen from both sides."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.site = plan.site

    def openings_of(self, ref: str) -> list[tuple[str, Number, Number]]:
        """Openings surely on a wall, as (id, start, end), left to right."""
        return list(self._by_wall.get(ref, ()))

    def doubts_of(self, room: str, ref: str, without: Collection[str] = ()) -> list[Doubt]:
        """What keeps open whether an opening is on a wall of `room`, or where on it; those `without` are left aside."""
        of_openings = [*self._loose, *self._doubts.get(ref, ())]
        told = [one for name, one in of_openings if name not in without]
        return list(dict.fromkeys([*told, *self._unseen(room, frozenset(without))]))

    @cached_property
    def _loose(self) -> list[tuple[str, Doubt]]:
        """Openings of which no wall is recorded."""
        openings = self.site.openings.items()
        return [(name, doubt(name, opening, "wall", "look")) for name, opening in openings if opening.wall is None]

    @cached_property
    def _doubts(self) -> dict[str, list[tuple[str, Doubt]]]:
        """For each wall what keeps open whether, or where, an opening is on it, with the opening's id."""
        found: dict[str, list[tuple[str, Doubt]]] = {}
        for name, opening in self.site.openings.items():
            if opening.wall is not None:
                lacking = [(name, one) for one in _lacks_place(name, opening)]
                found.setdefault(self.plan.ref(opening.wall), []).extend(lacking)
            for ref, maybe in self._sights[name].maybe:
                found.setdefault(ref, []).append((name, maybe))
        return found

    def _unseen(self, room: str, without: frozenset[str]) -> list[Doubt]:
        """Rooms without a place on the plan, when an opening may lead from one into `room`."""
        found = self._unseen_from.get((room, without))
        if found is None:
            others = self._plan_rooms(without)
            if not self.plan.lacks_place(room):
                others = [one for one in others if self.plan.lacks_place(one)]
            near = (one for one in others if one != room and self.plan.same_level(one, room) is not False)
            found = [lacking for one in near for lacking in self.plan.lacks_place(one, room)]
            self._unseen_from[room, without] = found
        return found

    @cached_property
    def _unseen_from(self) -> dict[tuple[str, frozenset[str]], list[Doubt]]:
        return {}

    def _plan_rooms(self, without: frozenset[str]) -> list[str]:
        """Rooms with an opening of which nothing but the plan tells the other side."""
        openings = ((name, one) for name, one in self.site.openings.items() if name not in without)
        walls = (one.wall or "" for name, one in openings if self._sights[name].by_plan)
        return [room for room in dict.fromkeys(wall.partition(".")[0] for wall in walls) if room in self.site.spaces]

    @cached_property
    def _by_wall(self) -> dict[str, list[tuple[str, Number, Number]]]:
        found: dict[str, list[tuple[str, Number, Number]]] = {}
        for name, opening in self.site.openings.items():
            start, width = exact(opening.at), exact(opening.width)
            if opening.wall is not None and start is not None and width is not None:
                found.setdefault(self.plan.ref(opening.wall), []).append((name, start, start + width))
            for ref, left, right in self._sights[name].sure:
                found.setdefault(ref, []).append((name, left, right))
        for entries in found.values():
            entries.sort(key=lambda entry: entry[1])
        return found

    @cached_property
    def _sights(self) -> dict[str, Across]:
        return {name: self._sight(name, opening) for name, opening in self.site.openings.items()}

    def _sight(self, name: str, opening: Opening) -> Across:
        """What is known of an opening's other side."""
        if opening.wall is None or opening.what in ONE_SIDED:
            return Across()
        lacking = _lacks_place(name, opening)
        start, width = exact(opening.at), exact(opening.width)
        if start is None or width is None:
            # Somewhere on its wall: whatever is behind any part of the wall may have it.
            wall = self.plan.wall(opening.wall)
            start, width = 0, wall.length if wall is not None else 0
        if opening.what is None and opening.other_side is None:
            lacking.append(doubt(name, opening, "what", "look"))
        found = self.across(opening.wall, start, start + width, opening.other_side)
        if not lacking:
            return found
        open_ = tuple((ref, one) for ref, _, _ in found.sure for one in lacking)
        return Across((), open_ + found.maybe, found.by_plan)

    def across(self, wall_ref: str, start: Number, end: Number, told: str | None = None) -> Across:
        """The other side of a stretch of wall: as told, as a `walls` entry lists it, or by the plan."""
        if told is not None:
            return self._onto(wall_ref, start, end, (told,))
        entry = self._entries.get(self.plan.ref(wall_ref))
        others = [side for side in (entry.sides or () if entry else ()) if not self._same(side, wall_ref)]
        if others:
            return self._onto(wall_ref, start, end, others)
        found = self._by_plan(wall_ref, start, end)
        # An outside wall settles what the plan cannot show; what the plan shows behind it stays.
        return Across(found.sure, found.maybe, found.by_plan and not (entry and entry.exterior))

    def _same(self, one: str, other: str) -> bool:
        return self.plan.ref(one) == self.plan.ref(other)

    @cached_property
    def _entries(self) -> dict[str, Wall]:
        entries = self.site.walls.values()
        return {self.plan.ref(side): entry for entry in entries for side in entry.sides or ()}

    def _onto(self, wall_ref: str, start: Number, end: Number, targets: Iterable[str]) -> Across:
        """A stretch carried over to walls known to be its other side, which takes the place of both rooms."""
        wall = self.plan.wall(wall_ref)
        sure: list[Piece] = []
        maybe: list[tuple[str, Doubt]] = []
        for target in targets:
            behind = self.plan.wall(target)
            lacking = self.plan.lacks_place(wall_ref.partition(".")[0], target.partition(".")[0])
            if lacking or wall is None or behind is None:
                maybe += [(self.plan.ref(target), one) for one in lacking]
                continue
            piece = carried(wall, behind, start, end)
            sure += [(behind.ref, *piece)] if piece else []
        return Across(tuple(sure), tuple(maybe))

    def _by_plan(self, wall_ref: str, start: Number, end: Number) -> Across:
        """The walls that the plan shows behind a stretch; the nearest hides what is farther away."""
        wall = self.plan.wall(wall_ref)
        if wall is None or self.plan.lacks_place(wall.room):
            return Across(by_plan=True)
        sure: list[Piece] = []
        maybe: list[tuple[str, Doubt]] = []
        left = [(start, end)]
        for _, behind, low, high in self.behind(wall):
            level = self.plan.lacks_level(wall.room, behind.room)
            for a, b in list(left):
                c, d = max(a, low), min(b, high)
                piece = carried(wall, behind, c, d) if c < d else None
                if piece is None:
                    continue
                if level:
                    maybe += [(behind.ref, one) for one in level]
                    continue
                sure.append((behind.ref, *piece))
                left.remove((a, b))
                left += [(e, f) for e, f in ((a, c), (d, b)) if e < f]
        return Across(tuple(sure), tuple(maybe), by_plan=True)

    def behind(self, wall: PlanWall) -> list[tuple[Number, PlanWall, Number, Number]]:
        """Walls of other rooms facing this one, the nearest first: (gap, wall, start, end on this wall)."""
        found = self._faced.get(wall.ref)
        if found is None:
            around = box((wall.start, wall.end))
            shapes = (one for one in self.near[wall.room] if boxes_meet(around, one.box, WALL_GAP + 1))
            faced = (_faced(wall, other) for shape in shapes for other in shape.walls)
            found = self._faced[wall.ref] = sorted((one for one in faced if one), key=lambda one: one[0])
        return found

    @cached_property
    def _faced(self) -> dict[str, list[tuple[Number, PlanWall, Number, Number]]]:
        return {}

    @cached_property
    def near(self) -> dict[str, list[RoomShape]]:
        """For each placed room the others that come within WALL_GAP and are not on another storey."""
        near: dict[str, list[RoomShape]] = {shape.name: [] for shape in self.plan.placed}
        ordered = sorted(self.plan.placed, key=lambda shape: shape.box[0])
        for index, one in enumerate(ordered):
            for other in ordered[index + 1 :]:
                if other.box[0] > one.box[2] + WALL_GAP:
                    break
                # One more: a gap of exactly WALL_GAP belongs to it.
                close = boxes_meet(one.box, other.box, WALL_GAP + 1)
                if close and self.plan.same_level(one.name, other.name) is not False:
                    near[one.name].append(other)
                    near[other.name].append(one)
        return near


def _lacks_place(name: str, opening: Opening) -> list[Doubt]:
    return [doubt(name, opening, fact) for fact in ("at", "width") if exact(getattr(opening, fact)) is None]


def carried(wall: PlanWall, behind: PlanWall, start: Number, end: Number) -> tuple[Number, Number] | None:
    """A stretch of one wall as (start, end) on the wall behind it; None when that wall has no part of it."""
    left, right = behind.along(wall.point_on(end)), behind.along(wall.point_on(start))
    low, high = max(left, 0), min(right, behind.length)
    return (low, high) if low < high else None


def _faced(wall: PlanWall, other: PlanWall) -> tuple[Number, PlanWall, Number, Number] | None:
    """How `other` stands behind `wall`: (gap, other, start, end on wall), or None when it does not."""
    way, back = wall.direction, other.direction
    if dot(way, back) >= 0 or (PARALLEL * cross(way, back)) ** 2 > dot(way, way) * dot(back, back):
        return None
    # Ahead of a person who looks at the wall is left of the way along it; the gap is that of the middle.
    ends = less(other.left, wall.left), less(other.right, wall.left)
    gap = ratio(cross(way, ends[0]) + cross(way, ends[1]), 2 * wall.length)
    if not 0 <= gap <= WALL_GAP:
        return None
    start, end = wall.along(other.right), wall.along(other.left)
    return (gap, other, start, end) if max(start, 0) < min(end, wall.length) else None
