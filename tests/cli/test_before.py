"""`check --before` against a site as it was, and rules that are pinned: what the job did apart from what the rules did."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from .old_shop import TOWN, put

NEW_PIPE = "  T-4: {of: G, held: 9 min 30 s, pressure: 3 psi, full scale: 15 psi}\n"


def keep_as_before() -> None:
    """What stands here as the base branch has it."""
    Path("base").mkdir(exist_ok=True)
    for name in ("site.yaml", "my-town.yaml"):
        shutil.copy(name, Path("base") / name)


def town(old: str, new: str) -> None:
    """Change the town's rules."""
    assert old in TOWN
    Path("my-town.yaml").write_text(TOWN.replace(old, new), encoding="utf-8")


def add(line: str) -> None:
    """One entry more at the end of the site."""
    path = Path("site.yaml")
    path.write_text(path.read_text("utf-8") + line, encoding="utf-8")


def told(run: Any, *more: str) -> list[str]:
    """The lines of a summary, after its two first."""
    ran = run("check", "--format", "markdown", "--before", "base/site.yaml", *more)
    assert not ran.err
    lines: list[str] = ran.out.splitlines()[2:]
    return lines


def test_a_changed_job(run: Any) -> None:
    put()
    keep_as_before()
    text = Path("site.yaml").read_text("utf-8").replace("held: 8 min", "held: 12 min")
    Path("site.yaml").write_text(text, encoding="utf-8")
    add(NEW_PIPE)
    lines = told(run)
    assert lines[0] == "- **New because the job changed** (1)" and "T-4" in lines[1]
    assert lines[2] == "- **Gone** (1): Held long enough: T-2 (meets, as written)"
    assert lines[3].startswith("- **Still there** (1): 0 can hurt someone, 1 correction likely, 0 not recorded.")
    assert len(lines) == 4


def test_changed_rules(run: Any) -> None:
    put()
    keep_as_before()
    town("least: 10 min", "least: 11 min")
    lines = told(run)
    assert lines[0].startswith("- **New because the rules changed: ") and lines[0].endswith("hold** (1)")
    assert "T-3" in lines[1] and "needed at least 11 min" in lines[1]
    assert lines[2].startswith("- **Still there** (2)") and len(lines) == 3


def test_both_at_once(run: Any) -> None:
    """T-4 is too short by the old rule as well, T-3 by the new one only."""
    put()
    keep_as_before()
    town("least: 10 min", "least: 11 min")
    add(NEW_PIPE)
    lines = told(run)
    assert lines[0] == "- **New because the job changed** (1)" and "T-4" in lines[1]
    assert lines[2].startswith("- **New because the rules changed") and "T-3" in lines[3]


def test_the_exit_code_is_that_of_the_visit(run: Any) -> None:
    put()
    keep_as_before()
    assert run("check", "--before", "base/site.yaml").code == 1
    town("least: 10 min", "least: 8 min")
    ran = run("check", "--before", "base/site.yaml")
    assert ran.code == 0 and "2 gone" in ran.out and "WHAT TURNED AGAINST base/site.yaml" in ran.out


def test_findings_as_json_say_the_same_as_the_site(run: Any) -> None:
    put()
    keep_as_before()
    Path("before.json").write_text(run("check", "base/site.yaml", "--format", "json").out, encoding="utf-8")
    town("least: 10 min", "least: 11 min")
    lines = run("check", "--format", "markdown", "--before", "before.json").out.splitlines()[2:]
    assert lines[0].startswith("- **New because the rules changed since 15 June 2026: ")
    assert lines[1:] == told(run)[1:]


def test_before_is_said_in_words_only(run: Any) -> None:
    put()
    ran = run("check", "--before", "site.yaml", "--format", "json")
    assert (ran.code, ran.out) == (2, "") and "text or Markdown" in ran.err
    assert run("check", "--before", "nothing.json").code == 2
    assert run("check", "--before", "nothing.yaml").code == 2


def pin(run: Any) -> str:
    """Pin the rules of the site here."""
    ran = run("rules", "--site", "site.yaml", "--pin", "--today", "2026-05-03")
    assert (ran.code, ran.err) == (0, "")
    return str(ran.out)


def test_rules_are_pinned_and_a_change_is_told(run: Any) -> None:
    put()
    assert "pinned-rules.yaml: 3 rules" in pin(run)
    text = Path("pinned-rules.yaml").read_text("utf-8")
    assert "  day: 2026-05-03\n" in text and "  place: My Town\n" in text and text.count("\n  my-town.") == 3
    assert "not those pinned" not in run("check").out
    town("title: Held long enough", "title: Held for long enough")
    assert "not those pinned" not in run("check").out, "a title turns no verdict"
    town("least: 10 min", "least: 11 min")
    said = " ".join(run("check").out.split())
    assert "the rules are not those pinned on 2026-05-03: 1 changed (my-town.hold)" in said
    summary = run("check", "--format", "markdown").out
    assert "- **New because the rules changed since 3 May 2026: my-town.hold** (3)" in summary
    assert "1 not as they were:\n  changed: my-town.hold" in pin(run)
    assert "not those pinned" not in run("check").out


