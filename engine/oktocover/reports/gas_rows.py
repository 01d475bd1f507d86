"""The figures of a gas sizing sheet: what the rules in force say of each section and end of one gas system.

Nothing is worked out a second time here: lengths, loads, capacities and pressures are terms of the rules, and a size is
looked for in the row of the table that the rules themselves look up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from oktocover.measures.gas_sizing import next_row, required_size
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Number, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show
from oktocover.rules.limits import Cell, Schedule
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

RULE: Final = "pipe-size"
TABLES: Final = {
    ("natural gas", False): "pipe_flow",
    ("natural gas", True): "tube_flow",
    ("propane", False): "propane_pipe",
    ("propane", True): "propane_tube",
}


@dataclass(frozen=True, slots=True)
class Run:
    """The way to one end: the counted length of each section, and all together (nm)."""

    end: str
    parts: tuple[tuple[str, Any], ...]
    length: Any


@dataclass(frozen=True, slots=True)
class Sized:
    """One section by one length: the row that was used, what the size put in carries, and the size that is needed."""

    length: Any
    row: Number | None
    carries: Any
    needed: Number | None
    table: str = ""
    """Which part of the tables: the kind of pipe and the drop of the row."""


@dataclass(frozen=True, slots=True)
class Line:
    """One section of the sheet."""

    pipe: str
    feeds: tuple[tuple[str, Any], ...]
    load: Any
    """Btu/h"""
    size: Any
    tube: bool
    longest: Sized
    branch: Sized


@dataclass(frozen=True, slots=True)
class Arrival:
    """The pressure at one end (Pa), by the equation, and the least its appliance needs."""

    end: str
    drops: tuple[tuple[str, Any], ...]
    pressure: Any
    least: Any


@dataclass(frozen=True, slots=True)
class GasSheet:
    """All figures of one gas system."""

    system: Subject
    section: str
    factor: Any
    runs: tuple[Run, ...]
    lines: tuple[Line, ...]
    arrivals: tuple[Arrival, ...]
    equation: str
    """The low-pressure equation solved for the drop, with its figures; empty where it does not hold for this pressure."""
    open_because: tuple[str, ...]
    """What could still add to it."""


def gas_rows(view: SiteView, rules: RuleSet) -> list[GasSheet]:
    """A sheet for each gas system of a site, in the order of the file; none where no rule in force sizes gas pipe."""
    book = next((name.partition(".")[0] for name in rules.folded.things["rules"] if name.endswith(f".{RULE}")), "")
    if not book:
        return []
    maker = _Maker(view, rules, book)
    return [maker.sheet(system) for system in view.of("gas_system")]


@dataclass(slots=True)
class _Maker:
    view: SiteView
    rules: RuleSet
    book: str

    def ask(self, term: str, subject: Subject) -> Any:
        """What a term of the rules gives for a subject; Unknown where the rules have no such term."""
        found = self.rules.term(f"{self.book}.{term}")
        if found is None:
            return Unknown((subject.lacks(term),))
        return found.compiled().evaluate(Env(subject, self.view.roots))

    def sheet(self, system: Subject) -> GasSheet:
        """The figures of one system."""
        own = [one for one in self.view.of("gas_section") if _is(one.value("pipe.system"), system)]
        ends = own[0].value("all_ends") if own else Members(())
        rule = self.rules.rule(f"{self.book}.{RULE}")
        lacks = dict.fromkeys(f"{one.element} {one.fact}" for one in (own[0].value("served").missing if own else ()))
        return GasSheet(
            system,
            f"{rule.citation_book} {rule.section}" if rule is not None else "",
            self.gravity(system),
            tuple(self.run(end) for end in ends.sure),
            tuple(self.line(one) for one in own),
            tuple(self.arrival(end) for end in ends.sure if end.value("what") != "not written"),
            self.equation(own),
            tuple(lacks),
        )

    def equation(self, own: list[Subject]) -> str:
        """How the drop of a section is worked out at low pressure."""
        names = ("gas_gravity_factor", "flow_power", "low_constant", "slope_power")
        values = [self.ask(name, own[0]) for name in names] if own else []
        if not values or not all(map(_exact, values)) or self.ask("at_low_pressure", own[0]) is not True:
            return ""
        factor, power, constant, slope = (show(value, "number") for value in values)
        return f"{factor} x length ft x (flow cfh^{power} / ({constant} x bore in))^(1/{slope}), in w.c."

    def gravity(self, system: Subject) -> Any:
        """The share by which the tables' capacities are multiplied for this gas."""
        table = self.rules.table(f"{self.book}.gravity_factor")
        gravity = system.value("specific_gravity")
        if table is None or not _exact(gravity):
            return None
        rows = {table.rows_read[0, text]: cell.value for text, cell in table.rows.items()}
        row = next_row(rows, gravity)
        return None if row is None else rows[row]

    def run(self, end: Subject) -> Run:
        """The way to an end."""
        route = end.value("route")
        parts = tuple((one.id, self.ask("counted_length", one)) for one in route.sure)
        return Run(end.id, parts, self.ask("run", end))

    def line(self, section: Subject) -> Line:
        """One section by the longest run and by the run of its own branch."""
        served = section.value("served")
        load = self.ask("load", section)
        tube = section.value("pipe.material") == "csst"
        return Line(
            section.id,
            tuple((end.id, end.value("input")) for end in served.sure),
            load,
            section.value("pipe.ehd" if tube else "pipe.size"),
            tube,
            self.sized(section, "longest", load, tube),
            self.sized(section, "branch", load, tube),
        )

    def sized(self, section: Subject, way: str, load: Any, tube: bool) -> Sized:
        """A section by one of the two lengths."""
        length = self.ask(f"{way}_run", section)
        carries = self.ask(f"carried_by_{way}", section)
        row, cells, table = self.row(section, length, tube)
        needed = None
        if cells and _exact(load):
            needed = required_size({size: self.heat(section, cell) for size, cell in cells.items()}, load)
        return Sized(length, row, carries, needed, table)

    def heat(self, section: Subject, cell: Number) -> Number:
        """The heat (Btu/h) that a cell of the table stands for, by this gas."""
        system = section.value("pipe.system")
        if system.value("gas") != "natural gas":
            return cell
        factor = self.gravity(system)
        value = system.value("heating_value")
        return Fraction(cell) * factor * value if factor is not None and _exact(value) else 0

    def row(self, section: Subject, length: Any, tube: bool) -> tuple[Number | None, dict[Number, Number], str]:
        """The row of the table for a length, what each size of it carries, and which table; nothing past its end."""
        system = section.value("pipe.system")
        gas, drop = (
            (str(system.value("gas")), system.value("pressure_drop")) if isinstance(system, Subject) else ("", None)
        )
        table = self.rules.table(f"{self.book}.{TABLES[gas, tube]}") if (gas, tube) in TABLES else None
        if table is None or not _exact(drop) or not _exact(length):
            return None, {}, ""
        rows, depth, kind = table.rows, 0, "tubing"
        if not tube:
            kind = str(self.ask("sheet" if gas == "natural gas" else "propane_sheet", section))
            rows, depth = rows.get(kind, {}), 1
        by_drop = {table.rows_read[depth, text]: text for text in rows}
        below = [row for row in by_drop if row <= drop]
        if not below:
            return None, {}, ""
        name = f"{kind}, {by_drop[max(below)]} drop"
        by_length = rows[by_drop[max(below)]]
        lengths = {table.rows_read[depth + 1, text]: text for text in by_length}
        found = next_row(lengths, length)
        if found is None:
            return None, {}, name
        return found, _cells(table, by_length[lengths[found]], depth + 2), name

    def arrival(self, end: Subject) -> Arrival:
        """The pressure at an end: what the supply gives less the drop of each section."""
        route = end.value("route")
        low = all(self.ask("at_low_pressure", one) is True for one in route.sure)
        drops = tuple((one.id, self.ask("section_drop", one)) for one in route.sure) if low else ()
        return Arrival(end.id, drops, self.ask("pressure_there", end), end.value("appliance.min_inlet_pressure"))


def _cells(table: Schedule, row: dict[str, Cell], depth: int) -> dict[Number, Number]:
    return {table.rows_read[depth, text]: cell.value for text, cell in row.items() if _exact(cell.value)}


def _exact(value: Any) -> bool:
    """Whether a value is one number."""
    return isinstance(value, (int, Fraction)) and not isinstance(value, (bool, Range))


def _is(value: Any, subject: Subject) -> bool:
    return isinstance(value, Subject) and value.id == subject.id
