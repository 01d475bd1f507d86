"""The proof of a ruleset: every case comes out as written, and every name and number of a rule turns a case.

What could be taken out, or moved by one trade step, without any case noticing is not proven: nobody would notice
either when it is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules import card_cases
from oktocover.rules import cases as case_form
from oktocover.rules.adopted import Adopted, Variant
from oktocover.rules.cases import VERDICTS, Case, Outcome, differs
from oktocover.rules.fold import Folded
from oktocover.rules.form import Rule
from oktocover.rules.layers import Change, Layer
from oktocover.rules.library import Library
from oktocover.rules.probes import Probe, probes, table_probes, term_probes
from oktocover.rules.prove_changes import cases_in, in_force, prove_place, roots_of
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.types import RuleError
from oktocover.site.declared import speaking

_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


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


Unit = Callable[[], Iterable[Proof]]
"""One piece of a proof, which can be done by itself."""


def prove(library: Library, only: str = "", progress: Callable[[str], None] | None = None) -> list[Proof]:
    """Prove every layer under a library (or those whose name or rules begin with `only`).

    A file that cannot be read is a proof that failed, so that one mistake does not hide the rest.
    """
    return [proof for _, proof in prove_share(library, only, (0, 1), progress)]


def prove_share(
    library: Library, only: str, share: tuple[int, int], progress: Callable[[str], None] | None = None
) -> list[tuple[int, Proof]]:
    """Every n-th piece of the whole proof, `share` being (which, n): proofs with the number of their piece.

    Those of all shares, by their numbers, are what `prove` gives.
    """
    which, of = share
    number = 0
    library.doubting = True
    found: list[tuple[int, Proof]] = []
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
            for unit in _prove_layer(library, name, cases, only):
                number += 1
                if number % of == which:
                    found.extend((number, proof) for proof in unit())
        except InputProblems as error:
            found.append((number, Proof(name, "(files)", failed=[problem.text() for problem in error.problems])))
    # what could not be read is found by every share, and told by one
    return [*((0, proof) for proof in proofs if which == 0), *found]


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


def _places(library: Library) -> dict[str, Layer]:
    """The shipped places and standards by the name they give themselves."""
    layers = [*map(library.place, library.places), *map(library.standard, library.standards)]
    return {layer.name: layer for layer in layers}


def _own(cases: list[Case], layer: Layer) -> list[Case]:
    """The cases beside a layer, and those of another edition of its book that hold in it too."""
    same_book = f"{layer.book} " if layer.book else ""
    return [
        case
        for case in cases
        if case.layer == layer.name
        or (same_book and case.layer.startswith(same_book) and layer.edition in case.editions)
    ]


def _prove_layer(library: Library, name: str, all_cases: list[Case], only: str) -> Iterator[Unit]:
    if name in library.editions:
        yield from _prove_edition(library, name, all_cases, only)
    else:
        yield from _prove_place(library, _places(library)[name], all_cases, only)


def _prove_edition(library: Library, name: str, all_cases: list[Case], only: str) -> Iterator[Unit]:
    chain = library.chain(name)
    layer = chain[-1]
    slips = library.review_edition(name)
    if slips:
        raise InputProblems(slips)
    rules = RuleSet(library.folded(name))
    rules.check()
    own, touched = _own(all_cases, layer), _touched(layer)
    for case in own:
        if case.rule not in rules.folded.things["rules"]:
            raise InputProblems([Problem(case.place, f"there is no rule '{case.rule}' in {name}")])
    by_rule: dict[str, list[Case]] = {}
    for case in [*own, *(case for change in layer.changes.values() for case in _listed(change, name))]:
        if not card_cases.is_one(case.data):
            by_rule.setdefault(case.rule, []).append(case)
    mine = [f"{layer.prefix}.{rule}" for rule in layer.things["rules"]]
    for address in dict.fromkeys([*mine, *touched, *by_rule]):
        rule = rules.rule(address) if _asked(only, name, address) else None
        if rule is not None:
            yield partial(_one, prove_rule, rule, name, by_rule.get(address, []), touched.get(address), address in mine)
    if not only or name.startswith(only) or layer.prefix.startswith(only.partition(".")[0]):
        yield from _prove_shared(rules, layer, by_rule, only)
    if len(chain) > 1 and any(_asked(only, name, address) for address in ("", *touched)):
        below = library.folded(chain[-2].name)
        for change in layer.changes.values():
            yield partial(_without, library, layer, below, change, rules, own)


def _one(work: Callable[..., Proof], *of: Any) -> list[Proof]:
    return [work(*of)]


def _without(
    library: Library, layer: Layer, below: Folded, change: Change, rules: RuleSet, own: list[Case]
) -> list[Proof]:
    return [_prove_change(change, rules, _left_out(library, layer, below, change), layer.name, own)]


def _asked(only: str, layer: str, address: str) -> bool:
    return not only or layer.startswith(only) or bool(address and address.startswith(only))


def _prove_place(library: Library, layer: Layer, all_cases: list[Case], only: str) -> Iterator[Unit]:
    """A place or a job's standard: its rules in every edition and window its cases are about, and each of its parts."""
    adopted = library.adopt_chain(tuple(library.places_around(layer)), layer)
    adopted.check_every()
    own, touched = _own(all_cases, layer), _touched(layer)
    mine = [f"{layer.prefix}.{rule}" for rule in layer.things["rules"]]
    changed = [change for change in layer.changes.values() if in_force(change.data) == dict(change.data)]
    cases = [*own, *(case for change in changed for case in _listed(change, layer.name))]
    cases = [case for case in cases if not card_cases.is_one(case.data) and case.data.get("verdict") in VERDICTS]
    addresses = list(dict.fromkeys([*mine, *touched, *(case.rule for case in cases)]))
    for address in addresses:
        if _asked(only, layer.name, address):
            about = [case for case in cases if case.rule == address]
            yield partial(_in_variants, adopted, address, about, touched.get(address), address in mine)
    if adopted.board.fixed and (not only or layer.name.startswith(only)):
        by_rule = {address: [case for case in cases if case.rule == address] for address in addresses}
        yield from _prove_shared(adopted.rules, layer, by_rule, only)
    if any(_asked(only, layer.name, address) for address in ("", *touched)):
        yield partial(_parts_of_place, library, layer, own)


