"""Vent terminals as rules see them: each with the openings and outside things near it, and how far they are.

A terminal is the upright square of its overall size about its centre; an opening is its own rectangle. Distances
run between the nearest edges.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.outdoors import Outdoors, Read, opening_patch, straight, terminal_patch, thing_patch
from oktocover.measures.registry import KINDS, FactType, kind, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Fact, Members, Unknown, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number

SYSTEM = "fuel burning appliances"
NEAR = {
    "distance": FactType("quantity", "length", means="straight distance between the nearest edges", computed=True),
    "beside": FactType(
        "quantity",
        "length",
        means="level distance between the nearest edges; 0 when one is above the other",
        computed=True,
    ),
    "above": FactType("quantity", "length", means="lowest edge of the terminal over its upper edge", computed=True),
    "below": FactType("quantity", "length", means="its lower edge over the top of the terminal", computed=True),
    "outdoors": FactType("yes or no", means="it opens to the outdoors", computed=True),
}
Placed = tuple[Subject, Read, "bool | Unknown"]
"""Something near, where it stands, and whether it gives to the outdoors."""


def near_facts(outdoors: Outdoors, one: Read, other: Read) -> dict[str, Any]:
    """The facts of NEAR (without `outdoors`) between a terminal and something else."""
    known = min(one.known, other.known)
    lacks = one.missing + other.missing
    if one.patch is None or other.patch is None:
        return dict.fromkeys(("distance", "beside", "above", "below"), unknown(*lacks))
    a, b = one.patch, other.patch
    facts: dict[str, Any] = {}
    beside = outdoors.level_between(a, b)
    rise = outdoors.rise(a.room, b.room)
    above = below = None
    if isinstance(rise, tuple):
        facts |= dict.fromkeys(("above", "below"), unknown(*rise))
    else:
        above, below = a.low - (b.high + rise), b.low + rise - a.high
        facts |= {"above": Fact(above, (), known), "below": Fact(below, (), known)}
    if isinstance(beside, tuple):
        facts |= dict.fromkeys(("beside",), unknown(*beside))
    else:
        facts["beside"] = Fact(beside, (), known)
    if isinstance(beside, tuple) or above is None or below is None:
        gaps = (*(beside if isinstance(beside, tuple) else ()), *(rise if isinstance(rise, tuple) else ()))
        facts["distance"] = unknown(*gaps)
    else:
        facts["distance"] = Fact(straight(beside, above, below), (), known)
    return facts


def _maker(terminal: Subject, name: str, what_none_is: Number | float) -> Fact:
    """A maker's figure: `none` means that the sheet asks for no more than the code."""
    fact = terminal.fact(name)
    return Fact(what_none_is, fact.steps, fact.known) if fact.value == "none" else fact


TERMINAL_FACTS = {
    "openings": FactType(
        "many", kind="terminal_opening", means="doors, windows and other openings of the building", computed=True
    ),
    "things": FactType("many", kind="terminal_thing", means="what stands outside", computed=True),
    "lot_line": FactType(
        "quantity", "length", means="from the outside face of its wall to the lot line", found_by="map", computed=True
    ),
}
MAKER_FACTS = ("maker_openings", "maker_grade", "maker_inside_corner", "maker_soffit", "maker_meter", "maker_roof")


INLETS = ("gravity air inlet", "combustion air inlet")


def _as_opening(thing: Subject) -> Any:
    """An air inlet is an opening too: its word among openings, None when the thing is none, unknown when it may be."""
    fact = thing.fact("what")
    if isinstance(fact.value, Unknown):
        return fact
    return Fact("vent opening", fact.steps, fact.known) if fact.value in INLETS else None


def _open_list(view: SiteView, terminal: Subject) -> Missing | None:
    """What would close the list of openings: said of the building, near this terminal, or of each of all rooms."""
    closes: Missing | None = view.whole("openings", terminal.id)
    if closes is not None and view.whole("spaces") is None:
        rooms = [view.whole("openings", room) for room in view.site.spaces]
        lacking = [item for item in rooms if item is not None]
        closes = lacking[0] if lacking else None
    return closes