def test_pinned_rules_fit_their_schema_and_tell_the_version(run: Any) -> None:
    put()
    pin(run)
    path = Path("pinned-rules.yaml")
    schema = json.loads((Path(__file__).parents[2] / "schemas" / "pinned-rules.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader))
    assert run("check", "--format", "json").out.count("pinned") == 0
    path.write_text(path.read_text("utf-8").replace("tool: ", "tool: 0.0."), encoding="utf-8")
    assert "the rules are those pinned; they were pinned with version 0.0." in run("check", "--format", "json").out


def test_rules_that_came_and_went_are_told(run: Any) -> None:
    put()
    pin(run)
    town("  hold:\n", "  held:\n")
    said = " ".join(run("check").out.split())
    assert "1 new (my-town.held); 1 gone (my-town.hold)" in said


def test_a_tool_that_brings_other_rules_is_told_by_the_pin_of_the_base(run: Any) -> None:
    """The rules of both sites are those of today; only the pin remembers what the base was checked with."""
    put()
    pin(run)
    keep_as_before()
    shutil.copy("pinned-rules.yaml", "base/pinned-rules.yaml")
    for path in (Path("pinned-rules.yaml"), Path("base/pinned-rules.yaml")):
        lines = [line if "my-town.hold" not in line else "  my-town.hold: aaaaaaaaaa" for line in path.read_text().splitlines()]
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    pin(run)
    lines = told(run)
    assert lines[0] == "- **New because the rules changed since 3 May 2026: my-town.hold** (2)"
    assert lines[-1] == "- **Still there** (0)"


@pytest.mark.parametrize(("text", "wrong"), [
    ("", "the file is empty"),
    ("x: y\n", "these are no pinned rules"),
    ("pinned: {day: 2026-05-03, tol: 1}\nrules: {a.b: 0123456789}\n", "did you mean 'tool'?"),
    ("pinned: {day: 2026-05-03}\nrules: {a.b: zz}\n", "pinned-rules.yaml:2:14: 'a.b' has no hash"),
])  # fmt: skip
def test_a_mistake_in_the_pinned_rules_is_told_at_its_line(text: str, wrong: str, run: Any) -> None:
    put()
    Path("pinned-rules.yaml").write_text(text, encoding="utf-8")
    ran = run("check")
    assert (ran.code, ran.out) == (2, "") and wrong in ran.err, ran.err


def test_the_rules_are_pinned_for_a_site_alone(run: Any) -> None:
    put()
    for words in (["--pin"], ["--pin", "--jurisdiction", "my-town.yaml"], ["my-town", "--site", "site.yaml", "--pin"]):
        assert run("rules", *words).code == 2
    assert not Path("pinned-rules.yaml").exists()


def test_json_tells_what_each_rule_says(run: Any) -> None:
    put()
    first = json.loads(run("check", "--format", "json").out)["rules"]
    town("least: 10 min", "least: 11 min")
    second = json.loads(run("check", "--format", "json").out)["rules"]
    assert [one.split()[0] for one in first] == ["my-town.hold", "my-town.pressure", "my-town.scale"]
    assert [one == other for one, other in zip(first, second, strict=True)] == [False, True, True]


def test_two_runs_give_the_same_bytes(process: Any, run: Any) -> None:
    put()
    pin(run)
    keep_as_before()
    town("least: 10 min", "least: 11 min")
    words = ("check", "--today", "2026-06-15", "--format", "markdown", "--before", "base/site.yaml")
    outs = {process(*words, env={"PYTHONHASHSEED": seed}).stdout for seed in ("0", "4711")}
    assert len(outs) == 1 and outs.pop()


def test_a_booked_visit_is_the_next_one(run: Any) -> None:
    put()
    assert "ROUGH:" in run("check").out
    text = Path("site.yaml").read_text("utf-8")
    for days, visit in (("final: 2026-06-20", "FINAL"), ("final: 2026-06-20, rough: 2026-06-18", "ROUGH")):
        booked = text.replace("occupancy: accessory", f"occupancy: accessory, booked: {{{days}}}")
        Path("site.yaml").write_text(booked, encoding="utf-8")
        assert f"{visit}:" in run("check").out
        assert "Booked for 20 June 2026" in run("card", "--today", "2026-06-15").out
    Path("site.yaml").write_text(text.replace("accessory", "accessory, booked: {finale: 2026-06-20}"), encoding="utf-8")
    assert "did you mean 'final'?" in run("check").err


def test_a_signed_visit_is_not_booked(run: Any) -> None:
    put(signed="rough")
    text = Path("site.yaml").read_text("utf-8").replace("accessory", "accessory, booked: {rough: 2026-06-18}")
    Path("site.yaml").write_text(text, encoding="utf-8")
    told = json.loads(run("check", "--format", "json").out)
    assert told["visit"] == "final"
    assert {one["visit"]: one["booked"] for one in told["ready"]} == {"rough": "", "middle": "", "final": ""}
