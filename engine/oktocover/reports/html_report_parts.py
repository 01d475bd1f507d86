"""What the report is made of, as plain values: everything that is printed of a finding, a place, a wall, a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["hurt", "likely", "blank", "note", "answered"]
"""How a mark looks: can hurt someone, correction likely, not recorded, worth knowing, answered in writing."""

KIND_WORDS: dict[str, str] = {
    "hurt": "can hurt someone",
    "likely": "correction likely",
    "blank": "not recorded",
    "note": "worth knowing",
    "answered": "answered in writing",
}


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a mark stands on the plan: on a wall `along` from its left end (nm), or in a room (`wall` empty)."""

    room: str
    wall: str = ""
    along: int | None = None

    @property
    def ref(self) -> str:
        """The wall as the site file writes it."""
        return f"{self.room}.{self.wall}" if self.wall else ""


@dataclass(frozen=True, slots=True)
class Place:
    """One place that an entry is about."""

    element: str
    words: str
    room: str
    line: str
    """Where it is written: site.yaml:74."""
    spot: Spot | None
    sheet: str = ""
    """Anchor of the calculation behind it."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Measured beside needed."""

    item: str
    measured: str
    needed: str
    margin: str


@dataclass(frozen=True, slots=True)
class Told:
    """One numbered entry: a cause with its places, or a fact that nobody has recorded with what waits for it."""

    number: int
    kind: Kind
    title: str
    visit: str
    trades: tuple[str, ...]
    places: tuple[Place, ...]
    about_hazard: bool = False
    """For what is not recorded: it decides something that can hurt someone."""
    again: bool = False
    """Closer to the limit than a tape can tell."""
    figures: tuple[Figures, ...] = ()
    known: str = ""
    missing: tuple[str, ...] = ()
    settles: tuple[str, ...] = ()
    """For what is not recorded: the titles that wait for it."""
    citation: str = ""
    amended: tuple[str, ...] = ()
    note: str = ""
    alternate: str = ""
    remedy: str = ""
    close_with: tuple[str, ...] = ()
    touches: tuple[str, ...] = ()
    rule: str = ""
    identities: tuple[str, ...] = ()
    """Of the findings that it stands for."""

    @property
    def anchor(self) -> str:
        """Its name in the page."""
        return f"f-{self.number}"

    @property
    def rooms(self) -> tuple[str, ...]:
        """The rooms it is in, each once."""
        return tuple(dict.fromkeys(place.room for place in self.places if place.room))

    @property
    def kind_words(self) -> str:
        """What its mark means."""
        return KIND_WORDS[self.kind]


@dataclass(frozen=True, slots=True)
class VisitPart:
    """The entries of one visit."""

    name: str
    anchor: str
    state: str
    entries: tuple[Told, ...]
    settled: int
    """Not recorded, but no answer can turn it: counted only."""
    met: int


@dataclass(frozen=True, slots=True)
class Question:
    """One question of one stop of the walk."""

    number: int | None
    kind: str
    title: str
    figures: tuple[Figures, ...]
    said: str
    """The verdict in words."""
    visit: str = ""
    """The visit it belongs to, when that is another one."""
    more: int = 0
    """Comparisons that its finding tells and the walk does not."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing to stand before: one hole, one box, one terminal, with all of its questions."""

    name: str
    words: str
    questions: tuple[Question, ...]
    meets: tuple[str, ...]
    """Titles of what meets, as written, each with how it is known."""
    word: str = ""
    """Which of its facts stand on whose word, and which are only typical or told."""


@dataclass(frozen=True, slots=True)
class WalkWall:
    """One wall of the walk, or what stands in the room away from walls."""

    title: str
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class WalkRoom:
    """One room of the walk."""

    title: str
    walls: tuple[WalkWall, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture, as SVG of our own making, with what had no place in it."""

    title: str
    anchor: str
    svg: str
    notes: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()
