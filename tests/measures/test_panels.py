"""Which panels are asked about their inside, their places and their legs."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.values import Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text

assert trades


def view(panel: dict[str, Any], **lists: Any) -> SiteView:
    site = {"panels": {"P-1": panel, "P-2": {"main": "60 A"}}, **lists}
    return SiteView(read_site_text(yaml.safe_dump(site, sort_keys=False)).site)


def test_a_panel_of_which_nothing_inside_is_written_is_not_asked() -> None:
    seen = view({"main": "100 A", "rating": "125 A"})
    assert [seen.of(kind) for kind in ("panel_inside", "panel_places", "panel_legs")] == [(), (), ()]


def test_one_answer_brings_the_other_questions() -> None:
    (inside,) = view({"directory": "no"}).of("panel_inside")
    assert inside.id == "P-1" and inside.value("directory") is False
    assert isinstance(inside.value("ground_bar"), Unknown)


def test_places_are_asked_once_they_are_counted() -> None:
    circuits = {"E-1": {"panel": "P-1", "volts": "120 V"}, "E-2": {"panel": "P-2"}}
    (places,) = view({"positions": "20"}, circuits=circuits, feeders={"F-1": {"from": "P-1"}}).of("panel_places")
    assert [one.id for one in places.value("circuits").sure] == ["E-1"]
    assert [one.id for one in places.value("feeders_out").sure] == ["F-1"]


def test_legs_are_asked_of_the_panel_whose_breaker_has_one() -> None:
    circuits = {"E-1": {"panel": "P-1", "leg": "A"}, "E-2": {"panel": "P-2"}}
    (legs,) = view({"main": "100 A"}, circuits=circuits).of("panel_legs")
    assert (legs.id, legs.value("main")) == ("P-1", 100)
