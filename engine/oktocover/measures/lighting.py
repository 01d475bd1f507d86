"""What lights a room and what turns it on: the lights and switches of each room, and whether a switch box has a neutral."""

from __future__ import annotations

from collections.abc import Iterator

from oktocover.findings.finding import Missing
from oktocover.measures.outlets import OUTLETS, SPACE, outlets_where, room_of
from oktocover.measures.registry import FactType, from_view, kind, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring_graph import Wiring, way_back, wiring_of

USES_NEUTRAL = ("receptacle", "light")
"""Outlets that have a neutral on a circuit of 120 V."""
ELECTRICAL_LISTS = ("panels", "circuits", "receptacles", "switches", "lights")
LIGHTS = FactType("many", kind="light", means="the lights in it", computed=True)
SWITCHES = FactType("many", kind="switch", means="the switches in it", computed=True)

kind("light").facts["overhead"] = FactType(
    "yes or no", means="it hangs under a ceiling: in a room, and on none of its walls", computed=True
)
kind("switch").facts["neutral_used"] = FactType(
    "yes or no",
    means="a neutral of the circuit is in its box: recorded, or an outlet of 120 V is fed through that box",
    computed=True,
)


@from_view
def light_and_switch(view: SiteView) -> None:
    """Give lights how their cable ends and whether they hang overhead, and switches their neutral."""
    for light in view.of("light"):
        light.own["overhead"] = overhead(light)
        if "cable_end" not in light.own and "box" in light.own:
            light.own["cable_end"] = Fact("box", (), light.fact("box").known)
    through = _with_neutral(wiring_of(view))
    for switch in view.of("switch"):
        told = switch.fact("neutral")
        way = through.get(wiring_of(view).node(switch.id))
        switch.own["neutral_used"] = way if "neutral" not in switch.own and way is not None else told


def overhead(one: Subject) -> Fact:
    """Whether a thing is on no wall of its room: on its ceiling, or in the middle of it."""
    wall, space = one.fact("wall"), one.fact("space")
    if isinstance(wall.value, str):
        return Fact(False, (), wall.known)
    if isinstance(space.value, Subject):
        return Fact(True, (), space.known)
    return Fact(unknown(one.lacks("space")))


def _with_neutral(made: Wiring) -> dict[str, Fact]:
    """By box: that an outlet is fed through it which cannot work without a neutral."""
    found: dict[str, Fact] = {}
    for kind_name in USES_NEUTRAL:
        for outlet in made.view.of(kind_name):
            volts = outlet.fact("circuit.to_ground")
            if outlet.exact("circuit.volts") is None or outlet.exact("circuit.volts") != volts.value:
                continue  # only between one line and ground does an outlet take a neutral
            known = min(volts.known, outlet.fact("circuit").known)
            for step in way_back(made, outlet):
                if isinstance(step, Missing):
                    break
                found.setdefault(made.node(step[1]), Fact(True, (), known))
    return found


@subjects(
    "room_lights", {"space": SPACE, "lights": LIGHTS, "switches": SWITCHES, "outlets": OUTLETS}, system="electrical"
)
def room_lights(view: SiteView) -> Iterator[Subject]:
    """Each space with the lights, switches and receptacles in it, once lights are written at all."""
    if not view.of("light") and view.whole("lights") is not None:
        return
    for room in view.by_kind["space"]:
        own = {
            "space": room,
            "lights": _in_room(view, room.id, "light", "lights"),
            "switches": _in_room(view, room.id, "switch", "switches"),
            "outlets": outlets_where(view, room.id, lambda one, room=room: _there(view, one, room.id)),  # type: ignore[misc]
        }
        yield Subject(
            "room_lights",
            room.id,
            own,
            label=f"{room.id}: its lights",
            path=room.path,
            elements=(room.id,),
            where=(room.id, "", 0.0),
        )


def _there(view: SiteView, one: Subject, room: str) -> bool | Missing:
    found = room_of(view, one)
    return found if isinstance(found, Missing) else found == room


def _in_room(view: SiteView, room: str, kind_name: str, list_name: str) -> Members:
    """The lights or switches of a room; open while their list is, or while the room of one is not known."""
    closes = view.whole(list_name, room)
    missing = [closes] if closes else []
    sure: list[Subject] = []
    for one in view.of(kind_name):
        found = _there(view, one, room)
        if isinstance(found, Missing):
            missing.append(found)
        elif found:
            sure.append(one)
    return Members(tuple(sure), bool(missing), tuple(dict.fromkeys(missing)))


@subjects(
    "lighting_plan",
    {
        "lights": LIGHTS,
        "garages": FactType("many", kind="space", means="the garages of the building", computed=True),
    },
    system="electrical",
)
def lighting_plan(view: SiteView) -> Iterator[Subject]:
    """The lighting of the building as a whole, where it has wiring."""
    wired = view.described("electrical")
    if wired != "yes" and (wired is not None or not any(getattr(view.site, name) for name in ELECTRICAL_LISTS)):
        return
    closes = [view.whole("lights"), view.whole("spaces")]
    rooms = view.by_kind["space"]
    missing = tuple(room.lacks("use") for room in rooms if room.exact("use") is None)
    missing += (closes[1],) if closes[1] is not None else ()
    garages = tuple(room for room in rooms if room.exact("use") == "garage")
    yield Subject(
        "lighting_plan",
        "building",
        {
            "lights": Members(view.of("light"), closes[0] is not None, (closes[0],) if closes[0] else ()),
            "garages": Members(garages, bool(missing), missing),
        },
        elements=("building",),
        label="the lights of the building",
        path=("described", "electrical"),
    )
