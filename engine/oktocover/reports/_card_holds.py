"""What keeps a visit from being called: findings, corrections written on a slip, order, papers, who did the work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import PurePath

from oktocover.check import blanks_of
from oktocover.findings.checked import Visit, VisitLine
from oktocover.findings.finding import Finding
from oktocover.reports._card_parts import Hold, Reminder, Slip
from oktocover.reports._entries import figures
from oktocover.reports._fold import answers, fold, lines_of, subject
from oktocover.reports._plain import clean, counted, day, listed
from oktocover.reports._words import found_by
from oktocover.site.paperwork import WorkBy
from oktocover.site.root import Site

ORDER = ("hazard", "slip", "correction", "order", "plans", "ready", "papers", "people", "held or not", "not recorded")
"""The order in which they are told: what can hurt someone first, what nobody has written last."""


def plain_name(name: str) -> str:
    """A name of a line as it is compared: on_gauge, `on gauge` and On-gauge are one."""
    return " ".join(name.replace("_", " ").replace("-", " ").lower().split())


def sorted_holds(holds: Iterable[Hold]) -> tuple[Hold, ...]:
    """What surely stops the visit first, then what nobody has recorded; each in the order of `ORDER`."""
    return tuple(sorted(holds, key=lambda hold: (not hold.stops, ORDER.index(hold.kind))))


def of_findings(findings: Sequence[Finding]) -> Iterator[Hold]:
    """One hold a cause that does not meet, and one a fact that nobody has recorded."""
    wrong = [one for one in findings if one.open and one.verdict == "not met"]
    for entry in fold(wrong):
        first = entry.first
        where = subject(first) if len(entry.findings) == 1 else counted(len(entry.findings), "place")
        told = figures(first.measured, first.required, first.margin)
        detail = "; ".join(part for part in (where, told, clean(first.citation, 200), _lines(entry.findings)) if part)
        kind: str = "hazard" if first.severity == "hazard" else "correction"
        yield Hold(kind, clean(first.title, 160), True, detail, first.close_with)  # type: ignore[arg-type]
    waiting = [one for one in findings if one.open and one.verdict == "not recorded"]
    for answer in answers(blanks_of(waiting)):
        yield Hold("not recorded", answer.words or "a fact without a name", False, found_by(answer.found_by))
    nameless = [one for one in waiting if not one.missing]
    for entry in fold(nameless):
        yield Hold("not recorded", clean(entry.first.title, 160), False, subject(entry.first))


def _lines(findings: Iterable[Finding]) -> str:
    """The lines in the site file, under the file's own name: a card is read where no folder is."""
    named = [
        replace(one, place=replace(one.place, file=PurePath(one.place.file).name))
        for one in findings
        if one.place is not None
    ]
    return lines_of(named)


def of_slips(slips: Iterable[Slip]) -> Iterator[Hold]:
    """The inspector's written corrections of this visit that nobody has written as put right."""
    for slip in slips:
        if slip.open:
            number = f"no. {slip.number}, " if slip.number else ""
            at = f", {slip.element}" if slip.element else ""
            text = f"written correction ({number}{day(slip.given)}{at}): {slip.what}"
            yield Hold("slip", text, True, close_with="done: <day>")


def of_plans(site: Site) -> Iterator[Hold]:
    """Approved plans on record, and whatever differs from them approved in writing."""
    plans = site.approved
    if plans is None or plans.set is None or plans.date is None:
        missing = [name for name in ("set", "date") if getattr(plans, name, None) is None]
        text = f"plans of the permit: {' and '.join(missing)} not recorded"
        yield Hold(
            "plans", text, False, "papers", "approved: {set: <as marked>, date: <day>, built as shown: <yes or no>}"
        )
    for one in site.differs_from_plans:
        at = f" ({one.element})" if one.element else ""
        text = f"differs from the plans of the permit: {one.what}{at}"
        if one.approved_in_writing is False:
            yield Hold("plans", text, True, "the office has not agreed in writing: ask it", "approved in writing: yes")
        elif one.approved_in_writing is None:
            yield Hold(
                "plans", text, False, "whether the office agreed in writing is not recorded", "approved in writing: yes"
            )
    if not site.differs_from_plans and (plans is None or not plans.built_as_shown):
        said_no = plans is not None and plans.built_as_shown is False
        text = "something is built otherwise than the plans show; what is not recorded"
        text = text if said_no else "whether all is built as the plans of the permit show"
        close = "differs from plans: [{what: <what>, approved in writing: yes}]" if said_no else "built as shown: yes"
        yield Hold("plans", text, False, "look", close)


def of_lines(visit: Visit, reminders: Iterable[Reminder]) -> Iterator[Hold]:
    """What the place wants ready and on the site; a thing that is answered `no` holds back whoever asks for it."""
    for one in reminders:
        wanted = not one.common and one.about in ("state", "papers")
        if one.answer is True or (one.answer is None and not wanted) or one.about == "instead":
            continue
        kind: str = "papers" if one.about == "papers" else "ready"
        text = one.text if one.answer is None else f"not so: {one.text}"
        close = f"at the visit: {{{visit.name}: {{{plain_name(one.name)}: yes}}}}"
        yield Hold(kind, text, one.answer is False, one.cite, close)  # type: ignore[arg-type]


def of_people(visit: Visit, work_by: Mapping[str, WorkBy]) -> Iterator[Hold]:
    """Who may do the work, where the place says so: the one written is one of them, with licence or affidavit."""
    for trade in visit.trades or (visit.trade,):
        lines = [line for line in visit.who if line.trade in ("", trade)]
        if lines:
            yield from _of_trade(trade, lines, work_by.get(trade))


def _of_trade(trade: str, lines: Sequence[VisitLine], work: WorkBy | None) -> Iterator[Hold]:
    named = listed(line.name.replace("_", " ") for line in lines)
    close = f"work by: {{{trade}: {{as: {plain_name(lines[0].name)}, licence: <number>}}}}"
    if work is None or work.as_ is None:
        yield Hold("people", f"who did the {trade} work (this place names: {named})", False, "papers", close)
    elif plain_name(work.as_) not in [plain_name(line.name) for line in lines]:
        text = f"the {trade} work was done by '{clean(work.as_, 60)}'; this place names: {named}"
        yield Hold("people", text, True, listed(line.cite for line in lines), close)
    elif work.licence is None and work.affidavit is None:
        text = f"licence or owner's affidavit of whoever did the {trade} work"
        yield Hold("people", text, False, "papers", close)


def of_condition(visit: Visit) -> Iterator[Hold]:
    """Whether the place holds the visit for such a building, where nobody has written what decides it."""
    for missing in visit.depends_on:
        text = f"held here or not: by {missing.fact} of {missing.element}"
        yield Hold("held or not", text, False, found_by(missing.found_by))
