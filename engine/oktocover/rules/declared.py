"""Facts and kinds that layers declare (`facts:`, `kinds:`): read, checked against the model, and put together."""

from __future__ import annotations

import keyword
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, cast, get_args

from oktocover.measures import registry
from oktocover.quantities import NAMES, QuantityError, dimension
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.layers import Layer, Thing
from oktocover.site.base import SAID_OF_ENTRY, Element, FoundBy, spaced
from oktocover.site.declared import NOTHING, ROOTS, Declared, DeclaredFact, DeclaredForm, DeclaredKind
from oktocover.site.root import DescribedSystems, Site, element_lists, list_field

FACT_KEYS = ("type", "one of", "found by", "means", "note")
KIND_KEYS = ("plural", "system", "on wall", "means", "facts", "note")
PLAIN_FORMS: dict[str, DeclaredForm] = {
    "yes or no": "yes or no",
    "date": "date",
    "day": "date",
    "day and clock time": "moment",
    "text": "text",
}
OTHER_NAMES = {"count": "number", "percent": "share", "duration": "time", "weight": "mass"}
"""What a dimension is called beside its own name."""
TYPES = "yes or no, [one, of, these], count, share, date, text, a dimension (length, pressure, ...), or a kind of thing"
MADE_UP = (*SAID_OF_ENTRY, "typical", "kind", "plural", "system", "id")
"""Names that say something about an entry, not a fact of the thing."""
IN_EXPRESSIONS = ("min", "max", "ceil", "count", "total", "largest", "smallest", "every", "some", *ROOTS)
_NAME = re.compile(r"[a-z][a-z0-9_]*\Z")


@dataclass(slots=True)
class _Reading:
    """The declarations read so far, with the thing each stands in."""

    kinds: dict[str, tuple[DeclaredKind, Thing]] = field(default_factory=dict)
    facts: dict[tuple[str, str], tuple[DeclaredFact, Thing, tuple[str | int, ...]]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, thing: Thing, path: tuple[str | int, ...], message: str, expected: str = "", do: str = "") -> None:
        """Say what is wrong with a declaration."""
        self.problems.append(thing.problem(path, message, expected, do))

    def unknown(self, thing: Thing, path: tuple[str | int, ...], message: str, word: str, known: Iterable[str]) -> None:
        """Say that a word is none of those that can stand there, with the nearest."""
        choices = list(known)
        near = nearest(word, choices)
        self.wrong(
            thing, path, message, "one of: " + ", ".join(choices[:40]), f"did you mean '{near}'?" if near else ""
        )


def declared_in(things: Mapping[str, Mapping[str, Thing]]) -> tuple[Declared, list[Problem]]:
    """What some folded layers (or one alone) declare, and what is wrong with it."""
    if not things.get("facts") and not things.get("kinds"):
        return NOTHING, []
    reading = _Reading()
    for thing in things.get("kinds", {}).values():
        _kind(reading, str(thing.path[-1]), thing)
    for thing in things.get("kinds", {}).values():
        own = thing.data.get("facts") if isinstance(thing.data, dict) else None
        for name, data in (own if isinstance(own, dict) else {}).items():
            _fact(reading, str(thing.path[-1]), name, data, thing, ("facts", name))
    for thing in things.get("facts", {}).values():
        kind, dot, name = str(thing.path[-1]).partition(".")
        if not dot or not name:
            reading.wrong(thing, (), f"'{kind}' names no kind of thing", "gas_system.out_of_snow, site.elevation")
            continue
        _fact(reading, kind.strip().replace(" ", "_"), name, thing.data, thing, ())
    facts = tuple(fact for fact, _, _ in reading.facts.values())
    return Declared(facts, tuple(kind for kind, _ in reading.kinds.values())), reading.problems


def _mapping(reading: _Reading, what: str, data: Any, keys: tuple[str, ...], thing: Thing, at: Any) -> bool:
    if not isinstance(data, dict):
        reading.wrong(thing, at, f"{what} is a mapping", "{type: length, found by: tape, means: what it is}")
        return False
    for key in data:
        if key not in keys:
            reading.unknown(thing, (*at, key), f"'{key}' is not said of {what}", key, keys)
    return True


def _named_well(reading: _Reading, name: str, what: str, thing: Thing, at: Any) -> bool:
    if _NAME.match(name) and not keyword.iskeyword(name) and not hasattr(Element, name):
        return True
    reading.wrong(
        thing, at, f"'{name}' cannot be the name of a {what}", "small letters, words joined by _: out_of_snow"
    )
    return False


def _kind(reading: _Reading, name: str, thing: Thing) -> None:
    what = f"the kind '{name}'"
    if not _named_well(reading, name, "kind", thing, ()) or not _mapping(
        reading, what, thing.data, KIND_KEYS, thing, ()
    ):
        return
    data = thing.data
    plural = " ".join(str(data.get("plural") or "").split())
    system = str(data["system"]).strip() if data.get("system") else None
    if not plural or not data.get("means"):
        reading.wrong(thing, (), f"{what} says how several are called and what it is", "plural: dwv tests, means: ...")
        return
    systems = [spaced(one) for one in DescribedSystems.model_fields]
    if system is not None and system not in systems:
        reading.unknown(thing, ("system",), f"there is no system '{system}' under described", system, systems)
        return
    made = DeclaredKind(name, plural, str(data["means"]), system, str(data.get("on wall", "no")) == "yes", thing.layer)
    if name in registry.KINDS:
        reading.wrong(
            thing, (), f"'{name}' is a kind of thing already", do="declare facts of it: facts: {" + name + ".…}"
        )
        return
    if list_field(plural) in Site.model_fields or not _NAME.match(list_field(plural)):
        known = element_lists(Site).get(list_field(plural))
        taken = f"is the list of {known.plural}" if known else "is a key of the site file"
        reading.wrong(
            thing, ("plural",), f"'{plural}' cannot be the list of {what}: it {taken} already", "another word"
        )
        return
    for other, elsewhere in reading.kinds.values():
        same_name = other.name == made.name
        if (same_name and other.same_as != made.same_as) or (not same_name and other.plural == made.plural):
            said = f"declares '{name}' otherwise" if same_name else f"has '{plural}' as the list of '{other.name}'"
            place = elsewhere.document.place(elsewhere.path)
            reading.wrong(thing, (), f"{other.layer} {said}; that stands at {place}", do="one declaration for both")
            return
    reading.kinds.setdefault(name, (made, thing))