def _parts_of_place(library: Library, layer: Layer, own: list[Case]) -> Iterator[Proof]:
    for told in prove_place(library, layer, own):
        yield Proof(layer.name, told.what, told.cases, told.failed, [], told.not_proven)


def _in_variants(
    adopted: Adopted, address: str, cases: list[Case], touched: set[str] | None, own: bool
) -> Iterator[Proof]:
    """One rule in each edition and window that some case is about: a name is proven when it is in one of them."""
    groups: dict[int, tuple[Variant, list[Case]]] = {}
    for case in cases:
        with speaking(adopted.rules.declared):
            variants = adopted.for_site(roots_of(case, adopted.rules)).variants
        if len(variants) == 1:
            groups.setdefault(id(variants[0]), (variants[0], []))[1].append(case)
    whole = Proof(adopted.place.name, address, len(cases))
    found = False
    for variant, about in groups.values() or ([(adopted.variants[0], [])] if own else []):
        rule = variant.rules.rule(address)
        if rule is None or rule.twins:
            continue
        found = True
        one = prove_rule(rule, adopted.place.name, about, touched, own)
        whole.failed += one.failed
        whole.proven += one.proven
        whole.not_proven += one.not_proven
    if found:
        whole.proven = list(dict.fromkeys(whole.proven))
        whole.not_proven = [one for one in dict.fromkeys(whole.not_proven) if one not in whole.proven]
        yield whole


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


