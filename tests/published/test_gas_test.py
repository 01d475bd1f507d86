"""The gas pressure test against published figures: one test under the code families, pipe tables, tubing sheets."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.measures import gas
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import Judged, judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
FOOT = 304_800_000
RULES = {book: RuleSet(Library().folded(book)) for book in ("ifgc 2021", "nfpa54 2021", "upc 2021")}
SITE = """
permit: {{occupancy: {occupancy}}}
described: {{fuel gas: yes}}
gas systems: {{gas: {{gas: natural gas, working pressure: {working}}}}}
gas pipes:
  P1: {{from: gas, size: {size}, material: {material}, length: {length}, joints: {joints}}}
gas tests:
  T1: {{of: gas, covers: whole system, medium: air, pressure: {pressure}, end pressure: {pressure}, held: {held},
    gauge: dial, full scale: {full_scale}, graduation: {graduation}}}
looked:
  - {{list: gas pipes, whole: yes, by: M.K., day: 2026-05-03}}
  - {{list: gas tests, whole: yes, by: M.K., day: 2026-05-03}}
"""
USUAL = {
    "occupancy": "one family", "working": "7 in w.c.", "size": "1 in", "material": "steel", "length": "60 ft",
    "joints": "threaded", "pressure": "3 psi", "held": "10 min", "full_scale": "15 psi", "graduation": "0.1 psi",
}  # fmt: skip


def asked(book: str, rule: str, **facts: str) -> Judged:
    """The verdict of one rule (with item) of a book on the test of a site."""
    day = datetime.date(2026, 5, 4)
    view = SiteView(read_site_text(SITE.format(**(USUAL | facts)), "site.yaml", day).site)
    name, _, item = rule.partition(".")
    found = RULES[book].rule(f"{book.split()[0]}.{name}")
    assert found is not None
    judged = [one for one in judge(found, Env(view.elements["T1"], view.roots)) if not item or one.item.name == item]
    assert len(judged) == 1
    return judged[0]


def verdict(book: str, rule: str, **facts: str) -> str:
    return asked(book, rule, **facts).verdict


def needed(book: str, rule: str, **facts: str) -> str:
    return asked(book, rule, **facts).answer.comparisons[0].required


# Source: IFGC 406.4.2 (10 min under 10 ft3 or in a single-family dwelling, else 30 min for each 500 ft3), NFPA 54
# 8.1.4.3 (the same), UPC 1213.3 (15 min; 30 min welded or above 14 in w.c.); a utility's public guide has 15 and 30.
@pytest.mark.parametrize(
    ("facts", "ifgc", "nfpa54", "upc"),
    [
        ({}, "met", "met", "not met"),
        ({"held": "9 min 59 s"}, "not met", "not met", "not met"),
        ({"held": "15 min"}, "met", "met", "met"),
        ({"held": "14 min 59 s"}, "met", "met", "not met"),
        ({"occupancy": "business", "size": "4 in", "length": "200 ft", "held": "15 min"}, "not met", "not met", "met"),
        ({"occupancy": "business", "size": "4 in", "length": "200 ft", "held": "30 min"}, "met", "met", "met"),
        ({"working": "2 psi", "held": "15 min"}, "met", "met", "not met"),
        ({"joints": "welded", "held": "15 min"}, "met", "met", "not met"),
        ({"joints": "welded", "held": "30 min"}, "met", "met", "met"),
    ],
)
def test_one_hold_under_three_families(facts: dict[str, str], ifgc: str, nfpa54: str, upc: str) -> None:
    assert [verdict(book, "test-hold", **facts) for book in RULES] == [ifgc, nfpa54, upc]


# Source: IFGC 406.4.1 and NFPA 54 8.1.4.2, worked for the usual pressures: 7 in w.c. and 2 psi -> 3 psi, 5 psi -> 7.5
# psi; UPC 1213.3: 10 psi, and 60 psi above 14 in w.c. (a utility's public guide); 30 psi for tubing is from memory.
@pytest.mark.parametrize(
    ("working", "material", "model", "uniform"),
    [
        ("7 in w.c.", "steel", "at least 3 psi", "at least 10 psi"),
        ("14 in w.c.", "steel", "at least 3 psi", "at least 10 psi"),
        ("2 psi", "steel", "at least 3 psi", "at least 60 psi"),
        ("2 psi", "csst", "at least 3 psi", "at least 30 psi"),
        ("5 psi", "steel", "at least 7.5 psi", "at least 60 psi"),
    ],
)
def test_pressure_needed_by_family(working: str, material: str, model: str, uniform: str) -> None:
    found = [needed(book, "test-pressure", working=working, material=material) for book in RULES]
    assert found == [model, model, uniform]


# Source: IFGC 406.4 (five times the test): a 3 psi test on at most 15 psi, a 10 psi test on at most 50 psi; UPC 318
# (twice): a 10 psi test on at most 20 psi. A city's public page on gauges gives the same pairs.
@pytest.mark.parametrize(
    ("pressure", "model", "uniform"),
    [("3 psi", "at most 15 psi", "at most 6 psi"), ("10 psi", "at most 50 psi", "at most 20 psi")],
)
def test_scale_of_the_gauge_by_family(pressure: str, model: str, uniform: str) -> None:
    found = [needed(book, "test-gauge.range", pressure=pressure) for book in RULES]
    assert found == [model, model, uniform]


# Source: UPC 318 as an ordinance prints it: 0.1 psi divisions up to 10 psi, 1 psi above.
@pytest.mark.parametrize(("working", "marks"), [("7 in w.c.", "at most 0.1 psi"), ("2 psi", "at most 1 psi")])
def test_divisions_of_the_gauge(working: str, marks: str) -> None:
    assert needed("upc 2021", "test-gauge.marks", working=working) == marks


def cell(book: str, material: str, size: str) -> Any:
    table = RULES[book].table(f"{book.split()[0]}.inside_diameter")
    assert table is not None
    return table.rows[material][size].value


# Source: ASME B36.10M, Schedule 40: outside diameter and wall in inches; the bore is OD - 2 walls (from memory).
SCHEDULE_40 = {
    "1/4 in": ("0.540", "0.088"), "3/8 in": ("0.675", "0.091"), "1/2 in": ("0.840", "0.109"),
    "3/4 in": ("1.050", "0.113"), "1 in": ("1.315", "0.133"), "1-1/4 in": ("1.660", "0.140"),
    "1-1/2 in": ("1.900", "0.145"), "2 in": ("2.375", "0.154"), "2-1/2 in": ("2.875", "0.203"),
    "3 in": ("3.500", "0.216"), "4 in": ("4.500", "0.237"),
}  # fmt: skip
# Source: ASTM B88, wall in inches; outside diameter is the nominal size and 1/8 in (from memory).
TUBE_WALLS = {
    "copper K": ("0.035", "0.049", "0.049", "0.049", "0.065", "0.065", "0.065", "0.072", "0.083"),
    "copper L": ("0.030", "0.035", "0.040", "0.042", "0.045", "0.050", "0.055", "0.060", "0.070"),
}
TUBE_SIZES = ("1/4 in", "3/8 in", "1/2 in", "5/8 in", "3/4 in", "1 in", "1-1/4 in", "1-1/2 in", "2 in")


@pytest.mark.parametrize("book", ["ifgc 2021", "nfpa54 2021"])
def test_bores_follow_from_outside_diameter_and_wall(book: str) -> None:
    inch = 25_400_000
    for size, (outside, wall) in SCHEDULE_40.items():
        assert cell(book, "steel", size) == (Fraction(outside) - 2 * Fraction(wall)) * inch, size
    for material, walls in TUBE_WALLS.items():
        for size, wall in zip(TUBE_SIZES, walls, strict=True):
            nominal = Fraction(read(size, "length").exact or 0)
            assert cell(book, material, size) == nominal + inch // 8 - 2 * Fraction(wall) * inch, (material, size)


def test_both_model_books_carry_the_same_table() -> None:
    for material in ("steel", "copper K", "copper L", "polyethylene"):
        rows = RULES["ifgc 2021"].table("ifgc.inside_diameter").rows[material]  # type: ignore[union-attr]
        assert {size: cell("nfpa54 2021", material, size) for size in rows} == {
            size: one.value for size, one in rows.items()
        }


# Source: cubic feet held by 100 ft of Schedule 40 pipe, worked out from the bores heading the code's own tables.
VOLUMES = {
    "1/2 in": 0.211, "3/4 in": 0.370, "1 in": 0.600, "1-1/4 in": 1.039, "1-1/2 in": 1.414, "2 in": 2.330,
    "2-1/2 in": 3.325, "3 in": 5.134, "4 in": 8.840,
}  # fmt: skip


@pytest.mark.parametrize("size", VOLUMES)
def test_volume_of_a_hundred_feet(size: str) -> None:
    volume = gas.cylinder(cell("ifgc 2021", "steel", size), 100 * FOOT).value
    assert float(volume / FOOT**3) == pytest.approx(VOLUMES[size], abs=0.0006)


# Source: the same figures: a 4 in main reaches 10 ft3 at 113 ft, a 2 in main at 429 ft.
@pytest.mark.parametrize(
    ("size", "length", "short"),
    [("4 in", "113 ft", True), ("4 in", "114 ft", False), ("2 in", "429 ft", True), ("2 in", "430 ft", False)],
)
def test_length_that_holds_ten_cubic_feet(size: str, length: str, short: bool) -> None:
    found = verdict("ifgc 2021", "test-hold", occupancy="business", size=size, length=length)
    assert found == ("met" if short else "not met")


# Source: as above. A shop behind the house ('accessory') falls under the residential code's 10 minutes; NFPA 54 gives 10
# minutes to one-family dwellings and to piping under 10 ft3, of which nobody knows while the length is a lower bound; the
# plumbing code asks 15 minutes of any low-pressure piping.
def test_one_test_three_families_three_verdicts() -> None:
    shop = {
        "occupancy": "accessory",
        "size": "2 in",
        "length": "at least 60 ft",
        "pressure": "10 psi",
        "held": "12 min",
    }
    assert [verdict(book, "test-hold", **shop) for book in RULES] == ["met", "not recorded", "not met"]


@pytest.mark.parametrize(("working", "uniform"), [("7 in w.c.", "at least 15 min"), ("2 psi", "at least 30 min")])
def test_ten_minutes_here_and_fifteen_or_thirty_there_for_one_shop(working: str, uniform: str) -> None:
    """40 ft of 3/4 in pipe hold 0.15 ft3: 10 minutes by the fuel gas code and by NFPA 54."""
    shop = {"occupancy": "accessory", "working": working, "size": "3/4 in", "length": "40 ft", "held": "10 min"}
    assert [verdict(book, "test-hold", **shop) for book in RULES] == ["met", "met", "not met"]
    assert needed("upc 2021", "test-hold", **shop) == uniform
    assert verdict("ifgc 2021", "test-hold", **(shop | {"held": "9 min 59 s"})) == "not met"


# Source: example 5 of the fuel gas codes' annex: 20 psi at 70 F read 18 psi at 40 F, nothing lost. The relation is the gas
# law; a federal guide specification prints it with 460 in place of 459.67, which gives 18.04 psi.
def test_cold_alone_takes_two_pounds_off_a_test_of_twenty() -> None:
    pounds = read("1 psi", "pressure").exact
    warm, cold = (read(text, "temperature").exact for text in ("70 F", "40 F"))
    fall = gas.cold_drop(20 * pounds, warm, cold).value
    assert float(20 - fall / pounds) == pytest.approx(18.04, abs=0.01)
    assert round(20 - fall / pounds) == 18


# Source: a rule of thumb of inspectors for tests at 10 psi: about 0.05 psi for each degree (common practice).
def test_about_a_twentieth_of_a_pound_a_degree_at_ten_psi() -> None:
    pounds = read("1 psi", "pressure").exact
    warm, cold = (read(text, "temperature").exact for text in ("60 F", "59 F"))
    assert float(gas.cold_drop(10 * pounds, warm, cold).value / pounds) == pytest.approx(0.05, abs=0.003)
