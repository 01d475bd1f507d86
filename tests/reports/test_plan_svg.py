"""The plan parsed back: what is drawn is where the tape says, by figures worked out by hand beside each check."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

import pytest
import sites
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from oktocover.measures.view import SiteView
from oktocover.quantities.units import FOOT
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site
from oktocover.reports._plain import columns
from oktocover.reports._svg import Taken, around, beside, overlap, text_width
from oktocover.reports.plan_svg import SIGN, plan_svg, unplaced
from oktocover.reports.readback import readback

from . import show_sites
from .show_sites import EMPTY, SHOP, TEN_LINES

SVG = "{http://www.w3.org/2000/svg}"
SIXTEENTH = 1 / 192
"""1/16 in, in feet."""
Spot = tuple[float, float]


@dataclass
class Drawn:
    """A plan read back by what is in the file alone."""

    root: ET.Element

    @property
    def unit(self) -> float:
        return float(self.root.get("data-units-per-foot", "0"))

    def floor(self, name: str) -> list[Spot]:
        (path,) = (one for one in self.root.iter(f"{SVG}path") if one.get("class") == "floor" and one.get("data-id") == name)
        return spots(path.get("d", ""))

    def feet(self, room: str, spot: Spot) -> Spot:
        """A spot of the sheet in feet east and north of a room's south-west corner."""
        xs, ys = zip(*self.floor(room), strict=True)
        return (spot[0] - min(xs)) / self.unit, (max(ys) - spot[1]) / self.unit

    def wall(self, ref: str) -> list[tuple[Spot, Spot]]:
        """The drawn pieces of a wall, in feet from its room's corner."""
        (path,) = (one for one in self.root.iter(f"{SVG}path") if one.get("data-wall") == ref)
        found = [self.feet(ref.split(".")[0], spot) for spot in spots(path.get("d", ""))]
        return list(zip(found[::2], found[1::2], strict=True))

    def put(self, name: str) -> ET.Element:
        (group,) = (one for one in self.root.iter(f"{SVG}g") if one.get("data-id") == name)
        return group

    def at(self, name: str) -> Spot:
        """Where an element stands, in feet from the corner of its room."""
        group = self.put(name)
        found = re.match(r"translate\(([\d.-]+) ([\d.-]+)\) rotate\([\d.-]+\)$", group.get("transform", ""))
        assert found
        return self.feet(group.get("data-wall", "").split(".")[0], (float(found[1]), float(found[2])))

    @property
    def words(self) -> list[str]:
        return ["".join(one.itertext()) for one in self.root.iter(f"{SVG}text")]


def spots(path: str) -> list[Spot]:
    found = [float(one) for one in re.findall(r"-?[\d.]+", path)]
    return list(zip(found[::2], found[1::2], strict=True))


def drawn(text: str) -> Drawn:
    return Drawn(ET.fromstring(plan_svg(show_sites.view(text))))


def near(spot: Spot, other: Spot) -> bool:
    return abs(spot[0] - other[0]) < SIXTEENTH and abs(spot[1] - other[1]) < SIXTEENTH


PLAN = drawn(SHOP)


@pytest.mark.parametrize(("room", "size", "area"), [
    ("shop", (20, 16), 320), ("garage", (12, 16), 156), ("store", (6, 5), 30), ("attic", (20, 16), 320),
])
def test_each_room_has_its_size_and_area(room: str, size: tuple[float, float], area: float) -> None:
    """Areas by hand (12 x 10 + 6 x 6 for the L); the polygon's by shapely."""
    corners = [PLAN.feet(room, spot) for spot in PLAN.floor(room)]
    assert near((max(x for x, _ in corners), max(y for _, y in corners)), size)
    assert Polygon(corners).area == pytest.approx(area, abs=0.1)


def test_rooms_stand_to_each_other_as_on_the_plan() -> None:
    west = min(PLAN.floor("garage"))
    assert near(PLAN.feet("shop", (west[0], max(y for _, y in PLAN.floor("garage")))), (20 + 5.5 / 12, 0))


