"""Worksheets as documents for a browser and for paper: inputs with their source, steps, result, sections."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from oktocover.findings.finding import Finding, Step
from oktocover.measures.values import Unknown
from oktocover.measures.view import SiteView
from oktocover.reports import _words
from oktocover.reports._entries import figures
from oktocover.reports._fold import subject
from oktocover.reports._plain import day, listed
from oktocover.reports.gas_rows import GasSheet, Line, Sized, gas_rows
from oktocover.reports.gas_sheet import (
    INPUTS,
    NOTHING,
    amount,
    drop_figure,
    load_unit,
    section_figures,
    told,
)
from oktocover.reports.html_page import render
from oktocover.reports.html_report_entries import anchor, sheet_anchor
from oktocover.reports.trade_sheets import trade_sheets
from oktocover.rules.ruleset import RuleSet

CSS: Final = "sheet.css"


@dataclass(frozen=True, slots=True)
class SheetTable:
    """One table of a sheet: its title, its heads (figures stand to the right), its rows."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: frozenset[int] = frozenset()
    """Columns that hold figures."""
    note: str = ""


@dataclass(frozen=True, slots=True)
class SheetDoc:
    """One calculation."""

    anchor: str
    title: str
    subject: str
    tables: tuple[SheetTable, ...]
    result: str
    sections: tuple[str, ...]
    trade: str
    open_because: str = ""
    element: str = ""
    """For the sheet of one system, test or room: whose it is."""
    text: str = ""
    """A sheet that is told as it is printed, 80 columns wide, instead of in tables."""
    meets: bool = False
    """Whether its verdict is 'meets, as written'."""


def of_finding(finding: Finding) -> SheetDoc:
    """The sheet of one finding, from the work that it carries."""
    said = figures(finding.measured, finding.required, finding.margin)
    verdict = _words.VERDICT[finding.verdict]
    sections = (finding.citation, *(f"as changed by {one}" for one in finding.amended_by))
    return SheetDoc(
        sheet_anchor(finding),
        finding.title,
        subject(finding),
        tuple(_tables(finding.work)),
        f"{said}: {verdict}" if said else verdict,
        tuple(one for one in sections if one),
        finding.trade,
        meets=finding.verdict == "met",
    )


def _tables(steps: Sequence[Step]) -> Iterator[SheetTable]:
    given = tuple((one.what, one.source, one.result) for one in steps if not one.how.strip())
    worked = [one for one in steps if one.how.strip()]
    note = "" if given else "None besides those in the steps."
    yield SheetTable("Inputs, as written", ("what", "source", "figure"), given, frozenset({2}), note)
    rows: tuple[tuple[str, ...], ...]
    rows = tuple((f"{at}", one.what, one.how, f"= {one.result}", one.source) for at, one in enumerate(worked, 1))
    heads: tuple[str, ...] = ("", "what", "how", "result", "source")
    if not any(one.source for one in worked):
        heads, rows = heads[:-1], tuple(row[:-1] for row in rows)
    note = "" if rows else "No sum: the figures are compared as they are written."
    yield SheetTable("Steps", heads, rows, frozenset({3}), note)


def of_gas(sheet: GasSheet) -> SheetDoc:
    """The sizing of a whole gas system."""
    system = sheet.system
    return SheetDoc(
        anchor("w-sheet", system.id),
        f"Gas pipe sizing, {system.id}",
        system.label,
        tuple(table for table in _gas_tables(sheet) if table.rows),
        "",
        (sheet.section,),
        "gas",
        listed(sheet.open_because),
        element=system.id,
    )


def sheet_docs(view: SiteView, rules: RuleSet, findings: Sequence[Finding], head: Mapping[str, Any]) -> list[SheetDoc]:
    """The sheets that put one system, test or room on one paper."""
    sized = {one.system.id: of_gas(one) for one in gas_rows(view, rules)} if view.of("gas_system") else {}
    made = list(sized.values())
    for sheet in trade_sheets(view, rules, findings):
        if sheet.element not in sized:
            name = anchor("w-sheet", sheet.element)
            title = sheet.title[:1].upper() + sheet.title[1:]
            made.append(
                SheetDoc(name, title, sheet.element, (), "", (), "", element=sheet.element, text=sheet.printed(head))
            )
    return made


