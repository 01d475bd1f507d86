"""Absent is not false: taking facts, elements or statements out of a whole site, with its lists reopened, leaves each
verdict that is still asked for the same, or turns it into 'not recorded'. Nothing else may happen.
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from sites import EXAMPLES, LISTS, adopted_for, data_of, elements, judged, verdicts

BASE: dict[Path, tuple[dict[str, Any], Any, dict[tuple[str, str], str]]] = {}
Removal = tuple[str, ...]


def base(path: Path) -> tuple[dict[str, Any], Any, dict[tuple[str, str], str]]:
    if path not in BASE:
        data = data_of(path)
        adopted = adopted_for(data, path.parent)
        BASE[path] = data, adopted, verdicts(judged(data, adopted))
    return BASE[path]


def removals(data: dict[str, Any]) -> list[Removal]:
    """Everything that can be taken out of a site."""
    found: list[Removal] = []
    for name, one in elements(data):
        found.append(("element", name, one))
        if isinstance(data[name][one], dict):
            found.extend(("fact", name, one, key) for key in data[name][one])
    for section in ("looked", "records"):
        found.extend(("statement", section, str(index)) for index in range(len(data.get(section) or ())))
    found.extend(("said", "described", key) for key in data.get("described") or {})
    found.extend(
        ("said", "permit", key) for key in ("occupancy", "work", "applied") if key in (data.get("permit") or {})
    )
    found.extend(("said", "still to come", key) for key in data.get("still to come") or {})
    return found


def take_out(data: dict[str, Any], taken: list[Removal]) -> dict[str, Any]:
    left = copy.deepcopy(data)
    reopened: set[str] = set()
    for kind, section, *rest in sorted(
        taken, key=lambda one: (one[0], one[1], -int(one[2]) if one[0] == "statement" else 0)
    ):
        if kind == "fact":
            left[section].get(rest[0], {}).pop(rest[1], None)
        elif kind == "said":
            left[section].pop(rest[0], None)
        elif kind == "statement":
            del left[section][int(rest[0])]
    for kind, section, *rest in taken:
        if kind == "element":
            reopened.add(section)
            left[section].pop(rest[0], None)
            forget(left, rest[0])
    left["looked"] = [said for said in left.get("looked") or () if said.get("list") not in reopened]
    return left


def forget(data: dict[str, Any], name: str) -> None:
    """Take out every reference to an element that is gone."""
    for section in LISTS:
        for one in (data.get(section) or {}).values():
            if isinstance(one, dict):
                forget_in(one, name)
    data["records"] = [r for r in data.get("records") or () if r.get("element") != name]
    data["looked"] = [said for said in data.get("looked") or () if name not in places(said)]


def places(said: dict[str, Any]) -> list[str]:
    inside = said.get("in") or []
    return [part.partition(".")[0] for part in ([inside] if isinstance(inside, str) else inside)]


def forget_in(node: dict[str, Any], name: str) -> None:
    for key, value in list(node.items()):
        if isinstance(value, str) and (value == name or value.startswith(f"{name}.")):
            del node[key]
        elif isinstance(value, list) and any(
            isinstance(v, str) and (v == name or v.startswith(f"{name}.")) for v in value
        ):
            # a list with one entry less would say something else (a wall with one side is an outside wall)
            del node[key]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_removing_leaves_each_verdict_the_same_or_not_recorded(path: Path, choice: st.DataObject) -> None:
    data, adopted, before = base(path)
    taken = choice.draw(st.lists(st.sampled_from(removals(data)), min_size=1, max_size=6, unique=True))
    after = verdicts(judged(take_out(data, taken), adopted))
    for key, verdict in after.items():
        if key in before and verdict not in (before[key], "not recorded"):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {before[key]} became {verdict} after taking out {taken}")
