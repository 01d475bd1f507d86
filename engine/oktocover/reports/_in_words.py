"""Expressions and limits of rules in plain words: what a rule file says with names and signs, as a sentence."""

from __future__ import annotations

import ast
from collections.abc import Iterable

from oktocover.rules.expressions import COMPARE, Expression
from oktocover.rules.form import Node
from oktocover.rules.limits import Limit
from oktocover.rules.scope import FactLeaf, LimitLeaf, ListCallLeaf, PlainCallLeaf, TableLeaf, TermLeaf

OPS = {
    "<=": "at most",
    ">=": "at least",
    "<": "under",
    ">": "over",
    "==": "",
    "!=": "other than",
    "in": "one of",
    "not in": "none of",
}
RECORD = {
    "look": "somebody has looked and says yes",
    "document": "a paper says so",
    "approval": "the office has said yes in writing",
    "maker": "the maker's sheet says so",
    "test": "a test says so",
}


def say(expression: Expression, bare: bool = False) -> str:
    """An expression as a phrase. `bare`: a comparison without 'is' ('held at least 10 min')."""
    return _Speaker(expression, bare).of(expression.tree)


def say_all(conditions: Iterable[Expression]) -> str:
    """Conditions that all have to hold."""
    several = list(conditions)
    either = [isinstance(one.tree, ast.BoolOp) and isinstance(one.tree.op, ast.Or) for one in several]
    texts = [
        f"({say(one)})" if loose and len(several) > 1 else say(one) for one, loose in zip(several, either, strict=True)
    ]
    return ", and ".join(texts)


def say_limit(limit: Limit) -> str:
    """A limit's value in words."""
    if limit.blank:
        return f"a value that the place sets ({limit.blank.removeprefix('blank').strip() or 'a number'})"
    if limit.cell is not None and limit.cell.expression is not None:
        return say(limit.cell.expression)
    return limit.text


def asked(node: Node) -> str:
    """What an item or exception requires, in words; nothing when it requires nothing of its own."""
    if node.require is not None:
        return say(node.require)
    if node.record is not None:
        return f"{node.record[1].rstrip('.')} ({RECORD[node.record[0]]})"
    return ""


