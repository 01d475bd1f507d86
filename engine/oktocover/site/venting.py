"""Vents, their connectors and terminals, and what stands outside near a terminal."""

from typing import Annotated, Any, ClassVar, Literal

from oktocover.site.base import (
    Area,
    Count,
    Element,
    Length,
    OnWall,
    RefTo,
    Share,
    Temperature,
    YesNo,
    exact_of,
    means,
)

VentMaterial = Literal[
    "B vent",
    "BW vent",
    "L vent",
    "single wall",
    "chimney liner",
    "masonry chimney",
    "factory-built chimney",
    "special gas vent",
    "PVC",
    "CPVC",
    "ABS",
    "polypropylene",
    "kit of the maker",
]
Listing = Literal[
    "UL 441",
    "UL 641",
    "UL 103",
    "UL 1777",
    "UL 1738",
    "with the appliance",
    "ASTM D1785",
    "ASTM D2241",
    "ASTM D2665",
    "ASTM F891",
    "ASTM F441",
    "ASTM F442",
    "ASTM D1527",
    "ASTM F628",
    "none",
]
OutsideWhat = Literal[
    "forced air inlet",
    "gravity air inlet",
    "combustion air inlet",
    "gas meter",
    "gas regulator vent",
    "relief valve",
    "electric meter",
    "condenser",
    "walk",
    "deck",
    "ventilated soffit",
    "soffit",
    "window well",
    "stair well",
    "alcove",
    "inside corner",
    "neighbour opening",
    "lot line",
    "other",
]

Problem = tuple[tuple[str, str, str], str, str, str]
"""A problem: path, what is impossible, what was expected, what to do."""


class Vent(Element):
    """A vent: from its appliance (or the connectors of several) to its terminal."""

    kind: ClassVar[str] = "vent"
    plural: ClassVar[str] = "vents"
    system: ClassVar[str | None] = "fuel burning appliances"

    serves: list[Annotated[str, RefTo(("appliance",))]] | None = means("every appliance that vents into it")
    material: VentMaterial | None = means("what the pipe is; `kit of the maker` comes with the appliance")
    listing: Listing | None = means("listing or standard printed on the pipe, or none", by="plate")
    named_by_maker: YesNo | None = means("the instructions of each appliance it serves name this very pipe", by="maker")
    size: Length | None = means("inside diameter", by="tape")
    rise: Length | None = means("height of the outlet above the highest draft hood or flue collar it serves", by="tape")
    length: Length | None = means("developed length of all its pipe", by="tape")
    lateral: Length | None = means(
        "level length between the draft hood or collar and the upright part of the vent", by="tape"
    )
    elbows: Count | None = means("number of 90 degree elbows; two of 45 count as one")
    elbow_counts_as: Length | None = means("length that the maker counts for one elbow", by="maker")
    longest: Length | None = means("longest equivalent length the maker allows at this size", by="maker")
    slope: Share | None = means(
        "least slope of its level runs, such as 1/4 in per ft; 0 in per ft is dead level", by="tape"
    )
    slopes_to: Literal["appliance", "terminal", "drain tee", "no level run"] | None = means(
        "which end is the lower one"
    )
    apart: Length | None = means("largest distance between two supports of a level run", by="tape")
    apart_maker: Length | None = means("largest distance between supports by the maker's sheet", by="maker")
    clearance: Length | None = means(
        "least air space to anything that burns, wallboard paper and insulation too", by="tape"
    )
    clearance_listed: Length | None = means("clearance marked on the pipe or in its instructions", by="plate")
    concealed: YesNo | None = means("some part of it will be hidden by finish")
    edge: Length | None = means(
        "least distance from the pipe to the face of a stud, joist or plate it goes through, when it is hidden there",
        by="tape",
    )
    shield: Length | Literal["none"] | None = means("thickness of the steel plate between it and that face", by="tape")
    insulated: YesNo | None = means("it goes through insulation in an attic, floor or wall")
    insulation_shield: YesNo | None = means("a metal collar keeps the insulation off it")
    collar_above: Length | None = means("height of that collar above the insulation", by="tape")
    offset: Length | Literal["none"] | None = means(
        "of a vent that several appliances share: level length of an offset in its upright part, or none", by="tape"
    )
    manifold: Length | Literal["none"] | None = means(
        "of a vent that several appliances share: level length in which connectors run together before the upright part, "
        "or none",
        by="tape",
    )
    corrugated: YesNo | None = means("of a chimney liner: it is corrugated metal", by="plate")
    flue_area: Area | None = means("of a masonry chimney: clear area of the flue that is used", by="tape")
    exposed: YesNo | None = means("of a masonry chimney: a side of it stands outdoors below the roof")
    winter: Temperature | None = means(
        "of a chimney that stands outdoors: 99 percent winter design temperature of the place", by="official"
    )
    lined: YesNo | None = means("of a masonry chimney: its flue is lined, sound and clean")
    other_fuel: YesNo | None = means("of a chimney: a fire of wood, coal or oil goes into the same flue")
    cleanout: YesNo | None = means("of a masonry chimney: it can be cleaned out below its lowest inlet")


