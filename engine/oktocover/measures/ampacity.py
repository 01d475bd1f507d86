"""The conductors of a circuit, as the rules on ampacity ask for them.

What a conductor carries, and by how much heat and company lessen it, is data of the rule files. Here only the parts of
a cable's designation are told, and which pieces of cable a circuit is made of.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, from_view, inverse, kind, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, Worked, unknown
from oktocover.quantities import number, show
from oktocover.site.designation import TYPES, designation
from oktocover.site.wiring_whole import lists_closed

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
    "wire_type",
    FactType("word", words=TYPES, means="the type printed on it: NM-B, THWN-2"),
    reads=("what",),
)
def type_of(what: str) -> str:
    """Type of a cable, or of the conductors in a raceway, by the letters printed on it."""
    return designation(what).type


@measure(
    "equipment",
    "amps",
    FactType("quantity", "current", means="current on its plate", found_by="plate"),
    reads=("load", "volts", "phases"),
    rises=("load",),
)
def current_of(load: Number, volts: Number, phases: str) -> Worked | Unknown:
    """Current (A) that a load (W or VA) takes at a voltage, one phase: load / volts, when `amps` itself is not written.

    Of three phases the plate tells it.
    """
    if phases != "1" or not volts:
        return unknown(Missing("", "amps", "plate", kind="equipment", means="current on its plate"))
    result = number(Fraction(load) / volts)
    how = f"{show(load, 'power')} / {show(volts, 'voltage')}"
    return Worked(result, (Step("current of the equipment", how, show(result, "current"), ""),))


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
    for circuit_id, machines in fed.items():
        for machine in machines:
            if circuit_id in view.elements:
                machine.own.setdefault("circuit", Fact(view.elements[circuit_id]))
    for feeder in view.of("feeder"):
        _feeder(feeder)
    gap = view.whole("equipment")
    more = (*((gap,) if gap is not None else ()), *_loose(view))
    for circuit in view.of("circuit"):
        circuit.own["feeds"] = _feeds(circuit, fed.get(circuit.id, []), more)
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
kind("feeder").facts["runs"] = _RUNS
inverse(
    "circuit", "receptacles", "receptacle", via="circuit", list_name="receptacles", means="the receptacles it feeds"
)


def _feeder(feeder: Subject) -> None:
    """Give a feeder its one run of conductors; it feeds no receptacle of its own."""
    feeder.own["receptacles"] = Members(())
    throughout = feeder.fact("cable")
    known = isinstance(throughout.value, str)
    feeder.own["runs"] = Members((_throughout(feeder, throughout),) if known else (), not known, _lacks(throughout))


def _lacks(fact: Fact) -> tuple[Missing, ...]:
    return fact.value.missing if isinstance(fact.value, Unknown) else ()


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
    """What would have to be written for the pieces of a circuit to be all of them: the shortest way is one cable."""
    if circuit.id in lists_closed(view.site).get("cables", ()):
        return
    yield from (one.lacks("circuit") for one in view.of("cable") if isinstance(one.fact("circuit").value, Unknown))
    if view.whole("cables", circuit.id) is not None:
        yield circuit.lacks("cable")


def _fed(view: SiteView) -> dict[str, list[Subject]]:
    """Equipment by the circuit that feeds it: the one it names, else that of the receptacle it is plugged into."""
    found: dict[str, list[Subject]] = {}
    site = view.site
    for name, machine in site.equipment.items():
        plug = site.receptacles.get(machine.receptacle or "")
        circuit = machine.circuit or (plug.circuit if plug is not None else None)
        if circuit:
            found.setdefault(circuit, []).append(view.elements[name])
    return found


def _feeds(circuit: Subject, machines: list[Subject], more: tuple[Missing, ...]) -> Members:
    """The equipment of a circuit: all of it, where the circuit is for one appliance and that one is written.

    A circuit that is written whole names what is wired to it; what is plugged in comes and goes, so that only a list of
    all equipment tells that there is no more; `more` is what that lacks.
    """
    if machines and circuit.value("purpose") == "one appliance":
        return Members(tuple(machines))
    return Members(tuple(machines), bool(more), more)


def _loose(view: SiteView) -> Iterator[Missing]:
    """What would tell the circuit of a machine that names none, nor a receptacle with one."""
    for machine in view.of("equipment"):
        if isinstance(machine.fact("circuit").value, Unknown):
            yield machine.lacks("circuit")
