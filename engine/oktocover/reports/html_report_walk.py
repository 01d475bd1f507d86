"""The paper for the visit in the order of a walk: room, wall clockwise from the door, left to right, low to high.

One hole, one box, one terminal is one stop, with every question of this visit, and what other visits still ask of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile
from oktocover.reports import _words
from oktocover.reports._fold import subject
from oktocover.reports._plain import clean, listed
from oktocover.reports.html_report_entries import WHOLE, figures_of, kind_of, spot_of
from oktocover.reports.html_report_parts import Question, Stop, VisitPart, WalkRoom, WalkWall
from oktocover.reports.readback import place_of
from oktocover.site.building import Opening
from oktocover.site.sides import exact

AWAY: Final = "away from the walls"
NOWHERE: Final = "things and systems that stand on no one wall"
FIGURES: Final = 3
"""Comparisons of one question that are told on the walk; its finding has them all."""


def walk(checked: Checked, parts: Sequence[VisitPart], view: SiteView, read: SiteFile) -> tuple[WalkRoom, ...]:
    """Every stop of the report's visit; what is tied to no room comes last."""
    numbers, words = _numbers(parts), _words_of(read)
    stops: dict[str, list[Finding]] = {}
    for one in checked.of_visit():
        if one.verdict != "does not apply" and not (one.verdict == "not recorded" and one.settled):
            stops.setdefault(_thing(one, view), []).append(one)
    elsewhere = [one for one in checked.findings if checked.visit not in ("all", one.stage) and one.open]
    placed: dict[str, dict[str, list[tuple[tuple[float, float], Stop]]]] = {}
    for name, found in stops.items():
        also = [one for one in elsewhere if _thing(one, view) == name]
        stop = _stop(name, found, also, numbers, view, checked.visit)
        model = view.models.get(name)
        if model is not None:
            stop = replace(stop, word=words.get((model.plural, name), ""))
        spot = spot_of(view, name, found[0])
        room, wall = (spot.room, spot.wall) if spot else (WHOLE, "")
        height = exact(getattr(view.models.get(name), "height", None))
        order = (float(spot.along or 0) if spot else 0.0, float(height or 0))
        placed.setdefault(room, {}).setdefault(wall, []).append((order, stop))
    return tuple(_rooms(placed, view))


def _words_of(read: SiteFile) -> dict[tuple[str, str], str]:
    """On whose word each thing of a list stands, and what of it is only typical, told, planned or assumed."""
    found: dict[tuple[str, str], dict[str, list[str]]] = {}
    for sources, head in ((read.said_by, "On the word of "), (read.known, "Only ")):
        for path, who in sources.items():
            if len(path) > 2 and (head != "Only " or who in _words.WEAK):
                said = found.setdefault((str(path[0]), str(path[1])), {}).setdefault(head + who, [])
                said += [str(path[2])] if str(path[2]) not in said else []
    return {thing: " ".join(f"{who}: {listed(facts)}." for who, facts in told.items()) for thing, told in found.items()}


def _thing(one: Finding, view: SiteView) -> str:
    """What a person stands before: the element, by its box or alone; else the subject itself."""
    if one.element in view.models:
        return one.element
    own = [name for name in one.elements if name in view.models]
    return own[0] if len(own) == 1 else one.element


def _numbers(parts: Sequence[VisitPart]) -> dict[str, int]:
    """The number of the first entry that stands for each finding."""
    found: dict[str, int] = {}
    for part in parts:
        for told in part.entries:
            for identity in told.identities:
                found.setdefault(identity, told.number)
    return found


def _stop(
    name: str,
    found: Sequence[Finding],
    also: Sequence[Finding],
    numbers: Mapping[str, int],
    view: SiteView,
    visit: str,
) -> Stop:
    model = view.models.get(name)
    if model is not None:
        what = clean(str(getattr(model, "what", None) or model.kind.replace("_", " ")))
        words = f"{what}, {_spot_words(model)}" if _spot_words(model) else what
    else:
        words = "" if subject(found[0]) == name else subject(found[0])
    asked = [one for one in found if one.verdict != "met"]
    met: dict[str, None] = {}
    for one in found:
        if one.verdict == "met":
            known = f" ({one.known_by})" if one.known_by in _words.WEAK else ""
            met[f"{one.title}{known}"] = None
    questions = [_question(one, numbers, visit) for one in (*asked, *also)]
    return Stop(name, words, tuple(dict.fromkeys(questions)), tuple(met))


def _spot_words(model: object) -> str:
    """Distance and height of a thing on its wall, without the room and the wall, which the heads say."""
    parts = place_of(model).split(", ")
    return ", ".join(part for part in parts[1:] if not part.endswith(" wall"))


def _question(one: Finding, numbers: Mapping[str, int], visit: str) -> Question:
    said = _words.VERDICT[one.verdict]
    if one.verdict == "not recorded":
        said = "not recorded: " + "; ".join(dict.fromkeys(need.fact for need in one.missing)) if one.missing else said
    elif one.verdict == "not met":
        said = f"{said}, {_words.SEVERITY[one.severity]}" + ("; measure again" if one.closer_than_tape else "")
    elsewhere = one.stage if one.stage != visit and visit != "all" else ""
    told = figures_of(one)
    return Question(
        numbers.get(one.identity), kind_of(one), one.title, told[:FIGURES], said, elsewhere, len(told[FIGURES:])
    )


def _rooms(
    placed: Mapping[str, Mapping[str, list[tuple[tuple[float, float], Stop]]]], view: SiteView
) -> Iterator[WalkRoom]:
    names = [
        *(name for name in view.site.spaces if name in placed),
        *(name for name in placed if name not in view.site.spaces),
    ]
    for name in names:
        walls = placed[name]
        order = [one for one in _clockwise(view, name) if one in walls] + ([""] if "" in walls else [])
        made = []
        for wall in order:
            stops = tuple(stop for _, stop in sorted(walls[wall], key=lambda one: one[0]))
            made.append(WalkWall(_wall_title(view, name, wall), stops))
        yield WalkRoom(name, tuple(made))


def _wall_title(view: SiteView, room: str, wall: str) -> str:
    if not wall:
        return AWAY if room in view.site.spaces else NOWHERE
    found = view.plan.wall(f"{room}.{wall}")
    return f"{wall} wall" if found is not None and found.name == found.facing else wall


def _clockwise(view: SiteView, room: str) -> list[str]:
    """The walls of a room clockwise, beginning with the first that has a door."""
    shape = view.plan.room(room)
    if shape is None:
        return []
    names = [wall.name for wall in reversed(shape.walls)]
    doors = [_door(view, one) for one in view.site.openings.values()]
    first = next((at for at, name in enumerate(names) if f"{room}.{name}" in doors), 0)
    return names[first:] + names[:first]


def _door(view: SiteView, opening: Opening) -> str:
    is_door = opening.what in ("door", "sliding door", "garage door", "cased opening")
    return view.plan.ref(opening.wall or "") if is_door else ""
