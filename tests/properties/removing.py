"""Taking things out of a site, written long or short: single facts, elements, lines, statements, and whatever refers to
what is gone. What is taken out of a list reopens it.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cache
from typing import Any

from sites import LISTS, elements

from oktocover.reading._references import _marks
from oktocover.reading.short.rows import _parts
from oktocover.site.base import RefTo, WallName, spaced
from oktocover.site.root import element_lists

Data = dict[str, Any]
Removal = tuple[str, ...]
NAMING = ("all", "between", "wall", "sides", "id", "in", "except", "by", "day", "how", "count")
"""Keys of a line of walls that say which wall it speaks of, and by whom; without them it would say something else."""
LEADS_TO = {
    **dict.fromkeys(("circuits", "receptacles", "switches", "lights"), ("cables", "boxes")),
    **dict.fromkeys(("appliances", "equipment", "disconnects", "boxes", "panels"), ("cables",)),
}
"""By list: lists that a chain, or the box of an outlet, writes out."""
LARGE = ("statement", "listed", "said fact", "wall line", "typical", "framing", "row", "table", "said")
"""Removals that open much at once; a few of them are enough for one site."""


def removals(data: Data) -> list[Removal]:
    """Everything that can be taken out of a site."""
    found: list[Removal] = []
    for name, key in elements(data):
        found.append(("element", name, key))
        facts = data[name][key]
        if isinstance(facts, dict):
            other = said_by_typicals(data, facts.get("typical"))
            found.extend(("fact", name, key, fact) for fact in facts if fact not in other)
            found.extend(_of_a_row(name, key, facts, other))
            chain = facts.get("chain") if "," not in key else None
            found.extend(("cut", name, key, str(at)) for at in range(2, len(chain) if isinstance(chain, list) else 0))
    for section in ("looked", "records"):
        found.extend(_of_statements(data, section))
    found.extend(("said", "described", key) for key in data.get("described") or {})
    found.extend(("said", "permit", key) for key in ("occupancy", "work", "applied") if key in (data.get("permit") or {}))
    found.extend(("said", "still to come", key) for key in data.get("still to come") or {})
    found.extend(_of_short_forms(data))
    return found


def said_by_typicals(data: Data, named: Any) -> set[str]:
    """Facts that the typicals of an entry say too: taken out of the entry, it would say what they say, not nothing."""
    names = named if isinstance(named, list) else [named]
    typicals = data.get("typicals") if isinstance(data.get("typicals"), dict) else {}
    return {fact for one in names if one in (typicals or {}) for fact in (typicals or {})[one]}


def _of_a_row(name: str, key: str, facts: Data, other: set[str]) -> Iterator[Removal]:
    if "," not in key:
        return
    yield from (("row id", name, key, one) for one in ids_of(key))
    for fact, value in facts.items():
        if fact not in other and _parts(name, fact, value) is not None:
            yield from (("cell", name, key, fact, str(number)) for number in range(len(value)))


def _of_statements(data: Data, section: str) -> Iterator[Removal]:
    for path, said in lines_of(data, section):
        yield "statement", section, path
        for key in ("list", "element"):
            if isinstance(said.get(key), list):
                yield from (("listed", section, path, key, one) for one in said[key])
        if len(said.get("are") or ()) > 1:
            yield from (("said fact", section, path, fact) for fact in said["are"])


def _of_short_forms(data: Data) -> Iterator[Removal]:
    """Everything that can be taken out of the short forms that stand outside the lists."""
    for number, line in enumerate(data["walls"] if isinstance(data.get("walls"), list) else ()):
        yield "wall line", "walls", str(number)
        yield from (("wall fact", "walls", str(number), key) for key in line if key not in (*NAMING, *others(data, line)))
    for name, facts in (data.get("framing") or {}).items():
        yield "framing", "framing", name
        yield from (("framing fact", "framing", name, key) for key in facts)
    for number, row in enumerate(data.get("rows") or ()):
        yield "row", "rows", str(number)
        yield from (("ids", "rows", str(number), one) for one in row["ids"])
        yield from (("row fact", "rows", str(number), key) for key in row if key not in ("list", "ids"))
    for name, table in (data.get("tables") or {}).items():
        yield "table", "tables", name
        yield from (("table row", "tables", name, row["id"]) for row in table)
        yield from (("table cell", "tables", name, row["id"], key) for row in table for key in row if key != "id")
    for name, facts in (data.get("typicals") or {}).items():
        yield "typical", "typicals", name
        yield from (("typical fact", "typicals", name, key) for key in facts)
    yield from (("assumption", "assume", name) for name in data.get("assume") or ())


def others(data: Data, line: Data) -> set[str]:
    """Facts that lines about all walls of a sort say too, with those of the classes of framing they name."""
    shared = [one for one in data["walls"] if one is not line and "all" in one]
    framings = data.get("framing") or {}
    return {fact for one in shared for fact in (*one, *framings.get(one.get("framing", ""), ()))}


def ids_of(key: str) -> list[str]:
    """The ids that a key of a list names."""
    return [one.strip() for one in key.split(",")]


def lines_of(data: Data, section: str) -> Iterator[tuple[str, Data]]:
    """Every line of a section with its path, `3` or `3.1`; of lines under one `said` those, not the whole."""
    for number, line in enumerate(data.get(section) or ()):
        if isinstance(line, dict) and isinstance(line.get("said"), list):
            yield from ((f"{number}.{inner}", one) for inner, one in enumerate(line["said"]) if one is not None)
        elif isinstance(line, dict):
            yield str(number), line


def _set(data: Data, section: str, path: str, value: Any) -> None:
    first, _, inner = path.partition(".")
    into = data[section][int(first)]["said"] if inner else data[section]
    into[int(inner or first)] = value


def take_out(data: Data, taken: list[Removal]) -> Data:
    """A site without what is taken, and without whatever refers to it."""
    left = copy.deepcopy(data)
    reopened: set[str] = set()
    rows: dict[tuple[str, str], list[str]] = {}
    for one in sorted(taken, key=lambda one: one[0] in ("element", "row id", "row", "ids", "table", "table row")):
        _take(left, one, reopened, rows)
    for (name, key), gone in rows.items():
        _shorten(left, name, key, gone)
    for section in ("looked", "records"):
        for path, said in list(lines_of(left, section)):
            _reopen(left, section, path, said, reopened)
    return left


def _take(left: Data, taken: Removal, reopened: set[str], rows: dict[tuple[str, str], list[str]]) -> None:
    kind, section, name, *rest = taken
    if kind in ("element", "row id"):
        rows.setdefault((section, name), []).extend(ids_of(name) if kind == "element" else rest)
        _open(reopened, section)
    elif kind in ("fact", "cell", "cut"):
        _take_fact(left, taken, reopened)
    elif kind == "said":
        left[section].pop(name, None)
    elif kind in ("statement", "listed", "said fact"):
        said = dict(lines_of(left, section)).get(name)
        if kind == "statement":
            _set(left, section, name, None)
        elif kind == "said fact" and said and len(said["are"]) > 1:
            said["are"].pop(rest[0], None)
        elif kind == "listed" and said:
            _without(left, section, name, said, rest[0], rest[1])
    elif kind == "wall line":
        gone = left["walls"][int(name)] or {}
        left["walls"][int(name)] = None
        for line in [one for one in left["walls"] if one is not None and "except" in one]:
            line["except"] = [one for one in line["except"] if one not in (gone.get("id"), gone.get("wall"))]
        _open(reopened, "walls")
        forget(left, gone.get("id", ""))
    elif kind == "wall fact":
        (left["walls"][int(name)] or {}).pop(rest[0], None)
    elif kind == "framing fact":
        left["framing"].get(name, {}).pop(rest[0], None)
    elif kind == "framing":
        left["framing"].pop(name, None)
        for line in left["walls"] if isinstance(left.get("walls"), list) else left.get("walls", {}).values():
            if isinstance(line, dict) and line.get("framing") == name:
                del line["framing"]
    else:
        _take_short(left, taken, reopened)


def _open(reopened: set[str], name: str) -> None:
    reopened.update((name, *LEADS_TO.get(name, ())))


def _take_fact(left: Data, taken: Removal, reopened: set[str]) -> None:
    kind, section, name, *rest = taken
    facts = left[section].get(name)
    if not isinstance(facts, dict):
        return
    if kind == "cut":
        if isinstance(facts.get("chain"), list):
            _forget_usual_cable(facts)
            facts["chain"] = facts["chain"][: max(2, min(int(rest[0]), len(facts["chain"])))]
            facts.pop("whole", None)
    elif kind == "fact":
        if rest[0] == "chain":
            _forget_usual_cable(facts)
        facts.pop(rest[0], None)
    elif isinstance(facts.get(rest[0]), list):
        facts[rest[0]][int(rest[1])] = None
    if kind == "cut" or rest[0] in ("chain", "box", "typical", "outlets"):
        reopened.update(("cables", "boxes"))


def _forget_usual_cable(facts: Data) -> None:
    """Of a chain with pieces of another cable: without them the circuit's own would be said of all of it."""
    if any(isinstance(one, dict) for one in facts.get("chain") or ()):
        facts.pop("cable", None)


