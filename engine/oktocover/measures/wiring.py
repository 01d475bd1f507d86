"""What a cable's designation tells, how many conductors come into a box, how many cables go through a hole."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from oktocover.findings.finding import Step
from oktocover.measures import cable_lengths as cable_lengths
from oktocover.measures import wiring_boxes as wiring_boxes
from oktocover.measures import wiring_graph as wiring_graph
from oktocover.measures.cable_types import cable_types
from oktocover.measures.registry import FactType, inverse, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import Number, Unknown, Worked
from oktocover.quantities import WIRE, number
from oktocover.site.designation import Designation, designation

COUNT = "number"
BURIED = "buried"

for list_name, member in (
    ("switches", "switch"),
    ("lights", "light"),
    ("equipment", "equipment"),
    ("disconnects", "disconnect"),
    ("appliances", "appliance"),
):
    inverse("circuit", list_name, member, via="circuit", list_name=list_name, means=f"the {list_name} on it")
inverse("raceway", "cables", "cable", via="raceway", list_name="cables", means="what is drawn into it")
inverse("panel", "circuits", "circuit", via="panel", list_name="circuits", means="the circuits that start in it")
inverse("panel", "feeders", "feeder", via="to", list_name="feeders", means="the feeders that end at it")
inverse("light", "switches", "switch", via="controls", list_name="switches", means="the switches that control it")
inverse("receptacle", "switches", "switch", via="controls", list_name="switches", means="the switches that control it")
inverse("receptacle", "machines", "equipment", via="receptacle", list_name="equipment", means="what is plugged into it")


def _not_in_the_ground(one: Subject) -> bool:
    """Whether it is told that a cable or raceway lies in no trench itself: it runs elsewhere, or in a raceway."""
    runs = one.value("runs")
    in_raceway = one.kind == "cable" and isinstance(one.value("raceway"), Subject)
    return in_raceway if isinstance(runs, Unknown) else BURIED not in runs


for list_name, member in (("cables", "cable"), ("raceways", "raceway")):
    means = f"the {list_name} in it"
    inverse("trench", list_name, member, via="trench", list_name=list_name, means=means, elsewhere=_not_in_the_ground)


@measure(
    "cable", "insulated", FactType("quantity", COUNT, means="how many insulated conductors it has"), reads=("what",)
)
def insulated(what: str) -> Worked | None:
    """Insulated conductors of a cable, or of a circuit in a raceway; None where the designation has no count."""
    made = designation(what)
    if not made.sizes:
        return None
    return Worked(len(made.sizes), (Step("insulated conductors", what, str(len(made.sizes))),))


@measure(
    "cable",
    "metal",
    FactType("word", words=("copper", "aluminum", "copper-clad aluminum"), means="metal of its conductors"),
    reads=("what",),
)
def metal(what: str) -> str | None:
    """The metal printed on it, or that of its type when none is printed (rulesets/cable-types.yaml)."""
    made = designation(what)
    known = cable_types().get(made.type)
    return made.metal or (known.metal if known is not None else None)


@measure(
    "cable",
    "grounds",
    FactType("quantity", COUNT, means="how many wires for the equipment ground it has"),
    reads=("what",),
)
def grounds(what: str) -> int | None:
    """Wires for the equipment ground: by the designation, else by the standard of the type."""
    made = designation(what)
    if made.grounded is not None:
        return int(made.grounded)
    known = cable_types().get(made.type)
    return None if known is None or known.grounds is None else int(bool(known.grounds))


@measure(
    "cable",
    "ground_size",
    FactType("quantity", "wire size", means="size of its equipment ground", found_by="plate"),
    reads=("what",),
)
def ground_size(what: str) -> Worked | None:
    """Size of the equipment ground: by the designation, else by the standard of the type.

    A site's own record (`ground`) stands in its place; None where neither tells it, or where there is no such wire.
    """
    made = designation(what)
    size = made.ground if made.ground is not None else _by_type(made)
    if size is None:
        return None
    source = "" if made.ground is not None else "rulesets/cable-types.yaml"
    return Worked(size, (Step("equipment ground", what, WIRE[size], source),))


def _by_type(made: Designation) -> int | None:
    known = cable_types().get(made.type)
    if known is None or not known.grounds or made.grounded is False or len(set(made.sizes)) != 1:
        return None
    return known.grounds.get(made.size)


@measure(
    "box",
    "conductors",
    FactType("quantity", COUNT, means="insulated conductors that come into it"),
    reads=("cables[insulated]",),
    rises=("cables",),
)
def conductors(cables: Sequence[tuple[Number]]) -> Worked:
    """Insulated conductors that come into a box with its cables; while their list is open, at least so many."""
    found = sum((one for (one,) in cables), 0)
    how = " + ".join(str(one) for (one,) in cables) or "no cable"
    return Worked(found, (Step("insulated conductors into the box", how, str(found)),))


@measure(
    "box",
    "ground_wires",
    FactType("quantity", COUNT, means="equipment grounds that come into it"),
    reads=("cables[grounds]",),
    rises=("cables",),
)
def ground_wires(cables: Sequence[tuple[Number]]) -> Number:
    """Equipment grounds that come into a box with its cables."""
    return sum((one for (one,) in cables), 0)


@measure(
    "raceway",
    "conductors",
    FactType("quantity", COUNT, means="insulated conductors drawn into it"),
    reads=("cables[insulated]",),
    rises=("cables",),
)
def raceway_conductors(cables: Sequence[tuple[Number]]) -> Number:
    """Insulated conductors in a raceway; while their list is open, at least so many."""
    return sum((one for (one,) in cables), 0)


@measure(
    "framing_hole",
    "share_taken",
    FactType("quantity", "share", means="share of the member that a hole or notch takes"),
    reads=("size", "depth"),
)
def share_taken(size: Number, depth: Number) -> Number | None:
    """Diameter of a hole, or depth of a notch, over the depth of the member."""
    return None if depth <= 0 else number(Fraction(size) / Fraction(depth))
