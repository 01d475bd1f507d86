"""Wiring as it is run: cables and raceways, boxes, switches, luminaires, the holes and trenches they go through."""

from typing import Annotated, ClassVar, Literal

from oktocover.quantities import Quantity
from oktocover.site.base import (
    Amount,
    Count,
    Current,
    Element,
    Length,
    OnWall,
    PipeSize,
    Power,
    Reads,
    RefTo,
    Spacing,
    Temperature,
    Voltage,
    Volume,
    WireSize,
    YesNo,
    means,
)
from oktocover.site.designation import read_cable

CableText = Annotated[
    str,
    Reads("a cable", read_cable, (("type", "string"), ("examples", ("12-2 NM-B", "2-2-2-4 AL URD")))),
]
"""A designation in its usual spelling; `designation()` takes it apart."""

Mass = Annotated[Quantity, Amount("mass")]
Angle = Annotated[Quantity, Amount("angle")]

OUTLETS = ("receptacle", "switch", "light", "equipment", "appliance")
"""Kinds that a circuit feeds: each names its circuit, or stands in a chain."""
ENDS = (*OUTLETS, "box", "panel", "disconnect", "service")
"""Kinds at which a cable can end."""

Where = Literal[
    "concealed",
    "exposed",
    "in the attic",
    "in the crawl space",
    "in the basement",
    "in raceway",
    "buried",
    "in concrete",
    "outdoors",
    "overhead",
    "in an air space",
    "in a groove",
    "under a roof deck",
]
"""Where wiring runs; concealed: inside framing that will be closed; an air space: a cavity that carries air of a furnace
or other heating; a groove: a shallow cut in what the finish lies on."""
Whip = Literal["to a luminaire in an accessible ceiling", "where it has to flex", "none"]
Location = Literal["dry", "damp", "wet"]
Member = Literal[
    "stud", "sole plate", "top plate", "joist", "rafter", "beam", "header", "truss", "I-joist", "blocking", "steel stud"
]


