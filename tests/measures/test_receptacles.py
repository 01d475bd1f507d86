"""Wall spaces, counters and the receptacles that count for them: from a plan, and what an open record leaves open."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Point

import oktocover.measures.trades as trades
from oktocover.measures.floor_line import (
    Piece,
    along_stretch,
    farthest_point,
    stretches_of_loop,
    stretches_of_run,
    touches,
)
from oktocover.measures.outlets import RoomLine
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wall_spaces import farthest
from oktocover.quantities import show
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import Judged, judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env
from oktocover.site.base import HOW_KNOWN

assert trades
FOOT = 304_800_000
INCH = 25_400_000
KINDS = (
    "wall_space",
    "room_outlets",
    "counter_line",
    "island",
    "basin",
    "outdoor_side",
    "vehicle_bay",
    "building_outlets",
    "circuit",
)
EDITIONS = ("nec 2017", "nec 2020", "nec 2023")


def rules_of(edition: str) -> list[Any]:
    folded = Library().folded(edition)
    here = {name for name, thing in folded.things["rules"].items() if "/receptacles" in thing.document.file}
    return [rule for rule in RuleSet(folded).rules() if rule.each in KINDS and rule.id in here]


RULES = {edition: rules_of(edition) for edition in EDITIONS}
SHOP = RuleSet(Library().adopt(None, ["shop receptacles"]).rules.folded).rule("shop-receptacles.shop-spacing")

L_SHAPE = """
permit: {occupancy: one family}
spaces:
  studio:
    use: living
    outline: ["0 ft, 0 ft", "18 ft, 0 ft", "18 ft, 10 ft", "12 ft, 10 ft", "12 ft, 17 ft", "0 ft, 17 ft"]
