"""Limits: the named values of a rule. A quantity, a list, a schedule by a fact, an expression, or a blank.

A schedule and a shared table are one thing: keys, rows, and what holds between the rows and outside them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.values import Range, Unknown, unknown
from oktocover.quantities import Quantity, QuantityError, dimension, read, read_any, read_date
from oktocover.rules import intervals
from oktocover.rules.expressions import Expression
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.types import RuleError, Type

HOWS = ("word", "exact", "band", "next row up", "next row down", "interpolate")
SPECIAL = {"no limit": NO_LIMIT, "not allowed": NOT_ALLOWED}
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
    probe: str = ""
    """Set only while a table is proven: which end ('below', 'above', 'between') answers 'no limit'."""


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

    def get(self, env: Any) -> Any:
        """The value for the subject of `env`."""
        if self.blank:
            return unknown(
                Missing(
                    self.name,
                    self.name.replace("_", " "),
                    "official",
                    kind="limit",
                    means=f"the place sets this value ({self.blank})",
                )
            )
        if self.many is not None:
            return self.many
        if self.schedule is not None:
            return look_up(
                self.schedule,
                [
                    key.expression.evaluate(env)
                    for key in self.schedule.keys  # type: ignore[union-attr]
                ],
                "",
                env,
                self.name,
            )
        return cell_value(self.cell, env, self.name)  # type: ignore[arg-type]


def read_scalar(text: str) -> tuple[Any, Type, str]:
    """A quantity, a date, yes/no or a word: (value, type, unit)."""
    stripped = text.strip()
    if _DATE.match(stripped):
        return read_date(stripped), Type("date"), ""
    if stripped in ("yes", "no"):
        return stripped == "yes", Type("truth"), ""
    if _WORD.match(stripped) and not stripped.startswith(("at least", "at most", "over ", "under ")):
        return stripped, Type("word", words=(stripped,)), ""
    try:
        found = read_any(stripped)
    except QuantityError as error:
        raise RuleError(str(error), ", ".join(error.forms), error.suggestion or "") from None
    if found.exact is None:
        raise RuleError(f"'{text}' is a bound; a limit is one value", "6 ft, 10 min, 1.5")
    return found.exact, Type("quantity", found.dimension), found.unit


def read_cell(text: Any, compile_: Any) -> Cell:
    """A cell of a schedule, or a plain limit."""
    if not isinstance(text, str):
        raise RuleError("a value was expected here, not a list or a mapping")
    stripped = text.strip()
    if stripped in SPECIAL:
        return Cell(stripped, SPECIAL[stripped])
    if stripped in ("ask the official", "not recorded"):
        return Cell(stripped, ask=True)
    if stripped.startswith("="):
        expression = compile_(stripped[1:].strip())
        return Cell(stripped, expression=expression)
    value, of, unit = read_scalar(stripped)
    return Cell(stripped, value, unit or ("word" if of.form == "word" else ""))


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


def read_band(text: str) -> Band | None:
    """`over 10 psi up to 50 psi`, `from 1 ft`, `under 6000 ft`: a band, or None when the text is none."""
    if not re.match(r"^(from|over|up to|to under|under|at least|at most)\b", text):
        return None
    band = Band(text)
    rest = text
    for word, low, opened in (("from ", True, False), ("at least ", True, False), ("over ", True, True)):
        if rest.startswith(word):
            body = rest[len(word) :]
            cut = re.search(r"\s(?:up to|to under|and under|under|to)\s", body)
            first = body[: cut.start()] if cut else body
            band.low, band.low_open = _number(first), opened
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
            band.high, band.high_open = _number(rest[len(word) :]), opened
            rest = ""
    if rest:
        raise RuleError(
            f"'{text}' is not a band", "up to 10 psi, over 10 psi up to 50 psi, from 1 ft to under 2 ft, over 50 psi"
        )
    return band


def _number(text: str) -> Any:
    value, _, _ = read_scalar(text)
    return value


def row_key(text: str, of: Type | None) -> Any:
    """A row's text as what its key is: a Band, a number, a truth or a word."""
    band = read_band(text)
    if band is not None:
        return band
    if of is not None and of.form == "truth":
        if text not in ("yes", "no"):
            raise RuleError(f"the row '{text}' is for a fact that is yes or no", "rows yes: and no:")
        return text == "yes"
    if of is not None and of.form in ("word", "text"):
        return text
    if of is not None and of.form == "quantity":
        try:
            return _row_number(text, of)
        except QuantityError as error:
            raise RuleError(f"the row '{text}': {error}") from None
    value, _, _ = read_scalar(text)
    return value


def fit_keys(schedule: Schedule, types: Sequence[Type]) -> None:
    """Read the rows of a shared table in the dimensions of the keys it is looked up with."""

    def fit(rows: Any, depth: int) -> None:
        if depth == len(schedule.keys) or not isinstance(rows, dict):
            return
        for text, inner in rows.items():
            if schedule.keys[depth].how != "word":
                schedule.rows_read[depth, text] = row_key(text, types[depth])
            fit(inner, depth + 1)

    fit(schedule.rows, 0)


