"""Rules that cannot stand: each mistake with a sentence, its file and its line; hostile files are refused quickly."""

import sys
import time
from pathlib import Path
from typing import Any

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

from .kinds import problems

RULE = """\
book: tst
edition: "1"
rules:
  one:
    title: One
    section: "1"
    trade: general
    stage: final
    severity: correction
    each: gizmo
    limits: {least: 6 ft}
    require: long >= least
    remedy: Mend it.
    basis: {check: common practice}
"""


def told(folder: Path, text: str) -> list[str]:
    (folder / "tst/1").mkdir(parents=True, exist_ok=True)
    (folder / "tst/1/all.yaml").write_text(text, encoding="utf-8")
    try:
        RuleSet(Library(folder).folded("tst 1")).check()
    except InputProblems as error:
        return [problem.text() for problem in error.problems]
    return []


def test_a_rule_that_stands(tmp_path: Path) -> None:
    assert told(tmp_path, RULE) == []


@pytest.mark.parametrize(
    ("old", "new", "line", "message"),
    [
        ("    title: One\n", "", 5, "'title' is missing"),
        ('    section: "1"\n', "", 5, "'section' is missing"),
        ("    basis: {check: common practice}\n", "", 5, "the basis is missing"),
        ("check: common practice", "check: guess", 14, "'guess' is no check"),
        ("check: common practice", "check: seen", 14, "names its source"),
        ("severity: correction", "severity: hazrd", 9, "did you mean 'hazard'?"),
        ("each: gizmo", "each: gismo", 10, "did you mean 'gizmo'?"),
        ("least: 6 ft", "least: 6 psi", 12, "compares a length with a pressure"),
        ("least: 6 ft", "least: 6", 12, "compares a length with a number"),
        ("least: 6 ft", "least: 6 ft, spare: 1 ft", 11, "the limit 'spare' is used nowhere"),
        ("least: 6 ft", "least: 6 ft, wide: 1 ft", 11, "has the name of a fact of gizmo"),
        ("long >= least", "long >= 6", 12, "the number 6 stands bare"),
        ("long >= least", "long", 12, "a requirement is met or not"),
        ("long >= least", "long >= least and fitted", 12, "joins two requirements"),
        ("    require: long >= least\n", "    look: It is snug\n    require: long >= least\n", 5, "stand together"),
        ("    limits: {least: 6 ft}\n    require: long >= least\n", "", 5, "the rule requires nothing"),
        ("    remedy:", "    remedi:", 13, "did you mean 'remedy'?"),
        ("    require: long >= least", "    items: {a: long >= least, b: {when: fitted}}", 12, "'b' requires nothing"),
        ("    require: long >= least", "    items: {least: long >= least}", 12, "stands twice in this rule"),
        ("    require: long >= least", "    when: long\n    require: long >= least", 12, "not yes or no"),
        ("    remedy:", "    unless: {a: {note: x}}\n    remedy:", 13, "excuses everything"),
        ("    require: long >= least", "    join: some\n    require: long >= least", 12, "'some' is no join"),
        ("    require: long >= least", "    require: [long]", 12, "an expression was expected"),
        ("  one:\n", "  one: text\n  two:\n", 4, "is a mapping"),
    ],
)
def test_mistakes_have_file_and_line(tmp_path: Path, old: str, new: str, line: int, message: str) -> None:
    assert old in RULE
    found = told(tmp_path, RULE.replace(old, new))
    assert any(message in one for one in found), found
    assert any(one.startswith(f"rulesets/tst/1/all.yaml:{line}:") for one in found if message in one), found


def test_conditions_have_names_of_their_own() -> None:
    found = problems(when={"first": "fitted"}, items={"first": "marked"})
    assert any("stands twice" in one for one in found)


def test_terms_that_need_each_other(tmp_path: Path) -> None:
    ring = "terms:\n  a: {of: gizmo, is: b, section: '1'}\n  b: {of: gizmo, is: a, section: '1'}\n"
    found = told(tmp_path, RULE + ring)
    assert any("defined by itself" in one and "all.yaml" in one for one in found)