"""


def view_of(text: str, **lists: Any) -> SiteView:
    data = yaml.load(text, Loader=yaml.BaseLoader)
    data.update({name.replace("_", " "): yaml.load(part, Loader=yaml.BaseLoader) for name, part in lists.items()})
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def whole(*names: str, in_: str | None = None) -> str:
    where = f", in: {in_}" if in_ else ""
    return "\n".join(f"- {{list: {name}, whole: yes, by: M.K., day: 2026-05-03{where}}}" for name in names)


def spaces(view: SiteView) -> dict[str, str]:
    """Each wall space with its length as it is printed."""
    return {
        one.id: "not known" if isinstance(one.value("length"), Unknown) else show(one.value("length"), "length")
        for one in view.of("wall_space")
    }


def reach(view: SiteView, name: str, edition: str = "nec 2017") -> Judged:
    rule = next(rule for rule in RULES[edition] if rule.id == "nec.wall-receptacle-reach")
    subject = next(one for one in view.of("wall_space") if one.id == name)
    return next(iter(judge(rule, Env(subject, view.roots, {}))))


def receptacle(wall: str, at: str, **more: str) -> dict[str, str]:
    return {
        "wall": wall,
        "at": at,
        "height": "16 in",
        "what": "5-15 duplex",
        "mount": "wall",
        "serves": "general",
        **more,
    }


# the line itself


def test_a_loop_with_no_break_is_one_closed_stretch() -> None:
    (stretch,) = stretches_of_loop(100, [])
    assert (stretch.start, stretch.length, stretch.closed, stretch.after) == (0, 100, True, None)


def test_a_stretch_runs_through_the_end_of_the_loop() -> None:
    (stretch,) = stretches_of_loop(100, [Piece(40, 60, "D")])
    assert (stretch.start, stretch.length, stretch.after, stretch.before) == (60, 80, "D", "D")
    assert along_stretch(stretch, 100, 10) == 50
    assert along_stretch(stretch, 100, 50) is None


def test_a_spot_at_either_end_of_a_stretch_is_on_it() -> None:
    (stretch,) = stretches_of_loop(100, [Piece(40, 60, "D")])
    assert [along_stretch(stretch, 100, at) for at in (60, 40)] == [0, 80]


def test_a_wall_that_only_meets_a_stretch_at_a_corner_touches_it() -> None:
    (stretch,) = stretches_of_loop(100, [Piece(40, 60, "D")])
    assert touches(stretch, 100, 30, 40) and touches(stretch, 100, 50, 60)
    assert not touches(stretch, 100, 45, 55)


def test_breaks_that_touch_or_overlap_are_one_named_by_the_one_that_ends_last() -> None:
    found = stretches_of_loop(100, [Piece(10, 30, "A"), Piece(20, 25, "B"), Piece(30, 40, "C"), Piece(70, 80, "D")])
    assert [(one.after, one.before, one.length) for one in found] == [("C", "D", 30), ("D", "A", 30)]


def test_a_break_over_the_corner_where_the_loop_begins_leaves_no_empty_stretch() -> None:
    found = stretches_of_loop(100, [Piece(90, 100, "A"), Piece(0, 10, "B")])
    assert [(one.after, one.start, one.length) for one in found] == [("B", 10, 80)]


def test_a_run_broken_at_its_ends_has_nothing_outside_them() -> None:
    found = stretches_of_run(100, [Piece(0, 10, "range"), Piece(90, 100, "sink")])
    assert [(one.after, one.before, one.start, one.length) for one in found] == [("range", "sink", 10, 80)]


@given(
    st.integers(10, 2_000),
    st.booleans(),
    st.lists(st.integers(0, 2_000), min_size=1, max_size=8),
)
def test_the_farthest_point_is_what_a_walk_in_small_steps_finds(length: int, closed: bool, raw: list[int]) -> None:
    spots = sorted({spot % (length if closed else length + 1) for spot in raw})

    def away(point: Fraction) -> Fraction:
        gaps = [abs(point - spot) for spot in spots]
        return min(gap for one in gaps for gap in ((one, length - one) if closed else (one,)))

    # Every candidate is a multiple of a half: walking in halves finds the true farthest point.
    walked = max(away(Fraction(step, 2)) for step in range(2 * length + 1))
    found = farthest_point(length, closed, spots)
    assert found is not None
    assert found.distance == walked
    assert away(Fraction(found.point)) == walked


def test_no_spot_leaves_no_farthest_point() -> None:
    assert farthest_point(10, False, []) is None


# wall spaces from a plan


def test_wall_spaces_go_round_corners_inward_and_outward_ones() -> None:
    view = view_of(
        L_SHAPE,
        openings="{D1: {wall: studio.south, at: 2 ft, width: 3 ft, what: door}, "
        "D2: {wall: studio.west, at: 8 ft, width: 3 ft, what: cased opening}}",
        looked=whole("openings"),
    )
    # South is 18 ft, seen from inside its left end is in the east: 13 ft are right of the door, then 8 ft of the west
    # wall; from the other opening 6 + 12 + 7 + 6 + 10 ft, round the corner that points into the room, and 2 ft more.
    assert spaces(view) == {"studio: after D1": "21 ft", "studio: after D2": "43 ft"}


def test_a_room_without_openings_is_one_wall_space_all_round() -> None:
    view = view_of(L_SHAPE, looked=whole("openings", in_="studio"))
    assert spaces(view) == {"studio: all round": "70 ft"}
    (one,) = view.of("wall_space")
    assert one.value("closed") is True


@pytest.mark.parametrize(
    ("facts", "breaks"),
    [
        ("what: door", True),
        ("what: garage door", True),
        ("what: cased opening", True),
        ("what: fireplace", True),
        ("what: sliding panel", True),
        ("what: stair opening", True),
        ("what: railing", False),
        ("what: bar counter", False),
        ("what: fixed glass, sill: 0 in", False),
        ("what: fixed glass, sill: 20 in", False),
        ("what: window, sill: 30 in", False),
        ("what: window, sill: at least 10 in", False),
        ("what: window, sill: 0 in, operable: no", False),
        ("what: window, sill: 0 in, operable: yes", True),
        ("what: louver, sill: 8 ft", False),
        ("what: vent opening, sill: 0 in", True),
        ("what: fixed cabinet, work surface: no", True),
        ("what: fixed cabinet, work surface: yes", False),
        ("what: sliding door, fixed panel: none", True),
    ],
)
def test_what_breaks_a_wall_space(facts: str, breaks: bool) -> None:
    view = view_of(
        L_SHAPE, openings=f"{{X1: {{wall: studio.south, at: 2 ft, width: 4 ft, {facts}}}}}", looked=whole("openings")
    )
    assert spaces(view) == ({"studio: after X1": "66 ft"} if breaks else {"studio: all round": "70 ft"})


@pytest.mark.parametrize(
    ("facts", "lacks"),
    [
        ("at: 2 ft, width: 4 ft", "what"),
        ("at: 2 ft, what: door", "width"),
        ("width: 3 ft, what: door", "at"),
        ("at: 2 ft, width: 4 ft, what: window", "sill"),
        ("at: 2 ft, width: 4 ft, what: fixed cabinet", "work surface"),
        ("at: 2 ft, width: 4 ft, what: window, sill: 0 in", "operable"),
        ("at: 2 ft, width: 4 ft, what: window, sill: at most 10 in", "sill"),
        ("at: 2 ft, width: 4 ft, what: sliding door", "fixed panel"),
    ],
)
def test_an_opening_that_is_not_fully_known_leaves_the_walls_of_its_room_unknown(facts: str, lacks: str) -> None:
    view = view_of(L_SHAPE, openings=f"{{X1: {{wall: studio.south, {facts}}}}}", looked=whole("openings"))
    (one,) = view.of("wall_space")
    assert one.id == "studio: walls"
    assert [(item.element, item.fact) for item in one.value("length").missing] == [("X1", lacks)]


@pytest.mark.parametrize("lacks", ["wall", "at", "width", "high"])
def test_a_window_above_the_floor_needs_no_place(lacks: str) -> None:
    window = {"wall": "studio.south", "at": "2 ft", "width": "4 ft", "sill": "30 in", "what": "window"}
    window.pop(lacks, None)
    view = view_of(L_SHAPE, openings=yaml.safe_dump({"X1": window}), looked=whole("openings"))
    assert spaces(view) == {"studio: all round": "70 ft"}


def test_a_planned_window_without_a_place_is_no_better_known_than_planned() -> None:
    window = "{X1: {wall: studio.south, what: window, sill: 30 in, known: planned}}"
    at = {"R1": receptacle("studio.south", "3 ft")}
    view = view_of(L_SHAPE, openings=window, receptacles=yaml.safe_dump(at), looked=whole("openings", "receptacles"))
    (one,) = view.of("wall_space")
    assert one.fact("length").known == HOW_KNOWN.index("planned")


def test_rooms_that_stand_nowhere_on_the_plan_may_share_a_door_but_no_window() -> None:
    rooms = """
