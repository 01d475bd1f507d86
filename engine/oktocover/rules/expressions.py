"""The small expression language of rules: Python's syntax, none of its powers.

Words stand in quotes, facts are bare, the only numbers are 0 and 1, calls go to registered measures. An
expression is checked once against names and dimensions, and compiled: when every value it needs is exact it runs
as one plain Python function, otherwise its tree is walked with three-valued interval logic.
"""

from __future__ import annotations

import ast
import copy
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations
from typing import Any, Protocol

from oktocover.measures.values import Range, Unknown
from oktocover.quantities import dimension, show, show_apart
from oktocover.rules import days, intervals
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.types import NUMBER, TRUTH, RuleError, Type

LONGEST = 2_000
DEEPEST = 60
COMPARE: dict[type[ast.cmpop], str] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
    ast.In: "in",
    ast.NotIn: "not in",
}
ARITHMETIC: dict[type[ast.operator], tuple[str, Callable[[Any, Any], Any]]] = {
    ast.Add: ("+", intervals.add),
    ast.Sub: ("-", intervals.subtract),
    ast.Mult: ("x", intervals.multiply),
    ast.Div: ("/", intervals.divide),
}
EXTREMES = {"min": intervals.least, "max": intervals.greatest}
ON_DATES: dict[str, Callable[..., Any]] = {
    "days_between": days.between,
    "days_on": days.later,
    "months_on": days.months_later,
}
"""What + and - become where a date stands on one side."""


NOT_PLAIN = frozenset((Unknown, Range, float, type(NO_LIMIT)))
"""Types of values that the plain function of an expression cannot take."""


class Leaf(Protocol):
    """A named value that an expression needs: a fact, a limit, a term, a look-up or a call of a measure."""

    type: Type
    text: str

    def get(self, env: Any) -> Any:
        """The value for the subject of `env`."""


class Scope(Protocol):
    """Where names are looked up while an expression is checked."""

    def name(self, dotted: str) -> Leaf:
        """The leaf a (dotted) name stands for; RuleError when there is none."""

    def call(self, function: str, arguments: list[ast.expr], options: dict[str, ast.expr]) -> Leaf:
        """The leaf of a call of a measure."""

    def look_up(self, table: str, keys: list[ast.expr], column: str) -> Leaf:
        """The leaf of a table look-up."""


@dataclass(slots=True)
class Expression:
    """A checked expression, ready to be evaluated."""

    text: str
    tree: ast.expr
    type: Type
    leaves: dict[str, Leaf]
    _fast: Callable[..., Any] | None = field(default=None, repr=False)
    _uses: int = 0

    def values(self, env: Any) -> dict[str, Any]:
        """The value of each leaf, by its name in the tree."""
        return {name: leaf.get(env) for name, leaf in self.leaves.items()}

    def evaluate(self, env: Any, values: dict[str, Any] | None = None) -> Any:
        """The value for the subject of `env`: exact, a Range, Unknown, or a truth."""
        found = {name: leaf.get(env) for name, leaf in self.leaves.items()} if values is None else values
        for value in found.values():
            if type(value) in NOT_PLAIN:
                break
        else:
            try:
                if self._fast is not None or self._worth_compiling():
                    return (self._fast or self.fast)(*found.values())
            except (ZeroDivisionError, TypeError, OverflowError):
                pass  # a division by nothing, or a word where a figure is needed: the tree knows what to make of it
        value = _walk(self.tree, found, 1)
        return _truth(value, 1) if self.type.form == "truth" else value

    def _worth_compiling(self) -> bool:
        """Compiling costs as much as walking the tree a dozen times: small buildings never need it."""
        self._uses += 1
        return self._uses > COMPILE_AFTER

    @property
    def fast(self) -> Callable[..., Any]:
        """The plain function of the leaves, compiled on first use."""
        if self._fast is None:
            self._fast = _compile(self.tree, tuple(self.leaves))
        return self._fast

    def shown(self, values: dict[str, Any], units: dict[str, str]) -> str:
        """The expression with its names replaced by their values, as a person would write the sum down."""
        texts = {name: show_value(values[name], leaf.type, units.get(name)) for name, leaf in self.leaves.items()}
        for one, other in combinations(self.leaves, 2):
            of = self.leaves[one].type.dimension
            same = of is not None and texts[one] == texts[other] and of == self.leaves[other].type.dimension
            if same and of is not None and _differ(values[one], values[other]):
                # 500.02 ft3 in parts of 500 ft3 are two parts: the sum has to show it
                texts[one], texts[other] = show_apart(values[one], values[other], of, units.get(one))
        return _render(self.tree, texts)

    def named(self) -> str:
        """The expression in words: names with spaces."""
        return _render(self.tree, {name: leaf.text for name, leaf in self.leaves.items()})


