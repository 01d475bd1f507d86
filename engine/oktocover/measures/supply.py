"""The conductors of a service and of sets in parallel, and what stands where a feeder ends.

Sizes by the code's tables are data of the rule files. Here only designations are told, and places are passed on.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oktocover.measures import ampacity as ampacity
from oktocover.measures import grounding as grounding
from oktocover.measures.registry import FactType, from_view, inverse, kind, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown
from oktocover.measures.wiring import metal
from oktocover.site.designation import designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

METALS = ("copper", "aluminum")
OVER = ("walk or yard", "driveway of a house", "street or trucks", "roof")
ENTRY = ("outside", "inside at the entry", "inside farther in")
_RUNS = FactType("many", kind="cable", means="its conductors", computed=True)
_WIRE = FactType("quantity", "wire size", means="size of the conductors that supply the building", computed=True)
_METAL = FactType("word", words=METALS, means="metal of those conductors", computed=True)

kind("service").facts["runs"] = _RUNS
kind("parallel_set").facts["runs"] = _RUNS
kind("parallel_set").facts["rating"] = FactType(
    "quantity", "current", means="rating of the breaker or fuses ahead of them", computed=True
)
_PARALLEL = FactType("yes or no", means="its conductors run as sets in parallel, and stand there", computed=True)
kind("service").facts["in_parallel"] = _PARALLEL
kind("feeder").facts["in_parallel"] = _PARALLEL
kind("feeder").facts.update(
    {
        "end_entry": FactType("word", words=ENTRY, means="where the disconnect it ends at stands", computed=True),
        "end_motions": FactType("quantity", "number", means="hand motions that take the building off", computed=True),
        "end_lugs": FactType("yes or no", means="it ends at the lugs of a panel that has no main", computed=True),
        "end_busbars": FactType("quantity", "current", means="rating of the busbars it ends at", computed=True),
        "end_surge": FactType("yes or no", means="a surge protector where it ends", computed=True),
    }
)
inverse("panel", "feeders_out", "feeder", via="from_", list_name="feeders", means="the feeders that start in it")


@measure("service", "supply_wire", _WIRE, reads=("cable",))
@measure("feeder", "supply_wire", _WIRE, reads=("cable",))
def service_wire(cable: str) -> Number:
    """Size of the largest ungrounded conductor of a service, by its designation."""
    return designation(cable).size


@measure("service", "supply_metal", _METAL, reads=("cable",))
@measure("feeder", "supply_metal", _METAL, reads=("cable",))
def service_metal(cable: str) -> str | None:
    """Metal of the conductors of a service; None where neither the designation nor its type tells it."""
    found = metal(cable)
    return None if found is None else "copper" if found == "copper" else "aluminum"


@measure(
    "service",
    "neutral_wire",
    FactType("quantity", "wire size", means="size of its neutral"),
    reads=("cable",),
)
def service_neutral(cable: str) -> int | None:
    """Size of the neutral of three conductors, the last of them; None where the designation does not tell it."""
    made = designation(cable)
    if made.bare_neutral is not None:
        return made.bare_neutral
    return made.sizes[-1] if len(made.sizes) == 3 else None


@from_view
def conductors(view: SiteView) -> None:
    """Give services and sets in parallel their conductors, feeders what stands at their end."""
    for service in view.of("service"):
        room = view.elements.get(service.where[0])
        if room is not None:
            service.own.setdefault("space", Fact(room))
        service.own["runs"] = _run(service, service.fact("cable"), service.fact("rating"), service.fact("terminals"))
    carried: set[str] = set()
    for sets in view.of("parallel_set"):
        of = sets.fact("of").value
        if isinstance(of, Subject):
            carried.add(of.id)
            rating = of.fact("rating" if of.kind == "service" else "breaker")
            sets.own["rating"] = rating
            sets.own["runs"] = _run(sets, sets.fact("what"), rating, of.fact("terminals"))
    for supply in (*view.of("service"), *view.of("feeder")):
        cable = supply.fact("cable")
        if isinstance(cable.value, Unknown):
            supply.own["in_parallel"] = True if supply.id in carried else cable
        else:
            supply.own["in_parallel"] = Fact(False, (), cable.known)
    for feeder in view.of("feeder"):
        end = feeder.fact("to").value
        if isinstance(end, Subject):
            _end(feeder, end)


def _run(of: Subject, cable: Fact, rating: Fact, terminals: Fact) -> Members:
    """The conductors as a list of one, with the rating and terminals that decide what they carry."""
    if isinstance(cable.value, Unknown):
        return Members((), True, cable.value.missing)
    as_circuit = Subject("circuit", of.id, {"breaker": rating, "terminals": terminals}, label=of.label, path=of.path)
    facts = {"what": cable, "circuit": Fact(as_circuit)}
    run = Subject("cable", of.id, facts, label=f"conductors of {of.label}", path=of.path)
    return Members((run,))


def _end(feeder: Subject, end: Subject) -> None:
    """What is known of the place where a feeder ends; a main breaker is one motion of the hand."""
    is_panel = end.kind == "panel"
    feeder.own["end_entry"] = end.fact("entry" if is_panel else "building_entry")
    if not is_panel:
        feeder.own["end_motions"], feeder.own["end_lugs"] = 1, False
        return
    feeder.own["end_surge"], feeder.own["end_busbars"] = end.fact("surge_protector"), end.fact("rating")
    main = end.fact("main")
    feeder.own["end_lugs"] = main if isinstance(main.value, Unknown) else Fact(main.value == "none", (), main.known)
    if main.value == "none":
        feeder.own["end_motions"] = end.fact("hand_motions")
    else:
        feeder.own["end_motions"] = main if isinstance(main.value, Unknown) else Fact(1, (), main.known)


@subjects(
    "feeder_overhead",
    {
        "clearance": FactType(
            "quantity", "length", means="from the lowest conductor down to what is under it", found_by="tape"
        ),
        "over": FactType("word", words=OVER, means="what lies under the conductors, the most demanding of it"),
    },
    system="electrical",
)
def overhead(view: SiteView) -> Iterator[Subject]:
    """Feeders that are said to go overhead, or whose height was measured."""
    for feeder in view.of("feeder"):
        if feeder.fact("route").value == "overhead" or "clearance" in feeder.own:
            yield feeder.seen_as("feeder_overhead", f"{feeder.label}, overhead")
