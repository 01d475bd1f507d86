"""The findings of the report: folded by their cause, numbered once for the whole page, and placed on the plan."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import Final

from oktocover.check import blanks_of
from oktocover.findings.checked import Checked, Visit
from oktocover.findings.finding import Comparison, Finding
from oktocover.measures.view import SiteView
from oktocover.reports import _words
from oktocover.reports._fold import Answer, Entry, answers, fold, subject
from oktocover.reports._plain import clean, clean_lines
from oktocover.reports.html_report_parts import Figures, Kind, Place, Spot, Told, VisitPart
from oktocover.site.sides import exact

_PLAIN: Final = re.compile(r"[A-Za-z0-9 .-]+")
_NOT_PLAIN: Final = re.compile(r"[^A-Za-z0-9.]")
WHOLE: Final = "the whole building"
"""The room of what stands in none."""


def visit_parts(checked: Checked, view: SiteView) -> tuple[VisitPart, ...]:
    """Every visit with its entries, the report's own visit first, numbered in the order in which they are told."""
    visits = sorted(checked.visits, key=lambda one: one.name != checked.visit)
    made: list[VisitPart] = []
    number = 0
    for visit in visits:
        own = [one for one in checked.findings if one.stage == visit.name]
        entries = tuple(replace(told, number=number + at) for at, told in enumerate(_entries(own, visit, view), 1))
        number += len(entries)
        settled = sum(one.verdict == "not recorded" and one.settled for one in own)
        met = sum(one.verdict == "met" for one in own)
        made.append(VisitPart(visit.name, anchor("visit", visit.name), visit.state, entries, settled, met))
    return tuple(made)


def anchor(kind: str, name: str) -> str:
    """A name in the page for `name`, with its kind before it; of letters an address cannot have stands their sum."""
    plain = _NOT_PLAIN.sub("-", name)
    told = "" if _PLAIN.fullmatch(name) else f"-{hashlib.sha256(name.encode('utf-8', 'surrogatepass')).hexdigest()[:8]}"
    return f"{kind}-{plain}{told}"


def sheet_anchor(finding: Finding) -> str:
    """Where the calculation of a finding stands in the page."""
    return f"w-{finding.identity}"


def has_sheet(finding: Finding) -> bool:
    """Whether a sum stands behind a finding."""
    return bool(finding.work) and finding.verdict != "does not apply"


def _entries(own: Sequence[Finding], visit: Visit, view: SiteView) -> Iterator[Told]:
    """Those that can hurt someone, then corrections, facts not recorded by what they settle, the rest."""
    wrong = [one for one in own if one.verdict == "not met" and not one.alternate and one.severity != "advisory"]
    sure = [one for one in wrong if not one.closer_than_tape]
    for severity in ("hazard", "correction"):
        yield from (_told(entry, view) for entry in fold(one for one in sure if one.severity == severity))
    yield from (_told(entry, view) for entry in fold(one for one in wrong if one.closer_than_tape))
    waiting = [one for one in own if one.verdict == "not recorded" and one.open]
    yield from (_asked(answer, waiting, visit.name, view) for answer in answers(blanks_of(waiting)))
    yield from (_told(entry, view) for entry in fold(one for one in waiting if not one.missing))
    yield from (_told(entry, view) for entry in fold(one for one in own if one.alternate))
    advisories = [one for one in own if one.severity == "advisory" and one.verdict == "not met" and not one.alternate]
    yield from (_told(entry, view) for entry in fold(advisories))


def kind_of(finding: Finding) -> Kind:
    """How the mark of a finding looks."""
    if finding.alternate:
        return "answered"
    if finding.verdict == "not recorded":
        return "blank"
    return {"hazard": "hurt", "correction": "likely", "advisory": "note"}[finding.severity]  # type: ignore[return-value]


def _told(entry: Entry, view: SiteView) -> Told:
    first = entry.first
    return Told(
        number=0,
        kind=kind_of(first),
        title=first.title,
        visit=first.stage,
        trades=tuple(dict.fromkeys(one.trade for one in entry.findings)),
        places=tuple(_place(one, view) for one in entry.findings),
        about_hazard=first.verdict == "not recorded" and first.severity == "hazard",
        again=first.closer_than_tape,
        figures=figures_of(first),
        known=first.known_by if first.known_by in _words.WEAK else "",
        missing=tuple(f"{need.fact} of {need.element} ({_words.found_by(need.found_by)})" for need in first.missing),
        citation=first.citation,
        amended=first.amended_by,
        note=first.note,
        alternate=first.alternate,
        remedy=first.remedy,
        close_with=tuple(clean_lines(first.close_with)),
        touches=first.also_touches,
        rule=first.rule,
        identities=tuple(one.identity for one in entry.findings),
    )


