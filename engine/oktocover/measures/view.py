"""The site as subjects: every element with its facts, its relations both ways, and which lists are whole."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache, cached_property
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures import registry
from oktocover.measures.registry import FactType
from oktocover.measures.subject import Subject, as_fact
from oktocover.measures.values import MEASURED, Fact, Members, Unknown
from oktocover.site.base import (
    HOW_KNOWN,
    SAID_OF_ENTRY,
    Amount,
    Element,
    Node,
    Reads,
    RefTo,
    WallName,
    spaced,
    words_of,
)
from oktocover.site.building import Building, TradePermit
from oktocover.site.declared import speaking
from oktocover.site.plan import Plan
from oktocover.site.root import Site, element_lists
from oktocover.site.wiring_whole import lists_closed

Path = tuple[str | int, ...]

TRADE_PERMIT = "trade_permit"
TRADE_PERMITS = ("electrical", "plumbing", "mechanical", "gas")
"""Permits that may have days of their own."""
EVERYWHERE = "*"
"""The place of a statement that names none: the whole building."""


class SiteView:
    """One site, ready to be asked. Subjects are made once and shared, so that facts are computed once."""

    def __init__(self, site: Site, known: Mapping[Path, str] | None = None) -> None:
        self.site = site
        self.declared = type(site).declared
        self.known = known or {}
        with speaking(self.declared):
            self._build()

    def _build(self) -> None:
        site = self.site
        self.elements: dict[str, Subject] = {}
        self.models: dict[str, Element] = {}
        self._standing: dict[str, dict[str, list[str]]] = {}
        self.by_kind: dict[str, tuple[Subject, ...]] = {}
        self._build_elements()
        for give in registry.FROM_VIEW:
            give(self)
        self.roots = {
            "permit": self._permit(),
            "building": self._building(),
            "site": self._node("site", site, ()),
        }
        self.by_kind |= {name: (subject,) for name, subject in self.roots.items()}
        for field, element_class in element_lists().items():
            closes = self.whole(spaced(field))
            members = Members(self.by_kind[element_class.kind], closes is not None, (closes,) if closes else ())
            self.roots["site"].own[field] = members
        self._relate()

    @cached_property
    def plan(self) -> Plan:
        """The plan of the site, drawn once."""
        return Plan(self.site)

    def of(self, kind: str) -> tuple[Subject, ...]:
        """All subjects of a kind, recorded or derived, in the order of the site file."""
        found = self.by_kind.get(kind)
        if found is None:
            spec = registry.KINDS.get(kind)
            with speaking(self.declared):
                found = tuple(spec.build(self)) if spec and spec.build else ()
            self.by_kind[kind] = found
        return found

    def described(self, system: str) -> str | None:
        """yes, none, not sure, or None when nobody has said."""
        value = getattr(self.site.described, system.replace(" ", "_"), None)
        return value if isinstance(value, str) else None

    def whole(self, list_name: str, *within: str) -> Missing | None:
        """None when somebody said the list is whole (for the building, or for one of `within`); else what is missing."""
        closed = self._closed.get(list_name, set())
        if EVERYWHERE in closed or not closed.isdisjoint(within):
            return None
        place = f" of {within[0]}" if within else ""
        return Missing(
            element=within[0] if within else "site",
            fact=f"whole list of {list_name}",
            kind="list",
            found_by="look",
            means=f"walk{' the room' if within else ''} with the list of {list_name}{place} and write that it is whole",
            path=("looked",),
        )

    @cached_property
    def _closed(self) -> dict[str, set[str]]:
        """By list: the rooms, walls and elements it was said to be whole in."""
        found: dict[str, set[str]] = {}
        for said in self.site.looked:
            if said.whole and not self.lapsed(said):
                places = [said.in_] if isinstance(said.in_, str) else said.in_
                found.setdefault(said.list_, set()).update([EVERYWHERE] if places is None else places)
        for name, circuits in self._whole_circuits.items():
            found.setdefault(name, set()).update(circuits)
        return found

    @cached_property
    def _whole_circuits(self) -> dict[str, set[str]]:
        """By list: the circuits of which it is whole, by their chains."""
        return lists_closed(self.site)

    def lapsed(self, said: Any) -> bool:
        """Whether the count of a statement no longer fits its list."""
        if said.count is None or said.count.exact is None:
            return False
        return bool(len(self.listed(said)) != said.count.exact)

    def listed(self, said: Any) -> list[str]:
        """Ids a statement about a list speaks of."""
        members: Mapping[str, Any] = getattr(self.site, said.list_.replace(" ", "_"), {})
        places = [said.in_] if isinstance(said.in_, str) else said.in_
        if places is None:
            return list(members)
        if said.list_ not in self._standing:
            self._standing[said.list_] = _standing(members)
        standing = self._standing[said.list_]
        return list(dict.fromkeys(name for place in places for name in standing.get(place, ())))

    def how(self, path: Path, model: Element | None) -> int:
        """How the fact at `path` is known: said by the fact, its entry, or the site; else measured."""
        word = self.known.get(path) or (model.known if model is not None else None) or self.site.known or "measured"
        return HOW_KNOWN.index(word)

    def _build_elements(self) -> None:
        for field, element_class in element_lists().items():
            made = []
            for name, model in getattr(self.site, field).items():
                path = (spaced(field), name)
                subject = Subject(element_class.kind, name, path=path, where=_where(model))
                self.elements[name] = subject
                self.models[name] = model
                made.append(subject)
            self.by_kind[element_class.kind] = tuple(made)
        for name, subject in self.elements.items():
            self._fill(subject, self.models[name])

    def _fill(self, subject: Subject, model: Node) -> None:
        element = model if isinstance(model, Element) else None
        for name, key, refers in _fields(type(model)):
            value = getattr(model, name)
            if value is not None:
                known = self.how((*subject.path, key), element)
                subject.own[name] = self._fact(value, refers, subject, name, known)

    def _fact(self, value: Any, refers: bool, subject: Subject, name: str, known: int) -> Any:
        if refers:
            if isinstance(value, str):
                target = self.elements.get(value)
                return Fact(target, (), known) if target else Fact(Unknown((subject.lacks(name),)))
            targets = tuple(self.elements[item] for item in value if item in self.elements)
            return Fact(Members(targets), (), known)
        if isinstance(value, (Node, dict)) or (isinstance(value, list) and any(isinstance(v, Node) for v in value)):
            return Fact(value, (), known)
        return as_fact(value, subject, name, known)

    def _node(self, kind: str, model: Node, path: Path) -> Subject:
        subject = Subject(kind, kind, path=path)
        declared = {fact.name for fact in self.declared.by_kind.get(kind, ())}
        for name in registry.kinds()[kind].facts:
            value = getattr(model, name, None)
            if value is not None and not isinstance(value, (Node, dict)):
                known = self.how((*path, spaced(name)), None) if name in declared else MEASURED
                subject.own[name] = as_fact(value, subject, name, known)
        return subject

    def _building(self) -> Subject:
        """The building: its use is the permit's; what else a place asks of it stands under `building:`."""
        subject = self._node("building", self.site.building, ("building",))
        subject.own["use"] = self.site.permit.occupancy or Unknown((_occupancy(subject),))
        return subject

    def _permit(self) -> Subject:
        """The permit. What a trade's own permit does not say is as the building permit says it."""
        permit = self.site.permit
        subject = self._node("permit", permit, ("permit",))
        subject.own |= {f"choices.{name}": value for name, value in permit.choices.items()}
        for trade in TRADE_PERMITS:
            own = getattr(permit, trade)
            path = ("permit", trade) if own is not None else ("permit",)
            facts = {name: value for name, value in own if value is not None} if own is not None else {}
            subject.own[trade] = Subject(TRADE_PERMIT, f"{trade} permit", facts, path=path, base=subject)
        return subject

    def _relate(self) -> None:
        """Lists that follow from references: the receptacles of a circuit are those that name it."""
        for back in registry.INVERSES:
            owners: dict[str, list[Subject]] = {}
            loose: list[Missing] = []
            for member in self.of(back.member):
                owner = member.fact(back.via).value
                if isinstance(owner, Unknown) and not (back.elsewhere is not None and back.elsewhere(member)):
                    loose.extend(owner.missing)
                targets = owner.sure if isinstance(owner, Members) else (owner,)
                for target in targets:
                    if isinstance(target, Subject):
                        owners.setdefault(target.id, []).append(member)
            for subject in self.of(back.kind):
                closes = self.whole(back.list_name, subject.id)
                missing = tuple(dict.fromkeys([*loose, *([closes] if closes else [])]))
                if back.kind == "circuit" and subject.id in self._whole_circuits.get(back.list_name, ()):
                    missing = ()  # what is whole by its chain has no room for an outlet that names no circuit
                subject.own[back.name] = Members(tuple(owners.get(subject.id, ())), bool(missing), missing)

    def __iter__(self) -> Iterator[Subject]:
        return iter(self.elements.values())


