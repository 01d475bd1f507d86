"""The rules in force for a site, and whose word that is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.adoption import WHOLE, Switchboard
from oktocover.rules.layers import Change, Layer
from oktocover.rules.outcomes import Outcome, Reading, days, told
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.switches import Roots, Values


@dataclass(slots=True)
class Variant:
    """The rules of one outcome: of one edition each, with the changes in force."""

    outcome: Outcome
    rules: RuleSet
    books: tuple[Layer, ...]
    not_shipped: tuple[str, ...] = ()
    """Book editions in force of which nothing is checked."""


@dataclass(slots=True)
class Adopted:
    """The rules in force for one site, and whose word that is.

    Fresh from the library it holds the rules as of the latest day; `for_site` gives those of one site. Where the site
    does not say what decides, there are several variants: a verdict is given when all of them agree.
    """

    place: Layer
    standards: tuple[Layer, ...]
    chain: tuple[Layer, ...]
    """The places, outermost first, and the job's standards."""
    board: Switchboard
    variants: tuple[Variant, ...]
    make: Callable[[Outcome], Variant]
    named: bool = True
    """Whether a jurisdiction is named; else the model books stand in."""
    reading: Reading | None = None
    """What the site's facts made of it."""
    known: dict[Outcome, Variant] = field(default_factory=dict)

    @property
    def rules(self) -> RuleSet:
        """The rules in force; of the first variant, where there are several."""
        return self.variants[0].rules

    @property
    def books(self) -> tuple[Layer, ...]:
        """The books in force, each once."""
        found = {layer.name: layer for variant in self.variants for layer in variant.books}
        return tuple(found.values())

    @property
    def books_printed(self) -> tuple[str, ...]:
        """The books in force as they are cited: `NEC 2020`; `NEC 2017 or NEC 2020` where the site does not decide."""
        options: dict[str, dict[str, None]] = {}
        for variant in self.variants:
            for book in dict.fromkeys(layer.book for one in self.variants for layer in one.books):
                own = [self._printed(layer, variant) for layer in variant.books if layer.book == book]
                options.setdefault(book, {})[" and ".join(own) or "none"] = None
        return tuple(" or ".join(sorted(names, key=lambda name: name == "none")) for names in options.values())

    def _printed(self, layer: Layer, variant: Variant) -> str:
        """One edition, with the part of it that is adopted."""
        own = [self.board.entries[name] for name in variant.outcome.entries]
        parts = [entry.part for entry in own if entry.book == layer.name]
        return layer.printed if "" in parts else f"{layer.printed} ({', '.join(parts)})"

    @property
    def undecided(self) -> bool:
        """Whether too little is written to judge anything."""
        return self.reading is not None and self.reading.undecided

    def for_site(self, roots: Roots) -> Adopted:
        """The rules for a site of which these facts are written."""
        if self.board.fixed:
            return self
        reading = self.board.read(roots)
        variants = tuple(self._variant(outcome) for outcome in reading.outcomes)
        return replace(self, variants=variants, reading=reading)

    def _variant(self, outcome: Outcome) -> Variant:
        if outcome not in self.known:
            self.known[outcome] = self.make(outcome)
        return self.known[outcome]

    def every(self) -> Iterator[tuple[Variant, Values]]:
        """The rules of every window, choice and edition this place can have, each with facts that lead to it."""
        for outcome, values in self.board.every():
            yield self._variant(outcome), values

    def check_every(self) -> None:
        """Compile the rules of every outcome. InputProblems holds every mistake once, with where it shows."""
        found: dict[tuple[Problem | str, ...], Problem] = {}
        for variant, values in self.every():
            try:
                variant.rules.check()
            except InputProblems as error:
                for one in error.problems:
                    where = told(values)
                    do = "; ".join(part for part in (one.do, f"this shows with {where}" if where else "") if part)
                    found.setdefault((str(one.place), one.message), replace(one, do=do))
        if found:
            raise InputProblems(found.values())

    def not_in_force(self) -> Iterator[tuple[Change, str]]:
        """Changes of its places that are in force in no variant, each with why."""
        switches = {(change.layer, change.name): (switch, with_) for change, switch, with_ in self.board.changes}
        for layer in self.chain:
            for change in layer.changes.values():
                key = (change.layer, change.name)
                if all(key in variant.outcome.idle for variant in self.variants):
                    switch, with_ = switches[key]
                    window = days(switch.first, switch.end) if switch.dated else ""
                    asked = f"when {change.data['when']}" if switch.when is not None else ""
                    with_it = f"with '{with_}'" if with_ else ""
                    yield change, switch.never or ", ".join(part for part in (with_it, window, asked) if part)
                elif all(any(change is one for _, one in variant.rules.folded.idle) for variant in self.variants):
                    yield change, "what it changes is in no book in force"

    @property
    def struck(self) -> tuple[str, ...]:
        """Sections that a place struck and that no rule here carried, each with its authority."""
        found = (
            f"{change.layer}: {change.cite} strikes {address}"
            for variant in self.variants
            for address, change in variant.rules.folded.struck
        )
        return tuple(dict.fromkeys(found))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know of the rules themselves, in sentences."""
        return tuple(self._warnings())

    def _warnings(self) -> Iterator[str]:
        if not self.named:
            yield (
                "No jurisdiction is named: these are the model books' figures. "
                "Ask the office which editions and changes are in force."
            )
        for name in dict.fromkeys(name for variant in self.variants for name in variant.not_shipped):
            yield f"{self.place.name} adopts {name}, which is not among the shipped books: nothing of it is checked."
        out = [layer for layer in self.chain if all((layer.name, WHOLE) in one.outcome.idle for one in self.variants)]
        for layer in out:
            cite = str((layer.reach or {}).get("cite") or "its own words")
            yield f"{layer.name} does not reach this site (by {cite}): nothing that it says is asked here."
        for variant in self.variants[:1] if self.reading is not None else ():
            live = {self.board.entries[name].book.partition(" ")[0] for name in variant.outcome.entries}
            for book in dict.fromkeys(entry.book.partition(" ")[0] for entry in self.board.entries.values()):
                if book not in live and all(book != one.book for one in self.books):
                    yield f"No edition of {book.upper()} is in force here for this permit: nothing of it is checked."
        yield from (text for text in self.board.gaps())
