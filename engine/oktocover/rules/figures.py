"""Measured, required and margin of one comparison, as text: worked out only when somebody wants to read them."""

from __future__ import annotations

import ast
import datetime
import math
from dataclasses import dataclass, field
from typing import Any

from oktocover.findings.finding import Comparison, Step
from oktocover.measures.values import Range, Unknown
from oktocover.quantities import Number, reading_step, show_apart
from oktocover.quantities.dimensions import magnitude
from oktocover.quantities.insulation import Insulation
from oktocover.rules.expressions import COMPARE, Expression, compare, show_value
from oktocover.rules.expressions import _walk as walk
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.scope import Env, LimitLeaf, ListCallLeaf
from oktocover.rules.types import Type

_TURNED = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}
LADDERS = ("wire size", "pipe size")


@dataclass(slots=True)
class Part:
    """One requirement that was asked: its answer, and what its figures are made of."""

    name: str
    ok: Any
    expression: Expression | None = None
    values: dict[str, Any] = field(default_factory=dict)
    env: Env | None = None
    written: Comparison | None = None
    """The comparison itself, where there is nothing to work out."""
    _made: tuple[Comparison, bool, list[Step]] | None = None

    @property
    def comparison(self) -> Comparison:
        """Measured, required, margin."""
        return self._figures()[0]

    @property
    def close(self) -> bool:
        """Whether it fails by less than the usual tool can read."""
        return self._figures()[1]

    @property
    def steps(self) -> list[Step]:
        """The work of the measures it read, and the sums of the comparison."""
        return self._figures()[2]

    @property
    def gap(self) -> Number | None:
        """How far the measured value is from what is needed; None where no two figures are compared."""
        sides = self._two_figures()
        return None if sides is None else magnitude(sides[0] - sides[1])

    @property
    def there(self) -> float:
        """How much of what is needed is there, of one that fails: 0 for none, or where no figures are compared."""
        sides = self._two_figures()
        if sides is None or not sides[1]:
            return 0.0
        return max(0.0, 1 - float(magnitude(sides[0] - sides[1])) / float(magnitude(sides[1])))

    def _two_figures(self) -> tuple[Number, Number] | None:
        tree = self.expression.tree if self.expression is not None else None
        if not isinstance(tree, ast.Compare) or len(tree.ops) > 1 or COMPARE[type(tree.ops[0])] not in _TURNED:
            return None
        sides = [walk(side, self.values) for side in (tree.left, tree.comparators[0])]
        if any(_no_figure(value) or isinstance(value, Unknown) for value in sides):
            return None
        return sides[0], sides[1]

    def _figures(self) -> tuple[Comparison, bool, list[Step]]:
        if self._made is None:
            if self.written is not None:
                self._made = self.written, False, []
            else:
                assert self.expression is not None and self.env is not None
                comparison, close, sums = _figures(self.name, self.expression, self.values, self.env, self.ok)
                self._made = comparison, close, [*self.env.steps, *sums]
        return self._made


def _figures(
    name: str, expression: Expression, values: dict[str, Any], env: Env, ok: Any
) -> tuple[Comparison, bool, list[Step]]:
    """Measured, required and margin of a requirement, and the sums that lead to them."""
    tree = expression.tree
    met = None if isinstance(ok, Unknown) else bool(ok)
    if not isinstance(tree, ast.Compare):
        wanted = "no" if isinstance(tree, ast.UnaryOp) else "yes"
        leaf = next(iter(expression.leaves.values()))
        if wanted == "yes" and isinstance(leaf, ListCallLeaf) and leaf.name == "every" and leaf.per is not None:
            return _every(name, leaf, env, met), False, []
        of = leaf.text
        shown = "not recorded" if met is None else "yes" if met == (wanted == "yes") else "no"
        return Comparison(name, f"{of}: {shown}", f"{of}: {wanted}", met=met), False, []
    sides = [tree.left, *tree.comparators]
    side_values = [walk(side, values, up) for side, up in zip(sides, _helping(tree), strict=True)]
    of_type = _type_of(sides, expression)
    unit = _unit(sides, expression, env) or _unit_of_largest(side_values, of_type)
    texts = [show_value(value, of_type, unit) for value in side_values]
    ops = [COMPARE[type(op)] for op in tree.ops]
    if len(sides) == 3:
        middle, required = texts[1], f"from {texts[0]} to {texts[2]}"
        margin, close = _margin_between(side_values, of_type, unit, ok)
    else:
        middle, required = texts[0], _needed(ops[0], texts[1], side_values[1])
        margin, close = _margin(ops[0], side_values[0], side_values[1], of_type, unit, ok)
    if middle == texts[-1] and ok is False and margin and of_type.dimension is not None:
        middle, _ = show_apart(side_values[0], side_values[-1], of_type.dimension, unit)
    return (
        Comparison(name, middle, required, margin, met),
        close,
        _sums(sides, texts, ops, expression, values, env),
    )


def _every(name: str, leaf: ListCallLeaf, env: Env, met: bool | None) -> Comparison:
    """What is asked of each thing of a list, with the ones that fail it by name: the list alone helps nobody."""
    assert leaf.per is not None
    of = leaf.per.text.replace("_", " ")
    shown = "not recorded" if met is None else "each" if met else f"not {', '.join(leaf.failing(env))}"
    return Comparison(name, f"{of}: {shown}", f"{of}: each", met=met)


def _helping(tree: ast.Compare) -> list[int]:
    """For each side whether a greater value of it helps (1), hurts (-1), or neither."""
    right = {"<": 1, "<=": 1, ">": -1, ">=": -1}
    ops = [right.get(COMPARE[type(op)], 0) for op in tree.ops]
    return [-ops[0], *ops]


