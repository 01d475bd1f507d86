"""The common case at the speed of plain Python: every fact exact and known well enough, no exception needed.

For a rule (or item) that is one comparison under conditions, a function of the subject is made that reads the facts
and compares. It says does not apply, met or not met only where the three-valued evaluation says the same, and
otherwise gives up; figures and work are made from the slow evaluation when somebody reads them.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from oktocover.findings.finding import Verdict
from oktocover.measures.subject import Subject
from oktocover.rules.expressions import NOT_PLAIN, SAFE, Expression, exact_body
from oktocover.rules.form import Node, Rule
from oktocover.rules.limits import Limit
from oktocover.rules.scope import ROOTS, Env, FactLeaf, LimitLeaf
from oktocover.site.base import HOW_KNOWN

Quick = Callable[[Subject, Env], Verdict | None]
FAILURES = (ZeroDivisionError, TypeError, OverflowError)
"""What the function raises where figures are missing: the slow evaluation knows what to make of it."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How a rule is asked: what each verdict is called, the item it is of, and the quick way if there is one."""

    entries: tuple[tuple[str, Node, Quick | None], ...]
    """(book.rule or book.rule.item, item, quick way)"""
    apart: bool
    """Whether each item has a verdict of its own."""


def plan(rule: Rule) -> Plan:
    """The plan of a rule as it stands."""
    body = rule.body
    if not body.items or body.join == "any":
        return Plan(((rule.id, body, _quick(rule, [body], ())),), False)
    entries = [
        (f"{rule.id}.{name}", item, _quick(rule, [body, item], body.unless)) for name, item in body.items.items()
    ]
    return Plan(tuple(entries), True)


def _quick(rule: Rule, nodes: list[Node], excused: Iterable[str]) -> Quick | None:
    item = nodes[-1]
    if item.require is None or item.items or item.record is not None:
        return None
    writer = _Writer(HOW_KNOWN.index(rule.needs) if rule.needs else HOW_KNOWN.index("typical"))
    for node in nodes:
        for condition in node.when.values():
            writer.lines.append(f"    if not ({writer.text(condition)}): return 'does not apply'")
    failed = "None" if item.unless or excused else "'not met'"
    writer.lines.append(f"    return 'met' if ({writer.text(item.require)}) else {failed}")
    return writer.made()


class _Writer:
    """Writes the function, line by line; facts are read once, just before they are first needed."""

    def __init__(self, least: int) -> None:
        self.least = least
        self.lines = ["def quick(subject, env):"]
        self.bound: dict[str, Any] = {**SAFE, "NOT_PLAIN": NOT_PLAIN, "type": type}
        self.read: dict[str, str] = {}

    def text(self, expression: Expression) -> str:
        """The expression in plain Python, after the lines that read what it needs."""
        names = {name: self._leaf(leaf) for name, leaf in expression.leaves.items()}
        body = exact_body(expression.tree)
        for node in ast.walk(body):
            if isinstance(node, ast.Name) and node.id in names:
                node.id = names[node.id]
        return ast.unparse(ast.fix_missing_locations(body))

    def _leaf(self, leaf: Any) -> str:
        source = f"f:{leaf.path}" if isinstance(leaf, FactLeaf) else f"o:{id(leaf)}"
        if source in self.read:
            return self.read[source]
        name = self.read[source] = f"x{len(self.read)}"
        if isinstance(leaf, FactLeaf) and leaf.path.partition(".")[0] not in ROOTS:
            key = repr(leaf.path)
            self.lines += [
                f"    fact = subject.cache.get({key}) or subject.fact({key})",
                f"    if fact.known < {self.least}: return None",
                f"    {name} = fact.value",
            ]
        elif isinstance(leaf, LimitLeaf) and _fixed(leaf.limit):
            self.bound[f"{name}_limit"] = leaf.limit.many if leaf.limit.many is not None else leaf.limit.cell.value  # type: ignore[union-attr]
            self.lines.append(f"    {name} = {name}_limit")
        else:
            self.bound[f"{name}_leaf"] = leaf
            self.lines += [
                f"    {name} = {name}_leaf.get(env)",
                f"    if env.known < {self.least}: return None",
            ]
        self.lines.append(f"    if type({name}) in NOT_PLAIN: return None")
        return name

    def made(self) -> Quick:
        """The function. Its text holds nothing but checked expressions and the names given to them here."""
        space = dict(self.bound)
        exec(compile("\n".join(self.lines), "<rule>", "exec"), space)
        found: Quick = space["quick"]
        return found


def _fixed(limit: Limit) -> bool:
    if limit.blank or limit.schedule is not None:
        return False
    return limit.many is not None or (limit.cell is not None and limit.cell.expression is None and not limit.cell.ask)
