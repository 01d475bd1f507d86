"""What stands between an outlet and a fault: the breaker, the device itself, or a receptacle ahead of it on its cable.

Protection by a receptacle ahead counts where that one feeds what comes after it from its load side. Yes needs one
recorded protection; no needs all of them to be recorded as absent.
"""

from __future__ import annotations

from dataclasses import replace

from oktocover.findings.finding import Missing
from oktocover.measures import wiring_graph as wiring_graph
from oktocover.measures.outlets import SPACE, room_of
from oktocover.measures.registry import FactType, from_view, kind, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Members, Number, Unknown, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.site.electrical import INDOORS
from oktocover.site.wiring_whole import lists_closed

TO_GROUND = {"120 V": "120 V", "208 V": "120 V", "240 V": "120 V", "277 V": "277 V", "480 V": "277 V"}
"""Voltage to ground of circuits by their nominal voltage, on the usual systems. Source: ANSI C84.1, system voltages."""

PROTECTIONS = {"gfci_protected": "gfci", "afci_protected": "afci"}
"""By computed fact: the recorded fact of a breaker or receptacle that gives it."""
OUTDOOR_ROOMS = frozenset({"porch", "deck", "balcony", "outdoors"})
PLUGGED = "equipment"
LISTS = {"receptacle": "receptacles", "light": "lights", "switch": "switches", PLUGGED: "equipment"}
"""Kinds with a room of their own that a circuit feeds, and their lists."""

for _kind in LISTS:
    kind(_kind).facts["room"] = replace(SPACE, means="the room it is in", computed=True)
    kind(_kind).facts["outdoors"] = FactType(
        "yes or no", means="it is outdoors: in no room, on a porch, deck or balcony, or in the open", computed=True
    )
for _kind in ("receptacle", "light", PLUGGED):
    kind(_kind).facts["gfci_protected"] = FactType(
        "yes or no",
        means="it has ground-fault protection for people: by its breaker, built in, or by one ahead of it",
        computed=True,
    )
kind("receptacle").facts["afci_protected"] = FactType(
    "yes or no", means="it has arc-fault protection: by its breaker, built in, or by one ahead of it", computed=True
)
kind("circuit").facts["rooms"] = FactType(
    "many", kind="space", means="the rooms in which it feeds an outlet or a switch", computed=True
)


@measure(
    "circuit",
    "to_ground",
    FactType("quantity", "voltage", means="highest voltage of its conductors to ground", found_by="paper"),
    ("volts",),
)
def volts_to_ground(volts: Number) -> Number | None:
    """Voltage to ground of a circuit on one of the usual systems; None for another voltage.

    A site whose system is another (a leg of 208 V to ground, a grounded corner) records `to ground` itself.
    """
    found = {read(line, "voltage").exact: ground for line, ground in TO_GROUND.items()}.get(volts)
    return None if found is None else read(found, "voltage").exact


@from_view
def protect(view: SiteView) -> None:
    """Give outlets the room they are in and the protection they have, and circuits the rooms they go to."""
    for kind_name in LISTS:
        for one in view.of(kind_name):
            room = room_of(view, one)
            found = view.elements.get(room) if isinstance(room, str) else None
            one.own["room"] = found if found is not None else unknown(_lacks_room(one, room))
            one.own["outdoors"] = _outdoors(one, found)
    for receptacle in view.of("receptacle"):
        for name, built_in in PROTECTIONS.items():
            receptacle.own[name] = protected(receptacle, built_in)
    for light in view.of("light"):
        light.own["gfci_protected"] = protected(light, "gfci")
    for machine in view.of(PLUGGED):
        machine.own["gfci_protected"] = _machine(machine)
    for circuit in view.of("circuit"):
        circuit.own["rooms"] = _rooms(view, circuit)


def _rooms(view: SiteView, circuit: Subject) -> Members:
    """The rooms of what a circuit feeds; open while a list is, or while the circuit or room of some outlet is not known."""
    found: dict[str, Subject] = {}
    missing: list[Missing] = []
    closed = lists_closed(view.site)
    for kind_name, list_name in LISTS.items():
        closes = view.whole(list_name, circuit.id)
        missing += [closes] if closes else []
        by_chain = circuit.id in closed.get(list_name, ())
        for one in view.of(kind_name):
            if one.kind == PLUGGED and isinstance(one.value("receptacle"), Subject):
                continue  # its outlet is the receptacle, and that is in the list of receptacles
            on = one.value("circuit")
            if isinstance(on, Unknown) and not by_chain:
                missing += on.missing
            if isinstance(on, Subject) and on.id == circuit.id:
                room = one.value("room")
                if isinstance(room, Subject):
                    found[room.id] = room
                elif one.value("outdoors") is not True:
                    missing += room.missing
    return Members(tuple(found.values()), bool(missing), tuple(dict.fromkeys(missing)))


def _lacks_room(one: Subject, room: str | Missing) -> Missing:
    return room if isinstance(room, Missing) else one.lacks("space")


def _outdoors(one: Subject, room: Subject | None) -> object:
    use = room.fact("use") if room is not None else None
    if use is not None and use.value in OUTDOOR_ROOMS | INDOORS:
        return Fact(use.value in OUTDOOR_ROOMS, (), use.known)
    side = one.fact("outside") if one.kind == "receptacle" else None
    if side is not None and isinstance(side.value, str):
        return Fact(True, (), side.known)
    return unknown(room.lacks("use") if room is not None else one.lacks("space"))


def protected(one: Subject, built_in: str) -> Fact:
    """Whether an outlet has protection of one sort (`gfci` or `afci`): by its breaker, built in, or from ahead of it."""
    told = [one.fact(f"circuit.{built_in}")]
    told += [one.fact(built_in)] if one.kind == "receptacle" else []
    way = one.fact("upstream").value
    if isinstance(way, Members):
        told += [_from_ahead(before, built_in) for before in way.sure]
        told += [Fact(unknown(*way.missing))] if way.open and way.missing else []
    return any_of(told)


def _from_ahead(before: Subject, built_in: str) -> Fact:
    """Whether a receptacle gives protection to what comes after it: it has it, and feeds the rest from its load side."""
    has, goes = before.fact(built_in), before.fact("goes_on")
    if has.value is False:
        return has
    if isinstance(goes.value, str) and goes.value != "load":
        return Fact(False, (), goes.known)
    if isinstance(has.value, Unknown) or isinstance(goes.value, Unknown):
        return next(fact for fact in (has, goes) if isinstance(fact.value, Unknown))
    return Fact(True, (), min(has.known, goes.known))


def _machine(machine: Subject) -> Fact:
    """Protection of equipment: of its circuit, or of the receptacle its cord is plugged into."""
    wired = machine.fact("connected")
    plugged = machine.fact("receptacle.gfci_protected")
    if wired.value == "wired":
        plugged = Fact(False, (), wired.known)
    return any_of([protected(machine, "gfci"), plugged])


def any_of(told: list[Fact]) -> Fact:
    """Yes when one of several is, known as well as the best of these; no when none is; else what is missing of all."""
    sure = [fact.known for fact in told if fact.value is True]
    if sure:
        return Fact(True, (), max(sure))
    missing = [item for fact in told if isinstance(fact.value, Unknown) for item in fact.value.missing]
    known = min((fact.known for fact in told), default=TESTED)
    return Fact(unknown(*missing), (), known) if missing else Fact(False, (), known)
