"""Fuel gas piping and its pressure test: what a person writes about the pipe, its ends and the gauge.

The piping is a tree: each pipe says where its gas comes `from` (the system, its meter, a regulator or another pipe)
and what it ends `to` (an appliance or an outlet). A tee needs no entry: two pipes come from the same pipe.
"""

from typing import Annotated, ClassVar, Literal

from oktocover.quantities import Quantity
from oktocover.site.base import (
    Amount,
    Count,
    Duration,
    Element,
    HeatRate,
    Length,
    Moment,
    OnWall,
    PipeSize,
    Pressure,
    RefTo,
    Spacing,
    Temperature,
    Volume,
    WireSize,
    YesNo,
    means,
)
from oktocover.site.gas_checks import problems as problems

GasMaterial = Literal["steel", "copper K", "copper L", "csst", "polyethylene", "other"]


class GasSystem(Element):
    """Gas piping at one working pressure, from its meter, tank or line regulator to the appliances."""

    kind: ClassVar[str] = "gas_system"
    plural: ClassVar[str] = "gas systems"
    system: ClassVar[str | None] = "fuel gas"

    gas: Literal["natural gas", "propane"] | None = means("what will flow in it", by="paper")
    working_pressure: Pressure | None = means(
        "highest gauge pressure the piping is meant to work at: 7 in w.c., 2 psi", by="paper"
    )
    specific_gravity: Count | None = means("specific gravity of the gas, from the utility or the supplier", by="paper")
    pressure_drop: Pressure | None = means("pressure drop the piping was sized for", by="paper")
    undiluted: YesNo | None = means("propane as it is, not mixed with air", by="paper")
    heating_value: Annotated[Quantity, Amount("heating value")] | None = means(
        "heat in a cubic foot of the gas, from the utility or the supplier: 1,030 Btu/ft3", by="paper"
    )
    supply_pressure: Pressure | None = means(
        "lowest gauge pressure that the meter or the regulator delivers at full load", by="paper"
    )
    fittings: Literal["in the tables", "as length"] | None = means(
        "whether the office wants elbows and tees added as length, or leaves them to the tables' own allowance",
        by="official",
    )
    sized_by: Literal["code tables", "maker tables", "equation", "engineer"] | None = means(
        "what its sizes were taken from", by="paper"
    )
    pipe_bond: Literal["appliance circuit", "bonding conductor", "used as electrode", "none"] | None = means(
        "what bonds the metal piping: the equipment ground of an appliance's circuit, or a conductor of its own"
    )
    bond_size: WireSize | None = means("size of its bonding conductor, copper", by="tape")
    bond_length: Length | None = means("length of its bonding conductor", by="tape")
    bond_at: Literal["rigid pipe", "tubing fitting", "tubing"] | None = means("what the bonding clamp sits on")
    bond_to: (
        Literal["service equipment", "grounding electrode conductor", "grounding electrode", "ground rod of its own"]
        | None
    ) = means("where the bonding conductor ends")
    bond_clamp_listed: YesNo | None = means("the bonding clamp is listed for it", by="plate")


class GasMeter(OnWall):
    """The meter, or the last regulator of a propane supply: where the owner's piping begins."""

    kind: ClassVar[str] = "gas_meter"
    plural: ClassVar[str] = "gas meters"
    system: ClassVar[str | None] = "fuel gas"

    of: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that begins here")
    shutoff: YesNo | None = means("a shutoff valve ahead of it, reached without a tool or a key to the building")


class GasRegulator(Element):
    """A regulator in the line. What comes after it is a gas system of its own, at its own working pressure."""

    kind: ClassVar[str] = "gas_regulator"
    plural: ClassVar[str] = "gas regulators"
    system: ClassVar[str | None] = "fuel gas"

    after: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe that feeds it")
    feeds: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that begins at its outlet")
    max_inlet_pressure: Pressure | None = means("highest inlet pressure on its plate", by="plate")
    capacity: HeatRate | None = means("heat that it passes at the lowest inlet pressure, by its maker", by="maker")
    pressure_loss: Pressure | None = means("pressure that it takes itself at full load, by its maker", by="maker")
    vent: Literal["outdoors", "vent limiter", "none needed", "into the room"] | None = means(
        "where its vent ends: piped outdoors, a vent limiter listed for it, none needed by its maker, or into the room"
    )
    vent_connection: PipeSize | None = means("size of its vent connection", by="plate")
    vent_size: PipeSize | None = means("smallest size of its vent line", by="tape")
    valve_ahead: YesNo | None = means("a listed shutoff valve just ahead of it")
    trap_ahead: YesNo | None = means("a sediment trap or a strainer ahead of it")
    test_tee: Length | None = means("how far along the pipe after it the plugged test tee stands", by="tape")
    outlet_bore: Length | None = means("inside diameter of the pipe after it", by="tape")
    test_port: YesNo | None = means("the appliance in the same room has an inlet test port that serves instead")
    limiter_upright: YesNo | None = means("it stands as its vent limiter is listed for: upright, in a ventilated space")
    ready_access: YesNo | None = means("reached without taking anything apart")
    union_within: Length | None = means("along rigid pipe from it to the nearest union", by="tape")


