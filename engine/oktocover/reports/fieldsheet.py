"""The field sheet: everything nobody has recorded and everything only an eye can decide, in walking order.

Built from the verdicts that are 'not recorded', and from those that miss a limit by less than a tape can tell. Each
blank is asked once, at the first visit that waits for it. What one look decides for many things alike is one blank.
"""

from __future__ import annotations

import ast
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, get_args

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding, Missing
from oktocover.measures.registry import FactType
from oktocover.measures.view import fact_type_of
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import classes, facts_of, field_of, is_many
from oktocover.reading.site_file import SiteFile
from oktocover.reports import _words
from oktocover.reports.fieldsheet_parts import Form, Key, Question, Reason, Room, Sheet, Stop, VisitPart
from oktocover.reports.fieldsheet_places import BUILDING, Places, Spot
from oktocover.reports.fieldsheet_words import (
    HIDDEN,
    KNOWN,
    LIVE,
    WITH_A_COVER,
    before_test,
    precision_of,
    sentence,
    tool_of,
)
from oktocover.rules.form import Rule
from oktocover.rules.library import Adopted
from oktocover.rules.scope import FactLeaf
from oktocover.site.base import spaced
from oktocover.site.root import Site

ROOTS = ("described", "still to come", "permit", "building")
"""Mappings of a site file that are no lists, and hold facts."""
ALONE = ("wall", "at", "height", "space", "sides", "corner", "size", "outline", "box", "photos")
"""Facts that differ from thing to thing, or say where it is: never asked of many at once."""
LEAST_FOR_GO = 3
"""Things alike from which on a block or a stick is carried along instead of a tape."""
LEAST_ALIKE = 2
BY_HAND = "by hand"


@dataclass(slots=True)
class _Wanted:
    """One fact that is missing, with everything that waits for it."""

    key: Key
    missing: Missing
    visit: str
    reasons: dict[Reason, None] = field(default_factory=dict)
    bounds: dict[str, None] = field(default_factory=dict)
    """Limits that the fact itself is compared with, as the finding prints them."""
    indirect: bool = False
    """Whether some rule waits for it without comparing it with a limit directly."""
    again: bool = False


def field_sheet(read: SiteFile, adopted: Adopted, checked: Checked, visits: Sequence[str]) -> Sheet:
    """The sheet for some visits of a site that was checked for all of them."""
    places = Places(read.site)
    direct = _direct(adopted.rules.rules())
    parts = []
    asked: set[Key] = set()
    states = {visit.name: visit for visit in checked.visits}
    for name in visits:
        wanted = _wanted(read, checked.of_visit(name), direct, name)
        found = [one for key, one in wanted.items() if key not in asked]
        asked.update(wanted)
        questions = list(_questions(read, places, _not_twice(found, asked)))
        rooms = tuple(_rooms(read.site, places, questions))
        trades = {one.trade for one in checked.of_visit(name) if one.verdict == "not recorded"}
        cautions = _words.cautions(trades) if rooms else ()
        state = states[name].state if name in states else ""
        parts.append(VisitPart(name, state, rooms, cautions))
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


# what is missing


def _wanted(read: SiteFile, findings: Iterable[Finding], direct: dict[str, str], visit: str) -> dict[Key, _Wanted]:
    found: dict[Key, _Wanted] = {}
    for one in findings:
        if not one.open:
            continue
        if one.closer_than_tape and direct.get(one.rule):
            _measure_again(read, one, direct[one.rule], visit, found)
        for missing in one.missing if one.verdict == "not recorded" else ():
            key = key_of(read.site, missing)
            want = found.setdefault(key, _Wanted(key, missing, visit))
            needed = one.required if one.required not in ("", "not recorded") and missing.kind != "record" else ""
            want.reasons.setdefault(Reason(one.title, one.citation, needed))
            if direct.get(one.rule) == missing.fact and one.required.startswith(("at least ", "at most ")):
                want.bounds.setdefault(one.required)
            else:
                want.indirect = True
    return found


def _measure_again(read: SiteFile, one: Finding, fact: str, visit: str, found: dict[Key, _Wanted]) -> None:
    for name, made in classes().items():
        if one.element in getattr(read.site, name.replace(" ", "_")) and fact in facts_of(name):
            about = field_of(name, fact)
            means = (about.description or "") if about is not None else ""
            missing = Missing(one.element, fact, "tape", made.kind, means, (name, one.element, fact))
            want = found.setdefault((name, one.element, fact), _Wanted((name, one.element, fact), missing, visit))
            want.again = True
            want.reasons.setdefault(Reason(one.title, one.citation, one.required))
            return


def key_of(site: Site, missing: Missing) -> Key:
    """Where the answer to a missing fact goes."""
    path = tuple(str(part) for part in missing.path)
    if missing.kind == "record" and path:
        return ("records", path[-1], missing.element)
    if missing.kind == "list":
        within = missing.element if missing.element in site.spaces else ""
        return ("looked", missing.fact.removeprefix("whole list of "), within)
    if path and path[0] in classes():
        name, facts = path[0], facts_of(path[0])
        one = path[1] if len(path) > 1 else missing.element
        if len(path) == 3 and path[2] in facts:
            return (name, one, path[2])
        if len(path) < 3 and missing.fact in facts:
            return (name, one, missing.fact)
    elif len(path) > 1 and path[0] in ROOTS:
        return path
    elif len(path) == 1:
        return ("site", path[0])
    return (BY_HAND, missing.kind, missing.element, missing.fact)


