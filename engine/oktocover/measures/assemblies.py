"""Walls with what is on both sides of them: rooms, doors, openings, holes, boxes. Made once for each site.

Kept apart from `penetrations` because a wall's two sides are a matter of the whole plan, while a hole is one entry.
Nothing here says what a garage or a rating asks for; rules do.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from weakref import WeakKeyDictionary

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import KINDS, FactType, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, TESTED, Fact, Members, Range, Unknown, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number, show
from oktocover.site.geometry import dot
from oktocover.site.plan import Plan

Lacks = tuple[Missing, ...]
TIME = FactType("quantity", "time", means="fire-resistance rating; none is 0 min", computed=True)
ASSEMBLY = FactType("one", kind="assembly", means="the entry under walls that it goes through")
ROOMS = FactType("many", kind="space", means="the rooms on its sides", computed=True)


@measure("wall", "rating_time", TIME, ("rating",), rises=("rating",))
def rating_time(rating: Number | str) -> Number:
    """The rating in seconds; `none` is 0."""
    return 0 if isinstance(rating, str) else rating


@measure(
    "wall",
    "line_distance",
    FactType("quantity", "length", means="distance to the line its rating goes by; none: no line near it"),
    ("lot_line",),
    rises=("lot_line",),
)
def line_distance(lot_line: Number | str) -> Number | float:
    """The fire separation distance in nm; `none` is farther than anything."""
    return NOWHERE if isinstance(lot_line, str) else lot_line


@measure(
    "wall",
    "dwelling_distance",
    FactType("quantity", "length", means="distance to the dwelling on the same lot; none: no dwelling faces it"),
    ("to_dwelling",),
    rises=("to_dwelling",),
)
def dwelling_distance(to_dwelling: Number | str) -> Number | float:
    """The distance in nm; `none` is farther than anything."""
    return NOWHERE if isinstance(to_dwelling, str) else to_dwelling


@measure(
    "wall",
    "board_on_garage_side",
    FactType("quantity", "length", means="board on its garage side; none is 0 in"),
    ("garage_board",),
    rises=("garage_board",),
)
def board_on_garage_side(board: Number | str) -> Number:
    """The thickness in nm; `none` is 0."""
    return 0 if isinstance(board, str) else board


@measure(
    "opening",
    "face_area",
    FactType("quantity", "area", means="area of the opening, width by height"),
    ("width", "high"),
    rises=("width", "high"),
)
def face_area(width: Number, high: Number) -> Number:
    """Width times height, in nm2."""
    return width * high


class Fabric:
    """The walls, doors and lists of one site, with every wall's two sides worked out."""

    def __init__(self, view: SiteView) -> None:
        self.view = view
        self.plan = Plan(view.site)
        closes = view.whole("spaces")
        self.unseen: Lacks = (closes,) if closes else ()
        """Empty when all rooms are written down; else a room nobody has written may be on any wall."""
        self.sides: dict[str, tuple[str, ...]] = {}
        self.by_side: dict[str, list[Subject]] = {}
        self._on_side: dict[str, tuple[dict[str, list[tuple[int, Subject]]], Lacks]] = {}
        self.walls = tuple(self._assembly(wall) for wall in view.of("wall"))
        self.by_id = {wall.id: wall for wall in self.walls}

    def whole(self, list_name: str, wall: str, sides: Sequence[str]) -> Lacks:
        """Nothing when a list is whole for a wall (by its id, or for each of its sides); else what is missing."""
        closes = self.view.whole(list_name, wall)
        if closes is None:
            return ()
        one_by_one = [self.view.whole(list_name, side, side.partition(".")[0]) for side in sides]
        return (closes,) if not one_by_one or any(one_by_one) else ()

    def nothing_behind(self, side: str, at: Number, width: Number) -> bool:
        """Whether a stretch of wall surely has no room behind it: every room is written, and none can stand there."""
        alone = list(self.view.site.spaces) == [side.partition(".")[0]]
        return not self.unseen and (alone or not self.plan.may_be_behind(side, at, width))

    def room(self, side: str) -> Subject | None:
        """The room of a wall's side, when it is written down."""
        found = self.view.elements.get(side.partition(".")[0])
        return found if found is not None and found.kind == "space" else None

    def at_side(self, side: str, asking: Subject, fact: str = "assembly") -> Subject | Unknown:
        """The one wall that has this side, or what is missing."""
        found = self.by_side.get(self.plan.ref(side), [])
        if len(found) == 1:
            return found[0]
        if found:
            return unknown(asking.lacks(fact))
        return unknown(Missing(side, "sides", "look", "wall", "the entry under walls that has this side", ("walls",)))

    def _assembly(self, wall: Subject) -> Subject:
        sides = tuple(self.plan.ref(side) for side in wall.exact("sides") or ())
        self.sides[wall.id] = sides
        first = sides[0].partition(".") if sides else ("", "", "")
        made = Subject(
            "assembly",
            wall.id,
            label=", ".join([wall.id, *sides]),
            path=wall.path,
            base=wall,
            where=(first[0], first[2], 0.0),
        )
        for side in dict.fromkeys(sides):
            self.by_side.setdefault(side, []).append(made)
        outside = self._outside(wall, sides)
        made.own.update(
            outside=outside,
            rooms=self._rooms(wall, sides, outside),
            sprinklered=self._sprinklered(),
            all_rooms=self.listed("space", "spaces"),
            openings=self._openings(wall, sides),
            face=self._face(wall, sides),
        )
        return made

    def _outside(self, wall: Subject, sides: Sequence[str]) -> Fact:
        """Whether it is an outside wall: as recorded, else by two sides that look at each other on the plan."""
        said = wall.fact("exterior")
        if not isinstance(said.value, Unknown):
            return said
        drawn = [found for found in map(self.plan.wall, sides) if found is not None]
        if any(dot(one.direction, other.direction) < 0 for one in drawn for other in drawn):
            return Fact(False, (), wall.fact("sides").known)
        return said

    def _rooms(self, wall: Subject, sides: Sequence[str], outside: Fact) -> Fact:
        if not sides:
            return Fact(unknown(wall.lacks("sides")))
        found = {room.id: room for room in map(self.room, sides) if room is not None}
        lacks = [
            Missing(side.partition(".")[0], "use", "paper", "space", path=("spaces", side.partition(".")[0]))
            for side in sides
            if self.room(side) is None
        ]
        if len(set(sides)) == 1 and outside.value is not True:
            lacks.append(wall.lacks("sides" if outside.value is False else "exterior"))
        lacks += self.unseen
        return Fact(Members(tuple(found.values()), bool(lacks), tuple(lacks)), (), wall.fact("sides").known)

    def _sprinklered(self) -> Fact:
        said = {"yes": True, "none": False}.get(self.view.described("fire sprinklers") or "")
        if said is None:
            return Fact(
                unknown(
                    Missing(
                        "site",
                        "fire sprinklers",
                        "look",
                        "site",
                        "fire sprinklers throughout the building",
                        ("described", "fire sprinklers"),
                    )
                )
            )
        return Fact(said, (), TESTED)

    def listed(self, kind: str, list_name: str) -> Members:
        closes = self.view.whole(list_name)
        return Members(self.view.of(kind), closes is not None, (closes,) if closes else ())

    def _openings(self, wall: Subject, sides: Sequence[str]) -> Members | Unknown:
        if not sides:
            return unknown(wall.lacks("sides"))
        here, loose = self.on_sides("opening", sides)
        lacks = (*loose, *self.whole("openings", wall.id, sides))
        return Members(here, bool(lacks), lacks)

    def on_sides(self, kind: str, sides: Sequence[str]) -> tuple[tuple[Subject, ...], Lacks]:
        """The elements of a kind on one of these sides, and what is missing of those that nobody has placed."""
        if kind not in self._on_side:
            self._on_side[kind] = self._by_side_of(kind)
        on_side, loose = self._on_side[kind]
        here = [pair for side in dict.fromkeys(sides) for pair in on_side.get(side, ())]
        return tuple(element for _, element in sorted(here, key=lambda pair: pair[0])), loose

    def _by_side_of(self, kind: str) -> tuple[dict[str, list[tuple[int, Subject]]], Lacks]:
        """The elements of a kind by the wall's side they are on, numbered as they are written; and the unplaced."""
        on_side: dict[str, list[tuple[int, Subject]]] = {}
        loose: list[Missing] = []
        for number, element in enumerate(self.view.of(kind)):
            side = element.exact("wall")
            if side is None:
                loose.append(element.lacks("wall"))
            else:
                on_side.setdefault(self.plan.ref(side), []).append((number, element))
        return on_side, tuple(loose)

    def _face(self, wall: Subject, sides: Sequence[str]) -> Fact:
        """The area of one face of a wall: the length of each room's stretch by that room's ceiling height."""
        if not sides:
            return Fact(unknown(wall.lacks("sides")))
        total: Number = 0
        parts, lacks, known = [], [], TESTED
        for side in sides:
            drawn, room = self.plan.wall(side), self.room(side)
            ceiling = room.fact("ceiling") if room is not None else None
            name = side.partition(".")[0]
            if drawn is None:
                lacks.append(Missing(name, "size", "tape", "space", "how long this wall is", ("spaces", name, "size")))
            if ceiling is None or isinstance(ceiling.value, (Unknown, Range)):
                lacks.append(Missing(name, "ceiling", "tape", "space", path=("spaces", name, "ceiling")))
            if drawn is None or ceiling is None or lacks:
                continue
            known = min(known, ceiling.known)
            total += drawn.length * ceiling.value
            parts.append(f"{show(drawn.length, 'length')} x {show(ceiling.value, 'length')}")
        if lacks:
            return Fact(unknown(*lacks))
        steps = (Step("area of the wall", " + ".join(parts), show(total, "area")),)
        return Fact(Range(total, None, missing=self.unseen) if self.unseen else total, steps, known)


