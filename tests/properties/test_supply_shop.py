"""A shop with its own service: what its supply, raceways, machines and routes are asked for, and less sure for less written."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from sites import adopted_for, judged, verdicts
from test_absence import removals, take_out

from oktocover.findings.finding import Finding
from oktocover.reading.nodes import read_yaml_file

PATH = Path(__file__).with_name("supply_shop.yaml")


def shop() -> dict[str, Any]:
    written: Any = read_yaml_file(PATH, PATH.name).data
    return copy.deepcopy(written)


def findings(site: dict[str, Any]) -> dict[tuple[str, str], Finding]:
    return {(one.rule, one.element): one for one in judged(site, adopted_for(site, PATH.parent)).findings}


OURS = (
    "nec.service-d", "nec.service-c", "nec.service-n", "nec.service-r", "nec.service-g", "nec.main-bonding",
    "nec.intersystem", "nec.building", "nec.feeder-clearance", "nec.parallel",
    "nec.tap", "nec.electrode", "nec.water", "nec.ring", "nec.plate-", "nec.piping", "nec.panel", "nec.cable-place",
    "nec.attic", "nec.joist", "nec.air-space", "nec.groove", "nec.deck-cable", "nec.sun", "nec.cable-bend", "nec.armor",
    "nec.raceway-s", "nec.raceway-carried", "nec.raceway-kind", "nec.raceway-end", "nec.flexible", "nec.wet-wire",
    "nec.plastic", "nec.roof", "nec.buried", "nec.underground-seal",
    "nec.three-phase-motor", "nec.motors-on", "nec.motor-disconnect-rating", "nec.resistance", "nec.welder",
)  # fmt: skip
NOT_TOLD = {"nec.flexible-ground.small_breaker_ahead", "nec.raceway-end-bushing"}
"""What asks for all that is drawn into a raceway: of cable outside of raceways nobody wrote so here."""


def test_a_shop_that_is_right_has_nothing_not_met() -> None:
    found = {key: one for key, one in findings(shop()).items() if key[0].startswith(OURS)}
    assert [key for key, one in found.items() if one.verdict == "not met"] == []
    assert {key[0] for key, one in found.items() if one.verdict == "not recorded"} <= NOT_TOLD
    assert sum(one.verdict == "met" for one in found.values()) > 80


MISTAKES = {
    "seven handles": ("services/S-1/disconnects", "7", "nec.service-disconnects.motions", "7", "at most 6"),
    "two in one case": (
        "services/S-2/enclosures", "one for all", "nec.service-disconnects.apart_from_each_other", "one for all",
        "one for each",
    ),
    "through the building": (
        "services/S-1/disconnect", "inside farther in", "nec.service-disconnect-place.nearest", "inside farther in",
        "one of outside, inside at the entry",
    ),
    "a thin grounding wire": (
        "services/S-1/electrode conductor", "6 AWG", "nec.service-grounding-wire", "6 AWG", "at least 4 AWG",
    ),
    "a low drop": ("services/S-1/clearance", "11 ft 11 in", "nec.service-drop-clearance.above", "11 ft 11 in", "at least 12 ft"),
    "an ordinary locknut": (
        "services/S-1/raceway bond", "ordinary locknuts", "nec.service-raceway-bond.method", "ordinary locknuts",
        "one of bonding bushing, threaded hub, bonding locknut in a clean hole",
    ),
    "a panel guarded too high": ("panels/P-1/rating", "125 A", "nec.panel-rating", "200 A", "at most 125 A"),
    "a short plate": ("electrodes/G-3/area", "1.5 ft2", "nec.plate-electrode.large", "1.5 ft2", "at least 2 ft2"),
    "a thin bond of water pipe": ("metal piping/MP-1/conductor", "8 AWG", "nec.water-bond-size", "8 AWG", "at least 4 AWG"),
    "a sharp bend": ("cables/C-1/bend", "5 in", "nec.cable-bend", "5 in", "at least 5-1/4 in"),
    "in the damp": ("cables/C-3/location", "damp", "nec.cable-place", "damp", "dry"),
    "a weak riser": ("cables/C-7/riser", "PVC 40", "nec.buried-riser.strong_riser", "PVC 40", "one of RMC, IMC, PVC 80"),
    "a long whip": ("raceways/R-2/whip length", "3 ft 1 in", "nec.raceway-support.raceway_first", "24 in", "at most 12 in"),
    "no bushing": (
        "raceways/R-1/bushing", "none", "nec.raceway-end-bushing", "none",
        "one of insulating bushing, smooth insulated fitting",
    ),
    "a small switch": (
        "disconnects/D-2/motor", "3 hp", "nec.motor-disconnect-rating", "3 hp", "at least 5 hp",
    ),
    "a large breaker for a motor": (
        "circuits/E-2/breaker", "45 A", "nec.three-phase-motor.protection_three", "45 A", "at most 40 A",
    ),
    "a job of a longer duty": ("equipment/W-1/duty cycle", "2 %", "nec.welder-duty", "2 %", "at least 2.778 %"),
}  # fmt: skip


SHOWS_AT = {"D-2": "M-3", "E-2": "M-3"}
"""A switch and a circuit are asked about at the machine they serve."""


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_is_found_where_it_is(mistake: str) -> None:
    path, value, rule, measured, required = MISTAKES[mistake]
    listed, name, fact = path.split("/")
    site = shop()
    site[listed][name][fact] = value
    one = findings(site)[rule, SHOWS_AT.get(name, name)]
    assert (one.verdict, one.measured, one.required) == ("not met", measured, required)


BEFORE = verdicts(judged(shop(), adopted_for(shop(), PATH.parent)))


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_what_is_taken_out_leaves_a_verdict_or_makes_it_not_recorded(choice: st.DataObject) -> None:
    site = shop()
    taken = choice.draw(st.lists(st.sampled_from(removals(site)), min_size=1, max_size=4, unique=True))
    after = verdicts(judged(take_out(site, taken), adopted_for(site, PATH.parent)))
    for key, verdict in after.items():
        if key in BEFORE and verdict not in (BEFORE[key], "not recorded"):
            note(f"{key}: {BEFORE[key]} became {verdict} without {taken}")
        assert key not in BEFORE or verdict in (BEFORE[key], "not recorded")
