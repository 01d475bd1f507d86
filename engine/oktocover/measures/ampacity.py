"""The conductors of a circuit, as the rules on ampacity ask for them.

What a conductor carries, and by how much heat and company lessen it, is data of the rule files. Here only the parts of
a cable's designation are told, and which pieces of cable a circuit is made of.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oktocover.findings.finding import Missing
from oktocover.measures.registry import FactType, from_view, inverse, kind, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number
from oktocover.site.designation import TYPES, designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView


@measure(
    "cable",
    "wire",
    FactType("quantity", "wire size", means="size of its largest insulated conductor"),
    reads=("what",),
)
def wire_of(what: str) -> Number:
    """Size (place on the ladder of wire sizes) of the largest insulated conductor of a designation."""
    return designation(what).size


@measure(
    "cable",
    "metal",
    FactType("word", words=("copper", "aluminum", "copper-clad aluminum"), means="metal of its conductors"),
    reads=("what",),
)
def metal_of(what: str) -> str:
    """Metal of the conductors of a designation; one that tells none is of copper, as other metals must be marked."""
    return designation(what).metal or "copper"


@measure(
    "cable",
    "wire_type",
    FactType("word", words=TYPES, means="the type printed on it: NM-B, THWN-2"),
    reads=("what",),
)
def type_of(what: str) -> str:
    """Type of a cable, or of the conductors in a raceway, by the letters printed on it."""
    return designation(what).type


_RUNS = FactType(
    "many",
    kind="cable",
    means="the pieces of cable it is run in, or the one cable it is run in throughout",
    computed=True,
)


@from_view
def runs(view: SiteView) -> None:
    """Give every circuit its conductors: the pieces that are written, and the cable said to run all along it.

    While neither says that it is whole, there may be thinner wire somewhere, and the list is open.
    """
    pieces: dict[str, list[Subject]] = {}
    for name, piece in getattr(view.site, "cables", {}).items():
        pieces.setdefault(piece.circuit or "", []).append(view.elements[name])
    fed = _fed(view)
    for circuit in view.of("circuit"):
        circuit.own["feeds"] = _feeds(view, circuit, fed.get(circuit.id, []))
        found = pieces.get(circuit.id, [])
        throughout = circuit.fact("cable")
        if isinstance(throughout.value, str):
            circuit.own["runs"] = Members((_throughout(circuit, throughout), *found))
            continue
        lacks = tuple(_unclosed(view, circuit))
        circuit.own["runs"] = Members(tuple(found), bool(lacks), lacks)


kind("circuit").facts.update(
    {
        "runs": _RUNS,
        "feeds": FactType("many", kind="equipment", means="the equipment it feeds", computed=True),
    }
)
inverse(
    "circuit", "receptacles", "receptacle", via="circuit", list_name="receptacles", means="the receptacles it feeds"
)


def _throughout(circuit: Subject, cable: Fact) -> Subject:
    """The cable said to run all along a circuit, as one piece of it."""
    return Subject(
        "cable",
        circuit.id,
        {"what": cable, "circuit": Fact(circuit)},
        label=f"cable of {circuit.label}",
        path=circuit.path,
        elements=(circuit.id,),
        where=circuit.where,
    )


def _unclosed(view: SiteView, circuit: Subject) -> Iterator[Missing]:
    """What would have to be written for the pieces of a circuit to be all of them."""
    yield circuit.lacks("cable")


def _fed(view: SiteView) -> dict[str, list[Subject]]:
    """Equipment by the circuit that feeds it: the one it names, or that of the receptacle it is plugged into."""
    found: dict[str, list[Subject]] = {}
    site = view.site
    for name, machine in site.equipment.items():
        plug = site.receptacles.get(machine.receptacle or "")
        chained = next((one for one, circuit in site.circuits.items() if name in (circuit.outlets or ())), "")
        circuit = machine.circuit or (plug.circuit if plug is not None else None) or chained
        if circuit:
            found.setdefault(circuit, []).append(view.elements[name])
    return found


def _feeds(view: SiteView, circuit: Subject, machines: list[Subject]) -> Members:
    """The equipment of a circuit: all of it, where the circuit is for one appliance and that one is written."""
    if machines and circuit.value("purpose") == "one appliance":
        return Members(tuple(machines))
    lacks = view.whole("equipment", circuit.id)
    return Members(tuple(machines), lacks is not None, (lacks,) if lacks else ())
