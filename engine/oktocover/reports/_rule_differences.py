"""What one rule has otherwise in two places, name by name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from typing import Any

from oktocover.reports._difference import Difference
from oktocover.reports._in_words import asked, say, say_all
from oktocover.reports._layered import ABSENT, Trail, World, spell, spread, value_at
from oktocover.reports._words import SEVERITY
from oktocover.rules.directions import Directions, directions
from oktocover.rules.expressions import Expression
from oktocover.rules.form import ALL_OF_THEM, SEVERITIES, Node, Rule, asked_of
from oktocover.rules.limits import Limit
from oktocover.rules.scope import LimitLeaf
from oktocover.rules.strictness import _figures as figures

FIELDS = ("title", "section", "trade", "stage", "severity", "each", "needs", "join")
WORDED = ("remedy", "close_with", "touches", "also")
RECORDS = ("look", "document", "approval", "maker", "test")


class RuleDiffer:
    """Compares one rule of two places."""

    def __init__(self, now: World, before: World, name: str) -> None:
        self.now, self.before, self.name = now, before, name
        self.new, self.old = (_data(world, name) for world in (now, before))
        self.rule, self.was = (
            world.adopted.rules.rule(name) if name in world.things["rules"] else None for world in (now, before)
        )
        shown = self.rule or self.was
        self.title = shown.title if shown is not None else name
        self._signs: Directions | None = None

    def all(self) -> Iterator[Difference]:
        """Every difference, in the order of the rule."""
        if self.new is ABSENT or self.old is ABSENT:
            yield self._whole()
        elif self.new != self.old:
            yield from self._node((), False)

    def _whole(self) -> Difference:
        new = self.old is ABSENT
        rule = self.rule if new else self.was
        text = f"{'new' if new else 'gone'}: {self.title}"
        parts = list(_asks(rule)) if rule is not None and new else []
        if parts:
            text += f": {'; '.join(parts[:4])}" + (f"; and {len(parts) - 4} more" if len(parts) > 4 else "")
        source = self.now.source("rules", self.name) if new else self.now.took_out("rules", self.name)
        was = "" if new else self.before.source("rules", self.name)
        stands = "stricter" if new else "looser"
        return Difference(
            "rule", "rule", "new" if new else "gone", self.name, self.title, "", "", stands, source, was, text
        )

    def _make(self, part: str, trail: Trail, was: str, now: str, text: str, stands: str = "") -> Difference:
        change = "changed" if was and now else "new" if now else "gone"
        names = [
            key for number, key in enumerate(trail) if number % 2 or key not in ("items", "unless", "limits", "when")
        ]
        source = (
            self.now.source("rules", self.name, trail) if now else self.now.took_out("rules", self.name, trail)
        ) or self.now.source("rules", self.name)
        was_source = self.before.source("rules", self.name, trail) if was else ""
        address = ".".join([self.name, *names])
        return Difference(
            "rule",
            part,
            change,
            address,
            self.title,
            was,
            now,
            stands,
            source,
            was_source,
            f"{self._named(trail)}{text}",
        )

    def _named(self, trail: Trail) -> str:
        """The title of the rule, and of the item or exception inside it."""
        names = []
        for count in range(2, len(trail) + 1, 2):
            group, name = trail[count - 2 : count]
            if group in ("items", "unless") and name != "main":
                node = _node_at(self.rule, trail[:count]) or _node_at(self.was, trail[:count])
                names.append(node.title if node is not None and node.title else name.replace("_", " "))
        return ", ".join([self.title, *names]) + ": "

    def _node(self, trail: Trail, way: bool) -> Iterator[Difference]:
        new, old = value_at(self.new, trail), value_at(self.old, trail)
        yield from self._fields(trail, new, old, way)
        yield from self._requirement(trail, new, old)
        yield from self._conditions(trail, new, old, way)
        for key in _names(new, old, "limits"):
            yield from self._limit((*trail, "limits", key))
        for group in ("items", "unless"):
            for key in _names(new, old, group):
                yield from self._inner((*trail, group, key), new, old)

    def _fields(self, trail: Trail, new: Any, old: Any, way: bool) -> Iterator[Difference]:
        for key in FIELDS:
            now, was = (spell(value_at(data, (key,))) if key in data else "" for data in (new, old))
            if now == was:
                continue
            text, stands = self._field(key, now, was)
            yield self._make(key, (*trail, key), was, now, text, stands)
        for key in WORDED:
            if new.get(key) != old.get(key):
                now, was = (spell(data.get(key) or "") for data in (new, old))
                word = {"also": "other numbers", "close_with": "line that closes it", "touches": "what it also touches"}
                yield self._make(key, (*trail, key), was, now, f"the {word.get(key, key)} worded otherwise")

    def _field(self, key: str, now: str, was: str) -> tuple[str, str]:
        if key == "severity":
            shown = [SEVERITY.get(word, word) for word in (now, was)]
            if now in SEVERITIES and was in SEVERITIES:
                stands = "looser" if SEVERITIES.index(now) > SEVERITIES.index(was) else "stricter"
                return f"counts as '{shown[0]}', was '{shown[1]}'", stands
            return f"counts as '{shown[0] or 'its rule'}', was '{shown[1] or 'its rule'}'", ""
        if key == "join":
            said = {1: "any one of these is enough", ALL_OF_THEM: "each of these is asked"}
            more, less = asked_of(now), asked_of(was)
            before = {1: "any one was enough", ALL_OF_THEM: "each was asked"}.get(less, f"{was} were")
            return f"{said.get(more, f'{now} of these are asked')}, {before}", "looser" if more < less else "stricter"
        before = f", was {was}" if was else ""
        return {
            "stage": f"looked at on the visit '{now}', was '{was}'",
            "section": f"stands under {now or 'the section of its rule'}{before}",
            "title": f"is called that now{before}",
            "each": f"asked of each {now.replace('_', ' ')}, was each {was.replace('_', ' ')}",
            "needs": f"known at least as {now or 'told'}, was {was or 'told'}",
        }.get(key, f"{key} {now or 'none'}{before}"), ""

    def _requirement(self, trail: Trail, new: Any, old: Any) -> Iterator[Difference]:
        pairs = [(key, new.get(key), old.get(key)) for key in ("require", *RECORDS)]
        if all(now == was for _, now, was in pairs):
            return
        now, was = (
            asked(node) if node is not None else "" for node in (_node_at(self.rule, trail), _node_at(self.was, trail))
        )
        now = now or next((spell(one) for _, one, _ in pairs if one is not None), "")
        was = was or next((spell(one) for _, _, one in pairs if one is not None), "")
        key = next(key for key, now_, was_ in pairs if now_ is not None or was_ is not None)
        if any(one is not None for _, one, _ in pairs):
            text = f"asks that {now}" + (f", was: {was}" if was else "")
        else:
            now, text = "", f"no longer asks that {was}"
        yield self._make("requirement", (*trail, key), was, now, text)

    def _conditions(self, trail: Trail, new: Any, old: Any, way: bool) -> Iterator[Difference]:
        for key in _names(new, old, "when"):
            now_text, was_text = (value_at(data, ("when", key)) for data in (new, old))
            if now_text == was_text:
                continue
            at = (*trail, "when", key)
            now, was = _condition(self.rule, trail, key, now_text), _condition(self.was, trail, key, was_text)
            if was_text is ABSENT:
                text, stands = f"only if {now}", "stricter" if way else "looser"
            elif now_text is ABSENT:
                text, stands = f"no longer only if {was}", "looser" if way else "stricter"
            else:
                text, stands = f"only if {now}, was: {was}", ""
            yield self._make("condition", at, was, now, text, stands)

    def _inner(self, trail: Trail, new: Any, old: Any) -> Iterator[Difference]:
        group, name = trail[-2:]
        here, there = (value_at(data, (group, name)) for data in (new, old))
        side = new if there is ABSENT else old
        way = group == "unless" or side.get("join") == "any"
        if here is not ABSENT and there is not ABSENT:
            if here != there:
                yield from self._node(trail, way)
            return
        added = there is ABSENT
        node = _node_at(self.rule if added else self.was, trail)
        about = "; ".join(_words(node, bare=True)) if node is not None else spell(here if added else there)
        part = "exception" if group == "unless" else "item"
        text = {
            (True, True): f"also enough: {about}",
            (True, False): f"no longer enough: {about}",
            (False, True): f"also asked: {about}",
            (False, False): f"no longer asked: {about}",
        }[way, added]
        stands = "stricter" if way != added else "looser"
        if group == "items" and new.get("join") != old.get("join"):
            stands = ""
        yield self._make(part, trail, "" if added else about, about if added else "", text, stands)

    def _limit(self, trail: Trail) -> Iterator[Difference]:
        new, old = value_at(self.new, trail), value_at(self.old, trail)
        if new == old:
            return
        name = trail[-1]
        label = name.replace("_", " ")
        if ABSENT in (new, old):
            now, was = ("" if value is ABSENT else spell(value) for value in (new, old))
            text = f"{label} {now}, new" if now else f"{label} {was} is no longer used"
            yield self._make("limit", trail, was, now, text)
            return
        stands = self._strictness(trail, new, old)
        if isinstance(new, list) and isinstance(old, list):
            yield self._make("list", trail, spell(old), spell(new), f"{label}: now {entries(new, old)}", stands)
        elif isinstance(new, dict) and isinstance(old, dict):
            yield from self._cells(trail, new, old, label)
        else:
            phrase = self._phrase(name) or f"{label} {spell(new)}"
            yield self._make("limit", trail, spell(old), spell(new), f"{phrase}, was {spell(old)}", stands)

    def _cells(self, trail: Trail, new: Any, old: Any, label: str) -> Iterator[Difference]:
        rows, before = (dict(_flat(data.get("rows"))) for data in (new, old))
        for key in ("by", "between", "outside"):
            if new.get(key) != old.get(key):
                now, was = (spell(data.get(key) or "") for data in (new, old))
                yield self._make(
                    "schedule", (*trail, key), was, now, f"{label}, {key}: {now or 'nothing'}, was {was or 'nothing'}"
                )
        sign = directions([self.rule]).of(_limit_at(self.rule, trail)) if self.rule else 0
        for row in dict.fromkeys((*before, *rows)):
            now, was = rows.get(row, ""), before.get(row, "")
            if now == was:
                continue
            text = f"{label} for {', '.join(row)}: {now or 'nothing'}, was {was or 'nothing'}"
            effect = figures(was, now, sign, False).strictness if now and was else ""
            stands = effect if effect in ("stricter", "looser") else ""
            yield self._make("cell", (*trail, "rows", *row), was, now, text, stands)

    def _strictness(self, trail: Trail, new: Any, old: Any) -> str:
        if self.rule is None:
            return ""
        if self._signs is None:
            self._signs = directions([self.rule])
        found = figures(old, new, self._signs.of(_limit_at(self.rule, trail)), False).strictness
        return found if found in ("stricter", "looser") else ""

    def _phrase(self, name: str) -> str:
        """`held at least 15 min`, where a requirement compares a fact with this limit alone."""
        for node in self.rule.body.walk() if self.rule is not None else ():
            if node.require is not None and _alone(node.require, name):
                return say(node.require, bare=True)
        return ""


def _data(world: World, name: str) -> Any:
    thing = world.things["rules"].get(name)
    return spread("rules", thing.data) if thing is not None else ABSENT


def _names(new: Any, old: Any, group: str) -> list[str]:
    found: dict[str, None] = {}
    for data in (old, new):
        inner = data.get(group) if isinstance(data, dict) else None
        found.update(dict.fromkeys(inner if isinstance(inner, dict) else ()))
    return list(found)


def _node_at(rule: Rule | None, trail: Trail) -> Node | None:
    """The compiled item or exception at a trail; a rule without items is its own item `main`."""
    node = rule.body if rule is not None else None
    for count in range(0, len(trail), 2):
        if node is None:
            return None
        group, name = trail[count : count + 2]
        if group == "items" and name == "main" and "main" not in node.items:
            continue
        node = (node.items if group == "items" else node.unless).get(name)
    return node


def _limit_at(rule: Rule | None, trail: Trail) -> Limit | None:
    node = _node_at(rule, trail[:-2])
    return node.limits.get(trail[-1]) if node is not None else None


def _condition(rule: Rule | None, trail: Trail, key: str, text: Any) -> str:
    if text is ABSENT:
        return ""
    node = _node_at(rule, trail)
    found = node.when.get(key) if node is not None else None
    return say(found) if found is not None else spell(text)


def _alone(require: Expression, name: str) -> bool:
    tree = require.tree
    if not isinstance(tree, ast.Compare):
        return False
    for side in (tree.left, *tree.comparators):
        leaf = require.leaves.get(side.id) if isinstance(side, ast.Name) else None
        if isinstance(leaf, LimitLeaf) and leaf.limit.name == name:
            return True
    return False


def entries(new: list[Any], old: list[Any]) -> str:
    """What a list has more and what it has less."""
    added, gone = [one for one in new if one not in old], [one for one in old if one not in new]
    parts = [f"{word} {spell(some)}" for word, some in (("with", added), ("without", gone)) if some]
    return " and ".join(parts) if parts else "in another order"


def _flat(rows: Any, at: Trail = ()) -> Iterator[tuple[Trail, str]]:
    if isinstance(rows, dict):
        for key, inner in rows.items():
            yield from _flat(inner, (*at, str(key)))
    else:
        yield at, spell(rows)


def _words(node: Node, bare: bool = False) -> Iterator[str]:
    """An item or exception with all below it, in words; `bare`: its own name is said already."""
    name = "" if bare else node.title or node.name.replace("_", " ")
    when = f"if {say_all(node.when.values())}" if node.when else ""
    text = ", ".join(part for part in (when, asked(node)) if part)
    yield f"{name}: {text}" if text and name not in ("", "main") else text or name or node.title or node.name
    for inner in node.items.values():
        yield from _words(inner)
    for inner in node.unless.values():
        for text in _words(inner):
            yield f"or it is enough, {text}"


def _asks(rule: Rule) -> Iterator[str]:
    body = rule.body
    if body.when:
        yield f"for each {rule.each.replace('_', ' ')} if {say_all(body.when.values())}"
    own = asked(body)
    if own:
        yield own
    for inner in body.items.values():
        yield from _words(inner)
