"""A subject: one thing that rules are asked about, with its facts, whoever wrote or computed them.

A subject is an element of the site file, something derived from several (a wall space, the air of joined rooms),
or a stand-in made from the `given` of a rule's case. All three answer `fact(name)` the same way.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.values import MEASURED, Fact, Members, Range, Unknown
from oktocover.quantities import Quantity
from oktocover.site.base import spaced


class Subject:
    """One thing of one kind. `own` facts come first, then computed ones, then those of `base`."""

    __slots__ = ("kind", "id", "label", "path", "own", "base", "cache", "elements", "where")

    def __init__(
        self,
        kind: str,
        id: str,
        own: Mapping[str, Any] | None = None,
        *,
        label: str = "",
        path: tuple[str | int, ...] = (),
        base: Subject | None = None,
        elements: Iterable[str] = (),
        where: tuple[str, str, float] = ("", "", 0.0),
    ) -> None:
        self.kind = kind
        self.id = id
        self.label = label or id
        self.path = path
        self.own: dict[str, Any] = dict(own or {})
        self.base = base
        self.cache: dict[str, Fact] = {}
        self.elements: tuple[str, ...] = tuple(elements) or (base.elements if base is not None else (id,))
        self.where = where

    def __repr__(self) -> str:
        return f"<{self.kind} {self.id}>"

    def fact(self, name: str) -> Fact:
        """The fact `name` with its work; a dotted name follows relations. Not recorded is a Fact with an Unknown."""
        found = self.cache.get(name)
        if found is None:
            found = self.cache[name] = self._find(name)
        return found

    def value(self, name: str) -> Any:
        """The value of the fact `name`."""
        return self.fact(name).value

    def exact(self, name: str) -> Any:
        """The value if it is exact, else None; for builders that only go on with plain values."""
        value = self.fact(name).value
        return None if isinstance(value, (Unknown, Range)) else value

    def seen_as(self, kind: str, label: str, own: Mapping[str, Any] | None = None) -> Subject:
        """The same thing under the name of one question about it: its facts are those recorded of it, and `own`."""
        return Subject(kind, self.id, own, label=label, path=self.path, base=self, where=self.where)

    def lacks(self, name: str, found_by: str | None = None) -> Missing:
        """The entry to list when the fact `name` of this subject is missing."""
        from oktocover.measures.registry import fact_type

        about = fact_type(self.kind, name)
        return Missing(
            element=self.id,
            fact=spaced(name),
            kind=self.kind,
            path=(*self.path, spaced(name)),
            found_by=found_by or (about.found_by if about else "look"),
            means=about.means if about else "",
        )

    def _find(self, name: str) -> Fact:
        from oktocover.measures.registry import computed_fact

        if name in self.own:
            return as_fact(self.own[name], self, name)
        if "." in name:
            first, rest = name.split(".", 1)
            through = self.fact(first)
            if isinstance(through.value, Subject):
                inner = through.value.fact(rest)
                return Fact(inner.value, inner.steps, min(inner.known, through.known), inner.unit)
            return through if isinstance(through.value, Unknown) else Fact(Unknown((self.lacks(first),)))
        computed = computed_fact(self, name)
        if computed is not None:
            return computed
        if self.base is not None:
            return self.base.fact(name)
        return Fact(Unknown((self.lacks(name),)))


def as_fact(value: Any, subject: Subject, name: str, known: int = MEASURED) -> Fact:
    """Turn what a site file or a builder holds into a Fact: quantities to numbers or ranges, None to unknown."""
    if isinstance(value, Fact):
        return value
    if value is None:
        return Fact(Unknown((subject.lacks(name),)))
    if isinstance(value, Quantity):
        exact = value.exact
        if exact is not None:
            return Fact(exact, (), known, value.unit)
        return Fact(
            Range(value.low, value.high, value.low_open, value.high_open, (subject.lacks(name),)), (), known, value.unit
        )
    if isinstance(value, (list, tuple)):
        items = tuple(value)
        if all(isinstance(item, Subject) for item in items):
            return Fact(Members(items), (), known)
        return Fact(items, (), known)
    if isinstance(value, (bool, str, int, datetime.date, Subject, Members, Unknown, Range)) or hasattr(
        value, "numerator"
    ):
        return Fact(value, (), known)
    if isinstance(value, float):
        return Fact(value, (), known)
    raise TypeError(f"{subject.kind} {subject.id}: {name} has a value of type {type(value).__name__}")
