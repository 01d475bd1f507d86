"""Cables through framing: where they run, how they end, and the most that share a sealed hole."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.boring import exposed, fastened
from oktocover.measures.subject import Subject
from oktocover.measures.values import Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text

assert trades


@pytest.mark.parametrize(
    ("runs", "held", "open_"),
    [
        (["concealed"], True, False),
        (["concealed", "in the attic"], True, True),
        (["buried", "exposed"], True, True),
        (["buried"], False, False),
        (["buried", "in raceway"], False, False),
        (["overhead"], False, False),
    ],
)
def test_where_a_cable_runs_says_whether_it_is_held_and_stays_in_reach(
    runs: list[str], held: bool, open_: bool
) -> None:
    assert (fastened(runs), exposed(runs)) == (held, open_)


def view(holes: dict[str, Any], whole: bool = True, **more: Any) -> SiteView:
    data = {
        "spaces": {"studio": {"use": "workshop", "size": "20 ft x 20 ft"}},
        "panels": {"P-1": {"wall": "studio.west", "at": "2 ft"}},
        "boxes": {"B-1": {"clamps": "built in"}},
        "receptacles": {"R-1": {"wall": "studio.north", "at": "4 ft", "box": "B-1"}},
        "circuits": {"E-1": {"panel": "P-1", "cable": "12-2 NM-B", "chain": ["P-1", "R-1"], "whole": "yes"}},
        "holes": holes,
        "looked": [{"list": "holes", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}] if whole else [],
        **more,
    }
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def cable(made: SiteView) -> Subject:
    (found,) = made.of("cable")
    return found


STUDS = {"many": "49", "member": "stud", "cut": "hole", "for": "cable", "cables": "at most 3", "sealed": "no"}
PLATE = {"member": "top plate", "cut": "hole", "for": "cable", "cables": "2", "sealed": "yes"}


def test_the_fullest_sealed_hole_bounds_the_cables_beside_one() -> None:
    shared = cable(view({"H-1": STUDS, "H-2": PLATE})).value("sealed_together")
    assert isinstance(shared, Range) and (shared.low, shared.high) == (1, 2)


def test_holes_that_stay_open_do_not_count() -> None:
    assert cable(view({"H-1": STUDS})).value("sealed_together") == 1


def test_a_hole_of_which_nobody_said_whether_it_is_sealed_may_be() -> None:
    unsaid = {key: value for key, value in STUDS.items() if key != "sealed"}
    shared = cable(view({"H-1": unsaid})).value("sealed_together")
    assert isinstance(shared, Range) and (shared.low, shared.high) == (1, 3)
    assert "sealed" in {missing.fact for missing in shared.missing}


def test_steel_studs_are_no_wood() -> None:
    assert cable(view({"H-1": {**PLATE, "member": "steel stud", "cables": "9"}})).value("sealed_together") == 1


def test_holes_that_are_not_all_written_say_nothing() -> None:
    shared = cable(view({"H-2": PLATE}, whole=False)).value("sealed_together")
    assert isinstance(shared, Unknown) and shared.missing[0].fact == "sealed together"


def test_a_count_of_the_cable_itself_stands_before_that_of_the_holes() -> None:
    made = view(
        {"H-2": PLATE}, cables={"E-1 to R-1": {"circuit": "E-1", "from": "P-1", "to": "R-1", "sealed together": "4"}}
    )
    assert cable(made).value("sealed_together") == 4


@pytest.mark.parametrize(("clamps", "without"), [("built in", False), ("outside", False), ("none", True)])
def test_a_box_without_clamps_is_told_by_the_box(clamps: str, without: bool) -> None:
    assert cable(view({}, boxes={"B-1": {"clamps": clamps}})).value("clampless") is without


def test_a_box_nobody_looked_into_leaves_it_open() -> None:
    found = cable(view({}, boxes={"B-1": {"volume": "20.3 in3"}})).value("clampless")
    assert isinstance(found, Unknown) and found.missing[0].fact == "clamps"


def test_holes_are_asked_for_where_cable_is_closed_in() -> None:
    assert not view({}).of("wiring_holes")
    (asked,) = view({"H-1": STUDS}, whole=False).of("wiring_holes")
    assert isinstance(asked.value("all_written"), Unknown)
    (answered,) = view({"H-1": STUDS}).of("wiring_holes")
    assert answered.value("all_written") is True


def carrying(*pieces: str, raceway: bool = True, whole: bool = True, runs: str = "in raceway") -> object:
    """Conductors that carry current with those of the first piece."""
    lists = [{"list": "cables", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}] if whole else []
    cables = {
        f"W-{number}": {"what": what, "runs": [runs], **({"raceway": "EMT-1"} if raceway else {})}
        for number, what in enumerate(pieces)
    }
    data = {"cables": cables, "raceways": {"EMT-1": {"what": "EMT"}}, "looked": lists}
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site).elements["W-0"].value("carrying")


def test_the_wires_of_two_circuits_in_one_raceway_all_carry() -> None:
    assert carrying("2 x 12 THHN CU", "2 x 12 THHN CU") == 4


def test_the_neutral_of_two_hots_may_carry_or_not() -> None:
    found = carrying("3 x 12 THHN CU", "3 x 12 THHN CU")
    assert isinstance(found, Range) and (found.low, found.high) == (4, 6)


def test_a_raceway_that_is_not_all_written_may_hold_more() -> None:
    found = carrying("2 x 12 THHN CU", whole=False)
    assert isinstance(found, Range) and (found.low, found.high) == (2, None)


def test_wires_without_their_raceway_ask_for_it() -> None:
    found = carrying("2 x 12 THHN CU", raceway=False)
    assert isinstance(found, Range) and found.missing[0].fact == "raceway"


def test_a_cable_in_the_framing_has_its_own_conductors_and_no_more() -> None:
    assert carrying("12-2 NM-B", raceway=False, whole=False, runs="concealed") == 2
