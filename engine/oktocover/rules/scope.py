"""Where the names of rule expressions lead: facts, limits, terms, tables and measures, checked and evaluated."""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from oktocover.findings.finding import Missing, Step
from oktocover.measures import registry
from oktocover.measures.registry import LIST_FUNCTIONS, PLAIN_FUNCTIONS, ListFunction, PlainFunction
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, TESTED, Members, Range, Unknown, Worked, unknown
from oktocover.reading.nearest import nearest
from oktocover.rules import intervals
from oktocover.rules.expressions import Expression, compile_expression, dotted, show_value
from oktocover.rules.limits import Limit, Schedule, fit_keys, look_up
from oktocover.rules.types import NUMBER, TRUTH, RuleError, Type, fact_of, of_fact, quantity

ROOTS = ("site", "building", "permit")
SPECIALS = (intervals.NO_LIMIT, intervals.NOT_ALLOWED)
COUNTING = ("count", "total", "largest", "smallest", "every", "some")


@dataclass(slots=True)
class Env:
    """One question: a subject, the roots, and what was used to answer."""

    subject: Subject
    roots: Mapping[str, Subject]
    records: Mapping[tuple[str, str], tuple[bool, int]] = field(default_factory=dict)
    """(rule.item, element) -> (answer, how known)."""
    known: int = TESTED
    steps: list[Step] = field(default_factory=list)
    units: dict[str, str] = field(default_factory=dict)
    memo: dict[tuple[int, int], tuple[Any, ...]] | None = None
    """Answers about whole lists and of terms, for one check over rules that do not change meanwhile."""
    quiet: bool = False
    """Only the verdict and how well it is known are wanted: no steps, no units. Its memo is not for others."""
    working: bool = True
    """Whether the lines of work are wanted; figures and their units are, unless it is quiet."""

    def about(self, subject: Subject) -> Env:
        """The same question asked about another subject."""
        return Env(subject, self.roots, self.records, memo=self.memo, quiet=self.quiet, working=self.working)

    def show(self, steps: Iterable[Step]) -> None:
        """Count lines of work as used, each once."""
        if self.working and not self.quiet:
            self.steps.extend(step for step in steps if step not in self.steps)

    def took(self, other: Env) -> None:
        """Count what another question used as used here."""
        self.known = min(self.known, other.known)
        self.show(other.steps)


@dataclass(slots=True)
class FactLeaf:
    """A fact of the subject, or of one of the roots."""

    path: str
    type: Type
    text: str

    def get(self, env: Env) -> Any:
        """The recorded or computed value."""
        first, _, rest = self.path.partition(".")
        if first in ROOTS and rest and first in env.roots:
            fact = env.subject.fact(self.path) if self.path in env.subject.own else env.roots[first].fact(rest)
        else:
            fact = env.subject.fact(self.path)
        env.known = min(env.known, fact.known)
        if fact.steps:
            env.show(fact.steps)
        if fact.unit and not env.quiet:
            env.units[self.text] = fact.unit
        return fact.value


@dataclass(slots=True)
class LimitLeaf:
    """A limit of the rule, item, exception or term in which the expression stands."""

    limit: Limit
    text: str
    type: Type

    def get(self, env: Env) -> Any:
        """The limit's value for this subject."""
        value = self.limit.get(env)
        if self.limit.unit and not env.quiet:
            env.units[self.text] = self.limit.unit_for(value)
        return value


@dataclass(slots=True)
class Term:
    """A named definition shared by rules: a fact of a kind, computed by an expression."""

    name: str
    of: str
    text: str
    scope: NameScope
    expression: Expression | None = None
    busy: bool = False

    def compiled(self) -> Expression:
        """The checked expression; a term that needs itself is an error."""
        if self.expression is None:
            if self.busy:
                raise RuleError(f"the term '{self.name}' is defined by itself")
            self.busy = True
            self.expression = compile_expression(self.text, self.scope)
            self.busy = False
        return self.expression


