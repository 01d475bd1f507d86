"""What inspectors send people away for besides the work itself: common practice, listed in rulesets/visit-points.yaml.

It is no layer: a place says what it asks for in its own `inspections:`. A point nobody has answered is a reminder and
holds nothing up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from oktocover.data import data_dir
from oktocover.findings.checked import Visit
from oktocover.reading.nodes import read_yaml_file

FILE = "visit-points.yaml"
TOP = "visit points"
ABOUT = ("papers", "access", "open", "ready", "people", "booking")
"""What a point is about."""
KEYS = ("about", "say", "trades", "visits", "not visits", "needs", "section", "lists")


@dataclass(frozen=True, slots=True)
class Point:
    """One thing to have ready for a visit, as many offices ask for it."""

    name: str
    about: str
    say: str
    section: str
    lists: int
    """On how many of the public lists that were read it stands."""
    trades: tuple[str, ...] = ()
    visits: tuple[str, ...] = ()
    not_visits: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()

    def is_for(self, visit: Visit, described: Callable[[str], str | None]) -> bool:
        """Whether it is asked at a visit of a building with these described systems.

        A system that nobody has spoken of may be there, so its points are printed.
        """
        stages = {visit.name, *visit.sees}
        if self.not_visits and stages <= set(self.not_visits):
            return False
        if self.needs and all(described(system) == "none" for system in self.needs):
            return False
        if not (self.trades or self.visits):
            return True
        return bool(stages & set(self.visits)) or bool({visit.trade, *visit.trades} & set(self.trades))


@cache
def visit_points() -> tuple[Point, ...]:
    """The listed points in their order. Raises InputProblems when their file cannot be read."""
    document = read_yaml_file(data_dir("rulesets") / FILE, f"rulesets/{FILE}")
    assert isinstance(document.data, dict)
    listed: Any = document.data[TOP]
    return tuple(
        Point(
            name,
            one["about"],
            one["say"],
            one["section"],
            int(one["lists"]),
            tuple(one.get("trades") or ()),
            tuple(one.get("visits") or ()),
            tuple(one.get("not visits") or ()),
            tuple(one.get("needs") or ()),
        )
        for name, one in listed.items()
    )
