"""The verbs set, strike and add, carried out on the plain data of a rule, term or table."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import Any

from oktocover.rules.addresses import FIELDS, RECORDS, Spot
from oktocover.rules.limits import OPEN, SPECIAL, scalar

EFFECTS = {
    "duty gone": "nobody has to do it any more",
    "ban gone": "what was forbidden may be done",
    "permission gone": "what was allowed may not be done",
    "condition gone": "the rule is for more than it was",
    "moved": "it stands elsewhere now",
}
"""What a strike does, and what that means."""
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def no_effect(effect: Any) -> str:
    """Why a strike cannot stand that says none of the effects, with what each of them means."""
    said = f", not '{effect}'" if isinstance(effect, str) else ""
    return f"a strike says its effect{said}: " + "; ".join(f"'{name}' ({means})" for name, means in EFFECTS.items())


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
        old, new = _form(spot.value), _form(value)
        if old and new and old != new and spot.group in ("limits", "rows"):
            shown = f"; write it as '{_short(spot.value)}' is written, with its unit" if old.startswith("a ") else ""
            return f"'{_short(value)}' is {new}, where '{_short(spot.value)}' stands, {old}{shown}"
        before = set(_mentioned(data))
        spot.container[spot.key] = copy.deepcopy(value)
        _drop_unused(data, before)
        return ""
    return _add_into(spot, value)


def _form(value: Any) -> str:
    """What a value of a limit is, in words: a length, a word, a list; empty for what fits anywhere."""
    if isinstance(value, list):
        return "a list"
    if not isinstance(value, str) or value.startswith(("=", "blank")) or value in (*SPECIAL, *OPEN):
        return ""
    found = scalar(value)
    return str(found[1]) if found is not None else ""


def _short(value: Any) -> str:
    text = value if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def same(old: Any, new: Any) -> bool:
    """Whether two values say the same: alike as text, or one quantity in two units (72 in for 6 ft)."""
    if old == new:
        return True
    if not (isinstance(old, str) and isinstance(new, str)):
        return False
    one, other = scalar(old), scalar(new)
    if one is None or other is None or one[1].dimension is None:
        return False
    return bool(one[1].dimension == other[1].dimension and one[0] == other[0])


def _strike(data: Any, spot: Spot | None, effect: Any) -> str:
    if str(effect) not in EFFECTS:
        return no_effect(effect)
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
    """A limit that a strike or another expression leaves without user goes with it."""
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
            # what excused it was written for what it asked, not for what is asked besides from now on
            asked = {one: target.pop(one) for one in (key, "unless") if one in target}
            target["items"] = {"main": asked[key] if list(asked) == ["require"] else asked}
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