@dataclass(slots=True)
class TermLeaf:
    """A term, asked about the subject (or the one a dotted name leads to)."""

    term: Term
    through: str
    text: str
    type: Type

    def get(self, env: Env) -> Any:
        """The term's value."""
        subject = env.subject
        if self.through in env.roots and self.through not in subject.own:
            subject = env.roots[self.through]
        elif self.through:
            found = subject.fact(self.through)
            env.known = min(env.known, found.known)
            if not isinstance(found.value, Subject):
                return found.value if isinstance(found.value, Unknown) else unknown(subject.lacks(self.through))
            subject = found.value
        key = (id(self.term), id(subject))
        known = env.memo.get(key) if env.memo is not None else None
        if known is None:
            inner = env.about(subject)
            values = self.term.compiled().values(inner)
            # both are kept, so that their ids stay their own
            known = (self.term, subject, inner, values, self.term.compiled().evaluate(inner, values))
            if env.memo is not None:
                env.memo[key] = known
        _, _, inner, values, value = known
        env.took(inner)
        expression = self.term.compiled()
        if expression.type.form == "quantity" and env.working and not env.quiet:
            self._show(expression, values, value, inner, env)
        return value

    def _show(self, expression: Expression, values: Mapping[str, Any], value: Any, inner: Env, env: Env) -> None:
        """A line for a figure that a term works out from others; one it only passes on is shown where it comes from."""
        if isinstance(expression.tree, ast.Name) or isinstance(value, Unknown):
            return
        how = f"{expression.named()} = {expression.shown(dict(values), inner.units)}"
        env.show([Step(f"{inner.subject.id}: {self.text}", how, show_value(value, expression.type))])


@dataclass(slots=True)
class TableLeaf:
    """A look-up in a shared table."""

    table: Schedule
    name: str
    keys: list[Expression]
    column: str
    text: str
    type: Type
    shown: dict[tuple[Any, ...], tuple[Step, ...]] = field(default_factory=dict)
    """Lines for figures that were read before."""

    def get(self, env: Env) -> Any:
        """The cell the keys lead to."""
        keys = [key.evaluate(env) for key in self.keys]
        found = look_up(self.table, keys, self.column, env, self.name)
        if not isinstance(found, Unknown) and env.working and not env.quiet:
            self._show(keys, found, env)
        return found

    def _show(self, keys: list[Any], found: Any, env: Env) -> None:
        """A line for the figure that was read: table, row and column, as they are written; more for one between rows."""
        key = (*keys, found)
        steps = self.shown.get(key)
        if steps is None:
            types = [one.type for one in self.keys]
            rows = [
                self.table.row_of(depth, value) or show_value(value, of)
                for depth, (of, value) in enumerate(zip(types, keys, strict=True))
            ]
            figure = show_value(found, self.type, self.table.unit_of(self.column))
            steps = (Step(f"{self.text}: {', '.join(rows)}", "", figure, self.table.section),)
            if any(key.how == "interpolate" for key in self.table.keys):
                from oktocover.rules.between_rows import between

                steps = (*between(self.table, keys, types, self.column, self.type), *steps)
            self.shown[key] = steps
        env.show(list(steps))


@dataclass(slots=True)
class PlainCallLeaf:
    """A registered function of numbers."""

    function: PlainFunction
    arguments: list[Expression]
    text: str
    type: Type

    def get(self, env: Env) -> Any:
        """The function's value; bounds go through it, as it rises."""
        values = [argument.evaluate(env) for argument in self.arguments]
        lost = [value for value in values if isinstance(value, (Unknown, str)) or value in SPECIALS]
        if lost:
            return lost[0] if lost[0] in SPECIALS else intervals.undecided(*lost)
        if not any(isinstance(value, Range) for value in values):
            return self._call(values, env)
        ends = []
        for side in (0, 1):
            picked = [intervals.ends(value)[side][0] for value in values]
            ends.append(
                None if any(isinstance(p, float) and math.isinf(p) for p in picked) else self._call(picked, env)
            )
        return Range(ends[0], ends[1], missing=intervals.missing_of(*values))

    def _call(self, values: list[Any], env: Env) -> Any:
        result = self.function.compute(*values)
        if isinstance(result, Worked):
            env.show(result.steps)
            return result.value
        return result