class Cable(Element):
    """One piece of cable (or the conductors of one circuit in a raceway) from one box or piece of equipment to the next.

    A chain of a circuit is written out as such pieces.
    """

    kind: ClassVar[str] = "cable"
    plural: ClassVar[str] = "cables"
    system: ClassVar[str | None] = "electrical"

    circuit: Annotated[str, RefTo(("circuit", "feeder"))] | None = means("the circuit or feeder it is part of")
    from_: Annotated[str, RefTo(ENDS)] | None = means("where it comes from: the end nearer to the panel")
    to: Annotated[str, RefTo(ENDS)] | None = means("where it goes to: the outlet, box or panel it feeds")
    what: CableText | None = means(
        "its designation as printed on it: 12-2 NM-B, 2-2-2-4 AL URD, 3 x 10 THWN-2 CU, 10 ground"
    )
    ground: WireSize | Literal["none"] | None = means(
        "size of its equipment ground, where neither the designation nor the standard of its type says it", by="plate"
    )
    length: Length | None = means("its length, from the figures on the sheath at both ends", by="tape")
    drop: Length | None = means(
        "length of all its upright parts together: up from one box, down to the next", by="tape"
    )
    slack: Length | None = means("what is left over at each of its ends, beyond the box", by="tape")
    runs: list[Where] | None = means("where it runs, all of it: [concealed], or [concealed, in the attic]")
    location: Location | None = means("the wettest place it passes: dry, damp or wet")
    ambient: Temperature | None = means("warmest air around it", by="tape")
    in_insulation: YesNo | None = means("some of it lies in thermal insulation, or will")
    bundled: Length | Literal["none"] | None = means(
        "longest stretch over which it lies against other cables, or none", by="tape"
    )
    bundle: Count | None = means("how many cables lie together there, itself included")
    sealed_together: Count | None = means(
        "most cables, itself included, that share one hole in wood which is sealed with caulk, foam or insulation"
    )
    supports: Spacing | None = means(
        "longest distance between two supports, along the cable: at most 4 ft apart", by="tape"
    )
    from_box: Length | None = means("longest distance from a box to the first support, along the cable", by="tape")
    supported_by: (
        Literal["staples", "stackers", "straps", "framing holes", "fished", "pipes", "raceway", "ceiling wires", "none"]
        | None
    ) = means("what holds it")
    flat_staples: YesNo | None = means("no flat cable is stapled on its edge")
    edge: Length | None = means(
        "where it runs along a stud or joist: least distance to the edge of the wood that board will be fixed to",
        by="tape",
    )
    plate: Length | Literal["none"] | None = means(
        "thickness of the steel plates over it where it is nearer", by="tape"
    )
    guarded: (
        Literal["none", "guard strips", "running board", "raceway", "board", "closely along the structure"] | None
    ) = means("what protects it where it can be reached")
    near_access: Length | None = means("in an attic: least distance to the scuttle or ladder", by="tape")
    attic_run: (
        Literal[
            "across the tops of joists", "across studs or rafters", "along joists or rafters", "through bored holes"
        ]
        | None
    ) = means("in an attic: how it runs at the framing")
    above_floor: Length | None = means(
        "in an attic, across studs or rafters: least height above the floor or joists", by="tape"
    )
    attic_reached: Literal["permanent stair or ladder", "scuttle only"] | None = means("how the attic is reached")
    at_joists: (
        Literal["through bored holes", "on a running board", "on the edges of joists", "along joists", "in a raceway"]
        | None
    ) = means("in a basement or crawl space: how it runs at the joists")
    sun_marked: YesNo | None = means("outdoors: it is marked as resistant to sunlight", by="plate")
    riser: Literal["RMC", "IMC", "PVC 80", "PVC 40", "EMT", "other", "none"] | None = means(
        "buried: what it is in where it comes out of the ground"
    )
    riser_below: Length | None = means("from the finished ground down to the lower end of that riser", by="tape")
    riser_above: Length | None = means("from the finished ground up to the upper end of that riser", by="tape")
    riser_struck: YesNo | None = means("that riser stands where it can be struck")
    whip: Whip | None = means("its last stretch hangs free, and why; or none")
    end_bushings: YesNo | None = means("armored: an insulating bushing is in its armor at each end")
    through_air: Literal["across it", "along it"] | None = means("in an air space: how it passes it")
    below_deck: Length | None = means("under a roof deck: least distance to the lowest metal of the deck", by="tape")
    free_depth: Length | None = means("in a groove: free depth over it, all along", by="tape")
    bend: Length | None = means("inside radius of its tightest bend", by="tape")
    diameter: Length | None = means("its diameter; of a flat cable the wide side", by="tape")
    sheath_in_box: Length | None = means("sheath that reaches into the box past the clamp", by="tape")
    raceway: Annotated[str, RefTo(("raceway",))] | None = means("the raceway it is in")
    trench: Annotated[str, RefTo(("trench",))] | None = means("the trench it lies in")
    depth: Length | None = means("buried: from its top to the finished ground, at the shallowest", by="tape")


