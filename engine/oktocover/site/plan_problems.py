"""What in a site file cannot be, seen on its plan. Apart from the plan as only the reader of a file asks.

A value that is only a bound is taken at its kindest: nothing is refused that could still be true.
"""

from __future__ import annotations

import typing
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from oktocover.quantities import Number, Quantity
from oktocover.site.base import Element, OnWall, WallName, spaced
from oktocover.site.building import Opening
from oktocover.site.electrical import Counter
from oktocover.site.outlines import said
from oktocover.site.plan import Plan, PlanProblem
from oktocover.site.root import Site, element_lists
from oktocover.site.shapes import PlanWall, nearest_name
from oktocover.site.sides import ONE_SIDED, WALL_GAP

ON_THE_FLOOR = frozenset(
    {"door", "sliding door", "garage door", "cased opening", "fireplace", "railing", "stair opening"}
)
"""Openings that begin at the floor by what they are."""

IN_A_GABLE = frozenset({"louver", "vent opening"})
"""Openings that may stand over the ceiling of the room below."""

OUTDOORS = frozenset({"vent_terminal", "outside_thing", "gas_meter"})
"""Kinds on the outer face of a wall: they may be over the ceiling, and a wall thickness past the corner."""


def problems(site: Site) -> list[PlanProblem]:
    """Everything in a site that its plan shows to be impossible."""
    return plan_problems(Plan(site))


def plan_problems(plan: Plan) -> list[PlanProblem]:
    """Every problem of a plan: rooms, then walls named, then places on walls, then openings that overlap."""
    found = [_outlines(plan), _overlapping_rooms(plan), _walls_named(plan), _one_sided(plan), _places(plan)]
    return [problem for group in found for problem in group] + list(_shared_stretches(plan))


def _outlines(plan: Plan) -> Iterator[PlanProblem]:
    for name in plan.site.spaces:
        plan.room(name)
        error = plan.errors.get(name)
        if error is not None:
            path = ("spaces", name, *error.path_suffix)
            yield PlanProblem(path, f"{name}: {error.message}", error.expected, error.do)


def _overlapping_rooms(plan: Plan) -> Iterator[PlanProblem]:
    for one, other in plan.overlaps():
        field = "outline" if plan.site.spaces[other].outline is not None else "corner"
        yield PlanProblem(
            ("spaces", other, field),
            f"{other} lies partly inside {one}, on the same level",
            "rooms side by side, every corner measured from one zero point of the plan",
            f"measure {other} from the same zero point as {one}, or write the level it is on",
        )


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
        for fact in wall_fields(element_class):
            for name, element in getattr(plan.site, field).items():
                value = getattr(element, fact)
                path = (spaced(field), name, spaced(fact))
                if isinstance(value, str):
                    yield from _wall_named(plan, value, path)
                for index, item in enumerate(value if isinstance(value, list) else ()):
                    yield from _wall_named(plan, item, (*path, index))
    for index, statement in enumerate(plan.site.looked):
        one = isinstance(statement.in_, str)
        places = [statement.in_] if isinstance(statement.in_, str) else statement.in_ or ()
        for number, ref in enumerate(places):
            if "." in ref:
                yield from _wall_named(plan, ref, ("looked", index, "in", *(() if one else (number,))))


def _wall_named(plan: Plan, ref: str, path: tuple[str | int, ...]) -> Iterator[PlanProblem]:
    room, point, name = ref.partition(".")
    spaces = list(plan.site.spaces)
    if not point or not name:
        like = nearest_name(room, spaces) or (spaces or ["studio"])[0]
        yield PlanProblem(
            path, f"'{ref}' names no wall", "room.wall, as seen from inside the room", f"write it like {like}.north"
        )
    elif room not in spaces:
        near = nearest_name(room, spaces)
        do = f"write {near}.{name}" if near else f"add {room} to the spaces, or name one that is there"
        expected = "one of " + ", ".join(spaces) if spaces else "a room of the spaces list"
        yield PlanProblem(path, f"'{ref}': no room is called '{room}'", expected, do)
    else:
        shape = plan.room(room)
        if shape is None or shape.wall(name) is not None:
            return
        names = list(shape.wall_names)
        # Where several walls face this way, the one wall meant has a number.
        near_names = sorted(one for one in names if one.startswith(f"{name}-")) or [nearest_name(name, names) or ""]
        near = " or ".join(f"{room}.{one}" for one in near_names if one)
        yield PlanProblem(
            path,
            f"{room} has no wall '{name}'",
            "one of " + ", ".join(names),
            f"write {near}" if near else f"name a wall of {room}",
        )


