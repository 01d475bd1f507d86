"""What is wrong with a file somebody wrote, said so that the writer can put it right.

Separate from the readers because every layer that finds fault with a file (YAML, field, rule) reports in this
one form, and reports all faults of a file together.
"""

from collections.abc import Iterable
from dataclasses import dataclass

SHOWN = 20


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A spot in a file; line and column count from 1, as editors do."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault: where, what was found, what was expected, what to do, and the line to copy.

    `message` is one plain sentence about what was found. `mended` is the line (or lines) that would be
    accepted, with the indentation it has in the file. A `warning` is shown but refuses nothing.
    """

    place: Place | None
    message: str
    expected: str = ""
    do: str = ""
    mended: str = ""
    warning: bool = False

    def text(self) -> str:
        """The problem as lines of plain text, without a line break at the end."""
        where = f"{self.place}: " if self.place else ""
        parts = [f"{where}{'warning: ' if self.warning else ''}{self.message}"]
        if self.expected:
            parts.append(f"  expected: {self.expected}")
        if self.do:
            parts.append(f"  do: {self.do}")
        label = "  write: "
        for line in self.mended.splitlines():
            parts.append(f"{label}{line}")
            label = "         "
        return "\n".join(parts)


class OktocoverError(Exception):
    """The base of every error this package raises on purpose."""


class InputProblems(OktocoverError):
    """A file could not be accepted; `problems` holds every fault found in it, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(problems, key=_order))
        super().__init__(self.problems)

    def __str__(self) -> str:
        shown = [problem.text() for problem in self.problems[:SHOWN]]
        more = len(self.problems) - SHOWN
        if more > 0:
            shown.append(f"and {more} more")
        return "\n".join(shown)


def _order(problem: Problem) -> tuple[str, int, int]:
    place = problem.place
    return (place.file, place.line, place.column) if place else ("", 0, 0)
