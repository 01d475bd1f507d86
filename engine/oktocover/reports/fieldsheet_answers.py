"""An answers file with every blank of a field sheet empty: to fill in with any text editor."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oktocover.reports._plain import clean
from oktocover.reports.fieldsheet_parts import Question, Sheet

BY_HAND = "by hand"


def target(question: Question) -> dict[str, Any]:
    """What an answer to a question is about, by the keys of the answers file."""
    first, *rest = question.key
    element: Any = list(question.elements) if question.many else question.elements[0]
    if first == "records":
        return {"element": element, "record": rest[0]}
    if first == "looked":
        return {"whole": rest[0], **({"in": rest[1]} if rest[1] else {})}
    if question.form == "ids" and not question.ids and not question.several:
        return {"about": f"{question.fact} of {question.elements[0]}"}  # what it would name is not in the site yet
    if first == BY_HAND:
        return {"about": f"{rest[-1]} of {rest[-2]}"}
    if first == "site":
        return {"element": "site", "fact": rest[0]}
    if first in ("described", "still to come", "permit", "building"):
        return {"element": " ".join((first, *rest[:-1])), "fact": rest[-1]}
    return {"element": element, "list": first, "fact": rest[-1]}


def empty_answers(sheet: Sheet) -> str:
    """The file as YAML: one line a blank, with the question before it."""
    lines = [
        "# Readings from the field. Write each behind `value:`, as it would stand in the site file, or say",
        "# why not: `said: cannot reach`, `not there`, `looks wrong` or `ask`, with a `note:`.",
        f"site: {_text(sheet.site)}",
        "by:          # initials",
        f"day: {sheet.today}",
        "answers:",
    ]
    for visit in sheet.visits:
        for room in visit.rooms:
            lines.append(f"  # {visit.name}: {clean(room.name, 80) or 'the building as a whole'}")
            for stop in room.stops:
                for question in stop.questions:
                    lines += _entry(question)
    if lines[-1] == "answers:":
        lines[-1] = "answers: []"
    return "\n".join(lines) + "\n"


def _entry(question: Question) -> Iterator[str]:
    words = (
        f" [{', '.join(question.words)}]"
        if question.words
        else " [yes, no]"
        if question.form in ("yes or no", "whole")
        else ""
    )
    yield f"  # {clean(question.go or question.ask, 300)}{clean(words, 300)} ({clean(question.tool, 60)})"
    about = target(question)
    known = "" if "whole" in about or "about" in about else f", known: {question.known}"
    known += f", was: {_text(question.was)}" if question.was else ""
    said = ", ".join(f"{key}: {_value(value)}" for key, value in about.items())
    limit = f" # {question.limit} where all are" if question.limit else ""
    yield f"  - {{{said}{known}, value: }}{limit}"


def _value(value: Any) -> str:
    return "[" + ", ".join(map(_text, value)) + "]" if isinstance(value, list) else _text(value)


def _text(value: str) -> str:
    """A text that YAML reads back as it stands."""
    plain = clean(value)
    if plain and plain == value and not set(plain) & set("\"':,[]{}#&*!|>%@`?") and plain[0] not in "-= ":
        return plain
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ") + '"'
