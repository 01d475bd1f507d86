"""Conductors of services and of sets in parallel, and what stands where a feeder ends."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE
from oktocover.reading.site_file import read_site_text

assert trades

SITE: dict[str, Any] = {
    "services": {"S-1": {"rating": "400 A", "terminals": "75 C"}, "S-2": {"cable": "4/0-4/0-2/0 AL SEU"}},
    "parallel conductors": {"PS-1": {"of": "S-1", "sets": "2", "what": "3 x 250 THWN-2 CU, 2 ground"}},
    "panels": {
        "P-1": {"main": "100 A", "hand motions": "8", "entry": "inside at the entry", "surge protector": "yes"},
        "P-2": {"main": "none", "hand motions": "8"},
        "P-3": {"hand motions": "8"},
    },
    "disconnects": {"D-1": {"building entry": "outside"}},
    "feeders": {"F-1": {"to": "P-1"}, "F-2": {"to": "P-2"}, "F-3": {"to": "P-3"}, "F-4": {"to": "D-1"}},
}


def view() -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(SITE, sort_keys=False)).site)


def of(name: str) -> Subject:
    return view().elements[name]


def test_a_service_has_the_conductors_of_its_designation() -> None:
    service = of("S-2")
    assert [WIRE[int(service.value(name))] for name in ("supply_wire", "neutral_wire")] == ["4/0 AWG", "2/0 AWG"]
    assert service.value("supply_metal") == "aluminum"
    runs = service.value("runs")
    assert isinstance(runs, Members) and not runs.open
    assert [one.value("wire_type") for one in runs.sure] == ["SEU"]


def test_without_a_designation_its_conductors_are_an_open_list() -> None:
    runs = of("S-1").value("runs")
    assert isinstance(runs, Members) and runs.open and not runs.sure
    assert isinstance(of("S-1").value("neutral_wire"), Unknown)


def test_sets_in_parallel_have_the_rating_and_terminals_ahead_of_them() -> None:
    sets = of("PS-1")
    (run,) = sets.value("runs").sure
    assert sets.value("rating") == 400
    assert (run.value("circuit.breaker"), run.value("circuit.terminals")) == (400, "75 C")
    assert WIRE[int(run.value("wire"))] == "250 kcmil"


def test_a_main_is_one_motion_of_the_hand_and_without_one_the_handles_count() -> None:
    assert [of(name).value("end_motions") for name in ("F-1", "F-2", "F-4")] == [1, 8, 1]
    assert isinstance(of("F-3").value("end_motions"), Unknown)


def test_a_feeder_ends_where_its_panel_or_disconnect_stands() -> None:
    assert (of("F-1").value("end_entry"), of("F-4").value("end_entry")) == ("inside at the entry", "outside")
    assert of("F-1").value("end_surge") is True
    assert isinstance(of("F-2").value("end_entry"), Unknown)