@cache
def _fields(model: type[Node]) -> tuple[tuple[str, str, bool], ...]:
    """The fields of a model that are facts: name, key in the site file, and whether it refers to other elements."""
    return tuple(
        (name, field.alias or spaced(name), any(isinstance(mark, RefTo) for mark in _marks(field)))
        for name, field in model.model_fields.items()
        if name not in SAID_OF_ENTRY
    )


def _marks(field: Any) -> Iterable[Any]:
    """The marks in a field's type, through `| None` and lists."""
    yield from field.metadata
    waiting = [field.annotation]
    while waiting:
        part = waiting.pop()
        yield from getattr(part, "__metadata__", ())
        waiting.extend(typing.get_args(part))


def _where(model: Any) -> tuple[str, str, float]:
    wall = getattr(model, "wall", None)
    at = getattr(model, "at", None)
    along = float(at.low) if at is not None and getattr(at, "low", None) is not None else 0.0
    if isinstance(wall, str) and "." in wall:
        room, _, side = wall.partition(".")
        return room, side, along
    return (getattr(model, "space", None) or "", "", along)


def _standing(members: Mapping[str, Any]) -> dict[str, list[str]]:
    """The ids of a list by every place they stand in: their wall, and its room or their own."""
    found: dict[str, list[str]] = {}
    for name, item in members.items():
        wall = getattr(item, "wall", None) or ""
        for place in dict.fromkeys((wall, wall.partition(".")[0], getattr(item, "space", None) or "")):
            found.setdefault(place, []).append(name)
    return found


