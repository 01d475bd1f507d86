"""Limits: the named values of a rule. A quantity, a list, a schedule by a fact, an expression, or a blank.

A schedule and a shared table are one thing: keys, rows, and what holds between the rows and outside them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.values import Range, Unknown, unknown
from oktocover.quantities import Quantity, QuantityError, read, read_any, read_date, readable
from oktocover.quantities.insulation import says_insulation
from oktocover.reading.nearest import nearest
from oktocover.rules import intervals
from oktocover.rules.expressions import Expression
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.types import RuleError, Type, quantity

HOWS = ("word", "exact", "band", "next row up", "next row down", "interpolate")
SPECIAL = {"no limit": NO_LIMIT, "not allowed": NOT_ALLOWED}
OPEN = ("ask the official", "not recorded")
"""What stands in a cell that the text leaves open."""
_DATE = re.compile(r"^\d{4}-\d{2}-\d{2}$")
_WORD = re.compile(r"^[A-Za-z][A-Za-z0-9 _/'+.()&-]*$")


@dataclass(slots=True)
class Cell:
    """One value of a limit: exact, a word, a special word, or an expression."""

    text: str
    value: Any = None
    unit: str = ""
    expression: Expression | None = None
    ask: bool = False
    """The official has to be asked, or the text leaves it open."""


@dataclass(slots=True)
class Band:
    """A stretch of a key's values."""

    text: str
    low: Any = None
    low_open: bool = False
    high: Any = None
    high_open: bool = False

    def holds(self, value: Any) -> Any:
        """Whether a value lies in the band: True, False or Unknown."""
        if isinstance(value, (int, Fraction)):
            above = self.low is None or value > self.low or (value == self.low and not self.low_open)
            return above and (self.high is None or value < self.high or (value == self.high and not self.high_open))
        parts: list[Any] = []
        if self.low is not None:
            parts.append(intervals.less(self.low, value, not self.low_open))
        if self.high is not None:
            parts.append(intervals.less(value, self.high, not self.high_open))
        return intervals.both(*parts)


@dataclass(slots=True)
class Key:
    """One key of a schedule: how a value finds its row."""

    name: str
    how: str
    expression: Expression | None = None


@dataclass(slots=True)
class Schedule:
    """A table of cells by one or more keys, possibly with columns."""

    keys: list[Key]
    rows: dict[str, Any]
    """Nested by key; cells at the bottom (or a mapping of columns)."""
    rows_read: dict[tuple[int, str], Any] = field(default_factory=dict)
    """Row texts read as what the key is: a number, a Band, or the word."""
    columns: tuple[str, ...] = ()
    outside: Cell | None = None
    type: Type | None = None
    types: dict[str, Type] = field(default_factory=dict)
    """By column; columns may be of different dimensions."""
    section: str = ""
    """Where a shared table stands in its book, for the work that is shown."""
    probe: str = ""
    """Set only while a table is proven: which end ('below', 'above', 'between') answers 'no limit'."""

    def row_of(self, depth: int, value: Any) -> str:
        """The row an exact value of a key stands in, as it is written; empty where there is none of its own."""
        for (at, text), row in self.rows_read.items():
            if at == depth and (row.holds(value) is True if isinstance(row, Band) else row == value):
                return text
        return ""

    def unit_of(self, column: str) -> str | None:
        """The unit the first figure of a column is written in."""
        rows: Any = self.rows
        while isinstance(rows, dict) and rows:
            rows = rows[column if column in rows else next(iter(rows))]
        return (rows.unit or None) if isinstance(rows, Cell) else None


@dataclass(slots=True)
class Limit:
    """One named value with its text as written."""

    name: str
    text: str
    type: Type
    cell: Cell | None = None
    many: tuple[Any, ...] | None = None
    schedule: Schedule | None = None
    blank: str = ""
    unit: str = ""

    def unit_for(self, value: Any) -> str:
        """The unit to print a value of it in: that of the row it comes from, as a table may have several."""
        rows = [self.schedule.rows] if self.schedule is not None else []
        while rows:
            row = rows.pop()
            if isinstance(row, dict):
                rows.extend(row.values())
            elif isinstance(row, Cell) and row.unit and row.value == value:
                return row.unit
        return self.unit

    def get(self, env: Any) -> Any:
        """The value for the subject of `env`."""
        if self.blank:
            return unknown(
                Missing(
                    "the place",
                    self.name.replace("_", " "),
                    "official",
                    kind="limit",
                    means=f"the place has not set this value ({self.blank.removeprefix('blank ')})",
                )
            )
        if self.many is not None:
            return self.many
        if self.schedule is not None:
            keys = [key.expression.evaluate(env) for key in self.schedule.keys if key.expression is not None]
            return look_up(self.schedule, keys, "", env, self.name)
        assert self.cell is not None, "a limit is a blank, a list, a schedule or a cell"
        return cell_value(self.cell, env, self.name)


