"""A figure between the rows of a table, told so that a person can follow it with a pencil."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from oktocover.findings.finding import Step
from oktocover.quantities import Number
from oktocover.rules.expressions import show_value
from oktocover.rules.limits import Cell, Schedule
from oktocover.rules.types import Type


def between(table: Schedule, keys: Sequence[Any], types: Sequence[Type], column: str, of: Type) -> list[Step]:
    """A line for each straight interpolation by which the keys find their figure, the inner ones first.

    No line when each key stands in a row of its own, or when some figure is none.
    """
    steps: list[Step] = []
    told = _Told(steps, column, of, table.unit_of(column))
    found = _walk(table, table.rows, list(zip(keys, types, strict=True)), 0, told, "")
    return [] if found is None else steps


class _Told:
    """Where the lines go, and how figures are shown."""

    def __init__(self, steps: list[Step], column: str, of: Type, unit: str | None) -> None:
        self.steps, self.column, self.of, self.unit = steps, column, of, unit

    def figure(self, value: Number) -> str:
        return show_value(value, self.of, self.unit)


def _walk(
    table: Schedule, rows: Any, keys: list[tuple[Any, Type]], depth: int, told: _Told, place: str
) -> Number | None:
    """The figure below some rows, with its lines; None when it is no single number."""
    if depth == len(keys):
        cell = rows.get(told.column) if told.column and isinstance(rows, dict) else rows
        value = cell.value if isinstance(cell, Cell) else None
        return value if isinstance(value, (int, Fraction)) and not isinstance(value, bool) else None
    value, of = keys[depth]
    if not isinstance(rows, dict) or isinstance(value, bool) or not isinstance(value, (int, Fraction, str)):
        return None
    own = table.row_of(depth, value)
    if own in rows:
        return _walk(table, rows[own], keys, depth + 1, told, _and(place, own))
    if table.keys[depth].how != "interpolate" or isinstance(value, str):
        return None
    return _straight(table, rows, keys, depth, told, place)


def _straight(
    table: Schedule, rows: Any, keys: list[tuple[Any, Type]], depth: int, told: _Told, place: str
) -> Number | None:
    value, of = keys[depth]
    written = sorted(_numbers(table, rows, depth))
    below = [one for one in written if one[0] < value]
    above = [one for one in written if one[0] > value]
    if not below or not above:
        return None
    (x0, row0), (x1, row1) = below[-1], above[0]
    y0 = _walk(table, rows[row0], keys, depth + 1, told, _and(place, row0))
    y1 = _walk(table, rows[row1], keys, depth + 1, told, _and(place, row1))
    if y0 is None or y1 is None:
        return None
    found = y0 + (y1 - y0) * Fraction(value - x0) / Fraction(x1 - x0)
    here = show_value(value, of)
    how = f"{told.figure(y0)} + ({here} - {row0}) / ({row1} - {row0}) x ({told.figure(y1)} - {told.figure(y0)})"
    what = f"{_and(place, here)}, between {row0} and {row1}"
    told.steps.append(Step(what, how, told.figure(found), table.section))
    return found


def _numbers(table: Schedule, rows: Any, depth: int) -> Iterator[tuple[Number, str]]:
    for text in rows:
        row = table.rows_read.get((depth, text))
        if isinstance(row, (int, Fraction)) and not isinstance(row, bool):
            yield row, text


def _and(place: str, row: str) -> str:
    return f"{place}, {row}" if place else row