def test_a_door_is_cut_where_it_was_taped_from_the_left_end_seen_from_inside() -> None:
    """Who looks south has the east end on the left: 3 ft to 6 ft from it is 14 ft to 17 ft from the west end."""
    left, right = PLAN.wall("shop.south")
    assert near(left[0], (20, 0)) and near(left[1], (17, 0)) and near(right[0], (14, 0)) and near(right[1], (0, 0))
    assert near(PLAN.at("D-1"), (17, 0))


def test_a_window_and_a_garage_door_are_cut() -> None:
    """Who looks west has the south end on the left; the garage's south wall begins at its east end."""
    low, high = PLAN.wall("shop.west")
    assert near(low[1], (0, 6)) and near(high[0], (0, 10))
    left, right = PLAN.wall("garage.south")
    assert near(left[1], (10.5, 0)) and near(right[0], (1.5, 0))


def test_a_door_between_two_rooms_is_cut_in_both() -> None:
    """From the shop: 4 ft from the north end, 32 in wide; so 9 ft 4 in to 12 ft from the south end on either side."""
    high, low = PLAN.wall("shop.east")
    assert near(high[1], (20, 12)) and near(low[0], (20, 12 - 32 / 12))
    low, high = PLAN.wall("garage.west")
    assert near(low[1], (0, 12 - 32 / 12)) and near(high[0], (0, 12))


def test_an_opening_at_the_very_end_of_its_wall_leaves_no_stub() -> None:
    found = drawn(SHOP.replace("shop.south, at: 3 ft", "shop.south, at: 0 in"))
    ((left, right),) = found.wall("shop.south")
    assert near(left, (17, 0)) and near(right, (0, 0))


def test_an_opening_that_stops_no_wall_is_drawn_in_front_of_it() -> None:
    found = drawn(SHOP.replace("what: door}", "what: fixed cabinet}", 1))
    assert len(found.wall("shop.south")) == 1 and near(found.at("D-1"), (17, 0))


def test_the_label_of_an_opening_says_its_distance_in_the_room_it_was_taped_in() -> None:
    """D-2 is taped from the shop: its label stands in the shop, not in the garage."""
    (spot,) = ((float(one.get("x", "0")), float(one.get("y", "0"))) for one in PLAN.root.iter(f"{SVG}text")
               if one.text == "at 4 ft")
    assert PLAN.feet("shop", spot)[0] < 20


def test_a_wall_without_openings_is_whole() -> None:
    ((left, right),) = PLAN.wall("attic.north")
    assert near(left, (0, 16)) and near(right, (20, 16))


@pytest.mark.parametrize(("name", "spot"), [
    ("R-1", (5 + SIXTEENTH, 16)),  # north: from the west end
    ("R-2", (0, 2)),  # west: from the south end
    ("R-3", (0, 9)),
    ("P-1", (7, 10)),  # the wall named back faces north: 1 ft from its west end, which is 6 ft east
    ("GM-1", (12, 2)),  # east: 8 ft from the north end of a 10 ft wall
    ("T-1", (12, 8)),
    ("H-1", (20, 4)),
])
def test_each_device_stands_where_it_was_taped(name: str, spot: Spot) -> None:
    assert near(PLAN.at(name), spot)


def test_moving_a_door_by_three_feet_moves_its_gap_by_three_feet() -> None:
    moved = drawn(SHOP.replace("wall: shop.south, at: 3 ft", "wall: shop.south, at: 6 ft"))
    assert near(moved.at("D-1"), (14, 0))
    assert near(moved.wall("shop.south")[0][1], (14, 0))


def test_the_door_leaves_no_ink_in_its_gap_on_the_wall_line() -> None:
    (path,) = (one for one in PLAN.root.iter(f"{SVG}path") if one.get("data-wall") == "shop.south")
    assert len(spots(path.get("d", ""))) == 4


