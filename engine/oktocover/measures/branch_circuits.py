"""What a branch circuit shares, and the machines that somebody comes to service."""

from __future__ import annotations

from collections.abc import Iterator

from oktocover.measures import ampacity as ampacity
from oktocover.measures.registry import FactType, from_view, kind, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, unknown
from oktocover.measures.view import SiteView

ONE_PAIR = 2
"""Insulated conductors of a cable that has one hot and one neutral, or two hots: nothing to share."""

kind("circuit").facts["shares_neutral"] = FactType(
    "yes or no",
    means="two hot conductors of both legs share its neutral: recorded, or no, as no cable of it has a third conductor",
    computed=True,
)


@from_view
def share_neutrals(view: SiteView) -> None:
    """Give circuits whether two hots of theirs share one neutral."""
    for circuit in view.of("circuit"):
        circuit.own["shares_neutral"] = shares_neutral(circuit)


def shares_neutral(circuit: Subject) -> Fact:
    """Whether a circuit is multiwire: as recorded; no where each of its cables has two insulated conductors at most."""
    told = circuit.fact("multiwire")
    if not isinstance(told.value, Unknown):
        return told
    runs = circuit.fact("runs").value
    if isinstance(runs, Members) and runs.sure and not runs.open:
        wires = [cable.fact("insulated") for cable in runs.sure]
        if all(isinstance(fact.value, Number) and fact.value <= ONE_PAIR for fact in wires):
            return Fact(False, (), min(fact.known for fact in wires))
    return Fact(unknown(circuit.lacks("multiwire")))


@subjects(
    "serviced_machine",
    {
        "what": FactType("word", means="what it is"),
        "service_outlet": FactType(
            "quantity",
            "length",
            ("none",),
            means="distance to a 125 V receptacle for tools, on the same level and not fed through its disconnect, or none",
            found_by="tape",
        ),
        "service_receptacle": FactType("one", kind="receptacle", means="that receptacle"),
    },
    system="electrical",
)
def serviced_machines(view: SiteView) -> Iterator[Subject]:
    """Each piece of equipment and each appliance that burns fuel, once where one entry names the other."""
    machines = view.of("equipment")
    named = {one.id for machine in machines for one in [machine.fact("appliance").value] if isinstance(one, Subject)}
    for machine in (*machines, *(one for one in view.of("appliance") if one.id not in named)):
        yield machine.seen_as("serviced_machine", machine.label)
