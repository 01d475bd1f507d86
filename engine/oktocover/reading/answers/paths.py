"""Where an answer goes: the path of its fact in the long form of a site."""

from __future__ import annotations

from typing import Any, get_args

from oktocover.reading._field_faults import short
from oktocover.reading.answers.merging import Given, Merge, section_of
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import NOT_FACTS, Path, classes, facts_of, value_of
from oktocover.site.base import Node, spaced
from oktocover.site.root import site_model

ROOTS = ("described", "still to come", "permit", "building")
"""Mappings of a site file that are no lists, and hold facts. `site` stands for the file itself."""


def path_of(merge: Merge, one: Given, name: str, fact: str) -> Path | None:
    """The path of a fact in the long form; None, and said, when there is no such thing."""
    root = _root(merge, one, name, fact)
    if root is not None:
        return root or None
    lists = classes()
    wanted = one.answer.list_
    if wanted is not None and wanted not in lists:
        merge.unknown(one, "list", f"there is no list '{short(wanted)}' in a site file", wanted, lists)
        return None
    name = _by_side(merge, one, name)
    found = [each for each in ([wanted] if wanted else lists) if name in section_of(merge, each)]
    if not found:
        known = [entry for each in ([wanted] if wanted else lists) for entry in section_of(merge, each)]
        where = f" in {wanted}" if wanted else " in this site"
        merge.unknown(
            one, "element", f"there is no '{short(name)}'{where}", name, known[:40] or ["(nothing is written yet)"]
        )
        return None
    if len(found) > 1:
        merge.wrong(
            one, "element", f"'{short(name)}' stands in {' and in '.join(found)}", f"list: {found[0]} (or {found[1]})"
        )
        return None
    section = found[0]
    allowed = [key for key in facts_of(section) if key not in (*NOT_FACTS, "typical")]
    if fact not in allowed:
        merge.work.no_fact((*one.at, "fact"), f"'{short(fact)}' is no fact of {section}", fact, section, allowed)
        return None
    alone = one_by_one(section, fact) if isinstance(one.answer.element, list) and len(one.answer.element) > 1 else None
    if alone:
        merge.wrong(one, "element", f"{alone}: one look does not cover these", do="write one answer for each of them")
        return None
    return (section, name, fact)


def _root(merge: Merge, one: Given, name: str, fact: str) -> Path | None:
    """The path of a fact of the building; () when it is said to be wrong, None when `name` is an element."""
    first = next((root for root in (*ROOTS, "site") if name == root or name.startswith(f"{root} ")), None)
    if first is None or name in _elements(merge):
        return None
    rest = name[len(first) :].strip()
    model: Any = site_model()
    parts = [part for part in ("" if first == "site" else first, rest) if part]
    for part in parts:
        model = _model_at(model, part)
    known = [] if model is None else [one.alias or spaced(key) for key, one in model.model_fields.items()]
    if fact not in known:
        merge.unknown(one, "fact", f"'{short(fact)}' is no fact of {short(name)}", fact, known)
        return ()
    return (*parts, fact)


def _model_at(model: Any, part: str) -> Any:
    fields = getattr(model, "model_fields", {})
    about = next((one for key, one in fields.items() if (one.alias or spaced(key)) == part), None)
    found = () if about is None else (about.annotation, *get_args(about.annotation))
    return next((one for one in found if isinstance(one, type) and issubclass(one, Node)), None)


def _by_side(merge: Merge, one: Given, name: str) -> str:
    """The wall that has a side, `studio.north`; where there is none, one is written for it."""
    room, dot, _ = name.partition(".")
    if one.answer.list_ != "walls" or not dot or room not in section_of(merge, "spaces"):
        return name
    walls = section_of(merge, "walls")
    for wall, facts in walls.items():
        sides = value_of(facts.get("sides")) if isinstance(facts, dict) else None
        if name == wall or name in (sides if isinstance(sides, list) else [sides]):
            return str(wall)
    merge.work.add("walls", name, {"sides": [name]}, (*one.at, "element"))
    return name


def _elements(merge: Merge) -> set[str]:
    return {one for name in classes() for one in section_of(merge, name)}