def test_every_element_with_a_wall_is_drawn_or_named_under_the_plan() -> None:
    named = " ".join(PLAN.words)
    view = show_sites.view(SHOP)
    for name, model in view.models.items():
        if getattr(model, "wall", None) or getattr(model, "space", None):
            assert re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", named), name


def test_what_has_no_exact_place_is_named_and_not_drawn() -> None:
    placed = {one.get("data-id") for one in PLAN.root.iter(f"{SVG}g")}
    view = show_sites.view(SHOP.replace("width: 4 ft, sill", "sill"))
    assert "N-1 (window, west wall)" in next(text for text in unplaced(view) if text.startswith("shop"))
    assert not placed & {"R-4", "R-5", "N-9", "UH-1"}
    assert list(unplaced(show_sites.view(SHOP))) == [
        "yard: its size is not recorded",
        "shop: N-9 (window, north wall), R-4 (L5-20), R-5 (receptacle, north wall)",
        "garage: UH-1 (unit heater)",
    ]


def test_each_level_has_its_title_and_rooms_without_a_corner_a_row_of_their_own() -> None:
    assert {"level main, floor 6 in above the ground", "level loft", "not placed on the plan"} <= set(PLAN.words)
    lowest = max(y for room in ("shop", "garage", "attic") for _, y in PLAN.floor(room))
    assert min(y for _, y in PLAN.floor("store")) > lowest


def test_rooms_without_a_corner_stand_beside_each_other_in_rows() -> None:
    sizes = {"a": "20 ft x 10 ft", "b": "8 ft x 14 ft", "c": "12 ft x 10 ft", "d": "18 ft x 4 ft"}
    found = drawn("spaces:\n" + "".join(f"  {name}: {{size: {size}}}\n" for name, size in sizes.items()))
    floors = {name: Polygon(found.floor(name)) for name in sizes}
    names = list(sizes)
    for at, one in enumerate(names):
        assert floors[one].bounds[0] >= 0 and floors[one].bounds[2] <= 1000
        for other in names[at + 1:]:
            assert floors[one].distance(floors[other]) > 30, (one, other)


def test_the_walls_are_named_and_begin_with_their_arrow() -> None:
    for words in ("back 6 ft", "north 20 ft", "west 16 ft"):
        assert words in PLAN.words
    arrows = [one for one in PLAN.root.iter(f"{SVG}path") if one.get("class") == "start"]
    assert len(arrows) == 4 + 6 + 4 + 4 + 1  # every wall of the four rooms with a size, and the key


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    (bar,) = (one for one in PLAN.root.iter(f"{SVG}path") if one.get("id") == "scale")
    found = re.search(r"h([\d.]+)v-4", bar.get("d", ""))
    assert found and float(found[1]) == pytest.approx(PLAN.unit * float(bar.get("data-feet", "0")))


def test_names_are_escaped_and_steer_nothing() -> None:
    text = plan_svg(show_sites.view(SHOP.replace("shop:", '"<b>&\\"x":').replace("shop.", '<b>&"x.')
                                    .replace("in: shop", "in: '<b>&\"x'").replace("space: shop", "space: '<b>&\"x'")))
    assert "<b>" not in text
    found = Drawn(ET.fromstring(text))
    assert '<b>&"x' in found.words and found.floor('<b>&"x')
    assert found.words[0] == "Shop & <garage>"


def test_it_says_what_it_is_to_a_screen_reader() -> None:
    assert PLAN.root.findtext(f"{SVG}title") == "Plan of Shop & <garage>"
    assert "Rooms: shop, garage, store, yard, attic." in (PLAN.root.findtext(f"{SVG}desc") or "")


@pytest.mark.parametrize("text", [SHOP, TEN_LINES, EMPTY], ids=["shop", "ten lines", "empty"])
def test_it_is_one_file_of_its_own_with_the_same_bytes_each_time(text: str) -> None:
    made = plan_svg(show_sites.view(text))
    assert made == plan_svg(show_sites.view(text))
    assert SIGN in made[:300] and made.endswith("</svg>\n")
    assert re.findall(r"(?:https?:|href|url\(|@import)[^\"]*", made) == ["http://www.w3.org/2000/svg"]
    assert ET.fromstring(made).get("width") == "1000"


