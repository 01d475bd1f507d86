"""Bored holes and supports against figures from outside the project; the source stands by each check."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.subject import Subject
from oktocover.quantities import read
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades


@cache
def ruleset(edition: str) -> RuleSet:
    return RuleSet(Library().folded(edition))


def verdict(edition: str, rule_id: str, kind: str, **facts: Any) -> str:
    rule = ruleset(edition).rule(f"nec.{rule_id.partition('.')[0]}")
    assert rule is not None
    found = [one for one in judge(rule, Env(Subject(kind, "one", facts), {})) if one.name == f"nec.{rule_id}"]
    return found[0].verdict


def inches(text: str) -> Any:
    return read(f"{text} in", "length").exact


# A trade magazine on boring shallow studs, and common practice: in a 2x4 (3-1/2 in) a centred hole keeps 1-1/4 in on both
# sides up to 1 in across; in a 2x3 (2-1/2 in) no hole does, and plates are needed on both sides.
@pytest.mark.parametrize(
    ("stud", "hole", "met"),
    [
        ("3-1/2", "1", "met"),
        ("3-1/2", "1-1/8", "not met"),
        ("5-1/2", "3", "met"),
        ("5-1/2", "3-1/8", "not met"),
        ("2-1/2", "3/4", "not met"),
    ],
)
@pytest.mark.parametrize("edition", ["nec 2017", "nec 2020", "nec 2023"])
def test_a_centred_hole_in_a_stud(edition: str, stud: str, hole: str, met: str) -> None:
    edge = (inches(stud) - inches(hole)) * Fraction(1, 2)
    facts = {"cut": "hole", "member": "stud", "for_": "cable", "plate": "none", "edge": edge}
    assert verdict(edition, "hole-edge", "framing_hole", **facts) == met


# A trade magazine's question on the 2020 edition: 1/16 in of steel, long and wide enough, where the edge is nearer.
def test_a_plate_takes_the_place_of_the_distance() -> None:
    facts = {"cut": "hole", "member": "stud", "for_": "cable", "edge": inches("3/4"), "plate_covers": True}
    assert verdict("nec 2020", "hole-edge", "framing_hole", **facts, plate=inches("1/16")) == "met"
    assert verdict("nec 2020", "hole-edge", "framing_hole", **facts, plate="none") == "not met"


# Forums of inspectors and electricians: every 4-1/2 ft; within 12 in of a box, 8 in of one without a clamp. MC: every 6 ft,
# a trade magazine's question.
@pytest.mark.parametrize(
    ("what", "supports", "from_box", "clampless", "met"),
    [
        ("12-2 NM-B", "54", "12", False, ("met", "met")),
        ("12-2 NM-B", "60", "12", False, ("not met", "met")),
        ("12-2 NM-B", "54", "12", True, ("met", "not met")),
        ("12-2 NM-B", "54", "8", True, ("met", "met")),
        ("12-2 MC", "72", "12", False, ("met", "met")),
        ("12-2 MC", "78", "13", False, ("not met", "not met")),
    ],
)
def test_supports_of_cable(what: str, supports: str, from_box: str, clampless: bool, met: tuple[str, str]) -> None:
    facts = {
        "what": what,
        "fastened": True,
        "supported_by": "staples",
        "supports": inches(supports),
        "from_box": inches(from_box),
        "clampless": clampless,
        "whip": "none",
    }
    found = tuple(verdict("nec 2017", f"cable-support.{item}", "cable", **facts) for item in ("apart", "first_support"))
    assert found == met


NOT_TAKEN = {
    "1-1/2 in from the edge, in a town's restatement of the code": "an old local rule; the code has had 1-1/4 in since before it",
    "two cables a sealed hole, in a county's list of corrections": "practice; the section admits more with its adjustment, "
    "held in the ampacity checks",
}
"""What was published and is not held, with the reason."""