@dataclass(slots=True)
class ListCallLeaf:
    """A call over a list: a count, a sum, or a registered measure."""

    name: str
    list_: Expression
    per: Expression | None
    """Evaluated for each member: which count, or what is added up."""
    function: ListFunction | None
    options: dict[str, Expression]
    text: str
    type: Type

    def get(self, env: Env) -> Any:
        """The result over the members that surely count, bounded by those that may."""
        members = self.list_.evaluate(env)
        if isinstance(members, Unknown):
            return members
        if not isinstance(members, Members):
            return unknown(env.subject.lacks(self.list_.text))
        if self.name in COUNTING:
            return self._count(members, env)
        return self._measure(members, env)

    def _each(self, members: Members, env: Env) -> list[tuple[Subject, Any]]:
        """Each member with what it gives; for a list that many subjects share it is asked once a check."""
        if self.per is None:
            return [(member, True) for member in members.sure]
        key = (id(self), id(members.sure))
        known = env.memo.get(key) if env.memo is not None else None
        if known is None:
            gathered = env.about(env.subject)
            found = []
            for member in members.sure:
                inner = env.about(member)
                found.append((member, self.per.evaluate(inner)))
                gathered.took(inner)
            # the list itself is kept, so that its id stays its own
            known = (members.sure, found, gathered)
            if env.memo is not None:
                env.memo[key] = known
        env.took(known[2])
        found_here: list[tuple[Subject, Any]] = known[1]
        return found_here

    def failing(self, env: Env) -> list[str]:
        """The members of which what is asked surely does not hold, by their ids."""
        members = self.list_.evaluate(env)
        return [one.id for one, value in self._each(members, env) if value is False]

    def _count(self, members: Members, env: Env) -> Any:
        values = [value for _, value in self._each(members, env)]
        more = members.missing or (unknown(env.subject.lacks(self.list_.text)).missing if members.open else ())
        if self.name == "count":
            sure = sum(1 for value in values if value is True)
            maybe = [value for value in values if isinstance(value, Unknown)]
            lacks = tuple(dict.fromkeys([*intervals.missing_of(*maybe), *(more if members.open else ())]))
            return Range(sure, None if members.open else sure + len(maybe), missing=lacks) if lacks else sure
        if self.name == "every":
            truth = intervals.both(*values)
            return unknown(*more) if truth is True and members.open else truth
        if self.name == "some":
            truth = intervals.either(*values)
            if truth is False and members.open:
                return unknown(*more)
            return (
                unknown(*intervals.missing_of(truth), *more) if isinstance(truth, Unknown) and members.open else truth
            )
        special = [value for value in values if value in SPECIALS]
        if special:
            return special[0]
        result = self._sum(values, members.open, more)
        if self.name == "total" and env.working and not env.quiet:
            self._show_sum(members, values, result, env)
        return result

    def _show_sum(self, members: Members, values: list[Any], result: Any, env: Env) -> None:
        """A line for each member that is added, and the sum."""
        assert self.per is not None
        shown = [show_value(value, self.per.type) for value in values]
        named = self.per.named()
        told = {step.what for step in env.steps}
        lines = [
            Step(f"{one.id}: {named}", "", text)
            for one, text in zip(members.sure, shown, strict=True)
            if f"{one.id}: {named}" not in told
        ]
        if shown:
            lines.append(Step(f"{named}, all together", " + ".join(shown), show_value(result, self.per.type)))
        env.show(lines)

    def _sum(self, values: list[Any], opened: bool, more: tuple[Missing, ...]) -> Any:
        lost = [value for value in values if isinstance(value, Unknown)]
        numbers = [value for value in values if not isinstance(value, Unknown)]
        lacks = tuple(dict.fromkeys([*intervals.missing_of(*lost), *(more if opened else ())]))
        if self.name == "total":
            result: Any = 0
            for value in numbers:
                result = intervals.add(result, value)
            # Members nobody knows can only add: lengths, volumes and inputs are never negative.
            return intervals.add(result, Range(0, None, missing=lacks)) if lacks else result
        if self.name == "largest":
            result = intervals.greatest(*numbers) if numbers else -math.inf
            return intervals.greatest(result, Range(None, None, missing=lacks)) if lacks else result
        result = intervals.least(*numbers) if numbers else NOWHERE
        return intervals.least(result, Range(None, None, missing=lacks)) if lacks else result

    def _measure(self, members: Members, env: Env) -> Any:
        function = self.function
        assert function is not None
        owner = env.subject
        missing: list[Missing] = []
        special = None
        for name in function.owner_reads:
            fact = owner.fact(name)
            env.known = min(env.known, fact.known)
            if isinstance(fact.value, (Unknown, Range)):
                missing.extend(fact.value.missing)
        options: dict[str, Any] = {}
        for name, expression in self.options.items():
            options[name] = expression.evaluate(env)
            if isinstance(options[name], (Unknown, Range)):
                missing.extend(options[name].missing)
            special = options[name] if options[name] in SPECIALS else special
        if missing or special is not None:
            return unknown(*missing) if missing else special
        sure, maybe, lacks, lost = self._sorted(members, env)
        if members.open:
            lacks.extend(members.missing or (owner.lacks(self.list_.text),))
            lost = True
        result = self._run(owner, sure, options, env)
        if not maybe and not lost:
            return result
        if isinstance(result, Unknown):
            return result
        if function.as_list_grows is None:
            return unknown(*lacks)
        far = None if lost else self._run(owner, sure + maybe, options, env.about(owner))
        missing_all = tuple(dict.fromkeys(lacks))
        if isinstance(far, Unknown) or isinstance(result, (Unknown, bool, Range)) or isinstance(far, Range):
            return unknown(*missing_all)
        low, high = (far, result) if function.as_list_grows == "falls" else (result, far)
        return result if far == result else Range(low, high, missing=missing_all)

    def _sorted(self, members: Members, env: Env) -> tuple[list[Subject], list[Subject], list[Missing], bool]:
        """Members that surely count, that may count, what is missing, and whether some could not be placed."""
        sure: list[Subject] = []
        maybe: list[Subject] = []
        lacks: list[Missing] = []
        lost = False
        assert self.function is not None
        for member, counts in self._each(members, env):
            if counts is False:
                continue
            facts = [member.fact(name) for name in self.function.member_reads]
            gaps = [item for fact in facts if isinstance(fact.value, (Unknown, Range)) for item in fact.value.missing]
            if gaps:
                lost = True
                lacks.extend(gaps)
                continue
            env.known = min([env.known, *(fact.known for fact in facts)])
            if counts is True:
                sure.append(member)
            else:
                maybe.append(member)
                lacks.extend(intervals.missing_of(counts))
        return sure, maybe, lacks, lost

    def _run(self, owner: Subject, members: list[Subject], options: dict[str, Any], env: Env) -> Any:
        assert self.function is not None
        result = self.function.compute(owner, members, **options)
        if isinstance(result, Worked):
            env.show(result.steps)
            return result.value
        return result