def _lot_line(outdoors: Outdoors, terminal: Subject) -> Any:
    side = terminal.value("wall")
    if isinstance(side, Unknown):
        return side
    wall = outdoors.wall_of.get(outdoors.plan.ref(side))
    if wall is None:
        return unknown(
            Missing(side, "lot line", "map", "wall", means="distance from this wall to the lot line", path=("walls",))
        )
    fact = wall.fact("lot_line")
    return Fact(NOWHERE, fact.steps, fact.known) if fact.value == "none" else fact


@subjects("terminal", TERMINAL_FACTS, system=SYSTEM)
def terminals(view: SiteView) -> Iterator[Subject]:
    """Each recorded terminal with what is near it."""
    found = view.of("vent_terminal")
    if not found:
        return
    outdoors = Outdoors(view)
    openings: list[Placed] = []
    for opening in view.of("opening"):
        there = opening_patch(outdoors.plan, opening)
        openings.append((opening, there, outdoors.opens_outdoors(opening, there)))
    things: list[Placed] = [(one, thing_patch(outdoors.plan, one), True) for one in view.of("outside_thing")]
    for base in found:
        yield _terminal(view, outdoors, base, openings, things)


def _terminal(
    view: SiteView,
    outdoors: Outdoors,
    base: Subject,
    openings: list[Placed],
    things: list[Placed],
) -> Subject:
    here = terminal_patch(outdoors.plan, base)
    own: dict[str, Any] = {"lot_line": _lot_line(outdoors, base)}
    for name in MAKER_FACTS:
        own[name] = _maker(base, name, 0)
    own["wall_near"] = _maker(base, "wall_near", NOWHERE)
    openings = [one for one in openings if not outdoors.far_apart(here.patch, one[1].patch)]
    things = [one for one in things if not outdoors.far_apart(here.patch, one[1].patch)]
    gaps = [near_facts(outdoors, here, there) for _, there, _ in things]
    near_things = tuple(
        _near("terminal_thing", base, thing, facts) for (thing, _, _), facts in zip(things, gaps, strict=True)
    )
    near_openings = tuple(
        _near("terminal_opening", base, opening, near_facts(outdoors, here, there) | {"outdoors": gives})
        for opening, there, gives in openings
        if gives is not False
    ) + tuple(
        _near("terminal_opening", base, thing, facts | {"outdoors": True, "operable": True, "what": _as_opening(thing)})
        for (thing, _, _), facts in zip(things, gaps, strict=True)
        if _as_opening(thing) is not None
    )
    more_things = view.whole("outside things", base.id)
    more_openings = [item for item in (_open_list(view, base), more_things) if item is not None]
    own["things"] = Members(near_things, more_things is not None, (more_things,) if more_things else ())
    own["openings"] = Members(near_openings, bool(more_openings), tuple(more_openings))
    side = base.exact("wall")
    where = f", {side.replace('.', ', ')} wall" if isinstance(side, str) else ""
    return Subject(
        "terminal",
        base.id,
        own,
        label=f"terminal {base.id}{where}",
        path=base.path,
        base=base,
        elements=(base.id,),
        where=base.where,
    )


def _near(kind: str, terminal: Subject, other: Subject, facts: dict[str, Any]) -> Subject:
    return Subject(
        kind,
        f"{terminal.id} {other.id}",
        facts,
        label=f"{other.id} as seen from {terminal.id}",
        path=other.path,
        base=other,
        elements=(terminal.id, other.id),
        where=other.where,
    )


def _share_facts() -> None:
    """The derived kinds have every fact of what they are made from."""
    made_from = {"terminal": "vent_terminal", "terminal_opening": "opening", "terminal_thing": "outside_thing"}
    for name, of in made_from.items():
        into = kind(name)
        for fact, type_ in KINDS[of].facts.items():
            into.facts.setdefault(fact, type_)
        if name != "terminal":
            into.facts.update(NEAR)


_share_facts()
