"""The building itself: project and permit, levels, spaces, walls, openings, and what people said about them."""

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from oktocover.site.base import (
    AirChanges,
    AirChanges50,
    Area,
    Count,
    Current,
    Date,
    Duration,
    Element,
    HowKnown,
    Length,
    Node,
    OnWall,
    Reads,
    RefTo,
    Share,
    WallSide,
    YesNo,
    means,
)

SpaceUse = Literal[
    "kitchen",
    "dining",
    "breakfast",
    "pantry",
    "living",
    "family",
    "parlor",
    "library",
    "den",
    "sunroom",
    "bedroom",
    "recreation",
    "hall",
    "foyer",
    "stairs",
    "bathroom",
    "toilet",
    "laundry",
    "closet",
    "storage",
    "mechanical",
    "office",
    "garage",
    "workshop",
    "spray area",
    "attic",
    "crawl space",
    "basement",
    "porch",
    "deck",
    "balcony",
    "outdoors",
    "other",
]
Occupancy = Literal[
    "one family", "two family", "townhouse", "accessory", "multifamily", "business", "factory", "storage", "other"
]


class Project(Node):
    """Who and where, for the head of a report. Nothing here is checked."""

    address: str | None = None
    owner: str | None = None
    builder: str | None = None


class Signature(Node):
    """A visit the office has signed."""

    signed: Date
    by: str = Field(description="the office, not a person's name")


class TradePermit(Node):
    """A permit of one trade, where it has days of its own. What it leaves out is the building permit's."""

    number: str | None = None
    applied: Date | None = means("day the application for this trade's permit was filed", by="paper")
    issued: Date | None = means("day this trade's permit was issued", by="paper")
    received: Date | None = means("day the office received the plans of this trade", by="paper")


class Permit(Node):
    """What decides which rules are in force."""

    jurisdiction: str | None = Field(
        default=None,
        description="name of a place in rulesets/jurisdictions, or the path of a place file beside the site",
    )
    number: str | None = None
    applied: Date | None = means("day the permit application was filed", by="paper")
    issued: Date | None = means("day the permit was issued", by="paper")
    received: Date | None = means("day the office received the plans", by="paper")
    occupancy: Occupancy | None = means("what the building is used as", by="paper")
    work: Literal["new", "addition", "alteration", "existing"] | None = means(
        "new work or work on what stood before", by="paper"
    )
    owner_builder: YesNo | None = means("the owner does the work under a permit of the owner's own", by="paper")
    state_licence: YesNo | None = means("whoever does the work has a licence of the state, not of the town", by="paper")
    value: Count | None = means("value of the work as written on the permit, in whole dollars: 25,000", by="paper")
    electrical: TradePermit | None = Field(default=None, description="the electrical permit, if it has its own days")
    plumbing: TradePermit | None = Field(default=None, description="the plumbing permit, if it has its own days")
    mechanical: TradePermit | None = Field(default=None, description="the mechanical permit, if it has its own days")
    gas: TradePermit | None = Field(default=None, description="the gas permit, if it has its own days")
    choices: dict[str, str] = Field(
        default_factory=dict,
        description="which of several editions the applicant chose, where the place leaves that open: {wiring: nec 2020}",
    )
    standards: list[str] = Field(
        default_factory=list,
        description="the job's own layers on top of the place: names in rulesets/jobs, or paths of files beside the site",
    )
    visits: dict[str, Signature] = Field(default_factory=dict, description="visits already signed")
    booked: dict[str, Date] = Field(
        default_factory=dict, description="visits that are booked, each with its day: {rough electrical: 2026-06-20}"
    )


class Building(Node):
    """The building as a whole: what a place may ask to say which of its rules are for it."""

    units: Count | None = means("how many dwelling units the building has", by="paper")
    storeys: Count | None = means("how many storeys it has above ground", by="paper")
    area: Area | None = means("floor area of the whole building", by="paper")
    begun: Date | None = means(
        "day the building was begun (of an old one the year is enough: write its first day)", by="paper"
    )
    service: Current | None = means("size of the electric service", by="plate")
    rewired: Share | None = means("share of the old wiring that is replaced by this work", by="paper")
    metal: YesNo | None = means("a metal building: frame and skin of steel")
    blower_door: AirChanges50 | None = means(
        "air changes at 50 Pa by the blower-door test of the whole building: 3 ACH50", by="test"
    )


