"""The field sheet: everything nobody has recorded and everything only an eye can decide, in walking order.

Built from the verdicts that are 'not recorded', and from those that miss a limit by less than a tape can tell. Each
blank is asked once, at the first visit that waits for it. What one look decides for many things alike is one blank.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from oktocover.findings.checked import Checked
from oktocover.reading.short.work import classes, facts_of
from oktocover.reading.site_file import SiteFile
from oktocover.reports import _words
from oktocover.reports.fieldsheet_parts import Key, Question, Room, Sheet, Stop, VisitPart
from oktocover.reports.fieldsheet_places import BUILDING, Places, Spot
from oktocover.reports.fieldsheet_questions import questions
from oktocover.reports.fieldsheet_wanted import ROOTS, direct_facts, wanted
from oktocover.reports.fieldsheet_words import HIDDEN, LIVE, MAY_BE_HIDDEN, before_other_test, before_test
from oktocover.rules.library import Adopted
from oktocover.site.root import Site

Asked = tuple[Spot, Question]


def field_sheet(read: SiteFile, adopted: Adopted, checked: Checked, visits: Sequence[str]) -> Sheet:
    """The sheet for some visits of a site that was checked."""
    places = Places(read.site)
    direct = direct_facts(rule for variant in adopted.variants for rule in variant.rules.rules())
    parts = []
    asked: set[Key] = set()
    for name in visits:
        found = wanted(read, checked.of_visit(name), direct)
        new = [one for key, one in found.items() if key not in asked]
        asked.update(found)
        rooms = tuple(_rooms(read.site, places, questions(read, places, new), _pressures(checked, direct)))
        trades = {one.trade for one in checked.of_visit(name) if one.verdict == "not recorded" and one.open}
        tests = any(one.key[0] == "gas tests" for one in new)
        cautions = [
            one for one in _words.cautions(trades) if one != _words.LICENSED and (tests or one != _words.GAS_TEST)
        ]
        parts.append(VisitPart(name, rooms, tuple(cautions) if rooms else ()))
    return Sheet(
        site=checked.site,
        today=checked.today,
        in_force=tuple(one.name for one in checked.in_force),
        checked_by=checked.checked_by,
        visits=tuple(parts),
    )


def visits_asked(checked: Checked, read: SiteFile) -> tuple[str, ...]:
    """The visits of a check in their order: its own, or all that nobody has signed."""
    if checked.visit != "all":
        return (checked.visit,)
    return tuple(one.name for one in checked.visits if one.name not in read.site.permit.visits)


def _pressures(checked: Checked, direct: dict[str, str]) -> dict[str, str]:
    """By gas test: the pressure that the rules ask for, where some verdict about it has not been met."""
    return {
        one.element: f"{one.required} ({one.citation})"
        for one in checked.findings
        if one.kind == "gas_test" and direct.get(one.rule) == "pressure" and one.required.startswith("at least ")
    }


def _rooms(site: Site, places: Places, found: Iterable[Asked], pressures: dict[str, str]) -> Iterator[Room]:
    stops: dict[tuple[str, tuple[str, ...]], list[Asked]] = {}
    for spot, question in found:
        # one thing is one stop with all its questions, whoever asks them: an outlet with its box
        about = (places.anchor(question.elements[0]),) if not question.many else question.elements
        if question.key[0] in ("looked", *ROOTS, "site") or about in (("building",), ("site",)):
            about = (spot.room,)
        stops.setdefault((spot.room, about), []).append((spot, question))
    rooms: dict[str, list[tuple[Any, Stop]]] = {}
    for number, ((room, about), asks) in enumerate(stops.items()):
        made = _stop(site, asks[0][0], about, [question for _, question in asks], pressures)
        # what is asked of many comes first: one has to know what to carry through the room
        rooms.setdefault(room, []).append(((not any(q.many for _, q in asks), *places.order(asks[0][0]), number), made))
    for room in sorted(rooms, key=lambda name: places.rooms.get(name, len(places.rooms))):
        yield Room(room or BUILDING, tuple(stop for _, stop in sorted(rooms[room], key=lambda pair: pair[0])))


def _stop(site: Site, spot: Spot, about: tuple[str, ...], asks: list[Question], pressures: dict[str, str]) -> Stop:
    lists = [question.key[0] for question in asks if question.key[0] in classes()]
    asks = [
        replace(one, of=_name(site, [one.key[0]], one.elements))
        if one.key[0] in classes() and one.elements != about
        else one
        for one in sorted(asks, key=_as_listed)
    ]
    before: tuple[str, ...] = ()
    if "gas tests" in lists:
        before = before_test(site, about[0], pressures.get(about[0], ""))
    elif any(one.endswith(" tests") for one in lists):
        before = before_other_test(classes()[lists[0]].system or "")
    elif any(one.key[0] in LIVE and one.tool in MAY_BE_HIDDEN for one in asks):
        before = (HIDDEN,)
    return Stop(about, _name(site, lists, about), spot.text, tuple(asks), before)


def _as_listed(question: Question) -> tuple[int, int]:
    """The place of a fact among those of its list, in the order in which a site file describes a thing."""
    first, *_, fact = question.key
    if first not in classes():
        return len(classes()), 0
    return list(classes()).index(first), facts_of(first).index(fact)


def _name(site: Site, lists: Sequence[str], about: tuple[str, ...]) -> str:
    """What a person stands at: `receptacle R-21`, `5 boxes: ...`."""
    if len(about) > 1:
        return f"{len(about)} {lists[0] if lists else 'places'}: {', '.join(about)}"
    one = about[0]
    if one in ("", "site", "building", *ROOTS):
        return "the building"
    if one in site.spaces:
        return "the room"
    for kind, made in classes().items():
        element = getattr(site, kind.replace(" ", "_")).get(one)
        if element is not None and (kind in lists or kind != "boxes"):
            what, word = getattr(element, "what", None), made.kind.replace("_", " ")
            if isinstance(what, str) and what != "other" and kind in ("openings", "appliances"):
                word = what
            return one if word in one.split() else f"{word} {one}"
    return one


__all__ = ["field_sheet", "visits_asked"]
