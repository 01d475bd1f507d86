"""The report: one page that is read in the truck, at the desk and on paper, with nothing to fetch.

It says first what nobody has looked at and on whose word the rest stands, then how the visit stands, the card, the
findings, where they are, the walk, the calculations, and what is in force. Nothing on it is a verdict of the office.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile
from oktocover.reports import _words
from oktocover.reports._card_parts import Card, CardVisit, Hold, Reminder
from oktocover.reports._layered import World
from oktocover.reports._plain import clean, counted, day, listed, number
from oktocover.reports.card_text import HEADS, held_already, told_of_slip
from oktocover.reports.content import content_of
from oktocover.reports.html_page import drawn, render
from oktocover.reports.html_report_entries import (
    WHOLE,
    anchor,
    has_sheet,
    listed_rooms,
    listed_trades,
    sheet_anchor,
    visit_parts,
)
from oktocover.reports.html_report_parts import KIND_WORDS, VisitPart
from oktocover.reports.html_report_plan import Marks, level_plans, not_drawn
from oktocover.reports.html_report_sheets import CSS as SHEET_CSS
from oktocover.reports.html_report_sheets import SheetDoc, of_finding, sheet_docs, title_block
from oktocover.reports.html_report_walk import walk
from oktocover.reports.html_report_wall import elevations
from oktocover.reports.people import without_people
from oktocover.reports.rules_form import LimitRow, PlaceSheet, RuleRow, place_sheet
from oktocover.reports.screen import standing
from oktocover.reports.worksheet import head_of

_ONLY: Final = re.compile(r"\b(?:only (?:told|typical|assumed|planned)|^assumed )")
_SIGNED: Final = re.compile(r"(.*) \(([^()]+)\)")
_ISO: Final = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
WHO_ASKS: Final = ("for the eye only", "papers", "ask the office", "the maker's sheet decides", "by a test")


def html_report(
    read: SiteFile,
    checked: Checked,
    card: Card,
    world: World,
    people: Iterable[str] = (),
) -> str:
    """The report of one check as one page.

    `checked` is about one visit and carries figures of what is met; `card` is that of the same day; `world` the rules in
    force. To leave people out, give `checked` and `card` without them, and their names as `people`.
    """
    view = SiteView(read.site, read.known)
    parts = visit_parts(checked, view)
    told = [one for part in parts for one in part.entries]
    marks = Marks.of(told)
    plans, key = level_plans(view, marks)
    walls = elevations(view, marks)
    head = head_of(checked, read.site.permit.number or "", content_of(read))
    of_findings, left_out = _sheets(checked)
    of_systems = without_people(sheet_docs(view, world.adopted.rules, checked.findings, head), people)
    sheets = [*of_systems, *of_findings]
    known = {one.anchor for one in sheets}
    words, counts = standing(checked)
    words = _with_the_card(words, card, checked.visit)
    return render(
        "report.html.j2",
        css=(SHEET_CSS, "report.css"),
        script="report.js",
        checked=checked,
        title=checked.site,
        visit=checked.visit,
        visit_title=next((one.title for one in checked.visits if one.name == checked.visit), "") or checked.visit,
        block=title_block(head),
        looked=_not_looked(checked),
        word=_on_word(checked),
        state=words,
        counts=[
            (kind, count, said) for kind, (count, said) in zip(("hurt", "likely", "stop", "blank"), counts, strict=True)
        ],
        card=card,
        for_all=_for_every_visit(card),
        heads=HEADS,
        open_reminders=_open_reminders,
        slip=told_of_slip,
        numbers={one.name: at for at, one in enumerate(card.visits, 1)},
        parts=parts,
        total=len(told),
        kinds=[(kind, said) for kind, said in KIND_WORDS.items() if any(one.kind == kind for one in told)],
        rooms=listed_rooms(parts, view),
        trades=listed_trades(parts),
        whole=WHOLE,
        plans=[replace(one, svg=drawn(one.svg)) for one in plans],
        walls=[replace(one, svg=drawn(one.svg)) for one in walls],
        key=drawn(key),
        marks=marks.drawn,
        on_walls=_first_on_walls(walls),
        not_drawn=not_drawn(view),
        off_plan=[one for one in told if one.number not in marks.drawn],
        walk=without_people(walk(checked, parts, view, read), people),
        asks=_asks(checked),
        eye=checked.eye_only,
        sheets=sheets,
        sheets_known=known,
        sheets_left_out=left_out,
        in_force=_in_force(world, checked),
        cautions=_words.cautions(card.trades),
        closing=_words.CLOSING,
        day=day,
        anchor=anchor,
        counted=counted,
        number=number,
    )


def _with_the_card(words: str, card: Card, visit: str) -> str:
    """How the visit stands: nobody is told that it is ready to call while the card still holds it back."""
    own = next((one for one in card.visits if one.name == visit), None)
    if words != _words.READY or own is None or own.state == "ready to call":
        return words
    return f"no finding against it, but {counted(len(own.holds), 'thing')} on the card to settle before a call"


def _for_every_visit(card: Card) -> list[Hold]:
    """What holds all visits back alike, told once."""
    waiting = next((one for one in card.visits if one.state != "signed"), None)
    return [hold for hold in waiting.holds if hold.kind == "plans"] if waiting else []


def _open_reminders(one: CardVisit, about: str) -> list[Reminder]:
    """What to have ready of one sort, without what stands among what holds the visit back."""
    return [note for note in one.reminders if note.about == about and not held_already(note)]


def _not_looked(checked: Checked) -> list[tuple[str, tuple[str, ...]]]:
    """What nobody has looked at: a heading and its lines."""
    only = tuple(one for one in checked.rests_on if _ONLY.search(one))
    waiting = sum(one.verdict == "not recorded" and one.open for one in checked.of_visit())
    blanks = counted(waiting, "question") + " of this visit wait for facts that nobody has recorded"
    eye = f"{counted(checked.eye_only, 'point')} of this visit that only an eye can decide"
    found: list[tuple[str, Iterable[str]]] = [
        ("Nobody has said whether there is", checked.not_described),
        ("Written, but nobody has looked", only),
        ("Not recorded", [blanks] if waiting else []),
        ("For the inspector's eye only", [eye] if checked.eye_only else []),
        ("The town changed these too; this tool does not check them", checked.not_checked_here),
        ("Struck here; nothing in this tool carried them", checked.struck_here),
    ]
    return [(head, tuple(lines)) for head, lines in found if lines]


def _on_word(checked: Checked) -> list[tuple[str, list[tuple[str, str]]]]:
    """On whose word the rest stands: each person and day, with what was said and which facts."""
    found: dict[str, list[tuple[str, str]]] = {}
    for one in checked.rests_on:
        if _ONLY.search(one):
            continue
        text = _ISO.sub(lambda date: day(date.group()), clean(one))
        said, _, facts = text.partition(": ")
        signed = _SIGNED.fullmatch(said)
        things, who = signed.groups() if signed else (said, "said without a name")
        found.setdefault(who, []).append((things, facts))
    return list(found.items())


def _sheets(checked: Checked) -> tuple[list[SheetDoc], int]:
    """The sheets of findings: what is open anywhere and what meets at this visit; and how many are left out."""
    worked = [one for one in checked.findings if has_sheet(one)]
    shown = [one for one in worked if _has_place(one, checked)]
    return [of_finding(one) for one in shown], len(worked) - len(shown)


def _has_place(one: Finding, checked: Checked) -> bool:
    return one.verdict != "met" or checked.visit in ("all", one.stage)


def _first_on_walls(walls: Iterable[Any]) -> dict[int, str]:
    """By number: the elevation that shows it first."""
    found: dict[int, str] = {}
    for drawing in walls:
        for one in drawing.numbers:
            found.setdefault(one, drawing.anchor)
    return found


def _asks(checked: Checked) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """What no figure decides at this visit, by who answers it: the point, the things it is about, its section."""
    asks = [ask for visit in checked.visits if checked.visit in ("all", visit.name) for ask in visit.asks]
    found = []
    for who in WHO_ASKS:
        own = [(one.text, listed(one.elements, 12), one.citation) for one in asks if one.who == who]
        if own:
            found.append((who, list(dict.fromkeys(own))))
    return found


def _in_force(world: World, checked: Checked) -> dict[str, Any]:
    """The books, and each number that a place or a job has made otherwise."""
    sheet: PlaceSheet = place_sheet(
        world, list(world.adopted.rules.rules()), datetime.date.fromisoformat(checked.today), True
    )
    asked = {one.rule for one in checked.findings if one.verdict != "does not apply"}
    changed = [row for row in sheet.rules if _of_the_place(row.limits)]
    return {
        "books": checked.in_force,
        "place": sheet.place,
        "changed": [(row, _asked(row, asked), _of_the_place(row.limits)) for row in changed],
        "shared": [(one, _of_the_place(one.limits)) for one in sheet.definitions if _of_the_place(one.limits)],
        "struck": sheet.struck,
        "not_checked": sheet.not_checked,
        "warnings": dict.fromkeys((*checked.warnings, *sheet.warnings)),
        "rules": len(sheet.rules),
    }


def _of_the_place(limits: Iterable[LimitRow]) -> list[LimitRow]:
    """The numbers that a place or a job has made otherwise, or has set."""
    return [one for one in limits if any(said.place for said in one.history)]


def _asked(row: RuleRow, asked: set[str]) -> bool:
    return any(one == row.id or one.startswith(f"{row.id}.") for one in asked)


__all__ = ["VisitPart", "html_report", "sheet_anchor"]
