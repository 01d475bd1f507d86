"""Typicals: facts that many elements share, written once and used by name, `typical: box-1`.

Nearest wins: what an entry says itself stands; what it lacks comes from its typical, known as typical (until somebody
has looked), or less well where the typical, the entry or the site says so. A typical may begin with another one,
`low: {typical: bench, height: 18 in}`. At the head of a list, `receptacles: {typical: bench, R-01: {...}}`, it is that of
every entry written there which names none; `typical: none` at an entry takes it out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.beside import find, yaml_beside
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import (
    NOT_FACTS,
    Path,
    Work,
    classes,
    facts_of,
    lists_in_order,
    value_of,
    weakest,
)
from oktocover.site.base import HOW_KNOWN

KEY = "typical"
TYPICALS = "typicals"
NONE = "none"
BOX, BOXES = "box", "boxes"
PLACE = ("wall", "space", "at", "height", "known")
"""Facts of an outlet that its own box has too."""


@dataclass(slots=True)
class Typical:
    """Facts under a name, with the path at which each is written: here, or at the typical it begins with."""

    facts: dict[str, Any]
    at: Path
    written: dict[str, Path] = field(default_factory=dict)

    def place(self, fact: str) -> Path:
        """Where a fact is written."""
        return self.written.get(fact, (*self.at, fact))


Typicals = dict[str, Typical]
"""By name."""


def take_heads(work: Work) -> dict[str, str]:
    """Take the typical at the head of each list out of it, and give it back by the name of the list."""
    heads: dict[str, str] = {}
    for name in lists_in_order():
        section = work.data.get(name)
        if isinstance(section, dict) and isinstance(section.get(KEY), str):
            heads[name] = section[KEY]
            work.data[name] = {one: facts for one, facts in section.items() if one != KEY}
    return heads


def use_heads(work: Work, heads: dict[str, str]) -> None:
    """Every entry of a list with a typical at its head names that one, unless it names one itself."""
    for name, one, facts in list(work.entries()):
        if name in heads and KEY not in facts:
            work.data[name][one] = {**facts, KEY: heads[name]}
            work.read.origins[name, one, KEY] = (name, KEY)


def expand_typicals(work: Work) -> Typicals:
    """Give every entry that names a typical the facts it lacks. The typicals are given back for entries made later."""
    typicals = _typicals(work)
    use_typicals(work, typicals)
    return typicals


def use_typicals(work: Work, typicals: Typicals) -> None:
    """Give every entry that still names a typical the facts it lacks."""
    refused: set[tuple[str, str]] = set()
    for name, one, facts in list(work.entries()):
        if KEY not in facts:
            continue
        own = {key: value for key, value in facts.items() if key != KEY}
        work.data[name][one] = own
        word = facts[KEY]
        if word is None or word == NONE:
            continue
        if not isinstance(word, str) or word not in typicals:
            said = f"there is no typical '{short(word)}'" if isinstance(word, str) else "a typical is named here"
            work.unknown((name, one, KEY), said, word, list(typicals) or ["(none is written yet)"])
            continue
        _check(work, word, typicals[word], name, one, refused)
        _give(work, typicals[word], name, one, own)
    _boxes(work, typicals, refused)


def _boxes(work: Work, typicals: Typicals, refused: set[tuple[str, str]]) -> None:
    """Give every outlet whose `box` names a typical a box of its own, `R-11 box`, where the outlet is."""
    boxes = work.section(BOXES)
    written = set(boxes or ())
    for name, one, facts in list(work.entries()):
        word = value_of(facts.get(BOX)) if BOX in facts_of(name) else None
        if not isinstance(word, str) or word in written or not typicals:
            continue
        if word not in typicals:
            said = f"'{short(word)}' is no box and no typical of this site"
            work.unknown((name, one, BOX), said, word, [*sorted(written), *typicals])
            continue
        made = f"{one} {BOX}"
        _check(work, word, typicals[word], BOXES, made, refused, (name, one, BOX))
        own = {fact: facts[fact] for fact in PLACE if fact in facts_of(name) and facts.get(fact) is not None}
        if work.add(BOXES, made, own, work.read._written((name, one, BOX))):
            work.read.origins.update({(BOXES, made, fact): work.read._written((name, one, fact)) for fact in own})
            _give(work, typicals[word], BOXES, made, own)
            told = facts[BOX]
            work.data[name][one] = {**facts, BOX: {**told, "is": made} if isinstance(told, dict) else made}
    if boxes == {}:
        work.data.pop(BOXES, None)


def _give(work: Work, typical: Typical, name: str, one: str, own: dict[str, Any]) -> None:
    facts = typical.facts
    allowed = facts_of(name)
    for fact, value in facts.items():
        if fact == "known" or own.get(fact) is not None or fact not in allowed or one_by_one(name, fact):
            continue
        own[fact] = value if fact in NOT_FACTS else _known(value, facts.get("known"), own.get("known"), work)
        work.read.origins[name, one, fact] = typical.place(fact)


def _known(value: Any, said: Any, entry: Any, work: Work) -> dict[str, Any]:
    """A value with the weakest way in which it can be known."""
    told = value if isinstance(value, dict) and "is" in value else {"is": value}
    word = told.get("known")
    if word is not None and word not in HOW_KNOWN:
        return told
    return {**told, "known": weakest(KEY, word, said, entry, work.data.get("known"))}


def _check(
    work: Work,
    word: str,
    typical: Typical,
    name: str,
    one: str,
    refused: set[tuple[str, str]],
    used_at: Path | None = None,
) -> None:
    """Say once for each list which facts of a typical cannot be facts of it."""
    if (word, name) in refused:
        return
    refused.add((word, name))
    allowed = [key for key in facts_of(name) if key != KEY]
    used = f"{name}, where {short(one)} (at {work.read.key_place((name, one))}) uses this typical"
    for fact in typical.facts:
        alone, at = one_by_one(name, fact), typical.place(fact)
        if fact not in allowed and any(fact in facts_of(other) for other in classes()) and fact != KEY:
            work.unknown(at, f"'{short(fact)}' is no fact of {used}", fact, allowed, key=True)
        elif alone and fact not in NOT_FACTS:
            message = f"{alone}: each is written by itself, no typical says it of {used}"
            work.wrong(at, message, do=f"take it out here, and write it at each of the {name}", key=True)


def _typicals(work: Work) -> Typicals:
    """All typicals of the site; what the site itself writes wins over a file with the same name in it."""
    written = work.data.pop(TYPICALS, None)
    found: Typicals = {}
    own: Typicals = {}
    if isinstance(written, dict):
        _mapping(work, written, (TYPICALS,), own)
    elif isinstance(written, list):
        for number, part in enumerate(written):
            if isinstance(part, dict):
                _mapping(work, part, (TYPICALS, number), own)
            elif isinstance(part, str):
                _file(work, (TYPICALS, number), part, found)
            elif part is not None:
                work.wrong((TYPICALS, number), "a file of typicals, or typicals, stand here", "shared.yaml")
    elif written is not None:
        work.wrong((TYPICALS,), "typicals stand under their names", "typicals: {box-1: {mount: wall, height: 44 in}}")
    typicals = {**found, **own}
    for word in typicals:
        _begin_with_another(work, typicals, word)
    return typicals


def _begin_with_another(work: Work, typicals: Typicals, word: str, waiting: tuple[str, ...] = ()) -> None:
    """Give a typical what it lacks of the one it begins with."""
    typical = typicals[word]
    other = typical.facts.get(KEY)
    if other is None:
        return
    del typical.facts[KEY]
    here = (*typical.at, KEY)
    if not isinstance(other, str) or other not in typicals:
        said = f"there is no typical '{short(other)}'" if isinstance(other, str) else "a typical is named here"
        work.unknown(here, said, other, [one for one in typicals if one != word] or ["(no other is written yet)"])
        return
    if other in (*waiting, word):
        work.wrong(here, f"the typical '{short(word)}' begins with itself", "another one", "take it out")
        return
    _begin_with_another(work, typicals, other, (*waiting, word))
    for fact, value in typicals[other].facts.items():
        if fact not in typical.facts:
            typical.facts[fact] = value
            typical.written[fact] = typicals[other].place(fact)


def _file(work: Work, at: Path, file: str, found: Typicals) -> None:
    path = find(work, at, file, (".yaml", ".yml"))
    read = yaml_beside(work, path) if path is not None else None
    if read is None:
        return
    data, root = read
    inside = data.get(TYPICALS) if isinstance(data, dict) else None
    if not isinstance(inside, dict) or len(data) != 1:
        work.wrong(root, "a file of typicals holds typicals only", "typicals: {box-1: {mount: wall, height: 44 in}}")
        return
    _mapping(work, inside, (*root, TYPICALS), found)


def _mapping(work: Work, written: dict[str, Any], at: Path, into: Typicals) -> None:
    known = sorted({fact for name in classes() for fact in facts_of(name)} - {KEY})
    for word, facts in written.items():
        here = (*at, word)
        if facts is None:
            facts = {}
        if not isinstance(facts, dict):
            work.wrong(here, "a typical is a mapping of facts", "{mount: wall, height: 44 in}")
            continue
        if word in into:
            other = work.read.key_place(into[word].at)
            work.wrong(here, f"the typical '{short(word)}' stands twice; the other is at {other}", key=True)
            continue
        if isinstance(facts.get("known", KEY), str) and facts.get("known", KEY) not in HOW_KNOWN:
            said = f"'{short(facts['known'])}' is no way of knowing"
            work.unknown((*here, "known"), said, facts["known"], HOW_KNOWN)
        for fact in facts:
            if fact != KEY and fact not in known:
                work.unknown((*here, fact), f"'{short(fact)}' is a fact of nothing", fact, known, key=True)
        into[word] = Typical({fact: value for fact, value in facts.items() if value is not None}, here)
