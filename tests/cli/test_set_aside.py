"""Findings that are set aside: an old project starts without drowning, nothing of it is lost, and no hazard is let through."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest

from oktocover.findings.finding import identity_of

from .old_shop import TOWN, put


def aside(*entries: str, file: str = "set-aside.yaml") -> None:
    """A file of entries, each in one line."""
    Path(file).write_text("set aside:\n" + "".join(f"  - {{{one}}}\n" for one in entries), encoding="utf-8")


def entry(element: str, rule: str, until: str = "final", more: str = "") -> str:
    """One entry by M.K., for a reason."""
    return f"rule: {rule}, element: {element}, who: M.K., why: old pipe, until: {until}{more}"


@pytest.fixture
def name(run: Any) -> str:
    """The name rules of the town have."""
    put()
    found = json.loads(run("check", "--format", "json").out)["findings"]
    return str(found[0]["rule"])


def test_the_first_file_is_written_from_what_is_open(run: Any) -> None:
    put("2 psi")
    assert run("check").code == 1
    made = run("set-aside", "--who", "M.K.", "--why", "old: piping of 1960", "--until", "final", "--today", "2026-06-15")
    assert (made.code, made.err) == (0, "")
    assert "2 findings of rough set aside until final: set-aside.yaml" in made.out
    assert "1 finding left out: what can hurt someone cannot be set aside" in made.out
    text = Path("set-aside.yaml").read_text("utf-8")
    assert 'why: "old: piping of 1960"' in text and "day: 2026-06-15" in text and "element: T-1" in text
    still = json.loads(run("check", "--format", "json", "--for", "rough").out)
    assert still["exit_code"] == 1, "the hazard is still there"
    assert [one["severity"] for one in still["findings"] if one["open"]] == ["hazard"]
    put("3 psi")
    assert run("check").code == 0


def test_it_is_written_once_and_more_is_written_below_it(run: Any) -> None:
    put()
    words = ("set-aside", "--who", "M.K.", "--why", "old", "--until", "final")
    run(*words)
    first = Path("set-aside.yaml").read_text("utf-8")
    again = run(*words)
    assert "nothing more to set aside" in again.out and Path("set-aside.yaml").read_text("utf-8") == first
    site = Path("site.yaml").read_text("utf-8")
    Path("site.yaml").write_text(site + "  T-4: {of: G, held: 1 min, pressure: 3 psi, full scale: 15 psi}\n", encoding="utf-8")
    assert run("check").code == 1, "what is new is not set aside"
    run(*words)
    assert Path("set-aside.yaml").read_text("utf-8").startswith(first)
    assert run("check").code == 0


@pytest.mark.parametrize(("text", "kept"), [
    ("# mine\nset aside: []\n", "# mine\nset aside:\n  - rule: "),
    ("# mine\nset aside:\n", "# mine\nset aside:\n  - rule: "),
    ("set aside:\n- rule: {hold}\n  element: T-1\n  who: A\n  why: w\n  until: final\n", "  until: final\n- rule: "),
    ("set aside:\n    - {{rule: {hold}, element: T-1, who: A, why: w, until: final}}", "final}}\n    - rule: "),
])  # fmt: skip
def test_what_stands_in_the_file_is_left_as_it_is(text: str, kept: str, run: Any, name: str) -> None:
    Path("set-aside.yaml").write_text(text.replace("{hold}", name).replace("{{", "{").replace("}}", "}"), encoding="utf-8")
    ran = run("set-aside", "--who", "M.K.", "--why", "old", "--until", "final")
    assert ran.code == 0, ran.err
    assert kept.replace("}}", "}") in Path("set-aside.yaml").read_text("utf-8")
    assert run("check").code == 0


def test_a_file_with_no_end_to_write_at_is_left_alone(run: Any, name: str) -> None:
    text = f"set aside: [{{rule: {name}, element: T-1, who: A, why: w, until: final}}]\n"
    Path("set-aside.yaml").write_text(text, encoding="utf-8")
    ran = run("set-aside", "--who", "M.K.", "--why", "old", "--until", "final")
    assert ran.code == 2 and "nothing can be written at the end of set-aside.yaml" in ran.err
    assert Path("set-aside.yaml").read_text("utf-8") == text


@pytest.mark.parametrize("left_out", ["--who", "--why", "--until"])
def test_who_why_and_until_are_asked(left_out: str, run: Any) -> None:
    put()
    words = {"--who": "M.K.", "--why": "old", "--until": "final"}
    del words[left_out]
    ran = run("set-aside", *(one for pair in words.items() for one in pair))
    assert ran.code == 2 and left_out in ran.err and not Path("set-aside.yaml").exists()


def test_every_one_is_counted_and_listed_in_every_form(run: Any, name: str) -> None:
    aside(entry("T-1", name), entry("T-2", name))
    screen = run("check").out
    assert "ROUGH: nothing open but what is set aside" in screen
    assert "SET ASIDE: 2 findings are set aside" in screen and "2 until final (M.K.: old pipe)" in screen
    assert "ready to call, on what" not in screen
    assert "Held long enough: T-1, T-2" in " ".join(run("check", "--all").out.split())
    told = json.loads(run("check", "--format", "json").out)
    assert [(one["element"], one["state"], one["who"], one["why"], one["until"]) for one in told["set_aside"]] == [
        ("T-1", "set aside", "M.K.", "old pipe", "final"), ("T-2", "set aside", "M.K.", "old pipe", "final"),
    ]  # fmt: skip
    assert next(one["set_aside"] for one in told["ready"] if one["visit"] == "rough") == 2
    (log,) = json.loads(run("check", "--format", "sarif").out)["runs"]
    assert [one["suppressions"][0]["justification"] for one in log["results"]] == [
        "set aside until final, M.K.: old pipe"] * 2  # fmt: skip
    suites = ElementTree.fromstring(run("check", "--format", "junit").out)
    assert suites.get("failures") == "0"
    skipped = [one.text or "" for one in suites.iter("skipped")]
    assert sum(one.startswith("set aside until final, M.K.: old pipe") for one in skipped) == 2
    assert any("2 set aside" in one and one.startswith("not ready to call") for one in skipped)
    assert run("check", "--format", "csv").out.count("set aside until final") == 2
    assert "- **Set aside**: 2 findings are set aside: 2 until final (M.K.: old pipe)" in run("check", "--format", "markdown").out


def test_a_hazard_is_refused_at_its_line(run: Any, name: str) -> None:
    put("2 psi")
    aside(entry("T-2", name), entry("T-1", name.replace("hold", "pressure")))
    for form in ("text", "json", "sarif", "junit", "markdown", "csv"):
        ran = run("check", "--format", form)
        assert (ran.code, ran.out) == (2, ""), form
        assert "set-aside.yaml:3:" in ran.err and "only the official's written approval" in ran.err


def test_it_lapses_at_its_visit(run: Any, name: str) -> None:
    aside(entry("T-1", name, "middle"), entry("T-2", name, "middle"))
    assert run("check", "--for", "rough").code == 0
    assert run("check", "--for", "all").code == 0
    lapsed = json.loads(run("check", "--for", "middle", "--format", "json").out)
    assert {one["state"] for one in lapsed["set_aside"]} == {"lapsed"}
    ran = run("check", "--for", "final", "--format", "json")
    assert ran.code == 0, "the visit of the two is rough, which is not signed"
    assert {one["state"] for one in json.loads(ran.out)["set_aside"]} == {"lapsed"}, "middle comes before final"
    put(signed="middle")
    (one, _) = json.loads(run("check", "--for", "rough", "--format", "json").out)["set_aside"]
    assert (one["state"], one["note"]) == ("lapsed", "middle is signed")


def test_it_lapses_when_the_work_is_covered_and_holds_the_next_visit_up(run: Any, name: str) -> None:
    aside(entry("T-1", name), entry("T-2", name))
    put(signed="rough")
    ran = run("check", "--format", "json", "--for", "middle")
    told = json.loads(ran.out)
    assert ran.code == 1 and {one["state"] for one in told["set_aside"]} == {"lapsed"}
    assert {one["note"] for one in told["set_aside"]} == {"its work is covered since rough was signed"}
    assert {one["stage"] for one in told["findings"] if one["open"]} == {"middle"}


def test_what_was_not_covered_waits_for_its_visit(run: Any, name: str) -> None:
    text = TOWN.replace("rough: {title: Rough, covers: yes}", "rough: {title: Rough}")
    put(signed="rough")
    Path("my-town.yaml").write_text(text, encoding="utf-8")
    aside(entry("T-1", name), entry("T-2", name))
    told = json.loads(run("check", "--format", "json", "--for", "middle").out)
    assert {one["state"] for one in told["set_aside"]} == {"set aside"}
    told = json.loads(run("check", "--format", "json", "--for", "final").out)
    assert {one["state"] for one in told["set_aside"]} == {"lapsed"} and told["exit_code"] == 1


def test_what_would_lapse_at_once_is_not_written(run: Any) -> None:
    put()
    ran = run("set-aside", "--who", "M.K.", "--why", "old", "--until", "rough")
    assert ran.code == 2 and "would lapse at once" in ran.err and not Path("set-aside.yaml").exists()


@pytest.mark.parametrize(("said", "note"), [
    (entry("T-3", "{hold}"), "it is open no more (meets, as written)"),
    (entry("T-9", "{hold}"), "the rule is not asked of 'T-9'"),
    (entry("T-1", "{hold}ing"), "did you mean '{hold}'?"),
])  # fmt: skip
def test_entries_that_match_nothing_are_told_at_their_line(said: str, note: str, run: Any, name: str) -> None:
    aside(said.replace("{hold}", name))
    ran = run("check", "--format", "json")
    told = json.loads(ran.out)
    assert ran.code == 1
    (warned,) = [one for one in told["warnings"] if "sets nothing aside any more" in one]
    assert warned.startswith("set-aside.yaml:2:") and note.replace("{hold}", name) in warned
    assert [one["state"] for one in told["set_aside"]] == ["idle"]


@pytest.mark.parametrize(("text", "wrong"), [
    ("set asid: []\n", "set-aside.yaml:1:1: this file holds one list, 'set aside'"),
    ("set aside: 3\n", "what is set aside is a list"),
    ("set aside: [x]\n", "an entry is a mapping"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: w}\n", "an entry says until"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: '', until: final}\n", "an entry says why"),
    ("set aside:\n  - {rule: a.b, element: T, whom: M, why: w, until: final}\n", "did you mean 'who'?"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: w, until: finale}\n", "did you mean 'final'?"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: w, until: final, day: soon}\n", "set-aside.yaml:2:"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: w, until: final, identity: xx}\n", "'xx' is no identity"),
    ("set aside:\n  - {rule: a.b, element: T, who: M, why: w, until: final, identity: 0123456789abcdef}\n",
     "this is not the identity of 'a.b' of 'T'"),
    ("set aside:\n" + 2 * "  - {rule: a.b, element: T, who: M, why: w, until: final}\n", "is set aside twice"),
])  # fmt: skip
def test_a_mistake_is_told_at_its_line(text: str, wrong: str, run: Any) -> None:
    put()
    Path("set-aside.yaml").write_text(text, encoding="utf-8")
    ran = run("check")
    assert (ran.code, ran.out) == (2, "") and wrong in ran.err, ran.err


def test_an_identity_stands_for_its_rule_and_element(run: Any, name: str) -> None:
    for element in ("T-1", "T-2"):
        assert identity_of(name, element)
    aside(*(entry(one, name, more=f', identity: "{identity_of(name, one)}"') for one in ("T-1", "T-2")))
    assert run("check").code == 0


def test_a_folder_and_another_file_have_their_own(run: Any, name: str) -> None:
    aside(entry("T-1", name), entry("T-2", name))
    Path("other.yaml").write_text(Path("site.yaml").read_text("utf-8"), encoding="utf-8")
    assert (run("check", "site.yaml").code, run("check", "other.yaml").code) == (0, 1)
    aside(entry("T-1", name), entry("T-2", name), file="other.set-aside.yaml")
    assert run("check", "other.yaml").code == 0
    Path("job").mkdir()
    Path("job/all.yaml").write_text(Path("site.yaml").read_text("utf-8").replace("my-town", "../my-town"), encoding="utf-8")
    assert run("check", "job").code == 1
    aside(entry("T-1", name), entry("T-2", name), file="job/set-aside.yaml")
    assert run("check", "job").code == 0, "the file of a folder is no part of the site"
    assert run("check", "site.yaml", "--set-aside", "nowhere.yaml").code == 2


def test_without_people_nobody_who_set_something_aside_is_named(run: Any, name: str) -> None:
    aside(entry("T-1", name), entry("T-2", name))
    for form in ("text", "json", "sarif", "junit", "markdown", "csv"):
        assert "M.K." in run("check", "--format", form).out
        assert "M.K." not in run("check", "--format", form, "--without-people").out, form
    Path("set-aside.yaml").write_text(Path("set-aside.yaml").read_text("utf-8").replace("M.K.", "olaf"), encoding="utf-8")
    assert "olaf" in run("check").out and "olaf" not in run("check", "--without-people").out


@pytest.mark.parametrize("form", ["text", "markdown", "csv"])
def test_two_runs_give_the_same_bytes(form: str, process: Any, run: Any, name: str) -> None:
    aside(entry("T-1", name), entry("T-2", name), entry("T-3", name))
    outs = {
        process("check", "--today", "2026-06-15", "--format", form, env={"PYTHONHASHSEED": seed}).stdout
        for seed in ("0", "4711")
    }
    assert len(outs) == 1 and outs.pop()