class StillToCome(Node):
    """Finish that will be put over what was measured."""

    walls: Length | Literal["none"] | None = means("thickness of the wall finish", by="paper")
    ceiling: Length | Literal["none"] | None = means("thickness of the ceiling finish", by="paper")
    floor: Length | Literal["none"] | None = means("thickness of the floor finish", by="paper")


class Level(Element):
    """A storey."""

    kind: ClassVar[str] = "level"
    plural: ClassVar[str] = "levels"

    floor: Length | None = means("height of the floor above the ground outside (under it: write a minus)", by="tape")


class Corner(Node):
    """A corner of an outline with a name for the wall that starts there (walking with the room on the left)."""

    at: str = Field(description="east and north distance from the plan's zero: 18 ft, 0 ft")
    wall: str | None = Field(default=None, description="name of the wall from this corner to the next one")


class Space(Element):
    """A room, or any space with a use of its own."""

    kind: ClassVar[str] = "space"
    plural: ClassVar[str] = "spaces"

    level: Annotated[str, RefTo(("level",))] | None = means("the storey it is on")
    use: SpaceUse | None = means("what the space is used for", by="paper")
    outline: list[str | Corner] | None = means(
        "corners in order around the room, each as two distances (east, north) from one zero point of the plan: 18 ft, 0 ft",
        by="tape",
    )
    size: str | None = means("for a rectangle: east-west by north-south, such as 18 ft x 17 ft", by="tape")
    corner: str | None = means("where the south-west corner of a `size` stands on the plan: 22 ft, 0 ft", by="tape")
    ceiling: Length | None = means("height of the ceiling above the floor", by="tape")
    walls: dict[str, str] | None = Field(default=None, description="other names for walls: window wall: north")
    habitable: YesNo | None = means("a room for living, sleeping, eating or cooking")
    heated: YesNo | None = means("heated or cooled")
    finished: YesNo | None = means("its walls and ceiling have a finish, or will have")
    centerline: Length | None = means("for a hall: length along its centerline without passing a doorway", by="tape")
    risers: Count | None = means("of a stair: how many risers it has between two floors")
    serviced: YesNo | None = means(
        "for an attic, crawl space or basement: used for storage, or with equipment to be serviced"
    )
    vehicle_bays: Count | None = means("for a garage: how many vehicles stand side by side or one behind the other")
    attached: YesNo | None = means("for a deck, porch, balcony or garage: fast to the house")
    from_inside: YesNo | None = means("for a deck, porch or balcony: a door from inside leads onto it")
    off_house: Length | None = means("for a deck, porch or balcony: level gap between it and the house", by="tape")
    common_laundry: YesNo | None = means(
        "for a unit of several: the laundry of the building is open to all", by="paper"
    )
    infiltration: AirChanges | None = means(
        "natural air change of this room and those freely open to it, where somebody has worked it out "
        "(not the figure at 50 Pa)",
        by="paper",
    )
    infiltration_known: YesNo | None = means("no: nobody has worked out the natural air change", by="paper")


class Wall(Element):
    """What a wall is made of and what it is for. A wall has one side (outside wall) or two (between rooms)."""

    kind: ClassVar[str] = "wall"
    plural: ClassVar[str] = "walls"

    sides: list[WallSide] | None = means("the room sides of this wall: [studio.north] or [studio.east, garage.west]")
    exterior: YesNo | None = means("outside wall")
    bearing: YesNo | None = means("carries load from above (ask the designer when in doubt)", by="paper")
    framing: Literal["2x4", "2x6", "2x8", "steel", "masonry", "concrete", "log"] | None = means(
        "studs or other structure"
    )
    spacing: Length | None = means("stud spacing, centre to centre", by="tape")
    built: Literal["platform", "balloon", "furred", "double", "staggered", "single wythe"] | None = means(
        "how the cavity is closed at the floors: platform framing has plates at each storey"
    )
    thickness: Length | None = means("overall thickness, inside face to outside face", by="tape")
    rating: Duration | Literal["none"] | None = means("fire-resistance rating on the plans: 1 h, or none", by="paper")
    rated_for: Literal["lot line", "dwelling units", "shaft", "exit", "other", "none"] | None = means(
        "why it is rated", by="paper"
    )
    lot_line: Length | Literal["none"] | None = means(
        "distance from the outside face to the lot line or the line assumed between two buildings, square to the wall",
        by="map",
    )
    line_is: Literal["lot line", "street", "line between buildings of one lot"] | None = means(
        "what that line is", by="map"
    )
    both_faces: YesNo | None = means("its rating holds with fire on either face", by="paper")
    garage_board: Length | Literal["none"] | None = means(
        "thickness of the gypsum board on its garage side", by="paper"
    )
    garage_board_type: Literal["regular", "type X", "type C", "none"] | None = means(
        "kind of that board, printed on its back or edge tape", by="plate"
    )
    to_dwelling: Length | Literal["none"] | None = means(
        "outside wall of a detached garage: distance to the dwelling on the same lot, square to the wall; none: no dwelling "
        "faces it",
        by="tape",
    )


