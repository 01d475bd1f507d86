"""The changes of one layer, carried out on what lies below it."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems
from oktocover.rules import addresses, sections, verbs
from oktocover.rules.addresses import Spot
from oktocover.rules.fold import Edit, Elsewhere, Folded
from oktocover.rules.layers import SECTIONS, Change, Layer, Mark, Path, Thing
from oktocover.rules.looked_for import looked_for
from oktocover.rules.visits import is_inspection, normal

Found = tuple[str, str, list[str]]
"""Section, thing, and the names inside it."""


@dataclass(slots=True)
class Amending:
    """One layer at work. Nothing it meets is edited: a changed thing is a new one."""

    on: Folded
    layer: Layer
    edition: Callable[[str], Folded] | None = None
    elsewhere: Elsewhere | None = None
    touched: dict[tuple[str, str, Path], tuple[str, Change]] = field(default_factory=dict)

    def apply(self, verb: str, address: str, value: Any, change: Change) -> None:
        """Carry out one line of a change."""
        if verb in ("strike", "add") and sections.listed(address) is not None:
            self._in_sections(verb, address, value, change)
            return
        if verb == "add" and self._add_new(address, value, change):
            return
        found = self.on.find(address)
        if found is None and verb == "take" and self._take_new(address, str(value), change):
            return
        if found is None:
            self._not_there(verb, address, change)
            return
        section, name, rest = found
        spot = addresses.locate(self.on.things[section][name].data, rest) if rest else None
        self._edit(verb, address, value, change, found, spot)

    def _edit(self, verb: str, address: str, value: Any, change: Change, found: Found, spot: Spot | None) -> None:
        section, name, rest = found
        thing = self.on.things[section][name]
        trail = spot.trail if spot else ()
        # An entry of a list is known by its word: its place moves when another is struck.
        own = (*trail[:-1], str(spot.key)) if spot is not None and spot.group == "list" else trail
        if verb != "add" and not self._alone((section, name, own), verb, address, change):
            return
        stacking = self._stacking(verb, found, spot, address, change)
        if stacking is None:
            return
        if stacking == "both apply" and verb == "strike" and not rest:
            return
        key = (verb, address, name, stacking, id(thing))
        if key not in change.made:
            fresh, message = self._changed(thing, verb, value, change, found, address)
            if message:
                self.on.problems.append(change.problem((verb, address), message))
                return
            twins = [self._changed(twin, verb, value, change, found, address)[0] for twin in thing.twins]
            if stacking == "both apply":
                twins += [replace(thing, twins=()), *thing.twins]
            fresh.twins = tuple(twins)
            change.made[key] = (thing, fresh)
        fresh = change.made[key][1]
        gone = verb == "strike" and not rest
        self.on.edits.append(Edit(change, verb, address, value, section, name, spot, thing, None if gone else fresh))
        if gone:
            del self.on.things[section][name]
        else:
            self.on.things[section][name] = fresh

    def _changed(
        self, thing: Thing, verb: str, value: Any, change: Change, found: Found, address: str
    ) -> tuple[Thing, str]:
        """The thing with one line of a change carried out, and why that cannot be (then it is as it was)."""
        section, name, rest = found
        fresh = Thing(
            copy.deepcopy(thing.data),
            thing.document,
            thing.path,
            thing.layer,
            [*thing.history],
            [*thing.marks],
            thing.edition,
        )
        spot = addresses.locate(fresh.data, rest) if rest else None
        if rest and spot is None:
            return fresh, f"'{address}' does not stand in every version of '{name}'"
        if verb == "take":
            message = self._take(section, name, rest, str(value), fresh, spot)
        else:
            message = verbs.edit(fresh.data, spot, verb, value)
        if message:
            return thing, message
        fresh.history.append((".".join(part.removeprefix("[") for part in rest), change))
        if verb == "set" and not rest:
            fresh.data = copy.deepcopy(value)
        if verb in ("set", "add"):
            fresh.marks.append(Mark(spot.trail if spot else (), verb, address, value, change))
        return fresh, ""

    def _not_there(self, verb: str, address: str, change: Change) -> None:
        """A target that is missing: struck by somebody, not in force, or an error with the nearest."""
        striker = self._striker(address)
        if striker is not None:
            other = striker.change
            place = other.document.place((*other.path, "strike", striker.address))
            message = f"'{address}' was struck by '{other.name}' of {other.layer}; that stands at {place}"
            do = "take one of the two out" if other.layer == self.layer.name else "add it again, or take this out"
            self.on.problems.append(change.problem((verb, address), message, do=do))
            return
        if self.elsewhere is not None and self.elsewhere(address):
            self.on.idle.append((address, change))
            return
        message = f"there is nothing called '{address}' to {verb}"
        self.on.problems.append(change.problem((verb, address), message, *looked_for(self.on, address)))

    def _striker(self, address: str) -> Edit | None:
        """The strike that took out a name, or what it stood in."""
        parts = addresses.split(address)
        name, rest = ".".join(parts[:2]), parts[2:]
        for edit in reversed(self.on.edits):
            if edit.verb != "strike" or edit.name != name:
                continue
            spot = addresses.locate(edit.before.data, rest) if rest else None
            if edit.spot is None or (spot is not None and edit.touches(spot.trail)):
                return edit
        return None

    def _alone(self, spot: tuple[str, str, Path], verb: str, address: str, change: Change) -> bool:
        """Whether no other change of the layer touched the name, or this one says that it stands over it."""
        before = self.touched.get(spot)
        if before is not None and change.data.get("over") != before[1].name:
            other = before[1]
            self.on.problems.append(
                change.problem(
                    (verb, address),
                    f"'{change.name}' and '{other.name}' both change '{address}'; "
                    f"the other stands at {other.document.place((*other.path, before[0]))}",
                    do=f"one change, or: over: {other.name}",
                )
            )
            return False
        self.touched[spot] = verb, change
        return True

    def _stacking(self, verb: str, found: Found, spot: Spot | None, address: str, change: Change) -> str | None:
        """What is said of a name that a place above changed too; None (and a problem) when nothing is said."""
        if not change.place:
            return "later wins"
        section, name, _ = found
        trail = spot.trail if spot is not None else ()
        if verb == "add" and not (spot is not None and isinstance(spot.value, list)):
            return "later wins"
        above = next(
            (
                edit
                for edit in reversed(self.on.edits)
                if edit.change.place
                and edit.change.layer != change.layer
                and (edit.section, edit.name) == (section, name)
                and edit.touches(trail)
            ),
            None,
        )
        if above is None:
            return "later wins"
        stacking = str(change.data.get("stacking") or self.layer.stacking)
        other = above.change
        place = other.document.place((*other.path, above.verb, above.address))
        if not stacking:
            self.on.problems.append(
                change.problem(
                    (verb, address),
                    f"'{address}' is also changed by {other.layer} ('{other.name}', {other.cite}); that stands at {place}",
                    "stacking: later wins, or stacking: both apply (the worse verdict stands)",
                    "write what your ordinance says of it, in this change or at the head of the file",
                )
            )
            return None
        if stacking == "both apply" and section != "rules":
            message = f"'{address}' is shared by rules, and {other.layer} changed it too; that stands at {place}"
            do = "write stacking: later wins, or change the rules that use it"
            self.on.problems.append(change.problem((verb, address), message, do=do))
            return None
        return stacking

    def _in_sections(self, verb: str, address: str, value: Any, change: Change) -> None:
        """Strike, or add to, every rule and every item whose section lies in some ranges.

        Nothing there is no mistake of a strike, but is told; to add to nothing is one.
        """
        book, ranges = sections.listed(address) or ("", None)
        if verb == "strike" and str(value) not in verbs.EFFECTS:
            self.on.problems.append(change.problem((verb, address), verbs.no_effect(value)))
            return
        own = [name for name in self.on.things["rules"] if name.startswith(f"{book}.")]
        if not own and not any(layer.book == book for layer in self.on.layers):
            self._no_such_book(verb, book, address, change)
            return
        there: list[Found] = []
        for name in own:
            data = self.on.things["rules"][name].data
            if not isinstance(data, dict):
                continue
            if sections.lies_in(str(data.get("section", "")), ranges):
                there.append(("rules", name, []))
                continue
            items = data["items"] if isinstance(data.get("items"), dict) else {}
            inside = [
                key
                for key, item in items.items()
                if isinstance(item, dict) and item.get("section") and sections.lies_in(str(item["section"]), ranges)
            ]
            whole = len(inside) == len(items)
            there += [("rules", name, [])] if items and whole else [("rules", name, [key]) for key in inside]
        for found in there:
            _, name, rest = found
            spot = addresses.locate(self.on.things["rules"][name].data, rest) if rest else None
            self._edit(verb, address, value, change, found, spot)
        if not there and verb == "strike":
            self.on.struck.append((address, change))
        elif not there:
            message = f"no rule here stands in {address.removeprefix(book).strip()}"
            self.on.problems.append(
                change.problem((verb, address), message, do="name the rule itself, or write a new one")
            )

    def _no_such_book(self, verb: str, book: str, address: str, change: Change) -> None:
        if self.elsewhere is not None and self.elsewhere(f"{book}."):
            self.on.idle.append((address, change))
            return
        books = list(dict.fromkeys(layer.book for layer in self.on.layers if layer.book))
        near = nearest(book, books)
        message = f"no book '{book}' is adopted here"
        do = f"did you mean '{near}'?" if near else ""
        self.on.problems.append(change.problem((verb, address), message, "one of: " + ", ".join(books), do))

    def _add_new(self, address: str, value: Any, change: Change) -> bool:
        """Add a whole new rule, term, table or inspection. The shape says which it is."""
        on = self.on
        if address.count(".") != 1 or "[" in address or on.find(address) is not None or not isinstance(value, dict):
            return False
        section = (
            "tables" if "rows" in value and "keys" in value else "terms" if "is" in value and "of" in value else "rules"
        )
        if is_inspection(value):
            section, value = "inspections", normal(value)
        if section == "rules" and not {"each", "title", "section"} & set(value):
            return False
        path = (*change.path, "add", address)
        if address not in change.made:
            made = Thing(copy.deepcopy(value), change.document, path, change.layer, [("", change)])
            change.made[address] = (made, made)
        on.things[section][address] = change.made[address][1]
        return True

    def _take_new(self, address: str, wanted: str, change: Change) -> bool:
        """Take a name that is not here from where it stands in another edition: it goes to the same place.

        False when that edition has it neither, or when what it stood in is not here. Idle when its book is not in force.
        """
        parts = addresses.split(address)
        name, rest = ".".join(parts[:2]), parts[2:]
        if all(layer.book != parts[0] for layer in self.on.layers):
            idle = self.elsewhere is not None and self.elsewhere(f"{parts[0]}.")
            self.on.idle += [(address, change)] if idle else []
            return idle
        try:
            other = self.edition(wanted) if self.edition else None
        except InputProblems:
            return False
        section = next((one for one in SECTIONS if other is not None and name in other.things[one]), "")
        if other is None or not section:
            return False
        if not rest:
            self.on.things[section][name] = replace(other.things[section][name], history=[("", change)])
            return True
        here, there = self.on.things[section].get(name), addresses.locate(other.things[section][name].data, rest)
        if here is None or there is None or there.group in ("", "list"):
            return False
        parent = addresses.locate(here.data, rest[:-1]) if rest[:-1] else None
        if rest[:-1] and parent is None:
            return False
        value = {there.group: {there.key: copy.deepcopy(there.value)}}
        self._edit("add", address, value, change, (section, name, rest[:-1]), parent)
        return True

    def _take(self, section: str, name: str, rest: list[str], wanted: str, fresh: Thing, spot: Spot | None) -> str:
        """Copy a thing, or a name inside it, as it stands in another edition; the reason when it cannot be."""
        try:
            folded = self.edition(wanted) if self.edition else None
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
