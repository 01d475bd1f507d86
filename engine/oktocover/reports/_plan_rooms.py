"""Rooms on the plan: floors, walls, openings and marks first, then every label where there is place for it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from oktocover.measures.view import SiteView
from oktocover.quantities import Number, show
from oktocover.quantities.units import FOOT
from oktocover.reports._plain import clean
from oktocover.reports._plan_marks import CUTS, Mark, cut_drawing, cut_name, mark_of
from oktocover.reports._plan_sheet import Frame, Sheet, Side
from oktocover.reports._svg import Spot, around, beside, n, partway, safe, text_width
from oktocover.reports.readback import taped
from oktocover.site.building import Opening
from oktocover.site.geometry import point_in_polygon
from oktocover.site.shapes import RoomShape
from oktocover.site.sides import exact

OPEN_AIR: Final = frozenset({"porch", "deck", "balcony", "outdoors"})


def block(
    sheet: Sheet,
    rooms: list[tuple[RoomShape, Frame]],
    between: Callable[[dict[str, Side], list[tuple[RoomShape, Frame]]], None] | None = None,
) -> None:
    """Rooms that stand together: floors, walls, openings and marks first, then every label where there is place.

    `between` may put marks of its own after the names of the rooms, before other labels take the places beside the
    walls; it is given the drawn sides by their names (room.wall) and the rooms.
    """
    spaces = sheet.view.site.spaces
    for shape, frame in rooms:
        if spaces[shape.name].use not in OPEN_AIR:
            sheet.parts.append(
                f'<path class="band" style="stroke-width:{n(2 * sheet.band)}" d="{_ring(shape, frame)}"/>'
            )
    for shape, frame in rooms:
        sheet.parts.append(f'<path class="floor" data-id="{safe(shape.name)}" d="{_ring(shape, frame)}"/>')
    sides = [Side(wall, frame) for shape, frame in rooms for wall in shape.walls]
    for side in sides:
        _wall(sheet, side)
        _start(sheet, side)
    by_ref = {side.wall.ref: side for side in sides}
    openings, devices = list(_openings(sheet, by_ref)), list(_devices(sheet, by_ref))
    for shape, frame in rooms:
        _room_name(sheet, shape, frame)
    if between is not None:
        between(by_ref, rooms)
    for label in openings:
        _label(sheet, *label)
    for side in sides:
        _wall_name(sheet, side)
    for label in devices:
        _label(sheet, *label)


def _ring(shape: RoomShape, frame: Frame) -> str:
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in map(frame.at, shape.points)) + "Z"


def _wall(sheet: Sheet, side: Side) -> None:
    """The inside face as a heavy line that stops at openings, with a foot rule from its left end."""
    wall, openings = side.wall, sheet.view.site.openings
    gaps = [
        (start, end)
        for name, start, end in sheet.view.plan.openings_of(wall.room, wall.name)
        if CUTS[cut_name(openings[name].what)].cuts
    ]
    here: Number = 0
    drawn, holes = [], []
    for start, end in [*gaps, (wall.length, wall.length)]:
        if start > here:
            drawn.append((side.spot(here), side.spot(start)))
        here = max(here, end)
        if start < end:
            a, b = side.spot(start), side.spot(end)
            c, d = side.off(b, sheet.band + 0.4), side.off(a, sheet.band + 0.4)
            holes.append("M" + "L".join(f"{n(x)} {n(y)}" for x, y in (a, b, c, d)) + "Z")
    air = ' class="open-air"' if sheet.view.site.spaces[wall.room].use in OPEN_AIR else ""
    lines = "".join(f"M{n(a[0])} {n(a[1])}L{n(b[0])} {n(b[1])}" for a, b in drawn)
    gap = f'<path class="gap" d="{"".join(holes)}"/>' if holes else ""
    sheet.parts.append(
        f'<g{air}>{gap}<path class="tape" d="{_tape(sheet, side)}"/>'
        f'<path class="wall" data-wall="{safe(wall.ref)}" d="{lines}"/></g>'
    )
    for a, b in drawn:
        sheet.taken.line(a, b, 2)


def _tape(sheet: Sheet, side: Side) -> str:
    """A tick each foot from the left end, a longer one each fifth."""
    step = 1 if sheet.unit >= 8 else 5
    found = []
    for foot in range(step, math.ceil(side.wall.length / FOOT), step):
        a = side.spot(foot * FOOT)
        b = side.off(a, -7 if foot % 5 == 0 else -3.5)
        found.append(f"M{n(a[0])} {n(a[1])}L{n(b[0])} {n(b[1])}")
    return "".join(found)


_Label = tuple[str, str, Side, Spot, int, float]
"""Class and words, the wall and the spot on it, the side that is tried first, and how far off to begin."""


def _openings(sheet: Sheet, sides: dict[str, Side]) -> Iterator[_Label]:
    for name, opening in sheet.view.site.openings.items():
        side = sides.get(sheet.view.plan.ref(opening.wall or ""))
        at, width = exact(opening.at), exact(opening.width)
        if side is None or at is None or width is None:
            continue
        cut = cut_name(opening.what)
        wide = float(width) / FOOT * sheet.unit
        drawing = cut_drawing(cut, wide, sheet.band)
        sheet.used.setdefault(CUTS[cut].words, f'<g transform="translate(-13 6)">{cut_drawing(cut, 26, 10)}</g>')
        _put(sheet, "opening", name, opening.what or "opening", side, side.spot(at), drawing)
        middle = side.off(side.spot(at + width), 0, -wide / 2)
        for spot in (side.off(middle, 0, shift) for shift in range(int(-wide / 2) + 4, int(wide / 2), 8)):
            sheet.taken.add(around(side.off(spot, sheet.band / 2), 8, 8))
        # between two rooms the label stands in the one whose left end its distance counts from
        first = -1 if sheet.view.plan.other_side(side.wall.ref, at, width) else 1
        yield (
            "opening-id",
            f"{name}\nat {clean(opening.at.text, 24) if opening.at else ''}",
            side,
            side.off(middle, sheet.band / 2),
            first,
            sheet.band / 2 + 5,
        )


def _put(sheet: Sheet, kind: str, name: str, words: str, side: Side, spot: Spot, drawing: str) -> None:
    sheet.parts.append(
        f'<g class="{kind}" data-id="{safe(name)}" data-wall="{safe(side.wall.ref)}" '
        f'transform="translate({n(spot[0])} {n(spot[1])}) rotate({n(side.turn)})">'
        f"<title>{safe(name)}: {safe(words)}</title>{drawing}</g>"
    )


def _devices(sheet: Sheet, sides: dict[str, Side]) -> Iterator[_Label]:
    holding = {getattr(model, "box", None) for model in sheet.view.models.values()}
    for name, model in sheet.view.models.items():
        if name in holding:
            continue  # the mark of a box is that of the device in it
        at = exact(getattr(model, "at", None))
        side = sides.get(sheet.view.plan.ref(getattr(model, "wall", None) or ""))
        if isinstance(model, Opening) or side is None or at is None:
            continue
        mark = mark_of(model.kind)
        words = str(getattr(model, "what", None) or model.kind.replace("_", " "))
        key = mark.words if mark.words != "other" else model.kind.replace("_", " ")
        _put(sheet, "device", name, words, side, side.spot(at), _drawn(sheet, mark, model))
        sheet.used.setdefault(
            key, f'<g transform="translate(0 {6 if mark.side > 0 else 0 if mark.side == 0 else -6})">{mark.drawing}</g>'
        )
        face = sheet.band if mark.side > 0 else 0.0
        middle = sheet.band / 2 if mark.side == 0 else mark.side * (face + mark.reach / 2)
        spot = side.off(side.spot(at), middle)
        size = max(mark.reach, 2 * mark.half, 7.0)
        sheet.taken.add(around(spot, size, size))
        yield "id", name, side, spot, mark.side or 1, size / 2 + 2


def _drawn(sheet: Sheet, mark: Mark, model: Any) -> str:
    """A mark, and the stretch of wall it reaches along where that is recorded."""
    drawing = mark.drawing
    if mark.side > 0:
        drawing = f'<g transform="translate(0 {n(-sheet.band)})">{drawing}</g>'
    long = exact(getattr(model, "length", None) if model.kind == "counter" else getattr(model, "width", None))
    if long and model.kind in ("outside_thing", "counter"):
        off = -sheet.band - 4 if mark.side > 0 else 6.0
        wide = float(long) / FOOT * sheet.unit
        drawing = f'<path class="reach" d="M0 {n(off - 3)}V{n(off + 3)}M0 {n(off)}H{n(wide)}V{n(off - 3)}V{n(off + 3)}"/>{drawing}'
    return drawing


def _start(sheet: Sheet, side: Side) -> None:
    """An arrow at the left end of a wall, the way its distances are taped."""
    a, b = side.off(side.left, -4, 1.5), side.off(side.left, -14, 1.5)
    c, d = side.off(side.left, -8, 1.5), side.off(side.left, -8, 15)
    e, f = side.off(d, 2.5, -4), side.off(d, -2.5, -4)
    lines = ((a, b), (c, d), (e, d), (d, f))
    sheet.parts.append(
        '<path class="start" d="' + "".join(f"M{n(p[0])} {n(p[1])}L{n(q[0])} {n(q[1])}" for p, q in lines) + '"/>'
    )
    sheet.taken.line(c, d, 3)


def _wall_name(sheet: Sheet, side: Side) -> None:
    """The wall's name and length inside the room, from its left end on."""
    words = f"{clean(side.wall.name, 30)} {taped(side.wall.length)}"
    long, wide = math.dist(side.left, side.right), text_width(words, 10)
    if wide > long - 30:
        words = clean(side.wall.name, 30)
        wide = text_width(words, 10)
    flat = abs(side.along[0]) >= abs(side.along[1])
    size = (wide, 11.0) if flat else (11.0, wide)
    found = [
        side.off(side.left, -inset, 24 + wide / 2 + shift)
        for shift in range(0, max(1, int(long - wide - 34)), 6)
        for inset in (16, 26)
    ]
    spot = sheet.taken.free(found[:160], *size)
    if spot is None and side.wall.name == side.wall.facing and long < 150:
        return  # a compass name needs no label where there is no place for one
    spot = spot or sheet.taken.best(found[:160], *size)
    turn = side.turn if -89.9 < side.turn < 90.1 else side.turn - 180
    turn = turn + 360 if turn < -180 else turn
    sheet.text("side", spot, words, turn=turn if abs(turn) > 0.01 else 0)


