"""Moving, turning and mirroring the plan changes no verdict: where north is decides nothing.

Walls get names that are no compass directions, since a turned wall may not keep the name of the way it faced; subjects
that are named by walls are told apart by rule, so verdicts are counted rule by rule.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from sites import EXAMPLES, LISTS, adopted_for, data_of, judged, read, verdicts

from oktocover.quantities import read as read_quantity
from oktocover.reading.problems import InputProblems
from oktocover.rules.library import Adopted
from oktocover.site.plan import Plan

Point = tuple[Fraction, Fraction]
IN = 25_400_000

MOVES: dict[str, Callable[[Point], Point]] = {
    "moved": lambda p: (p[0] + 137 * 12 * IN, p[1] - 41 * 12 * IN),
    "turned a quarter": lambda p: (-p[1], p[0]),
    "turned half": lambda p: (-p[0], -p[1]),
    "turned by a 3-4-5 angle": lambda p: (p[0] * 3 / 5 - p[1] * 4 / 5, p[0] * 4 / 5 + p[1] * 3 / 5),
}


def written(value: Fraction) -> str:
    """A coordinate exactly, in nanometres as decimals of a millimetre."""
    scaled = value * 1_000
    assert scaled.denominator == 1, "choose outlines whose turned corners are whole"
    sign, whole = ("-" if scaled < 0 else ""), abs(int(scaled))
    return f"{sign}{whole // 10**9}.{whole % 10**9:09d} mm"


def side(name: str) -> str:
    """A wall's name that says nothing about where it faces."""
    return f"side {name}"


def renamed(node: Any, walls: dict[str, str]) -> Any:
    """Every `room.wall` under its new name."""
    if isinstance(node, dict):
        return {key: renamed(value, walls) for key, value in node.items()}
    if isinstance(node, list):
        return [renamed(value, walls) for value in node]
    return walls.get(node, node) if isinstance(node, str) else node


def with_points(data: dict[str, Any], move: Callable[[Point], Point]) -> dict[str, Any]:
    """The same site with every room as an outline of named corners, moved."""
    plan = Plan(read(data).site)
    walls: dict[str, str] = {}
    for name, space in data["spaces"].items():
        shape = plan.room(name)
        names = [*(shape.wall_names if shape else ()), *(space.get("walls") or ())]
        walls.update(
            {f"{name}.{wall}": f"{name}.{side(plan.ref(f'{name}.{wall}').partition('.')[2])}" for wall in names}
        )
    made = renamed(copy.deepcopy(data), walls)
    for name, space in made["spaces"].items():
        shape = plan.room(name)
        if shape is None:
            continue
        if not shape.placed:
            pytest.skip(f"{name} has no place on the plan")
        corners = []
        for wall in shape.walls:
            x, y = move((Fraction(wall.start[0]), Fraction(wall.start[1])))
            corners.append({"at": f"{written(x)}, {written(y)}", "wall": side(wall.name)})
        for key in ("size", "corner", "outline", "walls"):
            space.pop(key, None)
        space["outline"] = corners
    return made


def counted(site: dict[str, Any], adopted: Adopted) -> list[tuple[str, str]]:
    """Every verdict with its rule."""
    return sorted((rule, verdict) for (rule, _), verdict in verdicts(judged(site, adopted)).items())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
@pytest.mark.parametrize("name", MOVES)
def test_moving_or_turning_the_plan_changes_no_verdict(path: Path, name: str) -> None:
    data = data_of(path)
    adopted = adopted_for(data, path.parent)
    assert counted(with_points(data, MOVES[name]), adopted) == counted(data, adopted)


def test_a_turned_plan_that_is_not_the_same_is_noticed() -> None:
    """The check above can fail: stretching the plan is no turn, and some verdict or the reading notices."""
    path = EXAMPLES[0]
    data = data_of(path)
    adopted = adopted_for(data, path.parent)
    before = counted(data, adopted)
    try:
        after = counted(with_points(data, lambda p: (p[0] * 2, p[1] * 2)), adopted)
    except InputProblems:
        return
    assert after != before


MIRRORED_EXTENT = {"openings": "width", "outside things": "width", "counters": "length", "air openings": "width"}
"""Lists in which `at` is a left edge; elsewhere it is a centre."""


def mirrored(data: dict[str, Any]) -> dict[str, Any]:
    """The site in a mirror: east is west, and what was measured from the left is measured from the right."""
    plan = Plan(read(data).site)
    made = with_points(data, lambda p: p)
    for name, space in made["spaces"].items():
        if plan.room(name) is None:
            continue
        corners = space["outline"]
        names = [corner["wall"] for corner in corners]
        for corner in corners:
            x, y = (part.strip() for part in corner["at"].split(","))
            corner["at"] = f"{x.removeprefix('-') if x.startswith('-') else '-' + x}, {y}"
        corners.reverse()
        # walking the other way round, the wall that starts at a corner is the one that ended there before
        for index, corner in enumerate(corners):
            corner["wall"] = names[(len(names) - 2 - index) % len(names)]
    for section in LISTS:
        for element in (made.get(section) or {}).values():
            if isinstance(element, dict) and element.get("wall") and element.get("at"):
                mirror_on_wall(section, element, plan)
    return made


def mirror_on_wall(section: str, element: dict[str, Any], plan: Plan) -> None:
    wall = plan.wall(element["wall"].replace(".side ", "."))
    assert wall is not None
    extent_key = MIRRORED_EXTENT.get(section)
    extent_text = element.get(extent_key) if extent_key else None
    extent = read_quantity(extent_text, "length").exact if extent_text else 0
    at = read_quantity(element["at"], "length").exact
    assert at is not None and extent is not None
    element["at"] = written(Fraction(wall.length) - at - extent)
    if "fixed panel" in element:
        element["fixed panel"] = {"left": "right", "right": "left"}.get(element["fixed panel"], element["fixed panel"])
    for part in element.get("breaks") or ():
        if isinstance(part, dict) and part.get("at"):
            start, wide = (read_quantity(part[key], "length").exact for key in ("at", "width"))
            assert start is not None and wide is not None
            part["at"] = written(Fraction(wall.length) - start - wide)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_mirrored_plan_has_the_same_verdicts_rule_by_rule(path: Path) -> None:
    """Subjects named by the opening that begins them get other names in a mirror, so verdicts are counted by rule."""
    data = data_of(path)
    adopted = adopted_for(data, path.parent)

    assert counted(mirrored(data), adopted) == counted(data, adopted)