def _shorten(left: Data, name: str, key: str, gone: list[str]) -> None:
    """Take ids out of a list, from a key of their own or from a row."""
    facts = left[name].get(key)
    keep = [number for number, one in enumerate(ids_of(key)) if one not in gone]
    shorter = {}
    for old, own in left[name].items():
        if old != key:
            shorter[old] = own
        elif keep:
            spread = {fact: _parts(name, fact, value) for fact, value in facts.items()}
            few = {fact: [parts[number] for number in keep] if parts is not None else facts[fact] for fact, parts in spread.items()}
            if len(keep) == 1:
                few = {fact: value[0] if spread[fact] is not None else value for fact, value in few.items()}
            shorter[", ".join(ids_of(key)[number] for number in keep)] = few
    left[name] = shorter
    for one in gone:
        forget(left, one)


def _reopen(left: Data, section: str, path: str, said: Data, reopened: set[str]) -> None:
    for name in reopened:
        if said.get("list") == name:
            _set(left, section, path, None)
        elif isinstance(said.get("list"), list):
            _without(left, section, path, said, "list", name)


def _without(left: Data, section: str, path: str, said: Data, key: str, name: str) -> None:
    """Take one name out of the several of a line, with what is said of it alone; the last one takes the line along."""
    if name not in said[key]:
        return
    at = said[key].index(name)
    for value in [said[key], *(value for other, value in said.items() if other in ("count", "note") and isinstance(value, list))]:
        del value[at]
    if not said[key]:
        _set(left, section, path, None)


