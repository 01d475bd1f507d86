"""Boxes as they are set: the room they are in, what is set on them, and whether they are outdoors."""

from __future__ import annotations

from oktocover.findings.finding import Missing
from oktocover.measures.lighting import overhead
from oktocover.measures.outlets import SPACE
from oktocover.measures.protection import OUTDOOR_ROOMS, any_of
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring_boxes import may_share, place_of
from oktocover.measures.wiring_graph import wiring_of

SET_ON_BOXES = {"receptacle": "receptacles", "switch": "switches", "light": "lights", "equipment": "equipment"}
"""Kinds that close a box by what is set on it, and their lists. A disconnect does where it names a box; many need none."""
PLUGGED = "equipment"
"""A kind that may stand on a cord: then it has no box."""
IN_BOXES = ("toggle switch", "motor switch")
"""What a disconnect is that needs a box; the others come in a case of their own."""

kind("box").facts.update(
    {
        "room": SPACE,
        "overhead": FactType(
            "yes or no", means="it is on no wall of its room: in the ceiling, or the floor", computed=True
        ),
        "junction": FactType(
            "yes or no", means="nothing is set on it: no device, light or machine names it", computed=True
        ),
        "outdoors": FactType(
            "yes or no", means="it is outdoors, on a porch, deck or balcony, or in the open", computed=True
        ),
    }
)


@from_view
def set_boxes(view: SiteView) -> None:
    """Give boxes their room, what is set on them, and whether they are outdoors."""
    named: dict[str, list[Subject]] = {}
    loose: list[Subject] = []
    for kind_name in SET_ON_BOXES:
        for one in view.of(kind_name):
            name = wiring_of(view).boxes.get(one.id)
            if name is not None:
                named.setdefault(name, []).append(one)
            elif not _has_no_box(one):
                loose.append(one)
    switched: dict[str, Fact] = {}
    for switch in view.of("disconnect"):
        its_box = switch.fact("box")
        if isinstance(its_box.value, Subject):
            switched[its_box.value.id] = its_box
        elif switch.exact("what") in (None, *IN_BOXES):
            loose.append(switch)
    for box in view.of("box"):
        there = named.get(box.id, [])
        room = _room(view, [box, *there])
        box.own["room"] = room if room is not None else unknown(box.lacks("space"))
        box.own["overhead"] = _overhead([box, *there])
        closing = [*(one.fact("box") for one in there), *filter(None, [switched.get(box.id)])]
        box.own["junction"] = _junction(view, box, closing, loose)
        box.own["outdoors"] = _outdoors([box, *there])


def _has_no_box(one: Subject) -> bool:
    """Whether a thing is known to be on no box: what stands on a cord, and a light with a wiring space of its own."""
    if one.kind == PLUGGED:
        return isinstance(one.value("receptacle"), Subject) or one.exact("connected") == "cord and plug"
    return one.kind == "light" and one.exact("fixed_to") == "its own wiring box"


def _room(view: SiteView, told: list[Subject]) -> Subject | None:
    """The room of a box, as it says itself or as what is in it says."""
    names = [place_of(view, one)[0] for one in told]
    return next((view.elements[name] for name in names if name in view.elements), None)


def _overhead(told: list[Subject]) -> Fact:
    """Whether a box is on no wall: by itself, else by what is set on it."""
    found = [overhead(one) for one in told]
    return next((fact for fact in found if isinstance(fact.value, bool)), found[0])


def _junction(view: SiteView, box: Subject, there: list[Fact], loose: list[Subject]) -> Fact:
    """Whether nothing is set on a box; not told while something without a box may be the one."""
    if there:
        return Fact(False, (), max(one.known for one in there))
    missing: list[Missing] = []
    places = [place_of(view, box)]
    missing += [one.lacks("box") for one in loose if may_share(view, one, places)]
    for list_name in (*SET_ON_BOXES.values(), "disconnects"):
        closes = view.whole(list_name, *filter(None, (places[0][0],)))
        missing += [closes] if closes else []
    return Fact(unknown(*missing)) if missing else Fact(True)


def _outdoors(told: list[Subject]) -> Fact:
    """Whether a box is outdoors: what is set on it is, or its room is a porch, deck or balcony, or the open."""
    found = [one.fact("outdoors") for one in told[1:]]
    use = told[0].fact("room.use")
    found += [Fact(use.value in OUTDOOR_ROOMS, (), use.known)] if isinstance(use.value, str) else []
    if not found:
        return Fact(unknown(told[0].lacks("space")))
    return any_of(found)
