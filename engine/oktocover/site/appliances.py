"""Appliances that burn fuel."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import HeatRate, Length, OnWall, Pressure, RefTo, YesNo, means


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
