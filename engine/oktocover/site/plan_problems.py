"""What in a site file cannot be, seen on its plan. Apart from the plan because it only serves the reader of a file.

A value that is only a bound is taken at its kindest: nothing is refused that could still be true.
"""

from __future__ import annotations

import typing
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from oktocover.quantities import Number, Quantity
from oktocover.site.base import Element, OnWall, WallName, spaced
from oktocover.site.building import Opening
from oktocover.site.root import element_lists
from oktocover.site.shapes import PlanWall, nearest_name, said

if TYPE_CHECKING:
    from oktocover.site.plan import Plan, PlanProblem

ON_THE_FLOOR = frozenset({"door", "sliding door", "garage door", "cased opening", "fireplace", "railing", "stair opening"})
"""Openings that begin at the floor by what they are."""

ABOVE_THE_CEILING = frozenset({"louver", "vent opening"})
"""Openings that may stand in a gable or an attic wall, over the ceiling of the room below."""


def plan_problems(plan: Plan) -> list[PlanProblem]:
    """Every problem of a plan, in the order of the site file's lists."""
    return [*_outlines(plan), *_overlapping_rooms(plan), *_walls_named(plan), *_places(plan), *_shared_stretches(plan)]


def _problem(path: tuple[str | int, ...], message: str, expected: str = "", do: str = "") -> PlanProblem:
    from oktocover.site.plan import PlanProblem

    return PlanProblem(path, message, expected, do)


def _outlines(plan: Plan) -> Iterator[PlanProblem]:
    for name in plan.site.spaces:
        plan.room(name)
        error = plan.errors.get(name)
        if error is not None:
            yield _problem(("spaces", name, *error.path_suffix), f"{name}: {error.message}", error.expected, error.do)


def _overlapping_rooms(plan: Plan) -> Iterator[PlanProblem]:
    for one, other in plan.overlaps():
        field = "outline" if plan.site.spaces[other].outline is not None else "corner"
        yield _problem(
            ("spaces", other, field), f"{other} lies partly inside {one}, on the same level",
            "rooms side by side, every corner measured from one zero point of the plan",
            f"measure {other} from the same zero point as {one}, or write the level it is on")


@lru_cache(maxsize=256)
def wall_fields(element_class: type[Element]) -> tuple[str, ...]:
    """Fields of an element that hold `room.wall`, or a list of them."""
    return tuple(name for name, field in element_class.model_fields.items() if _names_walls(field))


def _names_walls(field: Any) -> bool:
    waiting, marks = [field.annotation], list(field.metadata)
    while waiting:
        part = waiting.pop()
        marks += getattr(part, "__metadata__", ())
        waiting += typing.get_args(part)
    return any(isinstance(mark, WallName) for mark in marks)


def _walls_named(plan: Plan) -> Iterator[PlanProblem]:
    for field, element_class in element_lists().items():
        wanted = wall_fields(element_class)
        if not wanted:
            continue
        for name, element in getattr(plan.site, field).items():
            for fact in wanted:
                value = getattr(element, fact)
                path = (spaced(field), name, spaced(fact))
                if isinstance(value, str):
                    yield from _wall_named(plan, value, path)
                for index, item in enumerate(value if isinstance(value, list) else ()):
                    yield from _wall_named(plan, item, (*path, index))
    for index, statement in enumerate(plan.site.looked):
        places = [statement.in_] if isinstance(statement.in_, str) else statement.in_ or []
        for place in places:
            if "." in place:
                yield from _wall_named(plan, place, ("looked", index, "in"))


def _wall_named(plan: Plan, ref: str, path: tuple[str | int, ...]) -> Iterator[PlanProblem]:
    room, point, name = ref.partition(".")
    spaces = list(plan.site.spaces)
    if not point:
        example = f"{ref}.north" if ref in spaces else f"{nearest_name(ref, spaces) or (spaces or ['studio'])[0]}.north"
        yield _problem(path, f"'{ref}' names no wall", "room.wall, as seen from inside the room", f"write it like {example}")
        return
    if room not in spaces:
        near = nearest_name(room, spaces)
        yield _problem(path, f"'{ref}': no room is called '{room}'", "one of " + ", ".join(spaces) if spaces else "a room",
                       f"write {near}.{name}" if near else f"add {room} to the spaces, or name one that is there")
        return
    shape = plan.room(room)
    if shape is None or shape.wall(name) is not None:
        return
    names = list(shape.wall_names)
    # Several walls face this way: the one wall meant has a number.
    numbered = [one for one in names if one.startswith(f"{name}-")]
    near = " or ".join(f"{room}.{one}" for one in numbered)
    near = near or (f"{room}.{nearest_name(name, names)}" if nearest_name(name, names) else "")
    yield _problem(path, f"{room} has no wall '{name}'", "one of " + ", ".join(names),
                   f"write {near}" if near else f"name a wall of {room}")


def _low(quantity: Quantity | None) -> Number | None:
    return quantity.low if quantity is not None else None