def _fact(reading: _Reading, kind: str, name: str, data: Any, thing: Thing, at: tuple[str | int, ...]) -> None:
    name = name.strip().replace(" ", "_")
    what = f"the fact '{kind}.{name}'"
    known = registry.KINDS.get(kind)
    writable = {*ROOTS, *(made.kind for made in element_lists(Site).values()), *reading.kinds}
    if kind not in writable:
        if known is not None:
            message = f"a {known.title} is worked out and stands in no site file: nobody could write {what}"
            reading.wrong(thing, at, message, "a fact of what it is made from")
        else:
            reading.unknown(thing, at, f"there is no kind of thing called '{kind}'", kind, sorted(writable))
        return
    if not _named_well(reading, name, "fact", thing, at) or not _mapping(reading, what, data, FACT_KEYS, thing, at):
        return
    if name in MADE_UP or name in IN_EXPRESSIONS:
        reading.wrong(thing, at, f"'{name}' means something else wherever facts stand", "another word")
        return
    if known is not None and name in known.facts or (kind == "site" and _top_level(reading, name)):
        means = known.facts[name].means if known is not None and name in known.facts else "a key of the site file"
        reading.wrong(thing, at, f"the model has {what} already: {means}", do="use it as it is, or choose another name")
        return
    made = _made(reading, kind, name, data, thing, at)
    if made is None:
        return
    before = reading.facts.get((kind, name))
    if before is not None and before[0].same_as != made.same_as:
        place = before[1].document.place((*before[1].path, *before[2]))
        message = f"{before[0].layer} declares {what} otherwise; that stands at {place}"
        reading.wrong(thing, at, message, do="one declaration for both, or another name")
        return
    reading.facts.setdefault((kind, name), (made, thing, at))


def _top_level(reading: _Reading, name: str) -> bool:
    lists = {list_field(kind.plural) for kind, _ in reading.kinds.values()}
    return name in Site.model_fields or name in lists


def _made(
    reading: _Reading, kind: str, name: str, data: dict[str, Any], thing: Thing, at: tuple[str | int, ...]
) -> DeclaredFact | None:
    means, by = str(data.get("means") or "").strip(), str(data.get("found by") or "look").strip()
    if not means:
        reading.wrong(
            thing, at, f"the fact '{kind}.{name}' does not say what it means", "means: what a person looks for"
        )
        return None
    if by not in get_args(FoundBy):
        reading.unknown(thing, (*at, "found by"), f"'{by}' is no way of finding out", by, get_args(FoundBy))
        return None
    said = data.get("one of", data.get("type"))
    if said is None:
        reading.wrong(thing, at, f"the fact '{kind}.{name}' has no type", f"type: {TYPES}")
        return None
    key = (*at, "one of" if "one of" in data else "type")
    form = _form(reading, said, thing, key)
    if form is None:
        return None
    return DeclaredFact(kind, name, means=means, found_by=cast("FoundBy", by), layer=thing.layer, **form)


def _form(reading: _Reading, said: Any, thing: Thing, at: tuple[str | int, ...]) -> dict[str, Any] | None:
    if isinstance(said, str) and said.strip().startswith("one of"):
        said = said.strip().removeprefix("one of").strip(" []").split(",")
    if isinstance(said, list):
        words = tuple(str(word).strip() for word in said)
        if len(set(words)) < 2 or len(set(words)) != len(words) or not all(words):
            reading.wrong(thing, at, "a word is one of two or more different ones", "[water, air]")
            return None
        return {"form": "word", "words": words}
    if not isinstance(said, str):
        reading.wrong(thing, at, "a type is a word or a list of words", TYPES)
        return None
    text = " ".join(said.split())
    plain, none = (text.removesuffix(" or none"), ("none",)) if text.endswith(" or none") else (text, ())
    if plain in PLAIN_FORMS and not none:
        return {"form": PLAIN_FORMS[plain]}
    kind = plain.removeprefix("a ").removeprefix("an ").replace(" ", "_")
    if kind in reading.kinds or any(kind == made.kind for made in element_lists(Site).values()):
        return {"form": "one", "to": kind}
    try:
        return {"form": "quantity", "dimension": dimension(OTHER_NAMES.get(plain, plain)).name, "words": none}
    except QuantityError:
        choices = [*PLAIN_FORMS, *OTHER_NAMES, *NAMES]
        near = nearest(plain, choices)
        reading.wrong(thing, at, f"'{text}' is no type of fact", TYPES, f"did you mean '{near}'?" if near else "")
        return None


def declared_by(layers: Iterable[Layer]) -> Declared:
    """What some layers declare together, each as its own file says it. InputProblems when it cannot stand."""
    things: dict[str, dict[str, Thing]] = {"kinds": {}, "facts": {}}
    for layer in layers:
        for section, found in things.items():
            found.update({f"{layer.prefix}.{name}": thing for name, thing in layer.things[section].items()})
    declared, wrong = declared_in(things)
    if wrong:
        raise InputProblems(wrong)
    return declared
