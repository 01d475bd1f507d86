"""What every short form needs: the data so far, where each fact was really written, and a way to say what is wrong."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, get_args

from oktocover.reading._field_faults import keys_at, lists, short
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.site.base import HOW_KNOWN, SAID_OF_ENTRY, Element, Reads, spaced
from oktocover.site.root import element_lists, site_model

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile

Path = tuple[str | int, ...]
NOT_FACTS = SAID_OF_ENTRY
"""Keys of an entry that are said of it, not facts of the thing."""


@dataclass(slots=True)
class Work:
    """One site being written out. `data` is changed; `read` learns where each written-out value comes from."""

    data: dict[str, Any]
    read: SiteFile
    problems: list[Problem]
    today: datetime.date = field(default_factory=datetime.date.today)

    def wrong(self, path: Path, message: str, expected: str = "", do: str = "", key: bool = False) -> None:
        """Say what is wrong at a value, or at its key."""
        place = self.read.key_place(path) if key else self.read.place(path)
        self.problems.append(Problem(place, message, expected, do))

    def unknown(self, path: Path, message: str, word: object, choices: Iterable[str], key: bool = False) -> None:
        """Say that a word is none of those that can stand there, with the nearest."""
        known = list(choices)
        near = nearest(str(word), known)
        self.wrong(path, message, "one of: " + ", ".join(known), f"did you mean '{near}'?" if near else "", key)

    def no_fact(self, path: Path, message: str, fact: str, name: str, allowed: Iterable[str]) -> None:
        """Say that a list has no such fact, with the place that asks for it where one does."""
        self.unknown(path, message + self._elsewhere(name, fact), fact, allowed, key=True)

    def _elsewhere(self, owner: str, word: str) -> str:
        found = self.read.elsewhere(owner, word) if self.read.elsewhere is not None else ""
        return f"; it is asked for by {found} only, which is not in force here" if found else ""

    def section(self, name: str) -> dict[str, Any] | None:
        """The entries of a list, made when there are none; None when something else stands there."""
        if self.data.get(name) is None:
            self.data[name] = {}
        found = self.data[name]
        return found if isinstance(found, dict) else None

    def entries(self) -> Iterator[tuple[str, str, dict[str, Any]]]:
        """(list, id, facts) of every entry that is a mapping."""
        for name in lists_in_order():
            section = self.data.get(name)
            for one, facts in section.items() if isinstance(section, dict) else ():
                if isinstance(facts, dict):
                    yield name, one, facts

    def add(self, name: str, one: str, facts: dict[str, Any], origin: Path) -> bool:
        """Put a new entry into a list; False, and said with both places, when the id is there already."""
        section = self.section(name)
        if section is None:
            return False
        if one in section:
            other = self.read.key_place((name, one))
            self.problems.append(
                Problem(
                    self.read.place(origin),
                    f"'{short(one)}' stands twice; the other is at {other}",
                    do="give one of them another id, or write its facts in one place",
                )
            )
            return False
        section[one] = facts
        self.read.origins[name, one] = origin
        return True

    def is_list(self, path: Path, name: object) -> bool:
        """Whether a text names a list of the site file; said when it does not."""
        if isinstance(name, str) and name in lists():
            return True
        said = f"there is no list '{short(name)}' in a site file" if isinstance(name, str) else "a list is named here"
        if isinstance(name, str):
            said += self._elsewhere("site", name)
        self.unknown(path, said, name, lists_in_order())
        return False


def lists_in_order() -> tuple[str, ...]:
    """The lists of a site file, in the order in which a person walks."""
    return tuple(classes())


def classes() -> dict[str, type[Element]]:
    """The class of the entries of each list."""
    return _classes(tuple(element_lists().items()))


@lru_cache(maxsize=64)
def _classes(found: tuple[tuple[str, type[Element]], ...]) -> dict[str, type[Element]]:
    return {spaced(name): made for name, made in found}


def facts_of(name: str) -> tuple[str, ...]:
    """The keys that may stand in an entry of a list."""
    return _facts_of(name, site_model())


@lru_cache(maxsize=1024)
def _facts_of(name: str, model: Any) -> tuple[str, ...]:
    return tuple(keys_at((name, ""), model))


def field_of(name: str, fact: str) -> Any:
    """The model field of a fact, or None."""
    fields = classes()[name].model_fields.items()
    return next((about for field_name, about in fields if (about.alias or spaced(field_name)) == fact), None)


def is_many(about: Any) -> bool:
    """Whether the value of a field is itself a list."""
    waiting = [about.annotation] if about is not None else []
    while waiting:
        part = waiting.pop()
        if getattr(part, "__origin__", part) is list:
            return True
        waiting.extend(get_args(part))
    return False


def is_day(about: Any) -> bool:
    """Whether the value of a field is a date or a moment."""
    marks = list(about.metadata) if about is not None else []
    waiting = [about.annotation] if about is not None else []
    while waiting:
        part = waiting.pop()
        marks.extend(getattr(part, "__metadata__", ()))
        waiting.extend(get_args(part))
    return any(isinstance(mark, Reads) and mark.name.startswith("a da") for mark in marks)


def weakest(*words: object) -> str:
    """The weakest of some ways of knowing; what is no way of knowing is left to the reader, which refuses it."""
    known = [str(word) for word in words if word in HOW_KNOWN]
    return min(known, key=HOW_KNOWN.index)


def value_of(written: Any) -> Any:
    """What a fact says, without how it is known."""
    return written.get("is") if isinstance(written, dict) and "is" in written else written


def how_known(work: Work, facts: dict[str, Any], fact: str) -> str:
    """How a fact of an entry is known, as the check will have it."""
    told = facts.get(fact)
    for word in (told.get("known") if isinstance(told, dict) else None, facts.get("known"), work.data.get("known")):
        if isinstance(word, str) and word in HOW_KNOWN:
            return word
    return "measured"
