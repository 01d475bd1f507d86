"""Comma-separated text as spreadsheets save it, every cell with its place.

A reader of our own because a message about a cell needs its line and column, and because inch marks (`4' 9"`) stand
in cells that nobody quoted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

from oktocover.reading._text import split_lines
from oktocover.reading.problems import Place
from oktocover.reading.short.work import Path

_SEPARATORS = ",;\t"
_DECLARED = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text without the space around it, and where it begins (line and column from 1)."""

    text: str
    line: int
    column: int


class UnclosedQuote(ValueError):
    """A quoted cell has no end; `cell` is where it begins."""

    def __init__(self, cell: Cell) -> None:
        super().__init__("a quoted cell has no end")
        self.cell = cell


@dataclass
class Sheet:
    """The rows of a table that are not blank, and the places of their cells."""

    file: str
    text: str

    @property
    def lines(self) -> list[str]:
        """The lines of the file."""
        return split_lines(self.text)

    @cached_property
    def rows(self) -> list[list[Cell]]:
        """Every row with something in it. Raises UnclosedQuote."""
        start = _DECLARED.match(self.text)
        separator = start.group(1) if start else _separator(self.text)
        rows = _rows(self.text, separator, start.end() if start else 0)
        return [row for row in rows if any(cell.text for cell in row)]

    @property
    def data(self) -> list[dict[str, str]]:
        """Each row but the first as a mapping by the heads of the first."""
        heads, *rows = [[cell.text for cell in row] for row in self.rows] or [[]]
        return [dict(zip(heads, row, strict=False)) for row in rows]

    def place(self, path: Path) -> Place:
        """Where the cell (row, column) begins; without a column the row."""
        row, column, *_ = [*path, 0, 0]
        cells = self.rows[int(row)]
        cell = cells[min(int(column), len(cells) - 1)]
        return Place(self.file, cell.line, cell.column)

    key_place = place


def _separator(text: str) -> str:
    """The separator that stands most often in the first line, outside quotes."""
    first = next((line for line in split_lines(text) if line.strip()), "")
    plain = re.sub(r'"[^"]*"', "", first)
    return max(_SEPARATORS, key=plain.count)


def _rows(text: str, separator: str, start: int) -> list[list[Cell]]:
    rows: list[list[Cell]] = []
    row: list[Cell] = []
    at, line, line_start = start, 1 + text.count("\n", 0, start), start
    while at <= len(text):
        cell, end = _cell(text, at, separator, line, line_start)
        row.append(cell)
        passed = text.count("\n", at, end)
        if passed:
            line, line_start = line + passed, text.rfind("\n", at, end) + 1
        if end < len(text) and text[end] == separator:
            at = end + 1
            continue
        rows.append(row)
        row = []
        at = end + (2 if text[end : end + 2] == "\r\n" else 1)
        line, line_start = line + 1, at
    return rows


def _end(text: str, at: int, separator: str) -> int:
    """Where a cell ends: at its separator, a line break or the end of the text."""
    found = re.compile(f"[{re.escape(separator)}\n\r]").search(text, at)
    return found.start() if found else len(text)


def _cell(text: str, at: int, separator: str, line: int, line_start: int) -> tuple[Cell, int]:
    """The cell that begins at `at`, and where it ends."""
    begin = at
    while begin < len(text) and text[begin] in " \t" and text[begin] != separator:
        begin += 1
    column = begin - line_start + 1
    if begin < len(text) and text[begin] == '"':
        return _quoted(text, begin, separator, Cell("", line, column))
    end = _end(text, begin, separator)
    return Cell(text[begin:end].strip(), line, column), end


def _quoted(text: str, begin: int, separator: str, where: Cell) -> tuple[Cell, int]:
    parts, at = [], begin + 1
    while True:
        close = text.find('"', at)
        if close < 0:
            raise UnclosedQuote(where)
        parts.append(text[at:close])
        if text[close : close + 2] != '""':
            break
        parts.append('"')
        at = close + 2
    end = _end(text, close + 1, separator)
    parts.append(text[close + 1 : end])
    return Cell(" ".join("".join(parts).split()), where.line, where.column), end
