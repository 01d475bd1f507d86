"""Facts of rooms: area, perimeter, ceiling and volume, as taped and with the finish that is still to come.

`framed_area`, `framed_perimeter` and `framed_volume` are what was taped, whatever the tape was held against.
`area`, `perimeter`, `finished_ceiling` and `volume` are those of the finished room: the outline moved inward
by the wall finish, the height less ceiling and floor finish. While the finish is not recorded the finished
figure is known to be at most the taped one, and no more. Rules about volumes and areas take the finished figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, from_view, kind, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Number, Range, Unknown, Worked
from oktocover.measures.view import SiteView
from oktocover.quantities import Quantity, number, show
from oktocover.site.base import OnWall
from oktocover.site.plan import RoomShape
from oktocover.site.root import Site, element_lists

SHOELACE = "Gauss's area formula"
OFFSET = "area of a polygon moved inward with square corners"


@dataclass(frozen=True, slots=True)
class Finish:
    """What the finish to come takes off the taped room, in nanometres: exact, or a Range if not recorded."""

    walls: Number | Range
    ceiling: Number | Range
    floor: Number | Range


def finish(site: Site) -> Finish:
    """The finish that will be put over what was taped: nothing when the tape was held against finished faces.

    A thickness that is not recorded is a Range from 0 up that names `still to come` or `measured to`.
    """
    return Finish(*(_thickness(site, part) for part in ("walls", "ceiling", "floor")))


def _thickness(site: Site, part: str) -> Number | Range:
    told = getattr(site.still_to_come, part)
    if site.measured_to == "finished face" or told == "none":
        return 0
    missing = []
    if site.measured_to is None:
        means = "what the tape was held against: bare framing or finished face"
        missing.append(Missing("site", "measured to", "tape", "site", means, ("measured to",)))
    if not isinstance(told, Quantity) or told.exact is None:
        missing.append(
            Missing(
                "site",
                f"{part} still to come",
                "paper",
                "site",
                f"thickness of the {part} finish",
                ("still to come", part),
            )
        )
    low, high = (told.low, told.high) if isinstance(told, Quantity) else (None, None)
    if low is not None and low == high and not missing:
        return low
    return Range(low if low is not None and site.measured_to else 0, high, missing=tuple(missing))


def finished_height(height: Number | Range, over: Finish) -> Number | Range:
    """A height taped from the floor as it is, counted from the finished floor (nanometres)."""
    if not isinstance(height, Range) and not isinstance(over.floor, Range):
        return height - over.floor
    low, high = _ends(height)
    thin, thick = _ends(over.floor)
    missing = tuple(item for one in (height, over.floor) if isinstance(one, Range) for item in one.missing)
    return Range(
        None if low is None or thick is None else low - thick,
        None if high is None or thin is None else high - thin,
        missing=tuple(dict.fromkeys(missing)),
    )


def _ends(value: Number | Range) -> tuple[Any, Any]:
    return (value.low, value.high) if isinstance(value, Range) else (value, value)


@from_view
def _inputs(view: SiteView) -> None:
    """The shape of each room in place of the text of its outline, and the finish to come over it."""
    over = finish(view.site)
    taped = view.how(("measured to",), None)
    walls, ceiling, floor = (
        Fact(thick, (), min(taped, view.how(("still to come", part), None)))
        for part, thick in (("walls", over.walls), ("ceiling", over.ceiling), ("floor", over.floor))
    )
    for subject in view.by_kind["space"]:
        outline = _outline(view, subject)
        subject.own |= {"outline": outline, "wall_finish": walls, "ceiling_finish": ceiling, "floor_finish": floor}
    for kind_name in _on_wall_kinds():
        for subject in view.by_kind[kind_name]:
            subject.own["floor_finish"] = floor


def _outline(view: SiteView, subject: Subject) -> Fact:
    space = view.site.spaces[subject.id]
    shape = view.plan.room(subject.id)
    if shape is None:
        return Fact(Unknown((subject.lacks("outline", "tape"),)))
    return Fact(shape, (), view.how((*subject.path, "size" if space.outline is None else "outline"), space))


def _on_wall_kinds() -> list[str]:
    return [one.kind for one in element_lists().values() if issubclass(one, OnWall)]


def _length(means: str) -> FactType:
    return FactType("quantity", "length", means=means, found_by="tape")


def _area(means: str) -> FactType:
    return FactType("quantity", "area", means=means, found_by="tape")


def _volume(means: str) -> FactType:
    return FactType("quantity", "volume", means=means, found_by="tape")


def height_above_finished_floor(height: Number, floor_finish: Number) -> Worked:
    """Height above the finished floor: the height as taped, less the floor finish still to come."""
    result = height - floor_finish
    return Worked(result, _less("height above the finished floor", height, floor_finish, result))


def _register_finishes() -> None:
    """Give every kind of element that has a height on a wall the same height above the finished floor."""
    for part in ("wall", "ceiling", "floor"):
        kind("space").facts[f"{part}_finish"] = _length(f"thickness of the {part} finish still to come")
    for name in _on_wall_kinds():
        kind(name).facts["floor_finish"] = _length("thickness of the floor finish still to come")
        measure(
            name,
            "finished_height",
            _length("height above the finished floor"),
            ("height", "floor_finish"),
            rises=("height",),
            falls=("floor_finish",),
        )(height_above_finished_floor)


@measure("space", "framed_area", _area("floor area inside the outline as it was taped"), ("outline",))
def framed_area(outline: RoomShape) -> Worked:
    """Area inside the outline as taped. Strips for square corners, else Gauss's shoelace formula."""
    return Worked(outline.area, _area_steps(outline))


