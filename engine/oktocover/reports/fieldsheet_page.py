"""The field sheet as one page for a phone: no network, entries kept in the browser, saved as a file of answers.

Without scripts, and in print, the same page is the paper sheet with blanks to write on.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from oktocover.quantities import dimension
from oktocover.quantities._forms import forms_of
from oktocover.reports._plain import clean, counted, day, listed
from oktocover.reports._words import CLOSING, LICENSED
from oktocover.reports.fieldsheet_answers import target
from oktocover.reports.fieldsheet_parts import Question, Room, Sheet, Stop, VisitPart
from oktocover.reports.fieldsheet_text import asked, limits_of, words_to_tick
from oktocover.reports.fieldsheet_words import SAY
from oktocover.reports.html_page import render

UNITS: Final[dict[str, tuple[str, ...]]] = {
    "pressure": ("psi", "in w.c.", "oz"),
    "time": ("min", "s", "h"),
    "area": ("in2", "ft2"),
    "volume": ("in3", "ft3"),
    "heat rate": ("Btu/h", "kW"),
    "heating value": ("Btu/ft3",),
    "flow": ("cfm", "cfh", "gpm"),
    "voltage": ("V",),
    "current": ("A",),
    "power": ("W", "kW", "VA"),
    "temperature": ("°F",),
    "temperature difference": ("°F",),
    "mass": ("lb", "oz"),
    "angle": ("deg",),
    "wire size": ("AWG", "kcmil"),
    "pipe size": ("in",),
    "share": ("in per ft", "%"),
    "number": ("",),
    "ehd": ("",),
    "air changes": ("ACH",),
    "air changes at 50 Pa": ("ACH50",),
}
"""The units a person may pick for a figure, the likeliest first; any other way of writing it can be typed."""


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a blank on paper: a box to tick, or a line to write on."""

    text: str
    tick: bool = False
    line: str = ""


def fieldsheet_page(sheet: Sheet) -> str:
    """The page, whole in one file."""
    visits = [_visit(sheet, visit, number) for number, visit in enumerate(sheet.visits) if visit.questions]
    data = {
        "store": f"oktocover field sheet {hashlib.sha256(sheet.site.encode()).hexdigest()[:16]}",
        "site": clean(sheet.site),
        "day": sheet.today,
        "questions": [_data(one) for one in sheet.questions],
    }
    return render(
        "fieldsheet.html.j2",
        ("fieldsheet.css",),
        "fieldsheet.js",
        sheet=sheet,
        day=day(sheet.today),
        letters=listed(f"{letter} {word}" for word, letter in SAY.items()),
        visits=visits,
        several=len(visits) > 1,
        data=json.dumps(data, ensure_ascii=True),
        closing=f"{CLOSING} {LICENSED}",
    )


def _data(question: Question) -> dict[str, Any]:
    """What the script has to know of a question."""
    forms = forms_of(dimension(question.dimension)) if question.dimension else ()
    about = target(question)
    return {
        "id": question.id,
        "target": about,
        "form": question.form,
        "fact": question.fact,
        "elements": question.elements,
        "words": question.words,
        "ids": question.ids,
        "several": question.several,
        "dimension": question.dimension,
        "units": UNITS.get(question.dimension, ("",)),
        "example": forms[0] if forms else "",
        "known": "" if "whole" in about or "about" in about else question.known,
        "limit": question.limit,
        "how": question.carry,
        "was": question.was,
        "count": question.count,
    }


def _visit(sheet: Sheet, visit: VisitPart, number: int) -> dict[str, Any]:
    before = sum(len(one.questions) for one in sheet.visits[:number])
    rooms = []
    at = before
    for place, room in enumerate(visit.rooms):
        rooms.append(_room(room, f"r{number}-{place}", at))
        at += sum(len(stop.questions) for stop in room.stops)
    return {
        "id": f"v{number}",
        "name": visit.name,
        "title": f"{visit.name}: {counted(len(visit.questions), 'blank')}",
        "cautions": visit.cautions,
        "rooms": rooms,
        "asked": [
            {"numbers": numbers, "text": text, "citation": citation}
            for numbers, text, citation in limits_of(visit, before)
        ],
    }


def _room(room: Room, name: str, number: int) -> dict[str, Any]:
    stops = []
    for place, stop in enumerate(room.stops):
        stops.append(_stop(stop, f"{name}-{place}", number))
        number += len(stop.questions)
    return {"id": name, "title": room.name or "the building as a whole", "stops": stops}


def _stop(stop: Stop, name: str, number: int) -> dict[str, Any]:
    asks = [
        {
            "id": one.id,
            "number": number + place + 1,
            "text": asked(one),
            "again": one.again,
            "tool": ", ".join(part for part in (one.tool, one.precision) if part),
            "written": one.written,
            "was": one.was,
            "earlier": one.earlier,
            "paper": list(_paper(one)),
            "why": one.why,
            "cites": listed((reason.citation or reason.title for reason in one.why), 4),
        }
        for place, one in enumerate(stop.questions)
    ]
    return {"id": name, "name": stop.name, "where": stop.where, "before": stop.before, "asks": asks}


def _paper(question: Question) -> Iterator[Part]:
    """The blank as it is written on with a pencil."""
    if question.form == "whole":
        yield Part("yes, that is all of them;", True)
        yield Part(f"how many ({question.count} are written)", line="short")
        yield Part("no, missing:", True, "long")
    elif question.limit or (question.many and question.form == "yes or no"):
        yield Part("yes, all of them", True)
        yield Part("all but:", True, "long")
        yield Part("no", True)
    elif question.form == "yes or no":
        yield Part("yes", True)
        yield Part("no", True)
    elif words := words_to_tick(question):
        for word in words:
            yield Part(word, True)
        if question.many:
            yield Part("all but:", line="long")
    elif question.form == "span":
        yield Part("the least", line="plain")
        yield Part("the largest", line="plain")
    elif question.form == "length":
        yield Part(question.fact, line="short")
        yield Part("ft", line="short")
        yield Part("in", line="short")
        yield Part("/16")
        yield from (Part(word, True) for word in question.words)
    else:
        yield Part(question.fact, line="long")
        if question.form == "quantity":
            yield from (Part(word, True) for word in question.words)
        if question.many:
            yield Part("all but:", line="long")
