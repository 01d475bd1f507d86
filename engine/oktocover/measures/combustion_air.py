"""Combustion air: the rooms that have gas appliances taking air from them, and the openings that feed these rooms.

A `combustion_space` is one room with such appliances. An `air_path` is an air opening seen as a way for air, with
what is counted of its area. How much air a square inch or a cubic foot gives is data of the rule files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from oktocover.findings.finding import Missing
from oktocover.measures.gas import circle
from oktocover.measures.registry import FactType, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Members, Number, Range, Unknown

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

OUTDOORS = ("outdoors", "ventilated attic", "ventilated crawl space")
GAS = ("natural gas", "propane")


@measure(
    "space",
    "infiltration_known",
    FactType("yes or no", means="somebody has worked out the natural air change", found_by="paper"),
    reads=("infiltration",),
)
def infiltration_known(rate: Number) -> bool:
    """A rate that is written is known; `infiltration known: no` is what a person writes otherwise."""
    return True


@measure(
    "air_opening",
    "counted_face",
    FactType("quantity", "area", means="clear area of its face, louver and screen left out", found_by="tape"),
    reads=("width", "high"),
    rises=("width", "high"),
)
def counted_face(width: Number, high: Number) -> Number:
    """Clear area (nm2) of a rectangular opening, from its two sides (nm)."""
    return width * high


def takes_room_air(draft: str | None, room_air: bool | None) -> bool | None:
    """Whether an appliance takes combustion air from its room; None when that is not recorded.

    A draft hood and an unvented burner always do, a direct-vent appliance never does. A fan-assisted or
    mechanical-draft one may be piped either way, so that only the recorded fact tells.
    """
    if draft == "direct vent":
        return False
    if draft in ("natural draft", "unvented"):
        return True
    return room_air


@dataclass(slots=True)
class Sum:
    """A sum that grows by exact, bounded or unknown amounts, none of them negative."""

    low: Number = 0
    high: Number | None = 0
    missing: list[Missing] = field(default_factory=list)
    known: int = TESTED

    def add(self, fact: Fact, sure: bool = True, why: tuple[Missing, ...] = ()) -> None:
        """Add an amount; one that may not count at all raises only the upper bound and names `why`."""
        self.known = min(self.known, fact.known)
        value: Any = fact.value
        low: Any = 0
        high: Any = None
        if isinstance(value, (Range, Unknown)):
            self.missing.extend(value.missing)
            if isinstance(value, Range):
                low, high = value.low or 0, value.high
        else:
            low = high = value
        if sure:
            self.low += low
        else:
            self.missing.extend(why)
        self.high = None if high is None or self.high is None else self.high + high

    def more(self, why: tuple[Missing, ...]) -> None:
        """There may be more that nobody has written."""
        self.high = None
        self.missing.extend(why)

    def fact(self) -> Fact:
        """The sum: exact, or a Range with what is missing."""
        if self.low == self.high:
            return Fact(self.low, (), self.known)
        return Fact(Range(self.low, self.high, missing=tuple(dict.fromkeys(self.missing))), (), self.known)


@dataclass(slots=True)
class Load:
    """The gas appliances that take air from one room."""

    appliances: list[Subject] = field(default_factory=list)
    natural: Sum = field(default_factory=Sum)
    fan: Sum = field(default_factory=Sum)
    all: Sum = field(default_factory=Sum)
    lacks: tuple[Missing, ...] = ()
    """What would have to be written before these are all of them."""

    def add(self, appliance: Subject) -> None:
        """Count one appliance by its draft; what is not recorded may or may not count."""
        fuel, draft = appliance.exact("fuel"), appliance.exact("draft")
        takes = takes_room_air(draft, appliance.exact("room_air"))
        if takes is False or (fuel is not None and fuel not in GAS):
            return
        lacks = tuple(
            appliance.lacks(name)
            for name, value in (("fuel", fuel), ("draft", draft), ("room_air", takes))
            if value is None
        )
        sure = fuel is not None and takes is True
        size = appliance.fact("input")
        self.appliances.append(appliance)
        self.all.add(size, sure, lacks)
        if draft is None:
            self.natural.add(size, False, lacks)
            self.fan.add(size, False, lacks)
        else:
            (self.fan if draft == "fan assisted" else self.natural).add(size, sure, lacks)

    def close(self, why: tuple[Missing, ...]) -> None:
        """Note what would have to be written before these are all of them."""
        self.lacks = why
        if why:
            for total in (self.natural, self.fan, self.all):
                total.more(why)


def loads(view: SiteView) -> tuple[dict[str, Load], list[Subject]]:
    """Per room its load, and the appliances whose room nobody has written."""
    rooms: dict[str, Load] = {space.id: Load() for space in view.of("space")}
    loose: list[Subject] = []
    for appliance in view.of("appliance"):
        where = appliance.value("space")
        if isinstance(where, Subject):
            rooms[where.id].add(appliance)
            continue
        lone = Load()
        lone.add(appliance)
        loose.extend(lone.appliances)
    astray = tuple(one.lacks("space") for one in loose)
    for name, load in rooms.items():
        closing = view.whole("appliances", name)
        load.close((*((closing,) if closing else ()), *astray))
    return rooms, loose


def _quantity(dimension: str, means: str) -> FactType:
    return FactType("quantity", dimension, means=means, computed=True)


_ROOM = {
    "volume": _quantity("volume", "volume of the finished room"),
    "input_natural": _quantity("heat rate", "input of its appliances that are not fan assisted and take its air"),
    "input_fan": _quantity("heat rate", "input of its fan-assisted appliances that take its air"),
}


@subjects(
    "air_path",
    {
        "room": FactType("text", means="the room it opens into", computed=True),
        "beyond": FactType("text", means="the room on its other side", computed=True),
        "counted_area": _quantity("area", "free area by the maker, else the area of its face"),
        "least_side": _quantity("length", "its smaller side, or its diameter"),
        "top_gap": _quantity("length", "from the ceiling down to its top edge"),
        "bottom_gap": _quantity("length", "from the floor up to its lower edge"),
        "beyond_volume": _ROOM["volume"],
        "beyond_natural": _ROOM["input_natural"],
        "beyond_fan": _ROOM["input_fan"],
        "room_volume": _ROOM["volume"],
        "room_natural": _ROOM["input_natural"],
        "room_fan": _ROOM["input_fan"],
        "what": FactType("word", words=("opening", "duct", "fan", "open doorway"), means="what it is"),
        "cover": FactType(
            "word", words=("none", "metal louver", "wood louver", "free area known"), means="what covers it"
        ),
        "route": FactType(
            "word", words=("direct", "vertical duct", "horizontal duct"), means="how it reaches outdoors"
        ),
        "storeys": FactType("word", words=("same", "different"), means="whether the two rooms are on one storey"),
        "closable": FactType("yes or no", means="it can be shut"),
        "fan": _quantity("flow", "outdoor air that the fan brings in"),
        "interlocked": FactType("yes or no", means="no burner of the room can fire unless the fan runs"),
    },
    system="fuel burning appliances",
)
def air_paths(view: SiteView) -> Iterator[Subject]:
    """Each air opening as a way for air."""
    rooms, _ = loads(view)
    for opening in view.of("air_opening"):
        own: dict[str, Any] = {
            "counted_area": _counted_area(opening),
            "least_side": _least_side(opening),
            **_gaps(opening),
        }
        for side, ref in (("room", "space"), ("beyond", "other_room")):
            found = opening.value(ref)
            if isinstance(found, Subject):
                load = rooms[found.id]
                own |= {
                    side: found.id,
                    f"{side}_volume": found.fact("volume"),
                    f"{side}_natural": load.natural.fact(),
                    f"{side}_fan": load.fan.fact(),
                }
            else:
                own |= dict.fromkeys((side, f"{side}_volume", f"{side}_natural", f"{side}_fan"), found)
        yield Subject("air_path", opening.id, own, base=opening, path=opening.path, where=opening.where)


def _counted_area(opening: Subject) -> Fact:
    cover = opening.fact("cover")
    if isinstance(cover.value, Unknown):
        return cover
    if cover.value == "free area known":
        return opening.fact("free_area")
    width, high, across = (opening.fact(name) for name in ("width", "high", "diameter"))
    if not isinstance(across.value, Unknown):
        return across if isinstance(across.value, Range) else Fact(circle(across.value).value, (), across.known)
    for side in (width, high):
        if isinstance(side.value, (Unknown, Range)):
            return Fact(Unknown(side.value.missing), (), side.known)
    return Fact(width.value * high.value, (), min(width.known, high.known))


def _least_side(opening: Subject) -> Fact:
    across = opening.fact("diameter")
    if not isinstance(across.value, Unknown):
        return across
    sides = [opening.fact(name) for name in ("width", "high")]
    lacking = [item for side in sides if isinstance(side.value, (Unknown, Range)) for item in side.value.missing]
    known = min(side.known for side in sides)
    return Fact(Unknown(tuple(lacking)) if lacking else min(side.value for side in sides), (), known)


def _gaps(opening: Subject) -> dict[str, Fact]:
    """Distances to ceiling and floor: one is written, the other follows from the ceiling and its own height."""
    written = {"top_gap": opening.fact("from_ceiling"), "bottom_gap": opening.fact("height")}
    own = opening.fact("diameter")
    own = opening.fact("high") if isinstance(own.value, Unknown) else own
    ceiling = opening.fact("space.finished_ceiling")
    for name, other in (("top_gap", "bottom_gap"), ("bottom_gap", "top_gap")):
        parts = [written[other], own, ceiling]
        if isinstance(written[name].value, Unknown) and not any(isinstance(p.value, (Unknown, Range)) for p in parts):
            rest = ceiling.value - own.value - written[other].value
            return written | {name: Fact(rest, (), min(part.known for part in parts))}
    return written


@subjects(
    "combustion_space",
    {
        "room": FactType("text", means="the room", computed=True),
        "space": FactType("one", kind="space", means="the room", computed=True),
        **_ROOM,
        "input_air": _quantity("heat rate", "input of its appliances that take its air"),
        "appliances": FactType(
            "many", kind="appliance", means="gas appliances that take its air, or may", computed=True
        ),
        "outdoor": FactType("many", kind="air_path", means="its openings to outdoors", computed=True),
        "fans": FactType("many", kind="air_path", means="fans that bring outdoor air into it", computed=True),
        "joins": FactType("many", kind="air_path", means="openings between rooms of the building", computed=True),
        "connector_area": _quantity("area", "areas of the vent connectors of its appliances, added up"),
        "blower_door_known": FactType(
            "yes or no", means="its natural air change is known by the blower-door test", computed=True
        ),
        "exhaust_fans": FactType("yes or no", means="the building has exhaust fans", computed=True),
        "ducts": FactType("yes or no", means="the building has ductwork that moves air", computed=True),
    },
    system="fuel burning appliances",
)
def combustion_spaces(view: SiteView) -> Iterator[Subject]:
    """One subject a room with gas appliances that take its air, or may; one an appliance whose room is not written."""
    rooms, loose = loads(view)
    for name, load in rooms.items():
        if load.appliances:
            yield _room_subject(view, view.elements[name], load)
    for appliance in loose:
        nowhere = Unknown((appliance.lacks("space"),))
        facts = (
            "room",
            "space",
            *_ROOM,
            "input_air",
            "outdoor",
            "fans",
            "joins",
            "connector_area",
            "appliances",
            "blower_door_known",
            "exhaust_fans",
            "ducts",
        )
        yield Subject(
            "combustion_space",
            f"{appliance.id} air",
            dict.fromkeys(facts, nowhere),
            path=appliance.path,
            label=f"combustion air of {appliance.id}, wherever it stands",
            elements=(appliance.id,),
        )


def _room_subject(view: SiteView, space: Subject, load: Load) -> Subject:
    ids = [one.id for one in load.appliances]
    own: dict[str, Any] = {
        "room": space.id,
        "space": space,
        "volume": space.fact("volume"),
        "input_natural": load.natural.fact(),
        "input_fan": load.fan.fact(),
        "input_air": load.all.fact(),
        "appliances": Members(tuple(load.appliances), bool(load.lacks), load.lacks),
        "joins": _joins(view),
        "connector_area": _connector_area(view, load),
        "blower_door_known": _by_blower_door(view, space),
        "exhaust_fans": _described(view, "exhaust fans"),
        "ducts": _described(view, "ductwork"),
        **_to_outdoors(view, space),
    }
    return Subject(
        "combustion_space",
        f"{space.id} air",
        own,
        path=space.path,
        where=(space.id, "", 0.0),
        label=f"{space.id}: combustion air for {', '.join(ids)}",
        elements=(space.id, *ids),
    )


def _by_blower_door(view: SiteView, space: Subject) -> Any:
    """Whether the blower-door figure tells the air change of a room.

    Where a rate is worked out, or nobody knows one, the reading has seen to it that no figure at 50 Pa is written.
    """
    if not isinstance(view.roots["building"].value("blower_door"), Unknown):
        return True
    if not isinstance(space.value("infiltration"), Unknown) or space.exact("infiltration_known") is False:
        return False
    return Unknown((view.roots["building"].lacks("blower_door"), space.lacks("infiltration_known")))


def _described(view: SiteView, system: str) -> Any:
    """Whether the building has a system, by what `described` says."""
    said = view.described(system)
    if said in ("yes", "none"):
        return said == "yes"
    means = f"whether the building has {system}"
    return Unknown((Missing("building", system, "look", "", means, ("described", system)),))


def _to_outdoors(view: SiteView, space: Subject) -> dict[str, Members]:
    """Openings and fans that bring outdoor air into a room; what may be one leaves the list open."""
    still = view.whole("air openings", space.id)
    lists: dict[str, list[Subject]] = {"outdoor": [], "fans": []}
    lacks: dict[str, list[Missing]] = {name: [still] if still else [] for name in lists}
    for path in view.of("air_path"):
        room, source, what = path.value("room"), path.value("source"), path.value("what")
        lost = tuple(item for one in (room, source, what) if isinstance(one, Unknown) for item in one.missing)
        if room not in (space.id,) and not isinstance(room, Unknown):
            continue
        if isinstance(source, str) and source not in OUTDOORS:
            continue
        for name, ours in (("outdoor", what != "fan"), ("fans", what == "fan" or isinstance(what, Unknown))):
            if lost and ours:
                lacks[name].extend(lost)
            elif ours:
                lists[name].append(path)
    return {
        name: Members(tuple(found), bool(lacks[name]), tuple(dict.fromkeys(lacks[name])))
        for name, found in lists.items()
    }


def _joins(view: SiteView) -> Members:
    """Openings between rooms, of the whole building."""
    still = view.whole("air openings")
    lacks = [still] if still else []
    found: list[Subject] = []
    for path in view.of("air_path"):
        source = path.value("source")
        if isinstance(source, Unknown):
            lacks.extend(source.missing)
        elif source == "room":
            found.append(path)
    return Members(tuple(found), bool(lacks), tuple(dict.fromkeys(lacks)))


def _connector_area(view: SiteView, load: Load) -> Fact:
    """The areas of the vent connectors of the appliances of a room; an appliance without one written is unknown."""
    total = Sum()
    still = view.whole("vent connectors")
    connectors = view.of("vent_connector")
    for appliance in load.appliances:
        if appliance.exact("draft") == "unvented":
            continue
        mine = [one for one in connectors if one.value("appliance") is appliance]
        for one in mine:
            size = one.fact("size")
            exact = not isinstance(size.value, (Unknown, Range))
            total.add(Fact(circle(size.value).value, (), size.known) if exact else Fact(Unknown(size.value.missing)))
        if not mine:
            total.more(
                (
                    Missing(
                        appliance.id,
                        "vent connector",
                        "tape",
                        "vent_connector",
                        "the connector from the appliance to the vent, with its size",
                        ("vent connectors",),
                    ),
                )
            )
    if still and load.appliances:
        total.more((still,))
    return total.fact()