def _places(plan: Plan) -> Iterator[PlanProblem]:
    for field, element_class in element_lists().items():
        if not issubclass(element_class, OnWall):
            continue
        for name, element in getattr(plan.site, field).items():
            wall = plan.wall(element.wall)
            path = (spaced(field), name)
            if wall is not None:
                yield from _along(element, name, wall, path)
            yield from _up(plan, element, name, path)


def _along(element: OnWall, name: str, wall: PlanWall, path: tuple[str, str]) -> Iterator[PlanProblem]:
    width = (_low(element.width) or 0) if isinstance(element, Opening) else 0
    left, far = _low(element.at), element.at.high if element.at is not None else None
    do = (f"measure from the left end of the wall as seen from inside {wall.room}, "
          f"{said_point_of(wall)}, or name the wall it is on")
    if width > wall.length:
        yield _problem((*path, "width"), f"{name} is {said(width)} wide, and {wall.ref} is {said(wall.length)} long",
                       f"at most {said(wall.length)}", f"measure {name} again, or the corners of {wall.room}")
    elif far is not None and far < 0:
        yield _problem((*path, "at"), f"{name} begins {said(-far)} left of the left end of {wall.ref}",
                       f"a distance from 0 in to {said(wall.length)}", do)
    elif left is not None and left > wall.length:
        yield _problem((*path, "at"), f"{name} is at {said(left)}, and {wall.ref} is {said(wall.length)} long",
                       f"a distance from 0 in to {said(wall.length)}", do)
    elif left is not None and left + width > wall.length:
        yield _problem(
            (*path, "at"), f"{name} runs from {said(left)} to {said(left + width)}, and {wall.ref} is {said(wall.length)} long",
            f"at most {said(wall.length - width)}, the length of the wall less the width of the opening", do)


def said_point_of(wall: PlanWall) -> str:
    """Which hand the left end of a wall is on, in words a person in the room can use."""
    east, north = wall.direction
    if abs(east) >= abs(north):
        return "its west end" if east > 0 else "its east end"
    return "its south end" if north > 0 else "its north end"


def _up(plan: Plan, element: OnWall, name: str, path: tuple[str, str]) -> Iterator[PlanProblem]:
    space = plan.site.spaces.get((element.wall or "").partition(".")[0])
    ceiling = space.ceiling.high if space is not None and space.ceiling is not None else None
    if ceiling is None or getattr(element, "above_ceiling", False):
        return
    room = (element.wall or "").partition(".")[0]
    height = _low(element.height)
    if height is not None and height > ceiling:
        yield _problem((*path, "height"), f"{name} is {said(height)} above the floor, and the ceiling of {room} is at {said(ceiling)}",
                       f"at most {said(ceiling)}", f"measure {name} from the floor again, or the ceiling of {room}")
    if not isinstance(element, Opening) or element.what in ABOVE_THE_CEILING:
        return
    sill, high = _low(element.sill) or 0, _low(element.high) or 0
    if sill + high > ceiling:
        yield _problem(
            (*path, "sill" if sill > ceiling else "high"),
            f"the head of {name} is {said(sill + high)} above the floor, and the ceiling of {room} is at {said(ceiling)}",
            f"sill and height together at most {said(ceiling)}", f"measure {name} again, or the ceiling of {room}")


def _shared_stretches(plan: Plan) -> Iterator[PlanProblem]:
    """Two openings written on one wall that take up the same piece of it."""
    by_wall: dict[str, list[tuple[Number, Number, str, Opening]]] = {}
    for name, opening in plan.site.openings.items():
        if opening.wall is None or opening.at is None or opening.width is None:
            continue
        start, width = opening.at.exact, opening.width.exact
        if start is not None and width is not None:
            by_wall.setdefault(plan.ref(opening.wall), []).append((start, start + width, name, opening))
    for ref, entries in by_wall.items():
        entries.sort(key=lambda entry: entry[0])
        for index, (_, end, name, opening) in enumerate(entries):
            for start, other_end, other, second in entries[index + 1:]:
                if start >= end:
                    break
                if not _heights_meet(opening, second):
                    continue
                yield _problem(
                    ("openings", other, "at"),
                    f"{other} and {name} overlap on {ref}, from {said(start)} to {said(min(end, other_end))}",
                    f"openings side by side: {name} ends at {said(end)}",
                    f"measure both from the left end of {ref} again, or take one of them out if they are the same opening")


def _heights_meet(one: Opening, other: Opening) -> bool:
    """Whether two openings surely share a height; not when a sill or a height they need is not recorded."""
    spans = [_span(opening) for opening in (one, other)]
    if one.what in ON_THE_FLOOR and other.what in ON_THE_FLOOR:
        return True
    if spans[0] is None or spans[1] is None:
        return False
    return max(spans[0][0], spans[1][0]) < min(spans[0][1], spans[1][1])


def _span(opening: Opening) -> tuple[Number, Number] | None:
    sill = opening.sill.exact if opening.sill is not None else (0 if opening.what in ON_THE_FLOOR else None)
    high = opening.high.exact if opening.high is not None else None
    return (sill, sill + high) if sill is not None and high is not None else None