def _differ(one: Any, other: Any) -> bool:
    """Whether two values are exact figures and not the same one."""
    figures = all(isinstance(value, (int, Fraction)) and not isinstance(value, bool) for value in (one, other))
    return figures and bool(one != other)


def show_value(value: Any, of: Type, unit: str | None = None) -> str:
    """A value as a trade person writes it."""
    if isinstance(value, Unknown):
        return "not recorded"
    if value is NO_LIMIT or value is NOT_ALLOWED:
        return str(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (tuple, list)):
        return ", ".join(
            show_value(item, Type("quantity", of.dimension) if of.dimension else of, unit) for item in value
        )
    if isinstance(value, Range):
        return _show_range(value, of, unit)
    if isinstance(value, float) and math.isinf(value):
        return "none there" if value > 0 else "none"
    if isinstance(value, (int, Fraction)) and of.dimension is not None:
        return show(value, of.dimension, unit)
    return str(value)


def _show_range(value: Range, of: Type, unit: str | None) -> str:
    low = None if value.low is None or value.low == -math.inf else show_value(value.low, of, unit)
    high = None if value.high is None or value.high == math.inf else show_value(value.high, of, unit)
    if low is not None and high is not None:
        return f"from {low} to {high}"
    if low is not None:
        return f"{'over' if value.low_open else 'at least'} {low}"
    return f"{'under' if value.high_open else 'at most'} {high}" if high is not None else "not recorded"


def parse(text: str) -> ast.expr:
    """The syntax tree of an expression; anything beyond the language is a RuleError."""
    if len(text) > LONGEST:
        raise RuleError(f"this expression has {len(text)} characters; {LONGEST} are the most")
    try:
        tree = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        reason = error.msg if isinstance(error, SyntaxError) else "it cannot be read"
        raise RuleError(
            f"'{text}' is not an expression: {reason}",
            "something like: held >= hold, or space.use == 'garage'",
            "write words in quotes and names with underscores",
        ) from None
    if len(text) < DEEPEST:
        return tree  # every level takes a character at least
    level: list[ast.AST] = [tree]
    for _ in range(DEEPEST):
        level = [child for node in level for child in ast.iter_child_nodes(node)]
        if not level:
            return tree
    raise RuleError(f"this expression is nested more than {DEEPEST} deep", do="put parts of it into terms or limits")


def compile_expression(text: str, scope: Scope) -> Expression:
    """Parse, check names and dimensions, and make an Expression."""
    tree = parse(text)
    leaves: dict[str, Leaf] = {}
    slim = _Checker(scope, leaves, text).visit(tree)
    return Expression(text, slim[0], slim[1], leaves)