class Box(OnWall):
    """A box with devices, splices or a luminaire in it or on it. `at` and `height` are those of its centre."""

    kind: ClassVar[str] = "box"
    plural: ClassVar[str] = "boxes"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall (ceiling, floor)")
    what: (
        Literal[
            "device",
            "round",
            "octagon",
            "square",
            "handy",
            "masonry",
            "floor",
            "weatherproof",
            "conduit body",
            "pull box",
            "other",
        ]
        | None
    ) = means("its shape; device: an oblong box of one gang or more")
    material: Literal["plastic", "fiberglass", "steel", "cast metal"] | None = means("what it is made of")
    trade_size: str | None = means("trade size of a metal box without a marked volume: 4 x 1-1/2 square", by="tape")
    volume: Volume | None = means("volume marked in it: 20.3 cu in", by="plate")
    extension: Volume | Literal["none"] | None = means(
        "marked volume of plaster rings, extensions and domed covers, or none", by="plate"
    )
    gangs: Count | None = means("how many devices side by side it takes")
    clamps: Literal["built in", "outside", "none"] | None = means(
        "cable clamps; outside: their bodies are outside the box"
    )
    fittings: Count | Literal["none"] | None = means("fixture studs and hickeys in it (kinds, not pieces), or none")
    terminal_blocks: Count | Literal["none"] | None = means("terminal blocks in it, or none")
    setback: Length | None = means(
        "how far its front edge will be behind the finished face (0 in: flush; a minus: it stands out)", by="tape"
    )
    face: Literal["noncombustible", "combustible"] | None = means(
        "the finish it is set in: gypsum, tile, concrete do not burn; wood does", by="paper"
    )
    fixed: (
        Literal["nailed", "screwed", "bracket", "bar hanger", "old-work clamps", "raceway", "concrete", "cables only"]
        | None
    ) = means("what holds it to the building")
    accessible: YesNo | None = means("it can be reached without opening the building when all is finished")
    cover: Literal["device", "blank", "luminaire", "fan", "none", "in-use"] | None = means("what closes it, or none")
    listed_for: Literal["devices", "luminaires", "fans", "floors"] | None = means(
        "what its marking says it may carry; fans also carry luminaires", by="plate"
    )
    holds: Mass | None = means("weight marked in it, for a luminaire or a fan", by="plate")
    fan_may_come: YesNo | None = means("a ceiling fan will hang there, or a spare switched conductor is there for one")
    fan_fits: YesNo | None = means("a ceiling fan could turn under it: no wall, cabinet or door in its way")
    on_framing: YesNo | None = means("behind or beside it is framing that a ceiling fan could be screwed to")
    opening: Length | None = means("shortest side of its opening", by="tape")
    openings_closed: YesNo | None = means("every unused opening is closed as strongly as the box itself")
    location: Location | None = means("the place it is in: dry, damp or wet")
    wet_location: YesNo | None = means("its marking says that it is for wet locations", by="plate")
    free_conductor: Length | None = means("shortest conductor, from where its sheath ends to its tip", by="tape")
    past_face: Length | None = means(
        "of a box with an opening under 8 in: shortest conductor past the opening", by="tape"
    )
    grounds_made_up: YesNo | None = means("all grounds are joined, with a tail to each device, and to a metal box")
    low_voltage: Literal["none", "partition", "no partition"] | None = means(
        "power-limited or data wiring in the same box, and a partition between"
    )


class Switch(OnWall):
    """A switch, dimmer or other wall control: one box position."""

    kind: ClassVar[str] = "switch"
    plural: ClassVar[str] = "switches"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall")
    what: (
        Literal["single pole", "double pole", "3-way", "4-way", "dimmer", "fan control", "timer", "sensor", "other"]
        | None
    ) = means("what kind of switch it is")
    count: Count | None = means("how many switches on one yoke, if more than one")
    yokes: Count | None = means("gangs of the box it fills", unless="; one if left out")
    amps: Current | None = means("rated current", by="plate")
    controls: list[Annotated[str, RefTo(("light", "receptacle", "equipment"))]] | None = means(
        "everything it switches: [L-01, L-02]"
    )
    circuit: Annotated[str, RefTo(("circuit",))] | None = means("the circuit that feeds it")
    box: Annotated[str, RefTo(("box",))] | None = means("the box it is in")
    neutral: YesNo | None = means("a neutral of the circuit reaches its box, or could be pulled to it")
    without_neutral: (
        Literal["raceway", "open behind", "another switch sees the room", "automatic", "receptacle", "none"] | None
    ) = means(
        "why its box may be without a neutral: one can be drawn in later, a second switch sees all of the room, it "
        "controls a receptacle, the light acts by itself; or none of these"
    )
    grounded: YesNo | None = means("it is joined to the equipment ground")
    location: Location | None = means("the place it is in: dry, damp or wet")
    cover: Literal["plate", "flip", "in-use", "extra-duty in-use", "none"] | None = means(
        "the cover it has or will have"
    )
    tub_space: YesNo | None = means("inside the space of a bathtub or shower, and not part of a listed assembly")
    stair: Literal["top", "bottom", "none"] | None = means("at which end of a stair it is, or none")
    exit: YesNo | None = means("at a door to outdoors")