class Opening(OnWall):
    """A door, window or other thing that takes up wall at the floor or above it."""

    kind: ClassVar[str] = "opening"
    plural: ClassVar[str] = "openings"
    short_keys: ClassVar[tuple[str, ...]] = ("typical", "size")

    what: (
        Literal[
            "door",
            "sliding door",
            "garage door",
            "cased opening",
            "window",
            "fixed glass",
            "sliding panel",
            "fireplace",
            "fixed cabinet",
            "railing",
            "louver",
            "vent opening",
            "bar counter",
            "stair opening",
        ]
        | None
    ) = means("what it is; `fixed glass` and a fixed panel of a sliding door do not break a wall")
    width: Length | None = means("width of the opening", by="tape")
    sill: Length | None = means("height of its lower edge above the floor (a door: 0 in)", by="tape")
    high: Length | None = means("height of the opening itself, sill to head", by="tape")
    operable: YesNo | None = means("a person can open it")
    work_surface: YesNo | None = means("for a fixed cabinet: it has a countertop or work surface")
    fixed_panel: Literal["none", "left", "right"] | None = means(
        "for a sliding door of two panels: which half is fixed, seen from inside (other ones: write the sliding panel and "
        "the fixed glass as openings of their own)"
    )
    other_side: WallSide | None = means("the same opening seen from the next room, when the plan cannot tell")
    leaf: (
        Literal["solid wood", "solid steel", "honeycomb steel", "fire door", "hollow core", "glazed", "other"] | None
    ) = means("what the leaf of a door is, by its label or its edge; fire door: it has a fire label", by="plate")
    label: Duration | None = means("minutes on the fire label of the leaf", by="plate")
    thickness: Length | None = means("thickness of the leaf", by="tape")
    closes_itself: YesNo | None = means("it has a self-closing or automatic-closing device")


class Looked(Node):
    """A statement somebody signs: 'I looked; this list is whole'."""

    list_: str = Field(alias="list", description="which list of the site file: openings, receptacles, gas pipes ...")
    in_: list[str] | str | None = Field(
        default=None, alias="in", description="the room, rooms or wall it speaks of; left out: the whole building"
    )
    whole: YesNo = Field(description="yes: that is all of them")
    by: str = Field(description="initials of the person who looked")
    day: Date = Field(description="the day of the look")
    how: str | None = None
    count: Count | None = Field(
        default=None, description="how many there were; when the list has changed the statement lapses"
    )
    except_: list[str] | None = Field(default=None, alias="except")
    photos: list[str] | None = None


class Record(Node):
    """An answer to a requirement that no number decides: looked at, document on hand, maker's sheet read."""

    for_: str = Field(alias="for", description="the rule, with its item: irc.penetration-seal.listed")
    element: str | None = Field(default=None, description="id of the element it is about")
    answer: YesNo
    by: str
    day: Date
    known: HowKnown | None = None
    note: str | None = None


class ApprovedAlternate(Node):
    """The building official's written approval of another way for one rule and element."""

    for_: str = Field(alias="for", description="the rule the approval stands in for")
    element: str | None = None
    office: str = Field(description="the office that approved in writing")
    day: Date
    what: str = Field(description="what was approved, and where the paper is")


def _read_described(text: str) -> str:
    word = {"yes": "yes", "true": "yes", "no": "none", "false": "none", "none": "none", "not sure": "not sure"}.get(
        text.strip().lower()
    )
    if word is None:
        raise ValueError(f"'{text}': write yes, none, or not sure")
    return word


Described = Annotated[
    Literal["yes", "none", "not sure"],
    Reads("yes, none or not sure", _read_described, (("enum", ("yes", "none", "no", "not sure", True, False)),)),
]


def described_field(text: str) -> Any:
    """A line of `described:`; left out means that nobody has said."""
    return Field(default=None, description=text)
