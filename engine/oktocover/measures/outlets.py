"""Where receptacles are: which room, which place on its floor line, and what breaks that line.

What cannot be told is handed on as what is missing; nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from weakref import WeakKeyDictionary

from oktocover.findings.finding import Missing, Step
from oktocover.measures.floor_line import Piece, Stretch
from oktocover.measures.registry import FactType, fact_type
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Members, Number, Range
from oktocover.measures.view import SiteView
from oktocover.quantities import number, show
from oktocover.site.plan import Doubt, PlanWall, RoomShape

SPACE = FactType("one", kind="space", means="the room")
OUTLETS = FactType("many", kind="receptacle", means="receptacle outlets there", computed=True)
LENGTH = FactType(
    "quantity", "length", means="length along the floor line, round its corners", found_by="tape", computed=True
)

BREAKS = frozenset({"door", "garage door", "cased opening", "sliding panel", "fireplace", "stair opening"})
"""Openings that break a wall space whatever their size: no furniture can stand there."""

WALL_ALL_THE_SAME = frozenset({"railing", "bar counter"})
"""Fixed dividers: they take the place of a wall."""

BREAK_WORDS = {"wall counter": "counter"}
OFF_THE_LINE = frozenset({"ceiling", "countertop", "base cabinet side", "luminaire", "appliance"})
"""What a receptacle without a wall can be set in that is nowhere on the floor line."""

COUNTER_ROOMS = frozenset({"kitchen", "pantry", "breakfast", "dining"})
"""Rooms in which counters along the walls follow rules of their own and are no wall space."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A receptacle with its exact place on the loop of a room's floor line."""

    receptacle: Subject
    position: Number
    known: int

    def as_member(self, along: Number, known: int, **own: object) -> Subject:
        """The receptacle as one of a stretch: the same facts, and how far along the stretch it is."""
        base = self.receptacle
        facts = {"along": Fact(along, (), min(known, self.known)), **own}
        return Subject(
            "receptacle",
            base.id,
            facts,
            label=base.label,
            path=base.path,
            base=base,
            elements=(base.id,),
            where=base.where,
        )


@dataclass(frozen=True, slots=True)
class Loose:
    """A receptacle that may stand anywhere in the room, or anywhere on one wall of it."""

    missing: Missing
    wall: str | None = None


class RoomLine:
    """The floor line of a room as one loop of walls, each from its left end."""

    def __init__(self, shape: RoomShape) -> None:
        self.shape = shape
        self.walls: dict[str, PlanWall] = {wall.ref: wall for wall in reversed(shape.walls)}
        self.starts: dict[str, Number] = {}
        total: Number = 0
        for ref, wall in self.walls.items():
            self.starts[ref] = total
            total += wall.length
        self.total = total

    @staticmethod
    def of(view: SiteView, room: Subject) -> RoomLine | None:
        """The line of a room, or None when the room has no outline that can be drawn."""
        shape = view.plan.room(room.id)
        return RoomLine(shape) if shape is not None else None

    def wall(self, wall_ref: str) -> PlanWall | None:
        """The wall that `room.wall` names, by any of its names."""
        return self.shape.wall(wall_ref.partition(".")[2])

    def span(self, ref: str) -> tuple[Number, Number]:
        """Where a wall begins and ends on the loop."""
        return self.starts[ref], self.starts[ref] + self.walls[ref].length

    def spot(self, position: Number, ending: bool = False) -> tuple[str, Number]:
        """A position as wall name and distance from its left end; a corner starts one, or (`ending`) ends one."""
        position %= self.total
        for ref, wall in self.walls.items():
            start, end = self.span(ref)
            if start <= position < end and not (ending and position == start):
                return wall.name, position - start
            if ending and position == end % self.total:
                return wall.name, wall.length
        raise AssertionError("every position of the loop is on a wall")

    def pieces(self, stretch: Stretch) -> tuple[Step, ...]:
        """The length of a stretch, wall by wall."""
        parts = []
        for ref, wall in self.walls.items():
            start, end = self.span(ref)
            for turn in (-self.total, 0, self.total):
                low = max(start + turn, stretch.start)
                high = min(end + turn, stretch.start + stretch.length)
                if low < high:
                    parts.append((low, f"{show(high - low, 'length')} {wall.name}"))
        how = " + ".join(text for _, text in sorted(parts))
        return (Step("length of the wall space", how, show(stretch.length, "length")),)


