"""A site file (or a folder of them) to a checked Site: every mistake with its file, line, column and what to do."""

from __future__ import annotations

import datetime
import typing
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml, read_yaml_file
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.site.base import HOW_KNOWN, Element, Node, RefTo, SiteProblem, spaced
from oktocover.site.checks import site_problems
from oktocover.site.root import Site, element_lists

Path = tuple[str | int, ...]
FACT_KEYS = {"is", "known", "by", "day", "was", "note"}
"""Keys of a fact written with how it is known: `height: {is: 44 in, known: told, by: the electrician}`."""


@dataclass(slots=True)
class SiteFile:
    """A site that was read, with what the files say about each fact."""

    site: Site
    shown: str
    known: dict[Path, str] = field(default_factory=dict)
    said_by: dict[Path, str] = field(default_factory=dict)
    warnings: tuple[Problem, ...] = ()
    _sources: dict[Path, Document] = field(default_factory=dict)
    _whole: Document | None = None

    def place(self, path: Path) -> Place:
        """Where a value (or its nearest parent) stands."""
        document = self._document(path)
        return document.place(path)

    def key_place(self, path: Path) -> Place:
        """Where the key of a value stands."""
        return self._document(path).key_place(path)

    def _document(self, path: Path) -> Document:
        for length in range(min(len(path), 2), 0, -1):
            found = self._sources.get(path[:length])
            if found is not None:
                return found
        assert self._whole is not None
        return self._whole


def read_site(path: FilePath, today: datetime.date | None = None) -> SiteFile:
    """Read a site file, or every .yaml file of a folder as one site. InputProblems holds all that is wrong."""
    if path.is_dir():
        files = sorted(p for p in path.iterdir() if p.suffix in (".yaml", ".yml") and not p.name.startswith("."))
        if not files:
            raise InputProblems(
                [Problem(None, f"the folder '{path.name}' holds no .yaml file", do="oktocover start writes one")]
            )
        documents = _read_all(files, path)
    else:
        documents = [read_yaml_file(path, str(path))]
    return make_site(documents, str(path), today)


def read_site_text(text: str, file: str = "site.yaml", today: datetime.date | None = None) -> SiteFile:
    """Read a site from text."""
    return make_site([read_yaml(text, file)], file, today)


def _read_all(files: list[FilePath], folder: FilePath) -> list[Document]:
    documents: list[Document] = []
    problems: list[Problem] = []
    for file in files:
        try:
            documents.append(read_yaml_file(file, str(file)))
        except InputProblems as error:
            problems.extend(error.problems)
    if problems:
        raise InputProblems(problems)
    return documents


def make_site(documents: list[Document], shown: str = "", today: datetime.date | None = None) -> SiteFile:
    """Check documents as one site."""
    problems: list[Problem] = []
    read = SiteFile(Site(), shown, _whole=documents[0])
    data = _merge(documents, read, problems)
    data = {key: _plain(value, (key,), read, problems) for key, value in data.items() if value is not None}
    try:
        read.site = Site.model_validate(data)
    except ValidationError as error:
        problems.extend(_field_problems(error, data, read))
    if not problems:
        problems.extend(_ids_and_references(read))
        for found in site_problems(read.site, today):
            problems.append(_from_site(found, read))
    errors = [one for one in problems if not one.warning]
    if errors:
        raise InputProblems(problems)
    read.warnings = tuple(problems)
    return read


def _from_site(found: SiteProblem, read: SiteFile) -> Problem:
    return Problem(read.place(found.path), found.message, found.expected, found.do, warning=found.warning)


def _merge(documents: list[Document], read: SiteFile, problems: list[Problem]) -> dict[str, Any]:
    merged: dict[str, Any] = {}
    for document in documents:
        if not isinstance(document.data, dict):
            problems.append(
                Problem(
                    document.place(()),
                    "a site file is a mapping",
                    "site: Name of the building",
                    "begin with: site: ..., or run oktocover start",
                )
            )
            continue
        for key, value in document.data.items():
            _merge_key(merged, key, value, document, read, problems)
    return merged


def _merge_key(
    merged: dict[str, Any], key: str, value: Any, document: Document, read: SiteFile, problems: list[Problem]
) -> None:
    if key not in merged:
        merged[key] = dict(value) if isinstance(value, dict) else list(value) if isinstance(value, list) else value
        read._sources[(key,)] = document
        if isinstance(value, dict):
            read._sources.update({(key, name): document for name in value})
        return
    known = merged[key]
    if isinstance(known, dict) and isinstance(value, dict):
        for name, inner in value.items():
            if name in known:
                other = read._document((key, name)).key_place((key, name))
                problems.append(
                    Problem(document.key_place((key, name)), f"'{name}' stands twice; the other is at {other}")
                )
                continue
            known[name] = inner
            read._sources[key, name] = document
    elif isinstance(known, list) and isinstance(value, list):
        for inner in value:
            read._sources[key, len(known)] = _shifted(document, key, len(known), value.index(inner))
            known.append(inner)
    else:
        other = read._document((key,)).key_place((key,))
        problems.append(Problem(document.key_place((key,)), f"'{key}' stands in two files; the other is at {other}"))


