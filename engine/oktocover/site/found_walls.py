"""The walls that the rooms of a plan make: which sides belong to one wall, and whether it is an outside or an inside one.

Apart from `sides`, which asks about one stretch of a wall that is written down; here nobody has written any walls yet.
Nothing is guessed: a side is an inside one when rooms stand behind all of it, an outside one when every room is known
and none stands behind any of it. What keeps that open is said in words: a room that stands nowhere on the plan, a list of
spaces that may be longer, a room of another storey beyond the wall, over which there is a roof space or another void.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from oktocover.quantities import Number
from oktocover.site.geometry import box, boxes_meet, overlap, ratio
from oktocover.site.plan import Plan
from oktocover.site.shapes import PlanWall
from oktocover.site.sides import WALL_GAP, Sides

Sort = Literal["outside", "inside"]

OPEN_AIR = frozenset({"porch", "deck", "balcony", "outdoors"})
"""Uses of a space that is no room: what looks at it looks outdoors."""

EITHER = frozenset({None, "other"})
"""Uses that do not tell whether the space is a room."""


@dataclass(frozen=True, slots=True)
class FoundWall:
    """One wall, by the sides that rooms have on it (room.wall, in the order of the site file).

    `sort` is None when it cannot be told or when the wall is part outside, part inside; `doubts` say why, and `sure`
    is whether these are all of its sides.
    """

    sides: tuple[str, ...]
    sort: Sort | None
    sure: bool
    across: frozenset[tuple[str, str]] = frozenset()
    """Pairs of rooms that look at each other over it, each both ways round."""
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Side:
    """What the plan tells of one side: the sides behind it, whether rooms cover all of it, and what keeps it open."""

    behind: tuple[str, ...]
    covered: bool
    doubts: tuple[str, ...]


def found_walls(plan: Plan, spaces_whole: bool, apart: Collection[str] = ()) -> list[FoundWall]:
    """Every wall of the rooms that are drawn, in the order of the site file.

    `spaces_whole` says whether somebody signed that all spaces are written down; the sides in `apart` belong to walls
    that somebody has put together himself, so each of them is looked at alone.
    """
    sides = Sides(plan)
    asked = {
        wall.ref: _side(plan, sides, wall, spaces_whole)
        for name in plan.site.spaces
        if plan.site.spaces[name].use not in OPEN_AIR
        for shape in [plan.room(name)]
        for wall in (shape.walls if shape is not None else ())
    }
    return [_wall(group, asked) for group in _groups(asked, apart)]


def _side(plan: Plan, sides: Sides, wall: PlanWall, spaces_whole: bool) -> _Side:
    own = plan.site.spaces[wall.room]
    others = [name for name in plan.site.spaces if name != wall.room and plan.same_level(wall.room, name) is not False]
    rooms = [name for name in others if plan.site.spaces[name].use not in OPEN_AIR]
    doubts = [_use(wall.room)] if own.use in EITHER else []
    behind, stretches = [], []
    for _, other, start, end in sides.behind(wall) if not plan.lacks_place(wall.room) else ():
        if other.room not in rooms:
            continue
        unknown = list(_unknown(plan, wall.room, other.room))
        doubts += unknown
        if not unknown:
            behind.append(other.ref)
            stretches.append((start, end))
    covered = not doubts and _covered(wall.length, stretches)
    if not covered:
        doubts += [f"{name} stands nowhere on the plan" for name in _unplaced(plan, wall.room, rooms)]
        doubts += [] if spaces_whole else ["nobody has said that the list of spaces is whole"]
        doubts += [f"{name}, on another storey, lies beyond {wall.ref}" for name in _beyond(plan, wall)]
    return _Side(tuple(dict.fromkeys(behind)), covered, tuple(dict.fromkeys(doubts)))


def _unknown(plan: Plan, room: str, other: str) -> Iterator[str]:
    """What has to be recorded before it is known that a space behind a wall is a room of the same storey."""
    if plan.site.spaces[other].use in EITHER:
        yield _use(other)
    for lacking in plan.lacks_level(room, other):
        yield f"nobody has recorded the level of {lacking.element}"


def _use(room: str) -> str:
    return f"nobody has recorded whether {room} is a room or outdoors (its use)"


def _unplaced(plan: Plan, room: str, rooms: Iterable[str]) -> list[str]:
    """Rooms that may stand behind a wall of `room`, for all the plan shows; none when it is the only room."""
    others = list(rooms)
    return [one.element for one in plan.lacks_place(room, *others)] if others else []


def _beyond(plan: Plan, wall: PlanWall) -> list[str]:
    """Rooms of other storeys that are drawn just beyond a wall: what is on its other side there is in no list."""
    if plan.lacks_place(wall.room):
        return []
    way = wall.direction
    out = ratio(-way[1] * WALL_GAP, wall.length), ratio(way[0] * WALL_GAP, wall.length)
    left, right = wall.left, wall.right
    strip = [left, right, (right[0] + out[0], right[1] + out[1]), (left[0] + out[0], left[1] + out[1])]
    around = box(strip)
    return [
        shape.name
        for shape in plan.placed
        if plan.same_level(wall.room, shape.name) is False
        and plan.site.spaces[shape.name].use not in OPEN_AIR
        and boxes_meet(around, shape.box, 0)
        and overlap(strip, shape.points)
    ]


def _covered(length: Number, stretches: list[tuple[Number, Number]]) -> bool:
    """Whether rooms stand behind all of a wall; less than a wall's thickness between them is a wall that ends there."""
    reached: Number = 0
    for start, end in sorted(stretches):
        if start - reached > WALL_GAP:
            return False
        reached = max(reached, end)
    return bool(stretches) and length - reached <= WALL_GAP


def _groups(asked: dict[str, _Side], apart: Collection[str]) -> Iterator[list[str]]:
    """Sides that belong to one wall: each looks at another of them."""
    linked: dict[str, set[str]] = {ref: set() for ref in asked}
    for ref, side in asked.items():
        for other in side.behind:
            if other in linked and ref not in apart and other not in apart:
                linked[ref].add(other)
                linked[other].add(ref)
    order = {ref: number for number, ref in enumerate(asked)}
    taken: set[str] = set()
    for ref in asked:
        waiting, group = [ref], set[str]()
        while waiting:
            one = waiting.pop()
            if one not in taken:
                taken.add(one)
                group.add(one)
                waiting.extend(linked[one])
        if group:
            yield sorted(group, key=order.__getitem__)


def _wall(group: list[str], asked: dict[str, _Side]) -> FoundWall:
    sides = [asked[ref] for ref in group]
    pairs = [(_room(ref), _room(other)) for ref in group for other in asked[ref].behind]
    across = frozenset([*pairs, *((other, room) for room, other in pairs)])
    doubts = tuple(dict.fromkeys(doubt for side in sides if not side.covered for doubt in side.doubts))
    if all(side.covered for side in sides):
        return FoundWall(tuple(group), "inside", True, across)
    if doubts:
        return FoundWall(tuple(group), None, False, across, doubts)
    if not across:
        return FoundWall(tuple(group), "outside", True)
    partly = [ref for ref, side in zip(group, sides, strict=True) if not side.covered]
    return FoundWall(tuple(group), None, True, across, (f"only part of {', '.join(partly)} has a room behind it",))


def _room(ref: str) -> str:
    return ref.partition(".")[0]
