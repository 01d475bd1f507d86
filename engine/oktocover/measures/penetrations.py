"""Holes with what they go through, and the gaps between fireblocks.

Only geometry and relations: which material may close a hole is the rules' matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from oktocover.findings.finding import Missing, Step
from oktocover.measures.assemblies import ASSEMBLY, ASSEMBLY_FACTS, TIME, Fabric, fabric
from oktocover.measures.registry import KINDS, FactType, inverse, list_function, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, TESTED, Fact, Members, Range, Unknown, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number, number, show
from oktocover.site.geometry import ratio
from oktocover.site.penetrations import ON_WALLS

BOTH_FACES = ("wall", "rated wall")

inverse("concealed_space", "fireblocks", "fireblock", via="space", list_name="fireblocks", means="the fireblocks in it")
inverse(
    "space",
    "garage_ceilings",
    "garage_ceiling",
    via="space",
    list_name="garage ceilings",
    means="its ceiling, where it is a garage",
)


def _none_as_zero(value: Number | str) -> Number:
    """A quantity whose field also knows words: each of them means that there is none."""
    return 0 if isinstance(value, str) else value


measure(
    "penetration",
    "f_rating_time",
    FactType("quantity", "time", means="F rating on the sheet; none is 0 min"),
    ("f_rating",),
    rises=("f_rating",),
)(_none_as_zero)
measure(
    "garage_ceiling",
    "board_over",
    FactType("quantity", "length", means="board of the ceiling; none is 0 in"),
    ("board",),
    rises=("board",),
)(_none_as_zero)


@measure(
    "garage_ceiling",
    "board_below",
    FactType("quantity", "length", means="board on what carries the ceiling; none is 0 in"),
    ("structure_board",),
    rises=("structure_board",),
)
def board_below(board: Number | str) -> Number | float:
    """The thickness in nm; `none` is 0, and where nothing carries it nothing is wanting."""
    if isinstance(board, str):
        return NOWHERE if board == "nothing carries it" else 0
    return board


@list_function(
    "widest_run",
    "concealed_space",
    "length",
    owner_reads=("length",),
    member_reads=("along",),
    as_list_grows="falls",
    means="longest stretch of the space that no upright block divides",
)
def widest_run(owner: Subject, blocks: Sequence[Subject]) -> Worked:
    """The largest level distance between ends and upright blocks, in nm."""
    marks = sorted([0, *(block.value("along") for block in blocks), owner.value("length")])
    start, end = max(zip(marks, marks[1:], strict=False), key=lambda pair: pair[1] - pair[0], default=(0, marks[-1]))
    how = f"{show(end, 'length')} - {show(start, 'length')}"
    return Worked(end - start, (Step("longest stretch", how, show(end - start, "length")),))


class Holes:
    """Makes the holes of one site, each with the wall it goes through."""

    def __init__(self, view: SiteView) -> None:
        self.view = view
        self.walls: Fabric = fabric(view)

    def make(self, element: Subject) -> Subject:
        """One penetration with what follows from the rest of the site."""
        made = Subject(
            "hole", element.id, label=_hole_label(element), path=element.path, base=element, where=element.where
        )
        member = element.exact("member")
        assembly = self._assembly(element, member)
        made.own["assembly"] = assembly
        made.own["space"] = self._room(element)
        made.own["gap"] = _gap(element)
        made.own["opening"] = _opening(element)
        made.own["must_hold"] = self.must_hold(element, member, assembly)
        made.own["envelope"] = self._envelope(element, made, member)
        return made

    def _assembly(self, element: Subject, member: Any) -> Fact:
        """The wall it goes through: as named, else the one that has its side."""
        named = element.fact("assembly")
        if isinstance(named.value, Subject):
            return Fact(self.walls.by_id[named.value.id], (), named.known)
        side = element.exact("wall")
        if side is None or (isinstance(member, str) and member not in ON_WALLS):
            return Fact(unknown(element.lacks("assembly")))
        return Fact(self.walls.at_side(side, element), (), element.fact("wall").known)

    def _room(self, element: Subject) -> Fact:
        named = element.fact("space")
        side = element.exact("wall")
        if isinstance(named.value, Subject) or side is None:
            return named
        room = self.walls.room(side)
        return Fact(room, (), element.fact("wall").known) if room is not None else named

    def must_hold(self, element: Subject, member: Any, assembly: Fact) -> Fact:
        """The rating of what it goes through: its own line, its wall's, or none when no wall is rated at all."""
        own = element.fact("rating")
        if not isinstance(own.value, Unknown):
            return Fact(0, (), own.known) if isinstance(own.value, str) else own
        if isinstance(member, str) and member not in ON_WALLS:
            return own
        if isinstance(assembly.value, Subject):
            rated = assembly.value.fact("rating_time")
            return Fact(rated.value, rated.steps, min(rated.known, assembly.known))
        if self.view.described("rated walls") == "none" and isinstance(member, str):
            return Fact(0, (), TESTED)
        return assembly if isinstance(member, str) else Fact(unknown(element.lacks("member")))

    def _envelope(self, element: Subject, made: Subject, member: Any) -> Fact:
        """Whether it leaves heated space: as recorded, else by the rooms on the two sides of its wall."""
        own = element.fact("envelope")
        if not isinstance(own.value, Unknown) or member not in (*BOTH_FACES, "exterior skin"):
            return own
        if member == "exterior skin":
            room = made.value("space")
            return room.fact("heated") if isinstance(room, Subject) else own
        assembly = made.value("assembly")
        if not isinstance(assembly, Subject):
            return own
        rooms, outside = assembly.value("rooms"), assembly.value("outside")
        if not isinstance(rooms, Members) or rooms.open or isinstance(outside, Unknown):
            return own
        heated_facts = [room.fact("heated") for room in rooms.sure]
        lacks = [item for fact in heated_facts if isinstance(fact.value, Unknown) for item in fact.value.missing]
        if lacks:
            return Fact(unknown(*lacks))
        warm = [fact.value for fact in heated_facts]
        return Fact(any(warm) and (outside or not all(warm)), (), min([TESTED, *(fact.known for fact in heated_facts)]))


