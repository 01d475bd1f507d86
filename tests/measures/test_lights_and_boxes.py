"""Lights, switches, boxes and branch circuits: what is worked out of them, and that nothing is guessed."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.data import data_dir
from oktocover.findings.finding import Missing
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.form import Rule
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
SITE = """
permit: {occupancy: one family, work: alteration}
measured to: finished face
described: {electrical: yes}
spaces:
  bedroom: {use: bedroom, habitable: yes, finished: yes}
  hall: {use: hall, habitable: no}
  stairs: {use: stairs, habitable: no, risers: 13}
  bath: {use: bathroom, habitable: no}
  closet: {use: closet, habitable: no}
  attic: {use: attic, serviced: yes}
  laundry: {use: laundry, habitable: no}
panels: {P-1: {main: 100 A}}
circuits:
  E-1: {breaker: 15 A, volts: 120 V, purpose: general, afci: yes, extended: 9 ft, new outlets: yes, cable: 14-2 NM-B, whole: yes,
    chain: [P-1, S-1, L-1, S-2, S-3]}
  E-2: {breaker: 20 A, volts: 120 V, purpose: general, multiwire: yes, handle tie: yes, poles: 1, cable: 12-3 NM-B, whole: yes, chain: [P-1, R-1]}
  E-3: {breaker: 50 A, volts: 240 V, purpose: one appliance, poles: 2, other outlets: none, cable: 6-3 NM-B, whole: yes, chain: [P-1, R-2]}
  E-4: {breaker: 20 A, volts: 120 V, purpose: bathrooms, cable: 12-2 NM-B, whole: yes, chain: [P-1, R-3]}
  E-5: {breaker: 30 A, volts: 240 V, purpose: one appliance, poles: 2, other outlets: none, cable: 10-2 NM-B, whole: yes, chain: [P-1, WH-1]}
  E-6: {breaker: 15 A, volts: 120 V, purpose: general, other outlets: lights, cable: 14-2 NM-B}
switches:
  S-1: {space: bedroom, box: B-1, controls: [L-1, R-1], what: dimmer, height: 48 in, location: dry}
  S-2: {space: stairs, box: B-2, stair: top, controls: [L-3], height: 48 in}
  S-3: {space: bath, box: B-3, controls: [L-4], tub space: no, height: 80 in, neutral: no, without neutral: none}
lights:
  L-1: {space: bedroom, box: B-4, fixed to: box, what: chandelier, weight: 60 lb, location: dry}
  L-3: {space: stairs, what: surface, fixed to: framing, cable end: hanging, control: none}
  L-4: {space: bath, what: pendant, to tub: 2 ft, above tub: 7 ft, over tub: yes, suitable for: dry, fixed to: framing, box: B-5}
  L-5: {wall: closet.north, what: surface, lamp: LED, to storage: 6 in, for storage: no, fixed to: box, box: B-6, weight: 3 lb}
  L-6: {space: attic, what: recessed, ic: no, in insulation: yes, to insulation: 2 in, to wood: 1/4 in, fixed to: its own wiring box,
    wires through: yes, marked through: no, control: unit switch, circuit: E-6}
receptacles:
  R-1: {space: bedroom, what: 5-20 duplex, serves: switched light, box: B-7}
  R-2: {space: laundry, what: 14-50, serves: equipment, box: B-8}
  R-3: {space: bath, what: 5-20 duplex, serves: general, to tub: 2 ft, above tub: 3 ft, tub space: no, box: B-9, mount: wall}
equipment:
  WH-1: {space: laundry, what: water heater, connected: wired, amps: 18.75 A, fixed: yes, circuit: E-5}
  FAN-1: {space: bedroom, what: paddle fan, hung from: box, box: B-4, weight: 40 lb, connected: wired, fixed: yes}
  RG-1: {space: laundry, what: range, load: 12 kW, connected: cord and plug, receptacle: R-2, cord runs: in sight, fixed: no, amps: 40 A}
  FU-1: {space: attic, what: furnace, service outlet: 30 ft, circuit: E-6}
