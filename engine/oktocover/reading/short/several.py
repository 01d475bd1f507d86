"""One line about several lists or several elements: `looked: {list: [levels, spaces], whole: yes, count: [1, 6], ...}` and
`records: {for: ..., element: [H-41, H-42], answer: yes, ...}`. As in a row, a list is spread and a single value is shared.
"""

from __future__ import annotations

from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.work import Path, Work

SPREAD = {"looked": ("list", ("count",)), "records": ("element", ("note",))}
"""By section: the key that may name several, and the keys that may then have a value for each."""


def expand_several(work: Work) -> None:
    """Write each line about several things out as a line about each of them.

    The first takes the place of the line, the others go to the end, so that every other line keeps its number.
    """
    for section, (key, others) in SPREAD.items():
        lines = work.data.get(section)
        if not isinstance(lines, list):
            continue
        for number, line in enumerate(list(lines)):
            if isinstance(line, dict) and isinstance(line.get(key), list):
                made = _each(work, (section, number), line, key, others)
                lines[number] = made[0] if made else None
                for one in made[1:]:
                    work.read.origins[section, len(lines)] = (section, number)
                    lines.append(one)


def _each(work: Work, at: Path, line: dict[str, Any], key: str, others: tuple[str, ...]) -> list[dict[str, Any]]:
    names = line[key]
    if not names or any(not isinstance(one, str) for one in names):
        work.wrong((*at, key), "names are written here", f"{key}: [one, another]")
        return []
    twice = next((number for number, one in enumerate(names) if one in names[:number]), None)
    if twice is not None:
        work.wrong((*at, key, twice), f"'{short(names[twice])}' stands twice in this line", "each once")
        return []
    for other in others:
        values = line.get(other)
        if isinstance(values, list) and len(values) != len(names):
            message = f"'{other}' has {len(values)} value{'s' * (len(values) != 1)} for {len(names)} in '{key}'"
            do = "write the values in the same order; ~ is one that nobody has recorded"
            work.wrong((*at, other), message, "one value for each, or one value for all", do, key=True)
            return []
    spread = [other for other in others if isinstance(line.get(other), list)]
    return [{**line, key: one, **{other: line[other][number] for other in spread}} for number, one in enumerate(names)]
