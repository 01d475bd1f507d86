"""YAML text to plain data in which every scalar is text, with the place of each value known by its path.

The field that a value stands in decides its type, never the reader: YAML 1.1 makes `9:05` a number, `no`
false and `310.10` 310.1. Values are read from the parser's event stream in one loop without recursion, so
depth, size and aliases are judged before anything is built.
"""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

import yaml

from oktocover.reading import _traps
from oktocover.reading._parser import YamlError, new_parser
from oktocover.reading._text import clean, decode, read_bytes, split_lines
from oktocover.reading.mend import Mender
from oktocover.reading.problems import InputProblems, Place, Problem

Data: TypeAlias = "str | None | list[Data] | dict[str, Data]"
DataPath: TypeAlias = "tuple[str | int, ...]"

MOST_DEPTH = 60
MOST_NODES = 400_000
MOST_PROBLEMS = 100

# A place is one integer, line in the high bits: 400,000 of them must stay small.
_COLUMN_BITS = 24
_COLUMN_MASK = (1 << _COLUMN_BITS) - 1


class _Branch:
    """Where a list or mapping begins, where its keys stand, and the places of what is in it."""

    __slots__ = ("at", "keys", "inside")

    def __init__(self, at: int, inside: "list[_Spot] | dict[str, _Spot]") -> None:
        self.at = at
        self.keys: dict[str, int] = {}
        self.inside = inside


_Spot: TypeAlias = "int | _Branch"


@dataclass(slots=True)
class Document:
    """One YAML document: `data`, the `file` it came from as shown to people, and its source `lines`.

    In `data` a scalar is `str` as written; an empty value (`key:`, `~`, `null`) is None, 'not recorded'.
    """

    data: Data
    file: str
    lines: list[str] = field(repr=False)
    _spots: _Spot = field(repr=False, default=0)
    _ends: dict[int, int] | None = field(repr=False, default=None)

    def place(self, path: DataPath) -> Place:
        """Where the value at `path` begins; for a path that is not there, its nearest parent that is."""
        return self._shown(_start(self._walk(path)[0]))

    def key_place(self, path: DataPath) -> Place:
        """Where the key of the value at `path` stands; for an item of a list, where the item begins."""
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
        if not whole or not path or not isinstance(parent, _Branch):
            return ""
        spot = parent.keys.get(str(path[-1]))
        return "" if spot is None else self._with(spot, key)

    def _walk(self, path: DataPath) -> tuple[_Spot, bool]:
        spot = self._spots
        for step in path:
            if not isinstance(spot, _Branch):
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
        if path:
            parent, whole = self._walk(path[:-1])
            if whole and isinstance(parent, _Branch) and str(path[-1]) in parent.keys:
                return parent.keys[str(path[-1])]
            if not whole:
                return self._key_spot(path[:-1])
        return _start(self._walk(path)[0])

    def _with(self, spot: int, text: str) -> str:
        if self._ends is None:
            self._ends = _scalar_ends("\n".join(self.lines))
        end = self._ends.get(spot, -1)
        if end >> _COLUMN_BITS != spot >> _COLUMN_BITS:
            return ""
        line = self.lines[spot >> _COLUMN_BITS]
        begin = spot & _COLUMN_MASK
        gap = " " if begin and end == spot and line[begin - 1] == ":" else ""
        return line[:begin] + gap + text + line[end & _COLUMN_MASK :]

    def _shown(self, spot: int) -> Place:
        return Place(self.file, (spot >> _COLUMN_BITS) + 1, (spot & _COLUMN_MASK) + 1)


def read_yaml_file(path: Path, shown: str | None = None) -> Document:
    """The one document of a YAML file; `shown` is the file's name in messages. Raises InputProblems."""
    file = shown if shown is not None else str(path)
    return read_yaml(decode(read_bytes(path, file), file), file)


def read_yaml(text: str, file: str) -> Document:
    """The one document of a YAML text; InputProblems with everything found wrong in it."""
    documents = read_yaml_documents(text, file)
    if len(documents) > 1:
        second = documents[1]
        problem = Problem(
            second.place(()),
            "a second document begins here",
            expected="one document in this file",
            do="take out the line '---' above it, or put it into a file of its own",
        )
        raise InputProblems([problem])
    return documents[0]


def read_yaml_documents(text: str, file: str) -> list[Document]:
    """All documents of a YAML text (separated by `---`) that are not empty, at least one.

    Raises InputProblems with everything found wrong. After a line that YAML cannot read, the reader goes on
    as if the mended line stood there, so that one run shows the other faults too.
    """
    text = clean(text, file)
    mender = Mender(text, file)
    while True:
        builder = _Builder(mender.text, file)
        try:
            builder.run()
        except YamlError as error:
            if mender.mend(error, builder.last):
                continue
        break
    problems = mender.problems + builder.problems
    if not problems and not builder.documents:
        problems = [_empty(file)]
    if problems:
        raise InputProblems(problems)
    return builder.documents


def _empty(file: str) -> Problem:
    return Problem(
        Place(file, 1, 1),
        "the file is empty, or holds only comments",
        do="begin with a line such as `site: ...`, or let `oktocover start` write the first lines",
    )