Scalar = tuple[Any, Type, str]


@cache
def scalar(text: str) -> Scalar | None:
    """A quantity, a date, yes/no or a word: (value, type, unit); None for what is none of them."""
    stripped = text.strip()
    if _DATE.match(stripped):
        try:
            return read_date(stripped), Type("date"), ""
        except QuantityError:
            return None
    if stripped in ("yes", "no"):
        return stripped == "yes", Type("truth"), ""
    if says_insulation(stripped):
        return read(stripped, "insulation").exact, quantity("insulation"), "R"
    if _WORD.match(stripped) and not stripped.startswith(("at least", "at most", "over ", "under ")):
        return stripped, Type("word", words=(stripped,)), ""
    found = readable(stripped)
    if found is None or found.exact is None:
        return None
    return found.exact, Type("quantity", found.dimension), found.unit


def read_scalar(text: str) -> Scalar:
    """As `scalar`; a RuleError for what is none of them."""
    found = scalar(text)
    if found is not None:
        return found
    stripped = text.strip()
    try:
        if _DATE.match(stripped):
            read_date(stripped)
        read_any(stripped)
    except QuantityError as error:
        raise RuleError(
            str(error), ", ".join(error.forms), f"did you mean '{error.suggestion}'?" if error.suggestion else ""
        ) from None
    raise RuleError(f"'{text}' is a bound; a limit is one value", "6 ft, 10 min, 1.5")


def read_cell(text: Any, compile_: Any) -> Cell:
    """A cell of a schedule, or a plain limit."""
    if isinstance(text, list):
        values, _, unit = read_list(text)
        return Cell(", ".join(map(str, text)), values, unit)
    if not isinstance(text, str):
        raise RuleError("a value was expected here, not a list or a mapping")
    stripped = text.strip()
    if stripped in SPECIAL:
        return Cell(stripped, SPECIAL[stripped])
    if stripped in OPEN:
        return Cell(stripped, ask=True)
    if stripped.startswith("="):
        expression = compile_(stripped[1:].strip())
        return Cell(stripped, expression=expression)
    value, of, unit = read_scalar(stripped)
    return Cell(stripped, value, unit or ("word" if of.form == "word" else ""))


def _read_entry(text: str) -> Scalar:
    """A value of a list; what cannot be read as a figure is a word (`5-15 single`, a kind of receptacle)."""
    return scalar(text) or (text.strip(), Type("word", words=(text.strip(),)), "")


def read_list(items: list[Any]) -> tuple[tuple[Any, ...], Type, str]:
    """A list of words, or of quantities of one dimension: (values, type, unit)."""
    if not items or not all(isinstance(item, str) for item in items):
        raise RuleError("a list of values holds words or quantities", "[kitchen, dining] or [15 A, 20 A]")
    read_items = [_read_entry(item) for item in items]
    types = [of for _, of, _ in read_items]
    if all(of.dimension is not None for of in types):
        first = types[0]
        for of in types[1:]:
            if of.dimension.powers != first.dimension.powers:  # type: ignore[union-attr]
                raise RuleError(f"the list holds {first} and {of}", "one dimension in a list")
        unit = next((unit for _, _, unit in read_items if unit), "")
        return tuple(value for value, _, _ in read_items), Type("quantities", first.dimension), unit
    # A word may look like a number ('20 minute' among kinds of doors): beside words it is one.
    words = tuple(item.strip() for item in items)
    return words, Type("words", words=words), ""


def cell_value(cell: Cell, env: Any, name: str) -> Any:
    """The value of a cell for the subject of `env`."""
    if cell.ask:
        return unknown(
            Missing(
                env.subject.id,
                name.replace("_", " "),
                "official",
                kind="limit",
                means="the text leaves this value to the official",
            )
        )
    if cell.expression is not None:
        return cell.expression.evaluate(env)
    return cell.value


