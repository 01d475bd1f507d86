"""One rule asked about one subject: three-valued from fact to verdict, with the figures and the work."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from oktocover.findings.finding import Comparison, Missing, Step, Verdict
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Range, Unknown
from oktocover.quantities import reading_step, show_apart
from oktocover.rules import intervals
from oktocover.rules.expressions import COMPARE, Expression, compare, show_value
from oktocover.rules.expressions import _walk as walk
from oktocover.rules.form import Node, Rule
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.scope import Env, LimitLeaf
from oktocover.rules.types import Type
from oktocover.site.base import HOW_KNOWN

FOUND_BY = {"look": "look", "document": "paper", "approval": "official", "maker": "maker", "test": "test"}
_TURNED = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}


@dataclass(slots=True)
class Answer:
    """What a requirement (with its conditions and exceptions) came to."""

    applies: Any = True
    ok: Any = True
    exception: str = ""
    comparisons: list[Comparison] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    known: int = TESTED
    close: bool = False
    way: str = ""
    reason: str = ""
    """Why it does not apply."""


@dataclass(slots=True)
class Judged:
    """The verdict on one subject of a rule, or of one of its items."""

    rule: Rule
    item: Node
    name: str
    """book.rule, or book.rule.item"""
    subject: Subject
    verdict: Verdict
    missing: tuple[Missing, ...]
    settled: bool
    answer: Answer

    @property
    def known_by(self) -> str:
        """The weakest way of knowing on its path."""
        return HOW_KNOWN[min(self.answer.known, TESTED)]


def judge(rule: Rule, env: Env) -> Iterator[Judged]:
    """The verdicts of a rule on the subject of `env`: one, or one an item when all items are asked for."""
    body = rule.body
    if not body.items or body.join == "any":
        yield _verdict(rule, body, rule.id, env, _ask(body, rule.id, env))
        return
    head = _conditions(body, env)
    for name, item in body.items.items():
        inner = Env(env.subject, env.roots, env.records)
        answer = _ask(item, f"{rule.id}.{name}", inner)
        _under(answer, head)
        if answer.ok is not True and body.unless:
            _except(body, rule.id, answer, inner)
        yield _verdict(rule, item, f"{rule.id}.{name}", inner, answer)


def _under(answer: Answer, head: Answer) -> None:
    """Put an item under the conditions of its rule."""
    answer.applies = intervals.both(head.applies, answer.applies)
    answer.known = min(answer.known, head.known)
    answer.reason = head.reason or answer.reason


def _verdict(rule: Rule, item: Node, name: str, env: Env, answer: Answer) -> Judged:
    missing: tuple[Missing, ...] = ()
    settled = False
    if answer.applies is False:
        verdict: Verdict = "does not apply"
    elif answer.applies is True and answer.ok is True:
        verdict = "met"
    elif answer.applies is True and answer.ok is False:
        verdict = "not met"
    else:
        verdict = "not recorded"
        settled = answer.ok is True
        missing = intervals.missing_of(answer.applies if isinstance(answer.applies, Unknown) else answer.ok)
    verdict, missing = _known_enough(rule, item, env, answer, verdict, missing)
    return Judged(rule, item, name, env.subject, verdict, missing, settled, answer)


def _known_enough(
    rule: Rule, item: Node, env: Env, answer: Answer, verdict: Verdict, missing: tuple[Missing, ...]
) -> tuple[Verdict, tuple[Missing, ...]]:
    """A fact known less well than the rule needs counts as missing; planned and assumed never count as met."""
    if verdict not in ("met", "not met"):
        return verdict, missing
    hazard = (item.severity or rule.severity) == "hazard"
    least = HOW_KNOWN.index(rule.needs) if rule.needs else HOW_KNOWN.index("typical")
    assumed = HOW_KNOWN.index("assumed")
    weak = answer.known < least if verdict == "met" else answer.known == assumed or (hazard and answer.known < assumed)
    if not weak:
        return verdict, missing
    how = HOW_KNOWN[answer.known]
    return "not recorded", (
        Missing(
            env.subject.id,
            f"a better record (only {how})",
            "look",
            kind=env.subject.kind,
            path=env.subject.path,
            means=f"this rests on what was {how}; look or measure",
        ),
    )


def _conditions(node: Node, env: Env) -> Answer:
    """Whether all conditions of a node hold."""
    answer = Answer()
    if not node.when:
        return answer
    inner = env.about(env.subject)
    truths = []
    for name, condition in node.when.items():
        truth = condition.evaluate(inner)
        truths.append(truth)
        if truth is False and not answer.reason:
            answer.reason = condition.named() if name == "when" else f"{name.replace('_', ' ')}: {condition.named()}"
    answer.applies = intervals.both(*truths)
    answer.known = inner.known
    return answer


def _ask(node: Node, name: str, env: Env) -> Answer:
    """The answer of a node: its conditions, its requirement, and if that fails its exceptions."""
    answer = _conditions(node, env)
    if answer.applies is False:
        return answer
    known = answer.known
    if node.items:
        _group(node, name, env, answer)
    elif node.record is not None:
        _record(node, name, env, answer)
    elif node.require is not None:
        _compare(node, node.require, env, answer)
    answer.known = min(answer.known, known)
    if answer.ok is not True and node.unless:
        _except(node, name, answer, env)
    return answer


def _except(node: Node, name: str, answer: Answer, env: Env) -> None:
    """An exception whose conditions hold, and whose own requirement is met, can only help."""
    rule = name
    for title, exception in node.unless.items():
        inner = env.about(env.subject)
        tried = _ask(exception, f"{rule}.{title}", inner)
        helps = intervals.both(tried.applies, tried.ok if not exception.bare else True)
        if helps is True:
            answer.ok = True
            answer.exception = exception.title or title.replace("_", " ")
            answer.comparisons = tried.comparisons or answer.comparisons
            answer.steps = [*answer.steps, *tried.steps]
            answer.known = min(tried.known, answer.known)
            return
        if isinstance(helps, Unknown):
            # what the item itself lacks comes first; what an exception lacks only when the item has failed
            answer.ok = helps if answer.ok is False else answer.ok
        elif helps is False and tried.applies is True and answer.ok is False and tried.comparisons:
            answer.comparisons = [*answer.comparisons, *tried.comparisons]


def _group(node: Node, name: str, env: Env, answer: Answer) -> None:
    asked = [(key, _ask(item, f"{name}.{key}", env.about(env.subject))) for key, item in node.items.items()]
    for _, one in asked:
        answer.known = min(answer.known, one.known)
    if node.join == "all":
        answer.ok = intervals.both(*(intervals.either(intervals.opposite(one.applies), one.ok) for _, one in asked))
        shown = [one for _, one in asked if one.applies is not False]
    else:
        answer.ok = intervals.either(*(intervals.both(one.applies, one.ok) for _, one in asked))
        shown = _ways(answer, asked)
    for one in shown:
        answer.comparisons.extend(one.comparisons)
        answer.steps.extend(step for step in one.steps if step not in answer.steps)
        answer.close = answer.close or (one.close and one.ok is not True)


def _ways(answer: Answer, asked: list[tuple[str, Answer]]) -> list[Answer]:
    """Of several ways, those to show: the one that was met, else the nearest to being met first."""
    taken = [(key, one) for key, one in asked if one.applies is not False]
    met = [(key, one) for key, one in taken if one.applies is True and one.ok is True]
    if met:
        answer.way = met[0][0].replace("_", " ")
        answer.known = met[0][1].known
        return [met[0][1]]
    open_ways = [one for _, one in taken if one.ok is not False or one.applies is not True]
    if open_ways and answer.ok is not False:
        nearest_way = min(open_ways, key=lambda one: len(intervals.missing_of(one.applies, one.ok)))
        lacks = intervals.missing_of(nearest_way.applies, nearest_way.ok)
        if lacks:
            answer.ok = Unknown(lacks)
    return sorted((one for _, one in taken), key=lambda one: sum(c.met is not True for c in one.comparisons))


def _record(node: Node, name: str, env: Env, answer: Answer) -> None:
    """A requirement that no number decides: what somebody wrote, else what is to be found out."""
    kind, text = node.record or ("look", "")
    written = env.records.get((name, env.subject.id)) or env.records.get((name, ""))
    if written is not None:
        answer.ok, answer.known = written
    else:
        answer.ok = Unknown(
            (Missing(env.subject.id, text, FOUND_BY[kind], kind="record", means=text, path=("records", name)),)
        )
    answer.comparisons.append(
        Comparison(
            node.name,
            "not recorded" if written is None else "yes" if written[0] else "no",
            text,
            met=written[0] if written else None,
        )
    )


def _compare(node: Node, expression: Expression, env: Env, answer: Answer) -> None:
    inner = env.about(env.subject)
    values = expression.values(inner)
    answer.ok = expression.evaluate(inner, values)
    answer.known = inner.known
    comparison, close, sums = _figures(node, expression, values, inner, answer.ok)
    answer.comparisons.append(comparison)
    answer.close = close
    answer.steps = [*inner.steps, *sums]


def _figures(
    node: Node, expression: Expression, values: dict[str, Any], env: Env, ok: Any
) -> tuple[Comparison, bool, list[Step]]:
    """Measured, required and margin of a requirement, and the sums that lead to them."""
    tree = expression.tree
    met = None if isinstance(ok, Unknown) else bool(ok)
    if not isinstance(tree, ast.Compare):
        wanted = "no" if isinstance(tree, ast.UnaryOp) else "yes"
        of = next(iter(expression.leaves.values())).text
        shown = {True: "yes", False: "no"}.get(
            met if wanted == "yes" else (None if met is None else not met), "not recorded"
        )  # type: ignore[arg-type]
        return Comparison(node.name, f"{of}: {shown}", f"{of}: {wanted}", met=met), False, []
    sides = [tree.left, *tree.comparators]
    side_values = [
        walk(side, values)
        if not any(v in (NO_LIMIT, NOT_ALLOWED) for v in _used(side, values))
        else next(v for v in _used(side, values) if v in (NO_LIMIT, NOT_ALLOWED))
        for side in sides
    ]
    of_type = _type_of(sides, expression)
    unit = _unit(sides, expression, env)
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
        Comparison(node.name, middle, required, margin, met),
        close,
        _sums(sides, texts, ops, expression, values, env),
    )


def _used(side: ast.expr, values: dict[str, Any]) -> list[Any]:
    return [
        values[part.id]
        for part in ast.walk(side)
        if isinstance(part, ast.Name) and part.id in values and not isinstance(values[part.id], (tuple, list, Range))
    ]


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


def _needed_between(op: str, text: str) -> str:
    """What is surely needed when the limit itself is known only within bounds."""
    low, between, high = text.removeprefix("from ").partition(" to ")
    if not between:
        return text
    return f"at least {low}, perhaps up to {high}" if op in (">", ">=") else f"at most {high}, perhaps only {low}"


def _needed(op: str, text: str, value: Any) -> str:
    if value is NO_LIMIT or value is NOT_ALLOWED:
        return str(value)
    if isinstance(value, Range):
        return _needed_between(op, text)
    several = ", " in text
    words = {
        ">=": "at least ",
        "<=": "at most ",
        ">": "over ",
        "<": "under ",
        "==": "",
        "!=": "not ",
        "in": "one of " if several else "",
        "not in": "none of " if several else "not ",
    }
    return words[op] + text


def _margin(op: str, left: Any, right: Any, of_type: Type, unit: str | None, ok: Any) -> tuple[str, bool]:
    if op not in _TURNED or of_type.dimension is None or isinstance(ok, Unknown):
        return "", False
    pair = [
        value
        for value in (left, right)
        if isinstance(value, bool)
        or isinstance(value, (Range, str, float))
        or value is None
        or value is NO_LIMIT
        or value is NOT_ALLOWED
    ]
    if pair or of_type.dimension.name in ("wire size", "pipe size"):
        return "", False
    gap = abs(left - right)
    step = reading_step(of_type.dimension)
    close = ok is False and step is not None and 0 < gap <= step
    text = show_value(gap, of_type, unit)
    if ok is True:
        return (f"{text} to spare" if gap else "exactly at the limit"), False
    return f"{'short by' if op in ('>', '>=') else 'over by'} {text}", close


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


def infinite(value: Any) -> bool:
    """Whether a value is a distance to nothing."""
    return isinstance(value, float) and math.isinf(value)
