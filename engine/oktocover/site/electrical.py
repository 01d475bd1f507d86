"""Receptacle outlets, the circuits that feed them, the panels those start in, and the counters they serve."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal, get_args

from pydantic import Field

from oktocover import quantities
from oktocover.site.base import (
    Area,
    Count,
    Current,
    Element,
    Length,
    Node,
    OnWall,
    Power,
    RefTo,
    Voltage,
    YesNo,
    exact_of,
    means,
)
from oktocover.site.building import SpaceUse
from oktocover.site.wiring import OUTLETS, CableText

if TYPE_CHECKING:
    from oktocover.site.root import Site

Configuration = Literal[
    "5-15 duplex",
    "5-15 single",
    "5-15 quad",
    "5-20 duplex",
    "5-20 single",
    "5-20 quad",
    "6-15",
    "6-20",
    "6-30",
    "6-50",
    "10-30",
    "10-50",
    "14-20",
    "14-30",
    "14-50",
    "14-60",
    "TT-30",
    "L5-15",
    "L5-20",
    "L5-30",
    "L6-15",
    "L6-20",
    "L6-30",
    "L14-20",
    "L14-30",
]
"""Receptacle configurations by the names of NEMA WD 6: series, dash, amperes; L for a locking one."""

Mount = Literal[
    "wall",
    "floor",
    "ceiling",
    "countertop",
    "base cabinet side",
    "inside a cabinet",
    "luminaire",
    "appliance",
    "baseboard heater",
]

Problem = tuple[tuple[str | int, ...], str, str, str]


class Panel(OnWall):
    """A panelboard."""

    kind: ClassVar[str] = "panel"
    plural: ClassVar[str] = "panels"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room it is in")
    main: Current | Literal["none"] | None = means("rating of its main breaker, or none", by="plate")
    rating: Current | None = means("rating of its busbars", by="plate")
    volts: Voltage | None = means("nominal voltage between its line conductors: 240 V", by="plate")
    building: Literal["this", "another"] | None = means("whether it is in this building or in another")
    disconnects_building: YesNo | None = means("its main breaker is the disconnect of this building")
    service_rated: YesNo | None = means("marked as suitable for use as service equipment", by="plate")
    neutral: Literal["kept apart", "bonded", "no neutral"] | None = means(
        "its neutral bar: kept apart from the case and the ground bar, or bonded to them (locked off, or from a photo)"
    )
    ground_bar: YesNo | None = means("it has a bar of its own for the grounds, joined to the case")
    set_in: Literal["surface", "flush"] | None = means("on the wall, or let into it")
    setback: Length | None = means(
        "of one let into the wall: how far its edge will be behind the finished face", by="tape"
    )
    clear_depth: Length | None = means(
        "clear working space in front of it, from the live parts or the cover", by="tape"
    )
    clear_width: Length | None = means("clear width in front of it", by="tape")
    clear_height: Length | None = means("clear height in front of it, from the floor", by="tape")
    in_front: Literal["bare wall", "grounded wall", "live parts", "open"] | None = means(
        "what is on the other side of that space; grounded: concrete, brick, tile, metal"
    )
    door_opens: YesNo | None = means("its door opens at least a right angle")
    above_and_below: Literal["clear", "foreign piping", "foreign ducts", "other"] | None = means(
        "what is in the space over and under it, its own width and depth, from floor to 6 ft over it or the structure"
    )
    lit: YesNo | None = means("a light is planned or there for the working space", by="paper")
    handle: Length | None = means("height of the highest breaker handle above the floor or platform", by="tape")
    over_stairs: YesNo | None = means("it is over the steps of a stair")
    near_clothes: YesNo | None = means("in or beside things that burn easily, as in a clothes closet")
    entry: Literal["outside", "inside at the entry", "inside farther in"] | None = means(
        "where its main is the disconnect of a building: where it is, seen from where the conductors enter"
    )
    hand_motions: Count | None = means("without a main: how many handles take all of it off the supply")
    cables_fastened: YesNo | None = means(
        "every cable is fastened to the case by a clamp of its own, or as the section says"
    )
    neutrals_alone: YesNo | None = means("no two neutrals are under one screw")
    positions: Count | None = means("how many poles of breakers fit into it", by="plate")
    directory: YesNo | None = means("every circuit is named in its directory")
    unused_closed: YesNo | None = means("every unused opening is closed")
    surge_protector: YesNo | None = means("a surge protector is in it or beside it")


class Circuit(Element):
    """A branch circuit: one breaker and what it feeds."""

    kind: ClassVar[str] = "circuit"
    plural: ClassVar[str] = "circuits"
    system: ClassVar[str | None] = "electrical"
    short_keys: ClassVar[tuple[str, ...]] = ("typical", "chain")

    panel: Annotated[str, RefTo(("panel",))] | None = means("the panel it starts in")
    for_: str | None = Field(default=None, alias="for", description="what it is for, in your own words")
    breaker: Current | None = means("rating of its breaker", by="plate")
    poles: Count | None = means("poles of its breaker")
    gfci: YesNo | None = means("its breaker has ground-fault protection for people", by="plate")
    afci: YesNo | None = means("its breaker has arc-fault protection", by="plate")
    breaker_type: Literal["inverse time", "instantaneous", "time-delay fuse", "fuse"] | None = means(
        "kind of its breaker; inverse time: any ordinary one", by="plate"
    )
    terminals: Literal["60 C", "75 C", "60/75 C", "90 C"] | None = means(
        "temperature marked for its terminals, the lower of breaker and equipment", by="plate"
    )
    full_rated: YesNo | None = means("its breaker is marked for 100 percent continuous load", by="plate")
    breaker_locks: YesNo | None = means("a fitting stays on the breaker by which it can be locked off")
    leg: Literal["A", "B", "both"] | None = means("the leg of the panel its breaker is on, or both")
    multiwire: YesNo | None = means("two hot conductors of both legs share one neutral")
    handle_tie: YesNo | None = means("of a multiwire circuit: one handle or an identified tie opens both hots")
    volts: Voltage | None = means("nominal voltage: 120 V, 240 V", by="paper")
    to_ground: Voltage | None = means(
        "highest voltage of its conductors to ground, of a high leg or a grounded corner", by="paper"
    )
    phases: Literal["1", "3"] | None = means("single or three phase", by="paper")
    cable: CableText | None = means("cable along the whole circuit, such as 12-2 NM-B")
    drop: Length | None = means(
        "length of all upright parts of each of its cables together, where the cable does not say it", by="tape"
    )
    slack: Length | None = means(
        "what is left over at each end of each of its cables, where the cable does not say it", by="tape"
    )
    outlets: list[Annotated[str, RefTo((*OUTLETS, "box", "disconnect"))]] | None = means(
        "every outlet and box on it, in the order its cable runs"
    )
    whole: YesNo | None = means("those outlets are all of them")
    load: Power | None = means("the load on it by a calculation on paper", by="paper")
    continuous_load: Power | None = means("the part of that load that runs three hours or more", by="paper")
    load_amps: Current | None = means("that load in amperes, where it is known so", by="paper")
    purpose: (
        Literal["small appliances", "laundry", "bathrooms", "garage", "lighting", "general", "one appliance", "feeder"]
        | None
    ) = means("the one thing it is set aside for, if any", by="paper")
    extended: Length | Literal["none"] | None = means(
        "of an old circuit: how much wire was added to it outside of boxes and cabinets, or none", by="tape"
    )
    new_outlets: YesNo | None = means("of an old circuit: an outlet or device was added to it")
    other_outlets: Literal["none", "lights", "fans", "other rooms", "outdoors", "several"] | None = means(
        "outlets on it that are none of its purpose, or none"
    )


class Receptacle(OnWall):
    """A receptacle outlet: one box, whatever number of receptacles is in it."""

    kind: ClassVar[str] = "receptacle"
    plural: ClassVar[str] = "receptacles"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means(
        "the room, where it is on no wall (floor, ceiling, island, deck)"
    )
    what: Configuration | None = means("its configuration: 5-20 duplex, 14-50")
    volts: Voltage | None = means("rated voltage, where `what` does not say it", by="plate")
    amps: Current | None = means("rated current, where `what` does not say it", by="plate")
    mount: Mount | None = means(
        "what it is set in; `wall` says that it is open to the room, in no cabinet and part of nothing else; "
        "`countertop` is an assembly listed for the surface"
    )
    from_wall: Length | None = means("for one in the floor: from the wall to its centre", by="tape")
    heater_circuit: YesNo | None = means("for one in a baseboard heater: fed by the heater's own circuit")
    serves: (
        Literal[
            "general",
            "counter",
            "refrigerator",
            "laundry",
            "heating equipment",
            "equipment",
            "door opener",
            "security system",
            "snow melting",
            "clock",
            "switched light",
        ]
        | None
    ) = means(
        "what it is there for; `switched light`: a wall switch controls all of it, in place of a light in the ceiling"
    )
    circuit: Annotated[str, RefTo(("circuit",))] | None = means("the circuit that feeds it")
    box: Annotated[str, RefTo(("box",))] | None = means("the box it is in")
    gfci: YesNo | None = means("it has ground-fault protection for people built in", by="plate")
    afci: YesNo | None = means("it has arc-fault protection built in", by="plate")
    goes_on: Literal["line", "load", "nothing"] | None = means(
        "which of its terminals feed the outlets after it; load: its protection covers them; nothing: none do"
    )
    tamper_resistant: YesNo | None = means("marked TR", by="plate")
    weather_resistant: YesNo | None = means("marked WR", by="plate")
    location: Literal["dry", "damp", "wet"] | None = means("the place it is in: dry, damp or wet")
    cover: Literal["plate", "flip", "in-use", "extra-duty in-use", "none"] | None = means(
        "the cover it has or will have"
    )
    to_sink: Length | Literal["none"] | None = means(
        "shortest way from the rim of the nearest sink, tub or shower, round no wall or door; none: none near",
        by="tape",
    )
    to_tub: Length | Literal["none"] | None = means(
        "level distance to the rim of a bathtub or the threshold of a shower, or none there", by="tape"
    )
    above_tub: Length | None = means("its height above that rim or threshold", by="tape")
    tub_space: YesNo | None = means("inside a bathtub or shower, or right over it")
    reachable: YesNo | None = means("a person can reach it without moving anything or climbing")
    dedicated: YesNo | None = means("for one appliance that stays where it is, and for nothing else")
    counter: Annotated[str, RefTo(("counter",))] | None = means("the island or peninsula it is at")
    above_counter: Length | None = means(
        "height of its centre above the countertop (under it: write a minus)", by="tape"
    )
    from_end: Length | None = means("for a peninsula: from the outer end of the top to its centre", by="tape")
    below_basin: Length | None = means(
        "for one in a basin cabinet: how far under the top of the basin or countertop", by="tape"
    )
    to_machine: Length | None = means("for one that feeds an appliance: from where the appliance will stand", by="tape")
    bay: Count | None = means("for one in a garage: the vehicle bay it is in, counted from the left")
    outside: Literal["front", "back", "side"] | None = means("for one outdoors: which side of the house")
    from_grade: YesNo | None = means("for one outdoors: a person who stands on the ground reaches it")
    above_grade: Length | None = means("for one outdoors: height above the ground, deck or porch under it", by="tape")


class CounterBreak(Node):
    """A range, sink or refrigerator that stands in a wall counter."""

    what: Literal["range", "cooktop", "sink", "refrigerator", "oven"] | None = means("what it is")
    at: Length | None = means("its left edge, from the same zero as the counter's", by="tape")
    width: Length | None = means("its width along the wall", by="tape")
    behind: Length | Literal["none"] | None = means("depth of the countertop behind it, or none", by="tape")
    in_corner: YesNo | None = means("it is set across a corner of the room")


class Counter(OnWall):
    """A countertop or work surface in a kitchen or a room like it: one straight piece along a wall, or an island.

    `at` is its left end, `height` that of its top.
    """

    kind: ClassVar[str] = "counter"
    plural: ClassVar[str] = "counters"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room it is in, where it is on no wall")
    what: Literal["wall counter", "island", "peninsula"] | None = means(
        "along a wall, free standing, or fast at one end"
    )
    length: Length | None = means("its length; a peninsula from the wall it stands out from", by="tape")
    depth: Length | None = means("its depth, front to back", by="tape")
    area: Area | None = means("area of its top, sinks and cooktops not taken off, where it is no rectangle", by="tape")
    overhang: Length | None = means("how far its top stands out beyond what carries it, at the receptacle", by="tape")
    backsplash: YesNo | None = means("a wall, backsplash or cabinet above it could take a box")
    breaks: list[CounterBreak] | Literal["none"] | None = means(
        "every range, cooktop, sink and refrigerator in it, left to right, or none"
    )


class Basin(Element):
    """A wash basin in a bathroom."""

    kind: ClassVar[str] = "basin"
    plural: ClassVar[str] = "basins"

    space: Annotated[str, RefTo(("space",))] | None = means("the room it is in")
    receptacle: Annotated[str, RefTo(("receptacle",))] | None = means("the receptacle nearest to its outside edge")
    to_receptacle: Length | None = means("from its outside edge to that receptacle", by="tape")


INDOORS = frozenset(get_args(SpaceUse)) - {"porch", "deck", "balcony", "outdoors", "other"}


def problems(site: "Site") -> Iterator[Problem]:
    """What cannot be, on its face, in the electrical lists: one thing in two places."""
    for name, one in site.receptacles.items():
        yield from _in_two_places(site, name, one)
    for name, counter in site.counters.items():
        yield from _past_its_wall(name, counter)


def _in_two_places(site: "Site", name: str, one: Receptacle) -> Iterator[Problem]:
    room = (one.wall or "").partition(".")[0]
    if one.wall and one.space and one.space != room:
        yield (
            ("receptacles", name, "space"),
            f"{name} is on a wall of {room} and in {one.space}",
            "one room",
            "leave out space: the wall says which room",
        )
    if one.wall and one.counter:
        yield (
            ("receptacles", name, "counter"),
            f"{name} is on the wall {one.wall} and at the island or peninsula {one.counter}",
            "a wall, or an island or peninsula",
            "leave one of them out",
        )
    counter = site.counters.get(one.counter or "")
    stands = ((counter.wall or "").partition(".")[0] or counter.space) if counter is not None else None
    if one.space and stands and one.space != stands:
        yield (
            ("receptacles", name, "space"),
            f"{name} is in {one.space}, its counter {one.counter} in {stands}",
            "one room",
            "leave out space: the counter says which room",
        )
    space = site.spaces.get(room or one.space or "")
    if one.outside and space is not None and space.use in INDOORS:
        yield (
            ("receptacles", name, "outside"),
            f"{name} is outdoors and in {room or one.space}",
            "a place outdoors, or a room",
            "leave out the wall and the room of a receptacle outdoors",
        )


def _past_its_wall(name: str, counter: Counter) -> Iterator[Problem]:
    if counter.wall and counter.space and counter.wall.partition(".")[0] != counter.space:
        yield (
            ("counters", name, "space"),
            f"{name} is along the wall {counter.wall} and in {counter.space}",
            "one room",
            "leave out space: the wall says which room",
        )
    start, long = exact_of(counter.at), exact_of(counter.length)
    if start is None or long is None or not isinstance(counter.breaks, list):
        return
    for place, one in enumerate(counter.breaks):
        at, width = exact_of(one.at), exact_of(one.width)
        if at is None or width is None or start <= at <= at + width <= start + long:
            continue
        ends = f"from {quantities.show(start, 'length')} to {quantities.show(start + long, 'length')} along the wall"
        yield (
            ("counters", name, "breaks", place, "at"),
            f"the {one.what or 'break'} of {name} is not within it",
            ends,
            "measure it from the left end of the wall, as the counter is",
        )
