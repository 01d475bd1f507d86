"""Overload devices of motors against worked examples. Each check names its source.

Conductors and breakers of motors and welders are held beside ampacity.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades


@cache
def ruleset() -> RuleSet:
    made = RuleSet(Library().folded("nec 2017"))
    made.check()
    return made


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


def test_more_than_any_motor_may_have() -> None:
    """430.32(A)(1): 125 percent is the most of both shares, whatever the plate says of warmth."""
    assert verdict("26", "1.0", "32.6") == "not met"


NOT_HELD = {
    "D8, fuses and their ceilings for 25 hp at 460 V": "three-phase motors are not entered",
    "140 and 130 percent where the motor will not start": "for whoever adjusts it on the spot; left to the electrician",
}
