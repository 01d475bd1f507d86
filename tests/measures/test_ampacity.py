"""The conductors of a circuit and what it feeds: whole where somebody said so, open where nobody did."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.findings.finding import Step
from oktocover.measures.ampacity import current_of, type_of, wire_of
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown, Worked
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE
from oktocover.reading.site_file import read_site_text

assert trades


@pytest.mark.parametrize(
    ("what", "size", "of"),
    [
        ("12-2 NM-B", "12 AWG", "NM-B"),
        ("2-2-2-4 AL SER", "2 AWG", "SER"),
        ("3 x 10 THWN-2 CU, 10 ground", "10 AWG", "THWN-2"),
        ("1/0-1/0-1/0-2 AL URD", "1/0 AWG", "URD"),
    ],
)
def test_size_and_type_are_those_of_the_designation(what: str, size: str, of: str) -> None:
    assert (WIRE[int(wire_of(what))], type_of(what)) == (size, of)


def test_the_current_of_a_load_shows_its_division() -> None:
    found = current_of(9600, 240, "1")
    assert isinstance(found, Worked)
    assert found.value == 40
    assert found.steps == (Step("current of the equipment", "9,600 W / 240 V", "40 A"),)


def test_the_current_of_three_phases_is_read_off_the_plate() -> None:
    found = current_of(9600, 240, "3")
    assert isinstance(found, Unknown)
    assert found.missing[0].fact == "amps"


def view(**lists: Any) -> SiteView:
    data = {
        "spaces": {"studio": {"use": "workshop", "size": "20 ft x 20 ft"}},
        "panels": {"P-1": {"wall": "studio.west", "at": "2 ft"}},
        **lists,
    }
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def circuit(made: SiteView, name: str = "E-1") -> Subject:
    return next(one for one in made.of("circuit") if one.id == name)


def runs(made: SiteView) -> Members:
    found = circuit(made).value("runs")
    assert isinstance(found, Members)
    return found


R_1 = {"R-1": {"wall": "studio.north", "at": "4 ft", "what": "5-20 duplex"}}


def test_one_cable_along_the_whole_circuit_is_all_of_it() -> None:
    found = runs(view(circuits={"E-1": {"panel": "P-1", "cable": "12-2 NM-B"}}))
    assert not found.open
    assert [one.value("what") for one in found.sure] == ["12-2 NM-B"]


def test_a_thinner_piece_is_among_the_runs_of_its_circuit() -> None:
    devices = {**R_1, "R-2": {"wall": "studio.north", "at": "8 ft", "what": "5-20 duplex"}}
    chain = ["P-1", "R-1", {"R-2": "14-2 NM-B"}]
    circuits = {"E-1": {"panel": "P-1", "cable": "12-2 NM-B", "chain": chain, "whole": "yes"}}
    found = runs(view(receptacles=devices, circuits=circuits))
    assert {one.value("what") for one in found.sure} == {"12-2 NM-B", "14-2 NM-B"}
    assert not found.open


def test_pieces_without_a_cable_of_the_circuit_are_open_until_the_chain_is_whole() -> None:
    chain = ["P-1", {"R-1": "12-2 NM-B"}]
    half = runs(view(receptacles=R_1, circuits={"E-1": {"panel": "P-1", "chain": chain}}))
    assert half.open and half.missing[0].fact == "cable"
    whole = runs(view(receptacles=R_1, circuits={"E-1": {"panel": "P-1", "chain": chain, "whole": "yes"}}))
    assert not whole.open and len(whole.sure) == 1


def test_a_circuit_of_which_nothing_is_written_asks_for_its_cable() -> None:
    found = runs(view(circuits={"E-1": {"panel": "P-1", "breaker": "20 A"}}))
    assert found.open and not found.sure
    assert found.missing[0].fact == "cable"


def feeds(made: SiteView) -> Members:
    found = circuit(made).value("feeds")
    assert isinstance(found, Members)
    return found


def test_equipment_is_fed_through_the_receptacle_it_is_plugged_into() -> None:
    made = view(
        receptacles={"R-9": {"wall": "studio.north", "at": "4 ft", "what": "14-50", "circuit": "E-1"}},
        circuits={"E-1": {"panel": "P-1"}},
        equipment={"X-1": {"what": "kiln", "receptacle": "R-9"}},
    )
    assert [one.id for one in feeds(made).sure] == ["X-1"]
    machine = made.elements["X-1"].value("circuit")
    assert isinstance(machine, Subject) and machine.id == "E-1"


def test_a_circuit_for_one_appliance_feeds_that_one_alone() -> None:
    kiln = {"X-1": {"what": "kiln", "circuit": "E-1"}}
    alone = feeds(view(circuits={"E-1": {"panel": "P-1", "purpose": "one appliance"}}, equipment=kiln))
    assert not alone.open
    among = feeds(view(circuits={"E-1": {"panel": "P-1", "purpose": "general"}}, equipment=kiln))
    assert among.open