def read_band(text: str, of: Type | None = None) -> Band | None:
    """`over 10 psi up to 50 psi`, `from 1 ft`, `under 6000 ft`: a band, or None when the text is none."""
    if not re.match(r"^(from|over|up to|to under|under|at least|at most)\b", text):
        return None
    band = Band(text)
    rest = text
    for word, opened in (("from ", False), ("at least ", False), ("over ", True)):
        if rest.startswith(word):
            body = rest[len(word) :]
            cut = re.search(r"\s(?:up to|to under|and under|under|to)\s", body)
            first = body[: cut.start()] if cut else body
            band.low, band.low_open = _number(first, of), opened
            rest = body[cut.start() :].strip() if cut else ""
            break
    for word, opened in (
        ("up to ", False),
        ("to under ", True),
        ("and under ", True),
        ("under ", True),
        ("at most ", False),
        ("to ", False),
    ):
        if rest.startswith(word):
            band.high, band.high_open = _number(rest[len(word) :], of), opened
            rest = ""
    if rest:
        raise RuleError(
            f"'{text}' is not a band", "up to 10 psi, over 10 psi up to 50 psi, from 1 ft to under 2 ft, over 50 psi"
        )
    return band


@cache
def _number(text: str, of: Type | None = None) -> Any:
    """A row's number, in the dimension of its key where that is known."""
    dim = of.dimension if of is not None else None
    if dim is None:
        return read_scalar(text)[0]
    try:
        found: Quantity = read(text.strip(), dim)
    except QuantityError as error:
        raise RuleError(
            f"the row '{text}': {error}",
            ", ".join(error.forms),
            f"did you mean '{error.suggestion}'?" if error.suggestion else "",
        ) from None
    if found.exact is None:
        raise RuleError(f"the row '{text}' is a bound", "an exact value or a band")
    return found.exact


def row_key(text: str, of: Type | None) -> Any:
    """A row's text as what its key is: a Band, a number, a truth or a word."""
    if of is not None and of.form == "truth":
        if text not in ("yes", "no"):
            raise RuleError(f"the row '{text}' is for a fact that is yes or no", "rows yes: and no:")
        return text == "yes"
    if of is not None and of.form in ("word", "text"):
        if len(of.words) > 1 and text not in of.words:
            near = nearest(text, of.words)
            raise RuleError(
                f"the row '{text}' is not a word its key can be",
                "one of: " + ", ".join(of.words),
                f"did you mean '{near}'?" if near else "",
            )
        return text
    if of is not None and of.form == "quantity" and text in of.words:
        return text
    band = read_band(text, of)
    if band is not None:
        return band
    return _number(text, of)


def fit_keys(schedule: Schedule, types: Sequence[Type]) -> None:
    """Read the rows of a shared table in the dimensions of the keys it is looked up with."""

    alike: set[tuple[Any, ...]] = set()  # most rows of a table lead to the same rows

    def fit(rows: Any, depth: int) -> None:
        if depth == len(schedule.keys) or not isinstance(rows, dict):
            return
        if schedule.keys[depth].how == "word":
            if types[depth].form not in ("word", "text", "truth"):
                raise RuleError(f"the key {schedule.keys[depth].name} goes by words, not by {types[depth]}")
        elif (depth, *rows) not in alike:
            alike.add((depth, *rows))
            read = {text: row_key(text, types[depth]) for text in rows}
            check_rows(read, gaps=True)
            schedule.rows_read.update({(depth, text): row for text, row in read.items()})
        if depth + 1 < len(schedule.keys):
            for inner in rows.values():
                fit(inner, depth + 1)

    fit(schedule.rows, 0)


def check_rows(rows: Mapping[str, Any], gaps: bool = False) -> None:
    """No value may find two rows: bands that overlap, or one number written twice, are a RuleError.

    Without `gaps`, a value between two bands that finds no row is one as well.
    """
    figures = rows.values()
    if all(type(row) in (int, Fraction) for row in figures) and len(set(figures)) == len(figures):
        return
    spans = []
    for text, row in rows.items():
        if isinstance(row, (str, bool)):
            continue
        low, high = intervals.ends(
            Range(row.low, row.high, row.low_open, row.high_open) if isinstance(row, Band) else row
        )
        if low[0] > high[0] or (low[0] == high[0] and (low[1] or high[1])):
            raise RuleError(f"no value lies in the row '{text}'")
        spans.append((low, high, text))
    spans.sort(key=lambda span: span[0])
    for (_, high, before), (low, _, text) in zip(spans, spans[1:], strict=False):
        if low[0] < high[0] or (low[0] == high[0] and not (low[1] or high[1])):
            raise RuleError(
                f"the rows '{before}' and '{text}' overlap", "up to 10 psi, then: over 10 psi", "let one row end sooner"
            )
        banded = isinstance(rows[before], Band) and isinstance(rows[text], Band)
        apart = low[0] > high[0] or (low[0] == high[0] and low[1] and high[1])
        if apart and banded and not gaps and not _next_count(rows, high[0], low[0]):
            raise RuleError(
                f"between the rows '{before}' and '{text}' a value finds none",
                "rows that meet, or the gap said on purpose: outside: ask the official (or no limit), or a note",
                "mend the rows; leave the gap only if the text leaves it",
            )


