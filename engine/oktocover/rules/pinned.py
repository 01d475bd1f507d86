"""Rules pinned for a job: a file that says which rules it was checked with, so that nobody takes a changed rule for a
changed job.

It holds no rule, only what each said, as a short hash. A difference in version control shows which of them changed.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml_file
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.adopted import Adopted
from oktocover.rules.fingerprints import LENGTH

TOP, RULES = "pinned", "rules"
KEYS = ("day", "tool", "place", "books")
HEAD = """\
# The rules this job is checked with, each with a short hash of what it says: another hash, another rule. `oktocover
# check` finds this file beside the site and says which rules have changed since. Write it anew, once somebody has looked
# at what turned:  oktocover rules --site SITE --pin
"""
EXAMPLE = "pinned: {day: 2026-06-15, ...} and rules: {ifgc.test-hold: 9c1f02aa12, ...}"
_HASH = re.compile(rf"[0-9a-f]{{{LENGTH}}}")


@dataclass(frozen=True, slots=True)
class Pinned:
    """What a job was checked with."""

    day: str
    tool: str
    place: str
    books: tuple[str, ...]
    rules: Mapping[str, str]
    file: str


def read_pinned(path: Path, shown: str) -> Pinned:
    """The pinned rules of a file; InputProblems holds all that is wrong with it."""
    document = read_yaml_file(path, shown)
    data: Any = document.data
    again = "take it from version control, or write it anew: oktocover rules --site SITE --pin"
    if not isinstance(data, dict) or not isinstance(data.get(TOP), dict) or not isinstance(data.get(RULES), dict):
        raise InputProblems([Problem(document.place(()), "these are no pinned rules", EXAMPLE, again)])
    problems = [*_keys(document, (), data, (TOP, RULES)), *_keys(document, (TOP,), data[TOP], KEYS)]
    for name, says in data[RULES].items():
        if not isinstance(says, str) or not _HASH.fullmatch(says):
            expected = f"{LENGTH} signs 0-9 a-f"
            problems.append(Problem(document.place((RULES, name)), f"'{short(name)}' has no hash", expected, again))
    if problems:
        raise InputProblems(problems)
    head: dict[str, Any] = data[TOP]
    books = head.get("books")
    return Pinned(
        day=str(head.get("day") or ""),
        tool=str(head.get("tool") or ""),
        place=str(head.get("place") or ""),
        books=tuple(map(str, books)) if isinstance(books, list) else (),
        rules=data[RULES],
        file=shown,
    )


def _keys(document: Document, path: tuple[str, ...], data: Mapping[str, Any], known: tuple[str, ...]) -> list[Problem]:
    found = []
    for key in data:
        if key not in known:
            near = nearest(key, known)
            do = f"did you mean '{near}'?" if near else ""
            place = document.key_place((*path, key))
            found.append(Problem(place, f"'{short(key)}' is no key of pinned rules", "one of: " + ", ".join(known), do))
    return found


def pinned_text(adopted: Adopted, rules: Mapping[str, str], day: datetime.date, tool: str, schema: str = "") -> str:
    """The file for a job. `schema` is the comment of an editor's first line, if the file has one."""
    books = ", ".join(adopted.books_printed)
    head = f"{TOP}:\n  day: {day.isoformat()}\n  tool: {tool}\n  place: {adopted.place.name}\n  books: [{books}]\n"
    return (
        (schema + "\n" if schema else "")
        + HEAD
        + head
        + f"{RULES}:\n"
        + "".join(f"  {name}: {_quoted(says)}\n" for name, says in rules.items())
    )


def _quoted(says: str) -> str:
    """A hash that other readers of YAML would take for a number stands in quotes."""
    return f'"{says}"' if re.fullmatch(r"\d+(e\d+)?", says) else says