def _take_short(left: Data, taken: Removal, reopened: set[str]) -> None:
    """Take something out of a row under `rows`, a table, a typical or the assumptions; rows stay in their places, empty."""
    kind, _, name, *rest = taken
    if kind in ("row", "ids", "row fact"):
        row = left["rows"][int(name)]
        if row is None:
            return
        if kind == "row fact":
            row.pop(rest[0], None)
            return
        _open(reopened, row["list"])
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
        _open(reopened, name)
        for row in [row for row in left["tables"][name] if kind == "table" or row["id"] in rest]:
            left["tables"][name].remove(row)
            forget(left, row["id"])
    elif kind == "table cell":
        for row in [row for row in left["tables"][name] if row["id"] == rest[0]]:
            row.pop(rest[1], None)
    elif kind in ("typical", "typical fact"):
        reopened.update(("cables", "boxes"))
        if kind == "typical":
            left["typicals"].pop(name, None)
            _forget_typical(left, name)
        else:
            left["typicals"].get(name, {}).pop(rest[0], None)
    elif kind == "assumption":
        left["assume"].remove(name)


def _forget_typical(data: Data, name: str) -> None:
    """Take the name of a typical out of every entry, row, line and typical."""
    entries = [facts for section in LISTS for facts in _facts(data, section)]
    for facts in [*entries, *(data.get("rows") or ()), *(data.get("typicals") or {}).values()]:
        for key in ("typical", "box") if isinstance(facts, dict) else ():
            value = facts.get(key)
            if value == name:
                del facts[key]
            elif isinstance(value, list):
                facts[key] = [None if one == name else one for one in value]


