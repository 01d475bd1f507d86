"""The plan of each level for a page, with the numbers of the findings where they are, as links to them.

The drawing is that of `plan_svg`; only what stands around it (title, notes, key) is told by the page instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from oktocover.measures.view import SiteView
from oktocover.quantities.units import FOOT
from oktocover.reports._plan_rooms import block, spots_inside
from oktocover.reports._plan_sheet import Frame, Sheet, Side
from oktocover.reports._svg import Spot as Point
from oktocover.reports._svg import Taken, around, beside, n, partway, safe
from oktocover.reports.html_report_parts import Drawing, Place, Spot, Told
from oktocover.reports.plan_svg import (
    BESIDE,
    WIDTH,
    by_level,
    key,
    place_loose,
    place_rooms,
    rows_of,
    scale_and_north,
    scale_for,
    unplaced,
)
from oktocover.site.shapes import RoomShape

SIZE: Final = 24.0
"""A mark is a square of this side, in units of the sheet: large enough for a finger at full width."""
MANY: Final = 4
"""Places of a fact that is not recorded, from which on they are named in a list and not marked one by one."""
IN_A_ROW: Final = 6
"""Marks of one spot that stand beside each other; more of them make another row."""
_TOP: Final = 54.0


@dataclass(slots=True)
class Marks:
    """The entries by the spots they stand at, and which of them have been drawn."""

    by_spot: dict[Spot, dict[int, tuple[Told, Place]]] = field(default_factory=dict)
    drawn: dict[int, str] = field(default_factory=dict)
    """By number: the anchor of its first mark."""

    @classmethod
    def of(cls, entries: Iterable[Told]) -> Marks:
        """Every place of every entry that is somewhere on the plan, but for facts that very many things lack."""
        found = cls()
        for told in entries:
            if told.kind == "blank" and len(told.places) > MANY:
                continue
            for place in told.places:
                if place.spot is not None:
                    found.by_spot.setdefault(place.spot, {}).setdefault(told.number, (told, place))
        return found

    def size(self, spot: Spot, across: int) -> Point:
        """Width and height of the marks of one spot, `across` of them in a row at most."""
        count = len(self.by_spot[spot])
        return SIZE * min(count, across), SIZE * math.ceil(count / across)

    def put(self, parts: list[str], at: Point, spot: Spot, prefix: str, across: int) -> None:
        """The marks of one spot in rows, their middle at `at`."""
        wide, high = self.size(spot, across)
        for shift, (number, (told, place)) in enumerate(self.by_spot[spot].items()):
            left = at[0] - wide / 2 + shift % across * SIZE
            top = at[1] - high / 2 + shift // across * SIZE
            name = f"{prefix}-{number}"
            own = ""
            if number not in self.drawn:
                self.drawn[number] = name
                own = f' id="{name}"'
            parts.append(mark(told, place.words, left, top, own))


def mark(told: Told, where: str, x: float, y: float, own: str = "") -> str:
    """One numbered mark as a link to its finding. Its edge says its kind: solid, thick, broken or thin."""
    words = safe(f"{told.number}, {told.kind_words}: {told.title}, {where}", 300)
    return (
        f'<a{own} class="mark {told.kind}" href="#{told.anchor}" data-n="{told.number}" aria-label="{words}" '
        f'transform="translate({n(x)} {n(y)})"><title>{words}</title>'
        f'<rect x="2" y="2" width="20" height="20" rx="{10 if told.kind == "blank" else 3}"/>'
        f'<text{" class=long" if told.number > 99 else ""} x="12" y="12" dy="0.36em">{told.number}</text></a>'
    )


def level_plans(view: SiteView, marks: Marks) -> tuple[list[Drawing], str]:
    """A drawing for each level and one for rooms without a place; and the key of the marks used in them, as SVG."""
    shapes = [shape for shape in map(view.plan.room, view.site.spaces) if shape is not None]
    levels = by_level(view, [one for one in shapes if one.placed])
    loose = [one for one in shapes if not one.placed]
    unit = scale_for([[*rooms] for _, rooms in levels] + [[one] for one in loose])
    unit = min(unit, BESIDE) if len(loose) > 1 else unit
    used: dict[str, str] = {}
    made = []
    for at, (title, rooms) in enumerate(levels, 1):
        sheet = _sheet(view, unit)
        _drawn(sheet, [place_rooms(sheet, rooms)], marks, f"m{at}")
        made.append(_drawing(sheet, title, f"plan-{at}", marks, f"m{at}"))
        used |= sheet.used
    if loose:
        sheet = _sheet(view, unit)
        _drawn(sheet, [place_loose(sheet, row) for row in rows_of(loose, unit)], marks, "m0")
        made.append(_drawing(sheet, "rooms whose place on the plan is not recorded", "plan-0", marks, "m0"))
        used |= sheet.used
    return made, _key(view, unit, used)


def not_drawn(view: SiteView) -> tuple[str, ...]:
    """What is written and has no exact place on the plan, room by room."""
    return tuple(unplaced(view))


def _sheet(view: SiteView, unit: float) -> Sheet:
    sheet = Sheet(view, unit, Taken((4, 0, WIDTH - 4, 1e9)))
    scale_and_north(sheet)
    sheet.y = _TOP
    return sheet


def _drawn(sheet: Sheet, blocks: list[list[tuple[RoomShape, Frame]]], marks: Marks, prefix: str) -> None:
    placed: list[str] = []
    for rooms in blocks:

        def between(sides: dict[str, Side], inside: list[tuple[RoomShape, Frame]]) -> None:
            _put_marks(sheet, sides, inside, marks, prefix, placed)

        block(sheet, rooms, between)
    sheet.parts = ['<g aria-hidden="true">', *sheet.parts, "</g>", *placed]


def _put_marks(
    sheet: Sheet,
    sides: dict[str, Side],
    rooms: list[tuple[RoomShape, Frame]],
    marks: Marks,
    prefix: str,
    placed: list[str],
) -> None:
    frames = {shape.name: (shape, frame) for shape, frame in rooms}
    for spot in marks.by_spot:
        if spot.room not in frames:
            continue
        side = sides.get(spot.ref)
        if side is None or spot.along is None:
            shape, frame = frames[spot.room]
            broad = float(shape.box[2] - shape.box[0]) / FOOT * sheet.unit - 24
            across = max(1, min(IN_A_ROW, int(broad // SIZE)))
            wide, high = marks.size(spot, across)
            at = sheet.taken.best(_within(spots_inside(shape, frame), shape, frame, wide, high), wide, high)
        else:
            start, across = side.spot(spot.along), IN_A_ROW
            wide, high = marks.size(spot, across)
            at = sheet.taken.best(_beside(start, side, wide, high), wide, high, start)
            _lead(sheet, start, at, wide, high)
        marks.put(placed, at, spot, prefix, across)


def _within(spots: list[Point], shape: RoomShape, frame: Frame, wide: float, high: float) -> list[Point]:
    """Those of the spots at which marks of that size stay inside the room's walls; all where none does."""
    west, south, east, north = shape.box
    (left, bottom), (right, top) = frame.at((west, south)), frame.at((east, north))
    kept = [
        (x, y)
        for x, y in spots
        if left + wide / 2 <= x <= right - wide / 2 and top + high / 2 <= y <= bottom - high / 2
    ]
    return kept or spots


