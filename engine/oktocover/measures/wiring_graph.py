"""How the cables of a site hang together: what comes before an outlet, what is in a box, what may be in it.

A device stands in one box. Two ends of a cable in one box are no cable that comes into it. Where nobody has recorded the
box of a device that may be the one asked about, its cables and devices are an open list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from weakref import WeakKeyDictionary

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Members, Range, Unknown, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number
from oktocover.site.wiring_sizes import ONE_BOX
from oktocover.site.wiring_whole import BOXED, box_of, lists_closed, whole_circuits

STARTS = ("panel", "service")
"""Kinds at which the way back from an outlet ends."""
YOKED = ("receptacles", "switches")
"""Lists of devices that fill gangs of a box."""
FED = ("receptacle", "switch", "light", "equipment", "disconnect", "appliance")
_NO_WALL = "."

for _kind in FED:
    kind(_kind).facts.update(
        {
            "fed_by": FactType(
                "one", kind="cable", means="the piece of cable that comes to it, or to its box", computed=True
            ),
            "upstream": FactType(
                "many", kind="receptacle", means="receptacles its cable comes through, from the panel on", computed=True
            ),
            "from_panel": FactType(
                "quantity", "length", means="length of its cable back to the panel", found_by="tape", computed=True
            ),
        }
    )
kind("receptacle").facts["downstream"] = FactType(
    "many", kind="receptacle", means="receptacles that are fed through it", computed=True
)
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


@dataclass
class Wiring:
    """The wiring of one site by its boxes: a node is a box, or a device whose box nobody has recorded."""

    view: SiteView
    boxes: dict[str, str | None] = field(default_factory=dict)
    """By device or box: its box."""
    coming: dict[tuple[str, str], list[Subject]] = field(default_factory=dict)
    """By circuit and node: the cables that come to it."""
    pieces: dict[str, list[str]] = field(default_factory=dict)
    """By circuit: its cables."""
    in_box: dict[str, list[str]] = field(default_factory=dict)
    """By box: the devices in it."""

    def node(self, name: str) -> str:
        """The box of a device, or the device itself."""
        return self.boxes.get(name) or name


_MADE: WeakKeyDictionary[SiteView, Wiring] = WeakKeyDictionary()


def wiring_of(view: SiteView) -> Wiring:
    """The wiring of a site, made once."""
    if view not in _MADE:
        _MADE[view] = _wiring(view)
    return _MADE[view]


def _wiring(view: SiteView) -> Wiring:
    made = Wiring(view)
    for list_name in (*BOXED, "boxes"):
        for name in getattr(view.site, list_name):
            box = made.boxes[name] = box_of(view.site, name)
            if box is not None and box != name:
                made.in_box.setdefault(box, []).append(name)
    for name, cable in view.site.cables.items():
        made.pieces.setdefault(cable.circuit or "", []).append(name)
        if cable.circuit and cable.to and made.node(cable.to) != made.node(cable.from_ or ""):
            made.coming.setdefault((cable.circuit, made.node(cable.to)), []).append(view.elements[name])
    return made


@from_view
def wire_up(view: SiteView) -> None:
    """Give outlets what feeds them, and boxes what is in them."""
    made = wiring_of(view)
    for device in (one for name in YOKED for one in getattr(view.site, name)):
        view.elements[device].own["gangs"] = _gangs(view.elements[device])
    for one in view.of("cable"):
        if "ground" in one.own and not isinstance(one.value("ground"), str):
            one.own["ground_size"] = one.own["ground"]
    for kind_name in FED:
        for outlet in view.of(kind_name):
            outlet.own["fed_by"] = _fed_by(made, outlet)
            outlet.own["upstream"] = _upstream(made, outlet)
    for outlet in view.of("receptacle"):
        outlet.own["downstream"] = _downstream(view, outlet)
    for circuit in view.of("circuit"):
        circuit.own["cables"] = _of_circuit(made, circuit)
    for hole in view.of("framing_hole"):
        many = hole.fact("many")
        hole.own["number"] = Fact(1) if isinstance(many.value, Unknown) else many
        hole.own["cables_through"] = _cables_through(view, hole)
    for box in view.of("box"):
        box.own["devices"] = _devices(made, box)
        box.own["cables"] = _cables(made, box)


def _of_circuit(made: Wiring, circuit: Subject) -> Members:
    """The pieces of cable of a circuit. One whose two ends may be in one box may not be there."""
    view = made.view
    sure: list[Subject] = []
    missing: list[Missing] = []
    for cable in view.of("cable"):
        owner = cable.fact("circuit").value
        if isinstance(owner, Unknown):
            missing.extend(owner.missing)
        elif owner is circuit:
            doubt = _in_one_box(made, cable)
            missing += [doubt] if doubt else []
            sure += [] if doubt else [cable]
    if circuit.id in lists_closed(view.site).get("cables", ()) and len(sure) == len(made.pieces.get(circuit.id, ())):
        return Members(tuple(sure))
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
    if not _may_share(made.view, loose[0], _places(made, other)):
        return None
    return loose[0].lacks("box")


def _gangs(device: Subject) -> object:
    """Gangs a device fills: two for a quad receptacle, else what is said, else one."""
    if device.kind == "switch":
        said = device.fact("yokes")
        return Fact(1) if isinstance(said.value, Unknown) else said
    what = device.fact("what")
    if isinstance(what.value, Unknown):
        return Range(1, None, missing=what.value.missing)
    return Fact(2 if str(what.value).endswith("quad") else 1, (), what.known)


def _cables_through(view: SiteView, hole: Subject) -> Fact:
    """Cables through a hole: as counted, else no more than there are in the building, where these are all written."""
    counted = hole.fact("cables")
    if not isinstance(counted.value, Unknown):
        return counted
    named, cables = hole.fact("of"), view.of("cable")
    least = len(named.value.sure) if isinstance(named.value, Members) else 0
    lacks = (hole.lacks("cables"),)
    if _every_circuit_whole(view):
        step = Step("cables through the hole", "no more than there are in the building", str(len(cables)))
        return Fact(Range(least, len(cables), missing=lacks), (step,), named.known)
    return Fact(Range(least, None, missing=lacks), (), named.known) if least else Fact(Unknown(lacks))


# along the cable


def _circuit_id(outlet: Subject) -> str | None:
    circuit = outlet.fact("circuit").value
    return circuit.id if isinstance(circuit, Subject) else None


def _fed_by(made: Wiring, outlet: Subject) -> object:
    circuit = _circuit_id(outlet)
    found = made.coming.get((circuit or "", made.node(outlet.id)), [])
    return Fact(found[0], (), TESTED) if len(found) == 1 else unknown(no_cable(outlet))


def no_cable(outlet: Subject) -> Missing:
    """What is missing when nobody has written which cable comes to an outlet."""
    return Missing(
        element=outlet.id,
        fact="cable that comes to it",
        kind=outlet.kind,
        path=outlet.path,
        found_by="look",
        means="its place in the chain of its circuit, or a cable that ends at it",
    )


def way_back(made: Wiring, outlet: Subject) -> Iterator[tuple[Subject, str] | Missing]:
    """The cables from an outlet back to its panel, each with the id it comes from; a Missing where the way breaks."""
    circuit = _circuit_id(outlet)
    if circuit is None:
        yield outlet.lacks("circuit")
        return
    at, seen = outlet.id, set[str]()
    while True:
        found = made.coming.get((circuit, made.node(at)), [])
        if len(found) != 1 or made.node(at) in seen:
            yield no_cable(made.view.elements[at])
            return
        seen.add(made.node(at))
        before = found[0].fact("from_").value
        if not isinstance(before, Subject):
            yield found[0].lacks("from_")
            return
        yield found[0], before.id
        if before.kind in STARTS:
            return
        at = before.id


def _upstream(made: Wiring, outlet: Subject) -> Members:
    """The receptacles on the way back, nearest first; those that share a box with one of them, or with the outlet."""
    order = _order(made, outlet)
    found: list[str] = [name for name in made.in_box.get(made.node(outlet.id), ()) if _before(order, name, outlet.id)]
    missing: list[Missing] = []
    for step in way_back(made, outlet):
        if isinstance(step, Missing):
            missing.append(step)
            continue
        before = step[1]
        found += [before, *(name for name in made.in_box.get(made.node(before), ()) if _before(order, name, before))]
    elements = made.view.elements
    through = [elements[name] for name in dict.fromkeys(found) if elements[name].kind == "receptacle"]
    missing += _not_whole(made.view, outlet, _circuit_id(outlet))
    return Members(tuple(through), bool(missing), tuple(dict.fromkeys(missing)))


def _order(made: Wiring, outlet: Subject) -> list[str]:
    circuit = made.view.site.circuits.get(_circuit_id(outlet) or "")
    return list(circuit.outlets or ()) if circuit is not None else []


def _before(order: list[str], name: str, other: str) -> bool:
    """Whether the chain comes to a device before another one in the same box."""
    return name in order and other in order and order.index(name) < order.index(other)


def _downstream(view: SiteView, outlet: Subject) -> Members:
    """The receptacles whose way back leads through this one; all of them where its circuit is whole."""
    circuit = _circuit_id(outlet)
    after = [one for one in view.of("receptacle") if any(before.id == outlet.id for before in _through(one))]
    missing = [*_not_whole(view, outlet, circuit)]
    for one in view.of("receptacle"):
        way = one.own["upstream"]
        if isinstance(way, Members) and way.open and _circuit_id(one) in (None, circuit) and one not in after:
            missing += way.missing
    return Members(tuple(after), bool(missing), tuple(dict.fromkeys(missing)))


def _through(one: Subject) -> Iterable[Subject]:
    upstream = one.own["upstream"]
    return upstream.sure if isinstance(upstream, Members) else ()


def _not_whole(view: SiteView, outlet: Subject, circuit: str | None) -> tuple[Missing, ...]:
    """What has to be said before the cables of a circuit are all written."""
    if circuit is None:
        return (outlet.lacks("circuit"),)
    if circuit not in whole_circuits(view.site):
        return (view.elements[circuit].lacks("whole"),)
    closes = view.whole("cables", circuit)
    return (closes,) if closes else ()


# in a box


def _place(view: SiteView, one: Subject) -> tuple[str, str, Number | None]:
    """Room, wall and distance along it of a device or box; blank where nobody has recorded it.

    A room without a wall is written for what is on no wall: the ceiling, the floor.
    """
    wall, space, at = one.exact("wall"), one.exact("space"), one.exact("at")
    if not isinstance(wall, str):
        return (space.id, _NO_WALL, None) if isinstance(space, Subject) else ("", "", None)
    ref = view.plan.ref(wall)
    return ref.partition(".")[0], ref, at if isinstance(at, Number) else None


def _may_share(view: SiteView, one: Subject, places: list[tuple[str, str, Number | None]]) -> bool:
    """Whether a device may be in a box of which some places are known."""
    room, wall, at = _place(view, one)
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


def _places(made: Wiring, box: Subject) -> list[tuple[str, str, Number | None]]:
    """Where a box is: as it says itself, and as its devices say."""
    return [_place(made.view, made.view.elements[name]) for name in (box.id, *made.in_box.get(box.id, ()))]


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
            if device.box is None and _may_share(view, view.elements[name], places):
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
    view = made.view
    places = _places(made, box)
    sure: list[Subject] = []
    missing: list[Missing] = []
    for cable in view.of("cable"):
        ends = [_end(made, cable, name, box, places) for name in ("from_", "to")]
        inside = [one for one in ends if one is True]
        maybe = [one for one in ends if isinstance(one, Missing)]
        if len(inside) == 1 and not maybe:
            sure.append(cable)
        missing += maybe if len(inside) < 2 else []
    closes = _cables_whole(view, box, places)
    missing += [closes] if closes else []
    return Members(tuple(sure), bool(missing), tuple(dict.fromkeys(missing)))


def _end(
    made: Wiring, cable: Subject, name: str, box: Subject, places: list[tuple[str, str, Number | None]]
) -> bool | Missing:
    """Whether one end of a cable is in a box, or what would tell."""
    end = cable.fact(name).value
    if not isinstance(end, Subject):
        return cable.lacks(name)
    found = made.boxes.get(end.id)
    if found is not None:
        return found == box.id
    if end.id not in made.boxes:
        return False  # a panel, or an appliance with its own wiring space
    return end.lacks("box") if _may_share(made.view, end, places) else False


def _cables_whole(view: SiteView, box: Subject, places: list[tuple[str, str, Number | None]]) -> Missing | None:
    """None when every cable that may come into a box is written: somebody said so, or every circuit is whole."""
    closes = view.whole("cables", box.id, *(room for room, _, _ in places if room))
    if closes is None:
        return None
    return None if _every_circuit_whole(view) else closes


def _every_circuit_whole(view: SiteView) -> bool:
    """Whether every cable of a branch circuit is written: all cables by a statement, or each circuit by its chain."""
    if view.whole("cables") is None:
        return True
    circuits = set(view.site.circuits)
    return (
        view.whole("circuits") is None and bool(circuits) and circuits <= lists_closed(view.site).get("cables", set())
    )