class VentConnector(Element):
    """The pipe between one appliance and the vent or chimney it goes into."""

    kind: ClassVar[str] = "vent_connector"
    plural: ClassVar[str] = "vent connectors"
    system: ClassVar[str | None] = "fuel burning appliances"

    appliance: Annotated[str, RefTo(("appliance",))] | None = means("the appliance it comes from")
    vent: Annotated[str, RefTo(("vent",))] | None = means("the vent it goes into")
    material: Literal["single wall", "B vent", "L vent", "special gas vent", "factory-built chimney"] | None = means(
        "what the pipe is"
    )
    size: Length | None = means("inside diameter", by="tape")
    length: Length | None = means("horizontal length", by="tape")
    slope: Share | None = means("least rise toward the vent, such as 1/4 in per ft", by="tape")
    dips: YesNo | None = means("some part of it hangs lower than the part before it")
    rise: Length | None = means(
        "of a connector to a shared vent: height from the draft hood or collar to where the flue gases come together",
        by="tape",
    )
    elbows: Count | None = means("of a connector to a shared vent: number of 90 degree elbows; two of 45 count as one")
    thickness: Length | None = means("of a single-wall pipe: thickness of its steel", by="plate")
    cold_place: Literal["none", "attic", "crawl space", "other"] | None = means(
        "of a single-wall pipe: a place it goes through that is not heated"
    )
    flue_below: Length | None = means(
        "of a connector into a masonry chimney: from its inlet down to the bottom of the flue", by="tape"
    )
    clearance: Length | None = means("least air space to anything that burns", by="tape")
    clearance_listed: Length | None = means("clearance marked on a listed pipe", by="plate")
    shielded: YesNo | None = means("protection with an air gap stands between it and what burns")
    fastened: YesNo | None = means("every joint has screws or what its listing asks for")
    supported: YesNo | None = means("straps carry its weight, and none of it rests on the draft hood")
    in_attic: YesNo | None = means("it runs in an attic")
    through_wall: YesNo | None = means("it goes through an inside wall")
    through_floor: YesNo | None = means("it goes through a floor or ceiling")
    concealed: YesNo | None = means("some part of it will be hidden by finish")