def line_breaks(view: SiteView, room: Subject, line: RoomLine | None) -> tuple[list[Piece], list[Missing], int]:
    """What breaks the floor line of a room, what keeps that from being known, and how well it is known."""
    if line is None:
        return [], [room.lacks("outline", "tape")], TESTED
    known = min(room.fact("outline").known, room.fact("use").known if room.exact("use") else TESTED)
    lacks = [said for said in (view.whole("openings", room.id),) if said is not None]
    pieces: list[Piece] = []
    # What surely breaks nothing wherever it stands: a window above the floor needs no place.
    harmless = {
        one.id: one
        for one in view.of("opening")
        if one.exact("what") != "sliding door" and breaks_wall(one, room) is False
    }
    for one in harmless.values():
        if (one.exact("wall") or room.id).partition(".")[0] == room.id:
            known = min(known, one.fact("what").known, one.fact("sill").known)
    for ref, wall in line.walls.items():
        lacks += [_missing(doubt) for doubt in view.plan.doubts_of(room.id, wall.name, harmless)]
        for name, start, end in view.plan.openings_of(room.id, wall.name):
            if name in harmless:
                continue
            opening = view.elements[name]
            known = min([known, *(opening.fact(fact).known for fact in ("at", "width", "what"))])
            left, right = max(start, 0), min(end, wall.length)
            for found in _broken(opening, room, left, right, mirrored=not _written_here(line, opening, ref)):
                if isinstance(found, Missing):
                    lacks.append(found)
                else:
                    pieces.append(Piece(found[0] + line.starts[ref], found[1] + line.starts[ref], name))
    counters, more = counter_pieces(view, room, line)
    return [*pieces, *counters], list(dict.fromkeys([*lacks, *more])), known


def _written_here(line: RoomLine, opening: Subject, ref: str) -> bool:
    wall = opening.exact("wall")
    found = line.wall(wall) if isinstance(wall, str) and wall.partition(".")[0] == line.shape.name else None
    return found is not None and found.ref == ref


def _missing(doubt: Doubt) -> Missing:
    about = fact_type(doubt.kind, doubt.fact.replace(" ", "_"))
    return Missing(doubt.element, doubt.fact, doubt.found_by, doubt.kind, about.means if about else "", doubt.path)


def _broken(
    opening: Subject, room: Subject, start: Number, end: Number, mirrored: bool
) -> Iterator[tuple[Number, Number] | Missing]:
    """The part of the line an opening takes out, if any, or what would tell."""
    what = opening.exact("what")
    if what == "sliding door":
        panel = opening.exact("fixed_panel")
        if panel is None:
            yield opening.lacks("fixed_panel")
            return
        middle = number(Fraction(start + end) / 2)
        if panel == "none" or room.exact("use") == "foyer":
            yield start, end
        elif (panel == "left") != mirrored:
            yield middle, end
        else:
            yield start, middle
        return
    answer = breaks_wall(opening, room)
    if isinstance(answer, Missing):
        yield answer
    elif answer:
        yield start, end


def breaks_wall(opening: Subject, room: Subject) -> bool | Missing:
    """Whether an opening breaks the wall space of a room at the floor, or the fact that would tell."""
    what = opening.exact("what")
    if what is None:
        return opening.lacks("what")
    if what in BREAKS:
        return True
    if what in WALL_ALL_THE_SAME:
        return False
    if what == "fixed cabinet":
        surface = opening.exact("work_surface")
        return opening.lacks("work_surface") if surface is None else not surface
    at_floor = _at_floor(opening)
    if at_floor is not True:
        return at_floor
    if what == "window":
        operable = opening.exact("operable")
        if operable is None:
            return opening.lacks("operable")
        if operable:
            return True
    if what in ("window", "fixed glass"):
        # Fixed glass down to the floor is wall in a room, and none beside the door of a foyer.
        use = room.exact("use")
        return room.lacks("use") if use is None else use == "foyer"
    return True


def _at_floor(opening: Subject) -> bool | Missing:
    sill = opening.fact("sill").value
    if isinstance(sill, Range):
        above = sill.low is not None and (sill.low > 0 or sill.low == 0 and sill.low_open)
        return False if above else opening.lacks("sill")
    return opening.lacks("sill") if not isinstance(sill, Number) else sill <= 0


