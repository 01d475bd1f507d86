"""The plan as one SVG: what is written down, drawn to scale, so that a slip of the tape is seen at once.

Nothing is judged and nothing is guessed. What has no exact place is named under the plan instead of drawn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from oktocover.measures.view import SiteView
from oktocover.quantities import Number
from oktocover.quantities.units import FOOT
from oktocover.reports._plain import clean, wrap
from oktocover.reports._plan_rooms import block
from oktocover.reports._plan_sheet import Frame, Sheet
from oktocover.reports._svg import Taken, n, safe, text_width
from oktocover.site.building import Opening
from oktocover.site.geometry import box
from oktocover.site.shapes import RoomShape
from oktocover.site.sides import exact

WIDTH: Final = 1000
SIGN: Final = 'data-drawn-by="oktocover show"'
"""By this a file is known as one of ours, which may be written over."""
_MARGIN: Final = 86
_TALLEST: Final = 1200
BESIDE: Final = 20.0
"""The largest scale for several rooms without a place, so that they stand beside each other."""
_SCALES: Final = (44, 40, 36, 32, 28, 24, 20, 18, 16, 14, 12, 10, 8, 6, 5, 4, 3, 2, 1)
_STYLE: Final = (
    "text{font-family:sans-serif;fill:#23282b}path,rect,circle{fill:none;stroke:#23282b;stroke-width:1.2}"
    ".sheet{fill:#fff;stroke:none}.band{fill:#d8d3c8;stroke:#d8d3c8;stroke-linejoin:miter}"
    ".floor{fill:#fff;stroke:none}.gap{fill:#fff;stroke:#fff;stroke-width:0.6}"
    ".wall{stroke-width:2.6;stroke-linecap:butt}.open-air .wall{stroke-width:1.4;stroke-dasharray:7 4}"
    ".tape{stroke:#8b918f;stroke-width:0.7}.start{stroke:#23282b;stroke-width:1}"
    ".jamb{stroke-width:1.8}.leaf{stroke-width:2}.dash{stroke-dasharray:5 3}.dots{stroke-dasharray:1.2 2.6}"
    ".dashdot{stroke-dasharray:7 3 1.5 3}.device path,.device rect,.device circle,.key path,.key rect,.key circle"
    "{stroke-width:1.3}.device rect,.device circle,.device path{fill:#fff}.device .flow{fill:none}"
    ".solid,.device .solid,.key .solid{fill:#23282b}.reach{stroke-width:1;stroke-dasharray:2 2}"
    ".lead{stroke:#6c7371;stroke-width:0.6}.name{font-weight:bold;font-size:15px}.fact{font-size:11px}"
    ".side{font-size:10px;font-style:italic;fill:#4d5553}.id,.at{font-size:9px}.opening-id{font-size:11px;font-weight:bold}"
    ".note{font-size:11.5px}.title{font-size:20px;font-weight:bold}.level{font-size:15px;font-weight:bold}"
)


def plan_svg(view: SiteView) -> str:
    """The plan of a site: every storey, then rooms that have no place on the plan, then the key."""
    shapes = [shape for shape in map(view.plan.room, view.site.spaces) if shape is not None]
    storeys = by_level(view, [one for one in shapes if one.placed])
    loose = [one for one in shapes if not one.placed]
    unit = scale_for([[*rooms] for _, rooms in storeys] + [[one] for one in loose])
    if len(loose) > 1:
        unit = min(unit, BESIDE)
    sheet = Sheet(view, unit, Taken((4, 0, WIDTH - 4, 1e9)))
    _head(sheet)
    for title, rooms in storeys:
        if len(storeys) > 1 or loose:
            _line(sheet, "level", title)
        block(sheet, place_rooms(sheet, rooms))
    if loose:
        _line(sheet, "level", "not placed on the plan")
        _line(sheet, "note", "A size and no corner is written: where these stand, and beside what, is not recorded.")
        for row in rows_of(loose, unit):
            block(sheet, place_loose(sheet, row))
    _notes(sheet)
    _key(sheet)
    return _whole(sheet)


def by_level(view: SiteView, placed: list[RoomShape]) -> list[tuple[str, list[RoomShape]]]:
    """The placed rooms level by level, each level with its title; those of no level last."""
    groups: dict[str, list[RoomShape]] = {name: [] for name in view.site.levels}
    for shape in placed:
        groups.setdefault(view.site.spaces[shape.name].level or "", []).append(shape)
    found = []
    for name, rooms in groups.items():
        level = view.site.levels.get(name)
        floor = f", floor {clean(level.floor.text, 40)} above the ground" if level and level.floor else ""
        title = f"level {clean(name, 60)}{floor}" if name else "rooms whose level is not recorded"
        found += [(title, rooms)] if rooms else []
    return found


def scale_for(blocks: list[list[RoomShape]]) -> float:
    """The largest round scale at which every block fits the sheet."""
    boxes = [_box_of(rooms) for rooms in blocks]
    wide = max((float(east - west) / FOOT for west, _, east, _ in boxes), default=1.0)
    high = max((float(north - south) / FOOT for _, south, _, north in boxes), default=1.0)
    most = min((WIDTH - 2 * _MARGIN) / max(wide, 0.1), _TALLEST / max(high, 0.1))
    return next((float(scale) for scale in _SCALES if scale <= most), most)


def _box_of(rooms: Iterable[RoomShape]) -> tuple[Number, Number, Number, Number]:
    return box(tuple(point for shape in rooms for point in shape.points))


def place_rooms(sheet: Sheet, rooms: list[RoomShape]) -> list[tuple[RoomShape, Frame]]:
    """Rooms that have their places on one plan, in the middle of the sheet, which grows by them."""
    west, south, east, north = _box_of(rooms)
    wide, high = (float(size) / FOOT * sheet.unit for size in (east - west, north - south))
    frame = Frame(sheet.unit, west, north, (WIDTH - wide) / 2, sheet.y + 62)
    sheet.y += high + 124
    return [(shape, frame) for shape in rooms]


def rows_of(rooms: list[RoomShape], unit: float) -> list[list[RoomShape]]:
    """Rooms without a place, as many beside each other as the sheet is wide."""
    rows: list[list[RoomShape]] = []
    left = -1.0
    for shape in rooms:
        need = float(shape.box[2] - shape.box[0]) / FOOT * unit + _MARGIN
        if need > left:
            rows.append([])
            left = WIDTH - _MARGIN
        rows[-1].append(shape)
        left -= need
    return rows


def place_loose(sheet: Sheet, rooms: list[RoomShape]) -> list[tuple[RoomShape, Frame]]:
    """Rooms without a place, in a row on the sheet, which grows by them."""
    found, x, tallest = [], float(_MARGIN), 0.0
    for shape in rooms:
        west, south, east, north = shape.box
        found.append((shape, Frame(sheet.unit, west, north, x, sheet.y + 50)))
        x += float(east - west) / FOOT * sheet.unit + _MARGIN
        tallest = max(tallest, float(north - south) / FOOT * sheet.unit)
    sheet.y += tallest + 100
    return found


# around the plan


def _head(sheet: Sheet) -> None:
    site = sheet.view.site
    sheet.text("title", (24, 30), site.site or "(a building without a name)", "start")
    said = f"measured to {site.measured_to}" if site.measured_to else "what the tape was held to is not recorded"
    sheet.text("note", (24, 54), f"Plan of what is written, {said}. Not an inspection.", "start")
    scale_and_north(sheet)
    sheet.y = 74


def scale_and_north(sheet: Sheet) -> None:
    """The scale in feet and the arrow to the north, at the top right."""
    foot = sheet.unit
    step = next((feet for feet in (1, 2, 5, 10, 20, 50, 100, 200, 500) if feet * foot >= 56), 1000)
    x, y = WIDTH - 130 - 2 * step * foot, 44.0
    drawing = f"M{n(x)} {n(y - 4)}V{n(y + 4)}M{n(x)} {n(y)}h{n(2 * step * foot)}v-4v8M{n(x + step * foot)} {n(y - 4)}v8"
    sheet.parts.append(f'<path id="scale" data-feet="{2 * step}" d="{drawing}"/>')
    for count in range(3):
        words = f"{count * step}" + (" ft" if count == 2 else "")
        sheet.text("fact", (x + count * step * foot, y - 13), words)
    sheet.parts.append(f'<path class="solid" d="M{WIDTH - 50} 18l6 20l-6 -5l-6 5Z"/>')
    sheet.text("fact", (WIDTH - 50, 50), "north")


def _line(sheet: Sheet, kind: str, words: str, x: float = 24) -> None:
    sheet.y += 22 if kind == "level" else 17
    sheet.text(kind, (x, sheet.y), words, "start")


def _notes(sheet: Sheet) -> None:
    """Everything that is written and has no place on the plan, room by room."""
    if not sheet.view.site.spaces:
        _line(sheet, "note", "No room is written yet.")
    named = [f"{ref}: {', '.join(name for _, name in sorted(marks))}" for ref, marks in sheet.crowded.items()]
    crowded = ["; ".join(named)] if named else []
    for title, found in (
        ("marks too close together to be named, left to right", crowded),
        ("rooms too small to be written in", sheet.small),
        ("written, without an exact place on the plan", list(unplaced(sheet.view))),
    ):
        if found:
            _line(sheet, "level", title)
        for text in found:
            for number, part in enumerate(wrap(clean(text), 140)):
                _line(sheet, "note", part, 24 if number == 0 else 40)


def unplaced(view: SiteView) -> Iterator[str]:
    """`studio: R-23 (receptacle), H-33 (penetration)`: what is written and cannot be drawn, by room."""
    for name in view.site.spaces:
        if view.plan.room(name) is None:
            yield f"{name}: its size is not recorded"
    by_room: dict[str, list[str]] = {}
    for name, model in view.models.items():
        wall, space = getattr(model, "wall", None), getattr(model, "space", None)
        if not (wall or space) or (space and space not in view.site.spaces):
            continue
        drawn = view.plan.wall(wall) is not None and exact(getattr(model, "at", None)) is not None
        if drawn and not (isinstance(model, Opening) and exact(model.width) is None):
            continue
        room, _, side = (wall or space or "").partition(".")
        words = str(getattr(model, "what", None) or model.kind.replace("_", " "))
        on = f", {side} wall" if side else ""
        by_room.setdefault(room, []).append(f"{name} ({words}{on})")
    for room, entries in by_room.items():
        yield f"{room}: {', '.join(entries)}"


def _key(sheet: Sheet) -> None:
    """What each mark that was used means."""
    if not sheet.view.site.spaces:
        return
    _line(sheet, "level", "key")
    key(sheet)


def key(sheet: Sheet) -> None:
    """The marks that were used, each with its words, in rows; the sheet grows by them."""
    x, y = 44.0, sheet.y + 26
    start = '<path class="start" d="M-8 -5V5M-8 0H8M4 -3L8 0L4 3"/>'
    used = {
        **sheet.used,
        "left end of a wall, seen from inside: distances count from it ('at'), its ticks are feet": start,
    }
    for words, drawing in used.items():
        need = text_width(words, 11.5) + 52
        if x + need > WIDTH - 20:
            x, y = 44.0, y + 32
        sheet.parts.append(f'<g class="key device" transform="translate({n(x)} {n(y)})">{drawing}</g>')
        sheet.text("note", (x + 20, y), words, "start")
        x += need
    sheet.y = y + 12


def _whole(sheet: Sheet) -> str:
    site, high = sheet.view.site, math.ceil(sheet.y + 24)
    name = safe(site.site or "(a building without a name)")
    rooms = safe(", ".join(site.spaces) or "none", 2000)
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" {SIGN} width="{WIDTH}" height="{high}" '
            f'viewBox="0 0 {WIDTH} {high}" data-units-per-foot="{sheet.unit!r}" role="img" aria-labelledby="title desc">',
            f'<title id="title">Plan of {name}</title>',
            f'<desc id="desc">A plan to scale of what is written in the site file, north at the top. Rooms: {rooms}.</desc>',
            f"<style>{_STYLE}</style>",
            f'<rect class="sheet" width="{WIDTH}" height="{high}"/>',
            *sheet.parts,
            "</svg>\n",
        ]
    )