@measure("space", "framed_perimeter", _length("all walls together, as they were taped"), ("outline",))
def framed_perimeter(outline: RoomShape) -> Worked:
    """The sum of the walls as taped."""
    how = " + ".join(show(wall.length, "length") for wall in outline.walls)
    return Worked(outline.perimeter, (Step("all walls", how, show(outline.perimeter, "length")),))


@measure("space", "area", _area("floor area of the finished room"), ("outline", "wall_finish"), falls=("wall_finish",))
def area(outline: RoomShape, wall_finish: Number) -> Worked:
    """Floor area of the finished room: A - P t + s t^2 for a wall finish t, s = 4 with square corners.

    Source: elementary geometry of the outline moved inward by t; s sums tan(turn / 2) over the corners.
    """
    steps = _area_steps(outline)
    if not wall_finish:
        return Worked(outline.area, steps)
    result = max(outline.area - outline.perimeter * wall_finish + outline.corner_sum * wall_finish**2, 0)
    thin, source = show(wall_finish, "length"), OFFSET
    how = (
        f"{show(outline.area, 'area')} - {show(outline.perimeter, 'length')} x {thin} "
        f"+ {_plain(outline.corner_sum)} x {thin} x {thin}"
    )
    if outline.size is not None:
        sides = " x ".join(show(side - 2 * wall_finish, "length") for side in outline.size)
        how, source = f"{thin} off at each wall: {sides}", ""
    last = Step("floor area with the wall finish on", how, show(result, "area"), source)
    return Worked(number(result), (*steps, last))


@measure(
    "space",
    "perimeter",
    _length("all walls of the finished room together"),
    ("outline", "wall_finish"),
    falls=("wall_finish",),
)
def perimeter(outline: RoomShape, wall_finish: Number) -> Worked:
    """The walls of the finished room: P - 2 s t for a wall finish t, s = 4 with square corners."""
    first = framed_perimeter(outline)
    if not wall_finish:
        return Worked(first.value, first.steps)
    result = number(max(outline.perimeter - 2 * outline.corner_sum * wall_finish, 0))
    thin = show(wall_finish, "length")
    how = f"{show(outline.perimeter, 'length')} - {_plain(2 * outline.corner_sum)} x {thin}"
    last = Step("all walls with the finish on", how, show(result, "length"), OFFSET)
    return Worked(result, (*first.steps, last))


