"""What is in a box, which cables come into it, and how many cables a hole can have.

A device stands in one box. Two ends of a cable in one box are no cable that comes into it. Where nobody has recorded the
box of a device that may be the one asked about, cables and devices of the box are an open list.
"""

from __future__ import annotations

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring_graph import Wiring, wiring_of
from oktocover.quantities import Number
from oktocover.site.wiring_sizes import ONE_BOX

YOKED = ("receptacles", "switches")
"""Lists of devices that fill gangs of a box."""
_NO_WALL = "."

for _kind in ("receptacle", "switch"):
    kind(_kind).facts["gangs"] = FactType("quantity", "number", means="gangs of its box that it fills", computed=True)
kind("framing_hole").facts.update(
    {
        "number": FactType("quantity", "number", means="how many holes the entry stands for", computed=True),
        "cables_through": FactType(
            "quantity", "number", means="cables through it: as counted, or at most all there are", computed=True
        ),
    }
)
kind("circuit").facts["cables"] = FactType("many", kind="cable", means="the pieces of its cable", computed=True)
kind("box").facts.update(
    {
        "cables": FactType("many", kind="cable", means="cables that come into it", computed=True),
        "devices": FactType("many", kind="receptacle", means="receptacles and switches in it", computed=True),
    }
)


Place = tuple[str, str, Number | None]
"""Room, wall and distance along it."""


@from_view
def fill_boxes(view: SiteView) -> None:
    """Give boxes what is in them, circuits and holes their cables."""
    made = wiring_of(view)
    for device in (one for name in YOKED for one in getattr(view.site, name)):
        view.elements[device].own["gangs"] = _gangs(view.elements[device])
    for one in view.of("cable"):
        if "ground" in one.own and not isinstance(one.value("ground"), str):
            one.own["ground_size"] = one.own["ground"]
    for circuit in view.of("circuit"):
        circuit.own["cables"] = _of_circuit(made, circuit)
    for hole in view.of("framing_hole"):
        many = hole.fact("many")
        hole.own["number"] = Fact(1) if isinstance(many.value, Unknown) else many
        hole.own["cables_through"] = _cables_through(made, hole)
    for box in view.of("box"):
        box.own["devices"] = _devices(made, box)
        box.own["cables"] = _cables(made, box)


def _gangs(device: Subject) -> object:
    """Gangs a device fills: two for a quad receptacle, else what is said, else one."""
    if device.kind == "switch":
        said = device.fact("yokes")
        return Fact(1) if isinstance(said.value, Unknown) else said
    what = device.fact("what")
    if isinstance(what.value, Unknown):
        return Range(1, None, missing=what.value.missing)
    return Fact(2 if str(what.value).endswith("quad") else 1, (), what.known)


def _of_circuit(made: Wiring, circuit: Subject) -> Members:
    """The pieces of cable of a circuit. One whose two ends may be in one box may not be there."""
    view = made.view
    sure: list[Subject] = []
    missing: list[Missing] = []
    for name in made.pieces.get(circuit.id, ()):
        doubt = _in_one_box(made, view.elements[name])
        missing += [doubt] if doubt else []
        sure += [] if doubt else [view.elements[name]]
    if circuit.id in made.complete and not missing:
        return Members(tuple(sure))
    missing += [view.elements[name].lacks("circuit") for name in made.pieces.get("", ())]
    closes = view.whole("cables", circuit.id)
    missing += [closes] if closes else []
    return Members(tuple(sure), bool(missing), tuple(dict.fromkeys(missing)))


def _in_one_box(made: Wiring, cable: Subject) -> Missing | None:
    """The box to record before it is known that a cable joins two boxes; None when it does."""
    ends = [cable.fact(name).value for name in ("from_", "to")]
    first, second = ends
    if not (isinstance(first, Subject) and isinstance(second, Subject)):
        return None
    loose = [one for one in (first, second) if one.id in made.boxes and made.boxes[one.id] is None]
    if not loose or first.id not in made.boxes or second.id not in made.boxes:
        return None
    other = made.view.elements[made.node((second if loose[0] is first else first).id)]
    if not may_share(made.view, loose[0], _places(made, other)):
        return None
    return loose[0].lacks("box")


def _cables_through(made: Wiring, hole: Subject) -> Fact:
    """Cables through a hole: as counted, else no more than there are in the building, where these are all written."""
    counted = hole.fact("cables")
    if not isinstance(counted.value, Unknown):
        return counted
    named, cables = hole.fact("of"), made.view.of("cable")
    least = len(named.value.sure) if isinstance(named.value, Members) else 0
    lacks = (hole.lacks("cables"),)
    if _every_circuit_whole(made):
        step = Step("cables through the hole", "no more than there are in the building", str(len(cables)))
        return Fact(Range(least, len(cables), missing=lacks), (step,), named.known)
    return Fact(Range(least, None, missing=lacks), (), named.known) if least else Fact(Unknown(lacks))


