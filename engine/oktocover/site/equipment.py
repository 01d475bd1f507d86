"""What uses power and stays in its place, and the switches that take it off the supply."""

from typing import Annotated, ClassVar, Literal

from oktocover.quantities import Quantity
from oktocover.site.base import (
    Amount,
    Count,
    Current,
    Length,
    OnWall,
    Power,
    RefTo,
    Share,
    Voltage,
    Volume,
    YesNo,
    means,
)

What = Literal[
    "motor",
    "air compressor",
    "welder",
    "kiln",
    "pump",
    "water heater",
    "unit heater",
    "space heater",
    "boiler",
    "furnace",
    "air handler",
    "air conditioner",
    "heat pump",
    "door opener",
    "vehicle charger",
    "range",
    "oven",
    "cooktop",
    "dryer",
    "washing machine",
    "dishwasher",
    "disposer",
    "refrigerator",
    "bath fan",
    "exhaust fan",
    "ceiling fan",
    "paddle fan",
    "wood machine",
    "potter's wheel",
    "dust collector",
    "spray booth",
    "hot tub",
    "sauna",
    "smoke alarm",
    "carbon monoxide alarm",
    "bell transformer",
    "control",
    "sign",
    "other",
]
SERVED = ("equipment", "appliance", "panel", "light", "receptacle")


class Equipment(OnWall):
    """Anything fixed or stationary that a circuit feeds and that is no luminaire."""

    kind: ClassVar[str] = "equipment"
    plural: ClassVar[str] = "equipment"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall")
    what: What | None = means("what it is")
    count: Count | None = means("how many alike this entry stands for", unless="; one if left out")
    appliance: Annotated[str, RefTo(("appliance",))] | None = means("the gas or oil appliance it is, under appliances")
    circuit: Annotated[str, RefTo(("circuit",))] | None = means("the circuit that feeds it")
    receptacle: Annotated[str, RefTo(("receptacle",))] | None = means("the receptacle its cord is plugged into")
    box: Annotated[str, RefTo(("box",))] | None = means("the box its wiring is joined in")
    connected: Literal["wired", "cord and plug"] | None = means("how it is connected")
    fixed: YesNo | None = means("fastened in place (not merely standing there)")
    volts: Voltage | None = means("voltage on its plate", by="plate")
    phases: Literal["1", "3"] | None = means("single or three phase", by="plate")
    amps: Current | None = means("current on its plate", by="plate")
    load: Power | None = means("input on its plate: 9.6 kW, 1,500 VA", by="plate")
    continuous: YesNo | None = means("it may run at its greatest current for three hours or more", by="maker")
    neutral: YesNo | None = means("it uses a neutral", by="plate")
    motor: Power | Literal["none"] | None = means("rating of its largest motor in hp, or none", by="plate")
    motor_type: Literal["split phase", "capacitor", "three phase", "universal", "DC", "other"] | None = means(
        "kind of that motor", by="plate"
    )
    motor_amps: Current | None = means("full-load current on the plate of that motor", by="plate")
    service_factor: Count | None = means("service factor on the motor plate: 1.15", by="plate")
    temperature_rise: Annotated[Quantity, Amount("temperature difference")] | None = means(
        "temperature rise on the motor plate", by="plate"
    )
    duty: Literal["continuous", "intermittent", "short time", "periodic", "varying"] | None = means(
        "duty of the motor", by="plate"
    )
    overload: Current | Literal["in the motor", "none"] | None = means(
        "setting of its overload device; in the motor: thermally protected", by="plate"
    )
    circuit_ampacity: Current | None = means("minimum circuit ampacity on its plate (MCA)", by="plate")
    breaker_most: Current | None = means("largest fuse or breaker on its plate (MOCP)", by="plate")
    hvac_breaker: YesNo | None = means("its plate asks for a breaker of a certain type only", by="plate")
    primary_amps: Current | None = means("of a welder: rated primary current (I1max)", by="plate")
    effective_amps: Current | Literal["none"] | None = means(
        "of a welder: effective primary current (I1eff), or none where its plate tells none", by="plate"
    )
    duty_cycle: Share | None = means("of a welder: duty cycle on its plate: 20 %", by="plate")
    welder: Literal["transformer arc", "inverter", "motor-generator arc", "resistance"] | None = means(
        "kind of welder", by="plate"
    )
    welding: Literal["one job", "varying, automatic", "varying, by hand"] | None = means(
        "of a resistance welder: it always does one job of known duty, or its work varies"
    )
    welds_per_hour: Count | None = means("of a resistance welder with one job: welds in an hour")
    cycles_per_weld: Count | None = means("of a resistance welder with one job: cycles of 60 Hz a weld lasts")
    storage: Volume | None = means("of a water heater: its storage volume: 50 gal", by="plate")
    never_with: list[Annotated[str, RefTo(("equipment",))]] | None = means(
        "others that cannot run at the same time as this one, by an interlock"
    )
    listed: YesNo | None = means("a testing laboratory's mark is on it", by="plate")
    weight: Annotated[Quantity, Amount("mass")] | None = means("its weight", by="plate")
    hung_from: Literal["box", "framing"] | None = means("of a ceiling fan: what carries it")
    to_tub: Length | Literal["none"] | None = means(
        "level distance from its nearest part to the rim of a bathtub or the threshold of a shower, or none there",
        by="tape",
    )
    above_tub: Length | None = means("its height above that rim or threshold", by="tape")
    cord: Length | None = means("length of its cord", by="tape")
    cord_runs: Literal["in sight", "through a wall", "above a ceiling", "under a floor", "through a doorway"] | None = (
        means("where its cord runs; in sight: from the machine to its receptacle in one room")
    )
    service_outlet: Length | Literal["none"] | None = means(
        "distance to a 125 V receptacle for tools, on the same level and not fed through its disconnect; none: none there",
        by="tape",
    )
    service_receptacle: Annotated[str, RefTo(("receptacle",))] | None = means("that receptacle, where it is listed")
    battery: YesNo | None = means("of an alarm: it has a battery beside its wiring")
    switched_off: YesNo | None = means("of an alarm: something other than its breaker can turn it off")
    sounds_together: YesNo | None = means(
        "of an alarm: when one sounds all of the dwelling do, by wire or listed radio"
    )
    to_bath_door: Length | Literal["none"] | None = means(
        "of a smoke alarm: level distance to the door of a bathroom with a tub or shower, or none near", by="tape"
    )
    to_cooking: Length | Literal["none"] | None = means(
        "of a smoke alarm: level distance to a range, oven or cooktop that stays in place, or none near", by="tape"
    )
    sensor: Literal["ionization", "ionization with silencer", "photoelectric"] | None = means(
        "of a smoke alarm: how it finds smoke", by="plate"
    )
    disconnect: Annotated[str, RefTo(("disconnect",))] | None = means("its disconnect, under disconnects")
    plug_is_disconnect: YesNo | None = means("its plug and receptacle can be reached, to take it off the supply")
    unit_switch: YesNo | None = means("it has a switch with a marked off position that opens all live conductors")
    to_panel: Length | None = means("distance to the panel with its breaker, as a person sees it", by="tape")
    panel_in_sight: YesNo | None = means("that breaker is seen from the equipment")
    breaker_locks: YesNo | None = means("a fitting stays on the breaker by which it can be locked off")


