"""What each layer made of the rules: every value with its history, and the authority of each change."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from oktocover.rules import addresses
from oktocover.rules.fold import Edit
from oktocover.rules.layers import Change, Layer, Thing
from oktocover.rules.library import Adopted, Library

Trail = tuple[str, ...]
GROUPS = ("when", "limits", "unless", "items")
SCHEDULE = "rows"
ABSENT = object()


@dataclass(frozen=True, slots=True)
class Said:
    """What one layer says a value is."""

    value: str
    source: str
    """Book, edition and section, or the ordinance: IFGC 2021 406.4.2."""
    layer: str
    place: bool
    """Whether a place or a job says it, not a book."""


@dataclass(frozen=True, slots=True)
class Struck:
    """A rule, term or visit that a layer took out."""

    address: str
    title: str
    section: str
    effect: str
    source: str


class World:
    """The rules of one place, and what every layer on the way made of them."""

    def __init__(self, shelf: Library, adopted: Adopted, name: str = "") -> None:
        self.shelf = shelf
        self.adopted = adopted
        self.name = name or adopted.place.name
        self.folded = adopted.rules.folded
        self.things = self.folded.things
        self.layers = {layer.name: layer for layer in (*self.folded.layers, *adopted.chain)}

    @cached_property
    def edits(self) -> dict[tuple[str, str], list[Edit]]:
        """What the changes of all layers did to each thing, in order."""
        found: dict[tuple[str, str], list[Edit]] = {}
        for edit in self.folded.edits:
            found.setdefault((edit.section, edit.name), []).append(edit)
        return found

    def history(self, section: str, address: str, trail: Trail) -> tuple[Said, ...]:
        """Every value that a name inside a thing has had, the oldest first."""
        found: list[Said] = []
        before: Any = ABSENT
        for thing, edit in self._versions(section, address):
            data = spread(section, thing.data)
            value = value_at(data, trail)
            if value is not ABSENT and value != before:
                layer = edit.change.layer if edit is not None else thing.layer
                source = self.authority(edit.change) if edit is not None else self._stands(thing, data, trail)
                found.append(Said(spell(value), source, layer, self._is_place(layer)))
            before = value
        return tuple(found)

    def _versions(self, section: str, address: str) -> Iterator[tuple[Thing, Edit | None]]:
        edits = self.edits.get((section, address), [])
        if edits:
            yield edits[0].before, None
        elif address in self.things[section]:
            yield self.things[section][address], None
        for edit in edits:
            if edit.after is not None:
                yield edit.after, edit

    def _stands(self, thing: Thing, data: Any, trail: Trail) -> str:
        """Where a value stands that no change has touched: the book and section, or the change that added it all."""
        added = next((change for address, change in thing.history if not address), None)
        if added is not None and added.layer == thing.layer:
            return self.authority(added)
        layer = self.layers.get(thing.layer)
        printed = layer.printed if layer is not None else thing.layer
        return f"{printed} {section_of(data, trail)}".strip()

    def _is_place(self, layer: str) -> bool:
        found = self.layers.get(layer)
        return found.is_place if found is not None else False

    def source(self, section: str, address: str, trail: Trail = ()) -> str:
        """Where a name stands as it is now: the last layer that touched it."""
        history = self.history(section, address, trail)
        return history[-1].source if history else ""

    def authority(self, change: Change) -> str:
        """The authority of a change as it is cited: the section, and the ordinance that enacted it."""
        cite = change.cite + (f", {change.ordinance}" if change.ordinance else "")
        if not change.place or change.layer.casefold() in cite.casefold():
            return cite
        return f"{change.layer}: {cite}"

    def struck(self) -> Iterator[Struck]:
        """What the places and the job took out of their books, with the effect they say it has."""
        for edit in self.folded.edits:
            if edit.after is None and edit.change.place and edit.name not in self.things[edit.section]:
                data = edit.before.data if isinstance(edit.before.data, dict) else {}
                yield Struck(
                    edit.name,
                    str(data.get("title") or edit.name),
                    str(data.get("section") or ""),
                    edit.value if isinstance(edit.value, str) else "",
                    self.authority(edit.change),
                )

    def took_out(self, section: str, address: str, trail: Trail = ()) -> str:
        """The authority of the change that took a name out; nothing when no layer did."""
        for edit in reversed(self.edits.get((section, address), [])):
            before = value_at(spread(section, edit.before.data), trail)
            after = value_at(spread(section, edit.after.data), trail) if edit.after is not None else ABSENT
            if before is not ABSENT and after is ABSENT:
                effect = f"{edit.value}: " if edit.verb == "strike" and isinstance(edit.value, str) else ""
                return effect + self.authority(edit.change)
        return ""

    def places(self) -> list[Layer]:
        """The places and the job's standards among the layers, the outermost first."""
        return [layer for layer in self.folded.layers if layer.is_place]


