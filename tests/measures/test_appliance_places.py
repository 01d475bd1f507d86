"""Rooms beside an appliance's room; and taking anything out leaves each verdict as it was or makes it 'not recorded'."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
KINDS = ("appliance", "appliance_place", "heat_clearance", "access_way", "condensate_drain", "carbon_monoxide_alarm",
         "space", "building")
NAMES = ("appliances-by-their-sheets", "access-", "garage-", "prohibited", "condensate", "heat-clearance", "protection",
         "attic", "service-space", "unvented", "hung-", "range-top", "outdoor-base", "co-alarm", "plastic-joints")
RULES = [
    rule for book in ("ifgc 2021", "irc 2021") for rule in RuleSet(Library().folded(book)).rules()
    if rule.each in KINDS and rule.id.partition(".")[2].startswith(NAMES)
]
LISTS = ("openings", "spaces", "appliances", "heat clearances", "access ways", "condensate drains", "vents",
         "carbon monoxide alarms", "walls")
SITE = """
permit: {occupancy: one family, work: new}
still to come: {walls: none, ceiling: none, floor: none}
measured to: finished face
levels: {ground: {floor: 6 in}, upper: {floor: 10 ft}}
spaces:
  garage: {level: ground, use: garage, attached: yes, ceiling: 9 ft, outline: ["0 ft, 0 ft", "20 ft, 0 ft", "20 ft, 20 ft", "0 ft, 20 ft"]}
  plant: {level: ground, use: mechanical, ceiling: 9 ft, outline: ["20 ft, 0 ft", "26 ft, 0 ft", "26 ft, 20 ft", "20 ft, 20 ft"]}
  bed: {level: ground, use: bedroom, ceiling: 9 ft, outline: ["26 ft, 0 ft", "40 ft, 0 ft", "40 ft, 20 ft", "26 ft, 20 ft"]}
  store: {level: ground, use: storage, ceiling: 9 ft, outline: ["26 ft, 20 ft", "40 ft, 20 ft", "40 ft, 30 ft", "26 ft, 30 ft"]}
  loft: {level: upper, use: attic, ceiling: 4 ft, outline: ["100 ft, 0 ft", "110 ft, 0 ft", "110 ft, 10 ft", "100 ft, 10 ft"]}