def place_of(view: SiteView, one: Subject) -> Place:
    """Room, wall and distance along it of a device or box; blank where nobody has recorded it.

    A room without a wall is written for what is on no wall: the ceiling, the floor.
    """
    wall, space, at = one.exact("wall"), one.exact("space"), one.exact("at")
    if not isinstance(wall, str):
        return (space.id, _NO_WALL, None) if isinstance(space, Subject) else ("", "", None)
    ref = view.plan.ref(wall)
    return ref.partition(".")[0], ref, at if isinstance(at, Number) else None


def may_share(view: SiteView, one: Subject, places: list[Place]) -> bool:
    """Whether a device may be in a box of which some places are known."""
    room, wall, at = place_of(view, one)
    for other_room, other_wall, other_at in places:
        if room and other_room and room != other_room:
            return False
        if wall and other_wall and wall != other_wall:
            return False
        if not wall or wall != other_wall or at is None or other_at is None:
            continue
        if at - other_at > ONE_BOX or other_at - at > ONE_BOX:
            return False
    return True


def _places(made: Wiring, box: Subject) -> list[Place]:
    """Where a box is: as it says itself, and as its devices say."""
    return [place_of(made.view, made.view.elements[name]) for name in (box.id, *made.in_box.get(box.id, ()))]


def _devices(made: Wiring, box: Subject) -> Members:
    """Receptacles and switches in a box: all of them where they fill its gangs, or their lists are whole."""
    view = made.view
    inside = [
        view.elements[name]
        for name in made.in_box.get(box.id, ())
        if view.elements[name].kind in ("receptacle", "switch")
    ]
    filled: Number = sum((low(one.value("gangs")) for one in inside), 0)
    gangs = box.exact("gangs")
    if gangs is not None and filled >= gangs and inside:
        return Members(tuple(inside))
    places = _places(made, box)
    missing: list[Missing] = []
    for list_name in YOKED:
        for name, device in getattr(view.site, list_name).items():
            if device.box is None and may_share(view, view.elements[name], places):
                missing.append(view.elements[name].lacks("box"))
        closes = view.whole(list_name, *dict.fromkeys([*(room for room, _, _ in places if room), box.id]))
        missing += [closes] if closes else []
    return Members(tuple(inside), bool(missing), tuple(dict.fromkeys(missing)))


def low(value: object) -> Number:
    """The least a count can be."""
    if isinstance(value, Range):
        return value.low if isinstance(value.low, Number) else 0
    return value if isinstance(value, Number) else 0


def _cables(made: Wiring, box: Subject) -> Members:
    """The cables that come into a box."""
    places = _places(made, box)
    sure: list[Subject] = []
    missing: list[Missing] = []
    for cable in dict.fromkeys((*made.at_box.get(box.id, ()), *made.loose)):
        ends = [_end(made, cable, name, box, places) for name in ("from_", "to")]
        inside = [one for one in ends if one is True]
        maybe = [one for one in ends if isinstance(one, Missing)]
        if len(inside) == 1 and not maybe:
            sure.append(cable)
        missing += maybe if len(inside) < 2 else []
    closes = _cables_whole(made, box, places)
    missing += [closes] if closes else []
    return Members(tuple(sure), bool(missing), tuple(dict.fromkeys(missing)))


def _end(made: Wiring, cable: Subject, name: str, box: Subject, places: list[Place]) -> bool | Missing:
    """Whether one end of a cable is in a box, or what would tell."""
    end = cable.fact(name).value
    if not isinstance(end, Subject):
        return cable.lacks(name)
    found = made.boxes.get(end.id)
    if found is not None:
        return found == box.id
    if end.id not in made.boxes:
        return False  # a panel, or an appliance with its own wiring space
    return end.lacks("box") if may_share(made.view, end, places) else False


def _cables_whole(made: Wiring, box: Subject, places: list[Place]) -> Missing | None:
    """None when every cable that may come into a box is written: somebody said so, or every circuit is whole."""
    closes = made.view.whole("cables", box.id, *(room for room, _, _ in places if room))
    if closes is None:
        return None
    return None if _every_circuit_whole(made) else closes


def _every_circuit_whole(made: Wiring) -> bool:
    """Whether every cable of a branch circuit is written: all cables by a statement, or each circuit by its chain."""
    view = made.view
    if view.whole("cables") is None:
        return True
    circuits = set(view.site.circuits)
    return view.whole("circuits") is None and bool(circuits) and circuits <= made.complete
