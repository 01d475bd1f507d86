"""The proof finds every gap: a name nobody would miss, a number that could be another, an edge nobody stands at."""

from pathlib import Path

import pytest

from oktocover.rules.library import Library
from oktocover.rules.prove import Proof, prove

HEAD = """\
book: tst
edition: "1"
usual: {trade: general, stage: final, severity: correction, basis: {check: common practice}}
"""
RULE = """\
rules:
  one:
    title: One
    section: "1"
    each: gizmo
    when: {whom: marked}
    limits: {least: 6 in, colours: [red, green]}
    items:
      far: long >= least
      coloured: colour in colours
    unless: {old: {when: listed}}
    remedy: Mend it.
"""
CASES = """\
cases: tst 1
tst.one:
  usual: {marked: yes, long: 6 in, colour: red, listed: no}
  cases:
    at the limit: {item: far, given: {}, verdict: met}
    one step short: {item: far, given: {long: 5-15/16 in}, verdict: not met}
    excused: {item: far, given: {long: 1 in, listed: yes}, verdict: met, exception: old}
    not marked: {given: {marked: no}, verdict: does not apply}
    nobody measured: {item: far, given: {long: not recorded}, verdict: not recorded, missing: [long]}
    red: {item: coloured, given: {}, verdict: met}
    green: {item: coloured, given: {colour: green}, verdict: met}
    blue: {item: coloured, given: {colour: blue}, verdict: not met}
"""


def proofs(folder: Path, rule: str = RULE, cases: str = CASES, **places: str) -> dict[str, Proof]:
    files = {"tst/1/all.yaml": HEAD + rule, "tst/1/all.cases.yaml": cases}
    files.update({f"jurisdictions/{name}.yaml": text for name, text in places.items()})
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return {proof.rule: proof for proof in prove(Library(folder))}


def without(sentence: str, cases: str = CASES) -> str:
    kept = [line for line in cases.splitlines(keepends=True) if not line.strip().startswith(f"{sentence}:")]
    assert len(kept) == len(cases.splitlines()) - 1
    return "".join(kept)


def test_a_rule_fully_proven_is_whole(tmp_path: Path) -> None:
    proof = proofs(tmp_path)["tst.one"]
    assert proof.whole, (proof.failed, proof.not_proven)
    assert proof.cases == 8
    for name in ("whom: condition struck", "old: exception struck", "far: item struck", "least: one step up"):
        assert name in proof.proven
    assert "colours: 'green' struck from the list" in proof.proven


@pytest.mark.parametrize(
    ("sentence", "gap"),
    [
        ("at the limit", "least: one step up"),
        ("one step short", "least: one step down"),
        ("excused", "old: exception struck"),
        ("not marked", "whom: condition struck"),
        ("nobody measured", "no case is 'not recorded'"),
        ("green", "colours: 'green' struck from the list"),
    ],
)
def test_each_case_taken_out_leaves_its_gap(tmp_path: Path, sentence: str, gap: str) -> None:
    proof = proofs(tmp_path, cases=without(sentence))["tst.one"]
    assert not proof.whole and not proof.failed
    assert gap in proof.not_proven


def test_an_item_without_a_case_of_its_own(tmp_path: Path) -> None:
    cases = CASES
    for sentence in ("red", "green", "blue"):
        cases = without(sentence, cases)
    proof = proofs(tmp_path, cases=cases)["tst.one"]
    assert "coloured: item struck" in proof.not_proven


