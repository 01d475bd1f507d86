"""Addresses of names inside rules, terms and tables.

`book.rule.name`, `book.rule.item.when`, `book.rule.when.name`, `book.rule.main`, `book.rule.list.entry`,
`book.table[row, column]`: everything is found by its name, nothing by its position.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

VISIT_LISTS = ("after", "state", "who", "witness", "instruments", "instead", "papers", "systems", "sees")
"""The lists of an inspection, each of names and texts."""
NAMED = ("items", "limits", "unless", "when", "rows", "keys", *VISIT_LISTS)
RECORDS = ("look", "document", "approval", "maker", "test")
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
    "touches",
    "each",
    "basis",
    "note",
    "unless",
    *RECORDS,
)
VISIT_FIELDS = ("covers", "notice", "counted", "answer_within", "only_if", *VISIT_LISTS)
_BRACKETS = re.compile(r"^([^\[\]]*)\[([^\[\]]+)\]$")


@dataclass(slots=True)
class Spot:
    """Where a name stands: its container, its key there, the keys that lead to it, and the group it belongs to."""

    container: Any
    key: Any
    trail: tuple[str | int, ...]
    group: str = ""

    @property
    def value(self) -> Any:
        """What stands there; an entry of a list is itself."""
        return self.key if isinstance(self.container, list) else self.container.get(self.key)


def split(address: str) -> list[str]:
    """An address as its names; what stands in brackets follows as names that begin with `[`."""
    parts: list[str] = []
    for part in re.split(r"\.(?![^\[]*\])", address.strip()):
        found = _BRACKETS.match(part)
        if found is None:
            parts.append(part)
            continue
        parts.append(found[1])
        # A comma followed by a blank parts two keys: figures such as 10,000 stay whole.
        parts.extend("[" + key.strip().strip("'\"") for key in re.split(r",\s+", found[2]))
    return parts


def locate(data: Any, names: list[str], trail: tuple[str | int, ...] = (), inner: bool = False) -> Spot | None:
    """The spot that a chain of names means inside `data`, or None. `inner`: only names, no fields, are looked for."""
    if not isinstance(data, dict) or not names:
        return None
    first, rest = names[0], names[1:]
    if first.startswith("["):
        rows, at = (data["rows"], (*trail, "rows")) if isinstance(data.get("rows"), dict) else (data, trail)
        return _below(rows, first[1:], rest, at, "rows") if first[1:] in rows else None
    if first in NAMED and rest and isinstance(data.get(first), dict) and rest[0] in data[first]:
        return _below(data[first], rest[0], rest[1:], (*trail, first), first)
    for group in NAMED:
        names_here = data.get(group)
        if isinstance(names_here, dict) and first in names_here:
            return _below(names_here, first, rest, (*trail, group), group)
    if first in (*FIELDS, *VISIT_FIELDS) and first in data and not inner:
        return _below(data, first, rest, trail, "")
    if first == "main" and not inner:
        return locate(data, rest, trail) if rest else _main(data, trail)
    for group in ("items", "unless"):
        for name, value in data[group].items() if isinstance(data.get(group), dict) else ():
            deeper = locate(value, names, (*trail, group, name), inner=True)
            if deeper is not None:
                return deeper
    return None


def _main(data: dict[str, Any], trail: tuple[str | int, ...]) -> Spot | None:
    key = next((key for key in ("require", *RECORDS) if key in data), None)
    return Spot(data, key, (*trail, key), "items") if key else None


def _below(container: Any, key: str, rest: list[str], trail: tuple[str | int, ...], group: str) -> Spot | None:
    at = (*trail, key)
    if not rest:
        return Spot(container, key, at, group)
    value = container[key]
    if isinstance(value, list) and len(rest) == 1:
        entry = rest[0].removeprefix("[")
        return Spot(value, entry, (*at, value.index(entry)), "list") if entry in value else None
    if group == "rows" and isinstance(value, dict) and not rest[0].startswith("["):
        rest = ["[" + rest[0], *rest[1:]]
    if isinstance(value, str):
        short = "when" if group == "unless" else "require"
        return Spot(container, key, at, group) if rest == [short] else None
    return locate(value, rest, at)


def names_inside(data: Any) -> Iterator[str]:
    """The names an amendment may grip inside a rule, term or table."""
    if not isinstance(data, dict):
        return
    for group in ("items", "limits", "unless", "when", *VISIT_LISTS):
        inner = data.get(group)
        for name, value in inner.items() if isinstance(inner, dict) else ():
            yield name
            yield from names_inside(value)
