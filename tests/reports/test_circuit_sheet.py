"""The circuit schedule of a panel: each figure beside its circuit, the legs added up, what is not known as a question mark."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.reports.circuit_sheet import CircuitSheet, circuit_rows, circuit_sheet
from oktocover.reports.worksheet import WIDTH
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

assert trades

SITE: dict[str, Any] = {
    "spaces": {"shop": {"use": "workshop", "size": "20 ft x 20 ft"}},
    "panels": {"P-1": {"space": "shop", "main": "100 A", "rating": "125 A", "positions": "20"}, "P-2": {"main": "60 A"}},
    "circuits": {
        "E-1": {
            "panel": "P-1", "breaker": "20 A", "volts": "120 V", "cable": "12-2 NM-B", "leg": "A", "load": "1,200 VA",
            "for": "benches",
        },
        "E-2": {"panel": "P-1", "breaker": "60 A", "volts": "240 V", "cable": "6-3 NM-B", "leg": "both",
                "load": "11,520 VA", "purpose": "one appliance"},
        "E-3": {"panel": "P-1", "breaker": "15 A", "cable": "14-2 NM-B", "purpose": "lighting"},
        "E-4": {"panel": "P-1", "breaker": "20 A", "volts": "240 V", "purpose": "one appliance"},
        "E-9": {"panel": "P-1"},
    },
    "feeders": {"F-1": {"from": "P-1", "to": "P-2", "breaker": "50 A", "cable": "6-3 NM-B", "load": "30 A"}},
    "receptacles": {"R-1": {"space": "shop", "circuit": "E-1"}, "R-2": {"space": "shop", "circuit": "E-4"}},
    "equipment": {
        "K-1": {"what": "kiln", "receptacle": "R-2", "amps": "12 A", "volts": "240 V"},
        "X-1": {"what": "exhaust fan", "circuit": "E-3", "amps": "2 A", "volts": "120 V"},
    },
    "looked": [{"list": "receptacles", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}],
}  # fmt: skip


def sheets() -> list[CircuitSheet]:
    view = SiteView(read_site_text(yaml.safe_dump(SITE, sort_keys=False)).site)
    return circuit_rows(view, RuleSet(Library().folded("nec 2017")))


def printed() -> str:
    return circuit_sheet(sheets()[0], {"site": "Shop", "date": "2026-06-01"})


def row(name: str) -> dict[str, str]:
    (found,) = (one for one in sheets()[0].rows if one.name == name)
    return {field: getattr(found, field) for field in found.__slots__}


def test_a_panel_without_circuits_has_no_schedule() -> None:
    assert [sheet.panel.id for sheet in sheets()] == ["P-1"]


def test_a_circuit_stands_with_what_its_cable_carries_and_allows() -> None:
    """14-2 NM-B carries 15 A at 60 C (Table 310.15(B)(16), 240.4(D)); 6-3 carries 55 A, the next rating is 60 A."""
    assert {name: row("E-1")[name] for name in ("breaker", "cable", "carries", "at_most")} == {
        "breaker": "20 A", "cable": "12-2 NM-B", "carries": "20 A", "at_most": "20 A",
    }  # fmt: skip
    assert (row("E-2")["carries"], row("E-2")["at_most"]) == ("55 A", "60 A")
    assert row("E-3")["carries"] == "15 A"


def test_what_nobody_wrote_is_a_question_mark() -> None:
    assert [row("E-9")[name] for name in ("breaker", "volts", "leg", "cable", "carries", "load")] == ["?"] * 6


def test_a_load_is_that_written_or_that_of_its_machines() -> None:
    assert [row(name)["load"] for name in ("E-1", "E-3", "E-4")] == ["1,200 VA", "240 VA or more", "2,880 VA"]


def test_it_says_what_is_on_the_circuit() -> None:
    assert row("E-1")["serves"] == "benches; shop"
    assert row("E-4")["serves"] == "one appliance; shop; K-1 kiln"
    assert row("F-1")["serves"] == "to P-2"
    assert (row("E-4")["outlets"], row("F-1")["outlets"]) == ("1+", "feeder")


def test_the_legs_are_added_up_with_half_of_what_is_on_both() -> None:
    assert "leg A: E-1 1,200 VA + E-2 5,760 VA = 6,960 VA" in printed()
    assert "leg B: E-2 5,760 VA = 5,760 VA" in printed()


def test_a_sheet_fits_the_paper_and_says_that_more_may_come() -> None:
    text = printed()
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "more may come" in text and "places            20" in text
