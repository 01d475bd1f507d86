"""When something of a place is in force: the conditions and days of an adoption or a change.

A switch sees the site, the building and the permit, never an element: which elements a rule is for is said in the
rule. Every answer is three-valued, and an open one names the facts that would decide it.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.registry import fact_type
from oktocover.measures.subject import Subject
from oktocover.measures.values import Range, Unknown
from oktocover.quantities import QuantityError, read_date
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.rules import intervals
from oktocover.rules.expressions import Expression
from oktocover.rules.form import Compiler
from oktocover.rules.layers import Says
from oktocover.rules.scope import ROOTS, Env, FactLeaf, LimitLeaf
from oktocover.rules.types import Type, fact_of, of_fact

ASLEEP, PROPOSED, USUAL_DATE = "asleep", "proposed", "applied"
CHOICES = "permit.choices."
Roots = Mapping[str, Subject]
Values = Mapping[str, Any]
"""Facts by their full names (`building.use`, `permit.applied`, `permit.choices.wiring`) with a value tried for each."""


@dataclass(slots=True)
class Switch:
    """The conditions and days under which an adoption or a change is in force."""

    when: Expression | None = None
    first: datetime.date | None = None
    """The first day."""
    end: datetime.date | None = None
    """The first day on which it is no longer in force."""
    by: str = f"permit.{USUAL_DATE}"
    never: str = ""
    """Why it is in force on no day: proposed, or asleep until something happens."""
    facts: tuple[tuple[str, Type], ...] = ()
    """The facts its condition reads, by their full names."""
    edges: dict[str, list[Any]] = field(default_factory=dict)
    """For each figure or day it reads, the values it is compared with."""

    @property
    def always(self) -> bool:
        """Whether it is in force whatever is written."""
        return not (self.when or self.first or self.end or self.never)

    @property
    def dated(self) -> bool:
        """Whether it goes by a day."""
        return self.first is not None or self.end is not None

    def holds(self, roots: Roots, values: Values) -> Any:
        """Whether it is in force: True, False, or Unknown with what is missing."""
        if self.never:
            return False
        parts = []
        if self.dated:
            parts.append(self._on(fact_value(self.by, roots, values)))
        if self.when is not None and parts != [False]:
            parts.append(self.when.evaluate(asked(roots, values)))
        return intervals.both(*parts) if parts else True

    def _on(self, day: Any) -> Any:
        if not isinstance(day, datetime.date):
            return day
        return (self.first is None or day >= self.first) and (self.end is None or day < self.end)

    def open_facts(self, roots: Roots, values: Values) -> list[str]:
        """The facts that nobody wrote and on which it hangs; none when it is decided without them."""
        if not isinstance(self.holds(roots, values), Unknown):
            return []
        names = [self.by] if self.dated else []
        names += [name for name, _ in self.facts]
        return [name for name in names if not _decided(fact_value(name, roots, values))]


def _decided(value: Any) -> bool:
    return not isinstance(value, (Unknown, Range))


def asked(roots: Roots, values: Values) -> Env:
    """The question about the whole site, with some facts tried."""
    return Env(Subject("site", "site", values, base=roots["site"]), roots)


def fact_value(name: str, roots: Roots, values: Values) -> Any:
    """The value of a fact by its full name: tried, written, or Unknown."""
    if name in values:
        return values[name]
    root, _, rest = name.partition(".")
    return roots[root].value(rest) if root in roots else roots["site"].value(name)


def missing_fact(name: str, roots: Roots) -> Missing:
    """What to write down to decide a fact."""
    value = fact_value(name, roots, {})
    if isinstance(value, (Unknown, Range)) and value.missing:
        return value.missing[0]
    root, _, rest = name.partition(".")
    return roots[root].lacks(rest) if root in roots else roots["site"].lacks(name)


def read_switch(data: Mapping[str, Any], says: Says, problems: list[Problem]) -> Switch:
    """The switch of an `adopts` entry or a change; `says` makes a problem at a path inside it."""
    made = Switch()
    status = data.get("status")
    if status is not None:
        if status == PROPOSED:
            made.never = PROPOSED
        else:
            problems.append(
                says(("status",), f"'{status}' is no status", PROPOSED, "leave it out for what is in force")
            )
    _days(made, data, says, problems)
    if data.get("when") is not None:
        _condition(made, data, says, problems)
    elif data.get("limits") is not None:
        problems.append(says(("limits",), "these limits are used nowhere", "", "use them in when, or take them out"))
    return made


def _days(made: Switch, data: Mapping[str, Any], says: Says, problems: list[Problem]) -> None:
    if data.get("from") == ASLEEP:
        wakes = data.get("wakes")
        made.never = f"{ASLEEP} until {wakes}"
        if not isinstance(wakes, str) or not wakes.strip():
            problems.append(
                says(("from",), "what sleeps says what wakes it", "wakes: the council adopts the resolution", "")
            )
    else:
        made.first = _day(data, "from", says, problems)
        if data.get("wakes") is not None:
            problems.append(says(("wakes",), "only what sleeps wakes", "from: asleep", ""))
    made.end = _day(data, "until", says, problems)
    if made.first is not None and made.end is not None and made.first >= made.end:
        message = f"this is in force on no day: from {made.first}, and no longer on {made.end}"
        problems.append(says(("until",), message, "until: a day after from", "the day of until itself does not count"))
    by = data.get("by")
    if by is None:
        return
    if not made.dated and made.first is None and not made.never:
        problems.append(says(("by",), "by names the date that from and until are held against", "from: or until:", ""))
    name = str(by).strip()
    made.by = name if name.partition(".")[0] in ROOTS else f"permit.{name}"
    of = fact_of("site", made.by)
    if of is None or of.form not in ("date", "moment"):
        known = ("applied", "issued", "received", "electrical.issued", "building.begun")
        near = nearest(name, known)
        problems.append(
            says(
                ("by",),
                f"'{name}' is no date of a permit",
                "one of: applied, issued, received, the same of a trade (electrical.issued), building.begun",
                f"did you mean '{near}'?" if near else "",
            )
        )


def _day(data: Mapping[str, Any], key: str, says: Says, problems: list[Problem]) -> datetime.date | None:
    text = data.get(key)
    if text is None:
        return None
    try:
        return read_date(str(text))
    except QuantityError as error:
        problems.append(
            says(
                (key,),
                str(error),
                ", ".join(error.forms),
                f"did you mean '{error.suggestion}'?" if error.suggestion else "",
            )
        )
        return None


def _condition(made: Switch, data: Mapping[str, Any], says: Says, problems: list[Problem]) -> None:
    """Compile `when` as a term of the site, so that limits, words and dimensions are checked like anywhere else."""
    compiler = Compiler(lambda name, kind: None, lambda name: None)
    term = compiler.term("when", {"of": "site", "is": data["when"], "limits": data.get("limits")})
    if term is not None and not compiler.problems:
        made.when = compiler.compile(term.text, term.scope, ("is",))
        if made.when is not None and made.when.type.form != "truth":
            compiler.fail(("is",), f"the condition '{term.text}' is {made.when.type}, not yes or no")
    for path, error in compiler.problems:
        at = ("when", *path[1:]) if path[:1] == ("is",) else path or ("when",)
        problems.append(says(at, error.message, error.expected, error.do))
    if made.when is None or compiler.problems:
        made.when = None
        return
    leaves = list(made.when.leaves.values())
    strange = [leaf.text for leaf in leaves if not isinstance(leaf, (FactLeaf, LimitLeaf))]
    if strange:
        message = f"'{strange[0]}' is nothing a place can go by"
        problems.append(says(("when",), message, "facts of the site, the building and the permit", ""))
    facts = [leaf for leaf in leaves if isinstance(leaf, FactLeaf)]
    made.facts = tuple((leaf.path, leaf.type) for leaf in facts)
    values = [part for leaf in leaves if isinstance(leaf, LimitLeaf) for part in _figures(leaf)]
    for leaf in facts:
        made.edges[leaf.path] = [value for value, of in values if of.dimension == leaf.type.dimension]


def _figures(leaf: LimitLeaf) -> list[tuple[Any, Type]]:
    limit = leaf.limit
    found = limit.many if limit.many is not None else (limit.cell.value,) if limit.cell is not None else ()
    return [(value, limit.type) for value in found]


def tried_values(name: str, switches: list[Switch], roots: Roots) -> list[Any]:
    """Values to try for an open fact: a word each, yes and no, a day of each window, a figure of each stretch."""
    of = next((of for switch in switches for fact, of in switch.facts if fact == name), None)
    if of is None:
        known = fact_type(*_kind_and_fact(name))
        of = of_fact(known) if known is not None else Type("date")
    if of.form == "truth":
        return [True, False]
    if of.form in ("word", "text"):
        return list(of.words)
    edges = {edge for switch in switches for edge in switch.edges.get(name, ()) if not isinstance(edge, (str, bool))}
    if of.form == "date":
        edges |= {
            day for one in switches if one.dated and one.by == name for day in (one.first, one.end) if day is not None
        }
        return _days_tried(sorted(edges))
    return [*of.words, *_figures_tried(sorted(edges), fact_value(name, roots, {}))]


def _kind_and_fact(name: str) -> tuple[str, str]:
    root, _, rest = name.partition(".")
    return (root, rest) if root in ROOTS else ("site", name)


def _days_tried(edges: list[datetime.date]) -> list[datetime.date]:
    """A day before the first edge, then each edge, and the day after it where a comparison may take the edge itself."""
    if not edges:
        return []
    day = datetime.timedelta(days=1)
    found = [edges[0] - day]
    for edge in edges:
        found += [edge, edge + day] if edge + day not in edges else [edge]
    return found


def _figures_tried(edges: list[Any], value: Any) -> list[Any]:
    """Every edge, a figure on each side of it, and between: within what is known of the fact."""
    if not edges:
        return []
    found = [edges[0] - 1 if edges[0] else Fraction(-1)]
    for edge, after in zip(edges, [*edges[1:], None], strict=True):
        found += [edge, edge + 1 if after is None else Fraction(edge + after) / 2]
    if isinstance(value, Range):
        low, high = intervals.ends(value)
        found = [one for one in found if low[0] <= one <= high[0]]
    return found
