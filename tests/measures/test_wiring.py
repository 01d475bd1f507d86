"""Wiring worked out from chains: lengths at least, what is in a box, what comes before an outlet."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.measures import trades
from oktocover.measures.cable_lengths import End, shortest
from oktocover.measures.cable_types import cable_types
from oktocover.measures.values import TESTED, Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring import ground_size, grounds, insulated, metal
from oktocover.quantities import WIRE, read, show
from oktocover.reading.site_file import read_site_text
from oktocover.site.geometry import Point3

assert trades

HEAD = """\
spaces: {shop: {use: workshop, size: 24 ft x 20 ft, ceiling: 9 ft}}
panels: {P-1: {wall: shop.west, at: 2 ft, height: 60 in}}
"""


def view_of(text: str) -> SiteView:
    found = read_site_text(HEAD + text)
    return SiteView(found.site, found.known)


def length(text: str) -> Any:
    return read(text, "length").exact


def ids(value: Any) -> list[str]:
    assert isinstance(value, Members)
    return [one.id for one in value.sure]


# designations


@pytest.mark.parametrize(
    ("what", "count", "grounds_", "ground", "metal_"),
    [
        # metals and grounds: the standards of the types as makers list them, from memory
        ("12-2 NM-B", 2, 1, "12 AWG", "copper"),
        ("6-3 NM-B", 3, 1, "10 AWG", "copper"),
        ("12-2 NM-B without ground", 2, 0, None, "copper"),
        ("12-2 AL NM-B", 2, 1, "12 AWG", "aluminum"),
        ("12-2 AC", 2, 0, None, "copper"),
        ("4-3 MC", 3, 1, None, "copper"),
        ("4-3 SE", 3, None, None, None),
        ("2-2-2-4 AL URD", 3, 1, "4 AWG", "aluminum"),
        ("2-2-2 AL SEU", 2, 0, None, "aluminum"),
        ("3 x 10 THWN-2 CU, 10 ground", 3, 1, "10 AWG", "copper"),
        ("3 x 10 THWN-2", 3, None, None, None),
        ("10 THHN CU", None, None, None, "copper"),
    ],
)
def test_what_a_cable_has(
    what: str, count: int | None, grounds_: int | None, ground: str | None, metal_: str | None
) -> None:
    made, size = insulated(what), ground_size(what)
    assert (made.value if made else None, grounds(what), metal(what)) == (count, grounds_, metal_)
    assert (WIRE[size.value] if size else None) == ground


def test_the_ground_of_a_type_is_told_with_its_source() -> None:
    told = ground_size("12-2 NM-B")
    assert told is not None and told.steps[0].source == "rulesets/cable-types.yaml"
    printed = ground_size("2-2-2-4 AL URD")
    assert printed is not None and printed.steps[0].source == ""
    assert {"NM-B", "UF-B", "MC", "AC"} <= set(cable_types())
    assert cable_types()["AC"].grounds == {}


def test_a_ground_that_is_recorded_wins() -> None:
    view = view_of("circuits: {C-1: {}}\ncables: {A: {what: 4-3 SE, ground: 6 AWG}, B: {what: 4-3 SE, ground: none}}\n")
    assert WIRE[view.elements["A"].value("ground_size")] == "6 AWG"
    assert isinstance(view.elements["B"].value("ground_size"), Unknown)


# lengths


def end(x: str, y: str, z: str | None, nearer: str = "0 in", zero: str = "grade") -> End:
    point = Point3(length(x), length(y), length(z) if z else 0, zero)
    return End(f"{x} {y}", point, length(nearer), z is not None, TESTED)


@pytest.mark.parametrize(
    ("ends", "drop", "slack", "least"),
    [
        # 3-4-5 and 5-12-13 triangles, 2-3-6-7 box: worked by hand
        ((end("0 ft", "0 ft", "0 ft"), end("3 ft", "4 ft", "0 ft")), "0 in", "0 in", "5 ft"),
        ((end("0 ft", "0 ft", "4 ft"), end("5 ft", "12 ft", "4 ft")), "0 in", "0 in", "13 ft"),
        ((end("0 ft", "0 ft", "0 ft"), end("2 ft", "3 ft", "6 ft")), "0 in", "0 in", "7 ft"),
        ((end("0 ft", "0 ft", "0 ft", "6 in"), end("3 ft", "4 ft", "0 ft", "2 ft")), "0 in", "0 in", "2 ft 6 in"),
        ((end("0 ft", "0 ft", None), end("3 ft", "4 ft", "9 ft")), "0 in", "0 in", "5 ft"),
        ((end("0 ft", "0 ft", "0 ft"), end("3 ft", "4 ft", "9 ft", zero="loft")), "0 in", "0 in", "5 ft"),
        ((end("0 ft", "0 ft", "4 ft"), end("3 ft", "4 ft", "4 ft")), "10 ft", "0 in", "15 ft"),
        ((end("0 ft", "0 ft", "4 ft"), end("3 ft", "4 ft", "4 ft")), "10 ft", "6 in", "16 ft"),
        ((end("0 ft", "0 ft", "0 ft"), end("2 ft", "3 ft", "6 ft")), "1 in", "0 in", "7 ft"),
        ((end("0 ft", "0 ft", "0 ft"), end("1 in", "1 in", "0 ft")), "0 in", "0 in", "1 in"),  # 1.414 in, rounded down
        ((end("0 ft", "0 ft", "0 ft", "6 in"), end("1 in", "1 in", "0 ft", "6 in")), "0 in", "0 in", "0 in"),
    ],
)
def test_the_least_a_cable_can_be(ends: tuple[End, End], drop: str, slack: str, least: str) -> None:
    found, steps = shortest(*ends, length(drop), length(slack))
    assert show(found, "length") == show(length(least), "length")
    assert steps[-1].result == show(found, "length")


inches = st.integers(0, 400).map(lambda n: n * 25_400_000)


@given(
    st.tuples(inches, inches, inches), st.tuples(inches, inches, inches), st.lists(st.tuples(inches, inches, inches))
)
def test_no_route_is_shorter_than_the_least(one: Any, other: Any, between: list[Any]) -> None:
    """However a cable runs from one place to another, it is as long as the least at least."""
    stops = [one, *between, other]
    route = sum(_distance(a, b) for a, b in zip(stops, stops[1:], strict=False))
    found, _ = shortest(End("a", Point3(*one), 0, True, TESTED), End("b", Point3(*other), 0, True, TESTED), 0, 0)
    assert found <= route + 1


def _distance(a: Any, b: Any) -> float:
    return float(sum((p - q) ** 2 for p, q in zip(a, b, strict=True))) ** 0.5


WIRED = """\
receptacles:
  R-1: {wall: shop.west, at: 10 ft, height: 44 in, box: B-1}
  R-2: {wall: shop.west, at: 14 ft, height: 44 in, box: B-2}
  R-3: {space: shop}
