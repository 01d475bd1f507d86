"""Whether an amendment makes a rule stricter or looser, as far as that can be derived."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from oktocover.rules.addresses import RECORDS
from oktocover.rules.directions import Directions, directions
from oktocover.rules.fold import Edit
from oktocover.rules.form import SEVERITIES, Node, Rule, asked_of
from oktocover.rules.layers import Thing
from oktocover.rules.limits import scalar
from oktocover.rules.ruleset import RuleSet

Strictness = Literal["stricter", "looser", "other", ""]
"""`other`: it is about no duty; empty: it cannot be derived."""
NO_RATIO = ("wire size", "pipe size", "temperature")
"""What is no multiple of anything: steps of a ladder, degrees above a zero that somebody chose."""
NEUTRAL = ("title", "section", "remedy", "note", "basis", "close_with", "touches", "trade", "stage", "also", "limits")


@dataclass(frozen=True, slots=True)
class Effect:
    """What one edit does to its rule."""

    strictness: Strictness
    what: str = ""
    """What was touched, in words: an exception."""
    hazard: bool = False
    old: str = ""
    new: str = ""
    times: Fraction | None = None
    """How many times as much a figure is now; under 1 is told as its inverse."""


class Derive:
    """Derives the effects of edits of one set of rules. The rule as it stood before is compiled for it."""

    def __init__(self, rules: RuleSet) -> None:
        self.rules = rules
        self._shared: Directions | None = None

    def effect(self, edit: Edit) -> Effect:
        """What an edit does."""
        if edit.section in ("terms", "tables"):
            return self._of_shared(edit)
        if edit.section != "rules":
            return Effect("other", "no rule")
        rule = self._compiled(edit.name, edit.before)
        if rule is None:
            return Effect("", hazard=_data_hazard(edit.before.data))
        return _InRule(rule, directions([rule]), edit).effect()

    def _compiled(self, name: str, thing: Thing) -> Rule | None:
        return self.rules.compile(name, thing, strict=False, problems=[])

    def users(self, edit: Edit) -> list[str]:
        """The rules an edit is about: its own, or all that use its term or table."""
        if edit.section == "rules":
            return [edit.name]
        if edit.section not in ("terms", "tables"):
            return []
        made = self.rules.term(edit.name) if edit.section == "terms" else self.rules.table(edit.name)
        return sorted(self._all().users.get(id(made), ()))

    def _all(self) -> Directions:
        if self._shared is None:
            self._shared = directions(self.rules.rules())
        return self._shared

    def _of_shared(self, edit: Edit) -> Effect:
        """A term or a table: its direction is that of all the rules that use it."""
        shared = self._all()
        after = edit.after.data if edit.after is not None else None
        if edit.section == "tables":
            table = self.rules.table(edit.name)
            hazard = id(table) in shared.severe
            if "rows" not in edit.trail or edit.verb not in ("set", "take"):
                return Effect("", "a table", hazard)
            return _figures(_at(edit.before.data, edit.trail), _at(after, edit.trail), shared.of(table), hazard)
        term = self.rules.term(edit.name)
        if edit.trail[:1] != ("limits",) or term is None:
            return Effect("other" if edit.trail[:1] in (("section",), ("note",)) else "", "a term")
        limit = term.scope.limits(str(edit.trail[1]))
        hazard = id(limit) in shared.severe
        return _change_of(edit, shared.of(limit), hazard)


def _data_hazard(data: Any) -> bool:
    return isinstance(data, dict) and data.get("severity") == "hazard"


def _at(data: Any, trail: Iterable[Any]) -> Any:
    for step in trail:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def _change_of(edit: Edit, sign: int, hazard: bool) -> Effect:
    """The effect of a change of a limit, by its direction."""
    if edit.verb == "strike":
        gone = isinstance(edit.spot.container, list) if edit.spot is not None else False
        return Effect(_signed(-sign), "an entry of a list", hazard) if gone else Effect("", "a limit", hazard)
    after = edit.after.data if edit.after is not None else None
    if edit.verb == "add":
        return Effect(_signed(sign), "an entry of a list", hazard)
    return _figures(_at(edit.before.data, edit.trail), _at(after, edit.trail), sign, hazard)


def _signed(sign: int) -> Strictness:
    return "looser" if sign > 0 else "stricter" if sign < 0 else ""


def _figures(old: Any, new: Any, sign: int, hazard: bool) -> Effect:
    """One value of a limit (figure, list, schedule) for another."""
    moves = list(_moves(old, new))
    signs = {move for move, _ in moves if move}
    times = next((times for _, times in moves if times is not None), None)
    for _, one in moves:
        if one is not None and (times is None or max(one, 1 / one) > max(times, 1 / times)):
            times = one
    shown = _shown(old, new)
    if any(move is None for move, _ in moves) or len(signs) > 1:
        return Effect("", "a limit", hazard, *shown, times)
    return Effect(_signed(sign * (signs.pop() if signs else 0)), "a limit", hazard, *shown, times)


def _shown(old: Any, new: Any) -> tuple[str, str]:
    """Two values as they are told: of a schedule the first row in which they differ."""
    if not (isinstance(old, dict) and isinstance(new, dict)):
        return _text(old), _text(new)
    rows, after = old.get("rows", old), new.get("rows", new)
    for key in rows if isinstance(rows, dict) and isinstance(after, dict) else ():
        if key in after and rows[key] != after[key]:
            before, then = _shown(rows[key], after[key])
            return f"{key}: {before}", f"{key}: {then}"
    return "", ""


def _text(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return "" if isinstance(value, dict) else str(value)


def _moves(old: Any, new: Any) -> Iterator[tuple[int | None, Fraction | None]]:
    """For each figure: up (1), down (-1), as it was (0) or beyond telling (None), and how many times as much."""
    if isinstance(old, dict) and isinstance(new, dict):
        rows, after = old.get("rows", old), new.get("rows", new)
        same = set(rows) == set(after) and old.get("by") == new.get("by")
        for key in rows if same else ():
            yield from _moves(rows[key], after[key])
        if not same:
            yield None, None
    elif isinstance(old, list) and isinstance(new, list):
        yield (1 if set(old) < set(new) else -1 if set(new) < set(old) else 0 if set(old) == set(new) else None), None
    else:
        yield _move(old, new)


def _move(old: Any, new: Any) -> tuple[int | None, Fraction | None]:
    if not (isinstance(old, str) and isinstance(new, str)):
        return None, None
    one, other = scalar(old), scalar(new)
    if one is None or other is None:
        return None, None
    (a, of_a, _), (b, of_b, _) = one, other
    if of_a.form == of_b.form == "date":
        return (b > a) - (b < a), None
    if of_a.dimension is None or of_b.dimension is None:
        return None, None
    telling = of_a.dimension.name not in NO_RATIO and a > 0 and b > 0
    return (b > a) - (b < a), Fraction(b) / Fraction(a) if telling else None


@dataclass(slots=True)
class _InRule:
    """One edit inside a rule, beside that rule as it stood before."""

    rule: Rule
    signs: Directions
    edit: Edit
    severity: str = ""

    def effect(self) -> Effect:
        """What the edit does."""
        edit = self.edit
        self.severity = self.rule.severity
        node, rest, way = self._node()
        hazard = self.severity == "hazard"
        if not edit.trail:
            any_hazard = "hazard" in {self.rule.severity, *(one.severity for one in self.rule.body.walk())}
            if edit.verb == "strike":
                return Effect("looser", "a whole rule", any_hazard)
            return (
                self._added(self.rule.body, edit.value, way=False)
                if edit.verb == "add"
                else Effect("", "a whole rule", any_hazard)
            )
        if rest[:1] == ("limits",) and len(rest) > 1:
            limit = node.limits.get(str(rest[1]))
            return _change_of(edit, self.signs.of(limit), hazard or id(limit) in self.signs.severe)
        if edit.verb == "add":
            return self._added(node, edit.value, way)
        if edit.verb == "strike":
            return self._struck(node, rest, way, hazard)
        return self._set(node, rest, hazard)

    def _node(self) -> tuple[Node, tuple[Any, ...], bool]:
        """The node an edit stands in, the rest of its trail, and whether the node is one of several ways.

        What is struck as a whole is the affair of the node it stood in; what is added to, or set in, of its own.
        """
        node, trail, way = self.rule.body, self.edit.trail, False
        least = 2 if self.edit.verb == "strike" else 1
        while len(trail) > least and trail[0] in ("items", "unless"):
            inner = (node.items if trail[0] == "items" else node.unless).get(str(trail[1]))
            if inner is None:
                break
            way = trail[0] == "unless" or node.join == "any"
            self.severity = inner.severity or self.severity
            node, trail = inner, trail[2:]
        return node, trail, way

    def _struck(self, node: Node, rest: tuple[Any, ...], way: bool, hazard: bool) -> Effect:
        group = rest[0] if rest else ""
        if group == "items":
            item = node.items.get(str(rest[1]))
            hazard = (item.severity == "hazard") if item is not None and item.severity else hazard
            one_of = node.join == "any"
            return Effect("stricter" if one_of else "looser", "one of several ways" if one_of else "an item", hazard)
        if group == "unless":
            return Effect("stricter", "an exception", hazard)
        if group == "when":
            what = "a condition of an exception or of one of several ways" if way else "a condition"
            return Effect("looser" if way else "stricter", what, hazard)
        if group in ("require", *RECORDS):
            return Effect("looser", "a requirement", hazard)
        return Effect("other" if group in NEUTRAL else "", str(group), hazard)

    def _set(self, node: Node, rest: tuple[Any, ...], hazard: bool) -> Effect:
        key = str(rest[-1]) if rest else ""
        edit = self.edit
        old = _at(edit.before.data, edit.trail)
        new = _at(edit.after.data, edit.trail) if edit.after is not None else None
        if key == "severity" and old in SEVERITIES and new in SEVERITIES:
            looser = SEVERITIES.index(str(new)) > SEVERITIES.index(str(old))
            return Effect("looser" if looser else "stricter", "a severity", hazard, str(old), str(new))
        if key == "join":
            fewer = asked_of(new) < asked_of(old)
            return Effect("looser" if fewer else "stricter", "a join", hazard, str(old), str(new))
        return Effect("other" if key in NEUTRAL else "", key.replace("_", " "), hazard, _text(old), _text(new))

    def _added(self, node: Node, value: Any, way: bool) -> Effect:
        """What is put in: each name by what it is; together only when all pull the same way."""
        hazard = self.severity == "hazard"
        found = set(self._parts(node, value, way)) - {"other"}
        if not found:
            return Effect("other", "what is about no duty", hazard)
        strictness = found.pop() if len(found) == 1 else ""
        return Effect(strictness, "what is added", hazard)

    def _parts(self, node: Node, value: Any, way: bool) -> Iterator[Strictness]:
        if not isinstance(value, dict):
            yield ""
            return
        for key, new in value.items():
            named = new if isinstance(new, dict) else {}
            if key in ("items", "unless"):
                known = node.items if key == "items" else node.unless
                for name, inner in named.items():
                    if name in known:
                        yield from self._parts(known[name], inner, key == "unless" or node.join == "any")
                    else:
                        yield "looser" if key == "unless" or node.join == "any" else "stricter"
                if not named:
                    yield "looser"
            elif key == "when":
                yield "stricter" if way else "looser"
            elif key == "limits":
                for name, inner in named.items():
                    if isinstance(inner, list) and name in node.limits:
                        yield _signed(self.signs.of(node.limits[name]))
            elif key == "needs":
                yield "stricter"
            elif key not in NEUTRAL and key != "severity":
                yield ""
