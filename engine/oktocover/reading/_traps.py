"""What YAML reads without complaint although something else was meant, and what these files do not use.

Separate from `mend`, which is about text that YAML refuses. Each trap is one method called by the builder.
"""

import re
from typing import Any

from oktocover.reading._lines import quoted, short
from oktocover.reading.problems import Place, Problem

_GLUED = re.compile(r"([a-z][a-z0-9_ -]*?) ?:(?!//)(\S.*)$", re.DOTALL)
_NAMED = re.compile(r"[ \t]*(?:- +)*[A-Za-z][\w -]*: ")
_GLUED_LINE = re.compile(r"[ \t]*[A-Za-z][\w -]*? ?:(?!//)\S")
_ANY_HASH = re.compile(r"[ \t]#\d")
_HASH = re.compile(r"[ \t]+#(?=\d)")
_NO_COLON = re.compile(r"\s*[,}\]]")
_MORE_PIECES = re.compile(r",[^,:{}\[\]#\n]*(?=[,}])")
_CURLY = {"\u201c": "\u201d\u201c", "\u201e": "\u201c\u201d", "\u2018": "\u2019", "\u201a": "\u2018\u2019"}
_TEXT_TAG = "tag:yaml.org,2002:str"


class Traps:
    """Finds traps in the events of one text and gathers them in `problems`."""

    def __init__(self, text: str, lines: list[str], file: str) -> None:
        self.problems: list[Problem] = []
        self._text = text
        self._lines = lines
        self._file = file
        self._commas_told: set[int] = set()
        self._hashes = _ANY_HASH.search(text) is not None

    def plain_text(self, event: Any) -> str:
        """The text of a scalar; typographic quotes around an unquoted one are the writer's quotes."""
        value: str = event.value
        if not event.style and len(value) > 1 and value[-1] in _CURLY.get(value[0], ""):
            return value[1:-1]
        return value

    def key(self, event: Any, frame: Any) -> None:
        """A name that is no name: a merge key, nothing, a list dash without its space."""
        key: str = event.value
        if event.style:
            return
        if key == "<<":
            self._add(event, "`<<` (merging) is not used in these files", do="write the entries out")
        elif key == "":
            self._add(event, "there is a value without a name", expected="name: value")
        elif key[0] == "-" and len(key) > 1 and (key[1].isalpha() or key[1] == "-") and not frame.flow:
            at = event.start_mark
            line = self._lines[at.line]
            self._add(
                event,
                f"`{short(key)}` begins with a dash that has no space after it",
                expected="a dash and a space before each item of a list",
                mended=line[: at.column] + "- " + line[at.column + 1 :].lstrip(),
            )

    def twice(self, event: Any, key: str, first_line: int) -> None:
        """The same name twice in one mapping."""
        line = event.start_mark.line + 1
        where = f"already on line {first_line}" if line != first_line else "twice on this line"
        self._add(
            event,
            f"`{short(key)}` stands {where}, in the same place",
            expected="each name once",
            do=f"give one of them another name, or take out line {line} or line {first_line}"
            if line != first_line
            else "give one of them another name",
        )

    def not_a_name(self, event: Any) -> None:
        self._add(
            event,
            "a list or a group stands where a name belongs",
            expected="plain text before the colon",
            do="put the text in quotes if it begins with { or [",
        )

    def alias(self, event: Any) -> None:
        """`*name`: refused outright, because a few lines of them can stand for millions of values."""
        piece = self._piece(event)
        self._add(
            event,
            f"`{short(piece)}` is a YAML alias; aliases are not used in these files",
            do="write it out; text that begins with * goes into quotes",
            mended=self._replaced(event.start_mark, event.end_mark, quoted(piece)),
        )

    def decorated(self, event: Any) -> None:
        """`&name` or `!kind` before a value."""
        scalar = hasattr(event, "value")
        if event.anchor is None and scalar and event.tag == _TEXT_TAG:
            return
        piece = self._piece(event) if scalar else ""
        mark, kind = ("&", "anchor") if event.anchor is not None else ("!", "tag")
        self._add(
            event,
            f"a value that begins with {mark} is a YAML {kind}; {kind}s are not used in these files",
            do=f"take it out; text that begins with {mark} goes into quotes",
            mended=self._replaced(event.start_mark, event.end_mark, quoted(piece)) if piece else "",
        )

    def too_deep(self, event: Any, most: int) -> Problem:
        return self._problem(
            event, f"lists and groups are nested more than {most} deep", expected="a few levels"
        )

    def too_many(self, event: Any, most: int) -> Problem:
        return self._problem(
            event,
            f"the file holds more than {most:,} values",
            do="split it into a folder of files, one a trade",
        )

    def value(self, event: Any, frame: Any) -> None:
        """A value that lost a piece, swallowed a line, or is a name and a value in one."""
        start, end = event.start_mark, event.end_mark
        if start.line != end.line:
            if event.style not in ("|", ">"):
                self._several_lines(event, frame)
            return
        if event.style:
            return
        if frame is not None and frame.flow:
            self._flow_value(event, frame)
        elif ":" in event.value:
            self._glued(event, frame)
        if self._hashes and _HASH.match(self._text, end.index):
            self._hash(event, frame)

    def _several_lines(self, event: Any, frame: Any) -> None:
        start, end = event.start_mark, event.end_mark
        key_column = frame.key_event.start_mark.column if frame is not None and frame.key_event else -1
        for number in range(start.line + 1, end.line + 1):
            line = self._lines[number]
            indent = len(line) - len(line.lstrip())
            if event.style:
                if indent <= key_column and _NAMED.match(line):
                    self._add(
                        event,
                        f"the text that begins here with {event.style} runs on into line {number + 1}",
                        expected="a closing quote on the same line",
                        do="close the quote, or leave quotes away",
                    )
                    return
            elif line.lstrip().startswith("- "):
                self._swallowed(event, number, "a list item", "indent it less, or end the value above it")
                return
            elif _GLUED_LINE.match(line) and not (frame is not None and frame.flow):
                match = _GLUED.match(line.strip())
                mended = line[:indent] + f"{match[1]}: {match[2]}" if match else ""
                self._swallowed(event, number, "a name without a space after its colon", "", mended)
                return

    def _swallowed(self, event: Any, number: int, what: str, do: str, mended: str = "") -> None:
        line = self._lines[number]
        begun = event.start_mark.line + 1
        column = len(line) - len(line.lstrip()) + 1
        self.problems.append(
            Problem(
                Place(self._file, number + 1, column),
                f"this line looks like {what}, but YAML reads it as more text of the value on line {begun}",
                expected="name: value" if mended else "",
                do=do,
                mended=mended,
            )
        )

    def _glued(self, event: Any, frame: Any) -> None:
        """`width:36 in` where an entry is expected: YAML takes it for one text."""
        mark = event.start_mark
        in_list = frame is not None and isinstance(frame.data, list)
        own_line = frame is None or in_list or frame.key_event.start_mark.line != mark.line
        match = _GLUED.match(event.value) if own_line else None
        if match:
            self._missing_space(event, match)

    def _missing_space(self, event: Any, match: "re.Match[str]") -> None:
        self._add(
            event,
            f"`{short(event.value)}` has no space after the colon",
            expected="name: value",
            do="put a space after the colon, or the whole text in quotes",
            mended=self._replaced(event.start_mark, event.end_mark, f"{match[1]}: {match[2]}"),
        )

    def _flow_value(self, event: Any, frame: Any) -> None:
        if event.value == "" and isinstance(frame.data, dict):
            self._without_colon(frame)
        elif event.value.count("(") > event.value.count(")"):
            self._bracket_comma(event)
        elif isinstance(frame.data, list) and frame.previous is not None:
            self._split_number(event, frame.previous)

    def _without_colon(self, frame: Any) -> None:
        """A name without a colon inside {...}: nearly always the rest of a value that holds a comma."""
        key, previous = frame.key_event, frame.previous
        if not hasattr(key, "value"):
            return
        if not _NO_COLON.match(self._text, key.end_mark.index) or key.start_mark.line in self._commas_told:
            return
        match = _GLUED.match(key.value)
        if match and not key.style:
            self._missing_space(key, match)
        elif previous is not None:
            end = key.end_mark.index
            while more := _MORE_PIECES.match(self._text, end):
                end = more.end()
            self._comma(previous, key.start_mark, end)
        else:
            self._add(key, f"`{short(key.value)}` has no value", expected="{name: value, name: value}")

    def _bracket_comma(self, event: Any) -> None:
        """`max(a, b)` inside {...} or [...]."""
        depth = 0
        for at in range(event.start_mark.index, min(len(self._text), event.start_mark.index + 1000)):
            char = self._text[at]
            depth += (char == "(") - (char == ")")
            if char == "\n" or (depth <= 0 and char in ",]}"):
                if char != "\n" and at > event.end_mark.index:
                    self._comma(event, event.end_mark, at)
                return

    def _split_number(self, event: Any, previous: Any) -> None:
        """`[40,000 Btu/h]`: three digits right behind a comma belong to the number before it."""
        value, index = event.value, event.start_mark.index
        glued = previous.end_mark.index + 1 == index and not previous.style and previous.value[-1:].isdigit()
        if not glued or not value[:3].isdigit() or len(value) < 3 or value[3:4].isdigit():
            return
        if event.start_mark.line in self._commas_told:
            return
        if value.isdigit():
            self._commas_told.add(event.start_mark.line)
            self._add(
                event,
                f"`{previous.value},{value}` may be one number or two",
                do="put a space after the comma for two, quotes around it for one",
            )
        else:
            self._comma(previous, event.start_mark, event.end_mark.index)

    def _comma(self, first: Any, second_mark: Any, end: int) -> None:
        begin = first.start_mark.index
        whole = self._text[begin:end].rstrip()
        line = first.start_mark.line
        self._commas_told.update((line, second_mark.line))
        column = first.start_mark.column
        mended = ""
        if "\n" not in whole and "\r" not in whole:
            source = self._lines[line]
            mended = source[:column] + quoted(whole) + source[column + len(whole) :]
        self._add(
            first,
            f"the comma ends the value here, so YAML reads `{short(first.value)}` and loses the rest",
            expected="quotes around a value with a comma inside { } or [ ]",
            mended=mended,
        )

    def _hash(self, event: Any, frame: Any) -> None:
        mark = event.end_mark
        line = self._lines[mark.line]
        lost = line[mark.column :].strip()
        mended = ""
        if frame is None or not frame.flow:
            begin = event.start_mark.column if event.value else mark.column
            space = "" if event.value or line[begin - 1 : begin] == " " else " "
            mended = line[:begin] + space + quoted(line[begin:].strip())
        self._add(
            event,
            f"`{short(lost)}` is lost: a # after a space begins a comment",
            do="put the whole value in quotes; for a comment write a space after the #",
            mended=mended,
        )

    def _piece(self, event: Any) -> str:
        begin, end = int(event.start_mark.index), int(event.end_mark.index)
        return self._text[begin:end]

    def _replaced(self, start: Any, end: Any, text: str) -> str:
        if start.line != end.line:
            return ""
        line = self._lines[start.line]
        begin, stop = int(start.column), int(end.column)
        return line[:begin] + text + line[stop:]

    def _problem(
        self, event: Any, message: str, expected: str = "", do: str = "", mended: str = ""
    ) -> Problem:
        mark = event.start_mark
        return Problem(Place(self._file, mark.line + 1, mark.column + 1), message, expected, do, mended)

    def _add(self, event: Any, message: str, expected: str = "", do: str = "", mended: str = "") -> None:
        self.problems.append(self._problem(event, message, expected, do, mended))
