"""What is asked of a panel once somebody has opened it, counted its places, or told which leg its breakers are on.

A panel of which none of this is written is not asked: its cover is still on, or its wiring is not begun.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oktocover.measures import supply as supply
from oktocover.measures.registry import FactType, subjects
from oktocover.measures.subject import Subject

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

_CIRCUITS = FactType("many", kind="circuit", means="the circuits that start in it", computed=True)
_OUT = FactType("many", kind="feeder", means="the feeders that start in it", computed=True)
MADE_UP = {
    "ground_bar": FactType("yes or no", means="it has a bar of its own for the grounds, joined to the case"),
    "cables_fastened": FactType("yes or no", means="every cable is fastened to the case, or as the section says"),
    "neutrals_alone": FactType("yes or no", means="no two neutrals are under one screw"),
    "directory": FactType("yes or no", means="every circuit is named in its directory"),
    "unused_closed": FactType("yes or no", means="every unused opening is closed"),
}


@subjects("panel_inside", MADE_UP, system="electrical")
def insides(view: SiteView) -> Iterator[Subject]:
    """The insides of panels of which something of their making-up is written."""
    for panel in view.of("panel"):
        if any(name in panel.own for name in MADE_UP):
            yield panel.seen_as("panel_inside", f"inside of {panel.label}")


@subjects(
    "panel_places",
    {
        "positions": FactType("quantity", "number", means="how many poles of breakers fit into it", found_by="plate"),
        "circuits": _CIRCUITS,
        "feeders_out": _OUT,
    },
    system="electrical",
)
def places(view: SiteView) -> Iterator[Subject]:
    """The places for breakers of panels of which their number is written."""
    for panel in view.of("panel"):
        if "positions" in panel.own:
            yield panel.seen_as("panel_places", f"places in {panel.label}")


@subjects(
    "panel_legs",
    {
        "main": FactType(
            "quantity", "current", ("none",), means="rating of its main breaker, or none", found_by="plate"
        ),
        "circuits": _CIRCUITS,
    },
    system="electrical",
)
def legs(view: SiteView) -> Iterator[Subject]:
    """The two legs of panels of which some breaker's leg is written."""
    told = {_panel_of(circuit) for circuit in view.of("circuit") if "leg" in circuit.own}
    for panel in view.of("panel"):
        if panel.id in told:
            yield panel.seen_as("panel_legs", f"legs of {panel.label}")


def _panel_of(circuit: Subject) -> str:
    panel = circuit.fact("panel").value
    return panel.id if isinstance(panel, Subject) else ""
