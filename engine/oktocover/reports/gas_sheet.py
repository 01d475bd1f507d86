"""The gas sizing sheet: the longest run and every section of a gas system on one paper, to be followed with a pencil."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from oktocover.measures.values import Number, Range, Unknown
from oktocover.quantities import show, show_range
from oktocover.reports import _words
from oktocover.reports._plain import clean, columns, wrap
from oktocover.reports.gas_rows import Arrival, GasSheet, Line, Run, Sized
from oktocover.reports.worksheet import WIDTH, head_lines

_RULE: Final = "-" * WIDTH
_LABEL: Final = 11
_COLUMNS: Final = (
    ("pipe", 7),
    ("by", 7),
    ("run", 16),
    ("row", 7),
    ("load", 9),
    ("size", 9),
    ("carries", 8),
    ("spare", 9),
    ("needs", 9),
)
NOTHING: Final = "?"
"""What stands where a figure is not recorded."""
INPUTS: Final = (
    ("gas", "gas", "", None),
    ("supply, least", "supply_pressure", "pressure", None),
    ("pressure drop", "pressure_drop", "pressure", None),
    ("heat in the gas", "heating_value", "heating value", None),
    ("specific gravity", "specific_gravity", "number", None),
    ("sizes taken from", "sized_by", "", None),
    ("fittings", "fittings", "", None),
)
"""What is written of the system: its name on the sheet, the fact, its dimension and unit."""


def gas_sheet(sheet: GasSheet, head: Mapping[str, Any]) -> str:
    """One sheet, at most 80 columns wide. `head` is what `worksheet.head_of` gives."""
    lines = wrap(f"WORKSHEET: gas pipe sizing, {clean(sheet.system.id, 60)}", WIDTH, "", "  ")
    lines += head_lines(head)
    lines += ["", "INPUTS, as written", _RULE, *_inputs(sheet)]
    lines += ["", f"RUNS, from where {clean(sheet.system.id, 60)} begins", _RULE, *_runs(sheet.runs)]
    lines += ["", "LOADS", _RULE, *_loads(sheet.lines, sheet)]
    lines += ["", "SECTIONS", _RULE, *_sections(sheet)]
    arrivals = [one for one in sheet.arrivals if not isinstance(one.pressure, Unknown)]
    if arrivals:
        lines += ["", "PRESSURE LEFT AT EACH END, by the equation", _RULE, *_arrivals(arrivals, sheet)]
    lines += [_RULE, *_field("Section", sheet.section)]
    if sheet.open_because:
        lines += _field("Open", "more may come: " + "; ".join(clean(one, 120) for one in sheet.open_because))
    for text in _words.cautions(("gas",)):
        lines += wrap(text, WIDTH, "", "  ")
    return "\n".join([*lines, *wrap(_words.CLOSING, WIDTH)]) + "\n"


def _field(name: str, text: str) -> list[str]:
    return wrap(text, WIDTH, name.ljust(_LABEL), " " * _LABEL)


def told(value: Any, dimension: str, unit: str | None = None) -> str:
    """A figure as it is printed: exact, a bound, or a question mark."""
    if isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        return show(value, dimension, unit, 4 if dimension in ("flow", "heat rate", "pressure") else 6)
    if isinstance(value, Range):
        low = value.low if isinstance(value.low, (int, Fraction)) else None
        high = value.high if isinstance(value.high, (int, Fraction)) else None
        return show_range(low, high, value.low_open, value.high_open, dimension, unit)
    return NOTHING


def _inputs(sheet: GasSheet) -> Iterator[str]:
    system = sheet.system
    for name, key, dimension, unit in INPUTS:
        fact = system.fact(key)
        text = told(fact.value, dimension, fact.unit or unit) if dimension else fact.value
        yield f"{name:<18}{clean(str(text), 50) if not isinstance(text, Unknown) else NOTHING}"
    if sheet.factor is not None and sheet.factor != 1:
        yield f"{'carries, by gravity':<18} the table's figure x {show(sheet.factor, 'number')}"


def _runs(runs: Sequence[Run]) -> Iterator[str]:
    if not runs:
        yield "no end of this piping is written"
        return
    known = [run.length for run in runs if isinstance(run.length, (int, Fraction))]
    longest = max(known, default=None)
    for run in runs:
        parts = " + ".join(f"{clean(name, 20)} {told(length, 'length', 'ft')}" for name, length in run.parts)
        mark = "  <- longest" if run.length == longest and len(known) == len(runs) else ""
        yield from wrap(
            f"{parts} = {told(run.length, 'length', 'ft')}{mark}", WIDTH, f"{clean(run.end, 9):<10}", " " * 10
        )


def _loads(lines: Sequence[Line], sheet: GasSheet) -> Iterator[str]:
    for line in lines:
        parts = " + ".join(f"{clean(end, 20)} {amount(load, sheet)}" for end, load in line.feeds) or NOTHING
        total = "" if len(line.feeds) == 1 and not isinstance(line.load, Range) else f" = {amount(line.load, sheet)}"
        yield from wrap(f"{parts}{total}", WIDTH, f"{clean(line.pipe, 9):<10}", " " * 10)


def load_unit(sheet: GasSheet) -> str:
    """The unit of loads and capacities: as the tables have it, where the heat in the gas is known."""
    system = sheet.system
    if system.value("gas") == "natural gas":
        return "cfh" if isinstance(system.value("heating_value"), (int, Fraction)) else "Btu/h"
    return "MBH"


def amount(load: Any, sheet: GasSheet) -> str:
    """A load or a capacity as the tables have it: natural gas in cubic feet an hour, propane in thousands of Btu/h."""
    unit = load_unit(sheet)
    if unit == "cfh":
        return told(_over(load, sheet.system.value("heating_value")), "flow", unit)
    return told(load, "heat rate", unit)


def _figure(load: Any, sheet: GasSheet) -> str:
    """An amount for the table: without its unit, a bound as its lower end."""
    return _short(load, lambda exact: amount(exact, sheet).removesuffix(f" {load_unit(sheet)}"))


def _short(value: Any, show_exact: Callable[[Number], str]) -> str:
    """A figure for a narrow column: exact, `45 ft+` for at least that, or a question mark."""
    if isinstance(value, Range):
        return f"{show_exact(value.low)}+" if isinstance(value.low, (int, Fraction)) else NOTHING
    return show_exact(value) if isinstance(value, (int, Fraction)) else NOTHING


def _over(load: Any, heat: Number) -> Any:
    if isinstance(load, Range):
        low = None if load.low is None else Fraction(load.low) / heat
        high = None if load.high is None else Fraction(load.high) / heat
        return Range(low, high, load.low_open, load.high_open, load.missing)
    return Fraction(load) / heat if isinstance(load, (int, Fraction)) else load


def _sections(sheet: GasSheet) -> Iterator[str]:
    unit = load_unit(sheet)
    yield _cells([name for name, _ in _COLUMNS])
    yield _cells([unit if name in ("load", "carries", "spare") else "" for name, _ in _COLUMNS])
    used = dict.fromkeys(one.table for line in sheet.lines for one in (line.longest, line.branch) if one.table)
    for line in sheet.lines:
        yield _section(line.pipe, "long", line, line.longest, sheet)
        if line.branch.length != line.longest.length:
            yield _section("", "branch", line, line.branch, sheet)
    yield ""
    if used:
        yield from wrap(f"Table: {'; '.join(used)}.", WIDTH, "", "  ")
    yield from wrap(
        "A run takes the same or the next longer row; nothing is interpolated. A section may go by the longest run "
        "(long), or by the run to the farthest end of its own branch (branch), measured from where the gas begins. "
        "45+ is 45 at least; ? is not recorded.",
        WIDTH,
    )


def _section(name: str, by: str, line: Line, sized: Sized, sheet: GasSheet) -> str:
    return _cells((clean(name, 6), by, *section_figures(line, sized, sheet)))


def section_figures(line: Line, sized: Sized, sheet: GasSheet) -> tuple[str, ...]:
    """Run, row, load, size, what that carries, what is spare, and the size that is needed, without the load's unit."""
    exact = isinstance(sized.carries, (int, Fraction)) and isinstance(line.load, (int, Fraction))
    spare = _figure(sized.carries - line.load, sheet) if exact else NOTHING
    of = "ehd" if line.tube else "pipe size"
    return (
        _short(sized.length, lambda length: show(length, "length", "ft", 6)),
        told(sized.row, "length", "ft"),
        _figure(line.load, sheet),
        told(line.size, of),
        _figure(sized.carries, sheet),
        spare.replace("-", "short "),
        NOTHING if sized.needed is None else show(sized.needed, of),
    )