def counter_pieces(view: SiteView, room: Subject, line: RoomLine) -> tuple[list[Piece], list[Missing]]:
    """Counters along the walls of a kitchen or a room like it, and what keeps them from being known.

    In any other room a counter is a cabinet with a work surface, which breaks no wall space.
    """
    use = room.exact("use")
    if use is None:
        return [], [room.lacks("use")]
    if use not in COUNTER_ROOMS:
        return [], []
    said = view.whole("counters", room.id)
    lacks = [said] if said else []
    pieces: list[Piece] = []
    for counter in view.by_kind["counter"]:
        if counter.exact("what") in ("island", "peninsula") or not _may_be(room_of(view, counter), room.id):
            continue
        lacks += [counter.lacks(name) for name in ("what", "wall", "at", "length") if counter.exact(name) is None]
        wall = line.wall(counter.exact("wall") or "")
        at, length = counter.exact("at"), counter.exact("length")
        if wall is not None and at is not None and length is not None:
            start = line.starts[wall.ref] + at
            pieces.append(Piece(start, start + length, counter.id))
    return pieces, lacks


def _may_be(found: str | Missing, wanted: str) -> bool:
    return isinstance(found, Missing) or found == wanted


def room_of(view: SiteView, one: Subject) -> str | Missing:
    """The room a thing is in: that of its wall, the one named, or that of its counter; else what would tell."""
    wall = one.exact("wall")
    if isinstance(wall, str):
        return wall.partition(".")[0]
    space = one.exact("space")
    if isinstance(space, Subject):
        return space.id
    counter = one.exact("counter") if one.kind == "receptacle" else None
    if isinstance(counter, Subject):
        return room_of(view, counter)
    return one.lacks("space")


_BY_ROOM: WeakKeyDictionary[SiteView, dict[str, list[tuple[int, Subject]]]] = WeakKeyDictionary()


def may_be_in(view: SiteView, room_id: str) -> list[Subject]:
    """The receptacles of a room and those of no known room, in the order of the site file."""
    rooms = _BY_ROOM.get(view)
    if rooms is None:
        # Sorted once for a site: a look through all receptacles for every room would grow with the square of a site.
        rooms = _BY_ROOM[view] = {}
        for place, one in enumerate(view.by_kind["receptacle"]):
            found = room_of(view, one)
            rooms.setdefault(found if isinstance(found, str) else "", []).append((place, one))
    both = [*rooms.get(room_id, ()), *rooms.get("", ())]
    return [one for _, one in sorted(both, key=lambda pair: pair[0])]


def on_line(view: SiteView, room: Subject, line: RoomLine) -> tuple[list[Placed], list[Loose]]:
    """The receptacles with a place on the floor line of a room, and those that may have one."""
    placed: list[Placed] = []
    loose: list[Loose] = []
    for one in may_be_in(view, room.id):
        wall_ref = one.exact("wall")
        if isinstance(wall_ref, str):
            wall, at = line.wall(wall_ref), one.exact("at")
            if wall is None:
                loose.append(Loose(one.lacks("wall")))
            elif at is None:
                loose.append(Loose(one.lacks("at"), wall.ref))
            else:
                known = min(one.fact("at").known, one.fact("wall").known, room.fact("outline").known)
                placed.append(Placed(one, line.starts[wall.ref] + at, known))
            continue
        if one.exact("mount") in OFF_THE_LINE or one.exact("outside") or one.exact("counter"):
            continue
        loose.append(Loose(one.lacks("wall")))
    return placed, loose


def outlets_where(
    view: SiteView, place: str | None, there: Callable[[Subject], bool | Missing], room: str | None = None
) -> Members:
    """The receptacles (of one `room`, if any) for which `there` is true.

    Open when `there` cannot tell for one of them, or when nobody said that the receptacles of `place` are all.
    """
    said = view.whole("receptacles", place) if place else view.whole("receptacles")
    missing = [said] if said else []
    sure: list[Subject] = []
    for one in view.by_kind["receptacle"] if room is None else may_be_in(view, room):
        answer = there(one)
        if isinstance(answer, Missing):
            missing.append(answer)
        elif answer:
            sure.append(one)
    return Members(tuple(sure), bool(missing), tuple(dict.fromkeys(missing)))