permit: {occupancy: one family}
spaces: {one: {use: bedroom, size: 12 ft x 11 ft}, two: {use: bedroom, size: 12 ft x 11 ft}}
"""
    window = "W1: {wall: one.north, at: 3 ft, width: 4 ft, sill: 36 in, what: window}"
    door = "D1: {wall: one.north, at: 9 ft, width: 2 ft, what: door}"
    with_window = view_of(rooms, openings=f"{{{window}}}", looked=whole("openings"))
    assert spaces(with_window) == {"one: all round": "46 ft", "two: all round": "46 ft"}
    with_door = view_of(rooms, openings=f"{{{window}, {door}}}", looked=whole("openings"))
    assert spaces(with_door) == {"one: after D1": "44 ft", "two: walls": "not known"}


def test_openings_that_nobody_called_whole_leave_the_walls_unknown() -> None:
    (one,) = view_of(L_SHAPE).of("wall_space")
    assert [item.fact for item in one.value("outlets").missing] == ["whole list of openings"]


@pytest.mark.parametrize("panel", ["left", "right"])
def test_the_fixed_half_of_a_sliding_door_is_wall_from_either_side(panel: str) -> None:
    two = """
permit: {occupancy: one family}
spaces:
  one: {use: den, size: 20 ft x 15 ft, corner: "0 ft, 0 ft", level: ground}
  two: {use: den, size: 20 ft x 15 ft, corner: "20 ft 6 in, 0 ft", level: ground}
