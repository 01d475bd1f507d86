"""The space to work in before a panel: as taped, and at most as high as the room.

A panel is asked about once something of its space, or the feeder that ends at it, is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from oktocover.measures.registry import FactType, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Range

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

TAPED = ("clear_depth", "clear_width", "clear_height", "in_front", "door_opens", "above_and_below", "lit", "handle")
IN_FRONT = ("bare wall", "grounded wall", "live parts", "open")


def _length(means: str) -> FactType:
    return FactType("quantity", "length", means=means, found_by="tape")


@subjects(
    "working_space",
    {
        "volts": FactType("quantity", "voltage", means="nominal voltage between line conductors", found_by="plate"),
        "phases": FactType("word", words=("1", "3"), means="single or three phase", found_by="plate"),
        "clear_depth": _length("clear working space in front of it, from the live parts or the cover"),
        "clear_width": _length("clear width in front of it"),
        "clear_height": _length("clear height in front of it, from the floor"),
        "handle": _length("height of the highest handle above the floor"),
        "in_front": FactType("word", words=IN_FRONT, means="what is on the other side of that space"),
        "door_opens": FactType("yes or no", means="its door opens at least a right angle"),
        "above_and_below": FactType(
            "word",
            words=("clear", "foreign piping", "foreign ducts", "other"),
            means="what is in the space over and under it",
        ),
        "lit": FactType("yes or no", means="a light is planned or there for the working space", found_by="paper"),
        "over_stairs": FactType("yes or no", means="it is over the steps of a stair"),
        "near_clothes": FactType("yes or no", means="in or beside things that burn easily"),
        "space": FactType("one", kind="space", means="the room it is in", computed=True),
    },
    system="electrical",
)
def working_spaces(view: SiteView) -> Iterator[Subject]:
    """The spaces before panels of which a space or a feeder is written."""
    fed = {end.id for feeder in view.of("feeder") for end in [feeder.fact("to").value] if isinstance(end, Subject)}
    for panel in view.of("panel"):
        if panel.id in fed or any(name in panel.own for name in TAPED):
            yield _space(view, panel)


def _space(view: SiteView, panel: Subject) -> Subject:
    """The space before a panel. Its facts are those recorded of the panel."""
    own: dict[str, object] = {"clear_height": _height(view, panel)}
    room = view.elements.get(panel.where[0])
    if room is not None:
        own["space"] = Fact(room)
    return panel.seen_as("working_space", f"working space before {panel.label}", own)


def _height(view: SiteView, panel: Subject) -> Fact:
    """Clear height as taped; where nobody taped it, at most that of the room's ceiling."""
    taped = panel.fact("clear_height")
    room = view.elements.get(panel.where[0])
    if "clear_height" in panel.own or room is None:
        return taped
    ceiling = room.exact("ceiling")
    if ceiling is None:
        return taped
    return Fact(Range(None, ceiling, missing=(panel.lacks("clear_height"),)), (), room.fact("ceiling").known)