class Light(OnWall):
    """A luminaire, lampholder or lighting outlet."""

    kind: ClassVar[str] = "light"
    plural: ClassVar[str] = "lights"
    system: ClassVar[str | None] = "electrical"

    space: Annotated[str, RefTo(("space",))] | None = means("the room, where it is on no wall")
    what: (
        Literal[
            "recessed",
            "surface",
            "pendant",
            "lampholder",
            "strip",
            "cabinet",
            "chandelier",
            "track",
            "fan light",
            "outdoor",
        ]
        | None
    ) = means("what kind of luminaire it is")
    lamp: Literal["LED", "incandescent", "halogen", "fluorescent", "bare lamp"] | None = means(
        "its lamps; bare lamp: an incandescent lamp not wholly enclosed"
    )
    count: Count | None = means("how many alike this entry stands for", unless="; one if left out")
    load: Power | None = means("largest lamps it is marked for, or its input", by="plate")
    volts: Voltage | None = means("its voltage", by="plate")
    ic: YesNo | None = means("marked Type IC: for contact with insulation", by="plate")
    airtight: YesNo | None = means("marked airtight (ASTM E283)", by="plate")
    in_insulation: YesNo | None = means("it stands in a ceiling or wall with insulation")
    to_insulation: Length | None = means("least distance to insulation, of one not marked IC", by="tape")
    to_wood: Length | None = means(
        "least distance of its recessed parts to wood, away from its fixing points", by="tape"
    )
    suitable_for: Literal["dry", "damp", "wet"] | None = means("the location it is marked for", by="plate")
    location: Location | None = means("the place it is in: dry, damp or wet")
    over_tub: YesNo | None = means("within the space over a bathtub or shower")
    above_tub: Length | None = means("its height above the rim or threshold of that tub or shower", by="tape")
    to_tub: Length | Literal["none"] | None = means(
        "level distance from its nearest part to the rim of a bathtub or the threshold of a shower, or none there",
        by="tape",
    )
    closet: YesNo | None = means("it is in a clothes closet")
    to_storage: Length | None = means("in a closet: least distance to the storage space", by="tape")
    for_storage: YesNo | None = means("marked for use inside the storage space of a closet", by="plate")
    control: Literal["wall switch", "sensor with switch", "unit switch", "automatic", "remote", "none"] | None = means(
        "what turns it on, where no switch of the list says so; sensor with switch: at the usual place of a switch"
    )
    cable_end: Literal["box", "wiring space of the luminaire", "hanging"] | None = means(
        "how its cable ends while the luminaire is not hung yet; a box it names says it"
    )
    fixed_to: Literal["box", "bar hanger", "framing", "its own wiring box", "grid"] | None = means("what carries it")
    weight: Mass | None = means("its weight", by="plate")
    wires_through: YesNo | None = means("conductors of other outlets or circuits go through its wiring space")
    marked_through: YesNo | None = means("marked for through wiring", by="plate")
    supply: Temperature | None = means("supply conductors it is marked for: 90 C", by="plate")
    circuit: Annotated[str, RefTo(("circuit",))] | None = means("the circuit that feeds it")
    box: Annotated[str, RefTo(("box",))] | None = means("the box it is on")


class Hole(OnWall):
    """A hole bored for wiring or pipe, or a notch cut for it, in framing. With `many`, several that are alike."""

    kind: ClassVar[str] = "framing_hole"
    plural: ClassVar[str] = "holes"

    space: Annotated[str, RefTo(("space",))] | None = means("the room it is in or over, where it is in no wall")
    many: Count | None = means("how many alike this entry stands for", unless="; one if left out")
    member: Member | None = means("what it is cut in")
    cut: Literal["hole", "notch"] | None = means("a bored hole, or a notch")
    for_: Literal["cable", "raceway", "pipe", "duct", "nothing"] | None = means("what goes through it")
    size: Length | None = means("diameter of the hole, or depth of the notch", by="tape")
    edge: Length | None = means("least distance from its edge to the nearest edge of the wood", by="tape")
    width: Length | None = means("of a notch: its length along the member", by="tape")
    depth: Length | None = means("depth of the member: a 2x4 is 3-1/2 in", by="tape")
    plate: Length | Literal["none"] | None = means("thickness of the steel plate that covers it, or none", by="tape")
    plate_covers: YesNo | None = means("the plate covers the whole way of the wiring through the member")
    bushing: Literal["bushing", "grommet", "none", "not needed"] | None = means(
        "in steel: what lines the edge of the hole"
    )
    cables: Count | None = means("how many cables go through it (of many alike: through the fullest)")
    of: list[Annotated[str, RefTo(("cable",))]] | None = means("those cables, where somebody wrote them down")
    sealed: YesNo | None = means("it is sealed with caulk, foam or insulation, or will be")
    pipe: PipeSize | None = means("nominal size of the pipe through it", by="plate")
    from_end: Length | None = means("distance from the nearer end (bearing) of the joist", by="tape")
    span: Length | None = means("clear span of that joist", by="tape")
    sheet: YesNo | None = means("the maker's sheet of the truss or I-joist allows this cut", by="maker")