def _one_sided(plan: Plan) -> Iterator[PlanProblem]:
    for name, opening in plan.site.openings.items():
        if opening.what in ONE_SIDED and opening.other_side is not None:
            message = f"{name} is a {opening.what}, which takes up wall in one room only"
            do = "take the line out; write an opening of its own in the other room if it shows there"
            yield PlanProblem(("openings", name, "other side"), message, "no other side", do)


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
            if element_class.kind not in OUTDOORS:
                yield from _up(plan, element, name, path)


def _along(element: OnWall, name: str, wall: PlanWall, path: tuple[str, str]) -> Iterator[PlanProblem]:
    fact, width = _extent(element)
    left, most = (element.at.low, element.at.high) if element.at is not None else (None, None)
    past = WALL_GAP if element.kind in OUTDOORS else 0
    if width > wall.length:
        do = f"measure {name} again, or the corners of {wall.room}"
        message = f"{name} is {said(width)} {'wide' if fact == 'width' else 'long'}, and {_long(wall)}"
        yield PlanProblem((*path, fact), message, f"at most {said(wall.length)}", do)
        return
    if most is not None and most < -past:
        message = f"{name} begins {said(-most)} left of the left end of {wall.ref}"
    elif left is not None and left > wall.length + past:
        message = f"{name} is at {said(left)}, and {_long(wall)}"
    elif left is not None and left + width > wall.length + past:
        message = f"{name} runs from {said(left)} to {said(left + width)}, and {_long(wall)}"
    else:
        return
    yield PlanProblem(
        (*path, "at"),
        message,
        f"a distance from 0 in to {said(wall.length - width)}",
        f"measure from the left end of the wall as seen from inside {wall.room} ({left_hand(wall)}), "
        "or name the wall it is on",
    )


def _extent(element: OnWall) -> tuple[str, Number]:
    """How much of a wall a thing takes up at least, and the fact that says so; a box is its centre."""
    if isinstance(element, Opening):
        return "width", _low(element.width) or 0
    if isinstance(element, Counter) and element.what == "wall counter":
        return "length", _low(element.length) or 0
    return "width", 0


def _long(wall: PlanWall) -> str:
    return f"{wall.ref} is {said(wall.length)} long"


def left_hand(wall: PlanWall) -> str:
    """Which end of a wall is its left one, in words a person in the room can use."""
    east, north = wall.direction
    if east * east >= north * north:
        return "its west end" if east > 0 else "its east end"
    return "its south end" if north > 0 else "its north end"


def _up(plan: Plan, element: OnWall, name: str, path: tuple[str, str]) -> Iterator[PlanProblem]:
    room = (element.wall or "").partition(".")[0]
    space = plan.site.spaces.get(room)
    ceiling = space.ceiling.high if space is not None and space.ceiling is not None else None
    if ceiling is None:
        return
    at = f"the ceiling of {room} is at {said(ceiling)}"
    do = f"measure {name} from the floor again, or the ceiling of {room}"
    height = _low(element.height)
    if height is not None and height > ceiling:
        message = f"{name} is {said(height)} above the floor, and {at}"
        yield PlanProblem((*path, "height"), message, f"at most {said(ceiling)}", do)
    if not isinstance(element, Opening) or element.what in IN_A_GABLE:
        return
    sill, high = _low(element.sill) or 0, _low(element.high) or 0
    if sill + high > ceiling:
        message = f"the head of {name} is {said(sill + high)} above the floor, and {at}"
        field = "sill" if sill > ceiling else "high"
        yield PlanProblem((*path, field), message, f"sill and height together at most {said(ceiling)}", do)


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
            for start, other_end, other, second in entries[index + 1 :]:
                if start < end and _heights_meet(opening, second):
                    shared = f"from {said(start)} to {said(min(end, other_end))}"
                    yield PlanProblem(
                        ("openings", other, "at"),
                        f"{other} and {name} overlap on {ref}, {shared}",
                        f"openings side by side: {name} ends at {said(end)}",
                        f"measure both from the left end of {ref} again, or take one out if they are one",
                    )


def _heights_meet(one: Opening, other: Opening) -> bool:
    """Whether two openings surely share a height; not while a sill or a height that decides is missing."""
    if one.what in ON_THE_FLOOR and other.what in ON_THE_FLOOR:
        return True
    first, second = _span(one), _span(other)
    return first is not None and second is not None and max(first[0], second[0]) < min(first[1], second[1])


def _span(opening: Opening) -> tuple[Number, Number] | None:
    sill = opening.sill.exact if opening.sill is not None else (0 if opening.what in ON_THE_FLOOR else None)
    high = opening.high.exact if opening.high is not None else None
    return (sill, sill + high) if sill is not None and high is not None else None
