"""The vent sheet: one vent with its appliances, connectors and terminals, the table figures step by step, every check.

Figures, steps and verdicts are those of the findings; nothing is worked out a second time here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from oktocover.findings.finding import Finding, Step
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show, show_range
from oktocover.reports import _words
from oktocover.reports._entries import figures
from oktocover.reports._plain import clean, columns, wrap
from oktocover.reports.worksheet import WIDTH, head_lines

NOTHING: Final = "?"
"""What stands where a figure is not recorded."""
SIZED_BY: Final = (
    "vent-capacity", "vent-capacity-single-wall", "common-vent-capacity", "common-vent-capacity-single-wall",
    "connector-capacity", "connector-capacity-single-wall", "outside-chimney", "vent-length", "vent-not-smaller",
)  # fmt: skip
"""Rules whose sums are written out; of the others the figures are enough."""
_LINE: Final = "-" * WIDTH
Column = tuple[str, str, str, int]
"""Head, fact, dimension (empty: a word), width."""
_APPLIANCES: Final[tuple[Column, ...]] = (
    ("what", "what", "", 16), ("draft", "draft", "", 18), ("category", "category", "", 10),
    ("input", "input", "heat rate", 16), ("outlet", "outlet", "length", 8),
)  # fmt: skip
_CONNECTORS: Final[tuple[Column, ...]] = (
    ("pipe", "material", "", 17), ("size", "size", "length", 9), ("rise", "rise", "length", 13),
    ("length", "length", "length", 13), ("elbows", "elbows", "number", 8),
)  # fmt: skip
_VENT: Final[tuple[tuple[str, str, str], ...]] = (
    ("pipe", "material", ""), ("listing", "listing", ""), ("category", "category", ""), ("draft", "draft", ""),
    ("inside diameter", "size", "length"), ("flue area", "flue_area", "area"), ("height", "rise", "length"),
    ("lateral", "lateral", "length"), ("elbows", "elbows", "number"), ("offset", "offset", "length"),
    ("manifold", "manifold", "length"), ("length", "length", "length"), ("equivalent", "equivalent_length", "length"),
    ("longest by maker", "longest", "length"), ("input", "input", "heat rate"),
)  # fmt: skip
_TERMINALS: Final[tuple[Column, ...]] = (
    ("through", "through", "", 9), ("wall", "wall", "", 22), ("above roof", "above_roof", "length", 13),
    ("above ground", "above_grade", "length", 14),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class VentSheet:
    """One vent, what goes into it, its ends, and every finding about them."""

    vent: Subject
    appliances: tuple[Subject, ...]
    connectors: tuple[Subject, ...]
    terminals: tuple[Subject, ...]
    findings: tuple[Finding, ...]


def vent_rows(view: SiteView, findings: Iterable[Finding]) -> list[VentSheet]:
    """A sheet for each vent of a site, in the order of the file."""
    by_element: dict[str, list[Finding]] = {}
    for one in findings:
        if one.kind in ("vent", "vent_connector", "terminal", "vent_terminal") and one.verdict != "does not apply":
            by_element.setdefault(one.element, []).append(one)
    return [_sheet(vent, by_element) for vent in view.of("vent")]


def _sheet(vent: Subject, by_element: Mapping[str, Sequence[Finding]]) -> VentSheet:
    connectors, terminals = _members(vent, "connectors"), _members(vent, "terminals")
    own = [vent.id, *(one.id for one in connectors), *(one.id for one in terminals)]
    found = tuple(finding for element in own for finding in by_element.get(element, ()))
    return VentSheet(vent, _members(vent, "serves"), connectors, terminals, found)


def _members(subject: Subject, name: str) -> tuple[Subject, ...]:
    value = subject.value(name)
    return value.sure if isinstance(value, Members) else ()


def vent_sheet(sheet: VentSheet, head: Mapping[str, Any]) -> str:
    """One sheet, at most 80 columns wide. `head` is what `worksheet.head_of` gives."""
    lines = wrap(f"WORKSHEET: vent {clean(sheet.vent.id, 60)}", WIDTH, "", "  ")
    lines += head_lines(head)
    lines += ["", "APPLIANCES INTO IT", _LINE, *_table(sheet.appliances, "appliance", _APPLIANCES)]
    lines += ["", "THE VENT", _LINE, *_vent(sheet.vent)]
    if sheet.connectors:
        lines += ["", "ITS CONNECTORS", _LINE, *_table(sheet.connectors, "connector", _CONNECTORS)]
    if sheet.terminals:
        lines += ["", "WHERE IT ENDS", _LINE, *_table(sheet.terminals, "terminal", _TERMINALS)]
    lines += ["", "SIZE AND LENGTH", _LINE, *_sums(sheet)]
    lines += ["", "WHAT ELSE IS ASKED OF IT", _LINE, *_checks(sheet)]
    for text in _words.cautions(("mechanical", "gas")):
        lines += wrap(text, WIDTH, "", "  ")
    return "\n".join([*lines, *wrap(_words.CLOSING, WIDTH)]) + "\n"


def _table(subjects: Sequence[Subject], head: str, table: Sequence[Column]) -> Iterator[str]:
    if not subjects:
        yield "nothing is written"
        return
    yield _row([(head, 12), *((name, width) for name, _, _, width in table)])
    for one in subjects:
        yield _row([(one.id, 12), *((told(one, fact, of), width) for _, fact, of, width in table)])


def _vent(vent: Subject) -> Iterator[str]:
    """What is known of it; what nobody wrote and no rule asked for takes no line."""
    for name, fact, of in _VENT:
        text = told(vent, fact, of)
        if text != NOTHING:
            yield f"{name:<18}{text}"


def _sums(sheet: VentSheet) -> Iterator[str]:
    """The sums of sizing, an element and a rule at a time; a line of work that stands above is not repeated."""
    shown: set[Step] = set()
    some = False
    for one in sheet.findings:
        if _name(one) in SIZED_BY:
            some = True
            yield from _sum(one, shown)
    if not some:
        yield "no table of the code is for this vent; its maker's sheet decides"


def _sum(one: Finding, shown: set[Step]) -> Iterator[str]:
    yield from wrap(f"{one.title} ({one.citation})", WIDTH, f"{clean(one.element, 10)}: ", "   ")
    for step in one.work:
        if step not in shown:
            shown.add(step)
            how = f"{clean(step.how, 400)} = " if step.how.strip() else ""
            table = f"; {clean(step.source, 100)}" if step.source.startswith("Table") else ""
            yield from wrap(f"{clean(step.what, 300)}: {how}{clean(step.result, 80)}{table}", WIDTH, "     ", "       ")
    yield from wrap(_verdict(one), WIDTH, "   > ", "     ")


def _checks(sheet: VentSheet) -> Iterator[str]:
    for one in sheet.findings:
        if _name(one) not in SIZED_BY:
            text = f"{one.title}: {_verdict(one)} ({one.citation})"
            yield from wrap(text, WIDTH, f"{clean(one.element, 8):<9}", " " * 9)


def _name(one: Finding) -> str:
    """The rule without its book and item."""
    return one.rule.split(".")[1] if "." in one.rule else one.rule


def _verdict(one: Finding) -> str:
    said = figures(one.measured, one.required, one.margin)
    verdict = _words.VERDICT[one.verdict]
    lacks = "; ".join(dict.fromkeys(f"{item.element} {item.fact}" for item in one.missing))
    return clean(f"{said}: {verdict}" if said else verdict, 500) + (f" ({clean(lacks, 200)})" if lacks else "")


def told(subject: Subject, name: str, dimension: str) -> str:
    """A fact as it is printed: exact, a bound, a word, or a question mark."""
    fact = subject.fact(name)
    value = fact.value
    if isinstance(value, (int, Fraction)) and not isinstance(value, bool) and dimension:
        return show(value, dimension, fact.unit, 4)
    if isinstance(value, Range) and dimension:
        low = value.low if isinstance(value.low, (int, Fraction)) else None
        high = value.high if isinstance(value.high, (int, Fraction)) else None
        return show_range(low, high, value.low_open, value.high_open, dimension, fact.unit)
    return NOTHING if isinstance(value, (Unknown, Range, Members)) else clean(str(value), 40)


def _row(cells: Sequence[tuple[str, int]]) -> str:
    row = ""
    for cell, width in cells:
        text = clean(cell, width - 1)
        row += text + " " * (width - columns(text))
    return row.rstrip()