class GasPipe(Element):
    """One length of gas pipe or tubing of one size, from a tee (or the meter) to the next tee or its end."""

    kind: ClassVar[str] = "gas_pipe"
    plural: ClassVar[str] = "gas pipes"
    system: ClassVar[str | None] = "fuel gas"

    from_: Annotated[str, RefTo(("gas_pipe", "gas_system", "gas_meter", "gas_regulator"))] | None = means(
        "what its gas comes from: the pipe it branches off, the meter, a regulator, or the gas system itself"
    )
    to: Annotated[str, RefTo(("appliance", "gas_outlet"))] | None = means(
        "the appliance or outlet it ends at; left out where other pipes come from its end"
    )
    size: PipeSize | None = means("nominal size", by="tape")
    material: GasMaterial | None = means("pipe or tubing: steel is Schedule 40")
    length: Length | None = means("length along the pipe, fittings included", by="tape")
    inside: Length | None = means(
        "inside diameter by the maker, for tubing that no standard gives one for (csst, other)", by="maker"
    )
    ehd: Annotated[Quantity, Amount("ehd")] | None = means(
        "equivalent hydraulic diameter printed on the tubing", by="plate"
    )
    elbows: Count | None = means("number of its elbows")
    tees: Count | None = means("number of its tees, the one at its start included")
    joints: Literal["threaded", "welded", "flared", "brazed", "press", "heat fusion", "mechanical"] | None = means(
        "how its joints are made"
    )
    concealed: YesNo | None = means("it will be hidden by finish, concrete or earth")
    place: (
        Literal[
            "in the building",
            "outdoors above ground",
            "underground",
            "in a concrete floor",
            "under the building",
            "in a solid wall",
        ]
        | None
    ) = means("where it runs, at its worst place")
    runs_through: (
        Literal[
            "none of these",
            "air duct",
            "chimney",
            "gas vent",
            "clothes chute",
            "dumbwaiter shaft",
            "elevator shaft",
            "another dwelling unit",
        ]
        | None
    ) = means("which of these spaces it runs in or through, if any")
    used_before: Literal["new", "gas only", "water", "other"] | None = means(
        "whether it is new pipe, or for what it served"
    )
    standard: Literal["ASTM B88", "ASTM B280", "ASTM D2513", "ANSI LC 1", "other", "none"] | None = means(
        "the standard marked on it", by="plate"
    )
    sulfide: YesNo | None = means(
        "the utility says that its gas may carry more hydrogen sulfide than copper stands",
        by="paper",
    )
    solder: Literal["brazing alloy", "soft solder", "none"] | None = means(
        "what its soldered or brazed joints are made with"
    )
    arc_resistant: YesNo | None = means("the tubing is listed as arc-resistant, by its print line", by="plate")
    one_maker: YesNo | None = means("tubing and its fittings are of one maker's system")
    shop_trained: YesNo | None = means("put in by somebody whom the tubing's maker has trained", by="paper")
    cover: Length | None = means("earth over the top of the pipe, at its shallowest", by="tape")
    single_outdoor: YesNo | None = means("it feeds one outdoor light, grill or appliance and nothing else")
    coated: Literal["factory coating", "field wrap", "galvanized only", "none"] | None = means(
        "how the metal is kept from rust where it is in earth, in concrete or outdoors"
    )
    tracer: WireSize | None = means("size of the tracer wire beside plastic pipe", by="tape")
    tracer_ends: YesNo | None = means("the tracer wire can be reached or comes above ground at both ends")
    bedded: YesNo | None = means("it lies on firm trench bottom all along")
    bend: Length | None = means("tightest inside radius it is bent to", by="tape")
    casing: Literal["casing", "covered channel", "listed encasement", "none"] | None = means(
        "what it runs in where it is in concrete, under the building or in a solid wall"
    )
    casing_vented: YesNo | None = means("the casing is sealed indoors and vented above ground outdoors")
    through_foundation: YesNo | None = means("it passes an outside foundation wall below ground")
    sleeved: YesNo | None = means("a protective sleeve where it passes the foundation wall")
    sleeve_sealed: YesNo | None = means("the space around the pipe in that sleeve is sealed")
    off_ground: Length | None = means("least height above ground or roof, outdoors", by="tape")
    through_framing: Literal["no", "holes or notches", "along a member"] | None = means(
        "how it passes studs, joists or plates: not at all, across them, or inside or along one"
    )
    supports: Spacing | None = means(
        "longest distance between two of its supports, along the pipe: at most 8 ft apart", by="tape"
    )
    goes: Literal["level", "upright", "both ways"] | None = means("which way it runs: level, upright, or partly each")
    held_at_floors: YesNo | None = means("upright: a support at each floor it passes")
    edge: Length | None = means("least distance from the pipe to the face of the framing that gets a finish", by="tape")
    plate: Length | None = means(
        "thickness of the steel plate that shields it there; 0 in when there is none", by="tape"
    )
    plate_past: Length | None = means("how far the plates reach past the pipe's way through each member", by="tape")
    labelled: Length | None = means("largest distance between its yellow gas labels, where it can be seen", by="tape")
    same_room: YesNo | None = means("all of it that can be seen is in the room of the appliance it serves")
    maker_capacity: HeatRate | None = means(
        "input that the maker's table gives for this tubing, length and pressure drop", by="maker"
    )
    enclosed: Literal["ventilated chase", "protected enclosure", "temporary", "industrial building", "no"] | None = (
        means("what makes a higher pressure indoors admissible, if anything")
    )


