"""Boxes let into the faces of rated walls: their sum in a piece of a face, their distance from the opposite ones."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from oktocover.findings.finding import Missing, Step
from oktocover.measures.assemblies import ASSEMBLY, TIME, fabric
from oktocover.measures.registry import KINDS, FactType, list_function, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, TESTED, Fact, Members, Range, Unknown, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import Number, show
from oktocover.quantities.dimensions import magnitude
from oktocover.site.geometry import ratio


@list_function(
    "most_in_any",
    "wall_face",
    "area",
    owner_reads=("height",),
    member_reads=("at", "area"),
    as_list_grows="rises",
    means="largest sum of box openings in any piece of this wall of the given area",
)
def most_in_any(owner: Subject, boxes: Sequence[Subject], *, patch: Number) -> Worked:
    """The largest sum of openings, in nm2, within any full-height stretch of the wall of area `patch`.

    The stretch is `patch / height` long; it is laid against each box in turn, by the centres of the boxes.
    """
    height = owner.value("height")
    reach = ratio(patch, height)
    placed = sorted((box.value("at"), box.value("area")) for box in boxes)
    sums = [[area for at, area in placed if start <= at <= start + reach] for start, _ in placed]
    most = max(sums, key=sum, default=[])
    total: Number = sum(most, start=0)
    return Worked(
        total,
        (
            Step(
                "length of wall that counts together",
                f"{show(patch, 'area')} / {show(height, 'length')}",
                show(reach, "length"),
            ),
            Step("boxes within it", " + ".join(show(area, "area") for area in most) or "no box", show(total, "area")),
        ),
    )


class Boxes:
    """Makes the boxes of one site's rated walls, each with the nearest box in the opposite face."""

    def __init__(self, view: SiteView) -> None:
        self.view = view
        self.walls = fabric(view)
        self.elements = view.of("membrane_box")
        self.wall_of = {box.id: self._assembly(box) for box in self.elements}

    def _assembly(self, box: Subject) -> Fact:
        named, side = box.fact("assembly"), box.exact("wall")
        if isinstance(named.value, Subject):
            return Fact(self.walls.by_id[named.value.id], (), named.known)
        if side is None:
            return Fact(unknown(box.lacks("wall")))
        return Fact(self.walls.at_side(side, box), (), box.fact("wall").known)

    def make(self, box: Subject) -> Subject:
        """One box with its wall, the rating it has to keep and its distance from the opposite boxes."""
        made = box.seen_as("rated_box", ", ".join(filter(None, (box.id, box.exact("wall")))))
        assembly = self.wall_of[box.id]
        made.own["assembly"] = assembly
        made.own["must_hold"] = assembly.value.fact("rating_time") if isinstance(assembly.value, Subject) else assembly
        made.own["apart"] = self.apart(box)
        return made

    def apart(self, box: Subject) -> Fact:
        """Level distance to the nearest box in the opposite face: as taped, else worked out from the places."""
        taped = box.fact("apart")
        if not isinstance(taped.value, Unknown):
            return Fact(NOWHERE, (), taped.known) if isinstance(taped.value, str) else taped
        wall = self.wall_of[box.id].value
        if not isinstance(wall, Subject):
            return taped
        lacks = list(self.walls.whole("membrane boxes", wall.id, self.walls.sides[wall.id]))
        found: list[tuple[Number, Subject, int]] = []
        for other in self.elements:
            if other is box or not self._may_face(wall, box, other):
                continue
            place = self._between(box, other)
            if isinstance(place, Missing):
                lacks.append(place)
            elif place is not None:
                found.append((place, other, min(other.fact("at").known, box.fact("at").known)))
        return _nearest(found, lacks)

    def _may_face(self, wall: Subject, box: Subject, other: Subject) -> bool:
        there = self.wall_of[other.id].value
        return there is wall or isinstance(there, Unknown)

    def _between(self, box: Subject, other: Subject) -> Number | Missing | None:
        """How far two boxes stand apart along their wall; None when both are in the same face."""
        here, there = box.exact("wall"), other.exact("wall")
        if here is None or there is None:
            return (box if here is None else other).lacks("wall")
        plan = self.walls.plan
        if plan.ref(here) == plan.ref(there):
            return None
        if isinstance(self.wall_of[other.id].value, Unknown):
            lost: Unknown = self.wall_of[other.id].value
            return lost.missing[0]
        one, two = plan.wall(here), plan.wall(there)
        at, other_at = box.exact("at"), other.exact("at")
        if at is None or other_at is None:
            return (box if at is None else other).lacks("at")
        if one is None or two is None:
            room = (here if one is None else there).partition(".")[0]
            return Missing(room, "size", "tape", "space", "how long this wall is", ("spaces", room, "size"))
        rooms = [plan.room(wall.room) for wall in (one, two)]
        if all(room is not None and room.placed for room in rooms):
            along: Number = one.along(two.point_on(other_at)) - at
            return magnitude(along)
        if one.length == two.length:
            turned: Number = one.length - other_at - at
            return magnitude(turned)
        return box.lacks("apart")


