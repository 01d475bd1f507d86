"""Layers: files of named things and of changes to the layers below. Loading them, and folding them in order.

A book's edition, a place, the job's own standard: one kind of file, one algorithm. Folding never edits what it
folds, so that leaving a layer out gives the same rules as before it was written.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml_file
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.rules import addresses
from oktocover.rules.addresses import EFFECTS as EFFECTS
from oktocover.rules.addresses import Spot

Path = tuple[str | int, ...]
SECTIONS = ("rules", "terms", "tables", "facts", "inspections")
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
    "not checked here",
    "checked by",
    "note",
    "cautions",
)
CHANGE_KEYS = ("cite", "passed", "source", "basis", "note", "over", "take", "strike", "set", "add", "meant", "cases")
ADOPT_KEYS = ("book", "by", "note")
VERBS = ("take", "strike", "set", "add")
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
    adopts: dict[str, dict[str, str]] = field(default_factory=dict)
    adopted_at: dict[str, Place] = field(default_factory=dict)
    not_checked: dict[str, Any] = field(default_factory=dict)
    checked_by: dict[str, Any] = field(default_factory=dict)
    documents: list[Document] = field(default_factory=list)
    files: list[FilePath] = field(default_factory=list)

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


def read_layer(files: Iterable[FilePath], shown: Mapping[FilePath, str] | None = None) -> Layer:
    """Gather one layer from its files. All that is wrong with them comes in one InputProblems."""
    problems: list[Problem] = []
    layer: Layer | None = None
    for path in files:
        try:
            document = read_yaml_file(path, (shown or {}).get(path))
        except InputProblems as error:
            problems.extend(error.problems)
            continue
        layer = _gather(layer, document, path, problems)
    if problems:
        raise InputProblems(problems)
    if layer is None:
        raise InputProblems([Problem(None, "this layer has no files")])
    return layer


def _gather(layer: Layer | None, document: Document, path: FilePath, problems: list[Problem]) -> Layer | None:
    data = document.data
    if not isinstance(data, dict):
        problems.append(
            Problem(document.place(()), "a rule file is a mapping", 'book: nec, edition: "2020", rules: ...')
        )
        return layer
    for key in data:
        if key not in LAYER_KEYS:
            near = nearest(key, LAYER_KEYS)
            problems.append(
                Problem(
                    document.key_place((key,)),
                    f"'{key}' is not part of a rule file",
                    "one of: " + ", ".join(LAYER_KEYS),
                    f"did you mean '{near}'?" if near else "",
                )
            )
    head = _head(document, data, problems)
    if layer is None:
        layer = head
    elif (layer.book, layer.edition, layer.is_place) != (head.book, head.edition, head.is_place):
        problems.append(
            Problem(
                document.place(()),
                f"this file is of {head.name}, its neighbours are of {layer.name}",
                do="move it to the folder of its book and edition",
            )
        )
    layer.before = layer.before or head.before
    layer.short = layer.short or head.short
    layer.documents.append(document)
    layer.files.append(path)
    _things(layer, document, data, problems)
    _changes(layer, document, data, problems)
    _adoption(layer, document, data, problems)
    return layer


def _head(document: Document, data: Mapping[str, Any], problems: list[Problem]) -> Layer:
    book, edition, place = (_word(data.get(key)) for key in ("book", "edition", "place"))
    if book and not edition or not (book or place):
        problems.append(
            Problem(
                document.place(()),
                "a rule file says what it is of",
                'book: nec and edition: "2020", or place: Name of the town',
            )
        )
    before = _word(data.get("from"))
    if before and " " not in before:
        before = f"{book} {before}"
    return Layer(
        f"{book} {edition}" if book else place, book, edition, before, _word(data.get("short")), _word(data.get("in"))
    )


def _word(value: Any) -> str:
    return value.strip() if isinstance(value, str) else ""


def _named(document: Document, data: Mapping[str, Any], key: str, problems: list[Problem]) -> dict[str, Any]:
    found = data.get(key)
    if found is None:
        return {}
    if not isinstance(found, dict):
        problems.append(Problem(document.place((key,)), f"'{key}' is a mapping of names"))
        return {}
    return found


def _things(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    usual = _named(document, data, "usual", problems)
    for key in usual:
        if key not in USUAL_KEYS:
            problems.append(
                Problem(document.place(("usual", key)), f"'{key}' cannot be usual", "one of: " + ", ".join(USUAL_KEYS))
            )
    for section in SECTIONS:
        for name, thing in _named(document, data, section, problems).items():
            known = layer.things[section].get(name)
            if known is not None:
                problems.append(
                    Problem(
                        document.key_place((section, name)),
                        f"'{name}' stands twice in {layer.name}; the other is at {known.document.place(known.path)}",
                    )
                )
                continue
            if section == "rules" and isinstance(thing, dict):
                thing = {**usual, **thing}
            layer.things[section][name] = Thing(thing, document, (section, name), layer.name)


def _changes(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    for name, change in _named(document, data, "changes", problems).items():
        path: Path = ("changes", name)
        if not isinstance(change, dict):
            problems.append(
                Problem(document.place(path), f"the change '{name}' is a mapping: cite, and set, add, strike or take")
            )
            continue
        for key in change:
            if key not in CHANGE_KEYS:
                near = nearest(key, CHANGE_KEYS)
                problems.append(
                    Problem(
                        document.place((*path, key)),
                        f"'{key}' is not part of a change",
                        "one of: " + ", ".join(CHANGE_KEYS),
                        f"did you mean '{near}'?" if near else "",
                    )
                )
        if not _word(change.get("cite")):
            problems.append(
                Problem(
                    document.place(path),
                    f"the change '{name}' names no authority",
                    "cite: the section of the ordinance",
                )
            )
        if not any(change.get(verb) for verb in VERBS):
            problems.append(
                Problem(document.place(path), f"the change '{name}' changes nothing", "set, add, strike or take")
            )
        if name in layer.changes:
            problems.append(Problem(document.key_place(path), f"the change '{name}' stands twice in {layer.name}"))
        layer.changes[name] = Change(
            name, _word(change.get("cite")), layer.name, layer.is_place, change, document, path
        )


def _adoption(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    for name, entry in _named(document, data, "adopts", problems).items():
        if isinstance(entry, str):
            entry = {"book": entry}
        if not isinstance(entry, dict) or not _word(entry.get("book")):
            problems.append(
                Problem(document.place(("adopts", name)), f"'{name}' adopts no book", "wiring: {book: nec 2020}")
            )
            continue
        for key in entry:
            if key not in ADOPT_KEYS:
                problems.append(
                    Problem(
                        document.place(("adopts", name, key)),
                        f"'{key}' is not part of an adoption",
                        "one of: " + ", ".join(ADOPT_KEYS),
                    )
                )
        layer.adopts[name] = {key: _word(value) for key, value in entry.items()}
        layer.adopted_at[name] = document.place(("adopts", name))
    layer.not_checked.update(_named(document, data, "not checked here", problems))
    layer.checked_by.update(_named(document, data, "checked by", problems))


class Folded:
    """Books and places put on top of each other: every thing by its address, with its history."""

    def __init__(self) -> None:
        self.things: dict[str, dict[str, Thing]] = {section: {} for section in SECTIONS}
        """By section: book.name -> Thing."""
        self.layers: list[Layer] = []
        self.problems: list[Problem] = []
        self.struck: list[tuple[str, Change]] = []
        """Sections a change struck in which nothing stood, with the change."""

    def copy(self) -> Folded:
        """The same things, on which other layers can be laid."""
        made = Folded()
        made.things = {section: dict(things) for section, things in self.things.items()}
        made.layers, made.problems, made.struck = [*self.layers], [*self.problems], [*self.struck]
        return made

    def put(self, layer: Layer, edition: Callable[[str], Folded] | None = None) -> None:
        """Lay one layer on top: its own things, then take, strike, set, add, whatever the order of the file.

        `edition` gives another edition by name, for `take`.
        """
        self.layers.append(layer)
        for section in SECTIONS:
            for name, thing in layer.things[section].items():
                self._put_thing(section, f"{layer.prefix}.{name}", name, thing)
        touched: dict[tuple[str, str, Path], tuple[str, Change]] = {}
        for verb in VERBS:
            for change in _in_order(layer.changes):
                entries = change.data.get(verb)
                if not entries:
                    continue
                if not isinstance(entries, dict):
                    self.problems.append(change.problem((verb,), f"'{verb}' is a mapping of addresses"))
                    continue
                for address, value in entries.items():
                    self._apply(verb, address, value, change, touched, edition)

    def _put_thing(self, section: str, address: str, name: str, thing: Thing) -> None:
        kinds = ("rules", "terms", "tables") if section in ("rules", "terms", "tables") else (section,)
        below = next((self.things[kind][address] for kind in kinds if address in self.things[kind]), None)
        if below is not None:
            self.problems.append(
                thing.problem(
                    (),
                    f"'{name}' is already a name of {below.layer}; it stands at {below.document.place(below.path)}",
                    do="change it with set, or choose another name",
                )
            )
            return
        self.things[section][address] = Thing(thing.data, thing.document, thing.path, thing.layer)

    def _apply(
        self,
        verb: str,
        address: str,
        value: Any,
        change: Change,
        touched: dict[tuple[str, str, Path], tuple[str, Change]],
        edition: Callable[[str], Folded] | None,
    ) -> None:
        at: Path = (verb, address)
        if verb == "strike" and addresses.sections(address) is not None:
            self._strike_sections(address, value, change)
            return
        if verb == "add" and self._add_new(address, value, change):
            return
        found = self.find(address)
        if found is None:
            near = nearest(address, self.addresses())
            do = f"did you mean '{near}'?" if near else "see: oktocover rules"
            self.problems.append(change.problem(at, f"there is nothing called '{address}' to {verb}", do=do))
            return
        section, name, rest = found
        thing = self.things[section][name]
        fresh = Thing(
            copy.deepcopy(thing.data), thing.document, thing.path, thing.layer, [*thing.history], [*thing.marks]
        )
        spot = addresses.locate(fresh.data, rest) if rest else None
        trail = spot.trail if spot else ()
        if verb != "add" and not self._alone(touched, (section, name, trail), verb, address, change):
            return
        if verb == "take":
            message = self._take(section, name, rest, str(value), fresh, spot, edition)
        else:
            message = addresses.edit(fresh.data, spot, verb, value)
        if message:
            self.problems.append(change.problem(at, message))
            return
        fresh.history.append((".".join(part.removeprefix("[") for part in rest), change))
        if verb == "strike" and not rest:
            del self.things[section][name]
            return
        if verb == "set" and not rest:
            fresh.data = copy.deepcopy(value)
        if verb in ("set", "add"):
            fresh.marks.append(Mark(trail, verb, address, value, change))
        self.things[section][name] = fresh

    def _alone(
        self,
        touched: dict[tuple[str, str, Path], tuple[str, Change]],
        spot: tuple[str, str, Path],
        verb: str,
        address: str,
        change: Change,
    ) -> bool:
        """Whether no other change of the layer touched the name, or this one says that it stands over it."""
        before = touched.get(spot)
        if before is not None and change.data.get("over") != before[1].name:
            other = before[1]
            self.problems.append(
                change.problem(
                    (verb, address),
                    f"'{change.name}' and '{other.name}' both change '{address}'; "
                    f"the other stands at {other.document.place((*other.path, before[0]))}",
                    do=f"one change, or: over: {other.name}",
                )
            )
            return False
        touched[spot] = verb, change
        return True

    def _strike_sections(self, address: str, effect: Any, change: Change) -> None:
        """Strike every rule of a book whose section lies in some ranges. Nothing there is no mistake, but is told."""
        book, ranges = addresses.sections(address) or ("", None)
        if effect not in EFFECTS:
            message = f"a strike says its effect, not '{effect}': one of {', '.join(EFFECTS)}"
            self.problems.append(change.problem(("strike", address), message))
            return
        gone = [
            name
            for name, thing in self.things["rules"].items()
            if name.startswith(f"{book}.")
            and isinstance(thing.data, dict)
            and addresses.lies_in(str(thing.data.get("section", "")), ranges)
        ]
        for name in gone:
            del self.things["rules"][name]
        if not gone:
            self.struck.append((address, change))

    def _add_new(self, address: str, value: Any, change: Change) -> bool:
        """Add a whole new rule, term or table. The shape says which it is."""
        if address.count(".") != 1 or "[" in address or self.find(address) is not None or not isinstance(value, dict):
            return False
        section = (
            "tables" if "rows" in value and "keys" in value else "terms" if "is" in value and "of" in value else "rules"
        )
        path = (*change.path, "add", address)
        self.things[section][address] = Thing(copy.deepcopy(value), change.document, path, change.layer, [("", change)])
        return True

    def _take(
        self,
        section: str,
        name: str,
        rest: list[str],
        wanted: str,
        fresh: Thing,
        spot: Spot | None,
        edition: Callable[[str], Folded] | None,
    ) -> str:
        """Copy a thing, or a name inside it, as it stands in another edition; the reason when it cannot be."""
        try:
            folded = edition(wanted) if edition else None
        except InputProblems as error:
            return error.problems[0].message
        if folded is not None and folded.problems:
            return folded.problems[0].message
        other = folded.things[section].get(name) if folded is not None else None
        if other is None:
            return f"'{name}' does not stand in {wanted}"
        if spot is None:
            fresh.data, fresh.document, fresh.path, fresh.layer = other.data, other.document, other.path, other.layer
            return ""
        there = addresses.locate(other.data, rest)
        if there is None:
            return f"'{'.'.join(rest)}' does not stand in '{name}' of {wanted}"
        if isinstance(spot.container, list):
            return "an entry of a list is added or struck, not taken"
        if addresses.same(spot.value, there.value):
            return f"'{'.'.join(rest)}' is the same in {wanted}"
        spot.container[spot.key] = copy.deepcopy(there.value)
        return ""

    def addresses(self) -> list[str]:
        """Every address of a whole thing, and of the names inside rules."""
        found: list[str] = []
        for section in SECTIONS:
            for name, thing in self.things[section].items():
                found.append(name)
                found.extend(f"{name}.{inner}" for inner in addresses.names_inside(thing.data))
        return found

    def find(self, address: str) -> tuple[str, str, list[str]] | None:
        """(section, thing, names inside) for an address, or None when nothing has it."""
        parts = addresses.split(address)
        name, rest = ".".join(parts[:2]), parts[2:]
        for section in SECTIONS:
            thing = self.things[section].get(name)
            if thing is not None and (not rest or addresses.locate(thing.data, rest) is not None):
                return section, name, rest
        return None


def _in_order(changes: Mapping[str, Change]) -> list[Change]:
    """Changes in the order of the file; one that stands over another comes after it."""
    order: list[Change] = []
    waiting = list(changes.values())
    while waiting:
        ready = [one for one in waiting if one.data.get("over") not in {other.name for other in waiting}]
        order += ready or waiting
        waiting = [one for one in waiting if one not in order] if ready else []
    return order