def _facts(data: Data, section: str) -> Iterator[Data]:
    found = data.get(section) or {}
    yield from (one for one in (found.values() if isinstance(found, dict) else found) if isinstance(one, dict))


def forget(data: Data, name: str) -> None:
    """Take out every reference to an element that is gone."""
    for row in filter(None, data.get("rows") or ()):
        facts = {key: value for key, value in row.items() if key not in ("list", "ids")}
        _forget_in_row(row["list"], facts, name, len(row["ids"]))
        for key in [key for key in row if key not in ("list", "ids")]:
            del row[key]
        row |= facts
    for facts in [row for table in (data.get("tables") or {}).values() for row in table if row["id"] != name]:
        forget_in(facts, name)
    for facts in (data.get("typicals") or {}).values():
        forget_in(facts, name)
    for section in LISTS:
        entries = data.get(section) or {}
        for key, one in entries.items() if isinstance(entries, dict) else ():
            if isinstance(one, dict):
                _forget_in_row(section, one, name, len(ids_of(key)))
    for number, line in enumerate(data["walls"] if isinstance(data.get("walls"), list) else ()):
        if line is not None and any(refers(line.get(key), name) for key in ("between", "wall", "sides", "in")):
            data["walls"][number] = None
            if line.get("id"):
                forget(data, line["id"])
        elif line is not None and refers(line.get("except"), name):
            line["except"] = [one for one in line["except"] if not refers(one, name)]
    for path, said in list(lines_of(data, "looked")):
        if name in (said.get("except") or ()):
            said["except"].remove(name)
        if said.get("are"):
            forget_in(said["are"], name)
        if said.get("are") == {} or refers(said.get("in"), name):
            _set(data, "looked", path, None)
    for path, said in list(lines_of(data, "records")):
        about = said.get("element")
        for one in [one for one in (about if isinstance(about, list) else [about]) if one and name in one.split()]:
            if isinstance(about, list):
                _without(data, "records", path, said, "element", one)
            else:
                _set(data, "records", path, None)


def _forget_in_row(section: str, facts: Data, name: str, number: int) -> None:
    """The same in one entry; of a row, where its facts are spread, only the value that refers to it."""
    for fact, value in list(facts.items()):
        if number > 1 and fact in referring() and _parts(section, fact, value) is not None:
            facts[fact] = [None if refers(one, name) else one for one in value]
    if number > 1:
        spread = {fact: value for fact, value in facts.items() if _parts(section, fact, value) is not None}
        rest = {fact: value for fact, value in facts.items() if fact not in spread}
        forget_in(rest, name)
        for fact in [fact for fact in facts if fact not in spread and fact not in rest]:
            del facts[fact]
    else:
        forget_in(facts, name)


@cache
def referring() -> frozenset[str]:
    """Facts that name an element or a wall, by the model: a purpose may be called as a room is and does not."""
    fields = [(name, about) for made in element_lists().values() for name, about in made.model_fields.items()]
    found = {about.alias or spaced(name) for name, about in fields if any(isinstance(mark, (RefTo, WallName)) for mark in _marks(about))}
    return frozenset(found | {"chain", "in"})


def refers(value: Any, name: str) -> bool:
    """Whether a value is an element, names a wall of it, or is a list with one that does."""
    if isinstance(value, dict) and "is" in value:
        return refers(value["is"], name)
    if isinstance(value, (list, dict)):  # of a piece of a chain with a cable of its own, the outlet is the key
        return any(refers(one, name) for one in value)
    return isinstance(value, str) and (value == name or value.startswith(f"{name}."))


def forget_in(node: Data, name: str) -> None:
    """Take the facts that refer to an element out of an entry.

    A list goes as a whole: with one entry less it would say something else (a wall with one side is an outside wall,
    a chain without an outlet leads from the one before it to the one after it).
    """
    for key, value in list(node.items()):
        if key in referring() and refers(value, name):
            if key == "chain":
                _forget_usual_cable(node)
            node.pop(key)
            if key == "chain":
                node.pop("whole", None)
