"""What each rule in force says, as a short hash: the same for the same words, another when a verdict may turn.

A fingerprint is of the rule as it stands here (with what places made of it), and of the terms and tables whose names it
uses. Titles, remedies, notes and where a number was read are left out: they turn no verdict.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from oktocover.rules.adopted import Adopted
from oktocover.rules.layers import Thing

WORDS = ("title", "section", "remedy", "note", "basis", "close_with", "touches", "also")
"""Keys of a rule, of an item and of an exception that are only told."""
LENGTH = 10
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def fingerprints(adopted: Adopted) -> dict[str, str]:
    """Every rule in force by its name. A rule that stands in several variants has one of all its versions."""
    versions: dict[str, dict[str, None]] = {}
    for variant in adopted.variants:
        things = variant.rules.folded.things
        known = _Below(things)
        for name, thing in things["rules"].items():
            versions.setdefault(name, {})[known.said_by(thing)] = None
    return {name: _short(sorted(texts)) for name, texts in sorted(versions.items())}


def _short(texts: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()[:LENGTH]


class _Below:
    """The terms and tables a rule may use, by the last part of their address."""

    def __init__(self, things: Mapping[str, Mapping[str, Thing]]) -> None:
        self.by_name: dict[str, list[tuple[str, Thing]]] = {}
        for section in ("terms", "tables"):
            for address, thing in things[section].items():
                self.by_name.setdefault(address.partition(".")[2].replace("-", "_"), []).append((address, thing))
        self.texts: dict[str, tuple[str, frozenset[str]]] = {}

    def said_by(self, rule: Thing) -> str:
        """The rule's own text and that of everything it names, or that those name."""
        own = "\n".join(_text(_told_out(one.data)) for one in (rule, *rule.twins))
        found: dict[str, str] = {}
        waiting = [_names(own)]
        while waiting:
            for name in waiting.pop() & self.by_name.keys():
                for address, thing in self.by_name[name]:
                    if address not in found:
                        text, names = self._text_of(address, thing)
                        found[address] = text
                        waiting.append(set(names))
        return "\n".join([own, *(f"{address} {found[address]}" for address in sorted(found))])

    def _text_of(self, address: str, thing: Thing) -> tuple[str, frozenset[str]]:
        if address not in self.texts:
            text = _text(_told_out(thing.data))
            self.texts[address] = (text, frozenset(_names(text)))
        return self.texts[address]


def _names(text: str) -> set[str]:
    return {*_NAME.findall(text), *(word.replace("-", "_") for word in re.findall(r"[A-Za-z][A-Za-z0-9_-]*", text))}


def _text(data: Any) -> str:
    return json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"), default=str)


def _told_out(data: Any) -> Any:
    """A rule without what is only told: of itself, its items and its exceptions."""
    if not isinstance(data, dict):
        return data
    kept = {key: value for key, value in data.items() if key not in WORDS}
    for inside in ("items", "unless"):
        if isinstance(kept.get(inside), dict):
            kept[inside] = {name: _told_out(one) for name, one in kept[inside].items()}
    return kept


def changed_since(before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Rules that are not as they were, each with `changed`, `new` or `gone`, in the order of their names."""
    for name in sorted({*before, *now}):
        if before.get(name) != now.get(name):
            yield name, "new" if name not in before else "gone" if name not in now else "changed"
