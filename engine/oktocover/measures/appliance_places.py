"""Appliances with the rooms their own room opens into, and what is written of clearances, access, drains and alarms."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.registry import KINDS, FactType, inverse, kind, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, unknown
from oktocover.measures.view import SiteView

SYSTEM = "fuel burning appliances"
WAYS = frozenset({"door", "sliding door", "cased opening", "garage door", "stair opening"})
"""Openings through which one goes, or drives, from room to room."""

inverse(
    "appliance",
    "clearances",
    "heat_clearance",
    via="appliance",
    list_name="heat clearances",
    means="air space to what burns",
)
inverse("appliance", "access_ways", "access_way", via="appliances", list_name="access ways", means="ways to reach it")
inverse(
    "appliance",
    "condensate_drains",
    "condensate_drain",
    via="appliances",
    list_name="condensate drains",
    means="drains of its condensate",
)
inverse(
    "space",
    "carbon_monoxide_alarms",
    "carbon_monoxide_alarm",
    via="bedrooms",
    list_name="carbon monoxide alarms",
    means="alarms for carbon monoxide that wake who sleeps in it",
)
inverse("space", "burning", "appliance", via="space", list_name="appliances", means="fuel-burning appliances in it")


def _or_nothing(value: Number | str) -> Number:
    """A length, or 0 for none."""
    return 0 if isinstance(value, str) else value


for _kind, _name, _read, _means in (
    ("access_way", "floor_width", "floor", "width of the solid floor of its passage; 0 for none"),
    ("access_way", "guard_height", "guard", "height of the guard along the roof edge; 0 for none"),
):
    measure(_kind, _name, FactType("quantity", "length", means=_means), (_read,))(_or_nothing)


PLACE_FACTS = {
    "neighbours": FactType("many", kind="space", means="rooms that its room opens into by a door", computed=True),
    "leads_out": FactType("yes or no", means="a door of its room leads outdoors", computed=True),
}


@subjects("appliance_place", PLACE_FACTS, system=SYSTEM)
def appliance_places(view: SiteView) -> Iterator[Subject]:
    """Each recorded appliance with the rooms that its room opens into."""
    known: dict[str, dict[str, Any]] = {}
    for appliance in view.of("appliance"):
        room = appliance.value("space")
        if isinstance(room, Subject):
            own = known.get(room.id) or known.setdefault(room.id, _beside(view, room))
        else:
            lacks = unknown(*(room.missing if isinstance(room, Unknown) else (appliance.lacks("space"),)))
            own = {"neighbours": lacks, "leads_out": lacks}
        yield appliance.seen_as("appliance_place", appliance.label, own)


def _beside(view: SiteView, room: Subject) -> dict[str, Any]:
    """The rooms behind the doors of a room, and whether one leads outdoors, as far as it is written."""
    found: dict[str, Subject] = {}
    lacks: list[Missing] = []
    out: bool | None = False
    for passage in view.of("passage"):
        rooms = passage.value("rooms")
        if isinstance(rooms, Unknown):
            lacks.extend(rooms.missing)
            continue
        if all(one.id != room.id for one in rooms.sure):
            lacks.extend(rooms.missing if rooms.open else ())
            continue
        what = passage.value("what")
        if isinstance(what, Unknown):
            lacks.extend(what.missing)
        elif what in WAYS:
            others = [one for one in rooms.sure if one.id != room.id]
            found.update((one.id, one) for one in others)
            lacks.extend(rooms.missing if rooms.open else ())
            out = out or (not others and not rooms.open)
    closes = view.whole("openings", room.id)
    lacks.extend([closes] if closes is not None else [])
    gaps = tuple(dict.fromkeys(lacks))
    leads = True if out else (Unknown(gaps) if gaps else False)
    return {"neighbours": Fact(Members(tuple(found.values()), bool(gaps), gaps)), "leads_out": leads}


def _share_facts() -> None:
    into = kind("appliance_place")
    for fact, type_ in KINDS["appliance"].facts.items():
        into.facts.setdefault(fact, type_)


_share_facts()