class NameScope:
    """The names one expression may use."""

    def __init__(
        self,
        kind: str,
        limits: Mapping[str, Limit] | Callable[[str], Limit | None],
        terms: Callable[[str, str], Term | None],
        tables: Callable[[str], Schedule | None],
        used: set[str] | None = None,
        known_names: Callable[[], list[str]] | None = None,
    ) -> None:
        self.kind = kind
        self.limits = limits if callable(limits) else limits.get
        self.terms = terms
        self.tables = tables
        self.used = used if used is not None else set()
        self.known_names = known_names or (list)

    def name(self, text: str) -> Any:
        """A limit, a term or a fact, in that order."""
        limit = self.limits(text)
        if limit is not None:
            self.used.add(text)
            return LimitLeaf(limit, text.replace("_", " "), limit.type)
        through, _, last = text.rpartition(".")
        kind = self._kind_at(through) if through else self.kind
        if kind:
            term = self.terms(last, kind)
            if term is not None:
                return TermLeaf(term, through, text.replace("_", " ").replace(".", " "), term.compiled().type)
        found = fact_of(self.kind, text)
        if found is None:
            self._refuse(text)
        self._not_through_a_list(text)
        return FactLeaf(text, of_fact(found), text.replace("_", " ").replace(".", " "))  # type: ignore[arg-type]

    def _not_through_a_list(self, text: str) -> None:
        """A dot leads to one thing; of a list nobody can say which member is meant."""
        parts = text.split(".")
        for count in range(1, len(parts)):
            before = ".".join(parts[:count])
            through = fact_of(self.kind, before) if before not in ROOTS else None
            if through is not None and through.form == "many":
                raise RuleError(
                    f"'{text}': '{before}' is a list",
                    f"count({before}), every({before}, a term), largest({before}, {parts[count]})",
                )

    def _kind_at(self, dotted_name: str) -> str:
        if dotted_name in ROOTS:
            return dotted_name
        found = fact_of(self.kind, dotted_name)
        return found.kind if found and found.form == "one" else ""

    def _refuse(self, text: str) -> None:
        spec = registry.kinds().get(self.kind)
        root = text.partition(".")[0]
        if root in ROOTS and root != text:
            spec = registry.kinds().get(root)
            names = [f"{root}.{fact}" for fact in (spec.facts if spec else ())]
        else:
            names = [*(spec.facts if spec else ()), *self.known_names()]
        near = nearest(text, names)
        title = spec.title if spec else self.kind
        raise RuleError(
            f"'{text}' is no fact of a {title}, no limit and no term",
            "one of: " + ", ".join(sorted(names)[:25]),
            f"did you mean '{near}'?"
            if near
            else f"words stand in quotes; numbers are limits; {self._may_declare(text)}",
        )

    def _may_declare(self, text: str) -> str:
        """How a layer would declare a fact of this name."""
        first, _, rest = text.partition(".")
        owner, name = (first, rest) if rest else (self.kind, first)
        through = fact_of(self.kind, owner) if owner not in ROOTS else None
        kind = through.kind if through is not None and through.form == "one" else owner
        return f"a place may declare it: facts: {{{kind}.{name}: {{type: ..., means: ...}}}}"

    def call(self, function: str, arguments: list[ast.expr], options: dict[str, ast.expr]) -> Any:
        """A call of a built-in over a list, of a measure over a list, or of a function of numbers."""
        parts = [ast.unparse(one) for one in arguments] + [f"{key}={ast.unparse(one)}" for key, one in options.items()]
        text = f"{function}({', '.join(parts)})"
        if function in PLAIN_FUNCTIONS:
            return self._plain(PLAIN_FUNCTIONS[function], arguments, options, text)
        if function in COUNTING or any(name == function for _, name in LIST_FUNCTIONS):
            return self._over_list(function, arguments, options, text)
        names = [*COUNTING, *PLAIN_FUNCTIONS, *(name for _, name in LIST_FUNCTIONS), "min", "max", "ceil"]
        near = nearest(function, names)
        raise RuleError(
            f"'{function}' is not a registered measure",
            "one of: " + ", ".join(sorted(set(names))),
            f"did you mean '{near}'?" if near else "",
        )

    def _plain(
        self, function: PlainFunction, arguments: list[ast.expr], options: dict[str, ast.expr], text: str
    ) -> Any:
        if options or len(arguments) != len(function.arguments):
            raise RuleError(
                f"{function.name} takes {len(function.arguments)} value(s): {', '.join(function.arguments)}"
            )
        compiled = [compile_expression(ast.unparse(argument), self) for argument in arguments]
        for expression, wanted in zip(compiled, function.arguments, strict=True):
            have = expression.type.dimension
            if have is None or have.powers != quantity(wanted).dimension.powers:  # type: ignore[union-attr]
                raise RuleError(f"'{text}': {function.name} takes a {wanted}, not {expression.type}")
        return PlainCallLeaf(function, compiled, text, quantity(function.dimension))

    def _over_list(self, function: str, arguments: list[ast.expr], options: dict[str, ast.expr], text: str) -> Any:
        if not 1 <= len(arguments) <= 2:
            raise RuleError(f"'{text}': {function} takes a list, and if need be a term for its members")
        list_ = compile_expression(ast.unparse(arguments[0]), self)
        if list_.type.form != "many":
            raise RuleError(f"'{text}': '{list_.text}' is {list_.type}, not a list")
        per = self._per_member(function, list_.type.kind, arguments[1:], text)
        if function in COUNTING:
            if options:
                raise RuleError(f"'{text}': {function} takes no '{next(iter(options))}='")
            return ListCallLeaf(function, list_, per, None, {}, _spoken(text), self._counting_type(function, per, text))
        found = LIST_FUNCTIONS.get((self.kind, function))
        if found is None:
            kinds = ", ".join(kind for kind, name in LIST_FUNCTIONS if name == function)
            raise RuleError(f"'{function}' is a measure of {kinds}, not of {self.kind}")
        unknown_options = [name for name in options if name not in found.options]
        if unknown_options:
            raise RuleError(
                f"'{text}': {function} knows no '{unknown_options[0]}'", "one of: " + ", ".join(found.options)
            )
        given = {name: compile_expression(ast.unparse(value), self) for name, value in options.items()}
        of = TRUTH if found.dimension == "yes or no" else quantity(found.dimension)
        return ListCallLeaf(function, list_, per, found, given, _spoken(text), of)

    def _per_member(self, function: str, kind: str, rest: list[ast.expr], text: str) -> Expression | None:
        if not rest:
            if function in ("total", "largest", "smallest", "every", "some"):
                raise RuleError(f"'{text}': {function} needs a fact or term of the members")
            return None
        if dotted(rest[0]) is None:
            raise RuleError(
                f"'{text}': the second part is the name of a fact or term of the members", do="write a term for it"
            )
        inner = NameScope(kind, lambda name: None, self.terms, self.tables, known_names=self.known_names)
        per = compile_expression(ast.unparse(rest[0]), inner)
        if function not in ("total", "largest", "smallest") and per.type.form != "truth":
            raise RuleError(f"'{text}': '{per.text}' is {per.type}, not yes or no")
        return per

    def _counting_type(self, function: str, per: Expression | None, text: str) -> Type:
        if function == "count":
            return NUMBER
        if function in ("every", "some"):
            return TRUTH
        if per is None or per.type.form != "quantity":
            raise RuleError(f"'{text}': only quantities can be added up or compared")
        return per.type

    def look_up(self, table: str, keys: list[ast.expr], column: str) -> Any:
        """A look-up in a shared table: the number of keys and the column have to fit."""
        found = self.tables(table)
        text = f"{table}[{', '.join(ast.unparse(key) for key in keys)}]" + (f".{column}" if column else "")
        if found is None:
            raise RuleError(f"there is no table '{table}'")
        if len(keys) != len(found.keys):
            raise RuleError(
                f"'{text}': the table has {len(found.keys)} key(s): {', '.join(key.name for key in found.keys)}"
            )
        if (column or found.columns) and column not in found.columns:
            raise RuleError(f"'{text}': the table has the columns {', '.join(found.columns) or '(none)'}")
        compiled = [compile_expression(ast.unparse(key), self) for key in keys]
        self.used.add(f"table {table}")
        fit_keys(found, [key.type for key in compiled])
        return TableLeaf(
            found, table, compiled, column, _spoken(f"{table} {column}".rstrip()), found.types.get(column, NUMBER)
        )


def _spoken(text: str) -> str:
    return text.replace("_", " ")
