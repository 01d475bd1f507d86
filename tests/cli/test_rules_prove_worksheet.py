"""`rules`, `prove` and `worksheet`: what is in force and from where, how it is proven, how it is worked out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from oktocover.measures import trades
from oktocover.reports import sections
from oktocover.reports._layered import World
from oktocover.rules.library import Library

assert trades  # rules speak of the kinds that the trades register
ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = str(ROOT / "examples" / "ceramics-studio" / "corrected.yaml")
SHELF = Library(ROOT / "rulesets")
TOWN = World(SHELF, SHELF.adopt("Tallow Creek", []))
RULES = list(TOWN.adopted.rules.rules())
SECTIONS = sorted({(rule.section, rule.id) for rule in RULES})
ROW = {"id", "title", "trade", "stage", "severity", "citation", "limits"}


def told(ran: Any) -> Any:
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


def test_shipped_sections_find_their_rules(run: Any) -> None:
    assert len(SECTIONS) > 50
    for section, rule in SECTIONS[::5]:
        for number in sections.numbers({"section": section}):
            hits = {hit.id: hit for hit in sections.find(SHELF, TOWN, number.number)}
            assert hits[rule].here == "in force", (section, number)
    section, rule = SECTIONS[0]
    number = next(sections.numbers({"section": section})).number
    found = told(run("rules", "--jurisdiction", "Tallow Creek", "--section", number, "--format", "json"))
    assert rule in [one["id"] for one in found["rules"]]


def test_an_unknown_section_names_the_nearest(run: Any) -> None:
    ran = run("rules", "--section", "406.4.9")
    assert (ran.code, ran.out) == (2, "")
    assert "no rule here stands under section 406.4.9, in any book or edition" in ran.err
    assert "the nearest is 406.4.2; then 406.4.1, 406.4, " in ran.err


def test_each_rule_says_where_its_numbers_come_from(run: Any) -> None:
    rows = told(run("rules", "--jurisdiction", "Tallow Creek", "--format", "json"))["rules"]
    assert [one["id"] for one in rows] == [rule.id for rule in RULES]
    for one in rows:
        assert set(one) == ROW
        assert all(one[key] for key in ROW - {"limits"}), one
        assert all(limit["name"] and limit["value"] and limit["from"] for limit in one["limits"]), one
    changed = {limit["from"] for one in rows for limit in one["limits"] if "Tallow Creek" in limit["from"]}
    assert changed == {"Tallow Creek Code 15.08.040(B), Ordinance 412, 2023-05-09"}
    assert all(one["history"][-1]["value"] == one["value"] for row in rows for one in row["limits"])


def test_the_rules_of_a_site_are_those_of_its_place(run: Any) -> None:
    Path("s.yaml").write_text("site: S\npermit: {jurisdiction: Tallow Creek}\n", encoding="utf-8")
    by_site = run("rules", "--site", "s.yaml")
    by_place = run("rules", "--jurisdiction", "Tallow Creek")
    assert by_site.code == 0 and by_site.out == by_place.out
    Path("s.yaml").write_text("site: S\npermit: {standards: [shop receptacles]}\n", encoding="utf-8")
    assert "shop-receptacles.shop-spacing" in run("rules", "--site", "s.yaml").out


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["ifgc.test-hld"], "did you mean 'ifgc.test-hold'?"),
        (["--jurisdiction", "Tallo Creek"], "did you mean 'tallow creek'?"),
        (["--site", "nope.yaml"], "no file or folder 'nope.yaml'"),
        (["--site", "a", "--jurisdiction", "b"], "one of --site and --jurisdiction"),
        (["--section", " "], "--section needs a number"),
    ],
)
def test_a_wrong_call_of_rules(args: list[str], said: str, run: Any) -> None:
    ran = run("rules", *args)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_prove_says_per_rule_what_ran_and_what_is_proven(run: Any) -> None:
    proof = told(run("prove", "ifgc.test-hold", "--format", "json"))
    assert proof["proven"] is True
    (book,) = [one for one in proof["proofs"] if one["layer"] == "ifgc 2021"]
    assert book["rule"] == "ifgc.test-hold"
    assert book["cases"] >= 10 and book["failed"] == [] and book["not_proven"] == []
    assert any("short" in name for name in book["proven"]), book["proven"]
    assert {one["rule"] for one in proof["proofs"]} == {"ifgc.test-hold"}


def test_a_shared_proof_is_the_same_proof(run: Any, tmp_path: Path) -> None:
    """Two processes, each with every other piece: the same lines in the same order, and mistakes told once."""
    shelf = tmp_path / "rules"
    for name in ("ifgc/2021/gas/gas-test.yaml", "ifgc/2021/gas/gas-test.cases.yaml"):
        (shelf / name).parent.mkdir(parents=True, exist_ok=True)
        (shelf / name).write_text((ROOT / "rulesets" / name).read_text("utf-8"), "utf-8")
    (shelf / "jurisdictions").mkdir()
    (shelf / "jurisdictions" / "elk-fork.yaml").write_text(
        "place: Elk Fork\nadopts: {gas: {book: ifgc 2022}}\n", "utf-8"
    )
    (shelf / "ifgc/2021/gas/odd.cases.yaml").write_text(
        "cases: nothing 1\na.b: {cases: {it: {given: {}, verdict: met}}}\n", "utf-8"
    )
    one, two = (run("prove", "--rulesets", str(shelf), "--jobs", jobs) for jobs in ("1", "2"))
    assert (one.code, one.out, one.err) == (two.code, two.out, two.err)
    assert one.code == 1 and one.out.count("there is no layer 'nothing 1'") == 1 and "ifgc.test-record" in one.out


def test_prove_of_nothing_names_the_nearest(run: Any) -> None:
    ran = run("prove", "ifgc.test-hld")
    assert (ran.code, ran.out) == (2, "")
    assert "nothing here is called 'ifgc.test-hld'" in ran.err and "did you mean 'ifgc.test-hold'?" in ran.err


def test_worksheets_are_listed_and_each_can_be_printed(run: Any) -> None:
    listed = run("worksheet", EXAMPLE)
    assert listed.code == 0
    *lines, last = listed.out.splitlines()
    assert lines and last.startswith(f"{len(lines)} calculations")
    elements = dict.fromkeys(line.partition(": ")[0] for line in lines)
    rules = dict.fromkeys(line.rpartition("(")[2].rstrip(")") for line in lines if line.endswith(")"))
    assert len(elements) > 30 and len(rules) > 10
    for name in (*[*elements][::40], *[*rules][::25]):  # a whole check each: some of them will do
        sheet = run("worksheet", EXAMPLE, name)
        assert sheet.code == 0 and len(sheet.out.splitlines()) > 5, name


def test_an_unknown_worksheet_names_the_nearest(run: Any) -> None:
    element = run("worksheet", EXAMPLE).out.partition(": ")[0]
    ran = run("worksheet", EXAMPLE, element + "x")
    assert (ran.code, ran.out) == (2, "")
    assert f"nothing is worked out for '{element}x'" in ran.err and "did you mean" in ran.err
