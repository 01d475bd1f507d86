"""The rules in force: folded layers, checked and compiled."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from oktocover.reading import kept
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.declared import declared_in
from oktocover.rules.fold import Folded
from oktocover.rules.form import DEEPEST, Compiler, Rule
from oktocover.rules.layers import Thing, alias
from oktocover.rules.limits import Schedule
from oktocover.rules.scope import Term
from oktocover.rules.types import RuleError
from oktocover.rules.visits import Inspection, read_inspections, stages_seen
from oktocover.site.declared import Declared, speaking


@dataclass(slots=True)
class RuleSet:
    """Rules, terms and tables of some folded layers, compiled on first use."""

    folded: Folded
    strict: bool = True
    problems: list[Problem] = field(default_factory=list)
    _terms: dict[str, Term | None] = field(default_factory=dict)
    _names: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    _tables: dict[str, Schedule | None] = field(default_factory=dict)
    _rules: dict[str, Rule | None] = field(default_factory=dict)
    _depth: int = 0
    _declared: Declared | None = None
    _inspections: list[Inspection] | None = None
    _shared: dict[Any, tuple[Thing, Any]] | None = None
    _sound: bool | None = None
    made_from: tuple[str, ...] = ()
    """All that decides what these rules are, as text; empty where nobody said."""

    def share(self, compiled: dict[Any, dict[Any, tuple[Thing, Any]]]) -> RuleSet:
        """Take what another set compiled from the same things, terms and tables, and leave there what is compiled here.

        The sets of one library differ in a few rules only: by place, by edition, by the day of a permit.
        """
        things = self.folded.things
        under = [thing for section in ("terms", "tables") for thing in things[section].values()]
        cited = tuple(dict.fromkeys((layer.prefix, layer.printed) for layer in self.folded.layers if layer.book))
        key = (tuple(id(thing) for thing in under), cited, self.declared, self.strict)
        if not self.problems:
            # the things are kept, so that their ids stay theirs
            self._shared = compiled.setdefault(key, {number: (thing, None) for number, thing in enumerate(under)})
        return self

    def _kept(self, section: str, address: str, thing: Thing) -> Any:
        found = self._shared.get((section, address, id(thing))) if self._shared is not None else None
        return found[1] if found is not None else None

    def _keep(self, section: str, address: str, thing: Thing, made: Any, problems: int) -> None:
        """Leave something for other sets, if it was compiled without a mistake."""
        if self._shared is not None and made is not None and len(self.problems) == problems:
            self._shared[section, address, id(thing)] = (thing, made)

    @property
    def declared(self) -> Declared:
        """The facts and kinds that the layers declare; mistakes go to `problems`."""
        if self._declared is None:
            self._declared, wrong = declared_in(self.folded.things)
            self.problems.extend(wrong)
        return self._declared

    def rules(self) -> Iterator[Rule]:
        """Every rule that stands, in the order of the layers; mistakes go to `problems`."""
        for name in self.folded.things["rules"]:
            rule = self.rule(name)
            if rule is not None:
                yield rule

    def asked_of(self, wanted: Callable[[str], bool]) -> Iterator[Rule]:
        """The rules about the kinds that are wanted. All are compiled unless these very rules were once found sound."""
        if not self.found_sound():
            self.look_through()
        for name, thing in self.folded.things["rules"].items():
            asked = isinstance(thing.data, dict) and wanted(str(thing.data.get("each")))
            rule = self.rule(name) if asked else None
            if rule is not None:
                yield rule

    def found_sound(self) -> bool:
        """Whether everything here was once compiled without a mistake: the same files, by the same code."""
        if self._sound is None:
            self._sound = bool(self.made_from) and kept.found_sound(self.made_from)
        return self._sound

    def rule(self, name: str) -> Rule | None:
        """One rule by its address (book.rule)."""
        if name not in self._rules:
            thing = self.folded.things["rules"].get(name)
            before = len(self.problems)
            made = (self._kept("rules", name, thing) or self.compile(name, thing)) if thing else None
            self._rules[name] = made
            if thing is not None:
                self._keep("rules", name, thing, made, before)
            if thing is not None and self._rules[name] is not None and not self.found_sound():
                self._has_a_visit(thing)
        return self._rules[name]

    def _has_a_visit(self, thing: Thing) -> None:
        """A rule whose stage is no visit of this place would never be asked: that is a mistake, not silence."""
        things = self.folded.things["inspections"].items()
        visits = [one for name, visit in things for one in (name.partition(".")[2], *stages_seen(visit.data))]
        stage = str(thing.data.get("stage"))
        if visits and stage not in visits:
            near = nearest(stage, visits)
            self.problems.append(
                thing.problem(
                    ("stage",),
                    f"there is no visit '{stage}' here, so this rule would never be asked",
                    "one of: " + ", ".join(visits),
                    f"did you mean '{near}'?" if near else "",
                )
            )

    def forget(self, name: str) -> None:
        """Compile a rule anew when it is next asked for: the thing it was made from has changed."""
        self._rules.pop(name, None)

    def compile(
        self, name: str, thing: Thing, strict: bool | None = None, problems: list[Problem] | None = None
    ) -> Rule | None:
        """Compile a rule from a thing's data (the thing as it stands, or a changed copy of it)."""
        book, _, short = name.partition(".")
        own = alias(thing.edition)
        # what is compiled beside what stands, to look at a change, is not what was found sound
        trusted = self.found_sound() and strict is None and thing is self.folded.things["rules"].get(name)
        compiler = Compiler(
            self._finder(book, own), self._table_finder(book, own), self.strict if strict is None else strict, trusted
        )
        with speaking(self.declared):
            made = compiler.rule(short, book, thing.data, self.printed(book, thing))
        self._note(thing, compiler, self.problems if problems is None else problems)
        if made is not None:
            made.history = tuple(thing.history)
            made.declared = self.declared
            twins = (self.compile(name, twin, strict, problems) for twin in thing.twins)
            made.twins = tuple(twin for twin in twins if twin is not None)
        return None if compiler.problems else made

    def printed(self, book: str, thing: Thing) -> str:
        """How the book of a rule is cited, in the edition in force (or that it was adopted from alone)."""
        for layer in reversed(self.folded.layers):
            if layer.prefix == book and thing.edition in ("", layer.name):
                return layer.printed
        return thing.layer

    def _note(self, thing: Thing, compiler: Compiler, into: list[Problem]) -> None:
        for path, error in compiler.problems:
            into.append(thing.problem(path, error.message, error.expected, error.do))

    def _named(self, section: str, name: str) -> list[str]:
        """Addresses of the things of that name in any book, in the order of the layers."""
        if section not in self._names:
            index = self._names[section] = {}
            for address in self.folded.things[section]:
                if " " not in address.partition(".")[0]:
                    index.setdefault(address.partition(".")[2], []).append(address)
        return self._names[section].get(name, [])

    def _finder(self, book: str, own: str = "") -> Any:
        """Finds terms: those of the rule's own edition (where two stand side by side), of its book, of any."""

        def find(name: str, kind: str) -> Term | None:
            found = self.term(f"{own}.{name}") if own else None
            found = found or self.term(f"{book}.{name}")
            if found is None:
                found = next(filter(None, map(self.term, self._named("terms", name))), None)
            return found if found is not None and found.of == kind else None

        return find

    def term(self, address: str) -> Term | None:
        """A term by its address, compiled once."""
        if address in self._terms:
            made = self._terms[address]
            if made is not None and made.busy:
                raise RuleError(f"the term '{made.name}' is defined by itself")
            return made
        self._terms[address] = None
        thing = self.folded.things["terms"].get(address)
        if thing is None:
            return None
        kept: Term | None = self._kept("terms", address, thing)
        if kept is not None:
            self._terms[address] = kept
            return kept
        before = len(self.problems)
        if self._depth > DEEPEST:
            del self._terms[address]
            raise RuleError(f"more than {DEEPEST} terms are built on each other at '{address}'")
        book, _, name = address.partition(".")
        own = alias(thing.edition)
        compiler = Compiler(self._finder(book, own), self._table_finder(book, own), self.strict, self.found_sound())
        with speaking(self.declared):
            made = compiler.term(name, thing.data)
        self._note(thing, compiler, self.problems)
        if made is not None and not compiler.problems:
            self._terms[address] = made
            self._depth += 1
            try:
                with speaking(self.declared):
                    made.compiled()
            except RuleError as error:
                self._terms[address] = None
                self.problems.append(thing.problem(("is",), error.message, error.expected, error.do))
            finally:
                self._depth -= 1
        self._keep("terms", address, thing, self._terms[address], before)
        return self._terms[address]

    def _table_finder(self, book: str, own: str = "") -> Any:
        def find(name: str) -> Schedule | None:
            found = self.table(f"{own}.{name}") if own else None
            found = found or self.table(f"{book}.{name}")
            if found is None:
                found = next(filter(None, map(self.table, self._named("tables", name))), None)
            return found

        return find

    def table(self, address: str) -> Schedule | None:
        """A shared table by its address, read once."""
        if address not in self._tables:
            thing = self.folded.things["tables"].get(address)
            made: Schedule | None = self._kept("tables", address, thing) if thing is not None else None
            if thing is not None and made is None:
                before = len(self.problems)
                compiler = Compiler(self._finder(""), self._table_finder(""), self.strict, self.found_sound())
                with speaking(self.declared):
                    made = compiler.table(address.partition(".")[2], thing.data)
                if made is not None:
                    made.section = str((thing.data or {}).get("section") or "")
                self._note(thing, compiler, self.problems)
                self._keep("tables", address, thing, made, before)
            self._tables[address] = made
        return self._tables[address]

    def check(self) -> None:
        """Compile everything, unless it was once found sound, and raise InputProblems with all that is wrong."""
        if not self.found_sound():
            self.look_through()
        found = [*self.folded.problems, *self.problems]
        if found:
            raise InputProblems(found)

    def look_through(self) -> None:
        """Compile everything; what is wrong goes to `problems`."""
        assert self.declared is not None
        for _ in self.rules():
            pass
        for address in self.folded.things["terms"]:
            self.term(address)
        for address in self.folded.things["tables"]:
            self.table(address)
        self.inspections()
        if self.made_from and not self.problems and not self.folded.problems:
            kept.note_sound(self.made_from)

    def inspections(self) -> list[Inspection]:
        """The visits in their order; a ring is an InputProblems with its path, other mistakes go to `problems`."""
        if self._inspections is None:
            with speaking(self.declared):
                self._inspections = read_inspections(self.folded.things["inspections"], self.problems)
        return self._inspections
