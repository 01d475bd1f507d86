"""The gas test sheet: what is on the gauge, what the code in force asks of the test, what was read, and lines to write on.

It is carried to the gauge before the test (then the readings are blank) and handed over after it. Nothing is worked out a
second time: volumes are terms of the rules in force, needed and measured values those of the findings.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from oktocover.findings.finding import Finding
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show, show_range
from oktocover.reports import _words
from oktocover.reports._plain import clean, columns, wrap
from oktocover.reports.worksheet import WIDTH, head_lines
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

RULE: Final = "test-pressure"
NOT_WRITTEN: Final = "............"
"""A reading nobody has written yet: a line to write on."""
_LINE: Final = "-" * WIDTH
_PIPES: Final = (("pipe", 13), ("material", 14), ("size", 10), ("length", 13), ("inside", 12), ("holds", 16))
_ASKED: Final = (("what is asked", 29), ("needed", 21), ("written", 16), ("stands", 14))
_STANDS: Final = {"met": "meets", "not met": "does not meet", "not recorded": "not recorded"}
_READINGS: Final = (
    ("medium", "medium", ""), ("gauge", "gauge", ""), ("its scale ends at", "full_scale", "pressure"),
    ("one division", "graduation", "pressure"), ("dial", "dial", "length"), ("pump shut off", "source_off", ""),
    ("first reading", "pressure", "pressure"), ("last reading", "end_pressure", "pressure"),
    ("started", "started", ""), ("ended", "ended", ""), ("held", "held", "time"),
    ("piping at the start", "temperature_start", "temperature"), ("piping at the end", "temperature_end", "temperature"),
    ("fall by cold alone", "cold_drop", "pressure"), ("fall of the gauge", "drop", "pressure"),
    ("run by", "by", ""), ("watched by", "witness", ""),
)  # fmt: skip
_UNITS: Final = {"cold_drop": "psi", "temperature_start": "°F", "temperature_end": "°F"}


@dataclass(frozen=True, slots=True)
class TestedPipe:
    """A pipe on the gauge: as written, with its bore (nm) and what it holds (nm3) by the tables in force."""

    pipe: Subject
    bore: Any
    holds: Any


@dataclass(frozen=True, slots=True)
class GasTestSheet:
    """All figures of one pressure test."""

    test: Subject
    pipes: tuple[TestedPipe, ...]
    open_because: tuple[str, ...]
    """What could still add to the pipes."""
    volume: Any
    asked: tuple[Finding, ...]


def gas_test_rows(view: SiteView, rules: RuleSet, findings: Iterable[Finding]) -> list[GasTestSheet]:
    """A sheet for each gas test of a site, in the order of the file; none where no rule in force is about such a test."""
    book = next((name.partition(".")[0] for name in rules.folded.things["rules"] if name.endswith(f".{RULE}")), "")
    if not book:
        return []
    found = [one for one in findings if one.kind == "gas_test"]

    def ask(term: str, subject: Subject) -> Any:
        known = rules.term(f"{book}.{term}")
        return None if known is None else known.compiled().evaluate(Env(subject, view.roots))

    made = []
    for test in view.of("gas_test"):
        pipes = test.value("pipes")
        sure = pipes.sure if isinstance(pipes, Members) else ()
        lacks = pipes.missing if isinstance(pipes, (Members, Unknown)) else ()
        made.append(
            GasTestSheet(
                test,
                tuple(TestedPipe(pipe, ask("bore", pipe), ask("inside_volume", pipe)) for pipe in sure),
                tuple(dict.fromkeys(f"{one.element} {one.fact}" for one in lacks)),
                ask("pipe_volume", test),
                tuple(one for one in found if one.element == test.id),
            )
        )
    return made


def gas_test_sheet(sheet: GasTestSheet, head: Mapping[str, Any]) -> str:
    """One sheet, at most 80 columns wide. `head` is what `worksheet.head_of` gives."""
    lines = wrap(f"WORKSHEET: gas pressure test, {clean(sheet.test.id, 60)}", WIDTH, "", "  ")
    lines += head_lines(head)
    lines += ["", "PIPING ON THE GAUGE", _LINE, *_piping(sheet)]
    lines += ["", "READINGS", _LINE, *_readings(sheet.test)]
    lines += ["", "WHAT THE CODE IN FORCE ASKS OF IT", _LINE, *_asked(sheet.asked)]
    lines += ["", "SEEN ON THE GAUGE", _LINE]
    lines += [f"{name:<12}{NOT_WRITTEN * 2}   {other:<10}{NOT_WRITTEN * 2}" for name, other in _TO_WRITE]
    lines += [_LINE]
    for text in _words.cautions(("gas",)):
        lines += wrap(text, WIDTH, "", "  ")
    return "\n".join([*lines, *wrap(_words.CLOSING, WIDTH)]) + "\n"


_TO_WRITE: Final = (("reading", "clock"), ("reading", "clock"), ("read by", "day"))


def _piping(sheet: GasTestSheet) -> Iterator[str]:
    system = sheet.test.value("of")
    if isinstance(system, Subject):
        yield from _field("system", f"{system.id}, works at {_fact(system.fact('working_pressure'), 'pressure')}")
        yield ""
    counted = any(one.holds is not None for one in sheet.pipes)
    yield _row(name for name, _ in (_PIPES if counted else _PIPES[:4]))
    for one in sheet.pipes:
        pipe = one.pipe
        cells = [
            pipe.id,
            _fact(pipe.fact("material")),
            _short(pipe.value("size"), "pipe size"),
            _short(pipe.value("length"), "length", "ft"),
        ]
        yield _row([*cells, _short(one.bore, "length", "in"), _short(one.holds, "volume")] if counted else cells)
    if counted:
        yield _row(["all together", "", "", "", "", _short(sheet.volume, "volume")])
    if sheet.open_because:
        yield from wrap(
            f"more may be on it: {'; '.join(clean(one, 120) for one in sheet.open_because)}", WIDTH, "", "  "
        )


def _readings(test: Subject) -> Iterator[str]:
    for name, key, dimension in _READINGS:
        fact = test.fact(key)
        yield f"{name:<22}{_fact(fact, dimension, _UNITS.get(key))}"


def _asked(findings: Sequence[Finding]) -> Iterator[str]:
    yield _row([name for name, _ in _ASKED], _ASKED)
    for one in findings:
        if one.verdict == "does not apply":
            continue
        written = one.measured if one.measured != "not recorded" else NOT_WRITTEN
        cells = (one.title, one.required, written, _STANDS[one.verdict])
        wrapped = [wrap(clean(text, 200), width - 1) for text, (_, width) in zip(cells, _ASKED, strict=True)]
        for at in range(max(map(len, wrapped))):
            yield _row([part[at] if at < len(part) else "" for part in wrapped], _ASKED)
        changed = f", as changed by {', '.join(one.amended_by)}" if one.amended_by else ""
        yield from wrap(clean(f"{one.citation}{changed}", 200), WIDTH, "  ", "  ")


def _fact(fact: Fact, dimension: str = "", unit: str | None = None) -> str:
    value = fact.value
    if isinstance(value, Unknown):
        return NOT_WRITTEN
    if dimension:
        return _told(value, dimension, fact.unit or unit)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return clean(f"{value:%Y-%m-%d %H:%M}" if hasattr(value, "hour") else str(value), 40)


def _told(value: Any, dimension: str, unit: str | None = None) -> str:
    """A figure as it is printed: exact, a bound, or a line to write on."""
    if isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        return show(value, dimension, unit, 4)
    if isinstance(value, Range):
        low = value.low if isinstance(value.low, (int, Fraction)) else None
        high = value.high if isinstance(value.high, (int, Fraction)) else None
        return show_range(low, high, value.low_open, value.high_open, dimension, unit)
    return NOT_WRITTEN


def _short(value: Any, dimension: str, unit: str | None = None) -> str:
    """A figure for a narrow column: a bound as its lower end, `45 ft+`."""
    if isinstance(value, Range):
        return f"{show(value.low, dimension, unit, 4)}+" if isinstance(value.low, (int, Fraction)) else NOT_WRITTEN
    return _told(value, dimension, unit)


def _field(name: str, text: str) -> list[str]:
    return wrap(clean(text, 200), WIDTH, f"{name:<11}", " " * 11)


def _row(cells: Iterable[str], table: Sequence[tuple[str, int]] = _PIPES) -> str:
    row = ""
    for (_, width), cell in zip(table, cells, strict=False):
        text = clean(cell, width - 1)
        row += text + " " * (width - columns(text))
    return row.rstrip()
