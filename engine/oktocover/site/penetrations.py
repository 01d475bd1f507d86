"""Holes through the frame and the skin, boxes in rated walls, concealed spaces and their fireblocks, chimneys.

One hole is one element. What it goes through decides which of its questions are asked: fireblock, firestop, air
seal, weather seal.
"""

from typing import Annotated, Any, ClassVar, Literal

from oktocover.quantities import show
from oktocover.site.base import Area, Count, Duration, Element, Length, OnWall, RefTo, WallSide, YesNo, exact_of, means

Member = Literal[
    "sole plate",
    "top plate",
    "stud",
    "joist",
    "floor",
    "ceiling membrane",
    "fireblock",
    "wall",
    "rated wall",
    "wall face",
    "exterior skin",
]
Carries = Literal[
    "cable",
    "metal conduit",
    "plastic conduit",
    "steel pipe",
    "iron pipe",
    "copper pipe",
    "CSST",
    "plastic pipe",
    "PEX",
    "refrigerant lines",
    "metal duct",
    "flexible duct",
    "plastic duct",
    "vent",
    "sprinkler",
    "nothing",
    "other",
]
Fill = Literal[
    "none",
    "noncombustible caulk",
    "fireblock caulk",
    "fireblock foam",
    "firestop sealant",
    "firestop collar",
    "putty",
    "mineral wool",
    "glass fiber",
    "cellulose",
    "gypsum compound",
    "grout",
    "mortar",
    "concrete",
    "sheet metal",
    "listed spacer",
    "window foam",
    "latex caulk",
    "silicone",
    "other",
]
ListedFor = Literal["fireblocking", "firestopping", "neither"]
AirSeal = Literal["caulk", "foam", "gasket", "tape", "sealed box", "packed insulation", "none"]
WeatherSeal = Literal[
    "flashing", "flashing tape", "gasketed flange", "sealant to the barrier", "sealant to the siding", "none"
]

Problem = tuple[tuple[str, ...], str, str, str]
"""A problem: path, what is impossible, what was expected, what to do."""

ON_WALLS = ("sole plate", "top plate", "stud", "wall", "rated wall", "wall face", "exterior skin")
"""Members that belong to a wall; the others belong to a floor or ceiling."""


class Penetration(OnWall):
    """A hole with what goes through it and what closes it. `at` and `height` are those of its centre."""

    kind: ClassVar[str] = "penetration"
    plural: ClassVar[str] = "penetrations"

    assembly: Annotated[str, RefTo(("wall",))] | None = means(
        "the entry under walls that it goes through, where `wall` does not tell"
    )
    space: Annotated[str, RefTo(("space",))] | None = means("the room it is in, for a hole in a floor or ceiling")
    member: Member | None = means("what it goes through; `wall` is right through both faces, `wall face` one face only")
    over_slab: YesNo | None = means("a sole plate straight on a concrete slab on the ground")
    rating: Duration | Literal["none"] | None = means(
        "rating on the plans of the floor or ceiling it goes through (a wall has its own): 1 h, or none", by="paper"
    )
    carries: Carries | None = means("what goes through the hole; nothing: an empty hole")
    items: Count | None = means("how many of them")
    hole: Length | None = means("diameter of the hole, or its longer side", by="tape")
    item: Length | None = means("outside diameter of what goes through, with its insulation", by="tape")
    gap: Length | None = means("widest gap between the item and the edge of the hole", by="tape")
    opening: Area | None = means("area of a hole that is not round", by="tape")
    fill: Fill | None = means("what closes the gap; none: it is open")
    listed_for: ListedFor | None = means("what the printing on the tube or can says it has been tested for", by="plate")
    widest_fill: Length | None = means("widest gap the fill's own test report allows", by="maker")
    depth: Length | None = means("how deep the fill is", by="tape")
    full_thickness: YesNo | None = means("the fill goes through the whole thickness of the wall or floor")
    fill_tested: YesNo | None = means(
        "a test report on hand shows that this fill round a metal item holds back flame for as long as the rating",
        by="paper",
    )
    listed_system: str | None = means("number of the tested penetration system, as on its sheet; none", by="paper")
    f_rating: Duration | Literal["none"] | None = means("F rating on that sheet", by="paper")
    sheet_gap_least: Length | None = means("least annular space on that sheet (0 in: touching is allowed)", by="paper")
    sheet_gap_most: Length | None = means("widest annular space on that sheet", by="paper")
    sheet_item_most: Length | None = means("largest item on that sheet", by="paper")
    sheet_depth: Length | None = means("least depth of fill on that sheet", by="paper")
    escutcheon: YesNo | None = means("a metal escutcheon covers the gap round a sprinkler")
    metal: Length | None = means("thickness of the sheet steel of a duct", by="plate")
    opens_into_garage: YesNo | None = means("the duct has a grille, register or open end in the garage")
    envelope: YesNo | None = means("it goes from heated space to outdoors, attic, garage or other unheated space")
    air_seal: AirSeal | None = means("what keeps air from moving through; packed insulation lets air through")
    weather_seal: WeatherSeal | None = means("what keeps rain out where it passes the weather barrier")


