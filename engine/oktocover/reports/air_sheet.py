"""The combustion-air sheet of a room: what burns in it, what air it has, and every way the code gives, met or not.

A designer or a fitter picks the way that is cheapest to get, so that ways which fall short are shown with what they lack.
Inputs, areas and needs are those of the measures and of the rule in force; nothing is worked out a second time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from oktocover.findings.finding import Finding, Step
from oktocover.measures.combustion_air import takes_room_air
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show, show_range
from oktocover.reports import _words
from oktocover.reports._plain import clean, columns, wrap
from oktocover.reports.worksheet import WIDTH, head_lines
from oktocover.rules.evaluate import Answer, ways
from oktocover.rules.form import Node, Rule
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

RULE: Final = "combustion-air"
NOTHING: Final = "?"
_LINE: Final = "-" * WIDTH
_APPLIANCES: Final = (("appliance", 12), ("what", 15), ("draft", 18), ("input", 16), ("takes air of", 19))
_OPENINGS: Final = (
    ("opening", 9), ("from", 15), ("how", 17), ("face", 9), ("cover", 14), ("top", 8), ("bottom", 8),
)  # fmt: skip
_OK: Final = {True: "meets", False: "does not meet"}


@dataclass(frozen=True, slots=True)
class AirSheet:
    """All figures of the combustion air of one room."""

    room: Subject
    """The combustion space."""
    appliances: tuple[Subject, ...]
    """All of the room, those that bring their own air too."""
    openings: tuple[Subject, ...]
    rate: Any
    """Natural air change by the rule, Unknown where nobody knows it."""
    ways: tuple[tuple[Node, Answer], ...]
    finding: Finding | None


def air_rows(
    view: SiteView, rules: RuleSet, findings: Iterable[Finding], records: Mapping[tuple[str, str], tuple[bool, int]]
) -> list[AirSheet]:
    """A sheet for each room whose air appliances take, in the order of the file; none where no rule in force asks."""
    name = next((name for name in rules.folded.things["rules"] if name.endswith(f".{RULE}")), "")
    rule = rules.rule(name) if name else None
    if rule is None:
        return []
    found = {one.element: one for one in findings if one.rule == name}
    return [_sheet(view, rules, rule, room, found.get(room.id), records) for room in view.of("combustion_space")]


def _sheet(
    view: SiteView,
    rules: RuleSet,
    rule: Rule,
    room: Subject,
    finding: Finding | None,
    records: Mapping[tuple[str, str], tuple[bool, int]],
) -> AirSheet:
    env = Env(room, view.roots, records)
    space = room.value("room")
    term = rules.term(f"{rule.book}.natural_rate")
    return AirSheet(
        room,
        tuple(one for one in view.of("appliance") if _in(one.value("space"), space)),
        tuple(one for one in view.of("air_path") if space in (one.value("room"), one.value("beyond"))),
        Unknown(()) if term is None else term.compiled().evaluate(env),
        tuple(ways(rule, env)),
        finding,
    )


def air_sheet(sheet: AirSheet, head: Mapping[str, Any]) -> str:
    """One sheet, at most 80 columns wide. `head` is what `worksheet.head_of` gives."""
    name = clean(sheet.room.id.removesuffix(" air"), 60)
    lines = wrap(f"WORKSHEET: combustion air, {name}", WIDTH, "", "  ")
    lines += head_lines(head)
    lines += ["", "APPLIANCES IN IT", _LINE, *_appliances(sheet)]
    lines += ["", "THE ROOM AND ITS OPENINGS", _LINE, *_room(sheet)]
    lines += ["", "THE WAYS, ANY OF WHICH WILL DO", _LINE, *_ways(sheet.ways)]
    if sheet.finding is not None:
        one = sheet.finding
        changed = "".join(f", as changed by {text}" for text in one.amended_by)
        way = f" ({one.exception})" if one.exception else ""
        lines += [_LINE, *_field("Result", f"{_words.VERDICT[one.verdict]}{way}")]
        lines += _field("Section", f"{one.citation}{changed}")
    for text in _words.cautions(("mechanical",)):
        lines += wrap(text, WIDTH, "", "  ")
    return "\n".join([*lines, *wrap(_words.CLOSING, WIDTH)]) + "\n"


def _appliances(sheet: AirSheet) -> Iterator[str]:
    yield _row((name for name, _ in _APPLIANCES), _APPLIANCES)
    for one in sheet.appliances:
        taken = takes_room_air(one.exact("draft"), one.exact("room_air"))
        whose = NOTHING if taken is None else "the room" if taken else "its own pipe"
        cells = (one.id, _text(one.fact("what")), _text(one.fact("draft")), _figure(one, "input", "heat rate"), whose)
        yield _row(cells, _APPLIANCES)
    yield ""
    for name, fact in (("fan assisted", "input_fan"), ("all others", "input_natural"), ("together", "input_air")):
        yield f"{name:<18}{_figure(sheet.room, fact, 'heat rate')}"


def _room(sheet: AirSheet) -> Iterator[str]:
    yield f"{'volume':<18}{_figure(sheet.room, 'volume', 'volume', 'ft3')}"
    nobody = sheet.room.exact("space.infiltration_known") is False
    rate = "nobody knows it" if nobody else _told(sheet.rate, "air changes")
    yield f"{'air change':<18}{rate}"
    yield f"{'vent connectors':<18}{_figure(sheet.room, 'connector_area', 'area', 'in2')}"
    if not sheet.openings:
        yield "no opening is written"
        return
    yield ""
    yield _row((name for name, _ in _OPENINGS), _OPENINGS)
    for one in sheet.openings:
        source = _text(one.fact("source"))
        if source == "room":
            rooms = {_text(one.fact("room")), _text(one.fact("beyond"))} - {_text(sheet.room.fact("room"))}
            source = ", ".join(sorted(rooms)) or source
        how = _text(one.fact("route" if one.exact("route") else "what"))
        cells = (
            one.id, source, how, _figure(one, "counted_area", "area", "in2"), _text(one.fact("cover")),
            _figure(one, "top_gap", "length", "in"), _figure(one, "bottom_gap", "length", "in"),
        )  # fmt: skip
        wrapped = [wrap(text, width - 1) or [""] for text, (_, width) in zip(cells, _OPENINGS, strict=True)]
        for at in range(max(map(len, wrapped))):
            yield _row((part[at] if at < len(part) else "" for part in wrapped), _OPENINGS)
        if one.exact("closable"):
            yield f"{'':<9}can be shut, so it does not count"


def _ways(found: Sequence[tuple[Node, Answer]]) -> Iterator[str]:
    """Each way with its work and its figures; a line of work that stands above is not repeated."""
    told: set[Step] = set()
    for place, (way, answer) in enumerate(found, 1):
        title = way.title or way.name.replace("_", " ")
        yield from wrap(f"{title}{f' ({way.section})' if way.section else ''}", WIDTH, f"{place}  ", "   ")
        if answer.applies is False:
            yield from wrap(f"not open here, it wants: {answer.reason.rpartition(': ')[2]}", WIDTH, "     ", "     ")
            continue
        for step in answer.steps:
            if step not in told:
                told.add(step)
                how = f"{clean(step.how, 300)} = " if step.how.strip() else ""
                yield from wrap(f"{clean(step.what, 200)}: {how}{clean(step.result, 80)}", WIDTH, "     ", "       ")
        looks = {node.record[1] for node in way.walk() if node.record}
        for one in answer.comparisons:
            stands = "not recorded" if one.met is None else _OK[one.met]
            if one.required in looks:
                text = f"to be looked at: {clean(one.required, 200)}: {stands}"
            else:
                name = "" if one.item == title else f"{one.item}: "
                text = f"{name}{clean(one.measured, 100)}, needed {clean(one.required, 160)}: {stands}"
            yield from wrap(text, WIDTH, "   > ", "     ")


def _in(where: Any, space: Any) -> bool:
    return isinstance(where, Subject) and where.id == space


def _text(fact: Fact) -> str:
    return NOTHING if isinstance(fact.value, (Unknown, Range)) else clean(str(fact.value), 40)


def _figure(subject: Subject, name: str, dimension: str, unit: str | None = None) -> str:
    fact = subject.fact(name)
    return _told(fact.value, dimension, unit or fact.unit)


def _told(value: Any, dimension: str, unit: str | None = None) -> str:
    """A figure as it is printed: exact, a bound, or a question mark."""
    if isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        return show(value, dimension, unit, 4)
    if isinstance(value, Range):
        low = value.low if isinstance(value.low, (int, Fraction)) else None
        high = value.high if isinstance(value.high, (int, Fraction)) else None
        return show_range(low, high, value.low_open, value.high_open, dimension, unit)
    return NOTHING


def _field(name: str, text: str) -> list[str]:
    return wrap(clean(text, 300), WIDTH, f"{name:<11}", " " * 11)


def _row(cells: Iterable[str], table: Sequence[tuple[str, int]]) -> str:
    row = ""
    for (_, width), cell in zip(table, cells, strict=True):
        text = clean(cell, width - 1)
        row += text + " " * (width - columns(text))
    return row.rstrip()
