"""The faults found while one text is read, each with the edit that would mend its line.

Edits are kept apart from the sentences until the end: two faults on one line then show the same mended line,
in which both are put right.
"""

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from oktocover.reading._lines import fitting
from oktocover.reading._text import split_lines
from oktocover.reading.problems import Place, Problem


@dataclass(frozen=True, slots=True)
class Edit:
    """In the line `row` (from 0) the text from column `begin` to `stop` becomes `text`."""

    row: int
    begin: int
    stop: int
    text: str


class Found:
    """Problems in the order they were found."""

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self._file = file
        self._found: list[tuple[Problem, Edit | None]] = []

    @cached_property
    def lines(self) -> list[str]:
        """Split only once something is found: most files need none of it."""
        return split_lines(self.text)

    def __len__(self) -> int:
        return len(self._found)

    def problem(self, mark: Any, message: str, expected: str = "", do: str = "") -> Problem:
        """A problem at a parser's mark."""
        return Problem(Place(self._file, mark.line + 1, mark.column + 1), message, expected, do)

    def add(self, mark: Any, message: str, expected: str = "", do: str = "", edit: Edit | None = None) -> None:
        self._found.append((self.problem(mark, message, expected, do), edit))

    def add_on_line(self, row: int, message: str, expected: str = "", do: str = "", edit: Edit | None = None) -> None:
        """A problem at the first character of a line."""
        line = self.lines[row]
        place = Place(self._file, row + 1, len(line) - len(line.lstrip()) + 1)
        self._found.append((Problem(place, message, expected, do), edit))

    def replaced(self, start: Any, end: Any, text: str) -> Edit | None:
        """The edit that puts `text` between two marks, if they are on one line."""
        return Edit(start.line, start.column, end.column, text) if start.line == end.line else None

    def between(self, start: Any, end: Any) -> str:
        begin, stop = int(start.index), int(end.index)
        return self.text[begin:stop]

    def problems(self) -> list[Problem]:
        """All problems, with mended lines."""
        edits: dict[int, set[Edit]] = defaultdict(set)
        for _, edit in self._found:
            if edit is not None:
                edits[edit.row].add(edit)
        mended = {row: fitting(_apply(self.lines[row], of_row)) for row, of_row in edits.items()}
        return [replace(p, mended=mended[edit.row]) if edit else p for p, edit in self._found]


def _apply(line: str, edits: "set[Edit]") -> str:
    untouched = len(line)
    for edit in sorted(edits, key=lambda e: (e.begin, e.stop), reverse=True):
        if edit.stop <= untouched:
            line = line[: edit.begin] + edit.text + line[edit.stop :]
            untouched = edit.begin
    return line
