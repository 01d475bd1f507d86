"""Inspections as data of a layer: their order, and what has to be ready, called, shown and handed in for each.

The law of a place changes them by the same verbs and addresses as rules: `add: {irc.rough electrical.after: {rough gas:
WAC 296-46B-010(6)}}`. Everything a place may change in one is a name with a text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from oktocover.findings.checked import VisitLine
from oktocover.findings.finding import Missing
from oktocover.measures.subject import Subject
from oktocover.measures.values import Unknown
from oktocover.quantities import QuantityError, read
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.addresses import VISIT_LISTS
from oktocover.rules.expressions import Expression
from oktocover.rules.form import Compiler
from oktocover.rules.layers import Thing
from oktocover.rules.scope import Env
from oktocover.site.base import spaced
from oktocover.site.root import DescribedSystems

TEXTS = ("title", "trade", "covers", "notice", "counted", "answer_within", "only_if", "limits", "note")
KEYS = (*TEXTS, *VISIT_LISTS)
LINE_KEYS = ("text", "cite", "note")
LIST_SHAPES = {
    "after": "after: {rough gas: R109.1.4}",
    "state": "state: {on_gauge: Test on with the gauge in sight}",
    "who": "who: {licensed: Registered gas piping installer}",
    "witness": "witness: {inspector: The inspector sees the test}",
    "instruments": "instruments: {dial: Gauge graduated in 0.1 psi}",
    "instead": "instead: {certificate: Certificate of a maker-certified installer}",
    "papers": "papers: {card: Permit card on the site}",
    "systems": "systems: [electrical]",
    "sees": "sees: [rough gas, rough electrical]",
}
DURATIONS = ("notice", "answer_within")


@dataclass(slots=True)
class Inspection:
    """A visit of the inspector, with its place in the order and what the place says about it."""

    name: str
    title: str
    trade: str = ""
    covers: bool = False
    """Whether its work is covered afterwards."""
    lists: dict[str, tuple[VisitLine, ...]] = field(default_factory=dict)
    notice: str = ""
    counted: str = ""
    answer_within: str = ""
    only_if: Expression | None = None
    note: str = ""
    trades: tuple[str, ...] = ()
    """Whose work it looks at: its own trade, and those of the visits it takes in."""

    @property
    def systems(self) -> tuple[str, ...]:
        """The described systems it is held for; empty: for every building."""
        return tuple(line.name for line in self.lists.get("systems", ()))

    @property
    def stages(self) -> tuple[str, ...]:
        """The stages of rules that are asked at it: its own name, and those of the visits it takes in."""
        return (self.name, *(line.name for line in self.lists.get("sees", ())))

    @property
    def after(self) -> tuple[str, ...]:
        """The visits that come before it."""
        return tuple(line.name for line in self.lists.get("after", ()))

    def held(self, roots: Mapping[str, Subject]) -> bool | tuple[Missing, ...]:
        """Whether the place holds it for this building, or what would have to be written to know."""
        if self.only_if is None:
            return True
        value = self.only_if.evaluate(Env(Subject("site", "site", base=roots["site"]), roots))
        return value.missing if isinstance(value, Unknown) else bool(value)


def normal(data: Any) -> Any:
    """An inspection with all its lists as names and texts, so that a change finds each of them."""
    if not isinstance(data, dict):
        return data
    lists = {name: _as_names(data.get(name)) for name in VISIT_LISTS}
    return {**data, **lists}


def _as_names(value: Any) -> Any:
    if value is None:
        return {}
    if isinstance(value, str):
        return {value: ""}
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return dict.fromkeys(value, "")
    return value


def stages_seen(data: Any) -> tuple[str, ...]:
    """What an inspection looks at besides the stage of its own name."""
    said = _as_names(data.get("sees")) if isinstance(data, dict) else None
    return tuple(str(name) for name in said) if isinstance(said, dict) else ()


def is_inspection(data: Any) -> bool:
    """Whether what a change adds under a new name is an inspection: by its shape, like tables and terms."""
    return isinstance(data, dict) and "each" not in data and any(key in data for key in ("covers", *VISIT_LISTS))


def read_inspections(things: Mapping[str, Thing], problems: list[Problem]) -> list[Inspection]:
    """The visits in an order that respects what comes after what; a ring is an InputProblems with its path."""
    made: dict[str, Inspection] = {}
    raw: dict[str, Thing] = {}
    for address, thing in things.items():
        name = address.partition(".")[2]
        if name in raw:
            other = raw[name]
            message = f"'{name}' is a visit of {other.layer} already; it stands at {other.document.place(other.path)}"
            problems.append(thing.problem((), message, do=f"change that one: add: {{…{name}.after: …}}"))
            continue
        raw[name] = thing
        made[name] = _inspection(name, thing, problems)
    _take_in(made, raw, problems)
    for name, inspection in made.items():
        for before in inspection.after:
            if before not in made:
                near = nearest(before, made)
                problems.append(
                    raw[name].problem(
                        ("after", before),
                        f"there is no visit '{before}' here to come after",
                        "one of: " + ", ".join(made),
                        f"did you mean '{near}'?" if near else "",
                    )
                )
    return _in_order(made, raw)


def _take_in(made: dict[str, Inspection], raw: Mapping[str, Thing], problems: list[Problem]) -> None:
    """Visits that another one looks at as well are none of their own here: what came after them comes after that one."""
    taken: dict[str, str] = {}
    for name, inspection in made.items():
        for stage in inspection.stages[1:]:
            if stage == name or stage in taken:
                other = taken.get(stage, name)
                message = f"'{stage}' is seen at '{other}' already"
                problems.append(raw[name].problem(("sees", stage), message, do="name it at one visit"))
            taken.setdefault(stage, name)
    own: dict[str, list[tuple[VisitLine, ...]]] = {}
    for stage, into in taken.items():
        found = made.get(into)
        if stage == into or found is None or stage not in made:
            continue
        if stage in taken.values():
            message = f"'{stage}' takes other visits in, and cannot be taken in itself"
            problems.append(raw[into].problem(("sees", stage), message, do=f"name what '{stage}' sees here"))
            continue
        gone = made.pop(stage)
        found.trades = tuple(dict.fromkeys((*found.trades, *gone.trades)))
        _inherit(found, gone)
        own.setdefault(into, []).append(gone.lists["systems"])
    for into, lists in own.items():
        # one that is held for every building makes the visit that takes it in one for every building
        if not made[into].systems and all(lists):
            made[into].lists["systems"] = _each_once(line for systems in lists for line in systems)
    for name, inspection in made.items():
        lines = [_moved(line, taken.get(line.name)) for line in inspection.lists["after"]]
        inspection.lists["after"] = _each_once(line for line in lines if line.name != name)


def _inherit(found: Inspection, gone: Inspection) -> None:
    """What was said of a visit still holds at the one that takes it in, for its own trade and its own systems."""
    for key in ("state", "who", "witness", "instruments", "instead", "papers"):
        theirs = tuple(replace(line, trade=gone.trade, systems=gone.systems) for line in gone.lists[key])
        if key != "who":
            # whoever answers for one of them has not answered for the other
            known = {line.name for line in found.lists[key]}
            theirs = tuple(
                replace(line, name=f"{gone.name} {line.name}") if line.name in known else line for line in theirs
            )
        found.lists[key] = _each_once((*found.lists[key], *theirs))
    found.covers = found.covers or gone.covers
    if not found.notice:
        found.notice, found.counted = gone.notice, gone.counted
    found.answer_within = found.answer_within or gone.answer_within


def _moved(line: VisitLine, into: str | None) -> VisitLine:
    return line if into is None else replace(line, name=into, text=into)


def _each_once(lines: Iterable[VisitLine]) -> tuple[VisitLine, ...]:
    return tuple({(line.name, line.trade): line for line in reversed(tuple(lines))}.values())[::-1]


def _in_order(made: dict[str, Inspection], raw: Mapping[str, Thing]) -> list[Inspection]:
    order: list[str] = []
    state: dict[str, int] = {}

    def visit(name: str, trail: list[str]) -> None:
        if state.get(name) == 2 or name not in made:
            return
        if state.get(name) == 1:
            ring = [*trail[trail.index(name) :], name]
            last = raw[trail[-1]]
            raise InputProblems(
                [
                    last.problem(
                        ("after", name),
                        f"the visits wait for each other: {' after '.join(ring)}",
                        do="take one of these out",
                    )
                ]
            )
        state[name] = 1
        for before in made[name].after:
            visit(before, [*trail, name])
        state[name] = 2
        order.append(name)

    for name in made:
        visit(name, [])
    return [made[name] for name in order]


def _inspection(name: str, thing: Thing, problems: list[Problem]) -> Inspection:
    data = thing.data if isinstance(thing.data, dict) else {}
    if not isinstance(thing.data, dict):
        problems.append(thing.problem((), f"the inspection '{name}' is a mapping", "{title: Framing, trade: framing}"))
    for key in data:
        if key not in KEYS:
            near = nearest(key, KEYS)
            problems.append(
                thing.problem(
                    (key,),
                    f"'{key}' is not said of an inspection",
                    "one of: " + ", ".join(KEYS),
                    f"did you mean '{near}'?" if near else "",
                )
            )
    made = Inspection(name, str(data.get("title") or name), str(data.get("trade") or ""))
    made.note = str(data.get("note") or "")
    made.trades = (made.trade,) if made.trade else ()
    if data.get("covers") not in (None, "yes", "no"):
        problems.append(thing.problem(("covers",), f"'{data['covers']}' is neither yes nor no", "covers: yes"))
    made.covers = data.get("covers") == "yes"
    for key in VISIT_LISTS:
        made.lists[key] = tuple(_lines(key, _as_names(data.get(key)), thing, problems))
    _known_systems(made, thing, problems)
    for key in DURATIONS:
        setattr(made, key, _duration(key, data.get(key), thing, problems))
    made.counted = str(data.get("counted") or "")
    if made.counted and not (made.notice or made.answer_within):
        problems.append(
            thing.problem(("counted",), "counted says which hours count, and there is no notice", "notice: 24 h")
        )
    if data.get("only_if") is not None:
        made.only_if = _condition(data, thing, problems)
    elif data.get("limits") is not None:
        problems.append(thing.problem(("limits",), "these limits are used nowhere", do="use them in only_if"))
    return made


def _known_systems(made: Inspection, thing: Thing, problems: list[Problem]) -> None:
    known = [spaced(name) for name in DescribedSystems.model_fields]
    for system in made.systems:
        if system not in known:
            near = nearest(system, known)
            do = f"did you mean '{near}'?" if near else ""
            path, expected = ("systems", system), "one of: " + ", ".join(known)
            problems.append(thing.problem(path, f"there is no system '{system}' under described:", expected, do))


def _lines(key: str, data: Any, thing: Thing, problems: list[Problem]) -> list[VisitLine]:
    if not isinstance(data, dict):
        problems.append(thing.problem((key,), f"'{key}' is a mapping of names and texts", LIST_SHAPES[key]))
        return []
    found = []
    for name, said in data.items():
        text, cite = said, ""
        if isinstance(said, dict):
            wrong = [one for one in said if one not in LINE_KEYS]
            if wrong or not isinstance(said.get("text"), str):
                expected = "{text: what has to be so, cite: the section}"
                problems.append(
                    thing.problem((key, name), f"'{name}' is a text, with the section if need be", expected)
                )
                continue
            text, cite = said["text"], str(said.get("cite") or "")
        if text is not None and not isinstance(text, str):
            problems.append(thing.problem((key, name), f"'{name}' is a text", LIST_SHAPES[key]))
            continue
        # of the order a text says why; of every other list it says what
        words = name if key in ("after", "sees", "systems") else text or name.replace("_", " ")
        why = text or "" if key in ("after", "sees", "systems") else ""
        found.append(VisitLine(name, words.strip(), cite or why.strip() or _changed_by(thing, key, name)))
    return found


def _changed_by(thing: Thing, key: str, name: str) -> str:
    """The authority of the change that put a line there."""
    for mark in reversed(thing.marks):
        if mark.covers((key, name)) is not None:
            return f"{mark.change.layer}: {mark.change.cite}"
    return ""


def _duration(key: str, value: Any, thing: Thing, problems: list[Problem]) -> str:
    """A time as it was written; words without a figure (a reasonable time) stay words."""
    if value is None:
        return ""
    text = str(value).strip()
    if not any(char.isdigit() for char in text):
        return text
    try:
        read(text, "time")
    except QuantityError as error:
        problems.append(
            thing.problem(
                (key,),
                str(error),
                ", ".join(error.forms),
                f"did you mean '{error.suggestion}'?" if error.suggestion else "",
            )
        )
    return text


def _condition(data: Mapping[str, Any], thing: Thing, problems: list[Problem]) -> Expression | None:
    """`only_if` as a condition of the site, the building and the permit, with its own limits."""
    compiler = Compiler(lambda name, kind: None, lambda name: None)
    term = compiler.term("only_if", {"of": "site", "is": data["only_if"], "limits": data.get("limits")})
    made = compiler.compile(term.text, term.scope, ("is",)) if term is not None and not compiler.problems else None
    if made is not None and made.type.form != "truth":
        compiler.fail(("is",), f"the condition '{data['only_if']}' is {made.type}, not yes or no")
    for path, error in compiler.problems:
        at = ("only_if", *path[1:]) if path[:1] == ("is",) else path or ("only_if",)
        problems.append(thing.problem(at, error.message, error.expected, error.do))
    return None if compiler.problems else made
