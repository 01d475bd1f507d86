"""Findings, circuits, devices and whole lists as tables for a spreadsheet; a list as a table reads back into a site.

A cell that a spreadsheet would take for a formula is kept from it by an apostrophe, which reading a table takes off.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.measures.view import SiteView
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.reports._plain import clean
from oktocover.reports._words import ANSWERED, SEVERITY, VERDICT
from oktocover.site.base import spaced
from oktocover.site.root import element_lists

FORMULA = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a cell begins with that spreadsheets take for a formula, in both widths."""
CONTROLS = ("\t", "\r", "\n")
DEVICES = ("receptacles", "switches", "lights", "equipment", "disconnects", "panels", "boxes")
ON_THE_WAY = ("cable", "raceway")
"""What belongs to a circuit and is no outlet of it."""
FINDING_HEADS = (
    "visit", "verdict", "how bad", "trade", "what", "element", "where", "room", "wall", "measured", "needed", "margin",
    "section", "how known", "not recorded", "what to do", "close it with", "file", "line", "answered or set aside", "rule",
    "identity",
)  # fmt: skip
CIRCUIT_FACTS = ("panel", "purpose", "breaker", "cable", "volts", "gfci", "afci")
CIRCUIT_HEADS = ("circuit", *CIRCUIT_FACTS, "outlets", "outlet list")
DEVICE_HEADS = ("id", "list", "what", "wall", "at", "height", "room", "circuit", "box", "note")


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table as comma-separated text; every cell on one line and kept from being a formula."""
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\n")
    writer.writerow([cell(one) for one in heads])
    writer.writerows([[cell(one) for one in row] for row in rows])
    return made.getvalue()


def cell(text: str) -> str:
    """One cell: a line of text that no spreadsheet takes for a formula."""
    plain = clean(text)
    # one apostrophe more where there are some already, so that reading takes off just the one that was put on
    return f"'{plain}" if plain.lstrip("'").startswith(FORMULA) or text.startswith(CONTROLS) else plain


def findings(checked: Checked, every: bool = False, all_visits: bool = False) -> str:
    """A row for each finding that does not meet or is not recorded (with `every`: for each verdict)."""
    found = checked.findings if all_visits else checked.of_visit()
    chosen = [one for one in found if every or one.verdict == "not met" or (_asked(one))]
    return table(FINDING_HEADS, map(_finding_row, chosen))


def _asked(one: Finding) -> bool:
    return one.verdict == "not recorded" and not one.settled


def _finding_row(one: Finding) -> list[str]:
    answered = (
        f"{ANSWERED}: {one.alternate}" if one.alternate else f"set aside {one.set_aside}" if one.set_aside else ""
    )
    lacking = "; ".join(f"{need.fact} of {need.element} ({need.found_by})" for need in one.missing)
    return [
        one.stage, VERDICT[one.verdict], SEVERITY[one.severity], one.trade, one.title, one.element, one.label, *one.where[:2],
        one.measured, one.required, one.margin, one.citation, one.known_by, lacking, one.remedy, one.close_with,
        one.place.file if one.place else "", str(one.place.line) if one.place else "", answered, one.rule, one.identity,
    ]  # fmt: skip


def circuits(read: SiteFile, view: SiteView) -> str:
    """The circuit schedule: a row for each circuit, with what hangs on it."""
    return table(CIRCUIT_HEADS, _circuit_rows(read, view))


def _circuit_rows(read: SiteFile, view: SiteView) -> Iterator[list[str]]:
    for name, about in _entries(read, "circuits").items():
        fed = ((one, model) for one, model in view.models.items() if getattr(model, "circuit", None) == name)
        outlets = [one for one, model in fed if model.kind not in ON_THE_WAY]
        chain = about.get("outlets")
        ordered = [one for one in chain if isinstance(one, str)] if isinstance(chain, list) else []
        named = list(dict.fromkeys([*ordered, *outlets]))
        facts = [_plain(about.get(key)) for key in CIRCUIT_FACTS]
        yield [name, *facts, str(len(named)), "; ".join(named)]


def devices(read: SiteFile) -> str:
    """The device list: a row for each device of any kind, in the order of the site."""
    return table(DEVICE_HEADS, _device_rows(read))


def _device_rows(read: SiteFile) -> Iterator[list[str]]:
    for name in DEVICES:
        for one, about in _entries(read, name).items():
            wall = _plain(about.get("wall"))
            room = _plain(about.get("space")) or wall.partition(".")[0]
            facts = {"id": one, "list": name, "room": room}
            yield [facts.get(head) or _plain(about.get(head)) for head in DEVICE_HEADS]


def list_table(read: SiteFile, name: str) -> str:
    """A whole list in the form that `tables:` of a site reads back: every fact a column, with how it is known beside it.

    InputProblems: there is no such list, or a fact of it that no cell can hold.
    """
    known = [spaced(field) for field in element_lists()]
    if name not in known:
        near = nearest(name, known)
        do = f"did you mean '{near}'?" if near else ""
        raise InputProblems([Problem(None, f"there is no list '{name}'", "one of: " + ", ".join(known), do)])
    entries = _entries(read, name)
    facts = list(dict.fromkeys(key for about in entries.values() for key in about))
    told = {key for key in facts if any(_how(about.get(key)) for about in entries.values())}
    heads = ["id", *(head for key in facts for head in ((key, f"{key} known") if key in told else (key,)))]
    return table(heads, (_list_row(read, name, one, about, facts, told) for one, about in entries.items()))


def _list_row(
    read: SiteFile, name: str, one: str, about: dict[str, Any], facts: Sequence[str], told: set[str]
) -> list[str]:
    row = [one]
    for key in facts:
        value = about.get(key)
        inner = value["is"] if isinstance(value, dict) and "is" in value else value
        if isinstance(inner, dict) or (isinstance(inner, list) and any(not isinstance(part, str) for part in inner)):
            place, do = read.place((name, one, key)), "leave this list in the site file"
            raise InputProblems([Problem(place, f"no cell of a table can hold '{key}' of {one}", do=do)])
        row.append(_plain(value))
        row += [_how(value)] if key in told else []
    return row


def _entries(read: SiteFile, name: str) -> dict[str, dict[str, Any]]:
    """A list of the site in its long form; blanks left out."""
    found = read.expanded.get(name) or {}
    return {
        one: {key: value for key, value in about.items() if value is not None}
        for one, about in found.items()
        if isinstance(about, dict)
    }


def _how(value: Any) -> str:
    return str(value.get("known") or "") if isinstance(value, dict) and "is" in value else ""


def _plain(value: Any) -> str:
    """A value as a cell has it: several with semicolons between them, an empty list as []."""
    if isinstance(value, dict):
        return _plain(value.get("is"))
    if isinstance(value, list):
        return "; ".join(str(part) for part in value) if value else "[]"
    return "" if value is None else str(value)
