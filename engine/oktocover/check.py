"""A site against the rules in force: every verdict as a finding, in the order in which it is told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from oktocover.findings.checked import Blank, Checked, InForce, Visit
from oktocover.findings.finding import Finding, FindingPlace, Missing
from oktocover.measures import registry, trades
from oktocover.measures.view import SiteView
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.rules.amended import Amended
from oktocover.rules.evaluate import Judged, judge, surely_idle
from oktocover.rules.form import Rule
from oktocover.rules.layers import Layer
from oktocover.rules.library import Adopted
from oktocover.rules.scope import Env
from oktocover.rules.signed import not_checked, office_words
from oktocover.rules.visit_words import asked_at, said_of
from oktocover.rules.visits import Inspection
from oktocover.rules.wording import close_with, label
from oktocover.site.base import HOW_KNOWN
from oktocover.site.declared import joined, speaking
from oktocover.site.root import Site, element_lists
from oktocover.variants import merged, stacked

__all__ = ["ALL_VISITS", "blanks_of", "check", "in_force", "trades"]

ALL_VISITS = "all"
MANY = 50
"""Subjects of one kind from which on it pays to compile a rule as a whole."""
DESCRIBED = "described"
FEW_LISTS = 4
"""Whole lists of one person that are named one by one before their number is told."""
Records = dict[tuple[str, str], tuple[bool, int]]
Later = dict[tuple[str, str], Judged]
"""Verdicts whose figures are put off, by rule (and item) and element."""
_BOUND = re.compile(r"^(at least|at most|over|under) ")


def check(
    read: SiteFile,
    adopted: Adopted,
    today: datetime.date,
    visit: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    figures: bool = True,
    idle: bool = True,
) -> Checked:
    """Judge a site. `visit` names one inspection, or 'all'; left out: the next one that is booked, else not signed.

    `progress` is told how many rules of how many have been asked. Without `figures`, what is met or does not apply
    carries its verdict only, no sums and no place: enough for the first screen, and half the work. Without `idle` too,
    no finding has its work, and what does not apply is left out where one set of rules is in force.

    Raises InputProblems when the rules cannot stand or there is no such visit.
    """
    declared = type(read.site).declared
    with speaking(joined(declared, adopted.rules.declared)):
        adopted = in_force(read, adopted, today)
    for variant in adopted.variants:
        declared = joined(declared, variant.rules.declared)
    with speaking(declared):
        return _checked(read, adopted, today, visit, progress, figures, idle or len(adopted.variants) > 1)


def in_force(read: SiteFile, adopted: Adopted, today: datetime.date | None = None) -> Adopted:
    """What is in force for a site, by its days, its use and what its applicant chose (and the day of the check).

    Raises InputProblems, at its line, for a choice that this place does not leave.
    """
    if adopted.board.fixed:
        return adopted
    view = SiteView(read.site, read.known)
    if today is not None:
        view.roots["permit"].own["today"] = today
    found = adopted.for_site(view.roots)
    wrong = found.reading.wrong if found.reading is not None else ()
    if wrong:
        raise InputProblems([Problem(read.place(path), message, expected, do) for path, message, expected, do in wrong])
    return found


def _checked(
    read: SiteFile,
    adopted: Adopted,
    today: datetime.date,
    visit: str | None,
    progress: Callable[[int, int], None] | None,
    figures: bool,
    idle: bool,
) -> Checked:
    view = SiteView(read.site, read.known)
    view.roots["permit"].own["today"] = today
    by_variant = [list(variant.rules.asked_of(partial(_may_say, view))) for variant in adopted.variants]
    orders = [variant.rules.inspections() for variant in adopted.variants]
    found_wrong = [one for made in adopted.variants for one in (*made.rules.folded.problems, *made.rules.problems)]
    if found_wrong:
        raise InputProblems(dict.fromkeys(found_wrong))
    inspections = orders[0]
    amended = [Amended(variant.rules.folded) for variant in adopted.variants]
    later: Later | None = None if idle else {}
    judged = [
        [*_judged(view, rules, read, whose, progress, figures, later), *_undescribed(view, rules)]
        for rules, whose in zip(by_variant, amended, strict=True)
    ]
    findings = merged(judged, adopted.reading) if adopted.reading is not None else judged[0]
    findings = _at_visits(_answered(findings, read), inspections)
    rules = list({rule.id: rule for rules in by_variant for rule in rules}.values())
    wanted = _visit(visit, inspections, read, findings)
    if later:
        findings = [
            _told(one, later, read, amended[0]) if wanted in (ALL_VISITS, one.stage) else one for one in findings
        ]
    rooms = {name: number for number, name in enumerate(view.site.spaces)}
    stages = {inspection.name: number for number, inspection in enumerate(inspections)}
    findings.sort(key=lambda one: _order(one, rooms, stages, wanted))
    own = tuple(one for one in findings if wanted in (ALL_VISITS, one.stage))
    places = tuple(layer for layer in adopted.chain if layer not in adopted.standards)
    return Checked(
        site=read.site.site or "(a building without a name)",
        file=read.shown,
        today=today.isoformat(),
        jurisdiction=adopted.place.name,
        in_force=_in_force(adopted),
        checked_by=office_words(places, today),
        visit=wanted,
        visits=tuple(_state(inspection, read, findings, view) for inspection in inspections),
        findings=tuple(findings),
        blanks=tuple(blanks_of(own)),
        rests_on=(*read.rests_on, *_rests_on(view)),
        not_described=tuple(_not_described(view, rules)),
        eye_only=sum(1 for one in own if any(m.found_by == "look" and m.kind == "record" for m in one.missing)),
        not_checked_here=tuple(not_checked(adopted.chain)),
        struck_here=adopted.struck,
        warnings=(
            *adopted.warnings,
            *dict.fromkeys(_cautions(adopted)),
            *(problem.text() for problem in read.warnings),
            *_lapsed(view),
        ),
    )


def _may_say(view: SiteView, kind: str) -> bool:
    """Whether rules about a kind can say anything here: of things there are, or of a system nobody has spoken of."""
    spec = registry.kinds().get(kind)
    said = view.described(spec.system) if spec is not None and spec.system else "yes"
    return said not in ("yes", "none") or (said == "yes" and (spec is None or bool(view.of(kind))))


def _judged(
    view: SiteView,
    rules: list[Rule],
    read: SiteFile,
    whose: Amended,
    progress: Callable[[int, int], None] | None,
    figures: bool,
    later: Later | None,
) -> Iterator[Finding]:
    records = records_of(read.site)
    quiet: dict[tuple[int, int], tuple[Any, ...]] = {}
    told: dict[tuple[int, int], tuple[Any, ...]] = {}
    for number, rule in enumerate(rules):
        if progress:
            progress(number, len(rules))
        spec = registry.kinds()[rule.each]
        if spec.system and view.described(spec.system) == "none":
            continue
        asked = view.of(rule.each)
        ask = (
            None if later is None or len(asked) >= MANY else Env(view.roots["site"], view.roots, memo=quiet, quiet=True)
        )
        for subject in asked:
            if ask is not None:
                ask.subject = subject
                if surely_idle(rule, ask) and not rule.twins:
                    continue
            env = Env(subject, view.roots, records, memo=told, working=later is None)
            first = env if figures else Env(subject, view.roots, records, memo=quiet, quiet=True)
            if not rule.twins:
                yield from _of_rule(rule, first, env, read, whose, len(asked) >= MANY, later)
                continue
            versions = (rule, *rule.twins)
            yield from stacked([list(_of_rule(one, first, env, read, whose, len(asked) >= MANY)) for one in versions])


def _of_rule(
    rule: Rule, first: Env, env: Env, read: SiteFile, whose: Amended, quick: bool, later: Later | None = None
) -> Iterator[Finding]:
    """The findings of a rule on one subject. Where `first` is quiet, the work of what is told is done again in `env`.

    With `later` that is put off until it is known at which visit it is told.
    """
    for judged in judge(rule, first, quick):
        if first.quiet and judged.verdict in ("met", "does not apply"):
            if later is None or judged.verdict == "met":
                yield _verdict_only(judged)
            continue
        plain = _verdict_only(judged) if later is not None and not rule.twins else None
        if first.quiet:
            judged.env, judged.found = env, None
        if plain is None or later is None:
            yield _finding(judged, read, whose)
        else:
            later[judged.name, judged.subject.id] = judged
            yield replace(plain, missing=judged.missing, settled=judged.settled)


def _told(one: Finding, later: Later, read: SiteFile, whose: Amended) -> Finding:
    """A finding with its figures, where they were put off."""
    judged = later.get((one.rule, one.element))
    if judged is None:
        return one
    return replace(_finding(judged, read, whose), stage=one.stage, alternate=one.alternate)


def records_of(site: Site) -> Records:
    """What somebody answered to what no figure decides: by rule (and item) and element, the answer and how it is known."""
    found: Records = {}
    for record in site.records:
        how = HOW_KNOWN.index(record.known or "looked")
        found[record.for_.removesuffix(".main"), record.element or ""] = (record.answer, how)
    return found


def _label_of(judged: Judged) -> str:
    """The label of a subject; many rules ask the same."""
    memo, subject = judged.env.memo, judged.subject
    if memo is None:
        return label(subject)
    known = memo.get((0, id(subject)))
    if known is None:
        known = memo[0, id(subject)] = (subject, label(subject))
    return str(known[1])


def _verdict_only(judged: Judged) -> Finding:
    rule, item, subject = judged.rule, judged.item, judged.subject
    return Finding(
        rule=judged.name,
        title=item.title or rule.title,
        verdict=judged.verdict,
        severity=item.severity or rule.severity,  # type: ignore[arg-type]
        trade=rule.trade,
        stage=rule.stage,
        element=subject.id,
        kind=rule.each,
        elements=subject.elements,
        label=_label_of(judged),
        place=None,
        measured="",
        required="",
        margin="",
        citation="",
        known_by=judged.known_by,
        where=subject.where,
    )


def _finding(judged: Judged, read: SiteFile, whose: Amended) -> Finding:
    rule, item, subject, answer = judged.rule, judged.item, judged.subject, judged.answer
    comparisons = answer.comparisons
    shown = [c for c in comparisons if c.met is not True] if judged.verdict != "met" else comparisons
    head = next(iter(shown or comparisons), None)
    required = head.required if head else ""
    measured = head.measured if head else ""
    place = read.key_place(subject.path) if subject.path else None
    section = item.section or rule.section
    # a remedy says for itself whether it is the least or the most
    texts = {"required": _BOUND.sub("", required), "measured": measured, "element": subject.id}
    return replace(
        _verdict_only(judged),
        place=FindingPlace(place.file, place.line, place.column) if place else None,
        measured=measured,
        required=required,
        margin=head.margin if head else "",
        citation=_citation(rule, section),
        amended_by=whose.behind(rule, judged.item),
        missing=judged.missing,
        known_by=judged.known_by,
        remedy=_filled(item.remedy or rule.body.remedy, texts),
        close_with=close_with(judged, _filled(item.close_with or rule.body.close_with, texts)),
        also_touches=item.touches or rule.body.touches,
        comparisons=tuple(comparisons),
        work=tuple(answer.steps) if judged.env.working else (),
        exception=answer.exception,
        settled=judged.settled,
        closer_than_tape=answer.close and judged.verdict == "not met",
        note=answer.reason if judged.verdict == "does not apply" else item.note or rule.body.note,
    )


def _citation(rule: Rule, section: str) -> str:
    """Book, edition and section. What is no numbered section (a maker's sheet) stands before the rule's own."""
    numbered = any(char.isdigit() for char in section.split(" ")[0]) or section.startswith(("Table", "Figure"))
    if section != rule.section and not numbered:
        return f"{section}; {_citation(rule, rule.section)}"
    return section if section.startswith(rule.citation_book) else f"{rule.citation_book} {section}"


def _filled(text: str, values: dict[str, str]) -> str:
    for name, value in values.items():
        text = text.replace("{" + name + "}", value)
    return text


def _cautions(adopted: Adopted) -> Iterator[str]:
    """What the layers in force say of themselves."""
    for variant in adopted.variants:
        for layer in variant.rules.folded.layers:
            yield from layer.cautions


def _systems_by_stage(rules: Iterable[Rule]) -> dict[tuple[str, str], list[Rule]]:
    found: dict[tuple[str, str], list[Rule]] = {}
    for rule in rules:
        system = registry.kinds()[rule.each].system
        if system:
            found.setdefault((rule.stage, system), []).append(rule)
    return found


def _undescribed(view: SiteView, rules: list[Rule]) -> Iterator[Finding]:
    """A system nobody has spoken of, and of which nothing is written, is not recorded: never silence."""
    for (stage, system), asked in _systems_by_stage(rules).items():
        said = view.described(system)
        if said in ("yes", "none") or (said is None and any(view.of(rule.each) for rule in asked)):
            continue
        missing = Missing(
            DESCRIBED,
            system,
            "look",
            kind="site",
            path=(DESCRIBED, system),
            means=f"does the building have {system}: yes, none",
        )
        yield Finding(
            rule=f"site.described.{system.replace(' ', '-')}",
            title=f"Is there {system}?",
            verdict="not recorded",
            severity="correction",
            trade=asked[0].trade,
            stage=stage,
            element="site",
            kind="site",
            elements=("site",),
            label="the building",
            place=None,
            measured="not recorded",
            required="yes or none",
            margin="",
            citation="",
            missing=(missing,),
            known_by="",
            remedy=f"Write under described: {system}: yes, none, or not sure.",
            close_with=f"{system}: none",
        )


def _answered(findings: list[Finding], read: SiteFile) -> list[Finding]:
    """Mark findings that the official's written approval of another way answers."""
    approvals = {(a.for_, a.element or ""): f"{a.office}, {a.day}: {a.what}" for a in read.site.alternates}
    if not approvals:
        return findings
    return [
        replace(one, alternate=approvals.get((one.rule, one.element)) or approvals.get((one.rule, "")) or "")
        for one in findings
    ]


def _at_visits(findings: list[Finding], inspections: list[Inspection]) -> list[Finding]:
    """Each finding at the visit of this place that looks at its stage."""
    seen_at = {stage: one.name for one in inspections for stage in one.stages[1:]}
    if not seen_at:
        return findings
    return [replace(one, stage=seen_at.get(one.stage, one.stage)) for one in findings]


def _visit(visit: str | None, inspections: list[Inspection], read: SiteFile, findings: list[Finding]) -> str:
    names = [inspection.name for inspection in inspections]
    if visit == ALL_VISITS or visit in names:
        return str(visit)
    if visit is not None:
        near = nearest(visit, [*names, ALL_VISITS])
        raise InputProblems(
            [
                Problem(
                    None,
                    f"there is no visit '{visit}' here",
                    "one of: " + ", ".join([*names, ALL_VISITS]),
                    f"did you mean '{near}'?" if near else "",
                )
            ]
        )
    booked = read.site.permit.booked
    waiting = [name for name in names if name in booked and name not in read.site.permit.visits]
    if waiting:
        return min(waiting, key=lambda name: (booked[name], names.index(name)))
    asked = {one.stage for one in findings if one.verdict != "does not apply"}
    for name in names:
        if name not in read.site.permit.visits and name in asked:
            return name
    return ALL_VISITS


def _state(inspection: Inspection, read: SiteFile, findings: list[Finding], view: SiteView) -> Visit:
    own = [one for one in findings if one.stage == inspection.name]
    waiting = [one for one in own if one.open]
    wrong = [one for one in waiting if one.verdict == "not met"]
    blank = [one for one in waiting if one.verdict == "not recorded"]
    slips = sum(slip.visit == inspection.name and slip.done is None for slip in read.site.corrections)
    if inspection.name in read.site.permit.visits:
        state = "signed"
    elif wrong or slips:
        state = "corrections"
    elif blank:
        state = "not recorded"
    else:
        state = "ready to call" if any(one.verdict == "met" for one in own) else "not asked"
    booked = read.site.permit.booked.get(inspection.name)
    return Visit(
        inspection.name,
        state,  # type: ignore[arg-type]
        hazards=sum(one.severity == "hazard" for one in wrong),
        corrections=sum(one.severity == "correction" for one in wrong),
        not_recorded=len(blank),
        advisories=sum(one.severity == "advisory" and one.verdict == "not met" for one in own),
        stops=slips,
        **said_of(inspection, view.roots, read.site.permit.visits),
        asks=asked_at(own),
        booked=booked.isoformat() if booked is not None and state != "signed" else "",
    )


def _order(one: Finding, rooms: dict[str, int], stages: dict[str, int], visit: str) -> tuple[Any, ...]:
    """The place of a finding among all: visit, how sure and how bad, then room, wall, left to right."""
    if one.severity == "advisory":
        group = 6
    elif one.verdict == "not met":
        group = 4 if one.closer_than_tape else 0 if one.severity == "hazard" else 1
    else:
        group = {"not recorded": 3, "met": 8, "does not apply": 9}[one.verdict]
    room, wall, along = one.where
    return (
        0 if visit in (one.stage, ALL_VISITS) else 1,
        group,
        stages.get(one.stage, len(stages)),
        rooms.get(room, len(rooms)),
        wall,
        along,
        one.rule,
        one.element,
    )


def _in_force(adopted: Adopted) -> tuple[InForce, ...]:
    found = [InForce(book, adopted.place.name) for book in adopted.books_printed]
    return tuple(dict.fromkeys([*found, *(InForce(own.name, "the job") for own in adopted.standards)]))


def _checked_by(place: Layer, today: datetime.date) -> str:
    """Who checked the changes of one place."""
    return office_words((place,), today)


def blanks_of(findings: Iterable[Finding]) -> list[Blank]:
    """Missing facts of open findings, the one whose answer settles most first."""
    groups: dict[tuple[str, str, str], tuple[Missing, list[str], list[str]]] = {}
    for one in findings:
        if one.verdict != "not recorded" or not one.open:
            continue
        for missing in one.missing:
            key = (missing.kind, missing.fact, missing.found_by)
            entry = groups.setdefault(key, (missing, [], []))
            if missing.element not in entry[1]:
                entry[1].append(missing.element)
            if one.identity not in entry[2]:
                entry[2].append(one.identity)
    made = [Blank(missing, tuple(elements), tuple(settles)) for missing, elements, settles in groups.values()]
    return sorted(made, key=lambda blank: (-len(blank.settles), blank.missing.fact, blank.elements))


def _rests_on(view: SiteView) -> Iterator[str]:
    """What is known too little to call on, and what somebody signed as a whole list, person by person."""
    for how in ("told", "typical", "assumed", "planned"):
        count = sum(1 for model in view.models.values() if model.known == how) + sum(
            1 for word in view.known.values() if word == how
        )
        if count:
            yield f"{count} {'entry' if count == 1 else 'entries'} only {how}"
    by_person: dict[str, list[str]] = {}
    for said in view.site.looked:
        if not view.lapsed(said) and said.whole:
            places = [said.in_] if isinstance(said.in_, str) else said.in_
            where = f" in {', '.join(places)}" if places else ""
            by_person.setdefault(said.by, []).append(f"{_counted(len(view.listed(said)), said.list_)}{where}")
    for person, lists in by_person.items():
        told = ", ".join(lists)
        yield f"{told} ({person})" if len(lists) <= FEW_LISTS else f"{len(lists)} whole lists ({person}): {told}"


def _counted(count: int, list_name: str) -> str:
    """`1 gas system`, `7 gas pipes`, `no counters`."""
    element_class = element_lists().get(list_name.replace(" ", "_"))
    if count == 1 and element_class is not None:
        return f"1 {element_class.kind.replace('_', ' ')}"
    return f"{count or 'no'} {list_name}"


def _lapsed(view: SiteView) -> Iterator[str]:
    for said in view.site.looked:
        if view.lapsed(said):
            now = view.listed(said)
            yield (
                f"the statement about {said.list_} of {said.day} ({said.by}) has lapsed: it speaks of "
                f"{said.count.text if said.count else '?'}, {len(now)} are written: {', '.join(now[-5:])}"
            )


def _not_described(view: SiteView, rules: list[Rule]) -> Iterator[str]:
    systems = dict.fromkeys(system for _, system in _systems_by_stage(rules))
    for system in systems:
        said = view.described(system)
        if said == "not sure":
            yield f"{system} (not sure)"
        elif said is None and not any(
            view.of(kind) for kind, spec in registry.kinds().items() if spec.system == system
        ):
            yield system
