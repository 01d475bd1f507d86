"""The inspection card: the visits this building needs here, in the order they come, and what holds each of them back.

Nothing on it is a verdict of the office. A visit is `ready to call, on what is written here` when every finding of it
meets, every visit before it is signed, no written correction is open, and the papers that the place and the plans ask
for are on record. Whatever nobody has written is 'not recorded', and never ready.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from oktocover.findings.checked import CORRECTIONS, NOT_RECORDED, READY, Checked, Visit, VisitLine
from oktocover.findings.finding import Finding
from oktocover.reading.site_file import SiteFile
from oktocover.reports._card_holds import (
    of_condition,
    of_findings,
    of_lines,
    of_people,
    of_plans,
    of_slips,
    plain_name,
    sorted_holds,
)
from oktocover.reports._card_next import next_of
from oktocover.reports._card_parts import Added, Card, CardVisit, Hold, LeftOff, Reminder, Slip, State
from oktocover.reports._card_slips import idle_rules, slips_of
from oktocover.reports._fold import subject
from oktocover.reports._plain import clean, counted, day
from oktocover.rules.library import Adopted
from oktocover.rules.visit_points import Point, visit_points
from oktocover.site.base import spaced
from oktocover.site.root import Site, element_lists

OF_THE_PLACE = (
    ("state", "must_be"),
    ("papers", "papers"),
    ("people", "witness"),
    ("instruments", "instruments"),
    ("instead", "instead"),
    ("who", "who"),
)
"""What a line of a place is about, and the field of a Visit that has it."""


def inspection_card(read: SiteFile, adopted: Adopted, checked: Checked) -> Card:
    """The card of a site that was checked for all visits (`check(..., ALL_VISITS)`), in the rules in force for it."""
    site = read.site
    slips = slips_of(read, adopted, checked)
    by_visit: dict[str, list[Finding]] = {}
    for one in checked.findings:
        by_visit.setdefault(one.stage, []).append(one)
    left_off = {one.name: why for one in checked.visits if (why := _not_held(one, site)) is not None}
    held = [_of_this_building(one, site) for one in checked.visits if one.name not in left_off]
    points = visit_points()
    looked_at = {rule.stage for variant in adopted.variants for rule in variant.rules.rules()}
    always = tuple(_common(one, None) for one in points if _for_all(one))
    made: list[CardVisit] = []
    for visit in held:
        own = by_visit.get(visit.name, [])
        card = CardVisit(visit, "not asked", waits=_before(visit, left_off, checked.visits))
        card = (
            _signed(card, site, own) if visit.state == "signed" else _waiting(card, site, own, made, slips, looked_at)
        )
        made.append(card)
    said, about, code = next_of(made, slips)
    return Card(
        checked=replace(checked, findings=(), blanks=()),
        next=said,
        next_visit=about,
        visits=tuple(made),
        left_off=tuple(LeftOff(name, why) for name, why in left_off.items()),
        slips=slips,
        plans=_plans(site),
        always=always,
        trades=tuple(_trades(checked, site)),
        warnings=(*checked.warnings, *idle_rules(read, adopted), *_idle_trades(site, held)),
        exit_code=code,
    )


def _of_this_building(visit: Visit, site: Site) -> Visit:
    """A visit without what its place says of systems that the building has not."""

    def there(line: VisitLine) -> bool:
        return not line.systems or any(_described(site, system) != "none" for system in line.systems)

    lists: dict[str, Any] = {field: tuple(filter(there, getattr(visit, field))) for _, field in OF_THE_PLACE}
    return replace(visit, **lists)


def _not_held(visit: Visit, site: Site) -> str | None:
    """Why a visit is not on the card; None when it is on it. A signed visit always is."""
    if visit.state == "signed":
        return None
    said = site.not_held.get(visit.name)
    if said is not None:
        why = f": {said.why}" if said.why else ""
        return f"{said.office}, {day(said.day.isoformat())}{why}"
    if visit.only_if == "no":
        return "this place does not hold it for such a building"
    described = [getattr(site.described, system.replace(" ", "_")) for system in visit.systems]
    if described and all(word == "none" for word in described):
        return f"none here: {', '.join(visit.systems)}"
    return None


def _before(visit: Visit, left_off: Mapping[str, str], visits: Sequence[Visit]) -> tuple[str, ...]:
    """The visits on the card that come before one; through one that is not on it, those before that."""
    by_name = {one.name: one for one in visits}
    found: dict[str, None] = {}
    seen: set[str] = set()
    waiting = [line.name for line in visit.after]
    while waiting:
        name = waiting.pop(0)
        if name in seen or name not in by_name:
            continue
        seen.add(name)
        if name in left_off:
            waiting += [line.name for line in by_name[name].after]
        else:
            found[name] = None
    return tuple(found)


def _waiting(
    card: CardVisit,
    site: Site,
    own: list[Finding],
    before: list[CardVisit],
    slips: Sequence[Slip],
    looked_at: Container[str],
) -> CardVisit:
    visit = card.visit
    reminders = tuple(_reminders(visit, site))
    holds = sorted_holds(
        [
            *of_findings(own),
            *of_slips(slip for slip in slips if slip.visit == visit.name),
            *_of_order(card, before),
            *of_plans(site),
            *of_lines(visit, reminders),
            *of_people(visit, site.work_by),
            *of_condition(visit),
        ]
    )
    asked = any(one.verdict != "does not apply" for one in own)
    state: State = (
        "not yet"
        if any(hold.stops for hold in holds)
        else "not asked"
        if not asked
        else "not recorded"
        if holds or visit.state != "ready to call"
        else "ready to call"
    )
    return replace(
        card,
        state=state,
        why="" if asked else _why_not_asked(visit, site, looked_at),
        holds=holds,
        reminders=reminders,
        not_met=sum(one.open and one.verdict == "not met" for one in own),
        not_recorded=sum(one.open and one.verdict == "not recorded" for one in own),
    )


def _why_not_asked(visit: Visit, site: Site, looked_at: Container[str]) -> str:
    """Why no verdict stands behind a visit: nothing is written that it looks at, or no rule here looks at its work."""
    stages = (visit.name, *visit.sees)
    unsaid = [one for one in visit.systems if _described(site, one) is None]
    about = f"; nobody has said whether there is {' or '.join(unsaid)}" if unsaid else ""
    if any(stage in looked_at for stage in stages):
        return f"nothing is written here that this visit looks at{about}; ask the office what it wants to see"
    return f"no rule here looks at this work{about}; ask the office"


def _of_order(card: CardVisit, before: list[CardVisit]) -> Iterator[Hold]:
    known = {one.name: one for one in before}
    for name in card.waits:
        first = known.get(name)
        if first is None or first.state == "signed":
            continue
        line = next((one for one in card.visit.after if one.name == name), VisitLine(name, name))
        silent = first.state == "not asked"
        text = f"after {name}, which nobody has signed" + (" and no rule here looks at" if silent else "")
        close = f"permit: {{visits: {{{name}: {{signed: <day>, by: <office>}}}}}}"
        if silent:
            close = f"not held: {{{name}: {{office: <office>, day: <day>}}}}"
        yield Hold("order", text, not silent, line.cite, close, name)


def _signed(card: CardVisit, site: Site, own: list[Finding]) -> CardVisit:
    signature = site.permit.visits[card.name]
    later: dict[str, str] = {}
    for field in element_lists(type(site)):
        for name, element in getattr(site, field).items():
            if element.added is not None and element.added >= signature.signed:
                later[name] = element.added.isoformat()
    added = tuple(_added(name, when, own) for name, when in later.items())
    return replace(
        card,
        state="signed",
        signed=f"{day(signature.signed.isoformat())}, {signature.by}",
        added=tuple(one for one in added if one is not None),
    )


def _added(name: str, when: str, own: list[Finding]) -> Added | None:
    """The questions of one element that came after the signature; None when this visit asks nothing of it."""
    asked = [one for one in own if name in (one.element, *one.elements) and one.verdict != "does not apply"]
    if not asked:
        return None
    wrong = [one for one in asked if one.open and one.verdict == "not met"]
    blank = [one for one in asked if one.open and one.verdict == "not recorded"]
    texts = tuple(f"{clean(one.title, 160)}: {subject(one)}" for one in (*wrong, *blank))
    return Added(name, when, len(wrong), len(blank), tuple(dict.fromkeys(texts)))


def _for_all(point: Point) -> bool:
    return not (point.trades or point.visits or point.not_visits or point.needs)


def _reminders(visit: Visit, site: Site) -> Iterator[Reminder]:
    """What the place says of a visit, then what is common practice, each with its answer under `at the visit`."""
    answers = {plain_name(name): said for name, said in site.at_the_visit.get(visit.name, {}).items()}
    said: set[str] = set()
    for about, field in OF_THE_PLACE:
        for line in getattr(visit, field):
            said.add(plain_name(line.name))
            answer = answers.get(plain_name(line.name)) if about != "who" else None
            yield Reminder(about, line.name, line.text, line.cite, answer=answer)
    for point in visit_points():
        if plain_name(point.name) in said or not point.is_for(visit, lambda name: _described(site, name)):
            continue
        answer = answers.get(plain_name(point.name))
        if not _for_all(point) or answer is not None:
            yield _common(point, answer)


def _common(point: Point, answer: bool | None) -> Reminder:
    return Reminder(point.about, point.name, point.say, point.section, True, answer)


def _described(site: Site, system: str) -> str | None:
    word: str | None = getattr(site.described, system.replace(" ", "_"), None)
    return word


def _plans(site: Site) -> str:
    plans = site.approved
    if plans is None or (plans.set is None and plans.date is None):
        return "not recorded"
    when = f" of {day(plans.date.isoformat())}" if plans.date else ", day not recorded"
    otherwise = counted(len(site.differs_from_plans), "thing") if site.differs_from_plans else ""
    built = f"; {otherwise} built otherwise" if otherwise else "; built as shown" if plans.built_as_shown else ""
    return f"{plans.set or 'set not recorded'}{when}{built}"


def _trades(checked: Checked, site: Site) -> Iterator[str]:
    """The trades and systems whose cautions belong on the card."""
    yield from dict.fromkeys(one.trade for one in checked.findings if one.verdict != "does not apply")
    yield from (spaced(name) for name in type(site.described).model_fields if _described(site, name) == "yes")


def _idle_trades(site: Site, held: Sequence[Visit]) -> Iterator[str]:
    known = {trade for visit in held for trade in (visit.trade, *visit.trades)}
    for trade in site.work_by:
        if trade not in known:
            yield f"work by: '{trade}' is the trade of no visit here; one of: {', '.join(sorted(known))}"


__all__ = ["CORRECTIONS", "NOT_RECORDED", "READY", "inspection_card"]