def test_tables_say_what_they_are(tmp_path: Path) -> None:
    basis = "basis: {check: common practice}"
    for data, message in (
        (f"{{section: '1', rows: {{a: 1 in}}, {basis}}}", "declares its keys"),
        (f"{{section: '1', keys: {{k: bands}}, rows: {{a: 1 in}}, {basis}}}", "no way to find a row"),
        (f"{{section: '1', keys: {{k: exact}}, rows: {{1 in: 1 in, 2 in: 1 psi}}, {basis}}}", "a length and a press"),
        (f"{{section: '1', keys: {{k: exact}}, rows: {{1 in: = long}}, {basis}}}", "no expressions"),
        (f"{{section: '1', keys: {{k: exact}}, columns: [a], rows: {{1 in: {{b: 1 in}}}}, {basis}}}", "the columns a"),
        (f"{{keys: {{k: exact}}, rows: {{1 in: 1 in}}, {basis}}}", "'section' is missing"),
        ("{section: '1', keys: {k: exact}, rows: {1 in: 1 in}}", "the basis is missing"),
    ):
        found = told(tmp_path, RULE + f"tables:\n  t: {data}\n")
        assert any(message in one and "all.yaml:" in one for one in found), (message, found)


HOSTILE: list[Any] = [
    "__import__('os').system('touch {mark}')",
    "open('{mark}', 'w') == fitted",
    "().__class__.__base__.__subclasses__()",
    "exec(\"open('{mark}','w')\")",
    "count([open('{mark}', 'w')]) > 0",
    "eval('1') > 0",
    "long > least if open('{mark}','w') else long",
    "'%s' % open('{mark}','w') == colour",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_rule_file_does_nothing(tmp_path: Path, text: str) -> None:
    mark = tmp_path / "mark"
    before = set(sys.modules)
    quoted = text.replace("{mark}", str(mark)).replace("'", "''")
    for place in ("    require: '{}'\n", "    when: '{}'\n    require: long >= least\n"):
        found = told(tmp_path, RULE.replace("    require: long >= least\n", place.replace("{}", quoted)))
        assert found
    found = told(tmp_path, RULE.replace("{least: 6 ft}", "{least: '= " + quoted + "'}"))
    assert found
    assert not mark.exists()
    assert {name for name in set(sys.modules) - before if not name.startswith(("encodings", "oktocover"))} == set()


@pytest.mark.parametrize(
    "text",
    [
        RULE.replace("long >= least", "long >= " + "(" * 5_000 + "least" + ")" * 5_000),
        RULE.replace("long >= least", "long >= least" + " + least" * 200_000),
        RULE.replace("long >= least", '"' + "long " * 400_000 + '"'),
        RULE.replace("6 ft", "9" * 4_000 + " ft"),
        RULE.replace("6 ft", "1e999999999 ft"),
        RULE.replace("6 ft", "1/0 ft"),
        RULE.replace("6 ft", "= " + "min(least, " * 50 + "least" + ")" * 50),
        RULE.replace("require: long >= least", "items: " + "{a: {items: " * 60 + "{b: fitted}" + "}}" * 60),
        RULE + "terms: {" + ", ".join(f"t{n}: {{of: gizmo, is: t{n + 1}, section: x}}" for n in range(300)) + "}\n",
        RULE.replace("{least: 6 ft}", "{least: = l0, " + ", ".join(f"l{n}: = l{n + 1}" for n in range(300)) + "}"),
        RULE + "".join(f"  r{n}: 1\n" for n in range(20_000)),
    ],
    ids=range(11),
)
def test_a_bloated_rule_file_is_refused_quickly(tmp_path: Path, text: str) -> None:
    began = time.perf_counter()
    assert told(tmp_path, text)
    assert time.perf_counter() - began < 8.0