def _room_name(sheet: Sheet, shape: RoomShape, frame: Frame) -> None:
    """Name, use, size, area and ceiling, in the largest form that the room has place for."""
    west, south, east, north = shape.box
    wide, high = (float(one) / FOOT * sheet.unit for one in (east - west, north - south))
    facts = room_facts(sheet.view, shape)
    forms = [
        _Form(name, fact, tuple(wrapped))
        for name, fact in ((15.0, 11.0), (13.0, 10.0), (11.0, 9.0))
        for wrapped in (facts, [part for one in facts for part in _split(one)])
    ]
    form = next((one for one in forms if one.wide(shape.name) <= wide - 28 and one.high <= high - 30), None)
    if form is None:
        form = _Form(11.0, 9.0, ())
        sheet.small.append(f"{shape.name}: {', '.join(facts)}")
    middle = sheet.taken.best(spots_inside(shape, frame), form.wide(shape.name), form.high)
    y = middle[1] - form.high / 2 + form.name / 2
    sheet.text("name", (middle[0], y), clean(shape.name, 40), size=form.name)
    for number, words in enumerate(form.facts):
        sheet.text("fact", (middle[0], y + form.name + 1 + (form.fact + 2) * number), words, size=form.fact)


@dataclass(frozen=True, slots=True)
class _Form:
    """One way to write a room's facts: sizes of letters and lines."""

    name: float
    fact: float
    facts: tuple[str, ...]

    @property
    def high(self) -> float:
        return self.name + 3 + (self.fact + 2) * len(self.facts)

    def wide(self, room: str) -> float:
        """Width of the widest line."""
        widths = (text_width(words, self.fact) for words in self.facts)
        return max(text_width(clean(room, 40), self.name), *widths, 0.0)


