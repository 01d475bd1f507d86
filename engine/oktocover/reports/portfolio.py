"""Many jobs at once: three lines a job, soonest visit first, and one short text a trade to paste into a message."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from oktocover.check import blanks_of
from oktocover.findings.checked import CORRECTIONS, NOT_RECORDED, READY, UNREADABLE, Checked, Visit
from oktocover.findings.finding import Finding
from oktocover.reports._entries import figures
from oktocover.reports._fold import answers, fold, subject
from oktocover.reports._plain import clean, counted, day, ends, listed
from oktocover.reports._words import CLOSING, SEVERITY, found_by
from oktocover.reports.json_form import plain
from oktocover.reports.screen import standing

WIDTH = 96
TOLD = 4
"""Things told of a job in a trade's text."""
NAMED = 4
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Blocker:
    """One thing that holds a visit up: a cause with its places, or a fact that nobody has recorded."""

    trade: str
    kind: str
    """can hurt someone, correction likely, not recorded"""
    short: str
    """What and where, in a few words."""
    text: str
    """The same with where to stand and the figures."""
    count: int
    """Findings it stands for."""


@dataclass(frozen=True, slots=True)
class Job:
    """How one job stands for its next visit; made in any process, so plain values only."""

    path: str
    name: str
    visit: str = ""
    booked: str = ""
    """The day of the visit, as ISO 8601."""
    words: str = ""
    """How the visit stands."""
    counts: tuple[str, ...] = ()
    blockers: tuple[Blocker, ...] = ()
    notice: str = ""
    set_aside: int = 0
    notes: int = 0
    code: int = READY
    problem: str = ""
    """Why the job could not be read."""


def job_of(checked: Checked, path: str) -> Job:
    """A job by its check."""
    visit = next((one for one in checked.visits if one.name == checked.visit), None)
    words, cells = standing(checked)
    return Job(
        path=path,
        name=clean(checked.site, 120),
        visit="all visits" if checked.visit == "all" else clean(checked.visit, 80),
        booked=visit.booked if visit is not None else "",
        words=words,
        counts=tuple(f"{count:,} {said}" for count, said in cells if count),
        blockers=tuple(_blockers(one for one in checked.of_visit() if one.open)),
        notice=_notice(visit),
        set_aside=sum(one.state == "set aside" for one in checked.set_aside),
        notes=len(checked.warnings),
        code=checked.exit_code,
    )


def unreadable(path: str, problem: str) -> Job:
    """A job of which nothing can be told, and why."""
    return Job(path=path, name=path, code=UNREADABLE, problem=clean(problem, 400))


def _notice(visit: Visit | None) -> str:
    if visit is None or not visit.notice:
        return ""
    return f"call {clean(visit.notice, 60)} before" + (f" ({clean(visit.counted, 60)})" if visit.counted else "")


def _blockers(waiting: Iterable[Finding]) -> Iterable[Blocker]:
    """Causes in the order in which they are told, then facts, each at the trade whose work it is."""
    found = list(waiting)
    for entry in fold(one for one in found if one.verdict == "not met"):
        first, many = entry.first, len(entry.findings)
        names = listed((clean(one.element, 60) for one in entry.findings), NAMED)
        where = subject(first) if many == 1 else f"{counted(many, 'place')}: {names}"
        told = figures(first.measured, first.required, first.margin)
        title = clean(first.title, 120)
        text = f"{title}: {where}" + (f" ({told})" if told else "")
        yield Blocker(first.trade, SEVERITY[first.severity], f"{title} ({names})", text, many)
    blank = [one for one in found if one.verdict == "not recorded"]
    for trade in dict.fromkeys(one.trade for one in blank):
        for answer in answers(blanks_of(one for one in blank if one.trade == trade)):
            text = f"{answer.words} ({found_by(answer.found_by)})"
            yield Blocker(trade, "not recorded", answer.words, f"not written yet: {text}", len(answer.settles))


def in_order(jobs: Iterable[Job]) -> list[Job]:
    """Soonest booked visit first; then those that are nearest to a call; then by name."""
    near = {READY: 0, NOT_RECORDED: 1, CORRECTIONS: 2, UNREADABLE: 3}
    named = _told_apart(jobs)
    return sorted(named, key=lambda one: (one.booked or "9999-99-99", near[one.code], one.name.casefold(), one.path))


