"""Regulator vents outdoors: distances over the corner of two rooms, what counts as an opening, and what is left open."""

from __future__ import annotations

import copy
import datetime
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
RULES = RuleSet(Library().folded("ifgc 2021"))
SITE = """
described: {fuel gas: yes, fuel burning appliances: yes}
measured to: bare framing
spaces:
  shop: {size: 20 ft x 12 ft, corner: "0 ft, 0 ft", ceiling: 9 ft, level: main}
levels: {main: {floor: 6 in}}
walls: {W-1: {sides: [shop.north], exterior: yes, thickness: 7 in}}
openings:
  D-1: {wall: shop.north, at: 2 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
  N-1: {wall: shop.north, at: 12 ft, width: 3 ft, sill: 3 ft, high: 3 ft, what: window, operable: yes}
outside things:
  V: {what: gas regulator vent, wall: shop.north, at: 9 ft, width: 0 in, height: 2 ft, high: 0 in}
  E: {what: electric meter, wall: shop.north, at: 16 ft, width: 14 in, height: 4 ft, high: 16 in}
looked:
  - {list: [spaces, openings, outside things], whole: yes, by: M.K., day: 2026-05-03}
"""


def verdicts(data: dict[str, Any]) -> dict[str, str]:
    """The verdicts of both rules on the vent."""
    view = SiteView(read_site_text(yaml.safe_dump(data), "site.yaml", datetime.date(2026, 5, 4)).site)
    found = {}
    for name in ("regulator-vent-openings", "regulator-vent-sparks"):
        rule = RULES.rule(f"ifgc.{name}")
        assert rule is not None
        for vent in view.of("gas_vent"):
            (one,) = judge(rule, Env(vent, view.roots))
            found[name] = one.verdict
    return found


def distance(data: dict[str, Any], name: str) -> Any:
    view = SiteView(read_site_text(yaml.safe_dump(data), "site.yaml", datetime.date(2026, 5, 4)).site)
    (vent,) = view.of("gas_vent")
    near = {one.id: one for one in (*vent.value("openings").sure, *vent.value("sparks").sure)}
    return near[f"V {name}"].value("distance")


@pytest.fixture
def site() -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load(SITE)
    return data


def test_straight_distance_to_the_nearest_edge(site: dict[str, Any]) -> None:
    """The window begins 3 ft to the right and 1 ft higher: the root of 36 x 36 + 12 x 12 in2 is 37.95 in."""
    inches = distance(site, "N-1") / read("1 in", "length").exact
    assert float(inches) == pytest.approx(37.947, abs=0.001)
    assert verdicts(site) == {"regulator-vent-openings": "met", "regulator-vent-sparks": "met"}


@pytest.mark.parametrize(("at", "found"), [("8 ft", "met"), ("7 ft 11-15/16 in", "not met")])
def test_three_feet_to_a_door(site: dict[str, Any], at: str, found: str) -> None:
    """The door ends at 5 ft and stands beside the vent: 3 ft at 8 ft."""
    site["outside things"]["V"]["at"] = at
    assert verdicts(site)["regulator-vent-openings"] == found


def test_a_window_that_does_not_open_counts_for_nothing(site: dict[str, Any]) -> None:
    site["openings"]["N-1"] |= {"at": "9 ft", "operable": "no"}
    assert verdicts(site)["regulator-vent-openings"] == "met"
    site["openings"]["N-1"].pop("operable")
    assert verdicts(site)["regulator-vent-openings"] == "not recorded"
    site["openings"]["N-1"] |= {"what": "fixed glass"}
    assert verdicts(site)["regulator-vent-openings"] == "met"


def test_whether_a_far_window_opens_is_not_asked(site: dict[str, Any]) -> None:
    site["openings"]["N-1"].pop("operable")
    assert verdicts(site)["regulator-vent-openings"] == "met"


def test_an_air_inlet_is_an_opening_and_a_condenser_sparks(site: dict[str, Any]) -> None:
    place = {"wall": "shop.north", "at": "10 ft", "width": "6 in", "height": "2 ft", "high": "6 in"}
    site["outside things"]["I"] = {"what": "gravity air inlet", **place}
    assert verdicts(site) == {"regulator-vent-openings": "not met", "regulator-vent-sparks": "met"}
    site["outside things"]["I"] = {"what": "condenser", "out": "1 ft", **place}
    assert verdicts(site) == {"regulator-vent-openings": "met", "regulator-vent-sparks": "not met"}


def test_taking_anything_out_never_turns_a_verdict(site: dict[str, Any]) -> None:
    for near in (False, True):
        if near:
            site["outside things"]["V"]["at"] = "14 ft"
        before = verdicts(site)
        for part in ("spaces", "walls", "openings", "outside things", "levels"):
            for name, facts in site[part].items():
                for fact in facts:
                    less = copy.deepcopy(site)
                    del less[part][name][fact]
                    for rule, verdict in verdicts(less).items():
                        assert verdict in (before[rule], "not recorded"), (part, name, fact, rule)
        less = copy.deepcopy(site)
        less["looked"] = []
        for rule, verdict in verdicts(less).items():
            assert verdict in (before[rule], "not recorded")