def _next_count(rows: Mapping[str, Any], one: Any, other: Any) -> bool:
    """Whether two ends are plain whole numbers that follow each other: nothing is counted between 5 and 6."""
    plain = all(re.fullmatch(r"[a-z ]*[\d,]+( (?:up )?to (?:under )?[\d,]+)?", text) for text in rows)
    return plain and bool(other - one == 1)


def look_up(schedule: Schedule, keys: Sequence[Any], column: str, env: Any, name: str) -> Any:
    """The cell the keys lead to; a key that is bounded or unknown gives the hull of what it may lead to."""
    return _descend(schedule, schedule.rows, list(keys), 0, column, env, name)


def _descend(schedule: Schedule, rows: Any, keys: list[Any], depth: int, column: str, env: Any, name: str) -> Any:
    if depth == len(schedule.keys):
        return cell_value(rows[column] if schedule.columns else rows, env, name)
    key, value = schedule.keys[depth], keys[depth]
    if value is NO_LIMIT or value is NOT_ALLOWED:
        return value
    found = _Rows(schedule, key, [(text, schedule.rows_read[depth, text]) for text in rows], env, name)
    found.below = lambda row: _descend(schedule, rows[row], keys, depth + 1, column, env, name)
    return found.at(value)


@dataclass(slots=True)
class _Rows:
    """The rows of one key, and what a value of it leads to."""

    schedule: Schedule
    key: Key
    rows: list[tuple[str, Any]]
    env: Any
    name: str
    below: Any = None

    def at(self, value: Any) -> Any:
        """The value below the row that a key's value finds; the hull of several when it may be any of them."""
        if isinstance(value, bool) and self.rows and isinstance(self.rows[0][1], str):
            value = "yes" if value else "no"
        if isinstance(value, Unknown):
            return self._unknown(value)
        if isinstance(value, (str, bool)):
            same = [text for text, row in self.rows if row == value and isinstance(row, (str, bool))]
            return self.below(same[0]) if same else self.outside()
        if isinstance(value, Range):
            return self._somewhere(value)
        for text, row in self.rows:
            if (row.holds(value) if isinstance(row, Band) else row == value) is True:
                return self.below(text)
        if self.key.how == "interpolate":
            return self._interpolated(value)
        if self.key.how in ("next row up", "next row down"):
            return self._next(value)
        return self.outside()

    def _unknown(self, value: Unknown) -> Any:
        """Any row may be meant; where the rows leave nothing out, the answer lies in their hull."""
        read = [row for _, row in self.rows]
        known = self.key.expression.type if self.key.expression is not None else None
        whole = len(read) == 2 and all(isinstance(row, bool) for row in read)
        whole = whole or bool(known and known.form == "word" and known.words and set(known.words) <= set(read))
        if whole:
            return _hull([self.below(text) for text, _ in self.rows], value.missing)
        if any(isinstance(row, Band) for row in read):
            return self._somewhere(Range(None, None, missing=value.missing))
        return value

    def _somewhere(self, value: Range) -> Any:
        """The hull of all rows that some value within bounds finds, and of what holds outside if some finds none."""
        if self.key.how in ("next row up", "next row down", "interpolate"):
            hit, beyond = self._touched(value)
        else:
            maybe = []
            for text, row in self.rows:
                holds = row.holds(value) if isinstance(row, Band) else intervals.equal(value, row)
                if holds is True:
                    return self.below(text)
                if isinstance(holds, Unknown):
                    maybe.append((text, row))
            hit = [self.below(text) for text, _ in maybe]
            beyond = [] if _covered(value, [row for _, row in maybe]) else ["between"]
        if beyond and self.schedule.outside is None and hit:
            return intervals.undecided(value)
        return _hull([*hit, *(self.outside(side) for side in beyond)], value.missing)

    def _touched(self, value: Range) -> tuple[list[Any], list[str]]:
        """(what the rows give that a bounded value may find, the ends past which it may lie)."""
        rows = self._sorted()
        (low, low_open), (high, high_open) = intervals.ends(value)
        first, last = rows[0][0], rows[-1][0]
        up, down, between = (self.key.how == how for how in ("next row up", "next row down", "interpolate"))
        hit = []
        for index, (row, text) in enumerate(rows):
            before = rows[index - 1][0] if index else -math.inf
            after = rows[index + 1][0] if index + 1 < len(rows) else math.inf
            reached = low < row or (low == row and not low_open)
            left = high > row or (high == row and not high_open)
            if (up and reached and high > before) or (down and left and low < after) or (between and reached and left):
                hit.append(self.below(text))
        if between:
            hit += [self._interpolated(end) for end in (low, high) if first <= end <= last]
        under = low < first and not up
        over = high > last and not down
        return hit, [*(["below"] if under else []), *(["above"] if over else [])]

    def _sorted(self) -> list[tuple[Any, str]]:
        return sorted(((row, text) for text, row in self.rows), key=lambda pair: pair[0])

    def _next(self, value: Any) -> Any:
        rows = self._sorted()
        if self.key.how == "next row up":
            text = next((text for row, text in rows if row >= value), None)
        else:
            text = next((text for row, text in reversed(rows) if row <= value), None)
        if text is None:
            return self.outside("above" if self.key.how == "next row up" else "below")
        return self.below(text)

    def _interpolated(self, value: Any) -> Any:
        rows = self._sorted()
        lower = [pair for pair in rows if pair[0] <= value]
        upper = [pair for pair in rows if pair[0] >= value]
        if not lower or not upper:
            return self.outside("above" if lower else "below")
        (x0, text0), (x1, text1) = lower[-1], upper[0]
        y0, y1 = self.below(text0), self.below(text1)
        if x0 == x1:
            return y0
        if any(y is NO_LIMIT or y is NOT_ALLOWED for y in (y0, y1)):
            return y0 if y0 is y1 else self.outside()
        share = Fraction(value - x0) / Fraction(x1 - x0)
        return intervals.add(y0, intervals.multiply(intervals.subtract(y1, y0), share))

    def outside(self, side: str = "between") -> Any:
        """What holds where there is no row."""
        return _outside(self.schedule, self.env, self.name, self.key, side)


