"""Absent is not false: taking facts, elements or statements out of a whole site, with its lists reopened, leaves each
verdict that is still asked for the same, or turns it into 'not recorded'. Nothing else may happen.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from sites import EXAMPLES, LISTS, adopted_for, data_of, elements, judged, verdicts, written_in

SHORT = [path for path in EXAMPLES if "rows" in written_in(path)]
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
    found.extend(short_removals(data))
    return found


def short_removals(data: dict[str, Any]) -> Iterator[Removal]:
    """Everything that can be taken out of the short forms of a site."""
    for number, row in enumerate(data.get("rows") or ()):
        yield "row", "rows", str(number)
        yield from (("row id", "rows", str(number), one) for one in row["ids"])
        yield from (("row fact", "rows", str(number), key) for key in row if key not in ("list", "ids"))
    for name, table in (data.get("tables") or {}).items():
        yield "table", "tables", name
        yield from (("table row", "tables", name, row["id"]) for row in table)
        yield from (("table cell", "tables", name, row["id"], key) for row in table for key in row if key != "id")
    for name, facts in (data.get("typicals") or {}).items():
        yield "typical", "typicals", name
        yield from (("typical fact", "typicals", name, key) for key in facts)
    yield from (("assumption", "assume", name) for name in data.get("assume") or ())
    for name, facts in (data.get("circuits") or {}).items():
        if isinstance(facts, dict) and isinstance(facts.get("chain"), list):
            yield from (("chain entry", "circuits", name, str(number)) for number in range(len(facts["chain"])))


def take_out(data: dict[str, Any], taken: list[Removal]) -> dict[str, Any]:
    left = copy.deepcopy(data)
    reopened: set[str] = set()
    for kind, section, *rest in sorted(
        taken, key=lambda one: (one[0], one[1], -int(one[2]) if one[0] == "statement" else 0)
    ):
        if kind == "fact":
            if rest[1] == "chain":
                drop_chain(left[section][rest[0]])
                reopened.add("cables")
            left[section].get(rest[0], {}).pop(rest[1], None)
        elif kind == "said":
            left[section].pop(rest[0], None)
        elif kind == "statement":
            del left[section][int(rest[0])]
    for kind, section, *rest in taken:
        if kind == "element":
            reopened.add(section)
            gone = left[section].pop(rest[0], None)
            reopened |= {"cables"} if isinstance(gone, dict) and "chain" in gone else set()
            forget(left, rest[0])
    for one in sorted(taken, key=lambda one: (-int(one[2]) if one[0] == "row" else 0)):
        take_short(left, one, reopened)
    left["looked"] = [said for said in left.get("looked") or () if said.get("list") not in reopened]
    return left


def take_short(left: dict[str, Any], taken: Removal, reopened: set[str]) -> None:
    """Take something out of a short form; rows are left in their places, empty."""
    kind, section, name, *rest = taken
    if kind in ("row", "row id", "row fact"):
        row = left["rows"][int(name)]
        if row is None:
            return
        if kind == "row fact":
            row.pop(rest[0], None)
            return
        reopened.add(row["list"])
        for one in list(row["ids"]) if kind == "row" else [one for one in rest if one in row["ids"]]:
            number = row["ids"].index(one)
            for value in row.values():
                if isinstance(value, list) and len(value) == len(row["ids"]) and value is not row["ids"]:
                    del value[number]
            row["ids"].remove(one)
            forget(left, one)
        if not row["ids"]:
            left["rows"][int(name)] = None
    elif kind in ("table", "table row"):
        reopened.add(name)
        for row in [row for row in left["tables"][name] if kind == "table" or row["id"] in rest]:
            left["tables"][name].remove(row)
            forget(left, row["id"])
    elif kind == "table cell":
        for row in [row for row in left["tables"][name] if row["id"] == rest[0]]:
            row.pop(rest[1], None)
    elif kind == "typical":
        left["typicals"].pop(name, None)
        forget_typical(left, name)
    elif kind == "typical fact":
        left["typicals"].get(name, {}).pop(rest[0], None)
    elif kind == "assumption":
        left["assume"].remove(name)
    elif kind == "chain entry" and len(left["circuits"].get(name, {}).get("chain") or ()) > int(rest[0]):
        chain = left["circuits"][name]["chain"]
        if own_cables(chain[int(rest[0])]):
            left["circuits"][name].pop("cable", None)
        chain[int(rest[0])] = None
        left["circuits"][name].pop("whole", None)
        reopened.add("cables")


def forget_typical(data: dict[str, Any], name: str) -> None:
    """Take the name of a typical out of every entry and row."""
    for facts in [one for section in LISTS for one in (data.get(section) or {}).values()] + (data.get("rows") or []):
        if isinstance(facts, dict):
            for key in [key for key in ("typical", "box") if facts.get(key) == name]:
                del facts[key]


def forget(data: dict[str, Any], name: str) -> None:
    """Take out every reference to an element that is gone."""
    for row in filter(None, data.get("rows") or ()):
        facts = {key: value for key, value in row.items() if key not in ("list", "ids")}
        spread = [value for value in facts.values() if isinstance(value, list) and len(value) == len(row["ids"])]
        for value in spread:
            value[:] = [None if one == name or str(one).startswith(f"{name}.") else one for one in value]
        forget_in(facts, name)
        for key in [key for key in row if key not in facts and key not in ("list", "ids")]:
            del row[key]
    for facts in [row for table in (data.get("tables") or {}).values() for row in table if row["id"] != name]:
        forget_in(facts, name)
    for facts in (data.get("typicals") or {}).values():
        forget_in(facts, name)
    for said in data.get("looked") or ():
        if name in (said.get("except") or ()):
            said["except"].remove(name)
        if said.get("are"):
            forget_in(said["are"], name)
    data["looked"] = [said for said in data.get("looked") or () if said.get("are") != {}]
    for one in (data.get("circuits") or {}).values():
        if isinstance(one, dict) and name in named_in(one.get("chain")):
            drop_chain(one)
            reopen_cables(data)
    for section in LISTS:
        for one in (data.get(section) or {}).values():
            if isinstance(one, dict):
                forget_in(one, name)
    data["records"] = [r for r in data.get("records") or () if r.get("element") != name]
    data["looked"] = [said for said in data.get("looked") or () if name not in places(said)]


def own_cables(chain: Any) -> bool:
    """Whether some pieces of a chain have a designation of their own."""
    return isinstance(chain, dict) or (isinstance(chain, list) and any(own_cables(part) for part in chain))


def drop_chain(circuit: dict[str, Any]) -> None:
    """Take out a chain, and the cable of its circuit where that was not the cable of all of it."""
    if own_cables(circuit.pop("chain", None)):
        circuit.pop("cable", None)


def reopen_cables(data: dict[str, Any]) -> None:
    """With a chain its cables are gone, so that nobody can have said that those left are all."""
    data["looked"] = [said for said in data.get("looked") or () if said.get("list") != "cables"]


def named_in(chain: Any) -> set[str]:
    """Every id in a chain, whatever branch it is in."""
    if isinstance(chain, (list, dict)):
        return {name for part in chain for name in named_in(part)}
    return {chain} if isinstance(chain, str) else set()


def places(said: dict[str, Any]) -> list[str]:
    inside = said.get("in") or []
    return [part.partition(".")[0] for part in ([inside] if isinstance(inside, str) else inside)]


def forget_in(node: dict[str, Any], name: str) -> None:
    for key, written in list(node.items()):
        value = written["is"] if isinstance(written, dict) and "is" in written else written
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


@pytest.mark.parametrize("path", SHORT, ids=lambda path: f"{path.parent.name}/{path.name}")
@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_removing_from_the_short_form_leaves_each_verdict_the_same_or_not_recorded(
    path: Path, choice: st.DataObject
) -> None:
    """The same of a site as it is written: a row, an id of a row, a table, a typical, a statement, an assumption."""
    data = written_in(path)
    _, adopted, before = base(path)
    taken = choice.draw(st.lists(st.sampled_from(removals(data)), min_size=1, max_size=5, unique=True))
    after = verdicts(judged(take_out(data, taken), adopted))
    for key, verdict in after.items():
        if key in before and verdict not in (before[key], "not recorded"):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {before[key]} became {verdict} after taking out {taken}")