def _gas_tables(sheet: GasSheet) -> Iterator[SheetTable]:
    unit = load_unit(sheet)
    yield SheetTable("Inputs, as written", ("what", "figure"), tuple(_gas_inputs(sheet)), frozenset({1}))
    runs = tuple(
        (
            run.end,
            " + ".join(f"{name} {told(length, 'length', 'ft')}" for name, length in run.parts),
            told(run.length, "length", "ft"),
        )
        for run in sheet.runs
    )
    yield SheetTable(
        f"Runs, from where {system_name(sheet)} begins", ("to", "sections", "length"), runs, frozenset({2})
    )
    loads = tuple(
        (
            line.pipe,
            " + ".join(f"{end} {amount(load, sheet)}" for end, load in line.feeds) or NOTHING,
            amount(line.load, sheet),
        )
        for line in sheet.lines
    )
    yield SheetTable("Loads", ("pipe", "feeds", "load"), loads, frozenset({2}))
    heads = ("pipe", "by", "run", "row", f"load, {unit}", "size", f"carries, {unit}", f"spare, {unit}", "needs")
    rows = tuple(row for line in sheet.lines for row in _gas_rows(line, sheet))
    used = dict.fromkeys(one.table for line in sheet.lines for one in (line.longest, line.branch) if one.table)
    note = (
        "A run takes the same or the next longer row; nothing is interpolated. A section may go by the longest run "
        "(long), or by the run to the farthest end of its own branch (branch), measured from where the gas begins. "
        "45+ is 45 at least; ? is not recorded."
    )
    table = f" Table: {'; '.join(used)}." if used else ""
    yield SheetTable("Sections", heads, rows, frozenset(range(2, 9)), note + table)
    yield SheetTable(
        "Pressure left at each end, by the equation",
        ("end", "sum", "left", "plate asks for"),
        tuple(_arrivals(sheet)),
        frozenset({2, 3}),
        f"Drop of a section: {sheet.equation}" if sheet.equation else "",
    )


def system_name(sheet: GasSheet) -> str:
    """The gas system as the file calls it."""
    return sheet.system.id


def _gas_inputs(sheet: GasSheet) -> Iterator[tuple[str, str]]:
    for name, key, dimension, unit in INPUTS:
        fact = sheet.system.fact(key)
        value = told(fact.value, dimension, fact.unit or unit) if dimension else fact.value
        yield name, NOTHING if isinstance(value, Unknown) else str(value)


def _gas_rows(line: Line, sheet: GasSheet) -> Iterator[tuple[str, ...]]:
    yield (line.pipe, "long", *section_figures(line, line.longest, sheet))
    if _other(line.branch, line.longest):
        yield ("", "branch", *section_figures(line, line.branch, sheet))


def _other(branch: Sized, longest: Sized) -> bool:
    return bool(branch.length != longest.length)


def _arrivals(sheet: GasSheet) -> Iterator[tuple[str, ...]]:
    supply = sheet.system.fact("supply_pressure")
    for one in sheet.arrivals:
        if isinstance(one.pressure, Unknown):
            continue
        drops = " - ".join(f"{name} {drop_figure(drop)}" for name, drop in one.drops)
        unit = "in w.c." if one.drops else supply.unit
        start = told(supply.value, "pressure", unit)
        least = "" if isinstance(one.least, Unknown) else told(one.least, "pressure", supply.unit)
        yield one.end, f"{start} - {drops}" if drops else f"from {start}", told(one.pressure, "pressure", unit), least


def title_block(head: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The lines of a title block; `head` is what `worksheet.head_of` gives."""
    left_out = head.get("not_checked_here") or ()
    lines = [
        ("Project", str(head.get("site", ""))),
        ("Permit", str(head.get("permit", "")) or "not recorded"),
        ("In force", listed(str(one) for one in head.get("in_force", ())) or "none adopted yet"),
        ("Town changes", str(head.get("checked_by", ""))),
        ("Not checked here", "; ".join(map(str, left_out))),
        ("Content", str(head.get("content", ""))),
        ("Date", day(str(head.get("date", "")))),
    ]
    return [(name, text) for name, text in lines if text]


def worksheet_page(docs: Sequence[SheetDoc], head: Mapping[str, Any]) -> str:
    """Sheets as one page, each beginning a new paper with the title block on it."""
    trades = dict.fromkeys(doc.trade for doc in docs)
    return render(
        "worksheet.html.j2",
        css=(CSS,),
        docs=docs,
        block=title_block(head),
        site=head.get("site", ""),
        cautions=_words.cautions(trades),
        closing=_words.CLOSING,
    )
