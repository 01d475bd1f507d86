"""What is in force, as text and as JSON."""

from __future__ import annotations

import json

from hypothesis import given

from oktocover.reports._layered import Said, Struck
from oktocover.reports._plain import columns
from oktocover.reports.rules_form import (
    Definition,
    LimitRow,
    NotChecked,
    PlaceSheet,
    RuleRow,
    rules_json,
    rules_text,
    sheet_object,
    sheet_text,
)

from .strategies import TEXT, TEXTS

MODEL = Said("10 min", "IFGC 2021 406.4.2", "ifgc 2021", False)
TOWN = Said("15 min", "Tallow Creek 12-3", "Tallow Creek", True)
TEST = RuleRow(
    "ifgc.test.hold", "Gas piping holds its test", "gas", "gas pressure test", "hazard", "IFGC 2021 406.4",
    (LimitRow("hold_time", "15 min", "Tallow Creek 12-3", (MODEL, TOWN)), LimitRow("floor", "3 psi", "IFGC 2021 406.4"),
     LimitRow("share", "2 %", "IFGC 2021 406.5")),
)
VENT = RuleRow("ifgc.vent", "Vent", "venting", "rough mechanical", "correction", "IFGC 2021 503")
LATER = RuleRow("ifgc.test.tag", "Gas test has its tag", "gas", "gas pressure test", "correction", "IFGC 2021 406.1")


def test_rules_are_told_by_trade_and_visit_and_a_number_layer_by_layer() -> None:
    assert rules_text([TEST, VENT, LATER]) == (
        "\n"
        "GAS, gas pressure test\n"
        "  ifgc.test.hold: Gas piping holds its test\n"
        "      IFGC 2021 406.4; can hurt someone\n"
        "      hold time: 10 min (IFGC 2021 406.4.2) -> 15 min (Tallow Creek 12-3)\n"
        "      floor: 3 psi\n"
        "      share: 2 % (IFGC 2021 406.5)\n"
        "  ifgc.test.tag: Gas test has its tag\n"
        "      IFGC 2021 406.1; correction likely\n"
        "\n"
        "VENTING, rough mechanical\n"
        "  ifgc.vent: Vent\n"
        "      IFGC 2021 503; correction likely\n"
        "\n"
        "3 rules\n"
    )


def test_the_json_of_a_rule_has_the_same() -> None:
    rule = json.loads(rules_json([TEST]))["rules"][0]
    assert {key: rule[key] for key in ("id", "title", "trade", "stage", "severity", "citation")} == {
        "id": "ifgc.test.hold", "title": "Gas piping holds its test", "trade": "gas",
        "stage": "gas pressure test", "severity": "hazard", "citation": "IFGC 2021 406.4"}
    assert rule["limits"][0] == {
        "name": "hold_time", "value": "15 min", "from": "Tallow Creek 12-3",
        "history": [{"value": "10 min", "from": "IFGC 2021 406.4.2"}, {"value": "15 min", "from": "Tallow Creek 12-3"}]}


def sheet(text: str, texts: tuple[str, ...]) -> PlaceSheet:
    limits = tuple(LimitRow(one, one, one, (Said(one, one, one, False), Said(text, one, one, True))) for one in texts)
    rows = (RuleRow(text, text, text, text, text, text, limits),)
    return PlaceSheet(
        text, texts, text, rows, (Definition(text, "definition", text, text, limits),),
        (Struck(text, text, text, text, text),), (NotChecked(text, text, text),), texts)


def test_a_sheet_says_whose_word_it_is_what_is_struck_and_what_is_not_checked() -> None:
    page = sheet_text(PlaceSheet(
        "Tallow Creek", ("IFGC 2021",), "not checked by the town", (TEST,), (),
        (Struck("ifgc.vent", "Vent", "503", "duty gone", "Tallow Creek 12-4"),),
        (NotChecked("snow", "Tallow Creek 15.04", "ground snow load"),)))
    assert page.startswith("A reading of the rules in force in Tallow Creek. The books and the ordinances\ngovern;")
    assert "Rules: IFGC 2021\nTown changes: not checked by the town\n" in page
    assert "STRUCK HERE\n  ifgc.vent: Vent, 503; duty gone (Tallow Creek 12-4)\n" in page
    assert "NOT CHECKED HERE: the place also changed these; no rule here covers them\n" in page
    assert "  Tallow Creek 15.04: ground snow load\n" in page


@given(TEXT, TEXTS)
def test_whatever_a_ruleset_holds_the_lines_fit(text: str, texts: tuple[str, ...]) -> None:
    assert all(columns(line) <= 80 for line in sheet_text(sheet(text, texts)).split("\n"))
    assert json.dumps(sheet_object(sheet(text, texts)), ensure_ascii=False).encode("utf-8")