def _hole_label(element: Subject) -> str:
    words = [element.id, element.exact("member"), element.exact("wall"), element.exact("carries")]
    return ", ".join(word for word in words if isinstance(word, str))


def _ends(element: Subject, name: str) -> tuple[Number | None, Number | None]:
    """The bounds of a length, (None, None) when it is not recorded."""
    value = element.value(name)
    if isinstance(value, Range):
        low = value.low if value.low is None else number(value.low)  # type: ignore[arg-type]
        return low, (value.high if value.high is None else number(value.high))  # type: ignore[arg-type]
    return (None, None) if isinstance(value, Unknown) else (value, value)


def _gap(element: Subject) -> Fact:
    """The widest gap: as taped, else bounded by hole and item, which may touch its edge or stand in the middle."""
    taped = element.fact("gap")
    if not isinstance(taped.value, Unknown):
        return taped
    known = min(element.fact("hole").known, element.fact("item").known)
    if element.exact("carries") == "nothing":
        return element.fact("hole")
    (hole_low, hole_high), (item_low, item_high) = _ends(element, "hole"), _ends(element, "item")
    if hole_high is None or item_low is None:
        return taped
    most = hole_high - item_low
    least: Number = 0
    if element.exact("items") == 1 and hole_low is not None and item_high is not None:
        least = max(ratio(hole_low - item_high, 2), 0)
    step = Step(
        "widest gap",
        f"from half of it to all of {show(hole_high, 'length')} - {show(item_low, 'length')}",
        f"{show(least, 'length')} to {show(most, 'length')}",
    )
    return Fact(most if most == least else Range(least, most, missing=(element.lacks("gap"),)), (step,), known)


def _opening(element: Subject) -> Fact:
    """The area of the hole: as taped, else at most the square of its longer side."""
    taped = element.fact("opening")
    _, high = _ends(element, "hole")
    if not isinstance(taped.value, Unknown) or high is None:
        return taped
    most = high * high
    return Fact(
        Range(0, most, missing=(element.lacks("opening"),)),
        (Step("area of the hole, at most", f"{show(high, 'length')} x {show(high, 'length')}", show(most, "area")),),
        element.fact("hole").known,
    )


@subjects("assembly", ASSEMBLY_FACTS)
def assemblies(view: SiteView) -> Iterable[Subject]:
    """Every wall entry with the rooms on its sides, and whether all holes through it are written down."""
    walls = fabric(view)
    loose = _unplaced(view.of("hole"))
    for wall in walls.walls:
        lacks = (*loose, *walls.whole("penetrations", wall.id, walls.sides[wall.id]))
        wall.own["holes_listed"] = unknown(*lacks) if lacks else True
    return walls.walls


def _unplaced(holes_: Iterable[Subject]) -> tuple[Missing, ...]:
    """What is missing of holes that may be in any wall."""
    lost = (hole.value("assembly") for hole in holes_ if hole.exact("member") in (None, *ON_WALLS))
    return tuple(item for found in lost if isinstance(found, Unknown) for item in found.missing)


@subjects(
    "hole",
    {
        **KINDS["penetration"].facts,
        "assembly": ASSEMBLY,
        "must_hold": FactType("quantity", "time", means=TIME.means, found_by="paper", computed=True),
    },
)
def holes(view: SiteView) -> Iterable[Subject]:
    """Every penetration with the wall it goes through, its widest gap and the rating it has to keep."""
    maker = Holes(view)
    return tuple(maker.make(element) for element in view.of("penetration"))


LISTED = {"walls": "walls", "holes": "penetrations", "concealed_spaces": "concealed spaces", "chimneys": "chimneys"}
"""Lists that belong to the building as a whole, by the site file's name of the list."""

FLUES = ("fuel burning appliances", "fireplaces")
"""Systems with a chimney or vent; a building described without either has none to list."""


@subjects(
    "enclosure",
    {
        f"{name}_listed": FactType("yes or no", means=f"every entry of {list_name} is written down")
        for name, list_name in LISTED.items()
    },
)
def enclosure(view: SiteView) -> Iterable[Subject]:
    """The building as one thing, with the lists that have to be whole before its frame is covered."""
    lists: dict[str, Any] = {}
    for name, list_name in LISTED.items():
        closes = view.whole(list_name)
        lists[f"{name}_listed"] = unknown(closes) if closes else True
    if all(view.described(system) == "none" for system in FLUES):
        lists["chimneys_listed"] = True
    yield Subject("enclosure", "building", lists, label="the building", path=("described",))


@subjects(
    "rated_construction",
    {"walls": FactType("many", kind="assembly", means="all walls of the building", computed=True)},
    system="rated walls",
)
def rated_construction(view: SiteView) -> Iterable[Subject]:
    """The rated walls of a building that has them."""
    walls = Members(view.of("assembly"), *_open(view.whole("walls")))
    yield Subject(
        "rated_construction",
        "rated walls",
        {"walls": walls},
        label="the rated walls",
        path=("described", "rated walls"),
    )


def _open(closes: Missing | None) -> tuple[bool, tuple[Missing, ...]]:
    return closes is not None, (closes,) if closes else ()
