"""What is in force, as text and as JSON."""

from __future__ import annotations

import json

from hypothesis import given

from oktocover.reports._plain import columns
from oktocover.reports.rules_form import (
    LimitRow,
    RuleRow,
    rules_json,
    rules_text,
)

from .strategies import TEXT, TEXTS

TEST = RuleRow(
    "ifgc.test.hold", "Gas piping holds its test", "gas", "gas pressure test", "hazard", "IFGC 2021 406.4",
    (LimitRow("hold", "15 min", "Tallow Creek 12-3"), LimitRow("floor", "3 psi", "IFGC 2021")),
)


def test_a_rule_is_told_with_its_section_and_where_each_limit_comes_from() -> None:
    assert rules_text([TEST]) == (
        "ifgc.test.hold Gas piping holds its test\n"
        "    IFGC 2021 406.4; gas; gas pressure test; can hurt someone\n"
        "      hold: 15 min, from Tallow Creek 12-3\n"
        "      floor: 3 psi, from IFGC 2021\n"
        "1 rule\n"
    )


def test_the_json_of_a_rule_has_the_same() -> None:
    assert json.loads(rules_json([TEST])) == {"rules": [{
        "id": "ifgc.test.hold", "title": "Gas piping holds its test", "trade": "gas",
        "stage": "gas pressure test", "severity": "hazard", "citation": "IFGC 2021 406.4", "limits": [
            {"name": "hold", "value": "15 min", "from": "Tallow Creek 12-3"},
            {"name": "floor", "value": "3 psi", "from": "IFGC 2021"},
        ],
    }]}


@given(TEXT, TEXTS)
def test_whatever_a_ruleset_holds_the_lines_fit(text: str, texts: tuple[str, ...]) -> None:
    limits = tuple(LimitRow(one, one, one) for one in texts)
    pages = rules_text([RuleRow(text, text, text, text, text, text, limits)])
    assert all(columns(line) <= 80 for line in pages.split("\n"))
    assert rules_json([RuleRow(text, text, text, text, text, text, limits)]).encode("utf-8")
