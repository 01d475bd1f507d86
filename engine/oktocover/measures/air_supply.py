"""How much combustion air a room gets: by its openings to outdoors, and by the rooms it is joined with.

Kept apart from the building of combustion spaces because these are pure functions of a room, its air paths and the
limits that a rule passes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from oktocover.findings.finding import Step
from oktocover.measures.registry import list_function
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Number, Worked
from oktocover.quantities import show
from oktocover.site.geometry import ratio

PER_THOUSAND = "in2 per 1,000 Btu/h"
MOST_ROOMS = 8
"""Rooms with appliances of their own that are tried in every combination; beyond that, each alone and all together."""

OUTDOOR_READS = ("counted_area", "cover", "route")
JOIN_READS = (
    "room",
    "beyond",
    "room_volume",
    "beyond_volume",
    "room_natural",
    "beyond_natural",
    "room_fan",
    "beyond_fan",
    "what",
)


@dataclass(frozen=True, slots=True)
class Louvers:
    """Free share of louvers and grilles whose free area nobody knows."""

    metal: Number
    wood: Number

    def share(self, path: Subject) -> Number:
        """The share of the counted area that is free."""
        return {"metal louver": self.metal, "wood louver": self.wood}.get(str(path.value("cover")), 1)

    def net(self, path: Subject) -> Number:
        """Free area (nm2) of an opening."""
        area: Number = path.value("counted_area") * self.share(path)
        return area

    def step(self, path: Subject) -> Step:
        """One line: the free area of an opening."""
        counted = show(path.value("counted_area"), "area", "in2")
        cover = str(path.value("cover"))
        how = f"{counted} x {show(self.share(path), 'share')}" if cover.endswith("louver") else counted
        return Step(f"free area of {path.id} ({cover})", how, show(self.net(path), "area", "in2"))


@dataclass(frozen=True, slots=True)
class Needs:
    """Area needed per Btu/h, by the way an opening reaches outdoors."""

    direct: Number
    vertical: Number
    horizontal: Number

    def of(self, path: Subject) -> Number:
        """The figure for one opening."""
        return {"direct": self.direct, "vertical duct": self.vertical}.get(str(path.value("route")), self.horizontal)


def best(paths: Sequence[Subject], gap: str, within: Number, needs: Needs, louvers: Louvers) -> Worked:
    """The heat rate (Btu/h) that the largest single opening within reach of the ceiling or floor supplies."""
    near = [path for path in paths if path.value(gap) <= within]
    if not near:
        return Worked(0)
    largest = max(near, key=lambda path: ratio(louvers.net(path), needs.of(path)))
    served = ratio(louvers.net(largest), needs.of(largest))
    per = show(needs.of(largest), "area per heat rate", PER_THOUSAND)
    return Worked(
        served,
        (
            louvers.step(largest),
            Step(
                f"input that {largest.id} serves ({largest.value('route')})",
                f"{show(louvers.net(largest), 'area', 'in2')} / ({per})",
                show(served, "heat rate"),
            ),
        ),
    )


@list_function(
    "top_air",
    "combustion_space",
    "heat rate",
    member_reads=(*OUTDOOR_READS, "top_gap"),
    as_list_grows="rises",
    means="input that the largest single opening near the ceiling supplies from outdoors",
)
def top_air(
    owner: Subject,
    paths: Sequence[Subject],
    *,
    within: Number,
    direct: Number,
    vertical: Number,
    horizontal: Number,
    metal: Number,
    wood: Number,
) -> Worked:
    """Heat rate (Btu/h) by the largest opening that begins within `within` of the ceiling.

    `direct`, `vertical` and `horizontal` are the area needed per Btu/h, `metal` and `wood` the free share of louvers.
    """
    return best(paths, "top_gap", within, Needs(direct, vertical, horizontal), Louvers(metal, wood))


@list_function(
    "bottom_air",
    "combustion_space",
    "heat rate",
    member_reads=(*OUTDOOR_READS, "bottom_gap"),
    as_list_grows="rises",
    means="input that the largest single opening near the floor supplies from outdoors",
)
def bottom_air(
    owner: Subject,
    paths: Sequence[Subject],
    *,
    within: Number,
    direct: Number,
    vertical: Number,
    horizontal: Number,
    metal: Number,
    wood: Number,
) -> Worked:
    """Heat rate (Btu/h) by the largest opening that begins within `within` of the floor; else as `top_air`."""
    return best(paths, "bottom_gap", within, Needs(direct, vertical, horizontal), Louvers(metal, wood))


@list_function(
    "top_area",
    "combustion_space",
    "area",
    member_reads=("counted_area", "cover", "top_gap"),
    as_list_grows="rises",
    means="free area of the largest single opening near the ceiling",
)
def top_area(owner: Subject, paths: Sequence[Subject], *, within: Number, metal: Number, wood: Number) -> Worked:
    """Free area (nm2) of the largest opening that begins within `within` of the ceiling."""
    louvers = Louvers(metal, wood)
    near = [path for path in paths if path.value("top_gap") <= within]
    if not near:
        return Worked(0)
    largest = max(near, key=louvers.net)
    return Worked(louvers.net(largest), (louvers.step(largest),))


@dataclass(frozen=True, slots=True)
class Room:
    """A room as `indoor_share` needs it: volume (nm3) and inputs (Btu/h)."""

    name: str
    volume: Number
    natural: Number
    fan: Number

    @property
    def input(self) -> Number:
        """All appliances that take its air."""
        return self.natural + self.fan


@dataclass(frozen=True, slots=True)
class Joining:
    """What openings between rooms must have, by the limits of the rule."""

    louvers: Louvers
    top: Number
    bottom: Number
    per_input: Number
    least: Number
    storeys_per_input: Number

    def joined(self, paths: Sequence[Subject], load: Number) -> bool:
        """Whether the openings between two rooms make them one space for appliances of this total input."""
        if any(path.value("what") == "open doorway" for path in paths):
            return True
        floors = [path for path in paths if path.value("storeys") == "different"]
        if floors and sum(self.louvers.net(path) for path in floors) >= self.storeys_per_input * load:
            return True
        each = max(self.least, self.per_input * load)
        large = [p for p in paths if p.value("storeys") == "same" and self.louvers.net(p) >= each]
        return any(
            high is not low and high.value("top_gap") <= self.top and low.value("bottom_gap") <= self.bottom
            for high in large
            for low in large
        )


@list_function(
    "indoor_share",
    "combustion_space",
    "share",
    owner_reads=("room", "volume", "input_natural", "input_fan"),
    member_reads=(*JOIN_READS, "counted_area", "cover", "top_gap", "bottom_gap", "storeys"),
    as_list_grows="rises",
    means="volume of the rooms that count, as a share of the volume that their appliances need",
)
def indoor_share(
    owner: Subject,
    paths: Sequence[Subject],
    *,
    natural: Number,
    fan: Number,
    top: Number,
    bottom: Number,
    per_input: Number,
    least: Number,
    storeys_per_input: Number,
    metal: Number,
    wood: Number,
) -> Worked:
    """The best share of needed volume (1 is enough) over the sets of rooms joined with the owner's room.

    Needed is `natural` and `fan` (volume per Btu/h) times the inputs of the appliances of all rooms of the set. Two
    rooms are joined by an open doorway; by an upper and a lower opening of `per_input` area per Btu/h of the set, each
    at least `least`; or, on different storeys, by `storeys_per_input` in all.
    """
    joining = Joining(Louvers(metal, wood), top, bottom, per_input, least, storeys_per_input)
    home = Room(
        str(owner.value("room")),
        owner.value("volume"),
        owner.value("input_natural"),
        owner.value("input_fan"),
    )
    rooms, doors = _graph(home, paths)
    result = Worked(-1)
    for members in _sets(home, rooms, doors, joining):
        need = sum(natural * room.natural + fan * room.fan for room in members)
        volume = sum(room.volume for room in members)
        share = ratio(volume, need) if need else NOWHERE
        if share > result.value:
            result = Worked(share, _share_steps(members, natural, fan, need, volume))
    return result


def _graph(home: Room, paths: Sequence[Subject]) -> tuple[dict[str, Room], dict[frozenset[str], list[Subject]]]:
    rooms = {home.name: home}
    doors: dict[frozenset[str], list[Subject]] = {}
    for path in paths:
        ends = (str(path.value("room")), str(path.value("beyond")))
        for name, side in zip(ends, ("room", "beyond"), strict=True):
            rooms.setdefault(
                name,
                Room(
                    name,
                    path.value(f"{side}_volume"),
                    path.value(f"{side}_natural"),
                    path.value(f"{side}_fan"),
                ),
            )
        doors.setdefault(frozenset(ends), []).append(path)
    return rooms, doors


def _sets(
    home: Room, rooms: dict[str, Room], doors: dict[frozenset[str], list[Subject]], joining: Joining
) -> Iterator[list[Room]]:
    """The sets of rooms that count as one space with the home room, one for each choice of other burning rooms."""
    burning = [room for room in rooms.values() if room.input and room is not home]
    counts = range(len(burning) + 1) if len(burning) <= MOST_ROOMS else (0, 1, len(burning))
    for count in counts:
        for chosen in combinations(burning, count):
            load = home.input + sum(room.input for room in chosen)
            open_to = {home.name} | {room.name for room in rooms.values() if not room.input or room in chosen}
            yield _reached(home, rooms, open_to, [pair for pair, paths in doors.items() if joining.joined(paths, load)])


def _reached(home: Room, rooms: dict[str, Room], open_to: set[str], pairs: list[frozenset[str]]) -> list[Room]:
    found, grew = {home.name}, True
    while grew:
        near = {name for pair in pairs if pair & found for name in pair} & open_to
        grew = not near <= found
        found |= near
    return [room for name, room in rooms.items() if name in found]


def _share_steps(members: list[Room], natural: Number, fan: Number, need: Number, volume: Number) -> tuple[Step, ...]:
    """The sum as a person would write it: each room, the volume that counts, the volume needed, the share."""
    by = "ft3 per 1,000 Btu/h"
    steps = [
        Step(f"volume of {room.name}", "length x width x height", show(room.volume, "volume", "ft3"))
        for room in members
    ]
    if len(members) > 1:
        steps.append(
            Step(
                "volume that counts",
                " + ".join(show(room.volume, "volume", "ft3") for room in members),
                show(volume, "volume", "ft3"),
            )
        )
    parts = [
        f"{show(rate, 'volume per heat rate', by)} x {show(load, 'heat rate')}"
        for rate, load in ((natural, sum(r.natural for r in members)), (fan, sum(r.fan for r in members)))
        if load
    ]
    steps.append(Step("volume needed", " + ".join(parts), show(need, "volume", "ft3")))
    if need:
        steps.append(
            Step(
                "share of it that is there",
                f"{show(volume, 'volume', 'ft3')} / {show(need, 'volume', 'ft3')}",
                show(ratio(volume, need), "share"),
            )
        )
    return tuple(steps)