def prove_rule(rule: Rule, layer: str, cases: list[Case], touched: set[str] | None, own: bool) -> Proof:
    """One rule by its cases; of a rule that a layer only changed, the names that it touched."""
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
        _try(probe, proof, lambda: (_verdict(case, rule) for case in cases), [outcome.verdict for outcome in base])
    return proof


def _kinds(proof: Proof, rule: Rule, base: list[Outcome]) -> None:
    """Each rule has a case that is met, one that is not met (or waits for a record), and one that cannot tell."""
    verdicts = {outcome.verdict for outcome in base}
    if any(limit.blank for _, limit in rule.all_limits()):
        return  # what a place has not filled in can be neither met nor not met
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


def _try(probe: Probe, proof: Proof, verdicts: Callable[[], Iterator[str]], base: list[str]) -> None:
    undo = probe.do()
    try:
        turned = any(now != before for now, before in zip(verdicts(), base, strict=True))
    finally:
        undo()
    (proof.proven if turned else proof.not_proven).append(f"{probe.name}: {probe.what}")


def _prove_shared(rules: RuleSet, layer: Layer, by_rule: dict[str, list[Case]], only: str) -> Iterator[Unit]:
    """Terms and tables of a layer, through the cases of the rules that use them."""
    changed = {
        ".".join(address.split(".")[:2])
        for change in layer.changes.values()
        for verb in ("take", "set", "add")
        for address in (change.data.get(verb) or {})
    }
    mentions = _mentions(rules.folded)
    for section in ("terms", "tables"):
        for address in rules.folded.things[section]:
            name = address.partition(".")[2]
            own = name in layer.things[section] and address.startswith(layer.prefix + ".")
            if not own and address not in changed:
                continue
            if only and only.count(".") and not address.startswith(only):
                continue
            about = {rule: cases for rule, cases in by_rule.items() if name in mentions.get(("rules", rule), ())}
            yield partial(_one, _shared_thing, rules, layer.name, section, address, about)


def _shared_thing(rules: RuleSet, layer: str, section: str, address: str, about: dict[str, list[Case]]) -> Proof:
    """One term or table, through the cases of the rules that name it."""
    used = [(rules.rule(name), case) for name, cases in about.items() for case in cases]
    pairs = [(rule, case) for rule, case in used if rule is not None]

    def verdicts() -> Iterator[str]:
        return (_verdict(case, rule) for rule, case in pairs)

    base = list(verdicts())
    proof = Proof(layer, f"{section[:-1]} {address}", len(base))
    made: Any = rules.term(address) if section == "terms" else rules.table(address)
    if made is not None:
        for probe in term_probes(made) if section == "terms" else table_probes(made, address.partition(".")[2]):
            _try(probe, proof, verdicts, base)
    return proof


def _mentions(folded: Folded) -> dict[tuple[str, str], set[str]]:
    """By section and address: every word a thing says, and every word of the terms and tables it names, and so on."""
    said = {
        (section, address): set(_WORD.findall(str(thing.data)))
        for section in ("rules", "terms", "tables")
        for address, thing in folded.things[section].items()
    }
    shared: dict[str, set[str]] = {}
    for (section, address), words in said.items():
        if section != "rules":
            shared.setdefault(address.partition(".")[2], set()).update(words)
    found = {}
    for key, words in said.items():
        known, waiting = set(words), [word for word in words if word in shared]
        while waiting:
            new = shared[waiting.pop()] - known
            known |= new
            waiting += [word for word in new if word in shared]
        found[key] = known
    return found


def _prove_change(change: Change, with_it: RuleSet, without: RuleSet, layer: str, own: list[Case]) -> Proof:
    """A change has a case that comes out differently with and without it: its own, or one of its layer."""
    cases = _listed(change, layer) or own
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


def _listed(change: Change, layer: str) -> list[Case]:
    """The cases that stand in a change itself."""
    return cases_in(change.data.get("cases"), change.document, (*change.path, "cases"), layer)


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
