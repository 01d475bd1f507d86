"""What fills a raceway: conductors by type and size, cables by their diameter."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE
from oktocover.reading.site_file import read_site_text

assert trades


def raceway(*cables: str | None, whole: bool = True, loose: str = "") -> Subject:
    drawn = {f"W-{n}": {"raceway": "T-1", **({"what": what} if what else {})} for n, what in enumerate(cables)}
    drawn |= {"W-9": {"what": loose}} if loose else {}
    site: dict[str, Any] = {"raceways": {"T-1": {"what": "EMT", "size": "3/4 in"}, "T-2": {}}, "cables": drawn}
    if whole:
        site["looked"] = [{"list": "cables", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}]
    return SiteView(read_site_text(yaml.safe_dump(site, sort_keys=False)).site).elements["T-1"]


def told(raceway: Subject) -> list[tuple[Any, ...]]:
    return [
        (one.value("number"), WIRE[one.value("size")], one.value("insulation")) for one in raceway.value("wires").sure
    ]


def test_conductors_count_by_size_and_the_ground_with_them() -> None:
    found = raceway("3 x 10 THWN-2 CU, 12 ground", "2 x 12 THWN-2 CU")
    assert told(found) == [(3, "10 AWG", "THWN-2"), (1, "12 AWG", "THWN-2"), (2, "12 AWG", "THWN-2")]
    assert not found.value("wires").open


def test_a_cable_counts_as_one_by_its_diameter() -> None:
    (cable,) = raceway("12-2 NM-B").value("wires").sure
    assert (cable.value("whole_cable"), cable.value("number")) == (True, 1)
    assert "diameter" in [one.fact for one in cable.value("diameter").missing]


def test_what_is_not_told_leaves_it_open() -> None:
    assert raceway("3 x 10 THWN-2 CU", whole=False).value("wires").open
    assert raceway(None).value("wires").open
    assert raceway("10 THHN CU").value("wires").open


def test_conductors_of_which_nobody_says_where_they_run_may_be_in_any_raceway() -> None:
    assert raceway("3 x 10 THWN-2 CU", loose="2 x 12 THWN-2 CU").value("wires").open
    assert not raceway("3 x 10 THWN-2 CU", loose="12-2 NM-B").value("wires").open