boxes:
  B-1: {space: bedroom, what: device, setback: 1/2 in, face: combustible, fixed: nailed, free conductor: 5 in, past face: 2 in, openings closed: yes}
  B-2: {space: stairs, what: device, setback: 0 in, fixed: nailed, free conductor: 6 in, past face: 3 in, openings closed: no}
  B-3: {space: bath, what: device}
  B-4: {space: bedroom, what: octagon, listed for: luminaires, holds: 50 lb, fan fits: yes, on framing: no, fan may come: yes}
  B-5: {space: bath, what: octagon}
  B-6: {wall: closet.north, what: octagon, listed for: devices}
  B-7: {space: bedroom, what: device}
  B-8: {space: laundry, what: square}
  B-9: {space: bath, what: device}
  J-1: {space: hall, what: square, accessible: no, cover: none, fixed: cables only}
looked:
  - {list: spaces, whole: yes, by: M.K., day: 2026-05-03}
  - {list: lights, whole: yes, by: M.K., day: 2026-05-03}
  - {list: switches, whole: yes, by: M.K., day: 2026-05-03}
  - {list: receptacles, whole: yes, by: M.K., day: 2026-05-03}
  - {list: equipment, whole: yes, by: M.K., day: 2026-05-03}
  - {list: disconnects, whole: yes, by: M.K., day: 2026-05-03}
  - {list: circuits, whole: yes, by: M.K., day: 2026-05-03}
  - {list: cables, whole: yes, by: M.K., day: 2026-05-03}