def _occupancy(building: Subject) -> Missing:
    """What is missing while nobody wrote what the building is used as: it stands under `permit:`."""
    return replace(building.lacks("use"), path=("permit", "occupancy"))


def fact_type_of(field: Any) -> FactType | None:
    """The static type of a model field, or None when rules cannot read it."""
    about = field.description or ""
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    by = str(extra.get("found by", "look"))
    words = words_of(field.annotation) or ()
    many = any(
        getattr(part, "__origin__", None) is list for part in (field.annotation, *typing.get_args(field.annotation))
    )
    for mark in _marks(field):
        if isinstance(mark, Amount):
            return FactType("quantity", mark.dimension, words, means=about, found_by=by)
        if isinstance(mark, RefTo):
            return FactType("many" if many else "one", kind=mark.kinds[0], means=about, found_by=by)
        if isinstance(mark, WallName):
            return FactType("text", means=about, found_by=by)
        if isinstance(mark, Reads):
            form = {"yes or no": "yes or no", "a date": "date", "a day and a clock time": "moment"}.get(
                mark.name, "word"
            )
            return FactType(form, words=words, means=about, found_by=by)  # type: ignore[arg-type]
    if words:
        return FactType("word", words=words, means=about, found_by=by)
    if field.annotation in (str, str | None):
        return FactType("text", means=about, found_by=by)
    return None


def register_models() -> None:
    """Tell the registry the kinds and facts that the site model itself has."""
    for element_class in element_lists().values():
        _register(element_class.kind, element_class, element_class.system)
    _register("permit", Site.model_fields["permit"].annotation, None)
    _register("site", Site, None)
    for field, element_class in element_lists(Site).items():
        registry.kind("site").facts[field] = FactType(
            "many", kind=element_class.kind, means=f"all {spaced(field)} of the site", computed=True
        )
    _register("building", Building, None)
    _register(TRADE_PERMIT, TradePermit, None)
    for trade in TRADE_PERMITS:
        registry.kind("permit").facts[trade] = FactType("one", kind=TRADE_PERMIT)
    registry.kind("permit").facts["today"] = FactType("date", means="day of the check", found_by="paper", computed=True)
    registry.kind("building").facts["use"] = registry.fact_type("permit", "occupancy") or FactType("word")


def _register(name: str, model: Any, system: str | None) -> None:
    into = registry.kind(name, system)
    for field_name, field in model.model_fields.items():
        if field_name in SAID_OF_ENTRY:
            continue
        found = fact_type_of(field)
        if found is not None and field_name not in into.facts:
            into.facts[field_name] = found


register_models()
