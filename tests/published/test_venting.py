"""Vent rules against what is published: makers' instructions that print the code's figures, and the code's annex.

Makers are not named; each check says what kind of page was read. Figures are typed here from those pages, not
from the rule files.
"""

from __future__ import annotations

from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.registry import fact_type
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members
from oktocover.quantities import read
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
RULES = RuleSet(Library().folded("ifgc 2021"))


def made(kind: str, **facts: Any) -> Subject:
    """A subject of a kind with facts as a person writes them."""
    subject = Subject(kind, kind)
    for name, value in facts.items():
        about = fact_type(kind, name)
        assert about is not None, name
        if isinstance(value, list):
            value = Members(tuple(made(about.kind, **one) for one in value))
        elif isinstance(value, dict):
            value = made(about.kind, **value)
        elif about.form == "quantity":
            value = read(value, about.dimension)
        subject.own[name] = value
    return subject


def verdict(rule: str, item: str, subject: Subject) -> str:
    """The verdict of one item of a rule."""
    found = RULES.rule(f"ifgc.{rule}")
    assert found is not None
    (one,) = [one for one in judge(found, Env(subject, {}, {})) if one.item.name == item]
    return one.verdict


def window(**facts: Any) -> dict[str, Any]:
    return {"outdoors": True, "what": "window", "operable": True} | facts


# Roof slope and least height of a listed gas vent cap, from the sheet of a fireplace maker; a B vent maker prints
# the same from 7:12 up, and 1.0 ft for all slopes up to 7:12.
ROOF = [("6:12", "1.0 ft"), ("7:12", "1.25 ft"), ("8:12", "1.5 ft"), ("9:12", "2.0 ft"), ("10:12", "2.5 ft"),
        ("11:12", "3.25 ft"), ("12:12", "4.0 ft"), ("14:12", "5.0 ft"), ("16:12", "6.0 ft"), ("18:12", "7.0 ft"),
        ("20:12", "7.5 ft"), ("21:12", "8.0 ft")]


@pytest.mark.parametrize(("slope", "height"), ROOF)
@pytest.mark.parametrize(("off", "expected"), [(0, "met"), (-1, "not met")])
def test_cap_height_by_roof_slope(slope: str, height: str, off: int, expected: str) -> None:
    subject = made("terminal", through="roof", draft="natural draft", size="4 in", cap="listed", roof_slope=slope,
                   above_roof=height, above_near="-1 ft", wall_near="20 ft")
    exact = read(height, "length").exact
    assert exact is not None
    subject.own["above_roof"] = exact + off
    assert verdict("gravity-vent-height", "main", subject) == expected


# Heights fall nowhere as the roof gets steeper (a property of the figure itself).
def test_cap_height_never_falls_as_the_roof_gets_steeper() -> None:
    rule = RULES.rule("ifgc.gravity-vent-height")
    assert rule is not None
    (limit,) = [limit for name, limit in rule.all_limits() if name == "height_least"]
    found = [
        limit.get(Env(made("terminal", roof_slope=f"{twelfths}:12"), {}, {})) for twelfths in range(22)
    ]
    assert found == sorted(found)
    assert found[0] == read("1 ft", "length").exact and found[-1] == read("8 ft", "length").exact


# An infrared heater maker's installation sheet (2019), 'specific horizontal vent requirements', United States; and
# a room heater maker's table after ANSI Z223.1 / NFPA 54.
@pytest.mark.parametrize(("rate", "distance", "expected"), [
    ("10,000 Btu/h", "6 in", "met"), ("10,000 Btu/h", "5.9 in", "not met"),
    ("10,001 Btu/h", "8.9 in", "not met"), ("50,000 Btu/h", "9 in", "met"),
    ("50,001 Btu/h", "11.9 in", "not met"), ("80,000 Btu/h", "12 in", "met"),
])
def test_direct_vent_by_input(rate: str, distance: str, expected: str) -> None:
    subject = made("terminal", through="wall", draft="direct vent", input=rate, openings=[window(distance=distance)])
    assert verdict("terminal-openings-direct", "away", subject) == expected


# A tankless heater maker's table for 'US non-direct vent installation': 4 ft below or to the side of an opening,
# 1 ft above it; 3 ft above a mechanical inlet if within 10 ft horizontally; a water heater maker's sheet: the same,
# and 7 ft above grade next to public walks; the infrared maker's: 12 in above grade.
@pytest.mark.parametrize(("place", "expected"), [
    ({"beside": "0 in", "above": "-8 ft", "below": "4 ft"}, "met"),
    ({"beside": "0 in", "above": "-8 ft", "below": "3.9 ft"}, "not met"),
    ({"beside": "4 ft", "above": "-1 ft", "below": "-1 ft"}, "met"),
    ({"beside": "3.9 ft", "above": "-1 ft", "below": "-1 ft"}, "not met"),
    ({"beside": "0 in", "above": "1 ft", "below": "-6 ft"}, "met"),
    ({"beside": "0 in", "above": "0.9 ft", "below": "-6 ft"}, "not met"),
])
def test_power_vent_and_openings(place: dict[str, str], expected: str) -> None:
    subject = made("terminal", through="wall", draft="mechanical draft", openings=[window(**place)])
    assert verdict("terminal-openings-mechanical", "main", subject) == expected


