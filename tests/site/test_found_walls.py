"""Walls found from the rooms, told by hand from small plans."""

from __future__ import annotations

from typing import Any

import pytest

from oktocover.site.building import Space
from oktocover.site.found_walls import FoundWall, found_walls
from oktocover.site.plan import Plan
from oktocover.site.root import Site

ONE_STOREY = {"list": "levels", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}


def room(size: str, corner: str | None, use: str | None = "storage", level: str | None = "main") -> dict[str, str]:
    facts = {"size": size, "corner": corner, "use": use, "level": level}
    return {name: value for name, value in facts.items() if value is not None}


def found(spaces: dict[str, Any], whole: bool = True, apart: tuple[str, ...] = (), **more: Any) -> dict[str, FoundWall]:
    """By its first side."""
    rooms = {name: Space.model_validate(facts) for name, facts in spaces.items()}
    plan = Plan(Site.model_validate({"spaces": rooms, "levels": {"main": {}, "upper": {}}, **more}))
    return {wall.sides[0]: wall for wall in found_walls(plan, whole, apart)}


A, B = room("10 ft x 10 ft", "0 ft, 0 ft"), room("10 ft x 10 ft", "10 ft 4 in, 0 ft")


def test_two_rooms_side_by_side() -> None:
    walls = found({"a": A, "b": B})
    assert {side: wall.sort for side, wall in walls.items()} == {
        "a.south": "outside", "a.east": "inside", "a.north": "outside", "a.west": "outside",
        "b.south": "outside", "b.east": "outside", "b.north": "outside",
    }
    assert walls["a.east"].sides == ("a.east", "b.west") and walls["a.east"].across == {("a", "b"), ("b", "a")}


@pytest.mark.parametrize(("gap", "sort"), [("18 in", "inside"), ("18-1/16 in", "outside")])
def test_how_far_apart_two_sides_of_a_wall_may_be_drawn(gap: str, sort: str) -> None:
    """WALL_GAP, a tolerance of drawing: up to 18 in."""
    east = {"18 in": "11 ft 6 in", "18-1/16 in": "11 ft 6-1/16 in"}[gap]
    assert found({"a": A, "b": room("10 ft x 10 ft", f"{east}, 0 ft")})["a.east"].sort == sort


@pytest.mark.parametrize(("deep", "sort"), [("8 ft 6 in", "inside"), ("8 ft 5-15/16 in", None)])
def test_what_is_left_at_the_end_of_a_wall_is_the_end_of_another(deep: str, sort: str | None) -> None:
    wall = found({"a": A, "b": room(f"10 ft x {deep}", "10 ft 4 in, 0 ft")})["a.east"]
    assert wall.sort == sort and wall.sure
    assert wall.doubts == (() if sort else ("only part of a.east has a room behind it",))


@pytest.mark.parametrize(
    ("other", "whole", "doubt"),
    [
        (room("10 ft x 10 ft", None), True, "b stands nowhere on the plan"),
        (room("10 ft x 10 ft", "10 ft 4 in, 0 ft", use=None), True, "nobody has recorded whether b is a room or outdoors (its use)"),
        (room("10 ft x 10 ft", "10 ft 4 in, 0 ft", use="other"), True, "nobody has recorded whether b is a room or outdoors (its use)"),
        (room("10 ft x 10 ft", "10 ft 4 in, 0 ft", level=None), True, "nobody has recorded the level of b"),
        (room("10 ft x 10 ft", "30 ft, 0 ft"), False, "nobody has said that the list of spaces is whole"),
    ],
)
def test_what_keeps_it_open(other: dict[str, str], whole: bool, doubt: str) -> None:
    wall = found({"a": A, "b": other}, whole)["a.east"]
    assert wall.sort is None and not wall.sure and doubt in wall.doubts


def test_nothing_more_is_asked_of_a_wall_that_rooms_cover() -> None:
    """Whatever else there may be stands somewhere else."""
    walls = found({"a": A, "b": B, "c": room("9 ft x 9 ft", None)}, whole=False)
    assert walls["a.east"].sort == "inside" and walls["a.west"].sort is None


def test_a_deck_is_outdoors_and_has_no_walls() -> None:
    walls = found({"a": A, "d": room("10 ft x 10 ft", "10 ft 4 in, 0 ft", use="deck")})
    assert walls["a.east"].sort == "outside" and not [side for side in walls if side.startswith("d.")]


def test_over_another_storey_there_may_be_a_roof_space() -> None:
    upper = room("6 ft x 10 ft", "0 ft, 0 ft", level="upper")
    walls = found({"a": A, "u": upper})
    assert walls["u.east"].doubts == ("a, on another storey, lies beyond u.east",)
    assert {walls[side].sort for side in ("u.west", "u.south", "u.north", "a.east")} == {"outside"}


def test_one_storey_that_is_all_there_is_needs_no_levels() -> None:
    plain = {name: {key: value for key, value in one.items() if key != "level"} for name, one in (("a", A), ("b", B))}
    assert found(plain)["a.east"].sort is None
    assert found(plain, levels={"main": {}}, looked=[ONE_STOREY])["a.east"].sort == "inside"


def test_sides_that_somebody_has_put_together_are_looked_at_alone() -> None:
    walls = found({"a": A, "b": B}, apart=("a.east",))
    assert walls["a.east"].sides == ("a.east",) and walls["b.west"].sides == ("b.west",)
    assert walls["a.east"].sort == walls["b.west"].sort == "inside"