def dotted(node: ast.expr) -> str | None:
    """`a.b.c` as text, or None when the node is not a plain dotted name."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        before = dotted(node.value)
        return None if before is None else f"{before}.{node.attr}"
    return None


class _Checker:
    """Walks a tree once: every name becomes a leaf, every operation is checked for what it may join."""

    def __init__(self, scope: Scope, leaves: dict[str, Leaf], text: str) -> None:
        self.scope = scope
        self.leaves = leaves
        self.text = text
        self.entered: dict[str, str] = {}

    def visit(self, node: ast.expr) -> tuple[ast.expr, Type]:
        if isinstance(node, (ast.Name, ast.Attribute)):
            return self._name(node)
        handler = getattr(self, f"_{type(node).__name__.lower()}", None)
        if handler is None:
            raise RuleError(
                f"'{ast.unparse(node)}' is not part of the rule language",
                "comparisons, and/or/not, + - * /, min, max, ceil, facts, limits and registered measures",
            )
        result: tuple[ast.expr, Type] = handler(node)
        return result

    def leaf(self, source: str, find: Callable[[], Leaf]) -> tuple[ast.expr, Type]:
        """Enter the leaf that stands for a piece of source under a name of its own, once."""
        name = self.entered.get(source)
        if name is None:
            name = self.entered[source] = f"v{len(self.leaves)}"
            self.leaves[name] = find()
        return ast.Name(name, ast.Load()), self.leaves[name].type

    def _name(self, node: ast.expr) -> tuple[ast.expr, Type]:
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Subscript):
            return self._subscript(node.value, node.attr)
        text = dotted(node)
        if text is None:
            raise RuleError(f"'{ast.unparse(node)}': only names may have a dot")
        if "__" in text or text.startswith("_"):
            raise RuleError(f"'{text}' is not a name a rule can use")
        return self.leaf(text, lambda: self.scope.name(text))

    def _constant(self, node: ast.Constant) -> tuple[ast.expr, Type]:
        if isinstance(node.value, str):
            return node, Type("word", words=(node.value,))
        if isinstance(node.value, int) and not isinstance(node.value, bool) and node.value in (0, 1):
            return node, Type("any") if node.value == 0 else NUMBER
        raise RuleError(
            f"the number {node.value!r} stands bare in '{self.text}'",
            "a named limit",
            "put the number under limits: with its unit and use its name here",
        )

    def _list(self, node: ast.List) -> tuple[ast.expr, Type]:
        words = []
        for item in node.elts:
            if not (isinstance(item, ast.Constant) and isinstance(item.value, str)):
                raise RuleError(f"'{ast.unparse(node)}': a list holds words in quotes; put quantities into a limit")
            words.append(item.value)
        return ast.Tuple(node.elts, ast.Load()), Type("words", words=tuple(words))

    def _subscript(self, node: ast.Subscript, column: str = "") -> tuple[ast.expr, Type]:
        table = dotted(node.value)
        if table is None:
            raise RuleError(f"'{ast.unparse(node)}': only a table can be looked up with brackets")
        keys = list(node.slice.elts) if isinstance(node.slice, ast.Tuple) else [node.slice]
        source = f"{ast.unparse(node)}.{column}"
        return self.leaf(source, lambda: self.scope.look_up(table, keys, column))

    def _call(self, node: ast.Call) -> tuple[ast.expr, Type]:
        name = dotted(node.func)
        if name is None:
            raise RuleError(f"'{ast.unparse(node)}' is not a call a rule can make")
        if name in EXTREMES or name == "ceil":
            return self._extreme(name, node)
        if any(isinstance(arg, ast.Starred) for arg in node.args) or any(word.arg is None for word in node.keywords):
            raise RuleError(f"'{ast.unparse(node)}': stars are not part of the rule language")
        options = {word.arg or "": word.value for word in node.keywords}
        return self.leaf(ast.unparse(node), lambda: self.scope.call(name, list(node.args), options))

    def _extreme(self, name: str, node: ast.Call) -> tuple[ast.expr, Type]:
        """min and max of two or more quantities, ceil of one plain number."""
        wanted = "one plain number: ceil(volume / part)" if name == "ceil" else f"quantities: {name}(a, b)"
        if node.keywords or (len(node.args) != 1 if name == "ceil" else len(node.args) < 2):
            raise RuleError(f"'{ast.unparse(node)}': {name} takes {wanted}")
        parts = [self.visit(arg) for arg in node.args]
        for _, one in parts:
            whole = one.dimension is None or one.dimension.powers == NUMBER.dimension.powers  # type: ignore[union-attr]
            if one.form not in ("quantity", "any") or (name == "ceil" and not whole):
                raise RuleError(f"'{ast.unparse(node)}' takes {one}; {name} takes {wanted}")
        of = self._same([part[1] for part in parts], name)
        return ast.Call(ast.Name(name, ast.Load()), [part[0] for part in parts], []), of

    def _same(self, types: list[Type], where: str) -> Type:
        known = [one for one in types if one.form != "any"]
        for one in known[1:]:
            self._match(known[0], one, where)
        return known[0] if known else NUMBER

    def _match(self, left: Type, right: Type, where: str) -> None:
        if "any" in (left.form, right.form):
            return
        if left.form == "quantity" and right.form == "quantity" and left.dimension and right.dimension:
            if left.dimension.powers == right.dimension.powers:
                return
            raise RuleError(f"'{self.text}' compares {left} with {right} ({where})", f"{left} on both sides")
        if all(one.form in ("word", "text") for one in (left, right)):
            self._check_words(left, right)
            return
        for one, word in ((left, right), (right, left)):
            if one.form == "quantity" and word.form == "word" and set(word.words) & set(one.words):
                return
        if left.form != right.form or left.form in ("words", "quantities", "many"):
            raise RuleError(f"'{self.text}' compares {left} with {right} ({where})")

    def _check_words(self, left: Type, right: Type) -> None:
        from oktocover.reading.nearest import nearest

        for known, used in ((left, right), (right, left)):
            if known.form == "word" and len(known.words) > 1:
                for word in used.words:
                    if word not in known.words:
                        near = nearest(word, known.words)
                        raise RuleError(
                            f"'{word}' is not a word this fact can be",
                            "one of: " + ", ".join(known.words),
                            f"did you mean '{near}'?" if near else "",
                        )

    def _binop(self, node: ast.BinOp) -> tuple[ast.expr, Type]:
        if type(node.op) not in ARITHMETIC:
            raise RuleError(f"'{ast.unparse(node)}': only + - * / are part of the rule language")
        (left, a), (right, b) = self.visit(node.left), self.visit(node.right)
        if a.form == "date":
            return self._date(node, left, right, b)
        for one in (a, b):
            # insulation compares part by part, and no sum of parts is a value of it
            if one.form not in ("quantity", "any") or (one.dimension and one.dimension.name == "insulation"):
                raise RuleError(f"'{ast.unparse(node)}' calculates with {one}")
        tree = ast.BinOp(left, node.op, right)
        if isinstance(node.op, (ast.Add, ast.Sub)):
            return tree, self._same([a, b], ast.unparse(node))
        if a.dimension is None or b.dimension is None:
            return tree, a if a.dimension else b
        joined = a.dimension * b.dimension if isinstance(node.op, ast.Mult) else a.dimension / b.dimension
        return tree, Type("quantity", joined)

    def _date(self, node: ast.BinOp, left: ast.expr, right: ast.expr, of: Type) -> tuple[ast.expr, Type]:
        """A date less a date is a time; a date with a time, or months and years of the calendar, is a date."""
        name = of.dimension.name if of.dimension is not None else of.form
        known = {"time": "days_on", "calendar time": "months_on"}.get(name)
        if name == "date" and isinstance(node.op, ast.Sub):
            return _called("days_between", left, right), Type("quantity", dimension("time"))
        if known is None or not isinstance(node.op, (ast.Add, ast.Sub)):
            raise RuleError(f"'{ast.unparse(node)}' calculates with a date", "day + 30 d, day + 6 months, day - day")
        more = right if isinstance(node.op, ast.Add) else ast.UnaryOp(ast.USub(), right)
        return _called(known, left, more), Type("date")

    def _unaryop(self, node: ast.UnaryOp) -> tuple[ast.expr, Type]:
        inner, of = self.visit(node.operand)
        if isinstance(node.op, ast.Not):
            self._truth(of, node.operand)
            return ast.UnaryOp(node.op, inner), TRUTH
        if isinstance(node.op, ast.USub) and of.form == "quantity":
            return ast.UnaryOp(node.op, inner), of
        raise RuleError(f"'{ast.unparse(node)}' is not part of the rule language")

    def _truth(self, of: Type, node: ast.expr) -> None:
        if of.form != "truth":
            raise RuleError(f"'{ast.unparse(node)}' is {of}, not yes or no", "a comparison or a yes-or-no fact")

    def _boolop(self, node: ast.BoolOp) -> tuple[ast.expr, Type]:
        parts = []
        for value in node.values:
            inner, of = self.visit(value)
            self._truth(of, value)
            parts.append(inner)
        return ast.BoolOp(node.op, parts), TRUTH

    def _compare(self, node: ast.Compare) -> tuple[ast.expr, Type]:
        left, of = self.visit(node.left)
        others = []
        for op, right in zip(node.ops, node.comparators, strict=True):
            if type(op) not in COMPARE:
                raise RuleError(f"'{ast.unparse(node)}': comparisons are < <= > >= == != in, not in")
            inner, right_type = self.visit(right)
            if isinstance(op, (ast.In, ast.NotIn)):
                self._membership(of, right_type, node)
            else:
                self._match(of, right_type, ast.unparse(node))
                if not isinstance(op, (ast.Eq, ast.NotEq)):
                    self._ordered(of, right_type, node)
            others.append(inner)
            of = right_type
        return ast.Compare(left, node.ops, others), TRUTH

    def _ordered(self, left: Type, right: Type, node: ast.Compare) -> None:
        for one in (left, right):
            if one.form not in ("quantity", "date", "any"):
                raise RuleError(
                    f"'{ast.unparse(node)}': {one} is neither more nor less than another", "== or !=, or in [...]"
                )

    def _membership(self, item: Type, choices: Type, node: ast.Compare) -> None:
        if choices.form == "words" and item.form in ("word", "text"):
            self._check_words(item, choices)
        elif choices.form == "quantities" and item.form == "quantity":
            self._match(item, Type("quantity", choices.dimension), ast.unparse(node))
        else:
            raise RuleError(
                f"'{ast.unparse(node)}' asks whether {item} is in {choices}", "a list of words or quantities"
            )


def _called(name: str, *arguments: ast.expr) -> ast.Call:
    return ast.Call(ast.Name(name, ast.Load()), list(arguments), [])


COMPILE_AFTER = 12
"""Evaluations by walking the tree before an expression is compiled."""

SAFE: dict[str, Any] = {"__builtins__": {}, "min": min, "max": max, "ceil": math.ceil, "Fraction": Fraction, **ON_DATES}


class _Exact(ast.NodeTransformer):
    """Division stays exact: a / b of whole numbers is a Fraction, never a float."""

    def visit_BinOp(self, node: ast.BinOp) -> ast.expr:
        self.generic_visit(node)
        if isinstance(node.op, ast.Div):
            exact = ast.Call(ast.Name("Fraction", ast.Load()), [node.left], [])
            return ast.BinOp(exact, ast.Div(), node.right)
        return node


def exact_body(tree: ast.expr) -> ast.expr:
    """A copy of a checked tree, ready to be run by Python."""
    body: ast.expr = _Exact().visit(copy.deepcopy(tree))
    return body


def _compile(tree: ast.expr, names: tuple[str, ...]) -> Callable[..., Any]:
    body = exact_body(tree) if any(isinstance(part, ast.Div) for part in ast.walk(tree)) else tree
    arguments = ast.arguments(
        posonlyargs=[], args=[ast.arg(name) for name in names], kwonlyargs=[], kw_defaults=[], defaults=[]
    )
    whole = ast.fix_missing_locations(ast.Expression(ast.Lambda(arguments, body)))
    # The tree holds nothing but names of leaves, words, 0, 1 and the operators admitted above.
    made: Callable[..., Any] = eval(compile(whole, "<rule>", "eval"), dict(SAFE))
    return made


def _walk(node: ast.expr, values: dict[str, Any], up: int = 0) -> Any:
    """The value of a tree on intervals and unknowns.

    `up` says whether a greater value here helps the requirement (1), hurts it (-1), or nobody can tell (0): what
    'no limit' and 'not allowed' mean inside min and max follows from it.
    """
    if isinstance(node, ast.Name):
        return values[node.id]
    if isinstance(node, ast.Constant):
        return node.value
    if isinstance(node, ast.Tuple):
        return tuple(_walk(item, values) for item in node.elts)
    if isinstance(node, ast.BinOp):
        turned = -up if isinstance(node.op, (ast.Sub, ast.Div)) else up
        left, right = _walk(node.left, values, up), _walk(node.right, values, turned)
        return _special(left, right) or ARITHMETIC[type(node.op)][1](left, right)
    if isinstance(node, ast.UnaryOp):
        inner = _walk(node.operand, values, -up)
        if isinstance(node.op, ast.Not):
            return intervals.opposite(_truth(inner, -up))
        return _special(inner) or intervals.negate(inner)
    if isinstance(node, ast.BoolOp):
        parts = [_truth(_walk(part, values, up), up) for part in node.values]
        return intervals.both(*parts) if isinstance(node.op, ast.And) else intervals.either(*parts)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        arguments = [_walk(part, values, up) for part in node.args]
        if node.func.id in ON_DATES:
            return intervals.undecided_or(ON_DATES[node.func.id], *arguments)
        if node.func.id == "ceil":
            return _special(*arguments) or intervals.ceiling(arguments[0])
        return _extreme(node.func.id, arguments, up)
    if isinstance(node, ast.Compare):
        return _walk_compare(node, values, up)
    raise TypeError(f"no value for {ast.dump(node)}")


def _special(*values: Any) -> Any:
    """'not allowed' if that is among some values, else 'no limit' if it is, else None."""
    if any(value is NOT_ALLOWED for value in values):
        return NOT_ALLOWED
    return NO_LIMIT if any(value is NO_LIMIT for value in values) else None


def _truth(value: Any, up: int) -> Any:
    """A yes-or-no value in which 'no limit' helps and 'not allowed' hurts."""
    if value is NO_LIMIT:
        return up >= 0
    return up < 0 if value is NOT_ALLOWED else value


def _extreme(name: str, values: list[Any], up: int) -> Any:
    """min or max in which 'no limit' is beyond every figure on the helping side, 'not allowed' on the other."""
    special = _special(*values)
    if special is None:
        return EXTREMES[name](*values)
    # Where nobody can tell which side helps, the stricter reading holds.
    beyond = NOT_ALLOWED if not up or (name == "max") != (up > 0) else NO_LIMIT
    figures = [value for value in values if value is not NO_LIMIT and value is not NOT_ALLOWED]
    if any(value is beyond for value in values) or not figures:
        return beyond if any(value is beyond for value in values) else special
    return EXTREMES[name](*figures)


_HELPS_RIGHT = {"<": 1, "<=": 1, ">": -1, ">=": -1}


def _walk_compare(node: ast.Compare, values: dict[str, Any], up: int) -> Any:
    ops = [COMPARE[type(op)] for op in node.ops]
    helps = [_HELPS_RIGHT.get(op, 0) * (up or 1) for op in ops]
    # In a chain the measured value stands in the middle, between two needs.
    left = _walk(node.left, values, -helps[0])
    truths = []
    for op, helped, other in zip(ops, helps, node.comparators, strict=True):
        right = _walk(other, values, helped)
        truths.append(_compared(op, left, right, up))
        left = right
    return intervals.both(*truths)


def _compared(op: str, left: Any, right: Any, up: int) -> Any:
    special = _special(left, right)
    return compare(op, left, right) if special is None else _truth(special, up)


def compare(op: str, left: Any, right: Any) -> Any:
    """One comparison, three-valued."""
    if op in ("in", "not in"):
        if isinstance(right, Unknown):
            return right
        found = intervals.one_of(left, right)
        return found if op == "in" else intervals.opposite(found)
    if op in ("==", "!="):
        same = intervals.equal(left, right)
        return same if op == "==" else intervals.opposite(same)
    if op in ("<", "<="):
        return intervals.less(left, right, op == "<=")
    return intervals.less(right, left, op == ">=")


def _render(node: ast.expr, names: dict[str, str]) -> str:
    if isinstance(node, ast.Name):
        return names.get(node.id, node.id)
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.Tuple):
        return ", ".join(_render(item, names) for item in node.elts)
    if isinstance(node, ast.BinOp):
        sign = ARITHMETIC[type(node.op)][0]
        return f"{_inner(node.left, node, names)} {sign} {_inner(node.right, node, names)}"
    if isinstance(node, ast.UnaryOp):
        return ("not " if isinstance(node.op, ast.Not) else "-") + _inner(node.operand, node, names)
    if isinstance(node, ast.BoolOp):
        return (" and " if isinstance(node.op, ast.And) else " or ").join(_inner(p, node, names) for p in node.values)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id in ON_DATES:
            first, more = node.args
            sign = "-" if isinstance(more, ast.UnaryOp) or node.func.id == "days_between" else "+"
            more = more.operand if isinstance(more, ast.UnaryOp) else more
            return f"{_render(first, names)} {sign} {_render(more, names)}"
        word = {"min": "smaller of", "max": "greater of", "ceil": "rounded up:"}[node.func.id]
        return f"{word} ({'; '.join(_render(part, names) for part in node.args)})"
    if isinstance(node, ast.Compare):
        parts = [_render(node.left, names)]
        for op, right in zip(node.ops, node.comparators, strict=True):
            parts += [COMPARE[type(op)], _render(right, names)]
        return " ".join(parts)
    return ast.unparse(node)


def _inner(node: ast.expr, outer: ast.expr, names: dict[str, str]) -> str:
    text = _render(node, names)
    loose = (
        isinstance(node, (ast.BoolOp, ast.Compare))
        or (
            isinstance(node, ast.BinOp)
            and isinstance(node.op, (ast.Add, ast.Sub))
            and isinstance(outer, ast.BinOp)
            and not isinstance(outer.op, ast.Add)
        )
        or (isinstance(node, ast.BinOp) and isinstance(outer, ast.BinOp) and isinstance(outer.op, ast.Div))
    )
    return f"({text})" if loose else text
