"""Appliances that burn fuel."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import Count, Flow, HeatRate, Length, OnWall, Pressure, RefTo, YesNo, means


class Appliance(OnWall):
    """An appliance that burns gas, oil or wood."""

    kind: ClassVar[str] = "appliance"
    plural: ClassVar[str] = "appliances"
    system: ClassVar[str | None] = "fuel burning appliances"

    space: Annotated[str, RefTo(("space",))] | None = means("the room it stands in")
    what: (
        Literal[
            "water heater",
            "unit heater",
            "furnace",
            "boiler",
            "room heater",
            "infrared heater",
            "wall furnace",
            "kiln",
            "range",
            "dryer",
            "fireplace",
            "log lighter",
            "generator",
            "pool heater",
            "other",
        ]
        | None
    ) = means("what it is")
    fuel: Literal["natural gas", "propane", "oil", "wood", "electric"] | None = means("what it burns", by="plate")
    input: HeatRate | None = means("input rating on the plate", by="plate")
    draft: Literal["natural draft", "fan assisted", "direct vent", "mechanical draft", "unvented"] | None = means(
        "how combustion air and flue gas move: draft hood is natural draft; two pipes to outdoors is direct vent",
        by="plate",
    )
    category: Literal["I", "II", "III", "IV", "none"] | None = means("venting category on the plate", by="plate")
    outlet: Length | None = means("inside diameter of its draft hood or flue collar", by="tape")
    max_inlet_pressure: Pressure | None = means("highest inlet pressure on the plate", by="plate")
    room_air: YesNo | None = means("takes its combustion air from the room", by="maker")
    min_inlet_pressure: Pressure | None = means("lowest inlet pressure at full input on the plate", by="plate")
    sediment_trap: Literal["tee and capped nipple", "built in", "other", "none"] | None = means(
        "what catches dirt ahead of its gas valve"
    )
    trap_nipple: Length | None = means("length of the capped nipple under the tee of its sediment trap", by="tape")
    joined_by: Literal["rigid pipe", "flexible connector", "tubing", "hose", "not yet"] | None = means(
        "what joins it to the gas piping"
    )
    connector_length: Length | None = means("length of its flexible connector or hose", by="tape")
    connector_through: Literal["nothing", "wall", "floor", "ceiling", "appliance housing"] | None = means(
        "what its flexible connector passes through"
    )
    connector_hidden: YesNo | None = means("its flexible connector is hidden")
    connector_capacity: HeatRate | None = means("input that its connector is made for", by="plate")
    connectors: Count | None = means("how many connectors join it, one after another")
    union_within: Length | None = means("along rigid pipe from it to the union", by="tape")
    service_outlet: Length | Literal["none"] | None = means(
        "distance to a 125 V receptacle for tools, on the same level and not fed through its disconnect; none: none there",
        by="tape",
    )
    service_receptacle: Annotated[str, RefTo(("receptacle",))] | None = means("that receptacle, where it is listed")
    circuit: Annotated[str, RefTo(("circuit",))] | None = means("the circuit that feeds its controls, fan or burner")
    bottom: Length | None = means(
        "lowest part of it above the floor (of an attic or crawl space: above the ground)", by="tape"
    )
    ignition: Length | None = means("lowest burner, pilot, igniter or switching part above the floor", by="tape")
    vapour_resistant: YesNo | None = means("listed as resistant to ignition of flammable vapours", by="plate")
    guarded: Literal["post", "curb or wheel stop", "wall or alcove", "out of the way of cars", "none"] | None = means(
        "what keeps vehicles off it"
    )
    own_enclosure: YesNo | None = means(
        "it stands in an enclosure of its own with a solid, weatherstripped, self-closing door, and takes all its air "
        "from outdoors"
    )
    oxygen_shutoff: YesNo | None = means("of an unvented heater: it shuts itself off when oxygen falls", by="plate")
    only_heat: YesNo | None = means("of an unvented heater: it is the only heat of the dwelling", by="paper")
    above_top: Length | Literal["none"] | None = means(
        "of a range: from its cooking top up to wood, metal cabinets or a hood; none: nothing above it", by="tape"
    )
    protected_above: Literal["insulating board and metal", "listed hood", "listed microwave", "none"] | None = means(
        "of a range: what protects what is above it"
    )
    hung_from: Literal["structure", "pipe or duct", "ceiling finish"] | None = means(
        "of a hung appliance: what carries it"
    )
    over_vehicles: Length | Literal["none"] | None = means(
        "of a heater over vehicles: from it down to the highest vehicle, raised on its lift too; none: none under it",
        by="tape",
    )
    clearance_below: Length | None = means("of a heater over vehicles: clearance below by its plate", by="plate")
    exhaust: Flow | None = means("of an unvented heater in a shop: outdoor exhaust of its space", by="maker")
    off_grade: Length | None = means("outdoors or under a floor: from the ground up to its slab or base", by="tape")
    straps: Literal["upper and lower third", "one strap", "none"] | None = means(
        "of a tank water heater: straps or anchors to the structure"
    )
    strap_over_controls: Length | None = means("height of the lower strap above its controls", by="tape")