def room_facts(view: SiteView, shape: RoomShape) -> list[str]:
    space = view.site.spaces[shape.name]
    west, south, east, north = shape.box
    facts: list[str] = [space.use] if space.use and space.use != shape.name else []
    facts.append(f"{taped(east - west)} x {taped(north - south)}")
    facts += [] if shape.size else ["over all"]
    facts.append(show(shape.area, "area", "ft2", 4).replace("ft2", "sq ft"))
    return facts + ([f"ceiling {clean(space.ceiling.text, 30)}"] if space.ceiling is not None else [])


def _split(fact: str) -> list[str]:
    east, by, north = fact.partition(" x ")
    return [f"{east} x", north] if by else [fact]


def spots_inside(shape: RoomShape, frame: Frame) -> list[Spot]:
    """Spots within a room, the middle first."""
    west, south, east, north = shape.box
    middle = (west + east) // 2, (south + north) // 2
    grid = [
        ((west * (24 - i) + east * i) // 24, (south * (24 - j) + north * j) // 24)
        for i in range(2, 23)
        for j in range(2, 23)
    ]
    grid.sort(key=lambda point: (max(abs(point[0] - middle[0]), abs(point[1] - middle[1])), point))
    return [frame.at(point) for point in grid if point_in_polygon(point, shape.points)] or [frame.at(middle)]


def _label(sheet: Sheet, kind: str, text: str, side: Side, spot: Spot, first: int, start: float) -> None:
    name, _, more = text.partition("\n")
    words, size = clean(name, 24), 11.0 if kind == "opening-id" else 9.0
    wide, high = max(text_width(words, size), text_width(more, 9)) + 2, size + 1 + (9 if more else 0)
    places = beside(spot, side.out, wide, high, start, first)
    place = sheet.taken.free(places, wide, high, spot, 70 if kind == "id" else math.inf)
    if place is None:
        sheet.crowded.setdefault(side.wall.ref, []).append((side.distance(spot), words))
        return
    left, top, right, bottom = around(place, wide, high)
    near = min(max(spot[0], left), right), min(max(spot[1], top), bottom)
    if math.dist(near, spot) > start + 5:
        begin = partway(spot, near, min(1.0, start / math.dist(near, spot)))
        sheet.parts.append(f'<path class="lead" d="M{n(begin[0])} {n(begin[1])}L{n(near[0])} {n(near[1])}"/>')
        sheet.taken.line(begin, near, 0.5)
    sheet.text(kind, (place[0], top + 1 + size / 2), words)
    if more:
        sheet.text("at", (place[0], bottom - 5), more)
