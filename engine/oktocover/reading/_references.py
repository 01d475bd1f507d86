"""Ids and what refers to them: each id once over all lists, each reference to an element of the right kind."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from oktocover.reading._field_faults import lists, short
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.site.base import Element, RefTo, spaced
from oktocover.site.root import element_lists

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile

Path = tuple[str | int, ...]
Kinds = dict[str, tuple[str, Path]]
"""By id: the kind of the element, and its path."""
MOST_LISTED = 12


def reference_problems(read: SiteFile) -> Iterator[Problem]:
    """Every id that cannot be one, every reference that leads nowhere, every statement about nothing."""
    kinds: Kinds = {}
    yield from _ids(read, kinds)
    for field_name in element_lists():
        for name, model in getattr(read.site, field_name).items():
            yield from _references(model, (spaced(field_name), name), kinds, read)
    yield from _statements(read, kinds)


def _ids(read: SiteFile, kinds: Kinds) -> Iterator[Problem]:
    for field_name, element in element_lists().items():
        for name in getattr(read.site, field_name):
            path: Path = (spaced(field_name), name)
            if not name.strip() or name == "~":
                yield Problem(read.key_place(path), "this entry has no id", do="give it a short one, such as R-01")
            elif field_name == "spaces" and "." in name:
                yield Problem(
                    read.key_place(path),
                    f"the id '{short(name)}' has a point in it, and room.wall is how a wall is named",
                    do=f"write '{short(name).replace('.', '-')}'",
                )
            if name in kinds:
                yield Problem(
                    read.key_place(path),
                    f"the id '{short(name)}' is used twice; the other is at {read.key_place(kinds[name][1])}",
                    do="give one of them another id",
                )
            else:
                kinds[name] = (element.kind, path)


def _statements(read: SiteFile, kinds: Kinds) -> Iterator[Problem]:
    """A statement about a list or a room that is not there would count for nothing, without a word."""
    for index, said in enumerate(read.site.looked):
        at: Path = ("looked", index)
        if said.list_ not in lists():
            near = nearest(said.list_, lists())
            yield Problem(
                read.place((*at, "list")),
                f"there is no list '{short(said.list_)}' in a site file",
                "one of: " + ", ".join(spaced(name) for name in element_lists()),
                f"did you mean '{near}'?" if near else "",
            )
        for key, value in (("in", said.in_), ("except", said.except_)):
            for number, name in enumerate([value] if isinstance(value, str) else value or ()):
                if name not in kinds and not (key == "in" and "." in name):
                    here = (*at, key) if isinstance(value, str) else (*at, key, number)
                    yield _nowhere(name, here, kinds, read)


def _nowhere(name: str, path: Path, kinds: Kinds, read: SiteFile) -> Problem:
    near = nearest(name, kinds)
    return Problem(
        read.place(path),
        f"'{short(name)}' is the id of nothing in this site",
        f"a room, a wall (room.wall) or another id: {_some(kinds) or '(none is written yet)'}",
        f"did you mean '{near}'?" if near else "",
    )


def _some(names: Iterable[str]) -> str:
    return ", ".join(short(name) for name in list(names)[:MOST_LISTED])


def _a(noun: str) -> str:
    return ("an " if noun[:1] in "aeio" else "a ") + noun


def _references(model: Element, path: Path, kinds: Kinds, read: SiteFile) -> Iterator[Problem]:
    for field_name, key, wanted in _referring(type(model)):
        value = getattr(model, field_name)
        if value is None:
            continue
        at = (*path, key)
        for index, name in enumerate([value] if isinstance(value, str) else value):
            here = at if isinstance(value, str) else (*at, index)
            kind = kinds.get(name)
            if kind is not None and (kind[0] in wanted or "any" in wanted):
                continue
            fitting = [other for other, (other_kind, _) in kinds.items() if other_kind in wanted or "any" in wanted]
            near = nearest(name, fitting)
            what = " or ".join(word.replace("_", " ") for word in wanted)
            message = (
                f"'{short(name)}' is no {what} of this site"
                if kind is None
                else f"'{short(name)}' is {_a(kind[0].replace('_', ' '))}, not {_a(what)}"
            )
            do = f"write {_a(what)} with this id, or leave the line out while nobody knows"
            yield Problem(
                read.place(here),
                message,
                f"the id of {_a(what)}: {_some(fitting) or '(none is written yet)'}",
                f"did you mean '{near}'?" if near else do,
            )


@lru_cache(maxsize=256)
def _referring(model: type[Element]) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """The fields of a class that name other elements: field, key in the file, kinds they may name."""
    return tuple(
        (name, about.alias or spaced(name), mark.kinds)
        for name, about in model.model_fields.items()
        for mark in [one for one in _marks(about) if isinstance(one, RefTo)][:1]
    )


def _marks(about: Any) -> Iterable[Any]:
    yield from about.metadata
    waiting = [about.annotation]
    while waiting:
        part = waiting.pop()
        yield from getattr(part, "__metadata__", ())
        waiting.extend(typing.get_args(part))
