"""Wall elevations: one wall as it is seen from inside its room, to scale, with heights above the floor.

Drawn for the walls that findings stand at. A height that nobody has recorded is drawn under the floor line, never guessed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from oktocover.measures.view import SiteView
from oktocover.quantities.units import FOOT
from oktocover.reports._plan_marks import CUTS, cut_name, mark_of
from oktocover.reports._svg import Taken, around, n, partway, safe, text_width
from oktocover.reports.html_report_entries import anchor
from oktocover.reports.html_report_parts import Drawing
from oktocover.reports.html_report_plan import IN_A_ROW, SIZE, Marks, whole
from oktocover.reports.readback import taped
from oktocover.site.building import Opening
from oktocover.site.shapes import PlanWall
from oktocover.site.sides import exact

UNIT: Final = 16.0
"""Units to the foot: the same for every wall, so that they can be compared."""
_LEFT: Final = 34.0
_TOP: Final = 30.0
_LEAST: Final = 8.0
"""Feet of height that are drawn at least."""


def elevations(view: SiteView, marks: Marks) -> list[Drawing]:
    """A drawing for each wall that an entry stands at, in the order of the rooms and clockwise in each."""
    wanted = {spot.ref for spot in marks.by_spot if spot.wall}
    found = []
    for room in view.site.spaces:
        shape = view.plan.room(room)
        for wall in reversed(shape.walls) if shape is not None else ():
            if wall.ref in wanted:
                found.append(_elevation(view, wall, marks))
    return found


class _Wall:
    """One wall on its sheet: distances from its left end to the right, heights up from the floor line."""

    def __init__(self, view: SiteView, wall: PlanWall) -> None:
        self.view, self.wall = view, wall
        space = view.site.spaces[wall.room]
        self.ceiling = exact(space.ceiling)
        tall = [float(self.ceiling) / FOOT] if self.ceiling is not None else []
        tall += [_top(model) / FOOT for _, model in self.things()]
        self.high = max([*tall, 1.0] if self.ceiling is not None else [*tall, _LEAST]) * UNIT
        self.long = float(wall.length) / FOOT * UNIT
        self.floor = _TOP + self.high
        self.parts: list[str] = []
        ceiling = f"ceiling {taped(self.ceiling)}" if self.ceiling is not None else "ceiling height not recorded"
        self.words = f"{taped(wall.length)} from its left end, {ceiling}"
        self.wide = _LEFT + max(self.long + 24, text_width(self.words, 10) + 8)
        self.taken = Taken((4, 4, self.wide - 4, self.floor + 120))

    def things(self) -> Iterator[tuple[str, Any]]:
        """What is written on this wall with its distance, openings first."""
        holding = {getattr(model, "box", None) for model in self.view.models.values()}
        found = [
            (name, model)
            for name, model in self.view.models.items()
            if name not in holding  # the mark of a box is that of the device in it
            and exact(getattr(model, "at", None)) is not None
            and self.view.plan.ref(getattr(model, "wall", None) or "") == self.wall.ref
        ]
        yield from sorted(found, key=lambda one: not isinstance(one[1], Opening))

    def x(self, at: Any) -> float:
        return _LEFT + float(at) / FOOT * UNIT

    def y(self, height: Any) -> float:
        return self.floor - float(height) / FOOT * UNIT

    def text(self, kind: str, x: float, y: float, words: str, side: str = "middle") -> None:
        self.parts.append(
            f'<text class="{kind}" x="{n(x)}" y="{n(y)}" dy="0.35em" text-anchor="{side}">{safe(words)}</text>'
        )


def _top(model: Any) -> float:
    """How high a thing reaches (nm), as far as it is written."""
    if isinstance(model, Opening):
        sill, high = exact(model.sill), exact(model.high)
        return float((sill or 0) + (high or 0))
    return float(exact(getattr(model, "height", None)) or 0)


def _elevation(view: SiteView, wall: PlanWall, marks: Marks) -> Drawing:
    sheet = _Wall(view, wall)
    _frame(sheet)
    for name, model in sheet.things():
        if isinstance(model, Opening):
            _opening(sheet, name, model)
    named = [one for one in sheet.things() if not isinstance(one[1], Opening)]
    places = {name: _thing(sheet, name, model) for name, model in named}
    prefix = anchor("e", wall.ref)
    placed, numbers = _marks(sheet, marks, prefix, places)
    for name, (x, y) in places.items():
        _name(sheet, name, x, y)
    title = f"{wall.room}, {wall.name} wall" if wall.name == wall.facing else f"{wall.room}, {wall.name}"
    parts = ['<g aria-hidden="true">', *sheet.parts, "</g>", *placed]
    svg = whole(parts, sheet.wide, sheet.floor + 46, f"Wall seen from inside, to scale: {title}", "elevation")
    return Drawing(title, anchor("wall", wall.ref), svg, (), tuple(numbers))


def _frame(sheet: _Wall) -> None:
    """Floor, ends, ceiling, and feet along both."""
    left, right, top = _LEFT, _LEFT + sheet.long, _TOP
    known = sheet.ceiling is not None
    sheet.parts.append(
        f'<rect class="floor" x="{n(left)}" y="{n(top)}" width="{n(sheet.long)}" height="{n(sheet.high)}"/>'
    )
    sheet.parts.append(f'<path class="wall" d="M{n(left)} {n(top)}V{n(sheet.floor)}H{n(right)}V{n(top)}"/>')
    sheet.parts.append(f'<path class="{"wall" if known else "dash"}" d="M{n(left)} {n(top)}H{n(right)}"/>')
    ticks = []
    for foot in range(math.floor(sheet.long / UNIT) + 1):
        ticks.append(f"M{n(left + foot * UNIT)} {n(sheet.floor)}v{9 if foot % 5 == 0 else 5}")
        if foot % 5 == 0:
            sheet.text("fact", left + foot * UNIT, sheet.floor + 16, f"{foot}")
    for foot in range(math.floor(sheet.high / UNIT) + 1):
        ticks.append(f"M{n(left)} {n(sheet.floor - foot * UNIT)}h-{9 if foot % 5 == 0 else 5}")
        if foot % 5 == 0 and foot:
            sheet.text("fact", left - 12, sheet.floor - foot * UNIT, f"{foot}", "end")
    sheet.parts.append(f'<path class="tape" d="{"".join(ticks)}"/>')
    sheet.text("side", left, sheet.floor + 34, sheet.words, "start")


def _opening(sheet: _Wall, name: str, opening: Opening) -> None:
    at, width, sill, high = (exact(one) for one in (opening.at, opening.width, opening.sill, opening.high))
    if at is None or width is None:
        return
    whole_known = sill is not None and high is not None
    low = sheet.y(sill) if sill is not None else sheet.floor
    top = sheet.y(sill + high) if sill is not None and high is not None else max(low - 6 * UNIT, _TOP + 8)
    kind = CUTS[cut_name(opening.what)].words
    left, right = sheet.x(at), sheet.x(at + width)
    style = "hole" if whole_known else "hole dash"
    sheet.parts.append(
        f'<rect class="{style}" x="{n(left)}" y="{n(top)}" width="{n(right - left)}" height="{n(low - top)}"/>'
    )
    middle = (left + right) / 2
    if text_width(name, 11) < right - left:
        sheet.text("opening-id", middle, top + 12, name)
        words = kind if whole_known else f"{kind}, heights not recorded"
        if text_width(words, 9) < right - left:
            sheet.text("at", middle, top + 24, words)
    sheet.taken.add((left, top, right, top + 30))
    for x in (left, right):
        sheet.taken.line((x, top), (x, low))


def _thing(sheet: _Wall, name: str, model: Any) -> tuple[float, float]:
    """The mark of a thing at its height, under the floor line where that is not recorded; its middle."""
    kind = mark_of(model.kind)
    height = exact(getattr(model, "height", None))
    x = sheet.x(exact(model.at))
    y = sheet.y(height) if height is not None else sheet.floor + 8
    drop = -kind.reach / 2 if kind.side < 0 else kind.reach / 2 + 1 if kind.side > 0 else 3.2
    behind = " outside" if kind.side > 0 else ""
    sheet.parts.append(
        f'<g class="device{behind}" transform="translate({n(x)} {n(y + drop)})"><title>{safe(name)}</title>{kind.drawing}</g>'
    )
    sheet.taken.add(around((x, y), max(2 * kind.half, kind.reach), max(kind.reach, 8)))
    return x, y


def _marks(
    sheet: _Wall, marks: Marks, prefix: str, places: dict[str, tuple[float, float]]
) -> tuple[list[str], list[int]]:
    placed: list[str] = []
    numbers: list[int] = []
    for spot, found in marks.by_spot.items():
        if spot.ref != sheet.wall.ref or spot.along is None:
            continue
        by_height: dict[float, list[int]] = {}
        for number, (_, place) in found.items():
            y = places[place.element][1] if place.element in places else sheet.floor
            by_height.setdefault(y, []).append(number)
        for y, some in by_height.items():
            start = (sheet.x(spot.along), y)
            part = Marks({spot: {number: found[number] for number in some}}, dict.fromkeys(some, ""))
            wide, high = part.size(spot, IN_A_ROW)
            at = sheet.taken.best(_around(start, wide), wide, high, start)
            _lead(sheet, start, at, wide, high)
            part.put(placed, at, spot, prefix, IN_A_ROW)
            numbers += some
    return placed, sorted(set(numbers))


def _around(start: tuple[float, float], wide: float) -> list[tuple[float, float]]:
    x, y = start
    found = []
    for far in (20, 26, 34, 44, 56, 70, 90, 112):
        for angle in range(0, 360, 30):
            reach = far + abs(math.cos(math.radians(angle))) * (wide - SIZE) / 2
            found.append((x + reach * math.cos(math.radians(angle - 60)), y + far * math.sin(math.radians(angle - 60))))
    return found


def _lead(sheet: _Wall, start: tuple[float, float], at: tuple[float, float], wide: float, high: float) -> None:
    left, top, right, bottom = around(at, wide, high)
    near = min(max(start[0], left + 2), right - 2), min(max(start[1], top + 2), bottom - 2)
    sheet.parts.append(f'<path class="lead to-mark" d="M{n(start[0])} {n(start[1])}L{n(near[0])} {n(near[1])}"/>')
    sheet.taken.line(partway(start, near, 0.2), near, 0.5)


def _name(sheet: _Wall, name: str, x: float, y: float) -> None:
    wide = text_width(name, 9)
    spots = [
        (x + dx * (wide / 2 + far), y + dy * far)
        for far in (7, 10, 14, 20, 27)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))
    ]
    spot = sheet.taken.free(spots, wide, 10)
    if spot is not None:
        sheet.text("id", spot[0], spot[1], name)