class GasFitting(Element):
    """A fitting that has to be told apart: a union in a wall, a manifold, a press fitting."""

    kind: ClassVar[str] = "gas_fitting"
    plural: ClassVar[str] = "gas fittings"
    system: ClassVar[str | None] = "fuel gas"

    pipe: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe it stands in")
    what: (
        Literal["elbow", "tee", "coupling", "union", "bushing", "manifold", "cap", "plug", "transition", "other"] | None
    ) = means("what it is; transition: from plastic to metal")
    standard: Literal["ASTM D2513 category I", "ASTM F1973", "other", "none"] | None = means(
        "the standard marked on a transition fitting", by="plate"
    )
    concealed: YesNo | None = means("it will be hidden by finish")
    joint: (
        Literal["threaded", "welded", "brazed", "flared", "compression", "press", "heat fusion", "mechanical"] | None
    ) = means("how it is joined")
    listed_concealed: YesNo | None = means("listed for use where it is hidden", by="plate")


class GasValve(Element):
    """A shutoff valve."""

    kind: ClassVar[str] = "gas_valve"
    plural: ClassVar[str] = "gas valves"
    system: ClassVar[str | None] = "fuel gas"

    pipe: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe it stands in")
    serves: Annotated[str, RefTo(("appliance", "gas_outlet", "gas_regulator"))] | None = means(
        "the appliance, outlet or line regulator it shuts off"
    )
    listed: YesNo | None = means("marked as a gas valve", by="plate")
    rating: Pressure | None = means("pressure marked on it", by="plate")
    distance: Length | None = means("along the pipe to the appliance", by="tape")
    same_room: YesNo | None = means("it is in the room of the appliance")
    ready_access: YesNo | None = means("reached without moving anything or using a tool")
    before_connector: YesNo | None = means("it stands before the union or connector of the appliance")
    at_manifold: YesNo | None = means("it stands at a manifold, away from the appliance")
    labelled: YesNo | None = means("a lasting label says which appliance it shuts off")
    rest_as_piping: YesNo | None = means("from it to near the appliance it is piping, sized and fixed as such")


class GasOutlet(Element):
    """An end of the piping that an appliance will be joined to."""

    kind: ClassVar[str] = "gas_outlet"
    plural: ClassVar[str] = "gas outlets"
    system: ClassVar[str | None] = "fuel gas"

    appliance: Annotated[str, RefTo(("appliance",))] | None = means("the appliance that will stand here")
    capped: YesNo | None = means("closed by a threaded cap or plug")
    joined: YesNo | None = means("an appliance is joined to it")
    load: HeatRate | None = means("input it is meant for, where no appliance stands there yet", by="paper")
    comes_out_of: Literal["wall", "ceiling", "floor"] | None = means("what it comes out of")
    past_finish: Length | None = means(
        "length of pipe without thread past the finished wall, ceiling, floor or slab", by="tape"
    )