def _cells(cells: Iterable[str]) -> str:
    row = ""
    for (_, width), cell in zip(_COLUMNS, cells, strict=True):
        text = clean(cell, width - 1)
        row += text + " " * (width - columns(text))
    return row.rstrip()


def _arrivals(arrivals: Sequence[Arrival], sheet: GasSheet) -> Iterator[str]:
    supply = sheet.system.fact("supply_pressure")
    if sheet.equation:
        yield from wrap(f"drop of a section: {sheet.equation}", WIDTH, "", "  ")
    for one in arrivals:
        if one.drops:
            drops = " - ".join(f"{clean(name, 20)} {drop_figure(drop)}" for name, drop in one.drops)
            way = f"{told(supply.value, 'pressure', 'in w.c.')} - {drops} = {told(one.pressure, 'pressure', 'in w.c.')}"
        else:
            way = f"from {told(supply.value, 'pressure', supply.unit)}: {told(one.pressure, 'pressure', supply.unit)}"
        least = "" if isinstance(one.least, Unknown) else f"; plate asks for {told(one.least, 'pressure', supply.unit)}"
        yield from wrap(f"{way}{least}", WIDTH, f"{clean(one.end, 9):<10}", " " * 10)


def drop_figure(drop: Any) -> str:
    """A drop in inches of water without its unit, which stands behind the sum."""
    exact = isinstance(drop, (int, Fraction))
    return show(drop, "pressure", "in w.c.", 3).removesuffix(" in w.c.") if exact else NOTHING