def test_a_site_of_ten_lines_is_drawn() -> None:
    found = drawn(TEN_LINES)
    assert near(found.at("D3"), (15, 0)) and near(found.at("R-01"), (4.75, 17))
    assert "not placed on the plan" in found.words and "306 sq ft" in found.words


def test_a_slanted_wall_is_taped_along_itself() -> None:
    """A 15-20-25 triangle: who looks northeast has the west end on the left; 10 ft along is 8 ft east, 6 ft south of it."""
    found = drawn('spaces: {bay: {outline: ["0 ft, 0 ft", "20 ft, 0 ft", "0 ft, 15 ft"]}}\n'
                  "openings: {N: {wall: bay.northeast, at: 5 ft, width: 5 ft, what: window}}\n"
                  "receptacles: {R: {wall: bay.northeast, at: 10 ft}}\n")
    assert near(found.at("R"), (8, 9)) and near(found.at("N"), (4, 12))
    left, right = found.wall("bay.northeast")
    assert near(left[0], (0, 15)) and near(left[1], (4, 12)) and near(right[0], (8, 9)) and near(right[1], (20, 0))


def test_a_site_without_rooms_says_so() -> None:
    assert "No room is written yet." in drawn(EMPTY).words


def test_a_room_too_small_for_its_facts_has_them_under_the_plan() -> None:
    found = drawn('spaces: {big: {size: 80 ft x 60 ft, corner: "0 ft, 0 ft"}, tiny: {size: 3 ft x 3 ft, corner: "90 ft, 0 ft"}}\n')
    assert "tiny" in found.words and "tiny: 3 ft x 3 ft, 9 sq ft" in found.words


@pytest.mark.parametrize("size", ["1 in x 1 in", "3 ft x 900 ft", "2,000 ft x 4 ft"])
def test_rooms_of_any_size_fit_the_sheet(size: str) -> None:
    found = drawn(f'spaces: {{one: {{size: "{size}", corner: "0 ft, 0 ft"}}}}\n')
    high = float(found.root.get("height", "0"))
    assert all(0 <= x <= 1000 and 0 <= y <= high for x, y in found.floor("one"))


