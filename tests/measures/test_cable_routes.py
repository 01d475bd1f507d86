"""Where wiring runs, how wet it is there, and which bends are asked about."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.cable_routes import swing_degrees
from oktocover.measures.subject import Subject
from oktocover.measures.values import Unknown, Worked
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text

assert trades


def view(**lists: Any) -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(lists, sort_keys=False)).site)


def cable(**facts: Any) -> Subject:
    return view(cables={"C-1": facts}).elements["C-1"]


@pytest.mark.parametrize(
    ("runs", "fact"),
    [
        (["concealed", "in the attic"], "sheltered"),
        (["concealed", "in the attic"], "in_attic"),
        (["in the crawl space"], "under_joists"),
        (["in the basement", "concealed"], "under_joists"),
        (["buried", "outdoors"], "in_earth"),
        (["outdoors"], "in_sun"),
        (["overhead"], "in_sun"),
        (["in an air space"], "in_air"),
        (["in a groove"], "in_groove"),
        (["under a roof deck"], "under_deck"),
    ],
)
def test_a_run_has_its_places(runs: list[str], fact: str) -> None:
    assert cable(runs=runs).value(fact) is True
    assert cable(runs=["exposed"]).value(fact) is False
    assert isinstance(cable().value(fact), Unknown)


def test_partly_in_the_open_is_not_sheltered() -> None:
    assert cable(runs=["concealed", "exposed"]).value("sheltered") is False


def test_buried_is_wet_whatever_else_is_written() -> None:
    assert cable(runs=["buried"], location="dry").value("place") == "wet"
    assert cable(runs=["exposed"], location="damp").value("place") == "damp"
    assert isinstance(cable(runs=["outdoors"]).value("place"), Unknown)
    raceway = view(raceways={"W-1": {"what": "PVC 40", "runs": ["buried"]}}).elements["W-1"]
    assert (raceway.value("place"), raceway.value("in_earth")) == ("wet", True)


def test_a_bend_is_asked_about_where_it_was_taped() -> None:
    seen = view(cables={"C-1": {"what": "12-2 NM-B"}, "C-2": {"what": "12-2 NM-B", "bend": "2 in"}})
    (bend,) = seen.of("cable_bend")
    assert (bend.id, bend.value("wire_type")) == ("C-2", "NM-B")
    assert bend.value("bend") == read("2 in", "length").exact
    assert isinstance(bend.value("diameter"), Unknown)


def test_a_change_of_temperature_becomes_a_number_of_degrees() -> None:
    swing: Any = read("100 °F", "temperature difference").exact
    told = swing_degrees(swing)
    assert isinstance(told, Worked) and told.value == 100