_FABRICS: WeakKeyDictionary[SiteView, Fabric] = WeakKeyDictionary()


def fabric(view: SiteView) -> Fabric:
    """The Fabric of a view, made when it is first asked for."""
    found = _FABRICS.get(view)
    if found is None:
        found = _FABRICS[view] = Fabric(view)
    return found


ASSEMBLY_FACTS = {
    **KINDS["wall"].facts,
    "outside": FactType("yes or no", means="it is an outside wall", computed=True),
    "rooms": ROOMS,
    "all_rooms": FactType("many", kind="space", means="all rooms of the building", computed=True),
    "openings": FactType("many", kind="opening", means="doors and windows in it", computed=True),
    "face": FactType(
        "quantity", "area", means="area of the wall, each room's stretch by its ceiling height", computed=True
    ),
    "sprinklered": FactType("yes or no", means="fire sprinklers throughout the building"),
    "holes_listed": FactType("yes or no", means="every hole through it is written down"),
}


@subjects(
    "passage",
    {
        **KINDS["opening"].facts,
        "rooms": FactType("many", kind="space", means="the rooms it joins", computed=True),
        "all_rooms": ASSEMBLY_FACTS["all_rooms"],
    },
)
def passages(view: SiteView) -> Iterable[Subject]:
    """Every door, window or other opening with the rooms it joins."""
    walls = fabric(view)
    for opening in view.of("opening"):
        made = Subject("passage", opening.id, label=opening.label, path=opening.path, base=opening, where=opening.where)
        made.own.update(rooms=_joined(walls, opening), all_rooms=walls.listed("space", "spaces"))
        yield made


