"""Which panels are asked about their working space, and how high it can be."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.measures.values import Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text

assert trades


def spaces(panel: dict[str, Any], ceiling: str = "8 ft", **more: Any) -> tuple[Subject, ...]:
    room = {"use": "garage", "size": "20 ft x 20 ft", **({"ceiling": ceiling} if ceiling else {})}
    site = {"spaces": {"garage": room}, "panels": {"P-1": {"wall": "garage.north", "at": "4 ft", **panel}}, **more}
    return SiteView(read_site_text(yaml.safe_dump(site, sort_keys=False)).site).of("working_space")


def test_a_panel_of_which_nothing_is_taped_and_no_feeder_is_written_is_not_asked() -> None:
    assert spaces({"main": "100 A"}) == ()


def test_one_reading_or_a_feeder_brings_all_questions() -> None:
    (space,) = spaces({"clear depth": "3 ft"})
    assert space.value("clear_depth") == read("3 ft", "length").exact
    assert isinstance(space.value("clear_width"), Unknown)
    (space,) = spaces({}, feeders={"F-1": {"to": "P-1"}})
    assert isinstance(space.value("clear_depth"), Unknown)
    assert space.value("space.use") == "garage"


def test_it_is_no_higher_than_the_room() -> None:
    (space,) = spaces({"clear depth": "3 ft"})
    height = space.value("clear_height")
    assert isinstance(height, Range) and (height.low, height.high) == (None, read("8 ft", "length").exact)
    (space,) = spaces({"clear height": "7 ft"})
    assert space.value("clear_height") == read("7 ft", "length").exact
    (space,) = spaces({"clear depth": "3 ft"}, ceiling="")
    assert isinstance(space.value("clear_height"), Unknown)