def _covered(value: Range, rows: list[Any]) -> bool:
    """Whether some bands and exact rows leave out no value within bounds."""
    (at, past), (end, end_open) = intervals.ends(value)
    spans = [
        intervals.ends(Range(row.low, row.high, row.low_open, row.high_open) if isinstance(row, Band) else row)
        for row in rows
    ]
    for (low, low_open), (high, high_open) in sorted(spans):
        if low > at or (low == at and low_open and not past and at != -math.inf):
            return False
        if (high, not high_open) > (at, past):
            at, past = high, not high_open
    return at > end or (at == end and (past or end_open))


def _hull(values: list[Any], missing: tuple[Missing, ...]) -> Any:
    """The least range that holds all of some values; Unknown when they are not all numbers."""
    first = values[0]
    if all(value == first for value in values[1:]) and not isinstance(first, (Range, Unknown)):
        return first
    lacks = tuple(dict.fromkeys([*missing, *intervals.missing_of(*values)])) or (intervals.NO_END,)
    if not all(isinstance(v, (int, Fraction, Range)) and not isinstance(v, bool) for v in values):
        return Unknown(lacks)
    low = min((intervals.ends(v)[0] for v in values), key=lambda end: (end[0], end[1]))
    high = max((intervals.ends(v)[1] for v in values), key=lambda end: (end[0], not end[1]))
    return intervals.from_ends(low, high, lacks)


def _outside(schedule: Schedule, env: Any, name: str, key: Key, side: str) -> Any:
    if schedule.probe == side:
        return NO_LIMIT
    if schedule.outside is None:
        return unknown(
            Missing(
                env.subject.id,
                f"{name.replace('_', ' ')} for this {key.name.replace('_', ' ')}",
                "official",
                kind="limit",
                means="the table has no row for this value",
            )
        )
    return cell_value(schedule.outside, env, name)
