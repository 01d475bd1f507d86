"""Laying a layer on what lies below it: its own things first, then its changes."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from oktocover.rules.amend import Amending
from oktocover.rules.fold import Elsewhere, Folded
from oktocover.rules.layers import SECTIONS, VERBS, Change, Layer, Thing
from oktocover.rules.read_layer import VERB_SHAPES


def lay(
    on: Folded, layer: Layer, edition: Callable[[str], Folded] | None = None, elsewhere: Elsewhere | None = None
) -> None:
    """Lay one layer on top: its own things, then take, strike, set, add, whatever the order of the file.

    `edition` gives another edition by name, for `take`; `elsewhere` says whether a target that is missing is one that
    is only not in force. What is wrong goes to the problems of `on`.
    """
    on.layers.append(layer)
    for section in SECTIONS:
        for name, thing in layer.things[section].items():
            _put_thing(on, section, f"{layer.prefix}.{name}", name, thing)
    work = Amending(on, layer, edition, elsewhere)
    for verb in VERBS:
        for change in _in_order(layer.changes):
            entries = change.data.get(verb)
            if not entries:
                continue
            if not isinstance(entries, dict):
                on.problems.append(change.problem((verb,), f"'{verb}' is a mapping of addresses", VERB_SHAPES[verb]))
                continue
            for address, value in entries.items():
                work.apply(verb, address, value, change)


def _put_thing(on: Folded, section: str, address: str, name: str, thing: Thing) -> None:
    kinds = ("rules", "terms", "tables") if section in ("rules", "terms", "tables") else (section,)
    below = next((on.things[kind][address] for kind in kinds if address in on.things[kind]), None)
    if below is None:
        on.things[section][address] = Thing(thing.data, thing.document, thing.path, thing.layer)
        return
    message = f"'{name}' is already a name of {below.layer}; it stands at {below.document.place(below.path)}"
    on.problems.append(thing.problem((), message, do="change it with set, or choose another name"))


def _in_order(changes: Mapping[str, Change]) -> list[Change]:
    """Changes in the order of the file; one that stands over another comes after it."""
    order: list[Change] = []
    waiting = list(changes.values())
    if not any("over" in one.data for one in waiting):
        return waiting
    while waiting:
        ready = [one for one in waiting if str(one.data.get("over")) not in {other.name for other in waiting}]
        order += ready or waiting
        waiting = [one for one in waiting if one not in order] if ready else []
    return order
