"""Holes, boxes, doors and walls on whole sites: taking anything out turns no verdict over."""

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
RULES = [rule for rule in RuleSet(Library().folded("irc 2021")).rules() if rule.trade in ("fire", "energy", "envelope")]
LISTS = (
    "openings",
    "penetrations",
    "membrane boxes",
    "spaces",
    "walls",
    "concealed spaces",
    "fireblocks",
    "garage ceilings",
    "chimneys",
)
FREE = ("openings", "penetrations", "membrane boxes", "walls", "fireblocks", "garage ceilings", "chimneys")
"""Lists whose elements nothing refers to by name, or only by a wall's side."""
NAMED = ("W-g",)
"""Elements of those lists that another one refers to by name."""

HOUSE = """
permit: {occupancy: two family}
described: {rated walls: yes, fire sprinklers: none}
spaces:
  garage: {use: garage, size: 22 ft x 24 ft, corner: "0 ft, 0 ft", ceiling: 9 ft, heated: no}
  hall: {use: hall, size: 18 ft x 6 ft, corner: "22 ft 6 in, 0 ft", ceiling: 8 ft, heated: yes}
  bed: {use: bedroom, size: 18 ft x 17 ft, corner: "22 ft 6 in, 6 ft 6 in", ceiling: 8 ft, heated: yes}
walls:
  W-g: {sides: [garage.east, hall.west], exterior: no, framing: 2x6, rating: none, garage board: 1/2 in}
  W-b: {sides: [garage.east, bed.west], exterior: no, framing: 2x6, rating: none, garage board: none}
  W-p: {sides: [hall.north, bed.south], exterior: no, framing: 2x4, rating: 1 h, rated for: dwelling units}
  W-n: {sides: [bed.north], exterior: yes, framing: 2x6, rating: 1 h, rated for: lot line, both faces: no,
    lot line: 4 ft}
  W-s: {sides: [garage.south], exterior: yes, framing: 2x6, rating: none, lot line: 20 ft, to dwelling: 2 ft 6 in,
    garage board: none}
openings:
  D-1: {wall: hall.west, at: 2 ft, width: 3 ft, high: 80 in, sill: 0 in, what: door, leaf: hollow core,
    closes itself: no}
  D-2: {wall: garage.east, at: 4 ft, width: 3 ft, high: 80 in, sill: 0 in, what: door, leaf: solid wood,
    thickness: 1-3/8 in, closes itself: yes, other side: bed.west}
  W-1: {wall: bed.north, at: 3 ft, width: 6 ft, high: 5 ft, sill: 3 ft, what: window}
penetrations:
  P-1: {wall: bed.north, at: 4 ft, member: top plate, carries: cable, hole: 3/4 in, item: 1/2 in,
    fill: fireblock caulk,
    listed for: fireblocking, widest fill: 1/2 in, envelope: yes, air seal: caulk}
  P-2: {wall: hall.north, at: 3 ft, member: rated wall, carries: plastic pipe, hole: 2-3/4 in, item: 2-3/8 in,
    gap: 5/16 in,
    fill: firestop sealant, listed system: A-1, f rating: 30 min, sheet gap least: 0 in, sheet gap most: 1/4 in,
    sheet item most: 2-3/8 in, depth: 5/8 in, sheet depth: 5/8 in, envelope: no}
  P-3: {wall: bed.north, at: 9 ft, member: exterior skin, carries: copper pipe, items: 1, hole: 1 in, item: 7/8 in,
    fill: window foam, fill tested: no, full thickness: no, listed system: none, air seal: none, weather seal: none}
  P-4: {assembly: W-g, member: wall, carries: flexible duct, hole: 6 in, item: 6 in, fill: window foam,
    opens into garage: yes, air seal: tape}
  P-5: {space: hall, member: floor, rating: 1 h, carries: nothing, hole: 2 in, fill: none, listed system: none,
    envelope: no}
membrane boxes:
  B-1: {wall: hall.north, at: 6 ft, material: steel, listed: no, area: 16 in2, gap: 1/8 in, protection: none}
  B-2: {wall: bed.south, at: 11 ft, material: plastic, listed: no, area: 18 in2, gap: 1/4 in, protection: none}
concealed spaces:
  S-1: {wall: bed.north, what: furred wall, length: 18 ft, floor levels: 2, plates: no}
  S-2: {what: soffit, joints: 2, behind: open studs}
  S-3: {what: stair stringers}
fireblocks:
  F-1: {space: S-1, place: upright in the run, along: 7 ft, material: lumber, thickness: 1 in}
  F-2: {space: S-2, place: joint, material: glass fiber, faced: yes, fill height: 14 in, whole section: no,
    retained: no}
  F-3: {space: S-3, place: top of stair run, material: foam, listed for: neither}
garage ceilings:
  GC: {space: garage, above: habitable rooms, board: 1/2 in, board type: regular, structure board: none, hatch: other}
chimneys:
  C-1: {what: masonry chimney, crosses: ceiling, outside: no, clearance: 1 in, liner for contact: no,
    in masonry wall: no,
    spacer: foam, filled: yes}
  C-2: {what: factory-built chimney, crosses: floor, clearance: 2 in, clearance listed: 2 in, spacer: listed spacer}
"""