levels: {ground: {floor: 0 in}}
"""
    view = view_of(
        two,
        openings=f"{{D0: {{wall: one.north, at: 0 ft, width: 4 ft, what: door}}, "
        f"D1: {{wall: one.east, at: 5 ft, width: 4 ft, what: sliding door, fixed panel: {panel}}}}}",
        looked=whole("openings"),
    )
    # From the door on the north wall to the moving panel: 16 ft, then 5 ft or (fixed half on the left) 7 ft.
    assert spaces(view)["one: after D0"] == ("23 ft" if panel == "left" else "21 ft")
    # Seen from the other room the halves change sides; the wall left and right of the moving half is the same 68 ft.
    other = next(one for one in view.of("wall_space") if one.id == "two: after D1")
    assert show(other.value("length"), "length") == "68 ft"
    assert other.where[2] == (10 if panel == "right" else 8) * FOOT


def test_a_sidelight_to_the_floor_breaks_the_wall_of_a_foyer_only() -> None:
    glass = "{X1: {wall: studio.south, at: 2 ft, width: 4 ft, what: fixed glass, sill: 0 in}}"
    foyer = L_SHAPE.replace("living", "foyer")
    assert spaces(view_of(L_SHAPE, openings=glass, looked=whole("openings"))) == {"studio: all round": "70 ft"}
    assert spaces(view_of(foyer, openings=glass, looked=whole("openings"))) == {"studio: after X1": "66 ft"}


def test_wall_spaces_agree_with_the_ring_of_a_geometry_library() -> None:
    view = view_of(
        L_SHAPE,
        openings="{D1: {wall: studio.south, at: 2 ft, width: 3 ft, what: door}}",
        receptacles=yaml.safe_dump(
            {
                "R-01": receptacle("studio.north-1", "5 ft"),
                "R-02": receptacle("studio.east-1", "2 ft"),
                "R-03": receptacle("studio.east-2", "9 ft"),
            }
        ),
        looked=whole("openings", "receptacles"),
    )
    # Clockwise, as the walls are seen from left to right from inside; the right side of the door is at 13 ft east.
    ring = LinearRing([(13, 0), (0, 0), (0, 17), (12, 17), (12, 10), (18, 10), (18, 0)])
    wanted = {"R-01": (5, 17), "R-02": (12, 15), "R-03": (18, 1)}
    (one,) = view.of("wall_space")
    found = {member.id: member.value("along") for member in one.value("outlets").sure}
    assert found == {name: pytest.approx(ring.project(Point(*spot)) * FOOT) for name, spot in wanted.items()}


# which receptacles, and how far


def test_the_farthest_point_is_said_so_that_a_person_can_find_it() -> None:
    view = view_of(
        L_SHAPE,
        openings="{D3: {wall: studio.south, at: 2 ft, width: 3 ft, what: door}}",
        receptacles=yaml.safe_dump(
            {
                "R-03": receptacle("studio.south", "8 ft"),
                "R-04": receptacle("studio.west", "2 ft 1/8 in"),
                "R-05": receptacle("studio.west", "14 ft"),
                "R-06": receptacle("studio.north-1", "9 ft"),
                "R-07": receptacle("studio.north-2", "2 ft"),
                "R-08": receptacle("studio.east-2", "8 ft"),
            }
        ),
        looked=whole("openings", "receptacles"),
    )
    judged = reach(view, "studio: after D3")
    assert judged.verdict == "not met"
    step = judged.answer.steps[-1]
    assert step.how == "12 ft 1/8 in between R-03 and R-04, half of it; the point is 9 ft 1/16 in from door D3"
    assert step.result == "6 ft 1/16 in from either"


def test_a_receptacle_across_the_doorway_does_not_serve_the_next_wall_space() -> None:
    view = view_of(
        L_SHAPE,
        openings="{D1: {wall: studio.south, at: 6 ft, width: 3 ft, what: door}, "
        "D2: {wall: studio.south, at: 12 ft, width: 3 ft, what: door}}",
        receptacles=yaml.safe_dump({"R-01": receptacle("studio.south", "5 ft 11 in")}),
        looked=whole("openings", "receptacles"),
    )
    assert reach(view, "studio: after D1").verdict == "not met"


def test_a_receptacle_whose_place_is_missing_may_stand_anywhere_it_can() -> None:
    doors = (
        "{D1: {wall: studio.south, at: 6 ft, width: 3 ft, what: door}, "
        "D2: {wall: studio.south, at: 12 ft, width: 3 ft, what: door}}"
    )
    somewhere = {"R-01": {"space": "studio", "what": "5-15 duplex", "mount": "wall", "serves": "general"}}
    view = view_of(
        L_SHAPE, openings=doors, receptacles=yaml.safe_dump(somewhere), looked=whole("openings", "receptacles")
    )
    assert reach(view, "studio: after D1").verdict == "not recorded"
    north = {"R-01": {k: v for k, v in receptacle("studio.north-1", "1 ft").items() if k != "at"}}
    view = view_of(L_SHAPE, openings=doors, receptacles=yaml.safe_dump(north), looked=whole("openings", "receptacles"))
    # Between the two doors it cannot stand; on the long wall space it may.
    assert reach(view, "studio: after D1").verdict == "not met"
    assert reach(view, "studio: after D2").verdict == "not recorded"


@pytest.mark.parametrize(
    "facts",
    [
        {"mount": "ceiling", "space": "studio"},
        {"mount": "countertop", "space": "studio"},
        {"outside": "front"},
    ],
)
def test_what_stands_on_no_wall_leaves_no_wall_space_open(facts: dict[str, str]) -> None:
    view = view_of(L_SHAPE, receptacles=yaml.safe_dump({"R-01": facts}), looked=whole("openings", "receptacles"))
    assert reach(view, "studio: all round").verdict == "not met"


def test_a_list_that_is_whole_for_one_wall_is_enough_for_a_wall_space_on_it() -> None:
    doors = (
        "{D1: {wall: studio.south, at: 6 ft, width: 3 ft, what: door}, "
        "D2: {wall: studio.south, at: 12 ft, width: 3 ft, what: door}}"
    )
    looked = whole("openings") + "\n" + whole("receptacles", in_="studio.south")
    view = view_of(L_SHAPE, openings=doors, looked=looked)
    assert reach(view, "studio: after D1").verdict == "not met"
    assert reach(view, "studio: after D2").verdict == "not recorded"


def test_a_workshop_has_no_wall_spacing_in_any_edition_and_a_shop_standard_adds_one() -> None:
    shop = L_SHAPE.replace("living", "workshop").replace("one family", "accessory")
    view = view_of(shop, looked=whole("openings", "receptacles"))
    for edition in EDITIONS:
        assert reach(view, "studio: all round", edition).verdict == "does not apply"
    assert SHOP is not None
    (subject,) = view.of("wall_space")
    (judged,) = judge(SHOP, Env(subject, view.roots, {}))
    assert judged.verdict == "not met"
    assert SHOP.severity == "advisory"


# counters

KITCHEN = """
permit: {occupancy: one family}
spaces: {kitchen: {use: kitchen, size: 12 ft x 10 ft}}
"""
STATEMENTS = whole("openings", "receptacles", "counters")


def counter(name: str, wall: str, at: str, length: str, breaks: str = "none") -> str:
    return (
        f"{name}: {{what: wall counter, wall: kitchen.{wall}, at: {at}, length: {length}, depth: 25 in, height: 36 in, "
        f"breaks: {breaks}}}"
    )


def test_counters_that_meet_in_a_corner_are_one_line_and_no_wall_space() -> None:
    view = view_of(
        KITCHEN,
        counters="{" + counter("C1", "north", "0 in", "8 ft") + ", " + counter("C2", "west", "4 ft", "6 ft") + "}",
        looked=STATEMENTS,
    )
    (line,) = view.of("counter_line")
    # The west wall ends, seen from inside, where the north wall begins.
    assert (line.id, show(line.value("length"), "length")) == ("kitchen: C2", "14 ft")
    assert spaces(view) == {"kitchen: after C1": "30 ft"}


def test_a_gap_as_wide_as_a_range_parts_two_counters() -> None:
    view = view_of(
        KITCHEN,
        counters="{"
        + counter("C1", "north", "0 in", "5 ft")
        + ", "
        + counter("C2", "north", "7 ft 6 in", "4 ft")
        + "}",
        looked=STATEMENTS,
    )
    assert [line.id for line in view.of("counter_line")] == ["kitchen: C1", "kitchen: C2"]


def test_breaks_are_placed_along_the_line_and_ask_for_what_they_lack() -> None:
    sink = "[{what: sink, at: 3 ft, width: 30 in, behind: 3 in, in corner: no}]"
    view = view_of(KITCHEN, counters="{" + counter("C1", "north", "1 ft", "8 ft", sink) + "}", looked=STATEMENTS)
    (line,) = view.of("counter_line")
    (one,) = line.value("breaks").sure
    assert show(one.value("along"), "length") == "2 ft"
    bare = "[{what: sink, at: 3 ft, width: 30 in}]"
    view = view_of(KITCHEN, counters="{" + counter("C1", "north", "1 ft", "8 ft", bare) + "}", looked=STATEMENTS)
    (line,) = view.of("counter_line")
    assert [item.fact for item in line.value("breaks").missing] == ["behind of its sink", "in corner of its sink"]


def test_a_kitchen_whose_counters_are_not_said_to_be_all_has_one_unknown_line_and_unknown_walls() -> None:
    view = view_of(KITCHEN, counters="{" + counter("C1", "north", "1 ft", "8 ft") + "}", looked=whole("openings"))
    assert [line.id for line in view.of("counter_line")] == ["kitchen: counters"]
    assert spaces(view) == {"kitchen: walls": "not known"}


def test_counters_on_both_sides_of_the_corner_where_the_room_is_begun_are_one_line() -> None:
    view = view_of(KITCHEN, looked=STATEMENTS)
    first = RoomLine.of(view, view.elements["kitchen"])
    assert first is not None
    walls = list(first.walls)
    begun, last = (first.walls[wall] for wall in (walls[0], walls[-1]))
    view = view_of(
        KITCHEN,
        looked=STATEMENTS,
        counters="{"
        + counter("C1", begun.name, "0 in", "3 ft")
        + ", "
        + counter("C2", last.name, show(last.length - 2 * FOOT, "length"), "2 ft")
        + "}",
        receptacles=yaml.safe_dump({"K-01": receptacle(begun.ref, "1 ft")}),
    )
    (line,) = view.of("counter_line")
    assert (line.id, show(line.value("length"), "length")) == ("kitchen: C2", "5 ft")
    assert [show(one.value("along"), "length") for one in line.value("outlets").sure] == ["3 ft"]


def test_a_counter_over_an_open_list_of_receptacles_is_not_called_short_of_one() -> None:
    view = view_of(
        KITCHEN, counters="{" + counter("C1", "north", "1 ft", "8 ft") + "}", looked=whole("openings", "counters")
    )
    rule = next(rule for rule in RULES["nec 2017"] if rule.id == "nec.counter-receptacle-reach")
    (line,) = view.of("counter_line")
    assert [one.verdict for one in judge(rule, Env(line, view.roots, {}))] == ["not recorded"]


def test_height_above_a_counter_comes_from_the_counter_under_the_receptacle() -> None:
    view = view_of(
        KITCHEN,
        counters="{" + counter("C1", "north", "1 ft", "8 ft") + "}",
        looked=STATEMENTS,
        receptacles=yaml.safe_dump({"K-01": receptacle("kitchen.north", "4 ft", height="44 in", serves="counter")}),
    )
    (line,) = view.of("counter_line")
    (one,) = line.value("outlets").sure
    assert (show(one.value("along"), "length"), one.value("above_counter")) == ("3 ft", 8 * INCH)


# taking things out of a whole house

HOUSE = """
permit: {occupancy: one family}
measured to: finished face
described: {electrical: yes}
spaces:
  studio:
    use: living
    outline: ["0 ft, 0 ft", "18 ft, 0 ft", "18 ft, 10 ft", "12 ft, 10 ft", "12 ft, 17 ft", "0 ft, 17 ft"]
  kitchen: {use: kitchen, size: 12 ft x 10 ft, corner: "30 ft, 0 ft"}
  bath: {use: bathroom, size: 6 ft x 8 ft, corner: "50 ft, 0 ft"}
  hall: {use: hall, size: 4 ft x 14 ft, corner: "60 ft, 0 ft", centerline: 14 ft}
  foyer: {use: foyer, size: 8 ft x 9 ft, corner: "80 ft, 0 ft"}
  laundry: {use: laundry, size: 6 ft x 8 ft, corner: "100 ft, 0 ft"}
  deck: {use: deck, attached: yes, from inside: yes, off house: 0 in}
  cellar: {use: basement, finished: no}
  garage: {use: garage, vehicle bays: 2}
