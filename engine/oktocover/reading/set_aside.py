"""The file of findings that are set aside: read with every mistake at its line, and written so that a person can read it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from oktocover.quantities import read_date
from oktocover.reading._field_faults import short
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml_documents, read_yaml_file
from oktocover.reading.problems import InputProblems, Place, Problem

TOP = "set aside"
NEEDED = ("rule", "element", "who", "why", "until")
KEYS = (*NEEDED, "what", "day", "identity")
EXAMPLE = "{rule: irc.penetration-seal, element: H-10, who: M.K., why: old part of the house, until: final}"
HEAD = f"""\
# Findings that are set aside. Each is still counted and listed, with who, why and until which visit. It lapses at that
# visit, or when its work is covered. What can hurt someone cannot be set aside: only the official's written approval of
# another way answers it (alternates: in the site file).
{TOP}:
"""
_IDENTITY = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding somebody set aside, as written."""

    rule: str
    element: str
    who: str
    why: str
    until: str
    what: str = ""
    day: str = ""
    identity: str = ""
    place: Place | None = None


def read_set_aside(path: Path, shown: str) -> list[Entry]:
    """The entries of a file; InputProblems holds all that is wrong with it."""
    document = read_yaml_file(path, shown)
    data = document.data
    problems: list[Problem] = []
    if not isinstance(data, dict) or set(data) != {TOP}:
        keys = data if isinstance(data, dict) else ()
        where = next((document.key_place((key,)) for key in keys if key != TOP), document.place(()))
        raise InputProblems([Problem(where, f"this file holds one list, '{TOP}'", f"{TOP}:\n    - {EXAMPLE}")])
    said = data[TOP] if data[TOP] is not None else []
    if not isinstance(said, list):
        raise InputProblems([Problem(document.place((TOP,)), "what is set aside is a list", f"- {EXAMPLE}")])
    found = [one for number, entry in enumerate(said) for one in _entry(document, number, entry, problems)]
    problems += _twice(found)
    if problems:
        raise InputProblems(problems)
    return found


def _entry(document: Document, number: int, entry: Any, problems: list[Problem]) -> Iterator[Entry]:
    at = (TOP, number)
    if not isinstance(entry, dict):
        problems.append(Problem(document.place(at), "an entry is a mapping", EXAMPLE))
        return
    wrong = len(problems)
    for key, value in entry.items():
        if key not in KEYS:
            near = nearest(key, KEYS)
            do = f"did you mean '{near}'?" if near else ""
            message = f"'{short(key)}' is not said of a finding that is set aside"
            problems.append(Problem(document.key_place((*at, key)), message, "one of: " + ", ".join(KEYS), do))
        elif value is not None and not isinstance(value, str):
            problems.append(Problem(document.place((*at, key)), f"'{key}' is a word or a sentence", EXAMPLE))
    lacks = next((key for key in NEEDED if not isinstance(entry.get(key), str) or not entry[key].strip()), None)
    if lacks is not None and len(problems) == wrong:
        problems.append(Problem(document.place(at), f"an entry says {lacks}: {_ASKED[lacks]}", EXAMPLE))
    if len(problems) > wrong:
        return
    words = {key: " ".join(str(entry[key]).split()) for key in KEYS if entry.get(key) is not None}
    yield from _sound(Entry(**words, place=document.place(at)), document, at, problems)


_ASKED = {
    "rule": "the rule that found it, as `oktocover check` names it with --format json",
    "element": "what it is about",
    "who": "initials of the person who set it aside",
    "why": "the reason, in a few words",
    "until": "the visit at which it counts again",
}


def _sound(one: Entry, document: Document, at: tuple[str | int, ...], problems: list[Problem]) -> Iterator[Entry]:
    if one.identity and not _IDENTITY.fullmatch(one.identity):
        message = f"'{short(one.identity)}' is no identity"
        do = "copy it from the JSON of `oktocover check`, or leave the line out: rule and element say the same"
        problems.append(Problem(document.place((*at, "identity")), message, "16 signs 0-9 a-f", do))
        return
    if one.day:
        try:
            read_date(one.day)
        except ValueError as error:
            problems.append(Problem(document.place((*at, "day")), str(error)))
            return
    yield one


def _twice(found: Iterable[Entry]) -> Iterator[Problem]:
    first: dict[tuple[str, str], Entry] = {}
    for one in found:
        other = first.setdefault((one.rule, one.element), one)
        if other is not one:
            message = f"'{one.rule}' of '{one.element}' is set aside twice; the other is at {other.place}"
            yield Problem(one.place, message, do="take one of them out")


def with_entries(text: str, entries: Iterable[Entry], shown: str = "the file") -> str:
    """The text of a file with more entries at its end; of a file that is not there yet, with its head.

    InputProblems: the file is written so that nothing can be put at its end.
    """
    more, known = list(entries), read_yaml_documents(text, shown)[0].data if text.strip() else None
    before = known[TOP] if isinstance(known, dict) and isinstance(known.get(TOP), list) else []
    if not before:
        comments = "".join(f"{line}\n" for line in text.splitlines() if line.startswith("#"))
        return (f"{comments}{TOP}:\n" if comments else HEAD) + "".join(_lines(one, "  ") for one in more)
    indent = next((found[1] for found in map(_BULLET.match, reversed(text.splitlines())) if found), "  ")
    made = text.rstrip("\n") + "\n" + "".join(_lines(one, indent) for one in more)
    try:
        data: Any = read_yaml_documents(made, shown)[0].data
    except InputProblems:
        data = {}
    if not isinstance(data.get(TOP), list) or len(data[TOP]) != len(before) + len(more):
        do = "write each entry on lines of its own, beginning with '- rule: ...'"
        raise InputProblems([Problem(None, f"nothing can be written at the end of {shown}", do=do)])
    return made


def _lines(one: Entry, indent: str) -> str:
    said = [(key, getattr(one, key)) for key in ("rule", "element", "what", "who", "why", "until", "day", "identity")]
    told = [f"{key}: {_scalar(value)}\n" for key, value in said if value]
    return f"{indent}- " + f"{indent}  ".join(told)


_BULLET = re.compile(r"( *)- ")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_PLAIN = re.compile(r"[A-Za-z0-9][\w .,()/+-]*(?<! )")
_TAKEN = re.compile(r"(?i)y|n|yes|no|on|off|true|false|null|none|~|[-+.\d].*")


def _scalar(text: str) -> str:
    """A YAML scalar that any reader takes for this text."""
    if _DAY.fullmatch(text) or (_PLAIN.fullmatch(text) and not _TAKEN.fullmatch(text)):
        return text
    return json.dumps(text, ensure_ascii=False)
