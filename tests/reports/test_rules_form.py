"""What is in force and how it proved itself, as text and as JSON."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from oktocover.reports._plain import columns
from oktocover.reports.rules_form import (
    LimitRow,
    ProofRow,
    RuleRow,
    proof_json,
    proof_text,
    rules_json,
    rules_text,
)

from .strategies import TEXT, TEXTS

TEST = RuleRow(
    "ifgc.test.hold", "Gas piping holds its test", "gas", "gas pressure test", "hazard", "IFGC 2021 406.4",
    (LimitRow("hold", "15 min", "Tallow Creek 12-3"), LimitRow("floor", "3 psi", "IFGC 2021")),
)
PROVEN = ProofRow("ifgc.test.hold", 6, (), 2)
DOUBTFUL = ProofRow(
    "ifgc.test.gauge", 2, ("a dial of 5 psi: said met, came out not met",), 1, ("limit floor",))


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


def test_only_what_is_not_proven_is_told_rule_by_rule() -> None:
    assert proof_text([PROVEN, DOUBTFUL, ProofRow("irc.empty", 0)]) == (
        "ifgc.test.gauge: comes out otherwise: a dial of 5 psi: said met, came out not\n"
        "    met\n"
        "ifgc.test.gauge: turns no case: limit floor\n"
        "irc.empty: no case\n"
        "1 of 3 rules proven, by 8 cases; 3 limits proven\n"
    )


def test_a_rule_without_cases_is_not_proven() -> None:
    told = json.loads(proof_json([PROVEN, DOUBTFUL, ProofRow("irc.empty", 0)]))
    assert told["proven"] == 1
    assert [one["proven"] for one in told["rules"]] == [True, False, False]
    assert told["rules"][1]["not_proven"] == ["limit floor"]


@given(TEXT, TEXTS, st.integers(0, 10**6))
def test_whatever_a_ruleset_holds_the_lines_fit(text: str, texts: tuple[str, ...], count: int) -> None:
    limits = tuple(LimitRow(one, one, one) for one in texts)
    pages = rules_text([RuleRow(text, text, text, text, text, text, limits)])
    pages += proof_text([ProofRow(text, count, texts, count, texts)])
    assert all(columns(line) <= 80 for line in pages.split("\n"))
    assert rules_json([RuleRow(text, text, text, text, text, text, limits)]).encode("utf-8")
    assert proof_json([ProofRow(text, count, texts, count, texts)]).encode("utf-8")