class MembraneBox(OnWall):
    """A box let into one face of a wall with a fire rating. `at` and `height` are those of its centre."""

    kind: ClassVar[str] = "membrane_box"
    plural: ClassVar[str] = "membrane boxes"
    system: ClassVar[str | None] = "rated walls"

    assembly: Annotated[str, RefTo(("wall",))] | None = means("the entry under walls, where `wall` does not tell")
    material: Literal["steel", "plastic", "fiberglass"] | None = means("what the box is made of")
    listed: YesNo | None = means("marked as listed for fire-resistance-rated walls", by="plate")
    area: Area | None = means("area of the hole it makes in the board: 4 in x 4 in is 16 in2", by="tape")
    gap: Length | None = means("widest gap between box and board", by="tape")
    listed_gap: Length | None = means("widest gap its listing allows, where it says one", by="maker")
    apart: Length | Literal["none"] | None = means(
        "level distance to the nearest box in the opposite face; none: there is no box in it", by="tape"
    )
    listed_apart: Length | None = means("distance from a box in the opposite face by its listing", by="maker")
    protection: Literal["none", "putty pads", "solid fireblock", "cavity filled", "other listed"] | None = means(
        "what stands between it and the box in the opposite face; putty pads: listed ones, on both boxes"
    )
    cavity: Length | None = means("depth of the wall cavity, stud face to stud face", by="tape")


class ConcealedSpace(Element):
    """A hidden space that fire could travel in: furring, a double wall, a soffit, a chase, stair stringers."""

    kind: ClassVar[str] = "concealed_space"
    plural: ClassVar[str] = "concealed spaces"

    wall: WallSide | None = means("which wall: room.wall, seen from inside the room")
    what: (
        Literal[
            "stud wall",
            "balloon wall",
            "furred wall",
            "double wall",
            "staggered studs",
            "soffit",
            "dropped ceiling",
            "coved ceiling",
            "chase",
            "tub deck",
            "stair stringers",
            "cornice",
        ]
        | None
    ) = means("what kind of space it is; stud wall: studs between plates at floor and ceiling")
    length: Length | None = means("level length of the space", by="tape")
    floor_levels: Count | None = means("number of floor levels and ceiling levels it passes or ends at")
    plates: YesNo | None = means("whole plates of 2 in nominal lumber close it at every floor and ceiling level")
    joints: Count | None = means("number of places where it opens into a wall or another hidden space")
    behind: Literal["board", "open studs"] | None = means("what a soffit or dropped ceiling was framed against")


class Fireblock(Element):
    """What closes a concealed space at one spot."""

    kind: ClassVar[str] = "fireblock"
    plural: ClassVar[str] = "fireblocks"

    space: Annotated[str, RefTo(("concealed_space",))] | None = means("the concealed space it closes")
    place: (
        Literal[
            "floor or ceiling level",
            "upright in the run",
            "joint",
            "top of stair run",
            "bottom of stair run",
            "line between units",
        ]
        | None
    ) = means("where in that space it is")
    along: Length | None = means("distance of an upright block from the left end of the space", by="tape")
    material: (
        Literal[
            "lumber",
            "two layers of lumber",
            "wood panel",
            "particleboard",
            "gypsum board",
            "cement millboard",
            "mineral wool",
            "glass fiber",
            "cellulose",
            "foam",
            "caulk",
            "loose fill",
            "other",
        ]
        | None
    ) = means("what it is made of")
    thickness: Length | None = means(
        "its thickness; lumber by its nominal size, a 2x4 is 2 in (two layers: of each)", by="tape"
    )
    joints_backed: YesNo | None = means("joints of panels are backed with the same panel, or there is no joint")
    joints_broken: YesNo | None = means("joints of the two layers are staggered, or there is no joint")
    retained: YesNo | None = means("held so that it cannot fall out")
    faced: YesNo | None = means("the batt has a paper or foil face")
    fill_height: Length | None = means("height to which a batt fills the space, measured upright", by="tape")
    whole_section: YesNo | None = means("it fills the whole cross-section and is packed round every pipe and cable")
    listed_for: ListedFor | None = means("what its printed evaluation says it has been tested for", by="plate")


