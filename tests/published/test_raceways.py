"""Fill of raceways against Annex C and worked problems, the tables against the diameters they come from.

Annex C is printed apart from the tables of chapter 9 and so an independent check of them, up to their rounding.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi
from typing import Any

import pytest

from oktocover.measures.subject import Subject
from oktocover.measures.values import Members
from oktocover.rules.evaluate import judge
from oktocover.rules.limits import look_up
from oktocover.rules.scope import Env

from .electrical_book import amount, ruleset

SQUARE_INCH = amount("1 in2", "area")


def table(name: str, *keys: Any) -> Any:
    made = ruleset().table(f"nec.{name}")
    assert made is not None
    found = look_up(made, list(keys), "", Env(Subject("site", "site"), {}), name)
    return Fraction(found) / SQUARE_INCH


def size_of(text: str) -> str:
    return f"{text} kcmil" if text in ("250", "300", "350", "400", "500") else f"{text} AWG"


def wires(*groups: tuple[int, str, str]) -> list[Subject]:
    return [
        Subject(
            "raceway_wire",
            f"{count} {size} {kind}",
            {
                "number": count,
                "size": amount(size_of(size), "wire size"),
                "insulation": kind,
                "whole_cable": False,
            },
        )
        for count, size, kind in groups
    ]


def raceway(what: str, size: str, inside: list[Subject], length: str = "10 ft") -> Subject:
    facts = {"what": what, "size": amount(f"{size} in", "pipe size"), "length": amount(length, "length")}
    return Subject("raceway", "W-1", {**facts, "wires": Members(tuple(inside))})


def fits(what: str, size: str, *groups: tuple[int, str, str]) -> bool:
    rule = ruleset().rule("nec.raceway-fill")
    assert rule is not None
    (judged,) = judge(rule, Env(raceway(what, size, wires(*groups)), {}))
    assert judged.verdict in ("met", "not met")
    return judged.verdict == "met"


# Annex C Table C.1, EMT and THHN, as reproduced in a public copy: counts for 1/2, 3/4, 1, 1-1/4, 1-1/2 and 2 in.
SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
ANNEX_C = {
    "14": (12, 22, 35, 61, 84, 138), "12": (9, 16, 26, 45, 61, 101), "10": (5, 10, 16, 28, 38, 63), "8": (3, 6, 9, 16, 22, 36),
    "6": (2, 4, 7, 12, 16, 26), "4": (1, 2, 4, 7, 10, 16), "3": (1, 1, 3, 6, 8, 13), "2": (1, 1, 3, 5, 7, 11),
    "1": (1, 1, 1, 4, 5, 8),
}  # fmt: skip
CELLS = [(wire, size, count) for wire, row in ANNEX_C.items() for size, count in zip(SIZES, row, strict=True)]


@pytest.mark.parametrize(("wire", "size", "count"), CELLS)
def test_as_many_fit_as_annex_c_prints_and_no_more(wire: str, size: str, count: int) -> None:
    assert fits("EMT", size, (count, wire, "THHN"))
    assert not fits("EMT", size, (count + 1, wire, "THHN"))


def test_a_mixed_fill_of_a_textbook() -> None:
    """A textbook on commercial wiring: one 12, one 10, three 8 THHN, 0.1442 in2: not in 1/2 in of rigid conduit, but in 3/4."""
    group = ((1, "12", "THHN"), (1, "10", "THHN"), (3, "8", "THHN"))
    total = sum(
        table("conductor_area", kind, amount(size_of(size), "wire size")) * count for count, size, kind in group
    )
    assert total == Fraction("0.1442")
    assert not fits("RMC", "1/2", *group)
    assert fits("RMC", "3/4", *group)


def test_sixteen_of_12_in_three_quarters_of_rigid() -> None:
    """A question of a steel tube institute: 16, since half a conductor does not round up."""
    assert fits("RMC", "3/4", (16, "12", "THHN"))
    assert not fits("RMC", "3/4", (17, "12", "THHN"))


def test_the_room_of_one_inch() -> None:
    """A trade school's check values: 1 in EMT, 0.346 in2 for more than two; six conductors of 0.0243 in2 use 0.1458."""
    made = ruleset().term("nec.room_in_raceway")
    assert made is not None
    room = made.compiled().evaluate(Env(raceway("EMT", "1", wires((6, "10", "XHHW"))), {}))
    assert round(float(Fraction(room) / SQUARE_INCH), 3) == 0.346
    assert 6 * table("conductor_area", "XHHW", amount("10 AWG", "wire size")) == Fraction("0.1458")