class Disconnect(OnWall):
    """A switch or breaker that takes equipment, or a building, off the supply."""

    kind: ClassVar[str] = "disconnect"
    plural: ClassVar[str] = "disconnects"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall")
    serves: list[Annotated[str, RefTo(SERVED)]] | None = means("what it takes off the supply")
    what: Literal["switch", "fused switch", "pull-out", "breaker", "motor switch", "toggle switch"] | None = means(
        "what it is"
    )
    amps: Current | None = means("rated current", by="plate")
    motor: Power | None = means("horsepower rating", by="plate")
    fuse: Current | Literal["none"] | None = means("its fuses, or none", by="plate")
    poles: Count | None = means("poles it opens", by="look")
    box: Annotated[str, RefTo(("box",))] | None = means("the box it is in")
    circuit: Annotated[str, RefTo(("circuit", "feeder"))] | None = means("the circuit or feeder it is in")
    in_sight: YesNo | None = means("seen from all that it serves")
    distance: Length | None = means("distance to the farthest of what it serves", by="tape")
    locks: YesNo | None = means("it can be locked off with a fitting that stays on it")
    marked: YesNo | None = means("it says what it serves")
    location: Literal["dry", "damp", "wet"] | None = means("the place it is in: dry, damp or wet")
    building_entry: Literal["outside", "inside at the entry", "inside farther in"] | None = means(
        "of the disconnect of a building: where it is, seen from where the conductors enter"
    )
    service_rated: YesNo | None = means("marked as suitable for use as service equipment", by="plate")
    handle: Length | None = means("height of its handle at the highest, above the floor", by="tape")
    clear_depth: Length | None = means("clear working space in front of it", by="tape")