class GarageCeiling(Element):
    """The ceiling of a garage, by what is above it."""

    kind: ClassVar[str] = "garage_ceiling"
    plural: ClassVar[str] = "garage ceilings"

    space: Annotated[str, RefTo(("space",))] | None = means("the garage it covers")
    above: Literal["habitable rooms", "other rooms", "attic of the house", "its own roof", "its own attic"] | None = (
        means("what is above; attic of the house: open to the attic over the rooms")
    )
    board: Length | Literal["none"] | None = means("thickness of its gypsum board", by="paper")
    board_type: Literal["regular", "type X", "type C", "none"] | None = means(
        "kind of board, printed on its back or edge tape", by="plate"
    )
    structure_board: Length | Literal["none", "nothing carries it"] | None = means(
        "thickness of the board on the walls, posts and beams that carry it", by="paper"
    )
    hatch: Literal["none", "equal board", "other"] | None = means(
        "attic hatch or pull-down stair in it, and what it is made of"
    )


class Chimney(Element):
    """A chimney, or a vent in its chase, at one floor, ceiling or roof it goes through."""

    kind: ClassVar[str] = "chimney"
    plural: ClassVar[str] = "chimneys"

    what: Literal["masonry chimney", "factory-built chimney", "B vent", "L vent", "other vent"] | None = means(
        "what it is"
    )
    space: Annotated[str, RefTo(("space",))] | None = means("the room below that floor, ceiling or roof")
    crosses: Literal["floor", "ceiling", "roof", "wall", "nothing"] | None = means("what it goes through here")
    outside: YesNo | None = means("it stands wholly outside the outside walls")
    clearance: Length | None = means("least air space to framing and anything else that burns", by="tape")
    clearance_listed: Length | None = means("clearance marked on it or in its instructions", by="plate")
    liner_for_contact: YesNo | None = means(
        "its liner is listed for a chimney in contact with wood (UL 1777)", by="maker"
    )
    in_masonry_wall: YesNo | None = means("it is built as part of a masonry or concrete wall")
    from_flue: Length | None = means("from the inside of the flue lining to the nearest wood", by="tape")
    spacer: (
        Literal["listed spacer", "sheet metal", "cement board", "mineral wool on metal", "foam", "batt", "wood", "none"]
        | None
    ) = means("what closes the space between it and the floor or ceiling")
    spacer_depth: Length | None = means("depth of that fill", by="tape")
    filled: YesNo | None = means("something else fills the air space beside it")


def problems(site: Any) -> list[Problem]:
    """What cannot be, on its face: an item larger than its hole, a rated wall where none was described."""
    found: list[Problem] = []
    for name, hole in getattr(site, "penetrations", {}).items():
        found.extend(_hole_problems(name, hole))
    if getattr(site.described, "rated_walls", None) == "none":
        found.extend(_undescribed(site))
    for name, block in getattr(site, "fireblocks", {}).items():
        found.extend(_block_problems(name, block, getattr(site, "concealed_spaces", {})))
    return found


def _hole_problems(name: str, hole: Penetration) -> list[Problem]:
    path = ("penetrations", name)
    found: list[Problem] = []
    wide, item, gap = exact_of(hole.hole), exact_of(hole.item), exact_of(hole.gap)
    if wide is not None and item is not None and item > wide:
        found.append(
            (
                (*path, "item"),
                f"{name}: an item of {show(item, 'length')} in a hole of {show(wide, 'length')}",
                "an item no larger than its hole",
                "tape both again",
            )
        )
    elif wide is not None and item is not None and gap is not None and gap > wide - item:
        found.append(
            (
                (*path, "gap"),
                f"{name}: a gap of {show(gap, 'length')} is wider than hole less item",
                f"at most {show(wide - item, 'length')}",
                "tape the gap again",
            )
        )
    if hole.member == "rated wall" and hole.listed_system == "none" and hole.f_rating not in (None, "none"):
        found.append(
            (
                (*path, "f rating"),
                f"{name} has an F rating and no tested system",
                "the number of the system on its sheet",
                "write listed system, or take the F rating out",
            )
        )
    return found


def _undescribed(site: Any) -> list[Problem]:
    """Rated walls written down although the site says that there are none."""
    said = "described says that there are no rated walls"
    found: list[Problem] = [
        (
            ("walls", name, "rating"),
            f"{name} has a fire rating, and {said}",
            "rated walls: yes, or rating: none",
            "write described: rated walls: yes",
        )
        for name, wall in site.walls.items()
        if wall.rating not in (None, "none")
    ]
    found += [
        (
            ("penetrations", name, "member"),
            f"{name} goes through a rated wall, and {said}",
            "rated walls: yes, or another member",
            "write described: rated walls: yes",
        )
        for name, hole in getattr(site, "penetrations", {}).items()
        if hole.member == "rated wall"
    ]
    return found


def _block_problems(name: str, block: Fireblock, spaces: dict[str, ConcealedSpace]) -> list[Problem]:
    space = spaces.get(block.space or "")
    along, length = exact_of(block.along), exact_of(space.length) if space is not None else None
    if along is None or length is None or along <= length:
        return []
    return [
        (
            ("fireblocks", name, "along"),
            f"{name} stands past the end of {block.space}",
            f"at most {show(length, 'length')}",
            "tape the block or the space again",
        )
    ]
