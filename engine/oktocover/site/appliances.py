"""Appliances that burn fuel."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import Count, HeatRate, Length, OnWall, Pressure, RefTo, YesNo, means


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
