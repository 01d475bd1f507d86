"""From what is missing to what is asked: one blank a fact, or one for many things alike that a single look decides."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any, Literal, get_args, get_origin

from oktocover.findings.finding import Missing
from oktocover.measures.registry import FactType
from oktocover.measures.view import fact_type_of
from oktocover.quantities import QuantityError
from oktocover.quantities import read as read_quantity
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import classes, field_of, is_many
from oktocover.reading.site_file import SiteFile
from oktocover.reports.fieldsheet_parts import Form, Key, Question
from oktocover.reports.fieldsheet_places import Places, Spot
from oktocover.reports.fieldsheet_wanted import BOUNDS, ROOTS, Wanted
from oktocover.reports.fieldsheet_words import KNOWN, precision_of, sentence, tool_of
from oktocover.site.base import spaced
from oktocover.site.root import Site

ALONE = ("wall", "at", "height", "space", "sides", "corner", "size", "outline", "box", "length")
"""Facts that differ from thing to thing, or say where it is: never asked of many at once."""
FEW_WITH_A_TAPE, FEW = 3, 2
"""Things alike from which on they are asked about together."""
READ_ONE_BY_ONE = ("test", "map")
"""What is found out so is never asked of many at once."""


def questions(read: SiteFile, places: Places, found: Iterable[Wanted]) -> Iterator[tuple[Spot, Question]]:
    """What is asked, each with the spot to stand at: of many, the room they are in."""
    found = list(found)
    seen_at = {one.element: one.where for one in reversed(found) if one.where[0]}
    for one in found:
        # whatever waits for it, a thing stands in one place
        one.where = seen_at.get(one.element, one.where)
    for group in _alike(read, places, found):
        spots = [places.spot(one.element, one.where) for one in group]
        if group[0].key[0] == "looked":
            spots = [places.spot(group[0].key[2])]
        in_order = sorted(zip(spots, group, strict=True), key=lambda pair: places.order(pair[0]))
        question = _question(read, [one for _, one in in_order])
        rooms = {spot.room for spot in spots}
        yield (spots[0] if len(group) == 1 else Spot(rooms.pop() if len(rooms) == 1 else "")), question


def _alike(read: SiteFile, places: Places, found: Iterable[Wanted]) -> Iterator[list[Wanted]]:
    """What is asked together: one fact of things of one list in one room; of single things in many rooms, in all."""
    groups: dict[tuple[Any, ...], list[Wanted]] = {}
    for one in found:
        groups.setdefault(_group(read, one), []).append(one)
    for together, group in groups.items():
        few = FEW_WITH_A_TAPE if group[0].missing.found_by == "tape" else FEW
        rooms: dict[str, list[Wanted]] = {}
        for one in group:
            rooms.setdefault(places.spot(one.element, one.where).room, []).append(one)
        if together[0] is None:
            yield from ([one] for one in group)
        elif len(group) >= FEW_WITH_A_TAPE and group[0].missing.found_by != "tape" and len(rooms) == len(group):
            yield group
        else:
            for here in rooms.values():
                yield from [here] if len(here) >= few else ([one] for one in here)


def _group(read: SiteFile, one: Wanted) -> tuple[Any, ...]:
    """What is asked together has the same; it begins with None where nothing is."""
    key, by = one.key, one.missing.found_by
    if key[0] == "records":
        return key[:2]
    alone = (None, *key)
    if key[0] not in classes() or key[2] in ALONE or one_by_one(key[0], key[2]) or one.again or by in READ_ONE_BY_ONE:
        return alone
    if type_of(key).form not in ("quantity", "word", "yes or no") or (key[0] == "walls" and "." in key[1]):
        return alone
    if by == "tape" and written(read, key):
        return alone  # a bound stands there, of this one or of many: it is read by itself now
    return (key[0], key[2], by, _block(one))


def _block(one: Wanted) -> str:
    """The one length that a block or a stick decides, as the fact would be written; nothing where there is none."""
    bounds = list(one.bounds)
    if one.missing.found_by != "tape" or one.indirect or len(bounds) != 1 or type_of(one.key).dimension != "length":
        return ""
    try:
        read_quantity(bounds[0], "length")
    except QuantityError:
        return ""  # at least this, and perhaps more: what else is missing decides it
    return bounds[0]


def _question(read: SiteFile, group: list[Wanted]) -> Question:
    first = group[0]
    missing, key, many = first.missing, first.key, len(group) > 1
    elements = tuple(one.element for one in group)
    about = type_of(key)
    limit = _block(first) if many else ""
    form = "ids" if _several_words(key) else _form(key, about, many and missing.found_by == "tape" and not limit)
    made = Question(
        id=_id(("many", key[0], key[-1], *elements) if many else key),
        key=key,
        elements=elements,
        fact=missing.fact if key[0] in ("records", "looked", "by hand") else key[-1],
        ask=_ask(missing, key, field_of(key[0], key[2]) if key[0] in classes() else None),
        form=form,
        tool=tool_of(missing.found_by, form),
        precision=precision_of(missing.found_by, about.dimension, form),
        known=KNOWN.get(missing.found_by, "looked"),
        dimension=about.dimension,
        words=about.words,
        ids=_may_name(read.site, about) or _several_words(key),
        several=key[0] in classes() and is_many(field_of(key[0], key[2])),
        why=tuple(dict.fromkeys(reason for one in group for reason in one.reasons)),
        # a reading that is taken again is not shown before: people read the number they hope for
        written="" if many or first.again else written(read, key),
        was=written(read, key, with_how=False) if first.again else "",
        limit=limit,
        go=_go(limit),
        carry=_carry(limit),
        again=first.again,
        earlier=read.instead.get(key, ""),
    )
    return replace(made, count=_listed(read.site, key)) if form == "whole" else made


def type_of(key: Key) -> FactType:
    """What kind of fact a key leads to; text where nothing says it."""
    if key[0] in ("records", "looked"):
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
        parts = (about.annotation, *get_args(about.annotation))
        model = next((one for one in parts if hasattr(one, "model_fields")), None)
    return about


def _form(key: Key, about: FactType, span: bool) -> Form:
    if key[0] == "looked":
        return "whole"
    if about.form == "quantity":
        return "span" if span else "length" if about.dimension == "length" else "quantity"
    forms: dict[str, Form] = {"yes or no": "yes or no", "word": "word", "date": "day", "moment": "moment"}
    return "ids" if about.form in ("one", "many") else forms.get(about.form, "text")


def _may_name(site: Site, about: FactType) -> tuple[str, ...]:
    """The ids that a reference may name."""
    if about.form not in ("one", "many"):
        return ()
    lists = (name for name, made in classes().items() if made.kind == about.kind)
    return tuple(one for name in lists for one in getattr(site, name.replace(" ", "_")))


def _listed(site: Site, key: Key) -> int:
    """How many entries a list has, in a room where one is named."""
    members = getattr(site, key[1].replace(" ", "_"), {})
    if not key[2]:
        return len(members)
    stand = (
        (getattr(one, "wall", None) or "").partition(".")[0] or getattr(one, "space", None) for one in members.values()
    )
    return sum(place == key[2] for place in stand)


def _several_words(key: Key) -> tuple[str, ...]:
    """The words of a fact that is a list of words: where a cable runs."""
    if key[0] not in classes():
        return ()
    waiting, many = [field_of(key[0], key[2]).annotation], False
    while waiting:
        one = waiting.pop()
        many = many or get_origin(one) is list
        if many and get_origin(one) is Literal:
            return tuple(map(str, get_args(one)))
        waiting.extend(get_args(one))
    return ()


def _ask(missing: Missing, key: Key, about: Any) -> str:
    if key[0] == "looked":
        return f"Walk {'the room' if key[2] else 'the building'} with the list of {key[1]}: is that all of them"
    if key[0] == "described":
        field = _root_field(key)
        return f"Does the building have {(field.description if field is not None else '') or key[-1]}?"
    return sentence(missing.means or (about.description if about is not None else "") or missing.fact)


def _go(limit: str) -> str:
    """What to carry for a bound: a block for `at least`, a marked stick for `at most`."""
    least, most = (limit.removeprefix(word) if limit.startswith(word) else "" for word in BOUNDS)
    if least:
        return f"Carry a block of {least}: is it at least that at every one"
    return f"Carry a stick marked at {most}: is every one within the mark" if most else ""


def _carry(limit: str) -> str:
    least, most = (limit.removeprefix(word) if limit.startswith(word) else "" for word in BOUNDS)
    return f"{least} block at every one" if least else f"stick marked at {most} at every one" if most else ""


def written(read: SiteFile, key: Key, with_how: bool = True) -> str:
    """What stands in the site for a fact that is not known well enough, as it is written."""
    found: Any = read.expanded
    for part in key if key[0] != "site" else key[1:]:
        found = found.get(part) if isinstance(found, dict) else None
    how = found.get("known") if isinstance(found, dict) else None
    value = found.get("is") if isinstance(found, dict) else found
    text = ", ".join(map(str, value)) if isinstance(value, list) else value if isinstance(value, str) else ""
    return f"{text} ({how})" if text and how and with_how else text


def _id(key: Iterable[str]) -> str:
    return hashlib.sha256("|".join(key).encode()).hexdigest()[:12]