openings:
  D-1: {wall: garage.east, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
  W-1: {wall: plant.north, at: 1 ft, width: 2 ft, sill: 4 ft, high: 2 ft, what: window}
  D-2: {wall: bed.north, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
  D-3: {wall: bed.east, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
appliances:
  WH: {space: plant, what: water heater, fuel: natural gas, input: "40,000 Btu/h", draft: natural draft, category: I, ignition: 6 in, bottom: 2 in,
    vapour resistant: no}
  UH: {space: garage, what: unit heater, fuel: natural gas, input: "45,000 Btu/h", draft: mechanical draft, category: III, bottom: 5 ft,
    guarded: none, hung from: structure, over vehicles: 2 ft, clearance below: 1 ft}
  RH: {space: bed, what: room heater, fuel: natural gas, input: "11,000 Btu/h", draft: unvented, category: none, oxygen shutoff: yes, only heat: no,
    own enclosure: no}
  ST: {space: store, what: furnace, fuel: natural gas, input: "60,000 Btu/h", draft: fan assisted, category: I, own enclosure: no}
  FU: {space: loft, what: furnace, fuel: natural gas, input: "60,000 Btu/h", draft: direct vent, category: IV}
vents:
  V-1: {serves: [FU], material: PVC}
heat clearances:
  HC-1: {appliance: WH, side: rear, distance: 1 in, listed: 2 in, protection: none}
  HC-2: {appliance: UH, side: above, distance: 3 in, listed: none, needed: 6 in, protection: sheet metal, air gap: 1/2 in, gap open: yes,
    spacers: noncombustible}
access ways:
  AW-1: {appliances: [FU], into: attic, opening width: 20 in, opening high: 28 in, width: 22 in, high: 30 in, length: 12 ft, floor: none,
    removable: no, fits: yes, space deep: 30 in, space wide: 24 in, light: yes, switch: elsewhere, outlet: no}
condensate drains:
  CD-1: {appliances: [FU], to: vent stack, material: copper, size: 1/2 in, connection: 3/4 in, slope: 1/4 in per ft, overflow: none}
carbon monoxide alarms:
  CO-1: {space: store, bedrooms: [bed], listed: UL 2034, power: battery, joined: yes}
"""


def whole() -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(SITE, Loader=yaml.BaseLoader)
    data["looked"] = [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in LISTS]
    return data


def view_of(data: dict[str, Any]) -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def beside(data: dict[str, Any], name: str) -> tuple[set[str], bool, Any]:
    """(rooms beside the room of an appliance, whether there may be more, whether a door leads outdoors)."""
    (place,) = [one for one in view_of(data).of("appliance_place") if one.id == name]
    found, out = place.value("neighbours"), place.value("leads_out")
    assert isinstance(found, Members)
    return {one.id for one in found.sure}, found.open, "unknown" if isinstance(out, Unknown) else out


# Read off the drawing: D-1 joins garage and plant, D-2 bedroom and storeroom, D-3 leads from the bedroom outdoors; a
# window joins nothing.
@pytest.mark.parametrize(("appliance", "expected"), [
    ("WH", ({"garage"}, False, False)), ("UH", ({"plant"}, False, False)), ("RH", ({"store"}, False, True)),
    ("ST", ({"bed"}, False, False)),
])
def test_rooms_beside_by_the_plan(appliance: str, expected: tuple[set[str], bool, bool]) -> None:
    assert beside(whole(), appliance) == expected


def test_an_opening_nobody_named_may_be_a_door() -> None:
    data = whole()
    del data["openings"]["D-1"]["what"]
    assert beside(data, "WH") == (set(), True, "unknown")


def test_openings_not_whole_leave_it_open() -> None:
    data = whole()
    data["looked"] = [said for said in data["looked"] if said["list"] != "openings"]
    assert beside(data, "ST") == ({"bed"}, True, "unknown")
    assert beside(data, "RH") == ({"store"}, True, True)


def verdicts(data: dict[str, Any]) -> dict[tuple[str, str], str]:
    """Verdict by rule (with item) and element."""
    view = view_of(data)
    return {
        (one.name, subject.id): one.verdict
        for rule in RULES for subject in view.of(rule.each) for one in judge(rule, Env(subject, view.roots, {}))
    }


FULL = verdicts(whole())
ELSEWHERE = ("ceiling", "sill", "high", "width", "fits", "light", "listed", "to", "material", "outlet", "removable", "only heat")
"""Facts whose removal other tests try, or that one comparison reads as it stands."""


def test_the_site_turns_most_of_the_rules() -> None:
    assert set(FULL.values()) == {"met", "not met", "does not apply", "not recorded"}
    turned = {name for (name, _), one in FULL.items() if one == "not met"}
    assert {"ifgc.garage-ignition", "ifgc.prohibited-room", "ifgc.prohibited-room-beside", "ifgc.condensate-material",
            "ifgc.heat-clearance", "irc.co-alarm-power"} <= {name.removesuffix(".main") for name in turned}


def smaller() -> Iterator[tuple[str, dict[str, Any]]]:
    """The site with one fact, one element or one statement taken out (with an element its list is no longer whole)."""
    data = whole()
    for name, entries in data.items():
        if name == "looked":
            for at, said in enumerate(entries):
                less = copy.deepcopy(data)
                less["looked"].pop(at)
                yield f"looked {said['list']}", less
        elif isinstance(entries, dict) and name not in ("permit", "still to come"):
            for entry, facts in entries.items():
                less = copy.deepcopy(data)
                less[name].pop(entry)
                less["looked"] = [said for said in less["looked"] if said["list"] != name]
                if name not in ("levels", "spaces", "appliances"):
                    yield f"{name} {entry}", less
                for fact in facts:
                    if fact in ELSEWHERE:
                        continue
                    less = copy.deepcopy(data)
                    less[name][entry].pop(fact)
                    yield f"{name} {entry} {fact}", less


@pytest.mark.parametrize(("what", "less"), list(smaller()), ids=lambda one: one if isinstance(one, str) else "")
def test_less_written_turns_no_verdict_into_another(what: str, less: dict[str, Any]) -> None:
    now = verdicts(less)
    turned = {key: (FULL[key], one) for key, one in now.items() if key in FULL and one not in (FULL[key], "not recorded")}
    assert not turned
