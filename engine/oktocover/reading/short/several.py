"""One line of `looked:` or `records:` for several: about several lists or elements, or by one person on one day.

    looked:
      - {list: [levels, spaces], whole: yes, count: [1, 6], by: M.K., day: 2026-05-03}
      - {list: [openings, electrical], whole: yes, by: M.K., day: 2026-05-03}
    records:
      - {for: [nec.plates, nec.entrance-light], element: building, answer: yes, by: M.K., day: 2026-05-03}
      - by: M.K.
        day: 2026-05-03
        said: [{list: openings, whole: yes}, {all: spaces, are: {heated: yes}, count: 6}]

As in a row, a list is spread and a single value is shared. What a line under `said` says itself wins. A system, as
`described:` names it, stands for all lists of what belongs to it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.work import Path, Work, classes

SAID = "said"
LIST, FOR = "list", "for"
SPREAD = {"looked": (LIST, ("count",)), "records": ("element", ("note",))}
"""By section: the key that may name several, and the keys that may then have a value for each."""
SHARED = {"looked": ("by", "day", "how", "known", "photos"), "records": ("by", "day", "known", "answer", "note")}
"""By section: what the lines under one `said` may have in common."""


def expand_several(work: Work) -> None:
    """Write the lines of both sections out one by one; each knows where it was written."""
    for section in SPREAD:
        lines = work.data.get(section)
        if not isinstance(lines, list):
            continue
        made = [pair for number, line in enumerate(lines) for pair in _said(work, (section, number), line)]
        made = [pair for at, line in made for pair in _each(work, at, line)]
        work.data[section] = [line for _, line in made]
        moved = {(section, number): at for number, (at, _) in enumerate(made)}
        work.read.origins.update({now: at for now, at in moved.items() if now != at})


def _said(work: Work, at: Path, line: Any) -> Iterator[tuple[Path, Any]]:
    """The lines under one `said`, each with what they have in common."""
    if not isinstance(line, dict) or line.get(SAID) is None:
        yield at, line
        return
    section, inner = str(at[0]), line[SAID]
    shared = {key: value for key, value in line.items() if key != SAID}
    wrong = [key for key in shared if key not in SHARED[section]]
    for key in wrong:
        message = f"'{short(key)}' is nothing that several lines have in common"
        work.unknown((*at, key), message, key, [*SHARED[section], SAID], key=True)
    if not isinstance(inner, list) or any(not isinstance(one, dict) for one in inner if one is not None):
        work.wrong((*at, SAID), "what was said is a list of lines", "said: [{list: openings, whole: yes}]")
    elif not wrong:
        for number, one in enumerate(inner):
            if one is not None:
                yield (*at, SAID, number), {**shared, **{key: value for key, value in one.items() if value is not None}}


def _each(work: Work, at: Path, line: Any) -> Iterator[tuple[Path, Any]]:
    """One line for each list or element that a line names."""
    if isinstance(line, dict) and isinstance(line.get(FOR), list) and at[0] == "records":
        if not _are_names(work, at, FOR, line[FOR]):
            return
        for rule in line[FOR]:
            yield from _each(work, at, {**line, FOR: rule})
        return
    key, others = SPREAD[str(at[0])]
    line = _lists_of_systems(work, at, line) if key == LIST else line
    if not isinstance(line, dict) or not isinstance(line.get(key), list):
        if line is not None:
            yield at, line
        return
    names = line[key]
    if not _are_names(work, at, key, names):
        return
    spread = [other for other in others if isinstance(line.get(other), list)]
    for other in spread:
        if len(line[other]) != len(names):
            message = (
                f"'{other}' has {len(line[other])} value{'s' * (len(line[other]) != 1)} for {len(names)} in '{key}'"
            )
            do = "write the values in the same order; ~ is one that nobody has recorded"
            work.wrong((*at, other), message, "one value for each, or one value for all", do, key=True)
            return
    for number, one in enumerate(names):
        yield at, {**line, key: one, **{other: line[other][number] for other in spread}}


def _are_names(work: Work, at: Path, key: str, names: list[Any]) -> bool:
    """Whether a list that one line names is one of names, each once; said when it is not."""
    if not names or any(not isinstance(one, str) for one in names):
        work.wrong((*at, key), "names are written here", f"{key}: [one, another]")
        return False
    twice = next((number for number, one in enumerate(names) if one in names[:number]), None)
    if twice is not None:
        work.wrong((*at, key, twice), f"'{short(names[twice])}' stands twice in this line", "each once")
    return twice is None


def lists_by_system() -> dict[str, list[str]]:
    """The lists of what belongs to each system, by the name it has under `described:`."""
    found: dict[str, list[str]] = {}
    for name, made in classes().items():
        if made.system is not None and made.system not in classes():
            found.setdefault(made.system, []).append(name)
    return found


def _lists_of_systems(work: Work, at: Path, line: Any) -> Any:
    """A line that names systems, with their lists in their place."""
    written = line.get(LIST) if isinstance(line, dict) else None
    names = written if isinstance(written, list) else [written]
    systems = lists_by_system()
    system = next((one for one in names if isinstance(one, str) and one in systems), "")
    if not system:
        return line
    if line.get("count") is not None:
        message = f"'{system}' stands for {len(systems[system])} lists, and one count cannot be that of all of them"
        do = "leave the count out, or name the lists one by one"
        work.wrong((*at, "count"), message, "no count beside a system", do, key=True)
    spread = [name for one in names for name in (systems.get(one, [one]) if isinstance(one, str) else [one])]
    return {**{key: value for key, value in line.items() if key != "count"}, LIST: spread}
