"""Findings that somebody set aside until a visit: still counted and listed, but they hold nothing up until they lapse.

An entry lapses at its visit, or when the work is covered. What can hurt someone is never set aside.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from oktocover.check import ALL_VISITS, blanks_of
from oktocover.findings.checked import Checked, SetAside, Visit
from oktocover.findings.finding import Finding, FindingPlace, identity_of
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.set_aside import Entry
from oktocover.reports._plain import clean, counted, listed
from oktocover.reports._words import VERDICT

HAZARD = "what can hurt someone cannot be set aside; only the official's written approval of another way answers it"


def lay_aside(checked: Checked, entries: Sequence[Entry]) -> Checked:
    """The same check with these findings set aside, as far as nothing has lapsed.

    Raises InputProblems, at its line, for an entry about a hazard, for a visit that is not held here, and for an identity
    that is not that of its rule and element.
    """
    if not entries:
        return checked
    order = _Order(checked)
    found = {one.identity: one for one in checked.findings}
    problems = [one for entry in entries for one in _faults(entry, found, order)]
    if problems:
        raise InputProblems(problems)
    told = [_told(entry, found.get(_identity(entry)), checked, order) for entry in entries]
    by_identity = {one.identity: one for one in told}
    findings = tuple(_laid(one, by_identity, order) for one in checked.findings)
    own = [one for one in findings if checked.visit in (ALL_VISITS, one.stage)]
    return replace(
        checked,
        findings=findings,
        visits=tuple(_counted(visit, findings) for visit in checked.visits),
        blanks=tuple(blanks_of(own)),
        set_aside=tuple(told),
        warnings=(*checked.warnings, *(_idle_words(one) for one in told if one.state == "idle")),
    )


def may_be_set_aside(finding: Finding) -> bool:
    """Whether a finding holds something up and is no hazard."""
    return finding.open and finding.severity != "hazard"


def _identity(entry: Entry) -> str:
    return entry.identity or identity_of(entry.rule, entry.element)


class _Order:
    """Which visits come before which, and which has been reached."""

    def __init__(self, checked: Checked) -> None:
        self.names = [one.name for one in checked.visits]
        self.visits = {one.name: one for one in checked.visits}
        self.before: dict[str, set[str]] = {}
        for name in self.names:
            self._earlier(name)
        self.at = checked.visit if checked.visit != ALL_VISITS else self._next(checked.findings)
        self.asked = checked.visit

    def _earlier(self, name: str) -> set[str]:
        if name not in self.before:
            self.before[name] = set()  # a ring is refused where visits are read
            visit = self.visits.get(name)
            own = [line.name for line in visit.after] if visit else []
            self.before[name] = {one for line in own for one in (line, *self._earlier(line))}
        return self.before[name]

    def _next(self, findings: Iterable[Finding]) -> str:
        asked = {one.stage for one in findings if one.verdict != "does not apply"}
        return next((name for name in self.names if name in asked and not self.signed(name)), "")

    def signed(self, name: str) -> bool:
        return name in self.visits and self.visits[name].state == "signed"

    def reached(self, until: str) -> bool:
        """Whether the visit is the one that is checked for, comes before it, or is signed."""
        return until == self.at or self.signed(until) or until in self.before.get(self.at, ())

    def covered(self, stage: str) -> str:
        """The signed visit after which the work of a stage is covered; empty: none is."""
        signed = (visit for visit in self.visits.values() if visit.covers and visit.state == "signed")
        return next((visit.name for visit in signed if stage == visit.name or stage in self.before[visit.name]), "")


def _faults(entry: Entry, found: Mapping[str, Finding], order: _Order) -> Iterator[Problem]:
    if entry.identity and entry.identity != identity_of(entry.rule, entry.element):
        message = f"this is not the identity of '{entry.rule}' of '{entry.element}'"
        yield Problem(entry.place, message, do="leave the identity out: rule and element say the same")
        return
    if entry.until not in order.visits:
        near = nearest(entry.until, order.names)
        do = f"did you mean '{near}'?" if near else ""
        yield Problem(entry.place, f"there is no visit '{entry.until}' here", "one of: " + ", ".join(order.names), do)
    finding = found.get(_identity(entry))
    if finding is not None and finding.severity == "hazard" and _holds_up(finding):
        yield Problem(
            entry.place,
            f"'{entry.rule}' of '{entry.element}': {HAZARD}",
            do="take the entry out; write an approval of another way under alternates: in the site file, once you have it",
        )


def _holds_up(finding: Finding) -> bool:
    return replace(finding, set_aside="").open


def _told(entry: Entry, finding: Finding | None, checked: Checked, order: _Order) -> SetAside:
    said = SetAside(
        identity=_identity(entry),
        rule=entry.rule,
        element=entry.element,
        what=entry.what or (finding.title if finding else ""),
        who=entry.who,
        why=entry.why,
        until=entry.until,
        day=entry.day,
        state="set aside",
        place=FindingPlace(entry.place.file, entry.place.line, entry.place.column) if entry.place else None,
    )
    if finding is None or not _holds_up(finding):
        return replace(said, state="idle", note=_why_idle(entry, finding, checked))
    if order.reached(entry.until):
        note = f"{entry.until} is signed" if order.signed(entry.until) else f"{order.at} is what this check is for"
        return replace(said, state="lapsed", note=note)
    covered = order.covered(finding.stage)
    if covered:
        return replace(said, state="lapsed", note=f"its work is covered since {covered} was signed")
    return said


def _why_idle(entry: Entry, finding: Finding | None, checked: Checked) -> str:
    if finding is not None:
        if finding.alternate:
            return "the official's written approval answers it"
        if finding.verdict in ("met", "does not apply"):
            return f"it is open no more ({VERDICT[finding.verdict]})"
        return "it holds nothing up"
    rules = {one.rule for one in checked.findings}
    if entry.rule not in rules:
        near = nearest(entry.rule, rules)
        return f"no rule asks '{entry.rule}' here" + (f"; did you mean '{near}'?" if near else "")
    near = nearest(entry.element, {one.element for one in checked.findings if one.rule == entry.rule})
    return f"the rule is not asked of '{entry.element}'" + (f"; did you mean '{near}'?" if near else "")


def _laid(finding: Finding, by_identity: Mapping[str, SetAside], order: _Order) -> Finding:
    said = by_identity.get(finding.identity)
    if said is None or said.state == "idle":
        return finding
    if said.state == "set aside":
        return replace(finding, set_aside=f"until {said.until}, {said.who}: {said.why}")
    note = f"was set aside until {said.until} ({said.who}: {said.why}); {said.note}"
    held_up = order.at if order.asked != ALL_VISITS and order.signed(finding.stage) else finding.stage
    # its own visit is over, so the one that is next has to wait for it
    return replace(finding, stage=held_up, note="; ".join(part for part in (finding.note, note) if part))


def _counted(visit: Visit, findings: Iterable[Finding]) -> Visit:
    own = [one for one in findings if one.stage == visit.name]
    waiting = [one for one in own if one.open]
    wrong = [one for one in waiting if one.verdict == "not met"]
    state = visit.state
    if state != "signed":
        met = any(one.verdict == "met" for one in own)
        state = (
            "corrections"
            if wrong or visit.stops
            else "not recorded"
            if waiting
            else "ready to call"
            if met
            else "not asked"
        )
    return replace(
        visit,
        state=state,
        hazards=sum(one.severity == "hazard" for one in wrong),
        corrections=sum(one.severity == "correction" for one in wrong),
        not_recorded=len(waiting) - len(wrong),
        set_aside=sum(bool(one.set_aside) for one in own),
    )


def _idle_words(said: SetAside) -> str:
    at = said.place
    place = f"{at.file}:{at.line}:{at.column}: " if at else ""
    return f"{place}this sets nothing aside any more: '{said.rule}' of '{said.element}': {said.note}"


@dataclass(frozen=True, slots=True)
class Aside:
    """Entries of one person, reason and visit, told together."""

    who: str
    why: str
    until: str
    entries: tuple[SetAside, ...]

    @property
    def words(self) -> str:
        """`12 until final (M.K.: old part of the house)`."""
        why = f"{clean(self.who, 60)}: {clean(self.why, 160)}"
        return f"{len(self.entries):,} until {clean(self.until, 60)} ({why})"

    @property
    def names(self) -> str:
        """What they are about, each title once with its elements."""
        titles: dict[str, list[str]] = {}
        for one in self.entries:
            titles.setdefault(clean(one.what or one.rule, 80), []).append(clean(one.element, 60))
        return "; ".join(f"{title}: {listed(elements)}" for title, elements in titles.items())


def asides(told: Iterable[SetAside], state: str = "set aside") -> list[Aside]:
    """What is set aside (or has lapsed), folded by who, why and until which visit."""
    groups: dict[tuple[str, str, str], list[SetAside]] = {}
    for one in told:
        if one.state == state:
            groups.setdefault((one.who, one.why, one.until), []).append(one)
    return [Aside(*key, tuple(group)) for key, group in groups.items()]


def heading(told: Sequence[SetAside]) -> str:
    """`12 findings are set aside, 1 has lapsed`; empty where there is nothing to say."""
    aside = sum(one.state == "set aside" for one in told)
    lapsed = sum(one.state == "lapsed" for one in told)
    parts = [counted(aside, "finding is set aside", "findings are set aside")] if aside else []
    parts += [f"{lapsed:,} {'has' if lapsed == 1 else 'have'} lapsed"] if lapsed else []
    return ", ".join(parts)
