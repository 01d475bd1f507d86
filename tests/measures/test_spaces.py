"""Facts of rooms: as taped, finished, and what stays open while the finish is not recorded."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from oktocover.findings.finding import Step
from oktocover.measures import registry, trades
from oktocover.measures.spaces import Finish, finish, finished_height
from oktocover.measures.subject import Subject
from oktocover.measures.values import Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.site.base import HOW_KNOWN
from oktocover.site.root import Site

assert trades

IN = 25_400_000
FT = 12 * IN
FRAMED = {"measured to": "bare framing", "still to come": {"walls": "1/2 in", "ceiling": "5/8 in", "floor": "3/4 in"}}
L_SHAPE = ["0 ft, 0 ft", "20 ft, 0 ft", "20 ft, 8 ft", "12 ft, 8 ft", "12 ft, 15 ft", "0 ft, 15 ft"]
RECTANGLE = {"size": "18 ft x 17 ft", "ceiling": "9 ft"}


def space(facts: dict[str, Any] | None = None, **site: Any) -> Subject:
    parts = {key.replace("_", " "): value for key, value in site.items()}
    given = {"spaces": {"studio": RECTANGLE if facts is None else facts}} | parts
    (found,) = SiteView(Site.model_validate(given)).of("space")
    return found


def missing(value: Any) -> set[str]:
    return {one.fact for one in value.missing}


class TestAsTaped:
    def test_a_rectangle(self) -> None:
        fact = space().fact("framed_area")
        assert fact.value == 306 * FT * FT
        assert fact.steps == (Step("floor area", "18 ft x 17 ft", "306 ft2"),)

    def test_an_outline_with_square_corners_is_cut_into_strips(self) -> None:
        fact = space({"outline": L_SHAPE}).fact("framed_area")
        assert fact.value == 244 * FT * FT  # 20 x 8 and 12 x 7 with a pencil
        assert [(step.how, step.result) for step in fact.steps] == [
            ("20 ft x 8 ft", "160 ft2"), ("12 ft x 7 ft", "84 ft2"), ("160 ft2 + 84 ft2", "244 ft2")]

    def test_a_strip_may_be_in_two_pieces(self) -> None:
        court = ["0 ft, 0 ft", "24 ft, 0 ft", "24 ft, 12 ft", "16 ft, 12 ft",
                 "16 ft, 4 ft", "8 ft, 4 ft", "8 ft, 12 ft", "0 ft, 12 ft"]
        fact = space({"outline": court}).fact("framed_area")
        assert [step.how for step in fact.steps] == ["24 ft x 4 ft", "16 ft x 8 ft", "96 ft2 + 128 ft2"]
        assert fact.value == 224 * FT * FT

    def test_a_slanted_outline_goes_by_the_shoelace(self) -> None:
        fact = space({"outline": ["0 ft, 0 ft", "10 ft, 0 ft", "10 ft, 6 ft", "0 ft, 10 ft"]}).fact("framed_area")
        assert fact.value == 80 * FT * FT  # a trapezoid: 10 x (6 + 10) / 2
        assert fact.steps[1].how == "10 ft x 6 ft - 10 ft x 0 in"
        assert fact.steps[-1].result == "80 ft2"

    def test_the_perimeter_is_the_sum_of_the_walls(self) -> None:
        fact = space().fact("framed_perimeter")
        assert fact.value == 70 * FT
        assert fact.steps[0].how == "18 ft + 17 ft + 18 ft + 17 ft"

    def test_the_volume(self) -> None:
        fact = space().fact("framed_volume")
        assert fact.value == 2754 * FT**3
        assert fact.steps[-1] == Step("room volume", "306 ft2 x 9 ft", "2,754 ft3")

    def test_a_ceiling_known_as_a_bound_bounds_the_volume(self) -> None:
        value = space(RECTANGLE | {"ceiling": "at least 9 ft"}).value("framed_volume")
        assert (value.low, value.high) == (2754 * FT**3, None)
        assert missing(value) == {"ceiling"}

    @pytest.mark.parametrize(
        "name", ["framed_area", "framed_perimeter", "framed_volume", "area", "perimeter", "volume"])
    def test_a_room_without_shape_names_the_outline(self, name: str) -> None:
        value = space({"ceiling": "9 ft"}, **{"measured to": "finished face"}).value(name)
        assert isinstance(value, Unknown)
        assert missing(value) == {"outline"}
        assert value.missing[0].path == ("spaces", "studio", "outline")

    def test_a_room_without_ceiling_has_an_area_and_no_volume(self) -> None:
        found = space({"size": "18 ft x 17 ft"})
        assert found.value("framed_area") == 306 * FT * FT
        assert missing(found.value("framed_volume")) == {"ceiling"}

    def test_a_planned_outline_gives_a_planned_area(self) -> None:
        assert HOW_KNOWN[space(RECTANGLE | {"known": "planned"}).fact("framed_area").known] == "planned"

    @pytest.mark.parametrize(("shape", "fact"), [(RECTANGLE, "size"), ({"outline": L_SHAPE}, "outline")])
    def test_how_the_shape_is_known_is_that_of_the_line_it_was_written_in(self, shape: Any, fact: str) -> None:
        known = {("spaces", "studio", fact): "told"}
        (found,) = SiteView(Site.model_validate({"spaces": {"studio": shape}}), known).of("space")
        assert HOW_KNOWN[found.fact("framed_area").known] == "told"


class TestFinished:
    def test_a_finished_room_is_as_it_was_taped(self) -> None:
        found = space(**{"measured to": "finished face"})
        assert found.value("area") == 306 * FT * FT
        assert found.value("perimeter") == 70 * FT
        assert found.value("volume") == 2754 * FT**3

    def test_board_on_the_walls_takes_its_thickness_off_each(self) -> None:
        found = space(**FRAMED)
        assert found.value("area") == (18 * FT - IN) * (17 * FT - IN)
        assert found.value("perimeter") == 70 * FT - 4 * IN
        assert found.fact("area").steps[-1].how == "1/2 in off at each wall: 17 ft 11 in x 16 ft 11 in"

    def test_board_in_a_room_with_an_inside_corner(self) -> None:
        found = space({"outline": L_SHAPE}, **FRAMED)
        # Half an inch in all around: 20 x 8 loses an inch each way, 12 x 7 an inch of its width; its two north
        # walls, of the deep part and of the step, come south together.
        assert found.value("area") == (20 * FT - IN) * (8 * FT - IN) + (12 * FT - IN) * 7 * FT
        assert found.fact("area").steps[-1].how == "244 ft2 - 70 ft x 1/2 in + 4 x 1/2 in x 1/2 in"

    def test_board_in_a_right_triangle(self) -> None:
        found = space({"outline": ["0 ft, 0 ft", "3 ft, 0 ft", "0 ft, 4 ft"]}, **FRAMED)
        # A triangle shrinks like its inscribed circle: radius 1 ft for sides 3, 4, 5, so 23/24 of each side is left.
        assert found.value("area") == 6 * FT * FT * Fraction(23, 24) ** 2
        assert found.value("perimeter") == 12 * FT * Fraction(23, 24)

    def test_ceiling_and_floor_finish_come_off_the_height(self) -> None:
        fact = space(**FRAMED).fact("finished_ceiling")
        assert fact.value == 9 * FT - Fraction(11, 8) * IN
        assert fact.steps[0].how == "9 ft - 5/8 in - 3/4 in"

    def test_the_volume_is_that_of_the_finished_room(self) -> None:
        found = space(**FRAMED)
        assert found.value("volume") == found.value("area") * found.value("finished_ceiling")
        assert found.value("volume") < found.value("framed_volume")

    @pytest.mark.parametrize("name", ["area", "perimeter", "volume"])
    def test_while_the_finish_is_not_recorded_the_room_is_at_most_as_taped(self, name: str) -> None:
        found = space()
        value = found.value(name)
        assert isinstance(value, Range)
        assert (value.low, value.high) == (None, found.value(f"framed_{name}"))
        assert "measured to" in missing(value)

    def test_a_finish_known_as_a_bound_bounds_the_area(self) -> None:
        still = {"walls": "from 1/2 in to 5/8 in"}
        value = space(**{"measured to": "bare framing", "still to come": still}).value("area")
        quarter = Fraction(5, 4) * IN
        assert (value.low, value.high) == ((18 * FT - quarter) * (17 * FT - quarter), (18 * FT - IN) * (17 * FT - IN))
        assert missing(value) == {"walls still to come"}

    def test_a_planned_finish_gives_a_planned_area(self) -> None:
        given = {"spaces": {"studio": RECTANGLE}} | FRAMED
        view = SiteView(Site.model_validate(given), {("still to come", "walls"): "planned"})
        assert HOW_KNOWN[view.of("space")[0].fact("area").known] == "planned"


def told(**parts: Any) -> Finish:
    return finish(Site.model_validate({key.replace("_", " "): value for key, value in parts.items()}))


class TestFinish:
    def test_nothing_comes_over_finished_faces(self) -> None:
        assert told(measured_to="finished face", still_to_come={"walls": "1/2 in"}) == Finish(0, 0, 0)

    def test_none_is_a_thickness(self) -> None:
        assert told(measured_to="bare framing", still_to_come={"floor": "none"}).floor == 0
        assert told(still_to_come={"floor": "none"}).floor == 0

    def test_a_thickness(self) -> None:
        assert told(measured_to="bare framing", still_to_come={"floor": "3/4 in"}).floor == Fraction(3, 4) * IN

    def test_without_what_was_taped_a_thickness_is_only_a_bound(self) -> None:
        found = told(still_to_come={"floor": "3/4 in"}).floor
        assert isinstance(found, Range)
        assert (found.low, found.high, missing(found)) == (0, Fraction(3, 4) * IN, {"measured to"})

    def test_nothing_recorded(self) -> None:
        found = told().floor
        assert isinstance(found, Range)
        assert (found.low, found.high, missing(found)) == (0, None, {"measured to", "floor still to come"})

    def test_a_height_above_the_finished_floor(self) -> None:
        assert finished_height(44 * IN, Finish(0, 0, IN)) == 43 * IN

    def test_a_height_over_a_floor_nobody_knows(self) -> None:
        found = finished_height(44 * IN, told())
        assert isinstance(found, Range)
        assert (found.low, found.high) == (None, 44 * IN)

    def test_a_bound_over_a_bound(self) -> None:
        found = finished_height(Range(40 * IN, 44 * IN), Finish(0, 0, Range(0, IN)))
        assert isinstance(found, Range)
        assert (found.low, found.high) == (39 * IN, 44 * IN)

    def test_every_element_with_a_height_has_one_above_the_finished_floor(self) -> None:
        given = {"appliances": {"heater": {"height": "66 in"}}} | FRAMED
        (heater,) = SiteView(Site.model_validate(given)).of("appliance")
        assert heater.value("finished_height") == Fraction(261, 4) * IN
        assert heater.fact("finished_height").steps[0].how == "5 ft 6 in - 3/4 in"
        assert registry.fact_type("opening", "finished_height") is not None

    def test_a_sixteenth_over_a_limit_survives_the_finish(self) -> None:
        limit = 66 * IN
        given = {"appliances": {"heater": {"height": "5 ft 6-13/16 in"}}} | FRAMED
        (heater,) = SiteView(Site.model_validate(given)).of("appliance")
        assert heater.value("finished_height") - limit == Fraction(1, 16) * IN


def test_any_fact_taken_away_leaves_the_same_figure_or_an_open_one() -> None:
    """The figure with less written down contains the figure with more."""
    whole = space(**FRAMED)
    names = ("area", "perimeter", "finished_ceiling", "volume", "framed_area", "framed_volume")
    reduced = [
        space(**{"still to come": FRAMED["still to come"]}),
        *(space(**{"measured to": "bare framing",
                   "still to come": {k: v for k, v in FRAMED["still to come"].items() if k != part}})
          for part in ("walls", "ceiling", "floor")),
        *(space({k: v for k, v in RECTANGLE.items() if k != fact}, **FRAMED) for fact in RECTANGLE),
    ]
    for less in reduced:
        for name in names:
            value = less.value(name)
            if isinstance(value, Range):
                assert value.missing
                assert value.low is None or value.low <= whole.value(name)
                assert value.high is None or value.high >= whole.value(name)
            else:
                assert isinstance(value, Unknown) or value == whole.value(name)
