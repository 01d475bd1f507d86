"""The sheets that put one system, test or room on one paper: what there is of them for a site, and how each is printed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from oktocover.check import records_of
from oktocover.findings.finding import Finding
from oktocover.measures.view import SiteView
from oktocover.reports.air_sheet import AirSheet, air_rows, air_sheet
from oktocover.reports.circuit_sheet import CircuitSheet, circuit_rows, circuit_sheet
from oktocover.reports.gas_rows import GasSheet, gas_rows
from oktocover.reports.gas_sheet import gas_sheet
from oktocover.reports.gas_test_sheet import GasTestSheet, gas_test_rows, gas_test_sheet
from oktocover.reports.vent_sheet import VentSheet, vent_rows, vent_sheet
from oktocover.rules.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class TradeSheet:
    """One sheet that can be printed: whose it is, what it is called, and the printing with a title block."""

    element: str
    title: str
    printed: Callable[[Mapping[str, Any]], str]
    rows: GasSheet | GasTestSheet | AirSheet | VentSheet | CircuitSheet
    """Its figures, for another form than paper of 80 columns."""


def trade_sheets(view: SiteView, rules: RuleSet, findings: Sequence[Finding]) -> Iterator[TradeSheet]:
    """All sheets of a site under the rules in force, in the order of the trades."""
    if view.of("gas_system"):
        for sized in gas_rows(view, rules):
            name = sized.system.id
            yield TradeSheet(name, "gas pipe sizing, every section on one sheet", partial(gas_sheet, sized), sized)
    for tested in gas_test_rows(view, rules, findings):
        yield TradeSheet(tested.test.id, "gas pressure test", partial(gas_test_sheet, tested), tested)
    for room in air_rows(view, rules, findings, records_of(view.site)):
        yield TradeSheet(room.room.id, "combustion air, every way on one sheet", partial(air_sheet, room), room)
    for vent in vent_rows(view, findings):
        yield TradeSheet(vent.vent.id, "vent, its sizes and ends on one sheet", partial(vent_sheet, vent), vent)
    for panel in circuit_rows(view, rules):
        name = panel.panel.id
        yield TradeSheet(name, "circuit schedule, every circuit on one sheet", partial(circuit_sheet, panel), panel)
