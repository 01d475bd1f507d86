"""The load calculation: what a service or feeder has to carry, worked out from what it feeds."""

from typing import Annotated, ClassVar, Literal

from oktocover.site.base import Area, Count, Current, Element, Power, RefTo, YesNo, means

Method = Literal["standard", "optional", "existing dwelling", "measured", "other building"]


class LoadCalculation(Element):
    """A load calculation for one service or feeder. What is fed is under equipment; here is what no plate tells."""

    kind: ClassVar[str] = "load_calculation"
    plural: ClassVar[str] = "load calculations"
    system: ClassVar[str | None] = "electrical"

    of: Annotated[str, RefTo(("feeder", "service"))] | None = means("the service or feeder it is for", by="paper")
    method: Method | None = means(
        "the method: standard, optional (one dwelling), existing dwelling, measured (of its greatest demand), or other "
        "building (a workshop, a garage)",
        by="paper",
    )
    area: Area | None = means(
        "of a dwelling: floor area by its outside dimensions, without garages, open porches and space that cannot be "
        "finished",
        by="tape",
    )
    small_appliance_circuits: Count | None = means("its small-appliance circuits", by="paper")
    laundry_circuits: Count | None = means("its laundry circuits", by="paper")
    machines: list[Annotated[str, RefTo(("equipment",))]] | None = means(
        "the equipment it counts, where it is not all that the service or feeder feeds"
    )
    heat_controls: Count | None = means("how many space heaters have a thermostat of their own")
    new_machines: list[Annotated[str, RefTo(("equipment",))]] | None = means(
        "of an existing service: the equipment that is added", by="paper"
    )
    new_heat_or_cooling: YesNo | None = means("of an existing dwelling: heating or cooling is added", by="paper")
    lighting: Power | None = means("of another building: the load of all its luminaires together", by="plate")
    lights_burn_long: YesNo | None = means("of another building: its lights burn three hours or more at a time")
    peak: Current | None = means("the greatest demand that was recorded, on the leg that carries more", by="test")
    recorded_over: Literal["a year", "30 days", "less"] | None = means("how long that demand was recorded", by="paper")
    own_generation: YesNo | None = means("solar or another source, or peak shaving, is on the same service", by="paper")
