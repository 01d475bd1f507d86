"""Where feeders end, and which conductors decide what grounds a building."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.measures.values import Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE
from oktocover.reading.site_file import read_site_text

assert trades

SITE: dict[str, Any] = {
    "panels": {"P-1": {"main": "100 A", "disconnects building": "yes", "neutral": "kept apart"}},
    "disconnects": {"D-1": {"amps": "60 A"}},
    "services": {"S-1": {"cable": "4/0-4/0-2/0-4 AL SER"}},
    "feeders": {"F-1": {"to": "P-1", "cable": "2-2-2-4 AL URD"}, "F-2": {"to": "D-1", "cable": "3 x 6 THHN CU"}},
    "electrodes": {
        "G-1": {"what": "ground rod", "serves": "P-1"},
        "G-2": {"what": "ground rod", "serves": "P-1"},
        "G-3": {"what": "footing steel", "serves": "S-1"},
    },
    "looked": [{"list": "electrodes", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}],
}


def element(name: str, **changes: Any) -> Subject:
    return SiteView(read_site_text(yaml.safe_dump({**SITE, **changes}, sort_keys=False)).site).elements[name]


def test_a_feeder_knows_the_panel_it_ends_at() -> None:
    feeder = element("F-1")
    assert (feeder.value("end_disconnects"), feeder.value("end_rating")) == (True, 100)
    assert feeder.value("end_neutral") == "kept apart"
    assert [one.id for one in feeder.value("electrodes").sure] == ["G-1", "G-2"]
    assert not feeder.value("electrodes").open


def test_a_switch_at_its_end_is_a_disconnect_and_has_no_neutral_bar_to_look_at() -> None:
    feeder = element("F-2")
    assert (feeder.value("end_disconnects"), feeder.value("end_rating")) == (True, 60)
    assert isinstance(feeder.value("end_neutral"), Unknown)
    assert feeder.value("electrodes").sure == ()


def test_an_electrode_that_serves_nobody_yet_may_serve_any() -> None:
    loose = {**SITE["electrodes"], "G-4": {"what": "ground rod"}}
    assert element("F-2", electrodes=loose).value("electrodes").open
    assert element("G-1", electrodes=loose).value("companions").open


def test_the_conductors_that_supply_decide() -> None:
    rod, footing = element("G-1"), element("G-3")
    assert (WIRE[rod.value("supply_wire")], rod.value("supply_metal")) == ("2 AWG", "aluminum")
    assert (WIRE[footing.value("supply_wire")], footing.value("supply_metal")) == ("4/0 AWG", "aluminum")
    assert isinstance(element("G-1", feeders={}).value("supply_wire"), Unknown)
    assert isinstance(element("G-1", feeders={"F-1": {"to": "P-1"}}).value("supply_wire"), Unknown)


def test_companions_are_those_of_the_same_disconnect() -> None:
    assert [one.id for one in element("G-1").value("companions").sure] == ["G-1", "G-2"]
    assert [one.id for one in element("G-3").value("companions").sure] == ["G-3"]
