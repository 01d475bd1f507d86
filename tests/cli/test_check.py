"""`check`: its exit codes, its forms, the same bytes for the same input, and names that would do harm."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import jsonschema
import pytest

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-15"
TEN_LINES = """\
# yaml-language-server: $schema=schemas/site.schema.json
site: Studio
permit: {jurisdiction: Tallow Creek, occupancy: accessory}
described: {electrical: yes, fuel gas: none, fuel burning appliances: none, rated walls: none}
measured to: bare framing
spaces:
  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 9 ft}
openings:
  D1: {wall: studio.south, at: 3 ft, width: 36 in, what: door, sill: 0 in, high: 80 in}
receptacles:
  R-01: {wall: studio.north, at: 4 ft 9 in, height: 44 in, mount: wall, what: 5-20 duplex}
looked:
  - {list: openings, in: studio, whole: yes, by: M.K., day: 2026-05-03}
"""
NOTHING = "".join(
    f", {name}: none"
    for name in (
        "electrical", "fuel gas", "fuel burning appliances", "rated walls", "fire sprinklers", "floor heat",
        "compressed air", "plumbing", "ductwork", "fireplaces", "exhaust fans", "spray finishing",
    )
)[2:]  # fmt: skip
GAS = """\
site: Gas
permit: {jurisdiction: my-town.yaml, occupancy: accessory}
gas systems:
  G: {gas: natural gas, working pressure: 7 in w.c.}
gas tests:
  T: {of: G, held: %s}
"""
TOWN = """\
place: My Town
adopts: {}
inspections:
  gas pressure test: {title: Gas pressure test}
  later: {title: Later, after: gas pressure test}
rules:
  hold:
    title: Held long enough
    section: "1"
    each: gas_test
    trade: gas
    stage: gas pressure test
    severity: correction
    limits: {least: 10 min}
    require: held >= least
    remedy: Hold it longer.
    basis: {check: common practice}
