"""Rule files beside a site and folders of rules: what is wrong is told with its line, before any site is judged."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
SITE = "site: S\npermit: {jurisdiction: my-town.yaml, occupancy: accessory}\n"
TOWN = "place: My Town\nadopts: {houses: {book: irc 2021}, gas: {book: ifgc 2021}}\n"
RULE = (
    TOWN
    + """\
rules:
  r:
    title: T
    section: "1"
    each: gas_test
    trade: gas
    stage: gas pressure test
    severity: correction
    limits: {a: 3 min}
    require: held >= a
    remedy: Do it.
    basis: {check: memory}
"""
)
TEST = SITE + "gas systems:\n  G: {gas: natural gas}\ngas tests:\n  T: {of: G, held: %s}\n"


def change(text: str) -> str:
    return TOWN + f"changes:\n  c:\n    cite: X 1\n    {text}\n"


# name: the place file, then what the error must say
BAD: dict[str, tuple[str, ...]] = {
    "an unknown fact": (RULE.replace("held >=", "hld >="), "my-town.yaml:12:14:", "'hld' is no fact", "'held'?"),
    "a limit of a wrong dimension": (RULE.replace("3 min", "3 psi"), "my-town.yaml:12:14:", "a time with a pressure"),
    "a limit without a unit": (RULE.replace("3 min", "3"), "my-town.yaml:12:14:", "a time with a number"),
    "an unused limit": (
        RULE.replace("{a: 3 min}", "{a: 3 min, b: 1 min}"),
        "my-town.yaml:11:",
        "'b' is used nowhere",
    ),
    "no basis": (RULE.replace("    basis: {check: memory}\n", ""), "my-town.yaml:5:5:", "the basis is missing"),
    "no section": (RULE.replace('    section: "1"\n', ""), "my-town.yaml:5:5:", "'section' is missing"),
    "an unknown kind": (RULE.replace("gas_test", "gas_tst"), "my-town.yaml:7:11:", "did you mean 'gas_test'?"),
    "an unknown severity": (RULE.replace("correction", "bad"), "my-town.yaml:10:15:", "'bad' is no severity"),
    "a rule that is text": (TOWN + "rules:\n  r: text\n", "my-town.yaml:4:6:", "is a mapping"),
    "rules in a list": (TOWN + "rules: [a]\n", "my-town.yaml:3:8:", "is a mapping"),
    "an unknown part": (TOWN + "ruls: {}\n", "my-town.yaml:3:1:", "did you mean 'rules'?"),
    "no place": ("adopts: {}\n", "my-town.yaml:1:1:", "says what it is of"),
    "a change of no rule": (
        change("set: {ifgc.test-hld.short: 15 min}"),
        "my-town.yaml:6:",
        "nothing called 'ifgc.test-hld.short'",
        "did you mean 'ifgc.test-hold.short'?",
    ),
    "a change of no limit": (
        change("set: {ifgc.test-hold.shrt: 15 min}"),
        "my-town.yaml:6:",
        "did you mean 'ifgc.test-hold.short'?",
    ),
    "a change to the wrong dimension": (
        change("set: {ifgc.test-hold.short: 15 psi}"),
        "my-town.yaml:6:33:",
        "is a pressure",
    ),
    "a wrong effect": (change("strike: {ifgc.test-hold: duty gne}"), "my-town.yaml:6:", "'duty gne'", "duty gone"),
    "a strike of a list": (change("strike: [ifgc.test-hold]"), "my-town.yaml:6:", "mapping of addresses"),
    "a change that is text": (TOWN + "changes: {c: text}\n", "my-town.yaml:3:14:", "is a mapping"),
    "a change of nothing": (TOWN + "changes: {c: {cite: X}}\n", "my-town.yaml:3:14:", "changes nothing"),
    "a change by nobody": (
        change("set: {ifgc.test-hold.short: 15 min}").replace("    cite: X 1\n", ""),
        "no authority",
    ),
    "a place in an unknown one": (TOWN + "in: Tallo Creek\n", "my-town.yaml:3:5:", "did you mean 'tallow creek'?"),
    "a place in itself": (TOWN + "in: my-town.yaml\n", "my-town.yaml:3:5:", "lies in itself"),
    "an empty file": ("", "my-town.yaml:1:1:", "empty"),
    "an alias": (TOWN + "note: *a\n", "my-town.yaml:3:7:", "alias"),
}


def refused(ran: Any) -> None:
    assert ran.code == 2, ran.out + ran.err
    assert ran.out == ""
    assert "Traceback" not in ran.err and "fault of the tool" not in ran.err
    assert ran.seconds < 5


@pytest.mark.parametrize("name", BAD)
def test_a_bad_place_file_is_refused_with_its_place(name: str, run: Any) -> None:
    text, *said = BAD[name]
    Path("my-town.yaml").write_text(text, encoding="utf-8")
    Path("s.yaml").write_text(SITE, encoding="utf-8")
    ran = run("check", "s.yaml")
    refused(ran)
    for part in said:
        assert part in ran.err, ran.err


HOSTILE = (
    "__import__('os').system('touch hacked')",
    "held.__class__",
    "(lambda: held)()",
    "[x for x in held]",
    "open('hacked', 'w')",
    "held >= 3",
    "held ** held ** held >= a",
    "held >= a if held else a",
    "f'{held}'",
    "held := a",
    "held >= a; held",
    "*held",
    "held[0]",
    "held.a.b.c.d",
    "held",
    "",
    "'a' * 999999999 == 'b'",
    "(" * 500 + "held" + ")" * 500,
    "not " * 400 + "held",
    "-" * 900 + "held >= a",
    "max(" * 300 + "held" + ")" * 300 + " >= a",
    "held >= a" + " + a" * 20_000,
    "held >= a and " * 3_000 + "held >= a",
)


@pytest.mark.parametrize("expression", HOSTILE, ids=lambda text: text[:24] or "nothing")
def test_a_hostile_expression_does_nothing(expression: str, run: Any) -> None:
    Path("my-town.yaml").write_text(RULE.replace("held >= a", f'"{expression}"'), encoding="utf-8")
    Path("s.yaml").write_text(TEST % "3 min", encoding="utf-8")
    ran = run("check", "s.yaml")
    refused(ran)
    assert "my-town.yaml:12:" in ran.err
    assert not Path("hacked").exists()


def findings(ran: Any) -> dict[str, str]:
    assert ran.code in (1, 3), ran.err
    return {one["rule"]: one["verdict"] for one in json.loads(ran.out)["findings"]}


def test_a_rule_of_the_town_is_asked(run: Any) -> None:
    Path("my-town.yaml").write_text(RULE, encoding="utf-8")
    for held, verdict in (("3 min", "met"), ("2 min 59 s", "not met")):
        Path("s.yaml").write_text(TEST % held, encoding="utf-8")
        assert findings(run("check", "s.yaml", "--for", "all", "--all", "--format", "json"))["my-town.r"] == verdict


def test_a_place_in_another_has_the_changes_of_both(run: Any) -> None:
    """Tallow Creek asks for 15 minutes; a place in it that says nothing of its own does too."""
    Path("s.yaml").write_text(
        (TEST % "14 min").replace("occupancy: accessory", "occupancy: accessory"), encoding="utf-8"
    )
    Path("my-town.yaml").write_text("place: My Town\nin: Tallow Creek\n", encoding="utf-8")
    told = json.loads(run("rules", "ifgc.test-hold", "--site", "s.yaml", "--format", "json", today=False).out)
    (short,) = [one for one in told["rules"][0]["limits"] if one["name"] == "short"]
    assert short["value"] == "15 min" and "15.08.040" in short["from"]
    Path("my-town.yaml").write_text(
        change("set: {ifgc.test-hold.short: 20 min}") + "in: Tallow Creek\nstacking: later wins\n", encoding="utf-8"
    )
    told = json.loads(run("rules", "ifgc.test-hold", "--site", "s.yaml", "--format", "json", today=False).out)
    (short,) = [one for one in told["rules"][0]["limits"] if one["name"] == "short"]
    assert short["value"] == "20 min" and short["from"] == "My Town: X 1"


def test_a_copied_folder_with_one_number_edited_changes_the_verdict(run: Any) -> None:
    shutil.copytree(ROOT / "rulesets", "mine")
    Path("my-town.yaml").write_text(TOWN, encoding="utf-8")
    Path("s.yaml").write_text(TEST % "11 min" + "described: {fuel gas: yes}\n", encoding="utf-8")

    def short() -> str:
        told = json.loads(
            run(
                "rules", "ifgc.test-hold", "--site", "s.yaml", "--rulesets", "mine", "--format", "json", today=False
            ).out
        )
        return next(one["value"] for one in told["rules"][0]["limits"] if one["name"] == "short")

    assert short() == "10 min"
    file = Path("mine/ifgc/2021/gas/gas-test.yaml")
    text, count = re.subn(r"(\bshort: )10 min", r"\g<1>12 min", file.read_text(encoding="utf-8"))
    assert count >= 1
    file.write_text(text, encoding="utf-8")
    assert short() == "12 min"
    proof = run("prove", "ifgc.test-hold", "--rulesets", "mine", today=False)
    assert proof.code == 1 and "case fails" in proof.out


def test_an_edited_limit_of_a_folder_turns_a_finding(run: Any) -> None:
    folder = Path("mine/own/1/gas")
    folder.mkdir(parents=True)
    Path("mine/jurisdictions").mkdir()
    Path("mine/jurisdictions/here.yaml").write_text("place: Here\nadopts: {gas: {book: own 1}}\n", encoding="utf-8")
    rule = 'book: own\nedition: "1"\n' + RULE.removeprefix(TOWN)
    Path("s.yaml").write_text((TEST % "4 min").replace("my-town.yaml", "Here"), encoding="utf-8")
    for limit, code in (("3 min", 0), ("5 min", 1)):
        (folder / "test.yaml").write_text(rule.replace("3 min", limit), encoding="utf-8")
        ran = run("check", "s.yaml", "--rulesets", "mine", "--for", "all", "--format", "json", "--all")
        assert json.loads(ran.out)["counts"]["by_verdict"]["not_met"] == code, ran.out


def test_a_rule_without_a_case_is_not_proven(run: Any) -> None:
    folder = Path("mine/own/1/gas")
    folder.mkdir(parents=True)
    (folder / "test.yaml").write_text('book: own\nedition: "1"\n' + RULE.removeprefix(TOWN), encoding="utf-8")
    ran = run("prove", "--rulesets", "mine", today=False)
    assert ran.code == 1, ran.out
    assert "own.r" in ran.out and "NOT PROVEN" in ran.out
    told = json.loads(run("prove", "--rulesets", "mine", "--format", "json", today=False).out)
    assert told["proven"] is False


def test_an_edit_in_a_checkout_is_seen_at_once(process: Any, tmp_path: Path) -> None:
    """The rules beside the code are read each time; nothing is kept from run to run."""
    shutil.copytree(ROOT / "engine", tmp_path / "copy/engine", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "rulesets", tmp_path / "copy/rulesets")
    env = {"PYTHONPATH": str(tmp_path / "copy/engine")}
    for wanted in ("10 min", "12 min"):
        done = process("rules", "ifgc.test-hold", "--format", "json", env=env)
        limits = json.loads(done.stdout)["rules"][0]["limits"]
        assert next(one["value"] for one in limits if one["name"] == "short") == wanted, done.stderr
        file = tmp_path / "copy/rulesets/ifgc/2021/gas/gas-test.yaml"
        file.write_text(file.read_text(encoding="utf-8").replace("short: 10 min", "short: 12 min"), encoding="utf-8")
