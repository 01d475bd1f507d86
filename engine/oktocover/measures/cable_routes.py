"""Where wiring runs, as yes or no for each place that has rules of its own, and how wet it is there.

A bend is asked about once somebody has taped it: a tight one is seen, and nobody searches for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from oktocover.findings.finding import Step
from oktocover.measures.registry import FactType, from_view, kind, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Number, Worked
from oktocover.quantities import number, show
from oktocover.site.designation import TYPES

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

SHELTERED = frozenset({"concealed", "in the attic"})
"""Ways in which wiring runs where it is dry by what the place is: in closed framing, under the roof."""
JOISTS = frozenset({"in the basement", "in the crawl space"})
PLACES = ("dry", "damp", "wet")
RACEWAYS = ("EMT", "RMC", "IMC", "PVC 40", "PVC 80", "HDPE", "FMC", "LFMC", "LFNC", "ENT", "sleeve")

kind("cable").facts["place"] = FactType("word", words=PLACES, means="how wet the place is", computed=True)
kind("raceway").facts["place"] = FactType("word", words=PLACES, means="how wet it is inside it", computed=True)


@measure("cable", "sheltered", FactType("yes or no", means="all of it runs in closed framing or attics"), ("runs",))
def sheltered(runs: Sequence[str]) -> bool:
    """Whether wiring runs nowhere but in closed framing and attics."""
    return set(runs) <= SHELTERED


@measure("cable", "in_attic", FactType("yes or no", means="some of it runs in the attic"), ("runs",))
def in_attic(runs: Sequence[str]) -> bool:
    """Whether some of it runs in an attic."""
    return "in the attic" in runs


@measure("cable", "under_joists", FactType("yes or no", means="some of it runs under joists, in reach"), ("runs",))
def under_joists(runs: Sequence[str]) -> bool:
    """Whether some of it runs in a basement or crawl space."""
    return not JOISTS.isdisjoint(runs)


@measure("cable", "in_earth", FactType("yes or no", means="some of it is buried"), ("runs",))
@measure("raceway", "in_earth", FactType("yes or no", means="some of it is buried"), ("runs",))
def in_earth(runs: Sequence[str]) -> bool:
    """Whether some of it is buried."""
    return "buried" in runs


@measure("cable", "in_sun", FactType("yes or no", means="some of it runs outdoors"), ("runs",))
def in_sun(runs: Sequence[str]) -> bool:
    """Whether some of it runs outdoors or overhead."""
    return not {"outdoors", "overhead"}.isdisjoint(runs)


@measure("cable", "in_air", FactType("yes or no", means="some of it runs in a space that carries air"), ("runs",))
def in_air(runs: Sequence[str]) -> bool:
    """Whether some of it runs in a cavity that carries air."""
    return "in an air space" in runs


@measure("cable", "in_groove", FactType("yes or no", means="some of it lies in a shallow groove"), ("runs",))
def in_groove(runs: Sequence[str]) -> bool:
    """Whether some of it lies in a shallow groove under a finish."""
    return "in a groove" in runs


@measure("cable", "under_deck", FactType("yes or no", means="some of it runs under a metal roof deck"), ("runs",))
def under_deck(runs: Sequence[str]) -> bool:
    """Whether some of it runs under a corrugated metal roof deck."""
    return "under a roof deck" in runs


@from_view
def wetness(view: SiteView) -> None:
    """Buried wiring is in a wet place, and so is the inside of a buried raceway; of other wiring the place is told.

    What lies in a trench is buried.
    """
    for one in (*view.of("cable"), *view.of("raceway")):
        trench = one.fact("trench")
        if isinstance(trench.value, Subject):
            one.own["in_earth"] = Fact(True, (), trench.known)
        runs = one.fact("in_earth")
        one.own["place"] = Fact("wet", (), runs.known) if runs.value is True else one.fact("location")


@subjects(
    "cable_bend",
    {
        "bend": FactType("quantity", "length", means="inside radius of its tightest bend", found_by="tape"),
        "diameter": FactType(
            "quantity", "length", means="its diameter; of a flat cable the wide side", found_by="tape"
        ),
        "wire_type": FactType("word", words=TYPES, means="the type printed on it: NM-B, MC"),
    },
    system="electrical",
)
def bends(view: SiteView) -> Iterator[Subject]:
    """The tightest bends of cables, where somebody taped one."""
    for cable in view.of("cable"):
        if "bend" in cable.own:
            yield cable.seen_as("cable_bend", f"tightest bend of {cable.label}")


@subjects(
    "raceway_outdoors",
    {
        "what": FactType("word", words=RACEWAYS, means="what it is"),
        "length": FactType("quantity", "length", means="its length", found_by="tape"),
        "expansion": FactType("yes or no", means="an expansion fitting takes up its movement"),
        "temperature_swing": FactType("quantity", "temperature difference", means="coldest to hottest in a year"),
        "above_roof": FactType("quantity", "length", ("none",), means="in sun on a roof: height above it, or none"),
        "wires": FactType("many", kind="raceway_wire", means="what is drawn into it", computed=True),
    },
    system="electrical",
)
def outdoors(view: SiteView) -> Iterator[Subject]:
    """Raceways that run outdoors, or of which sun and heat are written."""
    for raceway in view.of("raceway"):
        runs = raceway.fact("runs").value
        told = "temperature_swing" in raceway.own or "above_roof" in raceway.own
        if told or (isinstance(runs, tuple) and "outdoors" in runs):
            yield raceway.seen_as("raceway_outdoors", f"{raceway.label}, outdoors")


@measure(
    "raceway_outdoors",
    "swing_degrees",
    FactType("quantity", "number", means="degrees Fahrenheit from its coldest to its hottest"),
    reads=("temperature_swing",),
    rises=("temperature_swing",),
)
def swing_degrees(swing: Number) -> Worked:
    """Change of temperature (K) as a plain number of degrees Fahrenheit: 9/5 of it."""
    degrees = number(Fraction(9, 5) * swing)
    return Worked(degrees, (Step("change of temperature", "as a number", show(degrees, "number"), ""),))
