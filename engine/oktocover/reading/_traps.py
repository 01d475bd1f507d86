"""What YAML reads without complaint although something else was meant, and what these files do not use.

Separate from `mend`, which is about text that YAML refuses. Each trap is one method called by the builder.
"""

import re
from typing import Any

from oktocover.reading._flow_traps import GLUED, FlowTraps, missing_space
from oktocover.reading._found import Edit, Found
from oktocover.reading._lines import quoted, short

_GLUED_LINE = re.compile(r"([ \t]*[A-Za-z][\w -]*?) ?:(?!//)(?=\S)")
_NAMED = re.compile(r"[ \t]*(?:- +)*[A-Za-z][\w -]*: ")
_DASH = re.compile(r"-(?=[^\W\d])|[\u2013\u2014](?:\s|(?=[^\W\d]))")
_ANY_HASH = re.compile(r"[ \t]#\d")
_HASH = re.compile(r"[ \t]+#(?=\d)")
_TEXT_TAG = "tag:yaml.org,2002:str"
_MOST_SWALLOWED = 20


class Traps:
    """Looks at the events of one text and gathers what it finds in `found`."""

    def __init__(self, text: str, file: str) -> None:
        self.found = Found(text, file)
        self._flow = FlowTraps(self.found)
        self._hashes = _ANY_HASH.search(text) is not None

    def value(self, event: Any, frame: Any) -> None:
        """A value that lost a piece, swallowed a line, or is a name and a value in one."""
        start, end = event.start_mark, event.end_mark
        flow = frame is not None and frame.flow
        if start.line != end.line:
            if event.style in ('"', "'"):
                self._unclosed(event, frame)
            elif not event.style and not flow:
                self._several_lines(event, frame)
            return
        if event.style:
            return
        if flow:
            self._flow.value(event, frame)
        elif event.value and _stands_alone(event, frame):
            self._item(event)
        if self._hashes and _HASH.match(self.found.text, end.index):
            self._hash(event, flow)

    def key(self, event: Any, frame: Any) -> None:
        """A name that is no name: a merge key, nothing, a list dash without its space."""
        key: str = event.value
        if event.style:
            return
        if key == "<<":
            self.found.add(event.start_mark, "`<<` (merging) is not used in these files", do="write the entries out")
        elif key == "":
            self.found.add(event.start_mark, "there is a value without a name", "name: value")
        elif ":" in key and (match := GLUED.match(key)):  # `described:{gas:yes, heat: yes}` is one long name
            missing_space(self.found, event, match)
        elif not frame.flow and key[0] in "-\u2013\u2014":
            self._dash(event.start_mark, key)

    def twice(self, event: Any, frame: Any, key: str, first_line: int) -> None:
        """The same name twice in one mapping, unless it is the rest of a value that a comma has cut in two."""
        if frame.flow and self._flow.without_colon(event):
            return
        line = event.start_mark.line + 1
        other = f"already on line {first_line}" if line != first_line else "twice on this line"
        remove = f", or take out line {line} or line {first_line}" if line != first_line else ""
        self.found.add(
            event.start_mark,
            f"`{short(key)}` stands {other}, in the same place",
            "each name once",
            f"give one of them another name{remove}",
        )

    def not_a_name(self, event: Any) -> None:
        self.found.add(
            event.start_mark,
            "a list or a group stands where a name belongs",
            "plain text before the colon",
            "put text that begins with { or [ into quotes",
        )

    def alias(self, event: Any) -> None:
        """`*name`: refused outright, because a few lines of them can stand for millions of values."""
        piece = self.found.between(event.start_mark, event.end_mark)
        self.found.add(
            event.start_mark,
            f"`{short(piece)}` is a YAML alias; aliases are not used in these files",
            do="write it out; text that begins with * goes into quotes",
            edit=self.found.replaced(event.start_mark, event.end_mark, quoted(piece)),
        )

    def decorated(self, event: Any) -> None:
        """`&name` or `!kind` before a value."""
        scalar = hasattr(event, "value")
        if event.anchor is None and scalar and event.tag == _TEXT_TAG:
            return
        mark, kind = ("&", "anchor") if event.anchor is not None else ("!", "tag")
        edit = None
        if scalar and not event.style:
            piece = self.found.between(event.start_mark, event.end_mark)
            edit = self.found.replaced(event.start_mark, event.end_mark, quoted(piece))
        self.found.add(
            event.start_mark,
            f"a value that begins with {mark} is a YAML {kind}; {kind}s are not used in these files",
            do=f"take it out; text that begins with {mark} goes into quotes",
            edit=edit,
        )

    def _several_lines(self, event: Any, frame: Any) -> None:
        """Lines that became part of the unquoted text above them."""
        first, last = event.start_mark.line, event.end_mark.line
        if _stands_alone(event, frame):
            line = self.found.lines[first]
            text = line[event.start_mark.column :]
            if match := _GLUED_LINE.match(text):
                self._swallowed(first, Edit(first, *_span(line, match, event.start_mark.column), ": "))
            else:
                self._dash(event.start_mark, text)
        before = len(self.found)
        for row in range(first + 1, last + 1):
            line = self.found.lines[row]
            text = line.lstrip()
            if text.startswith("- "):
                self.found.add_on_line(
                    row,
                    f"this list item is read as more text of the value on line {first + 1}",
                    do="indent it less, or end the value above it",
                )
            elif match := _GLUED_LINE.match(line):
                self._swallowed(row, Edit(row, *_span(line, match, 0), ": "))
            elif _DASH.match(text):
                self._dash_line(row, text)
            if len(self.found) - before > _MOST_SWALLOWED:
                return

    def _swallowed(self, row: int, edit: Edit) -> None:
        line = self.found.lines[row].strip()
        self.found.add_on_line(row, f"`{short(line)}` has no space after the colon", "name: value", "", edit)

    def _unclosed(self, event: Any, frame: Any) -> None:
        """A quote that is closed only by the opening quote of a later line."""
        if frame is None or frame.key_event is None:
            return
        key_column = frame.key_event.start_mark.column
        for row in range(event.start_mark.line + 1, event.end_mark.line + 1):
            line = self.found.lines[row]
            if len(line) - len(line.lstrip()) <= key_column and _NAMED.match(line):
                self.found.add(
                    event.start_mark,
                    f"the text that begins here with {event.style} runs on into line {row + 1}",
                    "a closing quote on the same line",
                    "close the quote, or leave quotes away",
                )
                return

    def _item(self, event: Any) -> None:
        """`width:36 in` or `-wall` on a line of its own: YAML takes it for a text."""
        value: str = event.value
        if ":" in value and (match := GLUED.match(value)):
            missing_space(self.found, event, match)
        elif value[0] in "-\u2013\u2014":
            self._dash(event.start_mark, value)

    def _dash(self, mark: Any, text: str) -> None:
        if _DASH.match(text):
            self._dash_line(mark.line, text)

    def _dash_line(self, row: int, text: str) -> None:
        line = self.found.lines[row]
        begin = line.find(text[0])
        stop = begin + 1 + (len(line[begin + 1 :]) - len(line[begin + 1 :].lstrip()))
        what = "has no space after its dash" if text[0] == "-" else "begins with a long dash"
        self.found.add_on_line(
            row,
            f"`{short(text)}` {what}",
            "a dash (-) and a space before each item of a list",
            edit=Edit(row, begin, stop, "- "),
        )

    def _hash(self, event: Any, flow: bool) -> None:
        mark = event.end_mark
        line = self.found.lines[mark.line]
        lost = line[mark.column :].strip()
        edit = None
        if not flow:
            begin = event.start_mark.column if event.value else mark.column
            space = "" if event.value or line[begin - 1 : begin] == " " else " "
            edit = Edit(mark.line, begin, len(line), space + quoted(line[begin:].strip()))
        self.found.add(
            event.start_mark,
            f"`{short(lost)}` is lost: a # after a space begins a comment",
            do="put the whole value in quotes; for a comment write a space after the #",
            edit=edit,
        )


def _stands_alone(event: Any, frame: Any) -> bool:
    """Whether a value is an item of a list or on a line below its name: an entry may have been meant."""
    if frame is None or isinstance(frame.data, list):
        return True
    return bool(frame.key_event.start_mark.line != event.start_mark.line)


def _span(line: str, match: "re.Match[str]", offset: int) -> tuple[int, int]:
    """The columns of the colon and of the space before it."""
    return offset + match.end(1), offset + match.end()
