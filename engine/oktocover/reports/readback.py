"""The building read back in words: what is written, in the order of a walk, so that a slip is heard at once.

Nothing is judged here. Distances are those of the site file, as they were written.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import groupby
from typing import Any, Final

from oktocover.measures.view import SiteView
from oktocover.quantities import Number, Quantity, number, show
from oktocover.quantities.units import INCH
from oktocover.reports._plain import clean, counted, day, listed, plural, wrap
from oktocover.site.base import Element, Node, spaced
from oktocover.site.building import Opening
from oktocover.site.root import DescribedSystems, element_lists
from oktocover.site.sides import exact

WIDTH: Final = 80
_INDENT: Final = "  "
_SIXTEENTH: Final = Fraction(INCH, 16)
_HEAD_NOTE: Final = "What is written, read back. Nothing is judged here; left out is 'not recorded'."


def readback(view: SiteView) -> str:
    """The whole site in words, at most 80 columns wide."""
    parts = [_head(view), _whole_building(view), _rooms(view), _walls(view), *_systems(view), _described(view)]
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"


def written(value: Any) -> str:
    """A value as it was written, in trade units."""
    if value is None:
        return "not recorded"
    if isinstance(value, Quantity):
        return clean(value.text, 80)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ").removesuffix(":00") if value.second == 0 else value.isoformat(" ")
    if isinstance(value, Node):
        inner = ((spaced(name), getattr(value, name)) for name in type(value).model_fields)
        return " ".join(f"{name} {written(one)}" for name, one in inner if one is not None)
    if isinstance(value, dict):
        return listed(f"{clean(str(name), 60)}: {written(one)}" for name, one in value.items())
    if isinstance(value, (list, tuple)):
        return (
            "; ".join(written(item) for item in value)
            if any(isinstance(item, Node) or "," in str(item) for item in value)
            else (listed(written(item) for item in value) or "none")
        )
    return clean(str(value), 300)


def taped(length: Number, unit: str | None = "ft") -> str:
    """A worked-out length as a tape shows it: to the nearest 1/16 in, with 'about' where that rounds it."""
    rounded = round(length / _SIXTEENTH) * _SIXTEENTH
    return ("" if rounded == length else "about ") + show(number(rounded), "length", unit)


def _head(view: SiteView) -> list[str]:
    site, permit = view.site, view.site.permit
    lines = wrap(clean(site.site or "(a building without a name)", 300), WIDTH)
    place = f"jurisdiction {clean(permit.jurisdiction, 80)}" if permit.jurisdiction else "no jurisdiction named"
    facts = [place, permit.occupancy or "occupancy not recorded", f"{permit.work} work" if permit.work else ""]
    facts.append(f"permit {clean(permit.number, 60)}" if permit.number else "")
    lines += wrap(listed(facts), WIDTH)
    taped = f"measured to {site.measured_to}" if site.measured_to else "what the tape was held to: not recorded"
    come = [
        f"{name} {written(getattr(site.still_to_come, name))}"
        for name in ("walls", "ceiling", "floor")
        if getattr(site.still_to_come, name) is not None
    ]
    lines += wrap(f"{taped}; finish still to come: {listed(come) or 'not recorded'}", WIDTH)
    lines += wrap(_HEAD_NOTE, WIDTH)
    return lines


def _whole_building(view: SiteView) -> list[str]:
    """What is written of the building as a whole, because the place asks for it."""
    site = view.site
    facts = [(name, getattr(site.building, name)) for name in type(site.building).model_fields]
    facts += [("elevation", site.elevation)]
    for root, model in (("site", site), ("permit", site.permit)):
        facts += [(fact.name, getattr(model, fact.name)) for fact in view.declared.by_kind.get(root, ())]
    said = [f"{spaced(name)} {written(value)}" for name, value in facts if value is not None]
    return ["THE BUILDING", *wrap(listed(said), WIDTH, _INDENT, _INDENT)] if said else []


# rooms


def _rooms(view: SiteView) -> list[str]:
    lines = ["ROOMS"]
    for name in view.site.spaces:
        lines += room_lines(view, name)
    if not view.site.spaces:
        lines += wrap("no room is written yet", WIDTH, _INDENT)
    return [*lines, *wrap(f"rooms: {whole_or_open(view, 'spaces')}", WIDTH, _INDENT, _INDENT)]


def room_lines(view: SiteView, name: str) -> list[str]:
    """One room in a short paragraph."""
    parts = [_room_size(view, name), *(_opening(view, one, name) for one in _openings_in(view, name))]
    parts += list(_members(view, name))
    return wrap("; ".join(parts), WIDTH, _INDENT, _INDENT * 2)


def _room_size(view: SiteView, name: str) -> str:
    space, shape = view.site.spaces[name], view.plan.room(name)
    about: list[str] = [] if space.use == name else [space.use or "use not recorded"]
    about += [f"level {written(space.level)}"] if len(view.site.levels) > 1 else []
    said = clean(name, 60) + (f" ({listed(about)})" if about else "")
    if shape is None:
        said += ", size not recorded"
    else:
        west, south, east, north = shape.box
        size = (
            written(space.size)
            if space.size
            else (f"{taped(east - west)} x {taped(north - south)} over all, {len(shape.walls)} walls")
        )
        said += f" {size}, {show(shape.area, 'area', 'ft2', 4).replace('ft2', 'sq ft')}"
        said += "" if shape.placed else ", no place on the plan yet"
    return f"{said}, ceiling {written(space.ceiling)}"


def _openings_in(view: SiteView, room: str) -> list[str]:
    """Openings written from this room, wall by wall from its north side on, then left to right."""
    found = [(name, one) for name, one in view.site.openings.items() if (one.wall or "").partition(".")[0] == room]
    shape = view.plan.room(room)
    order = [wall.ref for wall in shape.walls] if shape is not None else []

    def key(pair: tuple[str, Opening]) -> tuple[int, float]:
        ref = view.plan.ref(pair[1].wall or "")
        at = pair[1].at.low if pair[1].at is not None else None
        return (-order.index(ref) if ref in order else 1), float(at if at is not None else 0)

    return [name for name, _ in sorted(found, key=key)]


def _opening(view: SiteView, name: str, room: str) -> str:
    one = view.site.openings[name]
    side = (one.wall or "").partition(".")[2]
    what = one.what or "opening (what it is: not recorded)"
    text = f"{what} {clean(name, 40)} on the {_wall_words(side)} {_from_left(one)}, {_wide(one)}"
    if one.what not in ("door", "garage door", "cased opening", "sliding door"):
        text += f", sill {written(one.sill)}"
    at, width = exact(one.at), exact(one.width)
    across = view.plan.other_side(one.wall, at, width) if one.wall and at is not None and width is not None else []
    others = dict.fromkeys(ref.partition(".")[0] for ref, _, _ in across)
    return text + (f", to {listed(clean(other, 60) for other in others)}" if others else "")


def _wide(one: Opening) -> str:
    return f"{written(one.width)} wide" if one.width is not None else "width not recorded"


def _wall_words(side: str) -> str:
    return f"{clean(side, 60)} wall" if side else "wall not recorded"


def _from_left(one: Any) -> str:
    return f"{written(one.at)} from its left end" if one.at is not None else "(place not recorded)"


def _members(view: SiteView, room: str) -> Iterator[str]:
    """`6 receptacles, list whole (M.K., 3 May 2026)`: what else is in the room; lists that stand alike together."""
    named: list[tuple[str, str]] = []
    for field, element_class in element_lists().items():
        if field in ("spaces", "levels", "walls"):
            continue
        inside = [name for name, one in getattr(view.site, field).items() if stands_in(one, room)]
        stands = whole_or_open(view, spaced(field), room)
        if field == "openings":
            yield f"openings: {stands}" if inside else f"no opening written, {stands}"
        elif inside:
            ids = f" {listed(map(clean, inside))}" if len(inside) <= 3 else ""
            named.append((f"{counted(len(inside), _noun(element_class), spaced(field))}{ids}", stands))
        elif field == "receptacles" and view.described("electrical") != "none":
            named.append(("no receptacle written", stands))
    for (stands, _), group in groupby(named, key=lambda one: (one[1], one[0].startswith("no "))):
        texts = [text for text, _ in group]
        yield f"{', '.join(texts)}: {stands.replace('list', 'lists', 1)}" if len(texts) > 1 else f"{texts[0]}, {stands}"


def _noun(element_class: type[Element]) -> str:
    name = spaced(element_class.kind)
    return name if plural(name) == element_class.plural else element_class.plural.removesuffix("s")


def stands_in(model: Any, room: str) -> bool:
    """Whether an element says that it is in a room, by its wall or by itself."""
    wall = getattr(model, "wall", None)
    return (wall or "").partition(".")[0] == room or getattr(model, "space", None) == room


def whole_or_open(view: SiteView, list_name: str, room: str | None = None) -> str:
    """`list whole (M.K., 3 May 2026)`, or `list open` (and why, when a statement no longer fits)."""
    lapsed = False
    for said in view.site.looked:
        places = [said.in_] if isinstance(said.in_, str) else said.in_
        if said.list_ != list_name or not said.whole or (places is not None and room not in places):
            continue
        if not view.lapsed(said):
            return f"list whole ({clean(said.by, 60)}, {day(said.day.isoformat())})"
        lapsed = True
    return "list open again: its count no longer fits" if lapsed else "list open"


# walls


def _walls(view: SiteView) -> list[str]:
    lines = ["WALLS"] if view.site.walls else []
    for name, wall in view.site.walls.items():
        facts = [
            f"sides {written(wall.sides)}" if wall.sides else "sides not recorded",
            {True: "outside wall", False: "inside wall", None: ""}[wall.exterior],
            wall.framing or "",
            f"rated {written(wall.rating)}"
            if wall.rating not in (None, "none")
            else "no rating"
            if wall.rating == "none"
            else "",
            f"{written(wall.lot_line)} to the {wall.line_is or 'line'}" if isinstance(wall.lot_line, Quantity) else "",
        ]
        lines += wrap(f"{clean(name, 40)}: {'; '.join(one for one in facts if one)}", WIDTH, _INDENT, _INDENT * 2)
    return [*lines, *wrap(f"walls: {whole_or_open(view, 'walls')}", WIDTH, _INDENT)] if lines else []


# systems


def _systems(view: SiteView) -> Iterator[list[str]]:
    from oktocover.reports._systems import electrical_lines, fuel_lines, gas_lines, other_lines

    yield electrical_lines(view)
    yield gas_lines(view)
    yield fuel_lines(view)
    yield other_lines(view)


def _described(view: SiteView) -> list[str]:
    said: dict[str, list[str]] = {"yes": [], "none": [], "not sure": [], "not said": []}
    for name in DescribedSystems.model_fields:
        said[view.described(name) or "not said"].append(spaced(name))
    lines = ["DESCRIBED"]
    for word, names in (("there", "yes"), ("none", "none"), ("not sure", "not sure"), ("not said", "not said")):
        if said[names]:
            lines += wrap(f"{word}: {listed(said[names])}", WIDTH, _INDENT, _INDENT * 2)
    return lines


def place_of(model: Any) -> str:
    """Where an element says that it is: `garage, north wall, 20 ft from its left end, 1 ft up`."""
    room, _, side = (getattr(model, "wall", None) or "").partition(".")
    room = room or getattr(model, "space", None) or ""
    parts = [clean(room, 60)]
    if side:
        at = getattr(model, "at", None)
        parts.append(
            f"{_wall_words(side)}, {_from_left(model)}"
            if at is not None
            else f"{_wall_words(side)}, distance not recorded"
        )
    height = getattr(model, "height", None)
    parts.append(f"{written(height)} up" if height is not None else "")
    return listed(parts)


def paragraphs(entries: Iterable[tuple[int, str]], first: str = _INDENT) -> list[str]:
    """Texts wrapped, each at its depth."""
    lines: list[str] = []
    for depth, text in entries:
        indent = first + _INDENT * min(depth, 12)
        lines += wrap(text, WIDTH, indent, indent + _INDENT)
    return lines
