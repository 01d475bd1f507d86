"""How fuel-burning appliances are set up: what stands near them, ways to reach them, drains of their condensate, alarms."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import Element, Length, RefTo, Share, YesNo, means

Protection = Literal[
    "none",
    "masonry without air gap",
    "insulation board over batts",
    "sheet metal over batts",
    "masonry with air gap",
    "sheet metal",
    "insulation board",
    "two sheets of metal",
    "batts between sheets",
    "wallboard",
]
"""Protections of the clearance table in its order, and what people take for one."""


class HeatClearance(Element):
    """The air space between an appliance, a connector or a single-wall vent and one thing that burns."""

    kind: ClassVar[str] = "heat_clearance"
    plural: ClassVar[str] = "heat clearances"
    system: ClassVar[str | None] = "fuel burning appliances"

    appliance: Annotated[str, RefTo(("appliance",))] | None = means("the appliance, where it is one")
    connector: Annotated[str, RefTo(("vent_connector",))] | None = means("the vent connector, where it is one")
    side: Literal["above", "side", "rear", "front", "below"] | None = means("which side of it")
    distance: Length | None = means("least distance there to anything that burns", by="tape")
    listed: Length | Literal["none"] | None = means(
        "clearance on the plate or in the sheet for that side; none: the appliance has no listing", by="plate"
    )
    needed: Length | None = means(
        "of an appliance without listing, or a pipe: clearance that the code asks for without protection", by="paper"
    )
    may_reduce: YesNo | None = means("the appliance's listing lets its clearance be reduced by protection", by="maker")
    protection: Protection | None = means("what protects the surface that burns")
    air_gap: Length | None = means("air space behind the protection", by="tape")
    gap_open: YesNo | None = means("that air space is open at the bottom and at two sides or the top")
    spacers: Literal["noncombustible", "combustible"] | None = means("what holds the protection off the surface")


class AccessWay(Element):
    """The way to an appliance and the place to work on it: a room, an attic, a crawl space, a roof."""

    kind: ClassVar[str] = "access_way"
    plural: ClassVar[str] = "access ways"
    system: ClassVar[str | None] = "fuel burning appliances"

    appliances: list[Annotated[str, RefTo(("appliance",))]] | None = means("the appliances it leads to")
    into: Literal["room", "attic", "under the floor", "roof"] | None = means("where it leads")
    opening_width: Length | None = means("clear width of the door or hatch: the smaller side of a hatch", by="tape")
    opening_high: Length | None = means("clear height of the door, or the larger side of a hatch", by="tape")
    width: Length | None = means("least clear width of the passage", by="tape")
    high: Length | None = means("least clear height of the passage", by="tape")
    length: Length | None = means("length of the passage from the opening to the appliance", by="tape")
    floor: Length | Literal["none"] | None = means(
        "of an attic: width of the solid floor all along the passage, or none", by="tape"
    )
    removable: YesNo | None = means(
        "the appliance can be serviced and taken out through the opening, without a passage"
    )
    fits: YesNo | None = means("the largest appliance can be taken out this way")
    space_deep: Length | None = means("depth of the level space in front of its service side", by="tape")
    space_wide: Length | None = means("width of that level space", by="tape")
    light: YesNo | None = means("a light at the appliance")
    switch: Literal["by the opening", "elsewhere", "none"] | None = means("where its switch is")
    outlet: YesNo | None = means("a receptacle at or near the appliance")
    climb: Length | None = means("of a roof: height of the roof above the ground or the floor below", by="tape")
    ladder: Literal["permanent", "stair", "portable", "none"] | None = means("of a roof: how a person gets up")
    edge: Length | None = means("of a roof: distance from the appliance to the roof edge", by="tape")
    guard: Length | Literal["none"] | None = means("of a roof: height of the guard along that edge, or none", by="tape")


class CondensateDrain(Element):
    """The drain of what condenses in appliances and vents."""

    kind: ClassVar[str] = "condensate_drain"
    plural: ClassVar[str] = "condensate drains"
    system: ClassVar[str | None] = "fuel burning appliances"

    appliances: list[Annotated[str, RefTo(("appliance",))]] | None = means("the appliances it drains")
    to: (
        Literal[
            "floor drain", "standpipe", "laundry tray", "floor sink", "condensate pump", "gravel pit", "ground outdoors",
            "vent stack", "other",
        ]
        | None
    ) = means("where it ends")  # fmt: skip
    material: (
        Literal["PVC", "CPVC", "ABS", "polypropylene", "polyethylene", "stainless steel", "copper", "steel", "other"]
        | None
    ) = means("what the pipe is", by="plate")
    size: Length | None = means("inside diameter", by="tape")
    connection: Length | None = means("inside diameter of the appliance's own drain connection", by="maker")
    slope: Share | None = means("least fall of its level runs, such as 1/8 in per ft", by="tape")
    air_break: YesNo | None = means("it ends above the rim or into an open receptor, not tight into the drain")
    overflow: (
        Literal["pan with drain", "pan with shutoff", "shutoff in the appliance", "second drain", "none"] | None
    ) = means("what keeps water from running over when the drain is blocked")


class CarbonMonoxideAlarm(Element):
    """An alarm for carbon monoxide, single or combined with a smoke alarm."""

    kind: ClassVar[str] = "carbon_monoxide_alarm"
    plural: ClassVar[str] = "carbon monoxide alarms"
    system: ClassVar[str | None] = None

    space: Annotated[str, RefTo(("space",))] | None = means("the room it hangs in")
    bedrooms: list[Annotated[str, RefTo(("space",))]] | None = means(
        "the bedrooms whose doors it is right outside of; the bedroom itself, where it hangs in one"
    )
    listed: Literal["UL 2034", "UL 2075", "UL 217 and UL 2034", "none"] | None = means(
        "standard printed on it", by="plate"
    )
    power: Literal["wired with battery", "battery", "wired", "plug"] | None = means("what it runs on", by="plate")
    joined: YesNo | None = means("when one sounds, all of the dwelling sound")


__all__ = ["AccessWay", "CarbonMonoxideAlarm", "CondensateDrain", "HeatClearance"]
