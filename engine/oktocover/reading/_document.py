"""A document read from YAML: plain data, and the places of its values kept beside it in few bytes."""

import hashlib
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeAlias

import yaml

from oktocover.reading._parser import new_parser
from oktocover.reading._text import clean, decode, split_lines
from oktocover.reading.problems import Place

Data: TypeAlias = "str | None | list[Data] | dict[str, Data]"
DataPath: TypeAlias = "tuple[str | int, ...]"

# A place is one integer, line in the high bits: 200,000 of them must stay small.
_COLUMN_BITS = 24
_COLUMN_MASK = (1 << _COLUMN_BITS) - 1


class Branch:
    """Where a list or mapping begins, where its keys stand, and the places of what is in it."""

    __slots__ = ("at", "keys", "inside")

    def __init__(self, at: int, inside: "list[Spot] | dict[str, Spot]") -> None:
        self.at = at
        self.keys: dict[str, int] = {}
        self.inside = inside


Spot: TypeAlias = "int | Branch"


@dataclass
class Document:
    """One YAML document: `data`, and the `file` it came from as shown to people.

    In `data` a scalar is `str` as written; an empty value (`key:`, `~`, `null`) is None, 'not recorded'.
    Of a document whose data was kept, the text and where its values stand (`_seen`) are read again if anybody asks.
    """

    data: Data
    file: str
    _written: str | bytes = field(repr=False)
    _seen: "Spot | None" = field(repr=False, default=0)

    @cached_property
    def _text(self) -> str:
        written = self._written
        return written if isinstance(written, str) else clean(decode(written, self.file), self.file)

    @cached_property
    def digest(self) -> str:
        """A short sum of its text."""
        written = self._written
        return hashlib.sha256(written if isinstance(written, bytes) else written.encode("utf-8", "replace")).hexdigest()

    @cached_property
    def _spots(self) -> Spot:
        if self._seen is not None:
            return self._seen
        from oktocover.reading._builder import Builder

        builder = Builder(self._text, self.file)
        builder.run()
        return builder.documents[0]._spots if builder.documents else 0

    @cached_property
    def lines(self) -> list[str]:
        """The source lines without their breaks."""
        return split_lines(self._text)

    @cached_property
    def _ends(self) -> dict[int, int]:
        return _scalar_ends(self._text)

    def place(self, path: DataPath) -> Place:
        """Where the value at `path` begins; for a path that is not there, its nearest parent that is."""
        return self._shown(_start(self._walk(path)[0]))

    def key_place(self, path: DataPath) -> Place:
        """Where the key of the value at `path` stands; for an item of a list, where the item begins.

        For a path that is not there, the same of its nearest parent that is.
        """
        return self._shown(self._key_spot(path))

    def line_text(self, line: int) -> str:
        """The source line with that number (from 1), or '' outside the file."""
        return self.lines[line - 1] if 0 < line <= len(self.lines) else ""

    def mended(self, path: DataPath, text: str) -> str:
        """The source line of the scalar at `path` with `text` in its place; '' if it spans several lines.

        `text` is put in as it is, so quotes that YAML needs are the caller's to write.
        """
        spot, whole = self._walk(path)
        return self._with(spot, text) if whole and isinstance(spot, int) else ""

    def mended_key(self, path: DataPath, key: str) -> str:
        """The source line of the key at `path` with `key` in its place; '' for an item of a list."""
        parent, whole = self._walk(path[:-1])
        if not whole or not path or not isinstance(parent, Branch):
            return ""
        spot = parent.keys.get(str(path[-1]))
        return "" if spot is None else self._with(spot, key)

    def _walk(self, path: DataPath) -> tuple[Spot, bool]:
        spot = self._spots
        for step in path:
            if not isinstance(spot, Branch):
                return spot, False
            inside = spot.inside
            if isinstance(inside, dict):
                if not isinstance(step, str) or step not in inside:
                    return spot, False
                spot = inside[step]
            elif isinstance(step, int) and -len(inside) <= step < len(inside):
                spot = inside[step]
            else:
                return spot, False
        return spot, True

    def _key_spot(self, path: DataPath) -> int:
        for length in range(len(path), 0, -1):
            spot, whole = self._walk(path[:length])
            if whole:
                parent = self._walk(path[: length - 1])[0]
                keys = parent.keys if isinstance(parent, Branch) else {}
                return keys.get(str(path[length - 1]), _start(spot))
        return _start(self._spots)

    def _with(self, spot: int, text: str) -> str:
        end = self._ends.get(spot, -1)
        if end >> _COLUMN_BITS != spot >> _COLUMN_BITS:
            return ""
        line = self.lines[spot >> _COLUMN_BITS]
        begin = spot & _COLUMN_MASK
        gap = " " if begin and end == spot and line[begin - 1] == ":" else ""
        return line[:begin] + gap + text + line[end & _COLUMN_MASK :]

    def _shown(self, spot: int) -> Place:
        return Place(self.file, (spot >> _COLUMN_BITS) + 1, (spot & _COLUMN_MASK) + 1)


def _start(spot: Spot) -> int:
    return spot.at if isinstance(spot, Branch) else spot


def spot_of(mark: Any) -> int:
    return int(mark.line << _COLUMN_BITS | mark.column)


def _scalar_ends(text: str) -> dict[int, int]:
    parser = new_parser(text)
    ends: dict[int, int] = {}
    while not isinstance(event := parser.get_event(), yaml.StreamEndEvent):
        if isinstance(event, yaml.ScalarEvent):
            ends[spot_of(event.start_mark)] = spot_of(event.end_mark)
    return ends


def line_of(spot: int) -> int:
    """The line of a place, from 1."""
    return (spot >> _COLUMN_BITS) + 1