@pytest.mark.parametrize(("beside", "above", "expected"), [
    ("10 ft", "3 ft", "met"), ("10 ft", "2.9 ft", "not met"), ("10.1 ft", "0 ft", "met"),
])
@pytest.mark.parametrize(("draft", "item"), [("mechanical draft", "power"), ("direct vent", "direct")])
def test_mechanical_inlets(draft: str, item: str, beside: str, above: str, expected: str) -> None:
    inlet = {"what": "forced air inlet", "beside": beside, "above": above}
    subject = made("terminal", through="wall", draft=draft, things=[inlet])
    assert verdict("terminal-forced-inlet", item, subject) == expected


def test_walks_and_grade() -> None:
    walk = {"what": "walk", "public": True, "beside": "0 in"}
    for above, expected in (("7 ft", "met"), ("6.9 ft", "not met")):
        subject = made("terminal", through="wall", draft="mechanical draft", things=[walk | {"above": above}])
        assert verdict("terminal-walk", "main", subject) == expected
    for height, expected in (("12 in", "met"), ("11.9 in", "not met")):
        subject = made("terminal", through="wall", draft="direct vent", above_grade=height)
        assert verdict("terminal-grade", "ground", subject) == expected


# The infrared maker's sheet and two boiler makers': 4 ft level distance from gas and electric meters, regulators
# and relief equipment. A room heater maker's table: 3 ft beside the meter's centre line, within 15 ft above it.
@pytest.mark.parametrize("what", ["gas meter", "electric meter", "gas regulator vent", "relief valve"])
def test_power_vent_and_meters(what: str) -> None:
    for beside, expected in (("4 ft", "met"), ("3.9 ft", "not met")):
        subject = made("terminal", through="wall", draft="mechanical draft", things=[{"what": what, "beside": beside}])
        assert verdict("terminal-meters", "power", subject) == expected


def test_direct_vent_above_a_meter() -> None:
    places = (("3 ft", "5 ft", "met"), ("2.9 ft", "15 ft", "not met"), ("0 ft", "15.1 ft", "met"))
    for beside, above, expected in places:
        meter = {"what": "gas meter", "beside": beside, "above": above, "below": "-8 ft"}
        subject = made("terminal", through="wall", draft="direct vent", things=[meter])
        assert verdict("terminal-meters", "direct", subject) == expected


def b_vent(**facts: Any) -> Subject:
    """A Type B vent alone with a Type B connector and two elbows, as the annex has it."""
    return made("vent", material="B vent", serves=[{}], connectors=[{"material": "B vent"}], elbows="2", **facts)


# IFGC annex B, example 2 (also in a vent maker's sizing guide): 80,000 Btu/h fan assisted, 30 ft high, 10 ft
# lateral: 3 in carries 27 to 70, too little; 4 in carries 37 to 150.
def test_annex_example_2() -> None:
    facts = {"draft": "fan assisted", "input": "80,000 Btu/h", "rise": "30 ft", "lateral": "10 ft"}
    assert verdict("vent-capacity", "fan_most", b_vent(size="3 in", **facts)) == "not met"
    assert verdict("vent-capacity", "fan_most", b_vent(size="4 in", **facts)) == "met"
    assert verdict("vent-capacity", "fan_least", b_vent(size="4 in", **facts)) == "met"


# IFGC annex B, example 3: draft hood, 4 in, 12 ft high, 5 ft lateral: 77,000 at 10 ft and 87,000 at 15 ft give
# 81,000 Btu/h by straight interpolation, enough for 80,000.
def test_annex_example_3() -> None:
    facts = {"draft": "natural draft", "size": "4 in", "rise": "12 ft", "lateral": "5 ft"}
    assert verdict("vent-capacity", "natural", b_vent(input="80,000 Btu/h", **facts)) == "met"
    assert verdict("vent-capacity", "natural", b_vent(input="81,000 Btu/h", **facts)) == "met"
    assert verdict("vent-capacity", "natural", b_vent(input="81,001 Btu/h", **facts)) == "not met"


# IFGC annex B, example 5(a): in a common vent a 3 in connector may not stand on a 4 in draft hood, although the
# table would carry it.
def test_annex_example_5a() -> None:
    for size, expected in (("3 in", "not met"), ("4 in", "met")):
        subject = made("vent_connector", size=size, appliance={"draft": "natural draft", "outlet": "4 in"},
                       vent={"serves": [{}, {}]})
        assert verdict("connector-size", "main", subject) == expected


# By the table itself: more height never takes capacity away, more lateral never adds any (checked on the
# fan-assisted maximum), and the least a fan must have grows with the lateral.
def test_capacity_table_has_the_trends_of_draft() -> None:
    table = RULES.table("ifgc.bvent_alone")
    assert table is not None

    def cell(row: Any, column: str) -> float:
        return float(row[column].value)

    for heights in table.rows.values():
        rows = list(heights.values())
        for low, high in zip(rows, rows[1:], strict=False):
            for lateral in set(low) & set(high):
                assert cell(low[lateral], "fan_most") <= cell(high[lateral], "fan_most")
        for laterals in rows:
            cells = list(laterals.values())
            for near, far in zip(cells, cells[1:], strict=False):
                assert cell(near, "fan_most") >= cell(far, "fan_most")
                assert cell(near, "fan_least") <= cell(far, "fan_least")
