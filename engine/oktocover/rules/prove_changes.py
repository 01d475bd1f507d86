"""The proof of what a place changes: each change and each adoption has a case that comes out differently without it.

A case says what is written of the site (`permit.applied`, `building.use`, ...); what of the place is in force follows
from that, as it does in a check. What is proposed or asleep is proven as though it were in force: else nobody could
see what it would do.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from oktocover.measures.subject import Subject
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems
from oktocover.rules import card_cases
from oktocover.rules import cases as case_form
from oktocover.rules.adopted import Adopted
from oktocover.rules.cases import Case
from oktocover.rules.layers import Layer
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.switches import ASLEEP, PROPOSED
from oktocover.rules.types import RuleError
from oktocover.site.declared import speaking

LATER = "later wins"


@dataclass(slots=True)
class Part:
    """One thing a place says, with its cases: a change, an adoption, its word on stacking, or a bound."""

    what: str
    cases: list[Case]
    with_it: Layer
    without: Layer
    own: bool = True
    """Whether the cases stand in the part itself, so that it has to come out as each of them says."""


@dataclass(slots=True)
class Told:
    """What the cases of a part came to."""

    what: str
    cases: int
    failed: list[str] = field(default_factory=list)
    not_proven: list[str] = field(default_factory=list)


def prove_place(library: Library, layer: Layer, others: list[Case]) -> Iterator[Told]:
    """Each part of a place or a job's standard, with it and without it. `others`: cases of the layer beside it."""
    chain = library.places_around(layer)
    found = list(parts(layer, others))
    whole = library.adopt_chain(tuple(chain), layer).rules.folded.problems
    if whole and not any(_wants_an_error(case) for part in found for case in part.cases):
        # one mistake in one change is told once, not by every case of every other change
        yield Told("(changes)", 0, [problem.text() for problem in whole])
        return
    for part in found:
        yield prove_part(library, chain, layer, part)


def _wants_an_error(case: Case) -> bool:
    return "error" in (case.data.get("verdict"), case.data.get("was"))


def parts(layer: Layer, others: list[Case]) -> Iterator[Part]:
    """All that a place says and has to prove."""
    for name, change in layer.changes.items():
        listed = cases_in(change.data.get("cases"), change.document, (*change.path, "cases"), layer.name)
        with_it = replace(layer, changes={**layer.changes, name: replace(change, data=in_force(change.data))})
        without = replace(layer, changes={key: one for key, one in layer.changes.items() if key != name})
        yield Part(f"change {name}", listed or others, with_it, without, bool(listed))
    for name, entry in layer.adopts.items():
        listed = cases_in(entry.get("cases"), layer.adopts_in[name], ("adopts", name, "cases"), layer.name)
        if not listed:
            continue  # which edition is in force is told by every case of the place
        # What the place changes in the book is no part of adopting it, and would miss it.
        bare = replace(layer, changes={})
        whole = {key: value for key, value in entry.items() if key not in ("only", "without")}
        below = {key: one for key, one in layer.adopts.items() if key != name}
        if len(whole) < len(entry):
            below[name] = whole
        with_it = replace(bare, adopts={**layer.adopts, name: in_force(entry)})
        yield Part(f"adopts {name}", listed, with_it, replace(bare, adopts=below))
    if layer.stacking_cases:
        document, listed_at = layer.stacking_cases
        listed = cases_in(listed_at, document, ("stacking", "cases"), layer.name)
        yield Part("stacking", listed, layer, replace(layer, stacking=LATER))
    if layer.reach is not None and layer.reach.get("cases"):
        listed = cases_in(layer.reach["cases"], layer.documents[0], ("reach", "cases"), layer.name)
        yield Part("reach", listed, layer, replace(layer, reach=None))
    for name, bound in layer.bounds.items():
        if bound.cases is not None and bound.document is not None:
            listed = cases_in(bound.cases, bound.document, ("bounds", name, "cases"), layer.name)
            without = replace(layer, bounds={key: one for key, one in layer.bounds.items() if key != name})
            yield Part(f"bound {name}", listed, layer, without)


def in_force(data: Mapping[str, Any]) -> dict[str, Any]:
    """A change or an adoption that is proposed or asleep, as though it had been passed or had woken."""
    made = dict(data)
    if made.get("status") == PROPOSED:
        del made["status"]
    if made.get("from") == ASLEEP:
        del made["from"]
        made.pop("wakes", None)
    return made