openings:
  D1: {wall: studio.south, at: 2 ft, width: 3 ft, what: door, other side: bath.south}
  D2: {wall: studio.west, at: 8 ft, width: 3 ft, what: cased opening}
  W1: {wall: studio.south, at: 9 ft, width: 5 ft, what: window, sill: 30 in}
  W2: {wall: studio.north-1, at: 3 ft, width: 5 ft, what: window, sill: 0 in, operable: yes}
  S1: {wall: studio.east-2, at: 1 ft, width: 6 ft, what: sliding door, fixed panel: left}
  D3: {wall: kitchen.south, at: 1 ft, width: 3 ft, what: door}
  F1: {wall: foyer.south, at: 1 ft, width: 3 ft, what: door}
  F2: {wall: foyer.south, at: 4 ft, width: 1 ft, what: fixed glass, sill: 0 in}
receptacles:
  R-01: {wall: studio.south, at: 9 ft, height: 16 in, what: 5-15 duplex, mount: wall, serves: general}
  R-02: {wall: studio.west, at: 3 ft, height: 16 in, what: 5-15 duplex, mount: wall, serves: general}
  R-03: {wall: studio.west, at: 14 ft, height: 16 in, what: 5-15 duplex, mount: wall, serves: general}
  R-04: {wall: studio.north-1, at: 9 ft, from wall: 6 in, what: 5-15 duplex, mount: floor, serves: general}
  R-05: {wall: studio.east-1, at: 6 ft, height: 16 in, volts: 125 V, amps: 15 A, mount: wall, serves: general}
  R-06: {wall: studio.south, at: 1 ft, height: 80 in, what: 5-15 duplex, mount: wall, serves: general}
  K-01: {wall: kitchen.north, at: 2 ft, height: 44 in, what: 5-20 duplex, mount: wall, serves: counter,
    circuit: C-01}
  K-02: {wall: kitchen.north, at: 9 ft 9 in, height: 44 in, what: 5-20 duplex, mount: wall, serves: counter,
    circuit: C-02}
  K-03: {counter: I1, what: 5-20 duplex, mount: base cabinet side, above counter: -10 in, serves: counter,
    circuit: C-02}
  K-04: {counter: P1, what: 5-20 duplex, mount: countertop, serves: counter, from end: 1 ft,
    circuit: C-02}
  K-05: {wall: kitchen.east, at: 6 ft, height: 16 in, what: 5-20 duplex, mount: wall, serves: general, circuit: C-03}
  B-01: {wall: bath.north, at: 2 ft, height: 40 in, what: 5-20 duplex, mount: base cabinet side, serves: general,
    below basin: 4 in}
  H-01: {wall: hall.east, at: 2 ft, height: 16 in, what: 5-15 duplex, mount: wall, serves: general}
  L-01: {wall: laundry.north, at: 2 ft, height: 40 in, what: 5-20 single, mount: wall, serves: laundry,
    to machine: 4 ft}
  G-01: {space: garage, height: 44 in, what: 5-20 duplex, mount: wall, serves: general, bay: 1}
  G-02: {space: garage, height: 8 ft, what: 5-20 single, mount: ceiling, serves: door opener, bay: 2}
  O-01: {outside: front, from grade: yes, above grade: 18 in, what: 5-20 single}
  O-02: {space: deck, height: 18 in, what: 5-20 single, outside: back, from grade: no}
  X-01: {space: cellar, height: 4 ft, what: 5-20 duplex, mount: wall, serves: security system}
