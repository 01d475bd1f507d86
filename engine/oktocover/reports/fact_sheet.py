"""One thing of the site, fact by fact: its value as written, where it came from, and how it is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath
from typing import Any, Final

from oktocover.findings.finding import Finding, Missing, Step
from oktocover.measures import registry
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile
from oktocover.reports import _words
from oktocover.reports._plain import clean, counted, ends, listed, wrap
from oktocover.reports._wiring import circuit_lines
from oktocover.reports.readback import WIDTH, room_lines, taped, whole_or_open, written
from oktocover.rules.expressions import show_value
from oktocover.rules.types import of_fact
from oktocover.rules.wording import label
from oktocover.site.base import HOW_KNOWN, SAID_OF_ENTRY, Element, spaced
from oktocover.site.root import element_lists
from oktocover.site.shapes import PlanWall

_INDENT: Final = "  "
_NAMED: Final = 12
"""How many derived things are named."""
_TOLD_APART: Final = SAID_OF_ENTRY


def names(view: SiteView) -> list[str]:
    """Everything that can be shown: elements, walls, and what is worked out from them."""
    walls = [wall.ref for shape in map(view.plan.room, view.site.spaces) if shape is not None for wall in shape.walls]
    derived = [subject.id for kind in registry.kinds() for subject in view.of(kind)]
    return list(dict.fromkeys([*view.elements, *walls, *derived]))


def fact_sheet(read: SiteFile, view: SiteView, name: str, findings: Iterable[Finding] = ()) -> str | None:
    """What is known of `name`, at most 80 columns wide; None when there is nothing of that name.

    `findings` are those of every visit: a fact that is not recorded is told when one of them waits for it.
    """
    found = list(findings)
    parts: list[list[str]] = []
    wall = view.plan.wall(name)
    if wall is not None:
        parts.append(_wall(view, wall))
    if name in view.site.spaces:
        parts.append(_room(view, name))
    for kind in registry.kinds():
        parts += [_subject(read, view, one, found) for one in view.of(kind) if one.id == name]
    if not parts:
        return None
    parts.append(_related(view, name, wall))
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


# rooms and walls


def _room(view: SiteView, name: str) -> list[str]:
    lines = room_lines(view, name)
    shape = view.plan.room(name)
    if shape is not None:
        walls = listed(f"{clean(wall.ref, 80)} {taped(wall.length)}" for wall in reversed(shape.walls))
        lines += wrap(f"its walls: {walls}", WIDTH, _INDENT, _INDENT * 2)
    return lines


def _wall(view: SiteView, wall: PlanWall) -> list[str]:
    """A wall as a person walks it: everything on it from left to right, with distance and height."""
    lines = wrap(
        f"wall {clean(wall.ref, 80)}, {taped(wall.length)} long, faces {wall.facing}; "
        "distances from its left end, seen from inside the room",
        WIDTH,
        "",
        _INDENT,
    )
    behind = dict.fromkeys(ref for ref, _, _ in view.plan.other_side(wall.ref, 0, wall.length))
    entries = [name for name, one in view.site.walls.items() if wall.ref in map(view.plan.ref, one.sides or ())]
    lines += wrap(
        f"behind it: {listed(map(clean, behind)) or 'nothing that the plan shows'}; "
        f"its entry under walls: {listed(map(clean, entries)) or 'none'}",
        WIDTH,
        _INDENT,
        _INDENT * 2,
    )
    rows = sorted(_on_wall(view, wall), key=lambda row: (row[0] is None, row[0] or 0, row[1]))
    for _, text in rows:
        lines += wrap(text, WIDTH, _INDENT, _INDENT * 2)
    if not rows:
        lines += wrap("nothing is written on it", WIDTH, _INDENT)
    lists = (
        field
        for field in element_lists()
        if any(
            view.plan.ref(getattr(one, "wall", None) or "") == wall.ref for one in getattr(view.site, field).values()
        )
    )
    states = dict.fromkeys(["openings", *map(spaced, lists)])
    return lines + wrap(
        "; ".join(f"{one}: {whole_or_open(view, one, wall.room)}" for one in states), WIDTH, _INDENT, _INDENT * 2
    )


def _on_wall(view: SiteView, wall: PlanWall) -> Iterator[tuple[Any, str]]:
    own = set()
    for name, model in view.models.items():
        if view.plan.ref(getattr(model, "wall", None) or "") != wall.ref:
            continue
        own.add(name)
        at, what = getattr(model, "at", None), getattr(model, "what", None)
        kind = spaced(model.kind)
        said = [f"{name}, {kind if what is None else what if kind == 'opening' else f'{kind} ({what})'}"]
        for fact, words in (("height", "{} up"), ("sill", "sill {}"), ("width", "{} wide"), ("high", "{} high")):
            value = getattr(model, fact, None)
            said += [words.format(written(value))] if value is not None else []
        place = written(at) if at is not None else "distance not recorded"
        yield at.low if at is not None else None, clean(f"{place}: {listed(said)}", 300)
    for name, start, end in view.plan.openings_of(wall.room, wall.name):
        if name not in own:
            opening = view.site.openings[name]
            text = (
                f"{taped(start, None)}: {name}, {opening.what or 'opening'}, "
                f"{taped(end - start, None)} wide (written from {opening.wall})"
            )
            yield start, clean(text, 300)


def _related(view: SiteView, name: str, wall: PlanWall | None) -> list[str]:
    """What is worked out from it, so that it can be asked for in turn."""
    place = (wall.room, wall.name) if wall is not None else None
    found = [
        one.id
        for kind, spec in registry.kinds().items()
        if spec.build is not None
        for one in view.of(kind)
        if one.id not in view.elements and (one.where[:2] == place if place else name in one.elements)
    ]
    more = [one for one in dict.fromkeys(found) if one != name]
    return (
        wrap(
            f"worked out from it: {'; '.join(map(clean, more[:_NAMED]))}"
            + (f" and {len(more) - _NAMED} more" if len(more) > _NAMED else ""),
            WIDTH,
            "",
            _INDENT,
        )
        if more
        else []
    )


# facts


def _subject(read: SiteFile, view: SiteView, subject: Subject, findings: Sequence[Finding]) -> list[str]:
    model = view.models.get(subject.id) if subject.kind in _recorded_kinds() else None
    place = read.key_place(subject.path) if subject.path else None
    kind = spaced(subject.kind)
    text = clean(label(subject), 300)
    title = clean(text if text.startswith(kind) or model is not None else f"{kind}: {text}", 300)
    lines = ends(title, clean(str(place.file)) + f":{place.line}" if place else "", WIDTH, _INDENT)
    if model is not None:
        lines += _recorded(read, view, subject, model)
        if subject.kind == "circuit":
            lines += circuit_lines(view, subject.id)
    elif subject.base is not None:
        lines += wrap(f"what is recorded: as {spaced(subject.base.kind)} {clean(subject.base.id)}", WIDTH, _INDENT)
    worked, waiting = _worked(subject, model)
    if worked:
        lines += ["", *wrap("worked out", WIDTH, _INDENT), *worked]
    lines += _not_recorded(subject, model, waiting, findings)
    return lines


def _recorded_kinds() -> frozenset[str]:
    return frozenset(element.kind for element in element_lists().values())


def _recorded(read: SiteFile, view: SiteView, subject: Subject, model: Element) -> list[str]:
    lines: list[str] = []
    for name, one in type(model).model_fields.items():
        value = getattr(model, name)
        if value is None or name in _TOLD_APART:
            continue
        path = (*subject.path, one.alias or spaced(name))
        place = read.key_place(path)
        by = read.said_by.get(path)
        known = HOW_KNOWN[view.how(path, model)] + (f" by {clean(by, 60)}" if by else "")
        chain = read.chain_of(path) if subject.kind != "circuit" else None
        known = f"{known}, from the chain of {clean(chain, 40)}" if chain is not None else known
        lines += _row(
            f"{path[-1]}: {clean(written(value), 600)}", clean(f"{PurePath(place.file).name}:{place.line}, {known}")
        )
    if model.note:
        lines += wrap(f"note: {clean(model.note, 300)}", WIDTH, _INDENT, _INDENT * 2)
    if model.photos:
        lines += wrap(f"photos: {listed(clean(one, 60) for one in model.photos)}", WIDTH, _INDENT, _INDENT * 2)
    return lines


def _row(left: str, right: str) -> list[str]:
    return [_INDENT + line for line in ends(left, right, WIDTH - len(_INDENT), _INDENT)]


def _worked(subject: Subject, model: Element | None) -> tuple[list[str], list[str]]:
    """Facts that nobody wrote, each with its steps; and the names of those that cannot be worked out yet."""
    lines: list[str] = []
    waiting: list[str] = []
    own = type(model).model_fields if model is not None else {}
    for name, about in registry.kinds()[subject.kind].facts.items():
        if name in own or _of_base(subject, name):
            continue
        fact = subject.fact(name)
        if isinstance(fact.value, Unknown):
            waiting.append(spaced(name))
            continue
        text = f"{spaced(name)}: {_shown(fact.value, about, fact.unit)}"
        lines += wrap(clean(text, 600), WIDTH, _INDENT * 2, _INDENT * 3)
        lines += [line for step in fact.steps for line in _step(step)]
    return lines, waiting


def _of_base(subject: Subject, name: str) -> bool:
    """Whether a derived thing has a fact from the recorded one below it, unchanged."""
    measured = name in registry.kinds()[subject.kind].measures
    return subject.base is not None and name not in subject.own and not measured


def _shown(value: Any, about: registry.FactType, unit: str | None) -> str:
    if isinstance(value, Members):
        ids = listed(one.id for one in value.sure) or "none written"
        return f"{ids} (list open)" if value.open else ids
    if isinstance(value, Subject):
        return value.id
    if isinstance(value, tuple) and about.form in ("one", "many"):
        return listed(getattr(one, "id", str(one)) for one in value) or "none"
    shown = show_value(value, of_fact(about), unit)
    return f"{shown}, as far as is recorded" if isinstance(value, Range) else shown


def _step(step: Step) -> list[str]:
    how = f"{step.how} = {step.result}" if step.how.strip() else step.result
    source = f" ({step.source})" if step.source else ""
    return wrap(clean(f"{step.what}: {how}{source}", 500), WIDTH, _INDENT * 4, _INDENT * 5)


def _not_recorded(
    subject: Subject, model: Element | None, waiting: Sequence[str], findings: Sequence[Finding]
) -> list[str]:
    """Facts that a rule in force waits for, with how each is found out; the others as a count."""
    asked: dict[tuple[str, str], Missing] = {}
    for one in findings:
        if one.verdict != "not recorded" or one.settled:
            continue
        for missing in one.missing:
            if missing.element == subject.id or (subject.kind == one.kind and subject.id == one.element):
                asked.setdefault((missing.element, missing.fact), missing)
    lines = ["", *wrap("not recorded, and a rule in force waits for it", WIDTH, _INDENT)] if asked else []
    for (element, fact), missing in asked.items():
        of = "" if element == subject.id else f" of {element}"
        said = f": {missing.means}" if missing.means and missing.means != fact else ""
        if missing.kind == "record" and missing.path:
            said = f": answer it under records, for: {missing.path[-1]}"
        text = clean(f"{fact}{of} ({_words.found_by(missing.found_by)}){said}", 400)
        lines += wrap(text, WIDTH, _INDENT * 2, _INDENT * 3)
    fields = type(model).model_fields if model is not None else {}
    rest = [
        name
        for name, one in fields.items()
        if name not in _TOLD_APART and getattr(model, name) is None and (subject.id, spaced(name)) not in asked
    ]
    if rest:
        text = f"{counted(len(rest), 'other fact')} of {_a(subject.kind)} not recorded; no rule in force waits for them now"
        lines += ["", *wrap(text, WIDTH, _INDENT, _INDENT * 2)]
    if waiting:
        lines += wrap(f"not worked out yet: {listed(waiting)}", WIDTH, _INDENT, _INDENT * 2)
    return lines


def _a(kind: str) -> str:
    words = spaced(kind)
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
