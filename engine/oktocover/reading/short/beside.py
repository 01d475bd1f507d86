"""Files beside a site that a short form names: where they are, what they hold, and the places of what is in them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any, Protocol

from oktocover.reading._field_faults import short
from oktocover.reading._text import clean, decode, read_bytes
from oktocover.reading.nodes import read_yaml_file
from oktocover.reading.problems import InputProblems, Place
from oktocover.reading.short.work import Path, Work

FILES = "files beside the site"
"""The first step of the path of a value in such a file; the second is the number of the file."""


class Placed(Protocol):
    """A document that knows the place of each value by its path."""

    @property
    def lines(self) -> list[str]: ...

    def place(self, path: Path) -> Place: ...

    def key_place(self, path: Path) -> Place: ...


@dataclass(slots=True)
class _Within:
    """A document whose values are looked up below (FILES, number)."""

    document: Placed

    @property
    def lines(self) -> list[str]:
        return self.document.lines

    def place(self, path: Path) -> Place:
        return self.document.place(path[2:])

    def key_place(self, path: Path) -> Place:
        return self.document.key_place(path[2:])


def enrol(work: Work, document: Placed) -> Path:
    """The path below which the values of another document are found from now on."""
    number = sum(1 for path in work.read._sources if path[0] == FILES)
    work.read._sources[FILES, number] = _Within(document)  # type: ignore[assignment]
    return FILES, number


def find(work: Work, at: Path, name: str, kinds: tuple[str, ...]) -> FilePath | None:
    """The file that the value at `at` names, beside the file it stands in; None, and said, when there is none."""
    folder = FilePath(work.read.place(at).file).parent
    wanted = f"the name of a file beside the site that ends in {' or '.join(kinds)}"
    if FilePath(name).is_absolute() or not name.strip() or "\0" in name:
        work.wrong(at, f"'{short(name)}' is no file beside the site", wanted)
    elif not name.lower().endswith(kinds):
        work.wrong(at, f"'{short(name)}' is no file that can be read here", wanted)
    elif not (folder / name).is_file():
        there = (
            sorted(one.name for one in folder.iterdir() if one.name.lower().endswith(kinds)) if folder.is_dir() else []
        )
        work.unknown(at, f"there is no file '{short(name)}' beside the site", name, there or [wanted])
    else:
        return folder / name
    return None


def yaml_beside(work: Work, path: FilePath) -> tuple[Any, Path] | None:
    """The data of a YAML file and the path of its values; None when it cannot be read, which is said."""
    try:
        document = read_yaml_file(path, str(path))
    except InputProblems as error:
        work.problems.extend(error.problems)
        return None
    return document.data, enrol(work, document)


def text_beside(work: Work, path: FilePath) -> str | None:
    """The text of a file, its spaces plain; None when it cannot be read, which is said."""
    try:
        return clean(decode(read_bytes(path, str(path)), str(path)), str(path))
    except InputProblems as error:
        work.problems.extend(error.problems)
        return None
