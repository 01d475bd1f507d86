"""`oktocover rules` as a town official meets it: by section, the rules of a place, one rule in full."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from oktocover.measures import trades
from oktocover.reports._layered import World
from oktocover.reports.rule_sheet import rule_sheet, sheet_text
from oktocover.rules.library import Library

assert trades
SHELF = Library(Path(__file__).resolve().parents[2] / "rulesets")
TOWN = "place: My Town\nadopts: {gas: {book: ifgc 2021}}\nin: Tallow Creek\n"


def told(ran: Any) -> Any:
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


def test_a_number_says_its_books_and_whether_it_is_in_force(run: Any) -> None:
    ran = run("rules", "--section", "G2417.4.2", "--jurisdiction", "Tallow Creek")
    assert ran.code == 0
    assert ran.out == (
        "IN FORCE (Tallow Creek)\n"
        "  ifgc.test-hold: Gas test held long enough\n"
        "      G2417.4.2 in IFGC 2018, IFGC 2021, IFGC 2024\n"
        "\n"
        "1 entry under G2417.4.2. One in full: oktocover rules NAME\n")
    other = told(run("rules", "--section", "1213.3", "--format", "json"))
    assert other["rules"] == [] and other["hits"]
    assert {hit["here"] for hit in other["hits"]} == {"not in force"}


@pytest.mark.parametrize(
    ("number", "rule"),
    [("E3902.5", "nec.gfci-dwelling"), ("E3902.16", "nec.arc-fault-dwelling"), ("E3902.17", "nec.arc-fault-dwelling"),
     ("E4002.14", "nec.tamper-resistant"), ("422.5", "nec.gfci-appliance"), ("210.8(F)", "nec.gfci-outdoor-outlet")])
def test_the_number_of_the_residential_code_finds_a_rule_of_the_electrical_code(number: str, rule: str, run: Any) -> None:
    """An ordinance that changes E3902.5 speaks of what 210.8(A) asks."""
    found = told(run("rules", "--section", number, "--jurisdiction", "Tallow Creek", "--format", "json"))
    assert rule in [one["id"] for one in found["rules"]]


@pytest.mark.parametrize("number", ["nothing", "", "A"])
def test_a_section_is_a_number(number: str, run: Any) -> None:
    assert "--section needs a number, such as 210.52" in run("rules", "--section", number).err


def test_the_page_of_a_place(run: Any) -> None:
    page = run("rules", "--jurisdiction", "Tallow Creek", "--today", "2026-06-15").out
    assert page.startswith("A reading of the rules in force in Tallow Creek.")
    assert "\nTown changes: not checked by the town\n" in page
    assert ("      short: 10 min (IFGC 2021 406.4.2) -> 15 min (Tallow Creek Code\n"
            "        15.08.040(B), Ordinance 412, 2023-05-09)\n") in page
    assert "  Tallow Creek Code 15.04.020: ground snow load by elevation\n" in page
    assert all(len(line) <= 80 for line in page.splitlines())
    for word in ("approved", "compliant", "violation", "passed"):
        assert word not in page.partition("\n\n")[0].lower()


def test_who_checked_and_how_long_ago(run: Any) -> None:
    Path("t.yaml").write_text(
        TOWN + "checked by: {office: Building office, date: 2025-01-15}\nchanges: {c: {cite: X 1, "
        "strike: {ifgc.test-drop: duty gone}}}\nnot checked here: {snow: {cite: X 9, about: snow}}\n", encoding="utf-8")
    page = run("rules", "--jurisdiction", "t.yaml", "--today", "2026-06-15").out
    assert "Town changes: checked by Building office on 2025-01-15, 17 months ago" in page
    assert "STRUCK HERE\n  ifgc.test-drop: The gauge did not fall during the hold, 406.5.1; duty gone (My\n" in page
    assert "  X 9: snow\n" in page and "  Tallow Creek Code 15.04.020: ground snow load" in page, "both places' entries"
    sheet = told(run("rules", "--jurisdiction", "t.yaml", "--today", "2026-06-15", "--format", "json"))
    assert sheet["struck"] == [{"address": "ifgc.test-drop", "title": "The gauge did not fall during the hold",
                                "section": "406.5.1", "effect": "duty gone", "source": "My Town: X 1"}]


def test_three_layers_of_one_number(run: Any) -> None:
    Path("t.yaml").write_text(
        TOWN + "changes: {c: {cite: X 1, stacking: both apply, set: {ifgc.test-hold.short: 20 min}}}\n", encoding="utf-8")
    assert "2 versions of this rule hold" in run("rules", "ifgc.test-hold", "--jurisdiction", "t.yaml").out
    (row,) = told(run("rules", "ifgc.test-hold", "--jurisdiction", "t.yaml", "--format", "json"))["rules"]
    (short,) = [one for one in row["limits"] if one["name"] == "short"]
    assert short["history"] == [
        {"value": "10 min", "from": "IFGC 2021 406.4.2"},
        {"value": "15 min", "from": "Tallow Creek Code 15.08.040(B), Ordinance 412, 2023-05-09"},
        {"value": "20 min", "from": "My Town: X 1"}]


def test_one_rule_in_full(run: Any) -> None:
    page = run("rules", "ifgc.test-hold", "--jurisdiction", "Tallow Creek").out
    said = " ".join(page.split())
    for part in (
        "ifgc.test-hold: Gas test held long enough IFGC 2021 406.4.2 (also G2417.4.2)",
        "FOR WHOM each gas test",
        "held is at least the smaller of (30 min x the greater of (1; (pipe volume / 500 ft3, rounded up)); 24 h)",
        "or it is enough, less than 10 ft3 of piping: if pipe volume is under 10 ft3, held is at least 15 min",
        "short: 10 min (IFGC 2021 406.4.2) -> 15 min (Tallow Creek Code 15.08.040(B), Ordinance 412, 2023-05-09)",
        "'inside volume': cylinder of bore and length",
        "gas test, ended: day and clock time of the last reading (test)",
        "building, use: what the building is used as (papers)",
        "ITS HISTORY IFGC 2021 406.4.2 Tallow Creek Code 15.08.040(B), Ordinance 412, 2023-05-09: set: short",
    ):
        assert part in said, part
    assert all(len(line) <= 80 for line in page.splitlines())


def test_a_rule_of_another_book_says_so(run: Any) -> None:
    ran = run("rules", "upc.test-hold")
    assert ran.code == 2 and "upc.test-hold stands in another book or edition" in ran.err


@pytest.mark.parametrize("books", ["a: nec 2017, b: ifgc 2021", "a: nec 2020, b: upc 2021", "a: nec 2023, b: nfpa54 2021, c: irc 2021"])
def test_every_shipped_rule_can_be_told_in_full(books: str, tmp_path: Path) -> None:
    place = tmp_path / "all.yaml"
    place.write_text(f"place: All\nadopts: {{{books}}}\n", encoding="utf-8")
    world = World(SHELF, SHELF.adopt(str(place), []))
    for rule in world.adopted.rules.rules():
        page = sheet_text(rule_sheet(world, rule))
        assert "WHAT IT ASKS" in page and "HOW THE NUMBERS ARE KNOWN" in page, rule.id
        assert "_" not in page.partition("WHAT IT ASKS")[2].partition("NUMBERS")[0], rule.id
        assert all(len(line) <= 80 for line in page.splitlines())


def test_the_schema_of_the_sites_of_a_place_knows_its_facts(run: Any) -> None:
    Path("t.yaml").write_text(
        "place: T\nadopts: {gas: {book: ifgc 2021}}\nfacts:\n  gas_system.out_of_snow: {type: yes or no, means: out of snow}\n",
        encoding="utf-8")
    site = {"gas systems": {"G": {"gas": "natural gas", "out of snow": "yes"}}}
    for place, fits in (("t.yaml", True), ("model codes", False)):
        schema = json.loads(run("rules", "--jurisdiction", place, "--schema").out)
        assert jsonschema.Draft202012Validator(schema).is_valid(site) is fits
