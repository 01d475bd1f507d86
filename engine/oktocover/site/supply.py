"""Where the power comes from: service, feeders, electrodes, and the metal piping that is bonded to them."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import (
    Area,
    Count,
    Current,
    Element,
    Length,
    OnWall,
    RefTo,
    Voltage,
    WireSize,
    YesNo,
    means,
)
from oktocover.site.wiring import CableText

Resistance = Literal["25 ohms or less", "more than 25 ohms", "not measured"]
Terminals = Literal["60 C", "75 C", "60/75 C", "90 C"]
Entry = Literal["outside", "inside at the entry", "inside farther in"]
Over = Literal["walk or yard", "driveway of a house", "street or trucks", "roof"]
"""What lies under open conductors overhead, the most demanding of it."""


class Service(OnWall):
    """The service: from the utility to the first disconnect."""

    kind: ClassVar[str] = "service"
    plural: ClassVar[str] = "services"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall")
    rating: Current | None = means("rating of the service disconnect", by="plate")
    volts: Voltage | None = means("voltage: 240 V for 120/240 V", by="paper")
    phases: Literal["1", "3"] | None = means("single or three phase", by="paper")
    cable: CableText | None = means("its conductors: 4/0-4/0-2/0 AL URD")
    drop: Literal["overhead", "underground"] | None = means("how it comes to the building")
    disconnect: Entry | None = means("where its disconnect is, seen from where the conductors enter")
    disconnects: Count | None = means("how many hand motions take the building off the supply")
    enclosures: Literal["one for all", "one for each"] | None = means(
        "of two to six disconnects: one enclosure for all, or each its own (or its own compartment, or meter centre)"
    )
    grouped: YesNo | None = means("of several disconnects: they stand together in one place")
    marked: YesNo | None = means("each is marked as a service disconnect")
    service_rated: YesNo | None = means("its equipment is marked as suitable for use as service equipment", by="plate")
    terminals: Terminals | None = means("temperature marked for its terminals, the lower of both ends", by="plate")
    clearance: Length | None = means("overhead: from the lowest conductor straight down to what is under it", by="tape")
    over: Over | None = means("overhead: what lies under the conductors, the most demanding of it")
    from_openings: Length | Literal["none near"] | None = means(
        "overhead: nearest conductor to a window that opens, a door, a porch or a stair", by="tape"
    )
    neutral_bonded: YesNo | None = means("the neutral is bonded to the ground in the service equipment")
    main_bonding_jumper: WireSize | Literal["made for the equipment", "none"] | None = means(
        "what joins neutral and case: the strap or screw made for the equipment, or a wire of this size"
    )
    main_jumper_metal: Literal["copper", "aluminum"] | None = means("metal of that wire")
    raceway: Literal["metal", "not metal", "none"] | None = means("the raceway of the service conductors")
    raceway_bond: (
        Literal["bonding bushing", "threaded hub", "bonding locknut in a clean hole", "ordinary locknuts"] | None
    ) = means("what bonds that raceway to the case, past any ring left of a knockout")
    supply_side_jumper: WireSize | Literal["none"] | None = means(
        "size of the wire that bonds it ahead of the disconnect, or none"
    )
    supply_jumper_metal: Literal["copper", "aluminum"] | None = means("metal of that wire")
    bonding_terminals: Count | None = means(
        "how many bonding conductors of telephone, cable and the like its terminal for them takes (0: there is none)"
    )
    electrodes_joined: YesNo | None = means("every electrode the building has is joined to it")
    steel_frame: Literal["none", "bonded", "not bonded"] | None = means("a metal frame of the building, and its bond")
    service_outlet: Length | Literal["none"] | None = means(
        "of one indoors: distance to a 125 V receptacle in the same room, or none there", by="tape"
    )
    emergency_marked: YesNo | None = means("an outside disconnect is marked as emergency disconnect")
    surge_protector: YesNo | None = means("a surge protector is at it or at the next panel")
    electrode_conductor: WireSize | None = means("size of its grounding electrode conductor", by="look")
    electrode_metal: Literal["copper", "aluminum"] | None = means("metal of that conductor")


class Feeder(Element):
    """Conductors from the service or one panel to another panel, also to another building."""

    kind: ClassVar[str] = "feeder"
    plural: ClassVar[str] = "feeders"
    system: ClassVar[str | None] = "electrical"

    from_: Annotated[str, RefTo(("panel", "service", "disconnect"))] | None = means("where it starts")
    to: Annotated[str, RefTo(("panel", "disconnect"))] | None = means("the panel or building disconnect it feeds")
    breaker: Current | None = means("rating of the breaker or fuses at its start", by="plate")
    poles: Count | None = means("poles of that breaker")
    terminals: Terminals | None = means("temperature marked for its terminals, the lower of both ends", by="plate")
    volts: Voltage | None = means("nominal voltage: 240 V", by="paper")
    cable: CableText | None = means("its conductors: 2-2-2-4 AL URD, 2/0-2/0-2/0-1 AL SER")
    length: Length | None = means("its length", by="tape")
    drop: Length | None = means("length of all its upright parts together", by="tape")
    slack: Length | None = means("what is left over at each of its ends", by="tape")
    neutral: YesNo | None = means("it has a neutral")
    ground: Literal["wire", "metal raceway", "none"] | None = means("the equipment ground that runs with it")
    enlarged_from: WireSize | Literal["not enlarged"] | None = means(
        "the size that would have been enough for its load, where its conductors are larger, or not enlarged",
        by="paper",
    )
    detached: YesNo | None = means("it goes to another building")
    whole_dwelling: YesNo | None = means("it carries the whole load of one dwelling")
    others: Literal["none", "another feeder or service", "one branch circuit"] | None = means(
        "of another building: what else feeds it"
    )
    load: Current | None = means("the load on it by a calculation on paper", by="paper")
    route: Literal["overhead", "underground", "in the building"] | None = means("how it goes")
    clearance: Length | None = means("overhead: from the lowest conductor straight down to what is under it", by="tape")
    over: Over | None = means("overhead: what lies under the conductors, the most demanding of it")
    bonding_terminals: Count | None = means(
        "of another building: how many bonding conductors of telephone, cable and the like its terminal for them takes"
    )


class ParallelSet(Element):
    """Conductors of a service or feeder in parallel: equal sets side by side. Its own `cable` is left out there."""

    kind: ClassVar[str] = "parallel_set"
    plural: ClassVar[str] = "parallel conductors"
    system: ClassVar[str | None] = "electrical"

    of: Annotated[str, RefTo(("feeder", "service"))] | None = means("the service or feeder they carry", by="paper")
    sets: Count | None = means("how many equal sets run side by side")
    what: CableText | None = means("the conductors of one set: 4/0-4/0-4/0 AL URD, 3 x 250 THWN-2 CU, 2 ground")
    alike: YesNo | None = means("all sets are alike: length, metal, size, insulation, and how they end")


class Tap(Element):
    """A tap conductor: thinner than the breaker ahead of it guards, by a section of its own. It stands in no other list."""

    kind: ClassVar[str] = "tap"
    plural: ClassVar[str] = "taps"
    system: ClassVar[str | None] = "electrical"

    of: Annotated[str, RefTo(("circuit", "feeder"))] | None = means("the circuit or feeder it is tapped from")
    what: CableText | None = means("its designation as printed on it")
    length: Length | None = means("its length", by="tape")


class Electrode(Element):
    """Something in the ground to which the electrical system is grounded."""

    kind: ClassVar[str] = "electrode"
    plural: ClassVar[str] = "electrodes"
    system: ClassVar[str | None] = "electrical"

    what: (
        Literal["ground rod", "footing steel", "copper in footing", "water pipe", "ground ring", "plate", "other"]
        | None
    ) = means("what it is; footing steel: rods of the footing, encased in concrete (Ufer)")
    serves: Annotated[str, RefTo(("service", "panel", "disconnect"))] | None = means("the disconnect it is joined to")
    length: Length | None = means("its length in the ground or in the concrete", by="tape")
    diameter: Length | None = means("its diameter", by="tape")
    depth: Length | None = means("from the ground to its top (a minus: it stands out)", by="tape")
    apart: Length | Literal["none"] | None = means("distance to the nearest other rod, or none", by="tape")
    area: Area | None = means("of a plate: area of its surface that touches the ground", by="tape")
    bare_wire: WireSize | None = means("of a ring: size of its bare copper")
    from_entry: Length | None = means("of a water pipe: from where it enters to where it is joined", by="tape")
    resistance: Resistance | None = means("its resistance to ground by a test")
    conductor: WireSize | None = means("size of the conductor to it")
    conductor_metal: Literal["copper", "aluminum"] | None = means("metal of that conductor")
    above_earth: Length | None = means(
        "of an aluminum conductor: from the earth to its lowest point (a minus: it goes into the ground)", by="tape"
    )
    can_be_struck: YesNo | None = means("that conductor runs where something can strike it")
    unspliced: YesNo | None = means("that conductor runs in one piece, or is spliced by an irreversible connector")
    protected: YesNo | None = means("that conductor is protected where it can be struck")
    clamp: YesNo | None = means("its clamp is listed for the rod or rebar, and for burial where it is buried")
    seen: YesNo | None = means("the office has seen it before it was covered")


class MetalPiping(Element):
    """A system of metal piping, and how it is bonded."""

    kind: ClassVar[str] = "metal_piping"
    plural: ClassVar[str] = "metal piping"

    what: Literal["gas", "CSST gas", "water", "air", "heating", "other"] | None = means(
        "what it carries; CSST gas: corrugated stainless tubing without an arc-resistant jacket"
    )
    metal: YesNo | None = means("metal all through the building (not merely stubs)")
    supply: Annotated[str, RefTo(("service", "feeder"))] | None = means(
        "the service of the building, or the feeder that comes to it"
    )
    bond_to: (
        Literal["service", "building disconnect", "panel", "electrode", "its own circuit's ground", "nothing"] | None
    ) = means("what it is bonded to")
    bond_at: Literal["entry", "first fitting", "tubing", "elsewhere"] | None = means("where the clamp is")
    clamp: YesNo | None = means("the clamp is listed for the pipe, and can be reached")
    length: Length | None = means("length of the bonding conductor", by="tape")
    conductor: WireSize | None = means("size of the bonding conductor")
    conductor_metal: Literal["copper", "aluminum"] | None = means("metal of that conductor")
    circuit: Annotated[str, RefTo(("circuit",))] | None = means(
        "for one bonded by the ground of a circuit: the circuit that may energize it"
    )