def _asked(answer: Answer, waiting: Sequence[Finding], visit: str, view: SiteView) -> Told:
    """A fact that nobody has recorded, with every title that waits for it."""
    held = [one for one in waiting if one.identity in answer.settles]
    need = answer.blanks[0].missing
    places = tuple(
        Place(element, element, spot.room if spot else "", "", spot)
        for element in answer.elements
        for spot in (
            spot_of(view, element, next((one for one in held if element in (one.element, *one.elements)), None)),
        )
    )
    return Told(
        number=0,
        kind="blank",
        title=answer.words or "a fact without a name",
        visit=visit,
        trades=tuple(dict.fromkeys(one.trade for one in held)),
        places=places,
        about_hazard=any(one.severity == "hazard" for one in held),
        missing=(_words.found_by(answer.found_by),),
        settles=tuple(dict.fromkeys(one.title for one in held)),
        citation="; ".join(dict.fromkeys(one.citation for one in held if one.citation)),
        note=need.means,
        identities=tuple(one.identity for one in held),
    )


def figures_of(finding: Finding) -> tuple[Figures, ...]:
    """What was measured beside what is needed: each comparison that fails, or the headline figures."""
    telling = [one for one in finding.comparisons if finding.verdict != "not met" or one.met is not True]
    if len(telling) > 1:
        return tuple(_figures(one) for one in telling)
    one = Comparison("", finding.measured, finding.required, finding.margin)
    return (_figures(one),) if one.required or one.margin else ()


def _figures(one: Comparison) -> Figures:
    """A yes or no names its fact once: `listed: no`, `listed: yes` become `no`, `yes` under `listed`."""
    item, measured, needed = one.item, one.measured, one.required
    fact, colon, said = measured.partition(": ")
    if colon and needed.startswith(f"{fact}: "):
        item, measured, needed = item or fact, said, needed.removeprefix(f"{fact}: ")
    return Figures(item, measured, needed, one.margin)


def _place(finding: Finding, view: SiteView) -> Place:
    spot = spot_of(view, finding.element, finding)
    at = finding.place
    return Place(
        finding.element,
        subject(finding),
        spot.room if spot else finding.where[0],
        f"{PurePath(at.file).name}:{at.line}" if at else "",
        spot,
        sheet_anchor(finding) if has_sheet(finding) else "",
    )


def spot_of(view: SiteView, element: str, finding: Finding | None = None) -> Spot | None:
    """Where a thing stands on the plan, by what is written of it, else by where its finding says; None: nowhere."""
    found = _written_spot(view, element)
    if found is not None and found.along is not None:
        return found
    if finding is not None:
        room, side, along = finding.where
        wall = view.plan.wall(f"{room}.{side}") if side else None
        if wall is not None:
            return Spot(wall.room, wall.name, min(max(round(along), 0), int(wall.length)))
        others: Iterable[Spot | None] = (_written_spot(view, one) for one in finding.elements if one != element)
        found = found or (Spot(room) if room in view.site.spaces else None)
        found = found or next((one for one in others if one is not None), None)
    return found if found is not None and view.plan.room(found.room) is not None else None


def _written_spot(view: SiteView, element: str) -> Spot | None:
    if element in view.site.spaces:
        return Spot(element)
    model = view.models.get(element)
    wall = view.plan.wall(getattr(model, "wall", None))
    if wall is not None:
        at = exact(getattr(model, "at", None))
        return Spot(wall.room) if at is None else Spot(wall.room, wall.name, int(at))
    room = (getattr(model, "wall", None) or getattr(model, "space", None) or "").partition(".")[0]
    return Spot(room) if room in view.site.spaces else None


def listed_rooms(parts: Iterable[VisitPart], view: SiteView) -> list[str]:
    """The rooms that entries are in, in the order of the site file; those of no room last."""
    found = {room for part in parts for told in part.entries for room in (told.rooms or (WHOLE,))}
    known = [name for name in view.site.spaces if name in found]
    return [*known, *sorted(found - set(known) - {WHOLE}), *([WHOLE] if WHOLE in found else [])]


def listed_trades(parts: Iterable[VisitPart]) -> list[str]:
    """The trades that entries are of, in the order in which they are told."""
    return list(dict.fromkeys(clean(trade) for part in parts for told in part.entries for trade in told.trades))
