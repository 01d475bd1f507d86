"""YAML's own complaint turned into one plain sentence with the mended line to copy.

A mended line is shown only after the whole text has been parsed with it in place and got past that line. The
reader then goes on with the mended text, so that one run shows the faults further down as well.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from oktocover.reading import _mistakes
from oktocover.reading._lines import fitting, short
from oktocover.reading._parser import new_parser
from oktocover.reading._text import split_lines
from oktocover.reading._trouble import Mend, Trouble
from oktocover.reading.problems import Place, Problem

# Each try parses the text again; together they must stay far under a second.
_MOST_CHARACTERS_TRIED = 1_500_000
_MOST_MENDED = 30
_LONGEST_LINE = 500


@dataclass
class Mender:
    """The text of one file while it is being mended, and the problems named so far."""

    text: str
    file: str
    problems: list[Problem] = field(default_factory=list)
    _tried: int = 0

    def mend(self, error: yaml.MarkedYAMLError, last: Any) -> bool:
        """Name the problem behind `error`; True if `text` now holds a mended line and can be read again.

        `last` is the event before the error: an unclosed quote shows itself only at the next quote.
        """
        lines = split_lines(self.text)
        trouble = _trouble(lines, error, last)
        spent = self._tried + len(self.text) > _MOST_CHARACTERS_TRIED
        first: Mend | None = None
        for mend in _mends(trouble):
            first = first or mend
            if spent:
                break
            if mend.lines and self._works(lines, mend):
                self._name(mend, trouble)
                self.text = "\n".join(_with(lines, mend))
                return len(self.problems) < _MOST_MENDED
        if first is None:
            first = Mend(trouble.row, *_mistakes.unknown(trouble))
        self._name(Mend(first.row, first.message, first.expected, first.do), trouble)
        return False

    def _name(self, mend: Mend, trouble: Trouble) -> None:
        row = mend.row
        line = trouble.lines[row]
        column = trouble.column if row == trouble.row else len(line) - len(line.lstrip())
        mended = fitting("\n".join(mend.lines.values()) if len(mend.lines) == 1 else mend.lines.get(row, ""))
        place = Place(self.file, row + 1, column + 1)
        self.problems.append(Problem(place, mend.message, mend.expected, mend.do, mended))

    def _works(self, lines: list[str], mend: Mend) -> bool:
        if self._tried > _MOST_CHARACTERS_TRIED:
            return False
        self._tried += len(self.text)
        changed = _with(lines, mend)
        if changed == lines:
            return False
        error, last = _first_error("\n".join(changed))
        return error is None or _trouble(changed, error, last).row > max(mend.row, mend.until)


def _mends(trouble: Trouble) -> Iterator[Mend]:
    if len(trouble.line) <= _LONGEST_LINE:
        for mistake in _mistakes.MISTAKES:
            yield from mistake(trouble)


def _with(lines: list[str], mend: Mend) -> list[str]:
    changed = list(lines)
    for row, line in mend.lines.items():
        changed[row] = line
    return changed


def _first_error(text: str) -> tuple[yaml.MarkedYAMLError | None, Any]:
    last: Any = None
    parser = new_parser(text)
    try:
        while not isinstance(event := parser.get_event(), yaml.StreamEndEvent):
            last = event
    except yaml.MarkedYAMLError as error:
        return error, last
    return None, last


def _trouble(lines: list[str], error: yaml.MarkedYAMLError, last: Any) -> Trouble:
    """Where the mistake was made, which is often not where YAML stumbled over it."""
    context, problem = error.context or "", error.problem or ""
    if "<block end>" in problem:  # the parser written in Python has one sentence for both
        problem = "did not find expected key" if "mapping" in context else "did not find expected '-' indicator"
    mark, begun = error.problem_mark, error.context_mark
    at = mark or begun
    if begun is not None and at is not None:
        unclosed = "flow" in context and begun.line < at.line
        if "simple key" in context or "quoted scalar" in context and "end of stream" in problem or unclosed:
            at = begun
    if at is not None and isinstance(last, yaml.ScalarEvent) and last.style in ('"', "'"):
        opened: Any = last.start_mark
        closed: Any = last.end_mark
        if opened.line < closed.line == at.line:
            at = opened
    row, column = (at.line, at.column) if at is not None else (0, 0)
    stumbled, stumbled_column = (mark.line, mark.column) if mark is not None else (row, column)
    stumbled = min(stumbled, len(lines) - 1)
    while row > 0 and (row >= len(lines) or not lines[row].strip()):
        row, column = row - 1, 0
    column = min(column, len(lines[row]))
    return Trouble(lines, row, column, stumbled, stumbled_column, short(problem), context)