@dataclass(slots=True)
class _Shifted:
    """A document whose list continues another file's list: places are looked up under the list's own index."""

    document: Document
    key: str
    merged: int
    own: int

    @property
    def lines(self) -> list[str]:
        return self.document.lines

    def _path(self, path: Path) -> Path:
        return (self.key, self.own, *path[2:]) if path[:2] == (self.key, self.merged) else path

    def place(self, path: Path) -> Place:
        return self.document.place(self._path(path))

    def key_place(self, path: Path) -> Place:
        return self.document.key_place(self._path(path))


def _shifted(document: Document, key: str, merged: int, own: int) -> Any:
    return _Shifted(document, key, merged, own)


def _plain(value: Any, path: Path, read: SiteFile, problems: list[Problem]) -> Any:
    """Drop blanks, and take facts written as `{is: ..., known: ...}` apart."""
    if isinstance(value, dict):
        if "is" in value and set(value) <= FACT_KEYS:
            return _told(value, path, read, problems)
        return {key: _plain(inner, (*path, key), read, problems) for key, inner in value.items() if inner is not None}
    if isinstance(value, list):
        return [_plain(inner, (*path, index), read, problems) for index, inner in enumerate(value) if inner is not None]
    return value


def _told(value: dict[str, Any], path: Path, read: SiteFile, problems: list[Problem]) -> Any:
    how = value.get("known")
    if how is not None:
        if how not in HOW_KNOWN:
            near = nearest(str(how), HOW_KNOWN)
            problems.append(
                Problem(
                    read.place((*path, "known")),
                    f"'{how}' is no way of knowing",
                    "one of: " + ", ".join(HOW_KNOWN),
                    f"did you mean '{near}'?" if near else "",
                )
            )
        else:
            read.known[path] = str(how)
    if value.get("by"):
        read.said_by[path] = str(value["by"])
    return value["is"]


def _field_problems(error: ValidationError, data: dict[str, Any], read: SiteFile) -> Iterator[Problem]:
    by_path: dict[Path, list[dict[str, Any]]] = {}
    for one in error.errors(include_url=False):
        path = _real_path(one["loc"], data, keep_last=one["type"] == "extra_forbidden")
        by_path.setdefault(path, []).append(typing.cast("dict[str, Any]", one))
    for path, found in by_path.items():
        yield _field_problem(path, found, data, read)


def _real_path(loc: tuple[Any, ...], data: Any, keep_last: bool) -> Path:
    """The part of pydantic's location that is really in the file (unions add parts of their own)."""
    path: list[str | int] = []
    for part in loc:
        if (
            isinstance(data, dict)
            and part in data
            or isinstance(data, list)
            and isinstance(part, int)
            and part < len(data)
        ):
            data = data[part]
        else:
            continue
        path.append(part)
    return tuple(path)