circuits:
  C-01: {for: counter, breaker: 20 A, purpose: small appliances, other outlets: none}
  C-02: {for: counter, breaker: 20 A, purpose: small appliances, other outlets: lights}
  C-03: {for: lights, breaker: 15 A, purpose: lighting}
  C-04: {for: garage, breaker: 20 A, purpose: garage, other outlets: outdoors}
counters:
  C1: {what: wall counter, wall: kitchen.north, at: 0 in, length: 12 ft, depth: 25 in, height: 36 in,
    breaks: [{what: sink, at: 4 ft, width: 40 in, behind: 3 in, in corner: no}]}
  C2: {what: wall counter, wall: kitchen.west, at: 8 ft, length: 2 ft, depth: 25 in, height: 36 in, breaks: none}
  I1: {what: island, space: kitchen, length: 5 ft, depth: 3 ft, height: 36 in, overhang: 2 in, backsplash: no,
    breaks: none}
  P1: {what: peninsula, space: kitchen, length: 3 ft, depth: 2 ft, height: 36 in, breaks: none}
basins:
  S-1: {space: bath, receptacle: B-01, to receptacle: 2 ft}
"""
LISTS = ("openings", "receptacles", "counters", "spaces")


def house() -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(HOUSE, Loader=yaml.BaseLoader)
    data["looked"] = [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in LISTS]
    return data


def verdicts(data: dict[str, Any]) -> dict[tuple[str, str, str], str]:
    view = SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)
    rules = [(edition, rule) for edition in EDITIONS for rule in RULES[edition]] + [("job", SHOP)]
    return {
        (edition, one.name, subject.id): one.verdict
        for edition, rule in rules
        if rule is not None
        for subject in view.of(rule.each)
        for one in judge(rule, Env(subject, view.roots, {}))
    }


def removals() -> Iterator[tuple[str, ...]]:
    """Every fact, every element nothing refers to, every statement."""
    for list_name, elements in house().items():
        if list_name == "looked":
            yield from (("looked", name) for name in LISTS)
        elif list_name == "measured to":
            yield (list_name,)
        elif list_name in ("permit", "described"):
            yield from ((list_name, name) for name in elements)
        else:
            for name, facts in elements.items():
                if name not in ("I1", "P1", "B-01", "C-01", "C-02", "C-03") and list_name != "spaces":
                    yield list_name, name
                yield from ((list_name, name, fact) for fact in facts)


BEFORE = verdicts(house())


def test_the_house_is_judged_as_a_person_would_judge_it() -> None:
    said = {
        (rule.removeprefix("nec."), name): verdict
        for (edition, rule, name), verdict in BEFORE.items()
        if edition == "nec 2017" and verdict != "does not apply"
    }
    assert said == {
        # West wall right of the opening 6 ft with R-03, 3 ft of the north wall; a floor box 1 ft past the tall window.
        ("wall-receptacle-reach", "studio: after D2"): "met",
        ("wall-receptacle-reach", "studio: after W2"): "not met",
        # Past the slider only R-06, too high to count.
        ("wall-receptacle-reach", "studio: after S1"): "not met",
        ("wall-receptacle-reach", "studio: after D1"): "met",
        ("wall-receptacle-reach", "kitchen: after C1"): "met",
        ("wall-receptacle-reach", "kitchen: after D3"): "not met",
        ("foyer-receptacle", "foyer: after F2"): "not met",
        ("hall-receptacle", "hall"): "met",
        ("counter-receptacle-reach", "kitchen: C2"): "not met",
        ("island-receptacle.island", "I1"): "met",
        ("island-receptacle.peninsula", "P1"): "met",
        ("bathroom-receptacle", "bath"): "met",
        ("basin-receptacle.near", "S-1"): "met",
        ("basin-receptacle.not_low", "S-1"): "met",
        ("basin-receptacle.rating", "S-1"): "met",
        ("outdoor-receptacle.one_family", "outdoors: front"): "met",
        ("outdoor-receptacle.one_family", "outdoors: back"): "not met",
        ("deck-receptacle", "deck"): "met",
        ("laundry-receptacle.there", "laundry"): "met",
        ("laundry-receptacle.near", "laundry"): "met",
        ("garage-bay", "garage: bay 1"): "met",
        ("garage-bay", "garage: bay 2"): "not met",
        ("basement-receptacle", "cellar"): "met",
        ("kitchen-circuits", "kitchen"): "met",
        # K-05 on the lights.
        ("kitchen-supply", "kitchen"): "not met",
        ("set-aside-circuit.rating", "C-01"): "met",
        ("set-aside-circuit.alone", "C-01"): "met",
        ("set-aside-circuit.rating", "C-02"): "met",
        ("set-aside-circuit.alone", "C-02"): "not met",
        ("set-aside-circuit.rating", "C-04"): "met",
        ("set-aside-circuit.garage_alone", "C-04"): "met",
    }


@pytest.mark.parametrize(
    ("edition", "rule", "name", "verdict"),
    [
        ("nec 2020", "nec.island-receptacle.number", "I1", "not met"),
        ("nec 2020", "nec.island-receptacle.number", "P1", "met"),
        ("nec 2020", "nec.island-receptacle.outer_end", "P1", "met"),
        ("nec 2023", "nec.island-receptacle", "I1", "not recorded"),
        ("nec 2023", "nec.island-receptacle", "P1", "met"),
        ("nec 2020", "nec.basement-receptacle", "cellar", "met"),
        ("nec 2023", "nec.basement-receptacle", "cellar", "not met"),
    ],
)
def test_later_editions_judge_the_same_house_otherwise(edition: str, rule: str, name: str, verdict: str) -> None:
    assert BEFORE[edition, rule, name] == verdict


@pytest.mark.parametrize("path", list(removals()), ids=" ".join)
def test_taking_something_out_turns_no_verdict_over(path: tuple[str, ...]) -> None:
    data = copy.deepcopy(house())
    if path[0] == "looked":
        data["looked"] = [said for said in data["looked"] if said["list"] != path[1]]
    elif len(path) == 1:
        del data[path[0]]
    elif len(path) == 2:
        del data[path[0]][path[1]]
        data["looked"] = [said for said in data["looked"] if said["list"] != path[0]]
    else:
        del data[path[0]][path[1]][path[2]]
    turned = {
        key: (BEFORE[key], verdict)
        for key, verdict in verdicts(data).items()
        if key in BEFORE and verdict not in (BEFORE[key], "not recorded")
    }
    assert not turned


def test_names_of_wall_spaces_stay_when_something_else_in_the_house_changes() -> None:
    data = house()
    data["openings"]["K9"] = {"wall": "kitchen.west", "at": "1 ft", "width": "3 ft", "what": "door"}
    before = {key for key in BEFORE if "studio" in key[2]}
    assert before <= set(verdicts(data))


def test_a_wall_space_with_a_whole_empty_list_is_nowhere_near_a_receptacle() -> None:
    (one,) = view_of(L_SHAPE, looked=whole("openings", "receptacles")).of("wall_space")
    outlets = one.value("outlets")
    assert isinstance(outlets, Members) and not outlets.open and outlets.sure == ()
    assert math.isinf(farthest(one, ()).value)
