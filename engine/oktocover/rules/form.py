"""The form of a rule: from the plain data of a rule file to a checked Rule. See rulesets/README.md for the words."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from oktocover.measures import registry
from oktocover.quantities import Dimension, QuantityError, dimension, read_any
from oktocover.reading.nearest import nearest
from oktocover.rules import limits as limit_form
from oktocover.rules.expressions import Expression, compile_expression
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.limits import Cell, Key, Limit, Schedule
from oktocover.rules.scope import NameScope, Term
from oktocover.rules.types import NUMBER, RuleError, Type, fact_of
from oktocover.rules.unread import Unread
from oktocover.site.declared import NOTHING, Declared, in_force, speaking

Path = tuple[str | int, ...]
RECORDS = ("look", "document", "approval", "maker", "test")
BODY = ("require", "items", "join", *RECORDS)
ITEM_KEYS = (
    "title",
    "section",
    "when",
    "limits",
    "unless",
    "severity",
    "remedy",
    "close_with",
    "touches",
    "note",
    *BODY,
)
RULE_KEYS = (*ITEM_KEYS, "trade", "stage", "each", "also", "needs", "basis")
EXCEPTION_KEYS = ("title", "section", "when", "limits", "note", *BODY)
TERM_KEYS = ("of", "is", "limits", "section", "basis", "note")
TABLE_KEYS = ("title", "section", "keys", "columns", "rows", "outside", "basis", "note")
SCHEDULE_KEYS = ("by", "rows", "between", "outside", "note")
BASIS_KEYS = ("check", "source", "note")
ALL_OF_THEM = 1_000
AT_LEAST = re.compile(r"at least (\d{1,2})")
SEVERITIES = ("hazard", "correction", "advisory")
DEEPEST = 20
"""How many limits or terms may be built on each other."""
CHECKS = ("seen", "memory", "common practice")
NEEDS = ("looked", "measured", "tested")


class AlreadyTold(RuleError):
    """A mistake that stands among the problems already: whatever uses the limit need not say it again."""


def asked_of(join: Any) -> int:
    """How many of some items a join asks for; all of them is more than any number."""
    some = AT_LEAST.fullmatch(str(join or "all").strip())
    return int(some[1]) if some else 1 if join == "any" else ALL_OF_THEM


@dataclass(slots=True)
class Node:
    """A rule's requirement, an item of it, or an exception with a requirement of its own."""

    name: str
    path: Path
    title: str = ""
    section: str = ""
    severity: str = ""
    remedy: str = ""
    close_with: str = ""
    touches: tuple[str, ...] = ()
    note: str = ""
    when: dict[str, Expression] = field(default_factory=dict)
    limits: dict[str, Limit] = field(default_factory=dict)
    unless: dict[str, Node] = field(default_factory=dict)
    require: Expression | None = None
    record: tuple[str, str] | None = None
    items: dict[str, Node] = field(default_factory=dict)
    join: str = "all"
    least: int = 1
    """Of items any of which may do: how many have to."""

    @property
    def joined(self) -> str:
        """The join as it is written: all, any, at least 2."""
        return f"at least {self.least}" if self.least > 1 else self.join

    @property
    def bare(self) -> bool:
        """Whether there is nothing to require (an exception by condition only)."""
        return self.require is None and self.record is None and not self.items

    def walk(self) -> Iterator[Node]:
        """This node and all below it."""
        yield self
        for inner in (*self.items.values(), *self.unless.values()):
            yield from inner.walk()


class UnreadNode(Node):
    """A node of a rule that was found sound: what it requires is compiled when it is first asked."""

    __slots__ = ("_compile", "_require")
    _require: Expression | None
    _compile: Callable[[], Expression | None] | None

    @property
    def require(self) -> Expression | None:
        """The requirement, where it is one comparison."""
        if self._compile is not None:
            self.require = self._compile()
        return self._require

    @require.setter
    def require(self, made: Expression | None) -> None:
        self._require = made
        self._compile = None

    def waits(self, compile_: Callable[[], Expression | None]) -> None:
        """Say how the requirement is made when it is asked for."""
        self._compile = compile_


