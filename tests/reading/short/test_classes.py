"""Walls by class: which walls the rooms make, what a line says of them, and what it leaves open."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, note, settings
from hypothesis import strategies as st

from oktocover import schemas
from oktocover.reading.problems import InputProblems
from oktocover.reading.short import expanded_text
from oktocover.reading.site_file import SiteFile, read_site_text

TODAY = datetime.date(2026, 6, 15)
SIGNED = "by: M.K., day: 2026-05-03"
WHOLE = f"looked: [{{list: spaces, whole: yes, {SIGNED}}}]\n"
ROOMS = """\
site: x
levels: {main: {floor: 6 in}}
spaces:
  garage: {level: main, use: garage, size: 22 ft x 24 ft, corner: "0 ft, 0 ft"}
  studio: {level: main, use: workshop, size: 18 ft x 17 ft, corner: "22' 5-1/2\\", 0 ft"}
  store: {level: main, use: storage, size: 18 ft x 6 ft, corner: "22' 5-1/2\\", 17' 3-1/2\\""}
framing:
  outside: {framing: 2x6, spacing: 16 in, built: platform, thickness: 7-1/2 in}
  inside: {framing: 2x4, spacing: 24 in}
walls:
"""
"""Ten lines: what a test writes begins on line eleven. The garage is west of the other two, the store north of the studio."""
OUTSIDE = {"garage.south", "garage.north", "garage.west", "studio.south", "studio.east", "store.east", "store.north"}
PARTY = "garage.east + studio.west"
MIDDLE = "studio.north + store.south"


def read(lines: str, rest: str = WHOLE, rooms: str = ROOMS) -> SiteFile:
    return read_site_text(rooms + lines + rest, today=TODAY)


def refused(lines: str, rest: str = WHOLE) -> list[str]:
    with pytest.raises(InputProblems) as caught:
        read(lines, rest)
    found = caught.value.problems
    return [f"{one.place and one.place.line}: " + " | ".join(filter(None, (one.message, one.expected, one.do))) for one in found]


def said(found: SiteFile, fact: str) -> dict[str, Any]:
    """A fact of every wall, as it was written."""
    field = fact.replace(" ", "_")
    return {name: getattr(getattr(wall, field), "text", getattr(wall, field)) for name, wall in found.site.walls.items()}


def test_the_rooms_make_the_walls() -> None:
    found = read("  - {all: outside walls, framing: outside}\n  - {all: inside walls, framing: inside}\n")
    assert set(found.site.walls) == {*OUTSIDE, PARTY, MIDDLE}
    assert said(found, "sides")[PARTY] == ["garage.east", "studio.west", "store.west"]
    assert said(found, "framing") == {**dict.fromkeys(OUTSIDE, "2x6"), PARTY: "2x4", MIDDLE: "2x4"}
    assert said(found, "exterior") == {**dict.fromkeys(OUTSIDE, True), PARTY: False, MIDDLE: False}
    assert said(found, "thickness")[PARTY] is None
    assert found.known["walls", "garage.west", "framing"] == "typical"
    assert not found.warnings and "framing" not in found.expanded


def test_the_nearest_line_wins_fact_by_fact() -> None:
    found = read(
        "  - {all: outside walls, framing: outside, lot line: 40 ft, line is: lot line}\n"
        "  - {all: outside walls, in: garage, lot line: 30 ft}\n"
        "  - {between: [garage, studio], garage board: 5/8 in, spacing: 12 in}\n"
        "  - {wall: garage.west, lot line: 2 ft 10 in, rating: 1 h, spacing: 24 in}\n"
        "  - {all: inside walls, framing: inside}\n"
    )
    lot = said(found, "lot line")
    assert (lot["garage.west"], lot["garage.north"], lot["studio.south"], lot[PARTY]) == ("2 ft 10 in", "30 ft", "40 ft", None)
    spacing = said(found, "spacing")
    assert (spacing["garage.west"], spacing["garage.north"], spacing[PARTY], spacing[MIDDLE]) == ("24 in", "16 in", "12 in", "24 in")
    assert {fact: found.place(("walls", "garage.west", fact)).line for fact in ("rating", "lot line", "line is", "thickness")} == {
        "rating": 14, "lot line": 14, "line is": 11, "thickness": 8
    }
    assert found.place(("walls", PARTY)).line == 13 and found.place(("walls", "studio.south")).line == 11
    assert found.known.get(("walls", "garage.west", "rating")) is None, "its own line is a record"
    assert found.known["walls", "garage.north", "lot line"] == "typical"


def test_a_nearer_class_of_framing_replaces_the_farther_one() -> None:
    """The thickness of the one is nothing that can be said of a wall made as the other."""
    found = read(
        "  - {all: outside walls, framing: outside}\n  - {wall: garage.west, framing: inside}\n  - {wall: garage.south, framing: 2x8}\n"
    )
    assert (said(found, "framing")["garage.west"], said(found, "thickness")["garage.west"]) == ("2x4", None)
    assert (said(found, "framing")["garage.south"], said(found, "thickness")["garage.south"]) == ("2x8", None)
    assert said(found, "thickness")["garage.north"] == "7-1/2 in"


def test_a_class_without_a_kind_of_framing_leaves_it_open() -> None:
    rooms = ROOMS.replace("inside: {framing: 2x4, ", "inside: {")
    found = read("  - {all: outside walls, framing: outside}\n  - {wall: garage.west, framing: inside}\n", rooms=rooms)
    assert (said(found, "framing")["garage.west"], said(found, "spacing")["garage.west"]) == (None, "24 in")


def test_ids_are_those_that_are_given() -> None:
    found = read(
        "  - {id: W-4, between: [garage, studio], rating: 1 h}\n"
        "  - {id: W-5, sides: [studio.south, studio.east], lot line: 46 ft}\n"
        "  - {wall: store.south}\n"
        "  - {all: outside walls, framing: outside}\n"
    )
    assert set(found.site.walls) == {"W-4", "W-5", "store.south", *OUTSIDE} - {"studio.south", "studio.east"}
    assert said(found, "sides")["store.south"] == ["studio.north", "store.south"], "named by one of its sides"
    assert said(found, "framing") == {**dict.fromkeys(OUTSIDE - {"studio.south", "studio.east"}, "2x6"), "W-5": "2x6"} | {
        "W-4": None, "store.south": None
    }


def test_a_wall_that_is_named_is_sorted_as_well() -> None:
    """Whether it is an outside wall is what the rooms show, as its sides are."""
    found = read("  - {wall: garage.west, rating: 1 h}\n  - {between: [garage, studio]}\n  - {id: W, sides: [studio.south, studio.east]}\n")
    assert said(found, "exterior") == {"garage.west": True, PARTY: False, "W": True}
    assert found.place(("walls", "garage.west", "exterior")).line == 11
    assert said(read("  - {wall: garage.west, rating: 1 h}\n", ""), "exterior") == {"garage.west": None}


def test_a_side_and_the_wall_between_two_rooms_may_be_one_wall() -> None:
    found = read("  - {wall: studio.west, note: doors}\n  - {id: W-4, between: [garage, studio], framing: inside}\n")
    assert list(found.site.walls) == ["W-4"] and found.site.walls["W-4"].note == "doors"
    assert said(found, "spacing") == {"W-4": "24 in"}


@pytest.mark.parametrize(
    ("line", "known"),
    [
        ("{all: outside walls, spacing: 16 in}", "typical"),
        ("{all: outside walls, spacing: {is: 16 in, known: planned}}", "planned"),
        (f"{{all: outside walls, spacing: 16 in, {SIGNED}, count: 7}}", "looked"),
        ("{wall: garage.west, spacing: 16 in}", None),
        ("{wall: garage.west, spacing: 16 in, known: told}", None),
        ("{wall: garage.west, framing: {is: outside, known: planned}}", "planned"),
    ],
)
def test_how_it_is_known(line: str, known: str | None) -> None:
    found = read(f"  - {line}\n")
    assert found.known.get(("walls", "garage.west", "spacing")) == known


def test_a_plan_on_paper_makes_no_wall_that_is_looked_at() -> None:
    rooms = ROOMS.replace("use: workshop,", "use: workshop, known: planned,")
    found = read(f"  - {{all: outside walls, rating: none, {SIGNED}, count: 7}}\n", rooms=rooms)
    assert found.known["walls", "studio.east", "rating"] == "planned" and found.known["walls", "studio.east", "exterior"] == "planned"
    assert found.known["walls", "garage.west", "rating"] == "looked"


def test_rooms_and_walls_may_name_typicals() -> None:
    """The plan is known no better than the typical that says on which storey a room is."""
    typicals = "typicals: {main: {level: main, heated: yes}, board: {garage board: 5/8 in}}\n"
    rooms = typicals + ROOMS.replace("{level: main, use: storage", "{typical: main, use: storage")
    found = read("  - {wall: garage.west, typical: board}\n  - {all: outside walls, framing: outside}\n", rooms=rooms)
    assert set(found.site.walls) == OUTSIDE and said(found, "garage board")["garage.west"] == "5/8 in"
    assert found.known["walls", "store.east", "exterior"] == "typical" and ("walls", "garage.west", "exterior") not in found.known


@pytest.mark.parametrize("fact", ["bearing: no", "rating: none", "rated for: none", "both faces: yes"])
def test_what_is_never_a_default(fact: str) -> None:
    """What a wall carries and is rated for is said wall by wall, or by somebody who signs for all of them."""
    assert "says it only when it is signed" in refused(f"  - {{all: outside walls, {fact}}}\n")[0]
    assert read(f"  - {{all: outside walls, {fact}, {SIGNED}, count: 7}}\n").rests_on == [
        f"7 outside walls (M.K., 2026-05-03): {fact.split(':')[0]}, by a signed line"
    ]
    with pytest.raises(InputProblems, match="no class of framing says it"):
        read_site_text(f"framing: {{a: {{{fact}}}}}\n")


def test_a_signed_line_lapses_when_there_are_more() -> None:
    line = f"  - {{all: outside walls, rating: none, {SIGNED}, count: 6}}\n"
    found = read(line, WHOLE.replace("]", f", {{list: walls, whole: yes, {SIGNED}}}]"))
    assert not found.site.walls and "it speaks of 6, 7 are covered now: garage.south" in found.warnings[0].message
    assert [bool(one.whole) for one in found.site.looked] == [True, False], "a list that lacks them is not whole"
    assert set(read(line.replace("count: 6", "count: 6, except: garage.west")).site.walls) == OUTSIDE - {"garage.west"}


def blank(found: SiteFile) -> str:
    assert len(found.warnings) == 1
    return found.warnings[0].message


def test_before_the_list_of_spaces_is_whole_no_side_is_an_outside_one() -> None:
    found = read("  - {all: outside walls, framing: outside}\n  - {all: inside walls, framing: inside}\n", "")
    assert set(found.site.walls) == {PARTY, MIDDLE}, "what has rooms behind all of it is inside, whatever else there is"
    assert "nobody has said that the list of spaces is whole" in blank(found)


@pytest.mark.parametrize(
    ("fact", "why"),
    [
        ('size: 18 ft x 6 ft, corner: "22\' 5-1/2\\", 17\' 3-1/2\\""', "store stands nowhere on the plan"),
        ('corner: "22\' 5-1/2\\", 17\' 3-1/2\\""', "store has no outline that can be drawn"),
    ],
)
def test_a_room_that_is_not_drawn_may_be_behind_any_wall(fact: str, why: str) -> None:
    left = fact.split(", corner")[0] if "stands" in why else fact
    rooms = ROOMS.replace('size: 18 ft x 6 ft, corner: "22\' 5-1/2\\", 17\' 3-1/2\\""', left)
    assert rooms != ROOMS
    found = read("  - {all: outside walls, framing: outside}\n  - {all: inside walls, framing: inside}\n", rooms=rooms)
    assert set(found.site.walls) == set() and why in blank(found)
    assert set(read("  - {wall: garage.west, exterior: yes}\n  - {all: outside walls, framing: outside}\n", rooms=rooms).site.walls) == {
        "garage.west"
    }, "what the writer says himself stands"
    for word, sides in (("yes", ["garage.west"]), ("no", None)):
        named = read(f"  - {{wall: garage.west, exterior: {word}}}\n", rooms=rooms)
        assert said(named, "sides") == {"garage.west": sides}, "an outside wall has one side, an inside one another that nobody knows"


@pytest.mark.parametrize(("fact", "why"), [("level: main, use: storage", "level of store"), ("use: storage, level: main", "its use")])
def test_a_storey_or_a_use_that_nobody_has_recorded(fact: str, why: str) -> None:
    gone = "level: main, " if "level" in why else "use: storage, "
    rooms = ROOMS.replace("store: {level: main, use: storage, ", "store: {level: main, use: storage, ".replace(gone, ""))
    found = read("  - {all: outside walls, framing: outside}\n  - {all: inside walls, framing: inside}\n", rooms=rooms)
    assert why in blank(found)
    assert not {MIDDLE, PARTY} & set(found.site.walls)


def test_a_deck_is_no_room_and_another_storey_no_proof() -> None:
    deck = '  deck: {level: main, use: deck, size: 10 ft x 8 ft, corner: "22 ft 6 in, 24 ft"}\n'
    loft = '  loft: {level: upper, use: office, size: 10 ft x 10 ft, corner: "0 ft, 0 ft"}\n'
    rooms = ROOMS.replace("framing:\n  out", deck + loft + "framing:\n  out").replace("{main: {floor: 6 in}", "{main: {}, upper: {}")
    found = read("  - {all: outside walls, framing: outside}\n", rooms=rooms)
    assert set(found.site.walls) == {*OUTSIDE, "loft.south", "loft.west"}
    assert "loft.north" in blank(found) and "garage, on another storey, lies beyond loft.north" in blank(found)
    spared = read("  - {all: outside walls, framing: outside, except: [loft]}\n", rooms=rooms)
    assert set(spared.site.walls) == OUTSIDE and not spared.warnings


def test_part_outside_part_inside_is_neither() -> None:
    rooms = ROOMS.replace("size: 18 ft x 6 ft", "size: 9 ft x 6 ft")
    lines = "  - {all: outside walls, framing: outside}\n  - {all: inside walls, framing: inside}\n"
    found = read(lines, rooms=rooms)
    assert MIDDLE not in found.site.walls and "only part of studio.north has a room behind it" in blank(found)
    named = read(lines + "  - {id: W-8, between: [studio, store], exterior: no}\n", rooms=rooms)
    assert said(named, "framing")["W-8"] == "2x4" and not named.warnings


def test_between_what_is_not_drawn_is_a_blank() -> None:
    rooms = ROOMS.replace(", corner: \"0 ft, 0 ft\"", "")
    found = read("  - {between: [garage, studio], framing: inside}\n", rooms=rooms)
    assert not found.site.walls and "which wall stands between garage and studio cannot be told: garage stands nowhere" in blank(found)
    named = read("  - {id: W-4, between: [garage, studio], framing: inside}\n", rooms=rooms)
    assert said(named, "sides") == {"W-4": None} and said(named, "framing") == {"W-4": "2x4"}


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ("  - {all: outsid walls}\n", "11: 'outsid walls' is no sort of wall | one of: outside walls, inside walls, walls | did you mean 'outside walls'?"),
        ("  - {all: outside walls, spacin: 16 in}\n", "did you mean 'spacing'?"),
        ("  - {all: outside walls, framing: outsid}\n", "'outsid' is no framing and no class of framing"),
        ("  - {all: outside walls, in: garge}\n", "'garge' is no room of this site"),
        ("  - {all: outside walls, except: [garage.wst]}\n", "did you mean 'garage.west'?"),
        ("  - {all: outside walls, sides: [garage.west]}\n", "'sides' do not stand in one line"),
        ("  - {all: outside walls, by: M.K., day: 2026-05-03}\n", "a signed line has by, day, count: 'count' is missing here"),
        ("  - {all: outside walls, by: M.K., day: 2026-08-03, count: 7}\n", "is in the future"),
        ("  - {all: outside walls, by: M.K., day: may, count: 7}\n", "'may' is no day"),
        ("  - {all: outside walls, exterior: no}\n", "does not go with outside walls"),
        ("  - {wall: garage}\n", "'garage' names no wall"),
        ("  - {wall: garage.wst}\n", "garage has no wall 'wst' | one of: "),
        ("  - {wall: garge.west}\n", "did you mean 'garage'?"),
        ("  - {between: [garage]}\n", "two rooms or more are named here"),
        ("  - {spacing: 16 in}\n", "this line names no wall"),
        ("  - {sides: [garage.west]}\n", "'id' is missing here"),
        ("  - {id: W, sides: [garage.west]}\n  - {id: V, wall: garage.west}\n", "this wall is W already, at "),
        ("  - {id: W, sides: [garage.west]}\n  - {id: W, wall: garage.north}\n", "'W' stands twice"),
        ("  - {wall: garage.west, spacing: 16 in}\n  - {wall: garage.west, spacing: 24 in}\n", "two lines say the spacing of garage.west"),
        ("  - garage.west\n", "a line of walls is a mapping"),
    ],
)
def test_errors(lines: str, message: str) -> None:
    assert message in " || ".join(refused(lines))


def test_the_exceptions_of_a_signed_line_are_named() -> None:
    """As with any statement: a record that disagrees is an error, unless the wall stands under except."""
    lines = f"  - {{all: outside walls, rating: none, {SIGNED}, count: 7}}\n  - {{wall: garage.west, rating: 1 h}}\n"
    assert refused(lines)[0].startswith("11: two lines say the rating of garage.west: 'none' here, '1 h' at site.yaml:12")
    spared = read(lines.replace("count: 7", "count: 6, except: [garage.west]"))
    assert said(spared, "rating")["garage.west"] == "1 h" and said(spared, "rating")["garage.north"] == "none"
    assert read(lines.replace("1 h", "none")).site.walls, "the same said twice"


def test_two_lines_that_disagree_name_both_places() -> None:
    lines = "  - {all: outside walls, spacing: 16 in}\n  - {all: walls, spacing: 24 in}\n  - {all: inside walls, spacing: 24 in}\n"
    assert refused(lines)[0] == (
        "12: two lines say the spacing of garage.south: '24 in' here, '16 in' at site.yaml:11:35 | "
        "write it at garage.south itself, or name garage.south under the except of one of them"
    )
    assert read(lines.replace("16 in", "2 ft")).site.walls, "2 ft is 24 in"


def test_no_wall_between_rooms_that_are_apart() -> None:
    rooms = ROOMS.replace("22' 5-1/2\\\", 0 ft", "30 ft, 0 ft")
    with pytest.raises(InputProblems, match="no wall stands between garage and studio on the plan"):
        read("  - {between: [garage, studio]}\n", rooms=rooms)


def test_rows_and_the_long_form_may_name_a_class_of_framing() -> None:
    found = read("  W-1: {sides: [garage.west], framing: outside}\n")
    assert said(found, "thickness") == {"W-1": "7-1/2 in"} and found.place(("walls", "W-1", "thickness")).line == 8
    rows = "rows: [{list: walls, ids: [W-1], sides: [[garage.west]]}]\n"
    found = read("  - {all: outside walls, framing: outside}\n", rows + WHOLE)
    assert "garage.west" not in found.site.walls and said(found, "framing")["W-1"] == "2x6"


def test_an_only_room_needs_no_place_on_a_plan() -> None:
    text = "spaces: {shop: {use: workshop, size: 8 ft x 9 ft}}\nwalls: [{all: outside walls, spacing: 16 in}]\n" + WHOLE
    assert set(read_site_text(text, today=TODAY).site.walls) == {"shop.north", "shop.south", "shop.east", "shop.west"}


def test_it_reads_back(tmp_path: Path) -> None:
    found = read(f"  - {{all: outside walls, framing: outside, bearing: yes, {SIGNED}, count: 7}}\n  - {{wall: store.south, rating: none}}\n")
    again = read_site_text(expanded_text(found), today=TODAY)
    assert again.site == found.site and again.known == found.known and expanded_text(again) == expanded_text(found)


def test_the_schema_knows_it(fits: Callable[[str], list[str]]) -> None:
    good = (
        "framing: {a: {framing: 2x6, spacing: 16 in}}\nwalls:\n"
        f"  - {{all: outside walls, in: studio, except: [studio.west], framing: a, rating: none, {SIGNED}, count: 3}}\n"
        "  - {between: [studio, store], id: W, note: x}\n  - {wall: studio.west, lot line: none}\n  - {id: V, sides: [studio.east]}\n"
    )
    assert fits(good) == []
    for bad in (good.replace("outside walls", "outer walls"), good.replace("{wall: studio", "{side: studio"), good.replace("2x6", "2x5")):
        assert fits(bad) != []
    assert schemas.site_schema()["properties"]["framing"]


# over many plans

GRID = 3
STEP, GAP = 120, 4
SORTED = [f"{{all: {sort}, framing: {framing}}}" for sort, framing in (("outside walls", "outside"), ("inside walls", "inside"))]


@st.composite
def buildings(draw: st.DrawFn) -> dict[str, Any]:
    """Rooms on a grid, 10 ft each with 4 in of wall between them, some cells left out."""
    cells = draw(st.sets(st.tuples(st.integers(0, GRID - 1), st.integers(0, GRID - 1)), min_size=1))
    spaces = {
        f"r{x}{y}": {"use": "storage", "size": "10 ft x 10 ft", "corner": f"{x * (STEP + GAP)} in, {y * (STEP + GAP)} in"}
        for x, y in sorted(cells)
    }
    return {
        "site": "x",
        "levels": {"main": {}},
        "spaces": spaces,
        "framing": {"outside": {"framing": "2x6"}, "inside": {"framing": "2x4"}},
        "walls": [yaml.safe_load(line) for line in SORTED],
        "looked": [
            {"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in ("levels", "spaces")
        ],
    }


def sides_of(data: dict[str, Any]) -> dict[str, tuple[Any, Any]]:
    """By side: what its wall is made of, and whether it is an outside wall."""
    found = read_site_text(yaml.safe_dump(data), today=TODAY)
    return {side: (wall.framing, wall.exterior) for wall in found.site.walls.values() for side in wall.sides or ()}


WAYS = {"north": (0, 1), "south": (0, -1), "east": (1, 0), "west": (-1, 0)}


@settings(max_examples=40, deadline=None)
@given(data=buildings())
def test_a_side_is_inside_where_the_next_cell_is_a_room(data: dict[str, Any]) -> None:
    """Told without any geometry: by the cells of the grid."""
    rooms = set(data["spaces"])
    wanted = {}
    for room in rooms:
        x, y = int(room[1]), int(room[2])
        for way, (east, north) in WAYS.items():
            inside = f"r{x + east}{y + north}" in rooms
            wanted[f"{room}.{way}"] = ("2x4", False) if inside else ("2x6", True)
    assert sides_of(data) == wanted


@settings(max_examples=60, deadline=None)
@given(data=buildings(), choice=st.data())
def test_nothing_unwritten_becomes_a_yes_or_a_no(data: dict[str, Any], choice: st.DataObject) -> None:
    """Whatever is taken out, what is still said of a side is what was said of it before."""
    before = sides_of(data)
    left = copy.deepcopy(data)
    facts = [("spaces", room, fact) for room in data["spaces"] for fact in ("use", "size", "corner")]
    others = [("looked", 0), ("looked", 1), ("walls", 0), ("walls", 1), *(("room", room) for room in data["spaces"])]
    for kind, *rest in choice.draw(st.lists(st.sampled_from(facts + others), min_size=1, max_size=4, unique=True)):
        if kind == "spaces":
            left["spaces"].get(rest[0], {}).pop(rest[1], None)
        elif kind == "room":
            left["spaces"].pop(rest[0], None)
            left["looked"][1] = None
        else:
            left[kind][rest[0]] = None
    note(str(left))
    for side, (framing, exterior) in sides_of(left).items():
        assert framing in (None, before[side][0]) and exterior in (None, before[side][1])