class GasTank(Element):
    """A container of propane on the lot."""

    kind: ClassVar[str] = "gas_tank"
    plural: ClassVar[str] = "gas tanks"
    system: ClassVar[str | None] = "fuel gas"

    holds: Volume | None = means("water capacity on its plate: 500 gal", by="plate")
    place: Literal["above ground", "underground", "in a building"] | None = means("where it stands or lies")
    filled: Literal["here", "elsewhere"] | None = means("filled here from a truck, or exchanged for a full one")
    to_building: Length | None = means("level, from it to the nearest building or line that can be built on", by="tape")
    opening_lower: YesNo | None = means(
        "an opening of a building lies lower than its relief valve: a door, a window, a vent, a stair well"
    )
    to_opening: Length | None = means("level, from its relief valve to the nearest such opening", by="tape")
    to_ignition: Length | None = means(
        "from its filling connection and relief valve to the nearest thing that sparks or burns, direct-vent intake or "
        "fan intake",
        by="tape",
    )
    firm: YesNo | None = means("on a level, firm base that does not burn, and cannot be hit by a vehicle")


class GasTest(Element):
    """One pressure test. `pressure` is the gauge reading at the start of the hold."""

    kind: ClassVar[str] = "gas_test"
    plural: ClassVar[str] = "gas tests"
    system: ClassVar[str | None] = "fuel gas"

    of: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that is tested")
    covers: Literal["whole system"] | None = means(
        "that the whole system is on the gauge; for a test in sections write `pipes` and leave this out"
    )
    pipes: list[Annotated[str, RefTo(("gas_pipe",))]] | None = means("the pipes on the gauge, for a test in sections")
    medium: Literal["air", "nitrogen", "carbon dioxide", "inert gas", "oxygen", "fuel gas", "water", "other"] | None = (
        means("what the pipe is pumped up with")
    )
    pressure: Pressure | None = means("gauge reading at the start of the hold", by="test")
    end_pressure: Pressure | None = means("gauge reading at the end of the hold", by="test")
    drop: Pressure | None = means("how far the gauge fell; left out when both readings are written", by="test")
    started: Moment | None = means("day and clock time of the first reading: 2026-05-03 9:05", by="test")
    ended: Moment | None = means("day and clock time of the last reading", by="test")
    held: Duration | None = means(
        "how long the pressure was held; left out when both clock times are written", by="test"
    )
    gauge: Literal["dial", "manometer", "electronic", "chart recorder", "other", "none"] | None = means("kind of gauge")
    full_scale: Pressure | None = means("highest figure on the gauge", by="plate")
    graduation: Pressure | None = means("what one small division of the gauge is", by="plate")
    dial: Length | None = means("diameter of the dial", by="tape")
    source_off: YesNo | None = means("pump or bottle shut off and taken off before the hold")
    joints_exposed: YesNo | None = means("every joint of the tested piping could be seen during the hold")
    covered_joints_tested: YesNo | None = means(
        "the only joints out of sight are ends of covered pipe that were tested before they were covered"
    )
    isolated_by: (
        Literal["disconnected and capped", "blanks", "nothing fitted yet", "closed valves", "nothing"] | None
    ) = means(
        "how appliances, regulators and controls were kept off the test pressure; "
        "nothing fitted yet: only capped pipe is there"
    )
    connected: list[Annotated[str, RefTo(("appliance", "gas_regulator"))]] | None = means(
        "appliances and regulators still joined to the piping during the test, also those behind a shut valve; "
        "[] when there are none"
    )
    live_gas: Literal["none near", "blank", "two valves with a telltale", "rated valve", "one valve"] | None = means(
        "what stood between the test and any pipe that holds fuel gas"
    )
    temperature_start: Temperature | None = means("temperature of the piping at the start", by="test")
    temperature_end: Temperature | None = means("temperature of the piping at the end", by="test")
    on_the_gauge: YesNo | None = means("pumped up, with the gauge on it, when the inspector comes", by="test")
    witness: Literal["inspector", "gas utility", "other", "nobody"] | None = means(
        "who watched the gauge, beside who ran it"
    )
    by: str | None = means("who ran the test (initials)")
    tag: YesNo | None = means("the tag or certificate of the office hangs on the piping", by="paper")
