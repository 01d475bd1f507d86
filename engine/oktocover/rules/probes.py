"""What can be taken out of a rule, or moved by one trade step, and put back: the probes of a proof."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from oktocover.quantities.insulation import Insulation
from oktocover.rules.cases import moved
from oktocover.rules.expressions import Expression
from oktocover.rules.form import Node
from oktocover.rules.intervals import NO_LIMIT
from oktocover.rules.limits import Band, Cell, Limit, Schedule

Undo = Callable[[], None]


@dataclass(slots=True)
class Probe:
    """One thing to take out or to move: how to do it, and its name."""

    name: str
    what: str
    do: Callable[[], Undo]
    node: str = ""


def probes(node: Node, under: str) -> Iterator[Probe]:
    """Everything in a rule that can be taken out or moved."""
    for name in list(node.when):
        yield Probe(f"{under}{name}", "condition struck", _remover(node.when, name), name)
        yield from _words(node.when[name], f"{under}{name}")
    if node.require is not None:
        yield from _words(node.require, f"{under}{node.name}")
    for name in list(node.items):
        yield Probe(f"{under}{name}", "item struck", _remover(node.items, name), name)
        yield from probes(node.items[name], f"{under}{name}.")
    for name in list(node.unless):
        yield Probe(f"{under}{name}", "exception struck", _remover(node.unless, name), name)
        yield from probes(node.unless[name], f"{under}{name}.")
    for name, limit in node.limits.items():
        yield from _limit_probes(limit, f"{under}{name}", name)


def _remover(holder: dict[str, Any], name: str) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = dict(holder)
        del holder[name]

        def undo() -> None:
            holder.clear()
            holder.update(kept)

        return undo

    return do


def _words(expression: Expression, name: str) -> Iterator[Probe]:
    """Entries of lists of words that stand in an expression itself."""
    for part in ast.walk(expression.tree):
        if not isinstance(part, ast.Tuple) or len(part.elts) < 2:
            continue
        for index, item in enumerate(part.elts):
            if isinstance(item, ast.Constant):
                yield Probe(name, f"'{item.value!s}' struck from the list", _entry_remover(expression, part, index))


def _entry_remover(expression: Expression, part: ast.Tuple, index: int) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = part.elts
        part.elts = kept[:index] + kept[index + 1 :]
        expression._fast = None

        def undo() -> None:
            part.elts = kept
            expression._fast = None

        return undo

    return do


def _set(target: Any, attribute: str, value: Any) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = getattr(target, attribute)
        setattr(target, attribute, value)
        return lambda: setattr(target, attribute, kept)

    return do


def _limit_probes(limit: Limit, name: str, node: str) -> Iterator[Probe]:
    if limit.blank:
        yield Probe(name, "blank filled with no limit", _blank(limit), node)
    elif limit.many is not None:
        for index, item in enumerate(limit.many):
            rest = limit.many[:index] + limit.many[index + 1 :]
            if rest:
                yield Probe(
                    name,
                    f"{_entry(item, index)} struck from the list",
                    _set(limit, "many", rest),
                    node,
                )
            if not isinstance(item, str):
                yield from _moves(
                    name,
                    f"entry {index + 1}",
                    item,
                    limit,
                    lambda new, at=index: _set(  # type: ignore[misc]
                        limit, "many", (*limit.many[:at], new, *limit.many[at + 1 :])
                    ),
                    node,
                )
    elif limit.schedule is not None:
        yield from _schedule_probes(limit.schedule, name, limit, node)
    elif limit.cell is not None and limit.cell.expression is None:
        yield from _cell_probes(limit.cell, name, limit, node)


def _entry(item: Any, index: int) -> str:
    return f"'{item}'" if isinstance(item, str) else f"entry {index + 1}"


def _blank(limit: Limit) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = (limit.blank, limit.cell)
        limit.blank, limit.cell = "", Cell("no limit", NO_LIMIT)

        def undo() -> None:
            limit.blank, limit.cell = kept

        return undo

    return do


def _cell_probes(cell: Cell, name: str, limit: Limit, node: str) -> Iterator[Probe]:
    if isinstance(cell.value, tuple):
        for index, item in enumerate(cell.value):
            rest = cell.value[:index] + cell.value[index + 1 :]
            yield Probe(name, f"{_entry(item, index)} struck from the list", _set(cell, "value", rest), node)
        return
    if isinstance(cell.value, Insulation):
        yield from _insulation_probes(cell, cell.value, name, node)
        return
    if cell.ask or not isinstance(cell.value, (int, Fraction)) or isinstance(cell.value, bool):
        if not cell.ask and isinstance(cell.value, (str, bool)) and cell.value != "":
            yield Probe(
                name,
                f"'{cell.text}' exchanged",
                _set(cell, "value", not cell.value if isinstance(cell.value, bool) else "another word"),
                node,
            )
        return
    yield from _moves(name, "", cell.value, limit, lambda new: _set(cell, "value", new), node)


def _insulation_probes(cell: Cell, value: Insulation, name: str, node: str) -> Iterator[Probe]:
    """Each part of each way to insulate moved by R-1 each way."""
    for way in range(len(value.ways)):
        for part, word in enumerate(("between the studs", "continuous")):
            for steps, direction in ((1, "up"), (-1, "down")):
                new = value.moved(way, part, steps)
                if new != value:
                    yield Probe(name, f"way {way + 1}, {word}: one step {direction}", _set(cell, "value", new), node)


def _moves(
    name: str, what: str, value: Any, limit: Limit, make: Callable[[Any], Callable[[], Undo]], node: str
) -> Iterator[Probe]:
    dim = limit.type.dimension
    if dim is None:
        return
    for steps, word in ((1, "one step up"), (-1, "one step down")):
        new = moved(value, dim, limit.unit, steps)
        if new is not None and new != value and not (value == 0 and steps < 0):
            yield Probe(name, f"{what} {word}".strip(), make(new), node)


def _schedule_probes(schedule: Schedule, name: str, limit: Limit, node: str) -> Iterator[Probe]:
    def walk(rows: Any, trail: str, depth: int) -> Iterator[Probe]:
        if isinstance(rows, Cell):
            yield from _cell_probes(rows, f"{name}[{trail}]", limit, node)
            return
        for text in list(rows):
            here = f"{trail}, {text}".lstrip(", ")
            yield Probe(f"{name}[{here}]", "row struck", _remover(rows, text), node)
            if len(schedule.keys) > depth:
                read = schedule.rows_read.get((depth, text))
                yield from _band_probes(read, f"{name}[{here}]", schedule, depth, node)
            yield from walk(rows[text], here, depth + 1)

    yield from walk(schedule.rows, "", 0)
    if schedule.outside is not None:
        yield Probe(name, "outside struck", _set(schedule, "outside", None), node)


def _band_probes(read: Any, name: str, schedule: Schedule, depth: int, node: str) -> Iterator[Probe]:
    if not isinstance(read, Band):
        return
    key = schedule.keys[depth].expression
    dim = key.type.dimension if key else None
    if dim is None:
        return
    for end in ("low", "high"):
        value = getattr(read, end)
        if value is not None:
            for steps, word in ((1, "up"), (-1, "down")):
                if value == 0 and steps < 0:
                    continue
                yield Probe(
                    name,
                    f"{end} edge one step {word}",
                    _edge(schedule, depth, end, value, moved(value, dim, "", steps)),
                    node,
                )


def _edge(schedule: Schedule, depth: int, end: str, old: Any, new: Any) -> Callable[[], Undo]:
    """Move an edge in both bands that share it."""

    def do() -> Undo:
        changed: list[tuple[Band, str]] = []
        for (at, _), band in schedule.rows_read.items():
            if at != depth or not isinstance(band, Band):
                continue
            for side in ("low", "high"):
                if getattr(band, side) == old:
                    setattr(band, side, new)
                    changed.append((band, side))

        def undo() -> None:
            for band, side in changed:
                setattr(band, side, old)

        return undo

    return do


def term_probes(term: Any) -> Iterator[Probe]:
    expression = term.compiled()
    yield from _words(expression, term.name)
    seen: set[int] = set()
    for leaf in expression.leaves.values():
        limit = getattr(leaf, "limit", None)
        if isinstance(limit, Limit) and id(limit) not in seen:
            seen.add(id(limit))
            yield from _limit_probes(limit, f"{term.name}.{limit.name}", limit.name)


def table_probes(table: Schedule, name: str) -> Iterator[Probe]:
    for sign, word in ((1, "up"), (-1, "down")):
        yield Probe(name, f"whole table one percent {word}", _scale(table, Fraction(100 + sign, 100)))
    for key in table.keys:
        if key.how not in ("exact", "word", "band"):
            yield Probe(name, f"row rule of {key.name}", _set(key, "how", "exact"))
            yield (
                Probe(name, f"past the low end of {key.name}", _set(table, "probe", "below"))
                if key.how != "next row up"
                else Probe(name, f"past the high end of {key.name}", _set(table, "probe", "above"))
            )
    if all(key.how in ("exact", "word", "band") for key in table.keys):
        yield Probe(name, "off the rows", _set(table, "probe", "between"))


def _scale(table: Schedule, by: Fraction) -> Callable[[], Undo]:
    def do() -> Undo:
        kept: list[tuple[Cell, Any]] = []

        def walk(rows: Any) -> None:
            if isinstance(rows, Cell):
                if isinstance(rows.value, (int, Fraction)) and not isinstance(rows.value, bool):
                    kept.append((rows, rows.value))
                    rows.value = rows.value * by
            elif isinstance(rows, dict):
                for inner in rows.values():
                    walk(inner)

        walk(table.rows)

        def undo() -> None:
            for cell, value in kept:
                cell.value = value

        return undo

    return do