def _direct(rules: Iterable[Rule]) -> dict[str, str]:
    """By the name of a finding: the fact that its requirement compares with a limit, and nothing else."""
    found: dict[str, str] = {}
    for rule in rules:
        for node in rule.body.walk():
            made = node.require
            if made is None or not isinstance(made.tree, ast.Compare) or len(made.tree.ops) != 1:
                continue
            left = made.tree.left
            leaf = made.leaves.get(left.id) if isinstance(left, ast.Name) else None
            if isinstance(leaf, FactLeaf) and "." not in leaf.path:
                name = f"{rule.id}.{node.name}" if node.name and node is not rule.body else rule.id
                found[name] = spaced(leaf.path)
    return found


def _not_twice(found: list[_Wanted], asked: set[Key]) -> list[_Wanted]:
    """Without lists of one room where the same list of the whole building is asked anyway."""
    return [one for one in found if not (one.key[0] == "looked" and one.key[2] and ("looked", one.key[1], "") in asked)]


# questions


def _questions(read: SiteFile, places: Places, found: list[_Wanted]) -> Iterator[tuple[Spot, Question]]:
    for group in _alike(read, places, found):
        first = group[0]
        elements = tuple(one.missing.element if one.key[0] not in classes() else one.key[1] for one in group)
        spot = places.spot(elements[0])
        if first.key[0] == "looked":
            spot = places.spot(first.key[2]) if first.key[2] else Spot()
        question = _question(read, places, group, elements)
        yield (Spot(spot.room) if len(group) > 1 else spot), question


def _alike(read: SiteFile, places: Places, found: list[_Wanted]) -> Iterator[list[_Wanted]]:
    """What is asked together: one fact of things of one list in one room."""
    groups: dict[tuple[Any, ...], list[_Wanted]] = {}
    for one in found:
        groups.setdefault(_group(places, one), []).append(one)
    for group in groups.values():
        least = LEAST_FOR_GO if group[0].missing.found_by == "tape" else LEAST_ALIKE
        if len(group) >= least:
            yield group
        else:
            yield from ([one] for one in group)


def _group(places: Places, one: _Wanted) -> tuple[Any, ...]:
    key = one.key
    if key[0] == "records":
        # one look decides for each thing alone, but it is one question
        return key
    if key[0] not in classes() or key[2] in ALONE or one_by_one(key[0], key[2]) or one.again:
        return key
    about = _type(key)
    if about.form not in ("quantity", "word", "yes or no") or "." in key[1] and key[0] == "walls":
        return key
    bounds = tuple(one.bounds)
    if one.missing.found_by == "tape" and (one.indirect or len(bounds) != 1):
        return key
    return (key[0], key[2], places.spot(key[1]).room, one.missing.found_by, bounds)


def _question(read: SiteFile, places: Places, group: list[_Wanted], elements: tuple[str, ...]) -> Question:
    first = group[0]
    missing, key = first.missing, first.key
    about = _type(key)
    form = _form(key, about)
    limit = next(iter(first.bounds), "") if len(group) > 1 and missing.found_by == "tape" else ""
    reasons = tuple(dict.fromkeys(reason for one in group for reason in one.reasons))
    made = Question(
        id=_id(key if len(group) == 1 else ("many", *key[::2], places.spot(key[1]).room, *elements)),
        key=key,
        elements=elements,
        fact=key[-1] if key[0] in (*classes(), *ROOTS, "site") else missing.fact,
        ask=_ask(missing, key),
        form=form,
        tool=tool_of(missing.found_by, about.dimension, form),
        precision=precision_of(missing.found_by, about.dimension, form),
        known=KNOWN.get(missing.found_by, "looked"),
        dimension=about.dimension,
        words=about.words,
        ids=_may_name(read.site, about),
        several=_several(key),
        why=reasons,
        written=_written(read, key) if len(group) == 1 else "",
        limit=limit,
        go=_go(limit),
        again=first.again,
        earlier=read.instead.get(key, ""),
    )
    return replace(made, count=_listed(read.site, key)) if form == "whole" else made


def _type(key: Key) -> FactType:
    """What kind of fact a key leads to; text where nothing says it."""
    if key[0] == "records":
        return FactType("yes or no")
    if key[0] == "described":
        return FactType("word", words=("yes", "none", "not sure"))
    found = field_of(key[0], key[2]) if key[0] in classes() else _root_field(key)
    return (fact_type_of(found) if found is not None else None) or FactType("text")


def _root_field(key: Key) -> Any:
    model: Any = Site
    about: Any = None
    for part in key if key[0] in ROOTS else key[1:]:
        fields = getattr(model, "model_fields", {})
        about = next((one for name, one in fields.items() if (one.alias or spaced(name)) == part), None)
        if about is None:
            return None
        model = next(
            (one for one in (about.annotation, *get_args(about.annotation)) if hasattr(one, "model_fields")), None
        )
    return about