def test_a_wrong_case_fails_with_its_place(tmp_path: Path) -> None:
    proof = proofs(tmp_path, cases=CASES.replace("verdict: met, exception: old", "verdict: not met"))["tst.one"]
    assert len(proof.failed) == 1
    assert "all.cases.yaml:7:" in proof.failed[0] and "the case says not met" in proof.failed[0]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("{long: 1 in, listed: yes}", "{lomg: 1 in}", "did you mean 'long'?"),
        ("{long: 1 in, listed: yes}", "{long: 1 psi}", "psi"),
        ("{colour: green}", "{colour: grean}", "did you mean 'green'?"),
        ("{colour: green}", "{long: at leest}", "no limit 'leest'"),
        ("item: far, given: {}", "item: fair, given: {}", "no item 'fair'"),
        ("exception: old", "exception: new", "the case says new"),
        ("missing: [long]", "missing: [wide]", "the case says wide"),
        ("verdict: does not apply", "verdict: does not apply, required: at least 6 in", "the case says at least 6 in"),
    ],
)
def test_cases_that_say_what_is_not_so(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert old in CASES
    proof = proofs(tmp_path, cases=CASES.replace(old, new, 1))["tst.one"]
    assert any(message in one and "all.cases.yaml:" in one for one in proof.failed), proof.failed


def test_a_rule_without_a_case(tmp_path: Path) -> None:
    proof = proofs(tmp_path, cases="cases: tst 1\ntst.one: {cases: {}}\n")["tst.one"]
    assert proof.not_proven == ["the rule has no case"]


@pytest.mark.parametrize(
    ("cases", "message"),
    [
        (CASES.replace("tst 1", "tst 3"), "there is no layer 'tst 3'"),
        (CASES.replace("tst.one:", "tst.two:"), "there is no rule 'tst.two'"),
        (CASES.replace("verdict: does not apply", "verdict: fine"), "'fine' is no verdict"),
        (CASES.replace("given: {marked: no}", "givn: {marked: no}"), "did you mean 'given'?"),
        ("cases: tst 1\ntst.one: 3\n", "has no cases"),
        ("tst.one: {cases: {}}\n", "says what it is of"),
    ],
)
def test_files_of_cases_that_cannot_be_read(tmp_path: Path, cases: str, message: str) -> None:
    found = [text for proof in proofs(tmp_path, cases=cases).values() for text in proof.failed]
    assert any(message in text and "all.cases.yaml:" in text for text in found), found


def test_a_rule_file_that_cannot_stand_is_a_failed_proof(tmp_path: Path) -> None:
    found = proofs(tmp_path, rule=RULE.replace("least: 6 in", "least: 6 psi"))["(files)"].failed
    assert len(found) == 1 and "all.yaml:12:" in found[0]


BANDED = """\
rules:
  one:
    title: One
    section: "1"
    each: gizmo
    limits: {due: {by: long, rows: {up to 10 in: 1 in, over 10 in up to 20 in: 2 in}, outside: not allowed}}
    require: wide >= due
    remedy: Mend it.
"""
BAND_CASES = """\
cases: tst 1
tst.one:
  usual: {}
  cases:
    low band: {given: {long: 10 in, wide: 1 in}, verdict: met}
    low band, a step short: {given: {long: 10 in, wide: 15/16 in}, verdict: not met}
    next band begins: {given: {long: 10-1/16 in, wide: 1-15/16 in}, verdict: not met}
    next band: {given: {long: 20 in, wide: 2 in}, verdict: met}
    past the end: {given: {long: 20-1/16 in, wide: 9 ft}, verdict: not met}
    length unknown: {given: {wide: 1-1/2 in}, verdict: not recorded}
"""


def test_bands_fully_proven(tmp_path: Path) -> None:
    proof = proofs(tmp_path, rule=BANDED, cases=BAND_CASES)["tst.one"]
    assert proof.whole, (proof.failed, proof.not_proven)
    assert any("high edge one step up" in name for name in proof.proven)
    assert "due: outside struck" in proof.proven


@pytest.mark.parametrize(
    ("sentence", "gap"),
    [
        ("low band", "due[up to 10 in]: one step up"),
        ("low band, a step short", "due[up to 10 in]: one step down"),
        ("next band begins", "due[up to 10 in]: high edge one step up"),
        ("next band", "due[over 10 in up to 20 in]: row struck"),
        ("past the end", "due[over 10 in up to 20 in]: high edge one step up"),
        ("past the end", "due: outside struck"),
    ],
)
def test_each_edge_wants_a_case(tmp_path: Path, sentence: str, gap: str) -> None:
    proof = proofs(tmp_path, rule=BANDED, cases=without(sentence, BAND_CASES))["tst.one"]
    assert gap in proof.not_proven


def test_entries_of_lists_in_cells(tmp_path: Path) -> None:
    rule = RULE.replace("colours: [red, green]", "colours: {by: fitted, rows: {yes: [red, green], no: [red]}}")
    cases = CASES.replace("colour: red,", "colour: red, fitted: yes,")
    proof = proofs(tmp_path, rule=rule, cases=cases)["tst.one"]
    assert "colours[yes]: 'green' struck from the list" in proof.proven
    assert "colours[no]: row struck" in proof.not_proven


TABLE = """\
tables:
  sizes:
    section: Table 1
    keys: {size: KIND}
    rows: {10 in: 1 in, 20 in: 2 in}
    basis: {check: common practice}
rules:
  one:
    title: One
    section: "1"
    each: gizmo
    require: wide >= sizes[long]
    remedy: Mend it.
"""
TABLE_CASES = """\
cases: tst 1
tst.one:
  usual: {}
  cases:
    on a row: {given: {long: 10 in, wide: 1 in}, verdict: met}
    on a row, a step short: {given: {long: 20 in, wide: 1-63/64 in}, verdict: not met}
    between: {given: {long: 15 in, wide: 2 in}, verdict: met}
    past the end: {given: {long: 21 in, wide: 9 in}, verdict: not recorded}
"""


def test_a_table_through_the_rules_that_use_it(tmp_path: Path) -> None:
    kind = TABLE.replace("KIND", "next row up")
    found = proofs(tmp_path, rule=kind, cases=TABLE_CASES)
    assert found["table tst.sizes"].whole, found["table tst.sizes"].not_proven
    for sentence, gap in (
        ("on a row", "whole table one percent up"),
        ("on a row, a step short", "whole table one percent down"),
        ("past the end", "past the high end of size"),
    ):
        cases = without(sentence, TABLE_CASES)
        if sentence == "on a row":
            cases = without("between", cases)
        proof = proofs(tmp_path, rule=kind, cases=cases)["table tst.sizes"]
        assert f"sizes: {gap}" in proof.not_proven
    proof = proofs(tmp_path, rule=kind, cases=without("between", TABLE_CASES))["table tst.sizes"]
    assert "sizes: row rule of size" in proof.not_proven


def test_both_ends_of_an_interpolated_table(tmp_path: Path) -> None:
    kind = TABLE.replace("KIND", "interpolate")
    proof = proofs(tmp_path, rule=kind, cases=TABLE_CASES)["table tst.sizes"]
    assert "sizes: past the low end of size" in proof.not_proven
    below = TABLE_CASES + "    before the start: {given: {long: 9 in, wide: 9 in}, verdict: not recorded}\n"
    proof = proofs(tmp_path, rule=kind, cases=below)["table tst.sizes"]
    assert proof.whole, proof.not_proven


TERM = RULE.replace("far: long >= least", "far: enough").replace("least: 6 in, ", "") + (
    "terms:\n  enough:\n    of: gizmo\n    is: long >= least and colour in ['red', 'green', 'blue']\n"
    "    limits: {least: 6 in}\n    section: '1'\n"
)


def test_terms_are_proven_through_their_rules(tmp_path: Path) -> None:
    proof = proofs(tmp_path, rule=TERM)["term tst.enough"]
    assert "enough.least: one step up" in proof.proven
    assert "enough: 'red' struck from the list" in proof.proven
    assert "enough: 'green' struck from the list" in proof.not_proven


TOWN = """\
place: Town
adopts: {all: {book: tst 1}}
changes:
  longer:
    cite: Ord. 1
    set: {tst.one.least: 8 in}
    cases:
      - {rule: tst.one, item: far, given: {marked: yes, long: 7 in, listed: no}, verdict: not met, was: met}
      - {rule: tst.one, item: far, given: {marked: yes, long: 8 in, listed: no}, verdict: met, was: met}
"""


def test_a_change_is_proven_by_a_case_that_differs(tmp_path: Path) -> None:
    found = proofs(tmp_path, town=TOWN)
    assert found["change longer"].whole, (found["change longer"].failed, found["change longer"].not_proven)
    same = "\n".join(line for line in TOWN.splitlines() if "7 in" not in line) + "\n"
    assert proofs(tmp_path, town=same)["change longer"].not_proven
    wrong = TOWN.replace("was: met}\n      -", "was: not met}\n      -")
    failed = proofs(tmp_path, town=wrong)["change longer"].failed
    assert failed and "town.yaml:8:" in failed[0]


def test_a_change_without_a_case_is_not_proven(tmp_path: Path) -> None:
    bare = TOWN.split("    cases:")[0]
    proof = proofs(tmp_path, town=bare)["change longer"]
    assert proof.not_proven


def test_a_case_of_a_change_that_cannot_be_understood(tmp_path: Path) -> None:
    failed = proofs(tmp_path, town=TOWN.replace("long: 7 in", "lang: 7 in"))["change longer"].failed
    assert failed and "did you mean 'long'?" in failed[0]


def test_the_names_a_place_changed_want_cases_of_the_place(tmp_path: Path) -> None:
    """A number set by a town is proven at and past its figure in the town's own layer."""
    proof = proofs(tmp_path, town=TOWN)
    assert any(one.layer == "Town" and "least: one step down" in one.not_proven for one in proof.values())


def test_proving_changes_nothing(tmp_path: Path) -> None:
    first = proofs(tmp_path)
    again = proofs(tmp_path)
    assert {name: (one.proven, one.not_proven) for name, one in first.items()} == {
        name: (one.proven, one.not_proven) for name, one in again.items()
    }