def _beside(start: Point, side: Side, wide: float, high: float) -> list[Point]:
    """Places for marks near a spot of a wall, inside the room first."""
    near = beside(start, side.out, wide, high, 14, -1)
    far = beside(start, side.out, wide, high, 70, -1)
    return [*near, *far]


def _lead(sheet: Sheet, start: Point, at: Point, wide: float, high: float) -> None:
    left, top, right, bottom = around(at, wide, high)
    near = min(max(start[0], left + 2), right - 2), min(max(start[1], top + 2), bottom - 2)
    if math.dist(near, start) > 3:
        sheet.parts.append(f'<path class="lead to-mark" d="M{n(start[0])} {n(start[1])}L{n(near[0])} {n(near[1])}"/>')
        sheet.taken.line(partway(start, near, 0.2), near, 0.5)


def _drawing(sheet: Sheet, title: str, name: str, marks: Marks, prefix: str) -> Drawing:
    named = [f"{ref}: {', '.join(one for _, one in sorted(found))}" for ref, found in sheet.crowded.items()]
    notes = [f"Marks too close together to be named, left to right: {'; '.join(named)}."] if named else []
    notes += [f"Too small to be written in: {'; '.join(sheet.small)}."] if sheet.small else []
    numbers = tuple(number for number, mark_name in marks.drawn.items() if mark_name.startswith(f"{prefix}-"))
    return Drawing(
        title, name, whole(sheet.parts, WIDTH, sheet.y, f"Plan to scale, {title}", "plan"), tuple(notes), numbers
    )


def whole(parts: Iterable[str], wide: float, high: float, label: str, kind: str) -> str:
    """An SVG element for a page; its colours come from the page's style."""
    size = f"{n(math.ceil(wide))} {n(math.ceil(high))}"
    return (
        f'<svg class="{kind}" viewBox="0 0 {size}" width="{math.ceil(wide)}" height="{math.ceil(high)}" '
        f'role="group" aria-label="{safe(label)}">{"".join(parts)}</svg>'
    )


def _key(view: SiteView, unit: float, used: dict[str, str]) -> str:
    sheet = Sheet(view, unit, Taken((4, 0, WIDTH - 4, 1e9)), used=used)
    sheet.y = -10
    key(sheet)
    return whole(['<g aria-hidden="true">', *sheet.parts, "</g>"], WIDTH, sheet.y + 8, "Key of the plan", "plan key")
