"""Addresses of names inside rules, terms and tables, and the four verbs carried out on plain data.

`book.rule.name`, `book.rule.item.when`, `book.rule.when.name`, `book.rule.main`, `book.rule.list.entry`,
`book.table[row, column]`: everything is found by its name, nothing by its position.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from oktocover.rules.limits import read_scalar
from oktocover.rules.types import RuleError

NAMED = ("items", "limits", "unless", "when", "rows", "keys")
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
    "after",
    "unless",
    *RECORDS,
)
EFFECTS = ("duty gone", "ban gone", "permission gone", "condition gone", "moved")
_BRACKETS = re.compile(r"^([^\[\]]*)\[([^\[\]]+)\]$")
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


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
    if first in FIELDS and first in data and not inner:
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
    for group in ("items", "limits", "unless", "when"):
        inner = data.get(group)
        for name, value in inner.items() if isinstance(inner, dict) else ():
            yield name
            yield from names_inside(value)


def edit(data: Any, spot: Spot | None, verb: str, value: Any) -> str:
    """Carry out set, strike or add in place (`spot` None: on the whole thing); the reason when it cannot be."""
    if verb == "strike":
        return _strike(data, spot, value)
    if spot is None:
        if verb == "add":
            return _merge(data, value)
        return "this sets it to what it is already" if data == value else ""
    if verb == "set":
        if isinstance(spot.container, list):
            return "an entry of a list is added or struck, not set"
        if same(spot.value, value):
            return f"this sets '{spot.key}' to what it is already: {_short(spot.value)}"
        old, new = _dimension(spot.value), _dimension(value)
        if old is not None and new is not None and old != new:
            return f"'{_short(value)}' is a {new}, where '{_short(spot.value)}' stands, a {old}"
        spot.container[spot.key] = copy.deepcopy(value)
        return ""
    return _add_into(spot, value)


def _dimension(value: Any) -> str | None:
    """The name of the dimension of a quantity written as text, or None when it is none."""
    try:
        of = read_scalar(value)[1] if isinstance(value, str) else None
    except (RuleError, ValueError):
        return None
    return of.dimension.name if of is not None and of.dimension is not None else None


def _short(value: Any) -> str:
    text = value if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def same(old: Any, new: Any) -> bool:
    """Whether two values say the same: alike as text, or one quantity in two units (72 in for 6 ft)."""
    if old == new:
        return True
    if not (isinstance(old, str) and isinstance(new, str)):
        return False
    try:
        (a, of_a, _), (b, of_b, _) = read_scalar(old), read_scalar(new)
    except (RuleError, ValueError):
        return False
    return bool(of_a.dimension is not None and of_b.dimension == of_a.dimension and a == b)


def _strike(data: Any, spot: Spot | None, effect: Any) -> str:
    if effect not in EFFECTS:
        return f"a strike says its effect, not '{effect}': one of {', '.join(EFFECTS)}"
    if spot is None:
        return ""
    before = set(_mentioned(data))
    if isinstance(spot.container, list):
        if len(spot.container) == 1:
            return f"'{spot.key}' is the last entry of its list; strike what uses the list"
        spot.container.remove(spot.key)
    else:
        del spot.container[spot.key]
    _drop_unused(data, before)
    return ""


def _drop_unused(data: Any, before: set[str]) -> None:
    """A limit that a strike leaves without user goes with it."""
    while True:
        gone = before - set(_mentioned(data))
        dropped = [(limits, name) for limits in _limits(data) for name in limits if name in gone]
        for limits, name in dropped:
            del limits[name]
        if not dropped:
            return


def _limits(data: Any) -> Iterator[dict[str, Any]]:
    if not isinstance(data, dict):
        return
    if isinstance(data.get("limits"), dict):
        yield data["limits"]
    for group in ("items", "unless"):
        for value in data[group].values() if isinstance(data.get(group), dict) else ():
            yield from _limits(value)


def _mentioned(data: Any) -> Iterator[str]:
    """Every identifier in the texts of a rule: more than the names it uses, never fewer."""
    if isinstance(data, str):
        yield from _NAME.findall(data)
    elif isinstance(data, (list, dict)):
        for value in data.values() if isinstance(data, dict) else data:
            yield from _mentioned(value)


def _add_into(spot: Spot, value: Any) -> str:
    target = spot.value
    if isinstance(target, list):
        more = value if isinstance(value, list) else [value]
        there = next((item for item in more if item in target), None)
        if there is not None:
            return f"'{there}' is in the list already"
        target.extend(copy.deepcopy(more))
        return ""
    if isinstance(target, str) and spot.group in ("items", "unless") and spot.key not in FIELDS:
        target = spot.container[spot.key] = {"when" if spot.group == "unless" else "require": target}
    return _merge(target, value)


def _merge(target: Any, value: Any) -> str:
    """Put new names into a thing, in the shape the thing itself has; what is there already is not touched."""
    if not isinstance(target, dict) or not isinstance(value, dict):
        return "only names can be added here: items, limits, unless, when, rows"
    for key in ("require", *RECORDS):
        if key in target and "items" in value:
            text = target.pop(key)
            target["items"] = {"main": text if key == "require" else {key: text}}
    for key in ("when", "unless"):
        if isinstance(target.get(key), str) and isinstance(value.get(key), dict):
            target[key] = {key: target[key]}
    for key, new in value.items():
        old = target.get(key)
        if key not in target:
            target[key] = copy.deepcopy(new)
        elif isinstance(old, dict) and isinstance(new, dict):
            message = _merge(old, new)
            if message:
                return message
        elif isinstance(old, list) and isinstance(new, list):
            there = next((item for item in new if item in old), None)
            if there is not None:
                return f"'{there}' is in the list already"
            old.extend(copy.deepcopy(new))
        elif isinstance(old, str) and isinstance(new, dict) and key not in FIELDS:
            target[key] = {"require": old}
            return _merge(target[key], new) or ""
        else:
            return f"'{key}' is there already; set changes it"
    return ""


_SECTIONS = re.compile(r"^(\S+)\s+(?:sections?\s+(.+)|(all rules))$")


def sections(address: str) -> tuple[str, list[tuple[str, str]] | None] | None:
    """`book sections A to B, C` as (book, ranges), `book all rules` as (book, None); None for another address."""
    found = _SECTIONS.match(address.strip())
    if found is None:
        return None
    if found[3]:
        return found[1], None
    ranges = []
    for part in re.split(r",\s*", found[2]):
        first, _, last = part.partition(" to ")
        ranges.append((first.strip(), last.strip() or first.strip()))
    return found[1], ranges


def lies_in(section: str, ranges: list[tuple[str, str]] | None) -> bool:
    """Whether a section, or what it is a subsection of, lies in one of some ranges."""
    if ranges is None:
        return True
    own = _section_key(section)
    for first, last in ranges:
        low, high = _section_key(first), _section_key(last)
        if own >= low and (own <= high or own[: len(high)] == high):
            return True
    return False


def _section_key(section: str) -> list[tuple[int, int, str]]:
    """Sections in the order of a book: letters before figures, figures by their size."""
    return [
        (1, int(token), "") if token.isdigit() else (0, 0, token.lower())
        for token in re.findall(r"\d+|[A-Za-z]+", section)
    ]
