"""Folding: layers laid on top of each other, from the books up to the job.

Folding never edits what it folds, so that leaving a layer out gives the same rules as before it was written.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from typing import Any

from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules import addresses, sections, verbs
from oktocover.rules.addresses import Spot
from oktocover.rules.layers import SECTIONS, VERBS, Change, Layer, Mark, Path, Thing


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
        if verb == "strike" and sections.listed(address) is not None:
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
            message = verbs.edit(fresh.data, spot, verb, value)
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
        book, ranges = sections.listed(address) or ("", None)
        if effect not in verbs.EFFECTS:
            message = f"a strike says its effect, not '{effect}': one of {', '.join(verbs.EFFECTS)}"
            self.problems.append(change.problem(("strike", address), message))
            return
        gone = [
            name
            for name, thing in self.things["rules"].items()
            if name.startswith(f"{book}.")
            and isinstance(thing.data, dict)
            and sections.lies_in(str(thing.data.get("section", "")), ranges)
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
        if verbs.same(spot.value, there.value):
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