@measure(
    "space",
    "finished_ceiling",
    _length("height from the finished floor to the finished ceiling"),
    ("ceiling", "ceiling_finish", "floor_finish"),
    rises=("ceiling",),
    falls=("ceiling_finish", "floor_finish"),
)
def finished_ceiling(ceiling: Number, ceiling_finish: Number, floor_finish: Number) -> Worked:
    """Finished floor to finished ceiling: the taped height less what both get."""
    result = ceiling - ceiling_finish - floor_finish
    finishes = [part for part in (ceiling_finish, floor_finish) if part]
    if not finishes:
        return Worked(result)
    how = " - ".join(show(part, "length") for part in (ceiling, *finishes))
    return Worked(result, (Step("ceiling height with the finish on", how, show(result, "length")),))


@measure("space", "framed_volume", _volume("room volume as it was taped"), ("outline", "ceiling"), rises=("ceiling",))
def framed_volume(outline: RoomShape, ceiling: Number) -> Worked:
    """Area inside the outline times ceiling height, both as taped."""
    return _volume_of(outline.area, ceiling, _area_steps(outline))


@measure(
    "space",
    "volume",
    _volume("volume of the finished room"),
    ("area", "finished_ceiling"),
    rises=("area", "finished_ceiling"),
)
def volume(area: Number, finished_ceiling: Number) -> Worked:
    """Finished floor area times finished ceiling height."""
    return _volume_of(area, finished_ceiling, ())


def _volume_of(area: Number, height: Number, steps: tuple[Step, ...]) -> Worked:
    result = area * height
    how = f"{show(area, 'area')} x {show(height, 'length')}"
    return Worked(result, (*steps, Step("room volume", how, show(result, "volume"))))


def _less(what: str, whole: Number, part: Number, result: Number) -> tuple[Step, ...]:
    if not part:
        return ()
    return (Step(what, f"{show(whole, 'length')} - {show(part, 'length')}", show(result, "length")),)


def _plain(value: Number) -> str:
    return str(value) if isinstance(value, int) else f"{float(Fraction(value)):.4g}"


def _area_steps(shape: RoomShape) -> tuple[Step, ...]:
    """The area as a person would work it out on paper."""
    total = show(shape.area, "area")
    if shape.size is not None:
        return (Step("floor area", " x ".join(show(side, "length") for side in shape.size), total),)
    if all(wall.start[0] == wall.end[0] or wall.start[1] == wall.end[1] for wall in shape.walls):
        return _strips(shape, total)
    rows = []
    for place, wall in enumerate(shape.walls, 1):
        (x, y), (east, north) = wall.start, wall.end
        part = x * north - east * y
        how = " - ".join(f"{show(a, 'length')} x {show(b, 'length')}" for a, b in ((x, north), (east, y)))
        rows.append(Step(f"corner {place}: east x next north - next east x north", how, show(part, "area")))
    return (*rows, Step("floor area", "half of their sum", total, SHOELACE))


def _strips(shape: RoomShape, total: str) -> tuple[Step, ...]:
    """A room with square corners, cut into strips by the norths of its corners."""
    heights = sorted({point[1] for point in shape.points})
    rows = []
    for low, high in zip(heights, heights[1:], strict=False):
        ends = sorted(
            wall.start[0]
            for wall in shape.walls
            if min(wall.start[1], wall.end[1]) <= low and high <= max(wall.start[1], wall.end[1])
        )
        wide = sum((b - a for a, b in zip(ends[::2], ends[1::2], strict=True)), start=0)
        rows.append((wide, high - low))
    sides = [f"{show(wide, 'length')} x {show(deep, 'length')}" for wide, deep in rows]
    if len(rows) == 1:
        return (Step("floor area", sides[0], total),)
    parts = [show(wide * deep, "area") for wide, deep in rows]
    strips = (Step(f"strip {place}", how, part) for place, (how, part) in enumerate(zip(sides, parts, strict=True), 1))
    return (*strips, Step("floor area", " + ".join(parts), total))


_register_finishes()