"""
SITES: dict[str, tuple[str, int]] = {
    "ready": (GAS % "10 min", 0),
    "corrections": (GAS % "9 min 59 s", 1),
    "unreadable": (GAS % "10", 2),
    "not recorded": (GAS.replace(", held: %s", ""), 3),
    "ten lines": (TEN_LINES, 3),
    "almost empty": ("site: x\n", 3),
    "no name": ("permit: {}\n", 3),
    "nothing is there": (f"site: x\ndescribed: {{{NOTHING}}}\n", 3),
}
READABLE = [name for name, (_, code) in SITES.items() if code != 2]
SCHEMA = json.loads((ROOT / "schemas" / "findings.schema.json").read_text(encoding="utf-8"))


def put(name: str) -> None:
    Path("my-town.yaml").write_text(TOWN, encoding="utf-8")
    Path("s.yaml").write_text(SITES[name][0], encoding="utf-8")


@pytest.mark.parametrize("name", SITES)
@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit"])
def test_the_exit_code_is_the_same_in_every_form(name: str, form: str, run: Any) -> None:
    put(name)
    ran = run("check", "s.yaml", "--format", form)
    assert ran.code == SITES[name][1], ran.out + ran.err


@pytest.mark.parametrize("name", SITES)
def test_the_exit_code_of_the_process(name: str, process: Any, tmp_path: Path) -> None:
    (tmp_path / "my-town.yaml").write_text(TOWN, encoding="utf-8")
    (tmp_path / "s.yaml").write_text(SITES[name][0], encoding="utf-8")
    done = process("check", "s.yaml", "--today", TODAY)
    assert done.returncode == SITES[name][1], done.stderr


@pytest.mark.parametrize("name", ["ten lines", "almost empty", "no name", "nothing is there"])
def test_a_file_that_says_little_is_ready_for_no_visit(name: str, run: Any) -> None:
    """Where nothing was looked at there is nothing to be ready: every visit and all of them answer 3."""
    put(name)
    names = [one["visit"] for one in json.loads(run("check", "s.yaml", "--format", "json").out)["ready"]]
    assert len(names) >= 10
    for visit in [*names, "all"]:
        ran = run("check", "s.yaml", "--for", visit)
        assert ran.code == 3, (visit, ran.out)
        assert "eady to call" not in ran.out


def test_a_signed_visit_moves_the_default_to_the_next(run: Any) -> None:
    put("ready")
    first = json.loads(run("check", "s.yaml", "--format", "json").out)
    assert first["visit"] == "gas pressure test"
    put("almost empty")
    visits: dict[str, str] = {}
    seen = []
    for _ in range(3):
        told = json.loads(run("check", "s.yaml", "--format", "json").out)
        seen.append(told["visit"])
        visits[told["visit"]] = "{signed: 2026-05-03, by: office}"
        signed = ", ".join(f"{key}: {value}" for key, value in visits.items())
        Path("s.yaml").write_text(f"site: x\npermit: {{visits: {{{signed}}}}}\n", encoding="utf-8")
    order = [one["visit"] for one in told["ready"]]
    assert len(set(seen)) == 3
    assert seen == sorted(seen, key=order.index)
    assert [one["state"] for one in told["ready"] if one["visit"] in seen[:2]] == ["signed", "signed"]


def test_for_all_says_what_every_visit_says(run: Any) -> None:
    put("ten lines")
    everything = json.loads(run("check", "s.yaml", "--for", "all", "--format", "json").out)
    single = 0
    for visit in [one["visit"] for one in everything["ready"]]:
        single += len(json.loads(run("check", "s.yaml", "--for", visit, "--format", "json").out)["findings"])
    assert everything["visit"] == "all"
    assert len(everything["findings"]) == single > 0


def test_an_unknown_visit_names_the_nearest(run: Any) -> None:
    put("ten lines")
    ran = run("check", "s.yaml", "--for", "rogh gas")
    assert (ran.code, ran.out) == (2, "")
    assert "did you mean 'rough gas'?" in ran.err


@pytest.mark.parametrize("name", READABLE)
@pytest.mark.parametrize("more", [[], ["--all"], ["--for", "all"], ["--for", "all", "--all"]], ids=" ".join)
def test_json_fits_its_schema(name: str, more: list[str], run: Any) -> None:
    put(name)
    told = json.loads(run("check", "s.yaml", "--format", "json", *more).out)
    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    assert told["exit_code"] == SITES[name][1]


@pytest.mark.parametrize("name", READABLE)
def test_sarif_and_junit_can_be_read(name: str, run: Any) -> None:
    put(name)
    log = json.loads(run("check", "s.yaml", "--format", "sarif", "--for", "all").out)
    assert log["version"] == "2.1.0" and len(log["runs"]) == 1
    suites = ElementTree.fromstring(run("check", "s.yaml", "--format", "junit", "--for", "all").out)
    assert suites.tag == "testsuites"


def test_an_answer_to_no_rule_is_warned_about(run: Any) -> None:
    Path("s.yaml").write_text(
        TEN_LINES + "records:\n  - {for: irc.penetration-seel, answer: yes, by: M, day: 2026-05-03}\n"
        "alternates:\n  - {for: nec.no-such, element: R-1, office: o, day: 2026-05-03, what: w}\n",
        encoding="utf-8",
    )
    ran = run("check", "s.yaml", "--format", "json")
    warned = "\n".join(json.loads(ran.out)["warnings"])
    assert ran.code == 3
    assert "s.yaml:15:11" in warned and "'irc.penetration-seel' is no rule in force here" in warned
    assert "'R-1' is no element" in warned and "did you mean 'R-01'?" in warned


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit"])
def test_two_runs_give_the_same_bytes(form: str, process: Any, tmp_path: Path) -> None:
    (tmp_path / "s.yaml").write_text(TEN_LINES, encoding="utf-8")
    outs = {
        process(
            "check", "s.yaml", "--today", TODAY, "--for", "all", "--format", form, env={"PYTHONHASHSEED": seed}
        ).stdout
        for seed in ("0", "1", "2", "4711")
    }
    assert len(outs) == 1 and outs.pop()


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8"])
@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit"])
def test_any_terminal_can_print_it(encoding: str, form: str, process: Any, tmp_path: Path) -> None:
    text = TEN_LINES.replace("site: Studio", "site: Werkst\u00e4tte \u30a2 \u20ac").replace("R-01", "R\u00fc")
    (tmp_path / "s.yaml").write_text(text, encoding="utf-8")
    done = process("check", "s.yaml", "--today", TODAY, "--format", form, env={"PYTHONIOENCODING": encoding})
    assert done.returncode == 3, done.stderr
    assert done.stdout and not done.stderr
    if form != "text":
        assert "Werkst\u00e4tte \u30a2 \u20ac".encode() in done.stdout


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_any_terminal_can_print_a_refusal(encoding: str, process: Any, tmp_path: Path) -> None:
    (tmp_path / "s.yaml").write_text("site: x\nspaces:\n  \u30a2: {use: \u20ac}\n", encoding="utf-8")
    done = process("check", "s.yaml", env={"PYTHONIOENCODING": encoding})
    assert done.returncode == 2
    assert b"s.yaml:3:" in done.stderr and b"Error" not in done.stderr


def test_a_closed_pipe_is_no_crash(tmp_path: Path) -> None:
    (tmp_path / "s.yaml").write_text(TEN_LINES, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "-m", "oktocover", "check", "s.yaml", "--format", "json", "--for", "all", "--all"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=tmp_path,
    ) as child:
        assert child.stdout and child.stderr
        child.stdout.close()
        said = child.stderr.read()
        child.wait(timeout=60)
    assert b"Traceback" not in said and b"fault of the tool" not in said and b"Exception ignored" not in said
    assert child.returncode == 3


EVIL = r"\e[31mred\e]0;title\a\x00\u202e\n\r]]>&<b>::error::%0A" + "N" * 600
"""Colours, a terminal title, a zero byte, a turned direction, markup and a CI command, as YAML writes them."""


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit"])
def test_a_hostile_name_is_harmless(form: str, run: Any) -> None:
    Path("s.yaml").write_text(
        f'site: "{EVIL}{"M" * 10_000}"\npermit: {{number: "{EVIL}", jurisdiction: Tallow Creek}}\n'
        f'described: {{electrical: yes}}\nspaces:\n  "{EVIL}": {{use: living, size: 18 ft x 17 ft, ceiling: 9 ft}}\n'
        f'receptacles:\n  "r{EVIL}": {{wall: "{EVIL}.north", at: 3 ft, note: "{EVIL}", height: 20 in}}\n'
        f'looked:\n  - {{list: openings, in: "{EVIL}", whole: yes, by: "{EVIL}", day: 2026-05-03}}\n'
        f'  - {{list: receptacles, whole: yes, by: "{EVIL}", day: 2026-05-03, count: 3}}\n',
        encoding="utf-8",
    )
    ran = run("check", "s.yaml", "--format", form, "--for", "all", "--all")
    assert ran.code in (1, 3), ran.err
    assert not {char for char in ran.out if ord(char) < 32 and char != "\n"} and not set(ran.out) & set(
        "\x7f\x9b\u202e"
    )
    assert not any(line.startswith("::") for line in ran.out.splitlines())
    if form in ("json", "sarif"):
        told = json.loads(ran.out)
        assert "\x1b" not in json.dumps(told, ensure_ascii=False)
    if form == "junit":
        ElementTree.fromstring(ran.out)
    if form == "text":
        assert max(map(len, ran.out.splitlines())) <= 80


def test_a_hostile_name_is_harmless_in_a_refusal(run: Any) -> None:
    Path("s.yaml").write_text(f'site: x\nspaces:\n  "a": {{use: "{EVIL}{"M" * 10_000}"}}\n', encoding="utf-8")
    ran = run("check", "s.yaml")
    assert (ran.code, ran.out) == (2, "")
    assert not {char for char in ran.err if ord(char) < 32 and char != "\n"} and "\u202e" not in ran.err
    assert max(map(len, ran.err.splitlines())) < 1_100


def test_today_is_a_day(run: Any) -> None:
    put("ready")
    ran = run("check", "s.yaml", "--today", "yesterday", today=False)
    assert (ran.code, ran.out) == (2, "")
    assert "--today" in ran.err and "2026-05-03" in ran.err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["chek"], "did you mean 'check'?"),
        (["check"], "no file or folder 'site.yaml'"),
        (["check", "s.yaml", "--frmat", "json"], "--format"),
        (["check", "s.yaml", "--format", "xml"], "'json'"),
        (["check", "s.yaml", "--rulesets", "nowhere"], "no folder 'nowhere'"),
        (["check", "s.yaml", "--rulesets", "s.yaml"], "no folder 's.yaml'"),
    ],
)
def test_a_wrong_call_is_a_sentence(args: list[str], said: str, run: Any) -> None:
    put("ready")
    ran = run(*args, today=False)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_site_yaml_is_meant_when_no_site_is_named(run: Any) -> None:
    put("ready")
    Path("s.yaml").rename("site.yaml")
    assert run("check").out == run("check", "site.yaml").out
