"""The proof of a ruleset: every case comes out as written, and every name and number of a rule turns a case.

What could be taken out, or moved by one trade step, without any case noticing is not proven: nobody would notice
either when it is wrong.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from oktocover.quantities.insulation import Insulation
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules import card_cases
from oktocover.rules import cases as case_form
from oktocover.rules.cases import Case, Outcome, differs, moved
from oktocover.rules.expressions import Expression
from oktocover.rules.fold import Folded
from oktocover.rules.form import Node, Rule
from oktocover.rules.intervals import NO_LIMIT
from oktocover.rules.layers import Change, Layer
from oktocover.rules.library import Library
from oktocover.rules.limits import Band, Cell, Limit, Schedule
from oktocover.rules.prove_changes import prove_place
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.types import RuleError

Undo = Callable[[], None]


@dataclass(slots=True)
class Probe:
    """One thing to take out or to move: how to do it, and its name."""

    name: str
    what: str
    do: Callable[[], Undo]
    node: str = ""


@dataclass(slots=True)
class Proof:
    """What was proven of one rule, term or table of one layer."""

    layer: str
    rule: str
    cases: int = 0
    failed: list[str] = field(default_factory=list)
    proven: list[str] = field(default_factory=list)
    not_proven: list[str] = field(default_factory=list)

    @property
    def whole(self) -> bool:
        """Whether nothing is left to prove."""
        return not self.failed and not self.not_proven


def prove(library: Library, only: str = "", progress: Callable[[str], None] | None = None) -> list[Proof]:
    """Prove every layer under a library (or those whose name or rules begin with `only`).

    A file that cannot be read is a proof that failed, so that one mistake does not hide the rest.
    """
    proofs: list[Proof] = []
    cases = _all_cases(library, proofs)
    names = _layer_names(library)
    for case in {case.layer: case for case in cases if case.layer not in names}.values():
        place = case.document.place(("cases",))
        proofs.append(Proof(case.layer, "(cases)", failed=[f"{place}: there is no layer '{case.layer}'"]))
    for name in names:
        if progress:
            progress(name)
        try:
            proofs.extend(_prove_layer(library, name, cases, only))
        except InputProblems as error:
            proofs.append(Proof(name, "(files)", failed=[problem.text() for problem in error.problems]))
    return proofs


def _layer_names(library: Library) -> list[str]:
    places = [library.place(name).name for name in library.places]
    own = [library.standard(name).name for name in library.standards]
    return [*library.editions, *places, *own]


def _all_cases(library: Library, proofs: list[Proof]) -> list[Case]:
    found: list[Case] = []
    for path in library.case_files():
        try:
            found.extend(case_form.read_cases(path, library.shown(path)))
        except InputProblems as error:
            proofs.append(Proof(library.shown(path), "(cases)", failed=[problem.text() for problem in error.problems]))
    return found


def _folded(library: Library, name: str) -> tuple[Folded, Layer, Folded | None]:
    """(rules with the layer, the layer, rules without it)."""
    if name in library.editions:
        chain = library.chain(name)
        without = library.folded(chain[-2].name) if len(chain) > 1 else None
        slips = library.review_edition(name)
        if slips:
            raise InputProblems(slips)
        return library.folded(name), chain[-1], without
    for key, names in (("place", library.places), ("standard", library.standards)):
        for title in names:
            layer = library.place(title) if key == "place" else library.standard(title)
            if layer.name == name:
                adopted = library.adopt_chain(tuple(library.places_around(layer)), layer)
                adopted.check_every()
                return adopted.rules.folded, layer, None
    raise KeyError(name)


def _prove_layer(library: Library, name: str, all_cases: list[Case], only: str) -> Iterator[Proof]:
    folded, layer, without = _folded(library, name)
    rules = RuleSet(folded)
    rules.check()
    own = [
        case
        for case in all_cases
        if case.layer == name
        or (case.editions and layer.book and case.layer.split(" ")[0] == layer.book and layer.edition in case.editions)
    ]
    touched = _touched(layer)
    for case in own:
        if case.rule not in folded.things["rules"]:
            raise InputProblems([Problem(case.place, f"there is no rule '{case.rule}' in {name}")])
    by_rule: dict[str, list[Case]] = {}
    for case in [*own, *(case for change in layer.changes.values() for case in _cases_of(change, name))]:
        if card_cases.is_one(case.data):
            continue
        by_rule.setdefault(case.rule, []).append(case)
    names = [f"{layer.prefix}.{rule}" for rule in layer.things["rules"]]
    names += [address for address in touched if address not in names and address in folded.things["rules"]]
    names += [address for address in by_rule if address not in names]
    if not layer.book:
        chosen = library.adopt_chain(tuple(library.places_around(layer)), layer)
        names = names if chosen.board.fixed else []
    for address in names:
        if only and not address.startswith(only) and not name.startswith(only):
            continue
        rule = rules.rule(address)
        if rule is not None:
            yield _prove_rule(
                rule,
                name,
                by_rule.get(address, []),
                touched.get(address),
                f"{layer.prefix}.{address.partition('.')[2]}"
                in [f"{layer.prefix}.{own_rule}" for own_rule in layer.things["rules"]],
            )
    if not only or name.startswith(only) or layer.prefix.startswith(only.partition(".")[0]):
        yield from _prove_shared(rules, layer, by_rule, only)
    asked = not only or name.startswith(only) or any(rule.startswith(only) for rule in touched)
    for told in prove_place(library, layer, own) if asked and not layer.book else ():
        yield Proof(name, told.what, told.cases, told.failed, [], told.not_proven)
    for change in layer.changes.values():
        if without is None or (only and not name.startswith(only) and not any(r.startswith(only) for r in touched)):
            continue
        yield _prove_change(change, rules, _left_out(library, layer, without, change), name, own)


def _left_out(library: Library, layer: Layer, below: Folded, change: Change) -> RuleSet:
    """The rules with a whole layer but for one of its changes."""
    others = {name: one for name, one in layer.changes.items() if one is not change}
    folded = below.copy()
    library.put(folded, replace(layer, changes=others))
    return RuleSet(folded)


def _touched(layer: Layer) -> dict[str, set[str]]:
    """Rules changed by a layer, with the names in them that it touched."""
    found: dict[str, set[str]] = {}
    for change in layer.changes.values():
        for verb in ("take", "set", "add"):
            for address, value in (change.data.get(verb) or {}).items():
                parts = address.split(".")
                if len(parts) > 2 and parts[-1] in card_cases.WORDS:
                    continue  # no verdict shows it; a case of the change itself does
                names = found.setdefault(".".join(parts[:2]), set())
                names.update(parts[2:][-1:] if verb == "set" else _all_names(value))
                if len(parts) == 2 and verb in ("set", "take"):
                    names.add("*")
    return found


def _all_names(value: Any) -> set[str]:
    names: set[str] = set()
    if isinstance(value, dict):
        for key, inner in value.items():
            names.add(key)
            names |= _all_names(inner)
    elif isinstance(value, list):
        names |= {str(item) for item in value}
    elif isinstance(value, str):
        names.add(value)
    return names


def _prove_rule(rule: Rule, layer: str, cases: list[Case], touched: set[str] | None, own: bool) -> Proof:
    proof = Proof(layer, rule.id, len(cases))
    if not cases:
        proof.not_proven.append("the rule has no case")
        return proof
    base = _run_all(rule, cases, proof)
    if proof.failed:
        return proof
    if own:
        _kinds(proof, rule, base)
    for probe in probes(rule.body, ""):
        if (
            not own
            and touched is not None
            and "*" not in touched
            and probe.node not in touched
            and probe.name.split(" ")[0] not in touched
        ):
            continue
        _try(probe, proof, lambda: [_verdict(case, rule) for case in cases], [outcome.verdict for outcome in base])
    return proof


def _kinds(proof: Proof, rule: Rule, base: list[Outcome]) -> None:
    """Each rule has a case that is met, one that is not met (or waits for a record), and one that cannot tell."""
    verdicts = {outcome.verdict for outcome in base}
    wanted = ["met", "not recorded"] + ([] if rule.body.record is not None else ["not met"])
    for verdict in wanted:
        if verdict not in verdicts:
            proof.not_proven.append(f"no case is '{verdict}'")


def _run_all(rule: Rule, cases: list[Case], proof: Proof) -> list[Outcome]:
    outcomes = []
    for case in cases:
        try:
            outcome = case_form.run(case, rule)
        except RuleError as error:
            proof.failed.append(
                f"{case.place}: {case.sentence}: {error.message}" + (f" ({error.do})" if error.do else "")
            )
            continue
        except InputProblems as error:
            proof.failed.append(f"{case.place}: {case.sentence}: {error}")
            continue
        wrong = differs(case, outcome)
        fast = case_form.run(case, rule, quick=True).verdict
        if fast != outcome.verdict:
            wrong = f"{wrong}; asked quickly it is {fast}, walked through it is {outcome.verdict}".lstrip("; ")
        if wrong:
            proof.failed.append(f"{case.place}: {case.sentence}: {wrong}")
        outcomes.append(outcome)
    return outcomes


def _verdict(case: Case, rule: Rule) -> str:
    try:
        return case_form.run(case, rule).verdict
    except RuleError:
        return "error"


def _try(probe: Probe, proof: Proof, verdicts: Callable[[], list[str]], base: list[str]) -> None:
    undo = probe.do()
    try:
        turned = verdicts() != base
    finally:
        undo()
    (proof.proven if turned else proof.not_proven).append(f"{probe.name}: {probe.what}")


def probes(node: Node, under: str) -> Iterator[Probe]:
    """Everything in a rule that can be taken out or moved."""
    for name in list(node.when):
        yield Probe(f"{under}{name}", "condition struck", _remover(node.when, name), name)
        yield from _words(node.when[name], f"{under}{name}")
    if node.require is not None:
        yield from _words(node.require, f"{under}{node.name}")
    for name in list(node.items):
        yield Probe(f"{under}{name}", "item struck", _remover(node.items, name), name)
        yield from probes(node.items[name], f"{under}{name}.")
    for name in list(node.unless):
        yield Probe(f"{under}{name}", "exception struck", _remover(node.unless, name), name)
        yield from probes(node.unless[name], f"{under}{name}.")
    for name, limit in node.limits.items():
        yield from _limit_probes(limit, f"{under}{name}", name)


def _remover(holder: dict[str, Any], name: str) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = dict(holder)
        del holder[name]

        def undo() -> None:
            holder.clear()
            holder.update(kept)

        return undo

    return do


def _words(expression: Expression, name: str) -> Iterator[Probe]:
    """Entries of lists of words that stand in an expression itself."""
    for part in ast.walk(expression.tree):
        if not isinstance(part, ast.Tuple) or len(part.elts) < 2:
            continue
        for index, item in enumerate(part.elts):
            if isinstance(item, ast.Constant):
                yield Probe(name, f"'{item.value!s}' struck from the list", _entry_remover(expression, part, index))


def _entry_remover(expression: Expression, part: ast.Tuple, index: int) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = part.elts
        part.elts = kept[:index] + kept[index + 1 :]
        expression._fast = None

        def undo() -> None:
            part.elts = kept
            expression._fast = None

        return undo

    return do


def _set(target: Any, attribute: str, value: Any) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = getattr(target, attribute)
        setattr(target, attribute, value)
        return lambda: setattr(target, attribute, kept)

    return do


def _limit_probes(limit: Limit, name: str, node: str) -> Iterator[Probe]:
    if limit.blank:
        yield Probe(name, "blank filled with no limit", _blank(limit), node)
    elif limit.many is not None:
        for index, item in enumerate(limit.many):
            rest = limit.many[:index] + limit.many[index + 1 :]
            if rest:
                yield Probe(
                    name,
                    f"{_entry(item, index)} struck from the list",
                    _set(limit, "many", rest),
                    node,
                )
            if not isinstance(item, str):
                yield from _moves(
                    name,
                    f"entry {index + 1}",
                    item,
                    limit,
                    lambda new, at=index: _set(  # type: ignore[misc]
                        limit, "many", (*limit.many[:at], new, *limit.many[at + 1 :])
                    ),
                    node,
                )
    elif limit.schedule is not None:
        yield from _schedule_probes(limit.schedule, name, limit, node)
    elif limit.cell is not None and limit.cell.expression is None:
        yield from _cell_probes(limit.cell, name, limit, node)


def _entry(item: Any, index: int) -> str:
    return f"'{item}'" if isinstance(item, str) else f"entry {index + 1}"


def _blank(limit: Limit) -> Callable[[], Undo]:
    def do() -> Undo:
        kept = (limit.blank, limit.cell)
        limit.blank, limit.cell = "", Cell("no limit", NO_LIMIT)

        def undo() -> None:
            limit.blank, limit.cell = kept

        return undo

    return do


def _cell_probes(cell: Cell, name: str, limit: Limit, node: str) -> Iterator[Probe]:
    if isinstance(cell.value, tuple):
        for index, item in enumerate(cell.value):
            rest = cell.value[:index] + cell.value[index + 1 :]
            yield Probe(name, f"{_entry(item, index)} struck from the list", _set(cell, "value", rest), node)
        return
    if isinstance(cell.value, Insulation):
        yield from _insulation_probes(cell, cell.value, name, node)
        return
    if cell.ask or not isinstance(cell.value, (int, Fraction)) or isinstance(cell.value, bool):
        if not cell.ask and isinstance(cell.value, (str, bool)) and cell.value != "":
            yield Probe(
                name,
                f"'{cell.text}' exchanged",
                _set(cell, "value", not cell.value if isinstance(cell.value, bool) else "another word"),
                node,
            )
        return
    yield from _moves(name, "", cell.value, limit, lambda new: _set(cell, "value", new), node)


def _insulation_probes(cell: Cell, value: Insulation, name: str, node: str) -> Iterator[Probe]:
    """Each part of each way to insulate moved by R-1 each way."""
    for way in range(len(value.ways)):
        for part, word in enumerate(("between the studs", "continuous")):
            for steps, direction in ((1, "up"), (-1, "down")):
                new = value.moved(way, part, steps)
                if new != value:
                    yield Probe(name, f"way {way + 1}, {word}: one step {direction}", _set(cell, "value", new), node)


def _moves(
    name: str, what: str, value: Any, limit: Limit, make: Callable[[Any], Callable[[], Undo]], node: str
) -> Iterator[Probe]:
    dim = limit.type.dimension
    if dim is None:
        return
    for steps, word in ((1, "one step up"), (-1, "one step down")):
        new = moved(value, dim, limit.unit, steps)
        if new is not None and new != value and not (value == 0 and steps < 0):
            yield Probe(name, f"{what} {word}".strip(), make(new), node)


def _schedule_probes(schedule: Schedule, name: str, limit: Limit, node: str) -> Iterator[Probe]:
    def walk(rows: Any, trail: str, depth: int) -> Iterator[Probe]:
        if isinstance(rows, Cell):
            yield from _cell_probes(rows, f"{name}[{trail}]", limit, node)
            return
        for text in list(rows):
            here = f"{trail}, {text}".lstrip(", ")
            yield Probe(f"{name}[{here}]", "row struck", _remover(rows, text), node)
            if len(schedule.keys) > depth:
                read = schedule.rows_read.get((depth, text))
                yield from _band_probes(read, f"{name}[{here}]", schedule, depth, node)
            yield from walk(rows[text], here, depth + 1)

    yield from walk(schedule.rows, "", 0)
    if schedule.outside is not None:
        yield Probe(name, "outside struck", _set(schedule, "outside", None), node)


def _band_probes(read: Any, name: str, schedule: Schedule, depth: int, node: str) -> Iterator[Probe]:
    if not isinstance(read, Band):
        return
    key = schedule.keys[depth].expression
    dim = key.type.dimension if key else None
    if dim is None:
        return
    for end in ("low", "high"):
        value = getattr(read, end)
        if value is not None:
            for steps, word in ((1, "up"), (-1, "down")):
                if value == 0 and steps < 0:
                    continue
                yield Probe(
                    name,
                    f"{end} edge one step {word}",
                    _edge(schedule, depth, end, value, moved(value, dim, "", steps)),
                    node,
                )


def _edge(schedule: Schedule, depth: int, end: str, old: Any, new: Any) -> Callable[[], Undo]:
    """Move an edge in both bands that share it."""

    def do() -> Undo:
        changed: list[tuple[Band, str]] = []
        for (at, _), band in schedule.rows_read.items():
            if at != depth or not isinstance(band, Band):
                continue
            for side in ("low", "high"):
                if getattr(band, side) == old:
                    setattr(band, side, new)
                    changed.append((band, side))

        def undo() -> None:
            for band, side in changed:
                setattr(band, side, old)

        return undo

    return do


def _prove_shared(rules: RuleSet, layer: Layer, by_rule: dict[str, list[Case]], only: str) -> Iterator[Proof]:
    """Terms and tables of a layer, through the cases of the rules that use them."""
    used = [(rule, cases) for address, cases in by_rule.items() for rule in [rules.rule(address)] if rule is not None]
    changed = {
        ".".join(address.split(".")[:2])
        for change in layer.changes.values()
        for verb in ("take", "set", "add")
        for address in (change.data.get(verb) or {})
    }

    def verdicts() -> list[str]:
        return [_verdict(case, rule) for rule, cases in used for case in cases]

    base: list[str] | None = None
    for section in ("terms", "tables"):
        for address in rules.folded.things[section]:
            name = address.partition(".")[2]
            if (
                name not in layer.things[section] or not address.startswith(layer.prefix + ".")
            ) and address not in changed:
                continue
            if only and only.count(".") and not address.startswith(only):
                continue
            base = verdicts() if base is None else base
            proof = Proof(layer.name, f"{section[:-1]} {address}", len(base))
            made: Any = rules.term(address) if section == "terms" else rules.table(address)
            if made is not None:
                found = _term_probes(made) if section == "terms" else _table_probes(made, name)
                for probe in found:
                    _try(probe, proof, verdicts, base)
            yield proof


def _term_probes(term: Any) -> Iterator[Probe]:
    expression = term.compiled()
    yield from _words(expression, term.name)
    seen: set[int] = set()
    for leaf in expression.leaves.values():
        limit = getattr(leaf, "limit", None)
        if isinstance(limit, Limit) and id(limit) not in seen:
            seen.add(id(limit))
            yield from _limit_probes(limit, f"{term.name}.{limit.name}", limit.name)


def _table_probes(table: Schedule, name: str) -> Iterator[Probe]:
    for sign, word in ((1, "up"), (-1, "down")):
        yield Probe(name, f"whole table one percent {word}", _scale(table, Fraction(100 + sign, 100)))
    for key in table.keys:
        if key.how not in ("exact", "word", "band"):
            yield Probe(name, f"row rule of {key.name}", _set(key, "how", "exact"))
            yield (
                Probe(name, f"past the low end of {key.name}", _set(table, "probe", "below"))
                if key.how != "next row up"
                else Probe(name, f"past the high end of {key.name}", _set(table, "probe", "above"))
            )
    if all(key.how in ("exact", "word", "band") for key in table.keys):
        yield Probe(name, "off the rows", _set(table, "probe", "between"))


def _scale(table: Schedule, by: Fraction) -> Callable[[], Undo]:
    def do() -> Undo:
        kept: list[tuple[Cell, Any]] = []

        def walk(rows: Any) -> None:
            if isinstance(rows, Cell):
                if isinstance(rows.value, (int, Fraction)) and not isinstance(rows.value, bool):
                    kept.append((rows, rows.value))
                    rows.value = rows.value * by
            elif isinstance(rows, dict):
                for inner in rows.values():
                    walk(inner)

        walk(table.rows)

        def undo() -> None:
            for cell, value in kept:
                cell.value = value

        return undo

    return do


def _cases_of(change: Change, layer: str) -> list[Case]:
    """The cases that stand in a change itself."""
    listed = change.data.get("cases") or []
    return [
        Case(
            layer,
            str(data.get("rule", "")),
            str(data.get("note") or f"case {index + 1}"),
            data,
            {},
            change.document,
            (*change.path, "cases", index),
        )
        for index, data in enumerate(listed)
        if isinstance(data, dict)
    ]


def _prove_change(change: Change, with_it: RuleSet, without: RuleSet, layer: str, own: list[Case]) -> Proof:
    """A change has a case that comes out differently with and without it: its own, or one of its layer."""
    listed = change.data.get("cases")
    cases = _listed(change, layer, listed) if isinstance(listed, list) and listed else own
    proof = Proof(layer, f"change {change.name}", len(cases))
    differences = 0
    for case in cases:
        if card_cases.is_one(case.data):
            differences += _card_differs(case, with_it, without, proof)
            continue
        rule, was = with_it.rule(case.rule), without.rule(case.rule)
        if rule is None and was is None:
            proof.failed.append(f"{case.place}: there is no rule '{case.rule}'")
            continue
        said = []
        for version, key in ((rule, "verdict"), (was, "was")):
            case.made = None
            got = _told(case, version, proof if case.document is change.document else None)
            said.append(got)
            if case.data.get(key) is not None and case.document is change.document and got not in (case.data[key], ""):
                proof.failed.append(f"{case.place}: {key}: {got}, the case says {case.data[key]}")
        differences += said[0] != said[1]
        case.made = None
    if not differences:
        proof.not_proven.append("no case comes out differently without this change")
    return proof


def _card_differs(case: Case, with_it: RuleSet, without: RuleSet, proof: Proof) -> bool:
    """Whether a case of the card or the field sheet comes out as written, and differently without its change."""
    try:
        said = card_cases.expected(case.data)
        got = (card_cases.outcome(case, with_it), card_cases.outcome(case, without))
    except RuleError as error:
        proof.failed.append(f"{case.place}: {error.message}" + (f" ({error.do or error.expected})"))
        return False
    for key, one, wanted in zip(("with the change", "was"), got, said, strict=True):
        if one != wanted:
            proof.failed.append(f"{case.place}: {key}: {one}, the case says {wanted}")
    return got[0] != got[1]


def _listed(change: Change, layer: str, listed: list[Any]) -> list[Case]:
    return [
        Case(
            layer,
            str(data.get("rule", "")),
            str(data.get("note") or f"case {index + 1}"),
            data,
            {},
            change.document,
            (*change.path, "cases", index),
        )
        for index, data in enumerate(listed)
        if isinstance(data, dict)
    ]


def _told(case: Case, rule: Rule | None, proof: Proof | None) -> str:
    """The verdict of a rule on a case; 'none' without the rule, nothing (and a failed proof) when it cannot be run."""
    if rule is None:
        return "none"
    try:
        return case_form.run(case, rule).verdict
    except RuleError as error:
        if str(case.data.get("was")) == "none":
            return "none"
        if proof is not None:
            proof.failed.append(f"{case.place}: {error.message}" + (f" ({error.do})" if error.do else ""))
        return ""
