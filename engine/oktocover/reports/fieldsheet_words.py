"""The words of a field sheet: tools, how a fact is asked, and what has to be off, capped or proven dead first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from oktocover.quantities import Number, show
from oktocover.reports._plain import listed
from oktocover.reports._words import LICENSED, cautions
from oktocover.site.root import Site

TOOLS: Final[dict[str, str]] = {
    "tape": "tape",
    "look": "by eye",
    "plate": "label or plate",
    "maker": "maker's sheet",
    "paper": "papers",
    "map": "plot plan",
    "test": "gauge and clock",
    "official": "ask the office",
}
KNOWN: Final[dict[str, str]] = {"tape": "measured", "test": "tested", "map": "measured"}
"""How an answer is known, by what it was found out with; looked at otherwise."""
PRECISION: Final[dict[str, str]] = {
    "length": "to 1/16 in",
    "pressure": "to the finest mark of the gauge",
    "time": "to the second, or at most a minute less than it was",
    "temperature": "to 1 °F",
    "moment": "day, hour and minute",
}
"""How finely a reading is taken with a tape, a gauge, a clock."""
SAY: Final = {
    "cannot reach": "C",
    "not there": "N",
    "looks wrong": "W",
    "ask": "A",
}
"""On paper: the letter for what is said instead of a value."""
HIDDEN: Final = (
    "Behind a cover? Only locked off and proven dead; else from a photo of the label, or ask the electrician."
)
LIVE: Final = frozenset(
    {"panels", "circuits", "boxes", "disconnects", "feeders", "services", "taps", "equipment", "load calculations"}
)
"""Lists of things whose labels and terminals may be behind a cover with live parts."""
MAY_BE_HIDDEN: Final = frozenset({"label or plate", "maker's sheet"})
"""Tools with which something behind a cover may be looked for."""
FIRST: Final = (
    "Air or an inert gas only; never oxygen.",
    "Appliances, regulators and valves that are not made for the test pressure: taken off and the openings capped.",
    "Source of gas shut and blanked; no live gas near.",
)
MOST_PLATES: Final = 6
STOP: Final = "Whatever hisses, moves or climbs by itself: let the pressure out, then look."


def before_test(site: Site, name: str, asked: str) -> tuple[str, ...]:
    """What has to be done before the first reading of a gas test. `asked`: the pressure that the rules ask for."""
    test = site.gas_tests.get(name)
    if test is None:
        return ()
    bears = [text for _, text in sorted(_bears(site))]
    weakest = f"Highest pressure by their plates: {listed(bears, MOST_PLATES)}. " if bears else ""
    high = f"The test asks for {asked}. " if asked else ""
    gauge = f" and never past the end of its dial, {test.full_scale.text}" if test.full_scale is not None else ""
    return (
        *FIRST,
        f"{weakest}What bears less than the test pressure is off and capped before anything is pumped.",
        f"{high}Pump slowly, no higher than the test needs{gauge}; stand clear of caps and plugs.",
        STOP,
    )


def before_other_test(system: str) -> tuple[str, ...]:
    """What has to be done before the first reading of a test of another system."""
    return (*(one for one in cautions((system,)) if one != LICENSED), STOP)


def _bears(site: Site) -> Iterable[tuple[Number, str]]:
    """`UH-1 14 in w.c.`: the highest pressure of each appliance, regulator and valve that has one on its plate."""
    for things, fact in (
        (site.appliances, "max_inlet_pressure"),
        (site.gas_regulators, "max_inlet_pressure"),
        (site.gas_valves, "rating"),
    ):
        for name, one in things.items():
            value: Any = getattr(one, fact, None)
            exact = getattr(value, "exact", None)
            if exact is not None:
                yield (
                    exact,
                    f"{name} {show(exact, 'pressure', value.unit)}",
                )


def tool_of(found_by: str, form: str) -> str:
    """What something is found out with: tape, by eye, label or plate, clock."""
    if found_by == "test" and form == "moment":
        return "clock"
    return TOOLS.get(found_by, found_by)


def precision_of(found_by: str, dimension: str, form: str) -> str:
    """How finely it is read; nothing for what is looked up or looked at."""
    if found_by not in ("tape", "test"):
        return ""
    return PRECISION.get("moment" if form == "moment" else dimension, "")


def sentence(text: str) -> str:
    """A description as it begins a question."""
    text = text.strip().replace("`", "'")
    return text[:1].upper() + text[1:] if text else ""
