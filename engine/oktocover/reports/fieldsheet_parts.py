"""What a field sheet holds, as plain values: visits, rooms, stops, questions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Key = tuple[str, ...]
"""Where an answer goes: (list, id, fact), (described, system), (records, rule, element), (looked, list, room)."""
Form = Literal["length", "quantity", "yes or no", "word", "ids", "day", "moment", "text", "whole", "span"]
"""How an answer is given. `whole`: whether a list is whole, and how many there are; `span`: the least and the largest of
many readings."""
SAID = ("cannot reach", "not there", "looks wrong", "ask")
"""What may be said where no value can be."""


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that waits for an answer."""

    title: str
    citation: str
    needed: str = ""
    """What the section asks; shown only after the reading is written."""


@dataclass(frozen=True, slots=True)
class Question:
    """One blank."""

    id: str
    """A short name that survives edits elsewhere."""
    key: Key
    elements: tuple[str, ...]
    """The elements it is asked of: several where one answer may serve them all."""
    fact: str
    """The fact, in the words of the site file."""
    ask: str
    """What is asked, in plain words."""
    form: Form
    tool: str
    """What it is found out with."""
    precision: str = ""
    known: str = "looked"
    """How an answer is known."""
    of: str = ""
    """What it is asked of, where that is not the thing its stop is named for: the box of an outlet."""
    dimension: str = ""
    words: tuple[str, ...] = ()
    """The words it can be."""
    ids: tuple[str, ...] = ()
    """What it may name, for a reference."""
    several: bool = False
    """Whether the answer is a list."""
    why: tuple[Reason, ...] = ()
    written: str = ""
    """What stands in the site so far: a bound, or a value nobody has looked at."""
    was: str = ""
    """The reading that a new one takes the place of, where it is measured again."""
    earlier: str = ""
    """What somebody said instead of an answer before."""
    limit: str = ""
    """For a question about many: the bound that one block or stick decides, as a value of the fact."""
    go: str = ""
    """For such a question: what to carry, and what it has to do."""
    carry: str = ""
    """For such a question: the way of the look, in a few words."""
    again: bool = False
    """Whether it is measured for a second time, because the first reading is closer to the limit than a tape can tell."""
    count: int = 0
    """How many entries a list has now, for `whole`."""

    @property
    def many(self) -> bool:
        """Whether one answer may serve several elements."""
        return len(self.elements) > 1


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing to stand at, with all that is asked of it."""

    elements: tuple[str, ...]
    name: str
    where: str
    """Where it is in its room; empty where nobody has written it."""
    questions: tuple[Question, ...]
    before: tuple[str, ...] = ()
    """What has to be done, off or shut before the first blank."""


@dataclass(frozen=True, slots=True)
class Room:
    """The stops of one room, in walking order."""

    name: str
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class VisitPart:
    """What is asked for one visit."""

    name: str
    rooms: tuple[Room, ...]
    cautions: tuple[str, ...] = ()

    @property
    def questions(self) -> tuple[Question, ...]:
        """All blanks of the visit, in their order."""
        return tuple(one for room in self.rooms for stop in room.stops for one in stop.questions)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A field sheet."""

    site: str
    today: str
    in_force: tuple[str, ...]
    checked_by: str
    visits: tuple[VisitPart, ...]

    @property
    def questions(self) -> tuple[Question, ...]:
        """All blanks, in their order."""
        return tuple(one for visit in self.visits for one in visit.questions)
