"""What a load calculation gathers: what its feeder feeds, through panels, and what may still be missing."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.loads import input_of, neutral_wire, welders_together
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE
from oktocover.reading.site_file import read_site_text

assert trades

WHOLE = [
    {"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"}
    for name in ("equipment", "receptacles", "feeders")
]
SITE: dict[str, Any] = {
    "panels": {"P-0": {"building": "another"}, "P-1": {}, "P-2": {}},
    "services": {"S-1": {"rating": "200 A", "volts": "240 V", "cable": "4/0-4/0-2/0-4 AL SER"}},
    "feeders": {
        "F-1": {"from": "P-0", "to": "P-1", "breaker": "100 A", "cable": "2-2-2-4 AL URD"},
        "F-2": {"from": "P-1", "to": "P-2"},
    },
    "circuits": {"E-0": {"panel": "P-0"}, "E-1": {"panel": "P-1"}, "E-2": {"panel": "P-2"}},
    "equipment": {
        "K-0": {"what": "kiln", "circuit": "E-0"},
        "K-1": {"what": "kiln", "circuit": "E-1", "load": "9.6 kW"},
        "H-2": {"what": "space heater", "circuit": "E-2", "count": "3"},
    },
    "receptacles": {"R-1": {"what": "5-20 duplex", "circuit": "E-1"}, "R-0": {"what": "5-20 duplex", "circuit": "E-0"}},
    "load calculations": {"L-1": {"of": "F-1"}, "L-0": {"of": "S-1"}},
    "looked": WHOLE,
}


def calculation(name: str = "L-1", **changes: Any) -> Subject:
    read = read_site_text(yaml.safe_dump({**SITE, **changes}, sort_keys=False))
    return SiteView(read.site).elements[name]


def fed(calculation: Subject, name: str = "machines") -> list[str]:
    found = calculation.value(name)
    assert isinstance(found, Members)
    return [one.id for one in found.sure]


def test_a_feeder_feeds_what_is_behind_its_panel_and_the_panels_after_it() -> None:
    found = calculation()
    assert fed(found) == ["K-1", "H-2", "H-2", "H-2"]
    assert not found.value("machines").open
    assert fed(found, "outlets") == ["R-1"]


def test_a_service_feeds_all() -> None:
    found = calculation("L-0")
    assert fed(found) == ["K-0", "K-1", "H-2", "H-2", "H-2"]
    assert (found.value("supply"), found.value("supply_rating")) == ("service", 200)
    assert found.value("supply_runs").sure[0].value("what") == "4/0-4/0-2/0-4 AL SER"


@pytest.mark.parametrize("without", ["equipment", "feeders"])
def test_while_a_list_is_open_there_may_be_more(without: str) -> None:
    found = calculation(looked=[one for one in WHOLE if one["list"] != without])
    assert found.value("machines").open
    assert f"whole list of {without}" in [one.fact for one in found.value("machines").missing]


def test_a_machine_on_no_circuit_may_be_fed_by_it() -> None:
    loose = {**SITE["equipment"], "X-1": {"what": "kiln"}}
    found = calculation(equipment=loose).value("machines")
    assert found.open and [one.element for one in found.missing] == ["X-1"]


def test_how_many_alike_has_to_be_a_figure() -> None:
    many = {**SITE["equipment"], "H-2": {"what": "space heater", "circuit": "E-2", "count": "at least 3"}}
    assert calculation(equipment=many).value("machines").open


def test_without_what_it_is_for_nothing_is_sure() -> None:
    found = calculation(**{"load calculations": {"L-1": {"method": "standard"}}})
    assert fed(found) == [] and found.value("machines").open
    assert isinstance(found.value("supply_rating"), Unknown)


def test_named_machines_are_those_it_counts() -> None:
    assert fed(calculation(**{"load calculations": {"L-1": {"of": "F-1", "machines": ["H-2"]}}})) == ["H-2"] * 3


def test_a_load_that_is_written_is_the_input() -> None:
    (kiln,) = [one for one in calculation().value("machines").sure if one.id == "K-1"]
    assert kiln.value("input") == 9600


def test_else_the_input_is_current_times_voltage() -> None:
    worked = input_of(48, 240)
    assert worked.value == 11_520
    assert (worked.steps[0].how, worked.steps[0].result) == ("48 A x 240 V", "11,520 VA")


@pytest.mark.parametrize(
    ("what", "size"),
    [("2-2-4-6 AL SER", "4 AWG"), ("4-4-6 SEU", "6 AWG"), ("3 x 1 THHN CU", "1 AWG"), ("12-2 NM-B", None)],
)
def test_the_neutral_is_the_third_conductor(what: str, size: str | None) -> None:
    found = neutral_wire(what)
    assert (None if found is None else WIRE[found]) == size


def test_the_last_share_is_for_all_that_follow() -> None:
    group = [Subject("equipment", f"W-{n}", {"effective_amps": 10}) for n in range(4)]
    assert welders_together(Subject("load_calculation", "L-1"), group, shares=(1, Fraction(1, 2))).value == 25
    assert welders_together(Subject("load_calculation", "L-1"), [], shares=(1,)).value == 0
