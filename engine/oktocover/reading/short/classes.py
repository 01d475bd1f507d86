"""Walls by class: which walls there are comes from the rooms, what they are made of from a few lines about many of them.

    framing:
      outside: {framing: 2x6, spacing: 16 in, built: platform, thickness: 7-1/2 in}
    walls:
      - {all: outside walls, framing: outside}
      - {wall: garage.west, lot line: 2 ft 10 in, rating: 1 h}

The nearest line wins, fact by fact. A line about all walls of a sort speaks of those whose sort the rooms show; what
the plan leaves open gets nothing, and `check` says which walls these are. A class of framing is known as typical; so is
what an unsigned line says of all walls of a sort; what a person signed is known as looked at.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.problems import Problem
from oktocover.reading.short.class_facts import fill_walls
from oktocover.reading.short.rooms import drawn, plan_of, spaces_whole
from oktocover.reading.short.wall_lines import (
    SORTS,
    WALLS,
    Line,
    MadeWall,
    framings,
    rooms_known,
    wall_lines,
)
from oktocover.reading.short.work import Work, value_of
from oktocover.site.base import NO, YES
from oktocover.site.found_walls import FoundWall, found_walls

MOST_LISTED = 12


def id_of(found: FoundWall) -> str:
    """What a wall is called that nobody has named: by its first two sides, so that a further room changes nothing."""
    return " + ".join(found.sides[:2])


class Classes:
    """The walls of one site while it is written out: read first, made from the rooms next, filled in last."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.framings = framings(work)
        self.lines = wall_lines(work)
        self.walls: list[MadeWall] = []

    # walls made from the rooms

    def make(self) -> None:
        """Put every wall that a line speaks of into the list of walls, with what is said of it alone."""
        self.lines = [line for line in self.lines if rooms_known(self.work, line)]
        if not self.lines:
            return
        self.plan = plan_of(self.work)
        for line in self._of("sides"):
            self.work.add(WALLS, line.id or "", line.facts, line.at)
        section = self.work.section(WALLS) or {}
        self.walls = [MadeWall(name, self._written(facts), True, True) for name, facts in section.items()]
        self.by_side = {side: wall for wall in self.walls for side in wall.sides}
        self.found = found_walls(self.plan, spaces_whole(self.work), set(self.by_side))
        self.at_side = {side: found for found in self.found for side in found.sides}
        for line in self._of("wall"):
            self._one_side(line)
        for line in self._of("between"):
            self._between(line)
        for wall in self.walls:
            self._add(wall)
            wall.sort = self._sort(wall)
        self._of_a_sort()

    def fill(self) -> None:
        """Give each wall the facts it lacks, from the nearest line that says them."""
        fill_walls(self.work, self.framings, self.walls)

    def _of(self, form: str) -> list[Line]:
        return [line for line in self.lines if line.form == form]

    def _written(self, facts: Any) -> tuple[str, ...]:
        sides = value_of(facts.get("sides")) if isinstance(facts, dict) else None
        return tuple(self.plan.ref(side) for side in sides or () if isinstance(side, str))

    def _one_side(self, line: Line) -> None:
        ref = self.plan.ref(line.named[0])
        room, _, name = line.named[0].partition(".")
        shape = self.plan.room(room)
        if shape is not None and shape.wall(name) is None:
            names = [f"{room}.{one}" for one in shape.wall_names]
            self.work.unknown((*line.at, "wall"), f"{room} has no wall '{short(name)}'", line.named[0], names)
            return
        self._speaks(line, self.by_side.get(ref), self.at_side.get(ref), line.named[0])

    def _between(self, line: Line) -> None:
        rooms = set(line.named)
        walls = [wall for wall in self.walls if self._stands_between(rooms, map(self.at_side.get, wall.sides))]
        free = [one for one in self._free() if self._stands_between(rooms, [one])]
        if len(walls) + len(free) > 1 and line.id is not None:
            sides = ", ".join(sides[0] for sides in [*(one.sides for one in walls), *(one.sides for one in free)])
            message = f"there are {len(walls) + len(free)} walls between {' and '.join(line.named)}, at {sides}"
            self.work.wrong(
                (*line.at, "between"), message, "one wall for one id", "name each by one of its sides: wall"
            )
        elif walls or free:
            for wall in walls:
                self._speaks(line, wall, None, wall.id)
            for one in free:
                self._speaks(line, None, one, id_of(one))
        elif why := "; ".join(self._doubts(rooms, sure=False)):
            self._blank(line, f"which wall stands between {' and '.join(line.named)} cannot be told: {why}")
            if line.id is not None:
                self._speaks(line, None, None, line.id)
        else:
            message = f"no wall stands between {' and '.join(line.named)} on the plan"
            self.work.wrong((*line.at, "between"), message, "rooms on two sides of one wall")

    def _stands_between(self, rooms: set[str], found: Iterable[FoundWall | None]) -> bool:
        """Whether each of these rooms looks at another of them over a wall."""
        pairs = {pair for one in found if one is not None for pair in one.across}
        return all(any((room, other) in pairs for other in rooms) for room in rooms)

    def _speaks(self, line: Line, wall: MadeWall | None, found: FoundWall | None, name: str) -> None:
        """Let a line speak of a wall, which is made when it is the first."""
        if wall is None:
            sides = found.sides if found is not None and found.sure else ()
            if not sides and line.form == "wall" and str(value_of(line.facts.get("exterior"))).lower() in YES:
                sides = (self.plan.ref(name),)  # whoever says that it is an outside wall says that it has no other side
            wall = MadeWall(line.id or name, sides, line.id is not None)
            self.walls.append(wall)
            self.by_side.update(
                dict.fromkeys(wall.sides or ((self.plan.ref(name),) if line.form == "wall" else ()), wall)
            )
        elif line.id is not None and wall.named and line.id != wall.id:
            other = self.work.read.place(wall.lines[0].at) if wall.lines else self.work.read.key_place((WALLS, wall.id))
            self.work.wrong((*line.at, "id"), f"this wall is {wall.id} already, at {other}", "one id for one wall")
            return
        elif line.id is not None:
            wall.id, wall.named = line.id, True
        wall.lines.append(line)

    def _add(self, wall: MadeWall) -> None:
        """Put a wall that lines have made into the list, with the facts of the nearest of them."""
        if wall.written:
            return
        nearest = max(wall.lines, key=lambda line: line.rank)
        facts = {"sides": self._with_how(wall)} if wall.sides else {}
        if self.work.add(WALLS, wall.id, {**facts, **nearest.facts}, nearest.at):
            self.work.read.origins.update({(WALLS, wall.id, fact): (*nearest.at, fact) for fact in nearest.facts})

    def _with_how(self, wall: MadeWall) -> Any:
        """The sides of a wall, known as well as the plan of its rooms is."""
        how = drawn(self.work, wall.rooms)
        return list(wall.sides) if how == "measured" else {"is": list(wall.sides), "known": how}

    # lines about all walls of a sort

    def _sort(self, wall: MadeWall) -> str | None:
        """The sort of a wall: as its own entry says, else as the rooms show of all its sides."""
        facts = (self.work.section(WALLS) or {}).get(wall.id)
        said = [value_of(one.get("exterior")) for one in (facts, *(line.facts for line in wall.lines)) if one]
        for word in (str(one).lower() for one in said if isinstance(one, str)):
            if word in YES + NO:
                return "outside" if word in YES else "inside"
        sorts = {found.sort if found is not None else None for found in map(self.at_side.get, wall.sides)}
        return next(iter(sorts)) if len(sorts) == 1 else None

    def _free(self) -> list[FoundWall]:
        """Walls of the plan that nobody has named."""
        return [found for found in self.found if not any(side in self.by_side for side in found.sides)]

    def _of_a_sort(self) -> None:
        """Give every line about all walls of a sort the walls it speaks of, and say which it cannot tell."""
        lines = self._of("all")
        walls = [
            *self.walls,
            *(MadeWall(id_of(one), one.sides, sort=one.sort) for one in self._free() if one.sure),
        ]
        known = [*(wall.id for wall in walls), *self.at_side, *self.plan.site.spaces]
        for line in lines:
            for number, name in enumerate(line.spared):
                if name not in known and self.plan.ref(name) not in known:
                    self.work.unknown(
                        (*line.at, "except", number), f"'{short(name)}' is no wall of this site", name, known
                    )
        lapsed: list[tuple[Line, list[MadeWall]]] = []
        for line in lines:
            spoken = [wall for wall in walls if self._covers(line, wall)]
            if line.count is not None and len(spoken) != line.count:
                lapsed.append((line, spoken))
                continue
            for wall in spoken:
                if wall not in self.walls:
                    self.walls.append(wall)
                    facts = {"sides": self._with_how(wall)}
                    self.work.add(WALLS, wall.id, facts, line.at)
                wall.lines.append(line)
            if line.signed:
                signed = f"{line.signed['by']}, {line.signed['day']}"
                said = ", ".join(line.facts)
                self.work.read.rests_on.append(
                    f"{len(spoken) or 'no'} {line.named[0]} ({signed}): {said}, by a signed line"
                )
        for line, spoken in lapsed:
            self._lapsed(line, spoken)
        if lines:
            self._say_open(lines, walls)

    def _covers(self, line: Line, wall: MadeWall) -> bool:
        sort = SORTS[line.named[0]]
        if sort and wall.sort != sort:
            return False
        return (line.places is None or self._is_at(wall, line.places)) and not self._is_at(wall, line.spared)

    def _is_at(self, wall: MadeWall, names: list[str]) -> bool:
        wanted = {self.plan.ref(name) if "." in name else name for name in names} | set(names)
        return wall.id in wanted or any(side in wanted or side.partition(".")[0] in wanted for side in wall.sides)

    def _lapsed(self, line: Line, spoken: list[MadeWall]) -> None:
        listed = ", ".join(wall.id for wall in spoken[:MOST_LISTED])
        message = (
            f"the line about {line.named[0]} has lapsed: it speaks of {line.count}, "
            f"{len(spoken)} are covered now{': ' + listed if listed else ''}"
        )
        missing = any(wall not in self.walls for wall in spoken)
        self._blank(line, message, "look again, and write the new count", missing)

    def _say_open(self, lines: list[Line], walls: list[MadeWall]) -> None:
        """Say of which walls no line about a sort speaks because nobody can tell their sort."""
        doubtful = [MadeWall(side, (side,)) for found in self._free() if not found.sure for side in found.sides]
        doubtful += [wall for wall in walls if wall.sort is None]
        spared = [name for line in lines for name in line.spared]
        sorted_lines = [line for line in lines if SORTS[line.named[0]]]
        open_ = [
            wall
            for wall in doubtful
            if sorted_lines
            and not self._is_at(wall, spared)
            and any(line.places is None or self._is_at(wall, line.places) for line in sorted_lines)
        ]
        undrawn = [name for name in self.plan.site.spaces if self.plan.room(name) is None]
        if not open_ and not undrawn:
            return
        whole = [wall for wall in open_ if wall in self.walls]
        rooms = {side.partition(".")[0] for wall in open_ for side in wall.sides} | set(undrawn)
        names = [wall.id for wall in open_] + [f"the walls of {name}" for name in undrawn]
        more = len(names) - MOST_LISTED
        listed = ", ".join(names[:MOST_LISTED]) + (f" and {more} more" if more > 0 else "")
        message = f"no line about all walls of a sort speaks of {listed}: {'; '.join(self._doubts(rooms, open_))}"
        do = "record that, or write these walls by name: {wall: room.wall, exterior: yes}, {id: W-1, sides: [...], exterior: no}"
        self._blank((sorted_lines or lines)[0], message, do, len(whole) < len(open_) or bool(undrawn))

    def _doubts(self, rooms: set[str], walls: list[MadeWall] | None = None, sure: bool = True) -> list[str]:
        """Why the plan does not tell, of the walls of some rooms; left out if not `sure`: of walls that are known."""
        found = [f"{room} has no outline that can be drawn" for room in sorted(rooms) if self.plan.room(room) is None]
        sides = {side for wall in walls for side in wall.sides} if walls is not None else None
        for one in self.found:
            asked = any(side in sides if sides is not None else side.partition(".")[0] in rooms for side in one.sides)
            found += one.doubts if asked and (sure or not one.sure) else ()
        return list(dict.fromkeys(found))

    def _blank(self, line: Line, message: str, do: str = "", opens: bool = True) -> None:
        """Say what a line could not tell; a list of walls that lacks them is not whole."""
        self.work.problems.append(Problem(self.work.read.place(line.at), message, do=do, warning=True))
        looked = self.work.data.get("looked")
        for said in looked if opens and isinstance(looked, list) else ():
            if isinstance(said, dict) and said.get("list") == WALLS and "whole" in said:
                said["whole"] = "no"