SHED = """
permit: {occupancy: accessory}
described: {rated walls: none, fire sprinklers: none}
levels: {ground: {floor: 6 in}}
spaces:
  garage: {level: ground, use: garage, size: 22 ft x 24 ft, corner: "0 ft, 0 ft", ceiling: 9 ft, heated: no}
  studio: {level: ground, use: workshop, size: 18 ft x 17 ft, corner: "22 ft 6 in, 0 ft", ceiling: 8 ft, heated: yes}
walls:
  W-g: {sides: [garage.east, studio.west], exterior: no, framing: 2x6, rating: none, garage board: none}
  W-n: {sides: [studio.north], exterior: yes, framing: 2x6, rating: none, lot line: none}
openings:
  D-1: {wall: studio.west, at: 2 ft, width: 3 ft, high: 80 in, sill: 0 in, what: door, leaf: hollow core}
  W-1: {wall: studio.east, at: 2 ft, width: 3 ft, what: window}
penetrations:
  P-1: {wall: studio.north, at: 4 ft, member: wall, carries: cable, hole: 3/4 in, item: 1/2 in, fill: none,
    air seal: none}
  P-2: {wall: studio.west, at: 4 ft, member: sole plate, over slab: yes, carries: PEX, fill: none, envelope: no}
  P-3: {wall: studio.west, at: 5 ft, member: top plate, carries: PEX, fill: none, envelope: yes, air seal: none}
"""
SITES = {"house": HOUSE, "shed": SHED}


def whole(name: str) -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(SITES[name], Loader=yaml.BaseLoader)
    data["looked"] = [{"list": one, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for one in LISTS]
    return data


def verdicts(data: dict[str, Any]) -> dict[tuple[str, str], str]:
    """Verdict by rule (with item) and element."""
    view = SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)
    return {
        (one.name, subject.id): one.verdict
        for rule in RULES
        for subject in view.of(rule.each)
        for one in judge(rule, Env(subject, view.roots, {}))
    }


def removals() -> Iterator[tuple[str, ...]]:
    """Every fact, every element nothing refers to, every statement, every described system."""
    for name in SITES:
        for list_name, elements in whole(name).items():
            if list_name == "looked":
                yield from ((name, "looked", one) for one in LISTS)
            elif list_name in ("permit", "described"):
                yield from ((name, list_name, fact) for fact in elements)
            else:
                for element, facts in elements.items():
                    if list_name in FREE and element not in NAMED:
                        yield (name, list_name, element)
                    yield from ((name, list_name, element, fact) for fact in facts)


BEFORE = {name: verdicts(whole(name)) for name in SITES}


def test_the_sites_have_every_verdict() -> None:
    house = list(BEFORE["house"].values())
    assert {"met", "not met", "does not apply", "not recorded"} <= set(house)
    assert house.count("not met") > 30


def test_a_shed_with_nothing_rated_is_asked_nothing_about_firestops() -> None:
    firestop = {verdict for (rule, _), verdict in BEFORE["shed"].items() if rule.startswith("irc.hole-firestop")}
    assert firestop == {"does not apply"}
    assert BEFORE["shed"]["irc.hole-fireblock.closed", "P-3"] == "not met"
    assert BEFORE["shed"]["irc.hole-fireblock.closed", "P-2"] == "met"
    assert BEFORE["shed"]["irc.garage-hole.not_open", "P-2"] == "does not apply"


def test_a_window_with_no_room_behind_it_on_the_plan_leads_outdoors() -> None:
    assert BEFORE["shed"]["irc.garage-bedroom", "W-1"] == "does not apply"
    assert BEFORE["shed"]["irc.garage-bedroom", "D-1"] == "met"


def test_the_one_room_there_is_opens_outdoors() -> None:
    shop = """
permit: {occupancy: accessory}
spaces: {shop: {use: workshop, size: 20 ft x 16 ft, ceiling: 9 ft}}
openings: {D-1: {wall: shop.south, at: 3 ft, width: 3 ft, what: door}}
"""
    whole_spaces = "looked: [{list: spaces, whole: yes, by: A.B., day: 2026-06-01}]"
    assert verdicts(yaml.safe_load(shop))["irc.garage-bedroom", "D-1"] == "not recorded"
    assert verdicts(yaml.safe_load(shop + whole_spaces))["irc.garage-bedroom", "D-1"] == "does not apply"


def test_a_vehicle_door_with_no_room_of_any_storey_behind_it_leads_outdoors() -> None:
    site = """
permit: {occupancy: one family}
spaces:
  garage: {use: garage, size: 22 ft x 24 ft, corner: "0 ft, 0 ft"}
  hall: {use: hall, size: 18 ft x 24 ft, corner: "22 ft 6 in, 0 ft"}
openings:
  O-1: {wall: garage.south, at: 2 ft, width: 16 ft, what: garage door}
  O-2: {wall: garage.east, at: 2 ft, width: 3 ft, what: door}
looked: [{list: spaces, whole: yes, by: A.B., day: 2026-06-01}]
"""
    found = verdicts(yaml.safe_load(site))
    assert found["irc.garage-door.closer", "O-1"] == "does not apply"
    assert found["irc.garage-door.closer", "O-2"] == "not recorded", "the storey of the hall is not recorded"


@pytest.mark.parametrize("path", list(removals()), ids=" ".join)
def test_taking_something_out_turns_no_verdict_over(path: tuple[str, ...]) -> None:
    name, place, *rest = path
    data = copy.deepcopy(whole(name))
    if place == "looked":
        data["looked"] = [said for said in data["looked"] if said["list"] != rest[0]]
    elif len(rest) == 1:
        del data[place][rest[0]]
        data["looked"] = [said for said in data["looked"] if said["list"] != place]
    else:
        del data[place][rest[0]][rest[1]]
    turned = {
        key: (BEFORE[name][key], verdict)
        for key, verdict in verdicts(data).items()
        if key in BEFORE[name] and verdict not in (BEFORE[name][key], "not recorded")
    }
    assert not turned
