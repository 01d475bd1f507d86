"""The whole trade on one site: taking anything out leaves each verdict as it was or makes it 'not recorded'."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
KINDS = ("terminal", "vent", "vent_connector")
RULES = [rule for rule in RuleSet(Library().folded("ifgc 2021")).rules() if rule.each in KINDS]
LISTS = ("openings", "outside things", "spaces", "terminals", "vents", "vent connectors")
SITE = """
levels: {ground: {floor: 6 in}}
spaces:
  studio: {level: ground, use: workshop, outline: ["22 ft, 0 ft", "40 ft, 0 ft", "40 ft, 17 ft", "22 ft, 17 ft"]}
  garage: {level: ground, use: garage, outline: ["0 ft, 0 ft", "21 ft 6 in, 0 ft", "21 ft 6 in, 24 ft", "0 ft, 24 ft"]}
walls:
  E: {sides: [studio.east], exterior: yes, thickness: 6-1/2 in, lot line: 8 ft}
openings:
  W-1: {wall: studio.east, at: 8 ft, width: 3 ft, sill: 3 ft, high: 4 ft, what: window, operable: yes}
  D-1: {wall: studio.west, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
appliances:
  A-1: {space: studio, fuel: natural gas, input: "45,000 Btu/h", draft: mechanical draft, category: III, outlet: 4 in}
  A-2: {space: studio, fuel: natural gas, input: "40,000 Btu/h", draft: direct vent, category: IV, outlet: 2 in}
  A-3: {space: garage, fuel: natural gas, input: "40,000 Btu/h", draft: natural draft, category: I, outlet: 4 in}
  A-4: {space: garage, fuel: natural gas, input: "60,000 Btu/h", draft: fan assisted, category: I, outlet: 4 in}
vents:
  V-1: {serves: [A-1], material: special gas vent, listing: UL 1738, named by maker: yes, size: 4 in, length: 6 ft,
    elbows: 1, elbow counts as: 5 ft, longest: 35 ft, clearance: 2 in, clearance listed: 1 in, concealed: yes,
    edge: 1 in, shield: none, apart: 6 ft, apart maker: 4 ft, slopes to: terminal}
  V-2: {serves: [A-2], material: PVC, listing: ASTM D1785, named by maker: no, size: 2 in, slopes to: appliance,
    slope: 1/8 in per ft, apart: at most 3 ft, apart maker: 4 ft, clearance: 0 in, clearance listed: 0 in,
    concealed: yes, edge: 1 in, shield: 0.0575 in}
  V-3: {serves: [A-3, A-4], material: B vent, listing: UL 441, size: 7 in, rise: 12 ft, clearance: 1 in,
    clearance listed: 1 in, insulated: yes, insulation shield: yes, collar above: 2 in, concealed: no}
vent connectors:
  C-1: {appliance: A-3, vent: V-3, material: single wall, size: 3 in, length: 8 ft, slope: 1/4 in per ft, dips: no,
    clearance: 6 in, fastened: yes, supported: yes, in attic: no, through wall: no, through floor: no, concealed: no}
terminals:
  T-1: {vent: V-1, through: wall, wall: studio.east, at: 5 ft, height: 6 ft, across: 8 in, above grade: 6 ft,
    maker openings: none, maker grade: 12 in, maker meter: 4 ft}
  T-2: {vent: V-2, through: wall, wall: studio.east, at: 7 ft, height: 2 ft, across: 4 in, above grade: 11 in,
    intake above grade: 12 in, toward neighbour: yes, maker openings: 3 ft}
  T-3: {vent: V-3, through: roof, above roof: 6 ft, roof slope: "4:12", wall near: none, cap: listed, braced: no}
outside things:
  M-1: {wall: studio.east, at: 2 ft, width: 1 ft, height: 2 ft, high: 2 ft, what: gas meter}
  I-1: {wall: studio.east, at: 12 ft, width: 1 ft, height: 7 ft, high: 1 ft, what: forced air inlet}
  P-1: {wall: studio.east, at: 0 ft, width: 17 ft, height: -6 in, high: 0 in, out: 3 ft, what: walk, public: yes}
  N-1: {wall: studio.east, at: 6 ft, width: 3 ft, height: 3 ft, high: 4 ft, out: 9 ft, what: neighbour opening}
  S-1: {wall: studio.east, at: 0 ft, width: 17 ft, height: 8 ft, high: 0 in, what: ventilated soffit}
"""


def whole() -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(SITE, Loader=yaml.BaseLoader)
    data["looked"] = [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in LISTS]
    return data


def verdicts(data: dict[str, Any]) -> dict[tuple[str, str], str]:
    """Verdict by rule (with item) and element."""
    view = SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)
    return {
        (one.name, subject.id): one.verdict
        for rule in RULES for subject in view.of(rule.each) for one in judge(rule, Env(subject, view.roots, {}))
    }


def removals() -> Iterator[tuple[str, ...]]:
    """Every fact, every element nothing refers to, every statement."""
    data = whole()
    for list_name, elements in data.items():
        if list_name == "looked":
            yield from (("looked", name) for name in LISTS)
            continue
        for name, facts in elements.items():
            if list_name in ("openings", "outside things", "vent connectors", "walls"):
                yield (list_name, name)
            yield from ((list_name, name, fact) for fact in facts)


BEFORE = verdicts(whole())


def test_the_site_has_every_verdict() -> None:
    assert {"met", "not met", "does not apply", "not recorded"} <= set(BEFORE.values())
    assert sum(verdict == "not met" for verdict in BEFORE.values()) > 8


@pytest.mark.parametrize("path", list(removals()), ids=" ".join)
def test_taking_something_out_turns_no_verdict_over(path: tuple[str, ...]) -> None:
    data = copy.deepcopy(whole())
    if path[0] == "looked":
        data["looked"] = [said for said in data["looked"] if said["list"] != path[1]]
    elif len(path) == 2:
        del data[path[0]][path[1]]
        data["looked"] = [said for said in data["looked"] if said["list"] != path[0]]
    else:
        del data[path[0]][path[1]][path[2]]
    turned = {
        key: (BEFORE[key], verdict) for key, verdict in verdicts(data).items()
        if key in BEFORE and verdict not in (BEFORE[key], "not recorded")
    }
    assert not turned
