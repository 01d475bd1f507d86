"""How the cables of a site hang together: which cable comes to an outlet, what stands before it and after it.

A node is a box, or a device whose box nobody has recorded. Where two cables of one circuit come to a node, or none, the
way back to the panel is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from weakref import WeakKeyDictionary

from oktocover.findings.finding import Missing
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Members, unknown
from oktocover.measures.view import SiteView
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
    at_box: dict[str, list[Subject]] = field(default_factory=dict)
    """By box: the cables with an end in it."""
    loose: list[Subject] = field(default_factory=list)
    """Cables with an end of which nobody has recorded where it is, or in which box."""
    whole: frozenset[str] = frozenset()
    """Circuits whose outlets are all written."""
    complete: frozenset[str] = frozenset()
    """Circuits whose cables are all written, by their chains."""

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
        boxes = [made.boxes.get(end, "") if end else None for end in (cable.from_, cable.to)]
        for box in dict.fromkeys(filter(None, boxes)):
            made.at_box.setdefault(box, []).append(view.elements[name])
        made.loose += [view.elements[name]] if None in boxes else []
    made.whole = whole_circuits(view.site)
    made.complete = frozenset(lists_closed(view.site).get("cables", ()))
    return made


@from_view
def follow(view: SiteView) -> None:
    """Give outlets the cable that comes to them, and what stands before and after them on it."""
    made = wiring_of(view)
    for kind_name in FED:
        for outlet in view.of(kind_name):
            outlet.own["fed_by"] = _fed_by(made, outlet)
            outlet.own["upstream"] = _upstream(made, outlet)
    _give_downstream(made)


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
    missing += _not_whole(made, outlet)
    return Members(tuple(through), bool(missing), tuple(dict.fromkeys(missing)))


def _order(made: Wiring, outlet: Subject) -> list[str]:
    circuit = made.view.site.circuits.get(_circuit_id(outlet) or "")
    return list(circuit.outlets or ()) if circuit is not None else []


def _before(order: list[str], name: str, other: str) -> bool:
    """Whether the chain comes to a device before another one in the same box."""
    return name in order and other in order and order.index(name) < order.index(other)


def _give_downstream(made: Wiring) -> None:
    """Give every receptacle those whose way back leads through it; all of them where its circuit is whole."""
    after: dict[str, list[Subject]] = {}
    broken: dict[str | None, list[Subject]] = {}
    for one in made.view.of("receptacle"):
        way = one.own["upstream"]
        for before in _through(one):
            after.setdefault(before.id, []).append(one)
        if isinstance(way, Members) and way.open:
            broken.setdefault(_circuit_id(one), []).append(one)
    for outlet in made.view.of("receptacle"):
        circuit, found = _circuit_id(outlet), after.get(outlet.id, [])
        missing = [*_not_whole(made, outlet)]
        for one in (*broken.get(circuit, ()), *(broken.get(None, ()) if circuit is not None else ())):
            missing += one.own["upstream"].missing if one not in found else ()
        outlet.own["downstream"] = Members(tuple(found), bool(missing), tuple(dict.fromkeys(missing)))


def _through(one: Subject) -> Iterable[Subject]:
    upstream = one.own["upstream"]
    return upstream.sure if isinstance(upstream, Members) else ()


def _not_whole(made: Wiring, outlet: Subject) -> tuple[Missing, ...]:
    """What has to be said before the cables of the circuit of an outlet are all written."""
    circuit = _circuit_id(outlet)
    if circuit is None:
        return (outlet.lacks("circuit"),)
    if circuit not in made.whole:
        return (made.view.elements[circuit].lacks("whole"),)
    closes = made.view.whole("cables", circuit)
    return (closes,) if closes else ()
