"""Layers: a book's edition, a place, the job's own standard. One kind of file: named things, and changes to those below.

What a layer holds, as plain classes; read_layer.py reads one from its files, fold.py lays several on top of each other.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from oktocover.reading.nodes import Document
from oktocover.reading.problems import Place, Problem

Path = tuple[str | int, ...]
Says = Callable[[tuple[str | int, ...], str, str, str], Problem]
"""Makes a problem at a path inside something: path, message, what was expected, what to do."""
SECTIONS = ("rules", "terms", "tables", "kinds", "facts", "inspections")
LAYER_KEYS = (
    "book",
    "edition",
    "from",
    "short",
    "place",
    "in",
    "title",
    "usual",
    *SECTIONS,
    "changes",
    "adopts",
    "bounds",
    "stacking",
    "reach",
    "not checked here",
    "checked by",
    "note",
    "cautions",
)
VERBS = ("take", "strike", "set", "add")
SWITCH_KEYS = ("when", "limits", "from", "until", "by", "wakes", "status")
"""What an `adopts` entry and a change share: when they are in force."""
CHANGE_KEYS = (
    "cite",
    "passed",
    "source",
    "basis",
    "note",
    *SWITCH_KEYS,
    "with",
    "over",
    *VERBS,
    "stacking",
    "effect",
    "because",
    "meant",
    "cases",
)
AUTHORITY = ("cite", "passed", "source", "note", "cases")
"""Whose word something is, and what shows that it changes anything."""
ADOPT_KEYS = ("book", "as", *SWITCH_KEYS, "choice", "chosen", "only", "without", *AUTHORITY)
BOUND_KEYS = ("trade", "rules", "sections", "lower layers", *AUTHORITY)
REACH_KEYS = ("when", "limits", *AUTHORITY)
STACKING_KEYS = ("is", *AUTHORITY)
STACKING = ("later wins", "both apply")
USUAL_KEYS = ("trade", "stage", "severity", "basis", "needs")


@dataclass(slots=True)
class Thing:
    """A named thing of a layer: its data, and where it stands."""

    data: Any
    document: Document
    path: Path
    layer: str
    history: list[tuple[str, Change]] = field(default_factory=list)
    """(address inside the thing, change), in the order they were made."""
    marks: list[Mark] = field(default_factory=list)
    """Where the changes wrote, so that a mistake in a change is shown in the change."""
    edition: str = ""
    """The edition it comes from, where a place adopts only a part of that."""
    twins: tuple[Thing, ...] = ()
    """Other versions that hold as well: the worse verdict stands."""

    def problem(self, path: Path, message: str, expected: str = "", do: str = "") -> Problem:
        """A problem at a path inside this thing: in the last change that wrote there, else in its own file."""
        for mark in reversed(self.marks):
            inside = mark.covers(path)
            if inside is not None:
                return mark.change.problem((mark.verb, mark.address, *inside), message, expected, do)
        place = self.document.place((*self.path, *path))
        changes = dict.fromkeys(f"{mark.change.layer}: {mark.change.cite}" for mark in self.marks)
        note = f"changed here by {', '.join(changes)}" if changes else ""
        return Problem(place, message, expected, "; ".join(part for part in (do, note) if part))


@dataclass(slots=True)
class Change:
    """One change of a layer: its authority, and what it takes, strikes, sets and adds."""

    name: str
    cite: str
    layer: str
    place: bool
    data: Mapping[str, Any]
    document: Document
    path: Path
    made: dict[Any, tuple[Thing, Thing]] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What it made of what, so that every outcome of a place has one and the same thing."""

    @property
    def ordinance(self) -> str:
        """The ordinance that enacted it and its day, as written; empty where nothing is."""
        said = self.data.get("passed")
        return said.strip() if isinstance(said, str) else ""

    def problem(self, path: Path, message: str, expected: str = "", do: str = "") -> Problem:
        """A problem at a path inside this change."""
        return Problem(self.document.place((*self.path, *path)), message, expected, do)


@dataclass(slots=True)
class Mark:
    """What a change wrote inside a thing."""

    trail: Path
    verb: str
    address: str
    value: Any
    change: Change

    def covers(self, path: Path) -> Path | None:
        """The rest of a path below what was written, or None when it leads elsewhere."""
        if path[: len(self.trail)] != self.trail:
            return None
        rest = path[len(self.trail) :]
        if self.verb != "add":
            return rest
        data = self.value
        for step in rest:
            if not isinstance(data, dict) or step not in data:
                return None
            data = data[step]
        return rest if rest else None


@dataclass(frozen=True, slots=True)
class Bound:
    """What the layers below a place may not do."""

    name: str
    layer: str
    cite: str
    lower: str
    """`may not weaken` or `may not differ`."""
    trade: str
    rules: tuple[str, ...]
    sections: str
    """As in a strike: irc sections R602.3 to R602.11."""
    place: Place
    document: Document | None = None
    cases: Any = None


@dataclass(slots=True)
class Layer:
    """One book edition, place or job standard, gathered from its files."""

    name: str
    book: str = ""
    edition: str = ""
    before: str = ""
    """The layer it changes: a book edition."""
    short: str = ""
    inside: str = ""
    things: dict[str, dict[str, Thing]] = field(default_factory=lambda: {section: {} for section in SECTIONS})
    changes: dict[str, Change] = field(default_factory=dict)
    adopts: dict[str, dict[str, Any]] = field(default_factory=dict)
    adopts_in: dict[str, Document] = field(default_factory=dict)
    """The file in which each adoption stands."""
    bounds: dict[str, Bound] = field(default_factory=dict)
    stacking: str = ""
    """What holds where it changes a name that a place above it changed."""
    stacking_cases: tuple[Document, Any] | None = None
    """The cases that show it, with their file."""
    reach: dict[str, Any] | None = None
    """Where its word holds: the sites for which `when` is true. Left out: all that name it."""
    not_checked: dict[str, Any] = field(default_factory=dict)
    checked_by: dict[str, Any] = field(default_factory=dict)
    cautions: list[str] = field(default_factory=list)
    """What to know of it, printed with every check in which it is in force."""
    documents: list[Document] = field(default_factory=list)
    files: list[FilePath] = field(default_factory=list)

    def adoption_says(self, name: str) -> Says:
        """How a problem inside an adoption is told."""
        document = self.adopts_in[name]

        def says(path: Path, message: str, expected: str = "", do: str = "") -> Problem:
            return Problem(document.place(("adopts", name, *path)), message, expected, do)

        return says

    def reach_says(self, path: Path, message: str, expected: str = "", do: str = "") -> Problem:
        """How a problem inside its reach is told."""
        return Problem(self.documents[0].place(("reach", *path)), message, expected, do)

    @property
    def is_place(self) -> bool:
        """Whether this is a place or a job's standard, not a book."""
        return not self.book

    @property
    def prefix(self) -> str:
        """The first part of the names of its own rules."""
        return self.book or slug(self.name)

    @property
    def printed(self) -> str:
        """As it is cited: NEC 2020."""
        short = self.short or (self.book.upper() if self.book else self.name)
        return f"{short} {self.edition}".strip() if self.book and self.edition != "common" else short


def slug(name: str) -> str:
    """A place's name as the first part of a rule's name."""
    return "-".join("".join(ch if ch.isalnum() else " " for ch in name.lower()).split())


def alias(edition: str) -> str:
    """The first part of the names of terms and tables that only the rules of one edition see."""
    return edition.replace(".", "-")