def _row_number(text: str, of: Type) -> Any:
    """A row's number in the dimension of its key."""
    read_value: Quantity = read(text, of.dimension or dimension("number"))
    if read_value.exact is None:
        raise RuleError(f"the row '{text}' is a bound", "an exact value or a band")
    return read_value.exact


def look_up(schedule: Schedule, keys: Sequence[Any], column: str, env: Any, name: str) -> Any:
    """The cell the keys lead to; a key that is bounded or unknown gives the hull of what it may lead to."""
    found = _descend(schedule, schedule.rows, list(keys), 0, column, env, name)
    return found


def _descend(schedule: Schedule, rows: Any, keys: list[Any], depth: int, column: str, env: Any, name: str) -> Any:
    if depth == len(schedule.keys):
        cell = rows[column] if schedule.columns else rows
        return cell_value(cell, env, name)
    key, value = schedule.keys[depth], keys[depth]
    if value is NO_LIMIT or value is NOT_ALLOWED:
        return value
    below = lambda row: _descend(schedule, rows[row], keys, depth + 1, column, env, name)  # noqa: E731
    outside = lambda side="between": _outside(schedule, env, name, key, side)  # noqa: E731
    rows_here = [(text, schedule.rows_read[depth, text]) for text in rows]
    if isinstance(value, bool) and rows_here and isinstance(rows_here[0][1], str):
        value = "yes" if value else "no"
    if isinstance(value, Unknown):
        if all(isinstance(one, bool) for _, one in rows_here) and len(rows_here) == 2:
            return _hull([below(text) for text, _ in rows_here], value.missing)
        return value
    if any(isinstance(one, Band) for _, one in rows_here):
        return _by_band(rows_here, value, below, outside)
    exact = [text for text, one in rows_here if not isinstance(value, Range) and one == value]
    if exact:
        return below(exact[0])
    if key.how in ("next row up", "next row down", "interpolate"):
        return _between(rows_here, value, key.how, below, outside)
    if isinstance(value, Range):
        return Unknown(value.missing) if value.missing else outside()
    return outside()


def _by_band(rows_here: list[tuple[str, Any]], value: Any, below: Any, outside: Any) -> Any:
    maybe = []
    for text, band in rows_here:
        holds = band.holds(value) if isinstance(band, Band) else intervals.equal(value, band)
        if holds is True:
            return below(text)
        if isinstance(holds, Unknown):
            maybe.append(text)
    if not maybe:
        return outside()
    return _hull([below(text) for text in maybe], value.missing if isinstance(value, (Range, Unknown)) else ())


def _hull(values: list[Any], missing: tuple[Missing, ...]) -> Any:
    if all(value == values[0] for value in values[1:]) and not isinstance(values[0], (Range, Unknown)):
        return values[0]
    plain = [v for v in values if isinstance(v, (int, Fraction, Range)) and not isinstance(v, bool)]
    lacks = tuple(dict.fromkeys([*missing, *intervals.missing_of(*values)]))
    if len(plain) != len(values) or not lacks:
        return Unknown(lacks) if lacks else values[0]
    low = min((intervals.ends(v)[0] for v in plain), key=lambda end: (end[0], end[1]))
    high = max((intervals.ends(v)[1] for v in plain), key=lambda end: (end[0], not end[1]))
    return intervals.from_ends(low, high, lacks)


def _between(rows_here: list[tuple[str, Any]], value: Any, how: str, below: Any, outside: Any) -> Any:
    if isinstance(value, Range):
        low, high = value.low, value.high
        if low is None or high is None:
            return Unknown(value.missing) if value.missing else outside()
        return _hull(
            [_between(rows_here, low, how, below, outside), _between(rows_here, high, how, below, outside)],
            value.missing,
        )
    rows = sorted(((one, text) for text, one in rows_here), key=lambda pair: pair[0])
    same = [text for one, text in rows if one == value]
    if same:
        return below(same[0])
    lower = [pair for pair in rows if pair[0] < value]
    upper = [pair for pair in rows if pair[0] > value]
    if how == "next row up":
        return below(upper[0][1]) if upper else outside("above")
    if how == "next row down":
        return below(lower[-1][1]) if lower else outside("below")
    if not lower or not upper:
        return outside("below" if not lower else "above")
    (x0, t0), (x1, t1) = lower[-1], upper[0]
    y0, y1 = below(t0), below(t1)
    if y0 in (NO_LIMIT, NOT_ALLOWED) or y1 in (NO_LIMIT, NOT_ALLOWED):
        return outside()
    share = Fraction(value - x0) / Fraction(x1 - x0)
    return intervals.add(y0, intervals.multiply(intervals.subtract(y1, y0), share))


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