class _Speaker:
    """One expression, spoken."""

    def __init__(self, expression: Expression, bare: bool) -> None:
        self.leaves = expression.leaves
        self.verb = "" if bare else "is "

    def of(self, node: ast.expr) -> str:
        """A node as words."""
        handler = getattr(self, f"_{type(node).__name__.lower()}", None)
        text: str = handler(node) if handler else ast.unparse(node)
        return text

    def _name(self, node: ast.Name) -> str:
        leaf = self.leaves.get(node.id)
        if leaf is None:
            return node.id
        if leaf.type.form == "truth":
            return self._truth(node, True)
        return self._value(leaf)

    def _truth(self, node: ast.expr, yes: bool) -> str:
        leaf = self.leaves.get(node.id) if isinstance(node, ast.Name) else None
        if isinstance(leaf, TermLeaf):
            return f"'{_term(leaf)}' {'holds' if yes else 'does not hold'}"
        if isinstance(leaf, ListCallLeaf) and leaf.name in ("every", "some"):
            quantity = {"every": "every one", "some": "at least one"}[leaf.name]
            if not yes:
                quantity = {"every": "not every one", "some": "none"}[leaf.name]
            return f"{quantity} of {_list(leaf)} is '{_member(leaf)}'"
        if leaf is not None:
            return f"{self._value(leaf)} is {'yes' if yes else 'no'}"
        return self.of(node) if yes else f"not ({self.of(node)})"

    def _value(self, leaf: object) -> str:
        if isinstance(leaf, FactLeaf):
            return fact_words(leaf.path)
        if isinstance(leaf, LimitLeaf):
            return _limit_value(leaf.limit)
        if isinstance(leaf, TermLeaf):
            return _term(leaf)
        if isinstance(leaf, ListCallLeaf):
            return _over_list(leaf)
        if isinstance(leaf, PlainCallLeaf):
            return f"{leaf.function.name.replace('_', ' ')} of {' and '.join(say(one) for one in leaf.arguments)}"
        if isinstance(leaf, TableLeaf):
            keys = " and ".join(say(key) for key in leaf.keys)
            column = f"{leaf.column.replace('_', ' ')} in " if leaf.column else ""
            return f"{column}table '{leaf.name.replace('_', ' ')}' for {keys}"
        return str(getattr(leaf, "text", leaf))

    def _constant(self, node: ast.Constant) -> str:
        return str(node.value)

    def _tuple(self, node: ast.Tuple) -> str:
        return ", ".join(self.of(item) for item in node.elts)

    def _binop(self, node: ast.BinOp) -> str:
        sign = {ast.Add: "+", ast.Sub: "-", ast.Mult: "x", ast.Div: "/"}[type(node.op)]
        return f"{self._part(node.left, node)} {sign} {self._part(node.right, node)}"

    def _part(self, node: ast.expr, outer: ast.BinOp) -> str:
        loose = isinstance(node, ast.BinOp) and (
            isinstance(node.op, (ast.Add, ast.Sub)) or isinstance(outer.op, ast.Div)
        )
        return f"({self.of(node)})" if loose else self.of(node)

    def _unaryop(self, node: ast.UnaryOp) -> str:
        if isinstance(node.op, ast.Not):
            return self._truth(node.operand, False)
        return f"-{self.of(node.operand)}"

    def _boolop(self, node: ast.BoolOp) -> str:
        word = " and " if isinstance(node.op, ast.And) else " or "
        return word.join(f"({self.of(one)})" if isinstance(one, ast.BoolOp) else self.of(one) for one in node.values)

    def _call(self, node: ast.Call) -> str:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        parts = [self.of(part) for part in node.args]
        if name == "ceil":
            return f"({parts[0]}, rounded up)"
        word = "the greater of" if name == "max" else "the smaller of"
        return f"{word} ({'; '.join(parts)})"

    def _compare(self, node: ast.Compare) -> str:
        sides = [self.of(side) for side in (node.left, *node.comparators)]
        ops = [COMPARE[type(op)] for op in node.ops]
        if len(ops) == 2:
            low, high = ("from", "to") if ops == ["<=", "<="] else (f"{_turned(ops[0])}", f"and {OPS[ops[1]]}")
            return f"{sides[1]} {self.verb}{low} {sides[0]} {high} {sides[2]}"
        return " ".join(f"{sides[0]} {self.verb}{_op(ops[0], sides[1])} {sides[1]}".split())


def _op(op: str, right: str) -> str:
    if op in ("in", "not in") and ", " not in right:
        return "" if op == "in" else "other than"
    return OPS[op]


def _turned(op: str) -> str:
    return {"<=": "at least", "<": "over", ">=": "at most", ">": "under"}.get(op, op)


def fact_words(path: str) -> str:
    """`space.use` as `the space's use`; `pipe_volume` as `pipe volume`."""
    *through, last = path.replace("_", " ").split(".")
    owner = "'s ".join(through)
    return f"the {owner}'s {last}" if owner else last


def _term(leaf: TermLeaf) -> str:
    owner = f"{fact_words(leaf.through)}: " if leaf.through else ""
    return f"{owner}{leaf.term.name.replace('_', ' ')}"


def _limit_value(limit: Limit) -> str:
    if limit.schedule is not None:
        return f"the figure '{limit.name.replace('_', ' ')}'"
    if limit.cell is not None and limit.cell.expression is not None:
        return f"'{limit.name.replace('_', ' ')}'"
    return say_limit(limit)


def _list(leaf: ListCallLeaf) -> str:
    path = next((one.path for one in leaf.list_.leaves.values() if isinstance(one, FactLeaf)), leaf.list_.text)
    return fact_words(path)


def _member(leaf: ListCallLeaf) -> str:
    return leaf.per.text.replace("_", " ").replace(".", " ") if leaf.per is not None else ""


def _over_list(leaf: ListCallLeaf) -> str:
    of, member = _list(leaf), _member(leaf)
    if leaf.name == "count":
        return f"the number of {of}" + (f" that are '{member}'" if member else "")
    if leaf.name == "total":
        return f"'{member}' of all {of} together"
    if leaf.name in ("largest", "smallest"):
        return f"the {leaf.name} '{member}' of {of}"
    options = "".join(f", {name.replace('_', ' ')} {say(value)}" for name, value in leaf.options.items())
    name = leaf.name.replace("_", " ")
    return f"{name} ({of}" + (f" that are '{member}'" if member else "") + f"{options})"