def words_with_boxes(found: Drawn) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Upright labels with the place they take, by the letters of the wide sans-serifs."""
    sizes = {"id": 9.0, "opening-id": 11.0, "name": 11.0, "fact": 9.0}
    boxes = []
    for one in found.root.iter(f"{SVG}text"):
        kind, words = one.get("class", ""), "".join(one.itertext())
        if kind in sizes and one.get("transform") is None and one.get("text-anchor") == "middle":
            spot = float(one.get("x", "0")), float(one.get("y", "0"))
            boxes.append((words, around(spot, text_width(words, sizes[kind]), sizes[kind] - 1)))
    return boxes


def test_no_two_labels_cover_each_other() -> None:
    boxes = words_with_boxes(PLAN)
    assert len(boxes) > 25
    for at, (words, one) in enumerate(boxes):
        for others, other in boxes[at + 1:]:
            assert overlap(one, other) < 3, (words, others)


def test_marks_too_close_to_be_named_are_named_under_the_plan() -> None:
    """Two hundred receptacles an inch apart: none is lost, and no name covers another."""
    rows = "".join(f"  R-{at:03}: {{wall: one.north, at: {at} in}}\n" for at in range(200))
    found = drawn('spaces: {one: {size: 40 ft x 12 ft, corner: "0 ft, 0 ft"}}\nreceptacles:\n' + rows)
    words = " ".join(found.words)
    assert [name for name in (f"R-{at:03}" for at in range(200)) if name not in words] == []
    assert "marks too close together to be named, left to right" in found.words
    listed = re.findall(r"R-\d{3}", words.partition("one.north: ")[2])
    assert len(listed) > 20 and listed == sorted(listed)
    boxes = words_with_boxes(found)
    covered = [overlap(one, other) for at, (_, one) in enumerate(boxes) for _, other in boxes[at + 1:]]
    assert max(covered) < 75


@pytest.mark.parametrize("path", sites.EXAMPLES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_everything_of_an_example_is_drawn_where_the_plan_has_it(path: Path) -> None:
    """Every opening and device against the exact plan, and every wall as long as what its openings leave of it."""
    read = read_site(path)
    view = SiteView(read.site, read.known)
    found = Drawn(ET.fromstring(plan_svg(view)))
    seen = 0
    holding = {getattr(model, "box", None) for model in view.models.values()}  # drawn as the device in it
    for name, model in view.models.items():
        wall, at = view.plan.wall(getattr(model, "wall", None)), getattr(model, "at", None)
        if wall is None or at is None or at.exact is None or name in holding:
            continue
        shape = view.plan.room(wall.room)
        assert shape is not None
        x, y = wall.point_on(at.exact)
        assert near(found.at(name), (float(x - shape.box[0]) / FOOT, float(y - shape.box[1]) / FOOT)), name
        seen += 1
    assert seen > 20 or path.parent.name not in ("ceramics-studio", "small-house")
    for shape in filter(None, map(view.plan.room, view.site.spaces)):
        for wall in shape.walls:
            cut = [(a, b) for one, a, b in view.plan.openings_of(wall.room, wall.name)
                   if view.site.openings[one].what not in ("fireplace", "fixed cabinet", "bar counter")]
            left = Polygon()
            for a, b in cut:
                left = left.union(Polygon([(a, 0), (b, 0), (b, 1), (a, 1)]))
            drawn_long = sum(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in found.wall(wall.ref))
            assert drawn_long == pytest.approx(float(wall.length - left.area) / FOOT, abs=0.01), wall.ref


@pytest.mark.parametrize("path", sites.EXAMPLES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_an_example_can_be_read(path: Path) -> None:
    """Names of rooms and openings stand free; of the small ones few touch, and none lies on another."""
    read = read_site(path)
    boxes = words_with_boxes(Drawn(ET.fromstring(plan_svg(SiteView(read.site, read.known)))))
    covered = sorted((overlap(one, other), words, others) for at, (words, one) in enumerate(boxes)
                     for others, other in boxes[at + 1:] if overlap(one, other) > 3)
    assert len(covered) <= 6 and all(area < 75 for area, _, _ in covered), covered


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_a_site_with_anything_left_out_is_still_drawn(data: st.DataObject) -> None:
    site = sites.data_of(data.draw(st.sampled_from(sites.EXAMPLES)))
    for name in [name for name in ("spaces", "openings", "receptacles", "penetrations", "levels") if name in site]:
        for entry in site[name].values():
            for fact in data.draw(st.lists(st.sampled_from(sorted(entry) or [""]), max_size=2)):
                if not (name == "spaces" and fact in ("outline", "size")):
                    entry.pop(fact, None)
    try:
        read = sites.read(site)
    except InputProblems:
        return
    view = SiteView(read.site, read.known)
    text = plan_svg(view)
    words = " ".join(Drawn(ET.fromstring(text)).words)
    for name, opening in view.site.openings.items():
        assert not opening.wall or re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", words), name
    assert all(columns(line) <= 80 for line in readback(view).splitlines())


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(460, 540), st.integers(460, 540)), min_size=2, max_size=12))
def test_a_label_takes_a_free_place_where_there_is_one(marks: list[Spot]) -> None:
    taken = Taken((0, 0, 1000, 1000))
    for mark in marks:
        taken.add(around(mark, 8, 8))
    places = beside(marks[0], (0, -1), 24, 10, 6, 1)
    free = [place for place in places if taken.cost(around(place, 24, 10)) <= 0.01]
    chosen = taken.best(places, 24, 10)
    assert not free or chosen == free[0]
