"""Where a feeder ends, what grounds a building, and whose conductors decide the size of what grounds it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from oktocover.findings.finding import Missing
from oktocover.measures import ampacity as ampacity
from oktocover.measures.registry import FactType, from_view, kind, plain_function
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, unknown
from oktocover.measures.wiring import metal
from oktocover.quantities import WIRE
from oktocover.site.designation import designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

NEUTRAL = ("kept apart", "bonded", "no neutral")

kind("feeder").facts.update(
    {
        "end_disconnects": FactType("yes or no", means="it ends at the disconnect of its building", computed=True),
        "end_rating": FactType("quantity", "current", means="rating of the disconnect it ends at", computed=True),
        "end_neutral": FactType("word", words=NEUTRAL, means="the neutral where it ends", computed=True),
        "electrodes": FactType("many", kind="electrode", means="the electrodes where it ends", computed=True),
    }
)
kind("circuit").facts["enlarged_from"] = FactType(
    "quantity",
    "wire size",
    ("not enlarged",),
    means="of a feeder: the size that would have been enough",
    found_by="paper",
    computed=True,
)
kind("electrode").facts.update(
    {
        "supply_wire": FactType("quantity", "wire size", means="size of the conductors that supply", computed=True),
        "supply_metal": FactType("word", words=("copper", "aluminum"), means="metal of those", computed=True),
        "companions": FactType("many", kind="electrode", means="all electrodes of the same disconnect", computed=True),
    }
)


@plain_function("circular_mils", ("wire size",), "number", "area of a conductor in circular mils, to four figures")
def circular_mils(size: Number) -> int | Unknown:
    """Area of a conductor in circular mils, the square of its diameter in thousandths of an inch, to four figures.

    Sizes in kcmil say it themselves; gauge n has the diameter 0.005 in x 92 to the power of (36 - n)/39 (ASTM B258).
    Not recorded for what is no size.
    """
    if size != int(size) or not 0 <= size < len(WIRE):
        return unknown(Missing("", "wire size", "plate", means="a size of conductor"))
    text, unit = WIRE[int(size)].split()
    if unit == "kcmil":
        return int(text) * 1000
    gauge = 1 - int(text.split("/")[0]) if "/" in text else int(text)
    area: float = (5 * 92 ** ((36 - gauge) / 39)) ** 2
    return int(float(f"{area:.4g}"))


@from_view
def grounding(view: SiteView) -> None:
    """Give feeders the place where they end, electrodes the conductors that supply and their companions."""
    serving: dict[str, list[Subject]] = {}
    for electrode in view.of("electrode"):
        serves = electrode.fact("serves").value
        if isinstance(serves, Subject):
            serving.setdefault(serves.id, []).append(electrode)
    loose = tuple(one.lacks("serves") for one in view.of("electrode") if "serves" not in one.own)
    gap = view.whole("electrodes")
    lacks = (*loose, *((gap,) if gap is not None else ()))
    for electrode in view.of("electrode"):
        serves = electrode.fact("serves").value
        if isinstance(serves, Subject):
            electrode.own["companions"] = Members(tuple(serving[serves.id]), bool(lacks), lacks)
            _supply_of(view, electrode, serves)
    for feeder in view.of("feeder"):
        end = feeder.fact("to").value
        if isinstance(end, Subject):
            is_panel = end.kind == "panel"
            feeder.own["end_disconnects"] = end.fact("disconnects_building") if is_panel else True
            feeder.own["end_rating"] = end.fact("main" if is_panel else "amps")
            feeder.own["end_neutral"] = end.fact("neutral") if is_panel else Fact(Unknown((end.lacks("serves"),)))
            feeder.own["electrodes"] = Members(tuple(serving.get(end.id, ())), bool(lacks), lacks)


def _supply_of(view: SiteView, electrode: Subject, serves: Subject) -> None:
    """Size and metal of the largest conductor that supplies what an electrode serves."""
    source: Any = serves if serves.kind == "service" else None
    for feeder in view.of("feeder"):
        end = feeder.fact("to").value
        source = feeder if isinstance(end, Subject) and end.id == serves.id else source
    if source is None:
        return
    cable = source.fact("cable")
    if not isinstance(cable.value, str):
        electrode.own["supply_wire"] = electrode.own["supply_metal"] = cable
        return
    electrode.own["supply_wire"] = Fact(designation(cable.value).size, (), cable.known)
    found = metal(cable.value)
    if found is not None:
        electrode.own["supply_metal"] = Fact("copper" if found == "copper" else "aluminum", (), cable.known)
