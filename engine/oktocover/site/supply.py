"""Where the power comes from: service, feeders, electrodes, and the metal piping that is bonded to them."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import Count, Current, Element, Length, OnWall, RefTo, Voltage, WireSize, YesNo, means
from oktocover.site.wiring import CableText

Resistance = Literal["25 ohms or less", "more than 25 ohms", "not measured"]


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
    disconnect: Literal["outside", "inside at the entry", "inside farther in"] | None = means(
        "where its disconnect is, seen from where the conductors enter"
    )
    disconnects: Count | None = means("how many hand motions take the building off the supply")
    neutral_bonded: YesNo | None = means("the neutral is bonded to the ground in the service equipment")
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
    terminals: Literal["60 C", "75 C", "60/75 C", "90 C"] | None = means(
        "temperature marked for its terminals, the lower of both ends", by="plate"
    )
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
    resistance: Resistance | None = means("its resistance to ground by a test")
    conductor: WireSize | None = means("size of the conductor to it")
    conductor_metal: Literal["copper", "aluminum"] | None = means("metal of that conductor")
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
    bond_to: (
        Literal["service", "building disconnect", "panel", "electrode", "its own circuit's ground", "nothing"] | None
    ) = means("what it is bonded to")
    bond_at: Literal["entry", "first fitting", "tubing", "elsewhere"] | None = means("where the clamp is")
    clamp: YesNo | None = means("the clamp is listed for the pipe, and can be reached")
    length: Length | None = means("length of the bonding conductor", by="tape")
    circuit: Annotated[str, RefTo(("circuit",))] | None = means(
        "for one bonded by the ground of a circuit: the circuit that may energize it"
    )