def _told_apart(jobs: Iterable[Job]) -> list[Job]:
    """Jobs of one name get the path of their site beside it."""
    found = list(jobs)
    names = Counter(one.name for one in found)
    return [replace(one, name=f"{one.name} ({clean(one.path, 80)})") if names[one.name] > 1 else one for one in found]


def exit_code(jobs: Sequence[Job]) -> int:
    """Of all jobs together: 2 if one could not be read, else 1 if one has corrections, else 3, else 0."""
    codes = {one.code for one in jobs}
    return next((code for code in (UNREADABLE, CORRECTIONS, NOT_RECORDED) if code in codes), READY)


def portfolio_text(jobs: Sequence[Job], today: datetime.date, width: int = WIDTH, trade: str = "") -> str:
    """Three lines a job, then a text a trade; with `trade` that trade's text alone."""
    if trade:
        return _trade_text(trade, jobs)
    lines = [line for one in jobs for line in _job_lines(one, today, width)]
    trades = [_trade_text(one, jobs) for one in trades_of(jobs)]
    head = ends(counted(len(jobs), "job"), day(today.isoformat()), width)
    blocks = ["\n".join([*head, *lines]) + "\n"]
    if trades:
        blocks += ["TO PASTE INTO A MESSAGE, A TRADE AT A TIME\n", *trades]
    return "\n".join([*blocks, CLOSING + "\n"])


def trades_of(jobs: Iterable[Job]) -> list[str]:
    """Every trade that something waits for, by name."""
    return sorted({blocker.trade for one in jobs for blocker in one.blockers})


def _job_lines(job: Job, today: datetime.date, width: int) -> list[str]:
    """Just three lines: job and day, visit and how it stands, what blocks and whose trade."""
    past = " (past)" if job.booked and job.booked < today.isoformat() else ""
    when = day(job.booked) + past if job.booked else "not booked" if not job.problem else ""
    first = _fitted(job.name, width - len(when) - 2)
    head = first + " " * (width - len(first) - len(when)) + when if when else first
    if job.problem:
        return [head, "   could not be read", _fitted(f"   {job.problem}", width)]
    stands = "; ".join([f"{job.visit}: {job.words.rstrip('.')}", ", ".join(job.counts)])
    return [head, _fitted(f"   {stands.rstrip('; ')}", width), _fitted(f"   {_what_blocks(job)}", width)]


def _what_blocks(job: Job) -> str:
    if not job.blockers:
        aside = f"{job.set_aside:,} set aside" if job.set_aside else "nothing blocks it, as written"
        return "; ".join(part for part in (aside, job.notice) if part)
    parts = []
    for trade in dict.fromkeys(one.trade for one in job.blockers):
        own = [one for one in job.blockers if one.trade == trade]
        more = f" and {len(own) - 1} more" if len(own) > 1 else ""
        parts.append(f"{trade}: {own[0].short}{more}")
    return "; ".join(parts)


def _fitted(text: str, width: int) -> str:
    """One line, its indent kept, cut with dots where it is too long."""
    indent = " " * (len(text) - len(text.lstrip(" ")))
    return indent + clean(text, width - len(indent))


def _trade_text(trade: str, jobs: Iterable[Job]) -> str:
    """What one trade has to do or say, job by job, in the order of the visits."""
    lines = [trade.upper() or "NO TRADE"]
    for job in jobs:
        own = [one for one in job.blockers if one.trade == trade]
        if not own:
            continue
        when = f" on {day(job.booked)}" if job.booked else ""
        lines.append(f"{job.name}, {job.visit}{when}:")
        lines += [f"- {clean(one.text, 240)}" for one in own[:TOLD]]
        lines += [f"- and {len(own) - TOLD:,} more"] if len(own) > TOLD else []
    return "\n".join(lines) + "\n"


def portfolio_object(jobs: Sequence[Job], today: datetime.date) -> dict[str, Any]:
    """The same as plain JSON values."""
    return {
        "format": FORMAT,
        "today": today.isoformat(),
        "exit_code": exit_code(jobs),
        "jobs": [plain(one) for one in jobs],
        "about": CLOSING,
    }