def _at(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def _field_problem(path: Path, found: list[dict[str, Any]], data: dict[str, Any], read: SiteFile) -> Problem:
    first = min(
        found,
        key=lambda one: (
            ("extra_forbidden", "quantity", "reader", "not_text").index(one["type"])
            if one["type"] in ("extra_forbidden", "quantity", "reader", "not_text")
            else 9
        ),
    )
    context = first.get("ctx") or {}
    value = _at(data, path)
    name = str(path[-1]) if path else ""
    if first["type"] == "extra_forbidden":
        choices = _keys_at(path[:-1])
        near = nearest(name, choices)
        return Problem(
            read.key_place(path),
            f"'{name}' is not a key that stands here",
            "one of: " + ", ".join(choices),
            f"did you mean '{near}'?" if near else "",
        )
    if first["type"] == "missing":
        return Problem(read.place(path), f"'{first['loc'][-1]}' is missing here", f"{first['loc'][-1]}: ...")
    words = _words(found)
    if words and isinstance(value, str):
        near = nearest(value, words)
        also = next((one["ctx"]["expected"] for one in found if one["type"] == "quantity" and one.get("ctx")), "")
        return Problem(
            read.place(path),
            f"{name}: '{value}' is not one of the words that can stand here",
            ", ".join(words) + (f", or {also}" if also else ""),
            f"did you mean '{near}'?" if near else "",
        )
    if first["type"] in ("quantity", "reader", "not_text"):
        suggestion = context.get("suggestion") or ""
        message, expected = str(context.get("message", first["msg"])), str(context.get("expected") or "")
        return Problem(
            read.place(path),
            f"{name}: {message}",
            "" if expected in message else expected,
            f"did you mean '{suggestion}'?" if suggestion else "",
        )
    wanted = {
        "dict_type": "a mapping of names",
        "list_type": "a list",
        "string_type": "text",
        "model_type": "a mapping: key: value on lines of its own",
    }
    return Problem(read.place(path), f"{name}: this cannot stand here", wanted.get(first["type"], first["msg"]))


def _words(found: list[dict[str, Any]]) -> list[str]:
    words: list[str] = []
    for one in found:
        if one["type"] == "literal_error":
            words.extend(part.strip().strip("'") for part in one["ctx"]["expected"].replace(" or ", ", ").split(","))
    return [word for word in words if word]


def _keys_at(path: Path) -> list[str]:
    """The keys that may stand in the mapping at `path` of a site file."""
    model: Any = Site
    for part in path:
        model = _inside(model, part)
        if model is None:
            return []
    if isinstance(model, type) and issubclass(model, Node):
        return [field.alias or spaced(name) for name, field in model.model_fields.items()]
    return []


def _inside(model: Any, part: str | int) -> Any:
    if isinstance(model, type) and issubclass(model, Node):
        found = next((f for name, f in model.model_fields.items() if (f.alias or spaced(name)) == part), None)
        return found.annotation if found else None
    for inner in typing.get_args(model):
        if isinstance(inner, type) and issubclass(inner, Node):
            return inner
        deeper = _inside(inner, part) if typing.get_args(inner) else None
        if deeper is not None:
            return deeper
    return None


def _ids_and_references(read: SiteFile) -> Iterator[Problem]:
    """Ids are unique over all lists; every reference leads to an element of the right kind."""
    kinds: dict[str, tuple[str, Path]] = {}
    for field_name, element in element_lists().items():
        for name in getattr(read.site, field_name):
            path: Path = (spaced(field_name), name)
            if name in kinds:
                yield Problem(
                    read.key_place(path),
                    f"the id '{name}' is used twice; the other is at {read.key_place(kinds[name][1])}",
                    do="give one of them another id",
                )
            else:
                kinds[name] = (element.kind, path)
    yield from _statements(read, set(kinds))
    for field_name in element_lists():
        for name, model in getattr(read.site, field_name).items():
            yield from _references(model, (spaced(field_name), name), kinds, read)


def _statements(read: SiteFile, ids: set[str]) -> Iterator[Problem]:
    """A statement names a list that a site file has, and rooms, walls or elements that are written."""
    lists = [spaced(name) for name in element_lists()]
    for index, said in enumerate(read.site.looked):
        if said.list_ not in lists:
            near = nearest(said.list_, lists)
            yield Problem(
                read.place(("looked", index, "list")),
                f"there is no list called '{said.list_}'",
                "one of: " + ", ".join(lists),
                f"did you mean '{near}'?" if near else "",
            )
        for place in [said.in_] if isinstance(said.in_, str) else said.in_ or ():
            if place.partition(".")[0] not in ids:
                near = nearest(place, ids)
                yield Problem(
                    read.place(("looked", index, "in")),
                    f"'{place}' is no room, wall or element of this site",
                    "the id of a room, room.wall, or the id of an element",
                    f"did you mean '{near}'?" if near else "",
                )


def _references(model: Element, path: Path, kinds: dict[str, tuple[str, Path]], read: SiteFile) -> Iterator[Problem]:
    for field_name, about in type(model).model_fields.items():
        marks = [mark for mark in _marks(about) if isinstance(mark, RefTo)]
        value = getattr(model, field_name)
        if not marks or value is None:
            continue
        at = (*path, about.alias or spaced(field_name))
        wanted = marks[0].kinds
        for index, name in enumerate([value] if isinstance(value, str) else value):
            here = at if isinstance(value, str) else (*at, index)
            kind = kinds.get(name)
            if kind is not None and (kind[0] in wanted or "any" in wanted):
                continue
            fitting = [other for other, (other_kind, _) in kinds.items() if other_kind in wanted or "any" in wanted]
            near = nearest(name, fitting)
            what = " or ".join(word.replace("_", " ") for word in wanted)
            message = (
                f"'{name}' is no {what} of this site"
                if kind is None
                else f"'{name}' is a {kind[0].replace('_', ' ')}, not a {what}"
            )
            yield Problem(
                read.place(here),
                message,
                f"the id of a {what}: {', '.join(fitting[:12]) or '(none is written yet)'}",
                f"did you mean '{near}'?" if near else "",
            )


def _marks(about: Any) -> Iterable[Any]:
    yield from about.metadata
    waiting = [about.annotation]
    while waiting:
        part = waiting.pop()
        yield from getattr(part, "__metadata__", ())
        waiting.extend(typing.get_args(part))