def _nearest(found: list[tuple[Number, Subject, int]], lacks: list[Missing]) -> Fact:
    if not found:
        return Fact(unknown(*lacks)) if lacks else Fact(NOWHERE, (), TESTED)
    distance, other, known = min(found, key=lambda item: (item[0], item[1].id))
    steps = (Step("nearest box in the opposite face", other.id, show(distance, "length")),)
    if lacks and distance > 0:
        return Fact(Range(0, distance, missing=tuple(dict.fromkeys(lacks))), steps, known)
    return Fact(distance, steps, known)


@subjects(
    "rated_box",
    {
        **KINDS["membrane_box"].facts,
        "assembly": ASSEMBLY,
        "must_hold": FactType("quantity", "time", means=TIME.means, found_by="paper", computed=True),
    },
    system="rated walls",
)
def rated_boxes(view: SiteView) -> Iterable[Subject]:
    """Every box in a rated wall with its distance from boxes in the opposite face."""
    maker = Boxes(view)
    return tuple(maker.make(box) for box in maker.elements)


FACE_FACTS = {
    "assembly": ASSEMBLY,
    "boxes": FactType("many", kind="rated_box", means="the boxes in this face", computed=True),
    "boxes_listed": FactType("yes or no", means="every box in this face is written down"),
    "height": FactType("quantity", "length", means="height of the ceiling", found_by="tape", computed=True),
    "must_hold": FactType("quantity", "time", means=TIME.means, found_by="paper", computed=True),
}


@subjects("wall_face", FACE_FACTS, system="rated walls")
def wall_faces(view: SiteView) -> Iterable[Subject]:
    """Every room side of every wall with the boxes in it."""
    walls = fabric(view)
    for wall in walls.walls:
        for side in dict.fromkeys(walls.sides[wall.id]):
            room = walls.room(side)
            here, loose = walls.on_sides("rated_box", (side,))
            lacks = (*loose, *walls.whole("membrane boxes", wall.id, (side,)))
            height = (
                room.fact("ceiling")
                if room is not None
                else Fact(
                    unknown(
                        Missing(
                            side.partition(".")[0], "ceiling", "tape", "space", path=("spaces", side.partition(".")[0])
                        )
                    )
                )
            )
            name, _, facing = side.partition(".")
            yield Subject(
                "wall_face",
                f"{wall.id} {side}",
                {
                    "assembly": wall,
                    "boxes": Members(here, bool(lacks), lacks),
                    "height": height,
                    "boxes_listed": unknown(*lacks) if lacks else True,
                    "must_hold": wall.fact("rating_time"),
                },
                label=f"{wall.id}, {side}",
                path=wall.path,
                elements=(wall.id,),
                where=(name, facing, 0.0),
            )
