"""A small studio whose wiring is right: ready as it stands, one correction for one mistake, less sure for less written."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from sites import adopted_for, judged, verdicts
from test_absence import removals, take_out

from oktocover.findings.finding import Finding
from oktocover.reading.nodes import read_yaml_file

PATH = Path(__file__).with_name("kiln_studio.yaml")
OURS = (
    "nec.box",
    "nec.breaker",
    "nec.cable",
    "nec.equipment",
    "nec.hole",
    "nec.large",
    "nec.motor",
    "nec.single",
    "nec.welder",
)


def studio() -> dict[str, Any]:
    written: Any = read_yaml_file(PATH, PATH.name).data
    return copy.deepcopy(written)


def findings(site: dict[str, Any]) -> dict[tuple[str, str], Finding]:
    checked = judged(site, adopted_for(site, PATH.parent))
    return {(one.rule, one.element): one for one in checked.findings if one.rule.startswith(OURS)}


def test_nothing_is_open_in_a_building_that_is_right_and_written_whole() -> None:
    found = findings(studio())
    assert [key for key, one in found.items() if one.open] == []
    assert sum(one.verdict == "met" for one in found.values()) > 40


Change = Callable[[dict[str, Any]], None]


def put(path: str, value: str) -> Change:
    """Write a value at `list/element/fact`."""

    def do(site: dict[str, Any]) -> None:
        name, one, fact = path.split("/")
        site[name][one][fact] = value

    return do


MISTAKES: dict[str, tuple[Change, str, str, str, str]] = {
    "a shallow box": (put("boxes/B-2/volume", "17.9 in3"), "nec.box-fill", "B-2", "17.9 in3", "at least 18 in3"),
    "a thin cable to the kiln": (
        put("circuits/E-07/cable", "6-3 NM-B"), "nec.equipment-circuit.cable", "X-1", "55 A", "at least 60 A",
    ),
    "a small breaker for the kiln": (
        put("circuits/E-07/breaker", "50 A"), "nec.equipment-circuit.breaker", "X-1", "50 A", "at least 60 A",
    ),
    "a large breaker": (put("circuits/E-01/breaker", "30 A"), "nec.breaker-fits-cable", "E-01", "30 A", "at most 20 A"),
    "one thin piece": (
        put("circuits/E-01/chain", ["P-1", "R-1", "R-2", [{"R-3": "14-2 NM-B"}]]),  # type: ignore[arg-type]
        "nec.breaker-fits-cable", "E-01", "20 A", "at most 15 A",
    ),
    "a small receptacle for the kiln": (
        put("receptacles/R-9/what", "14-50"), "nec.single-receptacle-rating", "R-9", "50 A", "at least 60 A",
    ),
    "the welder among others": (
        put("circuits/E-08/purpose", "general"), "nec.breaker-fits-cable", "E-08", "50 A", "at most 30 A",
    ),
    "a welder too large for its cable": (
        put("equipment/X-2/effective amps", "31 A"), "nec.welder-circuit.by_plate", "X-2", "30 A", "at least 31 A",
    ),
    "a hole near the edge": (
        put("holes/H-studs/edge", "at most 1-3/16 in"), "nec.hole-edge", "H-studs", "at most 1-3/16 in", "at least 1-1/4 in",
    ),
    "a thin plate": (put("holes/H-plate/plate", "1/32 in"), "nec.hole-edge", "H-plate", "7/8 in", "at least 1-1/4 in"),
    "five cables in a sealed hole": (
        put("holes/H-plate/cables", "5"), "nec.cables-together", "E-01 to R-1", "20 A", "at most 20 A",
    ),
}  # fmt: skip


def test_a_welders_receptacle_of_50_a_on_a_cable_of_30_a_stands_by_its_own_article() -> None:
    """10 AWG behind 50 A: right for this welder of 20 A effective, and for no second receptacle beside it."""
    checked = judged(studio(), adopted_for(studio(), PATH.parent))
    found = {(one.rule, one.element): one for one in checked.findings}
    by_article = found["nec.breaker-fits-cable", "E-08"]
    assert (by_article.verdict, by_article.measured, by_article.required) == ("met", "50 A", "at most 30 A")
    assert "by its own article" in by_article.exception
    assert found["nec.welder-circuit.by_plate", "X-2"].verdict == "met"
    site = studio()
    site["circuits"]["E-08"]["chain"] = ["P-1", "R-8", "R-7"]
    site["receptacles"]["R-7"] = {**site["receptacles"]["R-8"], "at": "14 ft"}
    assert findings(site)["nec.breaker-fits-cable", "E-08"].verdict == "not met"


NOT_SURE = ("five cables in a sealed hole",)
"""Whether this cable is among the five nobody has written."""


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_is_found_where_it_is(mistake: str) -> None:
    change, rule, element, measured, required = MISTAKES[mistake]
    site = studio()
    change(site)
    one = findings(site)[rule, element]
    assert (one.measured, one.required) == (measured, required)
    assert one.open
    assert one.verdict == ("not recorded" if mistake in NOT_SURE else "not met")


def test_a_box_that_is_too_full_already_is_so_whatever_else_comes_into_it() -> None:
    site = studio()
    site["looked"] = [
        said for said in site["looked"] if said.get("list") not in ("circuits", "receptacles", "switches")
    ]
    site["circuits"]["E-01"].pop("whole")
    open_list = findings(site)["nec.box-fill", "B-2"]
    assert open_list.verdict == "not recorded"
    assert open_list.required.startswith("at least 18 in3")
    site["boxes"]["B-2"]["volume"] = "12.5 in3"
    assert findings(site)["nec.box-fill", "B-2"].verdict == "not met"


def test_a_volume_nobody_read_is_asked_for_at_the_typical() -> None:
    site = studio()
    del site["typicals"]["box-1"]["volume"]
    one = findings(site)["nec.box-fill", "B-1"]
    assert one.verdict == "not recorded"
    assert [(missing.fact, missing.found_by) for missing in one.missing] == [("volume", "plate")]


BEFORE = verdicts(judged(studio(), adopted_for(studio(), PATH.parent)))


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_what_is_taken_out_leaves_a_verdict_or_makes_it_not_recorded(choice: st.DataObject) -> None:
    site = studio()
    taken = choice.draw(st.lists(st.sampled_from(removals(site)), min_size=1, max_size=4, unique=True))
    after = verdicts(judged(take_out(site, taken), adopted_for(site, PATH.parent)))
    for key, verdict in after.items():
        if key in BEFORE and verdict not in (BEFORE[key], "not recorded"):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {BEFORE[key]} became {verdict} after taking out {taken}")
