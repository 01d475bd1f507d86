"""Receptacle outlets: what they are rated for, and the wall spaces, rooms, vehicle bays and sides they stand in.

Distances are taken along the floor line as the tape ran, on the framing or the finished face. A wall space is a
stretch of that line that nothing breaks, corners included; it is named after the opening on its left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from oktocover.findings.finding import Missing, Step
from oktocover.measures.floor_line import Stretch, along_stretch, farthest_point, stretches_of_loop, touches
from oktocover.measures.outlets import BREAK_WORDS, Loose, Placed, RoomLine, line_breaks, on_line, outlets_where, room_of
from oktocover.measures.registry import FactType, inverse, kind, list_function, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Fact, Members, Number, Unknown, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read, show

SERIES_VOLTS = {"5": "125 V", "6": "250 V", "10": "250 V", "14": "250 V", "TT": "125 V"}
"""Rated voltage by series, as NEMA WD 6 names receptacles. 10 and 14 carry 125 V to neutral besides."""

OUTDOOR_USES = ("porch", "deck", "balcony", "outdoors")

SPACE = FactType("one", kind="space", means="the room")
OUTLETS = FactType("many", kind="receptacle", means="receptacle outlets there", computed=True)
LENGTH = FactType("quantity", "length", means="length along the floor line, round its corners", found_by="tape",
                  computed=True)

kind("receptacle").facts["along"] = FactType(
    "quantity", "length", means="distance along the floor line from where the wall space or counter begins",
    found_by="tape", computed=True)
inverse("circuit", "receptacles", "receptacle", via="circuit", list_name="receptacles",
        means="receptacles that name this circuit")


@measure("receptacle", "volts", FactType("quantity", "voltage", means="rated voltage", found_by="plate"), ("what",))
def rated_volts(what: str) -> Number:
    """Rated voltage, from the name of the configuration. Source: NEMA WD 6, designation of series."""
    return _exact(SERIES_VOLTS[_designation(what)[0]], "voltage")


@measure("receptacle", "amps", FactType("quantity", "current", means="rated current", found_by="plate"), ("what",))
def rated_amps(what: str) -> Number:
    """Rated current, from the name of the configuration. Source: NEMA WD 6, the figure after the dash."""
    return _exact(f"{_designation(what)[1]} A", "current")


@measure("receptacle", "above_counter",
         FactType("quantity", "length", means="height of its centre above the countertop", found_by="tape"),
         ("height", "counter.height"), rises=("height",), falls=("counter.height",))
def above_counter(height: Number, counter_height: Number) -> Worked:
    """Height of the receptacle above the top it serves; under zero below it."""
    result = height - counter_height
    how = f"{show(height, 'length')} - {show(counter_height, 'length')}"
    return Worked(result, (Step("height above the countertop", how, show(result, "length")),))


def _designation(what: str) -> tuple[str, str]:
    series, _, rest = what.split(" ")[0].removeprefix("L").partition("-")
    return series, rest


def _exact(text: str, dimension: str) -> Number:
    value = read(text, dimension).exact
    assert value is not None
    return value


@subjects("wall_space", {"space": SPACE, "length": LENGTH, "outlets": OUTLETS, "closed": FactType(
    "yes or no", means="it runs all round the room", computed=True)}, system="electrical")
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
        "wall_space", f"{room.id}: walls", {"space": room, "length": nobody, "closed": nobody, "outlets": nobody},
        label=f"{room.id}: its wall spaces", elements=(room.id,), path=room.path, where=(room.id, "", 0.0))


def _wall_space(view: SiteView, room: Subject, line: RoomLine, stretch: Stretch, placed: Sequence[Placed],
                loose: Sequence[Loose], known: int) -> Subject:
    begins = _spoken(view, stretch.after)
    members = []
    for one in placed:
        along = along_stretch(stretch, line.total, one.position)
        if along is not None:
            members.append((along, one.as_member(along, known)))
    members.sort(key=lambda pair: (pair[0], pair[1].id))
    missing = list(_open_list(view, room, line, stretch))
    missing += [item.missing for item in loose
                if item.wall is None or touches(stretch, line.total, *line.span(item.wall))]
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
        "wall_space", f"{room.id}: {name}", own, label=_label(view, room, line, stretch), path=path,
        elements=tuple(dict.fromkeys(part for part in (room.id, stretch.after, stretch.before) if part)),
        where=(room.id, wall, float(at)))


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
    return (f"{room.id}: wall from {_spoken(view, stretch.after)} ({first}) to {_spoken(view, stretch.before)} ({last}), "
            "left to right as seen from inside")


def _spoken(view: SiteView, name: str | None) -> str:
    if name is None:
        return ""
    return f"{BREAK_WORDS.get(view.elements[name].exact('what') or '', view.elements[name].kind)} {name}"


@list_function("farthest", of="wall_space", dimension="length", owner_reads=("length", "closed"), member_reads=("along",),
               as_list_grows="falls", means="the greatest distance, along the floor line, from any point of the wall space "
               "to the nearest receptacle that counts")
def farthest(owner: Subject, members: Sequence[Subject]) -> Worked:
    """How far the farthest point of a wall space is from a receptacle, along the floor line; NOWHERE without any."""
    length, closed = owner.value("length"), owner.value("closed")
    spots = sorted(members, key=lambda member: (member.value("along"), member.id))
    begins = str(owner.own.get("begins") or "where the wall space begins")
    value, step = farthest_step(length, closed, [(spot.value("along"), spot.id) for spot in spots], begins)
    return Worked(value, (step,))


@list_function("widest_gap", of="wall_space", dimension="length", owner_reads=("length", "closed"),
               member_reads=("along",), as_list_grows="falls", means="the greatest distance along the floor line from one "
               "receptacle that counts to the next, or to an end of the wall space")
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


def farthest_step(length: Number, closed: bool, spots: Sequence[tuple[Number, str]], begins: str,
                  line: str = "floor line") -> tuple[Number | float, Step]:
    """The farthest point of a stretch with named spots in order along it, and how a person finds it with a tape."""
    found = farthest_point(length, closed, [along for along, _ in spots])
    what = f"farthest point along the {line}"
    if found is None:
        return NOWHERE, Step(what, f"{_feet(length)} with no receptacle that counts", "none there")
    result = f"{_feet(found.distance)} from it"
    if found.left is None or found.right is None:
        end, name = ("left", spots[0][1]) if found.left is None else ("right", spots[-1][1])
        whose = f", at {begins}" if end == "left" else f", {_feet(length)} from {begins}"
        return found.distance, Step(what, f"{name} is the nearest to the {end} end{whose}", result)
    (_, one), (_, other) = spots[found.left], spots[found.right]
    if one == other:
        how = f"once round from {one} to itself is {_feet(length)}, half of it"
    else:
        how = f"{_feet(2 * found.distance)} between {one} and {other}, half of it"
    return found.distance, Step(what, f"{how}; the point is {_feet(found.point)} from {begins}",
                                f"{_feet(found.distance)} from either")


def _feet(value: Number) -> str:
    return show(value, "length")


@subjects("room_outlets", {"space": SPACE, "outlets": OUTLETS}, system="electrical")
def room_outlets(view: SiteView) -> Iterator[Subject]:
    """Each space with the receptacles in it, wherever in the room they are."""
    for room in view.by_kind["space"]:
        members = outlets_where(view, room.id, partial(_in_room, view, room.id))
        yield Subject("room_outlets", room.id, {"space": room, "outlets": members}, label=f"{room.id}: its receptacles",
                      path=room.path, elements=(room.id,), where=(room.id, "", 0.0))


def _in_room(view: SiteView, wanted: str, one: Subject) -> bool | Missing:
    found = room_of(view, one)
    return found if isinstance(found, Missing) else found == wanted


POWERED = FactType("yes or no", means="the building has electric power", computed=True)


@subjects("vehicle_bay", {"space": SPACE, "outlets": OUTLETS, "powered": POWERED}, system="electrical")
def vehicle_bays(view: SiteView) -> Iterator[Subject]:
    """The vehicle bays of every space that has some; a garage whose bays nobody counted gives one unknown bay."""
    powered = _powered(view)
    for room in view.by_kind["space"]:
        bays = room.exact("vehicle_bays")
        if bays is None:
            if room.exact("use") in (None, "garage"):
                nobody = unknown(room.lacks("vehicle_bays"))
                yield _bay(room, "bays", {"space": room, "outlets": nobody, "powered": powered})
            continue
        for number in range(1, int(bays) + 1):
            members = outlets_where(view, room.id, partial(_in_bay, view, room.id, number))
            yield _bay(room, f"bay {number}", {"space": room, "outlets": members, "powered": powered})


def _bay(room: Subject, name: str, own: dict[str, object]) -> Subject:
    return Subject("vehicle_bay", f"{room.id}: {name}", own, label=f"{room.id}: {name}, counted from the left",
                   path=room.path, elements=(room.id,), where=(room.id, "", 0.0))


def _in_bay(view: SiteView, garage: str, number: int, one: Subject) -> bool | Missing:
    room, bay = room_of(view, one), one.exact("bay")
    if room != garage and not isinstance(room, Missing) or bay not in (None, number):
        return False
    if isinstance(room, Missing):
        return room
    return True if bay == number else one.lacks("bay")


@subjects("outdoor_side", {
    "side": FactType("word", words=("front", "back"), means="front or back of the house"), "outlets": OUTLETS,
}, system="electrical")
def outdoor_sides(view: SiteView) -> Iterator[Subject]:
    """The front and the back of the building, with the receptacles outdoors there."""
    for side in ("front", "back"):
        members = outlets_where(view, "outdoors", partial(_on_side, view, side))
        yield Subject("outdoor_side", f"outdoors: {side}", {"side": side, "outlets": members},
                      label=f"outdoors, {side} of the house", path=("receptacles",), elements=(f"outdoors: {side}",),
                      where=("outdoors", side, 0.0))


def _on_side(view: SiteView, side: str, one: Subject) -> bool | Missing:
    room = room_of(view, one)
    use = view.elements[room].exact("use") if isinstance(room, str) and room in view.elements else None
    if use is not None and use not in OUTDOOR_USES:
        return False
    outside = one.exact("outside")
    return one.lacks("outside") if outside is None else outside == side


@subjects("building_outlets", {"outlets": OUTLETS, "powered": POWERED})
def building_outlets(view: SiteView) -> Iterator[Subject]:
    """The building with all its receptacles, and whether it has electric power."""
    members = outlets_where(view, None, lambda one: True)
    yield Subject("building_outlets", "building", {"outlets": members, "powered": _powered(view)}, elements=("building",),
                  label="the building", path=("described", "electrical"))


def _powered(view: SiteView) -> object:
    said = view.described("electrical")
    if said in ("yes", "none"):
        return said == "yes"
    return Unknown((Missing("site", "electrical", "look", "site", "whether the building has electric power",
                            ("described", "electrical")),))


__all__ = ["LENGTH", "OUTLETS", "SPACE", "farthest", "farthest_step", "wall_spaces", "widest_gap"]
