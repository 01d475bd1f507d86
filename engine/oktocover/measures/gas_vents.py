"""The vents of gas regulators outdoors: how far each is from what opens into a building, and from what can spark.

They are `outside things`, placed on the walls as vent terminals are, so that the same geometry tells the distances. How
far apart they have to be is for the rules to say.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from oktocover.findings.finding import Missing
from oktocover.measures.outdoors import Outdoors, opening_patch, thing_patch
from oktocover.measures.registry import FactType, kind, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.terminals import near_facts
from oktocover.measures.values import Fact, Members, Range, Unknown
from oktocover.measures.view import SiteView

VENT: Final = "gas regulator vent"
INTO_THE_BUILDING: Final = ("forced air inlet", "gravity air inlet", "combustion air inlet")
SPARKS: Final = ("electric meter", "condenser")
STAND_OPEN: Final = (
    "door",
    "sliding door",
    "sliding panel",
    "garage door",
    "cased opening",
    "louver",
    "vent opening",
    "stair opening",
)
NEAR: Final = "gas_vent_near"
"""Kind of what is near such a vent."""

kind(NEAR).facts["distance"] = FactType(
    "quantity", "length", means="straight distance between the nearest edges", computed=True
)


@subjects(
    "gas_vent",
    {
        "openings": FactType("many", kind=NEAR, means="openings through which gas could get in", computed=True),
        "sparks": FactType("many", kind=NEAR, means="electric meters, condensers and the like outside", computed=True),
    },
    system="fuel gas",
)
def gas_vents(view: SiteView) -> Iterator[Subject]:
    """Each regulator vent that is written among the outside things."""
    vents = [one for one in view.of("outside_thing") if one.exact("what") == VENT]
    if not vents:
        return
    outdoors = Outdoors(view)
    more_things = view.whole("outside things")
    more_openings = [item for item in (_open_openings(view), more_things) if item is not None]
    for vent in vents:
        own: dict[str, Any] = {
            "openings": Members(_openings(view, outdoors, vent), bool(more_openings), tuple(more_openings)),
            "sparks": Members(
                _things(view, outdoors, vent, SPARKS), more_things is not None, (more_things,) if more_things else ()
            ),
        }
        side = vent.exact("wall")
        where = f", {side.replace('.', ', ')} wall" if isinstance(side, str) else ""
        yield vent.seen_as("gas_vent", f"regulator vent {vent.id}{where}", own)


def _open_openings(view: SiteView) -> Missing | None:
    """What would close the list of openings: said of the building, or of each of all its rooms."""
    closes = view.whole("openings")
    if closes is None or view.whole("spaces") is not None:
        return closes
    rooms = [view.whole("openings", room) for room in view.site.spaces]
    return next((item for item in rooms if item is not None), None)


def _openings(view: SiteView, outdoors: Outdoors, vent: Subject) -> tuple[Subject, ...]:
    here = thing_patch(outdoors.plan, vent)
    found = []
    for opening in view.of("opening"):
        there = opening_patch(outdoors.plan, opening)
        if outdoors.far_apart(here.patch, there.patch):
            continue
        gives, opens = outdoors.opens_outdoors(opening, there), _opens(opening)
        if gives is False or opens is False:
            continue
        lacks = tuple(item for one in (gives, opens) if isinstance(one, Unknown) for item in one.missing)
        found.append(_near(vent, opening, _perhaps(near_facts(outdoors, here, there)["distance"], lacks)))
    return (*found, *_things(view, outdoors, vent, INTO_THE_BUILDING))


def _things(view: SiteView, outdoors: Outdoors, vent: Subject, words: tuple[str, ...]) -> tuple[Subject, ...]:
    here = thing_patch(outdoors.plan, vent)
    found = []
    for thing in view.of("outside_thing"):
        what = thing.fact("what")
        if thing is vent or (not isinstance(what.value, Unknown) and what.value not in words):
            continue
        there = thing_patch(outdoors.plan, thing)
        if outdoors.far_apart(here.patch, there.patch):
            continue
        lacks = what.value.missing if isinstance(what.value, Unknown) else ()
        found.append(_near(vent, thing, _perhaps(near_facts(outdoors, here, there)["distance"], lacks)))
    return tuple(found)


def _opens(opening: Subject) -> bool | Unknown:
    """Whether an opening can stand open: a door or a louver does, a window where it is made to, fixed glass never."""
    what = opening.fact("what").value
    if isinstance(what, str) and what != "window":
        return what in STAND_OPEN
    operable = opening.fact("operable").value
    if isinstance(operable, bool):
        return operable
    return Unknown((opening.lacks("operable" if isinstance(what, str) else "what"),))


def _perhaps(distance: Any, lacks: tuple[Missing, ...]) -> Any:
    """A distance that counts only if something else is so: at least this far."""
    fact = distance if isinstance(distance, Fact) else Fact(distance)
    if not lacks or isinstance(fact.value, (Unknown, Range)):
        return distance
    return Fact(Range(fact.value, None, missing=lacks), fact.steps, fact.known)


def _near(vent: Subject, other: Subject, distance: Any) -> Subject:
    return Subject(
        NEAR,
        f"{vent.id} {other.id}",
        {"distance": distance},
        label=f"{other.id} as seen from {vent.id}",
        path=other.path,
        elements=(vent.id, other.id),
        where=other.where,
    )
