"""Layers: files of named things and of changes to the layers below. Loading them, and folding them in order.

A book's edition, a place, the job's own standard: one kind of file, one algorithm. Folding never edits what it
folds, so that leaving a layer out gives the same rules as before it was written.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml_file
from oktocover.reading.problems import InputProblems, Problem

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
CHANGE_KEYS = ("cite", "passed", "source", "basis", "note", "take", "strike", "set", "add", "meant", "cases")
ADOPT_KEYS = ("book", "by", "note")
VERBS = ("take", "strike", "set", "add")
EFFECTS = ("duty gone", "ban gone", "permission gone", "condition gone", "moved")
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

    def problem(self, path: Path, message: str, expected: str = "", do: str = "") -> Problem:
        """A problem at a path inside this thing."""
        return Problem(self.document.place((*self.path, *path)), message, expected, do)


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
    layer.not_checked.update(_named(document, data, "not checked here", problems))
    layer.checked_by.update(_named(document, data, "checked by", problems))


class Folded:
    """Books and places put on top of each other: every thing by its address, with its history."""

    def __init__(self) -> None:
        self.things: dict[str, dict[str, Thing]] = {section: {} for section in SECTIONS}
        """By section: book.name -> Thing."""
        self.layers: list[Layer] = []
        self.problems: list[Problem] = []

    def put(self, layer: Layer, editions: Mapping[str, Folded] | None = None) -> None:
        """Lay one layer on top: its own things, then take, strike, set, add, whatever the order of the file."""
        self.layers.append(layer)
        for section in SECTIONS:
            for name, thing in layer.things[section].items():
                address = f"{layer.prefix}.{name}"
                if address in self.things[section]:
                    below = self.things[section][address]
                    self.problems.append(
                        thing.problem(
                            (),
                            f"'{name}' is already a name of {below.layer}",
                            do="change it with set, or choose another name",
                        )
                    )
                    continue
                self.things[section][address] = Thing(thing.data, thing.document, thing.path, thing.layer)
        for verb in VERBS:
            for change in layer.changes.values():
                entries = change.data.get(verb)
                if not entries:
                    continue
                if not isinstance(entries, dict):
                    self.problems.append(change.problem((verb,), f"'{verb}' is a mapping of addresses"))
                    continue
                for address, value in entries.items():
                    self._apply(verb, address, value, change, layer, editions or {})

    def _apply(
        self, verb: str, address: str, value: Any, change: Change, layer: Layer, editions: Mapping[str, Folded]
    ) -> None:
        at: Path = (verb, address)
        if verb == "add" and self._add_new(address, value, change, layer):
            return
        found = self.find(address)
        if found is None:
            near = nearest(address, self.addresses())
            self.problems.append(
                change.problem(
                    at,
                    f"there is nothing called '{address}' to {verb}",
                    do=f"did you mean '{near}'?" if near else "see: oktocover rules",
                )
            )
            return
        section, name, rest = found
        thing = self.things[section][name]
        if verb == "take":
            self._take(section, name, value, change, at, editions)
            return
        fresh = Thing(copy.deepcopy(thing.data), thing.document, thing.path, thing.layer, [*thing.history])
        message = _edit(fresh.data, rest, verb, value)
        if message:
            self.problems.append(change.problem(at, message))
            return
        fresh.history.append((".".join(rest), change))
        if not rest and verb == "strike":
            del self.things[section][name]
            return
        if not rest and verb == "set":
            fresh.data = copy.deepcopy(value)
        self.things[section][name] = fresh

    def _add_new(self, address: str, value: Any, change: Change, layer: Layer) -> bool:
        """Add a whole new rule, term or table. The shape says which it is."""
        if address.count(".") != 1 or self.find(address) is not None or not isinstance(value, dict):
            return False
        section = (
            "tables" if "rows" in value and "keys" in value else "terms" if "is" in value and "of" in value else "rules"
        )
        self.things[section][address] = Thing(
            copy.deepcopy(value), change.document, (*change.path, "add", address), layer.name, [("", change)]
        )
        return True

    def _take(
        self, section: str, name: str, edition: Any, change: Change, at: Path, editions: Mapping[str, Folded]
    ) -> None:
        other = editions.get(str(edition))
        thing = other.things[section].get(name) if other else None
        if thing is None:
            self.problems.append(change.problem(at, f"'{name}' does not stand in {edition}"))
            return
        self.things[section][name] = Thing(
            thing.data, thing.document, thing.path, thing.layer, [*thing.history, ("", change)]
        )

    def addresses(self) -> list[str]:
        """Every address of a whole thing, and of the names inside rules."""
        found: list[str] = []
        for section in SECTIONS:
            for name, thing in self.things[section].items():
                found.append(name)
                found.extend(f"{name}.{inner}" for inner in _names_inside(thing.data))
        return found

    def find(self, address: str) -> tuple[str, str, list[str]] | None:
        """(section, thing, names inside) for an address, or None when nothing has it."""
        parts = address.split(".")
        for section in SECTIONS:
            name = ".".join(parts[:2])
            thing = self.things[section].get(name)
            if thing is None:
                continue
            rest = parts[2:]
            if not rest or _locate(thing.data, rest) is not None:
                return section, name, rest
        return None


NAMED = ("items", "limits", "unless", "when", "rows", "keys")
FIELDS = (
    "when",
    "require",
    "join",
    "section",
    "severity",
    "stage",
    "remedy",
    "title",
    "is",
    "outside",
    "trade",
    "needs",
    "close_with",
    "look",
    "document",
    "approval",
    "maker",
    "test",
    "each",
    "basis",
    "note",
)


def _names_inside(data: Any) -> list[str]:
    """The names an amendment may grip inside a rule, term or table."""
    found: list[str] = []
    if isinstance(data, dict):
        for group in ("items", "limits", "unless", "when"):
            inner = data.get(group)
            if isinstance(inner, dict):
                for name, value in inner.items():
                    found.append(name)
                    found.extend(_names_inside(value))
    return found


def _locate(data: Any, names: list[str]) -> tuple[dict[str, Any] | list[Any], str] | None:
    """(container, key) of the thing that a chain of names means inside `data`."""
    if not isinstance(data, dict):
        return None
    first, rest = names[0], names[1:]
    for group in NAMED:
        inner = data.get(group)
        if isinstance(inner, dict) and first in inner:
            return _below(inner, first, rest)
    if first in data and first in FIELDS:
        return (data, first) if not rest else None
    if first == "main":
        return _below({"main": data}, "main", rest) if rest else (data, "require")
    for group in ("items", "unless"):
        inner = data.get(group)
        if isinstance(inner, dict):
            for value in inner.values():
                deeper = _locate(value, names)
                if deeper is not None:
                    return deeper
    return None


def _below(container: dict[str, Any], key: str, rest: list[str]) -> tuple[dict[str, Any] | list[Any], str] | None:
    if not rest:
        return container, key
    value = container[key]
    if isinstance(value, list) and len(rest) == 1:
        return (value, rest[0]) if rest[0] in value else None
    if isinstance(value, str):
        return (container, key) if rest == ["require"] else None
    return _locate(value, rest)


def _edit(data: Any, rest: list[str], verb: str, value: Any) -> str:
    """Carry out one verb in place; the reason when it cannot be."""
    if not rest:
        if verb == "add":
            return _merge(data, value)
        if verb == "strike" and value not in EFFECTS:
            return f"a strike says its effect, not '{value}': one of {', '.join(EFFECTS)}"
        return ""
    found = _locate(data, rest)
    if found is None:
        return f"there is nothing called '{'.'.join(rest)}' here"
    container, key = found
    if verb == "strike":
        if value not in EFFECTS:
            return f"a strike says its effect, not '{value}': one of {', '.join(EFFECTS)}"
        if isinstance(container, list):
            container.remove(key)
        else:
            del container[key]
        return ""
    if isinstance(container, list):
        return "an entry of a list is added or struck, not set"
    if verb == "set":
        if container.get(key) == value:
            return f"this sets '{'.'.join(rest)}' to what it is already"
        container[key] = copy.deepcopy(value)
        return ""
    return _add_into(container, key, value)


def _add_into(container: dict[str, Any], key: str, value: Any) -> str:
    target = container[key]
    if isinstance(target, list):
        more = value if isinstance(value, list) else [value]
        if any(item in target for item in more):
            return f"'{value}' is in the list already"
        target.extend(copy.deepcopy(more))
        return ""
    if isinstance(target, str):
        target = container[key] = {"require": target}
    return _merge(target, value)


def _merge(target: Any, value: Any) -> str:
    """Put new names into a thing, in the shape the thing itself has; what is there already is not touched."""
    if not isinstance(target, dict) or not isinstance(value, dict):
        return "only names can be added to a rule: items, limits, unless, when"
    if "require" in target and "items" in value:
        target["items"] = {"main": target.pop("require")}
    if isinstance(target.get("when"), str) and isinstance(value.get("when"), dict):
        target["when"] = {"when": target["when"]}
    for key, new in value.items():
        if key not in target:
            target[key] = copy.deepcopy(new)
        elif isinstance(target[key], dict) and isinstance(new, dict):
            message = _merge(target[key], new)
            if message:
                return message
        elif isinstance(target[key], list) and isinstance(new, list):
            target[key] = [*target[key], *copy.deepcopy(new)]
        else:
            return f"'{key}' is there already; set changes it"
    return ""
