"""Overload devices of motors against worked examples. Each check names its source.

Conductors and breakers of motors and welders are held beside ampacity.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from oktocover.measures.subject import Subject
from oktocover.rules.evaluate import judge
from oktocover.rules.scope import Env

from .electrical_book import ruleset


def verdict(plate: str, factor: str, setting: str) -> str:
    facts: dict[str, Any] = {"what": "motor", "motor": 3730, "duty": "continuous", "motor_amps": Fraction(plate)}
    facts |= {"service_factor": Fraction(factor), "overload": Fraction(setting)}
    rule = ruleset().rule("nec.motor-overload")
    assert rule is not None
    found = {one.name: one.verdict for one in judge(rule, Env(Subject("equipment", "A-1", facts), {}))}
    return found["nec.motor-overload.overload_setting"]


@pytest.mark.parametrize(
    ("plate", "factor", "most", "source"),
    [
        ("31.6", "1.15", "39.5", "NEC Annex D, example D8 (recalled): 125 percent of the plate, not of the table"),
        ("26", "1.0", "29.9", "worked out by hand from 430.32(A)(1): 115 percent"),
    ],
)
def test_the_setting_goes_by_the_plate(plate: str, factor: str, most: str, source: str) -> None:
    assert verdict(plate, factor, most) == "met", source
    assert verdict(plate, factor, str(Fraction(most) + Fraction(1, 100))) != "met", source


@pytest.mark.parametrize(
    ("plate", "factor", "most", "source"),
    [
        ("31.6", "1.15", "44.24", "NEC Annex D, example D8 (recalled): 140 percent where the motor will not start"),
        ("26", "1.0", "33.8", "worked out by hand from 430.32(C): 130 percent"),
    ],
)
def test_where_it_will_not_start_the_setting_has_a_second_limit(
    plate: str, factor: str, most: str, source: str
) -> None:
    """Up to the second limit somebody has to say so; past it nobody can."""
    assert verdict(plate, factor, most) == "not recorded", source
    assert verdict(plate, factor, str(Fraction(most) + Fraction(1, 100))) == "not met", source


NOT_HELD = {
    "D8, ceilings of fuses where the motor will not start (400 and 225 percent)": "430.52(C)(1) Exception 2 is not entered",
}
