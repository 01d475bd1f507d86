"""From a parser's events to documents, in one loop and without recursion."""

import gc
from typing import Any

import yaml

from oktocover.reading._document import Branch, Data, Document, Spot, line_of, spot_of
from oktocover.reading._lines import unquoted_curly
from oktocover.reading._parser import new_parser
from oktocover.reading._traps import Traps
from oktocover.reading.problems import InputProblems

MOST_DEPTH = 60
MOST_NODES = 200_000
MOST_PROBLEMS = 100


class _Frame:
    """A list or mapping that is being filled."""

    __slots__ = ("data", "branch", "key", "key_event", "flow", "as_key", "previous")

    def __init__(self, data: "list[Data] | dict[str, Data]", branch: Branch, flow: bool, as_key: bool) -> None:
        self.data = data
        self.branch = branch
        self.key: str | None = None
        self.key_event: Any = None
        self.flow = flow
        self.as_key = as_key
        self.previous: Any = None


class Builder:
    """Turns the events of one text into documents, gathering what is wrong on the way."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.traps = Traps(text, file)
        self.documents: list[Document] = []
        self.last: Any = None
        self._text = text
        self._parser = new_parser(text)
        self._stack: list[_Frame] = []
        self._nodes = 0

    def run(self) -> None:
        """Read to the end, or until so much is wrong that more would help nobody.

        The collector of cycles rests meanwhile: nothing built here refers to itself, and its passes over
        ever more values took as long as all the reading.
        """
        resting = gc.isenabled()
        gc.disable()
        try:
            self._run()
        finally:
            if resting:
                gc.enable()

    def _run(self) -> None:
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
            if len(self.traps.found) > MOST_PROBLEMS:
                return

    def _scalar(self, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self.traps.decorated(event)
        self._count(event)
        value: str = event.value
        frame = self._stack[-1] if self._stack else None
        if frame is not None and frame.key is None and isinstance(frame.data, dict):
            self._key(frame, event, value if event.style else unquoted_curly(value))
            return
        data: str | None = value
        if not event.style:
            data = None if value in ("", "~", "null") else unquoted_curly(value)
        self.traps.value(event, frame)
        self._put(data, spot_of(event.start_mark))
        if frame is not None and frame.flow:
            frame.previous = event if value else None

    def _key(self, frame: _Frame, event: Any, key: str) -> None:
        spot = spot_of(event.start_mark)
        first = frame.branch.keys.get(key)
        if first is not None:
            self.traps.twice(event, frame, key, line_of(first))
        self.traps.key(event, frame)
        frame.key = key
        frame.key_event = event
        frame.branch.keys[key] = spot

    def _put(self, data: Data, spot: Spot) -> None:
        if not self._stack:
            if data is not None:
                self.documents.append(Document(data, self.file, self._text, spot))
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

    def _open(self, event: Any, data: "list[Data] | dict[str, Data]", inside: "list[Spot] | dict[str, Spot]") -> None:
        if event.anchor is not None or event.tag is not None:
            self.traps.decorated(event)
        self._count(event)
        if len(self._stack) >= MOST_DEPTH:
            said = f"lists and groups are nested more than {MOST_DEPTH} deep"
            raise InputProblems([self.traps.found.problem(event.start_mark, said, "a few levels")])
        parent = self._stack[-1] if self._stack else None
        as_key = parent is not None and parent.key is None and isinstance(parent.data, dict)
        if as_key and not (parent is not None and parent.as_key):
            self.traps.not_a_name(event)
        self._stack.append(_Frame(data, Branch(spot_of(event.start_mark), inside), bool(event.flow_style), as_key))

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
            self._put(None, spot_of(event.start_mark))

    def _count(self, event: Any) -> None:
        self._nodes += 1
        if self._nodes > MOST_NODES:
            said = f"the file holds more than {MOST_NODES:,} values"
            do = "split it into a folder of files, one a trade"
            raise InputProblems([self.traps.found.problem(event.start_mark, said, do=do)])
