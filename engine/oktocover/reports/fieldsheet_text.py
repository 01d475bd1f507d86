"""The field sheet on paper: at most 78 columns; what the sections ask stands at the end, to be read afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from oktocover.reports._plain import clean, columns, counted, day, listed, wrap
from oktocover.reports._words import CLOSING, LICENSED
from oktocover.reports.fieldsheet_parts import Question, Room, Sheet, Stop, VisitPart
from oktocover.reports.fieldsheet_words import SAY

WIDTH: Final = 78
TO_TICK: Final = ("yes or no", "whole")
GAP: Final = "   "
INDENT: Final = "       "
FEW_WORDS: Final = 12
"""Words that are printed to tick; more of them are written out."""


def fieldsheet_text(sheet: Sheet) -> str:
    """The sheet as plain text."""
    lines = _head(sheet)
    number = 0
    for visit in sheet.visits:
        lines += _visit(visit, number) if visit.questions else []
        number += len(visit.questions)
    quiet = [clean(visit.name, 80) for visit in sheet.visits if not visit.questions]
    if number and quiet:
        lines += ["", *wrap(f"Nothing is left to measure or look at for: {listed(quiet)}.", WIDTH)]
    if not number:
        lines += ["", "Nothing is left to measure or to look at, on what is written here."]
    lines += ["", *wrap(f"{CLOSING} {LICENSED}", WIDTH)]
    return "\n".join(lines) + "\n"


def _head(sheet: Sheet) -> list[str]:
    lines = wrap(f"FIELD SHEET: {clean(sheet.site, 120)}, {day(sheet.today)}", WIDTH, "", "   ")
    lines += wrap(f"Rules: {listed(clean(one, 80) for one in sheet.in_force)}", WIDTH, "", "   ")
    if sheet.checked_by:
        lines += wrap(f"Town changes: {clean(sheet.checked_by, 160)}", WIDTH, "", "   ")
    if not sheet.questions:
        return lines
    letters = ", ".join(f"{letter} {word}" for word, letter in SAY.items())
    lines += ["", "Readings by (initials) ________   on (day) ______________", ""]
    lines += wrap(
        "Write what the tape or the label says before you read what the section asks; that stands at the end. "
        f"No answer? Put a letter and why: {letters}.",
        WIDTH,
    )
    return lines


def _visit(visit: VisitPart, number: int) -> list[str]:
    total = len(visit.questions)
    lines = ["", f"{clean(visit.name, 80).upper()}: {counted(total, 'blank')}"]
    for text in visit.cautions:
        lines += wrap(text, WIDTH, " ! ", "   ")
    first = number
    for room in visit.rooms:
        lines += _room(room, number)
        number += sum(len(stop.questions) for stop in room.stops)
    if total:
        lines += ["", *_asked(visit, first)]
    return lines


def _room(room: Room, number: int) -> list[str]:
    lines = ["", clean(room.name, 80).upper() or "THE BUILDING AS A WHOLE"]
    for stop in room.stops:
        lines += _stop(stop, number)
        number += len(stop.questions)
    return lines


def _stop(stop: Stop, number: int) -> list[str]:
    where = f" - {clean(stop.where, 120)}" if stop.where else ""
    lines = wrap(f"{clean(stop.name, 300)}{where}", WIDTH, " ", "   ")
    for text in stop.before:
        lines += wrap(clean(text, 300), WIDTH, "   ! ", "     ")
    for question in stop.questions:
        number += 1
        lines += _question(question, number)
    return lines


def _question(question: Question, number: int) -> list[str]:
    with_what = ", ".join(part for part in (question.tool, question.precision) if part)
    again = "Measure again: " if question.again else ""
    lines = wrap(f"{number:>3}. {again}{clean(asked(question), 400)} ({with_what})", WIDTH, "  ", "       ")
    if question.written:
        lines += wrap(f"written so far: {clean(question.written, 120)}", WIDTH, "       ")
    if question.earlier:
        lines += wrap(f"last time: {clean(question.earlier, 200)}", WIDTH, "       ")
    for parts in _blanks(question):
        lines += _spread(parts)
    return lines


def _spread(parts: tuple[str, ...]) -> list[str]:
    """Parts of a blank side by side, none of them broken."""
    lines: list[str] = []
    for part in parts:
        if lines and columns(lines[-1]) + len(GAP) + columns(part) <= WIDTH:
            lines[-1] += GAP + part
        else:
            lines += wrap(part, WIDTH, INDENT, INDENT + "  ")
    return lines


def asked(question: Question) -> str:
    """The question as it is read out: what it is asked of, with its end, and for one about many what to carry."""
    of = f"{question.of}: " if question.of else ""
    text = question.ask if question.ask[-1:] in "?.:" else question.ask + ("?" if question.form in TO_TICK else ":")
    if question.go:
        return f"{of}{question.ask.rstrip('.')}. {question.go}?"
    return of + text


def _blanks(question: Question) -> Iterator[tuple[str, ...]]:
    label = clean(question.fact, 60)
    if question.form == "whole":
        yield "[ ] yes, that is all of them", f"how many: ____ ({question.count} are written)"
        yield ("[ ] no, missing: ______________________",)
    elif question.limit or (question.many and question.form == "yes or no"):
        yield "[ ] yes, all of them", "[ ] all but: ______________________", "[ ] no"
    elif question.form == "yes or no":
        yield "[ ] yes", "[ ] no"
    elif words := words_to_tick(question):
        yield tuple(f"[ ] {word}" for word in words)
        if question.many:
            yield ("all but: ______________________",)
    elif question.form == "span":
        yield f"{label}: the least ______________", "the largest ______________"
    elif question.many:
        yield f"{label}, the same for all: ________________", "all but: ________________"
    elif question.form == "length":
        yield f"{label}: ____ ft ____ in ____ /16", *_or_words(question)
    else:
        yield f"{label}: ______________________________", *_or_words(question)


def words_to_tick(question: Question) -> tuple[str, ...]:
    """The words or ids that are printed to be ticked; none where there are too many."""
    words = {"word": question.words, "ids": question.ids}.get(question.form, ())
    return words if len(words) <= FEW_WORDS else ()


def _or_words(question: Question) -> tuple[str, ...]:
    """Words that may stand in the place of a figure, to tick."""
    return tuple(f"[ ] {word}" for word in question.words) if question.form in ("length", "quantity") else ()


def _asked(visit: VisitPart, number: int) -> list[str]:
    lines = ["WHAT THE SECTIONS ASK (read it when the readings are written)"]
    for numbers, text, citation in limits_of(visit, number):
        lines += wrap(f"{numbers}  {text}" + (f" ({citation})" if citation else ""), WIDTH, " ", "      ")
    return lines


def limits_of(visit: VisitPart, number: int) -> list[tuple[str, str, str]]:
    """What the sections ask: the numbers of the blanks after `number`, what is asked, the section."""
    told: dict[tuple[str, str], tuple[dict[str, None], dict[int, None]]] = {}
    for one in visit.questions:
        number += 1
        for reason in one.why:
            needed, numbers = told.setdefault((clean(reason.title, 120), clean(reason.citation, 120)), ({}, {}))
            numbers[number] = None
            if one.was:
                needed[f"first reading {clean(one.was, 60)}"] = None
            if reason.needed:
                needed[clean(reason.needed, 120)] = None
    return [
        (_numbers(list(numbers)), f"{title}: {'; '.join(needed)}" if needed else title, citation)
        for (title, citation), (needed, numbers) in told.items()
    ]


def _numbers(numbers: list[int]) -> str:
    """1, 3-6: runs drawn together."""
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][1] + 1:
            runs[-1][1] = one
        else:
            runs.append([one, one])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs) + "."
