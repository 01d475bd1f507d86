"""Assumptions: common values that a site adopts by name, `assume: [infiltration not known]`.

They come from one file of the rulesets, each with its reason. An assumed fact is given where nothing else says it; it
never makes a visit ready and never settles a hazard.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from oktocover.data import data_dir
from oktocover.reading._field_faults import short
from oktocover.reading.nodes import read_yaml_file
from oktocover.reading.short.agree import within
from oktocover.reading.short.work import Path, Work, classes, value_of, weakest

KEY = "assume"
FILE = "common-values.yaml"
TOP = "common values"


@dataclass(frozen=True, slots=True)
class CommonValue:
    """Facts that are commonly taken for an element of a list where nobody has recorded them.

    `where` and `lacks` narrow it to elements that record the one and none of the other.
    """

    name: str
    list: str
    facts: dict[str, Any]
    reason: str
    basis: dict[str, str]
    where: dict[str, Any]
    lacks: tuple[str, ...]


@cache
def common_values() -> dict[str, CommonValue]:
    """The listed values, by name. Raises InputProblems when their file cannot be read."""
    document = read_yaml_file(data_dir("rulesets") / FILE, f"rulesets/{FILE}")
    assert isinstance(document.data, dict)
    listed: Any = document.data[TOP]
    return {
        name: CommonValue(
            name,
            one["list"],
            one["facts"],
            one["reason"],
            one["basis"],
            one.get("where") or {},
            tuple(one.get("lacks") or ()),
        )
        for name, one in listed.items()
    }


def expand_assumptions(work: Work) -> None:
    """Give what a site assumes to the entries that do not say it."""
    names = work.data.pop(KEY, None)
    if names is None:
        return
    if not isinstance(names, list):
        work.wrong((KEY,), "assumptions are a list of names", f"assume: [{next(iter(common_values()))}]")
        return
    for number, name in enumerate(names):
        at = (KEY, number)
        if name is None:
            continue
        if not isinstance(name, str) or name not in common_values():
            message = f"'{short(name)}' is no common value of rulesets/{FILE}"
            do = "write the fact itself at the element, as {is: ..., known: assumed}"
            work.unknown(at, f"{message}; what is not listed there: {do}", name, common_values())
            continue
        _assume(work, at, common_values()[name])


def _assume(work: Work, at: Path, value: CommonValue) -> None:
    given = 0
    for one, facts in (work.section(value.list) or {}).items():
        if not isinstance(facts, dict) or not _meant(value, facts):
            continue
        own = dict(facts)
        for fact, assumed in value.facts.items():
            if value_of(own.get(fact)) is None:
                own[fact] = {"is": assumed, "known": weakest("assumed", facts.get("known"), work.data.get("known"))}
                work.read.origins[value.list, one, fact] = at
        given += own != facts
        work.data[value.list][one] = own
    if given:
        kind = classes()[value.list].kind.replace("_", " ")
        work.read.rests_on.append(f"assumed {value.name} ({given} {kind if given == 1 else value.list})")


def _meant(value: CommonValue, facts: dict[str, Any]) -> bool:
    if any(value_of(facts.get(fact)) is not None for fact in value.lacks):
        return False
    found = {fact: value_of(facts.get(fact)) for fact in value.where}
    return all(
        found[fact] is not None and within(value.list, fact, found[fact], word) for fact, word in value.where.items()
    )
