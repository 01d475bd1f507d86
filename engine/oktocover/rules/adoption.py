"""What a chain of places adopts, and what of it is in force: editions by day, by use, by the applicant's choice.

A switchboard gathers the `adopts` entries and the changes of a place, of the places it lies in, and of the job's own
standards. For what is written of a site it says what is in force; where a fact that decides is not written, it says
which facts those are and every outcome they can have.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.registry import fact_type
from oktocover.measures.subject import Subject
from oktocover.measures.values import Unknown
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.rules import sections
from oktocover.rules.layers import Change, Layer, Says
from oktocover.rules.outcomes import Outcome, Reading, days, windows
from oktocover.rules.sections import Pick
from oktocover.rules.switches import (
    CHOICES,
    Roots,
    Switch,
    Values,
    fact_value,
    missing_fact,
    read_switch,
    tried_values,
)

MOST_OPEN = 4
"""Open facts whose outcomes are all tried; with more, nothing is judged until one of them is written."""
MOST_TRIED = 4_000
WHOLE = ""
"""Instead of the name of a change: all that a place says, where it does not reach."""
NOBODY = {root: Subject(root, root, path=() if root == "site" else (root,)) for root in ("site", "building", "permit")}
"""A site of which nothing is written."""


@dataclass(slots=True)
class Entry:
    """One line under `adopts`: a book edition, and when it is in force."""

    name: str
    book: str
    layer: Layer
    says: Says
    switches: tuple[Switch, ...]
    choice: str = ""
    """The full name of the fact by which the applicant chooses."""
    chosen: str = ""
    """The value of that fact that means this entry."""
    only: Pick | None = None
    without: Pick | None = None
    part: str = ""
    """The part of the edition that is adopted, in words; empty: all of it."""

    @property
    def parted(self) -> bool:
        """Whether only a part of the edition is adopted."""
        return self.only is not None or self.without is not None

    def takes(self, numbers: Sequence[str], trade: str) -> bool:
        """Whether a rule that stands, or stood, under these section numbers is adopted by it."""
        inside = self.only is None or any(self.only.holds(number, trade) for number in numbers)
        return inside and not (self.without and any(self.without.holds(number, trade) for number in numbers))


class Switchboard:
    """The adoptions and changes of a chain of layers, outermost place first, the job's standards last."""

    def __init__(self, chain: Sequence[Layer]) -> None:
        self.chain = chain
        self.problems: list[Problem] = []
        self.entries: dict[str, Entry] = {}
        self._of_place: dict[tuple[str, str], Entry] = {}
        self.changes: list[tuple[Change, Switch, str]] = []
        self.reaches: dict[str, Switch] = {}
        """By place: for which sites it speaks at all."""
        for number, layer in enumerate(chain):
            if layer.reach is not None:
                self.reaches[layer.name] = read_switch(layer.reach, layer.reach_says, self.problems)
            own = {name: entry for name in layer.adopts if (entry := self._entry(name, layer, chain[:number]))}
            self.entries.update(own)
            self._of_place.update({(layer.name, name): entry for name, entry in self.entries.items()})
        for layer in chain:
            for change in layer.changes.values():
                self._change(change)

    def _entry(self, name: str, layer: Layer, above: Sequence[Layer]) -> Entry | None:
        data, says = layer.adopts[name], layer.adoption_says(name)
        switch = read_switch(data, says, self.problems)
        book = " ".join(str(data.get("book") or "").split())
        reach = self.reaches.get(layer.name)
        made = Entry(name, book, layer, says, (switch, reach) if reach is not None else (switch,))
        if reach is not None and name in self.entries:
            message = f"'{name}' is adopted by a place above, whose word holds where this one does not reach"
            self.problems.append(says((), message, "another name for it", ""))
        of = data.get("as")
        if of is not None and not self._as(made, str(of), above):
            return None
        choice = data.get("choice")
        if choice is not None:
            root, _, fact = str(choice).strip().partition(".")
            if root != "permit" or not fact:
                message = f"'{choice}' is no choice of an applicant"
                self.problems.append(
                    says(("choice",), message, "choice: permit.wiring", "a name under permit, choices:")
                )
            made.choice = f"permit.{fact}" if fact_type("permit", fact) is not None else CHOICES + fact
            made.chosen = str(data.get("chosen") or made.book).strip()
        elif data.get("chosen") is not None:
            self.problems.append(says(("chosen",), "nothing is chosen here", "choice: permit.wiring", ""))
        for key in ("only", "without"):
            if data.get(key) is not None:
                pick = sections.pick(str(data[key]))
                made.part = ", ".join(part for part in (made.part, f"{key} {data[key]}") if part)
                setattr(made, key, pick)
                if pick is None:
                    message = f"'{data[key]}' picks no part of a book"
                    expected = f"{key}: sections 210.8, 210.52 to 210.60 (or: trade electrical)"
                    self.problems.append(says((key,), message, expected, ""))
        return made

    def _as(self, made: Entry, place: str, above: Sequence[Layer]) -> bool:
        """Take an entry as a place above has it: its edition, days, conditions, and what it leaves out."""
        names = [layer.name for layer in above]
        if place not in names:
            near = nearest(place, names)
            expected = "one of: " + ", ".join(names) if names else "a place this one lies in (in: ...)"
            do = f"did you mean '{near}'?" if near else "in: names the place it lies in"
            self.problems.append(made.says(("as",), f"'{place}' is no place above this one", expected, do))
            return False
        same = self._of_place.get((place, made.name))
        if same is None:
            do = "one of: " + ", ".join(name for layer, name in self._of_place if layer == place)
            self.problems.append(made.says(("as",), f"'{place}' adopts nothing called '{made.name}'", do, ""))
            return False
        made.book, made.switches = same.book, (*same.switches, *made.switches)
        made.choice, made.chosen = same.choice, same.chosen
        made.only, made.without, made.part = same.only, same.without, same.part
        return True

    def _change(self, change: Change) -> None:
        switch = read_switch(change.data, change.problem, self.problems)
        with_ = str(change.data.get("with") or "").strip()
        if with_ and with_ not in self.entries:
            near = nearest(with_, self.entries)
            expected = "one of: " + ", ".join(self.entries) if self.entries else "a line under adopts:"
            do = f"did you mean '{near}'?" if near else ""
            self.problems.append(change.problem(("with",), f"nothing is adopted as '{with_}'", expected, do))
        if not switch.always or with_:
            self.changes.append((change, switch, with_))

    @property
    def fixed(self) -> bool:
        """Whether one and the same is in force for every site."""
        return (
            not self.changes
            and not self.reaches
            and all(one.always for entry in self.entries.values() for one in entry.switches)
            and (not any(entry.choice for entry in self.entries.values()))
        )

    def switches(self) -> list[Switch]:
        """Every switch of it."""
        found = [one for entry in self.entries.values() for one in entry.switches]
        return found + [switch for _, switch, _ in self.changes] + [*self.reaches.values()]

    def outcome(self, roots: Roots, values: Values) -> Outcome | None:
        """What is in force when all that matters is written or tried; None when it is not, or cannot be."""
        live: dict[str, Entry] = {}
        for name, entry in self.entries.items():
            holds = [switch.holds(roots, values) for switch in entry.switches]
            if any(isinstance(one, Unknown) for one in holds) and False not in holds:
                return None
            if all(one is True for one in holds):
                live[name] = entry
        for choice, words in self._choices(live.values()).items():
            value = fact_value(choice, roots, values)
            if len(words) > 1:
                if value not in words:
                    return None
                live = {n: e for n, e in live.items() if e.choice != choice or e.chosen == value}
        idle = set()
        for place, switch in self.reaches.items():
            spoken = switch.holds(roots, values)
            if isinstance(spoken, Unknown):
                return None
            if spoken is not True:
                idle.add((place, WHOLE))
        for change, switch, with_ in self.changes:
            if with_ and with_ not in live:
                idle.add((change.layer, change.name))
                continue
            holds_now = switch.holds(roots, values)
            if isinstance(holds_now, Unknown):
                return None
            if holds_now is not True:
                idle.add((change.layer, change.name))
        return Outcome(tuple(live), frozenset(idle))

    def _choices(self, entries: Any) -> dict[str, list[str]]:
        """For each choice, the values that some entries stand for."""
        found: dict[str, list[str]] = {}
        for entry in entries:
            if entry.choice and entry.chosen not in found.setdefault(entry.choice, []):
                found[entry.choice].append(entry.chosen)
        return found

    def open_facts(self, roots: Roots) -> list[str]:
        """The facts nobody wrote that decide what is in force, in the order of the places."""
        found: dict[str, None] = {}
        maybe = []
        for entry in self.entries.values():
            holds = [switch.holds(roots, {}) for switch in entry.switches]
            if False in holds:
                continue
            maybe.append(entry)
            for switch in entry.switches:
                found.update(dict.fromkeys(switch.open_facts(roots, {})))
        for choice, words in self._choices(maybe).items():
            if len(words) > 1 and isinstance(fact_value(choice, roots, {}), Unknown):
                found[choice] = None
        names = {entry.name for entry in maybe}
        for switch in self.reaches.values():
            found.update(dict.fromkeys(switch.open_facts(roots, {})))
        for _, switch, with_ in self.changes:
            if not with_ or with_ in names:
                found.update(dict.fromkeys(switch.open_facts(roots, {})))
        return list(found)

    def read(self, roots: Roots) -> Reading:
        """What is in force for a site of which these facts are written."""
        names = self.open_facts(roots)
        # The latest days first, so that the first outcome is what is in force now.
        tried = {name: list(reversed(self._tried(name, roots))) for name in names[:MOST_OPEN]}
        tried = {name: values for name, values in tried.items() if values}
        by_outcome: dict[Outcome, list[Values]] = {}
        for values in self._combinations(tried):
            outcome = self.outcome(roots, values)
            if outcome is not None:
                by_outcome.setdefault(outcome, []).append(values)
        made = Reading(list(by_outcome), list(by_outcome.values()), undecided=len(tried) < len(names))
        if len(by_outcome) > 1 or made.undecided:
            made.missing = {name: self._missing(name, roots) for name in names}
        if not by_outcome:
            made.outcomes, made.tried = [self._some(roots)], [[{}]]
        made.wrong = list(self._wrong(roots))
        return made

    def _combinations(self, tried: Mapping[str, list[Any]]) -> Iterator[Values]:
        for number, values in enumerate(product(*tried.values())):
            if number > MOST_TRIED:
                return
            yield dict(zip(tried, values, strict=True))

    def _some(self, roots: Roots) -> Outcome:
        """The outcome that stands for all where too much is open: the latest days, the last choices."""
        names = self.open_facts(roots)
        values = {name: tried[-1] for name in names if (tried := self._tried(name, roots))}
        return self.outcome(roots, values) or Outcome(tuple(self.entries))

    def latest(self) -> Outcome:
        """What is in force for a site of which nothing is written, as of the latest day any entry speaks of."""
        return Outcome(tuple(self.entries)) if self.fixed else self._some(NOBODY)

    def _tried(self, name: str, roots: Roots) -> list[Any]:
        words = self._choices(self.entries.values()).get(name)
        return list(words) if words else tried_values(name, self.switches(), roots)

    def _missing(self, name: str, roots: Roots) -> Missing:
        if not name.startswith(CHOICES):
            return missing_fact(name, roots)
        what = name.removeprefix(CHOICES)
        words = self._choices(self.entries.values()).get(name, [])
        return Missing(
            "permit",
            f"choice of {what}",
            "paper",
            kind="permit",
            means=f"which of them the applicant chose: {', '.join(words)}",
            path=("permit", "choices", what),
        )

    def _wrong(self, roots: Roots) -> Iterator[tuple[tuple[str | int, ...], str, str, str]]:
        """Choices of the site that this place does not leave, or not on its days."""
        for choice, words in self._choices(self.entries.values()).items():
            value = fact_value(choice, roots, {})
            if not isinstance(value, str):
                continue
            path = ("permit", *choice.removeprefix("permit.").split("."))
            live = [e for e in self.entries.values() if e.choice == choice and e.chosen == value]
            if not live:
                near = nearest(value, words)
                do = f"did you mean '{near}'?" if near else ""
                yield path, f"'{value}' is not among what can be chosen here", "one of: " + ", ".join(words), do
            elif all(False in [switch.holds(roots, {}) for switch in entry.switches] for entry in live):
                yield (
                    path,
                    f"'{value}' is not open to this permit",
                    windows(switch for entry in live for switch in entry.switches),
                    "take the line out, or mend the day",
                )

    def every(self) -> list[tuple[Outcome, Values]]:
        """Every outcome any site can have here, each with facts that lead to it."""
        if self.fixed:
            return [(Outcome(tuple(self.entries)), {})]
        tried: dict[str, list[Any]] = {name: self._tried(name, NOBODY) for name in self._names()}
        tried = {name: values for name, values in tried.items() if values}
        whole = 1
        for values in tried.values():
            whole *= len(values)
        found: dict[Outcome, Values] = {}
        for one in self._combinations(tried) if whole <= MOST_TRIED else self._one_by_one(tried):
            outcome = self.outcome(NOBODY, one)
            if outcome is not None:
                found.setdefault(outcome, one)
        return list(found.items())

    def gaps(self) -> Iterator[str]:
        """Days between two editions of a book on which none is in force, each as a sentence with both places."""
        books: dict[tuple[str, str], list[tuple[Switch, Entry]]] = {}
        undated = set()
        for entry in self.entries.values():
            book = entry.book.partition(" ")[0]
            dated = [switch for switch in entry.switches if switch.dated and not switch.never]
            if not dated:
                undated.add(book)
            for switch in dated:
                books.setdefault((book, switch.by), []).append((switch, entry))
        for (book, _), dated_here in books.items():
            if book in undated:
                continue
            dated_here.sort(key=lambda one: (one[0].first or datetime.date.min, one[0].end or datetime.date.max))
            covered, last = dated_here[0][0].end, dated_here[0][1]
            for switch, entry in dated_here[1:]:
                if covered is not None and switch.first is not None and switch.first > covered:
                    before, after = (one.says((), "", "", "").place for one in (last, entry))
                    yield (
                        f"{days(covered, switch.first)[0].upper()}{days(covered, switch.first)[1:]} no edition of "
                        f"{book.upper()} is in force here: '{last.name}' ({before}) ends, '{entry.name}' ({after}) "
                        "begins later."
                    )
                if covered is not None and (switch.end is None or switch.end > covered):
                    covered, last = switch.end, entry

    def _names(self) -> list[str]:
        names: dict[str, None] = {}
        for switch in self.switches():
            names.update(dict.fromkeys([switch.by] if switch.dated and not switch.never else []))
            names.update(dict.fromkeys(name for name, _ in switch.facts))
        return [*names, *self._choices(self.entries.values())]

    def _one_by_one(self, tried: Mapping[str, list[Any]]) -> Iterator[Values]:
        """Every pair of facts through all their values, the others at their last: where all together are too many."""
        last = {name: values[-1] for name, values in tried.items()}
        for one in tried:
            for other in tried:
                for a, b in product(tried[one], tried[other]):
                    yield {**last, one: a, other: b}
