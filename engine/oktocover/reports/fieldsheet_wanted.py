"""Which facts are missing, where their answers go, and which rules wait for them."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import get_args

from oktocover.findings.finding import Finding, Missing
from oktocover.reading.short.work import classes, facts_of, field_of
from oktocover.reading.site_file import SiteFile
from oktocover.reports.fieldsheet_parts import Key, Reason
from oktocover.rules.form import Rule
from oktocover.rules.scope import FactLeaf
from oktocover.site.base import Node, spaced
from oktocover.site.root import Site

ROOTS = ("described", "still to come", "permit", "building")
"""Mappings of a site file that are no lists, and hold facts."""
BY_HAND = "by hand"
"""The first part of a key that no line of a site file takes as it stands."""
SAID_BY = {("cable", "number and size of its conductors"): ("cables", "what")}
"""Facts that no line has by that name: the list and the field that say them."""
_A_SUM = re.compile(r"\w\(\w")
BOUNDS = ("at least ", "at most ")


@dataclass(slots=True)
class Wanted:
    """One fact that is missing, with everything that waits for it."""

    key: Key
    missing: Missing
    where: tuple[str, str, float]
    """Room, wall and distance of the first finding that waits for it."""
    reasons: dict[Reason, None] = field(default_factory=dict)
    bounds: dict[str, None] = field(default_factory=dict)
    """Limits that the fact itself is compared with, as the findings print them."""
    indirect: bool = False
    """Whether some rule waits for it without comparing it with a limit directly."""
    again: bool = False
    """Whether it was measured, but closer to the limit than a tape can tell."""

    @property
    def element(self) -> str:
        """The element, room or wall it is about."""
        return self.key[1] if self.key[0] in classes() else self.missing.element


def wanted(read: SiteFile, findings: Iterable[Finding], direct: dict[str, str]) -> dict[Key, Wanted]:
    """What the open findings of a visit wait for. `direct` is what `direct_facts` made of the rules."""
    found: dict[Key, Wanted] = {}
    for one in findings:
        if not one.open:
            continue
        if one.closer_than_tape and one.rule in direct:
            _measure_again(read, one, direct[one.rule], found)
        for missing in one.missing if one.verdict == "not recorded" else ():
            key = key_of(read.site, missing)
            want = found.setdefault(key, Wanted(key, missing, one.where))
            want.reasons.setdefault(Reason(one.title, one.citation, _needed(one, missing)))
            if direct.get(one.rule) == missing.fact and one.required.startswith(BOUNDS):
                want.bounds.setdefault(one.required)
            else:
                want.indirect = True
    for key in [key for key in found if key[0] == "looked" and key[2] and ("looked", key[1], "") in found]:
        # a list of the whole building settles that of each room
        found["looked", key[1], ""].reasons |= found.pop(key).reasons
    return found


def _needed(one: Finding, missing: Missing) -> str:
    """What the section asks, in words a person reads; nothing where that is a sum over other things."""
    said_by_the_title = missing.kind == "record" or missing.path[:1] in (("looked",), ("described",))
    if said_by_the_title or one.required == "not recorded" or _A_SUM.search(one.required):
        return ""
    return one.required


def _measure_again(read: SiteFile, one: Finding, fact: str, found: dict[Key, Wanted]) -> None:
    for name, made in classes().items():
        if one.element in getattr(read.site, name.replace(" ", "_")) and fact in facts_of(name):
            about = field_of(name, fact)
            means = (about.description or "") if about is not None else ""
            key = (name, one.element, fact)
            missing = Missing(one.element, fact, "tape", made.kind, means, key)
            want = found.setdefault(key, Wanted(key, missing, one.where))
            want.again = True
            want.reasons.setdefault(Reason(one.title, one.citation, one.required))
            return


def key_of(site: Site, missing: Missing) -> Key:
    """Where the answer to a missing fact goes."""
    path = tuple(str(part) for part in missing.path)
    if missing.kind == "record" and path:
        return ("records", path[-1], missing.element)
    if missing.kind == "list":
        within = missing.element if missing.element in site.spaces else ""
        return ("looked", missing.fact.removeprefix("whole list of "), within)
    if path and path[0] in classes():
        name, facts = path[0], facts_of(path[0])
        one = path[1] if len(path) > 1 else missing.element
        fact = path[2] if len(path) == 3 else missing.fact
        if len(path) <= 3 and fact in facts and not _of_parts(name, fact):
            return (name, one, fact)
    elif len(path) > 1 and path[0] in ROOTS:
        return path
    elif len(path) == 1:
        return ("site", path[0])
    known_by = SAID_BY.get((missing.kind, missing.fact))
    if known_by is not None and getattr(getattr(site, known_by[0]).get(missing.element), known_by[1], "") is None:
        return (spaced(known_by[0]), missing.element, known_by[1])
    return (BY_HAND, missing.kind, missing.element, missing.fact)


def _of_parts(name: str, fact: str) -> bool:
    """Whether a fact is written as a list of parts with keys of their own: no single value is one."""
    waiting, parts, plain = [field_of(name, fact).annotation], False, False
    while waiting:
        one = waiting.pop()
        parts = parts or (isinstance(one, type) and issubclass(one, Node))
        plain = plain or one is str
        waiting.extend(get_args(one))
    return parts and not plain


def direct_facts(rules: Iterable[Rule]) -> dict[str, str]:
    """By the name of a finding: the fact that its requirement compares with a limit, where it is that and nothing else."""
    found: dict[str, str] = {}
    for rule in rules:
        for node in rule.body.walk():
            made = node.require
            if made is None or not isinstance(made.tree, ast.Compare) or len(made.tree.ops) != 1:
                continue
            left = made.tree.left
            leaf = made.leaves.get(left.id) if isinstance(left, ast.Name) else None
            if isinstance(leaf, FactLeaf) and "." not in leaf.path:
                name = f"{rule.id}.{node.name}" if node.name and node is not rule.body else rule.id
                found[name] = spaced(leaf.path)
    return found