def _joined(walls: Fabric, opening: Subject) -> Fact:
    """The rooms an opening joins: its own, and what is behind it as recorded or by its wall's entry."""
    side = opening.exact("wall")
    if side is None:
        return Fact(unknown(opening.lacks("wall")))
    known = opening.fact("wall").known
    own = walls.room(side)
    behind, lacks = _behind(walls, opening, side)
    if own is None:
        room = side.partition(".")[0]
        lacks = (*lacks, Missing(room, "use", "paper", "space", path=("spaces", room)))
    found = {room.id: room for room in (own, *behind) if room is not None}
    return Fact(Members(tuple(found.values()), bool(lacks), lacks), (), known)


def _behind(walls: Fabric, opening: Subject, side: str) -> tuple[tuple[Subject | None, ...], Lacks]:
    """What is on the other side of an opening: rooms for sure, and what is missing when that cannot be told."""
    told = opening.exact("other_side")
    if told is not None:
        return (walls.room(told),), ()
    wall = walls.at_side(side, opening, "other_side")
    at, width = opening.exact("at"), opening.exact("width")
    seen = walls.plan.other_side(side, at, width) if at is not None and width is not None else []
    if isinstance(wall, Unknown):
        if seen:
            return tuple(walls.room(ref) for ref, _, _ in seen), ()
        outdoors = at is not None and width is not None and walls.nothing_behind(side, at, width)
        return (), (() if outdoors else (opening.lacks("other_side"),))
    outside = wall.value("outside")
    if outside is True:
        return (), ()
    if len(seen) == 1:
        return (walls.room(seen[0][0]),), ()
    others = tuple(dict.fromkeys(one for one in walls.sides[wall.id] if one != walls.plan.ref(side)))
    if isinstance(outside, Unknown):
        return (), outside.missing
    if len(others) == 1:
        return (walls.room(others[0]),), walls.unseen
    return (), (opening.lacks("other_side"),)
