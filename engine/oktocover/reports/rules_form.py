"""What is in force here and where each number comes from: as text and as JSON."""

from __future__ import annotations

import dataclasses
import datetime
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from oktocover.check import _checked_by as checked_by_words
from oktocover.reports._layered import Said, Struck, World, limit_trails, spread
from oktocover.reports._plain import clean, counted, listed, wrap
from oktocover.reports._words import SEVERITY
from oktocover.reports.json_form import plain
from oktocover.rules.form import Rule
from oktocover.rules.layers import Layer

WIDTH = 80
READING = (
    "A reading of the rules in force in {place}. The books and the ordinances govern; none of their words is quoted."
)

LATEST = (
    "Something here begins or ends on a day, or depends on the permit: this is what holds on the latest day. "
    "For one building: oktocover rules --site SITE."
)


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One number, list or table of a rule, as it is in force."""

    name: str
    value: str
    from_: str
    """Which book, edition or town it comes from."""
    history: tuple[Said, ...] = ()
    """What each layer made of it, the oldest first; the last one is in force."""


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule as it is in force."""

    id: str
    title: str
    trade: str
    stage: str
    severity: str
    citation: str
    limits: tuple[LimitRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Definition:
    """A term or a table that rules share."""

    id: str
    what: str
    """'definition' or 'table'."""
    of: str
    """The kind of thing a term is about; the keys of a table."""
    citation: str
    limits: tuple[LimitRow, ...] = ()


@dataclass(frozen=True, slots=True)
class NotChecked:
    """What a place also changed and no rule here covers."""

    name: str
    cite: str
    about: str


@dataclass(frozen=True, slots=True)
class PlaceSheet:
    """The rules of a place, and whose word they are."""

    place: str
    books: tuple[str, ...]
    checked_by: str
    """Who checked the changes, in words; nothing where there is nothing to check."""
    rules: tuple[RuleRow, ...]
    definitions: tuple[Definition, ...] = ()
    struck: tuple[Struck, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    warnings: tuple[str, ...] = ()


def rule_row(world: World, rule: Rule) -> RuleRow:
    """A rule with its limits, each with its history."""
    return RuleRow(
        rule.id,
        rule.title,
        rule.trade,
        rule.stage,
        rule.severity,
        f"{rule.citation_book} {rule.section}",
        tuple(_limits(world, "rules", rule.id)),
    )


def _limits(world: World, section: str, address: str) -> Iterator[LimitRow]:
    for trail in limit_trails(spread(section, world.things[section][address].data)):
        history = world.history(section, address, trail)
        if history:
            yield LimitRow(trail[-1], history[-1].value, history[-1].source, history)


def definitions(world: World, wanted: Iterable[str] | None = None) -> Iterator[Definition]:
    """The terms with limits of their own and the tables; those `wanted` (all when left out)."""
    chosen = None if wanted is None else set(wanted)
    for section, what in (("terms", "definition"), ("tables", "table")):
        for address, thing in world.things[section].items():
            data = thing.data if isinstance(thing.data, dict) else {}
            limits = tuple(_limits(world, section, address)) if what == "definition" else ()
            if (chosen is None and what == "definition" and not limits) or (
                chosen is not None and address not in chosen
            ):
                continue
            of = str(data.get("of") or listed(data.get("keys") or ())).replace("_", " ")
            book = world.adopted.rules.printed(address.partition(".")[0], thing)
            yield Definition(address, what, of, f"{book} {data.get('section', '')}".strip(), limits)


def place_sheet(world: World, rules: Sequence[Rule], today: datetime.date, whole: bool) -> PlaceSheet:
    """The sheet of a place: some of its rules, and (`whole`) what else the place says."""
    adopted = world.adopted
    return PlaceSheet(
        adopted.place.name,
        tuple(dict.fromkeys(book.printed for book in adopted.books)),
        checked_by_words(adopted.place, today),
        tuple(rule_row(world, rule) for rule in rules),
        tuple(definitions(world)) if whole else (),
        tuple(world.struck()) if whole else (),
        tuple(not_checked(world.places())) if whole else (),
        (*adopted.warnings, *(() if adopted.board.fixed or adopted.reading is not None else (LATEST,))),
    )


def not_checked(places: Iterable[Layer]) -> Iterator[NotChecked]:
    """What the places also changed and no rule here covers."""
    for layer in places:
        for name, entry in layer.not_checked.items():
            said = entry if isinstance(entry, dict) else {"about": entry}
            yield NotChecked(name, str(said.get("cite") or layer.name), str(said.get("about") or name))


def sheet_text(sheet: PlaceSheet, width: int = WIDTH) -> str:
    """The sheet of a place: rules by trade and visit, then definitions, what is struck, and what is not checked."""
    lines = wrap(READING.format(place=clean(sheet.place, 120)), width)
    lines += wrap("Rules: " + listed(clean(book, 60) for book in sheet.books), width, "", "  ")
    if sheet.checked_by:
        lines += wrap(f"Town changes: {clean(sheet.checked_by, 300)}", width, "", "  ")
    for warning in sheet.warnings:
        lines += wrap(clean(warning, 400), width, "", "  ")
    lines += wrap("A number without a source beside it stands in the section of its rule.", width)
    return "\n".join(lines) + "\n" + rules_text(sheet.rules, width, _ends(sheet, width))


def _ends(sheet: PlaceSheet, width: int) -> list[str]:
    lines: list[str] = []
    if sheet.definitions:
        lines += ["", "DEFINITIONS THAT RULES SHARE"]
        for one in sheet.definitions:
            about = f"{clean(one.id, 200)}: {'of a ' + clean(one.of, 80) if one.what == 'definition' else 'table'}"
            lines += wrap(f"{about}; {clean(one.citation, 200)}", width, "  ", "      ")
            lines += _limit_lines(one.limits, one.citation, width)
    if sheet.struck:
        lines += ["", "STRUCK HERE"]
        for gone in sheet.struck:
            text = f"{clean(gone.address, 200)}: {clean(gone.title, 300)}, {clean(gone.section, 200)}"
            lines += wrap(
                f"{text}; {clean(gone.effect or 'struck', 60)} ({clean(gone.source, 200)})", width, "  ", "      "
            )
    if sheet.not_checked:
        lines += [
            "",
            *wrap("NOT CHECKED HERE: the place also changed these; no rule here covers them", width, "", "  "),
        ]
        for other in sheet.not_checked:
            lines += wrap(f"{clean(other.cite, 200)}: {clean(other.about, 400)}", width, "  ", "      ")
    return [*lines, ""] if lines else []


def rules_text(rows: Sequence[RuleRow], width: int = WIDTH, ends: Sequence[str] = ()) -> str:
    """The rules by trade and visit, each with its section and limits; the number of them last."""
    lines: list[str] = []
    groups: dict[tuple[str, str], list[RuleRow]] = {}
    for row in rows:
        groups.setdefault((row.trade, row.stage), []).append(row)
    for (trade, stage), inside in sorted(groups.items(), key=lambda pair: _trade_order(pair[0], list(groups))):
        head = ", ".join(part for part in (clean(trade, 60).upper(), clean(stage, 60)) if part)
        lines += ["", *wrap(head, width)]
        for row in inside:
            lines += _rule_lines(row, width)
    return "\n".join([*lines, *(ends or [""]), counted(len(rows), "rule")]) + "\n"


def _trade_order(group: tuple[str, str], groups: list[tuple[str, str]]) -> tuple[int, int]:
    """Trades in the order in which they first come, and inside a trade its visits likewise."""
    trades = list(dict.fromkeys(trade for trade, _ in groups))
    return trades.index(group[0]), groups.index(group)


def _rule_lines(row: RuleRow, width: int) -> list[str]:
    severity = SEVERITY.get(row.severity, clean(row.severity, 40))
    lines = wrap(f"{clean(row.id, 200)}: {clean(row.title, 300)}", width, "  ", "      ")
    lines += wrap("; ".join(part for part in (clean(row.citation, 300), severity) if part), width, "      ")
    return lines + _limit_lines(row.limits, row.citation, width)


def _limit_lines(limits: Iterable[LimitRow], citation: str, width: int) -> list[str]:
    lines: list[str] = []
    for one in limits:
        name = clean(one.name, 120).replace("_", " ")
        lines += wrap(f"{name}: {_told(one, citation)}", width, "      ", "        ")
    return lines


def _told(limit: LimitRow, citation: str) -> str:
    """`10 min (IFGC 2021 406.4.2) -> 15 min (Tallow Creek Code 15.08.040(B))`."""
    if len(limit.history) > 1:
        return " -> ".join(f"{clean(one.value, 400)} ({clean(one.source, 200)})" for one in limit.history)
    source = clean(limit.from_, 200)
    return clean(limit.value, 400) + (f" ({source})" if source and source != citation else "")


def rules_object(rows: Sequence[RuleRow]) -> dict[str, Any]:
    """The rules as plain JSON values."""
    return {"rules": [_rule_object(row) for row in rows]}


def sheet_object(sheet: PlaceSheet) -> dict[str, Any]:
    """The sheet of a place as plain JSON values."""
    return {
        "place": clean(sheet.place),
        "books": [clean(book) for book in sheet.books],
        "checked_by": clean(sheet.checked_by),
        **rules_object(sheet.rules),
        "definitions": [{**_fields(one, "limits"), "limits": limit_objects(one.limits)} for one in sheet.definitions],
        "struck": [_fields(one) for one in sheet.struck],
        "not_checked_here": [_fields(one) for one in sheet.not_checked],
        "warnings": [clean(one) for one in sheet.warnings],
    }


def rules_json(rows: Sequence[RuleRow]) -> str:
    """`rules_object` as text."""
    return as_json(rules_object(rows))


def as_json(value: Any) -> str:
    """Plain values as the text of a JSON file."""
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"


def _fields(one: Any, *but: str) -> dict[str, Any]:
    return {field.name: plain(getattr(one, field.name)) for field in dataclasses.fields(one) if field.name not in but}


def _rule_object(row: RuleRow) -> dict[str, Any]:
    return {**_fields(row, "limits"), "limits": limit_objects(row.limits)}


def limit_objects(limits: Iterable[LimitRow]) -> list[dict[str, Any]]:
    """Limits with where they come from, and what each layer made of them."""
    return [
        {
            "name": clean(one.name),
            "value": clean(one.value),
            "from": clean(one.from_),
            "history": [{"value": clean(said.value), "from": clean(said.source)} for said in one.history],
        }
        for one in limits
    ]
