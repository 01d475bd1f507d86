"""Openings, ducts and fans that bring combustion air into a room."""

from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from oktocover.site.base import Area, Flow, Length, OnWall, RefTo, YesNo, means

if TYPE_CHECKING:
    from oktocover.site.building import Space
    from oktocover.site.root import Site

Problem = tuple[tuple[str, ...], str, str, str]
"""Path in the site file, what cannot be so, what was expected, what to do."""


class AirOpening(OnWall):
    """A permanent opening, duct or fan through which air comes into a room from outdoors or from another room.

    Its place is written once: `from ceiling` (down to its top edge) for an upper one, `height` (up to its lower
    edge) for a lower one; the other follows from the height of the ceiling and its own.
    """

    kind: ClassVar[str] = "air_opening"
    plural: ClassVar[str] = "air openings"
    system: ClassVar[str | None] = "fuel burning appliances"
    short_keys: ClassVar[tuple[str, ...]] = ("typical", "size")

    space: Annotated[str, RefTo(("space",))] | None = means("the room it opens into")
    source: Literal["outdoors", "ventilated attic", "ventilated crawl space", "room", "other"] | None = means(
        "where its air comes from; an attic or crawl space counts when it is freely open to outdoors"
    )
    other_room: Annotated[str, RefTo(("space",))] | None = means(
        "the room on its other side, when the source is a room"
    )
    what: Literal["opening", "duct", "fan", "open doorway"] | None = means(
        "an opening, the end of a duct, a fan, or a doorway that has no door"
    )
    route: Literal["direct", "vertical duct", "horizontal duct"] | None = means(
        "how it reaches outdoors; a duct with a level stretch is horizontal"
    )
    storeys: Literal["same", "different"] | None = means("whether the two rooms are on one storey")
    width: Length | None = means("clear width", by="tape")
    high: Length | None = means("clear height of the opening itself", by="tape")
    diameter: Length | None = means("inside diameter, for a round one", by="tape")
    from_ceiling: Length | None = means(
        "from the ceiling down to its top edge; 0 in when it is in the ceiling", by="tape"
    )
    cover: Literal["none", "metal louver", "wood louver", "free area known"] | None = means(
        "what covers it: a louver or grille of metal or wood, or one whose free area is marked or listed"
    )
    free_area: Area | None = means(
        "net free area by the maker, where the cover is one with a known free area", by="maker"
    )
    screened: YesNo | None = means("a screen covers it")
    mesh: Length | None = means("clear opening of that screen's mesh", by="tape")
    damper: Literal["none", "interlocked", "other"] | None = means(
        "a damper or movable louver; interlocked: the burner cannot fire unless it is open"
    )
    closable: YesNo | None = means("it can be shut: a door, a manual damper, a shutter")
    above_grade: Length | None = means("outdoor end: its lower edge above the ground", by="tape")
    slopes_down: YesNo | None = means("an upper duct that runs down toward its outdoor end")
    attic_height: Length | None = means("clear height of the attic its air comes from, at its highest", by="tape")
    sleeve_above: Length | None = means(
        "how far its sleeve reaches above joists and insulation in the attic", by="tape"
    )
    crawl_vents: Area | None = means(
        "free area of all openings to outdoors of the crawl space its air comes from", by="tape"
    )
    fan: Flow | None = means("outdoor air that the fan brings in", by="maker")
    interlocked: YesNo | None = means("no burner of the room can fire unless the fan runs")


def problems(site: "Site") -> list[Problem]:
    """What cannot be so in the combustion air, each with its path, in the order of the file."""
    found: list[Problem] = []
    for name, opening in site.air_openings.items():
        path = ("air openings", name)
        if opening.free_area is not None and opening.cover not in (None, "free area known"):
            found.append(
                (
                    (*path, "cover"),
                    f"{name} has a free area by its maker and the cover '{opening.cover}'",
                    "cover: free area known",
                    "write cover: free area known, or take the free area out",
                )
            )
        if opening.diameter is not None and (opening.width is not None or opening.high is not None):
            found.append(
                (
                    (*path, "diameter"),
                    f"{name} is written as round and as a rectangle",
                    "one of the two",
                    "take diameter out, or width and high",
                )
            )
        if opening.from_ceiling is not None and opening.height is not None:
            found.append(
                (
                    (*path, "from ceiling"),
                    f"{name} is placed from the ceiling and from the floor",
                    "from ceiling, or height",
                    "keep the one that was measured to the nearer edge",
                )
            )
        if opening.other_room is not None and opening.other_room == opening.space:
            found.append(
                (
                    (*path, "other room"),
                    f"{name} joins {opening.space} with itself",
                    "the room on its other side",
                    "write the other room",
                )
            )
    for name, appliance in site.appliances.items():
        if appliance.draft == "direct vent" and appliance.room_air:
            found.append(
                (
                    ("appliances", name, "room air"),
                    f"{name} is direct vent and takes its air from the room",
                    "one of the two",
                    "with its intake pipe left off it is not direct vent: correct draft",
                )
            )
        if appliance.draft in ("natural draft", "unvented") and appliance.room_air is False:
            found.append(
                (
                    ("appliances", name, "room air"),
                    f"{name} is {appliance.draft}, which always takes its air from the room",
                    "room air: yes",
                    "correct draft or room air",
                )
            )
    for name, space in site.spaces.items():
        if space.infiltration is not None and space.infiltration_known is False:
            found.append(
                (
                    ("spaces", name, "infiltration known"),
                    f"{name}: an air change is written and said to be unknown",
                    "one of the two",
                    "take one of the two lines out",
                )
            )
        if site.building.blower_door is not None:
            found += _two_rates(name, space)
    return found


def _two_rates(name: str, space: "Space") -> list[Problem]:
    """A blower-door test is written for the building, and something else of the air change of this room."""
    expected = "the blower-door test, or what is said of this room"
    if space.infiltration is not None:
        said, do = (
            "an air change is worked out for it",
            "take `blower door` out: the natural rate was worked out from it",
        )
        return [(("spaces", name, "infiltration"), f"{name}: {said}, and a blower-door test is written", expected, do)]
    if space.infiltration_known is False:
        said, do = "its air change is said to be unknown", "take this line out (or the assumption): the test tells it"
        path = ("spaces", name, "infiltration known")
        return [(path, f"{name}: {said}, and a blower-door test is written", expected, do)]
    return []
