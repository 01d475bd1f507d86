"""Reads one layer from its files. All that is wrong with them comes in one InputProblems."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path as FilePath
from typing import Any

from oktocover.reading.kept import read_yaml_group
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.layers import (
    ADOPT_KEYS,
    BOUND_KEYS,
    CHANGE_KEYS,
    LAYER_KEYS,
    REACH_KEYS,
    SECTIONS,
    STACKING,
    STACKING_KEYS,
    SWITCH_KEYS,
    USUAL_KEYS,
    VERBS,
    Bound,
    Change,
    Layer,
    Path,
    Thing,
)
from oktocover.rules.signed import signature_problems
from oktocover.rules.visits import normal


def read_layer(files: Iterable[FilePath], shown: Mapping[FilePath, str] | None = None) -> Layer:
    """Gather one layer from its files. All that is wrong with them comes in one InputProblems."""
    problems: list[Problem] = []
    layer: Layer | None = None
    paths = list(files)
    for path, read in zip(paths, read_yaml_group(paths, shown or {}), strict=True):
        if isinstance(read, InputProblems):
            problems.extend(read.problems)
        else:
            layer = _gather(layer, read, path, problems)
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
            near = nearest(key, LAYER_KEYS) or ("place" if key.lower() in PLACES else None)
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


VERB_SHAPES = {
    "set": "set: {ifgc.test-hold.short: 15 min}",
    "add": "add: {ifgc.test-hold: {items: {tag: {document: Test tag of the office}}}}",
    "strike": "strike: {ifgc.test-record: duty gone}",
    "take": "take: {nec.serves_island: nec 2020}",
}
_VERBS = "; ".join(VERB_SHAPES.values())
SHAPES = {
    "changes": "changes: {longer-gas-test: {cite: Elk Fork Code 15.08, set: {ifgc.test-hold.short: 15 min}}}",
    "adopts": "adopts: {houses: {book: irc 2021}, gas: {book: ifgc 2021}, wiring: {book: nec 2020}}",
    "rules": "rules: {meter-guard: {title: ..., section: ..., each: gas_system, require: ...}}",
    "facts": "facts: {gas_system.out_of_snow: {type: yes or no, means: ...}}",
    "inspections": "inspections: {wallboard: {title: Wallboard, covers: yes, after: {insulation: ...}}}",
    "not checked here": "not checked here: {snow load: {cite: Elk Fork Code 15.04, about: ground snow load}}",
    "checked by": "checked by: {office: Elk Fork building department, date: 2026-01-15}",
}
"""What each part of a layer looks like, for whoever wrote something else."""
PLACES = ("town", "city", "county", "state", "jurisdiction", "name")
MEANT = dict.fromkeys(("change", "amend", "replace", "revise", "amended"), "set") | dict.fromkeys(
    ("delete", "remove", "repeal", "deleted", "repealed"), "strike"
)
MEANT |= dict.fromkeys(("insert", "new", "append"), "add") | {
    "section": "cite",
    "authority": "cite",
    "ordinance": "passed",
}
"""Words of ordinances for what a change calls otherwise."""


def _word(value: Any) -> str:
    return value.strip() if isinstance(value, str) else ""


def _named(document: Document, data: Mapping[str, Any], key: str, problems: list[Problem]) -> dict[str, Any]:
    found = data.get(key)
    if found is None:
        return {}
    if not isinstance(found, dict):
        without = ": take the '- ' off, and give each entry a name" if isinstance(found, list) else ""
        problems.append(Problem(document.place((key,)), f"'{key}' is a mapping of names{without}", SHAPES.get(key, "")))
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
            if section == "inspections":
                thing = normal(thing)
            layer.things[section][name] = Thing(thing, document, (section, name), layer.name)


def _changes(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    for name, change in _named(document, data, "changes", problems).items():
        path: Path = ("changes", name)
        if not isinstance(change, dict):
            problems.append(
                Problem(
                    document.place(path),
                    f"the change '{name}' is a mapping: cite, and set, add, strike or take",
                    SHAPES["changes"],
                )
            )
            continue
        _keys(document, path, change, CHANGE_KEYS, "a change", problems)
        scoped = [key for key in (*SWITCH_KEYS, "with", "stacking") if key in change]
        if scoped and layer.book:
            message = f"a change of a book's edition is in force with the edition; '{scoped[0]}' is for places"
            problems.append(Problem(document.place((*path, scoped[0])), message, do="take the line out"))
        if change.get("stacking") is not None and change["stacking"] not in STACKING:
            expected = "one of: " + ", ".join(STACKING)
            place = document.place((*path, "stacking"))
            problems.append(Problem(place, f"'{change['stacking']}' is no stacking", expected))
        if not _word(change.get("cite")):
            problems.append(
                Problem(
                    document.place(path),
                    f"the change '{name}' names no authority",
                    "cite: the section of the ordinance, such as cite: Elk Fork Code 15.08.040(B)",
                )
            )
        if not any(change.get(verb) for verb in VERBS) and not set(change) - set(CHANGE_KEYS):
            problems.append(Problem(document.place(path), f"the change '{name}' changes nothing", f"one of: {_VERBS}"))
        if name in layer.changes:
            problems.append(Problem(document.key_place(path), f"the change '{name}' stands twice in {layer.name}"))
        layer.changes[name] = Change(
            name, _word(change.get("cite")), layer.name, layer.is_place, change, document, path
        )


def _adoption(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    for name, entry in _named(document, data, "adopts", problems).items():
        path: Path = ("adopts", name)
        if isinstance(entry, str):
            entry = {"book": entry}
        given = [key for key in ("book", "as") if isinstance(entry, dict) and _word(entry.get(key))]
        if len(given) != 1:
            message = f"'{name}' adopts {'two things' if given else 'no book'}"
            problems.append(
                Problem(document.place(path), message, "wiring: {book: nec 2020}, or: {as: Name of a place}")
            )
            continue
        _keys(document, path, entry, ADOPT_KEYS, "an adoption", problems)
        if name in layer.adopts:
            problems.append(Problem(document.key_place(path), f"'{name}' is adopted twice by {layer.name}"))
        layer.adopts[name], layer.adopts_in[name] = entry, document
    layer.not_checked.update(_named(document, data, "not checked here", problems))
    layer.checked_by.update(_named(document, data, "checked by", problems))
    problems.extend(signature_problems(document, data))
    layer.cautions.extend(_cautions(document, data, problems))
    _precedence(layer, document, data, problems)


def _cautions(document: Document, data: Mapping[str, Any], problems: list[Problem]) -> list[str]:
    said = data.get("cautions")
    listed = said if isinstance(said, list) else [said] if said is not None else []
    if not all(isinstance(one, str) for one in listed):
        problems.append(Problem(document.place(("cautions",)), "cautions are sentences", "cautions: [a sentence]"))
        return []
    return [str(one) for one in listed]


def _precedence(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    said = data.get("stacking")
    if isinstance(said, dict):
        _keys(document, ("stacking",), said, STACKING_KEYS, "stacking", problems)
        layer.stacking_cases = (document, said.get("cases"))
    stacking = _word(said.get("is") if isinstance(said, dict) else said)
    if said is not None and stacking not in STACKING:
        expected = "one of: " + ", ".join(STACKING)
        problems.append(Problem(document.place(("stacking",)), f"'{stacking}' is no stacking", expected))
    layer.stacking = stacking or layer.stacking
    _reach(layer, document, data, problems)
    for name, bound in _named(document, data, "bounds", problems).items():
        path: Path = ("bounds", name)
        if not isinstance(bound, dict):
            problems.append(Problem(document.place(path), f"the bound '{name}' is a mapping", _BOUND))
            continue
        _keys(document, path, bound, BOUND_KEYS, "a bound", problems)
        lower, cite = _word(bound.get("lower layers")), _word(bound.get("cite"))
        if lower not in ("may not weaken", "may not differ"):
            message = f"the bound '{name}' says what lower layers may not do"
            problems.append(Problem(document.place(path), message, "lower layers: may not weaken, or may not differ"))
        if not cite:
            problems.append(
                Problem(document.place(path), f"the bound '{name}' names no authority", "cite: the section")
            )
        if sum(bound.get(key) is not None for key in ("trade", "rules", "sections")) != 1:
            message = f"the bound '{name}' says what it is about, once"
            problems.append(
                Problem(document.place(path), message, "trade: framing, rules: [irc.x], or sections: irc R602")
            )
        rules = bound.get("rules")
        listed = rules if isinstance(rules, list) else [rules] if rules else []
        sections = _word(bound.get("sections"))
        if sections and " section" not in sections and " all rules" not in sections:
            book, _, rest = sections.partition(" ")
            sections = f"{book} sections {rest}"
        layer.bounds[name] = Bound(
            name,
            layer.name,
            cite,
            lower,
            _word(bound.get("trade")),
            tuple(str(one) for one in listed),
            sections,
            document.place(path),
            document,
            bound.get("cases"),
        )


def _reach(layer: Layer, document: Document, data: Mapping[str, Any], problems: list[Problem]) -> None:
    reach = data.get("reach")
    if reach is None:
        return
    said = {"when": reach} if isinstance(reach, str) else reach
    if not isinstance(said, dict) or not said.get("when"):
        expected = "reach: {when: site.on_city_power, cite: the section}"
        problems.append(Problem(document.place(("reach",)), "a reach says for which sites the place speaks", expected))
        return
    _keys(document, ("reach",), said, REACH_KEYS, "a reach", problems)
    layer.reach = said


_BOUND = "framing: {trade: framing, lower layers: may not weaken, cite: the section}"


def _keys(
    document: Document, path: Path, data: Mapping[str, Any], allowed: tuple[str, ...], what: str, into: list[Problem]
) -> None:
    for key in data:
        if key not in allowed:
            near = nearest(key, allowed) or (MEANT.get(key.lower()) if "set" in allowed else None)
            example = f" {VERB_SHAPES[near]}" if near in VERB_SHAPES else ""
            into.append(
                Problem(
                    document.key_place((*path, key)),
                    f"'{key}' is not part of {what}",
                    "one of: " + ", ".join(allowed),
                    f"did you mean '{near}'?{example}" if near else "",
                )
            )