circuits: {C-1: {panel: P-1, cable: 12-2 NM-B, chain: [R-1, R-2, R-3], whole: yes}}
boxes: {B-1: {gangs: 1}, B-2: {}}
"""


def test_a_cable_is_at_least_the_way_on_the_plan() -> None:
    view = view_of(WIRED)
    run = view.elements["C-1 to R-2"].fact("run")
    # 4 ft between the two, each box up to half a wide one nearer
    assert isinstance(run.value, Range) and (run.value.low, run.value.high) == (length("3 ft"), None)
    assert [one.fact for one in run.value.missing] == ["length"]
    # 8 ft along the wall and 16 in up: 8 ft 1 in; less 2 ft and 6 in
    assert view.elements["C-1 to R-1"].value("run").low == length("5 ft 7 in")
    assert isinstance(view.elements["C-1 to R-3"].value("run"), Unknown)
    measured = view_of(WIRED + "cables: {C-1 to R-2: {length: 9 ft}, C-1 to R-3: {length: at most 12 ft}}\n")
    assert measured.elements["C-1 to R-2"].value("run") == length("9 ft")
    assert measured.elements["C-1 to R-3"].value("run").high == length("12 ft")


def test_drop_and_slack_of_the_circuit_count_where_the_cable_says_none() -> None:
    view = view_of(
        WIRED.replace("whole: yes", "whole: yes, drop: 10 ft, slack: at least 6 in")
        + "cables: {C-1 to R-1: {drop: 4 ft}}\n"
    )
    assert view.elements["C-1 to R-2"].value("run").low == length("14 ft")  # 3 ft + 10 ft + 2 x 6 in
    assert view.elements["C-1 to R-1"].value("run").low == length("10 ft 6 in")  # 5 ft 6 in + 4 ft + 1 ft


def test_the_way_back_to_the_panel() -> None:
    view = view_of(
        WIRED + "cables: {C-1 to R-1: {length: 20 ft}, C-1 to R-2: {length: 9 ft}, C-1 to R-3: {length: 5 ft}}\n"
    )
    assert view.elements["R-3"].value("from_panel") == length("34 ft")
    assert view.elements["C-1"].value("farthest") == length("34 ft")
    open_ = view_of(
        WIRED.replace(", whole: yes", "") + "cables: {C-1 to R-1: {length: 20 ft}, C-1 to R-2: {length: 9 ft}}\n"
    )
    farthest = open_.elements["C-1"].value("farthest")
    assert farthest.low == length("29 ft") and {one.fact for one in farthest.missing} == {"whole", "length"}
    nowhere = view_of("receptacles: {R-1: {}}\ncircuits: {C-1: {}}\n")
    assert isinstance(nowhere.elements["R-1"].value("from_panel"), Unknown)
    assert isinstance(nowhere.elements["C-1"].value("farthest"), Unknown)


# boxes


def test_the_conductors_of_a_box() -> None:
    view = view_of(WIRED + "looked: [{list: cables, whole: yes, by: M.K., day: 2026-05-03}]\n")
    box = view.elements["B-1"]
    assert ids(box.value("cables")) == ["C-1 to R-1", "C-1 to R-2"] and not box.value("cables").open
    assert (box.value("conductors"), box.value("ground_wires")) == (4, 2)
    assert ids(box.value("devices")) == ["R-1"] and not box.value("devices").open
    assert view.elements["B-2"].value("devices").open


def test_while_the_cables_are_not_all_written_there_are_at_least_so_many() -> None:
    box = view_of(WIRED).elements["B-1"]
    assert isinstance(box.value("conductors"), Range) and box.value("conductors").low == 4
    whole = view_of(WIRED + "looked: [{list: circuits, whole: yes, by: M.K., day: 2026-05-03}]\n")
    assert whole.elements["B-1"].value("conductors") == 4


@pytest.mark.parametrize(
    ("place", "may_share"),
    [
        ("wall: shop.west, at: 11 ft", True),
        ("wall: shop.west, at: 13 ft", False),
        ("wall: shop.west", True),
        ("wall: shop.north, at: 10 ft", False),
        ("space: shop", False),
        ("height: 44 in", True),
    ],
)
def test_a_device_whose_box_nobody_knows_may_be_in_this_one(place: str, may_share: bool) -> None:
    closed = "looked: [{list: receptacles, whole: yes, by: M, day: 2026-05-03}, {list: switches, whole: yes, by: M, day: 2026-05-03}]\n"
    text = WIRED.replace("{gangs: 1}", "{wall: shop.west, at: 10 ft}").replace(
        "R-3: {space: shop}", f"R-3: {{{place}}}"
    )
    devices = view_of(text + closed).elements["B-1"].value("devices")
    assert ids(devices) == ["R-1"] and devices.open is may_share
    assert [one.element for one in devices.missing] == (["R-3"] if may_share else [])


def test_devices_fill_gangs() -> None:
    view = view_of(
        "receptacles: {R-1: {what: 5-20 quad}, R-2: {what: 14-50}, R-3: {}}\nswitches: {S-1: {}, S-2: {yokes: 2}}\n"
    )
    gangs = {one: view.elements[one].value("gangs") for one in ("R-1", "R-2", "R-3", "S-1", "S-2")}
    assert (gangs["R-1"], gangs["R-2"], gangs["S-1"], gangs["S-2"]) == (2, 1, 1, 2)
    assert isinstance(gangs["R-3"], Range) and gangs["R-3"].low == 1


def test_two_devices_in_one_box_are_fed_by_one_cable() -> None:
    text = (
        "receptacles: {R-1: {box: B}, R-2: {}}\nswitches: {S-1: {box: B}}\nboxes: {B: {gangs: 2}}\n"
        "circuits: {C-1: {panel: P-1, cable: 12-2 NM-B, chain: [R-1, S-1, R-2], whole: yes}}\n"
    )
    view = view_of(text)
    assert view.elements["S-1"].value("fed_by").id == view.elements["R-1"].value("fed_by").id == "C-1 to R-1"
    assert ids(view.elements["S-1"].value("upstream")) == ["R-1"] and ids(view.elements["R-1"].value("upstream")) == []
    assert ids(view.elements["R-2"].value("upstream")) == ["R-1"]
    assert ids(view.elements["B"].value("devices")) == ["R-1", "S-1"] and not view.elements["B"].value("devices").open


def test_what_comes_before_an_outlet_and_after_it() -> None:
    chain = "[R-1, [R-2, R-3], R-4]"
    text = f"receptacles: {{R-1: {{}}, R-2: {{}}, R-3: {{}}, R-4: {{}}}}\ncircuits: {{C-1: {{panel: P-1, chain: {chain}, whole: yes}}}}\n"
    view = view_of(text)
    assert [ids(view.elements[f"R-{n}"].value("upstream")) for n in range(1, 5)] == [
        [],
        ["R-1"],
        ["R-2", "R-1"],
        ["R-1"],
    ]
    assert ids(view.elements["R-1"].value("downstream")) == ["R-2", "R-3", "R-4"]
    assert not view.elements["R-2"].value("downstream").open and ids(view.elements["R-2"].value("downstream")) == [
        "R-3"
    ]
    open_ = view_of(text.replace(", whole: yes", ""))
    assert open_.elements["R-2"].value("downstream").open and open_.elements["R-3"].value("upstream").open


def test_a_circuit_that_is_whole_has_no_room_for_a_receptacle_of_no_circuit() -> None:
    text = "receptacles: {R-1: {}, R-2: {}}\ncircuits: {C-1: {panel: P-1, chain: [R-1], whole: yes}, C-2: {}}\n"
    view = view_of(text)
    assert (
        ids(view.elements["C-1"].value("receptacles")) == ["R-1"] and not view.elements["C-1"].value("receptacles").open
    )
    assert view.elements["C-2"].value("receptacles").open
    alone = "receptacles: {R-1: {}}\ncircuits: {C-1: {outlets: [R-1], whole: yes}}\n"
    assert view_of(alone).elements["C-1"].value("receptacles").open


def test_a_cable_that_may_lie_within_one_box_is_not_sure() -> None:
    text = "receptacles: {R-1: {PLACE1}, R-2: {PLACE2}}\ncircuits: {C-1: {panel: P-1, chain: [R-1, R-2], whole: yes}}\nboxes: {B: {}}\n"
    near = text.replace("PLACE1", "box: B").replace("PLACE2", "height: 44 in")
    cables = view_of(near).elements["C-1"].value("cables")
    assert ids(cables) == ["C-1 to R-1"] and [one.fact for one in cables.missing] == ["box"]
    inside = view_of(near).elements["B"].value("cables")
    assert ids(inside) == ["C-1 to R-1"] and ("R-2", "box") in [(one.element, one.fact) for one in inside.missing]
    far = text.replace("PLACE1", "wall: shop.west").replace("PLACE2", "wall: shop.east")
    cables = view_of(far).elements["C-1"].value("cables")
    assert ids(cables) == ["C-1 to R-1", "C-1 to R-2"] and not cables.open


# holes


def test_the_cables_through_a_hole() -> None:
    holes = "holes: {N1: {cables: at most 2}, N2: {of: [C-1 to R-1], many: 12}, N3: {}}\n"
    view = view_of(WIRED + holes)
    assert view.elements["N1"].value("cables_through").high == 2
    assert (
        view.elements["N2"].value("cables_through").low == 1
        and view.elements["N2"].value("cables_through").high is None
    )
    assert isinstance(view.elements["N3"].value("cables_through"), Unknown)
    assert (view.elements["N2"].value("number"), view.elements["N3"].value("number")) == (12, 1)
    whole = view_of(WIRED + holes + "looked: [{list: cables, whole: yes, by: M.K., day: 2026-05-03}]\n")
    assert whole.elements["N3"].value("cables_through").high == 3
    shared = view_of("holes: {N1: {size: 1 in, depth: 3-1/2 in}}\n").elements["N1"].value("share_taken")
    assert shared == Fraction(2, 7)
