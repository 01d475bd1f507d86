"""Terminals on the walls of a model, and the facts that vents have from their appliances."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

import oktocover.measures.trades as trades
from oktocover.measures.outdoors import Patch, level_gap, segments_apart, square_patch, straight
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown, Worked
from oktocover.measures.venting import equivalent_length, vent_category, vent_draft, vent_input
from oktocover.measures.view import SiteView
from oktocover.quantities import Number, read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
INCH = 25_400_000
RULES = RuleSet(Library().folded("ifgc 2021"))

SITE = """
levels: {ground: {floor: 6 in}, upper: {floor: 9 ft}}
spaces:
  studio: {level: ground, outline: ["22 ft, 0 ft", "40 ft, 0 ft", "40 ft, 17 ft", "22 ft, 17 ft"], walls: {yard: east}}
  garage: {level: ground, outline: ["0 ft, 0 ft", "21 ft 6 in, 0 ft", "21 ft 6 in, 24 ft", "0 ft, 24 ft"]}
openings:
  W-1: {wall: studio.east, at: 8 ft, width: 3 ft, sill: 3 ft, high: 4 ft, what: window, operable: yes}
  D-1: {wall: studio.west, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
appliances:
  A-1: {space: studio, what: water heater, fuel: natural gas, input: "40,000 Btu/h", draft: DRAFT, category: none}
vents:
  V-1: {serves: [A-1]}
terminals:
  T-1: {vent: V-1, through: wall, wall: studio.east, at: 5 ft, height: 6 ft, across: 8 in, above grade: 6 ft}
looked:
  - {list: openings, whole: yes, by: M.K., day: 2026-05-03}
  - {list: outside things, whole: yes, by: M.K., day: 2026-05-03}
  - {list: spaces, whole: yes, by: M.K., day: 2026-05-03}
"""


def site(draft: str = "mechanical draft", /, **changes: Any) -> SiteView:
    """The site above with some entries set or taken out: `terminals__T_1__across=None`."""
    data = yaml.load(SITE.replace("DRAFT", draft), Loader=yaml.BaseLoader)
    for path, value in changes.items():
        *before, last = [part.replace("_", "-") if part[:1].isupper() else part.replace("_", " ")
                         for part in path.split("__")]
        inner = data
        for part in before:
            inner = inner.setdefault(part, {})
        if value is None:
            inner.pop(last)
        else:
            inner[last] = value
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def only(view: SiteView, kind: str = "terminal") -> Subject:
    (found,) = view.of(kind)
    return found


def near(view: SiteView, name: str, list_name: str = "openings") -> Subject:
    members = only(view).value(list_name)
    assert isinstance(members, Members)
    (found,) = [one for one in members.sure if one.base is not None and one.base.id == name]
    return found


def verdicts(view: SiteView, rule: str) -> dict[str, str]:
    """Verdict of each item of a rule on the one terminal."""
    made = RULES.rule(f"ifgc.{rule}")
    assert made is not None, rule
    return {one.item.name: one.verdict for one in judge(made, Env(only(view), view.roots, {}))}


def inches(value: Any) -> Any:
    return value if isinstance(value, Unknown) else Fraction(value, INCH)


def test_distances_on_one_wall_are_those_of_the_tape() -> None:
    # Common practice, by pencil: terminal from 4 ft 8 in to 5 ft 4 in along the wall and 5 ft 8 in to 6 ft 4 in up;
    # window from 8 ft to 11 ft along, 3 ft to 7 ft up.
    window = near(site(), "W-1")
    assert inches(window.value("beside")) == 32
    assert inches(window.value("above")) == 5 * 12 + 8 - 7 * 12
    assert inches(window.value("below")) == 3 * 12 - (6 * 12 + 4)
    assert inches(window.value("distance")) == 32


def test_another_name_of_the_same_wall_is_the_same_wall() -> None:
    assert inches(near(site(terminals__T_1__wall="studio.yard"), "W-1").value("distance")) == 32


def test_a_door_between_two_rooms_is_not_near_any_terminal() -> None:
    names = [one.id for one in only(site()).value("openings").sure]
    assert names == ["T-1 W-1"]


def test_the_same_door_may_be_an_outside_door_until_the_other_room_is_written() -> None:
    view = site(spaces__garage=None, looked=[{"list": "openings", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}])
    door = near(view, "D-1")
    assert isinstance(door.value("outdoors"), Unknown)


def test_three_kinds_of_appliance_at_one_spot_get_three_answers() -> None:
    power, direct, hood = site("mechanical draft"), site("direct vent"), site("natural draft")
    assert verdicts(power, "terminal-openings-mechanical") == {"main": "not met"}
    assert verdicts(power, "gravity-vent-through-roof") == {"main": "does not apply"}
    assert verdicts(direct, "terminal-openings-mechanical") == {"main": "does not apply"}
    assert verdicts(direct, "terminal-openings-direct")["away"] == "met"
    assert verdicts(hood, "terminal-openings-direct")["away"] == "does not apply"
    assert verdicts(hood, "gravity-vent-through-roof") == {"main": "not met"}


@pytest.mark.parametrize(("at", "verdict"), [("3 ft 8 in", "met"), ("3 ft 8-1/16 in", "not met")])
def test_four_feet_is_met_exactly_on_the_wall(at: str, verdict: str) -> None:
    # 8 ft less 4 in (half the terminal) less 4 ft.
    assert verdicts(site(terminals__T_1__at=at), "terminal-openings-mechanical") == {"main": verdict}


@pytest.mark.parametrize("gone", [
    "terminals__T_1__at", "terminals__T_1__across", "terminals__T_1__height", "terminals__T_1__wall",
    "terminals__T_1__vent", "terminals__T_1__through", "appliances__A_1__draft", "vents__V_1__serves",
    "openings__W_1__at", "openings__W_1__width", "openings__W_1__sill", "openings__W_1__high",
    "openings__W_1__what", "openings__W_1__operable",
])
@pytest.mark.parametrize("at", ["5 ft", "1 ft"])
def test_a_fact_taken_out_leaves_the_verdict_or_makes_it_not_recorded(gone: str, at: str) -> None:
    before = verdicts(site(terminals__T_1__at=at), "terminal-openings-mechanical")
    after = verdicts(site(**{"terminals__T_1__at": at, gone: None}), "terminal-openings-mechanical")
    assert after == before or set(after.values()) == {"not recorded"}


@pytest.mark.parametrize(("at", "verdict"), [("5 ft", "not met"), ("1 ft", "not recorded")])
def test_an_open_list_of_openings_can_fail_but_not_meet(at: str, verdict: str) -> None:
    view = site(terminals__T_1__at=at, looked=[], walls__E={"sides": ["studio.east"], "exterior": "yes"})
    assert verdicts(view, "terminal-openings-mechanical") == {"main": verdict}


def test_rooms_looked_through_one_by_one_close_the_list() -> None:
    said = {"whole": "yes", "by": "M.K.", "day": "2026-05-03"}
    rooms = [{"list": "openings", "in": room, **said} for room in ("studio", "garage")]
    rest = [{"list": name, **said} for name in ("spaces", "outside things")]
    assert not only(site(looked=[*rooms, *rest])).value("openings").open
    assert only(site(looked=[*rooms[:1], *rest])).value("openings").open
    assert only(site(looked=[*rooms, *rest[1:]])).value("openings").open


def test_a_gravity_inlet_is_an_opening_and_a_thing_nobody_named_may_be_one() -> None:
    inlet = {"wall": "studio.east", "at": "2 ft", "width": "6 in", "height": "5 ft", "high": "6 in"}
    named = {**inlet, "what": "gravity air inlet"}
    far = {"terminals__T_1__at": "1 ft", "openings__W_1__operable": "no"}
    assert verdicts(site(**far, outside_things__I_1=named), "terminal-openings-mechanical") == {"main": "not met"}
    assert verdicts(site(**far, outside_things__I_1=inlet), "terminal-openings-mechanical") == {"main": "not recorded"}
    other = {**inlet, "what": "electric meter"}
    assert verdicts(site(**far, outside_things__I_1=other), "terminal-openings-mechanical") == {"main": "met"}


def test_a_window_on_the_floor_above_is_as_far_as_the_floors_are_apart() -> None:
    upper = {"level": "upper", "outline": ["22 ft, 0 ft", "40 ft, 0 ft", "40 ft, 17 ft", "22 ft, 17 ft"]}
    window = {"wall": "loft.east", "at": "4 ft", "width": "2 ft", "sill": "2 ft", "high": "3 ft", "what": "window",
              "operable": "yes"}
    view = site(spaces__loft=upper, openings__W_2=window)
    # 9 ft + 2 ft of sill, less 6 in + 6 ft 4 in of terminal.
    assert inches(near(view, "W-2").value("below")) == 11 * 12 - (6 * 12 + 10)
    unknown = site(spaces__loft={"outline": upper["outline"]}, openings__W_2=window)
    lacks = near(unknown, "W-2").value("below")
    assert isinstance(lacks, Unknown)
    assert {one.fact for one in lacks.missing} == {"level"}


L_SHAPE = ["22 ft, 0 ft", "40 ft, 0 ft", "40 ft, 17 ft", "30 ft, 17 ft", "30 ft, 30 ft", "22 ft, 30 ft"]
ROUND_THE_CORNER: dict[str, Any] = {
    "spaces__studio__outline": L_SHAPE, "spaces__studio__walls": None,
    "terminals__T_1__wall": "studio.north-2", "terminals__T_1__at": "4 ft",
    "openings__W_1__wall": "studio.east-1", "openings__W_1__at": "5 ft",
}


def test_in_an_inside_corner_wall_thickness_brings_things_nearer() -> None:
    view = site(**ROUND_THE_CORNER)
    lacks = near(view, "W-1").value("beside")
    assert isinstance(lacks, Unknown)
    assert [one.fact for one in lacks.missing] == ["thickness"]
    thick = {"sides": ["studio.north-2"], "thickness": "6 in", "exterior": "yes"}
    also = {"sides": ["studio.east-1"], "thickness": "6 in", "exterior": "yes"}
    beside = near(site(**ROUND_THE_CORNER, walls__N=thick, walls__E=also), "W-1").value("beside")
    # The terminal's near edge is 3 ft 8 in from the corner (x = 30 ft), less the east wall's 6 in. The window runs
    # from 25 ft down to 22 ft; the terminal's outside face is at 17 ft 6 in.
    left, up = 44 - 6, 22 * 12 - (17 * 12 + 6)
    assert abs(float(inches(beside)) - (left**2 + up**2) ** 0.5) < 1e-6


def test_a_room_far_off_is_left_out_once_it_is_surely_there() -> None:
    window = {"wall": "barn.north", "at": "4 ft", "width": "2 ft", "sill": "2 ft", "high": "3 ft", "what": "window"}
    corners = ["200 ft, 0 ft", "220 ft, 0 ft", "220 ft, 20 ft", "200 ft, 20 ft"]
    far = site(spaces__barn={"level": "ground", "outline": corners}, openings__W_9=window)
    assert [one.id for one in only(far).value("openings").sure] == ["T-1 W-1"]
    somewhere = site(spaces__barn={"level": "ground"}, openings__W_9=window)
    assert isinstance(near(somewhere, "W-9").value("beside"), Unknown)


def test_a_lot_line_comes_from_the_wall_the_terminal_is_on() -> None:
    wall = {"sides": ["studio.yard"], "lot line": "4 ft", "exterior": "yes"}
    assert verdicts(site(walls__E=wall), "power-vent-lot-line") == {"main": "not met"}
    assert verdicts(site(), "power-vent-lot-line") == {"main": "not recorded"}


def test_a_stricter_sheet_of_the_maker_governs() -> None:
    view = site("direct vent", terminals__T_1__maker_openings="36 in")
    assert verdicts(view, "terminal-openings-direct")["away"] == "met"
    assert verdicts(view, "terminal-maker")["openings"] == "not met"
    asks_no_more = site("direct vent", terminals__T_1__maker_openings="none")
    assert verdicts(asks_no_more, "terminal-maker")["openings"] == "met"
    assert verdicts(site("direct vent"), "terminal-maker")["openings"] == "not recorded"


def test_a_draft_hood_shares_a_vent_with_a_fan_but_not_with_a_power_vent() -> None:
    assert vent_draft([("natural draft",), ("fan assisted",)]) == "natural draft"
    assert vent_draft([("natural draft",), ("mechanical draft",)]) == "mixed"
    assert vent_draft([("direct vent",), ("direct vent",)]) == "direct vent"
    assert vent_draft([]) is None
    assert vent_category([("none",), ("I",)]) == "I"
    assert vent_category([("I",), ("IV",)]) == "mixed"


def test_inputs_add_up_and_elbows_count_as_length() -> None:
    total = vent_input([(40_000,), (45_000,)])
    assert isinstance(total, Worked)
    assert total.value == 85_000
    assert total.steps[0].how == "40,000 Btu/h + 45,000 Btu/h"
    feet = read("1 ft", "length").exact
    assert feet is not None
    assert equivalent_length(6 * feet, 2, 5 * feet).value == 16 * feet


lengths = st.integers(min_value=-400, max_value=400).map(lambda sixteenths: Fraction(sixteenths * INCH, 16))
sizes = st.integers(min_value=1, max_value=200).map(lambda sixteenths: Fraction(sixteenths * INCH, 16))
points = st.tuples(lengths, lengths)


@given(st.tuples(points, points), st.tuples(points, points))
def test_distance_of_two_stretches_of_wall_is_that_of_a_geometry_library(
    one: tuple[tuple[Number, Number], tuple[Number, Number]],
    other: tuple[tuple[Number, Number], tuple[Number, Number]],
) -> None:
    # shapely (GEOS) as the second opinion, in inches.
    flat = [LineString([(float(x) / INCH, float(y) / INCH) for x, y in segment]) for segment in (one, other)]
    assert abs(float(segments_apart(one, other)) / INCH - flat[0].distance(flat[1])) < 1e-6


@given(lengths, lengths, sizes, lengths, lengths, sizes, sizes)
def test_level_gap_and_height_give_the_distance_of_two_rectangles(
    at: Number, height: Number, across: Number, left: Number, sill: Number, width: Number, high: Number,
) -> None:
    from shapely.geometry import box

    terminal = square_patch("studio.east", at, height, across)
    window = Patch("studio.east", left, left + width, sill, sill + high)
    found = straight(level_gap(terminal, window), terminal.low - window.high, window.low - terminal.high)
    boxes = [box(float(p.left) / INCH, float(p.low) / INCH, float(p.right) / INCH, float(p.high) / INCH)
             for p in (terminal, window)]
    assert abs(float(found) / INCH - boxes[0].distance(boxes[1])) < 1e-6