def cases_in(listed: Any, document: Document, path: tuple[str | int, ...], layer: str) -> list[Case]:
    """The cases that stand in a part itself."""
    return [
        Case(
            layer, str(data.get("rule", "")), str(data.get("note") or f"case {number}"), data, {}, document, (*path, at)
        )
        for number, (at, data) in enumerate(enumerate(listed if isinstance(listed, list) else []), start=1)
        if isinstance(data, dict)
    ]


def prove_part(library: Library, chain: list[Layer], layer: Layer, part: Part) -> Told:
    """The cases of one part with it and without it."""
    told = Told(part.what, len(part.cases))
    versions: dict[tuple[str, bool], Adopted] = {}
    wrong: set[tuple[bool, str]] = set()
    differences = 0
    for case in part.cases:
        said = []
        try:
            wanted = _wanted(case)
        except RuleError as error:
            told.failed.append(f"{case.place}: {error.message} ({error.do or error.expected})")
            continue
        for key, version in (("verdict", part.with_it), ("was", part.without)):
            here = str(case.data.get("place") or "")
            try:
                adopted = versions.get((here, version is part.with_it))
                if adopted is None:
                    adopted = versions[here, version is part.with_it] = _adopted(library, chain, layer, version, here)
                got = verdict(case, adopted)
            except RuleError as error:
                got = "none" if wanted[key] == "none" else _noted(told, case, error)
            except InputProblems as error:
                got = "error"
                if wanted[key] != "error" and (version is part.with_it, str(error)) not in wrong:
                    wrong.add((version is part.with_it, str(error)))
                    told.failed.append(f"{case.place}: {key}: {error}")
            said.append(got)
            if part.own and wanted[key] is not None and got not in (wanted[key], ""):
                label = "with the change" if key == "verdict" and card_cases.is_one(case.data) else key
                told.failed.append(f"{case.place}: {label}: {got}, the case says {wanted[key]}")
        differences += said[0] != said[1]
        case.made = None
    if not differences:
        told.not_proven.append(f"no case comes out differently without {_this(part.what)}")
    return told


def _wanted(case: Case) -> dict[str, Any]:
    """What a case says of the two versions."""
    if card_cases.is_one(case.data):
        now, was = card_cases.expected(case.data)
        return {"verdict": now, "was": was}
    return {key: case.data.get(key) for key in ("verdict", "was")}


def _this(what: str) -> str:
    return {"change": "this change", "adopts": "this line", "bound": "this bound"}.get(what.split(" ")[0], "it")


def _noted(told: Told, case: Case, error: RuleError) -> str:
    told.failed.append(f"{case.place}: {error.message}" + (f" ({error.do})" if error.do else ""))
    return ""


def _adopted(library: Library, chain: list[Layer], layer: Layer, version: Layer, below: str) -> Adopted:
    """The rules of a chain in which one layer stands in another version; `below`: of a place that lies in it."""
    places = library.places_around(library.place(below)) if below else chain
    layers = tuple(version if one.name == layer.name else one for one in places)
    return library.adopt_chain(layers, layers[-1])


def verdict(case: Case, adopted: Adopted) -> str:
    """What a case comes to in a place, for what is written in it; `not recorded` where the editions do not agree."""
    with speaking(adopted.rules.declared):
        found = adopted.for_site(roots_of(case, adopted.rules))
    said = {_in_variant(case, variant.rules) for variant in found.variants}
    return said.pop() if len(said) == 1 and not found.undecided else "not recorded"


def _in_variant(case: Case, rules: RuleSet) -> str:
    card = card_cases.is_one(case.data)
    rule = None if card else rules.rule(case.rule)
    wrong = [*rules.folded.problems, *rules.problems]
    if wrong:
        raise InputProblems(wrong)
    if card:
        return card_cases.outcome(case, rules)
    if rule is None:
        return "none"
    case.made = None
    wanted = str(case.data.get("item") or "")
    if wanted and wanted not in [node.name for node in rule.body.walk()]:
        return "none"
    said = []
    for version in (rule, *rule.twins):
        case.made = None
        said.append(case_form.run(case, version).verdict)
    return case_form.joined(said)


def roots_of(case: Case, rules: RuleSet) -> dict[str, Subject]:
    """The site, the building and the permit with what the case says of them."""
    rule = rules.rule(case.rule)
    each = rule.each if rule is not None else ""
    roots = {name: Subject(name, name) for name in ("site", "building", "permit")}
    for name, value in case.given.items():
        full = f"{each}.{name}" if each in roots and "." not in name else name
        if not isinstance(value, str) or value.strip() == case_form.NOT_RECORDED or case_form.follows(value):
            continue
        if full.partition(".")[0] in roots:
            case_form.give(roots["site"], full, value, "site", roots)
    return roots
