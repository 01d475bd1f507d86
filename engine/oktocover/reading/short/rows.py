"""Rows: several equal elements in one line, in their own list as `R-06, R-07: {at: [2 ft, 7 ft], height: 44 in}`, or under
`rows:` as `{list: receptacles, ids: [R-06, R-07], at: [2 ft, 7 ft], height: 44 in}`.

A list is spread over the ids, one value each; a single value is shared. A fact that is itself a list (the sides of a
wall) is shared as it stands, and spread when each of its values is a list.
"""

from __future__ import annotations

from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.work import Path, Work, facts_of, field_of, is_many, lists_in_order

KEYS = ("list", "ids")


def expand_rows(work: Work) -> None:
    """Write the rows of a site out as entries of their lists."""
    for name in lists_in_order():
        _own_rows(work, name)
    rows = work.data.pop("rows", None)
    if rows is None:
        return
    if not isinstance(rows, list):
        work.wrong(("rows",), "rows are a list, each with a `- ` of its own", "{list: receptacles, ids: [R-01, R-02]}")
        return
    for number, row in enumerate(rows):
        if row is not None:
            _row(work, ("rows", number), row)


def _own_rows(work: Work, name: str) -> None:
    """Write out the entries of a list whose key names several, each at its place in the order of the list."""
    section = work.data.get(name)
    if not isinstance(section, dict) or not any("," in one for one in section):
        return
    work.data[name] = {}
    for key, facts in section.items():
        if "," not in key:
            if key in work.data[name]:
                message = f"'{short(key)}' stands twice; the other is at {work.read.key_place((name, key))}"
                work.wrong((name, key), message, do="give one of them another id", key=True)
            work.data[name][key] = facts
            continue
        ids = [one.strip() for one in key.split(",")]
        if not all(ids) or len(set(ids)) < len(ids):
            message = f"'{short(key)}' is no row of ids"
            work.wrong((name, key), message, "each id once, with a comma between: R-01, R-02", key=True)
        elif not isinstance(facts, dict):
            work.wrong((name, key), "a row is a mapping", "{at: [2 ft, 7 ft], height: 44 in}", key=True)
        else:
            _write(work, (name, key), name, [(one, (name, key)) for one in ids], facts)


def _row(work: Work, at: Path, row: Any) -> None:
    if not isinstance(row, dict):
        work.wrong(at, "a row is a mapping", "{list: receptacles, ids: [R-01, R-02], height: 44 in}")
        return
    for key in KEYS:
        if row.get(key) is None:
            work.wrong(at, f"'{key}' is missing here", "list: receptacles" if key == "list" else "ids: [R-01, R-02]")
            return
    if not work.is_list((*at, "list"), row["list"]):
        return
    ids = _ids(work, (*at, "ids"), row["ids"])
    facts = {key: value for key, value in row.items() if key not in KEYS}
    _write(work, at, row["list"], [(one, (*at, "ids", number)) for number, one in enumerate(ids)], facts)


def _write(work: Work, at: Path, name: str, ids: list[tuple[str, Path]], row: dict[str, Any]) -> None:
    """Write one row out: ids with their places, and the facts that are spread over them or shared."""
    names = [one for one, _ in ids]
    facts = {key: _spread(work, (*at, key), name, value, names) for key, value in row.items()}
    for number, (one, origin) in enumerate(ids):
        own = {key: values[number] for key, values in facts.items() if values is not None}
        if work.add(name, one, own, origin):
            for key in own:
                spread = _parts(name, key, row[key]) is not None
                inside = ("is",) if isinstance(row[key], dict) else ()
                work.read.origins[name, one, key] = (*at, key, *inside, number) if spread else (*at, key)


def _ids(work: Work, at: Path, ids: Any) -> list[str]:
    if not isinstance(ids, list) or not ids:
        work.wrong(at, "the ids of a row are a list", "ids: [R-01, R-02]", "write every id, so that none ever shifts")
        return []
    for number, one in enumerate(ids):
        if not isinstance(one, str) or not one.strip():
            work.wrong((*at, number), "this is no id", "a short one, such as R-01")
            return []
    return ids


def _parts(name: str, fact: str, value: Any) -> list[Any] | None:
    """The values to be spread over the ids; None when one value is shared."""
    inner = value["is"] if isinstance(value, dict) and "is" in value else value
    if not isinstance(inner, list):
        return None
    if is_many(field_of(name, fact)) and not (
        any(isinstance(v, list) for v in inner) and all(v is None or isinstance(v, list) for v in inner)
    ):
        return None
    return inner


def _spread(work: Work, at: Path, name: str, value: Any, ids: list[str]) -> list[Any] | None:
    """One value for each id, or None (and said) when that cannot be."""
    fact = str(at[-1])
    if fact not in facts_of(name):
        work.no_fact(at, f"'{short(fact)}' is not a key that stands in {name}", fact, name, facts_of(name))
        return None
    parts = _parts(name, fact, value)
    if parts is None:
        return [value] * len(ids)
    if len(parts) != len(ids):
        count = f"{len(parts)} value{'s' if len(parts) != 1 else ''} for {len(ids)} id{'s' if len(ids) != 1 else ''}"
        if ids:
            work.wrong(
                at,
                f"'{fact}' has {count}",
                f"one value for each of {', '.join(map(short, ids))}, or one value for all",
                "write the values in the order of the ids; ~ is one that nobody has recorded",
                key=True,
            )
        return None
    return [{**value, "is": part} if isinstance(value, dict) and part is not None else part for part in parts]