def spread(section: str, data: Any) -> Any:
    """A thing with its short forms written out: each condition, exception and requirement under a name."""
    if section != "rules" or not isinstance(data, dict):
        return copy.deepcopy(data)
    return _node(data, whole=True)


def _node(data: Any, exception: bool = False, whole: bool = False) -> Any:
    if isinstance(data, str):
        data = {"when" if exception else "require": data}
    if not isinstance(data, dict):
        return data
    made = {key: copy.deepcopy(value) for key, value in data.items() if key not in ("when", "unless", "items")}
    if data.get("when") is not None:
        made["when"] = dict(data["when"]) if isinstance(data["when"], dict) else {"when": data["when"]}
    if data.get("unless") is not None:
        unless = data["unless"] if isinstance(data["unless"], dict) else {"unless": data["unless"]}
        made["unless"] = {name: _node(inner, exception=True) for name, inner in unless.items()}
    if isinstance(data.get("items"), dict):
        made["items"] = {name: _node(inner) for name, inner in data["items"].items()}
    if whole and "items" not in made:
        asked = {key: made.pop(key) for key in ("require", *addresses.RECORDS, "unless") if key in made}
        made["items"] = {"main": asked} if asked else {}
    return made


def value_at(data: Any, trail: Trail) -> Any:
    """What stands at a trail of keys, or ABSENT."""
    for key in trail:
        if not isinstance(data, dict) or key not in data:
            return ABSENT
        data = data[key]
    return data


def section_of(data: Any, trail: Trail) -> str:
    """The section of the innermost item or exception around a trail, else that of the whole thing."""
    found = str(data.get("section") or "") if isinstance(data, dict) else ""
    for count in range(1, len(trail)):
        inner = value_at(data, trail[:count])
        if isinstance(inner, dict) and trail[count - 2 : count - 1] != ("limits",) and inner.get("section"):
            found = str(inner["section"])
    return found


def spell(value: Any) -> str:
    """A value as text on one line: a list with commas, a schedule row by row."""
    if isinstance(value, dict) and SCHEDULE in value and "by" in value:
        by = value["by"]
        head = f"by {spell(by)}: "
        rows = _rows(value[SCHEDULE])
        outside = f"; outside: {spell(value['outside'])}" if value.get("outside") is not None else ""
        return head + "; ".join(rows) + outside
    if isinstance(value, dict):
        return "; ".join(f"{key}: {spell(inner)}" for key, inner in value.items())
    if isinstance(value, list):
        return ", ".join(spell(item) for item in value)
    return str(value).replace("\n", " ").strip()


def _rows(rows: Any, before: str = "") -> list[str]:
    if not isinstance(rows, dict):
        return [f"{before} {spell(rows)}".strip()]
    return [
        text
        for key, inner in rows.items()
        for text in _rows(inner, f"{before} / {key}".removeprefix(" / ") + ("" if isinstance(inner, dict) else ":"))
    ]


def limit_trails(data: Any, trail: Trail = ()) -> Iterator[Trail]:
    """The trail of every limit of a spread rule or term, however deep."""
    if not isinstance(data, dict):
        return
    limits = data.get("limits")
    for name in limits if isinstance(limits, dict) else ():
        yield (*trail, "limits", name)
    for group in ("items", "unless"):
        inner = data.get(group)
        for name, value in inner.items() if isinstance(inner, dict) else ():
            yield from limit_trails(value, (*trail, group, name))