class Raceway(Element):
    """A pipe for conductors."""

    kind: ClassVar[str] = "raceway"
    plural: ClassVar[str] = "raceways"
    system: ClassVar[str | None] = "electrical"

    what: Literal["EMT", "RMC", "IMC", "PVC 40", "PVC 80", "HDPE", "FMC", "LFMC", "LFNC", "ENT", "sleeve"] | None = (
        means("what it is; sleeve: a short piece for protection only")
    )
    size: PipeSize | None = means("its trade size", by="plate")
    from_: Annotated[str, RefTo(ENDS)] | None = means("the box, panel or equipment it comes from")
    to: Annotated[str, RefTo(ENDS)] | None = means("the box, panel or equipment it goes to")
    length: Length | None = means("its length", by="tape")
    bends: Angle | None = means("all its bends between two boxes together: 270 deg", by="look")
    runs: list[Where] | None = means("where it runs, all of it: [buried, exposed]")
    location: Location | None = means("the wettest place it passes: dry, damp or wet")
    ambient: Temperature | None = means("warmest air around it", by="tape")
    above_roof: Length | Literal["none"] | None = means("in sun on a roof: height above the roof, or none", by="tape")
    supports: Spacing | None = means("longest distance between two supports", by="tape")
    from_box: Length | None = means("longest distance from a box to the first support", by="tape")
    damage: YesNo | None = means("it stands where it can be struck")
    supported_by: (
        Literal["straps", "framing holes", "hangers", "pipes", "another raceway", "ceiling wires", "none"] | None
    ) = means("what holds it; hangers: rods or wires put there for it alone")
    no_structure: YesNo | None = means("there is no framing near the box to fasten it to sooner")
    whip: Whip | None = means("flexible: its last stretch hangs free, and why; or none")
    whip_length: Length | None = means("length of that stretch", by="tape")
    is_ground: YesNo | None = means("it is itself the equipment ground: no wire for it inside")
    ground_path: Length | None = means("flexible: all flexible pieces in the same ground path together", by="tape")
    ground_fittings: YesNo | None = means("flexible: its fittings are listed for grounding", by="plate")
    bushing: Literal["insulating bushing", "smooth insulated fitting", "none"] | None = means(
        "what the conductors run over where they leave it"
    )
    temperature_swing: Annotated[Quantity, Amount("temperature difference")] | None = means(
        "from the coldest to the hottest it will be in a year", by="paper"
    )
    sealed: YesNo | None = means("closed inside where it goes from warm to cold, or enters from underground")
    expansion: YesNo | None = means("an expansion fitting takes up its movement, or the settling of the ground")
    joined: YesNo | None = means("metal all the way, so made up that it carries fault current")
    trench: Annotated[str, RefTo(("trench",))] | None = means("the trench it lies in")
    depth: Length | None = means("buried: from its top to the finished ground, at the shallowest", by="tape")


class Trench(Element):
    """A trench with wiring in it, before it is filled."""

    kind: ClassVar[str] = "trench"
    plural: ClassVar[str] = "trenches"
    system: ClassVar[str | None] = "electrical"

    cover: Length | None = means("from the top of what lies in it to the finished ground, at the shallowest", by="tape")
    under: (
        Literal[
            "ground",
            "2 in of concrete",
            "building",
            "4 in slab without vehicles",
            "street or parking",
            "driveway of a house",
            "rock",
        ]
        | None
    ) = means("what is over it")
    bedding: Literal["sand", "clean earth", "rocks or debris"] | None = means("what lies against the wiring")
    service: YesNo | None = means("service conductors that no concrete covers lie in it", by="look")
    ribbon: YesNo | None = means("a warning ribbon lies at least 12 in above it")
    length: Length | None = means("its length", by="tape")
    other_pipes: Literal["none", "gas", "water", "several"] | None = means("pipes of others in it")
    seen: YesNo | None = means("the office has seen it open")
