"""Kitchen counters: the unbroken lines of them along the walls, and islands and peninsulas, with their receptacles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from oktocover.findings.finding import Missing, Step
from oktocover.measures.floor_line import Piece, Stretch, along_stretch, stretches_of_run
from oktocover.measures.outlets import (
    COUNTER_ROOMS,
    LENGTH,
    OUTLETS,
    SPACE,
    Placed,
    RoomLine,
    counter_pieces,
    on_line,
    outlets_where,
    room_of,
)
from oktocover.measures.registry import FactType, list_function, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, TESTED, Fact, Members, Number, Unknown, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wall_spaces import farthest_step
from oktocover.quantities import Quantity, show
from oktocover.site.electrical import Counter, CounterBreak

TOUCHING = 25_400_000
"""Two counters whose ends are this near (1 in) are one. A tolerance of drawing."""

ALWAYS = frozenset({"refrigerator"})
"""What breaks a counter whatever is behind it."""


def _length(means: str) -> FactType:
    return FactType("quantity", "length", means=means, found_by="tape", computed=True)


@subjects(
    "counter_line",
    {
        "space": SPACE,
        "length": LENGTH,
        "outlets": OUTLETS,
        "breaks": FactType("many", kind="counter_break", means="ranges, sinks and refrigerators in it", computed=True),
    },
    system="electrical",
)
def counter_lines(view: SiteView) -> Iterator[Subject]:
    """Counters along the walls of each kitchen or room like it, those that meet in a corner as one line."""
    for room in view.by_kind["space"]:
        if room.exact("use") not in (None, *COUNTER_ROOMS):
            continue
        line = RoomLine.of(view, room)
        pieces, lacks = counter_pieces(view, room, line) if line else ([], [room.lacks("outline", "tape")])
        if line is None or lacks:
            nobody = unknown(*lacks)
            yield Subject(
                "counter_line",
                f"{room.id}: counters",
                {"space": room, "length": nobody, "outlets": nobody, "breaks": nobody},
                label=f"{room.id}: its counters along the walls",
                elements=(room.id,),
                path=room.path,
                where=(room.id, "", 0.0),
            )
            continue
        for run in _runs(line.total, pieces):
            yield _counter_line(view, room, line, run)


def _runs(total: Number, pieces: Sequence[Piece]) -> list[list[Piece]]:
    """Counters end to end, left to right; the loop is cut where no counter touches the next."""
    ordered = sorted(pieces, key=lambda piece: piece.start)
    runs: list[list[Piece]] = []
    for piece in ordered:
        if runs and piece.start - runs[-1][-1].end <= TOUCHING:
            runs[-1].append(piece)
        else:
            runs.append([piece])
    if len(runs) > 1 and runs[0][0].start + total - runs[-1][-1].end <= TOUCHING:
        wrapped = runs.pop(0)
        runs[-1] += [Piece(piece.start + total, piece.end + total, piece.name) for piece in wrapped]
    return runs


def _counter_line(view: SiteView, room: Subject, line: RoomLine, run: list[Piece]) -> Subject:
    stretch = Stretch(run[0].start, run[-1].end - run[0].start)
    known = min(view.elements[piece.name].fact(fact).known for piece in run for fact in ("at", "length", "wall"))
    placed, loose = on_line(view, room, line)
    said = view.whole("receptacles", room.id)
    missing = [*([said] if said else []), *(item.missing for item in loose)]
    members = []
    for one in placed:
        along = along_stretch(stretch, line.total, one.position)
        if along is not None:
            members.append(_above(view, one, along, run, stretch, known))
    members.sort(key=lambda member: (member.value("along"), member.id))
    wall, at = line.spot(stretch.start)
    names = [piece.name for piece in run]
    own = {
        "space": room,
        "length": Fact(stretch.length, (), known),
        "breaks": _breaks(view, run, stretch, known),
        "outlets": Members(tuple(members), bool(missing), tuple(dict.fromkeys(missing))),
        "begins": f"the left end of {names[0]}",
    }
    first = view.elements[names[0]]
    return Subject(
        "counter_line",
        f"{room.id}: {names[0]}",
        own,
        path=first.path,
        elements=(room.id, *names),
        label=f"{room.id}: counter {' and '.join(names)} along the wall, left to right as seen from inside",
        where=(room.id, wall, float(at)),
    )


def _above(view: SiteView, one: Placed, along: Number, run: list[Piece], stretch: Stretch, known: int) -> Subject:
    """A receptacle on the wall over a counter; its height above the top comes from the counter under it."""
    under = next(
        piece.name for piece in run if piece.start - stretch.start - TOUCHING <= along <= piece.end - stretch.start
    )
    own: dict[str, object] = {"counter": Fact(view.elements[under], (), known)}
    if "above_counter" in one.receptacle.own:
        own["above_counter"] = one.receptacle.own["above_counter"]
    return one.as_member(along, known, **own)


def _breaks(view: SiteView, run: list[Piece], stretch: Stretch, known: int) -> Members | Unknown:
    lacks: list[Missing] = []
    found: list[Subject] = []
    for piece in run:
        counter = view.elements[piece.name]
        model = view.models[piece.name]
        assert isinstance(model, Counter)
        if model.breaks is None:
            lacks.append(counter.lacks("breaks"))
        elif isinstance(model.breaks, list):
            # A break is taped from the left end of the wall, as its counter is.
            zero = piece.start - stretch.start - counter.value("at")
            for place, one in enumerate(model.breaks):
                made = _break(counter, one, place, zero, known)
                lacks += made if isinstance(made, list) else []
                found += [made] if isinstance(made, Subject) else []
    return unknown(*lacks) if lacks else Members(tuple(found))


def _break(counter: Subject, one: CounterBreak, place: int, zero: Number, known: int) -> Subject | list[Missing]:
    at, width = _exact(one.at), _exact(one.width)
    wanted = {"what": one.what, "at": at, "width": width}
    if one.what not in ALWAYS:
        wanted["behind"] = 0 if one.behind == "none" else _exact(one.behind)
        if one.behind != "none":
            wanted["in_corner"] = one.in_corner
    lacks = [
        Missing(
            counter.id,
            f"{name.replace('_', ' ')} of its {one.what or 'break'}",
            "tape",
            "counter",
            CounterBreak.model_fields[name].description or "",
            (*counter.path, "breaks", place, name.replace("_", " ")),
        )
        for name, value in wanted.items()
        if value is None
    ]
    if lacks or at is None or width is None:
        return lacks
    own = {name: Fact(value, (), known) for name, value in {"in_corner": False, "behind": 0, **wanted}.items()}
    own["along"] = Fact(zero + at, (), known)
    return Subject(
        "counter_break", f"{counter.id}: {one.what}", own, path=(*counter.path, "breaks", place), elements=(counter.id,)
    )


def _exact(value: object) -> Number | None:
    return value.exact if isinstance(value, Quantity) else None


@subjects(
    "counter_break",
    {
        "what": FactType("word", words=("range", "cooktop", "sink", "refrigerator", "oven"), means="what it is"),
        "along": _length("its left edge, from the left end of the counter"),
        "width": _length("its width along the wall"),
        "behind": _length("depth of the countertop behind it"),
        "in_corner": FactType("yes or no", means="it is set across a corner of the room"),
    },
    system="electrical",
)
def counter_breaks(view: SiteView) -> Iterator[Subject]:
    """Everything that stands in the counters along the walls."""
    for line in view.of("counter_line"):
        breaks = line.value("breaks")
        if isinstance(breaks, Members):
            yield from breaks.sure


@list_function(
    "farthest",
    of="counter_line",
    dimension="length",
    owner_reads=("length", "breaks"),
    member_reads=("along",),
    as_list_grows="falls",
    means="the greatest distance, along the wall line, from any point of a counter space "
    "to the nearest receptacle in the same space",
)
def farthest_along_counter(
    owner: Subject, members: Sequence[Subject], *, narrowest: Number, straight: Number, corner: Number
) -> Worked:
    """How far the farthest point of a counter is from a receptacle in its own space; NOWHERE when a space has none.

    A refrigerator divides the counter, and so does a range or sink with less countertop behind it than `straight`
    (`corner` where it stands across a corner). Spaces less wide than `narrowest` ask for nothing. Lengths in nm.
    """
    length, begins = owner.value("length"), str(owner.own.get("begins") or "the left end of the counter")
    pieces = [
        Piece(one.value("along"), one.value("along") + one.value("width"), one.value("what"))
        for one in owner.value("breaks").sure
        if one.value("what") in ALWAYS or one.value("behind") < (corner if one.value("in_corner") else straight)
    ]
    worst: Number | float = 0
    steps: list[Step] = []
    for space in stretches_of_run(length, pieces):
        if space.length < narrowest:
            continue
        inside = sorted(
            (member.value("along") - space.start, member.id)
            for member in members
            if space.start <= member.value("along") <= space.start + space.length
        )
        start = f"the right side of the {space.after}" if space.after else begins
        value, step = farthest_step(space.length, False, inside, start, "wall line of the counter")
        steps.append(Step(f"counter space of {show(space.length, 'length')} from {start}", step.how, step.result))
        worst = max(worst, value)
    if not steps:
        wide = show(narrowest, "length")
        steps.append(Step("counter spaces", f"none is {wide} wide or wider", "nothing asked"))
    return Worked(worst if worst != NOWHERE else NOWHERE, tuple(steps))


@subjects(
    "island",
    {
        "space": SPACE,
        "outlets": OUTLETS,
        "what": FactType(
            "word",
            words=("wall counter", "island", "peninsula"),
            means="along a wall, free standing, or fast at one end",
        ),
        "length": _length("its length"),
        "depth": _length("its depth"),
        "breaks": FactType("many", kind="counter_break", means="ranges, sinks and refrigerators in it", computed=True),
    },
    system="electrical",
)
def islands(view: SiteView) -> Iterator[Subject]:
    """Every counter that is, or may be, an island or peninsula, with the receptacles at it."""
    for counter in view.by_kind["counter"]:
        if counter.exact("what") == "wall counter":
            continue
        room = room_of(view, counter)
        where = room if isinstance(room, str) else ""
        own: dict[str, object] = {
            "space": Unknown((room,))
            if isinstance(room, Missing)
            else Fact(view.elements.get(room) or Unknown((counter.lacks("space"),))),
            "outlets": outlets_where(view, where or None, partial(_at, view, counter, room), where or None),
            "breaks": _island_breaks(view, counter),
        }
        if "area" in counter.own:
            own["area"] = counter.own["area"]
        yield Subject(
            "island",
            counter.id,
            own,
            base=counter,
            path=counter.path,
            elements=(counter.id,),
            label=f"{counter.exact('what') or 'counter'} {counter.id}" + (f" in {where}" if where else ""),
            where=(where, "", 0.0),
        )


def _island_breaks(view: SiteView, counter: Subject) -> Members | Unknown:
    model = view.models[counter.id]
    assert isinstance(model, Counter)
    if model.breaks is None:
        return unknown(counter.lacks("breaks"))
    made = [
        _break(counter, one, place, 0, TESTED)
        for place, one in enumerate(model.breaks if isinstance(model.breaks, list) else ())
    ]
    lacks = [item for one in made if isinstance(one, list) for item in one]
    return unknown(*lacks) if lacks else Members(tuple(one for one in made if isinstance(one, Subject)))


def _at(view: SiteView, counter: Subject, room: str | Missing, one: Subject) -> bool | Missing:
    """Whether a receptacle is at an island; one on a wall is not, one without a place may be."""
    named = one.exact("counter")
    if isinstance(named, Subject):
        return named.id == counter.id
    if (
        isinstance(one.exact("wall"), str)
        or one.exact("outside")
        or one.exact("mount") in ("ceiling", "luminaire", "appliance")
    ):
        return False
    own_room = room_of(view, one)
    if isinstance(own_room, str) and isinstance(room, str) and own_room != room:
        return False
    return one.lacks("counter")


@measure(
    "island",
    "area",
    FactType("quantity", "area", means="area of its top, sinks and cooktops not taken off", found_by="tape"),
    ("length", "depth"),
    rises=("length", "depth"),
)
def top_area(length: Number, depth: Number) -> Worked:
    """Area of a rectangular top: length times depth."""
    result = length * depth
    return Worked(
        result, (Step("area of the top", f"{show(length, 'length')} x {show(depth, 'length')}", show(result, "area")),)
    )
