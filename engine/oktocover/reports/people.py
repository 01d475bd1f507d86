"""Reports without people: initials and names of those who built, looked and tested are left out of what is printed."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator
from typing import Any, TypeVar

from oktocover.reading.site_file import SiteFile
from oktocover.site.base import Node

LEFT_OUT = "[left out]"
_KEYS = ("by", "owner", "builder", "licence")
_Told = TypeVar("_Told")


def people_in(read: SiteFile) -> frozenset[str]:
    """Every name or pair of initials a site file says, with the numbers of licences. Offices are no persons."""
    found = set(read.said_by.values())
    for name in type(read.site).model_fields:
        found.update(_people(getattr(read.site, name), name == "permit"))
    found.update(one for source in read.sources() for one in _written(source, ()))
    return frozenset(one.strip() for one in found if one.strip())


def _people(value: Any, permit: bool) -> Iterator[str]:
    if isinstance(value, Node):
        for name in type(value).model_fields:
            inner = getattr(value, name)
            if name in _KEYS and isinstance(inner, str):
                yield inner
            elif not (permit and name == "visits"):
                yield from _people(inner, False)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _people(inner, False)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _people(inner, False)


def _written(data: Any, path: tuple[str, ...]) -> Iterator[str]:
    """Names in the file as it was written: statements and typicals are gone once they are written out."""
    if isinstance(data, dict):
        for key, inner in data.items():
            if key in _KEYS and isinstance(inner, str):
                if path[:2] != ("permit", "visits"):
                    yield inner
            else:
                yield from _written(inner, (*path, str(key)))
    elif isinstance(data, list):
        for inner in data:
            yield from _written(inner, path)


def without_people(told: _Told, people: Iterable[str]) -> _Told:
    """The same values with every text free of these names. Dataclasses, tuples, lists and mappings are walked."""
    patterns = [_pattern(name) for name in sorted(people, key=lambda name: (-len(name), name))]
    result: _Told = _walk(told, [one for pair in patterns for one in pair])
    return result


def _pattern(name: str) -> list[tuple[re.Pattern[str], str]]:
    """A name in brackets goes with them; elsewhere only what is written as a name (not 'the owner') is one."""
    plain = re.escape(name)
    found = [(re.compile(rf"\s*\({plain}\)"), ""), (re.compile(rf"\({plain}, "), "(")]
    if any(char.isupper() or char.isdigit() for char in name):
        found.append((re.compile(rf"(?<!\w){plain}(?!\w)"), LEFT_OUT))
    return found


def _walk(value: Any, patterns: list[tuple[re.Pattern[str], str]]) -> Any:
    if isinstance(value, str):
        for pattern, into in patterns:
            value = pattern.sub(into, value)
        return value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changed = {one.name: _walk(getattr(value, one.name), patterns) for one in dataclasses.fields(value)}
        return dataclasses.replace(value, **changed)
    if isinstance(value, (list, tuple)):
        return type(value)(_walk(one, patterns) for one in value)
    if isinstance(value, dict):
        return {key: _walk(one, patterns) for key, one in value.items()}
    return value