@dataclass(slots=True)
class Rule:
    """One provision, checked and ready to be asked."""

    id: str
    """book.rule"""
    book: str
    title: str
    trade: str
    stage: str
    severity: str
    each: str
    body: Node
    section: str
    also: tuple[str, ...] = ()
    needs: str = ""
    basis: Mapping[str, Any] = field(default_factory=dict)
    citation_book: str = ""
    history: tuple[Any, ...] = ()
    plan: Any = None
    """How it is asked, worked out when it is first asked."""
    declared: Declared = NOTHING
    """The facts and kinds that its layers declare."""
    twins: tuple[Rule, ...] = ()
    """Other versions of it that hold as well: the worse verdict stands."""

    def all_limits(self) -> Iterator[tuple[str, Limit]]:
        """Every limit with the name it has in the rule."""
        for node in self.body.walk():
            yield from node.limits.items()


class Compiler:
    """Checks and compiles one rule, term or table; collects what is wrong with the path of each mistake."""

    def __init__(
        self,
        terms: Callable[[str, str], Term | None],
        tables: Callable[[str], Schedule | None],
        strict: bool = True,
        trusted: bool = False,
    ) -> None:
        """`trusted`: what is compiled was found sound before, so each part of it may wait until it is looked at."""
        self.terms = terms
        self.tables = tables
        self.strict = strict
        self.trusted = trusted
        self.problems: list[tuple[Path, RuleError]] = []
        self.names: set[str] = set()

    def fail(self, path: Path, message: str, expected: str = "", do: str = "") -> None:
        """Note a mistake."""
        self.problems.append((path, RuleError(message, expected, do)))

    def keys(self, data: Mapping[str, Any], allowed: tuple[str, ...], path: Path, what: str) -> None:
        """Refuse keys the form does not have."""
        for key in data:
            if key not in allowed:
                near = nearest(key, allowed)
                self.fail(
                    (*path, key),
                    f"'{key}' is not part of {what}",
                    "one of: " + ", ".join(allowed),
                    f"did you mean '{near}'?" if near else "",
                )

    def text(self, data: Mapping[str, Any], key: str, path: Path, needed: bool = False) -> str:
        """A text field."""
        value = data.get(key)
        if value is None:
            if needed:
                self.fail(path, f"'{key}' is missing", f"{key}: ...")
            return ""
        if not isinstance(value, str):
            self.fail((*path, key), f"'{key}' holds text, not a list or a mapping")
            return ""
        return value.strip()

    def rule(self, rule_id: str, book: str, data: Any, citation_book: str) -> Rule | None:
        """A whole rule; None when it cannot stand (the reasons are in `problems`)."""
        if not isinstance(data, dict):
            self.fail((), f"the rule '{rule_id}' is a mapping: title, section, each, require, basis ...")
            return None
        self.keys(data, RULE_KEYS, (), "a rule")
        each = self.text(data, "each", (), needed=True)
        if each and each not in registry.kinds():
            near = nearest(each, registry.kinds())
            self.fail(
                ("each",),
                f"there is no kind of thing called '{each}'",
                "one of: " + ", ".join(sorted(registry.kinds())),
                f"did you mean '{near}'?" if near else "",
            )
            return None
        severity = self.choice(data, "severity", SEVERITIES, ())
        self.choice(data, "needs", NEEDS, (), optional=True)
        basis = self._basis(data.get("basis"))
        title = self.text(data, "title", (), needed=True)
        section = self.text(data, "section", (), needed=True)
        stage = self.text(data, "stage", (), needed=True)
        trade = self.text(data, "trade", (), needed=True)
        used: set[str] = set()
        body = self.node("main", data, (), each, lambda name: None, used)
        body.name = "main"
        if self.strict and not self.trusted:
            self._unused(body, used)
        if not self.trusted and body.bare and not any(data.get(key) for key in ("require", "items", *RECORDS)):
            self.fail(
                (),
                "the rule requires nothing",
                "require:, items:, or a record (look:, document:, approval:, maker:, test:)",
            )
        also = data.get("also")
        return Rule(
            f"{book}.{rule_id}",
            book,
            title,
            trade,
            stage,
            severity,
            each,
            body,
            section,
            tuple(str(item) for item in also) if isinstance(also, list) else (),
            str(data.get("needs") or ""),
            basis,
            citation_book,
        )

    def choice(
        self, data: Mapping[str, Any], key: str, words: tuple[str, ...], path: Path, optional: bool = False
    ) -> str:
        """A field that holds one of a few words."""
        value = self.text(data, key, path, needed=not optional)
        if value and value not in words:
            near = nearest(value, words)
            self.fail(
                (*path, key),
                f"'{value}' is no {key}",
                "one of: " + ", ".join(words),
                f"did you mean '{near}'?" if near else "",
            )
        return value

    def _basis(self, data: Any) -> Mapping[str, Any]:
        if not isinstance(data, dict):
            self.fail(
                (),
                "the basis is missing: how the numbers are known",
                "basis: {check: seen, source: where it was read} (or check: memory, check: common practice)",
            )
            return {}
        self.keys(data, BASIS_KEYS, ("basis",), "a basis")
        check = self.choice(data, "check", CHECKS, ("basis",))
        if check == "seen" and not data.get("source"):
            self.fail(
                ("basis",), "a basis that was seen names its source", "source: standard, edition, section, where read"
            )
        return data

    def _unused(self, body: Node, used: set[str]) -> None:
        for node in body.walk():
            for name in node.limits:
                if name not in used:
                    self.fail(
                        (*node.path, "limits", name),
                        f"the limit '{name}' is used nowhere",
                        do="use it in require, when or another limit, or take it out",
                    )

    def node(
        self,
        name: str,
        data: Any,
        path: Path,
        kind: str,
        outer: Callable[[str], Limit | None],
        used: set[str],
        exception: bool = False,
    ) -> Node:
        """A requirement with its conditions, limits, exceptions, items."""
        if self.trusted:
            return self._waiting(name, data, path, kind, outer, exception)
        made = Node(name, path)
        if isinstance(data, str):
            data = {"when" if exception else "require": data}
            made.path = path
            short = True
        else:
            short = False
        if not isinstance(data, dict):
            self.fail(path, f"'{name}' is an expression or a mapping")
            return made
        if path:
            self.keys(
                data, EXCEPTION_KEYS if exception else ITEM_KEYS, path, "an exception" if exception else "an item"
            )
            if not exception and data.get("severity"):
                self.choice(data, "severity", SEVERITIES, path, optional=True)
        for key in ("title", "section", "severity", "remedy", "close_with", "note"):
            setattr(made, key, self.text(data, key, path))
        touches = data.get("touches")
        made.touches = tuple(str(t) for t in touches) if isinstance(touches, list) else ()
        look = self._limits(data.get("limits"), made, (*path, "limits"), kind, outer, used)
        scope = self.scope(kind, look, used)
        made.when = self._conditions(data.get("when"), path if short else (*path, "when"), scope)
        self._body(made, data, path, kind, look, used, scope, short)
        for title, inner in self._mapping(data.get("unless"), (*path, "unless"), "exceptions").items():
            self._new_name(title, (*path, "unless", title))
            one = self.node(title, inner, (*path, "unless", title), kind, look, used, exception=True)
            made.unless[title] = one
            if one.bare and not one.when and not self.problems:
                message = f"the exception '{title}' excuses everything"
                self.fail(one.path, message, "when: a condition, or a requirement")
        return made

    def _waiting(
        self, name: str, data: Any, path: Path, kind: str, outer: Callable[[str], Limit | None], exception: bool
    ) -> Node:
        """The same node of a rule that was found sound before, its parts to be made when they are looked at."""
        made = UnreadNode(name, path)
        if isinstance(data, str):
            data = {"when" if exception else "require": data}
        for key in ("title", "section", "severity", "remedy", "close_with", "note"):
            if data.get(key) is not None:
                setattr(made, key, data[key].strip())
        made.touches = tuple(str(one) for one in data.get("touches") or ())
        made.record = next(((key, data[key].strip()) for key in RECORDS if data.get(key) is not None), None)
        if data.get("join") is not None:
            self._join(made, data, path)
        used: set[str] = set()
        raw = data.get("limits") or {}

        def look(limit: str) -> Limit | None:
            return made.limits[limit] if limit in raw else outer(limit)

        def now(work: Callable[..., Any], *of: Any) -> Any:
            with speaking(declared):
                return work(*of)

        declared = in_force()
        scope = self.scope(kind, look, used)
        made.limits = Unread(
            raw, lambda one, text: now(self.limit, one, text, (*path, "limits", one), kind, look, used)
        )
        when = data.get("when")
        when = when if isinstance(when, dict) else {} if when is None else {"when": when}
        made.when = Unread(when, lambda _, text: now(compile_expression, text, scope))
        if data.get("require") is not None:
            made.waits(partial(now, compile_expression, data["require"], scope))
        unless = data.get("unless")
        unless = unless if isinstance(unless, dict) else {} if unless is None else {"unless": unless}
        made.items = Unread(
            data.get("items") or {},
            lambda one, inner: self._waiting(one, inner, (*path, "items", one), kind, look, False),
        )
        made.unless = Unread(
            unless, lambda one, inner: self._waiting(one, inner, (*path, "unless", one), kind, look, True)
        )
        return made

    def _mapping(self, data: Any, path: Path, what: str) -> dict[str, Any]:
        if data is None:
            return {}
        if isinstance(data, str) and path[-1] == "unless":
            return {"unless": data}
        if not isinstance(data, dict):
            self.fail(path, f"{what} are a mapping of names")
            return {}
        return data

    def _new_name(self, name: str, path: Path) -> None:
        if name in self.names:
            self.fail(
                path,
                f"the name '{name}' stands twice in this rule",
                do="give each item, exception and limit its own name",
            )
        self.names.add(name)

    def scope(self, kind: str, look: Callable[[str], Limit | None], used: set[str]) -> NameScope:
        """Names that an expression of this rule may use."""
        return NameScope(kind, look, self.terms, self.tables, used, lambda: sorted(self.names))

    def compile(self, text: Any, scope: NameScope, path: Path) -> Expression | None:
        """An expression; a mistake in it is noted with its path."""
        if not isinstance(text, str):
            self.fail(path, "an expression was expected here")
            return None
        try:
            return compile_expression(text, scope)
        except AlreadyTold:
            return None
        except RuleError as error:
            self.problems.append((path, error))
            return None

    def _conditions(self, data: Any, path: Path, scope: NameScope) -> dict[str, Expression]:
        if data is None:
            return {}
        named = data if isinstance(data, dict) else {"when": data}
        found: dict[str, Expression] = {}
        for name, text in named.items():
            at = (*path, name) if isinstance(data, dict) else path
            if isinstance(data, dict):
                self._new_name(name, at)
            expression = self.compile(text, scope, at)
            if expression is None:
                continue
            if expression.type.form != "truth":
                self.fail(at, f"the condition '{text}' is {expression.type}, not yes or no")
                continue
            found[name] = expression
        return found

    def _body(
        self,
        made: Node,
        data: Mapping[str, Any],
        path: Path,
        kind: str,
        look: Callable[[str], Limit | None],
        used: set[str],
        scope: NameScope,
        short: bool,
    ) -> None:
        given = [key for key in ("require", "items", *RECORDS) if data.get(key) is not None]
        if len(given) > 1:
            self.fail(
                path, f"{' and '.join(given)} stand together", "one of them", "write several requirements as items"
            )
        if data.get("require") is not None:
            at = path if short else (*path, "require")
            made.require = self.compile(data["require"], scope, at)
            if made.require is not None:
                self._requirement(made.require, at)
        for key in RECORDS:
            if data.get(key) is not None:
                made.record = (key, self.text(data, key, path))
        if data.get("join") is not None:
            self._join(made, data, path)
        for name, inner in self._mapping(data.get("items"), (*path, "items"), "items").items():
            self._new_name(name, (*path, "items", name))
            made.items[name] = self.node(name, inner, (*path, "items", name), kind, look, used)
            if made.items[name].bare and not self.problems:
                self.fail((*path, "items", name), f"the item '{name}' requires nothing")

    def _join(self, made: Node, data: Mapping[str, Any], path: Path) -> None:
        """all, any, or at least some number of the items."""
        some = AT_LEAST.fullmatch(str(data["join"]).strip())
        if some is None:
            made.join = self.choice(data, "join", ("all", "any"), path)
            return
        made.join, made.least = "any", int(some[1])
        number = len(data["items"]) if isinstance(data.get("items"), dict) else 0
        if not 1 < made.least < number:
            do = "all of them is join: all, one of them is join: any"
            self.fail((*path, "join"), f"'{data['join']}' of {number} items says nothing of its own", "at least 2", do)

    def _requirement(self, expression: Expression, path: Path) -> None:
        import ast

        if expression.type.form != "truth":
            self.fail(
                path,
                f"'{expression.text}' is {expression.type}; a requirement is met or not",
                "a comparison or a yes-or-no fact",
            )
        if any(isinstance(node, ast.BoolOp) for node in ast.walk(expression.tree)):
            self.fail(
                path,
                f"'{expression.text}' joins two requirements",
                "one comparison an item",
                "write items, with join: any for 'or'",
            )

    def _limits(
        self, data: Any, made: Node, path: Path, kind: str, outer: Callable[[str], Limit | None], used: set[str]
    ) -> Callable[[str], Limit | None]:
        raw = self._mapping(data, path, "limits")
        busy: set[str] = set()
        failed: set[str] = set()

        def look(name: str) -> Limit | None:
            if name in made.limits:
                return made.limits[name]
            if name not in raw:
                return outer(name)
            if name in busy:
                raise RuleError(f"the limit '{name}' is defined by itself")
            if len(busy) > DEEPEST:
                raise RuleError(f"more than {DEEPEST} limits are built on each other at '{name}'")
            if name in failed:
                raise AlreadyTold(f"the limit '{name}' cannot be read")
            busy.add(name)
            try:
                made.limits[name] = self.limit(name, raw[name], (*path, name), kind, look, used)
            except RuleError as error:
                failed.add(name)
                if not isinstance(error, AlreadyTold):
                    self.problems.append(((*path, name), error))
                raise AlreadyTold(f"the limit '{name}' cannot be read") from None
            finally:
                busy.discard(name)
            return made.limits[name]

        for name in raw:
            self._new_name(name, (*path, name))
            if fact_of(kind, name) is not None:
                self.fail(
                    (*path, name),
                    f"the limit '{name}' has the name of a fact of {kind}",
                    do="give the limit another name",
                )
                continue
            with contextlib.suppress(AlreadyTold):
                look(name)
        return look

    def limit(
        self, name: str, data: Any, path: Path, kind: str, look: Callable[[str], Limit | None], used: set[str]
    ) -> Limit:
        """One limit in any of its forms."""
        scope = self.scope(kind, look, used)
        if isinstance(data, list):
            return self._list_limit(name, data)
        if isinstance(data, dict):
            schedule = self._schedule(name, data, path, scope)
            return Limit(
                name, _spell(data), schedule.type or NUMBER, schedule=schedule, unit=_first_unit(schedule.rows)
            )
        if not isinstance(data, str):
            raise RuleError(f"the limit '{name}' has no value", "a value with its unit: 6 ft")
        if data.startswith("blank"):
            of = _unit_dimension(data.removeprefix("blank").strip())
            return Limit(name, data, Type("quantity", of) if of else Type("word"), blank=data)
        cell = limit_form.read_cell(data, lambda text: compile_expression(text, scope))
        of_type = self._cell_type(cell, data)
        return Limit(name, data, of_type, cell=cell, unit=cell.unit if of_type.dimension else "")

    def _cell_type(self, cell: Cell, text: Any) -> Type:
        if isinstance(text, list):
            return limit_form.read_list(text)[1]
        if cell.expression is not None:
            return cell.expression.type
        if cell.ask or cell.value is NO_LIMIT or cell.value is NOT_ALLOWED:
            return Type("any")
        return limit_form.read_scalar(text)[1]

    def _list_limit(self, name: str, data: list[Any]) -> Limit:
        try:
            values, of, unit = limit_form.read_list(data)
        except RuleError as error:
            raise RuleError(f"the limit '{name}': {error.message}", error.expected, error.do) from None
        return Limit(name, ", ".join(map(str, data)), of, many=values, unit=unit)

    def _schedule(self, name: str, data: Mapping[str, Any], path: Path, scope: NameScope) -> Schedule:
        for key in data:
            if key not in SCHEDULE_KEYS:
                near = nearest(key, SCHEDULE_KEYS)
                raise RuleError(
                    f"'{key}' is not part of a schedule",
                    ", ".join(SCHEDULE_KEYS),
                    f"did you mean '{near}'?" if near else "",
                )
        by = data.get("by")
        texts = by if isinstance(by, list) else [by]
        if not texts or not all(isinstance(text, str) for text in texts):
            raise RuleError(f"the schedule '{name}' says what it goes by", "by: a fact or an expression")
        keys = []
        for text in texts:
            expression = compile_expression(str(text), scope)
            by_number = expression.type.form == "quantity"
            keys.append(Key(str(text), str(data.get("between") or "exact") if by_number else "exact", expression))
        between = ("exact", "next row up", "next row down", "interpolate")
        if data.get("between") and data["between"] not in between:
            raise RuleError(f"'{data['between']}' is no way between rows", "one of: " + ", ".join(between))
        if data.get("between") and not any(key.expression.type.form == "quantity" for key in keys if key.expression):
            raise RuleError(f"nothing lies between the rows of '{name}': {', '.join(map(str, texts))} is no quantity")
        return self.rows(name, keys, data, (), scope)

    def rows(
        self, name: str, keys: list[Key], whole: Mapping[str, Any], columns: tuple[str, ...], scope: NameScope | None
    ) -> Schedule:
        """Read the rows of a schedule or table (`whole`) down to its cells."""
        outside = whole.get("outside")
        meant = outside is not None or bool(whole.get("note"))
        schedule = Schedule(keys, {}, columns=columns)
        cells: list[tuple[Cell, Any, str]] = []
        alike: set[tuple[Any, ...]] = set()  # most rows of a table lead to the same rows
        unread: list[Unread] = []

        def rows_of(data: Mapping[str, Any], depth: int) -> None:
            key = keys[depth]
            of = key.expression.type if key.expression else None
            here = {text: text if key.how == "word" else limit_form.row_key(text, of) for text in data}
            limit_form.check_rows(here, gaps=meant or key.how not in ("exact", "band"))
            if key.how in ("next row up", "next row down", "interpolate"):
                odd = [text for text, row in here.items() if isinstance(row, (str, bool, limit_form.Band))]
                if odd:
                    raise RuleError(f"the row '{odd[0]}' of '{name}' is no number; {key.how} goes by numbers")
            schedule.rows_read.update({(depth, text): row for text, row in here.items()})

        def read(data: Any, depth: int) -> Any:
            if depth == len(keys):
                if columns:
                    if not isinstance(data, dict) or set(data) - set(columns):
                        raise RuleError(f"a row of '{name}' has the columns {', '.join(columns)}")
                    return {column: cell(data.get(column), column) for column in columns}
                return cell(data)
            if not isinstance(data, dict) or not data:
                raise RuleError(f"'{name}' has no rows for {keys[depth].name}")
            if (depth, *data) not in alike:
                alike.add((depth, *data))
                rows_of(data, depth)
            if self.trusted and scope is None and depth == len(keys) - 1:
                unread.append(Unread(data, lambda _, inner: read(inner, depth + 1)))
                return unread[-1]
            return {text: read(inner, depth + 1) for text, inner in data.items()}

        def cell(data: Any, column: str = "") -> Cell:
            if data is None:
                return Cell("not recorded", ask=True)
            if scope is None and isinstance(data, str) and data.startswith("="):
                raise RuleError("a shared table has values, no expressions")
            made = limit_form.read_cell(data, lambda text: compile_expression(text, scope))  # type: ignore[arg-type]
            cells.append((made, data, column))
            return made

        schedule.rows = read(whole.get("rows"), 0)
        schedule.outside = cell(outside) if outside is not None else None
        _first_cells(unread, columns or ("",), cells)
        interpolated = any(key.how == "interpolate" for key in keys)
        for column in columns or ("",):
            own = (self._cell_type(made, text) for made, text, at in cells if at in (column, ""))
            schedule.types[column] = self._one_type(name, column, [one for one in own if one.form != "any"])
            if interpolated and schedule.types[column].form != "quantity":
                message = (
                    f"the cells of '{name}' are {schedule.types[column]}; only quantities have values between them"
                )
                raise RuleError(message)
        schedule.type = schedule.types[columns[0] if columns else ""]
        return schedule

    def _one_type(self, name: str, column: str, types: list[Type]) -> Type:
        """What all cells of a schedule, or of one column of a table, are."""
        first = types[0] if types else NUMBER
        for one in types[1:]:
            same = (
                one.dimension.powers == first.dimension.powers
                if one.dimension and first.dimension and one.form == first.form
                else one.form == first.form and one.dimension is first.dimension
            )
            if not same:
                where = f"column '{column}' of '{name}'" if column else f"'{name}'"
                expected = "one dimension in all rows" + (" of a column" if column else "")
                raise RuleError(f"the cells of {where} are {first} and {one}", expected)
        if first.form == "words":
            return Type("words", words=tuple(dict.fromkeys(word for one in types for word in one.words)))
        return Type("word") if first.form == "word" else first

    def table(self, name: str, data: Any) -> Schedule | None:
        """A shared table."""
        if not isinstance(data, dict):
            self.fail((), f"the table '{name}' is a mapping: section, keys, rows, basis")
            return None
        self.keys(data, TABLE_KEYS, (), "a table")
        self._basis(data.get("basis"))
        self.text(data, "section", (), needed=True)
        keys_data = data.get("keys")
        if not isinstance(keys_data, dict):
            self.fail(
                (),
                f"the table '{name}' declares its keys",
                "keys: {size: exact} (word, exact, band, next row up, next row down, interpolate)",
            )
            return None
        keys = []
        for key, how in keys_data.items():
            if how not in limit_form.HOWS:
                self.fail(("keys", key), f"'{how}' is no way to find a row", "one of: " + ", ".join(limit_form.HOWS))
            keys.append(Key(key, str(how)))
        columns = tuple(str(c) for c in data["columns"]) if isinstance(data.get("columns"), list) else ()
        try:
            return self.rows(name, keys, data, columns, None)
        except RuleError as error:
            self.problems.append((("rows",), error))
            return None

    def term(self, name: str, data: Any) -> Term | None:
        """A shared definition."""
        if not isinstance(data, dict):
            self.fail((), f"the term '{name}' is a mapping: of, is, section")
            return None
        self.keys(data, TERM_KEYS, (), "a term")
        kind, text = self.text(data, "of", (), needed=True), self.text(data, "is", (), needed=True)
        if kind not in registry.kinds():
            near = nearest(kind, registry.kinds())
            self.fail(
                ("of",), f"there is no kind of thing called '{kind}'", do=f"did you mean '{near}'?" if near else ""
            )
            return None
        used: set[str] = set()
        holder = self._waiting(name, data, (), kind, lambda _: None, False) if self.trusted else Node(name, ())
        if self.trusted:
            return Term(name, kind, text, self.scope(kind, holder.limits.get, used))
        look = self._limits(data.get("limits"), holder, ("limits",), kind, lambda _: None, used)
        return Term(name, kind, text, self.scope(kind, look, used))


def _first_cells(unread: list[Unread], columns: tuple[str, ...], cells: list[tuple[Cell, Any, str]]) -> None:
    """Read rows until every column has a cell with a value: in a sound table that says what all of them are."""
    for rows in unread:
        for key in rows:
            known = {at for made, _, at in cells if not made.ask and made.text not in limit_form.SPECIAL}
            if known.issuperset(columns) and not any(isinstance(made.value, tuple) for made, _, _ in cells):
                return
            rows[key]


def _spell(data: Any) -> str:
    if isinstance(data, dict):
        return "; ".join(f"{key}: {_spell(value)}" for key, value in data.items())
    return ", ".join(map(str, data)) if isinstance(data, list) else str(data)


def _first_unit(rows: Any) -> str:
    if isinstance(rows, Cell):
        return rows.unit if rows.unit != "word" else ""
    if isinstance(rows, dict):
        for inner in rows.values():
            unit = _first_unit(inner)
            if unit:
                return unit
    return ""


def _unit_dimension(unit: str) -> Dimension | None:
    if not unit:
        return dimension("number")
    try:
        return read_any(f"1 {unit}").dimension
    except QuantityError:
        raise RuleError(f"'{unit}' is no unit", "blank psf, blank ft, blank h") from None