def _start(spot: _Spot) -> int:
    return spot.at if isinstance(spot, _Branch) else spot


def _spot(mark: Any) -> int:
    return int(mark.line << _COLUMN_BITS | mark.column)


def _scalar_ends(text: str) -> dict[int, int]:
    parser = new_parser(text)
    ends: dict[int, int] = {}
    while not isinstance(event := parser.get_event(), yaml.StreamEndEvent):
        if isinstance(event, yaml.ScalarEvent):
            ends[_spot(event.start_mark)] = _spot(event.end_mark)
    return ends


class _Frame:
    """A list or mapping that is being filled."""

    __slots__ = ("data", "branch", "key", "key_event", "flow", "as_key", "previous")

    def __init__(
        self, data: "list[Data] | dict[str, Data]", branch: _Branch, flow: bool, as_key: bool
    ) -> None:
        self.data = data
        self.branch = branch
        self.key: str | None = None
        self.key_event: Any = None
        self.flow = flow
        self.as_key = as_key
        self.previous: Any = None


class _Builder:
    """Turns the events of one text into documents, gathering what is wrong on the way."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = split_lines(text)
        self.traps = _traps.Traps(text, self.lines, file)
        self.problems = self.traps.problems
        self.documents: list[Document] = []
        self.last: Any = None
        self._parser = new_parser(text)
        self._stack: list[_Frame] = []
        self._nodes = 0

    def run(self) -> None:
        get_event = self._parser.get_event
        handlers = {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._mapping,
            yaml.SequenceStartEvent: self._sequence,
            yaml.MappingEndEvent: self._end,
            yaml.SequenceEndEvent: self._end,
            yaml.AliasEvent: self._alias,
        }
        while True:
            event = get_event()
            handler = handlers.get(type(event))
            if handler is not None:
                handler(event)
                self.last = event
            elif isinstance(event, yaml.StreamEndEvent):
                return
            if len(self.problems) > MOST_PROBLEMS:
                return

    def _scalar(self, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self.traps.decorated(event)
        self._count(event)
        value: str = event.value
        frame = self._stack[-1] if self._stack else None
        if frame is not None and frame.key is None and isinstance(frame.data, dict):
            self._key(frame, event, self.traps.plain_text(event))
            return
        data: str | None = value
        if not event.style:
            data = None if value in ("", "~", "null") else self.traps.plain_text(event)
        self.traps.value(event, frame)
        self._put(data, _spot(event.start_mark))
        if frame is not None and frame.flow:
            frame.previous = event

    def _key(self, frame: _Frame, event: Any, key: str) -> None:
        spot = _spot(event.start_mark)
        first = frame.branch.keys.get(key)
        if first is not None:
            self.traps.twice(event, key, (first >> _COLUMN_BITS) + 1)
        self.traps.key(event, frame)
        frame.key = key
        frame.key_event = event
        frame.branch.keys[key] = spot

    def _put(self, data: Data, spot: _Spot) -> None:
        if not self._stack:
            if data is not None:
                self.documents.append(Document(data, self.file, self.lines, spot))
            return
        frame = self._stack[-1]
        inside = frame.branch.inside
        if isinstance(frame.data, dict) and isinstance(inside, dict):
            key = frame.key or ""
            frame.data[key] = data
            inside[key] = spot
            frame.key = None
        elif isinstance(frame.data, list) and isinstance(inside, list):
            frame.data.append(data)
            inside.append(spot)

    def _mapping(self, event: Any) -> None:
        self._open(event, {}, {})

    def _sequence(self, event: Any) -> None:
        self._open(event, [], [])

    def _open(
        self, event: Any, data: "list[Data] | dict[str, Data]", inside: "list[_Spot] | dict[str, _Spot]"
    ) -> None:
        if event.anchor is not None or event.tag is not None:
            self.traps.decorated(event)
        self._count(event)
        if len(self._stack) >= MOST_DEPTH:
            raise InputProblems([self.traps.too_deep(event, MOST_DEPTH)])
        parent = self._stack[-1] if self._stack else None
        as_key = parent is not None and parent.key is None and isinstance(parent.data, dict)
        if as_key:
            self.traps.not_a_name(event)
        self._stack.append(
            _Frame(data, _Branch(_spot(event.start_mark), inside), bool(event.flow_style), as_key)
        )

    def _end(self, event: Any) -> None:
        frame = self._stack.pop()
        if frame.as_key:
            self._stack[-1].key = ""
            self._stack[-1].key_event = event
        else:
            self._put(frame.data, frame.branch)
            if self._stack:
                self._stack[-1].previous = None

    def _alias(self, event: Any) -> None:
        self._count(event)
        self.traps.alias(event)
        frame = self._stack[-1] if self._stack else None
        if frame is not None and frame.key is None and isinstance(frame.data, dict):
            frame.key = ""
            frame.key_event = event
        else:
            self._put(None, _spot(event.start_mark))

    def _count(self, event: Any) -> None:
        self._nodes += 1
        if self._nodes > MOST_NODES:
            raise InputProblems([self.traps.too_many(event, MOST_NODES)])
