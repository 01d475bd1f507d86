"""What is worked out about holes, boxes in rated walls, walls with two sides, and fireblocks."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

import oktocover.measures.trades as trades
from oktocover.measures.membrane_boxes import most_in_any
from oktocover.measures.penetrations import widest_run
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.site.penetrations import problems

assert trades
IN, FT = 25_400_000, 304_800_000
ROOMS = {
    "left": {"use": "living", "size": "20 ft x 12 ft", "corner": "0 ft, 0 ft", "ceiling": "8 ft", "heated": "yes"},
    "right": {
        "use": "garage",
        "size": "20 ft x 12 ft",
        "corner": "0 ft, 12 ft 5 in",
        "ceiling": "9 ft",
        "heated": "no",
    },
}
WALL = {"W-1": {"sides": ["left.north", "right.south"], "framing": "2x4", "rating": "1 h"}}


def view(**lists: Any) -> SiteView:
    """A site of two rooms with one wall between them, and what is given (`_` for spaces in list names)."""
    given_lists = {name.replace("_", " "): entries for name, entries in lists.items()}
    looked = [*whole("spaces"), *given_lists.pop("looked", [])]
    data = {"spaces": ROOMS, "walls": WALL, "looked": looked, **given_lists}
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def one(kind: str, **lists: Any) -> Subject:
    (found,) = view(**lists).of(kind)
    return found


def hole(**facts: str) -> Subject:
    return one("hole", penetrations={"P-1": facts})


def whole(*names: str) -> list[dict[str, str]]:
    return [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in names]


# holes


def test_a_taped_gap_stands() -> None:
    assert hole(gap="1/4 in", hole="1 in", item="1/2 in").value("gap") == IN // 4


def test_the_gap_of_one_item_is_between_centred_and_touching() -> None:
    gap = hole(hole="1 in", item="1/2 in", items="1").value("gap")
    assert isinstance(gap, Range) and (gap.low, gap.high) == (IN // 4, IN // 2)
    assert [lack.fact for lack in gap.missing] == ["gap"]


def test_several_items_may_leave_no_gap_at_all() -> None:
    gap = hole(hole="1 in", item="1/2 in").value("gap")
    assert isinstance(gap, Range) and (gap.low, gap.high) == (0, IN // 2)


def test_a_bound_on_the_hole_bounds_the_gap() -> None:
    gap = hole(hole="at most 1 in", item="1/2 in").value("gap")
    assert isinstance(gap, Range) and gap.high == IN // 2
    assert isinstance(hole(hole="at least 1 in", item="1/2 in").value("gap"), Unknown)


def test_an_empty_hole_is_all_gap() -> None:
    assert hole(hole="2 in", carries="nothing").value("gap") == 2 * IN


def test_a_hole_is_at_most_the_square_of_its_longer_side() -> None:
    area = hole(hole="12 in").value("opening")
    assert isinstance(area, Range) and (area.low, area.high) == (0, 144 * IN * IN)
    assert hole(hole="12 in", opening="113 in2").value("opening") == 113 * IN * IN


def test_a_hole_has_the_rating_of_its_wall() -> None:
    assert hole(wall="left.north", member="wall").value("must_hold") == 3600
    assert hole(assembly="W-1", member="wall").value("must_hold") == 3600


def test_a_floor_has_its_own_rating_or_none_is_recorded() -> None:
    assert hole(space="left", member="floor", rating="none").value("must_hold") == 0
    lost = hole(space="left", member="floor", wall="left.north").value("must_hold")
    assert isinstance(lost, Unknown) and lost.missing[0].fact == "rating"


def test_where_nothing_is_rated_a_wall_with_no_entry_is_not_rated() -> None:
    facts = {"wall": "left.east", "member": "wall"}
    assert isinstance(hole(**facts).value("must_hold"), Unknown)
    none = one(
        "hole",
        described={"rated walls": "none"},
        penetrations={"P-1": facts},
        walls={"W-1": {**WALL["W-1"], "rating": "none"}},
    )
    assert none.value("must_hold") == 0


def test_a_side_of_two_entries_asks_which() -> None:
    walls = {**WALL, "W-2": {"sides": ["left.north"], "rating": "none"}}
    lost = one("hole", walls=walls, penetrations={"P-1": {"wall": "left.north", "member": "wall"}}).value("assembly")
    assert isinstance(lost, Unknown) and lost.missing[0].fact == "assembly"


@pytest.mark.parametrize(
    ("facts", "leaves"),
    [
        ({"wall": "left.north", "member": "wall"}, True),
        ({"wall": "left.west", "member": "exterior skin"}, True),
        ({"wall": "right.west", "member": "exterior skin"}, False),
        ({"wall": "left.north", "member": "wall", "envelope": "no"}, False),
    ],
)
def test_whether_a_hole_leaves_heated_space(facts: dict[str, str], leaves: bool) -> None:
    assert hole(**facts).value("envelope") is leaves


def test_what_is_above_a_plate_has_to_be_looked_at() -> None:
    assert isinstance(hole(wall="left.north", member="top plate").value("envelope"), Unknown)


# walls


def test_two_sides_that_face_each_other_make_an_inside_wall() -> None:
    wall = one("assembly")
    assert wall.value("outside") is False
    assert [room.id for room in wall.value("rooms").sure] == ["left", "right"]
    assert not wall.value("rooms").open


def test_one_side_leaves_the_other_open_until_it_is_said_to_be_outside() -> None:
    assert one("assembly", walls={"W": {"sides": ["left.west"]}}).value("rooms").open
    assert not one("assembly", walls={"W": {"sides": ["left.west"], "exterior": "yes"}}).value("rooms").open


def test_two_rooms_along_one_outside_wall() -> None:
    wall = one("assembly", walls={"W": {"sides": ["left.west", "right.west"], "exterior": "yes"}})
    assert wall.value("outside") is True
    assert wall.value("face") == 12 * FT * 8 * FT + 12 * FT * 9 * FT


def test_a_room_nobody_has_written_may_be_on_any_wall() -> None:
    data = {"spaces": ROOMS, "walls": {"W-1": {**WALL["W-1"], "exterior": "no"}}}
    (wall,) = SiteView(read_site_text(yaml.safe_dump(data)).site).of("assembly")
    assert wall.value("rooms").open and wall.value("rooms").missing[0].fact == "whole list of spaces"
    area = wall.value("face")
    assert isinstance(area, Range) and area.high is None


def test_openings_of_a_wall_are_open_until_its_list_is_whole() -> None:
    openings = {"O-1": {"wall": "left.north", "at": "2 ft", "width": "3 ft", "high": "4 ft"}}
    assert one("assembly", openings=openings).value("openings").open
    closed = one("assembly", openings=openings, looked=whole("openings")).value("openings")
    assert not closed.open and closed.sure[0].value("face_area") == 12 * FT * FT


def test_the_holes_of_a_wall_are_listed_when_somebody_says_so() -> None:
    assert isinstance(one("assembly").value("holes_listed"), Unknown)
    assert one("assembly", looked=[{**whole("penetrations")[0], "in": "W-1"}]).value("holes_listed") is True
    lost = one("assembly", looked=whole("penetrations"), penetrations={"P-1": {"member": "wall"}})
    assert isinstance(lost.value("holes_listed"), Unknown), "a hole nobody has placed may be in this wall"


def test_none_is_a_rating_and_a_distance() -> None:
    wall = one(
        "assembly",
        walls={
            "W": {
                "sides": ["left.west"],
                "rating": "none",
                "lot line": "none",
                "to dwelling": "none",
                "garage board": "none",
            }
        },
    )
    assert wall.value("rating_time") == 0 and wall.value("board_on_garage_side") == 0
    assert wall.value("line_distance") == NOWHERE and wall.value("dwelling_distance") == NOWHERE


def test_the_door_joins_the_rooms_of_its_wall() -> None:
    door = one("passage", openings={"D-1": {"wall": "left.north", "what": "door"}})
    assert [room.id for room in door.value("rooms").sure] == ["left", "right"]


def test_a_door_in_a_wall_with_no_entry_asks_for_its_other_side() -> None:
    door = one("passage", openings={"D-1": {"wall": "left.west", "what": "door"}})
    assert door.value("rooms").open and door.value("rooms").missing[0].fact == "other side"


# boxes


def boxes(*places: tuple[str, str], closed: bool = True) -> dict[str, Any]:
    entries = {f"B-{n}": {"wall": wall, "at": at, "area": "16 in2"} for n, (wall, at) in enumerate(places, 1)}
    return {"membrane_boxes": entries, "looked": whole("membrane boxes") if closed else []}


@given(st.integers(0, 240), st.integers(0, 240))
def test_boxes_in_opposite_faces_by_their_place_on_the_plan(left: int, right: int) -> None:
    # left.north is seen looking north: its left end is west, at 0. right.south is seen looking south: from the east.
    first = view(**boxes(("left.north", f"{left} in"), ("right.south", f"{right} in"))).of("rated_box")[0]
    assert first.value("apart") == abs(left - (240 - right)) * IN


def test_boxes_of_one_face_are_not_opposite() -> None:
    first, _ = view(**boxes(("left.north", "1 ft"), ("left.north", "2 ft"))).of("rated_box")
    assert first.value("apart") == NOWHERE


def test_a_list_that_is_not_whole_bounds_the_distance() -> None:
    first, _ = view(**boxes(("left.north", "1 ft"), ("right.south", "10 ft"), closed=False)).of("rated_box")
    apart = first.value("apart")
    assert isinstance(apart, Range) and (apart.low, apart.high) == (0, 9 * FT)


def test_a_box_whose_place_is_not_recorded_leaves_the_distance_open() -> None:
    entries = {"B-1": {"wall": "left.north", "at": "1 ft"}, "B-2": {"wall": "right.south"}}
    first, _ = view(membrane_boxes=entries, looked=whole("membrane boxes")).of("rated_box")
    assert isinstance(first.value("apart"), Unknown) and first.value("apart").missing[0].fact == "at"


def test_a_face_has_the_boxes_of_its_own_side() -> None:
    faces = view(**boxes(("left.north", "1 ft"), ("right.south", "10 ft"))).of("wall_face")
    assert [[box.id for box in face.value("boxes").sure] for face in faces] == [["B-1"], ["B-2"]]
    assert [face.value("height") for face in faces] == [8 * FT, 9 * FT]
    assert all(face.value("boxes_listed") is True for face in faces)


@example([(0, 16), (120, 16)], 120)
@given(st.lists(st.tuples(st.integers(0, 600), st.integers(1, 40)), max_size=8), st.integers(84, 144))
def test_the_sum_in_any_piece_of_wall_by_trying_every_piece(placed: list[tuple[int, int]], height: int) -> None:
    """Against brute force: lay the piece at every 1/8 in of the wall, in whole inches throughout."""
    patch = 14_400
    owner = Subject("wall_face", "f", {"height": height * IN})
    members = [
        Subject("rated_box", str(n), {"at": at * IN, "area": area * IN * IN}) for n, (at, area) in enumerate(placed)
    ]
    tried = [
        sum(area for at, area in placed if start * height <= at * 8 * height <= start * height + 8 * patch)
        for start in range(8 * 601)
    ]
    assert most_in_any(owner, members, patch=patch * IN * IN).value == max(tried) * IN * IN


# fireblocks


@given(st.integers(1, 480), st.lists(st.integers(0, 480), max_size=6))
def test_the_widest_run_by_walking_the_wall(length: int, alongs: list[int]) -> None:
    placed = [along for along in alongs if along <= length]
    owner = Subject("concealed_space", "s", {"length": length * IN})
    members = [Subject("fireblock", str(n), {"along": along * IN}) for n, along in enumerate(placed)]
    marks = sorted({0, length, *placed})
    assert widest_run(owner, members).value == max(b - a for a, b in pairwise(marks)) * IN


def test_a_space_has_its_blocks() -> None:
    space = one("concealed_space", concealed_spaces={"S": {"what": "soffit"}}, fireblocks={"F": {"space": "S"}})
    blocks = space.value("fireblocks")
    assert isinstance(blocks, Members) and blocks.open and blocks.sure[0].id == "F"


def test_a_building_without_fire_has_no_chimney_to_list() -> None:
    none = {"fuel burning appliances": "none", "fireplaces": "none"}
    assert one("enclosure", described=none).value("chimneys_listed") is True
    assert isinstance(one("enclosure", described={**none, "fireplaces": "yes"}).value("chimneys_listed"), Unknown)


# what cannot be


def found(**lists: Any) -> list[tuple[str, ...]]:
    return [path for path, *_ in problems(view(**lists).site)]


def test_a_hole_is_as_large_as_what_goes_through() -> None:
    with pytest.raises(InputProblems, match="an item of 2 in in a hole of 1 in"):
        view(penetrations={"P": {"hole": "1 in", "item": "2 in"}})
    with pytest.raises(InputProblems, match="wider than hole less item"):
        view(penetrations={"P": {"hole": "1 in", "item": "7/8 in", "gap": "1/4 in"}})
    assert found(penetrations={"P": {"hole": "1 in", "item": "1 in", "gap": "0 in"}}) == []


def test_rated_walls_that_are_said_not_to_be_there() -> None:
    with pytest.raises(InputProblems, match="W-1 has a fire rating"):
        view(described={"rated walls": "none"})


def test_a_block_stands_within_its_space() -> None:
    with pytest.raises(InputProblems, match="stands past the end"):
        view(concealed_spaces={"S": {"length": "8 ft"}}, fireblocks={"F": {"space": "S", "along": "8 ft 1 in"}})