def _form(key: Key, about: FactType) -> Form:
    if key[0] == "looked":
        return "whole"
    if about.form == "quantity":
        return "length" if about.dimension == "length" else "quantity"
    forms: dict[str, Form] = {"yes or no": "yes or no", "word": "word", "date": "day", "moment": "moment"}
    return "ids" if about.form in ("one", "many") else forms.get(about.form, "text")


def _several(key: Key) -> bool:
    return key[0] in classes() and is_many(field_of(key[0], key[2]))


def _may_name(site: Site, about: FactType) -> tuple[str, ...]:
    if about.form not in ("one", "many"):
        return ()
    lists = (name for name, made in classes().items() if made.kind == about.kind)
    return tuple(one for name in lists for one in getattr(site, name.replace(" ", "_")))


def _listed(site: Site, key: Key) -> int:
    members = getattr(site, key[1].replace(" ", "_"), {})
    if not key[2]:
        return len(members)
    places = Places(site)
    return sum(1 for name in members if places.spot(name).room == key[2])


def _ask(missing: Missing, key: Key) -> str:
    if key[0] == "looked":
        return f"Is every one of the {key[1]}{' of this room' if key[2] else ' of the building'} on the list"
    if key[0] == "described":
        return (
            f"Is there {key[-1]}: {missing.means}"
            if "building" not in missing.means
            else f"Is there {key[-1]} in the building"
        )
    return sentence(missing.means or missing.fact)


def _go(limit: str) -> str:
    """What to carry for a bound: a block for `at least`, a marked stick for `at most`."""
    word, _, figure = limit.partition(limit.split(" ")[1] + " ") if limit else ("", "", "")
    if word.startswith("at") and limit.startswith("at least"):
        return f"Carry a block of {figure}: does it fit at every one"
    return f"Carry a stick marked at {figure}: is every one within the mark" if limit else ""


def _written(read: SiteFile, key: Key) -> str:
    """What stands in the site for a fact that is not known well enough."""
    found: Any = read.expanded
    for part in key if key[0] != "site" else key[1:]:
        found = found.get(part) if isinstance(found, dict) else None
    if isinstance(found, dict) and "is" in found:
        known = f" ({found['known']})" if found.get("known") else ""
        return f"{found['is']}{known}"
    return ", ".join(map(str, found)) if isinstance(found, list) else str(found) if isinstance(found, str) else ""


def _id(key: Iterable[str]) -> str:
    return hashlib.sha256("|".join(key).encode()).hexdigest()[:12]


# stops and rooms


def _rooms(site: Site, places: Places, questions: list[tuple[Spot, Question]]) -> Iterator[Room]:
    stops: dict[tuple[str, tuple[str, ...]], list[tuple[Spot, Question]]] = {}
    for spot, question in questions:
        head = question.key[0] if question.key[0] in classes() else ""
        whole = question.key[0] in ("looked", *ROOTS, "site")
        # one thing is one stop with all its questions, whoever asks them
        stops.setdefault((spot.room, ("", head) if whole and not spot.room else question.elements), []).append(
            (spot, question)
        )
    rooms: dict[str, list[tuple[Any, Stop]]] = {}
    for number, ((room, elements), found) in enumerate(stops.items()):
        spot = found[0][0]
        made = _stop(site, spot, elements, [question for _, question in found])
        rooms.setdefault(room, []).append(((*places.order(spot), number), made))
    for room in sorted(rooms, key=lambda name: places.rooms.get(name, len(places.rooms))):
        stops_here = [stop for _, stop in sorted(rooms[room], key=lambda pair: pair[0])]
        yield Room(room or BUILDING, tuple(stops_here))


def _stop(site: Site, spot: Spot, elements: tuple[str, ...], questions: list[Question]) -> Stop:
    lists = {question.key[0] for question in questions}
    kind = next((name for name in lists if name in classes()), "")
    before: tuple[str, ...] = ()
    if kind == "gas tests":
        before = before_test(site, elements[0])
    elif kind in LIVE and any(question.tool in ("label or plate", "maker's sheet") for question in questions):
        before = (HIDDEN,)
    return Stop(elements, _name(site, kind, elements), spot.text, tuple(questions), before)


def _name(site: Site, kind: str, elements: tuple[str, ...]) -> str:
    if elements[:1] == ("",) or elements in (("site",), ("building",), ("described",)):
        return "the building"
    if not kind:
        if len(elements) == 1 and elements[0] in site.spaces:
            return "the room"
        return ", ".join(elements)
    made = classes()[kind]
    if len(elements) > 1:
        return f"{len(elements)} {kind}: {', '.join(elements)}"
    one = elements[0]
    word = made.kind.replace("_", " ")
    what = getattr(getattr(site, kind.replace(" ", "_")).get(one), "what", None)
    if isinstance(what, str) and what != "other" and not any(char.isdigit() for char in what):
        word = what
    return one if word in one.split() or kind in one else f"{word} {one}"


__all__ = ["WITH_A_COVER", "field_sheet", "key_of", "visits_asked"]