class VentTerminal(OnWall):
    """The outdoor end of a vent. `at` and `height` are those of its centre, seen from inside the room."""

    kind: ClassVar[str] = "vent_terminal"
    plural: ClassVar[str] = "terminals"
    system: ClassVar[str | None] = "fuel burning appliances"

    vent: Annotated[str, RefTo(("vent",))] | None = means("the vent that ends here")
    through: Literal["wall", "roof"] | None = means("whether it goes out through a wall or a roof")
    across: Length | None = means("overall width or height of the outdoor part, the larger", by="tape")
    above_grade: Length | None = means("from its lowest edge down to the finished ground right below it", by="tape")
    intake_above_grade: Length | None = means(
        "lowest edge of the air intake to the ground below it (a kit of one piece: as the terminal)", by="tape"
    )
    above_roof: Length | None = means("lowest discharge opening above the roof, on its uphill side", by="tape")
    roof_slope: Share | None = means("slope of the roof there, such as 4:12", by="tape")
    above_near: Length | None = means(
        "height above the highest part of any building within the distance the section names (10 ft in the model code)",
        by="tape",
    )
    wall_near: Length | Literal["none"] | None = means(
        "level distance to the nearest wall that rises beside it", by="tape"
    )
    cap: Literal["listed", "not listed", "none"] | None = means("the cap on its end", by="plate")
    braced: YesNo | None = means("guyed or braced above the roof")
    toward_neighbour: YesNo | None = means("blows square at the wall of another building")
    maker_openings: Length | Literal["none"] | None = means(
        "least distance from doors, windows and inlets by the maker's sheet; none: it asks for no more than the code",
        by="maker",
    )
    maker_grade: Length | Literal["none"] | None = means(
        "least height above ground or snow by the maker's sheet", by="maker"
    )
    maker_inside_corner: Length | Literal["none"] | None = means(
        "least distance from an inside corner by the maker's sheet", by="maker"
    )
    maker_soffit: Length | Literal["none"] | None = means(
        "least distance below a ventilated soffit by the maker's sheet", by="maker"
    )
    maker_meter: Length | Literal["none"] | None = means(
        "least distance from gas meters, regulators and electric meters by the maker's sheet", by="maker"
    )
    maker_roof: Length | Literal["none"] | None = means("least height above the roof by the maker's sheet", by="maker")


class OutsideThing(OnWall):
    """Something outdoors that decides where a terminal may stand; placed from inside the room as openings are."""

    kind: ClassVar[str] = "outside_thing"
    plural: ClassVar[str] = "outside things"
    short_keys: ClassVar[tuple[str, ...]] = ("typical", "size")

    what: OutsideWhat | None = means("what it is")
    width: Length | None = means("width along the wall; 0 in for a vent pipe or a corner", by="tape")
    high: Length | None = means("its own height, from `height` up; 0 in for a walk or a deck", by="tape")
    out: Length | None = means(
        "how far it stands out from the wall (a walk: its near edge; a neighbour's window: between the walls)",
        by="tape",
    )
    public: YesNo | None = means("open to the public, or to more than this household")


def problems(site: Any) -> list[Problem]:
    """What cannot be, on its face: a vent that serves an appliance twice, a terminal without size or in two places."""
    found: list[Problem] = []
    for name, vent in getattr(site, "vents", {}).items():
        twice = sorted({one for one in vent.serves or () if (vent.serves or []).count(one) > 1})
        if twice:
            found.append(
                (
                    ("vents", name, "serves"),
                    f"the vent {name} serves {twice[0]} twice",
                    "each appliance once",
                    f"write {twice[0]} once",
                )
            )
    for name, terminal in getattr(site, "terminals", {}).items():
        found.extend(_both_places(name, terminal))
    return found


def _both_places(name: str, terminal: VentTerminal) -> list[Problem]:
    if terminal.through == "roof" and terminal.wall is not None:
        return [
            (
                ("terminals", name, "wall"),
                f"the terminal {name} goes through a roof and has a wall",
                "through: wall, or no wall",
                "take out the line that is wrong",
            )
        ]
    across = exact_of(terminal.across)
    if across is not None and across <= 0:
        return [
            (
                ("terminals", name, "across"),
                f"the terminal {name} has no width",
                "a width over nothing",
                "measure the outdoor part of the terminal",
            )
        ]
    return []
