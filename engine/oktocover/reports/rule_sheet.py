"""One rule in full, in plain words: for whom it is, what it asks, its numbers layer by layer, the facts it reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from oktocover.measures import registry
from oktocover.measures.registry import FactType
from oktocover.reports._in_words import asked, say, say_all
from oktocover.reports._layered import Said, World
from oktocover.reports._plain import clean, listed, wrap
from oktocover.reports._words import SEVERITY, found_by
from oktocover.reports.json_form import plain
from oktocover.reports.rules_form import WIDTH, LimitRow, definitions, limit_objects, rule_row
from oktocover.rules.expressions import Expression, Leaf
from oktocover.rules.form import Node, Rule
from oktocover.rules.scope import FactLeaf, LimitLeaf, ListCallLeaf, PlainCallLeaf, TableLeaf, Term, TermLeaf

RECORDS = {"look": "look", "document": "paper", "approval": "official", "maker": "maker", "test": "test"}


@dataclass(frozen=True, slots=True)
class Asked:
    """A fact that somebody has to record before a rule can be answered."""

    kind: str
    fact: str
    means: str
    found_by: str


@dataclass(frozen=True, slots=True)
class Part:
    """An item or an exception in words."""

    name: str
    title: str
    section: str
    depth: int
    exception: bool
    when: str
    asks: str
    join: str = ""
    """'any' where one of the parts below is enough, 'all' where each is asked for."""
    severity: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """One change that a layer made on the rule."""

    source: str
    what: str
    """Verb and address inside the rule: 'set short'."""


@dataclass(frozen=True, slots=True)
class RuleSheet:
    """A rule in full."""

    id: str
    title: str
    citation: str
    also: tuple[str, ...]
    trade: str
    stage: str
    severity: str
    each: str
    needs: str
    when: str
    parts: tuple[Part, ...]
    limits: tuple[LimitRow, ...]
    words: tuple[tuple[str, str], ...]
    """Definitions it uses: name and meaning."""
    facts: tuple[Asked, ...]
    remedy: str
    close_with: str
    touches: tuple[str, ...]
    basis: str
    changes: tuple[Made, ...]
    history: tuple[Said, ...]
    """Its sections, layer by layer."""
    versions: int = 1
    """How many versions of it hold side by side; the worse verdict stands."""


def rule_sheet(world: World, rule: Rule) -> RuleSheet:
    """Everything there is to say about a rule of a place."""
    terms: dict[str, Term] = {}
    facts: dict[tuple[str, str], Asked] = {}
    tables: dict[str, None] = {}
    for expression in _expressions(rule.body):
        _collect(expression, rule.each, terms, tables, facts)
    shared = [name for name in world.things["terms"] if name.partition(".")[2] in terms]
    shared += [name for name in world.things["tables"] if name.partition(".")[2] in tables]
    row = rule_row(world, rule)
    more = [
        LimitRow(f"{one.id.partition('.')[2]}: {limit.name}", limit.value, limit.from_, limit.history)
        for one in definitions(world, shared)
        for limit in one.limits
    ]
    return RuleSheet(
        rule.id,
        rule.title,
        row.citation,
        rule.also,
        rule.trade,
        rule.stage,
        rule.severity,
        rule.each.replace("_", " "),
        rule.needs,
        say_all(rule.body.when.values()),
        tuple(_parts(rule.body, 0)),
        (*row.limits, *more),
        tuple((name.replace("_", " "), say(term.compiled())) for name, term in terms.items()),
        (*facts.values(), *_records(rule)),
        rule.body.remedy,
        rule.body.close_with,
        rule.body.touches,
        _basis(rule.basis),
        tuple(_made(world, rule)),
        world.history("rules", rule.id, ("section",)),
        1 + len(world.things["rules"][rule.id].twins),
    )


def _expressions(node: Node) -> Iterator[Expression]:
    for one in node.walk():
        yield from one.when.values()
        if one.require is not None:
            yield one.require
        for limit in one.limits.values():
            yield from _of_limit(limit)


def _of_limit(limit: Any) -> Iterator[Expression]:
    if limit.cell is not None and limit.cell.expression is not None:
        yield limit.cell.expression
    if limit.schedule is not None:
        yield from (key.expression for key in limit.schedule.keys if key.expression is not None)
        yield from _of_rows(limit.schedule.rows)


def _of_rows(rows: Any) -> Iterator[Expression]:
    if isinstance(rows, dict):
        for inner in rows.values():
            yield from _of_rows(inner)
    elif rows is not None and rows.expression is not None:
        yield rows.expression


def _collect(
    expression: Expression,
    kind: str,
    terms: dict[str, Term],
    tables: dict[str, None],
    facts: dict[tuple[str, str], Asked],
) -> None:
    for leaf in expression.leaves.values():
        _collect_leaf(leaf, kind, terms, tables, facts)


def _collect_leaf(
    leaf: Leaf, kind: str, terms: dict[str, Term], tables: dict[str, None], facts: dict[tuple[str, str], Asked]
) -> None:
    inner: Iterable[Expression] = ()
    if isinstance(leaf, FactLeaf):
        _fact(kind, leaf.path, facts)
    elif isinstance(leaf, LimitLeaf):
        inner = _of_limit(leaf.limit)
    elif isinstance(leaf, TermLeaf):
        if leaf.through:
            _fact(kind, leaf.through, facts)
        if leaf.term.name not in terms:
            terms[leaf.term.name] = leaf.term
            _collect(leaf.term.compiled(), leaf.term.of, terms, tables, facts)
    elif isinstance(leaf, TableLeaf):
        tables[leaf.name] = None
        inner = leaf.keys
    elif isinstance(leaf, PlainCallLeaf):
        inner = leaf.arguments
    elif isinstance(leaf, ListCallLeaf):
        inner = [leaf.list_, *leaf.options.values()]
        if leaf.per is not None:
            _collect(leaf.per, leaf.list_.type.kind, terms, tables, facts)
        if leaf.function is not None:
            for name in leaf.function.owner_reads:
                _fact(kind, name, facts)
            for name in leaf.function.member_reads:
                _fact(leaf.list_.type.kind, name, facts)
    for one in inner:
        _collect(one, kind, terms, tables, facts)


def _fact(kind: str, path: str, facts: dict[tuple[str, str], Asked], depth: int = 0) -> None:
    """A fact, and what it is worked out from: only what somebody records is asked."""
    first, _, rest = path.partition(".")
    if rest and first in ("site", "building", "permit"):
        kind, path = first, rest
        first, _, rest = path.partition(".")
    found = registry.fact_type(kind, first)
    if found is None or depth > len(registry.KINDS):
        return
    if rest:
        _note(kind, first, found, facts, depth)
        _fact(found.kind, rest, facts, depth + 1)
        return
    _note(kind, first, found, facts, depth)


def _note(kind: str, name: str, found: FactType, facts: dict[tuple[str, str], Asked], depth: int) -> None:
    key = kind, name
    if key in facts:
        return
    measure = registry.KINDS[kind].measures.get(name)
    if measure is None:
        if not found.computed:
            title = registry.KINDS[kind].title
            facts[key] = Asked(title, name.replace("_", " "), found.means, found_by(found.found_by))
        return
    for read in measure.reads:
        head, bracket, members = read.partition("[")
        _fact(kind, head, facts, depth + 1)
        about = registry.fact_type(kind, head)
        if bracket and about is not None and about.kind:
            for member in members.rstrip("]").split(","):
                _fact(about.kind, member.strip(), facts, depth + 1)


def _records(rule: Rule) -> Iterator[Asked]:
    for node in rule.body.walk():
        if node.record is not None:
            yield Asked("record", node.name.replace("_", " "), node.record[1], found_by(RECORDS[node.record[0]]))


def _parts(node: Node, depth: int) -> Iterator[Part]:
    if depth == 0 and not node.items:
        yield Part("main", "", "", 0, False, "", asked(node))
    for one in node.items.values():
        yield from _part(one, depth, False)
    for one in node.unless.values():
        yield from _part(one, depth, True)


def _part(node: Node, depth: int, exception: bool) -> Iterator[Part]:
    yield Part(
        node.name,
        node.title,
        node.section,
        depth,
        exception,
        say_all(node.when.values()),
        asked(node),
        node.joined if node.items else "",
        node.severity,
    )
    yield from _parts(node, depth + 1)


def _basis(basis: Any) -> str:
    check = {"seen": "read in a source", "memory": "from memory: check it"}.get(
        str(basis.get("check")), basis.get("check")
    )
    return ". ".join(str(one).strip().rstrip(".") for one in (check, basis.get("source"), basis.get("note")) if one)


def _made(world: World, rule: Rule) -> Iterator[Made]:
    for edit in world.edits.get(("rules", rule.id), []):
        inside = edit.address.removeprefix(rule.id).lstrip(".") if edit.address.startswith(rule.id) else edit.address
        verb = {"take": "taken from another edition:", "strike": "struck:", "set": "set:", "add": "added to:"}[
            edit.verb
        ]
        yield Made(world.authority(edit.change), f"{verb} {inside or 'the whole rule'}")


def sheet_text(sheet: RuleSheet, width: int = WIDTH) -> str:
    """The sheet as lines of at most `width` columns."""
    lines = wrap(f"{clean(sheet.id, 200)}: {clean(sheet.title, 300)}", width, "", "  ")
    also = f" (also {clean(listed(sheet.also), 200)})" if sheet.also else ""
    lines += wrap(f"{clean(sheet.citation, 300)}{also}", width, "  ")
    about = (clean(sheet.trade, 60), f"visit: {clean(sheet.stage, 60)}", SEVERITY.get(sheet.severity, sheet.severity))
    lines += wrap("; ".join(about), width, "  ")
    if sheet.versions > 1:
        text = f"{sheet.versions} versions of this rule hold: as changed, and as it stood before. The worse verdict stands."
        lines += wrap(text, width, "  ")
    lines += ["", "FOR WHOM"]
    lines += wrap(
        f"each {clean(sheet.each, 80)}" + (f", if {clean(sheet.when, 2000)}" if sheet.when else ""), width, "  "
    )
    if sheet.needs:
        lines += wrap(f"known at least as: {clean(sheet.needs, 40)}", width, "  ")
    lines += ["", "WHAT IT ASKS"]
    for part in sheet.parts:
        lines += _part_lines(part, width)
    if sheet.limits:
        lines += ["", "NUMBERS AND LISTS, LAYER BY LAYER"]
        for one in sheet.limits:
            told = " -> ".join(f"{clean(said.value, 2000)} ({clean(said.source, 200)})" for said in one.history)
            lines += wrap(f"{clean(one.name, 120).replace('_', ' ')}: {told}", width, "  ", "    ")
    if sheet.words:
        lines += ["", "WORDS"]
        for name, meaning in sheet.words:
            lines += wrap(f"'{clean(name, 120)}': {clean(meaning, 2000)}", width, "  ", "    ")
    return "\n".join(lines + _foot(sheet, width)) + "\n"


def _part_lines(part: Part, width: int) -> list[str]:
    indent = "  " + "  " * part.depth
    name = clean(part.title or part.name.replace("_", " "), 300)
    head = f"or it is enough, {name}" if part.exception else "" if part.name == "main" else name
    section = f" ({clean(part.section, 120)})" if part.section else ""
    join = {"any": "any one of these", "all": "each of these"}.get(
        part.join, f"{part.join} of these" if part.join else ""
    )
    when = f"if {clean(part.when, 2000)}" if part.when else ""
    worse = SEVERITY.get(part.severity, "") if part.severity else ""
    body = ", ".join(one for one in (when, clean(part.asks, 2000) or join, worse) if one)
    text = f"{head}{section}: {body}" if head and body else f"{head}{section}{body}"
    return wrap(text, width, indent, indent + "  ")


def _foot(sheet: RuleSheet, width: int) -> list[str]:
    lines: list[str] = []
    if sheet.facts:
        lines += ["", "FACTS IT ASKS FOR"]
        for one in sheet.facts:
            means = f": {clean(one.means, 400)}" if one.means else ""
            lines += wrap(f"{clean(one.kind, 60)}, {clean(one.fact, 80)}{means} ({one.found_by})", width, "  ", "    ")
    for head, text in (
        ("WHAT TO DO WHEN IT IS NOT MET", sheet.remedy),
        ("CLOSE IT WITH", sheet.close_with),
        ("ALSO TOUCHES", listed(sheet.touches)),
        ("HOW THE NUMBERS ARE KNOWN", sheet.basis),
    ):
        if text:
            lines += ["", head, *wrap(clean(text, 2000), width, "  ")]
    if sheet.changes or len(sheet.history) > 1:
        lines += ["", "ITS HISTORY"]
        for said in sheet.history[:1]:
            lines += wrap(clean(said.source, 200), width, "  ")
        for made in sheet.changes:
            lines += wrap(f"{clean(made.source, 300)}: {clean(made.what, 300)}", width, "  ", "    ")
    return lines


def sheet_object(sheet: RuleSheet) -> dict[str, Any]:
    """The sheet as plain JSON values."""
    told: dict[str, Any] = plain(sheet)
    told["limits"] = limit_objects(sheet.limits)
    told["words"] = [{"name": clean(name), "means": clean(meaning)} for name, meaning in sheet.words]
    told["history"] = [{"section": clean(one.value), "from": clean(one.source)} for one in sheet.history]
    return told
