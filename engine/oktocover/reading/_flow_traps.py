"""Commas inside { } and [ ], where YAML ends a value although it goes on.

`{input: 40,000 Btu/h}` is read as `40` and a name `000 Btu/h`; `[max(a, b)]` as two items. Nothing is
refused, so only the reader can tell.
"""

import re
from typing import Any

from oktocover.reading._found import Edit, Found
from oktocover.reading._lines import CURLY, quoted, short, unquoted_curly

# A name, a colon and a value without a space between, taken by YAML for one text; no web address.
GLUED = re.compile(r"([a-z][a-z0-9_ -]*?) ?:(?!//)(\S.*)$", re.DOTALL)
_NO_COLON = re.compile(r"\s*[,}\]]")
_MORE_PIECES = re.compile(r",[^,:{}\[\]#\n]*(?=[,}])")
_FARTHEST = 1000


class FlowTraps:
    """Finds values that a comma has cut in two; `frame` is the list or mapping they stand in."""

    def __init__(self, found: Found) -> None:
        self._found = found
        self._told_until = 0

    def value(self, event: Any, frame: Any) -> None:
        """Look at an unquoted value (or empty one) inside { } or [ ]."""
        if event.start_mark.index < self._told_until:
            return
        value: str = event.value
        if value == "":
            if isinstance(frame.data, dict):
                self._rest_of_value(frame)
        elif value.count("(") > value.count(")"):
            self._cut(event, "(", ")")
        elif value[0] in CURLY and unquoted_curly(value) == value:
            self._cut(event, value[0], CURLY[value[0]])
        elif frame.previous is not None and isinstance(frame.data, list):
            self._split_number(event, frame.previous)

    def without_colon(self, key: Any) -> bool:
        """Whether a name inside {...} is followed by no colon."""
        return _NO_COLON.match(self._found.text, key.end_mark.index) is not None

    def _rest_of_value(self, frame: Any) -> None:
        """A name without a colon inside {...}: nearly always the rest of a value that holds a comma."""
        key, previous, found = frame.key_event, frame.previous, self._found
        if frame.as_key or not hasattr(key, "value") or key.start_mark.index < self._told_until:
            return
        if not self.without_colon(key):
            return
        if not key.style and GLUED.match(key.value):
            return  # told when the name was read
        if previous is not None:
            end = key.end_mark.index
            while more := _MORE_PIECES.match(found.text, end):
                end = more.end()
            self._comma(previous, end)
        else:
            found.add(key.start_mark, f"`{short(key.value)}` has no value", "{name: value, name: value}")

    def _cut(self, event: Any, opening: str, closings: str) -> None:
        """A value that opens a bracket or a typographic quote which the comma leaves open."""
        text, begin = self._found.text, event.start_mark.index
        if text[event.end_mark.index : event.end_mark.index + 1] != ",":
            return
        depth = 0
        for at in range(begin, min(len(text), begin + _FARTHEST)):
            char = text[at]
            if char == "\n":
                break
            if char in closings and depth:
                depth -= 1
            elif char == opening:
                depth += 1
            if not depth and char in ",]}" and at > event.end_mark.index:
                self._comma(event, at)
                return
        self._comma(event, event.end_mark.index)

    def _split_number(self, event: Any, previous: Any) -> None:
        """`[40,000 Btu/h]`: three digits right behind a comma belong to the number before it."""
        value, mark = event.value, event.start_mark
        touching = previous.end_mark.index + 1 == mark.index and not previous.style
        if not touching or not previous.value[-1:].isdigit():
            return
        if len(value) < 3 or not value[:3].isdigit() or value[3:4].isdigit():
            return
        if value.isdigit():
            self._found.add(
                mark,
                f"`{previous.value},{value}` may be one number or two",
                do="put a space after the comma for two, quotes around it for one",
            )
        else:
            self._comma(previous, event.end_mark.index)

    def _comma(self, first: Any, end: int) -> None:
        mark = first.start_mark
        whole = self._found.text[mark.index : end].rstrip()
        self._told_until = mark.index + len(whole)
        edit = None
        if "," in whole and "\n" not in whole and "\r" not in whole:
            meant = quoted(unquoted_curly(whole))
            edit = Edit(mark.line, mark.column, mark.column + len(whole), meant)
        self._found.add(
            mark,
            f"the comma ends the value here, so YAML reads `{short(first.value)}` and loses the rest",
            "quotes around a value with a comma inside { } or [ ]",
            edit=edit,
        )


def missing_space(found: Found, event: Any, match: "re.Match[str]") -> None:
    """`width:36 in`: a name and a value that YAML takes for one text."""
    found.add(
        event.start_mark,
        f"`{short(event.value)}` has no space after the colon",
        "name: value",
        "put a space after the colon, or the whole text in quotes",
        found.replaced(event.start_mark, event.end_mark, f"{match[1]}: {match[2]}"),
    )
