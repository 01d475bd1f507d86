"""Which changes of places stand behind a verdict: those of names that it used, in its rule and in what rules share."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from oktocover.rules.fold import Folded
from oktocover.rules.form import Node, Rule
from oktocover.rules.layers import Change

FIELDS = ("require", "when", "severity", "stage", "remedy", "join")
SHARED = ("terms", "tables")
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


@dataclass(slots=True)
class Amended:
    """The changes of places in some folded layers, asked by what was judged."""

    folded: Folded
    _shared: dict[str, tuple[Change, ...]] | None = None
    _named: dict[str, list[str]] = field(default_factory=dict)

    def behind(self, rule: Rule, item: Node) -> tuple[str, ...]:
        """Whose word the verdict on an item of a rule rests on, besides the book's: place and citation, each once."""
        changes = [*_of_rule(rule, item), *self._of_shared(rule, item)]
        return tuple(dict.fromkeys(f"{change.layer}: {change.cite}" for change in changes))

    def _of_shared(self, rule: Rule, item: Node) -> Iterator[Change]:
        shared = self._changed()
        if shared:
            words = {word for text in _texts(rule, item) for word in _NAME.findall(text)}
            for name in sorted(words & set(self._named)):
                yield from shared.get(self._address(name, rule.book), ())

    def _address(self, name: str, book: str) -> str:
        """A term or table by its short name: of the rule's own book, else of any."""
        found = self._named[name]
        return f"{book}.{name}" if f"{book}.{name}" in found else found[0]

    def _changed(self) -> dict[str, tuple[Change, ...]]:
        """Terms and tables that a place changed, or that use one that it changed, with the changes."""
        if self._shared is not None:
            return self._shared
        things = {address: thing for kind in SHARED for address, thing in self.folded.things[kind].items()}
        for address in things:
            self._named.setdefault(address.partition(".")[2], []).append(address)
        own = {
            address: dict.fromkeys(id(change) for _, change in thing.history if change.place)
            for address, thing in things.items()
        }
        changes = {id(change): change for thing in things.values() for _, change in thing.history}
        while any(own.values()):
            before = sum(map(len, own.values()))
            for address, thing in things.items():
                for name in set(_NAME.findall(str(thing.data))) & set(self._named):
                    own[address].update(own[self._address(name, address.partition(".")[0])])
            if sum(map(len, own.values())) == before:
                break
        self._shared = {address: tuple(changes[one] for one in found) for address, found in own.items() if found}
        return self._shared


def _of_rule(rule: Rule, item: Node) -> Iterator[Change]:
    names = {"", "main", item.name, *(node.name for node in item.walk()), *item.when, *rule.body.when}
    names |= {name for node in item.walk() for name in node.limits} | set(rule.body.limits)
    for address, change in rule.history:
        parts = address.split(".")
        whose = parts[:-1] if parts[-1] in FIELDS else parts
        if change.place and (not whose or not names.isdisjoint(whose)):
            yield change


def _texts(rule: Rule, item: Node) -> Iterator[str]:
    """Every expression an item of a rule is judged by, and its limits as they are written."""
    for node in (rule.body, *item.walk()):
        yield from (one.text for one in node.when.values())
        yield from (limit.text for limit in node.limits.values())
        if node.require is not None:
            yield node.require.text