# Inside diameters by which chapter 9 Table 4 gives the areas, in inches.
INSIDE = {
    "EMT": {"1/2": 0.622, "3/4": 0.824, "1": 1.049, "1-1/4": 1.380, "1-1/2": 1.610, "2": 2.067, "3": 3.356, "4": 4.334},
    "RMC": {"1/2": 0.632, "3/4": 0.836, "1": 1.063, "1-1/4": 1.394, "1-1/2": 1.624, "2": 2.083},
    "PVC 40": {
        "1/2": 0.602,
        "3/4": 0.804,
        "1": 1.029,
        "1-1/4": 1.360,
        "1-1/2": 1.590,
        "2": 2.047,
        "3": 3.042,
        "4": 3.998,
    },
    "PVC 80": {
        "1/2": 0.526,
        "3/4": 0.722,
        "1": 0.936,
        "1-1/4": 1.255,
        "1-1/2": 1.476,
        "2": 1.913,
        "3": 2.864,
        "4": 3.786,
    },
    "FMC": {"1/2": 0.635, "3/4": 0.824, "1": 1.020, "1-1/4": 1.275, "1-1/2": 1.538, "2": 2.040},
    "LFMC": {"1/2": 0.632, "3/4": 0.830, "1": 1.054, "1-1/4": 1.395, "1-1/2": 1.588, "2": 2.033},
    "ENT": {"1/2": 0.560, "3/4": 0.760, "1": 1.000, "1-1/4": 1.340, "1-1/2": 1.570, "2": 2.020},
}


@pytest.mark.parametrize("what", INSIDE)
def test_areas_of_raceways_are_those_of_their_bores(what: str) -> None:
    for size, bore in INSIDE[what].items():
        assert float(table("raceway_area", what, amount(f"{size} in", "pipe size"))) == pytest.approx(
            pi / 4 * bore**2, abs=0.001
        )


def test_steel_tubing_is_as_wide_as_its_standard_lets_it_be() -> None:
    """ANSI C80.3 (recalled): EMT of 3/4 in is 0.922 in outside with a wall of 0.049 in."""
    bore = 0.922 - 2 * 0.049
    assert float(table("raceway_area", "EMT", amount("3/4 in", "pipe size"))) == pytest.approx(
        pi / 4 * bore**2, abs=0.001
    )


@pytest.mark.parametrize(("wire", "size", "count"), [("10", "1", 8), ("12", "3/4", 6), ("12", "1-1/4", 17)])
def test_conductors_with_a_covering(wire: str, size: str, count: int) -> None:
    """RHH in EMT, from the residential code's Table E3904.6(1) of 2018 (Annex C Table C.1): 7.90 rounds up to 8."""
    assert fits("EMT", size, (count, wire, "RHH"))
    assert not fits("EMT", size, (count + 1, wire, "RHH"))


def test_six_of_10_thw_in_one_inch() -> None:
    """A trade school's check values: six of 0.0243 in2 in 0.346 in2 leave 0.2002; fourteen are 0.3402, fifteen do not fit."""
    assert fits("EMT", "1", (14, "10", "THW"))
    assert not fits("EMT", "1", (15, "10", "THW"))
    assert 6 * table("conductor_area", "THW", amount("10 AWG", "wire size")) == Fraction("0.1458")


# Diameters of Table 5 in inches (recalled), 14 AWG to 4/0.
WIDE = {
    "THW": (0.133, 0.152, 0.176, 0.236, 0.304, 0.352, 0.380, 0.412, 0.492, 0.532, 0.578, 0.630, 0.688),
    "RHH": (0.193, 0.212, 0.236, 0.326, 0.364, 0.412, 0.440, 0.472, 0.582, 0.622, 0.668, 0.720, 0.778),
}
GAUGES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


@pytest.mark.parametrize("kind", WIDE)
def test_areas_of_thicker_insulations_are_those_of_their_diameters(kind: str) -> None:
    for size, wide in zip(GAUGES, WIDE[kind], strict=True):
        area = float(table("conductor_area", kind, amount(size_of(size), "wire size")))
        assert area == pytest.approx(pi / 4 * wide**2, abs=0.0001), size


def test_plastic_conduit_grows_as_its_table_prints() -> None:
    """Table 352.44 (recalled): 4.06 in on 100 ft and 100 °F, 0.000 033 8 in an inch and degree."""
    facts = {"length": amount("100 ft", "length"), "temperature_swing": amount("100 °F", "temperature difference")}
    made = ruleset().term("nec.expected_movement")
    assert made is not None
    grown = made.compiled().evaluate(Env(Subject("raceway_outdoors", "W-1", facts), {}))
    assert round(float(Fraction(grown) / amount("1 in", "length")), 2) == 4.06
