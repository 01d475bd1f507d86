"""Wall spaces: stretches of a room's floor line that nothing breaks, and how far their points are from a receptacle.

Distances are taken along the floor line as the tape ran, on the framing or the finished face, round corners both ways.
A wall space is named after the opening on its left as seen from inside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from oktocover.findings.finding import Missing, Step
from oktocover.measures.floor_line import Stretch, along_stretch, farthest_point, stretches_of_loop, touches
from oktocover.measures.outlets import (
    BREAK_WORDS,
    LENGTH,
    OUTLETS,
    SPACE,
    Loose,
    Placed,
    RoomLine,
    line_breaks,
    on_line,
)
from oktocover.measures.registry import FactType, list_function, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Fact, Members, Number, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show


@subjects(
    "wall_space",
    {
        "space": SPACE,
        "length": LENGTH,
        "outlets": OUTLETS,
        "closed": FactType("yes or no", means="it runs all round the room", computed=True),
    },
    system="electrical",
)
def wall_spaces(view: SiteView) -> Iterator[Subject]:
    """The wall spaces of every room. A room whose openings are not all known gives one, of unknown length."""
    for room in view.by_kind["space"]:
        line = RoomLine.of(view, room)
        breaks, lacks, known = line_breaks(view, room, line)
        if line is None or lacks:
            yield _walls_unknown(room, lacks)
            continue
        stretches = stretches_of_loop(line.total, breaks)
        placed, loose = on_line(view, room, line)
        for stretch in stretches:
            yield _wall_space(view, room, line, stretch, placed, loose, known)


def _walls_unknown(room: Subject, lacks: Sequence[Missing]) -> Subject:
    nobody = unknown(*lacks)
    return Subject(
        "wall_space",
        f"{room.id}: walls",
        {"space": room, "length": nobody, "closed": nobody, "outlets": nobody},
        label=f"{room.id}: its wall spaces",
        elements=(room.id,),
        path=room.path,
        where=(room.id, "", 0.0),
    )


def _wall_space(
    view: SiteView,
    room: Subject,
    line: RoomLine,
    stretch: Stretch,
    placed: Sequence[Placed],
    loose: Sequence[Loose],
    known: int,
) -> Subject:
    begins = _spoken(view, stretch.after)
    members = []
    for one in placed:
        along = along_stretch(stretch, line.total, one.position)
        if along is not None:
            members.append((along, one.as_member(along, known)))
    members.sort(key=lambda pair: (pair[0], pair[1].id))
    missing = list(_open_list(view, room, line, stretch))
    missing += [
        item.missing for item in loose if item.wall is None or touches(stretch, line.total, *line.span(item.wall))
    ]
    wall, at = line.spot(stretch.start)
    own = {
        "space": room,
        "length": Fact(stretch.length, line.pieces(stretch), known),
        "closed": Fact(stretch.closed, (), known),
        "outlets": Members(tuple(member for _, member in members), bool(missing), tuple(dict.fromkeys(missing))),
        "begins": begins or f"the left end of the {wall} wall",
    }
    name = f"after {stretch.after}" if stretch.after else "all round"
    path = view.elements[stretch.after].path if stretch.after else room.path
    return Subject(
        "wall_space",
        f"{room.id}: {name}",
        own,
        label=_label(view, room, line, stretch),
        path=path,
        elements=tuple(dict.fromkeys(part for part in (room.id, stretch.after, stretch.before) if part)),
        where=(room.id, wall, float(at)),
    )


def _open_list(view: SiteView, room: Subject, line: RoomLine, stretch: Stretch) -> Iterator[Missing]:
    """What keeps the receptacles of a wall space open: nobody said that those of the room, or of its walls, are all."""
    said = view.whole("receptacles", room.id)
    if said is None:
        return
    walls = [wall for wall in line.walls if touches(stretch, line.total, *line.span(wall))]
    if any(view.whole("receptacles", room.id, wall) for wall in walls):
        yield said


def _label(view: SiteView, room: Subject, line: RoomLine, stretch: Stretch) -> str:
    if stretch.closed:
        return f"{room.id}: all round the room, no opening breaks its walls"
    first, _ = line.spot(stretch.start)
    last, _ = line.spot(stretch.start + stretch.length, ending=True)
    return (
        f"{room.id}: wall from {_spoken(view, stretch.after)} ({first}) to {_spoken(view, stretch.before)} ({last}), "
        "left to right as seen from inside"
    )


def _spoken(view: SiteView, name: str | None) -> str:
    if name is None:
        return ""
    what = view.elements[name].exact("what")
    return f"{BREAK_WORDS.get(what, what or view.elements[name].kind)} {name}"


@list_function(
    "farthest",
    of="wall_space",
    dimension="length",
    owner_reads=("length", "closed"),
    member_reads=("along",),
    as_list_grows="falls",
    means="the greatest distance, along the floor line, from any point of the wall space "
    "to the nearest receptacle that counts",
)
def farthest(owner: Subject, members: Sequence[Subject]) -> Worked:
    """How far the farthest point of a wall space is from a receptacle, along the floor line; NOWHERE without any."""
    length, closed = owner.value("length"), owner.value("closed")
    spots = sorted(members, key=lambda member: (member.value("along"), member.id))
    begins = str(owner.own.get("begins") or "where the wall space begins")
    value, step = farthest_step(length, closed, [(spot.value("along"), spot.id) for spot in spots], begins)
    return Worked(value, (*owner.fact("length").steps, step))


@list_function(
    "widest_gap",
    of="wall_space",
    dimension="length",
    owner_reads=("length", "closed"),
    member_reads=("along",),
    as_list_grows="falls",
    means="the greatest distance along the floor line from one "
    "receptacle that counts to the next, or to an end of the wall space",
)
def widest_gap(owner: Subject, members: Sequence[Subject]) -> Worked:
    """The widest gap between neighbouring receptacles of a wall space, its ends included; NOWHERE without any."""
    length, begins = owner.value("length"), str(owner.own.get("begins") or "where the wall space begins")
    spots = sorted((member.value("along"), member.id) for member in members)
    if not spots:
        return Worked(NOWHERE, (Step("widest gap", f"{_feet(length)} with no receptacle that counts", "none there"),))
    if owner.value("closed"):
        ends = [*spots, (spots[0][0] + length, spots[0][1])]
    else:
        ends = [(0, begins), *spots, (length, "the other end")]
    gaps = [(right - left, one, other) for (left, one), (right, other) in zip(ends, ends[1:], strict=False)]
    gap, one, other = max(gaps, key=lambda item: item[0])
    return Worked(gap, (Step("widest gap", f"from {one} to {other}, along the floor line", _feet(gap)),))


def farthest_step(
    length: Number, closed: bool, spots: Sequence[tuple[Number, str]], begins: str, line: str = "floor line"
) -> tuple[Number | float, Step]:
    """The farthest point of a stretch with named spots in order along it, and how a person finds it with a tape."""
    found = farthest_point(length, closed, [along for along, _ in spots])
    what = f"farthest point along the {line}"
    if found is None:
        return NOWHERE, Step(what, f"{_feet(length)} with no receptacle that counts", "none there")
    far = _feet(found.distance)
    if found.left is None:
        return found.distance, Step(what, f"the point is at {begins}; the nearest is {spots[0][1]}, to its right", far)
    if found.right is None:
        how = f"the point is the right end, {_feet(length)} from {begins}; the nearest is {spots[-1][1]}, to its left"
        return found.distance, Step(what, how, far)
    (_, one), (_, other) = spots[found.left], spots[found.right]
    if one == other:
        how = f"once round from {one} to itself is {_feet(length)}, half of it"
    else:
        how = f"{_feet(2 * found.distance)} between {one} and {other}, half of it"
    return found.distance, Step(what, f"{how}; the point is {_feet(found.point)} from {begins}", f"{far} from either")


def _feet(value: Number) -> str:
    return show(value, "length")
