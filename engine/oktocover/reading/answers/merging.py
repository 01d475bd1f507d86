"""What the laying in of answers shares: whose answer it is, where it stands, what is wrong, what was said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.answers.file import Answer
from oktocover.reading.nodes import Document
from oktocover.reading.problems import Place, Problem
from oktocover.reading.short.work import Path, Work

TO_DO = {
    "cannot reach": "find another way to it, or ask the office how it will look at it",
    "not there": "take the entry out of the site, or look again",
    "looks wrong": "look at it again before the visit",
    "ask": "ask, and write the answer down",
}
"""What comes next, by what was said."""
MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Shifted:
    """A document whose paths begin with the mark of its file."""

    document: Document

    @property
    def lines(self) -> list[str]:
        return self.document.lines

    def place(self, path: Path) -> Place:
        return self.document.place(path[1:])

    def key_place(self, path: Path) -> Place:
        return self.document.key_place(path[1:])


@dataclass(slots=True)
class Given:
    """An answer that somebody gave, with where it stands."""

    answer: Answer
    by: str
    day: str
    at: Path

    @property
    def who(self) -> str:
        return f"{self.by}, {self.day}"


@dataclass(slots=True)
class Merge:
    """The work of laying answers into a site that is written out."""

    work: Work
    given: dict[Path, tuple[Given, Any]] = field(default_factory=dict)
    said: dict[str, list[tuple[Given, str]]] = field(default_factory=dict)
    """What was said beside a value or instead of one, in one file, by the word."""

    def wrong(self, one: Given, key: str, message: str, expected: str = "", do: str = "") -> None:
        self.work.problems.append(Problem(self.place(one, key), message, expected, do))

    def tell(self, one: Given, message: str, do: str = "") -> None:
        self.work.problems.append(Problem(self.place(one, "value"), message, do=do, warning=True))

    def unknown(self, one: Given, key: str, message: str, word: str, known: Iterable[str]) -> None:
        self.work.unknown((*one.at, key), message, word, known)

    def place(self, one: Given, key: str) -> Place:
        return self.work.read.place((*one.at, key))


def instead(merge: Merge, one: Given, key: Path, name: str) -> None:
    """Keep what was said beside a value or instead of one."""
    answer = one.answer
    if answer.said is not None:
        why = f": {answer.note}" if answer.note else ""
        merge.work.read.instead[key] = f"{answer.said} ({one.who}){why}"
        value = f" '{shown(answer.value)}'" if answer.value is not None else ""
        merge.said.setdefault(answer.said, []).append(
            (one, f"{name}{value}" + (f" ({answer.note})" if answer.note else ""))
        )


def tell_what_was_said(merge: Merge) -> None:
    """One warning a word, however many blanks it was said of."""
    for word, found in merge.said.items():
        first = found[0][0]
        names = list(dict.fromkeys(name for _, name in found))
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        merge.tell(first, f"{word} ({first.who}): {', '.join(names[:MOST_NAMED])}{more}", TO_DO[word])
    merge.said.clear()


def section_of(merge: Merge, name: str) -> dict[str, Any]:
    found = merge.work.data.get(name)
    return found if isinstance(found, dict) else {}


def plain(text: str) -> str:
    return " ".join(text.lower().split())


def shown(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else short(value)