"""
TOPICS = ("lighting", "luminaires", "box-setting", "switches", "branch-circuits", "appliance-circuits")
EDITIONS = ("nec 2017", "nec 2020", "nec 2023")


def plain(text: str = SITE) -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)
    return found


def view(data: dict[str, Any]) -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


@cache
def rules(edition: str) -> tuple[Rule, ...]:
    """The rules of these topics in one edition."""
    folder = data_dir("rulesets") / "nec"
    names = {
        f"nec.{name}"
        for topic in TOPICS
        for path in folder.glob(f"*/electrical/{topic}.yaml")
        for name in plain(path.read_text(encoding="utf-8")).get("rules") or {}
    }
    return tuple(rule for rule in RuleSet(Library().folded(edition)).rules() if rule.id in names)


def verdicts(data: dict[str, Any], *editions: str) -> dict[tuple[str, str, str], str]:
    """Verdicts by edition, rule with item, and element."""
    made = view(data)
    return {
        (edition, one.name, subject.id): one.verdict
        for edition in editions
        for rule in rules(edition)
        for subject in made.of(rule.each)
        for one in judge(rule, Env(subject, made.roots, {}))
    }


AT_ONCE = 6
"""Facts taken out together: of different elements, so that a site is made anew for every sixth only."""


def less(data: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The site with some facts, one statement or the occupancy less, until each of them was out once.

    A list of which a statement is taken out is open again, also in the circuits that say they are whole.
    """
    facts = [
        (name, element, fact)
        for name in ("spaces", "circuits", "switches", "lights", "receptacles", "equipment", "boxes")
        for element, said in data[name].items()
        for fact in said
        if fact not in ("chain", "whole")
    ]
    step = -(-len(facts) // AT_ONCE)
    for first in range(step):
        made = copy.deepcopy(data)
        out = facts[first::step]
        for name, element, fact in out:
            del made[name][element][fact]
        yield ", ".join(f"{element} {fact}" for _, element, fact in out), made
    for place, said in enumerate(data["looked"]):
        made = copy.deepcopy(data)
        del made["looked"][place]
        for circuit in made["circuits"].values():
            circuit.pop("whole", None)
        yield f"whole {said['list']}", made
    made = copy.deepcopy(data)
    del made["permit"]["occupancy"]
    yield "occupancy", made


def test_leaving_something_out_turns_no_verdict() -> None:
    """Each verdict that is still asked for stays, or becomes 'not recorded'."""
    data = plain()
    whole = verdicts(data, *EDITIONS)
    assert {"met", "not met", "does not apply"} <= set(whole.values())
    for what, fewer in less(data):
        for key, verdict in verdicts(fewer, *EDITIONS).items():
            assert verdict in (whole.get(key, verdict), "not recorded"), (what, key, whole[key], verdict)


def test_the_site_is_written_up_as_it_stands() -> None:
    """One finding for each thing that was built in wrong, worked out by reading the site above."""
    found = verdicts(plain(), "nec 2017")
    wrong = {(name, element) for (_, name, element), verdict in found.items() if verdict == "not met"}
    assert wrong == {
        ("nec.passage-light", "hall"),
        ("nec.stair-switches.below", "stairs"),
        ("nec.luminaire-cable", "L-3"),
        ("nec.luminaire-weight", "L-1"),
        ("nec.luminaire-tub", "L-4"),
        ("nec.luminaire-place.tub", "L-4"),
        ("nec.closet-light.apart", "L-5"),
        ("nec.recessed-insulation", "L-6"),
        ("nec.recessed-wood", "L-6"),
        ("nec.luminaire-through", "L-6"),
        ("nec.fan-box.listed", "FAN-1"),
        ("nec.fan-ready-box", "B-4"),
        ("nec.dimmer-receptacle", "R-1"),
        ("nec.switch-neutral", "S-3"),
        ("nec.switch-height", "S-3"),
        ("nec.box-flush", "B-1"),
        ("nec.box-openings", "B-2"),
        ("nec.box-reach", "J-1"),
        ("nec.box-cover", "J-1"),
        ("nec.box-fixed", "J-1"),
        ("nec.free-conductor.from_sheath", "B-1"),
        ("nec.free-conductor.past_the_face", "B-1"),
        ("nec.heating-circuit.own", "FU-1"),
        ("nec.heating-circuit.alone", "FU-1"),
        ("nec.service-outlet.near", "FU-1"),
    }


# rooms and what is in them


def test_a_room_has_its_lights_and_switches() -> None:
    found = {one.id: one for one in view(plain()).of("room_lights")}
    bedroom = found["bedroom"]
    assert [one.id for one in members(bedroom, "lights").sure] == ["L-1"]
    assert [one.id for one in members(bedroom, "switches").sure] == ["S-1"]
    assert [one.id for one in members(bedroom, "outlets").sure] == ["R-1"]
    assert not members(bedroom, "lights").open
    assert [one.id for one in members(found["closet"], "lights").sure] == ["L-5"]


def test_a_light_of_no_known_room_may_be_in_any() -> None:
    data = plain()
    del data["lights"]["L-3"]["space"]
    found = {one.id: one for one in view(data).of("room_lights")}
    lights = members(found["hall"], "lights")
    assert lights.open and [missing.element for missing in lights.missing] == ["L-3"]


def test_rooms_are_asked_about_once_lights_are_written() -> None:
    data = plain()
    data["lights"], data["looked"] = {}, []
    for one in data["switches"].values():
        del one["controls"]
    data["circuits"]["E-1"]["chain"] = ["P-1", "S-1", "S-2", "S-3"]
    assert not view(data).of("room_lights")
    data["looked"] = [{"list": "lights", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}]
    assert len(view(data).of("room_lights")) == 7


def test_a_building_without_wiring_has_no_plan_of_lights() -> None:
    assert not view({"spaces": {"barn": {"use": "storage"}}}).of("lighting_plan")
    assert view({"described": {"electrical": "yes"}}).of("lighting_plan")
    assert view({"panels": {"P-1": {"main": "60 A"}}}).of("lighting_plan")
    assert not view({"described": {"electrical": "not sure"}, "panels": {"P-1": {}}}).of("lighting_plan")


# switches


@pytest.mark.parametrize(("chain", "wanted"), [
    (["P-1", "S-1", "L-1"], True),
    (["P-1", "L-1", "S-1"], None),
    (["P-1", "S-1", "S-2", "L-1"], True),
])
def test_a_neutral_is_where_a_light_is_fed_through(chain: list[str], wanted: bool | None) -> None:
    data = {
        "panels": {"P-1": {}},
        "circuits": {"E-1": {"volts": "120 V", "cable": "14-2 NM-B", "whole": "yes", "chain": chain}},
        "switches": {"S-1": {"box": "B-1"}, "S-2": {"box": "B-2"}},
        "lights": {"L-1": {"box": "B-3"}},
        "boxes": {"B-1": {}, "B-2": {}, "B-3": {}},
    }
    found = view(data).elements["S-1"].value("neutral_used")
    assert found is True if wanted else isinstance(found, Unknown)


def test_a_heater_between_two_hots_brings_no_neutral() -> None:
    data = {
        "panels": {"P-1": {}},
        "circuits": {"E-1": {"volts": "240 V", "cable": "12-2 NM-B", "whole": "yes", "chain": ["P-1", "S-1", "R-1"]}},
        "switches": {"S-1": {"box": "B-1"}},
        "receptacles": {"R-1": {"what": "6-20", "box": "B-2"}},
        "boxes": {"B-1": {}, "B-2": {}},
    }
    assert isinstance(view(data).elements["S-1"].value("neutral_used"), Unknown)


def test_what_is_recorded_of_a_neutral_goes_first() -> None:
    assert view(plain()).elements["S-3"].value("neutral_used") is False


# boxes


def test_a_box_with_nothing_on_it_is_a_junction() -> None:
    boxes = view(plain()).elements
    assert boxes["J-1"].value("junction") is True
    assert boxes["B-4"].value("junction") is False
    assert boxes["B-4"].value("overhead") is True


def test_a_device_without_a_box_may_be_on_it() -> None:
    data = plain()
    data["receptacles"]["R-9"] = {"space": "hall"}
    found = view(data).elements["J-1"].value("junction")
    assert isinstance(found, Unknown) and found.missing[0].fact == "box"
    data["receptacles"]["R-9"] = {"space": "attic"}
    assert view(data).elements["J-1"].value("junction") is True


@pytest.mark.parametrize(("list_name", "facts", "wanted"), [
    ("lights", {"fixed to": "its own wiring box"}, True),
    ("lights", {"fixed to": "framing"}, None),
    ("equipment", {"connected": "cord and plug"}, True),
    ("equipment", {"connected": "wired"}, None),
])
def test_what_has_no_box_of_its_own_is_on_none(list_name: str, facts: dict[str, str], wanted: bool | None) -> None:
    data = plain()
    data[list_name]["X-1"] = {"space": "hall", **facts}
    found = view(data).elements["J-1"].value("junction")
    assert isinstance(found, Unknown) if wanted is None else found is wanted


def test_a_box_is_where_its_device_is() -> None:
    data = plain()
    del data["boxes"]["B-7"]["space"]
    box = view(data).elements["B-7"]
    room = box.value("room")
    assert isinstance(room, Subject) and room.id == "bedroom"
    assert box.value("outdoors") is False


# circuits


@pytest.mark.parametrize(("circuit", "wanted"), [
    ({"cable": "12-2 NM-B"}, False),
    ({"cable": "12-3 NM-B"}, None),
    ({"cable": "12-3 NM-B", "multiwire": "no"}, False),
    ({"cable": "12-3 NM-B", "multiwire": "yes"}, True),
    ({}, None),
])
def test_two_wires_share_no_neutral(circuit: dict[str, str], wanted: bool | None) -> None:
    found = view({"circuits": {"E-1": circuit}}).elements["E-1"].value("shares_neutral")
    assert isinstance(found, Unknown) if wanted is None else found is wanted


def test_an_appliance_that_an_entry_of_equipment_names_is_asked_once() -> None:
    data = {
        "appliances": {"BO-1": {"what": "boiler"}, "WH-1": {"what": "water heater"}},
        "equipment": {"EB-1": {"what": "boiler", "appliance": "BO-1"}},
    }
    assert [one.id for one in view(data).of("serviced_machine")] == ["EB-1", "WH-1"]


def members(owner: Subject, name: str) -> Members:
    found = owner.value(name)
    assert isinstance(found, Members) and all(isinstance(one, Missing) for one in found.missing)
    return found
