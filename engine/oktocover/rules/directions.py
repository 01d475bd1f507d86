"""Which way a limit works: whether a greater value of it helps or hurts the one who builds. Derived, never declared.

A requirement that holds more often is looser; a rule that applies more often is stricter; an exception, or one of
several ways, that holds more often is looser. From there the sign goes down through the expressions, as in a sum.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from oktocover.rules.expressions import COMPARE, Expression
from oktocover.rules.form import Node, Rule
from oktocover.rules.limits import Cell, Limit, Schedule
from oktocover.rules.scope import LimitLeaf, ListCallLeaf, PlainCallLeaf, TableLeaf, TermLeaf

COUNTS = ("count", "total", "largest", "smallest", "every", "some")


@dataclass(slots=True)
class Directions:
    """The signs with which limits and tables work: 1, a greater value helps; -1, it hurts; 0, nobody can tell."""

    signs: dict[int, set[int]] = field(default_factory=dict)
    """By the id of a Limit or of a table's Schedule."""
    severe: set[int] = field(default_factory=set)
    """Ids of those that a rule of severity hazard uses."""
    users: dict[int, set[str]] = field(default_factory=dict)
    """The rules that use a term or a table, by the id of the Term or of the table's Schedule."""
    rule: str = ""
    kept: list[Any] = field(default_factory=list)
    """What the ids are of, so that they stay theirs."""

    def of(self, thing: Limit | Schedule | None) -> int:
        """1: raising it helps everywhere it is used; -1: it hurts everywhere; 0: both, or it cannot be told."""
        found = self.signs.get(id(thing), set())
        return next(iter(found)) if len(found) == 1 else 0

    def add(self, rule: Rule) -> Directions:
        """Follow a rule."""
        self.rule = rule.id
        _Walk(self, rule.severity == "hazard").node(rule.body, helps=False)
        return self

    def uses(self, thing: Any) -> None:
        """Note that the rule at hand uses a term or a table."""
        self.users.setdefault(id(thing), set()).add(self.rule)
        self.kept.append(thing)

    def note(self, thing: Limit | Schedule, sign: int, hazard: bool) -> bool:
        """Note one use; whether it is a new one."""
        known = self.signs.setdefault(id(thing), set())
        if hazard:
            self.severe.add(id(thing))
        if sign in known:
            return False
        known.add(sign)
        self.kept.append(thing)
        return True


def directions(rules: Iterable[Rule]) -> Directions:
    """The directions of everything that some rules use."""
    made = Directions()
    for rule in rules:
        made.add(rule)
    return made


@dataclass(slots=True)
class _Walk:
    into: Directions
    hazard: bool

    def node(self, node: Node, helps: bool) -> None:
        """`helps`: it is an exception or one of several ways, so that its conditions open it."""
        outer = self.hazard
        self.hazard = node.severity == "hazard" if node.severity else outer
        for condition in node.when.values():
            self.expression(condition, 1 if helps else -1)
        if node.require is not None:
            self.expression(node.require, 1)
        for item in node.items.values():
            self.node(item, helps=node.join == "any")
        for exception in node.unless.values():
            self.node(exception, helps=True)
        self.hazard = outer

    def expression(self, expression: Expression, sign: int) -> None:
        self._tree(expression.tree, sign, expression)

    def _tree(self, tree: ast.expr, sign: int, of: Expression) -> None:
        if isinstance(tree, ast.Name):
            if tree.id in of.leaves:
                self._leaf(of.leaves[tree.id], sign)
        elif isinstance(tree, ast.BinOp):
            self._tree(tree.left, sign, of)
            self._tree(tree.right, -sign if isinstance(tree.op, (ast.Sub, ast.Div)) else sign, of)
        elif isinstance(tree, ast.UnaryOp):
            self._tree(tree.operand, -sign, of)
        elif isinstance(tree, ast.BoolOp):
            for part in tree.values:
                self._tree(part, sign, of)
        elif isinstance(tree, ast.Call):
            for part in tree.args:
                self._tree(part, sign, of)
        elif isinstance(tree, ast.Compare):
            left = tree.left
            for op, right in zip(tree.ops, tree.comparators, strict=True):
                low, high = _sides(COMPARE[type(op)], sign)
                self._tree(left, low, of)
                self._tree(right, high, of)
                left = right

    def _leaf(self, leaf: Any, sign: int) -> None:
        if isinstance(leaf, LimitLeaf):
            self._limit(leaf.limit, sign)
        elif isinstance(leaf, TermLeaf):
            self.into.uses(leaf.term)
            self.expression(leaf.term.compiled(), sign)
        elif isinstance(leaf, TableLeaf):
            self.into.uses(leaf.table)
            self.into.note(leaf.table, sign, self.hazard)
            self._all(leaf.keys, 0)
        elif isinstance(leaf, PlainCallLeaf):
            self._all(leaf.arguments, sign)
        elif isinstance(leaf, ListCallLeaf):
            trend = leaf.function.as_list_grows if leaf.function is not None else None
            follows = leaf.name in COUNTS or trend == "rises"
            if leaf.per is not None:
                self.expression(leaf.per, sign if follows else -sign if trend == "falls" else 0)
            self._all(leaf.options.values(), 0)

    def _all(self, expressions: Iterable[Expression], sign: int) -> None:
        for one in expressions:
            self.expression(one, sign)

    def _limit(self, limit: Limit, sign: int) -> None:
        if not self.into.note(limit, sign, self.hazard):
            return
        if limit.cell is not None and limit.cell.expression is not None:
            self.expression(limit.cell.expression, sign)
        if limit.schedule is not None:
            self._all([key.expression for key in limit.schedule.keys if key.expression is not None], 0)
            for cell in _cells(limit.schedule.rows):
                if cell.expression is not None:
                    self.expression(cell.expression, sign)


def _sides(op: str, sign: int) -> tuple[int, int]:
    """The signs of the left and the right side of a comparison."""
    if op in ("<", "<="):
        return -sign, sign
    if op in (">", ">="):
        return sign, -sign
    if op == "in":
        return 0, sign
    return (0, -sign) if op == "not in" else (0, 0)


def _cells(rows: Any) -> Iterable[Cell]:
    if isinstance(rows, Cell):
        yield rows
    elif isinstance(rows, dict):
        for inner in rows.values():
            yield from _cells(inner)