def _type_of(sides: list[ast.expr], expression: Expression) -> Type:
    """The type to print the sides in: of a side that is one leaf, else derived from the parts."""
    for side in sides:
        if isinstance(side, ast.Name) and expression.leaves[side.id].type.form != "any":
            return expression.leaves[side.id].type
    for side in sides:
        found = _derived(side, expression)
        if found is not None:
            return found
    return Type("text")


def _derived(side: ast.expr, expression: Expression) -> Type | None:
    if isinstance(side, ast.Name):
        return expression.leaves[side.id].type
    if isinstance(side, ast.Call) and isinstance(side.func, ast.Name):
        return next(
            (found for found in (_derived(arg, expression) for arg in side.args) if found and found.dimension), None
        )
    if isinstance(side, ast.BinOp):
        left, right = _derived(side.left, expression), _derived(side.right, expression)
        if left is None or right is None or left.dimension is None or right.dimension is None:
            return left if left and left.dimension else right
        if isinstance(side.op, ast.Mult):
            return Type("quantity", left.dimension * right.dimension)
        if isinstance(side.op, ast.Div):
            return Type("quantity", left.dimension / right.dimension)
        return left
    if isinstance(side, ast.UnaryOp):
        return _derived(side.operand, expression)
    return None


def _unit(sides: list[ast.expr], expression: Expression, env: Env) -> str | None:
    """The unit to print in: the limit's own, else the one the fact was written in."""
    of_type = _type_of(sides, expression)
    for limit_first in (True, False):
        for side in reversed(sides):
            for part in ast.walk(side):
                leaf = expression.leaves.get(part.id) if isinstance(part, ast.Name) else None
                if leaf is None or isinstance(leaf, LimitLeaf) != limit_first:
                    continue
                same = (
                    leaf.type.dimension and of_type.dimension and leaf.type.dimension.powers == of_type.dimension.powers
                )
                unit = env.units.get(leaf.text)
                if same and unit:
                    return unit
    return None


def _unit_of_largest(values: list[Any], of_type: Type) -> str | None:
    """Areas and volumes that nobody wrote in a unit: all in the unit of the largest, so that the margin fits them."""
    if of_type.dimension is None or of_type.dimension.name not in ("area", "volume"):
        return None
    figures = [value for value in values if not _no_figure(value) and not isinstance(value, Unknown)]
    return show_value(max(figures, key=abs), of_type, None).rpartition(" ")[2] if figures else None


def _needed_between(op: str, text: str) -> str:
    """What is surely needed when the limit itself is known only within bounds."""
    low, between, high = text.removeprefix("from ").partition(" to ")
    if not between:
        return text
    return f"at least {low}, perhaps up to {high}" if op in (">", ">=") else f"at most {high}, perhaps only {low}"


def _needed(op: str, text: str, value: Any) -> str:
    if value is NO_LIMIT or value is NOT_ALLOWED:
        return str(value)
    if isinstance(value, Unknown):
        return text
    if isinstance(value, Range):
        return _needed_between(op, text)
    several = ", " in text
    words = {
        ">=": "at least ",
        "<=": "at most ",
        ">": "over ",
        "<": "under ",
        "==": "",
        "!=": "other than ",
        "in": "one of " if several else "",
        "not in": "none of " if several else "other than ",
    }
    return words[op] + text


def _margin(op: str, left: Any, right: Any, of_type: Type, unit: str | None, ok: Any) -> tuple[str, bool]:
    if op not in _TURNED or of_type.dimension is None or isinstance(ok, Unknown):
        return "", False
    if of_type.dimension.name in LADDERS or any(_no_figure(value) for value in (left, right)):
        return "", False
    gap = abs(left - right)
    step = reading_step(of_type.dimension) if of_type.dimension.name == "length" else None
    close = ok is False and step is not None and 0 < gap <= step
    text = show_value(gap, of_type, unit)
    if ok is True:
        return (f"{text} to spare" if gap else "exactly at the limit"), False
    return f"{'short by' if op in ('>', '>=') else 'over by'} {text}", close


def _no_figure(value: Any) -> bool:
    special = value is None or value is NO_LIMIT or value is NOT_ALLOWED
    return (
        special
        or isinstance(value, (bool, Range, str, datetime.date, Insulation))
        or (isinstance(value, float) and math.isinf(value))
    )


def _margin_between(values: list[Any], of_type: Type, unit: str | None, ok: Any) -> tuple[str, bool]:
    low, middle, high = values
    if compare("<", middle, low) is True:
        return _margin(">=", middle, low, of_type, unit, ok)
    if compare(">", middle, high) is True:
        return _margin("<=", middle, high, of_type, unit, ok)
    return "", False


def _sums(
    sides: list[ast.expr], texts: list[str], ops: list[str], expression: Expression, values: dict[str, Any], env: Env
) -> list[Step]:
    """A line for each side that is worked out from several values."""
    steps = []
    for index, side in enumerate(sides):
        if isinstance(side, (ast.Name, ast.Constant, ast.Tuple)):
            continue
        part = Expression(
            "",
            side,
            Type("any"),
            {
                name: leaf
                for name, leaf in expression.leaves.items()
                if any(isinstance(n, ast.Name) and n.id == name for n in ast.walk(side))
            },
        )
        measured = index == (1 if len(sides) == 3 else 0)
        steps.append(
            Step(
                "measured" if measured else "needed", f"{part.named()} = {part.shown(values, env.units)}", texts[index]
            )
        )
    return steps
