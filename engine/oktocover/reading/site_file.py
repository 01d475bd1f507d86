"""A site file (or a folder of them) to a checked Site: every mistake with its file, line, column and what to do."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from oktocover.reading._field_faults import field_problems, keys_at, lists, real_path, short
from oktocover.reading._references import reference_problems
from oktocover.reading.companions import is_companion
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml, read_yaml_file
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.reading.short import expand
from oktocover.reading.short.work import Work
from oktocover.site.base import HOW_KNOWN, SiteProblem
from oktocover.site.checks import site_problems
from oktocover.site.declared import Declared, in_force, speaking
from oktocover.site.root import Site, site_model

Path = tuple[str | int, ...]
Elsewhere = Callable[[str, str], str]
JURISDICTION, STANDARDS = ("permit", "jurisdiction"), ("permit", "standards")
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
    origins: dict[Path, Path] = field(default_factory=dict)
    """Where a value that a short form wrote out was really written, by the path it has now."""
    expanded: dict[str, Any] = field(default_factory=dict)
    """The long form of what was read: plain data without short forms."""
    rests_on: list[str] = field(default_factory=list)
    """What statements and assumptions were taken to say, as a report lists it."""
    elsewhere: Elsewhere | None = None
    """(list or root, fact) of a key that cannot stand here -> who declares it, or nothing."""
    instead: dict[Path, str] = field(default_factory=dict)
    """What somebody in the field said where there could be no answer, by the path of the fact."""
    _sources: dict[Path, Document] = field(default_factory=dict)
    _whole: Document | None = None

    def place(self, path: Path) -> Place:
        """Where a value (or its nearest parent) stands."""
        path = self._written(path)
        document = self._document(path)
        return document.place(path)

    def key_place(self, path: Path) -> Place:
        """Where the key of a value stands."""
        path = self._written(path)
        return self._document(path).key_place(path)

    def chain_of(self, path: Path) -> str | None:
        """The circuit in whose chain a value was written; None when it was written elsewhere."""
        written = self._written(path)
        if "chain" not in written:
            return None
        return str(written[1]) if written[0] == "circuits" else str(written[written.index("chain") - 1])

    def sources(self) -> list[Any]:
        """The data of each file as it was written, short forms and all."""
        found = (getattr(one, "document", one) for one in (*self._sources.values(), self._whole))
        return [one.data for one in {id(one): one for one in found if one is not None}.values()]

    def _written(self, path: Path) -> Path:
        """The path under which a value was written, before any short form was written out."""
        for length in range(len(path), 0, -1) if self.origins else ():
            found = self.origins.get(path[:length])
            if found is not None:
                return (*found, *path[length:])
        return path

    def _document(self, path: Path) -> Document:
        for length in range(min(len(path), 2), 0, -1):
            found = self._sources.get(path[:length])
            if found is not None:
                return found
        assert self._whole is not None
        return self._whole


def read_site(path: FilePath, today: datetime.date | None = None, declared: Declared | None = None) -> SiteFile:
    """Read a site file, or every .yaml file of a folder as one site. InputProblems holds all that is wrong.

    `declared`: the facts and kinds that the rules of its place declare (those in force here when left out).
    """
    return make_site(site_documents(path), str(path), today, declared)


def site_documents(path: FilePath) -> list[Document]:
    """The documents of a site file or folder, not yet checked as a site."""
    if path.is_dir():
        files = sorted(p for p in path.iterdir() if p.suffix in (".yaml", ".yml") and not p.name.startswith("."))
        files = [one for one in files if not is_companion(one)]
        if not files:
            raise InputProblems(
                [Problem(None, f"the folder '{path.name}' holds no .yaml file", do="oktocover start writes one")]
            )
        return _read_all(files, path)
    return [read_yaml_file(path, str(path))]


def named_place(documents: list[Document]) -> tuple[str | None, list[str], dict[Path, Place]]:
    """The place and the standards a site names, with their lines, before anything of it is checked."""
    found: dict[Path, tuple[str, Place]] = {}
    for document in documents:
        permit = document.data.get("permit") if isinstance(document.data, dict) else None
        if not isinstance(permit, dict):
            continue
        jurisdiction, standards = permit.get("jurisdiction"), permit.get("standards")
        if isinstance(jurisdiction, str):
            found[JURISDICTION] = (jurisdiction, document.place(JURISDICTION))
        for number, name in enumerate(standards if isinstance(standards, list) else ()):
            if isinstance(name, str):
                found[*STANDARDS, number] = (name, document.place((*STANDARDS, number)))
    named = {path: place for path, (_, place) in found.items()}
    jurisdictions = [name for path, (name, _) in found.items() if path == JURISDICTION]
    return next(iter(jurisdictions), None), [name for path, (name, _) in found.items() if path != JURISDICTION], named


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


def make_site(
    documents: list[Document],
    shown: str = "",
    today: datetime.date | None = None,
    declared: Declared | None = None,
    elsewhere: Elsewhere | None = None,
    answers: Sequence[Document] = (),
) -> SiteFile:
    """Check documents as one site, with the files of answers laid in.

    `elsewhere` says which place declares a fact or list that does not stand here.
    """
    with speaking(in_force() if declared is None else declared):
        return _made(documents, shown, today, elsewhere, answers)


def _made(
    documents: list[Document],
    shown: str,
    today: datetime.date | None,
    elsewhere: Elsewhere | None,
    answers: Sequence[Document],
) -> SiteFile:
    problems: list[Problem] = []
    read = SiteFile(site_model()(), shown, elsewhere=elsewhere, _whole=documents[0])
    data = _merge(documents, read, problems)
    merged_with = len(problems)
    if answers:
        from oktocover.reading.answers import lay_in, lay_in_rooms

        lay_in_rooms(answers, data, read)
    data = expand(data, read, problems, today)
    if answers:
        lay_in(answers, Work(data, read, problems, today or datetime.date.today()))
    written_out = all(one.warning for one in problems[merged_with:])
    read.expanded = data
    data = {key: _plain(value, (key,), read, problems) for key, value in data.items() if value is not None}
    sound = _validated(data, read, problems)
    if sound and written_out:
        problems.extend(reference_problems(read))
        taken = {one.place for one in problems}
        found = (_from_site(one, read) for one in site_problems(read.site, today))
        # what stands in a box is wrong where the box is wrong: one line, one answer
        once = {(one.place, one.expected, one.do): one for one in reversed(list(found)) if one.place not in taken}
        problems.extend(reversed(once.values()))
    # a shared value is wrong once, however many entries it was written out to
    problems = list(dict.fromkeys(problems))
    errors = [one for one in problems if not one.warning]
    if errors:
        raise InputProblems(problems)
    read.warnings = tuple(problems)
    return read


def _validated(data: dict[str, Any], read: SiteFile, problems: list[Problem]) -> bool:
    """Fill in the site; whether it can be checked further, its faulty values taken as blank.

    Where a whole list or entry is faulty, whatever refers to it would look wrong too, so nothing more is said.
    """
    for _ in range(2):
        try:
            read.site = site_model().model_validate(data)
        except ValidationError as error:
            problems.extend(field_problems(error, data, read))
            taken = [_taken_out(data, real_path(one["loc"], data)) for one in error.errors(include_url=False)]
            if not all(taken):
                return False
        else:
            return True
    return False


def _taken_out(data: dict[str, Any], path: Path) -> bool:
    """Blank a faulty value; False when other entries may refer to what would be lost with it."""
    if path and path[0] in lists():
        if len(path) > 2:
            data[str(path[0])][path[1]].pop(path[2], None)
        return len(path) > 2
    known = bool(path) and path[0] in keys_at(())
    if known:
        data.pop(str(path[0]), None)
    return known


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
        for own, inner in enumerate(value):
            read._sources[key, len(known)] = _shifted(document, key, len(known), own)
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
        if "is" in value and len(path) > (2 if path[0] in lists() else 0):
            return _told(value, path, read, problems)
        return {key: _plain(inner, (*path, key), read, problems) for key, inner in value.items() if inner is not None}
    if isinstance(value, list):
        return [_plain(inner, (*path, index), read, problems) for index, inner in enumerate(value) if inner is not None]
    return value


def _told(value: dict[str, Any], path: Path, read: SiteFile, problems: list[Problem]) -> Any:
    for key in value:
        if key not in FACT_KEYS:
            near = nearest(key, FACT_KEYS)
            problems.append(
                Problem(
                    read.key_place((*path, key)),
                    f"'{short(key)}' is not said of a fact",
                    "one of: " + ", ".join(sorted(FACT_KEYS)),
                    f"did you mean '{near}'?" if near else "",
                )
            )
    how = value.get("known")
    if how is not None:
        if not isinstance(how, str) or how not in HOW_KNOWN:
            near = nearest(str(how), HOW_KNOWN)
            problems.append(
                Problem(
                    read.place((*path, "known")),
                    f"'{short(how)}' is no way of knowing",
                    "one of: " + ", ".join(HOW_KNOWN),
                    f"did you mean '{near}'?" if near else "",
                )
            )
        else:
            read.known[path] = how
    if value.get("by"):
        read.said_by[path] = str(value["by"])
    return value["is"]
